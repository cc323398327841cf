/* raking-light.h - photographs that no camera took: what a camera sees of a flat face, pixel by pixel
 * from where each ray meets it, with what a camera adds: grain, blur, an exposure. */
#pragma once
#include "raking-camera.h"

#include <rakelight/photo-picture.h>

/* The light that comes from a place of the face, or from beside it: red, green, blue, each 0 to 1 for
 * what a right exposure keeps, more where it burns out. */
typedef void (*RakingShine) (double x_mm, double y_mm, double light[3], gpointer user_data);

typedef struct
{
  double texture;  /* of the surface, pixel by pixel: natural logarithm, as a standard deviation */
  double blur_px;  /* out of focus, as a standard deviation */
  double exposure; /* 1 is right */
  double noise;    /* of the camera, as texture */
} RakingFilm;

/* The same camera, film, shine and state of @random make the same picture, to the bit. The camera's
 * lens is taken as straight. The caller unrefs. */
RakePhotoPicture *raking_light_take (const Camera *camera, const RakingFilm *film,
                                     RakingShine shine, gpointer user_data, GRand *random);
