/* zoning.c - bands, grids and joining.
 *
 * A division lays all edges and cuts together, snaps every crossing to the grid at once and takes
 * the meshes of that net: two zones beside a cut share its very points, so nothing is lost between
 * them. */
#include "zoning-private.h"

#include <math.h>

/* What is left of a cell at the edge and smaller than this joins its neighbour. */
#define SMALL_CELL_FRACTION 0.02

/* Wider than what bent edges leave open, narrower than anything drawn. */
#define THREAD_WIDTH_MM 0.01

/* Nobody sands a smaller square by itself. */
#define LEAST_CELL_MM 2.0

/* Well above what counts as a sliver. */
#define LEAST_BAND_MM 0.5

/* Grid lines reach this far past the edge, so as to cross it. */
#define PAST_EDGE_MM 0.005

/* --- the band along the edge ---------------------------------------------------------------- */

/* Moves slivers of @from over to @to. */
static gboolean
hand_over_slivers (RakeShape **from, RakeShape **to, GError **error)
{
  g_autoptr (RakeShape) broad = NULL, narrow = NULL, grown = NULL;

  if (*from == NULL)
    return TRUE;
  rake_shape_split_by_width (*from, RAKE_SLIVER_WIDTH_MM, &broad, &narrow);
  if (narrow == NULL)
    return TRUE;
  grown = *to != NULL ? rake_shape_union (*to, narrow, error) : rake_shape_ref (narrow);
  if (grown == NULL)
    return FALSE;
  g_clear_pointer (from, rake_shape_unref);
  g_clear_pointer (to, rake_shape_unref);
  *from = g_steal_pointer (&broad);
  *to = g_steal_pointer (&grown);
  return TRUE;
}

/* The result of an operation of which nothing may remain: NULL without an error then. */
static gboolean
take_or_nothing (RakeShape *result, RakeShape **taken, GError **failure, GError **error)
{
  *taken = result;
  if (result == NULL && !g_error_matches (*failure, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY))
    {
      g_propagate_error (error, g_steal_pointer (failure));
      return FALSE;
    }
  g_clear_error (failure);
  return TRUE;
}

GPtrArray *
rake_zoning_band (const RakeShape *area, const RakeShape *face, double width_mm,
                  gboolean along_holes, GError **error)
{
  g_autoptr (RakeShape) outline = NULL, inside = NULL, band = NULL, rest = NULL;
  g_autoptr (GPtrArray) zones = rake_zoning_new_areas ();
  g_autoptr (GError) failure = NULL;

  g_return_val_if_fail (area->kind == RAKE_SHAPE_AREA && face->kind == RAKE_SHAPE_AREA, NULL);
  if (!isfinite (width_mm) || width_mm < LEAST_BAND_MM)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("A band must be at least %.1f mm wide."), LEAST_BAND_MM);
      return NULL;
    }
  outline = along_holes ? rake_shape_ref ((RakeShape *) face) : rake_zoning_fill_holes (face);
  if (!take_or_nothing (rake_shape_buffer (outline, -width_mm, &failure), &inside, &failure, error))
    return NULL;
  if (inside != NULL &&
      (!take_or_nothing (rake_shape_difference (area, inside, &failure), &band, &failure, error) ||
       !take_or_nothing (rake_shape_intersection (area, inside, &failure), &rest, &failure,
                         error) ||
       !hand_over_slivers (&band, &rest, error) || !hand_over_slivers (&rest, &band, error)))
    return NULL;
  if (band == NULL || rest == NULL)
    {
      g_set_error (
          error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
          band == NULL && inside != NULL
              ? _ ("This zone lies further than %.1f mm from the edge: make the band wider.")
              : _ ("A band of %.1f mm takes in the whole zone: make it narrower."),
          width_mm);
      return NULL;
    }
  g_ptr_array_add (zones, g_steal_pointer (&band));
  g_ptr_array_add (zones, g_steal_pointer (&rest));
  return g_steal_pointer (&zones);
}

