/* zoning-cut.c - cutting a zone along a line drawn by hand. */
#include "zoning-private.h"

#include <math.h>

/* How far back from its end a drawn line tells where it was heading. */
#define HEADING_MM 2.0

/* A drawn end this close to the edge has arrived; one is carried this far past it. */
#define AT_EDGE_MM 0.01
#define PAST_EDGE_MM 0.005

/* The ends of a loop drawn by hand miss each other by up to this share of its length. */
#define LOOP_GAP_FRACTION 0.1

/* A piece smaller than this joins its neighbour, unless the zone is hardly larger itself. */
#define SPECK_MM2 1.0
#define SPECK_FRACTION 0.01

typedef enum
{
  STOP_AT_ANY_EDGE,
  STOP_AT_OUTSIDE_EDGE, /* holes are crossed */
} Reach;

/* Where the way from @from towards @heading first meets an edge of @part, as a multiple of
 * @heading; infinite when it meets none. */
static double
find_first_edge (const RakeShape *part, Reach reach, const double from[2], const double heading[2])
{
  double first = INFINITY;

  for (guint r = 0; r < part->n_rings; r++)
    {
      const double *points = part->points_mm + 2 * part->rings[r].first;

      if (reach == STOP_AT_OUTSIDE_EDGE && part->rings[r].is_hole)
        continue;
      for (guint i = 0; i + 1 < part->rings[r].n_points; i++)
        {
          const double *a = points + 2 * i, *b = a + 2;
          double ex = b[0] - a[0], ey = b[1] - a[1];
          double ax = a[0] - from[0], ay = a[1] - from[1];
          double across = heading[0] * ey - heading[1] * ex;
          double along_edge, along;

          if (across == 0)
            continue;
          along = (ax * ey - ay * ex) / across;
          along_edge = (ax * heading[1] - ay * heading[0]) / across;
          if (along > 0 && along_edge >= 0 && along_edge <= 1)
            first = fmin (first, along);
        }
    }
  return first;
}

/* The unit vector the path was heading in at its end (@step 1: towards the last point; -1: towards
 * the first), taken over some length so that the last tremble of the hand does not decide. */
static void
get_heading (const double *points, guint n_points, int step, double heading[2])
{
  guint end = step > 0 ? n_points - 1 : 0, at = end;
  double length = 0;

  for (guint n = 1; n < n_points && length < HEADING_MM; n++)
    {
      guint before = (guint) ((int) at - step);
      length +=
          hypot (points[2 * at] - points[2 * before], points[2 * at + 1] - points[2 * before + 1]);
      at = before;
    }
  heading[0] = points[2 * end] - points[2 * at];
  heading[1] = points[2 * end + 1] - points[2 * at + 1];
  length = hypot (heading[0], heading[1]);
  heading[0] = length > 0 ? heading[0] / length : 1;
  heading[1] = length > 0 ? heading[1] / length : 0;
}

/* TRUE when the end at @from, heading so, must be carried on to @to to leave @part. */
static gboolean
carry_on (const RakeShape *part, Reach reach, const double from[2], const double heading[2],
          double to[2])
{
  g_autoptr (RakeShape) filled =
      reach == STOP_AT_OUTSIDE_EDGE ? rake_zoning_fill_holes (part) : NULL;
  const RakeShape *inside_of = filled != NULL ? filled : part;
  double edge[2], distance_mm, along;

  if (!rake_shape_contains (inside_of, from[0], from[1]))
    return FALSE;
  distance_mm = rake_shape_get_nearest_edge_point (inside_of, from[0], from[1], &edge[0], &edge[1]);
  if (distance_mm == 0)
    return FALSE;
  if (distance_mm < AT_EDGE_MM)
    {
      double past = 1 + PAST_EDGE_MM / distance_mm;
      to[0] = from[0] + (edge[0] - from[0]) * past;
      to[1] = from[1] + (edge[1] - from[1]) * past;
      return TRUE;
    }
  along = find_first_edge (part, reach, from, heading);
  if (!isfinite (along))
    return FALSE;
  to[0] = from[0] + heading[0] * (along + PAST_EDGE_MM);
  to[1] = from[1] + heading[1] * (along + PAST_EDGE_MM);
  return TRUE;
}

static gboolean
add_end (RakeTracing *tracing, GPtrArray *parts, Reach reach, const double *points, guint n_points,
         int step)
{
  const double *from = points + 2 * (step > 0 ? n_points - 1 : 0);
  double heading[2], to[2];

  get_heading (points, n_points, step, heading);
  for (guint i = 0; i < parts->len; i++)
    if (carry_on (rake_zoning_get_area (parts, i), reach, from, heading, to))
      return rake_tracing_add_point (tracing, to[0], to[1], NULL);
  return TRUE;
}

