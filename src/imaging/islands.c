/* islands.c - see islands.h. */
#include "islands.h"

#include <math.h>

#define AROUND_MM 1.2

typedef struct
{
  double n, x, y, xx, xy, yy, level, gain, n_shore, n_steep, around, n_around, edge;
} Sums;

static void
add_cell (Sums *sums, double x, double y, double level)
{
  sums->n++;
  sums->x += x;
  sums->y += y;
  sums->xx += x * x;
  sums->xy += x * y;
  sums->yy += y * y;
  sums->level += level;
}

/* Of the four neighbours, the ones beyond the island's shore. */
static guint
count_shore (const RakeReader *reader, const guint32 *labels, int x, int y)
{
  const int w = reader->raster.width, h = reader->raster.height;
  gsize i = (gsize) y * (gsize) w + (gsize) x;
  guint n = 0;

  n += x > 0 && reader->mask[i - 1] != 0 && labels[i - 1] != labels[i];
  n += x + 1 < w && reader->mask[i + 1] != 0 && labels[i + 1] != labels[i];
  n += y > 0 && reader->mask[i - (gsize) w] != 0 && labels[i - (gsize) w] != labels[i];
  n += y + 1 < h && reader->mask[i + (gsize) w] != 0 && labels[i + (gsize) w] != labels[i];
  return n;
}

/* Gives what lies around a shore cell, in eight directions, to the island. */
static void
look_around (const RakeReader *reader, const guint32 *labels, int x, int y, Sums *sums)
{
  static const int dx[] = { 1, 1, 0, -1, -1, -1, 0, 1 }, dy[] = { 0, 1, 1, 1, 0, -1, -1, -1 };
  const int w = reader->raster.width, h = reader->raster.height;
  int reach = MAX ((int) lround (AROUND_MM * reader->cells_per_mm), 2);

  for (int k = 0; k < 8; k++)
    {
      int u = x + dx[k] * reach, v = y + dy[k] * reach;
      gsize j = (gsize) v * (gsize) w + (gsize) u;

      if (u < 0 || v < 0 || u >= w || v >= h || reader->mask[j] == 0 || labels[j] != 0)
        continue;
      sums->around += reader->flat[j];
      sums->n_around++;
    }
}

static void
conclude (const RakeReader *reader, const Sums *sums, RakeIsland *island)
{
  double cell = reader->raster.cell_mm, n = sums->n;
  double xx = sums->xx / n - sums->x / n * sums->x / n + 1.0 / 12;
  double yy = sums->yy / n - sums->y / n * sums->y / n + 1.0 / 12;
  double xy = sums->xy / n - sums->x / n * sums->y / n;
  double middle = 0.5 * (xx + yy), spread = 0.5 * hypot (xx - yy, 2 * xy);

  island->area_mm2 = n * cell * cell;
  island->level = sums->level / n;
  island->around = sums->n_around > 0 ? sums->around / sums->n_around : 0;
  island->shore_mm = sums->n_shore * cell;
  island->gain = sums->n_shore > 0 ? sums->gain / sums->n_shore : 0;
  island->whole = sums->n_shore > 0 ? sums->n_steep / sums->n_shore : 0;
  island->length_mm = 4 * sqrt (middle + spread) * cell;
  island->width_mm = 4 * sqrt (fmax (middle - spread, 1.0 / 12)) * cell;
  island->edge_mm = sums->edge / n;
}

RakeIsland *
rake_islands_measure (const RakeReader *reader, const guint32 *labels, guint32 n_labels,
                      const float *gain)
{
  RakeIsland *islands = g_new0 (RakeIsland, n_labels + 1);
  g_autofree Sums *sums = g_new0 (Sums, n_labels + 1);
  const int w = reader->raster.width, h = reader->raster.height;

  for (guint32 k = 0; k <= n_labels; k++)
    islands[k] = (RakeIsland){ .min_x = w, .min_y = h };
  for (int y = 0; y < h; y++)
    for (int x = 0; x < w; x++)
      {
        gsize i = (gsize) y * (gsize) w + (gsize) x;
        guint32 label = labels[i];
        RakeIsland *island = &islands[label];
        guint n_shore;

        if (label == 0)
          continue;
        island->min_x = MIN (island->min_x, x);
        island->min_y = MIN (island->min_y, y);
        island->max_x = MAX (island->max_x, x);
        island->max_y = MAX (island->max_y, y);
        if (sums[label].n <= 0)
          island->zone = reader->zone[i];
        sums[label].edge += reader->edge_mm[i];
        add_cell (&sums[label], x, y, reader->flat[i]);
        n_shore = count_shore (reader, labels, x, y);
        if (n_shore == 0)
          continue;
        sums[label].n_shore += n_shore;
        sums[label].gain += (double) n_shore * (double) gain[i];
        sums[label].n_steep += gain[i] > 0 ? n_shore : 0;
        look_around (reader, labels, x, y, &sums[label]);
      }
  for (guint32 k = 1; k <= n_labels; k++)
    conclude (reader, &sums[k], &islands[k]);
  return islands;
}
