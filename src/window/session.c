/* session.c - one job open at the bench: what is shown, selected and judged.
 *
 * Judging is in session-judging.c; what is written, in session-gestures.c (passes, looks, marks) and
 * session-decisions.c. */
#include "session-private.h"
#include "settings.h"

#include <glib/gstdio.h>
#include <math.h>
#include "words.h"

/* Seconds between two looks for what another program wrote: a file monitor hears most of it at once,
 * but not on every kind of file system. */
#define POLL_S 1
#define MINUTE_S 60

enum
{
  CHANGED,
  SELECTED,
  BENCH,
  MESSAGE,
  N_SIGNALS,
};

static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (RakeSession, rake_session, G_TYPE_OBJECT)

/* --- the clock ------------------------------------------------------------------------------- */

static RakeClock session_clock;

gint64
rake_session_now_ms (void)
{
  return session_clock ? session_clock () : g_get_real_time () / 1000;
}

void
rake_session_set_clock (RakeClock clock)
{
  session_clock = clock;
  rake_job_file_set_clock (clock);
}

/* The time the shown job is judged at: now, or when its last entry was written. */
gint64
rake_session_get_judging_ms (RakeSession *self)
{
  guint n_entries;

  if (!self->past)
    return rake_session_now_ms ();
  n_entries = rake_job_get_n_entries (self->past);
  return n_entries > 0 ? rake_job_get_entry (self->past, n_entries - 1)->written_ms
                       : rake_session_now_ms ();
}

/* --- selection ------------------------------------------------------------------------------- */

static int
find_selected (RakeSession *self, RakeId zone)
{
  for (guint i = 0; i < self->zones->len; i++)
    if (rake_id_equal (g_array_index (self->zones, RakeId, i), zone))
      return (int) i;
  return -1;
}

const RakeFace *
rake_session_get_face (RakeSession *self)
{
  const RakeJob *job = rake_session_get_job (self);
  const RakeFace *face = rake_job_find_face (job, self->face);

  if (!face && rake_job_get_n_faces (job) > 0)
    face = rake_job_get_face (job, 0);
  return face;
}

void
rake_session_select_face (RakeSession *self, RakeId face)
{
  if (rake_id_equal (self->face, face))
    return;
  self->face = face;
  self->is_to_suggest = FALSE;
  g_array_set_size (self->zones, 0);
  g_signal_emit (self, signals[SELECTED], 0);
}

const RakeZone *
rake_session_get_zone (RakeSession *self)
{
  if (self->zones->len == 0)
    return NULL;
  return rake_job_find_zone (rake_session_get_job (self),
                             g_array_index (self->zones, RakeId, self->zones->len - 1));
}

GPtrArray *
rake_session_get_zones (RakeSession *self)
{
  GPtrArray *zones = g_ptr_array_new ();

  for (guint i = 0; i < self->zones->len; i++)
    {
      const RakeZone *zone =
          rake_job_find_zone (rake_session_get_job (self), g_array_index (self->zones, RakeId, i));
      if (zone)
        g_ptr_array_add (zones, (gpointer) zone);
    }
  return zones;
}

gboolean
rake_session_is_selected (RakeSession *self, RakeId zone)
{
  return find_selected (self, zone) >= 0;
}

void
rake_session_select_zone (RakeSession *self, RakeId zone, gboolean add)
{
  const RakeZone *found = rake_job_find_zone (rake_session_get_job (self), zone);
  int at = find_selected (self, zone);

  self->is_to_suggest = FALSE;
  if (found && rake_session_get_face (self) != found->face)
    {
      self->face = found->face->id;
      add = FALSE;
    }
  if (!add)
    g_array_set_size (self->zones, 0);
  else if (at >= 0)
    g_array_remove_index (self->zones, (guint) at);
  if (found && !(add && at >= 0))
    g_array_append_val (self->zones, zone);
  g_signal_emit (self, signals[SELECTED], 0);
}

void
rake_session_select_all_unsettled (RakeSession *self)
{
  const RakeFace *face = rake_session_get_face (self);

  if (!face)
    return;
  self->is_to_suggest = FALSE;
  g_array_set_size (self->zones, 0);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      const RakeJudgement *judgement = rake_session_get_judgement (self, zone);
      if (judgement->verdict != RAKE_VERDICT_NONE && !rake_judgement_is_settled (judgement))
        g_array_append_val (self->zones, zone->id);
    }
  g_signal_emit (self, signals[SELECTED], 0);
}

