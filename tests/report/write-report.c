/* write-report.c - a report with photographs from files, for the tests.
 *
 *   write-report JOB OUT.pdf CANCEL-AT [WIDTHxHEIGHT:TURNS:FILE.jpg | withdrawn]…
 *
 * Prints each step of the progress; once it is at CANCEL-AT or above, cancels. The exit code is 0 when the
 * report was written, 3 when it was cancelled, 5 when it failed. */
#include <rakelight/job-file.h>
#include <rakelight/report.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FIRST_PHOTO 4

typedef struct
{
  int argc;
  char **argv;
  double cancel_at;
  GCancellable *cancellable;
} Wanted;

static guint
get_n (gpointer user_data)
{
  return (guint) ((Wanted *) user_data)->argc - FIRST_PHOTO;
}

static void
get (guint index, RakeReportPhoto *photo, gpointer user_data)
{
  const char *text = ((Wanted *) user_data)->argv[FIRST_PHOTO + index];

  photo->id = rake_id_new_for_name (RAKE_ID_NIL, text);
  photo->taken_ms = G_GINT64_CONSTANT (1770000000000) + index * 60000;
  photo->lamp_deg = 270;
  photo->caption = "a caption";
  photo->width_px = 4;
  photo->height_px = 3;
  if (g_str_equal (text, "withdrawn"))
    photo->is_withdrawn = TRUE;
  else
    sscanf (text, "%dx%d:%d:", &photo->width_px, &photo->height_px, &photo->quarter_turns);
}

static GBytes *
load_jpeg (guint index, gpointer user_data, GError **error)
{
  const char *path = strrchr (((Wanted *) user_data)->argv[FIRST_PHOTO + index], ':') + 1;
  char *bytes;
  gsize n_bytes;

  return g_file_get_contents (path, &bytes, &n_bytes, error) ? g_bytes_new_take (bytes, n_bytes)
                                                             : NULL;
}

static void
progress (double fraction, gpointer user_data)
{
  Wanted *wanted = user_data;

  printf ("%.4f\n", fraction);
  if (fraction >= wanted->cancel_at)
    g_cancellable_cancel (wanted->cancellable);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  Wanted wanted = { argc, argv, argc > 3 ? g_ascii_strtod (argv[3], NULL) : 2, cancellable };
  const RakeReportPhotos photos = { get_n, get, load_jpeg, &wanted };
  g_autoptr (RakeRules) rules =
      rake_rules_new ("rakelight", rake_rules_get_builtin_text (), NULL, NULL);
  const RakeReportOptions options = { .edition = RAKE_EDITION_SHOP,
                                      .rules = rules,
                                      .now_ms = G_GINT64_CONSTANT (1770000000000),
                                      .language = "en",
                                      .photos = &photos };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;

  if (argc < FIRST_PHOTO)
    return 2;
  file = rake_job_file_open (argv[1], RAKE_JOB_FILE_READ_ONLY, &error);
  job = file != NULL ? rake_job_file_load (file, &error) : NULL;
  if (job != NULL &&
      rake_report_write (argv[2], job, &options, progress, &wanted, cancellable, &error))
    return 0;
  fprintf (stderr, "%s\n", error->message);
  return g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED) ? 3 : 5;
}
