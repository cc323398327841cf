/* shape-overlay.c - areas united, cut out of each other, grown and shrunk.
 *
 * The quick way computes freely and then snaps to the grid; where that fails, or snapping has made
 * two edges cross, the same is done again with every crossing snapped as it is found, which is
 * several times slower but always ends on the grid. */
#include "shape-private.h"

#include <math.h>

/* Chords of a round corner stay this close to the arc. */
#define ROUND_WITHIN_MM 0.02

#define STROKE_PIECE_POINTS 40

typedef GEOSGeometry *(*Overlay) (GEOSContextHandle_t, const GEOSGeometry *, const GEOSGeometry *);
typedef GEOSGeometry *(*OverlayOnGrid) (GEOSContextHandle_t, const GEOSGeometry *,
                                        const GEOSGeometry *, double);

static RakeShape *
take_result (GEOSGeometry *result, RakeShapeKind kind, GError **error)
{
  /* One order of rings and points whatever the order of the work. */
  if (GEOSNormalize_r (rake_geos_get_context (), result) != 0)
    {
      rake_geos_set_error (error, _ ("putting a computed area in order failed"));
      return NULL;
    }
  return rake_geos_to_shape (result, kind, error);
}

/* What to do with a quick result: TRUE when @shape is it, or when no other way would give one, with
 * @error set. */
static gboolean
take_quick_result (GEOSGeometry *result, RakeShape **shape, GError **error)
{
  g_autoptr (RakeShape) taken = NULL;
  g_autoptr (GError) failure = NULL;

  if (result == NULL)
    return FALSE;
  taken = take_result (result, RAKE_SHAPE_AREA, &failure);
  if (taken == NULL)
    {
      if (g_error_matches (failure, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_GEOMETRY))
        return FALSE;
      g_propagate_error (error, g_steal_pointer (&failure));
      return TRUE;
    }
  if (!rake_geos_is_valid (taken))
    return FALSE;
  *shape = g_steal_pointer (&taken);
  return TRUE;
}

static RakeShape *
take_grid_result (GEOSGeometry *result, const char *doing, GError **error)
{
  g_autoptr (RakeShape) shape = NULL;

  if (result == NULL)
    {
      rake_geos_set_error (error, doing);
      return NULL;
    }
  shape = take_result (result, RAKE_SHAPE_AREA, error);
  if (shape != NULL && !rake_geos_is_valid (shape))
    {
      rake_geos_set_error (error, doing);
      return NULL;
    }
  return g_steal_pointer (&shape);
}

static RakeShape *
overlay (Overlay quick, OverlayOnGrid on_grid, const RakeShape *a, const RakeShape *b,
         const char *doing, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GEOSGeometry) left = NULL, right = NULL, result = NULL, grid_result = NULL;
  const RakeShape *both[2] = { a, b };
  RakeShape *shape = NULL;

  if (!rake_geos_check_effort (both, 2, RAKE_MOST_CROSSINGS, error))
    return NULL;
  left = rake_geos_from_shape (a);
  right = rake_geos_from_shape (b);
  if (left == NULL || right == NULL)
    {
      rake_geos_set_error (error, doing);
      return NULL;
    }
  result = quick (context, left, right);
  if (take_quick_result (result, &shape, error))
    return shape;
  grid_result = on_grid (context, left, right, RAKE_GRID_MM);
  return take_grid_result (grid_result, doing, error);
}

RakeShape *
rake_shape_union (const RakeShape *a, const RakeShape *b, GError **error)
{
  g_return_val_if_fail (a->kind == RAKE_SHAPE_AREA && b->kind == RAKE_SHAPE_AREA, NULL);
  return overlay (GEOSUnion_r, GEOSUnionPrec_r, a, b, _ ("uniting two areas failed"), error);
}

