/* test-facts-patches.c - patches measured piece by piece are the same as measured all at once. */
#include "facts-private.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <cmocka.h>

#define LIMIT_MM 12.0

static RakeShape *
new_patch (GRand *random)
{
  double x = g_rand_double_range (random, -20, 120), y = g_rand_double_range (random, -20, 120);
  const double points[] = { x, y, x + g_rand_double_range (random, -15, 15),
                            y + g_rand_double_range (random, -15, 15) };

  return rake_shape_new_brush_stroke (points, 2, g_rand_double_range (random, 1, 6), NULL);
}

/* By the plain way: all united, clipped, and taken apart. */
static RakePatches
measure_plainly (GPtrArray *shapes, const RakeShape *zone)
{
  g_autoptr (RakeShape) all =
      rake_shape_union_all ((RakeShape *const *) shapes->pdata, shapes->len, NULL);
  g_autoptr (RakeShape) inside = rake_shape_intersection (all, zone, NULL);
  g_autoptr (GPtrArray) parts = inside != NULL ? rake_shape_get_parts (inside) : NULL;
  RakePatches patches = { 0 };

  for (guint i = 0; parts != NULL && i < parts->len; i++)
    {
      double extent_mm = rake_shape_get_extent_mm (parts->pdata[i]);
      patches.area_mm2 += rake_shape_get_area_mm2 (parts->pdata[i]);
      patches.island_mm = MAX (patches.island_mm, extent_mm);
      patches.n++;
      patches.n_over_limit += extent_mm > LIMIT_MM ? 1 : 0;
    }
  return patches;
}

/* A zone with slanting edges, a bay and a hole; one to twenty strokes in and about it, one after
 * another, so that what is remembered comes into play. */
static void
patches_measure_the_same_in_clusters_as_at_once (void **state)
{
  const char *given = g_getenv ("RAKE_TEST_SEED");
  guint32 seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : 1;
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  g_autoptr (RakeShape) zone = rake_shape_from_wkt (
      "POLYGON ((0 0, 100 10, 90 100, 60 100, 55 40, 45 40, 40 100, 5 90, 0 0), "
      "(20 20, 20 35, 35 35, 35 20, 20 20))",
      NULL);

  g_print ("seed %u\n", seed);
  for (guint n = 0; n < 100; n++)
    {
      g_autoptr (GPtrArray) shapes =
          g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);

      for (guint i = 0; i < 20; i++)
        {
          RakePatches found, plain;

          g_ptr_array_add (shapes, new_patch (random));
          found = rake_patches_measure (shapes, zone, LIMIT_MM);
          plain = measure_plainly (shapes, zone);
          /* Points are rounded to 1 µm in another order: 1 µm along a metre of edge. */
          if (fabs (found.area_mm2 - plain.area_mm2) > 1 ||
              fabs (found.island_mm - plain.island_mm) > 0.003 || found.n != plain.n ||
              found.n_over_limit != plain.n_over_limit)
            fail_msg ("set %u, %u strokes: %.3f mm², %.3f mm, %u (%u), not %.3f, %.3f, %u (%u)", n,
                      shapes->len, found.area_mm2, found.island_mm, found.n, found.n_over_limit,
                      plain.area_mm2, plain.island_mm, plain.n, plain.n_over_limit);
        }
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (patches_measure_the_same_in_clusters_as_at_once),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
