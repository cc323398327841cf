/* svg-tracer.c - follows lines, curves and arcs in user units and keeps the closed runs. */
#include "svg-private.h"

#include <math.h>

#include "i18n.h"

/* Ends that miss each other by less were meant to meet. */
#define CLOSED_WITHIN_MM 0.05

/* What the header of outline.h promises. */
#define TOLERANCE_MM 0.01

/* A place may lie far from the origin, since the whole is moved there, but not so far that a
 * double no longer holds a thousandth of a millimetre. */
#define FURTHEST_MM 1e9

/* Steps along lines and curves, kept or not: some seconds' work. A drawing of 200000 points, every one of
 * them from a curve, takes under a million. */
#define MOST_STEPS 20000000

void
rake_svg_tracer_init (RakeSvgTracer *tracer)
{
  *tracer = (RakeSvgTracer){ .matrix = { 1, 0, 0, 1, 0, 0 } };
  tracer->path = rake_path_new (TOLERANCE_MM);
  tracer->rings = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
}

void
rake_svg_tracer_clear (RakeSvgTracer *tracer)
{
  rake_path_free (tracer->path);
  g_ptr_array_unref (tracer->rings);
}

static gboolean
check_count (const RakeSvgTracer *tracer, GError **error)
{
  if (tracer->rings->len > RAKE_SHAPE_MAX_RINGS)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("The drawing has more than %d closed lines: save only the outline and its "
                      "holes."),
                   RAKE_SHAPE_MAX_RINGS);
      return FALSE;
    }
  if (tracer->n_points + rake_path_get_n_points (tracer->path) <= RAKE_SHAPE_MAX_POINTS &&
      tracer->path->n_steps <= MOST_STEPS)
    return TRUE;
  g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
               _ ("The drawing has more than %d points: save only the outline and its holes."),
               RAKE_SHAPE_MAX_POINTS);
  return FALSE;
}

static gboolean
to_mm (const RakeSvgTracer *tracer, double x, double y, double mm[2], GError **error)
{
  const RakeSvgMatrix *m = &tracer->matrix;

  mm[0] = m->a * x + m->c * y + m->e;
  mm[1] = m->b * x + m->d * y + m->f;
  /* Written so that what is not a number fails too. */
  if (fabs (mm[0]) <= FURTHEST_MM && fabs (mm[1]) <= FURTHEST_MM)
    return TRUE;
  g_set_error_literal (error, RAKE_SVG_ERROR, RAKE_SVG_ERROR_PATH,
                       _ ("The drawing has a place that is too far out to be on it."));
  return FALSE;
}

static gboolean
start_if_lifted (RakeSvgTracer *tracer, GError **error)
{
  double mm[2];

  if (rake_path_get_n_points (tracer->path) > 0)
    return TRUE;
  if (!to_mm (tracer, tracer->x, tracer->y, mm, error))
    return FALSE;
  rake_path_line_to (tracer->path, mm[0], mm[1]);
  return TRUE;
}

/* Keeps the run drawn so far as a ring, or drops it, and lifts the pen. */
static void
lift (RakeSvgTracer *tracer, gboolean is_closed)
{
  guint n_points = rake_path_get_n_points (tracer->path);
  const double *first = rake_path_get_points (tracer->path);

  if (n_points >= 3 &&
      (is_closed || hypot (first[2 * n_points - 2] - first[0],
                           first[2 * n_points - 1] - first[1]) <= CLOSED_WITHIN_MM))
    {
      GArray *ring = g_array_sized_new (FALSE, FALSE, sizeof (double), 2 * n_points);
      g_array_append_vals (ring, first, 2 * n_points);
      g_ptr_array_add (tracer->rings, ring);
      tracer->n_points += n_points;
    }
  g_array_set_size (tracer->path->points_mm, 0);
}

gboolean
rake_svg_tracer_move (RakeSvgTracer *tracer, double x, double y, GError **error)
{
  lift (tracer, FALSE);
  tracer->path->n_steps++;
  tracer->x = tracer->start_x = x;
  tracer->y = tracer->start_y = y;
  return check_count (tracer, error);
}

gboolean
rake_svg_tracer_line (RakeSvgTracer *tracer, double x, double y, GError **error)
{
  double mm[2];

  if (!start_if_lifted (tracer, error) || !to_mm (tracer, x, y, mm, error))
    return FALSE;
  rake_path_line_to (tracer->path, mm[0], mm[1]);
  tracer->path->n_steps++;
  tracer->x = x;
  tracer->y = y;
  return check_count (tracer, error);
}

