/* line-filter.c - see line-filter.h.
 *
 * For each of 36 angles: how much a cell differs from what lies to both sides of it, averaged along
 * the line. Scratches of the abrasive, all in one direction, make that large everywhere for their
 * own angle; so it is counted in what is usual around for the same angle. */
#include "line-filter.h"

#include <math.h>

#define HALF_MM 8.0
#define TILE_MM 12.0

typedef struct
{
  const RakeReader *reader;
  const float *values;
  float *ridge, *mean, *line;
  int *across; /* by step along the line */
  int tile, tiles_x, tiles_y;
  float *one_in_usual; /* by tile */
} Filter;

static void
measure_ridge (Filter *self, double angle, float most)
{
  const RakeRaster *raster = &self->reader->raster;
  const float *values = self->values;
  int w = raster->width, h = raster->height;
  int dx = (int) lround (-sin (angle) * RAKE_LINE_SIDE_MM * self->reader->cells_per_mm);
  int dy = (int) lround (cos (angle) * RAKE_LINE_SIDE_MM * self->reader->cells_per_mm);
  gssize side = (gssize) dy * w + dx;
  int x0 = abs (dx), y0 = abs (dy);

  for (gsize i = 0; i < rake_raster_get_size (raster); i++)
    self->ridge[i] = 0;
  for (int y = y0; y < h - y0; y++)
    for (int x = x0; x < w - x0; x++)
      {
        gssize i = (gssize) y * w + x;
        float a, b, off;

        if (self->reader->edge_mm[i] < (float) (1.5 * RAKE_LINE_SIDE_MM))
          continue;
        a = values[i] - values[i + side];
        b = values[i] - values[i - side];
        /* Of both sides the lesser: a shore is no line. */
        off = a * b <= 0 ? 0 : (fabsf (a) < fabsf (b) ? a : b);
        self->ridge[i] = CLAMP (off, -most, most);
      }
}

/* How much a cell may count. A speck or an island may differ more, but is no longer for it: along a
 * line many cells differ a little. */
static float
find_most (Filter *self)
{
  double sum = 0;

  for (int k = 0; k < 4; k++)
    {
      measure_ridge (self, k * G_PI / 4, INFINITY);
      for (gsize i = 0; i < rake_raster_get_size (&self->reader->raster); i++)
        self->ridge[i] = fabsf (self->ridge[i]);
      sum += rake_raster_quantile (&self->reader->raster, self->ridge, self->reader->mask, 0.85);
    }
  return fmaxf ((float) (sum / 4), 0.005f);
}

/* Running means along the digital lines of one angle; every cell lies on one of them. */
static void
average_along (Filter *self, double angle)
{
  const RakeRaster *raster = &self->reader->raster;
  gboolean is_flat = fabs (cos (angle)) >= fabs (sin (angle));
  int n_along = is_flat ? raster->width : raster->height;
  int n_across = is_flat ? raster->height : raster->width;
  double slope = is_flat ? tan (angle) : 1 / tan (angle);
  gsize step_along = is_flat ? 1 : (gsize) raster->width;
  gsize step_across = is_flat ? (gsize) raster->width : 1;
  int reach = (int) lround (HALF_MM * self->reader->cells_per_mm / sqrt (1 + slope * slope));
  int drift = (int) lround (slope * n_along);
  const float factor = 1.0f / (float) (2 * reach + 1);

  for (int a = 0; a < n_along; a++)
    self->across[a] = (int) lround (slope * a);
  for (int k = MIN (0, -drift) - 1; k < n_across + MAX (0, -drift) + 1; k++)
    {
      int first = n_along, last = -1;
      double sum = 0;

      for (int a = 0; a < n_along; a++)
        {
          int across = k + self->across[a];

          if (across < 0 || across >= n_across)
            {
              if (last >= 0)
                break;
              continue;
            }
          first = MIN (first, a);
          last = a;
          self->line[a] = self->ridge[(gsize) a * step_along + (gsize) across * step_across];
        }
      for (int a = first; a < MIN (first + reach, last + 1); a++)
        sum += self->line[a];
      for (int a = first; a <= last; a++)
        {
          int across = k + self->across[a];

          if (a + reach <= last)
            sum += self->line[a + reach];
          if (a - reach - 1 >= first)
            sum -= self->line[a - reach - 1];
          self->mean[(gsize) a * step_along + (gsize) across * step_across] = (float) sum * factor;
        }
    }
}

