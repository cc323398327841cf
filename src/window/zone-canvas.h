/* zone-canvas.h - a face large, its zones with their areas, to cut and to choose from.
 *
 * It changes nothing: it emits what was drawn or chosen, and shows what it is given.
 *
 * Signals:
 *   "cut"       a line was drawn over one zone or more; rake_zone_canvas_get_line() has it
 *   "selected"  other zones are chosen
 *
 * By keyboard with the cut tool: a guide line stands in the chosen zone; arrows move it, with Shift
 * by 10 mm, R turns it (Shift-R back), Enter cuts, Escape puts it away. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/job.h>

#define RAKE_TYPE_ZONE_CANVAS (rake_zone_canvas_get_type ())
G_DECLARE_FINAL_TYPE (RakeZoneCanvas, rake_zone_canvas, RAKE, ZONE_CANVAS, GtkWidget)

typedef enum
{
  RAKE_ZONE_TOOL_CHOOSE,
  RAKE_ZONE_TOOL_CUT,      /* a straight line */
  RAKE_ZONE_TOOL_FREEHAND, /* a line as the hand went */
} RakeZoneTool;

/* Shows @face, which stays the caller's until the next call; NULL shows nothing. */
void rake_zone_canvas_show (RakeZoneCanvas *self, const RakeFace *face);
void rake_zone_canvas_set_tool (RakeZoneCanvas *self, RakeZoneTool tool);

/* The drawn line in mm, owned by the canvas; NULL when there is none. */
const RakeShape *rake_zone_canvas_get_line (RakeZoneCanvas *self);

/* Areas to show as they would become, over the zones; NULL ends it. Takes a reference. */
void rake_zone_canvas_preview (RakeZoneCanvas *self, GPtrArray *shapes);

/* The zones chosen: const RakeZone * of the face shown, caller g_ptr_array_unref()s. */
GPtrArray *rake_zone_canvas_get_chosen (RakeZoneCanvas *self);
void rake_zone_canvas_choose (RakeZoneCanvas *self, RakeId zone, gboolean add);
