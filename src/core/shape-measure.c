/* shape-measure.c - what can be asked of a shape: inside or out, how far, how wide, next to what.
 *
 * Whether a place is inside and which points are outermost is decided in whole micrometres, so
 * those answers are exact: the largest product, 2·10^8 squared twice over, fits 64 bits. */
#include "shape-private.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Shared edges shorter than this are two corners that touch. */
#define LEAST_SHARED_EDGE_MM 0.05

/* A label may stand in a circle this much smaller than the largest: searching a long band for its
 * very widest place takes ten times as long and looks no better. */
#define LABEL_SLACK_FRACTION 0.1

typedef struct
{
  gint64 x, y;
} GridPoint;

static GridPoint
to_grid (const double *point_mm)
{
  return (GridPoint){ llround (point_mm[0] * 1000), llround (point_mm[1] * 1000) };
}

/* Above 0 when @c lies to the left of the way from @a to @b (y upward), 0 when on it. */
static gint64
get_side (GridPoint a, GridPoint b, GridPoint c)
{
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static gboolean
is_between (GridPoint a, GridPoint b, GridPoint c)
{
  return MIN (a.x, b.x) <= c.x && c.x <= MAX (a.x, b.x) && MIN (a.y, b.y) <= c.y &&
         c.y <= MAX (a.y, b.y);
}

gboolean
rake_shape_contains (const RakeShape *area, double x_mm, double y_mm)
{
  const RakeBounds place = { x_mm, y_mm, x_mm, y_mm };
  gboolean is_inside = FALSE;
  GridPoint at;
  double y;

  if (area->kind != RAKE_SHAPE_AREA || !isfinite (x_mm) || !isfinite (y_mm) ||
      !rake_bounds_meet (&area->bounds, &place, RAKE_GRID_MM))
    return FALSE;
  at = to_grid ((const double[]){ x_mm, y_mm });
  y = (double) at.y / 1000; /* as the shape's own numbers are made, so equal ones compare equal */
  for (guint r = 0; r < area->n_rings; r++)
    for (guint i = 0; i + 1 < area->rings[r].n_points; i++)
      {
        const double *piece = area->points_mm + 2 * (area->rings[r].first + i);
        GridPoint from, to;
        gint64 side;

        if ((piece[1] < y && piece[3] < y) || (piece[1] > y && piece[3] > y))
          continue;
        from = to_grid (piece);
        to = to_grid (piece + 2);
        side = get_side (from, to, at);
        if (side == 0 && is_between (from, to, at))
          return TRUE;
        if ((from.y <= at.y) != (to.y <= at.y) && (side > 0) == (to.y > from.y))
          is_inside = !is_inside;
      }
  return is_inside;
}

/* The square of the distance from x, y to the piece from @from to @to, and the nearest place. */
static double
get_squared_distance (const double *from, const double *to, double x, double y, double nearest[2])
{
  double dx = to[0] - from[0], dy = to[1] - from[1];
  double length2 = dx * dx + dy * dy;
  double along = length2 > 0 ? ((x - from[0]) * dx + (y - from[1]) * dy) / length2 : 0;

  along = CLAMP (along, 0.0, 1.0);
  nearest[0] = from[0] + along * dx;
  nearest[1] = from[1] + along * dy;
  return (nearest[0] - x) * (nearest[0] - x) + (nearest[1] - y) * (nearest[1] - y);
}

double
rake_shape_get_nearest_edge_point (const RakeShape *shape, double x_mm, double y_mm,
                                   double *edge_x_mm, double *edge_y_mm)
{
  double least = INFINITY;

  for (guint r = 0; r < shape->n_rings; r++)
    {
      const double *points = shape->points_mm + 2 * shape->rings[r].first;
      guint n_points = shape->rings[r].n_points;

      for (guint i = 0; i == 0 || i + 1 < n_points; i++)
        {
          double nearest[2];
          double squared = get_squared_distance (
              points + 2 * i, points + 2 * MIN (i + 1, n_points - 1), x_mm, y_mm, nearest);

          if (squared < least)
            {
              least = squared;
              *edge_x_mm = nearest[0];
              *edge_y_mm = nearest[1];
            }
        }
    }
  return sqrt (least);
}

double
rake_shape_get_distance_to_edge_mm (const RakeShape *shape, double x_mm, double y_mm)
{
  double edge_x_mm, edge_y_mm;

  return rake_shape_get_nearest_edge_point (shape, x_mm, y_mm, &edge_x_mm, &edge_y_mm);
}

double
rake_shape_get_edge_gap_mm (const RakeShape *shape, const RakeShape *area)
{
  GEOSContextHandle_t geos = rake_geos_get_context ();
  g_autoptr (GEOSGeometry) geometry = rake_geos_from_shape (shape);
  g_autoptr (GEOSGeometry) edges = rake_geos_edges_from_shape (area);
  double gap_mm = NAN;

  if (geometry == NULL || edges == NULL || GEOSDistance_r (geos, geometry, edges, &gap_mm) != 1)
    return NAN;
  return gap_mm;
}

/* A square to look for the largest circle in: its middle's depth inside the area (below 0 outside)
 * and the most that any place in the square could have. */
typedef struct
{
  double x, y, half, depth, most;
} Cell;

static Cell
new_cell (const RakeShape *area, double x, double y, double half)
{
  Cell cell = { x, y, half, 0, 0 };

  cell.depth = rake_shape_get_distance_to_edge_mm (area, x, y);
  if (!rake_shape_contains (area, x, y))
    cell.depth = -cell.depth;
  cell.most = cell.depth + half * G_SQRT2;
  return cell;
}

static void
push_cell (GArray *heap, Cell cell)
{
  guint at = heap->len;

  g_array_append_val (heap, cell);
  while (at > 0 && g_array_index (heap, Cell, (at - 1) / 2).most < cell.most)
    {
      g_array_index (heap, Cell, at) = g_array_index (heap, Cell, (at - 1) / 2);
      at = (at - 1) / 2;
    }
  g_array_index (heap, Cell, at) = cell;
}

static Cell
pop_cell (GArray *heap)
{
  Cell top = g_array_index (heap, Cell, 0), last = g_array_index (heap, Cell, heap->len - 1);
  guint at = 0, child;

  g_array_set_size (heap, heap->len - 1);
  while ((child = 2 * at + 1) < heap->len)
    {
      if (child + 1 < heap->len &&
          g_array_index (heap, Cell, child + 1).most > g_array_index (heap, Cell, child).most)
        child++;
      if (g_array_index (heap, Cell, child).most <= last.most)
        break;
      g_array_index (heap, Cell, at) = g_array_index (heap, Cell, child);
      at = child;
    }
  if (heap->len > 0)
    g_array_index (heap, Cell, at) = last;
  return top;
}

static GArray *
cover_with_cells (const RakeShape *area)
{
  GArray *heap = g_array_new (FALSE, FALSE, sizeof (Cell));
  double width = area->bounds.max_x_mm - area->bounds.min_x_mm;
  double height = area->bounds.max_y_mm - area->bounds.min_y_mm;
  double side = fmax (fmin (width, height), fmax (width, height) / 32);

  for (double y = side / 2; y - side / 2 < height; y += side)
    for (double x = side / 2; x - side / 2 < width; x += side)
      push_cell (heap,
                 new_cell (area, area->bounds.min_x_mm + x, area->bounds.min_y_mm + y, side / 2));
  return heap;
}

static Cell
start_at_centroid (const RakeShape *area)
{
  double sum_x = 0, sum_y = 0, sum = 0;

  for (guint r = 0; r < area->n_rings; r++)
    {
      const double *points = area->points_mm + 2 * area->rings[r].first;
      double ring_x = 0, ring_y = 0, ring = 0;

      for (guint i = 0; i + 1 < area->rings[r].n_points; i++)
        {
          const double *a = points + 2 * i, *b = a + 2;
          double cross =
              (a[0] - points[0]) * (b[1] - points[1]) - (b[0] - points[0]) * (a[1] - points[1]);
          ring += cross;
          ring_x += cross * (a[0] + b[0] + points[0]) / 3;
          ring_y += cross * (a[1] + b[1] + points[1]) / 3;
        }
      /* Rings run either way: an outside counts up, a hole down. */
      if ((ring < 0) != area->rings[r].is_hole)
        ring = -ring, ring_x = -ring_x, ring_y = -ring_y;
      sum += ring;
      sum_x += ring_x;
      sum_y += ring_y;
    }
  return new_cell (area, sum_x / sum, sum_y / sum, 0);
}

/* Quadtree search for the point deepest inside: squares that cannot hold a deeper one than the best
 * so far by more than the slack are not looked into. */
double
rake_shape_get_inner_circle (const RakeShape *area, double slack_fraction, double *x_mm,
                             double *y_mm)
{
  g_autoptr (GArray) heap = cover_with_cells (area);
  Cell best = start_at_centroid (area);
  guint budget = CLAMP (40000000 / area->n_points, 200, 5000);

  while (heap->len > 0 && budget-- > 0)
    {
      Cell cell = pop_cell (heap);

      /* Not for a trifle: the centroid is where the eye expects a label. */
      if (cell.depth > best.depth * (1 + slack_fraction / 10))
        best = cell;
      if (cell.most - best.depth <= fmax (slack_fraction * best.depth, RAKE_GRID_MM))
        break;
      for (int i = 0; i < 4; i++)
        {
          double half = cell.half / 2;
          push_cell (heap, new_cell (area, cell.x + (i & 1 ? half : -half),
                                     cell.y + (i & 2 ? half : -half), half));
        }
    }
  *x_mm = best.x;
  *y_mm = best.y;
  return best.depth;
}

static void
get_middle_of_path (const RakeShape *line, double *x_mm, double *y_mm)
{
  const double *points = line->points_mm + 2 * line->rings[0].first;
  guint n_points = line->rings[0].n_points;
  double half = 0, passed = 0;

  *x_mm = points[0];
  *y_mm = points[1];
  for (guint i = 0; i + 1 < n_points; i++)
    half += hypot (points[2 * i + 2] - points[2 * i], points[2 * i + 3] - points[2 * i + 1]) / 2;
  for (guint i = 0; i + 1 < n_points; i++)
    {
      double dx = points[2 * i + 2] - points[2 * i], dy = points[2 * i + 3] - points[2 * i + 1];
      double length = hypot (dx, dy);

      if (passed + length >= half)
        {
          *x_mm = points[2 * i] + dx * (half - passed) / length;
          *y_mm = points[2 * i + 1] + dy * (half - passed) / length;
          return;
        }
      passed += length;
    }
}

void
rake_shape_get_inner_point (const RakeShape *shape, double *x_mm, double *y_mm)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GEOSGeometry) geometry = NULL, point = NULL;

  if (shape->kind != RAKE_SHAPE_AREA)
    {
      get_middle_of_path (shape, x_mm, y_mm);
      return;
    }
  if (rake_shape_get_inner_circle (shape, LABEL_SLACK_FRACTION, x_mm, y_mm) > 0)
    return;
  /* An area of hair's breadth, which the search gave up on. */
  geometry = rake_geos_from_shape (shape);
  if (geometry != NULL)
    point = GEOSPointOnSurface_r (context, geometry);
  if (point == NULL || GEOSGeomGetX_r (context, point, x_mm) != 1 ||
      GEOSGeomGetY_r (context, point, y_mm) != 1)
    {
      *x_mm = shape->points_mm[0];
      *y_mm = shape->points_mm[1];
    }
}