void
rake_session_select_suggested (RakeSession *self)
{
  const RakeFace *face = rake_session_get_face (self);
  const RakeGate *gate = face ? rake_session_get_gate (self, face) : NULL;

  if (gate && gate->suggested)
    rake_session_select_zone (self, gate->suggested->id, FALSE);
  else if (gate && gate->sentence)
    rake_session_say (self, "%s", gate->sentence);
}

/* Zones are divided and joined while they are selected. */
static gboolean
drop_gone_zones (RakeSession *self)
{
  const RakeJob *job = rake_session_get_job (self);
  guint before = self->zones->len;

  for (guint i = self->zones->len; i-- > 0;)
    if (!rake_job_find_zone (job, g_array_index (self->zones, RakeId, i)))
      g_array_remove_index (self->zones, i);
  return self->zones->len != before;
}

/* --- telling --------------------------------------------------------------------------------- */

void
rake_session_say (RakeSession *self, const char *format, ...)
{
  g_autofree char *sentence = NULL;
  va_list arguments;

  va_start (arguments, format);
  sentence = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_signal_emit (self, signals[MESSAGE], 0, sentence);
}

void
rake_session_emit_changed (RakeSession *self)
{
  g_signal_emit (self, signals[CHANGED], 0);
}

void
rake_session_emit_selected (RakeSession *self)
{
  g_signal_emit (self, signals[SELECTED], 0);
}

static void
show_change (RakeSession *self)
{
  gboolean is_selection_changed = drop_gone_zones (self);

  rake_session_take_rules (self);
  rake_session_doubt_judgements (self);
  g_signal_emit (self, signals[CHANGED], 0);
  if (is_selection_changed)
    g_signal_emit (self, signals[SELECTED], 0);
}

void
rake_session_announce (RakeSession *self)
{
  guint64 revision = rake_job_get_revision (self->job);

  if (revision == self->revision)
    return;
  self->revision = revision;
  show_change (self);
}

/* --- other programs -------------------------------------------------------------------------- */

void
rake_session_catch_up (RakeSession *self)
{
  g_autoptr (GError) error = NULL;

  if (!rake_job_file_catch_up (self->file, self->job, &error))
    {
      /* Someone else is writing: the next second will do. */
      if (!self->told_unreadable &&
          !g_error_matches (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_BUSY))
        {
          self->told_unreadable = TRUE;
          rake_session_say (self, _ ("The job file cannot be read any more: %s"), error->message);
        }
    }
  else
    self->told_unreadable = FALSE;
  rake_session_announce (self);
}

static gboolean
look_for_news (gpointer user_data)
{
  RakeSession *self = user_data;

  if (rake_job_file_has_news (self->file))
    rake_session_catch_up (self);
  return G_SOURCE_CONTINUE;
}

static void
file_changed (RakeSession *self)
{
  look_for_news (self);
}

/* Films cure and surfaces cool without anybody writing it down. */
static gboolean
minute_passed (gpointer user_data)
{
  rake_session_judge_again (user_data);
  return G_SOURCE_CONTINUE;
}

static void
watch (RakeSession *self)
{
  static const char *const endings[] = { "", "-wal" };

  for (guint i = 0; i < G_N_ELEMENTS (endings); i++)
    {
      g_autofree char *path = g_strconcat (rake_job_file_get_path (self->file), endings[i], NULL);
      g_autoptr (GFile) file = g_file_new_for_path (path);
      self->monitors[i] = g_file_monitor_file (file, G_FILE_MONITOR_NONE, NULL, NULL);
      if (self->monitors[i])
        g_signal_connect_swapped (self->monitors[i], "changed", G_CALLBACK (file_changed), self);
    }
  self->poll = g_timeout_add_seconds (POLL_S, look_for_news, self);
  self->minute = g_timeout_add_seconds (MINUTE_S, minute_passed, self);
}

/* --- opening --------------------------------------------------------------------------------- */

