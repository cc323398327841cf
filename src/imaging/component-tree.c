/* component-tree.c - see component-tree.h. */
#include "component-tree.h"

#include <math.h>
#include <string.h>

#define N_LEVELS 1024
#define NONE G_MAXUINT32

typedef struct
{
  const RakeRaster *raster;
  guint n; /* cells in the mask */
  guint16 *level;    /* by cell */
  guint32 *order;    /* cells, lowest level first */
  guint32 *parent;   /* by cell; NONE for what is not in the mask or not yet flooded */
  guint32 *root;     /* by cell, shortened on the way */
  float *area, *sum, *shore; /* of the pool that the cell completed */
  float *best;       /* the best sum without nesting in it */
} Tree;

/* Levels in equal steps of the numbers between the outermost two in ten thousand. */
static void
make_levels (Tree *self, const float *values, const guint8 *mask)
{
  double low = rake_raster_quantile (self->raster, values, mask, 0.0002);
  double high = rake_raster_quantile (self->raster, values, mask, 0.9998);
  double scale = high > low ? (N_LEVELS - 1) / (high - low) : 0;
  gsize n = rake_raster_get_size (self->raster);
  guint starts[N_LEVELS + 1] = { 0 };

  self->n = 0;
  for (gsize i = 0; i < n; i++)
    if (mask[i] != 0)
      {
        double level = CLAMP ((values[i] - low) * scale, 0, N_LEVELS - 1);
        self->level[i] = (guint16) level;
        starts[self->level[i] + 1]++;
        self->n++;
      }
  for (int i = 0; i < N_LEVELS; i++)
    starts[i + 1] += starts[i];
  for (gsize i = 0; i < n; i++)
    if (mask[i] != 0)
      self->order[starts[self->level[i]]++] = (guint32) i;
}

static guint32
find_root (guint32 *root, guint32 cell)
{
  guint32 top = cell;

  while (root[top] != top)
    top = root[top];
  while (root[cell] != top)
    {
      guint32 next = root[cell];
      root[cell] = top;
      cell = next;
    }
  return top;
}

static guint
list_neighbours (const RakeRaster *raster, guint32 cell, guint32 *found)
{
  guint32 w = (guint32) raster->width, x = cell % w, y = cell / w;
  guint n = 0;

  if (x > 0)
    found[n++] = cell - 1;
  if (x + 1 < w)
    found[n++] = cell + 1;
  if (y > 0)
    found[n++] = cell - w;
  if (y + 1 < (guint32) raster->height)
    found[n++] = cell + w;
  return n;
}

static void
flood (Tree *self, const guint8 *mask, const float *gain)
{
  for (guint k = 0; k < self->n; k++)
    {
      guint32 cell = self->order[k], near[4];
      guint n_near = list_neighbours (self->raster, cell, near);

      self->parent[cell] = self->root[cell] = cell;
      self->area[cell] = 1;
      self->sum[cell] = self->shore[cell] = 0;
      for (guint i = 0; i < n_near; i++)
        {
          float steep;
          guint32 pool;

          /* The rim of the mask is no shore. */
          if (mask[near[i]] == 0)
            continue;
          steep = 0.5f * (gain[cell] + gain[near[i]]);
          if (self->parent[near[i]] == NONE)
            {
              self->sum[cell] += steep;
              self->shore[cell] += 1;
              continue;
            }
          self->sum[cell] -= steep;
          self->shore[cell] -= 1;
          pool = find_root (self->root, near[i]);
          if (pool != cell)
            {
              self->root[pool] = self->parent[pool] = cell;
              self->area[cell] += self->area[pool];
              self->sum[cell] += self->sum[pool];
              self->shore[cell] += self->shore[pool];
            }
        }
    }
}

/* Is @cell the last of its level in its pool, so that its sums are the pool's? */
static gboolean
completes_level (const Tree *self, guint32 cell)
{
  guint32 parent = self->parent[cell];

  return parent == cell || self->level[parent] != self->level[cell];
}

/* From the lowest up: is the pool worth more than the best of what lies in it? */
static void
choose (Tree *self, const RakeTreeLimits *limits, guint8 *is_chosen)
{
  for (guint k = 0; k < self->n; k++)
    {
      guint32 cell = self->order[k];

      if (completes_level (self, cell) && self->area[cell] >= limits->min_area_cells &&
          self->area[cell] <= limits->max_area_cells && self->sum[cell] > 0 &&
          self->sum[cell] >= limits->min_gain * self->shore[cell] &&
          self->sum[cell] >= self->best[cell])
        {
          self->best[cell] = self->sum[cell];
          is_chosen[cell] = 1;
        }
      if (self->parent[cell] != cell)
        self->best[self->parent[cell]] += self->best[cell];
    }
}

guint32
rake_component_tree_find (const RakeRaster *raster, const float *values, const guint8 *mask,
                          const float *gain, const RakeTreeLimits *limits, guint32 *labels)
{
  gsize n = rake_raster_get_size (raster);
  g_autofree guint16 *level = g_new0 (guint16, n);
  g_autofree guint32 *order = g_new (guint32, n), *parent = g_new (guint32, n);
  g_autofree guint32 *root = g_new (guint32, n);
  g_autofree float *area = g_new (float, n), *sum = g_new (float, n);
  g_autofree float *shore = g_new (float, n), *best = g_new0 (float, n);
  g_autofree guint8 *is_chosen = g_new0 (guint8, n);
  Tree self = { raster, 0, level, order, parent, root, area, sum, shore, best };
  guint32 n_islands = 0;

  memset (parent, 0xff, n * sizeof *parent);
  memset (labels, 0, n * sizeof *labels);
  make_levels (&self, values, mask);
  flood (&self, mask, gain);
  choose (&self, limits, is_chosen);
  /* From the highest down: what lies in a chosen pool is its own. */
  for (guint k = self.n; k-- > 0;)
    {
      guint32 cell = order[k], over = parent[cell];

      if (over != cell && labels[over] != 0)
        labels[cell] = labels[over];
      else if (is_chosen[cell] != 0)
        labels[cell] = ++n_islands;
    }
  return n_islands;
}
