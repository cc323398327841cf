/* raking-camera.c - see raking-camera.h. Built from directions in space, not from a projection's matrix, so
 * that it shares nothing with the fit it tests. */
#include "raking-camera.h"

#include <math.h>

typedef struct
{
  double x, y, z;
} Vector;

static double
dot (Vector a, Vector b)
{
  return a.x * b.x + a.y * b.y + a.z * b.z;
}

static Vector
cross (Vector a, Vector b)
{
  return (Vector){ a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x };
}

static Vector
unit (Vector a)
{
  double length = sqrt (dot (a, a));
  return (Vector){ a.x / length, a.y / length, a.z / length };
}

gboolean
camera_see (const Camera *camera, double x_mm, double y_mm, double *x_px, double *y_px)
{
  /* y points down on the face and z out of it: mirrored once so that the axes turn the usual way. */
  Vector place = { camera->place_mm[0], -camera->place_mm[1], camera->place_mm[2] };
  Vector ahead = unit (
      (Vector){ camera->towards_mm[0] - place.x, -camera->towards_mm[1] - place.y, -place.z });
  Vector right =
      unit (cross (ahead, fabs (ahead.z) < 0.999 ? (Vector){ 0, 0, 1 } : (Vector){ 0, 1, 0 }));
  Vector down = cross (ahead, right);
  Vector seen = { x_mm - place.x, -y_mm - place.y, -place.z };
  double depth = dot (seen, ahead), half_diagonal, r2, bend;
  double u = camera->focal_px * dot (seen, right) / depth;
  double v = camera->focal_px * dot (seen, down) / depth;

  if (depth <= 0)
    return FALSE;
  half_diagonal = 0.5 * hypot (camera->width, camera->height);
  r2 = (u * u + v * v) / (half_diagonal * half_diagonal);
  bend = 1 + camera->radial * r2;
  *x_px = 0.5 * camera->width + u * bend;
  *y_px = 0.5 * camera->height + v * bend;
  return TRUE;
}

double
random_normal (GRand *random)
{
  double a = g_rand_double (random), b = g_rand_double (random);

  return sqrt (-2 * log (1 - a)) * cos (2 * G_PI * b);
}

void
camera_click (const Camera *camera, const double (*places)[2], guint n, double click_sd_px,
              GRand *random, RakePhotoPair *pairs)
{
  for (guint i = 0; i < n; i++)
    {
      pairs[i].body_x_mm = places[i][0];
      pairs[i].body_y_mm = places[i][1];
      if (!camera_see (camera, places[i][0], places[i][1], &pairs[i].image_x_px,
                       &pairs[i].image_y_px))
        g_error ("a place behind the camera");
      pairs[i].image_x_px += click_sd_px * random_normal (random);
      pairs[i].image_y_px += click_sd_px * random_normal (random);
    }
}
