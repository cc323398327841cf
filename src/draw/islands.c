/* islands.c - the level set of a smooth random surface, as a block leaves it: the plane has cut the
 * hills, the hollows below it are still glossy. The plane is put where the wanted share lies below,
 * and the shores are followed through a grid (marching squares). */
#include "islands.h"

#include <math.h>
#include <string.h>

#define MAX_CELLS 150
#define N_BINS 512

typedef struct
{
  guint columns, rows;     /* nodes */
  double left, top, cell;  /* px */
  float *field;            /* columns × rows */
  gboolean *is_inside;
} Surface;

static int
compare_doubles (gconstpointer a, gconstpointer b)
{
  double one = *(const double *) a, other = *(const double *) b;

  return one < other ? -1 : one > other;
}

/* Row by row where the zone begins and ends: a grid of ten thousand nodes against a hundred sides
 * would be a million tests otherwise. */
static void
fill_inside (Surface *surface, const RakePlace *zone)
{
  g_autoptr (GArray) crossings = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint row = 0; row < surface->rows; row++)
    {
      double y = surface->top + row * surface->cell;
      g_array_set_size (crossings, 0);
      for (guint ring = 0; ring < rake_place_get_n_rings (zone); ring++)
        {
          guint n_points;
          const RakePoint *points = rake_place_get_ring (zone, ring, &n_points);
          for (guint i = 0, j = n_points - 1; i < n_points; j = i++)
            if ((points[i].y > y) != (points[j].y > y))
              {
                double x = points[i].x + (points[j].x - points[i].x) * (y - points[i].y) /
                                             (points[j].y - points[i].y);
                g_array_append_val (crossings, x);
              }
        }
      g_array_sort (crossings, compare_doubles);
      for (guint i = 0; i + 1 < crossings->len; i += 2)
        {
          double from = g_array_index (crossings, double, i) - surface->left;
          double to = g_array_index (crossings, double, i + 1) - surface->left;
          int first = MAX ((int) ceil (from / surface->cell), 0);
          int last = MIN ((int) floor (to / surface->cell), (int) surface->columns - 1);
          for (int column = first; column <= last; column++)
            surface->is_inside[row * surface->columns + (guint) column] = TRUE;
        }
    }
}

/* Two lattices turned against each other: one alone shows its squares in the islands' corners. */
static double
surface_at (double x, double y, guint32 seed)
{
  double turned_x = 0.78 * x - 0.62 * y + 0.37, turned_y = 0.62 * x + 0.78 * y + 0.71;

  return 0.42 * rake_noise (x, y, 0, 0, seed) +
         0.42 * rake_noise (turned_x, turned_y, 0, 0, seed + 1) +
         0.16 * rake_noise (2.1 * turned_y, 2.1 * x, 0, 0, seed + 2);
}

static void
fill_field (Surface *surface, const RakeMapView *view, double wave_mm, guint32 seed)
{
  for (guint row = 0; row < surface->rows; row++)
    for (guint column = 0; column < surface->columns; column++)
      {
        double x_mm, y_mm;
        rake_map_view_to_mm (view, surface->left + column * surface->cell,
                             surface->top + row * surface->cell, &x_mm, &y_mm);
        surface->field[row * surface->columns + column] =
            (float) surface_at (x_mm / wave_mm, y_mm / wave_mm, seed);
      }
}

/* Where something is painted already there is no hollow; the share is found elsewhere. The ground
 * rises towards the box, so that no shore is cut straight by it. */
static void
raise_towards (Surface *surface, const RakeMapView *view, const RakeBounds *box, double margin_mm)
{
  for (guint row = 0; row < surface->rows; row++)
    for (guint column = 0; column < surface->columns; column++)
      {
        double x_mm, y_mm, dx, dy, near;
        rake_map_view_to_mm (view, surface->left + column * surface->cell,
                             surface->top + row * surface->cell, &x_mm, &y_mm);
        dx = MAX (MAX (box->min_x_mm - x_mm, x_mm - box->max_x_mm), 0);
        dy = MAX (MAX (box->min_y_mm - y_mm, y_mm - box->max_y_mm), 0);
        near = 1 - hypot (dx, dy) / margin_mm;
        if (near > 0)
          surface->field[row * surface->columns + column] -= (float) (2 * near * (2 - near));
      }
}

/* The height above which @fraction of the nodes inside lie. */
static double
find_plane (const Surface *surface, double fraction)
{
  guint bins[N_BINS] = { 0 };
  guint n_inside = 0, n_above = 0;

  for (guint i = 0; i < surface->columns * surface->rows; i++)
    if (surface->is_inside[i])
      {
        int bin = (int) ((surface->field[i] + 1) / 2 * N_BINS);
        bins[CLAMP (bin, 0, N_BINS - 1)]++;
        n_inside++;
      }
  for (int bin = N_BINS - 1; bin >= 0; bin--)
    {
      if (n_above + bins[bin] >= fraction * n_inside && bins[bin] > 0)
        {
          double share = (fraction * n_inside - n_above) / bins[bin];
          return (bin + 1 - share) / N_BINS * 2 - 1;
        }
      n_above += bins[bin];
    }
  return -1;
}

/* --- shores --------------------------------------------------------------------------------- */

/* Each side of the grid has a number: first the sides to the right of every node, then those below.
 * A shore crosses a side once, so "which side comes next" is one array. */
typedef struct
{
  const Surface *surface;
  double plane;
  int *next;      /* by side; -1: none */
} Shores;

