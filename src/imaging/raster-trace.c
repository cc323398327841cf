/* raster-trace.c - the outline of cells that hang together, as an area in millimetres. */
#include "raster.h"

#include <string.h>

enum
{
  RIGHT,
  DOWN,
  LEFT,
  UP,
  SEEN_TOP = 1, /* the cell's upper edge has been walked along */
};

typedef struct
{
  const RakeRaster *raster;
  const guint32 *labels;
  guint32 label;
  int min_x, min_y, width, height; /* with a margin of one cell */
  guint8 *seen;
} Tracer;

static gboolean
is_inside (const Tracer *self, int x, int y)
{
  int at_x = x + self->min_x, at_y = y + self->min_y;

  return at_x >= 0 && at_y >= 0 && at_x < self->raster->width && at_y < self->raster->height &&
         self->labels[(gsize) at_y * (gsize) self->raster->width + (gsize) at_x] == self->label;
}

/* The middle of the edge that was just walked along, which cuts the corners of a staircase. */
static void
add_middle (const Tracer *self, GArray *points, int x, int y, int direction)
{
  static const double dx[] = { 0.5, 0, -0.5, 0 }, dy[] = { 0, 0.5, 0, -0.5 };
  double px = self->raster->x_mm + (x + dx[direction] + self->min_x) * self->raster->cell_mm;
  double py = self->raster->y_mm + (y + dy[direction] + self->min_y) * self->raster->cell_mm;

  /* In a straight run only its ends are kept. */
  if (points->len >= 4)
    {
      const double *p = &g_array_index (points, double, points->len - 4);
      double turn = (p[2] - p[0]) * (py - p[3]) - (p[3] - p[1]) * (px - p[2]);

      if (turn > -1e-9 && turn < 1e-9)
        g_array_set_size (points, points->len - 2);
    }
  g_array_append_val (points, px);
  g_array_append_val (points, py);
}

/* Walks with the cells on the right hand, from the upper left corner of cell x, y, to the right. */
static void
walk (Tracer *self, int x0, int y0, GArray *points)
{
  static const int dx[] = { 1, 0, -1, 0 }, dy[] = { 0, 1, 0, -1 };
  int x = x0, y = y0, direction = RIGHT;

  do
    {
      gboolean left, right;

      if (direction == RIGHT)
        self->seen[y * self->width + x] = SEEN_TOP;
      add_middle (self, points, x, y, direction);
      x += dx[direction];
      y += dy[direction];
      /* The two cells ahead: to the right of the way and to the left of it. */
      switch (direction)
        {
        case RIGHT:
          right = is_inside (self, x, y);
          left = is_inside (self, x, y - 1);
          break;
        case DOWN:
          right = is_inside (self, x - 1, y);
          left = is_inside (self, x, y);
          break;
        case LEFT:
          right = is_inside (self, x - 1, y - 1);
          left = is_inside (self, x - 1, y);
          break;
        default:
          right = is_inside (self, x, y - 1);
          left = is_inside (self, x - 1, y - 1);
          break;
        }
      /* Cells that touch at a corner alone do not hang together. */
      if (!right)
        direction = (direction + 1) % 4;
      else if (left)
        direction = (direction + 3) % 4;
    }
  while (x != x0 || y != y0 || direction != RIGHT);
}

RakeShape *
rake_raster_trace (const RakeRaster *raster, const guint32 *labels, guint32 label, int min_x,
                   int min_y, int max_x, int max_y)
{
  Tracer self = { raster, labels, label, min_x - 1, min_y - 1, max_x - min_x + 3,
                  max_y - min_y + 3, NULL };
  g_autofree guint8 *seen = g_new0 (guint8, (gsize) self.width * (gsize) self.height);
  g_autoptr (GPtrArray) rings = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  g_autofree const double **points = NULL;
  g_autofree guint *counts = NULL;

  self.seen = seen;
  for (int y = 0; y < self.height; y++)
    for (int x = 0; x < self.width; x++)
      if (seen[y * self.width + x] == 0 && is_inside (&self, x, y) && !is_inside (&self, x, y - 1))
        {
          GArray *ring = g_array_new (FALSE, FALSE, sizeof (double));
          walk (&self, x, y, ring);
          g_ptr_array_add (rings, ring);
        }
  points = g_new (const double *, rings->len);
  counts = g_new (guint, rings->len);
  for (guint i = 0; i < rings->len; i++)
    {
      const GArray *ring = rings->pdata[i];
      points[i] = (const double *) (const void *) ring->data;
      counts[i] = ring->len / 2;
    }
  return rings->len == 0 ? NULL : rake_shape_new_area_with_holes (points, counts, rings->len, NULL);
}
