/* fuzz-shape.c - whatever bytes come in as WKT, WKB or a drawing: a shape or an error, and a shape
 * writes what it reads back as itself.
 *
 * As a test it runs over the files of a folder and some damaged copies of each:
 *
 *   fuzz-shape FOLDER N_COPIES
 *
 * For libFuzzer, built with clang (see tests/core/meson.build):
 *
 *   fuzz-shape-libfuzzer -max_len=4096 WORK-FOLDER tests/core/fuzz-shape */
#include <rakelight/outline.h>

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput (const uint8_t *data, size_t size);

static void
check_round_trips (const RakeShape *shape)
{
  g_autoptr (GBytes) wkb = rake_shape_to_wkb (shape);
  g_autofree char *wkt = rake_shape_to_wkt (shape);
  g_autoptr (RakeShape) from_wkb = rake_shape_from_wkb (wkb, NULL);
  g_autoptr (RakeShape) from_wkt = rake_shape_from_wkt (wkt, NULL);

  if (from_wkb == NULL || from_wkt == NULL || !rake_shape_equal (shape, from_wkb) ||
      !rake_shape_equal (shape, from_wkt))
    g_error ("does not read back as itself: %s", wkt);
}

/* Asks everything there is to ask, for the sanitizers to look on. */
static void
use (RakeShape *shape)
{
  RakeBounds bounds = rake_shape_get_bounds (shape);
  g_autoptr (RakeShape) grown = rake_shape_buffer (shape, 1, NULL);
  g_autoptr (RakeShape) shared = NULL;
  double x_mm, y_mm;

  rake_shape_get_inner_point (shape, &x_mm, &y_mm);
  rake_shape_get_distance_to_edge_mm (shape, bounds.min_x_mm, y_mm);
  if (rake_shape_get_extent_mm (shape) >
      1.001 * (bounds.max_x_mm - bounds.min_x_mm + bounds.max_y_mm - bounds.min_y_mm) + 0.001)
    g_error ("longer than its bounds");
  if (grown != NULL)
    shared = rake_shape_intersection (shape, grown, NULL);
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (RakeShape) shape = NULL;

  if (size == 0)
    return 0;
  if (data[0] == '<')
    shape = rake_outline_new_from_svg ((const char *) data, size, (double) (size % 2), NULL);
  else if (data[0] <= 1)
    {
      g_autoptr (GBytes) wkb = g_bytes_new (data, size);
      shape = rake_shape_from_wkb (wkb, NULL);
    }
  else
    {
      g_autofree char *wkt = g_strndup ((const char *) data, size);
      shape = rake_shape_from_wkt (wkt, NULL);
    }
  if (shape == NULL)
    return 0;
  check_round_trips (shape);
  use (shape);
  return 0;
}
