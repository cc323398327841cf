/* path.c - lines, Bézier curves and arcs as runs of points. */
#include "path.h"

#include <math.h>

/* A safety: no curve between places that we take needs more at a hundredth of a millimetre. */
#define MOST_CHORDS 20000

/* A curve is first walked in small even steps, a tenth of the tolerance off, then thinned out by
 * the rest: even steps put as many points on a curve's straight part as on its bend. */
#define WALK_SHARE 0.1

RakePath *
rake_path_new (double tolerance_mm)
{
  RakePath *path = g_new0 (RakePath, 1);

  path->tolerance_mm = tolerance_mm;
  path->points_mm = g_array_new (FALSE, FALSE, sizeof (double));
  return path;
}

void
rake_path_free (RakePath *path)
{
  if (path == NULL)
    return;
  g_array_unref (path->points_mm);
  g_free (path);
}

guint
rake_path_get_n_points (const RakePath *path)
{
  return path->points_mm->len / 2;
}

const double *
rake_path_get_points (const RakePath *path)
{
  return (const double *) (gconstpointer) path->points_mm->data;
}

void
rake_path_line_to (RakePath *path, double x_mm, double y_mm)
{
  const double point[2] = { x_mm, y_mm };

  g_array_append_vals (path->points_mm, point, 2);
}

static double
get_distance_to_chord (const double *from, const double *to, const double *point)
{
  double dx = to[0] - from[0], dy = to[1] - from[1];
  double length = hypot (dx, dy);

  if (length == 0)
    return hypot (point[0] - from[0], point[1] - from[1]);
  return fabs (dx * (point[1] - from[1]) - dy * (point[0] - from[0])) / length;
}

/* Douglas and Peucker's thinning: keeps, of the points after @first and before @last, those that
 * the chord would miss by more than @within, and puts them into @path. */
static void
keep_bends (RakePath *path, const double *points, guint first, guint last, double within)
{
  guint furthest = first;
  double most = within;

  for (guint i = first + 1; i < last; i++)
    {
      double distance =
          get_distance_to_chord (points + 2 * first, points + 2 * last, points + 2 * i);
      if (distance > most)
        {
          most = distance;
          furthest = i;
        }
    }
  if (furthest == first)
    return;
  keep_bends (path, points, first, furthest, within);
  rake_path_line_to (path, points[2 * furthest], points[2 * furthest + 1]);
  keep_bends (path, points, furthest, last, within);
}

void
rake_path_curve_to (RakePath *path, double x1_mm, double y1_mm, double x2_mm, double y2_mm,
                    double x_mm, double y_mm)
{
  const double *start = rake_path_get_points (path) + 2 * (rake_path_get_n_points (path) - 1);
  double x0 = start[0], y0 = start[1];
  /* A chord over 1/n of the curve is off by at most its second derivative by 1/8n², and that is
   * nowhere more than six times the larger of these two. */
  double bend = fmax (hypot (x0 - 2 * x1_mm + x2_mm, y0 - 2 * y1_mm + y2_mm),
                      hypot (x1_mm - 2 * x2_mm + x_mm, y1_mm - 2 * y2_mm + y_mm));
  double most = fmin (ceil (sqrt (0.75 * bend / (WALK_SHARE * path->tolerance_mm))), MOST_CHORDS);
  guint n_chords = (guint) fmax (most, 1);
  g_autofree double *walk = g_new (double, 2 * (n_chords + 1));

  path->n_steps += n_chords;
  for (guint i = 0; i <= n_chords; i++)
    {
      double t = (double) i / n_chords, s = 1 - t;
      walk[2 * i] =
          s * s * s * x0 + 3 * s * s * t * x1_mm + 3 * s * t * t * x2_mm + t * t * t * x_mm;
      walk[2 * i + 1] =
          s * s * s * y0 + 3 * s * s * t * y1_mm + 3 * s * t * t * y2_mm + t * t * t * y_mm;
    }
  keep_bends (path, walk, 0, n_chords, (1 - WALK_SHARE) * path->tolerance_mm);
  rake_path_line_to (path, x_mm, y_mm);
}

void
rake_path_arc (RakePath *path, double centre_x_mm, double centre_y_mm, double radius_x_mm,
               double radius_y_mm, double start, double sweep)
{
  double radius_mm = fmax (radius_x_mm, radius_y_mm);
  double n_quarters = ceil (fabs (sweep) / G_PI_2 - 1e-9);
  double half_chord = acos (fmax (0.5, 1 - path->tolerance_mm / radius_mm));
  double n_chords = n_quarters * ceil (fabs (sweep) / n_quarters / (2 * half_chord));

  for (double i = 0; i <= n_chords; i++)
    {
      double angle = start + sweep * i / n_chords;
      rake_path_line_to (path, centre_x_mm + radius_x_mm * cos (angle),
                         centre_y_mm + radius_y_mm * sin (angle));
    }
}

void
rake_path_get_arc_controls (double start, double sweep, double controls[6])
{
  double reach = 4.0 / 3 * tan (sweep / 4), end = start + sweep;

  controls[0] = cos (start) - reach * sin (start);
  controls[1] = sin (start) + reach * cos (start);
  controls[2] = cos (end) + reach * sin (end);
  controls[3] = sin (end) - reach * cos (end);
  controls[4] = cos (end);
  controls[5] = sin (end);
}
