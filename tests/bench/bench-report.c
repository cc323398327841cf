/* bench-report.c - a report with sixty photographs, beside what is the least for it.
 *
 * There are two floors. To write the bytes of its photographs to the same disk is the least for the file;
 * to put the same lines of text and the same photographs into a PDF by cairo and Pango alone is the least
 * for the pages (bare-report.h; the text is what pdftotext finds in the report itself). Both are synced
 * and renamed like the report. The wall waits for the disk, the processor is what others do not disturb.
 *
 * Memory is the largest that a program of its own has had, one for the report and one for each floor. */
#include "bare-report.h"
#include "bench.h"

#include <rakelight/report.h>

#include <glib/gstdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#define N_PHOTOS 60
#define N_BYTES 3300000
#define N_RUNS 5
#define N_ENTRIES 600

/* The head of a JPEG of 4000 × 3000, three colours (ITU-T T.81, B.2.2 and B.2.3): all that is looked at.
 * What follows it is noise, as a picture's bytes are. */
static const guint8 head[] = {
  0xff, 0xd8, 0xff, 0xc0, 0x00, 0x11, 0x08, 0x0b, 0xb8, 0x0f, 0xa0, 0x03, 0x01, 0x11, 0x00, 0x02,
  0x11, 0x01, 0x03, 0x11, 0x01, 0xff, 0xda, 0x00, 0x0c, 0x03, 0x01, 0x00, 0x02, 0x11, 0x03, 0x11,
  0x00, 0x3f, 0x00,
};

static guint8 *
new_picture (void)
{
  guint8 *bytes = g_malloc (N_BYTES);
  guint32 state = 1;

  for (gsize i = 0; i < N_BYTES; i++)
    {
      state = state * 1664525 + 1013904223;
      bytes[i] = (guint8) (state >> 25); /* never 0xff, which would be a marker */
    }
  memcpy (bytes, head, sizeof head);
  return bytes;
}

static guint
get_n (gpointer user_data)
{
  return N_PHOTOS;
}

static void
get (guint index, RakeReportPhoto *photo, gpointer user_data)
{
  g_autofree char *name = g_strdup_printf ("photograph %u", index);

  photo->id = rake_id_new_for_name (RAKE_ID_NIL, name);
  photo->width_px = 4000;
  photo->height_px = 3000;
  photo->caption = "a photograph";
}

static GBytes *
load_jpeg (guint index, gpointer user_data, GError **error)
{
  return g_bytes_new_static (user_data, N_BYTES);
}

static void
write_report (const char *path, const RakeJob *job, const RakeReportPhotos *photos)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeRules) rules =
      rake_rules_new ("rakelight", rake_rules_get_builtin_text (), NULL, NULL);
  const RakeReportOptions options = { .rules = rules,
                                      .now_ms = G_GINT64_CONSTANT (1770000000000),
                                      .photos = photos };

  bench_must (rake_report_write (path, job, &options, NULL, NULL, NULL, &error), error);
}

typedef struct
{
  double wall_ms, processor_ms;
} Took;

static Took
take_times (void)
{
  return (Took){ bench_now_ms (), bench_now_processor_ms () };
}

static Took
since (Took began)
{
  return (Took){ bench_now_ms () - began.wall_ms, bench_now_processor_ms () - began.processor_ms };
}

static RakeJob *
new_job (void)
{
  g_autoptr (BenchLogbook) logbook = bench_logbook_new (4, 3);
  g_autoptr (GPtrArray) entries = bench_logbook_take_entries (logbook, N_ENTRIES);
  RakeJob *job = rake_job_new ();
  g_autoptr (GError) error = NULL;

  bench_must (rake_job_adopt (job, (RakeEntry *const *) entries->pdata, entries->len, NULL, &error),
              error);
  return job;
}

static char *
read_text (const char *path)
{
  g_autoptr (GError) error = NULL;
  const char *const arguments[] = { "pdftotext", "-raw", path, "-", NULL };
  char *text = NULL;

  if (!g_spawn_sync (NULL, (char **) arguments, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &text, NULL,
                     NULL, &error))
    g_print ("report: no floor of its pages: %s\n", error->message);
  return text;
}

/* --- memory ---------------------------------------------------------------------------------- */

/* What this program does when it is started with the name of one of three. */
static void
do_one (const char *what, const char *path, const char *text_path)
{
  g_autofree guint8 *picture = new_picture ();

  if (g_str_equal (what, "report"))
    {
      g_autoptr (RakeJob) job = new_job ();
      const RakeReportPhotos photos = { get_n, get, load_jpeg, picture };
      write_report (path, job, &photos);
    }
  else if (g_str_equal (what, "bytes"))
    bare_report_write_bytes (path, picture, N_BYTES, N_PHOTOS);
  else
    {
      g_autofree char *text = NULL;
      bench_must (g_file_get_contents (text_path, &text, NULL, NULL), NULL);
      bare_report_write_pdf (path, text, picture, N_BYTES, N_PHOTOS);
    }
}

