/* job-plan.c - what the new-job assistant has been told so far, and the draft made of it. */
#include "job-plan.h"

#include <glib/gi18n.h>
#include <rakelight/schedule.h>

typedef struct
{
  RakeId id;
  char *name;
  RakeShape *outline;
} FacePlan;

struct _RakeJobPlan
{
  RakeDraft *draft;
  GPtrArray *faces;    /* FacePlan * */
  GArray *stages;      /* RakeStageSpec, as of the schedule; ids are the first face's */
  GPtrArray *stage_ids; /* a GArray of RakeId for each face, one a stage */
  GArray *gestures;    /* guint: how many entries each division has */
};

static void
face_plan_free (FacePlan *face)
{
  g_free (face->name);
  rake_shape_unref (face->outline);
  g_free (face);
}

RakeJobPlan *
rake_job_plan_new (void)
{
  RakeJobPlan *plan = g_new0 (RakeJobPlan, 1);

  plan->draft = rake_draft_new ();
  plan->faces = g_ptr_array_new_with_free_func ((GDestroyNotify) face_plan_free);
  plan->stage_ids = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  plan->gestures = g_array_new (FALSE, FALSE, sizeof (guint));
  return plan;
}

void
rake_job_plan_free (RakeJobPlan *plan)
{
  if (plan == NULL)
    return;
  rake_draft_free (plan->draft);
  g_ptr_array_unref (plan->faces);
  g_clear_pointer (&plan->stages, g_array_unref);
  g_ptr_array_unref (plan->stage_ids);
  g_array_unref (plan->gestures);
  g_free (plan);
}

/* --- making the draft anew ------------------------------------------------------------------- */

static RakeEntry *
new_face_entry (const FacePlan *face)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_FACE);

  entry->id = entry->gesture = face->id;
  entry->face.name = g_strdup (face->name);
  entry->face.outline = rake_shape_ref (face->outline);
  return entry;
}

static RakeEntry *
new_schedule_entry (const RakeJobPlan *plan, const FacePlan *face, const GArray *ids)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_SCHEDULE);

  entry->schedule.face = face->id;
  g_clear_pointer (&entry->schedule.stages, g_array_unref);
  entry->schedule.stages =
      rake_field_new_list (rake_entry_kind_find_field (RAKE_ENTRY_SCHEDULE, "stages"));
  for (guint i = 0; i < plan->stages->len; i++)
    {
      RakeStageSpec stage = g_array_index (plan->stages, RakeStageSpec, i);

      stage.id = g_array_index (ids, RakeId, i);
      stage.grade = g_strdup (stage.grade);
      g_array_append_val (entry->schedule.stages, stage);
    }
  return entry;
}

/* A stage that is gone from the schedule: its zone starts at the first again. */
static void
mend_first_stage (RakeId *first_stage, const GPtrArray *stage_ids)
{
  for (guint i = 0; i < stage_ids->len; i++)
    {
      const GArray *ids = stage_ids->pdata[i];

      for (guint k = 0; k < ids->len; k++)
        if (rake_id_equal (g_array_index (ids, RakeId, k), *first_stage))
          return;
    }
  *first_stage = RAKE_ID_NIL;
}

static void
mend_stages (RakeEntry *entry, const GPtrArray *stage_ids)
{
  if (entry->kind == RAKE_ENTRY_ZONES)
    for (guint i = 0; i < entry->zones.added->len; i++)
      mend_first_stage (&g_array_index (entry->zones.added, RakeZoneSpec, i).first_stage,
                        stage_ids);
  else if (entry->kind == RAKE_ENTRY_ZONE_FACTS)
    mend_first_stage (&entry->zone_facts.first_stage, stage_ids);
}

