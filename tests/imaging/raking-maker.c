/* raking-maker.c - see raking-maker.h. No picture is drawn the way a reader would look for it:
 * brightness is worked out by pixel from where its ray meets the face. */
#include "raking-maker.h"

#include "raking-light.h"

#include <math.h>

#define STEP_MM 0.5

void
raking_init (Raking *self)
{
  *self = (Raking){ .seed = 1, .width_mm = 260, .height_mm = 180, .n_islands = 90,
                    .contrast = 0.5, .texture = 0.1, .blur_px = 0.7, .exposure = 1, .click_px = 0.7,
                    .camera = { { 130, 420, 380 }, { 130, 95 }, 1250, 0, 1200, 900 } };
}

/* An island's number from 1, or 0. */
static guint
find_island (const Raking *self, double x, double y)
{
  for (guint i = 0; i < self->n_islands; i++)
    {
      const RakingIsland *island = &self->islands[i];
      double dx = (x - island->x_mm) / (1.25 * island->radius_mm);
      double dy = (y - island->y_mm) / (0.8 * island->radius_mm);

      if (dx * dx + dy * dy < 1)
        return i + 1;
    }
  return 0;
}

static gboolean
is_in_island (const Raking *self, double x, double y)
{
  return find_island (self, x, y) != 0;
}

static gboolean
is_in_hole (double x, double y)
{
  return hypot (x - RAKING_HOLE_X_MM, y - RAKING_HOLE_Y_MM) < RAKING_HOLE_MM;
}

static gboolean
is_far_from_others (const Raking *self, guint n, const RakingIsland *island)
{
  for (guint i = 0; i < n; i++)
    if (hypot (island->x_mm - self->islands[i].x_mm, island->y_mm - self->islands[i].y_mm) <
        1.6 * (island->radius_mm + self->islands[i].radius_mm))
      return FALSE;
  return hypot (island->x_mm - RAKING_HOLE_X_MM, island->y_mm - RAKING_HOLE_Y_MM) >
         RAKING_HOLE_MM + 6;
}

/* More of them to the left, so that the halves differ. */
static void
place_islands (Raking *self, GRand *random)
{
  for (guint n = 0; n < self->n_islands;)
    {
      double x = g_rand_double (random);
      RakingIsland island = { 8 + (self->width_mm - 16) * x * sqrt (x),
                              g_rand_double_range (random, 8, self->height_mm - 8),
                              g_rand_double_range (random, 1.6, 3.2) };

      if (is_far_from_others (self, n, &island))
        self->islands[n++] = island;
    }
}

static double
distance_to_scratch (const Raking *self, double x, double y)
{
  double dx = self->scratch[2] - self->scratch[0], dy = self->scratch[3] - self->scratch[1];
  double t = ((x - self->scratch[0]) * dx + (y - self->scratch[1]) * dy) / (dx * dx + dy * dy);

  t = CLAMP (t, 0, 1);
  return hypot (x - self->scratch[0] - t * dx, y - self->scratch[1] - t * dy);
}

/* Brightness, 0 to 1, of the place that a pixel sees; the bench beside the face is light. */
static double
shine (const Raking *self, double x, double y)
{
  double across = self->is_lamp_left ? self->width_mm - x : x;
  double light = 0.22 * exp (0.5 * across / self->width_mm - 0.2 * y / self->height_mm);

  if (x < 0 || y < 0 || x > self->width_mm || y > self->height_mm)
    return self->is_edge_hidden ? light : 0.55;
  if (is_in_hole (x, y))
    return 0.01;
  if (x >= self->glare_from_mm && x < self->glare_to_mm)
    return 5;
  if (find_island (self, x, y) > self->n_hidden)
    return light * exp (self->is_mirror ? self->contrast : -self->contrast);
  if (self->scratch_mm > 0 && distance_to_scratch (self, x, y) < 0.35)
    return light * exp (-0.6);
  return light;
}

static void
shine_one_colour (double x_mm, double y_mm, double light[3], gpointer user_data)
{
  double all = shine (user_data, x_mm, y_mm);

  light[0] = all;
  light[1] = 0.9 * all;
  light[2] = 0.8 * all;
}

static void
render (Raking *self, GRand *random)
{
  const RakingFilm film = { self->texture, self->blur_px, self->exposure, 0.01 };

  self->picture = raking_light_take (&self->camera, &film, shine_one_colour, self, random);
}

