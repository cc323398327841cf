/* raster.c - planes over a face: filling, blurring, distances, outlines. */
#include "raster.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Cells to a block's side, and from which blur on blocks do. */
#define COARSE 4
#define COARSE_FROM_CELLS 20

void
rake_raster_init (RakeRaster *self, const RakeBounds *bounds, double margin_mm, double cell_mm)
{
  self->x_mm = bounds->min_x_mm - margin_mm;
  self->y_mm = bounds->min_y_mm - margin_mm;
  self->cell_mm = cell_mm;
  self->width = 1 + (int) ((bounds->max_x_mm - bounds->min_x_mm + 2 * margin_mm) / cell_mm);
  self->height = 1 + (int) ((bounds->max_y_mm - bounds->min_y_mm + 2 * margin_mm) / cell_mm);
}

static int
compare_doubles (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;

  return (x > y) - (x < y);
}

/* Where the rings of @area cross the line through the middles of a row. */
static void
add_crossings (const RakeRaster *self, const RakeShape *area, int row, GArray *crossings)
{
  double y = self->y_mm + (row + 0.5) * self->cell_mm;

  for (guint ring = 0; ring < rake_shape_get_n_rings (area); ring++)
    {
      guint n;
      const double *p = rake_shape_get_ring (area, ring, &n, NULL);

      for (guint i = 0; i + 1 < n; i++)
        {
          double y0 = p[2 * i + 1], y1 = p[2 * i + 3];

          if ((y0 <= y) != (y1 <= y))
            {
              double x = p[2 * i] + (y - y0) / (y1 - y0) * (p[2 * i + 2] - p[2 * i]);
              g_array_append_val (crossings, x);
            }
        }
    }
}

void
rake_raster_visit (const RakeRaster *self, const RakeShape *area, RakeRasterRun run, gpointer data)
{
  RakeBounds bounds = rake_shape_get_bounds (area);
  g_autoptr (GArray) crossings = g_array_new (FALSE, FALSE, sizeof (double));
  int first = (int) floor ((bounds.min_y_mm - self->y_mm) / self->cell_mm) - 1;
  int last = (int) ceil ((bounds.max_y_mm - self->y_mm) / self->cell_mm) + 1;

  for (int row = MAX (first, 0); row < MIN (last, self->height); row++)
    {
      g_array_set_size (crossings, 0);
      add_crossings (self, area, row, crossings);
      g_array_sort (crossings, compare_doubles);
      for (guint i = 0; i + 1 < crossings->len; i += 2)
        {
          double x0 = (g_array_index (crossings, double, i) - self->x_mm) / self->cell_mm;
          double x1 = (g_array_index (crossings, double, i + 1) - self->x_mm) / self->cell_mm;
          int begin = MAX ((int) ceil (x0 - 0.5), 0);
          int end = MIN ((int) ceil (x1 - 0.5), self->width);

          if (end > begin)
            run ((gsize) row * (gsize) self->width + (gsize) begin, (gsize) (end - begin), data);
        }
    }
}

typedef struct
{
  guint8 *cells;
  guint8 value;
} Filling;

static void
fill_run (gsize begin, gsize n, gpointer data)
{
  const Filling *filling = data;

  memset (filling->cells + begin, filling->value, n);
}

void
rake_raster_fill (const RakeRaster *self, const RakeShape *area, guint8 value, guint8 *cells)
{
  Filling filling = { cells, value };

  rake_raster_visit (self, area, fill_run, &filling);
}

/* One running mean of 2 * reach + 1 numbers that lie @step apart; outside there is nothing. */
static void
run_mean (const float *in, float *out, int n, gsize step, int reach)
{
  double sum = 0;
  const float factor = 1.0f / (float) (2 * reach + 1);

  for (int i = 0; i < MIN (reach, n); i++)
    sum += in[(gsize) i * step];
  for (int i = 0; i < n; i++)
    {
      if (i + reach < n)
        sum += in[(gsize) (i + reach) * step];
      if (i - reach - 1 >= 0)
        sum -= in[(gsize) (i - reach - 1) * step];
      out[(gsize) i * step] = (float) sum * factor;
    }
}

