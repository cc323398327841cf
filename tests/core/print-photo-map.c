/* print-photo-map.c - from standard input: nine coefficients, the radial term, width and height, then
 * places x y in mm to the end. Prints for each where it is seen and where that is on the face. For
 * photo-map-against-opencv.py. */
#include <rakelight/photo.h>

#include <stdio.h>

int
main (void)
{
  RakeRegistrationBody body = { 0 };
  double width, height, x_mm, y_mm;
  g_autoptr (RakePhotoMap) map = NULL;

  if (scanf ("%lf %lf %lf %lf %lf %lf %lf %lf %lf %lf %lf %lf", &body.m11, &body.m12, &body.m13,
             &body.m21, &body.m22, &body.m23, &body.m31, &body.m32, &body.m33, &body.radial, &width,
             &height) != 12)
    return 2;
  map = rake_photo_map_new (&body, width, height);
  if (map == NULL)
    return 1;
  while (scanf ("%lf %lf", &x_mm, &y_mm) == 2)
    {
      double x_px, y_px, back_x_mm, back_y_mm;

      if (rake_photo_map_to_photo (map, x_mm, y_mm, &x_px, &y_px) &&
          rake_photo_map_to_face (map, x_px, y_px, &back_x_mm, &back_y_mm))
        printf ("%.17g %.17g %.17g %.17g\n", x_px, y_px, back_x_mm, back_y_mm);
      else
        printf ("nowhere\n");
    }
  return 0;
}
