/* shape-simple.c - rings that are plainly simple, told without the geometry library.
 *
 * Asking the library whether an area is valid is most of what reading one costs, and nearly all
 * areas are one small ring as a brush or a hand left it. Here "yes" is certain, for a side is
 * believed only beyond the error of its own arithmetic; anything closer is left to the library. */
#include "shape-private.h"

#include <float.h>
#include <math.h>

/* Every edge is held against every other: beyond this the library is quicker. */
#define MOST_POINTS 80

/* The bound of Shewchuk, Adaptive Precision Floating-Point Arithmetic and Fast Robust Geometric
 * Predicates (1997), section 4.3, for the sign of an orientation; from memory, so doubled. */
#define SIDE_ERROR ((3 + 8 * DBL_EPSILON) * DBL_EPSILON)

typedef struct
{
  const double *from, *to;
  double min_x, max_x, min_y, max_y;
} Edge;

/* 1 or -1: the side of the line from @a to @b that @c is surely on. 0: on it or too close to say. */
static int
get_sure_side (const double *a, const double *b, const double *c)
{
  double left = (a[0] - c[0]) * (b[1] - c[1]);
  double right = (a[1] - c[1]) * (b[0] - c[0]);
  double side = left - right;
  double error = SIDE_ERROR * (fabs (left) + fabs (right));

  return side > error ? 1 : side < -error ? -1 : 0;
}

static gboolean
is_surely_beside (const Edge *edge, const Edge *other)
{
  int side = get_sure_side (edge->from, edge->to, other->from);

  return side != 0 && side == get_sure_side (edge->from, edge->to, other->to);
}

static gboolean
are_surely_apart (const Edge *a, const Edge *b)
{
  return a->max_x < b->min_x || b->max_x < a->min_x || a->max_y < b->min_y || b->max_y < a->min_y ||
         is_surely_beside (a, b) || is_surely_beside (b, a);
}

/* Two edges in a row share their one corner and nothing else, unless the second runs back along
 * the first. A straight corner has no sure side, but goes on. */
static gboolean
surely_goes_on (const Edge *edge, const Edge *next)
{
  return get_sure_side (edge->from, edge->to, next->to) != 0 ||
         (edge->to[0] - edge->from[0]) * (next->to[0] - next->from[0]) +
                 (edge->to[1] - edge->from[1]) * (next->to[1] - next->from[1]) >
             0;
}

static void
list_edges (const double *points_mm, guint n_edges, Edge *edges)
{
  for (guint i = 0; i < n_edges; i++)
    {
      const double *from = points_mm + 2 * i, *to = from + 2;

      edges[i] = (Edge){ from, to, MIN (from[0], to[0]), MAX (from[0], to[0]),
                         MIN (from[1], to[1]), MAX (from[1], to[1]) };
    }
}

gboolean
rake_shape_is_plainly_simple (const RakeShape *area)
{
  Edge edges[MOST_POINTS];
  guint n_edges = area->n_points - 1; /* a ring repeats its first point */

  if (area->n_rings != 1 || n_edges < 3 || n_edges > MOST_POINTS)
    return FALSE;
  list_edges (area->points_mm, n_edges, edges);
  for (guint i = 0; i < n_edges; i++)
    {
      guint end = i == 0 ? n_edges - 1 : n_edges; /* the last edge leads into the first */

      if (!surely_goes_on (&edges[i], &edges[(i + 1) % n_edges]))
        return FALSE;
      for (guint j = i + 2; j < end; j++)
        if (!are_surely_apart (&edges[i], &edges[j]))
          return FALSE;
    }
  return TRUE;
}