static int
compare_grid_points (const void *a, const void *b)
{
  const GridPoint *left = a, *right = b;

  if (left->x != right->x)
    return left->x < right->x ? -1 : 1;
  return left->y < right->y ? -1 : left->y > right->y;
}

/* Andrew's monotone chain. @hull has room for n + 1 points; returns how many it got. */
static guint
find_hull (GridPoint *points, guint n_points, GridPoint *hull)
{
  guint n_hull = 0, lower_end;

  qsort (points, n_points, sizeof *points, compare_grid_points);
  for (guint i = 0; i < n_points; i++)
    {
      while (n_hull >= 2 && get_side (hull[n_hull - 2], hull[n_hull - 1], points[i]) <= 0)
        n_hull--;
      hull[n_hull++] = points[i];
    }
  lower_end = n_hull + 1;
  for (guint i = n_points - 1; i-- > 0;)
    {
      while (n_hull >= lower_end && get_side (hull[n_hull - 2], hull[n_hull - 1], points[i]) <= 0)
        n_hull--;
      hull[n_hull++] = points[i];
    }
  return n_hull > 1 ? n_hull - 1 : n_hull;
}

static double
get_distance_mm (GridPoint a, GridPoint b)
{
  return hypot ((double) (a.x - b.x), (double) (a.y - b.y)) / 1000;
}

