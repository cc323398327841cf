/* svg-outline.c - an outline out of a drawing: the largest closed path, and the holes in it. */
#include <math.h>

#include "i18n.h"
#include "shape-private.h"
#include "svg-private.h"

#define MOST_BYTES (16 * 1024 * 1024)

/* A closed path covering more of the outline than this is a line drawn beside its edge (a binding,
 * a copy for the fill), not a hole that leaves a thread of wood. */
#define LARGEST_HOLE_FRACTION 0.9

G_DEFINE_QUARK (rake-svg-error-quark, rake_svg_error)

static int
compare_areas (gconstpointer a, gconstpointer b)
{
  const RakeShape *left = *(RakeShape *const *) a, *right = *(RakeShape *const *) b;

  return left->area_mm2 < right->area_mm2 ? 1 : left->area_mm2 > right->area_mm2 ? -1 : 0;
}

/* The rings as areas, largest first, near the origin. */
static GPtrArray *
list_areas (GPtrArray *rings, GError **error)
{
  g_autoptr (GPtrArray) areas = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  double least_x = INFINITY, least_y = INFINITY;

  for (guint r = 0; r < rings->len; r++)
    {
      const GArray *ring = rings->pdata[r];
      for (guint i = 0; i < ring->len; i += 2)
        {
          least_x = fmin (least_x, g_array_index (ring, double, i));
          least_y = fmin (least_y, g_array_index (ring, double, i + 1));
        }
    }
  for (guint r = 0; r < rings->len; r++)
    {
      GArray *ring = rings->pdata[r];
      g_autoptr (GError) failure = NULL;
      RakeShape *area;

      for (guint i = 0; i < ring->len; i += 2)
        {
          g_array_index (ring, double, i) -= least_x;
          g_array_index (ring, double, i + 1) -= least_y;
        }
      area = rake_shape_new_area ((double *) (gpointer) ring->data, ring->len / 2, &failure);
      if (area != NULL)
        g_ptr_array_add (areas, area);
      else if (!g_error_matches (failure, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY))
        {
          g_propagate_error (error, g_steal_pointer (&failure));
          return NULL;
        }
    }
  g_ptr_array_sort (areas, compare_areas);
  return g_steal_pointer (&areas);
}

static gboolean
lies_within (const RakeShape *inner, const RakeShape *outer)
{
  g_autoptr (RakeShape) outside = NULL;

  if (inner->bounds.min_x_mm < outer->bounds.min_x_mm ||
      inner->bounds.max_x_mm > outer->bounds.max_x_mm ||
      inner->bounds.min_y_mm < outer->bounds.min_y_mm ||
      inner->bounds.max_y_mm > outer->bounds.max_y_mm)
    return FALSE;
  outside = rake_shape_difference (inner, outer, NULL);
  return outside == NULL;
}

static RakeShape *
cut_out_holes (const GPtrArray *areas, GError **error)
{
  RakeShape *outline = areas->pdata[0];
  g_autoptr (GPtrArray) inside = g_ptr_array_new ();
  g_autoptr (RakeShape) holes = NULL;

  for (guint i = 1; i < areas->len; i++)
    {
      RakeShape *area = areas->pdata[i];
      if (area->area_mm2 <= LARGEST_HOLE_FRACTION * outline->area_mm2 &&
          lies_within (area, outline))
        g_ptr_array_add (inside, area);
    }
  if (inside->len == 0)
    return rake_shape_ref (outline);
  /* United first: what is drawn inside a hole is no wood again. */
  holes = rake_shape_union_all ((RakeShape *const *) inside->pdata, inside->len, error);
  return holes != NULL ? rake_shape_difference (outline, holes, error) : NULL;
}

static RakeShape *
find_outline (GPtrArray *rings, GError **error)
{
  g_autoptr (GPtrArray) areas = list_areas (rings, error);
  g_autoptr (RakeShape) outline = NULL;

  if (areas == NULL)
    return NULL;
  if (areas->len == 0)
    {
      g_set_error_literal (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NO_AREA,
                           _ ("There is no closed line in this drawing: close the outline's path "
                              "and save it again."));
      return NULL;
    }
  outline = cut_out_holes (areas, error);
  if (outline == NULL)
    return NULL;
  return rake_shape_transform (
      outline, (const double[]){ 1, 0, 0, 1, -outline->bounds.min_x_mm, -outline->bounds.min_y_mm },
      error);
}

RakeShape *
rake_outline_new_from_svg (const char *svg, gsize length, double mm_per_unit, GError **error)
{
  g_autoptr (RakeSvgTree) tree = NULL;
  RakeSvgTracer tracer;
  RakeShape *outline = NULL;

  if (length > MOST_BYTES)
    {
      g_set_error (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_NOT_SVG,
                   _ ("The drawing is larger than %d MiB: save only the outline and its holes."),
                   MOST_BYTES / 1024 / 1024);
      return NULL;
    }
  if (!(mm_per_unit >= 0 && mm_per_unit <= RAKE_SHAPE_LIMIT_MM))
    {
      g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                           _ ("The millimetres of one unit must be a number above 0."));
      return NULL;
    }
  tree = rake_svg_tree_new (svg, length, error);
  if (tree == NULL)
    return NULL;
  rake_svg_tracer_init (&tracer);
  if (rake_svg_trace_tree (&tracer, tree, mm_per_unit, error))
    outline = find_outline (tracer.rings, error);
  rake_svg_tracer_clear (&tracer);
  return outline;
}