/* --- the grid ------------------------------------------------------------------------------- */

static RakeShape *
new_grid_lines (const RakeBounds *bounds, guint n_columns, guint n_rows, GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_LINE);
  double width = bounds->max_x_mm - bounds->min_x_mm;
  double height = bounds->max_y_mm - bounds->min_y_mm;

  for (guint i = 1; i < n_columns; i++)
    {
      double x = bounds->min_x_mm + width * i / n_columns;
      rake_tracing_start_ring (tracing, FALSE);
      if (!rake_tracing_add_point (tracing, x, bounds->min_y_mm - PAST_EDGE_MM, error) ||
          !rake_tracing_add_point (tracing, x, bounds->max_y_mm + PAST_EDGE_MM, error))
        return NULL;
    }
  for (guint i = 1; i < n_rows; i++)
    {
      double y = bounds->min_y_mm + height * i / n_rows;
      rake_tracing_start_ring (tracing, FALSE);
      if (!rake_tracing_add_point (tracing, bounds->min_x_mm - PAST_EDGE_MM, y, error) ||
          !rake_tracing_add_point (tracing, bounds->max_x_mm + PAST_EDGE_MM, y, error))
        return NULL;
    }
  return rake_tracing_finish (tracing, error);
}

GPtrArray *
rake_zoning_grid (const RakeShape *area, guint n_columns, guint n_rows, GError **error)
{
  const RakeBounds *bounds = &area->bounds;
  double column_mm = (bounds->max_x_mm - bounds->min_x_mm) / n_columns;
  double row_mm = (bounds->max_y_mm - bounds->min_y_mm) / n_rows;
  g_autoptr (RakeShape) lines = NULL;
  g_autoptr (GPtrArray) zones = NULL;

  g_return_val_if_fail (area->kind == RAKE_SHAPE_AREA, NULL);
  if (n_columns < 1 || n_columns > RAKE_ZONING_MOST_CELLS || n_rows < 1 ||
      n_rows > RAKE_ZONING_MOST_CELLS || n_columns * n_rows < 2)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("A grid has 1 to %d columns and rows, and more than one cell."),
                   RAKE_ZONING_MOST_CELLS);
      return NULL;
    }
  if (column_mm < LEAST_CELL_MM || row_mm < LEAST_CELL_MM)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
                   _ ("This zone is too small for such a grid: a cell must be at least %.0f mm "
                      "wide and high."),
                   LEAST_CELL_MM);
      return NULL;
    }
  lines = new_grid_lines (bounds, n_columns, n_rows, error);
  if (lines == NULL)
    return NULL;
  zones = rake_zoning_find_meshes (area, lines, error);
  if (zones == NULL ||
      !rake_zoning_settle_small (zones, SMALL_CELL_FRACTION * column_mm * row_mm, error))
    return NULL;
  if (zones->len < 2)
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
                           _ ("This grid leaves the zone whole: take more columns or rows."));
      return NULL;
    }
  rake_zoning_put_in_order (zones, bounds, n_columns, n_rows);
  return g_steal_pointer (&zones);
}

/* --- joining -------------------------------------------------------------------------------- */

/* Visits the areas from one to its neighbours, putting their indexes into @order; returns how many
 * separate groups there are. */
static guint
follow_neighbours (RakeShape *const *areas, guint n_areas, guint *order)
{
  g_autofree gboolean *is_reached = g_new0 (gboolean, n_areas);
  guint n_reached = 0, n_groups = 0;

  for (guint start = 0; start < n_areas; start++)
    {
      if (is_reached[start])
        continue;
      n_groups++;
      is_reached[start] = TRUE;
      order[n_reached++] = start;
      for (guint next = n_reached - 1; next < n_reached; next++)
        for (guint i = 0; i < n_areas; i++)
          if (!is_reached[i] && rake_shape_is_neighbour (areas[order[next]], areas[i]))
            {
              is_reached[i] = TRUE;
              order[n_reached++] = i;
            }
    }
  return n_groups;
}

