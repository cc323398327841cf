/* print-zones.c - random geometry as text, for checking with a library that is not ours.
 *
 * print-zones SEED prints lines of fields parted by tabs:
 *
 *   face  NAME  WKT                then its zones after some random gestures:
 *   zone  WKT
 *   union | intersection | difference  WKT  WKT  RESULT
 *   buffer  WKT  DISTANCE  RESULT
 *   stroke  WKT  RADIUS  RESULT    the WKT is the line that was painted along
 *
 * RESULT is a WKT, or EMPTY. What fails otherwise is told on standard error, with status 1. */
#include "zoning-random.h"

#include <stdlib.h>

#define N_FACES 6 /* of each kind */
#define N_GESTURES 12
#define N_PATCHES 120

static void
fail (const char *doing, const GError *error)
{
  g_printerr ("%s: %s\n", doing, error->message);
  exit (1);
}

static void
print_shape (const RakeShape *shape, char after)
{
  g_autofree char *wkt = rake_shape_to_wkt (shape);

  g_print ("%s%c", wkt, after);
}

static void
print_result (const char *doing, RakeShape *result, GError *error)
{
  if (result != NULL)
    print_shape (result, '\n');
  else if (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY))
    g_print ("EMPTY\n");
  else
    fail (doing, error);
  g_clear_pointer (&result, rake_shape_unref);
  g_clear_error (&error);
}

static void
print_faces (GRand *random)
{
  for (guint i = 0; i < N_FACES; i++)
    for (RakeOutlineKind kind = 1; kind < RAKE_N_OUTLINES; kind++)
      {
        g_autoptr (RakeShape) face = random_face (random, kind);
        g_autoptr (GError) error = NULL;
        g_autoptr (GPtrArray) zones = random_zones (random, face, N_GESTURES, &error);

        if (zones == NULL)
          fail (rake_outline_kind_get_name (kind), error);
        g_print ("face\t%s %u\t", rake_outline_kind_get_name (kind), i);
        print_shape (face, '\n');
        for (guint z = 0; z < zones->len; z++)
          {
            g_print ("zone\t");
            print_shape (zones->pdata[z], '\n');
          }
      }
}

/* A line as a brush is drawn, and how broad it is. */
static RakeShape *
new_stroke (GRand *random, double *radius_mm, RakeShape **line)
{
  double points[2 * 30];
  guint n_points = (guint) g_rand_int_range (random, 2, 30);
  double x = g_rand_double_range (random, 0, 120), y = g_rand_double_range (random, 0, 120);
  double heading = g_rand_double_range (random, 0, 2 * G_PI);
  g_autoptr (GError) error = NULL;
  RakeShape *stroke;

  *radius_mm = g_rand_double_range (random, 1, 20);
  for (guint i = 0; i < n_points; i++)
    {
      points[2 * i] = x;
      points[2 * i + 1] = y;
      heading += g_rand_double_range (random, -0.6, 0.6);
      x += 8 * cos (heading);
      y += 8 * sin (heading);
    }
  *line = rake_shape_new_line (points, n_points, NULL);
  stroke = rake_shape_new_brush_stroke (points, n_points, *radius_mm, &error);
  if (stroke == NULL)
    fail ("a stroke", error);
  return stroke;
}

static void
print_patches (GRand *random)
{
  for (guint i = 0; i < N_PATCHES; i++)
    {
      double radius_mm, other_radius_mm;
      double distance_mm = g_rand_double_range (random, -12, 12);
      g_autoptr (RakeShape) line = NULL, other_line = NULL;
      g_autoptr (RakeShape) a = new_stroke (random, &radius_mm, &line);
      g_autoptr (RakeShape) b = new_stroke (random, &other_radius_mm, &other_line);
      GError *error = NULL;
      RakeShape *result;

      g_print ("stroke\t");
      print_shape (line, '\t');
      g_print ("%.6f\t", radius_mm);
      print_shape (a, '\n');

      g_print ("union\t");
      print_shape (a, '\t');
      print_shape (b, '\t');
      result = rake_shape_union (a, b, &error);
      print_result ("union", result, g_steal_pointer (&error));

      g_print ("intersection\t");
      print_shape (a, '\t');
      print_shape (b, '\t');
      result = rake_shape_intersection (a, b, &error);
      print_result ("intersection", result, g_steal_pointer (&error));

      g_print ("difference\t");
      print_shape (a, '\t');
      print_shape (b, '\t');
      result = rake_shape_difference (a, b, &error);
      print_result ("difference", result, g_steal_pointer (&error));

      g_print ("buffer\t");
      print_shape (a, '\t');
      g_print ("%.6f\t", distance_mm);
      result = rake_shape_buffer (a, distance_mm, &error);
      print_result ("buffer", result, g_steal_pointer (&error));
    }
}

int
main (int argc, char **argv)
{
  g_autoptr (GRand) random = NULL;

  if (argc != 2)
    {
      g_printerr ("print-zones SEED\n");
      return 2;
    }
  random = g_rand_new_with_seed ((guint32) g_ascii_strtoull (argv[1], NULL, 10));
  print_faces (random);
  print_patches (random);
  return 0;
}
