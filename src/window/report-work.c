/* report-work.c - see report-work.h. */
#include "report-work.h"
#include "shop-rules.h"

#include <rakelight/photo.h>

#include "words.h"

#define WORKING_COPY_BYTES 300000.0 /* what a working copy comes to, roughly */

typedef struct
{
  char *path, *pdf_path;
  RakeReportChoice choice;
  gint64 now_ms;
  RakeReportWorkProgress progress;
  gpointer progress_data;
  gint permille; /* atomic: how far the worker is */
  guint told;
} Work;

static void
free_work (gpointer data)
{
  Work *work = data;

  g_clear_handle_id (&work->told, g_source_remove);
  g_free (work->path);
  g_free (work->pdf_path);
  g_free (work);
}

/* --- in the worker ------------------------------------------------------------------------------ */

static void
note_progress (double fraction, gpointer user_data)
{
  g_atomic_int_set (&((Work *) user_data)->permille, (int) (fraction * 1000));
}

static gboolean
write_or_draw (Work *work, const RakeJob *job, const RakeReportOptions *options,
               RakeReportPages **pages, GCancellable *cancellable, GError **error)
{
  if (work->pdf_path)
    return rake_report_write (work->pdf_path, job, options, note_progress, work, cancellable,
                              error);
  *pages = rake_report_pages_new (job, options, note_progress, work, cancellable, error);
  return *pages != NULL;
}

static gboolean
make (Work *work, RakeReportPages **pages, GCancellable *cancellable, GError **error)
{
  g_autoptr (RakeJobFile) file = rake_job_file_open (work->path, RAKE_JOB_FILE_READ_ONLY, error);
  g_autoptr (RakeJob) job = file ? rake_job_file_load (file, error) : NULL;
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (RakeReportPhotos) photos = NULL;
  g_autoptr (GDateTime) local = g_date_time_new_from_unix_local (work->now_ms / 1000);
  g_autofree char *seal = NULL, *name = NULL, *contact = NULL;
  RakeReportOptions options = { .edition = work->choice.edition,
                                .sheet = work->choice.sheet,
                                .units = work->choice.units,
                                .now_ms = work->now_ms };

  if (!job)
    return FALSE;
  seal = rake_job_file_get_seal (file, error);
  if (!seal || !rake_job_file_get_client (file, &name, &contact, error))
    return FALSE;
  /* A slip of the pen in the shop's rules was told when the job was opened; the built-in ones hold. */
  options.rules = rules = rake_shop_rules_load (NULL);
  options.seal = seal;
  options.client_name = name;
  options.client_contact = contact;
  options.utc_offset_minutes =
      local ? (int) (g_date_time_get_utc_offset (local) / G_TIME_SPAN_MINUTE) : 0;
  /* Translators: the code of the language this is translated into, as "de". */
  options.language = C_ ("language code", "en");
  if (work->choice.with_photos)
    options.photos = photos = rake_report_photos_new (
        file, job, work->pdf_path ? work->choice.photo_size : RAKE_REPORT_PHOTOS_SMALL);
  return write_or_draw (work, job, &options, pages, cancellable, error);
}

static void
run (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  g_autoptr (RakeReportPages) pages = NULL;
  GError *error = NULL;

  if (make (data, &pages, cancellable, &error))
    g_task_return_pointer (task, g_steal_pointer (&pages), (GDestroyNotify) rake_report_pages_free);
  else
    g_task_return_error (task, error);
}

/* --- in the main thread ------------------------------------------------------------------------- */

static gboolean
tell_progress (gpointer data)
{
  Work *work = data;

  work->progress (g_atomic_int_get (&work->permille) / 1000.0, work->progress_data);
  return G_SOURCE_CONTINUE;
}

void
rake_report_work_run (const char *path, const RakeReportChoice *choice, const char *pdf_path,
                      gint64 now_ms, RakeReportWorkProgress progress, gpointer progress_data,
                      GCancellable *cancellable, GAsyncReadyCallback callback, gpointer user_data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, callback, user_data);
  Work *work = g_new0 (Work, 1);

  *work = (Work){ g_strdup (path), g_strdup (pdf_path), *choice,       now_ms,
                  progress,        progress_data,       0,             0 };
  if (progress)
    work->told = g_timeout_add (100, tell_progress, work);
  g_task_set_task_data (task, work, free_work);
  g_task_run_in_thread (task, run);
}

gboolean
rake_report_work_finish (GAsyncResult *result, RakeReportPages **pages, GError **error)
{
  Work *work = g_task_get_task_data (G_TASK (result));
  GError *why = NULL;
  RakeReportPages *made;

  g_clear_handle_id (&work->told, g_source_remove);
  made = g_task_propagate_pointer (G_TASK (result), &why);
  if (why)
    {
      g_propagate_error (error, why);
      return FALSE;
    }
  *pages = made;
  return TRUE;
}

double
rake_report_work_guess_bytes (const RakeJob *job, RakeReportPhotoSize size)
{
  double bytes = 0;

  for (guint i = 0; i < rake_job_get_n_photos (job); i++)
    {
      const RakePhoto *photo = rake_job_get_photo (job, i);
      double original = photo->withdrawal ? 0 : photo->entry->photo.n_bytes;

      bytes += size == RAKE_REPORT_PHOTOS_ORIGINAL ? original : MIN (original, WORKING_COPY_BYTES);
    }
  return bytes;
}