/* The face that was worked on last is the one on the bench. */
static void
choose_face (RakeSession *self)
{
  gint64 latest_ms = G_MININT64;

  for (guint i = 0; i < rake_job_get_n_faces (self->job); i++)
    {
      const RakeFace *face = rake_job_get_face (self->job, i);
      for (guint j = 0; j < face->zones->len; j++)
        {
          const RakeZone *zone = face->zones->pdata[j];
          const RakeEntry *last =
              zone->history->len > 0 ? zone->history->pdata[zone->history->len - 1] : NULL;
          if (!last || last->written_ms <= latest_ms)
            continue;
          latest_ms = last->written_ms;
          self->face = face->id;
        }
    }
  if (rake_id_is_nil (self->face) && rake_job_get_n_faces (self->job) > 0)
    self->face = rake_job_get_face (self->job, 0)->id;
}

gboolean
rake_session_take_suggestion (RakeSession *self)
{
  const RakeFace *face = rake_session_get_face (self);
  const RakeGate *gate = face ? rake_session_find_gate (self, face) : NULL;

  if (!self->is_to_suggest || !gate)
    return FALSE;
  self->is_to_suggest = FALSE;
  if (gate->suggested)
    g_array_append_val (self->zones, gate->suggested->id);
  return gate->suggested != NULL;
}

static RakeSession *
new_session (RakeJobFile *file, RakeJob *job, RakeRules *rules)
{
  RakeSession *self = g_object_new (RAKE_TYPE_SESSION, NULL);

  self->file = file;
  self->job = job;
  self->ours = rake_rules_ref (rules);
  self->revision = rake_job_get_revision (job);
  rake_settings_get_bench (&self->bench);
  rake_session_take_rules (self);
  choose_face (self);
  self->is_to_suggest = TRUE;
  rake_session_take_suggestion (self);
  watch (self);
  return self;
}

RakeSession *
rake_session_open (const char *path, RakeRules *rules, GError **error)
{
  g_autoptr (GError) first_error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_WRITE, &first_error);
  RakeJob *job;

  if (!file && (g_error_matches (first_error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY) ||
                g_error_matches (first_error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NEWER)))
    file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, NULL);
  if (!file)
    {
      g_propagate_error (error, g_steal_pointer (&first_error));
      return NULL;
    }
  job = rake_job_file_load (file, error);
  return job ? new_session (g_steal_pointer (&file), job, rules) : NULL;
}

static RakeEntry *
new_rules_entry (RakeRules *rules)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_RULES);

  entry->rules.name = g_strdup ("Rakelight 1");
  entry->rules.text = rake_rules_to_text (rules);
  return entry;
}

static gboolean
write_first_gesture (RakeJobFile *file, RakeJob *job, RakeRules *rules, RakeEntry *const *entries,
                     guint n_entries, GError **error)
{
  g_autoptr (GPtrArray) all = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  g_autofree char *who = rake_settings_get_text ("finisher", "name");
  gboolean has_rules = FALSE;

  for (guint i = 0; i < n_entries; i++)
    {
      g_ptr_array_add (all, rake_entry_ref (entries[i]));
      has_rules |= entries[i]->kind == RAKE_ENTRY_RULES;
    }
  if (!has_rules)
    g_ptr_array_add (all, new_rules_entry (rules));
  return rake_job_file_append (file, job, (RakeEntry *const *) all->pdata, all->len, who, error);
}

RakeSession *
rake_session_create (const char *path, RakeRules *rules, RakeEntry *const *entries, guint n_entries,
                     GError **error)
{
  g_autoptr (RakeJobFile) file = rake_job_file_create (path, error);
  g_autoptr (RakeJob) job = NULL;

  if (!file)
    return NULL;
  job = rake_job_new ();
  if (!write_first_gesture (file, job, rules, entries, n_entries, error))
    {
      /* An empty file of that name would stand in the way of the next try; it is ours. */
      g_autofree char *ours = g_strdup (rake_job_file_get_path (file));
      g_clear_pointer (&file, rake_job_file_close);
      g_unlink (ours);
      return NULL;
    }
  return new_session (g_steal_pointer (&file), g_steal_pointer (&job), rules);
}

/* --- what is shown --------------------------------------------------------------------------- */

const char *
rake_session_get_path (RakeSession *self)
{
  return rake_job_file_get_path (self->file);
}

RakeJobFile *
rake_session_get_file (RakeSession *self)
{
  return self->file;
}

gboolean
rake_session_is_newer (RakeSession *self)
{
  return rake_job_file_is_newer (self->file);
}