/* The root of the mean square by tile, each with its neighbours. */
static void
measure_usual (Filter *self)
{
  const RakeRaster *raster = &self->reader->raster;
  gsize n_tiles = (gsize) self->tiles_x * (gsize) self->tiles_y;
  g_autofree double *sums = g_new0 (double, 2 * n_tiles);
  double all = 0, n_all = 0;

  for (int y = 0; y < raster->height; y++)
    for (int x = 0; x < raster->width; x++)
      {
        gsize i = (gsize) y * (gsize) raster->width + (gsize) x;
        gsize tile = (gsize) (y / self->tile) * (gsize) self->tiles_x + (gsize) (x / self->tile);

        if (self->reader->edge_mm[i] < 2)
          continue;
        sums[2 * tile] += (double) self->mean[i] * self->mean[i];
        sums[2 * tile + 1]++;
      }
  for (gsize k = 0; k < n_tiles; k++)
    {
      all += sums[2 * k];
      n_all += sums[2 * k + 1];
    }
  for (int y = 0; y < self->tiles_y; y++)
    for (int x = 0; x < self->tiles_x; x++)
      {
        /* A little of the whole face, so that a calm corner is not over-strict. */
        double n = 200, sum = n_all > 0 ? 200 * all / n_all : 0;

        for (int v = MAX (y - 2, 0); v <= MIN (y + 2, self->tiles_y - 1); v++)
          for (int u = MAX (x - 2, 0); u <= MIN (x + 2, self->tiles_x - 1); u++)
            {
              sum += sums[2 * (v * self->tiles_x + u)];
              n += sums[2 * (v * self->tiles_x + u) + 1];
            }
        self->one_in_usual[y * self->tiles_x + x] = 1 / ((float) sqrt (sum / n) + 1e-4f);
      }
}

static void
keep_strongest (Filter *self, guint8 angle, RakeLines *lines)
{
  const RakeRaster *raster = &self->reader->raster;

  for (int y = 0; y < raster->height; y++)
    for (int x = 0; x < raster->width; x++)
      {
        gsize i = (gsize) y * (gsize) raster->width + (gsize) x;
        const float *row = self->one_in_usual + (gsize) (y / self->tile) * (gsize) self->tiles_x;
        float strength = self->mean[i] * row[x / self->tile];

        if (fabsf (strength) > fabsf (lines->strength[i]))
          {
            lines->strength[i] = strength;
            lines->angle[i] = angle;
          }
      }
}

gboolean
rake_lines_measure (const RakeReader *reader, GCancellable *cancellable, RakeLines *lines)
{
  gsize n = rake_raster_get_size (&reader->raster);
  g_autofree float *planes = g_new0 (float, 3 * n), *usual = NULL, *line = NULL;
  g_autofree int *across = g_new (int, MAX (reader->raster.width, reader->raster.height));
  Filter self = { .reader = reader, .values = planes, .ridge = planes + n,
                  .mean = planes + 2 * n, .across = across };
  float most;

  rake_raster_blur (&reader->raster, reader->light, reader->mask, 0.25 * reader->cells_per_mm,
                    planes);
  self.tile = MAX ((int) (TILE_MM * reader->cells_per_mm), 4);
  self.tiles_x = reader->raster.width / self.tile + 1;
  self.tiles_y = reader->raster.height / self.tile + 1;
  self.one_in_usual = usual = g_new (float, (gsize) self.tiles_x *(gsize) self.tiles_y);
  self.line = line = g_new (float, MAX (reader->raster.width, reader->raster.height));
  most = find_most (&self);
  lines->light = g_memdup2 (planes, n * sizeof *planes);
  lines->most = most;
  lines->strength = g_new0 (float, n);
  lines->angle = g_new0 (guint8, n);
  for (guint8 k = 0; k < RAKE_LINE_ANGLES; k++)
    {
      double angle = k * G_PI / RAKE_LINE_ANGLES;

      if (g_cancellable_is_cancelled (cancellable))
        return FALSE;
      measure_ridge (&self, angle, most);
      average_along (&self, angle);
      measure_usual (&self);
      keep_strongest (&self, k, lines);
    }
  return TRUE;
}
