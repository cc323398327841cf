/* zoning-check.c - do the zones tile their face; and where a drawn point was meant to be. */
#include <rakelight/zoning.h>

#include <math.h>

#include "shape-private.h"

/* A gap or an overlap that is anywhere broader than this is no matter of snapped edges, however
 * small its share of the whole. */
#define BROAD_FAULT_MM 0.02

/* Overlap in all too small to hold a broad one worth looking for. */
#define LEAST_OVERLAP_MM2 0.01

/* An edge that turns by more than this is a corner; the chords of a small round turn by less. */
#define CORNER_TURN_DEG 25.0

static gboolean
has_broad_overlap (RakeShape *const *areas, guint n_areas)
{
  for (guint i = 0; i < n_areas; i++)
    for (guint k = 0; k < i; k++)
      {
        g_autoptr (RakeShape) shared = NULL;
        if (!rake_bounds_meet (&areas[i]->bounds, &areas[k]->bounds, 0))
          continue;
        shared = rake_shape_intersection (areas[i], areas[k], NULL);
        if (shared != NULL && !rake_shape_is_thread (shared, BROAD_FAULT_MM))
          return TRUE;
      }
  return FALSE;
}

/* What of @a is not in @b: its area, and whether it is anywhere broad. */
static gboolean
measure_rest (const RakeShape *a, const RakeShape *b, double *area_mm2, gboolean *is_broad,
              GError **error)
{
  g_autoptr (GError) failure = NULL;
  g_autoptr (RakeShape) rest = rake_shape_difference (a, b, &failure);

  if (rest == NULL && !g_error_matches (failure, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY))
    {
      g_propagate_error (error, g_steal_pointer (&failure));
      return FALSE;
    }
  *area_mm2 = rest != NULL ? rest->area_mm2 : 0;
  *is_broad = rest != NULL && !rake_shape_is_thread (rest, BROAD_FAULT_MM);
  return TRUE;
}

gboolean
rake_zoning_check_tiles (const RakeShape *face, RakeShape *const *areas, guint n_areas,
                         GError **error)
{
  g_autoptr (RakeShape) all = NULL;
  double allowed_mm2 = face->length_mm * RAKE_GRID_MM, sum_mm2 = 0;
  double gap_mm2, outside_mm2, overlap_mm2;
  gboolean gap_is_broad, outside_is_broad;

  g_return_val_if_fail (face->kind == RAKE_SHAPE_AREA, FALSE);
  for (guint i = 0; i < n_areas; i++)
    {
      g_return_val_if_fail (areas[i]->kind == RAKE_SHAPE_AREA, FALSE);
      sum_mm2 += areas[i]->area_mm2;
      allowed_mm2 += areas[i]->length_mm * RAKE_GRID_MM;
    }
  all = rake_shape_union_all (areas, n_areas, error);
  if (all == NULL || !measure_rest (face, all, &gap_mm2, &gap_is_broad, error) ||
      !measure_rest (all, face, &outside_mm2, &outside_is_broad, error))
    return FALSE;
  overlap_mm2 = sum_mm2 - all->area_mm2;
  if (gap_is_broad || gap_mm2 > allowed_mm2)
    g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                 _ ("The zones leave %.2f mm² of the face uncovered."), gap_mm2);
  else if (outside_is_broad || outside_mm2 > allowed_mm2)
    g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                 _ ("The zones reach %.2f mm² beyond the face."), outside_mm2);
  else if (overlap_mm2 > allowed_mm2 ||
           (overlap_mm2 > LEAST_OVERLAP_MM2 && has_broad_overlap (areas, n_areas)))
    g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                 _ ("The zones overlap each other by %.2f mm²."), overlap_mm2);
  else
    return TRUE;
  return FALSE;
}

typedef struct
{
  double x_mm, y_mm;       /* as drawn */
  double to_x_mm, to_y_mm; /* the best so far */
  double distance_mm;      /* to it */
} Target;

static void
aim_at (Target *target, double x_mm, double y_mm)
{
  double distance_mm = hypot (x_mm - target->x_mm, y_mm - target->y_mm);

  if (distance_mm <= target->distance_mm)
    *target = (Target){ target->x_mm, target->y_mm, x_mm, y_mm, distance_mm };
}