double
rake_shape_get_extent_mm (const RakeShape *shape)
{
  g_autofree GridPoint *points = g_new (GridPoint, shape->n_points);
  g_autofree GridPoint *hull = g_new (GridPoint, shape->n_points + 2);
  double extent_mm = 0;
  guint n_hull, opposite = 1;

  for (guint i = 0; i < shape->n_points; i++)
    points[i] = to_grid (shape->points_mm + 2 * i);
  n_hull = find_hull (points, shape->n_points, hull);
  if (n_hull < 3)
    return get_distance_mm (hull[0], hull[n_hull - 1]);

  /* Two parallel calipers turned once around the hull. */
  for (guint i = 0; i < n_hull; i++)
    {
      GridPoint from = hull[i], to = hull[(i + 1) % n_hull];

      while (get_side (from, to, hull[(opposite + 1) % n_hull]) >
             get_side (from, to, hull[opposite]))
        opposite = (opposite + 1) % n_hull;
      extent_mm = fmax (extent_mm, fmax (get_distance_mm (from, hull[opposite]),
                                         get_distance_mm (to, hull[opposite])));
    }
  return extent_mm;
}

/* TRUE when some polygon in @geometry is wider, on the mean, than two edges that count as one. */
static gboolean
has_broad_polygon (const GEOSGeometry *geometry)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  int kind = GEOSGeomTypeId_r (context, geometry);
  double area_mm2, length_mm;

  if (kind == GEOS_POLYGON)
    return GEOSArea_r (context, geometry, &area_mm2) == 1 &&
           GEOSLength_r (context, geometry, &length_mm) == 1 &&
           2 * area_mm2 > RAKE_EDGE_TOLERANCE_MM * length_mm;
  if (kind == GEOS_MULTIPOLYGON || kind == GEOS_GEOMETRYCOLLECTION)
    for (int i = 0; i < GEOSGetNumGeometries_r (context, geometry); i++)
      if (has_broad_polygon (GEOSGetGeometryN_r (context, geometry, i)))
        return TRUE;
  return FALSE;
}

