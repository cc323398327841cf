/* read-sample.c - the photograph laid on the face: brightness by cell, and where there is none. */
#include "reader.h"

#include <math.h>
#include <string.h>

/* Brightness 1 is white. Below this, what a sensor tells is noise. */
#define DARKEST 0.003f

/* sRGB's curve, IEC 61966-2-1; from memory. */
static void
make_linear (float *linear)
{
  for (int i = 0; i < 256; i++)
    {
      double v = i / 255.0;
      linear[i] = (float) (v <= 0.04045 ? v / 12.92 : pow ((v + 0.055) / 1.055, 2.4));
    }
}

typedef struct
{
  const guint8 *rgb;
  int width, height;
  float linear[256];
} Source;

/* The colour between four pixels; FALSE outside the picture. */
static gboolean
sample_colour (const Source *source, double x_px, double y_px, float *colour)
{
  double x = x_px - 0.5, y = y_px - 0.5;
  int x0 = (int) floor (x), y0 = (int) floor (y);
  float u, v;
  const guint8 *p;
  gsize row = 3 * (gsize) source->width;

  if (x0 < 0 || y0 < 0 || x0 + 1 >= source->width || y0 + 1 >= source->height)
    return FALSE;
  u = (float) (x - x0);
  v = (float) (y - y0);
  p = source->rgb + (gsize) y0 * row + 3 * (gsize) x0;
  for (int c = 0; c < 3; c++)
    colour[c] =
        (1 - v) * ((1 - u) * source->linear[p[c]] + u * source->linear[p[c + 3]]) +
        v * ((1 - u) * source->linear[p[c + (int) row]] + u * source->linear[p[c + 3 + (int) row]]);
  return TRUE;
}

static void
sample_cell (RakeReader *self, const Source *source, int x, int y, int n_a_side)
{
  gsize i = (gsize) y * (gsize) self->raster.width + (gsize) x;
  float sum[3] = { 0 };

  for (int j = 0; j < n_a_side; j++)
    for (int k = 0; k < n_a_side; k++)
      {
        double x_mm = self->raster.x_mm + (x + (k + 0.5) / n_a_side) * self->raster.cell_mm;
        double y_mm = self->raster.y_mm + (y + (j + 0.5) / n_a_side) * self->raster.cell_mm;
        double x_px, y_px;
        float colour[3];

        if (!rake_photo_fit_to_image (self->fit, x_mm, y_mm, &x_px, &y_px) ||
            !sample_colour (source, x_px, y_px, colour))
          {
            self->mask[i] = 0;
            return;
          }
        for (int c = 0; c < 3; c++)
          sum[c] += colour[c];
      }
  self->washed[i] = MAX (sum[0], MAX (sum[1], sum[2])) < 0.004f * (float) (n_a_side * n_a_side) ||
                    MIN (sum[0], MIN (sum[1], sum[2])) > 0.96f * (float) (n_a_side * n_a_side);
  self->light[i] = logf ((0.2126f * sum[0] + 0.7152f * sum[1] + 0.0722f * sum[2]) /
                             (float) (n_a_side * n_a_side) +
                         DARKEST);
}

static void
fill_masks (RakeReader *self)
{
  const RakePhotoQuestion *question = self->question;

  rake_raster_fill (&self->raster, question->outline, 1, self->face);
  for (guint i = 0; i < question->n_holes; i++)
    rake_raster_fill (&self->raster, question->holes[i], 0, self->face);
  for (guint i = 0; i < MIN (question->n_zones, 254); i++)
    rake_raster_fill (&self->raster, question->zones[i], (guint8) (i + 1), self->zone);
}

void
rake_reader_sample (RakeReader *self)
{
  gsize n = rake_raster_get_size (&self->raster);
  Source source = { rake_photo_picture_get_rgb (self->question->picture),
                    rake_photo_picture_get_width (self->question->picture),
                    rake_photo_picture_get_height (self->question->picture), { 0 } };
  int n_a_side = CLAMP ((int) ceil (self->raster.cell_mm / self->px_mm), 1, 3);

  make_linear (source.linear);
  self->face = g_new0 (guint8, n);
  self->washed = g_new0 (guint8, n);
  self->zone = g_new0 (guint8, n);
  self->light = g_new0 (float, n);
  self->edge_mm = g_new0 (float, n);
  fill_masks (self);
  self->mask = g_memdup2 (self->face, n);
  for (int y = 0; y < self->raster.height; y++)
    for (int x = 0; x < self->raster.width; x++)
      if (self->mask[(gsize) y * (gsize) self->raster.width + (gsize) x] != 0)
        sample_cell (self, &source, x, y, n_a_side);
  rake_raster_distance (&self->raster, self->mask, self->edge_mm);
  for (gsize i = 0; i < n; i++)
    self->edge_mm[i] = self->edge_mm[i] * (float) self->raster.cell_mm - (float) self->doubt_mm;
}
