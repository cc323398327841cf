/* test-shape-simple.c - a ring that is called plainly simple is valid, and most rings are called so.
 *
 * Random tests print their seed on failure; RAKE_TEST_SEED runs that one again. */
#include "shape-private.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <cmocka.h>

static guint32 seed;

/* As it stands, not mended. */
static RakeShape *
new_unchecked (const double *points_mm, guint n_points)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_AREA);

  rake_tracing_start_ring (tracing, FALSE);
  assert_true (rake_tracing_add_points (tracing, points_mm, n_points, NULL));
  return rake_tracing_finish_unchecked (tracing, NULL);
}

/* Drawn on squared paper. */
static void
rings_are_told_apart (void **state)
{
  static const struct
  {
    const char *what;
    gboolean is_simple;
    guint n_points;
    double points_mm[16];
  } rings[] = {
    { "triangle", TRUE, 3, { 0, 0, 4, 0, 0, 3 } },
    { "triangle the other way round", TRUE, 3, { 0, 0, 0, 3, 4, 0 } },
    { "square with a straight corner", TRUE, 5, { 0, 0, 2, 0, 4, 0, 4, 4, 0, 4 } },
    { "straight corner where it is closed", TRUE, 5, { 2, 0, 4, 0, 4, 4, 0, 4, 0, 0 } },
    { "arrow head", TRUE, 4, { 0, 0, 4, 2, 0, 4, 1, 2 } },
    { "bow tie", FALSE, 4, { 0, 0, 4, 4, 4, 0, 0, 4 } },
    { "two squares at one corner", FALSE, 8, { 0, 0, 2, 0, 2, 2, 4, 2, 4, 4, 2, 4, 2, 2, 0, 2 } },
    { "corner on an edge", FALSE, 5, { 0, 0, 4, 0, 4, 4, 2, 0, 0, 4 } },
    { "there and back", FALSE, 3, { 0, 0, 4, 0, 2, 0 } },
    { "spike", FALSE, 5, { 0, 0, 4, 0, 9, 0, 4, 0, 4, 4 } },
    { "spike where it is closed", FALSE, 5, { 9, 0, 4, 0, 4, 4, 0, 4, 0, 0 } },
    { "edge along another", FALSE, 6, { 0, 0, 6, 0, 6, 3, 4, 0, 2, 0, 0, 3 } },
    { "last edge across the second", FALSE, 5, { 0, 0, 4, 0, 4, 4, 8, 4, 8, 2 } },
    { "first edge across the last but one", FALSE, 5, { 0, 0, 8, 0, 8, 4, 4, 4, 4, -2 } },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rings); i++)
    {
      g_autoptr (RakeShape) ring = new_unchecked (rings[i].points_mm, rings[i].n_points);

      /* the table, too, is held against something */
      if (rake_geos_is_valid (ring) != rings[i].is_simple)
        fail_msg ("%s: the library says otherwise", rings[i].what);
      if (rake_shape_is_plainly_simple (ring) != rings[i].is_simple)
        fail_msg ("%s: %s", rings[i].what, rings[i].is_simple ? "doubted" : "called simple");
    }
}

/* What GEOS calls invalid is never called simple: few points on a small grid touch and cross in
 * every way there is, far out and finely slanted they do so at the limit of the arithmetic. */
static void
what_is_called_simple_is_valid (void **state)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  guint n_simple = 0, n_invalid = 0;

  for (guint i = 0; i < 60000; i++)
    {
      guint n_points = (guint) g_rand_int_range (random, 3, 9);
      double step_x = i % 3 == 0   ? 1
                      : i % 3 == 1 ? 0.001
                                   : 33.337,
             step_y = i % 2 == 0 ? step_x : 0.001;
      double far_out = i % 5 == 0 ? 99000 : 0, slant = i % 7 == 0 ? 1.0 / 3 : 0;
      double points[16];
      g_autoptr (RakeShape) ring = NULL;

      for (guint k = 0; k < n_points; k++)
        {
          points[2 * k] = far_out + step_x * g_rand_int_range (random, 0, 6);
          points[2 * k + 1] =
              step_y * g_rand_int_range (random, 0, 6) - far_out + slant * points[2 * k];
        }
      ring = new_unchecked (points, n_points);
      if (ring == NULL)
        continue;
      if (rake_geos_is_valid (ring))
        n_simple += rake_shape_is_plainly_simple (ring) ? 1 : 0;
      else if (n_invalid++, rake_shape_is_plainly_simple (ring))
        {
          g_autofree char *wkt = rake_shape_to_wkt (ring);
          fail_msg ("called simple: %s (seed %u)", wkt, seed);
        }
    }
  /* else there was nothing to find out */
  assert_true (n_simple > 1000 && n_invalid > 1000);
}

/* Small rings that wind about without meeting themselves: the ones it is there for. */
static void
stars_are_plainly_simple (void **state)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);

  for (guint i = 0; i < 2000; i++)
    {
      guint n_points = (guint) g_rand_int_range (random, 5, 64);
      double points[2 * 64];
      g_autoptr (RakeShape) ring = NULL;

      for (guint k = 0; k < n_points; k++)
        {
          double radius = g_rand_double_range (random, 5, 40);
          points[2 * k] = 300 + radius * cos (2 * G_PI * k / n_points);
          points[2 * k + 1] = 200 + radius * sin (2 * G_PI * k / n_points);
        }
      ring = new_unchecked (points, n_points);
      if (!rake_shape_is_plainly_simple (ring))
        fail_msg ("a star of %u corners is doubted (seed %u)", n_points, seed);
    }
}

static void
holes_and_long_rings_are_left_to_the_library (void **state)
{
  static const char two_rings[] =
      "POLYGON ((0 0, 9 0, 9 9, 0 9, 0 0), (20 20, 21 20, 21 21, 20 20))";
  g_autoptr (RakeShape) mended = rake_shape_from_wkt (two_rings, NULL), ring = NULL;
  double points[2 * 500];

  /* a hole outside is no hole, and reading finds that out */
  assert_non_null (mended);
  assert_true (rake_geos_is_valid (mended));
  for (guint k = 0; k < 500; k++)
    {
      points[2 * k] = 100 * cos (2 * G_PI * k / 500);
      points[2 * k + 1] = 100 * sin (2 * G_PI * k / 500);
    }
  ring = new_unchecked (points, 500);
  assert_false (rake_shape_is_plainly_simple (ring));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (rings_are_told_apart),
    cmocka_unit_test (what_is_called_simple_is_valid),
    cmocka_unit_test (stars_are_plainly_simple),
    cmocka_unit_test (holes_and_long_rings_are_left_to_the_library),
  };
  const char *given = g_getenv ("RAKE_TEST_SEED");

  seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : 1;
  g_print ("seed %u\n", seed);
  return cmocka_run_group_tests (tests, NULL, NULL);
}