gboolean
rake_session_is_read_only (RakeSession *self)
{
  return rake_job_file_is_read_only (self->file);
}

const RakeJob *
rake_session_get_job (RakeSession *self)
{
  return self->past ? self->past : self->job;
}

const RakeJob *
rake_session_get_live_job (RakeSession *self)
{
  return self->job;
}

RakeRules *
rake_session_get_rules (RakeSession *self)
{
  return self->rules;
}

guint
rake_session_get_shown_entries (RakeSession *self)
{
  return self->past ? self->n_shown : rake_job_get_n_entries (self->job);
}

void
rake_session_show_entries (RakeSession *self, guint n_entries)
{
  gboolean is_now = n_entries >= rake_job_get_n_entries (self->job);

  if (is_now ? !self->past : self->past && n_entries == self->n_shown)
    return;
  /* The kept judgements point into the job that goes. */
  rake_session_drop_judgements (self);
  g_clear_pointer (&self->past, rake_job_free);
  if (!is_now)
    {
      self->past = rake_job_new_until (self->job, n_entries);
      self->n_shown = n_entries;
    }
  show_change (self);
}

gboolean
rake_session_is_in_the_past (RakeSession *self)
{
  return self->past != NULL;
}

const RakeBench *
rake_session_get_bench (RakeSession *self)
{
  return &self->bench;
}

void
rake_session_emit_bench (RakeSession *self)
{
  g_signal_emit (self, signals[BENCH], 0);
}

void
rake_session_set_bench (RakeSession *self, const RakeBench *bench)
{
  g_return_if_fail (isfinite (bench->lamp_deg) && isfinite (bench->stroke_deg));
  g_return_if_fail (isfinite (bench->brush_radius_mm) && bench->brush_radius_mm > 0);

  self->bench = *bench;
  self->bench.lamp_deg = fmod (fmod (bench->lamp_deg, 360) + 360, 360);
  self->bench.stroke_deg = fmod (fmod (bench->stroke_deg, 360) + 360, 360);
  rake_settings_set_bench (&self->bench);
  g_signal_emit (self, signals[BENCH], 0);
}

/* --- class ----------------------------------------------------------------------------------- */

static void
rake_session_dispose (GObject *object)
{
  RakeSession *self = RAKE_SESSION (object);

  /* Its worker has a handle on the file, which should be the last to go here. */
  g_object_set_data (object, RAKE_SESSION_PHOTO_DESK, NULL);
  g_clear_handle_id (&self->poll, g_source_remove);
  g_clear_handle_id (&self->minute, g_source_remove);
  g_clear_handle_id (&self->judging, g_source_remove);
  for (guint i = 0; i < G_N_ELEMENTS (self->monitors); i++)
    if (self->monitors[i])
      {
        g_file_monitor_cancel (self->monitors[i]);
        g_signal_handlers_disconnect_by_data (self->monitors[i], self);
        g_clear_object (&self->monitors[i]);
      }
  G_OBJECT_CLASS (rake_session_parent_class)->dispose (object);
}

static void
rake_session_finalize (GObject *object)
{
  RakeSession *self = RAKE_SESSION (object);

  g_array_unref (self->to_judge);
  g_hash_table_unref (self->gates);
  g_hash_table_unref (self->judgements);
  g_array_unref (self->zones);
  g_clear_pointer (&self->wheels, g_hash_table_unref);
  g_clear_pointer (&self->past, rake_job_free);
  g_clear_pointer (&self->job, rake_job_free);
  g_clear_pointer (&self->rules, rake_rules_unref);
  g_clear_pointer (&self->ours, rake_rules_unref);
  rake_job_file_close (self->file);
  G_OBJECT_CLASS (rake_session_parent_class)->finalize (object);
}

static void
rake_session_class_init (RakeSessionClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GType type = G_TYPE_FROM_CLASS (klass);

  object_class->dispose = rake_session_dispose;
  object_class->finalize = rake_session_finalize;
  signals[CHANGED] =
      g_signal_new ("changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SELECTED] =
      g_signal_new ("selected", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[BENCH] =
      g_signal_new ("bench", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[MESSAGE] = g_signal_new ("message", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void
rake_session_init (RakeSession *self)
{
  self->zones = g_array_new (FALSE, FALSE, sizeof (RakeId));
  rake_session_make_tables (self);
}
