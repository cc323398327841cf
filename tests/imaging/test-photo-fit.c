/* test-photo-fit.c - a fit puts places where a camera built another way sees them. */
#include "raking-camera.h"
#include "photo-fit-private.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <string.h>
#include <cmocka.h>

static const double places[][2] = { { 20, 15 },  { 380, 25 },  { 390, 290 }, { 12, 280 },
                                    { 200, 10 }, { 205, 295 }, { 60, 150 },  { 330, 160 } };

static const Camera cameras[] = {
  { { 200, 900, 700 }, { 200, 150 }, 1600, 0, 1600, 1200 },
  { { -600, -200, 350 }, { 190, 160 }, 1500, 0, 1600, 1200 },
  { { 220, 170, 1100 }, { 200, 150 }, 1700, 0, 1200, 1600 },
};

static RakePhotoFit *
new_fit (const Camera *camera, guint n, double click_sd_px, GRand *random, RakePhotoFitFlags flags)
{
  RakePhotoPair pairs[G_N_ELEMENTS (places)];
  g_autoptr (GError) error = NULL;
  RakePhotoFit *fit;

  camera_click (camera, places, n, click_sd_px, random, pairs);
  fit = rake_photo_fit_new (pairs, n, camera->width, camera->height, flags, &error);
  if (fit == NULL)
    fail_msg ("%s", error->message);
  return fit;
}

/* The largest distance, over the face, from where the camera sees a place to where the fit does. */
static double
largest_error_px (const RakePhotoFit *fit, const Camera *camera)
{
  double largest = 0;

  for (double y = 0; y <= 300; y += 50)
    for (double x = 0; x <= 400; x += 50)
      {
        double ax, ay, bx, by, back_x, back_y;

        assert_true (camera_see (camera, x, y, &ax, &ay));
        assert_true (rake_photo_fit_to_image (fit, x, y, &bx, &by));
        assert_true (rake_photo_fit_to_body (fit, bx, by, &back_x, &back_y));
        assert_true (hypot (back_x - x, back_y - y) < 1e-6);
        largest = fmax (largest, hypot (ax - bx, ay - by));
      }
  return largest;
}

static void
exact_clicks_give_the_camera_back (void **state)
{
  for (gsize i = 0; i < G_N_ELEMENTS (cameras); i++)
    for (guint n = 4; n <= G_N_ELEMENTS (places); n++)
      {
        g_autoptr (GRand) random = g_rand_new_with_seed (1);
        g_autoptr (RakePhotoFit) fit = new_fit (&cameras[i], n, 0, random, 0);

        assert_true (largest_error_px (fit, &cameras[i]) < 1e-6);
        assert_true (rake_photo_fit_get_rms_px (fit) < 1e-7);
      }
}

static void
a_bent_lens_is_found (void **state)
{
  for (double radial = -0.03; radial <= 0.031; radial += 0.02)
    {
      /* The face fills the picture, as far out as the lens bends. */
      Camera camera = { { 200, 330, 360 }, { 200, 150 }, 1300, 0, 1600, 1200 };
      g_autoptr (GRand) random = g_rand_new_with_seed (2);
      g_autoptr (RakePhotoFit) straight = NULL;
      g_autoptr (RakePhotoFit) bent = NULL;

      camera.radial = radial;
      straight = new_fit (&camera, 8, 0, random, RAKE_PHOTO_FIT_PROJECTIVE);
      bent = new_fit (&camera, 8, 0, random, RAKE_PHOTO_FIT_RADIAL);
      /* Held back a little towards no bend at all, because clicks are not exact. */
      assert_true (fabs (rake_photo_fit_get_radial (bent) - radial) < 0.1 * fabs (radial));
      assert_true (largest_error_px (bent, &camera) < 0.1 * largest_error_px (straight, &camera));
    }
}

static void
rough_clicks_on_a_straight_lens_make_no_bend (void **state)
{
  double sum = 0;

  for (guint32 seed = 1; seed <= 50; seed++)
    {
      g_autoptr (GRand) random = g_rand_new_with_seed (seed);
      g_autoptr (RakePhotoFit) fit = new_fit (&cameras[0], 6, 1, random, RAKE_PHOTO_FIT_RADIAL);
      sum += largest_error_px (fit, &cameras[0]) / 50;
    }
  /* Six clicks off by a pixel: places between them within a few. */
  assert_true (sum < 5);
}

static void
residuals_tell_the_bad_click (void **state)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (3);
  RakePhotoPair pairs[8];
  g_autoptr (RakePhotoFit) fit = NULL;

  camera_click (&cameras[1], places, 8, 0.5, random, pairs);
  pairs[6].image_x_px += 30;
  fit = rake_photo_fit_new (pairs, 8, 1600, 1200, 0, NULL);
  for (guint i = 0; i < 8; i++)
    if (i != 6)
      assert_true (rake_photo_fit_get_residual_px (fit, i) <
                   rake_photo_fit_get_residual_px (fit, 6));
  assert_true (rake_photo_fit_get_residual_mm (fit, 6) > 1);
}

