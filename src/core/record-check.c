/* record-check.c - what stands in the way of a hand-over. */
#include <rakelight/record.h>

#include <math.h>

#include "i18n.h"

static void
free_obstacle (gpointer obstacle)
{
  g_free (((RakeObstacle *) obstacle)->sentence);
  g_free (obstacle);
}

static void
add (GPtrArray *obstacles, RakeObstacleKind kind, RakeId about, char *sentence)
{
  RakeObstacle *obstacle = g_new0 (RakeObstacle, 1);

  obstacle->kind = kind;
  obstacle->about = about;
  obstacle->sentence = sentence;
  g_ptr_array_add (obstacles, obstacle);
}

static const char *
name_stage (const RakeStage *stage)
{
  return *stage->grade != '\0' ? stage->grade : _ (rake_action_get_label (stage->action));
}

static const RakeReason *
find_strongest (const RakeJudgement *judgement)
{
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];

      if (!reason->is_accepted && reason->verdict == judgement->verdict)
        return reason;
    }
  return NULL;
}

static void
add_zone (GPtrArray *obstacles, const RakeZone *zone, const RakeJudgement *judgement)
{
  const RakeReason *reason = find_strongest (judgement);

  add (obstacles, RAKE_OBSTACLE_ZONE, zone->id,
       /* Translators: a face, a zone, a verdict, and the rule's own sentence */
       g_strdup_printf (_ ("%s, %s: %s. %s"), zone->face->name, zone->name,
                        _ (rake_verdict_get_label (judgement->verdict)),
                        reason != NULL ? reason->sentence : ""));
}

/* Where a rest is planned it has a verdict of its own; a piece is rested all the same where it is not. */
static void
add_rest (GPtrArray *obstacles, const RakeZone *zone, const RakeFacts *facts)
{
  double days = facts->value[RAKE_FACT_REST_DAYS_LEFT];

  if (zone->stage->action == RAKE_ACTION_REST ||
      facts->knowledge[RAKE_FACT_REST_DAYS_LEFT] != RAKE_KNOWN || days <= 0)
    return;
  add (obstacles, RAKE_OBSTACLE_REST, zone->id,
       g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%s, %s: it rests %.0f day more.",
                                     "%s, %s: it rests %.0f days more.", (gulong) ceil (days)),
                        zone->face->name, zone->name, ceil (days)));
}

static void
add_stages_to_come (GPtrArray *obstacles, const RakeFace *face)
{
  const RakeStage *last = face->stages->pdata[face->stages->len - 1];

  if (face->stage == last)
    return;
  add (obstacles, RAKE_OBSTACLE_STAGES, face->id,
       /* Translators: a face, the stage where it stands, the last stage */
       g_strdup_printf (_ ("%s is at %s; it has still to go to %s."), face->name,
                        name_stage (face->stage), name_stage (last)));
}

static void
add_face (GPtrArray *obstacles, const RakeJob *job, const RakeRules *rules, const RakeFace *face,
          gint64 now_ms)
{
  if (face->stages->len == 0)
    return; /* nothing was to be done on it */
  add_stages_to_come (obstacles, face);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      g_autoptr (RakeJudgement) judgement = rake_rules_judge (rules, job, zone, now_ms);

      if (judgement->verdict == RAKE_VERDICT_NONE)
        continue;
      if (!rake_judgement_is_settled (judgement))
        add_zone (obstacles, zone, judgement);
      else
        add_rest (obstacles, zone, &judgement->facts);
    }
}

static void
add_defects (GPtrArray *obstacles, const RakeJob *job)
{
  g_autoptr (GPtrArray) defects = rake_job_list_defects (job);

  for (guint i = 0; i < defects->len; i++)
    {
      const RakeDefect *defect = defects->pdata[i];

      if (defect->told->defect.standing != RAKE_STANDING_OPEN)
        continue;
      add (obstacles, RAKE_OBSTACLE_DEFECT, defect->id,
           /* Translators: a defect, then its zone */
           g_strdup_printf (
               _ ("The defect “%s” on %s is open: tell how it was repaired, or why it is "
                  "accepted."),
               defect->what, defect->zone != NULL ? defect->zone->name : _ ("a zone")));
    }
}

GPtrArray *
rake_job_list_obstacles (const RakeJob *job, const RakeRules *rules, gint64 now_ms)
{
  GPtrArray *obstacles = g_ptr_array_new_with_free_func (free_obstacle);
  guint n_faces = rake_job_get_n_faces (job);

  if (n_faces == 0)
    add (obstacles, RAKE_OBSTACLE_NO_FACE, RAKE_ID_NIL,
         g_strdup (_ ("The job has no face: nothing is on record.")));
  for (guint i = 0; i < n_faces; i++)
    add_face (obstacles, job, rules, rake_job_get_face (job, i), now_ms);
  add_defects (obstacles, job);
  return obstacles;
}
