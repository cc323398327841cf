/* photo-desk.c - photographs on their way into the job. The way out is photo-reader.c. */
#include "photo-desk.h"
#include "photo-reader.h"
#include "session-private.h"

#include <rakelight/photo-intake.h>

#include "words.h"

#define TELLING_MS 100

/* A picture on its way. */
typedef struct
{
  GFile *file;   /* or */
  GBytes *bytes; /* what was dropped or pasted */
  char *name;
  gint64 file_ms;
  RakePhotoPlace *place; /* NULL: to be guessed */
  gint permille; /* atomic: how far the worker is */
} Coming;

struct _RakePhotoDesk
{
  GObject parent_instance;

  RakeSession *session; /* the owner */
  RakePhotoReader *reader;

  GQueue waiting;       /* Coming; not the one in work */
  Coming *in_work;      /* its task's */
  GCancellable *cancellable;
  guint n_given, n_done, n_added; /* since none were waiting */
  guint telling;
  int told_permille;
  GApplication *application; /* held while there is something to do */
};

enum
{
  PROGRESS,
  ADDED,
  N_SIGNALS,
};

static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (RakePhotoDesk, rake_photo_desk, G_TYPE_OBJECT)

static void begin_next (RakePhotoDesk *self);

static void
free_coming (gpointer data)
{
  Coming *coming = data;

  g_clear_object (&coming->file);
  g_clear_pointer (&coming->bytes, g_bytes_unref);
  g_clear_pointer (&coming->place, rake_photo_place_free);
  g_free (coming->name);
  g_free (coming);
}

/* --- progress -------------------------------------------------------------------------------------- */

guint
rake_photo_desk_get_n_waiting (RakePhotoDesk *self)
{
  return self->waiting.length + (self->in_work != NULL);
}

double
rake_photo_desk_get_progress (RakePhotoDesk *self)
{
  double of_one = self->in_work ? g_atomic_int_get (&self->in_work->permille) / 1000.0 : 0;

  return self->n_given > 0 ? (self->n_done + of_one) / self->n_given : 1;
}

static gboolean
tell_progress (gpointer user_data)
{
  RakePhotoDesk *self = user_data;
  int permille = (int) (1000 * rake_photo_desk_get_progress (self));

  if (permille != self->told_permille)
    g_signal_emit (self, signals[PROGRESS], 0);
  self->told_permille = permille;
  return G_SOURCE_CONTINUE;
}

/* In the worker. */
static void
on_progress (double fraction, gpointer user_data)
{
  g_atomic_int_set (&((Coming *) user_data)->permille, (int) (1000 * fraction));
}

/* --- the batch ------------------------------------------------------------------------------------- */

/* Whoever leaves the bench or closes the window has added all the same. */
static void
begin_batch (RakePhotoDesk *self)
{
  self->n_given = self->n_done = self->n_added = 0;
  g_object_ref (self->session);
  g_set_object (&self->application, g_application_get_default ());
  if (self->application)
    g_application_hold (self->application);
  self->telling = g_timeout_add (TELLING_MS, tell_progress, self);
}

static void
end_batch (RakePhotoDesk *self)
{
  g_autoptr (RakeSession) session = self->session; /* the batch's reference */
  g_autoptr (GApplication) application = g_steal_pointer (&self->application);

  g_clear_handle_id (&self->telling, g_source_remove);
  if (self->n_added > 0)
    rake_session_say (session,
                      ngettext ("%u photograph added", "%u photographs added", self->n_added),
                      self->n_added);
  g_signal_emit (self, signals[PROGRESS], 0);
  if (application)
    g_application_release (application);
}

/* --- into the job ---------------------------------------------------------------------------------- */

/* The copies of the intake are lent: they are freed with it. */
static RakePhotoBytes
lend_bytes (const RakePhotoIntake *intake)
{
  RakePhotoBytes bytes = {
    .original = intake->original,
    .working = { intake->working, intake->working_width_px, intake->working_height_px },
    .thumbnail = { intake->thumbnail, intake->thumbnail_width_px, intake->thumbnail_height_px },
  };

  g_strlcpy (bytes.sha256, intake->sha256, sizeof bytes.sha256);
  return bytes;
}

