/* photo-fit-camera.c - where the camera stood, taken out of the projection.
 *
 * The projection's first two columns are the focal matrix times two directions on the face that are
 * at right angles and of one length; each of these facts gives the focal length. */
#include "photo-fit-private.h"

#include <math.h>

/* In halves of the diagonal: a lens that sees 61 degrees from corner to corner, as telephones have
 * between wide and long. From memory. */
#define USUAL_FOCAL 1.7
#define LEAST_FOCAL 0.8
#define MOST_FOCAL 8.0

static double
find_focal (const double *h)
{
  /* Both facts are a + b f² = 0; least squares over the two. */
  double a1 = h[0] * h[1] + h[3] * h[4], b1 = h[6] * h[7];
  double a2 = h[0] * h[0] + h[3] * h[3] - h[1] * h[1] - h[4] * h[4];
  double b2 = h[6] * h[6] - h[7] * h[7];
  double top = -(a1 * b1 + a2 * b2), below = b1 * b1 + b2 * b2;
  double size = h[0] * h[0] + h[1] * h[1] + h[3] * h[3] + h[4] * h[4];

  /* Below this the vanishing line is so far off that a click decides the focal length. */
  if (!(sqrt (below) * USUAL_FOCAL * USUAL_FOCAL > 0.02 * size) || !(top > 0))
    return USUAL_FOCAL;
  return CLAMP (sqrt (top / below), LEAST_FOCAL, MOST_FOCAL);
}

void
rake_photo_fit_find_camera (const RakePhotoFit *fit, double camera_mm[3])
{
  double h[9], focal, r1[3], r2[3], r3[3], t[3], length1, length2, scale;

  rake_photo_fit_get_normal_matrix (fit, h);
  focal = find_focal (h);
  for (int i = 0; i < 3; i++)
    {
      double f = i < 2 ? focal : 1;
      r1[i] = h[3 * i] / f;
      r2[i] = h[3 * i + 1] / f;
      t[i] = h[3 * i + 2] / f;
    }
  length1 = sqrt (r1[0] * r1[0] + r1[1] * r1[1] + r1[2] * r1[2]);
  length2 = sqrt (r2[0] * r2[0] + r2[1] * r2[1] + r2[2] * r2[2]);
  scale = 2 / (length1 + length2);
  for (int i = 0; i < 3; i++)
    {
      r1[i] /= length1;
      r2[i] /= length2;
      t[i] *= scale;
    }
  r3[0] = r1[1] * r2[2] - r1[2] * r2[1];
  r3[1] = r1[2] * r2[0] - r1[0] * r2[2];
  r3[2] = r1[0] * r2[1] - r1[1] * r2[0];
  camera_mm[0] = -(r1[0] * t[0] + r1[1] * t[1] + r1[2] * t[2]);
  camera_mm[1] = -(r2[0] * t[0] + r2[1] * t[1] + r2[2] * t[2]);
  /* x right and y down have their third axis into the wood. */
  camera_mm[2] = fabs (r3[0] * t[0] + r3[1] * t[1] + r3[2] * t[2]);
}
