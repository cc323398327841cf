/* bench-start.c - from exec to the first frame, and the memory a second later.
 *
 *   bench-start EMPTY-WINDOW RAKELIGHT MAKE-DEMO
 *
 * rakelight on the shelf, on the demonstration's first job, and on a job of 500 zones and 20 000
 * entries; floor: a program that shows an empty window, started the same way, turn by turn. Time of the wall, and
 * what the program itself worked till then. */
#include "bench.h"

#include <gio/gio.h>
#include <glib/gstdio.h>
#include <rakelight/job-file.h>
#include <stdio.h>

#define N_ENTRIES 20000
#define N_STARTS 9

typedef struct
{
  double frame_ms, processor_ms, rss_mib, pss_mib;
} Start;

static Start
start (const char *program, const char *job)
{
  const char *const argv[] = { program, job, NULL };
  g_autofree char *started = g_strdup_printf ("%.3f", bench_now_ms ());
  g_autoptr (GSubprocessLauncher) launcher =
      g_subprocess_launcher_new (G_SUBPROCESS_FLAGS_STDOUT_PIPE);
  g_autoptr (GSubprocess) child = NULL;
  g_autofree char *said = NULL;
  g_autoptr (GError) error = NULL;
  guint rss_kib, pss_kib;
  Start told;

  g_subprocess_launcher_setenv (launcher, "RAKE_BENCH_STARTED", started, TRUE);
  child = g_subprocess_launcher_spawnv (launcher, argv, &error);
  bench_must (child != NULL, error);
  bench_must (g_subprocess_communicate_utf8 (child, NULL, NULL, &said, NULL, &error), error);
  bench_must (said != NULL && sscanf (said, "%lf %lf %u %u", &told.frame_ms, &told.processor_ms,
                                      &rss_kib, &pss_kib) == 4,
              NULL);
  told.rss_mib = rss_kib / 1024.0;
  told.pss_mib = pss_kib / 1024.0;
  return told;
}

static void
tell_memory (const char *what, const GArray *rss, const GArray *pss)
{
  g_print ("start: %s: RSS %.1f MiB (%.1f), PSS %.1f MiB (%.1f)\n", what, bench_get_least (rss),
           bench_get_middle (rss), bench_get_least (pss), bench_get_middle (pss));
}

static void
bench (const char *what, const char *empty, const char *rakelight, const char *job)
{
  g_autofree char *of_wall = g_strdup_printf ("start: %s, first frame", what);
  g_autofree char *of_processor = g_strdup_printf ("start: %s, processor till then", what);
  BenchTimes *frame = bench_times_new (of_wall), *processor = bench_times_new (of_processor);
  g_autoptr (GArray) rss = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) pss = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < N_STARTS; i++)
    {
      Start ours = start (rakelight, job), floor = start (empty, NULL);
      bench_times_add (frame, ours.frame_ms, floor.frame_ms);
      bench_times_add (processor, ours.processor_ms, floor.processor_ms);
      g_array_append_val (rss, ours.rss_mib);
      g_array_append_val (pss, ours.pss_mib);
    }
  bench_times_tell (frame);
  bench_times_tell (processor);
  tell_memory (what, rss, pss);
}

static void
bench_empty_memory (const char *empty)
{
  g_autoptr (GArray) rss = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) pss = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < N_STARTS; i++)
    {
      Start told = start (empty, NULL);
      g_array_append_val (rss, told.rss_mib);
      g_array_append_val (pss, told.pss_mib);
    }
  tell_memory ("an empty window", rss, pss);
}

/* --- the jobs -------------------------------------------------------------------------------- */

static char *
make_large (const char *folder)
{
  char *path = g_build_filename (folder, "bench.rakejob", NULL);
  g_autoptr (BenchLogbook) logbook = bench_logbook_new (25, 20);
  g_autoptr (GPtrArray) entries = bench_logbook_take_entries (logbook, N_ENTRIES);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_create (path, &error);
  g_autoptr (RakeJob) job = rake_job_new ();

  bench_must (file != NULL, error);
  bench_must (rake_job_file_append (file, job, (RakeEntry *const *) entries->pdata, entries->len,
                                    "Ilse Brandt", &error),
              error);
  return path;
}

/* What make-demo prints: the path of the job to open first. */
static char *
make_demo (const char *make, const char *folder)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GSubprocess) child =
      g_subprocess_new (G_SUBPROCESS_FLAGS_STDOUT_PIPE, &error, make, folder, NULL);
  g_auto (GStrv) lines = NULL;
  g_autofree char *said = NULL;

  bench_must (child != NULL, error);
  bench_must (g_subprocess_communicate_utf8 (child, NULL, NULL, &said, NULL, &error), error);
  lines = g_strsplit (said, "\n", 2);
  bench_must (lines[0] != NULL && g_file_test (lines[0], G_FILE_TEST_EXISTS), NULL);
  return g_strdup (lines[0]);
}

static void
remove_folder (const char *folder)
{
  g_autoptr (GDir) files = g_dir_open (folder, 0, NULL);
  const char *name;

  while (files != NULL && (name = g_dir_read_name (files)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      g_unlink (path);
    }
  g_rmdir (folder);
}

int
main (int argc, char **argv)
{
  g_autofree char *large_folder = g_dir_make_tmp ("rakelight-bench-XXXXXX", NULL);
  g_autofree char *demo_folder = g_dir_make_tmp ("rakelight-bench-XXXXXX", NULL);
  g_autofree char *large = NULL, *demo = NULL;

  if (argc != 4)
    {
      g_printerr ("usage: bench-start EMPTY-WINDOW RAKELIGHT MAKE-DEMO\n");
      return 2;
    }
  large = make_large (large_folder);
  demo = make_demo (argv[3], demo_folder);
  bench_empty_memory (argv[1]);
  bench ("the shelf", argv[1], argv[2], NULL);
  bench ("the demo job", argv[1], argv[2], demo);
  bench ("500 zones, 20000 entries", argv[1], argv[2], large);
  remove_folder (large_folder);
  remove_folder (demo_folder);
  return 0;
}