/* The largest that a program doing @what has been in memory, MiB. */
static double
measure_memory (const char *what, const char *path, const char *text_path)
{
  g_autoptr (GError) error = NULL;
  const char *const arguments[] = { "/proc/self/exe", what, path, text_path, NULL };
  struct rusage usage;
  GPid child;
  int status;

  bench_must (g_spawn_async (NULL, (char **) arguments, NULL,
                             G_SPAWN_DO_NOT_REAP_CHILD | G_SPAWN_LEAVE_DESCRIPTORS_OPEN, NULL, NULL,
                             &child, &error),
              error);
  bench_must (wait4 (child, &status, 0, &usage) == child && WIFEXITED (status) &&
                  WEXITSTATUS (status) == 0,
              NULL);
  return (double) usage.ru_maxrss / 1024;
}

/* Before this program has grown: a new one inherits how large it was. */
static char *
tell_memory (const char *path, const char *text_path)
{
  double ours = measure_memory ("report", path, ""), bytes, pages;
  char *text = read_text (path);

  bytes = measure_memory ("bytes", path, "");
  g_print (
      "report: memory at its largest %.1f MiB (once), floor of its bytes %.1f MiB, ratio %.2f\n",
      ours, bytes, ours / bytes);
  if (text == NULL)
    return NULL;
  bench_must (g_file_set_contents (text_path, text, -1, NULL), NULL);
  pages = measure_memory ("pages", path, text_path);
  g_print (
      "report: memory at its largest %.1f MiB (once), floor of its pages %.1f MiB, ratio %.2f\n",
      ours, pages, ours / pages);
  return text;
}

/* --- times ----------------------------------------------------------------------------------- */

typedef struct
{
  BenchTimes *without, *wall, *processor, *wall_of_pages, *processor_of_pages;
} Times;

static Took
take_report (const char *path, const RakeJob *job, const RakeReportPhotos *photos)
{
  Took began = take_times ();

  write_report (path, job, photos);
  return since (began);
}

static void
take_round (const Times *times, const char *path, const char *text, const RakeJob *job,
            const RakeReportPhotos *photos)
{
  Took without = take_report (path, job, NULL), ours = take_report (path, job, photos);
  Took began = take_times (), bytes, pages;

  bare_report_write_bytes (path, photos->user_data, N_BYTES, N_PHOTOS);
  bytes = since (began);
  bench_times_add (times->without, without.processor_ms, 0);
  bench_times_add (times->wall, ours.wall_ms, bytes.wall_ms);
  bench_times_add (times->processor, ours.processor_ms, bytes.processor_ms);
  if (text == NULL)
    return;
  began = take_times ();
  bare_report_write_pdf (path, text, photos->user_data, N_BYTES, N_PHOTOS);
  pages = since (began);
  bench_times_add (times->wall_of_pages, ours.wall_ms, pages.wall_ms);
  bench_times_add (times->processor_of_pages, ours.processor_ms, pages.processor_ms);
}

static void
tell_times (const char *path, const char *text)
{
  g_autofree guint8 *picture = new_picture ();
  g_autoptr (RakeJob) job = new_job ();
  const RakeReportPhotos photos = { get_n, get, load_jpeg, picture };
  const Times times = {
    bench_times_new ("report: without photographs, by the processor"),
    bench_times_new ("report: 60 photographs of 3.3 MB, to its bytes, by the wall"),
    bench_times_new ("report: the same, by the processor"),
    bench_times_new ("report: 60 photographs of 3.3 MB, to its pages, by the wall"),
    bench_times_new ("report: the same, by the processor"),
  };

  for (guint i = 0; i < N_RUNS; i++)
    take_round (&times, path, text, job, &photos);
  bench_times_tell (times.without);
  bench_times_tell (times.wall);
  bench_times_tell (times.processor);
  bench_times_tell (times.wall_of_pages);
  bench_times_tell (times.processor_of_pages);
}

int
main (int n_arguments, char **arguments)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = NULL, *path = NULL, *text_path = NULL, *text = NULL;

  if (n_arguments == 4)
    {
      do_one (arguments[1], arguments[2], arguments[3]);
      return 0;
    }
  folder = g_dir_make_tmp ("bench-report-XXXXXX", &error);
  bench_must (folder != NULL, error);
  path = g_build_filename (folder, "report.pdf", NULL);
  text_path = g_build_filename (folder, "report.txt", NULL);
  text = tell_memory (path, text_path);
  tell_times (path, text);
  g_unlink (path);
  g_unlink (text_path);
  g_rmdir (folder);
  return 0;
}
