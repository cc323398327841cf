/* read-polarity.c - is gloss dark here, or bright? A smooth field over the face.
 *
 * Islands are small and their shores steep all around; what lies between them is large. So of the
 * dark and the bright pools around a place, those with more shore for their area are the islands.
 * Where there is little to go by, the camera's height tells: a low lamp's mirror direction is low. */
#include "islands.h"
#include "component-tree.h"
#include "photo-fit-private.h"

#include <math.h>

#define VOTE_MM 35.0
#define MOST_MM2 300.0
#define RIM_MM 2

/* What is a shore, in what is usual, and how much more counts. */
#define SHORE_STEEPNESS 3.6f
#define MOST_GAIN 4.0f
#define LEAST_MM2 2.5

/* A camera at this height over the face is as likely to see gloss bright as dark; a step of the
 * second number makes it e times as likely. */
#define EVEN_DEG 27.0
#define STEP_DEG 6.0

static void
collect (const RakeReader *self, const float *values, const float *gain, float *shores,
         float *areas)
{
  gsize n = rake_raster_get_size (&self->raster);
  double per_mm2 = self->cells_per_mm * self->cells_per_mm;
  RakeTreeLimits limits = { LEAST_MM2 * per_mm2, MOST_MM2 * per_mm2, 0.5 };
  g_autofree guint32 *labels = g_new (guint32, n);
  guint32 n_islands =
      rake_component_tree_find (&self->raster, values, self->mask, gain, &limits, labels);
  g_autofree RakeIsland *islands = rake_islands_measure (self, labels, n_islands, gain);

  for (gsize i = 0; i < n; i++)
    {
      const RakeIsland *island = &islands[labels[i]];

      shores[i] = areas[i] = 0;
      if (labels[i] == 0 || island->length_mm > 4 * island->width_mm)
        continue;
      shores[i] = (float) (island->gain * island->shore_mm / island->area_mm2);
      areas[i] = 1;
    }
  rake_raster_blur (&self->raster, shores, self->mask, VOTE_MM * self->cells_per_mm, shores);
  rake_raster_blur (&self->raster, areas, self->mask, VOTE_MM * self->cells_per_mm, areas);
}

static double
expect_dark (const RakeReader *self, const double *camera_mm, gsize i)
{
  gsize column = i % (gsize) self->raster.width, row = i / (gsize) self->raster.width;
  double x = self->raster.x_mm + (double) column * self->raster.cell_mm;
  double y = self->raster.y_mm + (double) row * self->raster.cell_mm;
  double deg = atan2 (camera_mm[2], hypot (camera_mm[0] - x, camera_mm[1] - y)) * 180 / G_PI;

  return CLAMP ((deg - EVEN_DEG) / STEP_DEG, -2.0, 3.0);
}

/* Every second cell of every second row: enough to vote by, at a quarter of the cost. */
static void
take_half (const RakeReader *self, RakeReader *half)
{
  gsize n, i = 0;

  *half = *self;
  half->raster.cell_mm = 2 * self->raster.cell_mm;
  half->raster.width = (self->raster.width + 1) / 2;
  half->raster.height = (self->raster.height + 1) / 2;
  half->cells_per_mm = 0.5 * self->cells_per_mm;
  n = rake_raster_get_size (&half->raster);
  half->mask = g_new0 (guint8, n);
  half->zone = g_new0 (guint8, n);
  half->flat = g_new0 (float, n);
  half->steep = g_new0 (float, n);
  half->edge_mm = g_new0 (float, n);
  for (int y = 0; y < self->raster.height; y += 2)
    for (int x = 0; x < self->raster.width; x += 2, i++)
      {
        gsize from = (gsize) y * (gsize) self->raster.width + (gsize) x;

        half->mask[i] = self->mask[from];
        half->flat[i] = self->flat[from];
        half->steep[i] = self->steep[from];
        half->edge_mm[i] = self->edge_mm[from];
      }
}

static void
free_half (RakeReader *half)
{
  g_free (half->mask);
  g_free (half->zone);
  g_free (half->flat);
  g_free (half->steep);
  g_free (half->edge_mm);
}

/* The log odds by cell of the half. */
static void
vote (const RakeReader *half, float *odds)
{
  gsize n = rake_raster_get_size (&half->raster);
  g_autofree float *planes = g_new0 (float, 6 * n);
  float *inverse = planes, *dark = planes + n, *dark_area = planes + 2 * n,
        *bright = planes + 3 * n, *bright_area = planes + 4 * n, *gain = planes + 5 * n;
  double camera_mm[3];

  for (gsize i = 0; i < n; i++)
    {
      inverse[i] = -half->flat[i];
      /* Held down, so that what glints does not outvote all else. */
      gain[i] =
          half->edge_mm[i] < RIM_MM ? -5 : fminf (half->steep[i] - SHORE_STEEPNESS, MOST_GAIN);
    }
  collect (half, half->flat, gain, dark, dark_area);
  collect (half, inverse, gain, bright, bright_area);
  rake_photo_fit_find_camera (half->fit, camera_mm);
  for (gsize i = 0; i < n; i++)
    {
      double d = fmaxf (dark[i], 0) / (fmaxf (dark_area[i], 0) + 0.02);
      double b = fmaxf (bright[i], 0) / (fmaxf (bright_area[i], 0) + 0.02);
      double support = fmaxf (dark[i] + bright[i], 0) / 0.05;

      odds[i] = (float) (3 * log ((d + 0.05) / (b + 0.05)) * support / (support + 1) +
                         expect_dark (half, camera_mm, i));
    }
}

void
rake_reader_find_polarity (RakeReader *self)
{
  RakeReader half;
  g_autofree float *odds = NULL;
  int w = self->raster.width;

  take_half (self, &half);
  odds = g_new0 (float, rake_raster_get_size (&half.raster));
  vote (&half, odds);
  self->gloss_dark = g_new (float, rake_raster_get_size (&self->raster));
  for (int y = 0; y < self->raster.height; y++)
    for (int x = 0; x < w; x++)
      self->gloss_dark[(gsize) y * (gsize) w + (gsize) x] =
          odds[(gsize) (y / 2) * (gsize) half.raster.width + (gsize) (x / 2)];
  free_half (&half);
}
