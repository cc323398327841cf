/* raking-light.c - see raking-light.h. */
#include "raking-light.h"

#include <math.h>
#include <string.h>

#define N_COLOURS 3
#define MAX_REACH_PX 32

/* A ray that meets the face behind the camera sees what lies far beside it. */
#define FAR_MM -10000.0

static void
blur_lines (const double *in, double *out, gsize n_lines, gsize n, gsize line_step, gsize step,
            const double *weights, int reach)
{
  for (gsize line = 0; line < n_lines; line++)
    for (gsize at = 0; at < n; at++)
      {
        double sum = 0;

        for (int k = -reach; k <= reach; k++)
          {
            gssize place = CLAMP ((gssize) at + k, 0, (gssize) n - 1);

            sum += weights[ABS (k)] * in[line * line_step + (gsize) place * step];
          }
        out[line * line_step + at * step] = sum;
      }
}

static void
blur (double *plane, gsize width, gsize height, double sd)
{
  g_autofree double *held = NULL;
  double weights[MAX_REACH_PX + 1], sum = 0;
  int reach = MIN ((int) ceil (3 * sd), MAX_REACH_PX);

  if (sd <= 0)
    return;
  for (int k = -reach; k <= reach; k++)
    sum += weights[ABS (k)] = exp (-0.5 * k * k / (sd * sd));
  for (int k = 0; k <= reach; k++)
    weights[k] /= sum;
  held = g_new (double, width *height);
  blur_lines (plane, held, height, width, width, 1, weights, reach);
  blur_lines (held, plane, width, height, 1, width, weights, reach);
}

static guint8
to_srgb (double light)
{
  double v = CLAMP (light, 0, 1);

  return (guint8) lround (255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * pow (v, 1 / 2.4) - 0.055));
}

/* Where the rays meet the face, from four places that the camera sees. */
static RakePhotoFit *
new_exact_fit (const Camera *camera, GRand *random)
{
  double x = camera->towards_mm[0], y = camera->towards_mm[1];
  const double corners[][2] = {
    { x - 100, y - 80 }, { x + 100, y - 80 }, { x + 100, y + 80 }, { x - 100, y + 80 }
  };
  RakePhotoPair pairs[G_N_ELEMENTS (corners)];

  camera_click (camera, corners, G_N_ELEMENTS (corners), 0, random, pairs);
  return rake_photo_fit_new (pairs, G_N_ELEMENTS (corners), camera->width, camera->height,
                             RAKE_PHOTO_FIT_PROJECTIVE, NULL);
}

static void
expose (const Camera *camera, double texture, RakingShine shine, gpointer user_data, GRand *random,
        double *const planes[N_COLOURS])
{
  g_autoptr (RakePhotoFit) exact = new_exact_fit (camera, random);

  for (int py = 0; py < camera->height; py++)
    for (int px = 0; px < camera->width; px++)
      {
        double x, y, light[N_COLOURS], grain;

        if (!rake_photo_fit_to_body (exact, px + 0.5, py + 0.5, &x, &y))
          x = y = FAR_MM;
        shine (x, y, light, user_data);
        grain = exp (texture * random_normal (random));
        for (int c = 0; c < N_COLOURS; c++)
          planes[c][py * camera->width + px] = grain * light[c];
      }
}

RakePhotoPicture *
raking_light_take (const Camera *camera, const RakingFilm *film, RakingShine shine,
                   gpointer user_data, GRand *random)
{
  gsize width = (gsize) camera->width, height = (gsize) camera->height, n = width * height;
  g_autofree double *held = g_new (double, N_COLOURS *n);
  g_autofree guint8 *rgb = g_new (guint8, N_COLOURS * n);
  double *const planes[N_COLOURS] = { held, held + n, held + 2 * n };

  expose (camera, film->texture, shine, user_data, random, planes);
  for (int c = 0; c < N_COLOURS; c++)
    blur (planes[c], width, height, film->blur_px);
  for (gsize i = 0; i < n; i++)
    {
      double light = film->exposure * exp (film->noise * random_normal (random));

      for (gsize c = 0; c < N_COLOURS; c++)
        rgb[N_COLOURS * i + c] = to_srgb (light * planes[c][i]);
    }
  return rake_photo_picture_new_from_rgb (rgb, camera->width, camera->height);
}