static RakeShape *
unite_at_once (RakeShape *const *shapes, guint n_shapes, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GPtrArray) parts = g_ptr_array_new ();
  g_autoptr (GEOSGeometry) all = NULL, result = NULL, grid_result = NULL;
  RakeShape *shape = NULL;

  for (guint i = 0; i < n_shapes; i++)
    g_ptr_array_add (parts, rake_geos_from_shape (shapes[i]));
  all = rake_geos_collect (GEOS_GEOMETRYCOLLECTION, parts);
  if (all == NULL)
    {
      rake_geos_set_error (error, _ ("uniting areas failed"));
      return NULL;
    }
  result = GEOSUnaryUnion_r (context, all);
  if (take_quick_result (result, &shape, error))
    return shape;
  grid_result = GEOSUnaryUnionPrec_r (context, all, RAKE_GRID_MM);
  return take_grid_result (grid_result, _ ("uniting areas failed"), error);
}

/* Many strokes painted over each other cross far oftener than what comes of them: so if all at once
 * is too much, half and half, and what came of them after. */
static RakeShape *
unite (RakeShape *const *shapes, guint n_shapes, GError **error)
{
  guint half = n_shapes / 2;
  g_autoptr (RakeShape) left = NULL, right = NULL;

  if (n_shapes == 1)
    return rake_shape_ref (shapes[0]);
  if (n_shapes == 2)
    return rake_shape_union (shapes[0], shapes[1], error);
  if (rake_geos_check_effort ((const RakeShape *const *) shapes, n_shapes, RAKE_MOST_CROSSINGS,
                              NULL))
    return unite_at_once (shapes, n_shapes, error);
  left = unite (shapes, half, error);
  if (left == NULL)
    return NULL;
  right = unite (shapes + half, n_shapes - half, error);
  if (right == NULL)
    return NULL;
  return rake_shape_union (left, right, error);
}

RakeShape *
rake_shape_union_all (RakeShape *const *shapes, guint n_shapes, GError **error)
{
  if (n_shapes == 0)
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
                           _ ("there are no areas to unite"));
      return NULL;
    }
  for (guint i = 0; i < n_shapes; i++)
    g_return_val_if_fail (shapes[i]->kind == RAKE_SHAPE_AREA, NULL);
  return unite (shapes, n_shapes, error);
}

static RakeShape *
clip_line (const RakeShape *line, const RakeShape *area, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GEOSGeometry) left = NULL, right = NULL, clipped = NULL, merged = NULL;
  const RakeShape *both[2] = { line, area };

  if (!rake_geos_check_effort (both, 2, RAKE_MOST_CROSSINGS, error))
    return NULL;
  left = rake_geos_from_shape (line);
  right = rake_geos_from_shape (area);
  if (left != NULL && right != NULL)
    clipped = GEOSIntersection_r (context, left, right);
  /* A line that crosses itself comes back cut at every crossing. */
  if (clipped != NULL)
    merged = GEOSLineMerge_r (context, clipped);
  if (merged == NULL)
    {
      rake_geos_set_error (error, _ ("clipping a line failed"));
      return NULL;
    }
  return take_result (merged, RAKE_SHAPE_LINE, error);
}

static RakeShape *
refuse_as_apart (GError **error)
{
  g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
                       _ ("the two have no place in common"));
  return NULL;
}

RakeShape *
rake_shape_intersection (const RakeShape *shape, const RakeShape *area, GError **error)
{
  g_return_val_if_fail (area->kind == RAKE_SHAPE_AREA, NULL);
  if (!rake_bounds_meet (&shape->bounds, &area->bounds, 0))
    return refuse_as_apart (error);
  if (shape->kind == RAKE_SHAPE_LINE)
    return clip_line (shape, area, error);
  if (shape->kind == RAKE_SHAPE_POINT)
    {
      if (!rake_shape_contains (area, shape->points_mm[0], shape->points_mm[1]))
        return refuse_as_apart (error);
      return rake_shape_ref ((RakeShape *) shape);
    }
  return overlay (GEOSIntersection_r, GEOSIntersectionPrec_r, shape, area,
                  _ ("finding what two areas share failed"), error);
}

