/* replan.c - a face's schedule made anew from where the face stands. */
#include <rakelight/grade.h>
#include <rakelight/schedule.h>

#include <math.h>
#include <string.h>

static gboolean
is_sanding (RakeAction action)
{
  return action == RAKE_ACTION_LEVEL || action == RAKE_ACTION_REFINE;
}

static gboolean
has_pass_at (const RakeZone *zone, const RakeStage *stage)
{
  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_COAT)
        return FALSE;
      if (entry->kind == RAKE_ENTRY_PASS && rake_id_equal (entry->pass.stage, stage->id))
        return TRUE;
    }
  return FALSE;
}

/* Behind the face, or begun on some zone of it. */
static gboolean
was_worked (const RakeFace *face, const RakeStage *stage)
{
  if (face->stage != NULL && stage->position < face->stage->position)
    return TRUE;
  for (guint i = 0; i < face->zones->len; i++)
    if (has_pass_at (face->zones->pdata[i], stage))
      return TRUE;
  return FALSE;
}

static gboolean
is_planned (const GArray *stages, RakeId id)
{
  for (guint i = 0; i < stages->len; i++)
    if (rake_id_equal (g_array_index (stages, RakeStageSpec, i).id, id))
      return TRUE;
  return FALSE;
}

/* The face's own stage of that action and grade, if it has one that is not planned yet. */
static const RakeStage *
find_stage (const RakeFace *face, const GArray *planned, RakeAction action, const char *grade)
{
  for (guint i = 0; i < face->stages->len; i++)
    {
      const RakeStage *stage = face->stages->pdata[i];
      gboolean is_alike =
          is_sanding (action) ? is_sanding (stage->action) : stage->action == action;

      if (is_alike && g_ascii_strcasecmp (stage->grade, grade != NULL ? grade : "") == 0 &&
          !is_planned (planned, stage->id))
        return stage;
    }
  return NULL;
}

static double
find_d50_um (const RakeStage *before, const char *grade)
{
  RakeGrade known;

  if (before != NULL)
    return before->d50_um;
  return grade != NULL && rake_grade_parse (grade, &known, NULL) ? known.d50_um : NAN;
}

static void
plan (GArray *stages, const RakeFace *face, RakeAction action, const char *grade)
{
  const RakeStage *before = find_stage (face, stages, action, grade);
  RakeStageSpec spec = { .id = before != NULL ? before->id : rake_id_new (g_get_real_time () / 1000),
                         .action = action,
                         .grade = grade != NULL && *grade != '\0' ? g_strdup (grade) : NULL,
                         .d50_um = find_d50_um (before, grade) };

  g_array_append_val (stages, spec);
}

static void
keep_worked (GArray *stages, const RakeFace *face)
{
  for (guint i = 0; i < face->stages->len; i++)
    {
      const RakeStage *stage = face->stages->pdata[i];

      if (is_sanding (stage->action) && was_worked (face, stage))
        plan (stages, face, stage->action, stage->grade);
    }
}

static gboolean
has_grade (const GArray *stages, const char *grade)
{
  for (guint i = 0; i < stages->len; i++)
    if (g_strcmp0 (g_array_index (stages, RakeStageSpec, i).grade, grade) == 0)
      return TRUE;
  return FALSE;
}

static void
plan_buffing (GArray *stages, const RakeFace *face)
{
  guint n_before = stages->len;

  for (guint i = 0; i < face->stages->len; i++)
    {
      const RakeStage *stage = face->stages->pdata[i];

      if (stage->action == RAKE_ACTION_BUFF)
        plan (stages, face, RAKE_ACTION_BUFF, stage->grade);
    }
  if (stages->len > n_before)
    return;
  plan (stages, face, RAKE_ACTION_BUFF, "medium cut");
  plan (stages, face, RAKE_ACTION_BUFF, "fine");
}

RakeEntry *
rake_schedule_new_from_grades (const RakeFace *face, const char *const *grades, RakeBuffing buffing)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_SCHEDULE);
  GArray *stages = entry->schedule.stages;

  entry->schedule.face = face->id;
  keep_worked (stages, face);
  for (; *grades != NULL; grades++)
    if (!has_grade (stages, *grades))
      plan (stages, face, stages->len == 0 ? RAKE_ACTION_LEVEL : RAKE_ACTION_REFINE, *grades);
  plan (stages, face, RAKE_ACTION_LAST_LOOK, NULL);
  if (buffing != RAKE_BUFFING_NONE)
    plan_buffing (stages, face);
  plan (stages, face, RAKE_ACTION_REST, NULL);
  return entry;
}
