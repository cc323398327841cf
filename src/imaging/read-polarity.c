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

void
rake_reader_find_polarity (RakeReader *self)
{
  gsize n = rake_raster_get_size (&self->raster);
  g_autofree float *planes = g_new (float, 6 * n);
  float *inverse = planes, *dark = planes + n, *dark_area = planes + 2 * n,
        *bright = planes + 3 * n, *bright_area = planes + 4 * n, *gain = planes + 5 * n;
  double camera_mm[3];

  for (gsize i = 0; i < n; i++)
    {
      inverse[i] = -self->flat[i];
      /* Held down, so that what glints does not outvote all else. */
      gain[i] =
          self->edge_mm[i] < RIM_MM ? -5 : fminf (self->steep[i] - SHORE_STEEPNESS, MOST_GAIN);
    }
  collect (self, self->flat, gain, dark, dark_area);
  collect (self, inverse, gain, bright, bright_area);
  rake_photo_fit_find_camera (self->fit, camera_mm);
  self->gloss_dark = g_new0 (float, n);
  for (gsize i = 0; i < n; i++)
    {
      double d = fmaxf (dark[i], 0) / (fmaxf (dark_area[i], 0) + 0.02);
      double b = fmaxf (bright[i], 0) / (fmaxf (bright_area[i], 0) + 0.02);
      double support = fmaxf (dark[i] + bright[i], 0) / 0.05;

      self->gloss_dark[i] = (float) (3 * log ((d + 0.05) / (b + 0.05)) * support / (support + 1) +
                                     expect_dark (self, camera_mm, i));
    }
}