static void
enter (RakePhotoDesk *self, const Coming *coming, const RakePhotoIntake *intake)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  guint same = rake_job_find_same_photo (job, intake->sha256);
  g_autoptr (GTimeZone) zone = g_time_zone_new_local ();
  g_autoptr (RakeEntry) entry = NULL;
  RakePhotoBytes bytes = lend_bytes (intake);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  if (same > 0)
    {
      rake_session_say (
          self->session,
          _ ("“%s” is in this job already, as photograph %u, where its place can be changed"),
          intake->name ? intake->name : _ ("The picture"), same);
      return;
    }
  entry = rake_entry_new (RAKE_ENTRY_PHOTO);
  entry->written_ms = entry->happened_ms = rake_session_now_ms (); /* by the session's clock */
  rake_photo_intake_fill_entry (intake, zone, entry);
  rake_photo_place_fill_entry (coming->place, job, entry);
  if (!rake_session_append_photos (self->session, &entry, 1, &bytes, 1))
    return;
  self->n_added++;
  rake_id_to_text (entry->id, id);
  g_signal_emit (self, signals[ADDED], 0, id);
}

static void
came (GObject *source, GAsyncResult *result, gpointer user_data)
{
  RakePhotoDesk *self = RAKE_PHOTO_DESK (source);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePhotoIntake) intake = g_task_propagate_pointer (G_TASK (result), &error);
  Coming *coming = g_task_get_task_data (G_TASK (result));

  if (intake)
    enter (self, coming, intake);
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    rake_session_say (self->session, _ ("Not added. %s"), error->message);
  self->in_work = NULL;
  self->n_done++;
  begin_next (self);
}

/* --- the worker ------------------------------------------------------------------------------------ */

/* A file that has no path, on a phone or another machine: no more of it than it said that it has. */
static GBytes *
read_from_afar (GFile *file, const char *name, GCancellable *cancellable, GError **error)
{
  g_autoptr (GFileInfo) info = g_file_query_info (file, G_FILE_ATTRIBUTE_STANDARD_SIZE,
                                                  G_FILE_QUERY_INFO_NONE, cancellable, error);
  g_autoptr (GFileInputStream) stream = info ? g_file_read (file, cancellable, error) : NULL;
  goffset size = info ? g_file_info_get_size (info) : 0;
  g_autofree char *bytes = NULL;
  gsize n_read;

  if (!stream)
    return NULL;
  if (size > RAKE_PHOTO_MAX_BYTES)
    {
      g_set_error (error, RAKE_PHOTO_INTAKE_ERROR, RAKE_PHOTO_INTAKE_ERROR_TOO_LARGE,
                   _ ("The file has %.0f MB; a photograph of up to %d MB is kept"),
                   (double) size / 1e6, RAKE_PHOTO_MAX_BYTES / 1000000);
      return NULL;
    }
  bytes = g_malloc ((gsize) size + 1);
  if (!g_input_stream_read_all (G_INPUT_STREAM (stream), bytes, (gsize) size + 1, &n_read,
                                cancellable, error))
    return NULL;
  if (n_read == (gsize) size)
    return g_bytes_new_take (g_steal_pointer (&bytes), n_read);
  g_set_error (error, RAKE_PHOTO_INTAKE_ERROR, RAKE_PHOTO_INTAKE_ERROR_FILE,
               _ ("“%s” changed while it was read; try again when it is whole"), name);
  return NULL;
}

static RakePhotoIntake *
take_in (Coming *coming, GCancellable *cancellable, GError **error)
{
  g_autofree char *path = coming->file ? g_file_get_path (coming->file) : NULL;

  if (path)
    return rake_photo_intake_new (path, RAKE_PHOTO_WORKING_PX, RAKE_PHOTO_THUMBNAIL_PX, on_progress,
                                  coming, cancellable, error);
  if (!coming->bytes)
    coming->bytes = read_from_afar (coming->file, coming->name, cancellable, error);
  if (!coming->bytes)
    return NULL;
  return rake_photo_intake_new_from_bytes (coming->bytes, coming->name, coming->file_ms,
                                           RAKE_PHOTO_WORKING_PX, RAKE_PHOTO_THUMBNAIL_PX,
                                           on_progress, coming, cancellable, error);
}

static void
work (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  GError *error = NULL;
  RakePhotoIntake *intake = take_in (data, cancellable, &error);

  if (intake)
    g_task_return_pointer (task, intake, (GDestroyNotify) rake_photo_intake_free);
  else
    g_task_return_error (task, error);
}

static void
begin_next (RakePhotoDesk *self)
{
  Coming *coming = g_queue_pop_head (&self->waiting);
  g_autoptr (GTask) task = NULL;

  if (!coming)
    {
      end_batch (self);
      return;
    }
  g_set_object (&self->cancellable, NULL);
  self->cancellable = g_cancellable_new ();
  task = g_task_new (self, self->cancellable, came, NULL);
  self->in_work = coming;
  g_task_set_task_data (task, coming, free_coming);
  g_task_run_in_thread (task, work);
  tell_progress (self);
}

