/* read-flatten.c - the light's slow course taken away, and how steep it is where.
 *
 * How steep is measured against what is usual around, and apart for each direction: scratches of the
 * abrasive, the grain and streaks of dust are steep across but hardly along, the shore of an island
 * is steep all around it. */
#include "reader.h"

#include <math.h>

/* Wider than an island, narrower than the lamp's falling off. */
#define AROUND_MM 12.0
#define TEXTURE_MM 15.0
#define SHORE_MM 0.5

/* Steeper than this, in what is usual, is left out of what is usual, and again, so that in the end
 * the calm between the shores is left, however many islands there are. */
#define UNUSUAL 1.8
#define N_ROUNDS 7

/* Never taken as less steep than this, per mm: noise of a sensor and of JPEG. */
#define LEAST_STEEPNESS 0.008f

typedef struct
{
  float *x, *y;          /* the slope */
  float *xx, *xy, *yy;   /* its usual square */
} Slopes;

static void
measure_slopes (const RakeReader *self, const float *smooth, Slopes *slopes)
{
  int w = self->raster.width, h = self->raster.height;
  float per_mm = (float) (0.5 / self->raster.cell_mm);

  for (int y = 1; y + 1 < h; y++)
    for (int x = 1; x + 1 < w; x++)
      {
        gsize i = (gsize) y * (gsize) w + (gsize) x;

        if (self->mask[i] == 0 || self->mask[i - 1] == 0 || self->mask[i + 1] == 0 ||
            self->mask[i - (gsize) w] == 0 || self->mask[i + (gsize) w] == 0)
          continue;
        slopes->x[i] = per_mm * (smooth[i + 1] - smooth[i - 1]);
        slopes->y[i] = per_mm * (smooth[i + (gsize) w] - smooth[i - (gsize) w]);
      }
}

static void
measure_steepness (RakeReader *self, const Slopes *slopes)
{
  gsize n = rake_raster_get_size (&self->raster);
  const float least = LEAST_STEEPNESS * LEAST_STEEPNESS;

  for (gsize i = 0; i < n; i++)
    {
      float xx = slopes->xx[i] + least, yy = slopes->yy[i] + least, xy = slopes->xy[i];
      float x = slopes->x[i], y = slopes->y[i];

      self->steep[i] =
          sqrtf (fmaxf ((yy * x * x - 2 * xy * x * y + xx * y * y) / (xx * yy - xy * xy), 0));
    }
}

static void
measure_usual (RakeReader *self, Slopes *slopes)
{
  gsize n = rake_raster_get_size (&self->raster);
  double sd = TEXTURE_MM * self->cells_per_mm;
  g_autofree guint8 *calm = g_memdup2 (self->mask, n);

  for (int round = 0; round < N_ROUNDS; round++)
    {
      for (gsize i = 0; i < n; i++)
        {
          slopes->xx[i] = slopes->x[i] * slopes->x[i];
          slopes->xy[i] = slopes->x[i] * slopes->y[i];
          slopes->yy[i] = slopes->y[i] * slopes->y[i];
        }
      rake_raster_blur (&self->raster, slopes->xx, calm, sd, slopes->xx);
      rake_raster_blur (&self->raster, slopes->xy, calm, sd, slopes->xy);
      rake_raster_blur (&self->raster, slopes->yy, calm, sd, slopes->yy);
      measure_steepness (self, slopes);
      for (gsize i = 0; i < n; i++)
        calm[i] = self->mask[i] != 0 && self->steep[i] < UNUSUAL && self->edge_mm[i] > 2;
    }
  for (gsize i = 0; i < n; i++)
    self->usual[i] =
        sqrtf (0.5f * (slopes->xx[i] + slopes->yy[i]) + LEAST_STEEPNESS * LEAST_STEEPNESS);
}

void
rake_reader_flatten (RakeReader *self)
{
  gsize n = rake_raster_get_size (&self->raster);
  g_autofree float *smooth = g_new (float, n), *around = g_new (float, n);
  g_autofree float *planes = g_new0 (float, 5 * n);
  Slopes slopes = { planes, planes + n, planes + 2 * n, planes + 3 * n, planes + 4 * n };

  self->flat = g_new0 (float, n);
  self->steep = g_new0 (float, n);
  self->usual = g_new0 (float, n);
  rake_raster_blur (&self->raster, self->light, self->mask, SHORE_MM * self->cells_per_mm, smooth);
  rake_raster_blur (&self->raster, smooth, self->mask, AROUND_MM * self->cells_per_mm, around);
  measure_slopes (self, smooth, &slopes);
  measure_usual (self, &slopes);
  for (gsize i = 0; i < n; i++)
    self->flat[i] = self->mask[i] != 0 ? smooth[i] - around[i] : 0;
}
