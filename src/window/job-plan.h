/* job-plan.h - what the new-job assistant has been told so far, and the draft made of it.
 *
 * Faces and schedule may be changed after zones were drawn: zones are kept for every face whose
 * outline stays. Plain C, no widgets. */
#pragma once
#include <rakelight/draft.h>
#include <rakelight/outline.h>
#include <rakelight/rules.h>

typedef struct _RakeJobPlan RakeJobPlan;

RakeJobPlan *rake_job_plan_new (void);
void rake_job_plan_free (RakeJobPlan *plan);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeJobPlan, rake_job_plan_free)

/* The schedule of every face. FALSE with RAKE_SCHEDULE_ERROR; the plan keeps the one before. */
gboolean rake_job_plan_set_schedule (RakeJobPlan *plan, const char *text, GError **error);

/* Faces, in order. Adding and setting take a reference to the outline. The name may not be empty. */
guint rake_job_plan_get_n_faces (const RakeJobPlan *plan);
const RakeFace *rake_job_plan_get_face (const RakeJobPlan *plan, guint index);
gboolean rake_job_plan_add_face (RakeJobPlan *plan, const char *name, RakeShape *outline,
                                 GError **error);
gboolean rake_job_plan_set_face (RakeJobPlan *plan, guint index, const char *name,
                                 RakeShape *outline, GError **error);
void rake_job_plan_remove_face (RakeJobPlan *plan, guint index);

/* Zones: entries as rake_division_…() and zone facts make them, as one gesture. */
gboolean rake_job_plan_divide (RakeJobPlan *plan, RakeEntry *const *entries, guint n_entries,
                               GError **error);
void rake_job_plan_undo_division (RakeJobPlan *plan);

const RakeJob *rake_job_plan_get_job (const RakeJobPlan *plan);

typedef struct
{
  const char *name, *piece, *shop; /* "" for unsaid */
  RakeFinish finish;
  RakeSheen sheen;
  guint n_coats;
  gint64 last_coat_ms;
  double wet_um, dry_um, volume_solids_fraction; /* of each coat; NaN: not said */
} RakeJobPlanFacts;

/* The first gesture of the job's file: its facts, faces, schedules, zones and coats, in order. An
 * array of RakeEntry, caller g_ptr_array_unref()s; the plan must not be changed while it is used. */
GPtrArray *rake_job_plan_get_entries (const RakeJobPlan *plan, const RakeJobPlanFacts *facts);
