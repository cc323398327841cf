/* print-fit.c - reads pairs (image x, y, body x, y in a line) and prints the fitted projection.
 *
 *   print-fit WIDTH HEIGHT [radial] <pairs
 *
 * With radial the tenth number is that term. */
#include <rakelight/photo-fit.h>

#include <stdio.h>

int
main (int argc, char **argv)
{
  RakePhotoPair pairs[RAKE_PHOTO_FIT_MAX_PAIRS];
  g_autoptr (RakePhotoFit) fit = NULL;
  g_autoptr (GError) error = NULL;
  char line[400];
  double matrix[9];
  guint n = 0;

  if (argc != 3 && argc != 4)
    return 2;
  while (n < G_N_ELEMENTS (pairs) && fgets (line, sizeof line, stdin) != NULL)
    {
      char *at = line;
      pairs[n].image_x_px = g_ascii_strtod (at, &at);
      pairs[n].image_y_px = g_ascii_strtod (at, &at);
      pairs[n].body_x_mm = g_ascii_strtod (at, &at);
      pairs[n].body_y_mm = g_ascii_strtod (at, &at);
      n++;
    }
  fit = rake_photo_fit_new (pairs, n, (int) g_ascii_strtoll (argv[1], NULL, 10),
                            (int) g_ascii_strtoll (argv[2], NULL, 10),
                            argc == 4 ? RAKE_PHOTO_FIT_RADIAL : RAKE_PHOTO_FIT_PROJECTIVE, &error);
  if (fit == NULL)
    {
      g_printerr ("%s\n", error->message);
      return 1;
    }
  rake_photo_fit_get_matrix (fit, matrix);
  for (int i = 0; i < 9; i++)
    g_print ("%.17g\n", matrix[i]);
  if (argc == 4)
    g_print ("%.17g\n", rake_photo_fit_get_radial (fit));
  return 0;
}
