/* dialog-watch.c - a question that closes itself when what it asks about is gone. */
#include "dialog-watch.h"

typedef struct
{
  GtkWindow *dialog;
  RakeId about;
} Watch;

static gboolean
is_there (const RakeJob *job, RakeId id)
{
  return rake_id_is_nil (id) || rake_job_find_zone (job, id) || rake_job_find_stage (job, id) ||
         rake_job_find_face (job, id) || rake_job_find_mark (job, id) ||
         (rake_job_find_entry (job, id) && !rake_job_is_struck (job, id));
}

static void
on_changed (RakeSession *session, Watch *watch)
{
  if (!is_there (rake_session_get_job (session), watch->about))
    gtk_window_destroy (watch->dialog);
}

static void
free_watch (gpointer watch, GClosure *closure)
{
  g_free (watch);
}

void
rake_dialog_watch (GtkWindow *dialog, RakeSession *session, RakeId about)
{
  Watch *watch = g_new0 (Watch, 1);
  GClosure *closure = g_cclosure_new (G_CALLBACK (on_changed), watch, free_watch);

  watch->dialog = dialog;
  watch->about = about;
  /* Goes with the dialog, whichever of the two is freed first. */
  g_object_watch_closure (G_OBJECT (dialog), closure);
  g_signal_connect_closure (session, "changed", closure, FALSE);
}
