/* component-tree.c - see component-tree.h. */
#include "component-tree.h"

#include <math.h>
#include <string.h>

#define N_LEVELS 1024
#define NONE G_MAXUINT32

/* What is known of a cell and of the pool that it completed, in one place: they are asked for in an
 * order that no cache foresees. */
typedef struct
{
  guint32 parent; /* NONE for what is not in the mask or not yet flooded */
  guint32 root;   /* shortened on the way */
  float area, sum, shore;
  float best; /* the best sum without nesting in it */
} Pool;

typedef struct
{
  const RakeRaster *raster;
  guint n;        /* cells in the mask */
  guint16 *level; /* by cell */
  guint32 *order; /* cells, lowest level first */
  Pool *pools;    /* by cell */
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
find_root (Pool *pools, guint32 cell)
{
  guint32 top = cell;

  while (pools[top].root != top)
    top = pools[top].root;
  while (pools[cell].root != top)
    {
      guint32 next = pools[cell].root;
      pools[cell].root = top;
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
  Pool *pools = self->pools;

  for (guint k = 0; k < self->n; k++)
    {
      guint32 cell = self->order[k], near[4];
      guint n_near = list_neighbours (self->raster, cell, near);
      Pool *pool = &pools[cell];

      *pool = (Pool){ .parent = cell, .root = cell, .area = 1 };
      for (guint i = 0; i < n_near; i++)
        {
          float steep;
          guint32 other;

          /* The rim of the mask is no shore. */
          if (mask[near[i]] == 0)
            continue;
          steep = 0.5f * (gain[cell] + gain[near[i]]);
          if (pools[near[i]].parent == NONE)
            {
              pool->sum += steep;
              pool->shore += 1;
              continue;
            }
          pool->sum -= steep;
          pool->shore -= 1;
          other = find_root (pools, near[i]);
          if (other != cell)
            {
              pools[other].root = pools[other].parent = cell;
              pool->area += pools[other].area;
              pool->sum += pools[other].sum;
              pool->shore += pools[other].shore;
            }
        }
    }
}

/* Is @cell the last of its level in its pool, so that its sums are the pool's? */
static gboolean
completes_level (const Tree *self, guint32 cell)
{
  guint32 parent = self->pools[cell].parent;

  return parent == cell || self->level[parent] != self->level[cell];
}

/* From the lowest up: is the pool worth more than the best of what lies in it? */
static void
choose (Tree *self, const RakeTreeLimits *limits, guint8 *is_chosen)
{
  for (guint k = 0; k < self->n; k++)
    {
      guint32 cell = self->order[k];
      Pool *pool = &self->pools[cell];

      if (completes_level (self, cell) && pool->area >= limits->min_area_cells &&
          pool->area <= limits->max_area_cells && pool->sum > 0 &&
          pool->sum >= limits->min_gain * pool->shore && pool->sum >= pool->best)
        {
          pool->best = pool->sum;
          is_chosen[cell] = 1;
        }
      if (pool->parent != cell)
        self->pools[pool->parent].best += pool->best;
    }
}

guint32
rake_component_tree_find (const RakeRaster *raster, const float *values, const guint8 *mask,
                          const float *gain, const RakeTreeLimits *limits, guint32 *labels)
{
  gsize n = rake_raster_get_size (raster);
  g_autofree guint16 *level = g_new0 (guint16, n);
  g_autofree guint32 *order = g_new (guint32, n);
  g_autofree Pool *pools = g_new (Pool, n);
  g_autofree guint8 *is_chosen = g_new0 (guint8, n);
  Tree self = { raster, 0, level, order, pools };
  guint32 n_islands = 0;

  memset (pools, 0xff, n * sizeof *pools);
  memset (labels, 0, n * sizeof *labels);
  make_levels (&self, values, mask);
  flood (&self, mask, gain);
  choose (&self, limits, is_chosen);
  /* From the highest down: what lies in a chosen pool is its own. */
  for (guint k = self.n; k-- > 0;)
    {
      guint32 cell = order[k], over = pools[cell].parent;

      if (over != cell && labels[over] != 0)
        labels[cell] = labels[over];
      else if (is_chosen[cell] != 0)
        labels[cell] = ++n_islands;
    }
  return n_islands;
}