/* TRUE when one of a few points of @shape lies clearly inside: most patches lie well in their
 * zone, and this is far quicker than cutting the two out of each other. */
static gboolean
is_clearly_inside (const RakeShape *shape, const RakeShape *area)
{
  for (guint i = 0; i < shape->n_points; i += 1 + shape->n_points / 4)
    {
      const double *point = shape->points_mm + 2 * i;
      if (rake_shape_contains (area, point[0], point[1]) &&
          rake_shape_get_distance_to_edge_mm (area, point[0], point[1]) >
              4 * RAKE_EDGE_TOLERANCE_MM)
        return TRUE;
    }
  return FALSE;
}

gboolean
rake_shape_overlaps (const RakeShape *shape, const RakeShape *area)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GEOSGeometry) left = NULL, right = NULL, shared = NULL;
  const RakeShape *both[2] = { shape, area };
  double length_mm = 0;

  g_return_val_if_fail (area->kind == RAKE_SHAPE_AREA, FALSE);
  if (!rake_bounds_meet (&shape->bounds, &area->bounds, 0))
    return FALSE;
  if (shape->kind == RAKE_SHAPE_POINT)
    return rake_shape_contains (area, shape->points_mm[0], shape->points_mm[1]);
  if (is_clearly_inside (shape, area))
    return TRUE;
  if (!rake_geos_check_effort (both, 2, RAKE_MOST_CROSSINGS, NULL))
    return FALSE;
  left = rake_geos_from_shape (shape);
  right = rake_geos_from_shape (area);
  if (left == NULL || right == NULL)
    return FALSE;
  shared = GEOSIntersection_r (context, left, right);
  if (shared == NULL)
    shared = GEOSIntersectionPrec_r (context, left, right, RAKE_GRID_MM);
  if (shared == NULL)
    return FALSE;
  if (shape->kind == RAKE_SHAPE_AREA)
    return has_broad_polygon (shared);
  return GEOSLength_r (context, shared, &length_mm) == 1 && length_mm > RAKE_EDGE_TOLERANCE_MM;
}