/* NULL when it would leave the drawing board altogether. */
static RakeShape *
extend_line (const RakeShape *line, GPtrArray *parts, Reach reach)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_LINE);

  for (guint r = 0; r < line->n_rings; r++)
    {
      const double *points = line->points_mm + 2 * line->rings[r].first;
      guint n_points = line->rings[r].n_points;

      rake_tracing_start_ring (tracing, FALSE);
      if (!add_end (tracing, parts, reach, points, n_points, -1) ||
          !rake_tracing_add_points (tracing, points, n_points, NULL) ||
          !add_end (tracing, parts, reach, points, n_points, 1))
        return NULL;
    }
  return rake_tracing_finish (tracing, NULL);
}

/* The line closed, when it was drawn round something and its ends nearly met; else NULL. */
static RakeShape *
close_loop (const RakeShape *line)
{
  guint n_points = line->n_points;
  const double *points = line->points_mm;
  g_autoptr (RakeTracing) tracing = NULL;

  if (line->n_rings != 1 || n_points < 4 ||
      hypot (points[2 * n_points - 2] - points[0], points[2 * n_points - 1] - points[1]) >
          LOOP_GAP_FRACTION * line->length_mm)
    return NULL;
  tracing = rake_tracing_new (RAKE_SHAPE_LINE);
  rake_tracing_start_ring (tracing, FALSE);
  if (!rake_tracing_add_points (tracing, points, n_points, NULL) ||
      !rake_tracing_add_point (tracing, points[0], points[1], NULL))
    return NULL;
  return rake_tracing_finish (tracing, NULL);
}

static gpointer
copy_area (gconstpointer area, gpointer unused)
{
  return rake_shape_ref ((RakeShape *) area);
}

/* The zones along @cuts: an empty array when they divide nothing. A part that no cut went through
 * stays with the other such parts. */
static GPtrArray *
cut_parts (GPtrArray *parts, const RakeShape *cuts, GError **error)
{
  g_autoptr (GPtrArray) zones = rake_zoning_new_areas (), untouched = rake_zoning_new_areas ();

  for (guint i = 0; i < parts->len; i++)
    {
      RakeShape *part = rake_zoning_get_area (parts, i);
      g_autoptr (GPtrArray) meshes = rake_zoning_find_meshes (part, cuts, error);
      double speck_mm2 = fmin (SPECK_MM2, SPECK_FRACTION * part->area_mm2);

      if (meshes == NULL || !rake_zoning_settle_small (meshes, speck_mm2, error))
        return NULL;
      if (meshes->len > 1)
        g_ptr_array_extend (zones, meshes, copy_area, NULL);
      else
        g_ptr_array_add (untouched, rake_shape_ref (part));
    }
  if (zones->len > 0 && untouched->len > 0)
    {
      RakeShape *rest =
          rake_shape_union_all ((RakeShape *const *) untouched->pdata, untouched->len, error);
      if (rest == NULL)
        return NULL;
      g_ptr_array_add (zones, rest);
    }
  return g_steal_pointer (&zones);
}

/* Tries the ways in which the line may have been meant, the nearest first. */
static GPtrArray *
cut_as_meant (GPtrArray *parts, const RakeShape *line, gboolean extend, GError **error)
{
  g_autoptr (RakeShape) loop = extend ? close_loop (line) : NULL;
  g_autoptr (RakeShape) to_edge = extend ? extend_line (line, parts, STOP_AT_ANY_EDGE) : NULL;
  g_autoptr (RakeShape) to_outside =
      extend ? extend_line (line, parts, STOP_AT_OUTSIDE_EDGE) : NULL;
  /* A loop whose ends cross each other is whole without being closed. */
  const RakeShape *const meanings[] = { loop != NULL || !extend ? line : NULL, loop, to_edge,
                                        to_outside };

  for (gsize i = 0; i < G_N_ELEMENTS (meanings); i++)
    {
      g_autoptr (GPtrArray) zones = NULL;

      if (meanings[i] == NULL)
        continue;
      zones = cut_parts (parts, meanings[i], error);
      if (zones == NULL || zones->len > 0)
        return g_steal_pointer (&zones);
    }
  return rake_zoning_new_areas ();
}

GPtrArray *
rake_zoning_cut (const RakeShape *area, const RakeShape *line, gboolean extend, GError **error)
{
  g_autoptr (GPtrArray) parts = NULL, zones = NULL;

  g_return_val_if_fail (area->kind == RAKE_SHAPE_AREA && line->kind == RAKE_SHAPE_LINE, NULL);
  parts = rake_shape_get_parts (area);
  zones = cut_as_meant (parts, line, extend, error);
  if (zones == NULL)
    return NULL;
  if (zones->len == 0)
    {
      g_set_error_literal (
          error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
          rake_shape_overlaps (line, area)
              ? _ ("This line does not divide the zone: draw it from one edge to another, or as a "
                   "closed loop.")
              : _ ("This line misses the zone: draw it across, from one edge to another."));
      return NULL;
    }
  rake_zoning_put_in_order (zones, &area->bounds, 1, 1);
  return g_steal_pointer (&zones);
}