static GPtrArray *
get_parts_of_all (RakeShape *const *areas, guint n_areas)
{
  GPtrArray *all = rake_zoning_new_areas ();

  for (guint i = 0; i < n_areas; i++)
    {
      GPtrArray *parts = rake_shape_get_parts (areas[i]);
      g_ptr_array_extend_and_steal (all, parts);
    }
  return all;
}

/* @a and @b as one, after the points of each were moved onto those of the other that lie within
 * reach: two zones whose common edge was cut on either side at different times need not have one
 * point in common. */
static RakeShape *
unite_snapped (const RakeShape *a, const RakeShape *b, GError **error)
{
  const double reach_mm = 2 * RAKE_EDGE_TOLERANCE_MM;
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GEOSGeometry) left = rake_geos_from_shape (a), right = rake_geos_from_shape (b);
  g_autoptr (GEOSGeometry) left_snapped = NULL, right_snapped = NULL;
  g_autoptr (RakeShape) left_shape = NULL, right_shape = NULL;

  if (left != NULL && right != NULL)
    right_snapped = GEOSSnap_r (context, right, left, reach_mm);
  if (right_snapped != NULL)
    left_snapped = GEOSSnap_r (context, left, right_snapped, reach_mm);
  if (left_snapped == NULL)
    {
      rake_geos_set_error (error, _ ("joining two zones failed"));
      return NULL;
    }
  left_shape = rake_geos_to_valid_area (left_snapped, error);
  if (left_shape == NULL)
    return NULL;
  right_shape = rake_geos_to_valid_area (right_snapped, error);
  if (right_shape == NULL)
    return NULL;
  return rake_shape_union (left_shape, right_shape, error);
}

static RakeShape *
unite_all_snapped (const GPtrArray *parts, const guint *order, GError **error)
{
  g_autoptr (RakeShape) all = rake_shape_ref (rake_zoning_get_area (parts, order[0]));

  for (guint i = 1; i < parts->len; i++)
    {
      RakeShape *more = unite_snapped (all, rake_zoning_get_area (parts, order[i]), error);
      if (more == NULL)
        return NULL;
      rake_shape_unref (all);
      all = more;
    }
  return g_steal_pointer (&all);
}

/* Fills the threads that bent edges leave open between zones, a grid step or two wide. */
static RakeShape *
close_threads (RakeShape *area)
{
  g_autoptr (RakeShape) broad = NULL, narrow = NULL;

  rake_shape_split_by_width (area, THREAD_WIDTH_MM, &broad, &narrow);
  return broad != NULL ? g_steal_pointer (&broad) : rake_shape_ref (area);
}

static guint
count_parts (const RakeShape *area)
{
  g_autoptr (GPtrArray) parts = rake_shape_get_parts (area);

  return parts->len;
}

RakeShape *
rake_zoning_join (RakeShape *const *areas, guint n_areas, GError **error)
{
  g_autoptr (GPtrArray) parts = NULL;
  g_autoptr (RakeShape) all = NULL, joined = NULL, snapped = NULL;
  g_autofree guint *order = NULL;

  g_return_val_if_fail (n_areas > 0, NULL);
  parts = get_parts_of_all (areas, n_areas);
  order = g_new (guint, parts->len);
  if (follow_neighbours (areas, n_areas, order) > 1)
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY,
                           _ ("These zones do not hang together: join zones that share an edge."));
      return NULL;
    }
  all = rake_shape_union_all (areas, n_areas, error);
  if (all == NULL)
    return NULL;
  joined = close_threads (all);
  if (count_parts (joined) <=
      follow_neighbours ((RakeShape *const *) parts->pdata, parts->len, order))
    return g_steal_pointer (&joined);
  snapped = unite_all_snapped (parts, order, error);
  return snapped != NULL ? close_threads (snapped) : NULL;
}
