/* session-wheel.c - which wheel a pass takes: asked once a compound, then remembered. */
#include "session-private.h"

#include <rakelight/wheel.h>
#include "words.h"

static char *
new_key (const RakeStage *stage)
{
  return g_utf8_casefold (stage->grade, -1);
}

static gboolean
is_of_job (RakeSession *self, RakeId wheel)
{
  return rake_id_is_nil (wheel) ||
         rake_job_find_wheel (rake_session_get_live_job (self), wheel) != NULL;
}

gboolean
rake_session_get_wheel (RakeSession *self, const RakeStage *stage, RakeId *wheel)
{
  const RakeJob *job = rake_session_get_live_job (self);
  const RakeJobFacts *facts = rake_job_find_facts (job);
  g_autofree char *key = new_key (stage);
  const RakeId *chosen = self->wheels ? g_hash_table_lookup (self->wheels, key) : NULL;
  const RakeEntry *pass;
  g_autoptr (GArray) wheels = NULL;

  *wheel = RAKE_ID_NIL;
  if (chosen && is_of_job (self, *chosen))
    {
      *wheel = *chosen;
      return TRUE;
    }
  pass = rake_wheel_find_last_pass (job, stage->grade);
  if (pass && is_of_job (self, pass->pass.wheel))
    {
      *wheel = pass->pass.wheel;
      return TRUE;
    }
  wheels = rake_wheel_list (job);
  return wheels->len == 0 && !(facts && facts->buffing == RAKE_BUFFING_WHEEL);
}

void
rake_session_choose_wheel (RakeSession *self, const RakeStage *stage, RakeId wheel)
{
  RakeId *chosen = g_new (RakeId, 1);

  *chosen = wheel;
  if (!self->wheels)
    self->wheels = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  g_hash_table_insert (self->wheels, new_key (stage), chosen);
  rake_session_emit_bench (self);
}

char *
rake_session_refuse_wheel (RakeSession *self, const RakeStage *stage)
{
  RakeWheelStanding standing;
  RakeId wheel;

  if (!rake_session_get_wheel (self, stage, &wheel))
    return g_strdup_printf (_ ("Say first which wheel the pass with %s was made on."),
                            stage->grade);
  if (rake_id_is_nil (wheel) ||
      !rake_wheel_take (rake_session_get_live_job (self), wheel, &standing))
    return NULL;
  return rake_wheel_refuse (&standing, stage->grade);
}

const RakeStage *
rake_session_find_stage_to_ask (RakeSession *self)
{
  g_autoptr (GPtrArray) zones = rake_session_get_zones (self);

  for (guint i = 0; i < zones->len; i++)
    {
      const RakeStage *stage = ((const RakeZone *) zones->pdata[i])->stage;
      g_autofree char *refusal = stage && stage->action == RAKE_ACTION_BUFF
                                     ? rake_session_refuse_wheel (self, stage)
                                     : NULL;

      if (refusal)
        return stage;
    }
  return NULL;
}

gboolean
rake_session_note_wheel_work (RakeSession *self, RakeId wheel, RakeWheelWork work)
{
  g_autoptr (RakeEntry) entry = NULL;
  RakeWheelStanding standing;

  if (!rake_wheel_take (rake_session_get_live_job (self), wheel, &standing))
    return FALSE;
  entry = rake_wheel_new_work (&standing, wheel, work);
  return rake_session_append (self, &entry, 1);
}