static void
the_camera_is_found_where_it_stood (void **state)
{
  for (gsize i = 0; i < 2; i++)
    {
      g_autoptr (GRand) random = g_rand_new_with_seed (4);
      g_autoptr (RakePhotoFit) fit = new_fit (&cameras[i], 8, 0, random, 0);
      double found[3];

      rake_photo_fit_find_camera (fit, found);
      for (int k = 0; k < 3; k++)
        if (fabs (found[k] - cameras[i].place_mm[k]) > 0.1)
          fail_msg ("camera %zu stands at %.1f, %.1f, %.1f", i, found[0], found[1], found[2]);
    }
}

static void
a_pixel_covers_what_it_must (void **state)
{
  /* Straight down from 1100 mm with a focal length of 1700 pixels: 1100 / 1700 mm. */
  const Camera above = { { 200, 150, 1100 }, { 200, 150 }, 1700, 0, 1200, 1600 };
  g_autoptr (GRand) random = g_rand_new_with_seed (5);
  g_autoptr (RakePhotoFit) fit = new_fit (&above, 8, 0, random, 0);

  assert_true (fabs (rake_photo_fit_get_mm_per_px (fit, 200, 150) - 1100.0 / 1700) < 1e-4);
}

static void
beyond_the_horizon_there_is_nothing (void **state)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (6);
  g_autoptr (RakePhotoFit) fit = new_fit (&cameras[1], 8, 0, random, 0);
  double x = 7, y = 7;

  /* The camera stands at -600, -200, and looks away from there. */
  assert_false (rake_photo_fit_to_image (fit, -5000, -2000, &x, &y));
  assert_false (rake_photo_fit_to_body (fit, 800, -100000, &x, &y));
  assert_true (x == 7 && y == 7);
}

static void
refuse (const RakePhotoPair *pairs, guint n, RakePhotoFitError code)
{
  g_autoptr (GError) error = NULL;

  assert_null (rake_photo_fit_new (pairs, n, 1600, 1200, RAKE_PHOTO_FIT_RADIAL, &error));
  assert_true (g_error_matches (error, RAKE_PHOTO_FIT_ERROR, (int) code));
}

static void
pairs_that_fit_nothing_are_refused (void **state)
{
  static const RakePhotoPair good[] = {
    { 100, 100, 0, 0 }, { 900, 120, 400, 0 }, { 950, 700, 400, 300 }, { 80, 680, 0, 300 },
  };
  RakePhotoPair pairs[4];

  refuse (good, 3, RAKE_PHOTO_FIT_ERROR_TOO_FEW);
  for (int kind = 0; kind < 8; kind++)
    {
      memcpy (pairs, good, sizeof pairs);
      if (kind == 0)
        pairs[1].image_x_px = NAN;
      else if (kind == 1)
        pairs[2].body_y_mm = INFINITY;
      else if (kind == 2)
        pairs[2].body_y_mm = 1e30;
      else if (kind == 3) /* all in a line */
        for (int i = 0; i < 4; i++)
          pairs[i].body_y_mm = pairs[i].body_x_mm = 10 * i;
      else if (kind == 4) /* all on one spot */
        for (int i = 0; i < 4; i++)
          pairs[i].body_x_mm = pairs[i].body_y_mm = 50;
      else if (kind == 5) /* two pairs the same */
        pairs[3] = pairs[2];
      else if (kind == 6) /* two crossed over */
        {
          pairs[0].image_x_px = good[1].image_x_px;
          pairs[1].image_x_px = good[0].image_x_px;
        }
      else /* seen in a mirror */
        for (int i = 0; i < 4; i++)
          pairs[i].image_x_px = 1000 - pairs[i].image_x_px;
      refuse (pairs, 4, kind < 3 ? RAKE_PHOTO_FIT_ERROR_NOT_FINITE : RAKE_PHOTO_FIT_ERROR_NO_FIT);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (exact_clicks_give_the_camera_back),
    cmocka_unit_test (a_bent_lens_is_found),
    cmocka_unit_test (rough_clicks_on_a_straight_lens_make_no_bend),
    cmocka_unit_test (residuals_tell_the_bad_click),
    cmocka_unit_test (the_camera_is_found_where_it_stood),
    cmocka_unit_test (a_pixel_covers_what_it_must),
    cmocka_unit_test (beyond_the_horizon_there_is_nothing),
    cmocka_unit_test (pairs_that_fit_nothing_are_refused),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
