/* stage-rail.h - the schedule as a row of steps, each with its share that is ready, and under it the
 * one sentence that says why the face may not go on yet, or may.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * It asks for the stage's change through the action win.begin-stage (the stage's id as text): of the
 * next stage when the gate is open, and of an earlier one to go back. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_STAGE_RAIL (rake_stage_rail_get_type ())
G_DECLARE_FINAL_TYPE (RakeStageRail, rake_stage_rail, RAKE, STAGE_RAIL, RakeSessionView)
