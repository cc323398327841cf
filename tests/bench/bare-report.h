/* bare-report.h - the floors of a report: its bytes alone, and its words and photographs by cairo and
 * Pango alone. */
#pragma once
#include <glib.h>

/* Writes @picture @n_pictures times to a new file beside @path, which takes its place when all of it is
 * on the disk. */
void bare_report_write_bytes (const char *path, const guint8 *picture, gsize n_bytes,
                              guint n_pictures);

/* A PDF with the lines of @text on as many pages (parted by form feeds), each line laid out once where
 * the last one ended, in one font; and the pictures, six on each of the first pages. No tables, maps,
 * links or tags, no counting of pages. Written to the disk as above. */
void bare_report_write_pdf (const char *path, const char *text, const guint8 *picture,
                            gsize n_bytes, guint n_pictures);