/* The same down all columns at once, row after row, as memory lies. */
static void
run_mean_down (const float *in, float *out, int width, int height, int reach, double *sums)
{
  const float factor = 1.0f / (float) (2 * reach + 1);

  memset (sums, 0, (gsize) width * sizeof *sums);
  for (int y = -reach; y < height; y++)
    {
      if (y + reach < height)
        {
          const float *row = in + (gsize) (y + reach) * (gsize) width;
          for (int x = 0; x < width; x++)
            sums[x] += row[x];
        }
      if (y - reach - 1 >= 0)
        {
          const float *row = in + (gsize) (y - reach - 1) * (gsize) width;
          for (int x = 0; x < width; x++)
            sums[x] -= row[x];
        }
      if (y >= 0)
        {
          float *row = out + (gsize) y * (gsize) width;
          for (int x = 0; x < width; x++)
            row[x] = (float) sums[x] * factor;
        }
    }
}

static void
blur_plane (const RakeRaster *self, float *plane, double sd_cells, float *other)
{
  /* Three means of width w have the variance (w² - 1) / 4. */
  int reach[3], low = (int) floor ((sqrt (4 * sd_cells * sd_cells + 1) - 1) / 2);
  double want = 4 * sd_cells * sd_cells;
  int n_more = 0;
  g_autofree double *sums = g_new (double, self->width);

  for (n_more = 0; n_more < 3; n_more++)
    {
      double has = (3 - n_more) * (pow (2 * low + 1, 2) - 1) / 3.0 +
                   n_more * (pow (2 * low + 3, 2) - 1) / 3.0;
      double next = (2 - n_more) * (pow (2 * low + 1, 2) - 1) / 3.0 +
                    (n_more + 1) * (pow (2 * low + 3, 2) - 1) / 3.0;
      if (fabs (has - want) <= fabs (next - want))
        break;
    }
  for (int i = 0; i < 3; i++)
    reach[i] = low + (i < n_more);
  for (int i = 0; i < 3; i++)
    {
      if (reach[i] == 0)
        continue;
      for (int y = 0; y < self->height; y++)
        {
          gsize at = (gsize) y * (gsize) self->width;
          run_mean (plane + at, other + at, self->width, 1, reach[i]);
        }
      run_mean_down (other, plane, self->width, self->height, reach[i], sums);
    }
}

/* Sums of the cells in the mask, and how many they are, by block of COARSE × COARSE. */
static void
sum_blocks (const RakeRaster *self, const float *in, const guint8 *mask, const RakeRaster *coarse,
            float *sums, float *weights)
{
  for (int y = 0; y < self->height; y++)
    for (int x = 0; x < self->width; x++)
      {
        gsize i = (gsize) y * (gsize) self->width + (gsize) x;
        gsize block = (gsize) (y / COARSE) * (gsize) coarse->width + (gsize) (x / COARSE);

        if (mask != NULL && mask[i] == 0)
          continue;
        sums[block] += in[i];
        weights[block] += 1;
      }
}

/* Between the middles of four blocks. */
static void
spread_blocks (const RakeRaster *self, const RakeRaster *coarse, const float *blocks, float *out)
{
  for (int y = 0; y < self->height; y++)
    {
      float v = CLAMP (((float) y + 0.5f) / COARSE - 0.5f, 0, (float) (coarse->height - 1));
      int row = MIN ((int) v, MAX (coarse->height - 2, 0));
      const float *above = blocks + (gsize) row * (gsize) coarse->width;
      const float *below = row + 1 < coarse->height ? above + coarse->width : above;

      v -= (float) row;
      for (int x = 0; x < self->width; x++)
        {
          float u = CLAMP (((float) x + 0.5f) / COARSE - 0.5f, 0, (float) (coarse->width - 1));
          int at = (int) u, next = MIN (at + 1, coarse->width - 1);

          u -= (float) at;
          out[(gsize) y * (gsize) self->width + (gsize) x] =
              (1 - v) * ((1 - u) * above[at] + u * above[next]) +
              v * ((1 - u) * below[at] + u * below[next]);
        }
    }
}