RakeShape *
rake_shape_difference (const RakeShape *a, const RakeShape *b, GError **error)
{
  g_return_val_if_fail (a->kind == RAKE_SHAPE_AREA && b->kind == RAKE_SHAPE_AREA, NULL);
  if (!rake_bounds_meet (&a->bounds, &b->bounds, 0))
    return rake_shape_ref ((RakeShape *) a);
  return overlay (GEOSDifference_r, GEOSDifferencePrec_r, a, b,
                  _ ("cutting one area out of another failed"), error);
}

static int
get_quadrant_segments (double radius_mm)
{
  /* A chord over the angle 2·t leaves the arc by radius·(1 - cos t). */
  double half_angle = acos (fmax (0.0, 1 - ROUND_WITHIN_MM / fmax (radius_mm, ROUND_WITHIN_MM)));

  return CLAMP ((int) ceil (G_PI / 4 / half_angle), 4, 64);
}

static RakeShape *
buffer_once (const RakeShape *shape, double distance_mm, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GEOSGeometry) geometry = rake_geos_from_shape (shape), result = NULL, on_grid = NULL;
  RakeShape *buffered = NULL;

  if (geometry != NULL)
    result =
        GEOSBuffer_r (context, geometry, distance_mm, get_quadrant_segments (fabs (distance_mm)));
  if (take_quick_result (result, &buffered, error))
    return buffered;
  if (result != NULL)
    on_grid = GEOSGeom_setPrecision_r (context, result, RAKE_GRID_MM, 0);
  return take_grid_result (on_grid, _ ("growing or shrinking an area failed"), error);
}

/* An inward buffer sometimes loses a narrow area that should have stayed. The middle of the
 * largest circle inside tells: it stays whenever the circle is wider than what is taken off. */
static RakeShape *
shrink_part (const RakeShape *part, double distance_mm, GError **error)
{
  static const double tries[] = { 1, 0.999, 1.001, 0.998 };
  double x_mm, y_mm;
  double radius_mm = rake_shape_get_inner_circle (part, 0.02, &x_mm, &y_mm);

  for (gsize i = 0; i < G_N_ELEMENTS (tries); i++)
    {
      g_autoptr (GError) failure = NULL;
      g_autoptr (RakeShape) shrunk = buffer_once (part, -distance_mm * tries[i], &failure);

      if (radius_mm < 1.02 * distance_mm + 0.01 ||
          (shrunk != NULL && rake_shape_contains (shrunk, x_mm, y_mm)))
        {
          if (shrunk == NULL)
            g_propagate_error (error, g_steal_pointer (&failure));
          return g_steal_pointer (&shrunk);
        }
    }
  g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_GEOMETRY,
               _ ("shrinking an area by %.2f mm lost it, though it is %.2f mm wide"), distance_mm,
               2 * radius_mm);
  return NULL;
}

static RakeShape *
shrink (const RakeShape *area, double distance_mm, GError **error)
{
  g_autoptr (GPtrArray) parts = rake_shape_get_parts (area);
  g_autoptr (GPtrArray) shrunk = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);

  for (guint i = 0; i < parts->len; i++)
    {
      g_autoptr (GError) failure = NULL;
      RakeShape *part = shrink_part (parts->pdata[i], distance_mm, &failure);

      if (part != NULL)
        g_ptr_array_add (shrunk, part);
      else if (!g_error_matches (failure, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY))
        {
          g_propagate_error (error, g_steal_pointer (&failure));
          return NULL;
        }
    }
  if (shrunk->len == 0)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
                   _ ("nothing remains %.2f mm inside the edge"), distance_mm);
      return NULL;
    }
  return rake_shape_union_all ((RakeShape *const *) shrunk->pdata, shrunk->len, error);
}

