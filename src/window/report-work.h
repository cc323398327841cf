/* report-work.h - a report made behind, with the window never waiting: as pages to look at, or as a file.
 *
 * The worker opens the job's file for itself and reads a job of its own; nothing of the session is used
 * outside the main thread. The words are those of the window's language. */
#pragma once
#include <gio/gio.h>
#include <rakelight/report.h>

typedef struct
{
  RakeEdition edition;
  RakeSheet sheet;
  RakeReportPhotoSize photo_size; /* of the file; pages have the small ones */
  gboolean with_photos;
  RakeUnits units;
} RakeReportChoice;

/* Called in the main thread, from 0 to 1. */
typedef void (*RakeReportWorkProgress) (double fraction, gpointer user_data);

/* path      of the job file, copied
 * pdf_path  where the PDF goes, copied; NULL: pages are made
 * progress  may be NULL; not called after @callback */
void rake_report_work_run (const char *path, const RakeReportChoice *choice, const char *pdf_path,
                           gint64 now_ms, RakeReportWorkProgress progress, gpointer progress_data,
                           GCancellable *cancellable, GAsyncReadyCallback callback,
                           gpointer user_data);

/* TRUE with @pages set (NULL when a file was written), which the caller frees; FALSE with @error. */
gboolean rake_report_work_finish (GAsyncResult *result, RakeReportPages **pages, GError **error);

/* How large the file's photographs are together, in bytes, as far as the job says: what a report with
 * originals comes to. */
double rake_report_work_guess_bytes (const RakeJob *job, RakeReportPhotoSize size);
