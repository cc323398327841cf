/* bench-report.c - a report with sixty photographs, beside writing their bytes to the same disk.
 *
 * The floor is to write so many bytes as the report is written: to a new file beside, synced, renamed over
 * the older one. It is told by the wall, which waits for the disk, and by the processor, which others do
 * not disturb. Memory is told beside it: what the process grew by at its largest, against one photograph. */
#include "bench.h"

#include <rakelight/report.h>

#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/resource.h>
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
write_bytes (const char *path, const guint8 *picture)
{
  g_autofree char *beside = g_strconcat (path, ".floor", NULL);
  int fd = g_open (beside, O_WRONLY | O_CREAT | O_EXCL, 0666);

  bench_must (fd >= 0, NULL);
  for (guint i = 0; i < N_PHOTOS; i++)
    bench_must (write (fd, picture, N_BYTES) == N_BYTES, NULL);
  bench_must (fsync (fd) == 0 && close (fd) == 0 && g_rename (beside, path) == 0, NULL);
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

static double
get_peak_mb (void)
{
  struct rusage usage;

  getrusage (RUSAGE_SELF, &usage);
  return (double) usage.ru_maxrss / 1024;
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

int
main (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("bench-report-XXXXXX", &error);
  g_autofree char *path = folder != NULL ? g_build_filename (folder, "report.pdf", NULL) : NULL;
  g_autofree guint8 *picture = new_picture ();
  g_autoptr (RakeJob) job = new_job ();
  const RakeReportPhotos photos = { get_n, get, load_jpeg, picture };
  BenchTimes *wall = bench_times_new ("report: 60 photographs of 3.3 MB, by the wall");
  BenchTimes *processor = bench_times_new ("report: the same, by the processor");
  BenchTimes *without = bench_times_new ("report: without photographs, by the processor");
  double plain_mb;

  bench_must (folder != NULL, error);
  for (guint i = 0; i < N_RUNS; i++)
    {
      Took began = take_times ();

      write_report (path, job, NULL);
      bench_times_add (without, since (began).processor_ms, 0);
    }
  plain_mb = get_peak_mb ();
  for (guint i = 0; i < N_RUNS; i++)
    {
      Took began = take_times (), ours, floor;

      write_report (path, job, &photos);
      ours = since (began);
      began = take_times ();
      write_bytes (path, picture);
      floor = since (began);
      bench_times_add (wall, ours.wall_ms, floor.wall_ms);
      bench_times_add (processor, ours.processor_ms, floor.processor_ms);
    }
  bench_times_tell (without);
  bench_times_tell (wall);
  bench_times_tell (processor);
  g_print (
      "report: memory at its largest %.0f MB, with photographs %.0f MB, one photograph %.1f MB\n",
      plain_mb, get_peak_mb (), N_BYTES / 1048576.0);
  g_unlink (path);
  g_rmdir (folder);
  return 0;
}