/* Divisions whose face is gone, or whose zones are, are left out: nothing is divided any more. */
static void
replay_divisions (RakeJobPlan *plan, GPtrArray *old, guint first)
{
  g_autoptr (GArray) gestures = g_array_new (FALSE, FALSE, sizeof (guint));
  guint at = first;

  for (guint g = 0; g < plan->gestures->len; g++)
    {
      guint n_kept = 0;

      for (guint i = 0; i < g_array_index (plan->gestures, guint, g); i++)
        {
          RakeEntry *entry = rake_entry_ref (old->pdata[at++]);

          mend_stages (entry, plan->stage_ids);
          n_kept += rake_draft_append (plan->draft, entry, NULL) ? 1 : 0;
        }
      if (n_kept > 0)
        g_array_append_val (gestures, n_kept);
    }
  g_array_set_size (plan->gestures, 0);
  g_array_append_vals (plan->gestures, gestures->data, gestures->len);
}

static gboolean
rebuild (RakeJobPlan *plan, GError **error)
{
  g_autoptr (GPtrArray) old = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  GPtrArray *entries = rake_draft_get_entries (plan->draft);
  guint n_divisions = 0;

  for (guint i = 0; i < plan->gestures->len; i++)
    n_divisions += g_array_index (plan->gestures, guint, i);
  for (guint i = entries->len - n_divisions; i < entries->len; i++)
    g_ptr_array_add (old, rake_entry_ref (entries->pdata[i]));
  rake_draft_free (plan->draft);
  plan->draft = rake_draft_new ();

  for (guint i = 0; i < plan->faces->len; i++)
    {
      const FacePlan *face = plan->faces->pdata[i];

      if (!rake_draft_append (plan->draft, new_face_entry (face), error))
        return FALSE;
      if (plan->stages != NULL &&
          !rake_draft_append (plan->draft,
                              new_schedule_entry (plan, face, plan->stage_ids->pdata[i]), error))
        return FALSE;
    }
  replay_divisions (plan, old, 0);
  return TRUE;
}

/* --- schedule --------------------------------------------------------------------------------- */

/* The id a stage had before, when it is the same step again. */
static RakeId
keep_id (const GArray *before, const GArray *ids, const RakeStageSpec *stage, guint index)
{
  if (before != NULL && index < before->len)
    {
      const RakeStageSpec *old = &g_array_index (before, RakeStageSpec, index);

      if (old->action == stage->action && g_strcmp0 (old->grade, stage->grade) == 0)
        return g_array_index (ids, RakeId, index);
    }
  return rake_id_new (g_get_real_time () / 1000);
}

static void
give_stage_ids (RakeJobPlan *plan, const GArray *before)
{
  for (guint f = 0; f < plan->faces->len; f++)
    {
      const GArray *old = f < plan->stage_ids->len ? plan->stage_ids->pdata[f] : NULL;
      GArray *ids = g_array_new (FALSE, FALSE, sizeof (RakeId));

      for (guint i = 0; plan->stages != NULL && i < plan->stages->len; i++)
        {
          RakeId id = keep_id (old != NULL ? before : NULL, old,
                               &g_array_index (plan->stages, RakeStageSpec, i), i);
          g_array_append_val (ids, id);
        }
      if (f < plan->stage_ids->len)
        {
          g_array_unref (plan->stage_ids->pdata[f]);
          plan->stage_ids->pdata[f] = ids;
        }
      else
        g_ptr_array_add (plan->stage_ids, ids);
    }
}

gboolean
rake_job_plan_set_schedule (RakeJobPlan *plan, const char *text, GError **error)
{
  GArray *stages = rake_schedule_parse (text, error);
  g_autoptr (GArray) before = NULL;

  if (stages == NULL)
    return FALSE;
  before = g_steal_pointer (&plan->stages);
  plan->stages = stages;
  give_stage_ids (plan, before);
  return rebuild (plan, error);
}

/* --- faces ------------------------------------------------------------------------------------- */

guint
rake_job_plan_get_n_faces (const RakeJobPlan *plan)
{
  return plan->faces->len;
}

const RakeFace *
rake_job_plan_get_face (const RakeJobPlan *plan, guint index)
{
  const FacePlan *face = plan->faces->pdata[index];

  return rake_job_find_face (rake_draft_get_job (plan->draft), face->id);
}

static gboolean
check_name (const char *name, GError **error)
{
  if (*name != '\0')
    return TRUE;
  g_set_error (error, RAKE_ENTRY_ERROR, RAKE_ENTRY_ERROR_FIELD,
               _ ("A face needs a name, as “Front” or “Sides”"));
  return FALSE;
}