RakeShape *
rake_shape_buffer (const RakeShape *shape, double distance_mm, GError **error)
{
  if (!isfinite (distance_mm) || fabs (distance_mm) > 2 * RAKE_SHAPE_LIMIT_MM)
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                           _ ("the distance to grow or shrink by is not a usable number"));
      return NULL;
    }
  if (!rake_geos_check_effort (&shape, 1, RAKE_MOST_OWN_CROSSINGS, error))
    return NULL;
  if (distance_mm < 0 && shape->kind == RAKE_SHAPE_AREA)
    return shrink (shape, -distance_mm, error);
  if (distance_mm == 0 && shape->kind == RAKE_SHAPE_AREA)
    return rake_shape_ref ((RakeShape *) shape);
  return buffer_once (shape, distance_mm, error);
}

/* A pointer tells far more points than the stroke has bends. */
static RakeShape *
simplify_path (RakeShape *path)
{
  g_autoptr (GEOSGeometry) geometry = rake_geos_from_shape (path), simplified = NULL;
  RakeShape *simple = NULL;

  if (geometry != NULL)
    simplified = GEOSSimplify_r (rake_geos_get_context (), geometry, ROUND_WITHIN_MM);
  if (simplified != NULL)
    simple = rake_geos_to_shape (simplified, RAKE_SHAPE_LINE, NULL);
  return simple != NULL ? simple : rake_shape_ref (path);
}

/* GEOS's work on a path that lies over itself grows with the square of its length: rubbed to and
 * fro, a long stroke would take a second. In short pieces, united, it takes a twentieth of that. */
static RakeShape *
paint_along (const RakeShape *path, double radius_mm, GError **error)
{
  g_autoptr (GPtrArray) pieces = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);

  for (guint start = 0; start + 1 < path->n_points; start += STROKE_PIECE_POINTS - 1)
    {
      guint n_points = MIN (STROKE_PIECE_POINTS, path->n_points - start);
      g_autoptr (RakeShape) piece =
          rake_shape_new_line (path->points_mm + 2 * start, n_points, error);
      RakeShape *painted = piece != NULL ? rake_shape_buffer (piece, radius_mm, error) : NULL;

      if (painted == NULL)
        return NULL;
      g_ptr_array_add (pieces, painted);
    }
  return rake_shape_union_all ((RakeShape *const *) pieces->pdata, pieces->len, error);
}

RakeShape *
rake_shape_new_brush_stroke (const double *points_mm, guint n_points, double radius_mm,
                             GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_LINE);
  g_autoptr (RakeShape) path = NULL, simple = NULL;

  if (n_points == 0 || !isfinite (radius_mm) || radius_mm <= 0)
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                           _ ("a brush stroke needs a place and a radius above 0 mm"));
      return NULL;
    }
  rake_tracing_start_ring (tracing, FALSE);
  if (!rake_tracing_add_points (tracing, points_mm, n_points, error))
    return NULL;
  if (tracing->points_mm->len == 2)
    tracing->kind = RAKE_SHAPE_POINT;
  path = rake_tracing_finish (tracing, error);
  if (path == NULL || path->kind == RAKE_SHAPE_POINT)
    return path != NULL ? rake_shape_buffer (path, radius_mm, error) : NULL;
  simple = simplify_path (path);
  return paint_along (simple, radius_mm, error);
}

static int
compare_areas (gconstpointer a, gconstpointer b)
{
  const RakeShape *left = *(RakeShape *const *) a, *right = *(RakeShape *const *) b;

  if (left->area_mm2 != right->area_mm2)
    return left->area_mm2 > right->area_mm2 ? -1 : 1;
  if (left->bounds.min_y_mm != right->bounds.min_y_mm)
    return left->bounds.min_y_mm < right->bounds.min_y_mm ? -1 : 1;
  if (left->bounds.min_x_mm != right->bounds.min_x_mm)
    return left->bounds.min_x_mm < right->bounds.min_x_mm ? -1 : 1;
  return 0;
}

