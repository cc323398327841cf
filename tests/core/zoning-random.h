/* zoning-random.h - random divisions of the built-in outlines, for every test that asks whether
 * what comes out covers what went in. */
#pragma once
#include <rakelight/outline.h>
#include <rakelight/zoning.h>

#include <math.h>

/* A face of a random kind and size, with a hole where one fits. */
static inline RakeShape *
random_face (GRand *random, RakeOutlineKind kind)
{
  double width_mm, height_mm, hole_mm;
  RakeShape *face;

  rake_outline_kind_get_usual_size (kind, &width_mm, &height_mm, &hole_mm);
  width_mm *= g_rand_double_range (random, 0.3, 1.5);
  height_mm *= g_rand_double_range (random, 0.3, 1.5);
  hole_mm = g_rand_boolean (random) ? 0.25 * MIN (width_mm, height_mm) : 0;
  face = rake_outline_new (kind, width_mm, height_mm, hole_mm, NULL);
  return face != NULL ? face : rake_outline_new (kind, width_mm, height_mm, 0, NULL);
}

/* A line such as a hand draws over @bounds: straight, shaken or wavy, at times a loop. */
static inline RakeShape *
random_line (GRand *random, RakeBounds bounds)
{
  double points[2 * 80];
  guint n_points = (guint) g_rand_int_range (random, 2, 80);
  double width = bounds.max_x_mm - bounds.min_x_mm, height = bounds.max_y_mm - bounds.min_y_mm;
  double x0 = bounds.min_x_mm + width * g_rand_double_range (random, -0.2, 1.2);
  double y0 = bounds.min_y_mm + height * g_rand_double_range (random, -0.2, 1.2);
  double x1 = bounds.min_x_mm + width * g_rand_double_range (random, -0.2, 1.2);
  double y1 = bounds.min_y_mm + height * g_rand_double_range (random, -0.2, 1.2);
  double tremble = (width + height) * g_rand_double_range (random, 0, 0.02);
  gboolean is_loop = g_rand_int_range (random, 0, 4) == 0;

  for (guint i = 0; i < n_points; i++)
    {
      double t = (double) i / (n_points - 1);
      double x = is_loop ? x0 + 0.2 * width * cos (2 * G_PI * t) : x0 + (x1 - x0) * t;
      double y = is_loop ? y0 + 0.2 * height * sin (2 * G_PI * t) : y0 + (y1 - y0) * t;
      points[2 * i] = x + tremble * g_rand_double_range (random, -1, 1);
      points[2 * i + 1] = y + tremble * g_rand_double_range (random, -1, 1);
    }
  return rake_shape_new_line (points, n_points, NULL);
}

static inline void
random_join (GRand *random, GPtrArray *zones)
{
  guint a = (guint) g_rand_int_range (random, 0, (gint32) zones->len);
  guint b = (guint) g_rand_int_range (random, 0, (gint32) zones->len);
  RakeShape *joined;

  if (a == b)
    return;
  joined = rake_zoning_join ((RakeShape *const[]) { zones->pdata[a], zones->pdata[b] }, 2, NULL);
  if (joined == NULL)
    return;
  g_ptr_array_remove_index (zones, MAX (a, b));
  g_ptr_array_remove_index (zones, MIN (a, b));
  g_ptr_array_add (zones, joined);
}

/* One random gesture upon the zones of @face: most often it replaces one of them by several. */
static inline gboolean
random_gesture (GRand *random, const RakeShape *face, GPtrArray *zones, GError **error)
{
  guint index = (guint) g_rand_int_range (random, 0, (gint32) zones->len);
  RakeShape *zone = zones->pdata[index];
  g_autoptr (RakeShape) line = random_line (random, rake_shape_get_bounds (zone));
  g_autoptr (GPtrArray) parts = NULL;
  g_autoptr (GError) failure = NULL;

  switch (g_rand_int_range (random, 0, 6))
    {
    case 0:
      parts = rake_zoning_band (zone, face, g_rand_double_range (random, 2, 40),
                                g_rand_boolean (random), &failure);
      break;
    case 1:
      parts = rake_zoning_grid (zone, (guint) g_rand_int_range (random, 1, 6),
                                (guint) g_rand_int_range (random, 2, 6), &failure);
      break;
    case 2:
      random_join (random, zones);
      return TRUE;
    default:
      if (line == NULL)
        return TRUE;
      parts = rake_zoning_cut (zone, line, g_rand_int_range (random, 0, 5) > 0, &failure);
      break;
    }
  if (parts == NULL)
    {
      if (g_error_matches (failure, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY))
        return TRUE;
      g_propagate_error (error, g_steal_pointer (&failure));
      return FALSE;
    }
  g_ptr_array_remove_index (zones, index);
  for (guint i = 0; i < parts->len; i++)
    g_ptr_array_add (zones, rake_shape_ref (parts->pdata[i]));
  return TRUE;
}

/* The zones after @n_gestures random gestures, starting from the whole face. */
static inline GPtrArray *
random_zones (GRand *random, RakeShape *face, guint n_gestures, GError **error)
{
  GPtrArray *zones = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);

  g_ptr_array_add (zones, rake_shape_ref (face));
  for (guint i = 0; i < n_gestures; i++)
    if (!random_gesture (random, face, zones, error))
      {
        g_ptr_array_unref (zones);
        return NULL;
      }
  return zones;
}
