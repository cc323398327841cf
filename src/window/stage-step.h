/* stage-step.h - one step of the schedule in the stage rail: ring of progress, action, grade.
 *
 * A button; what a press does is the rail's business (its action and target). Where the row is too
 * narrow it says the grade alone; the present step always says all. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/job.h>

typedef enum
{
  RAKE_STEP_DONE,    /* before the present one: a press goes back to it */
  RAKE_STEP_PRESENT,
  RAKE_STEP_OPEN,    /* the next one, with the gate open: a press goes on to it */
  RAKE_STEP_SHUT,    /* the next one, with the gate shut */
  RAKE_STEP_LATER,
} RakeStepKind;

#define RAKE_TYPE_STAGE_STEP (rake_stage_step_get_type ())
G_DECLARE_FINAL_TYPE (RakeStageStep, rake_stage_step, RAKE, STAGE_STEP, GtkButton)

GtkWidget *rake_stage_step_new (void);

/* @ready_fraction  share of the area that is ready at this stage, 0 to 1
 * @why             a sentence: why the gate is shut or what to do before going on; may be NULL */
void rake_stage_step_show (RakeStageStep *self, const RakeStage *stage, RakeStepKind kind,
                           double ready_fraction, const char *why);