static double
height_at (const Shores *shores, guint column, guint row)
{
  const Surface *surface = shores->surface;

  /* The border lies below, so that every shore closes. */
  if (column == 0 || row == 0 || column == surface->columns - 1 || row == surface->rows - 1)
    return -2 - shores->plane;
  return surface->field[row * surface->columns + column] - shores->plane;
}

static void
link_sides (Shores *shores, guint column, guint row)
{
  const Surface *surface = shores->surface;
  guint n = surface->columns * surface->rows;
  double corner[4] = { height_at (shores, column, row), height_at (shores, column + 1, row),
                       height_at (shores, column + 1, row + 1), height_at (shores, column, row + 1) };
  int side[4] = { (int)(row * surface->columns + column),
                  (int)(n + row * surface->columns + column + 1),
                  (int)((row + 1) * surface->columns + column),
                  (int)(n + row * surface->columns + column) };
  guint leaves[2], enters[2], n_leaves = 0, n_enters = 0;

  /* Walk around the cell clockwise; the island is kept on the right hand. */
  for (guint i = 0; i < 4; i++)
    {
      gboolean here = corner[i] > 0, after = corner[(i + 1) % 4] > 0;
      if (here && !after)
        leaves[n_leaves++] = i;
      else if (!here && after)
        enters[n_enters++] = i;
    }
  if (n_leaves == 1)
    shores->next[side[leaves[0]]] = side[enters[0]];
  else if (n_leaves == 2)
    {
      /* A saddle: joined or parted as the middle of the cell lies. */
      gboolean is_joined = corner[0] + corner[1] + corner[2] + corner[3] > 0;
      for (guint i = 0; i < 2; i++)
        {
          guint after = enters[0] == (leaves[i] + 1) % 4 ? 0 : 1;
          shores->next[side[leaves[i]]] = side[enters[is_joined ? after : 1 - after]];
        }
    }
}

static void
add_crossing (const Shores *shores, int side, RakePlace *islands)
{
  const Surface *surface = shores->surface;
  guint n = surface->columns * surface->rows, at = (guint) side % n;
  guint column = at % surface->columns, row = at / surface->columns;
  gboolean is_below = (guint) side >= n;
  double here = height_at (shores, column, row);
  double there = height_at (shores, column + (is_below ? 0 : 1), row + (is_below ? 1 : 0));
  double share = here / (here - there);

  rake_place_add (islands, surface->left + (column + (is_below ? 0 : share)) * surface->cell,
                  surface->top + (row + (is_below ? share : 0)) * surface->cell);
}

static RakePlace *
follow_shores (const Surface *surface, double plane)
{
  guint n_sides = 2 * surface->columns * surface->rows;
  g_autofree int *next = g_new (int, n_sides);
  Shores shores = { surface, plane, next };
  RakePlace *islands = rake_place_new (RAKE_SHAPE_AREA);

  for (guint i = 0; i < n_sides; i++)
    next[i] = -1;
  for (guint row = 0; row + 1 < surface->rows; row++)
    for (guint column = 0; column + 1 < surface->columns; column++)
      link_sides (&shores, column, row);
  for (guint start = 0; start < n_sides; start++)
    {
      int side = (int) start;
      while (next[side] >= 0)
        {
          int after = next[side];
          add_crossing (&shores, side, islands);
          next[side] = -1;
          side = after;
        }
      rake_place_end_ring (islands);
      /* What is smaller than a dot of the stipple is a speck, no pool. */
      if (rake_place_get_n_rings (islands) > 0 &&
          fabs (rake_place_get_ring_area (islands, rake_place_get_n_rings (islands) - 1)) < 10)
        rake_place_drop_ring (islands);
    }
  return islands;
}

RakePlace *
rake_islands_new (const RakeMapView *view, const RakeShape *zone, double fraction,
                  const RakeBounds *avoid, guint n_avoid, guint32 seed)
{
  g_autoptr (RakePlace) place = rake_place_new_from_shape (view, zone);
  Surface surface;
  RakePlace *islands;
  double wave_mm, width = place->max.x - place->min.x, height = place->max.y - place->min.y;

  if (!isfinite (fraction) || fraction <= 0.001 || !(width > 0) || !(height > 0))
    return NULL;
  if (fraction > 0.995)
    {
      place->is_fine = TRUE;
      return g_steal_pointer (&place);
    }
  wave_mm = CLAMP (0.10 * sqrt (rake_shape_get_area_mm2 (zone)), 3, 16);
  surface.cell = MAX (MAX (wave_mm / 8 * view->px_per_mm, 2.8), MAX (width, height) / MAX_CELLS);
  surface.columns = (guint) ceil (width / surface.cell) + 3;
  surface.rows = (guint) ceil (height / surface.cell) + 3;
  surface.left = place->min.x - surface.cell;
  surface.top = place->min.y - surface.cell;
  surface.field = g_new0 (float, (gsize) surface.columns *surface.rows);
  surface.is_inside = g_new0 (gboolean, (gsize) surface.columns * surface.rows);
  fill_inside (&surface, place);
  fill_field (&surface, view, wave_mm, seed);
  for (guint i = 0; i < n_avoid; i++)
    raise_towards (&surface, view, &avoid[i], 0.8 * wave_mm);
  islands = follow_shores (&surface, find_plane (&surface, fraction));
  islands->is_fine = surface.cell < 4.5;
  g_free (surface.field);
  g_free (surface.is_inside);
  if (rake_place_get_n_rings (islands) == 0)
    g_clear_pointer (&islands, rake_place_free);
  return islands;
}
