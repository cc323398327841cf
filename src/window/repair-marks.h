/* repair-marks.h - the open marks of a zone, with a tick at those that a repair puts an end to. */
#pragma once
#include <adwaita.h>
#include <rakelight/repair.h>

#define RAKE_TYPE_REPAIR_MARKS (rake_repair_marks_get_type ())
G_DECLARE_FINAL_TYPE (RakeRepairMarks, rake_repair_marks, RAKE, REPAIR_MARKS, GtkBox)

/* Shows the marks of @zone and ticks what a repair by @method usually settles; what was ticked before is
 * forgotten. Of a recoat, which buries all of the face, only how many. */
void rake_repair_marks_show (RakeRepairMarks *self, const RakeZone *zone, RakeRepairMethod method);

/* RakeId of the ticked marks; NULL for none. Caller g_array_unref()s. */
GArray *rake_repair_marks_get_ticked (RakeRepairMarks *self);
