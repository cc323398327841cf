/* shape.c - points, lines and areas on the 1 µm grid. */
#include "shape-private.h"

#include <math.h>
#include <string.h>

G_DEFINE_QUARK (rake-shape-error-quark, rake_shape_error)

static double
snap (double mm)
{
  /* Adding zero makes -0 into 0, which would otherwise be another byte pattern for one place. */
  return round (mm * 1000.0) / 1000.0 + 0.0;
}

RakeTracing *
rake_tracing_new (RakeShapeKind kind)
{
  RakeTracing *tracing = g_new (RakeTracing, 1);

  tracing->kind = kind;
  /* most shapes have no more: they grow no array */
  tracing->points_mm = g_array_sized_new (FALSE, FALSE, sizeof (double), 128);
  tracing->rings = g_array_new (FALSE, FALSE, sizeof (RakeRing));
  return tracing;
}

void
rake_tracing_free (RakeTracing *tracing)
{
  if (tracing == NULL)
    return;
  g_array_unref (tracing->points_mm);
  g_array_unref (tracing->rings);
  g_free (tracing);
}

void
rake_tracing_start_ring (RakeTracing *tracing, gboolean is_hole)
{
  RakeRing ring = { tracing->points_mm->len / 2, 0, is_hole };

  g_array_append_val (tracing->rings, ring);
}

gboolean
rake_tracing_add_point (RakeTracing *tracing, double x_mm, double y_mm, GError **error)
{
  RakeRing *ring = &g_array_index (tracing->rings, RakeRing, tracing->rings->len - 1);
  double point[2] = { snap (x_mm), snap (y_mm) };

  if (!isfinite (x_mm) || !isfinite (y_mm))
    {
      g_set_error_literal (
          error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
          _ ("a coordinate is not a number; every place needs two in millimetres"));
      return FALSE;
    }
  if (fabs (x_mm) > RAKE_SHAPE_LIMIT_MM || fabs (y_mm) > RAKE_SHAPE_LIMIT_MM)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("a place lies at %.0f, %.0f mm; at most %.0f mm from the origin are taken"),
                   x_mm, y_mm, RAKE_SHAPE_LIMIT_MM);
      return FALSE;
    }
  if (ring->n_points > 0)
    {
      const double *last = &g_array_index (tracing->points_mm, double, tracing->points_mm->len - 2);
      if (last[0] == point[0] && last[1] == point[1])
        return TRUE;
    }
  if (tracing->points_mm->len / 2 >= RAKE_SHAPE_MAX_POINTS)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("a shape of more than %d points is not taken"), RAKE_SHAPE_MAX_POINTS);
      return FALSE;
    }
  g_array_append_vals (tracing->points_mm, point, 2);
  ring->n_points++;
  return TRUE;
}

gboolean
rake_tracing_add_points (RakeTracing *tracing, const double *points_mm, guint n_points,
                         GError **error)
{
  for (guint i = 0; i < n_points; i++)
    if (!rake_tracing_add_point (tracing, points_mm[2 * i], points_mm[2 * i + 1], error))
      return FALSE;
  return TRUE;
}

/* Copies the rings that hold something; a hole goes with its outside. */
static void
copy_rings (RakeShape *shape, const RakeTracing *tracing)
{
  const guint least_points = shape->kind == RAKE_SHAPE_AREA   ? 4
                             : shape->kind == RAKE_SHAPE_LINE ? 2
                                                              : 1;
  const double *from = (const double *) (gpointer) tracing->points_mm->data;
  gboolean outside_is_kept = FALSE;

  for (guint i = 0; i < tracing->rings->len; i++)
    {
      const RakeRing *ring = &g_array_index (tracing->rings, RakeRing, i);
      const double *points = from + 2 * ring->first;
      double *out = shape->points_mm + 2 * shape->n_points;
      guint n_points = ring->n_points;

      if (shape->kind == RAKE_SHAPE_AREA && n_points > 0 &&
          memcmp (points, points + 2 * (n_points - 1), 2 * sizeof (double)) != 0)
        n_points++;
      if (!ring->is_hole)
        outside_is_kept = n_points >= least_points;
      if (n_points < least_points || !outside_is_kept)
        continue;
      memcpy (out, points, 2 * ring->n_points * sizeof (double));
      if (n_points > ring->n_points)
        memcpy (out + 2 * ring->n_points, points, 2 * sizeof (double));
      shape->rings[shape->n_rings++] = (RakeRing){ shape->n_points, n_points, ring->is_hole };
      shape->n_points += n_points;
    }
}

static double
get_ring_area_mm2 (const double *points_mm, guint n_points)
{
  double twice = 0;

  /* From the first point, not the origin: far out the products would swamp the differences. */
  for (guint i = 1; i + 2 < n_points; i++)
    twice += (points_mm[2 * i] - points_mm[0]) * (points_mm[2 * i + 3] - points_mm[1]) -
             (points_mm[2 * i + 2] - points_mm[0]) * (points_mm[2 * i + 1] - points_mm[1]);
  return fabs (twice) / 2;
}

