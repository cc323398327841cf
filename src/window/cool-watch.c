/* cool-watch.c - when a buffed face will have cooled. */
#include "cool-watch.h"

#include <math.h>

#include "words.h"

#define MS_PER_MINUTE 60000.0
#define LONGEST_WAIT_S (24 * 3600)

struct _RakeCoolWatch
{
  RakeSession *session;
  GApplication *application;
  GHashTable *told; /* face id as text → the end that was told, gint64 * */
  guint waiting;
};

/* --- by the log ------------------------------------------------------------------------------------ */

static double
get_cool_minutes (RakeSession *session)
{
  const RakeJobFacts *facts = rake_job_find_facts (rake_session_get_live_job (session));

  return facts && isfinite (facts->cool_minutes)
             ? facts->cool_minutes
             : rake_rules_get_limits (rake_session_get_rules (session))->cool_minutes;
}

static gint64
find_last_buff_ms (const RakeJob *job, const RakeZone *zone)
{
  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      const RakeStage *stage;

      if (entry->kind == RAKE_ENTRY_COAT)
        return 0;
      stage = entry->kind == RAKE_ENTRY_PASS ? rake_job_find_stage (job, entry->pass.stage) : NULL;
      if (stage && stage->action == RAKE_ACTION_BUFF)
        return entry->happened_ms;
    }
  return 0;
}

gint64
rake_cool_get_end_ms (RakeSession *session, const RakeFace *face, gint64 *buffed_ms)
{
  const RakeJob *job = rake_session_get_live_job (session);
  double minutes = get_cool_minutes (session);
  gint64 last_ms = 0;

  for (guint i = 0; i < face->zones->len; i++)
    last_ms = MAX (last_ms, find_last_buff_ms (job, face->zones->pdata[i]));
  if (buffed_ms)
    *buffed_ms = last_ms;
  return last_ms > 0 && isfinite (minutes) ? last_ms + (gint64) (minutes * MS_PER_MINUTE) : 0;
}

/* --- telling --------------------------------------------------------------------------------------- */

static gboolean
was_told (RakeCoolWatch *self, const char *face, gint64 end_ms)
{
  const gint64 *told = g_hash_table_lookup (self->told, face);

  return told && *told == end_ms;
}

static void
note_told (RakeCoolWatch *self, const char *face, gint64 end_ms)
{
  g_hash_table_insert (self->told, g_strdup (face), g_memdup2 (&end_ms, sizeof end_ms));
}

static void
tell (RakeCoolWatch *self, const RakeFace *face, const char *id)
{
  /* Translators: %s is a face of the piece. */
  g_autofree char *sentence = g_strdup_printf (
      _ ("%s has cooled: wipe it clear and look before the next compound."), face->name);
  g_autoptr (GNotification) notification = g_notification_new (_ ("Cool enough"));

  g_signal_emit_by_name (self->session, "message", sentence);
  if (!self->application)
    return;
  g_notification_set_body (notification, sentence);
  g_application_send_notification (self->application, id, notification);
}

static void wait_for_next (RakeCoolWatch *self);

/* What ended while nobody watched is old news: only an end that came while waiting is told. */
static gboolean
on_end (gpointer user_data)
{
  RakeCoolWatch *self = user_data;
  const RakeJob *job = rake_session_get_live_job (self->session);
  gint64 now_ms = rake_session_now_ms ();

  self->waiting = 0;
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      gint64 end_ms = rake_cool_get_end_ms (self->session, face, NULL);
      char id[RAKE_ID_TEXT_LENGTH + 1];

      rake_id_to_text (face->id, id);
      if (end_ms == 0 || end_ms > now_ms || was_told (self, id, end_ms))
        continue;
      note_told (self, id, end_ms);
      tell (self, face, id);
    }
  wait_for_next (self);
  return G_SOURCE_REMOVE;
}

static void
wait_for_next (RakeCoolWatch *self)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  gint64 now_ms = rake_session_now_ms (), next_ms = 0;

  g_clear_handle_id (&self->waiting, g_source_remove);
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      gint64 end_ms = rake_cool_get_end_ms (self->session, rake_job_get_face (job, i), NULL);

      if (end_ms > now_ms && (next_ms == 0 || end_ms < next_ms))
        next_ms = end_ms;
    }
  if (next_ms > 0)
    self->waiting = g_timeout_add_seconds (
        (guint) CLAMP ((next_ms - now_ms) / 1000 + 1, 1, LONGEST_WAIT_S), on_end, self);
}

/* Ends that lie behind us when the job is opened are not told again. */
static void
note_past (RakeCoolWatch *self)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  gint64 now_ms = rake_session_now_ms ();

  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      gint64 end_ms = rake_cool_get_end_ms (self->session, face, NULL);
      char id[RAKE_ID_TEXT_LENGTH + 1];

      rake_id_to_text (face->id, id);
      if (end_ms > 0 && end_ms <= now_ms)
        note_told (self, id, end_ms);
    }
}

RakeCoolWatch *
rake_cool_watch_new (RakeSession *session, GApplication *application)
{
  RakeCoolWatch *self = g_new0 (RakeCoolWatch, 1);

  self->session = g_object_ref (session);
  self->application = application;
  self->told = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  note_past (self);
  g_signal_connect_swapped (session, "changed", G_CALLBACK (wait_for_next), self);
  wait_for_next (self);
  return self;
}

void
rake_cool_watch_free (RakeCoolWatch *self)
{
  if (!self)
    return;
  g_signal_handlers_disconnect_by_data (self->session, self);
  g_clear_handle_id (&self->waiting, g_source_remove);
  g_hash_table_unref (self->told);
  g_object_unref (self->session);
  g_free (self);
}
