/* bench-sheet.h - one page of a face to mark by pencil at the bench, where no screen should lie.
 *
 * Black and white: the face's zones with their names and room to draw in, the lamp's directions around
 * it, a scale bar, and under it a table to tick: a row for each zone, a column for each thing that a
 * round of pass, wipe and look has. A face with more zones than one page has rows shows those at the
 * present stage first and says how many it left out. */
#pragma once
#include <rakelight/report.h>

/* As rake_report_write(): a PDF of one page, whole or not at all. */
gboolean rake_bench_sheet_write (const char *path, const RakeJob *job, const RakeFace *face,
                                 RakeSheet sheet, GError **error);