GPtrArray *
rake_shape_get_parts (const RakeShape *area)
{
  g_autoptr (GPtrArray) parts = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  guint ring = 0;

  while (ring < area->n_rings)
    {
      g_autoptr (RakeTracing) tracing = rake_tracing_new (area->kind);
      do
        {
          rake_tracing_start_ring (tracing, area->rings[ring].is_hole);
          rake_tracing_add_points (tracing, area->points_mm + 2 * area->rings[ring].first,
                                   area->rings[ring].n_points, NULL);
          ring++;
        }
      while (ring < area->n_rings && area->rings[ring].is_hole);
      g_ptr_array_add (parts, rake_tracing_finish_unchecked (tracing, NULL));
    }
  g_ptr_array_sort (parts, compare_areas);
  return g_steal_pointer (&parts);
}

gboolean
rake_shape_is_thread (const RakeShape *area, double width_mm)
{
  g_autoptr (RakeShape) core = NULL;
  g_autoptr (GError) error = NULL;

  if (2 * area->area_mm2 >= width_mm * area->length_mm)
    return FALSE;
  core = rake_shape_buffer (area, -width_mm / 2, &error);
  return core == NULL && g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY);
}

static void
add_rings (RakeTracing *tracing, const RakeShape *piece, double least_hole_width_mm)
{
  for (guint r = 0; r < piece->n_rings; r++)
    {
      const RakeRing *ring = &piece->rings[r];
      const double *points = piece->points_mm + 2 * ring->first;

      if (ring->is_hole && least_hole_width_mm > 0)
        {
          g_autoptr (RakeTracing) alone = rake_tracing_new (RAKE_SHAPE_AREA);
          g_autoptr (RakeShape) hole = NULL;
          rake_tracing_start_ring (alone, FALSE);
          rake_tracing_add_points (alone, points, ring->n_points, NULL);
          hole = rake_tracing_finish_unchecked (alone, NULL);
          if (hole == NULL || rake_shape_is_thread (hole, least_hole_width_mm))
            continue;
        }
      rake_tracing_start_ring (tracing, ring->is_hole);
      rake_tracing_add_points (tracing, points, ring->n_points, NULL);
    }
}

void
rake_shape_split_by_width (const RakeShape *area, double width_mm, RakeShape **broad,
                           RakeShape **narrow)
{
  g_autoptr (GPtrArray) parts = rake_shape_get_parts (area);
  g_autoptr (RakeTracing) broad_tracing = rake_tracing_new (RAKE_SHAPE_AREA);
  g_autoptr (RakeTracing) narrow_tracing = rake_tracing_new (RAKE_SHAPE_AREA);

  for (guint i = 0; i < parts->len; i++)
    {
      const RakeShape *part = parts->pdata[i];
      gboolean is_broad = 2 * part->area_mm2 >= width_mm * part->length_mm;
      add_rings (is_broad ? broad_tracing : narrow_tracing, part, is_broad ? width_mm : 0);
    }
  /* Checked: a filled hole may have held a piece that is now inside another. */
  *broad = rake_tracing_finish (broad_tracing, NULL);
  *narrow = rake_tracing_finish_unchecked (narrow_tracing, NULL);
}

RakeShape *
rake_shape_transform (const RakeShape *shape, const double matrix[6], GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (shape->kind);

  for (guint r = 0; r < shape->n_rings; r++)
    {
      const double *points = shape->points_mm + 2 * shape->rings[r].first;

      rake_tracing_start_ring (tracing, shape->rings[r].is_hole);
      for (guint i = 0; i < shape->rings[r].n_points; i++)
        if (!rake_tracing_add_point (
                tracing, matrix[0] * points[2 * i] + matrix[2] * points[2 * i + 1] + matrix[4],
                matrix[1] * points[2 * i] + matrix[3] * points[2 * i + 1] + matrix[5], error))
          return NULL;
    }
  return rake_tracing_finish (tracing, error);
}