/* How much of the piece @b0-@b1 runs beside @a0-@a1, no further off than the tolerance. */
static double
get_shared_length (const double *a0, const double *a1, const double *b0, const double *b1)
{
  const double tolerance = RAKE_EDGE_TOLERANCE_MM;
  double length = hypot (a1[0] - a0[0], a1[1] - a0[1]);
  double ux = (a1[0] - a0[0]) / length, uy = (a1[1] - a0[1]) / length;
  /* Both ends of b: along a, and off a. */
  double along0 = (b0[0] - a0[0]) * ux + (b0[1] - a0[1]) * uy;
  double along1 = (b1[0] - a0[0]) * ux + (b1[1] - a0[1]) * uy;
  double off0 = (b0[1] - a0[1]) * ux - (b0[0] - a0[0]) * uy;
  double off1 = (b1[1] - a0[1]) * ux - (b1[0] - a0[0]) * uy;
  const double from[2] = { along0, off0 }, to[2] = { along1, off1 };
  const double least[2] = { 0, -tolerance }, most[2] = { length, tolerance };
  double start = 0, end = 1;

  for (int i = 0; i < 2; i++)
    {
      double step = to[i] - from[i];
      if (step == 0)
        {
          if (from[i] < least[i] || from[i] > most[i])
            return 0;
          continue;
        }
      start = fmax (start, ((step > 0 ? least[i] : most[i]) - from[i]) / step);
      end = fmin (end, ((step > 0 ? most[i] : least[i]) - from[i]) / step);
    }
  return end > start ? (end - start) * fabs (along1 - along0) : 0;
}

/* Pieces of edge that reach into @bounds, as pointers to their first point. */
static GPtrArray *
list_edges_near (const RakeShape *shape, const RakeBounds *bounds)
{
  GPtrArray *edges = g_ptr_array_new ();

  for (guint r = 0; r < shape->n_rings; r++)
    for (guint i = 0; i + 1 < shape->rings[r].n_points; i++)
      {
        double *at = shape->points_mm + 2 * (shape->rings[r].first + i);
        const RakeBounds piece = { fmin (at[0], at[2]), fmin (at[1], at[3]), fmax (at[0], at[2]),
                                   fmax (at[1], at[3]) };
        if (rake_bounds_meet (&piece, bounds, RAKE_EDGE_TOLERANCE_MM))
          g_ptr_array_add (edges, at);
      }
  return edges;
}

double
rake_shape_get_shared_edge_mm (const RakeShape *a, const RakeShape *b)
{
  g_autoptr (GPtrArray) a_edges = NULL, b_edges = NULL;
  double shared_mm = 0;

  if (!rake_bounds_meet (&a->bounds, &b->bounds, RAKE_EDGE_TOLERANCE_MM))
    return 0;
  a_edges = list_edges_near (a, &b->bounds);
  b_edges = list_edges_near (b, &a->bounds);
  for (guint i = 0; i < a_edges->len; i++)
    {
      const double *p = a_edges->pdata[i];
      const RakeBounds piece = { fmin (p[0], p[2]), fmin (p[1], p[3]), fmax (p[0], p[2]),
                                 fmax (p[1], p[3]) };
      for (guint k = 0; k < b_edges->len; k++)
        {
          const double *q = b_edges->pdata[k];
          const RakeBounds other = { fmin (q[0], q[2]), fmin (q[1], q[3]), fmax (q[0], q[2]),
                                     fmax (q[1], q[3]) };
          if (rake_bounds_meet (&piece, &other, RAKE_EDGE_TOLERANCE_MM))
            shared_mm += get_shared_length (p, p + 2, q, q + 2);
        }
    }
  return shared_mm;
}

gboolean
rake_shape_is_neighbour (const RakeShape *a, const RakeShape *b)
{
  g_return_val_if_fail (a->kind == RAKE_SHAPE_AREA && b->kind == RAKE_SHAPE_AREA, FALSE);
  return rake_shape_get_shared_edge_mm (a, b) > LEAST_SHARED_EDGE_MM;
}