static void
measure (RakeShape *shape)
{
  RakeBounds *bounds = &shape->bounds;

  *bounds = (RakeBounds){ INFINITY, INFINITY, -INFINITY, -INFINITY };
  for (guint i = 0; i < shape->n_points; i++)
    {
      bounds->min_x_mm = MIN (bounds->min_x_mm, shape->points_mm[2 * i]);
      bounds->max_x_mm = MAX (bounds->max_x_mm, shape->points_mm[2 * i]);
      bounds->min_y_mm = MIN (bounds->min_y_mm, shape->points_mm[2 * i + 1]);
      bounds->max_y_mm = MAX (bounds->max_y_mm, shape->points_mm[2 * i + 1]);
    }
  for (guint r = 0; r < shape->n_rings; r++)
    {
      const RakeRing *ring = &shape->rings[r];
      const double *points = shape->points_mm + 2 * ring->first;

      for (guint i = 0; i + 1 < ring->n_points; i++)
        shape->length_mm +=
            hypot (points[2 * i + 2] - points[2 * i], points[2 * i + 3] - points[2 * i + 1]);
      if (shape->kind == RAKE_SHAPE_AREA)
        shape->area_mm2 += (ring->is_hole ? -1 : 1) * get_ring_area_mm2 (points, ring->n_points);
    }
}

RakeShape *
rake_tracing_finish_unchecked (RakeTracing *tracing, GError **error)
{
  g_autoptr (RakeShape) shape = NULL;

  if (tracing->rings->len > RAKE_SHAPE_MAX_RINGS)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("a shape of more than %d rings is not taken"), RAKE_SHAPE_MAX_RINGS);
      return NULL;
    }
  shape = g_new0 (RakeShape, 1);
  g_atomic_ref_count_init (&shape->n_refs);
  shape->kind = tracing->kind;
  shape->rings = g_new0 (RakeRing, tracing->rings->len + 1);
  /* Room for one closing point in every ring. */
  shape->points_mm = g_new0 (double, tracing->points_mm->len + 2 * tracing->rings->len);
  copy_rings (shape, tracing);
  if (shape->n_rings == 0)
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
                           tracing->kind == RAKE_SHAPE_AREA ? _ ("no area remains")
                                                            : _ ("no line remains"));
      return NULL;
    }
  measure (shape);
  return g_steal_pointer (&shape);
}

RakeShape *
rake_tracing_finish (RakeTracing *tracing, GError **error)
{
  g_autoptr (RakeShape) shape = rake_tracing_finish_unchecked (tracing, error);

  if (shape == NULL)
    return NULL;
  if (shape->kind != RAKE_SHAPE_AREA || rake_shape_is_plainly_simple (shape) ||
      rake_geos_is_valid (shape))
    return g_steal_pointer (&shape);
  return rake_geos_mend (shape, error);
}

RakeShape *
rake_shape_new_point (double x_mm, double y_mm, GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_POINT);

  rake_tracing_start_ring (tracing, FALSE);
  if (!rake_tracing_add_point (tracing, x_mm, y_mm, error))
    return NULL;
  return rake_tracing_finish (tracing, error);
}

RakeShape *
rake_shape_new_line (const double *points_mm, guint n_points, GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_LINE);

  if (n_points < 2)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("a line needs at least two points, here are %u"), n_points);
      return NULL;
    }
  rake_tracing_start_ring (tracing, FALSE);
  if (!rake_tracing_add_points (tracing, points_mm, n_points, error))
    return NULL;
  return rake_tracing_finish (tracing, error);
}

RakeShape *
rake_shape_new_area (const double *points_mm, guint n_points, GError **error)
{
  return rake_shape_new_area_with_holes (&points_mm, &n_points, 1, error);
}

RakeShape *
rake_shape_new_area_with_holes (const double *const *rings_mm, const guint *n_points, guint n_rings,
                                GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_AREA);

  g_return_val_if_fail (n_rings > 0, NULL);
  for (guint r = 0; r < n_rings; r++)
    {
      if (n_points[r] < 3)
        {
          g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                       _ ("the edge of an area needs at least three points, here are %u"),
                       n_points[r]);
          return NULL;
        }
      rake_tracing_start_ring (tracing, r > 0);
      if (!rake_tracing_add_points (tracing, rings_mm[r], n_points[r], error))
        return NULL;
    }
  return rake_tracing_finish (tracing, error);
}

RakeShape *
rake_shape_ref (RakeShape *shape)
{
  g_return_val_if_fail (shape != NULL, NULL);
  g_atomic_ref_count_inc (&shape->n_refs);
  return shape;
}

void
rake_shape_unref (RakeShape *shape)
{
  if (shape == NULL || !g_atomic_ref_count_dec (&shape->n_refs))
    return;
  g_free (shape->rings);
  g_free (shape->points_mm);
  g_free (shape);
}

RakeShapeKind
rake_shape_get_kind (const RakeShape *shape)
{
  return shape->kind;
}

gboolean
rake_shape_equal (const RakeShape *a, const RakeShape *b)
{
  if (a == b)
    return TRUE;
  if (a->kind != b->kind || a->n_rings != b->n_rings || a->n_points != b->n_points)
    return FALSE;
  for (guint r = 0; r < a->n_rings; r++)
    if (a->rings[r].n_points != b->rings[r].n_points || a->rings[r].is_hole != b->rings[r].is_hole)
      return FALSE;
  return memcmp (a->points_mm, b->points_mm, 2 * a->n_points * sizeof (double)) == 0;
}

guint
rake_shape_get_n_rings (const RakeShape *shape)
{
  return shape->n_rings;
}

const double *
rake_shape_get_ring (const RakeShape *shape, guint index, guint *n_points, gboolean *is_hole)
{
  g_return_val_if_fail (index < shape->n_rings, NULL);
  *n_points = shape->rings[index].n_points;
  if (is_hole != NULL)
    *is_hole = shape->rings[index].is_hole;
  return shape->points_mm + 2 * shape->rings[index].first;
}

RakeBounds
rake_shape_get_bounds (const RakeShape *shape)
{
  return shape->bounds;
}

double
rake_shape_get_area_mm2 (const RakeShape *shape)
{
  return shape->area_mm2;
}

double
rake_shape_get_length_mm (const RakeShape *shape)
{
  return shape->length_mm;
}
