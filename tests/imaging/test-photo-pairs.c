/* test-photo-pairs.c - places that are found again, the pair that disagrees, a photograph laid flat. */
#include "raking-camera.h"

#include <rakelight/outline.h>
#include <rakelight/photo-pairs.h>
#include <rakelight/photo-warp.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <cmocka.h>

static const double places[][2] = { { 20, 15 },  { 380, 25 },  { 390, 290 }, { 12, 280 },
                                    { 200, 10 }, { 205, 295 }, { 60, 150 },  { 330, 160 } };

static const Camera camera = { { -100, 500, 600 }, { 200, 150 }, 1500, 0, 1600, 1200 };

/* --- suggesting --------------------------------------------------------------------------------- */

static void
corners_are_suggested_first (void **state)
{
  const double ring[] = { 0, 0, 300, 0, 300, 200, 0, 200 };
  g_autoptr (RakeShape) outline = rake_shape_new_area (ring, 4, NULL);
  double points[8];

  assert_int_equal (rake_photo_pairs_suggest (outline, 4, points), 4);
  /* Clockwise from the upper left; the edge is looked at every 2.5 mm. */
  for (guint i = 0; i < 4; i++)
    assert_true (hypot (points[2 * i] - ring[2 * i], points[2 * i + 1] - ring[2 * i + 1]) < 3);
}

static void
every_outline_gets_places_far_apart (void **state)
{
  for (int kind = RAKE_OUTLINE_ROUNDED_SLAB; kind < RAKE_N_OUTLINES; kind++)
    for (guint n = 4; n <= RAKE_PHOTO_PAIRS_MAX_SUGGESTIONS; n++)
      {
        double width, height, hole, points[2 * RAKE_PHOTO_PAIRS_MAX_SUGGESTIONS];
        g_autoptr (RakeShape) outline = NULL;

        rake_outline_kind_get_usual_size (kind, &width, &height, &hole);
        outline = rake_outline_new (kind, width, height, hole, NULL);
        assert_int_equal (rake_photo_pairs_suggest (outline, n, points), n);
        for (guint i = 0; i < n; i++)
          {
            assert_true (rake_shape_get_distance_to_edge_mm (outline, points[2 * i],
                                                             points[2 * i + 1]) < 0.1);
            for (guint k = 0; k < i; k++)
              assert_true (
                  hypot (points[2 * i] - points[2 * k], points[2 * i + 1] - points[2 * k + 1]) >
                  0.05 * MAX (width, height));
          }
      }
}

/* --- judging ------------------------------------------------------------------------------------ */

static void
good_clicks_agree (void **state)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (7);

  for (guint round = 0; round < 40; round++)
    for (guint n = 4; n <= G_N_ELEMENTS (places); n++)
      {
        RakePhotoPair pairs[G_N_ELEMENTS (places)];
        double off_mm;
        guint odd;

        camera_click (&camera, places, n, 1, random, pairs);
        assert_int_equal (rake_photo_pairs_judge (pairs, n, camera.width, camera.height,
                                                  RAKE_PHOTO_FIT_PROJECTIVE, &odd, &off_mm),
                          RAKE_PHOTO_PAIRS_AGREE);
      }
}

/* A point clicked on another corner: 60 mm from where it is. */
static void
the_pair_that_is_wrong_is_named (void **state)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (8);

  for (guint n = 6; n <= G_N_ELEMENTS (places); n++)
    for (guint wrong = 0; wrong < n; wrong++)
      {
        RakePhotoPair pairs[G_N_ELEMENTS (places)];
        double off_mm = 0;
        guint odd = 99;

        camera_click (&camera, places, n, 1, random, pairs);
        pairs[wrong].body_x_mm += 48;
        pairs[wrong].body_y_mm -= 36;
        assert_int_equal (rake_photo_pairs_judge (pairs, n, camera.width, camera.height,
                                                  RAKE_PHOTO_FIT_PROJECTIVE, &odd, &off_mm),
                          RAKE_PHOTO_PAIRS_ONE_IS_ODD);
        assert_int_equal (odd, wrong);
        assert_true (fabs (off_mm - 60) < 12);
      }
}

