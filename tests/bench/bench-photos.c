/* bench-photos.c - 200 photographs of 12 megapixels in one job, each beside its floor.
 *
 *   prepare  a picture read, decoded and made smaller, which is a worker's; floor: its bytes copied and
 *            their SHA-256
 *   append   the photograph and its entry, kept durably; floor: the same bytes written to a file and
 *            synchronised
 *   open     the job with all of them, opened and loaded; floor: the same job before the first
 *
 * At the end the most memory that was in use, and the size of the file. The pictures are generated. */
#include "bench.h"

#include "photo-shrink.h"

#include <rakelight/photo-intake.h>
#include <rakelight/photo-store.h>

#include <fcntl.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#define N_PHOTOS 200
#define N_OPENINGS 7

/* Grain as of wood and a camera's noise, so that it is about as large as a phone's. */
static GBytes *
make_picture (void)
{
  const int width = 4000, height = 3000;
  g_autofree guint8 *rgb = g_malloc (3 * (gsize) width * (gsize) height);
  g_autoptr (RakePhotoPicture) picture = NULL;
  guint32 state = 1;

  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      for (int i = 0; i < 3; i++)
        {
          state = state * 1664525u + 1013904223u;
          rgb[3 * ((gsize) y * (gsize) width + (gsize) x) + (gsize) i] =
              (guint8) (90 + 30 * sin (x * 0.01 + sin (y * 0.003) * 9) + (state >> 28));
        }
  picture = rake_photo_picture_new_from_rgb (rgb, width, height);
  return rake_photo_to_jpeg (picture, 90);
}

/* The same picture with another tail: another hash. */
static GBytes *
make_variant (GBytes *picture, guint i)
{
  gsize length;
  gconstpointer bytes = g_bytes_get_data (picture, &length);
  guint8 *variant = g_malloc (length + sizeof i);

  memcpy (variant, bytes, length);
  memcpy (variant + length, &i, sizeof i);
  return g_bytes_new_take (variant, length + sizeof i);
}

static double
time_floor_of_preparing (GBytes *bytes)
{
  double start = bench_now_ms ();
  g_autofree guint8 *copy = g_memdup2 (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
  g_autofree char *sum =
      g_compute_checksum_for_data (G_CHECKSUM_SHA256, copy, g_bytes_get_size (bytes));

  bench_sink += (guint64) sum[0];
  return bench_now_ms () - start;
}

static double
time_floor_of_appending (const char *folder, GBytes *bytes)
{
  g_autofree char *path = g_build_filename (folder, "floor", NULL);
  double start = bench_now_ms ();
  int file = g_open (path, O_WRONLY | O_CREAT | O_TRUNC, 0600);

  bench_must (file >= 0 && write (file, g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes)) ==
                               (gssize) g_bytes_get_size (bytes),
              NULL);
  fsync (file);
  close (file);
  return bench_now_ms () - start;
}

static double
time_opening (const char *path, guint n_photos)
{
  g_autoptr (GError) error = NULL;
  double start = bench_now_ms ();
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, &error);
  g_autoptr (RakeJob) job = NULL;

  bench_must (file != NULL, error);
  job = rake_job_file_load (file, &error);
  bench_must (job != NULL && rake_job_get_n_photos (job) == n_photos, error);
  return bench_now_ms () - start;
}

static void
add_one (RakeJobFile *file, RakeJob *job, RakePhotoIntake *intake)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_PHOTO);
  g_autoptr (GTimeZone) zone = g_time_zone_new_utc ();
  g_autoptr (GError) error = NULL;
  RakePhotoBytes bytes = {
    .original = intake->original,
    .working = { intake->working, intake->working_width_px, intake->working_height_px },
    .thumbnail = { intake->thumbnail, intake->thumbnail_width_px, intake->thumbnail_height_px },
  };

  g_strlcpy (bytes.sha256, intake->sha256, sizeof bytes.sha256);
  rake_photo_intake_fill_entry (intake, zone, entry);
  rake_job_file_append_photos (file, job, &entry, 1, &bytes, 1, NULL, &error);
  bench_must (error == NULL, error);
}

static void
add_all (const char *folder, const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) picture = make_picture ();
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_WRITE, &error);
  g_autoptr (RakeJob) job = NULL;
  BenchTimes *prepare = bench_times_new ("photos: one of 12 megapixels made ready, in a worker"),
             *append = bench_times_new ("photos: one kept, durably");

  bench_must (file != NULL, error);
  job = rake_job_file_load (file, &error);
  for (guint i = 0; i < N_PHOTOS; i++)
    {
      g_autoptr (GBytes) bytes = make_variant (picture, i);
      g_autoptr (RakePhotoIntake) intake = NULL;
      double start = bench_now_ms ();

      intake = rake_photo_intake_new_from_bytes (bytes, "p.jpg", 0, RAKE_PHOTO_WORKING_PX,
                                                 RAKE_PHOTO_THUMBNAIL_PX, NULL, NULL, NULL, &error);
      bench_must (intake != NULL, error);
      bench_times_add (prepare, bench_now_ms () - start, time_floor_of_preparing (bytes));
      start = bench_now_ms ();
      add_one (file, job, intake);
      bench_times_add (append, bench_now_ms () - start, time_floor_of_appending (folder, bytes));
    }
  g_print ("each of %.1f MB\n", (double) g_bytes_get_size (picture) / 1e6);
  bench_times_tell (prepare);
  bench_times_tell (append);
}

static void
tell_sizes (const char *path)
{
  struct rusage usage;
  GStatBuf found;

  getrusage (RUSAGE_SELF, &usage);
  bench_must (g_stat (path, &found) == 0, NULL);
  g_print ("file %.0f MB, memory at most %.0f MB\n", (double) found.st_size / 1e6,
           (double) usage.ru_maxrss / 1000);
}

int
main (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("rakelight-bench-XXXXXX", &error);
  g_autofree char *path = g_build_filename (folder, "photos.rakejob", NULL);
  g_autofree char *empty = g_build_filename (folder, "empty.rakejob", NULL);
  g_autofree char *floor = g_build_filename (folder, "floor", NULL);
  BenchTimes *open = bench_times_new ("photos: a job with 200 of them opened");

  g_setenv ("XDG_STATE_HOME", folder, TRUE);
  rake_job_file_close (rake_job_file_create (path, &error));
  rake_job_file_close (rake_job_file_create (empty, &error));
  bench_must (error == NULL, error);
  add_all (folder, path);
  for (int i = 0; i < N_OPENINGS; i++)
    bench_times_add (open, time_opening (path, N_PHOTOS), time_opening (empty, 0));
  bench_times_tell (open);
  tell_sizes (path);
  g_unlink (floor);
  g_unlink (path);
  g_unlink (empty);
  return 0;
}
