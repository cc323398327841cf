/* stage-rail.h - the schedule as a row of steps, each with its share that is ready.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * It asks for the stage's change through the action win.begin-stage (the stage's id as text). */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_STAGE_RAIL (rake_stage_rail_get_type ())
G_DECLARE_FINAL_TYPE (RakeStageRail, rake_stage_rail, RAKE, STAGE_RAIL, GtkWidget)
