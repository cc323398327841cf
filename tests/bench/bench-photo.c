/* bench-photo.c - what reading a photograph costs: 12 megapixels, on one core.
 *
 *   read   a JPEG of 4000 × 3000 pixels decoded, laid on the face and read; floor: decoded only
 *
 * Processor time; then the most memory that the program ever held, beside what the decoded picture
 * alone takes. The picture is computed: a face of 400 by 300 mm with islands all over it. */
#include "bench.h"

#include <rakelight/photo-reading.h>

#include "../imaging/picture-maker.h"

#include <math.h>
#include <sys/resource.h>

#define WIDTH 4000
#define HEIGHT 3000
#define MARGIN 200
#define N_RUNS 5

static GByteArray *
make_photo (void)
{
  g_autofree guint8 *rgb = g_malloc (3 * (gsize) WIDTH * HEIGHT);
  g_autoptr (GRand) random = g_rand_new_with_seed (1);

  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++)
      {
        gboolean is_face = x > MARGIN && y > MARGIN && x < WIDTH - MARGIN && y < HEIGHT - MARGIN;
        double wave = sin (x / 11.0) + sin (y / 13.0) + sin ((x + y) / 17.0);
        double light = !is_face ? 220 : (wave > 1.5 ? 90 : 140) + g_rand_int_range (random, -6, 7);

        for (int c = 0; c < 3; c++)
          rgb[3 * ((gsize) y * WIDTH + (gsize) x) + (gsize) c] = (guint8) light;
      }
  return make_jpeg (rgb, WIDTH, HEIGHT, 90, FALSE);
}

static void
read_photo (const GByteArray *photo, double *ours_ms, double *floor_ms)
{
  static const RakePhotoPair pairs[] = {
    { MARGIN, MARGIN, 0, 0 },
    { WIDTH - MARGIN, MARGIN, 400, 0 },
    { WIDTH - MARGIN, HEIGHT - MARGIN, 400, 300 },
    { MARGIN, HEIGHT - MARGIN, 0, 300 },
  };
  static const double corners[] = { 0, 0, 400, 0, 400, 300, 0, 300 };
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) outline = rake_shape_new_area (corners, 4, NULL);
  g_autoptr (RakePhotoFit) fit = rake_photo_fit_new (pairs, 4, WIDTH, HEIGHT, 0, NULL);
  const RakeShape *zones[] = { outline };
  double began = bench_now_processor_ms ();
  g_autoptr (RakePhotoPicture) picture =
      rake_photo_picture_new (photo->data, photo->len, 1, &error);
  RakePhotoQuestion question = { .picture = picture, .fit = fit, .outline = outline,
                                 .zones = zones, .n_zones = 1,
                                 .stroke_deg = NAN,
                                 .sensitivity = RAKE_PHOTO_USUAL_SENSITIVITY };
  g_autoptr (RakePhotoReading) reading = NULL;

  bench_must (picture != NULL, error);
  *floor_ms = bench_now_processor_ms () - began;
  reading = rake_photo_read (&question, NULL, NULL, NULL, &error);
  bench_must (reading != NULL, error);
  *ours_ms = bench_now_processor_ms () - began;
  bench_sink += reading->spots->len;
}

int
main (void)
{
  g_autoptr (GByteArray) photo = make_photo ();
  BenchTimes *times = bench_times_new ("read a photograph of 12 megapixels");
  struct rusage usage;

  for (int i = 0; i < N_RUNS; i++)
    {
      double ours_ms, floor_ms;

      read_photo (photo, &ours_ms, &floor_ms);
      bench_times_add (times, ours_ms, floor_ms);
    }
  bench_times_tell (times);
  getrusage (RUSAGE_SELF, &usage);
  g_print ("at most %ld MB held, the decoded picture %d MB of it\n", usage.ru_maxrss / 1024,
           3 * WIDTH * HEIGHT / 1000000);
  return 0;
}