static gboolean
is_corner (const double *before, const double *at, const double *after)
{
  double turn =
      atan2 (after[1] - at[1], after[0] - at[0]) - atan2 (at[1] - before[1], at[0] - before[0]);

  return fabs (remainder (turn, 2 * G_PI)) > CORNER_TURN_DEG * G_PI / 180;
}

static void
aim_at_corners (Target *target, const RakeShape *area)
{
  for (guint r = 0; r < area->n_rings; r++)
    {
      const double *points = area->points_mm + 2 * area->rings[r].first;
      guint n_points = area->rings[r].n_points;

      for (guint i = 0; i + 1 < n_points; i++)
        {
          const double *at = points + 2 * i;
          const double *before = i > 0 ? at - 2 : points + 2 * (n_points - 2);
          if (hypot (at[0] - target->x_mm, at[1] - target->y_mm) <= target->distance_mm &&
              is_corner (before, at, at + 2))
            aim_at (target, at[0], at[1]);
        }
    }
}

static void
aim_at_edges (Target *target, const RakeShape *area)
{
  double x_mm, y_mm;

  rake_shape_get_nearest_edge_point (area, target->x_mm, target->y_mm, &x_mm, &y_mm);
  aim_at (target, x_mm, y_mm);
}

/* Where the edges cross the upright mid line of the face: the joint of a centred piece, which a
 * hand aims at more than at any other place on an edge. */
static void
aim_at_edges_on_mid_line (Target *target, const RakeShape *area, double mid_x_mm)
{
  for (guint r = 0; r < area->n_rings; r++)
    for (guint i = 0; i + 1 < area->rings[r].n_points; i++)
      {
        const double *a = area->points_mm + 2 * (area->rings[r].first + i), *b = a + 2;
        if ((a[0] < mid_x_mm) != (b[0] < mid_x_mm))
          aim_at (target, mid_x_mm, a[1] + (b[1] - a[1]) * (mid_x_mm - a[0]) / (b[0] - a[0]));
      }
}

static void
aim_at_mid_lines (Target *target, const RakeBounds *bounds)
{
  double mid_x_mm = (bounds->min_x_mm + bounds->max_x_mm) / 2;
  double mid_y_mm = (bounds->min_y_mm + bounds->max_y_mm) / 2;

  aim_at (target, mid_x_mm, mid_y_mm);
  if (target->to_x_mm != mid_x_mm || target->to_y_mm != mid_y_mm)
    {
      aim_at (target, mid_x_mm, target->y_mm);
      aim_at (target, target->x_mm, mid_y_mm);
    }
}

gboolean
rake_zoning_snap (const RakeShape *face, RakeShape *const *areas, guint n_areas, double reach_mm,
                  double *x_mm, double *y_mm)
{
  const RakeBounds *bounds = &face->bounds;
  double mid_x_mm = (bounds->min_x_mm + bounds->max_x_mm) / 2;
  const Target start = { *x_mm, *y_mm, NAN, NAN, reach_mm };
  Target target = start;

  if (!isfinite (*x_mm) || !isfinite (*y_mm) || !(reach_mm > 0))
    return FALSE;
  for (int aim = 0; aim < 3 && isnan (target.to_x_mm); aim++)
    for (guint i = 0; i <= n_areas; i++)
      {
        const RakeShape *area = i < n_areas ? areas[i] : face;
        if (aim == 0)
          aim_at_corners (&target, area);
        else if (aim == 1)
          aim_at_edges_on_mid_line (&target, area, mid_x_mm);
        else
          aim_at_edges (&target, area);
      }
  if (isnan (target.to_x_mm))
    aim_at_mid_lines (&target, bounds);
  if (isnan (target.to_x_mm))
    return FALSE;
  target.to_x_mm = round (target.to_x_mm * 1000) / 1000;
  target.to_y_mm = round (target.to_y_mm * 1000) / 1000;
  if (target.to_x_mm == *x_mm && target.to_y_mm == *y_mm)
    return FALSE;
  *x_mm = target.to_x_mm;
  *y_mm = target.to_y_mm;
  return TRUE;
}
