/* zoning-net.c - the net of edges and cuts, its meshes, and what becomes of small ones. */
#include "zoning-private.h"

#include <math.h>
#include <stdlib.h>

GPtrArray *
rake_zoning_new_areas (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
}

/* --- meshes of the net of edges and cuts ---------------------------------------------------- */

static gboolean
add_meshes_inside (GPtrArray *meshes, const GEOSGeometry *polygons, const RakeShape *area,
                   GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();

  for (int i = 0; i < GEOSGetNumGeometries_r (context, polygons); i++)
    {
      const GEOSGeometry *polygon = GEOSGetGeometryN_r (context, polygons, i);
      g_autoptr (GEOSGeometry) inside = GEOSPointOnSurface_r (context, polygon);
      double x_mm, y_mm;
      RakeShape *mesh;

      if (inside == NULL || GEOSGeomGetX_r (context, inside, &x_mm) != 1 ||
          GEOSGeomGetY_r (context, inside, &y_mm) != 1)
        {
          rake_geos_set_error (error, _ ("cutting the zone failed"));
          return FALSE;
        }
      if (!rake_shape_contains (area, x_mm, y_mm))
        continue;
      mesh = rake_geos_to_shape (polygon, RAKE_SHAPE_AREA, error);
      if (mesh == NULL)
        return FALSE;
      g_ptr_array_add (meshes, mesh);
    }
  return TRUE;
}

GPtrArray *
rake_zoning_find_meshes (const RakeShape *area, const RakeShape *cuts, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GPtrArray) meshes = rake_zoning_new_areas ();
  g_autoptr (GPtrArray) lines = g_ptr_array_new ();
  g_autoptr (GEOSGeometry) all = NULL, net = NULL, polygons = NULL;
  const RakeShape *both[2] = { area, cuts };

  if (!rake_geos_check_effort (both, 2, RAKE_MOST_OWN_CROSSINGS, error))
    return NULL;
  g_ptr_array_add (lines, rake_geos_edges_from_shape (area));
  g_ptr_array_add (lines, rake_geos_edges_from_shape (cuts));
  all = rake_geos_collect (GEOS_GEOMETRYCOLLECTION, lines);
  if (all != NULL)
    net = GEOSUnaryUnionPrec_r (context, all, RAKE_GRID_MM);
  if (net != NULL)
    polygons = GEOSPolygonize_r (context, (const GEOSGeometry *const *) &net, 1);
  if (polygons == NULL)
    {
      rake_geos_set_error (error, _ ("cutting the zone failed"));
      return NULL;
    }
  if (!add_meshes_inside (meshes, polygons, area, error))
    return NULL;
  return g_steal_pointer (&meshes);
}

static gboolean
is_small (const RakeShape *area, double least_mm2)
{
  return area->area_mm2 < least_mm2 || 2 * area->area_mm2 < RAKE_SLIVER_WIDTH_MM * area->length_mm;
}

/* The smallest one not yet passed over, or the number of areas when there is none. */
static guint
find_small (const GPtrArray *areas, double least_mm2, GHashTable *alone)
{
  guint smallest = areas->len;

  for (guint i = 0; i < areas->len; i++)
    if (is_small (rake_zoning_get_area (areas, i), least_mm2) &&
        !g_hash_table_contains (alone, rake_zoning_get_area (areas, i)) &&
        (smallest == areas->len || rake_zoning_get_area (areas, i)->area_mm2 <
                                       rake_zoning_get_area (areas, smallest)->area_mm2))
      smallest = i;
  return smallest;
}

static guint
find_closest_neighbour (const GPtrArray *areas, guint of)
{
  double longest_mm = RAKE_GRID_MM;
  guint closest = areas->len;

  for (guint i = 0; i < areas->len; i++)
    {
      double shared_mm = i == of ? 0
                                 : rake_shape_get_shared_edge_mm (rake_zoning_get_area (areas, of),
                                                                  rake_zoning_get_area (areas, i));
      if (shared_mm > longest_mm)
        {
          longest_mm = shared_mm;
          closest = i;
        }
    }
  return closest;
}

gboolean
rake_zoning_settle_small (GPtrArray *areas, double least_mm2, GError **error)
{
  g_autoptr (GHashTable) alone = g_hash_table_new (NULL, NULL);
  guint small;

  while ((small = find_small (areas, least_mm2, alone)) < areas->len)
    {
      guint neighbour = find_closest_neighbour (areas, small);
      RakeShape *both;

      if (neighbour == areas->len)
        {
          g_hash_table_add (alone, rake_zoning_get_area (areas, small));
          continue;
        }
      both = rake_shape_union (rake_zoning_get_area (areas, small),
                               rake_zoning_get_area (areas, neighbour), error);
      if (both == NULL)
        return FALSE;
      rake_shape_unref (rake_zoning_get_area (areas, neighbour));
      areas->pdata[neighbour] = both;
      g_ptr_array_remove_index_fast (areas, small);
    }
  return TRUE;
}

/* --- the fixed order ------------------------------------------------------------------------ */

typedef struct
{
  RakeShape *area;
  int row, column;
  double x_mm, y_mm;
} Place;

static int
compare_places (gconstpointer a, gconstpointer b)
{
  const Place *left = a, *right = b;

  if (left->row != right->row)
    return left->row < right->row ? -1 : 1;
  if (left->column != right->column)
    return left->column < right->column ? -1 : 1;
  if (left->y_mm != right->y_mm)
    return left->y_mm < right->y_mm ? -1 : 1;
  return left->x_mm < right->x_mm ? -1 : left->x_mm > right->x_mm;
}

void
rake_zoning_put_in_order (GPtrArray *areas, const RakeBounds *bounds, guint n_columns, guint n_rows)
{
  g_autofree Place *places = g_new (Place, areas->len);

  for (guint i = 0; i < areas->len; i++)
    {
      Place *place = &places[i];
      place->area = areas->pdata[i];
      rake_shape_get_inner_point (place->area, &place->x_mm, &place->y_mm);
      place->row = (int) floor ((place->y_mm - bounds->min_y_mm) /
                                (bounds->max_y_mm - bounds->min_y_mm) * n_rows);
      place->column = (int) floor ((place->x_mm - bounds->min_x_mm) /
                                   (bounds->max_x_mm - bounds->min_x_mm) * n_columns);
    }
  qsort (places, areas->len, sizeof *places, compare_places);
  for (guint i = 0; i < areas->len; i++)
    areas->pdata[i] = places[i].area;
}

RakeShape *
rake_zoning_fill_holes (const RakeShape *area)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_AREA);

  for (guint r = 0; r < area->n_rings; r++)
    if (!area->rings[r].is_hole)
      {
        rake_tracing_start_ring (tracing, FALSE);
        rake_tracing_add_points (tracing, area->points_mm + 2 * area->rings[r].first,
                                 area->rings[r].n_points, NULL);
      }
  return rake_tracing_finish (tracing, NULL);
}