static RakeShape *
new_rectangle (double x0, double y0, double x1, double y1)
{
  const double points[] = { x0, y0, x1, y0, x1, y1, x0, y1 };

  return rake_shape_new_area (points, 4, NULL);
}

static void
cut_out_hole (Raking *self)
{
  RakeShape *whole = self->outline;

  self->outline = rake_shape_difference (whole, self->hole, NULL);
  rake_shape_unref (whole);
}

void
raking_make (Raking *self)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (self->seed);
  const double places[][2] = {
    { 0, 0 },   { self->width_mm, 0 }, { self->width_mm, self->height_mm }, { 0, self->height_mm },
    { 130, 0 }, { 130, 180 }
  };
  RakePhotoPair pairs[6];
  const double middle[] = { RAKING_HOLE_X_MM, RAKING_HOLE_Y_MM };

  place_islands (self, random);
  if (self->shot > 0)
    g_rand_set_seed (random, 1000 * self->seed + self->shot);
  self->scratch[0] = 150;
  self->scratch[1] = 110;
  self->scratch[2] = 150 + self->scratch_mm * cos (0.6);
  self->scratch[3] = 110 + self->scratch_mm * sin (0.6);
  render (self, random);
  camera_click (&self->camera, places, 6, self->click_px, random, pairs);
  self->fit = rake_photo_fit_new (pairs, 6, self->camera.width, self->camera.height,
                                  RAKE_PHOTO_FIT_RADIAL, NULL);
  self->outline = new_rectangle (0, 0, self->width_mm, self->height_mm);
  self->hole = rake_shape_new_brush_stroke (middle, 1, RAKING_HOLE_MM, NULL);
  if (self->is_hole_in_outline)
    cut_out_hole (self);
  self->zones[0] = new_rectangle (0, 0, 130, self->height_mm);
  self->zones[1] = new_rectangle (130, 0, self->width_mm, self->height_mm);
}

void
raking_clear (Raking *self)
{
  g_clear_pointer (&self->picture, rake_photo_picture_unref);
  g_clear_pointer (&self->fit, rake_photo_fit_free);
  g_clear_pointer (&self->outline, rake_shape_unref);
  g_clear_pointer (&self->hole, rake_shape_unref);
  g_clear_pointer (&self->zones[0], rake_shape_unref);
  g_clear_pointer (&self->zones[1], rake_shape_unref);
}

RakePhotoQuestion
raking_ask (const Raking *self)
{
  return (RakePhotoQuestion){ .picture = self->picture,
                              .fit = self->fit,
                              .outline = self->outline,
                              .holes = (const RakeShape *const *) &self->hole,
                              .n_holes = self->is_hole_in_outline ? 0 : 1,
                              .zones = (const RakeShape *const *) self->zones,
                              .n_zones = 2,
                              .stroke_deg = NAN,
                              .sensitivity = RAKE_PHOTO_USUAL_SENSITIVITY };
}

static gboolean
is_in_spot (const RakePhotoReading *reading, double x, double y)
{
  for (guint i = 0; i < reading->spots->len; i++)
    {
      const RakePhotoSpot *spot = reading->spots->pdata[i];
      RakeBounds bounds = rake_shape_get_bounds (spot->area);

      if (x >= bounds.min_x_mm && x <= bounds.max_x_mm && y >= bounds.min_y_mm &&
          y <= bounds.max_y_mm && rake_shape_contains (spot->area, x, y))
        return TRUE;
    }
  return FALSE;
}

void
raking_compare (const Raking *self, const RakePhotoReading *reading, double *found, double *right)
{
  double n_island = 0, n_spot = 0, n_both = 0;

  for (double y = 0.25; y < self->height_mm; y += STEP_MM)
    for (double x = 0.25; x < self->width_mm; x += STEP_MM)
      {
        gboolean island = is_in_island (self, x, y), spot = is_in_spot (reading, x, y);

        n_island += island;
        n_spot += spot;
        n_both += island && spot;
      }
  *found = n_island > 0 ? n_both / n_island : 1;
  *right = n_spot > 0 ? n_both / n_spot : 1;
}

double
raking_get_fraction (const Raking *self, guint zone)
{
  double n = 0, n_island = 0;

  for (double y = 0.25; y < self->height_mm; y += STEP_MM)
    for (double x = 0.25; x < self->width_mm; x += STEP_MM)
      if ((x >= 130) == (zone == 1) && !is_in_hole (x, y))
        {
          n++;
          n_island += is_in_island (self, x, y);
        }
  return n_island / n;
}