/* What is blurred so far can be blurred by the block, at a sixteenth of the cost. */
static void
blur_coarsely (const RakeRaster *self, const float *in, const guint8 *mask, double sd_cells,
               float *out)
{
  RakeRaster coarse = { self->x_mm, self->y_mm, self->cell_mm * COARSE,
                        (self->width + COARSE - 1) / COARSE, (self->height + COARSE - 1) / COARSE };
  gsize n = rake_raster_get_size (&coarse);
  g_autofree float *sums = g_new0 (float, n), *weights = g_new0 (float, n);
  g_autofree float *other = g_new (float, n);

  sum_blocks (self, in, mask, &coarse, sums, weights);
  blur_plane (&coarse, sums, sd_cells / COARSE, other);
  blur_plane (&coarse, weights, sd_cells / COARSE, other);
  for (gsize i = 0; i < n; i++)
    sums[i] = weights[i] > 1e-3f ? sums[i] / weights[i] : 0;
  spread_blocks (self, &coarse, sums, out);
}

void
rake_raster_blur (const RakeRaster *self, const float *in, const guint8 *mask, double sd_cells,
                  float *out)
{
  gsize n = rake_raster_get_size (self);
  g_autofree float *weights = NULL, *other = NULL;

  if (sd_cells >= COARSE_FROM_CELLS)
    {
      blur_coarsely (self, in, mask, sd_cells, out);
      return;
    }
  weights = g_new (float, n);
  other = g_new (float, n);
  for (gsize i = 0; i < n; i++)
    {
      weights[i] = mask == NULL || mask[i] != 0 ? 1 : 0;
      out[i] = weights[i] > 0 ? in[i] : 0;
    }
  blur_plane (self, out, sd_cells, other);
  blur_plane (self, weights, sd_cells, other);
  for (gsize i = 0; i < n; i++)
    out[i] = weights[i] > 1e-4f ? out[i] / weights[i] : 0;
}

void
rake_raster_distance (const RakeRaster *self, const guint8 *cells, float *distance)
{
  const float far_off = 1e6f, diagonal = 1.3507f, straight = 0.9619f;
  int w = self->width, h = self->height;

  /* Two passes of the best 3 × 3 chamfer (Borgefors 1986, from memory): within 5 in a hundred. */
  for (int y = 0; y < h; y++)
    for (int x = 0; x < w; x++)
      {
        gsize i = (gsize) y * (gsize) w + (gsize) x;
        float d = cells[i] == 0 ? 0 : far_off;

        if (d > 0 && (x == 0 || y == 0 || x == w - 1 || y == h - 1))
          d = straight;
        if (x > 0)
          d = MIN (d, distance[i - 1] + straight);
        if (y > 0)
          {
            const float *up = distance + i - w;
            d = MIN (d, up[0] + straight);
            if (x > 0)
              d = MIN (d, up[-1] + diagonal);
            if (x + 1 < w)
              d = MIN (d, up[1] + diagonal);
          }
        distance[i] = d;
      }
  for (int y = h - 1; y >= 0; y--)
    for (int x = w - 1; x >= 0; x--)
      {
        gsize i = (gsize) y * (gsize) w + (gsize) x;
        float d = distance[i];

        if (x + 1 < w)
          d = MIN (d, distance[i + 1] + straight);
        if (y + 1 < h)
          {
            const float *down = distance + i + w;
            d = MIN (d, down[0] + straight);
            if (x > 0)
              d = MIN (d, down[-1] + diagonal);
            if (x + 1 < w)
              d = MIN (d, down[1] + diagonal);
          }
        distance[i] = d;
      }
}

double
rake_raster_quantile (const RakeRaster *self, const float *values, const guint8 *mask, double rank)
{
  enum
  {
    N_BINS = 4096
  };
  gsize n = rake_raster_get_size (self), n_in = 0, wanted, seen = 0;
  g_autofree gsize *bins = g_new0 (gsize, N_BINS);
  float low = INFINITY, high = -INFINITY;

  for (gsize i = 0; i < n; i++)
    if (mask == NULL || mask[i] != 0)
      {
        low = MIN (low, values[i]);
        high = MAX (high, values[i]);
        n_in++;
      }
  if (n_in == 0 || !(high > low))
    return n_in == 0 ? 0 : low;
  for (gsize i = 0; i < n; i++)
    if (mask == NULL || mask[i] != 0)
      bins[MIN ((int) ((values[i] - low) / (high - low) * N_BINS), N_BINS - 1)]++;
  wanted = (gsize) (rank * (double) (n_in - 1));
  for (int bin = 0; bin < N_BINS; bin++)
    {
      seen += bins[bin];
      if (seen > wanted)
        return low + (bin + 0.5) * (double) (high - low) / N_BINS;
    }
  return high;
}
