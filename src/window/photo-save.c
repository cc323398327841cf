/* photo-save.c - a photograph out of the job into a file. */
#include "photo-save.h"
#include "photo-desk.h"
#include "session-private.h"

#include <rakelight/photo-heif.h>
#include <rakelight/photo-intake.h>
#include <string.h>

#include "words.h"

typedef struct
{
  RakeSession *session;
  RakeId photo;
  GtkFileChooserNative *chooser;
  GFile *file;
  GBytes *original;
  gboolean wants_all;
} Saving;

static void
free_saving (Saving *saving)
{
  g_clear_object (&saving->chooser);
  g_clear_object (&saving->file);
  g_clear_pointer (&saving->original, g_bytes_unref);
  g_object_unref (saving->session);
  g_free (saving);
}

/* Of what is written. Without what the camera wrote, a HEIC becomes a JPEG. */
static const char *
get_ending (const RakePhoto *photo)
{
  return photo->entry->photo.media_type == RAKE_MEDIA_PNG ? ".png" : ".jpg";
}

/* A HEIC with all that is in it is not called a JPEG. */
static void
correct_ending (Saving *saving)
{
  g_autofree char *path = g_file_get_path (saving->file);
  g_autofree char *better = NULL;
  gsize length;
  gconstpointer bytes = g_bytes_get_data (saving->original, &length);

  if (!path || !saving->wants_all || !g_str_has_suffix (path, ".jpg") ||
      !rake_photo_is_heif (bytes, length))
    return;
  better = g_strdup_printf ("%.*s.heic", (int) strlen (path) - 4, path);
  g_object_unref (saving->file);
  saving->file = g_file_new_for_path (better);
}

static void
on_written (GObject *source, GAsyncResult *result, gpointer user_data)
{
  Saving *saving = user_data;
  g_autoptr (GError) error = NULL;
  g_autofree char *name = g_file_get_basename (saving->file);

  if (g_task_propagate_boolean (G_TASK (result), &error))
    rake_session_say (saving->session, _ ("Saved as “%s”"), name);
  else
    rake_session_say (saving->session, _ ("Not saved. %s"), error->message);
  free_saving (saving);
}

/* In a worker. A file that is half written is taken back by GIO: it writes beside it first. */
static void
write_file (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Saving *saving = data;
  GError *error = NULL;
  g_autoptr (GBytes) bytes = saving->wants_all
                                 ? g_bytes_ref (saving->original)
                                 : rake_photo_without_private (saving->original, &error);

  if (bytes && g_file_replace_contents (
                   saving->file, g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes), NULL,
                   FALSE, G_FILE_CREATE_REPLACE_DESTINATION, NULL, cancellable, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

static void
on_original (GBytes *original, gboolean has_location, const GError *error, gpointer user_data)
{
  Saving *saving = user_data;
  g_autoptr (GTask) task = NULL;

  if (!original)
    {
      rake_session_say (saving->session, _ ("Not saved. %s"), error->message);
      free_saving (saving);
      return;
    }
  saving->original = g_bytes_ref (original);
  correct_ending (saving);
  task = g_task_new (NULL, NULL, on_written, saving);
  g_task_set_task_data (task, saving, NULL);
  g_task_run_in_thread (task, write_file);
}

static void
on_place_chosen (GtkNativeDialog *dialog, int response, Saving *saving)
{
  GtkFileChooser *chooser = GTK_FILE_CHOOSER (dialog);
  const RakePhoto *photo =
      rake_job_find_photo (rake_session_get_job (saving->session), saving->photo);

  if (response != GTK_RESPONSE_ACCEPT || !photo)
    {
      free_saving (saving);
      return;
    }
  saving->file = gtk_file_chooser_get_file (chooser);
  saving->wants_all = g_strcmp0 (gtk_file_chooser_get_choice (chooser, "all"), "true") == 0;
  rake_photo_desk_read_original (rake_photo_desk_get (saving->session), photo, NULL, on_original,
                                 saving);
}

void
rake_photo_save (GtkWindow *parent, RakeSession *session, RakeId id, gboolean may_have_all)
{
  const RakeJob *job = rake_session_get_job (session);
  const RakePhoto *photo = rake_job_find_photo (job, id);
  g_autofree char *name = photo ? rake_photo_make_file_name (job, photo, get_ending (photo)) : NULL;
  Saving *saving;

  if (!photo)
    return;
  saving = g_new0 (Saving, 1);
  saving->session = g_object_ref (session);
  saving->photo = photo->id;
  saving->chooser =
      gtk_file_chooser_native_new (_ ("Save the photograph"), parent, GTK_FILE_CHOOSER_ACTION_SAVE,
                                   C_ ("photograph", "_Save"), NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (saving->chooser), TRUE);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (saving->chooser), name);
  if (may_have_all)
    gtk_file_chooser_add_choice (GTK_FILE_CHOOSER (saving->chooser), "all",
                                 _ ("With the place where it was taken"), NULL, NULL);
  g_signal_connect (saving->chooser, "response", G_CALLBACK (on_place_chosen), saving);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (saving->chooser));
}