static void
of_five_nobody_knows_which_is_wrong (void **state)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (9);
  RakePhotoPair pairs[5];
  double off_mm;
  guint odd;

  camera_click (&camera, places, 5, 1, random, pairs);
  pairs[4].body_y_mm += 60;
  assert_int_equal (rake_photo_pairs_judge (pairs, 5, camera.width, camera.height,
                                            RAKE_PHOTO_FIT_PROJECTIVE, &odd, &off_mm),
                    RAKE_PHOTO_PAIRS_DISAGREE);
}

/* --- laid flat ---------------------------------------------------------------------------------- */

/* What the camera sees of a face whose red grows to the right and whose green grows downward. */
static RakePhotoPicture *
new_picture (const RakePhotoFit *fit)
{
  g_autofree guint8 *rgb = g_new0 (guint8, (gsize) 3 * 1600 * 1200);

  for (int y = 0; y < camera.height; y++)
    for (int x = 0; x < camera.width; x++)
      {
        double x_mm, y_mm;
        guint8 *pixel = rgb + 3 * ((gsize) y * 1600 + (gsize) x);

        if (!rake_photo_fit_to_body (fit, x + 0.5, y + 0.5, &x_mm, &y_mm))
          continue;
        pixel[0] = (guint8) CLAMP (x_mm / 2, 0, 255);
        pixel[1] = (guint8) CLAMP (y_mm / 2, 0, 255);
        pixel[2] = 77;
      }
  return rake_photo_picture_new_from_rgb (rgb, camera.width, camera.height);
}

static void
a_photograph_laid_flat_shows_each_place_where_it_is (void **state)
{
  const double ring[] = { 40, 30, 360, 30, 360, 270, 40, 270 };
  g_autoptr (RakeShape) outline = rake_shape_new_area (ring, 4, NULL);
  g_autoptr (GRand) random = g_rand_new_with_seed (1);
  RakePhotoPair pairs[8];
  g_autoptr (RakePhotoFit) fit = NULL;
  g_autoptr (RakePhotoPicture) picture = NULL;
  g_autoptr (RakePhotoMap) map = NULL;
  g_autoptr (RakePhotoSheet) sheet = NULL;
  RakeRegistrationBody body = { .radial = NAN };
  double m[9], *coefficients[9] = { &body.m11, &body.m12, &body.m13, &body.m21, &body.m22,
                                    &body.m23, &body.m31, &body.m32, &body.m33 };

  camera_click (&camera, places, 8, 0, random, pairs);
  fit = rake_photo_fit_new (pairs, 8, camera.width, camera.height, 0, NULL);
  rake_photo_fit_get_matrix (fit, m);
  for (int i = 0; i < 9; i++)
    *coefficients[i] = m[i];
  picture = new_picture (fit);
  map = rake_photo_map_new (&body, camera.width, camera.height);
  sheet = rake_photo_sheet_new (outline, picture, map, camera.width, camera.height, 640, NULL);
  assert_int_equal (sheet->width, 640);
  assert_int_equal (sheet->height, 480);
  for (int y = 5; y < 475; y += 47)
    for (int x = 5; x < 635; x += 63)
      {
        guint32 pixel = sheet->pixels[y * sheet->width + x];
        double x_mm = sheet->x_mm + (x + 0.5) / sheet->px_per_mm;
        double y_mm = sheet->y_mm + (y + 0.5) / sheet->px_per_mm;

        assert_int_equal (pixel >> 24, 255);
        /* A step of colour is 2 mm, and they were cut off, not rounded. */
        assert_true (fabs ((pixel >> 16 & 0xff) * 2 - x_mm) < 2.5);
        assert_true (fabs ((pixel >> 8 & 0xff) * 2 - y_mm) < 2.5);
        assert_int_equal (pixel & 0xff, 77);
      }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (corners_are_suggested_first),
    cmocka_unit_test (every_outline_gets_places_far_apart),
    cmocka_unit_test (good_clicks_agree),
    cmocka_unit_test (the_pair_that_is_wrong_is_named),
    cmocka_unit_test (of_five_nobody_knows_which_is_wrong),
    cmocka_unit_test (a_photograph_laid_flat_shows_each_place_where_it_is),
  };

  return cmocka_run_group_tests (tests, NULL, NULL);
}
