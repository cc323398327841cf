/* raking-camera.h - a camera of our own: where it sees the places of a face. For photographs that no camera
 * took, in the demonstration and in tests. */
#pragma once
#include <glib.h>
#include <rakelight/photo-fit.h>

typedef struct
{
  double place_mm[3];   /* x, y on the face; z above it */
  double towards_mm[2]; /* the place on the face in the middle of the picture */
  double focal_px;
  double radial;        /* as of rake_photo_fit_get_radial() */
  int width, height;
} Camera;

/* FALSE for what lies behind it. */
gboolean camera_see (const Camera *camera, double x_mm, double y_mm, double *x_px, double *y_px);

/* A pair at each of the places, each clicked off by a normally distributed @click_sd_px. */
void camera_click (const Camera *camera, const double (*places)[2], guint n, double click_sd_px,
                   GRand *random, RakePhotoPair *pairs);

/* Normally distributed, mean 0, standard deviation 1. */
double random_normal (GRand *random);