static gboolean
add (RakePhotoDesk *self, Coming *coming, const RakePhotoPlace *place)
{
  if (!rake_session_check_writable (self->session))
    {
      free_coming (coming);
      return FALSE;
    }
  coming->place = rake_photo_place_copy (place);
  g_queue_push_tail (&self->waiting, coming);
  if (!self->in_work)
    begin_batch (self);
  self->n_given++;
  if (!self->in_work)
    begin_next (self);
  return TRUE;
}

gboolean
rake_photo_desk_add_file (RakePhotoDesk *self, GFile *file, const RakePhotoPlace *place)
{
  Coming *coming = g_new0 (Coming, 1);

  coming->file = g_object_ref (file);
  coming->name = g_file_get_basename (file);
  return add (self, coming, place);
}

gboolean
rake_photo_desk_add_bytes (RakePhotoDesk *self, GBytes *bytes, const char *name, gint64 file_ms,
                           const RakePhotoPlace *place)
{
  Coming *coming = g_new0 (Coming, 1);

  coming->bytes = g_bytes_ref (bytes);
  coming->name = g_strdup (name);
  coming->file_ms = file_ms;
  return add (self, coming, place);
}

void
rake_photo_desk_cancel (RakePhotoDesk *self)
{
  g_queue_clear_full (&self->waiting, free_coming);
  if (self->in_work)
    {
      self->n_given = self->n_done + 1;
      g_cancellable_cancel (self->cancellable);
    }
  tell_progress (self);
}

/* --- out -------------------------------------------------------------------------------------------- */

/* What was withdrawn is not shown in an earlier state of the job either. */
static const RakePhoto *
find_live (RakePhotoDesk *self, const RakePhoto *photo)
{
  const RakePhoto *live =
      rake_job_find_photo (rake_session_get_live_job (self->session), photo->id);

  return live ? live : photo;
}

void
rake_photo_desk_load (RakePhotoDesk *self, const RakePhoto *photo, RakePhotoCopyKind kind,
                      GCancellable *cancellable, RakePhotoTextureReady ready, gpointer user_data)
{
  rake_photo_reader_load (self->reader, find_live (self, photo), kind, cancellable, ready,
                          user_data);
}

GdkTexture *
rake_photo_desk_peek (RakePhotoDesk *self, const RakePhoto *photo, RakePhotoCopyKind kind)
{
  return rake_photo_reader_peek (self->reader, find_live (self, photo), kind);
}

void
rake_photo_desk_read_original (RakePhotoDesk *self, const RakePhoto *photo,
                               GCancellable *cancellable, RakePhotoOriginalReady ready,
                               gpointer user_data)
{
  rake_photo_reader_read_original (self->reader, find_live (self, photo), cancellable, ready,
                                   user_data);
}

/* --- class ----------------------------------------------------------------------------------------- */

RakePhotoDesk *
rake_photo_desk_get (RakeSession *session)
{
  RakePhotoDesk *self = g_object_get_data (G_OBJECT (session), RAKE_SESSION_PHOTO_DESK);

  if (self)
    return self;
  self = g_object_new (RAKE_TYPE_PHOTO_DESK, NULL);
  self->session = session;
  self->reader =
      rake_photo_reader_new (rake_session_get_path (session), !rake_session_is_read_only (session));
  g_object_set_data_full (G_OBJECT (session), RAKE_SESSION_PHOTO_DESK, self, g_object_unref);
  return self;
}

/* With the session: there is nothing in work then, because a batch keeps it. */
static void
rake_photo_desk_finalize (GObject *object)
{
  RakePhotoDesk *self = RAKE_PHOTO_DESK (object);

  g_clear_object (&self->cancellable);
  g_clear_pointer (&self->reader, rake_photo_reader_free);
  G_OBJECT_CLASS (rake_photo_desk_parent_class)->finalize (object);
}

static void
rake_photo_desk_class_init (RakePhotoDeskClass *klass)
{
  GType type = G_TYPE_FROM_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = rake_photo_desk_finalize;
  signals[PROGRESS] =
      g_signal_new ("progress", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[ADDED] = g_signal_new ("added", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                                 1, G_TYPE_STRING);
}

static void
rake_photo_desk_init (RakePhotoDesk *self)
{
  g_queue_init (&self->waiting);
}
