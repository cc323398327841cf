/* photo-fit-entry.c - a fit as the logbook keeps it. */
#include <math.h>
#include <rakelight/photo-fit.h>

double
rake_photo_fit_get_rms_mm (const RakePhotoFit *fit)
{
  guint n_pairs = rake_photo_fit_get_n_pairs (fit);
  double sum = 0;

  for (guint i = 0; i < n_pairs; i++)
    sum += pow (rake_photo_fit_get_residual_mm (fit, i), 2);
  return sqrt (sum / n_pairs);
}

void
rake_photo_fit_fill_registration (const RakePhotoFit *fit, RakeRegistrationBody *body)
{
  double m[9], radial = rake_photo_fit_get_radial (fit);

  rake_photo_fit_get_matrix (fit, m);
  body->m11 = m[0];
  body->m12 = m[1];
  body->m13 = m[2];
  body->m21 = m[3];
  body->m22 = m[4];
  body->m23 = m[5];
  body->m31 = m[6];
  body->m32 = m[7];
  body->m33 = m[8];
  body->radial = fabs (radial) > 0 ? radial : NAN;
  body->rms_px = rake_photo_fit_get_rms_px (fit);
  body->rms_mm = rake_photo_fit_get_rms_mm (fit);
}