gboolean
rake_svg_tracer_curve (RakeSvgTracer *tracer, double x1, double y1, double x2, double y2, double x,
                       double y, GError **error)
{
  double mm1[2], mm2[2], mm[2];

  if (!start_if_lifted (tracer, error) || !to_mm (tracer, x1, y1, mm1, error) ||
      !to_mm (tracer, x2, y2, mm2, error) || !to_mm (tracer, x, y, mm, error))
    return FALSE;
  rake_path_curve_to (tracer->path, mm1[0], mm1[1], mm2[0], mm2[1], mm[0], mm[1]);
  tracer->x = x;
  tracer->y = y;
  return check_count (tracer, error);
}

gboolean
rake_svg_tracer_close (RakeSvgTracer *tracer, GError **error)
{
  lift (tracer, TRUE);
  tracer->x = tracer->start_x;
  tracer->y = tracer->start_y;
  return check_count (tracer, error);
}

gboolean
rake_svg_tracer_end (RakeSvgTracer *tracer, GError **error)
{
  lift (tracer, FALSE);
  return check_count (tracer, error);
}

/* An arc about a centre in steps small enough to be cubics. The ellipse is turned by @turn. */
static gboolean
trace_arc (RakeSvgTracer *tracer, double centre_x, double centre_y, double radius_x,
           double radius_y, double turn, double start, double sweep, GError **error)
{
  double cosine = cos (turn), sine = sin (turn);
  int n_steps = (int) fmax (1, ceil (fabs (sweep) / RAKE_PATH_ARC_STEP - 1e-9));

  for (int i = 0; i < n_steps; i++)
    {
      double unit[6], user[6];

      rake_path_get_arc_controls (start + sweep * i / n_steps, sweep / n_steps, unit);
      for (int k = 0; k < 6; k += 2)
        {
          double x = radius_x * unit[k], y = radius_y * unit[k + 1];
          user[k] = centre_x + cosine * x - sine * y;
          user[k + 1] = centre_y + sine * x + cosine * y;
        }
      if (!rake_svg_tracer_curve (tracer, user[0], user[1], user[2], user[3], user[4], user[5],
                                  error))
        return FALSE;
    }
  return TRUE;
}

gboolean
rake_svg_tracer_ellipse (RakeSvgTracer *tracer, double centre_x, double centre_y, double radius_x,
                         double radius_y, GError **error)
{
  return rake_svg_tracer_move (tracer, centre_x + radius_x, centre_y, error) &&
         trace_arc (tracer, centre_x, centre_y, radius_x, radius_y, 0, 0, 2 * G_PI, error) &&
         rake_svg_tracer_close (tracer, error);
}

gboolean
rake_svg_tracer_arc (RakeSvgTracer *tracer, double radius_x, double radius_y, double turn_deg,
                     gboolean is_large, gboolean is_clockwise, double x, double y, GError **error)
{
  double turn = turn_deg * G_PI / 180, cosine = cos (turn), sine = sin (turn);
  double half_x = (tracer->x - x) / 2, half_y = (tracer->y - y) / 2;
  double rx = fabs (radius_x), ry = fabs (radius_y);
  double x1, y1, stretch, root, cx, cy, start, sweep;

  /* F.6.2: an arc to where one stands is left out, one without radius is a line. */
  if (half_x == 0 && half_y == 0)
    return TRUE;
  if (rx == 0 || ry == 0)
    return rake_svg_tracer_line (tracer, x, y, error);

  /* F.6.5 and F.6.6, equations 5.1 to 6.3: the middle, in the ellipse's own axes and with its radii
   * as units, so that it becomes a circle of radius 1. */
  x1 = (cosine * half_x + sine * half_y) / rx;
  y1 = (-sine * half_x + cosine * half_y) / ry;
  stretch = hypot (x1, y1);
  if (stretch > 1)
    {
      rx *= stretch;
      ry *= stretch;
      x1 /= stretch;
      y1 /= stretch;
      stretch = 1;
    }
  root = sqrt (fmax (0, 1 - stretch * stretch)) / stretch * (is_large == is_clockwise ? -1 : 1);
  cx = root * y1;
  cy = -root * x1;
  start = atan2 (y1 - cy, x1 - cx);
  sweep = atan2 (-y1 - cy, -x1 - cx) - start;
  if (is_clockwise && sweep < 0)
    sweep += 2 * G_PI;
  if (!is_clockwise && sweep > 0)
    sweep -= 2 * G_PI;
  if (!trace_arc (tracer, (tracer->x + x) / 2 + cosine * rx * cx - sine * ry * cy,
                  (tracer->y + y) / 2 + sine * rx * cx + cosine * ry * cy, rx, ry, turn, start,
                  sweep, error))
    return FALSE;
  /* The end is where the data say, to the last bit. */
  tracer->x = x;
  tracer->y = y;
  return TRUE;
}