gboolean
rake_job_plan_add_face (RakeJobPlan *plan, const char *name, RakeShape *outline, GError **error)
{
  FacePlan *face;

  if (!check_name (name, error))
    return FALSE;
  face = g_new0 (FacePlan, 1);
  face->id = rake_id_new (g_get_real_time () / 1000);
  face->name = g_strdup (name);
  face->outline = rake_shape_ref (outline);
  g_ptr_array_add (plan->faces, face);
  give_stage_ids (plan, plan->stages);
  return rebuild (plan, error);
}

gboolean
rake_job_plan_set_face (RakeJobPlan *plan, guint index, const char *name, RakeShape *outline,
                        GError **error)
{
  FacePlan *face = plan->faces->pdata[index];

  if (!check_name (name, error))
    return FALSE;
  g_free (face->name);
  face->name = g_strdup (name);
  if (!rake_shape_equal (outline, face->outline))
    {
      rake_shape_unref (face->outline);
      face->outline = rake_shape_ref (outline);
      /* Another outline is another face: the zones drawn on the old one do not fit it. */
      face->id = rake_id_new (g_get_real_time () / 1000);
    }
  return rebuild (plan, error);
}

void
rake_job_plan_remove_face (RakeJobPlan *plan, guint index)
{
  g_ptr_array_remove_index (plan->faces, index);
  g_ptr_array_remove_index (plan->stage_ids, index);
  rebuild (plan, NULL);
}

/* --- zones -------------------------------------------------------------------------------------- */

gboolean
rake_job_plan_divide (RakeJobPlan *plan, RakeEntry *const *entries, guint n_entries, GError **error)
{
  for (guint i = 0; i < n_entries; i++)
    if (!rake_draft_append (plan->draft, rake_entry_ref (entries[i]), error))
      {
        rake_draft_take_back (plan->draft, i);
        return FALSE;
      }
  g_array_append_val (plan->gestures, n_entries);
  return TRUE;
}

void
rake_job_plan_undo_division (RakeJobPlan *plan)
{
  if (plan->gestures->len == 0)
    return;
  rake_draft_take_back (plan->draft,
                        g_array_index (plan->gestures, guint, plan->gestures->len - 1));
  g_array_set_size (plan->gestures, plan->gestures->len - 1);
}

const RakeJob *
rake_job_plan_get_job (const RakeJobPlan *plan)
{
  return rake_draft_get_job (plan->draft);
}

/* --- the first gesture --------------------------------------------------------------------------- */

static char *
dup_said (const char *text)
{
  return text != NULL && *text != '\0' ? g_strdup (text) : NULL;
}

static RakeEntry *
new_job_entry (const RakeJobPlanFacts *facts)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_JOB);

  entry->job.name = dup_said (facts->name);
  entry->job.piece = dup_said (facts->piece);
  entry->job.shop = dup_said (facts->shop);
  entry->job.finish = facts->finish;
  entry->job.sheen = facts->sheen;
  return entry;
}

GPtrArray *
rake_job_plan_get_entries (const RakeJobPlan *plan, const RakeJobPlanFacts *facts)
{
  GPtrArray *all = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  GPtrArray *drafted = rake_draft_get_entries (plan->draft);

  g_ptr_array_add (all, new_job_entry (facts));
  for (guint i = 0; i < drafted->len; i++)
    g_ptr_array_add (all, rake_entry_ref (drafted->pdata[i]));
  for (guint f = 0; f < plan->faces->len; f++)
    for (guint i = facts->n_coats; i > 0; i--)
      {
        RakeEntry *coat = rake_entry_new (RAKE_ENTRY_COAT);

        coat->coat.face = ((const FacePlan *) plan->faces->pdata[f])->id;
        coat->coat.wet_um = facts->wet_um;
        coat->coat.dry_um = facts->dry_um;
        coat->coat.volume_solids_fraction = facts->volume_solids_fraction;
        /* Only the last coat's day is asked; the ones before it are put one minute apart. */
        coat->happened_ms = facts->last_coat_ms - (gint64) (i - 1) * 60000;
        g_ptr_array_add (all, coat);
      }
  return all;
}
