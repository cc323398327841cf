/* photo-trace.c - the outline of a face drawn over a photograph of it. */
#include <rakelight/photo-trace.h>

#include "../core/i18n.h"

#include <math.h>

#define LEAST_MM 1.0
#define MOST_MM 20000.0
#define LEAST_APART_PX 4.0

/* A smooth edge that turns by more than this at a point has a corner there. */
#define CORNER_RAD (55 * G_PI / 180)
#define PIECES 12 /* between two points of a curve */

typedef struct
{
  double x, y;
} Point;

static gboolean
refuse (GError **error, const char *sentence)
{
  g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID, sentence);
  return FALSE;
}

static gboolean
is_length (double mm)
{
  return isfinite (mm) && mm >= LEAST_MM && mm <= MOST_MM;
}

static gboolean
are_finite (const double *numbers, guint n)
{
  for (guint i = 0; i < n; i++)
    if (!isfinite (numbers[i]))
      return FALSE;
  return TRUE;
}

/* --- the size ------------------------------------------------------------------------------------- */

gboolean
rake_photo_trace_size_from_length (RakePhotoTraceSize *size, int width_px, int height_px,
                                   const double *ends_px, double length_mm, GError **error)
{
  static const double corners[4][2] = { { 0, 0 }, { 1, 0 }, { 1, 1 }, { 0, 1 } };
  double apart_px, mm_per_px;

  if (!is_length (length_mm))
    return refuse (error, _ ("The length between the two points is 1 to 20000 mm"));
  apart_px = are_finite (ends_px, 4) ? hypot (ends_px[2] - ends_px[0], ends_px[3] - ends_px[1]) : 0;
  if (!(apart_px >= LEAST_APART_PX))
    return refuse (error, _ ("Set the two ends of the length further apart"));
  mm_per_px = length_mm / apart_px;
  for (guint i = 0; i < 4; i++)
    {
      double x = corners[i][0] * width_px, y = corners[i][1] * height_px;

      size->pairs[i] = (RakePhotoPair){ x, y, x * mm_per_px, y * mm_per_px };
    }
  size->width_px = width_px;
  size->height_px = height_px;
  return TRUE;
}

/* Once around as a clock goes, from the one that is furthest up and left. */
static void
put_in_order (Point corners[4])
{
  Point middle = { 0, 0 }, ordered[4];
  guint first = 0;

  for (guint i = 0; i < 4; i++)
    {
      middle.x += corners[i].x / 4;
      middle.y += corners[i].y / 4;
    }
  for (guint i = 1; i < 4; i++)
    for (guint j = i; j > 0; j--)
      {
        Point swapped = corners[j];

        if (!(atan2 (swapped.y - middle.y, swapped.x - middle.x) <
              atan2 (corners[j - 1].y - middle.y, corners[j - 1].x - middle.x)))
          break;
        corners[j] = corners[j - 1];
        corners[j - 1] = swapped;
      }
  for (guint i = 1; i < 4; i++)
    if (corners[i].x + corners[i].y < corners[first].x + corners[first].y)
      first = i;
  for (guint i = 0; i < 4; i++)
    ordered[i] = corners[(first + i) % 4];
  for (guint i = 0; i < 4; i++)
    corners[i] = ordered[i];
}

gboolean
rake_photo_trace_size_from_rectangle (RakePhotoTraceSize *size, int width_px, int height_px,
                                      const double *corners_px, double width_mm, double height_mm,
                                      GError **error)
{
  const Point corners_mm[4] = {
    { 0, 0 }, { width_mm, 0 }, { width_mm, height_mm }, { 0, height_mm }
  };
  RakePhotoPair pairs[4];
  g_autoptr (RakePhotoFit) fit = NULL;
  Point corners[4];

  if (!is_length (width_mm) || !is_length (height_mm))
    return refuse (error, _ ("The sides of the rectangle are 1 to 20000 mm"));
  if (!are_finite (corners_px, 8))
    return refuse (error, _ ("Set the four corners of the rectangle"));
  for (guint i = 0; i < 4; i++)
    corners[i] = (Point){ corners_px[2 * i], corners_px[2 * i + 1] };
  put_in_order (corners);
  for (guint i = 0; i < 4; i++)
    pairs[i] = (RakePhotoPair){ corners[i].x, corners[i].y, corners_mm[i].x, corners_mm[i].y };
  fit = rake_photo_fit_new (pairs, 4, width_px, height_px, RAKE_PHOTO_FIT_PROJECTIVE, error);
  if (fit == NULL)
    return FALSE;
  for (guint i = 0; i < 4; i++)
    size->pairs[i] = pairs[i];
  size->width_px = width_px;
  size->height_px = height_px;
  return TRUE;
}

/* --- the edge -------------------------------------------------------------------------------------- */

static GArray *
lay_points (const RakePhotoTraceSize *size, const double *points_px, guint n_points, GError **error)
{
  g_autoptr (RakePhotoFit) fit = rake_photo_fit_new (
      size->pairs, 4, size->width_px, size->height_px, RAKE_PHOTO_FIT_PROJECTIVE, error);
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (Point));

  if (fit == NULL)
    return NULL;
  for (guint i = 0; i < n_points; i++)
    {
      Point at;
      const Point *last = points->len > 0 ? &g_array_index (points, Point, points->len - 1) : NULL;

      if (!rake_photo_fit_to_body (fit, points_px[2 * i], points_px[2 * i + 1], &at.x, &at.y) ||
          !(fabs (at.x) < MOST_MM && fabs (at.y) < MOST_MM))
        {
          refuse (error,
                  _ ("A point of the edge lies where the face cannot be: set the size anew, or "
                     "take the point back"));
          return NULL;
        }
      if (last == NULL || hypot (at.x - last->x, at.y - last->y) > 1e-6)
        g_array_append_val (points, at);
    }
  return g_steal_pointer (&points);
}

static Point
get_point (const GArray *points, int index)
{
  int n = (int) points->len;

  return g_array_index (points, Point, (index % n + n) % n);
}

static gboolean
is_corner (const GArray *points, int index)
{
  Point before = get_point (points, index - 1), at = get_point (points, index);
  Point after = get_point (points, index + 1);
  double ax = at.x - before.x, ay = at.y - before.y, bx = after.x - at.x, by = after.y - at.y;

  return fabs (atan2 (ax * by - ay * bx, ax * bx + ay * by)) > CORNER_RAD;
}

/* How a curve leaves a point, for an end of the piece from @index to the next: along the circle through
 * the point and its neighbours; at a corner straight. */
static Point
get_direction (const GArray *points, int index, int at, double length)
{
  Point from = get_point (points, index), to = get_point (points, index + 1);
  Point before = get_point (points, at - 1), here = get_point (points, at);
  Point after = get_point (points, at + 1);
  double a = hypot (here.x - before.x, here.y - before.y);
  double b = hypot (after.x - here.x, after.y - here.y);

  if (is_corner (points, at))
    return (Point){ to.x - from.x, to.y - from.y };
  return (Point){ length * ((here.x - before.x) * b / a + (after.x - here.x) * a / b) / (a + b),
                  length * ((here.y - before.y) * b / a + (after.y - here.y) * a / b) / (a + b) };
}

/* Cubic pieces, each given by its ends and how the curve runs there (Hermite's form). */
static GArray *
smooth (const GArray *points)
{
  GArray *curve = g_array_new (FALSE, FALSE, sizeof (Point));

  for (int i = 0; i < (int) points->len; i++)
    {
      Point from = get_point (points, i), to = get_point (points, i + 1);
      double length = hypot (to.x - from.x, to.y - from.y);
      Point out = get_direction (points, i, i, length),
            in = get_direction (points, i, i + 1, length);

      for (int k = 0; k < PIECES; k++)
        {
          double t = (double) k / PIECES, u = 1 - t;
          double of_from = (1 + 2 * t) * u * u, of_out = t * u * u, of_to = t * t * (3 - 2 * t);
          double of_in = -t * t * u;
          Point at = { of_from * from.x + of_out * out.x + of_to * to.x + of_in * in.x,
                       of_from * from.y + of_out * out.y + of_to * to.y + of_in * in.y };

          g_array_append_val (curve, at);
        }
    }
  return curve;
}

static double
get_side (Point a, Point b, Point c)
{
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static gboolean
do_cross (Point a, Point b, Point c, Point d)
{
  return get_side (a, b, c) * get_side (a, b, d) <= 0 &&
         get_side (c, d, a) * get_side (c, d, b) <= 0 &&
         MAX (MIN (a.x, b.x), MIN (c.x, d.x)) <= MIN (MAX (a.x, b.x), MAX (c.x, d.x)) &&
         MAX (MIN (a.y, b.y), MIN (c.y, d.y)) <= MIN (MAX (a.y, b.y), MAX (c.y, d.y));
}

static gboolean
crosses_itself (const GArray *points)
{
  int n = (int) points->len;

  for (int i = 0; i < n; i++)
    for (int j = i + 2; j < n; j++)
      if ((j + 1) % n != i && do_cross (get_point (points, i), get_point (points, i + 1),
                                        get_point (points, j), get_point (points, j + 1)))
        return TRUE;
  return FALSE;
}

static Point
move_to_origin (GArray *points)
{
  Point least = { INFINITY, INFINITY };

  for (guint i = 0; i < points->len; i++)
    {
      least.x = MIN (least.x, g_array_index (points, Point, i).x);
      least.y = MIN (least.y, g_array_index (points, Point, i).y);
    }
  for (guint i = 0; i < points->len; i++)
    {
      g_array_index (points, Point, i).x -= least.x;
      g_array_index (points, Point, i).y -= least.y;
    }
  return least;
}

static RakeShape *
make_area (const GArray *points, GError **error)
{
  g_autoptr (RakeShape) area =
      rake_shape_new_area ((const double *) (gconstpointer) points->data, points->len, error);
  RakeBounds bounds;

  if (area == NULL)
    return NULL;
  if (!(rake_shape_get_area_mm2 (area) >= LEAST_MM * LEAST_MM))
    {
      refuse (error, _ ("The edge encloses nothing: set points all around the face"));
      return NULL;
    }
  bounds = rake_shape_get_bounds (area);
  if (is_length (bounds.max_x_mm - bounds.min_x_mm) &&
      is_length (bounds.max_y_mm - bounds.min_y_mm))
    return g_steal_pointer (&area);
  refuse (error, _ ("An outline is 1 to 20000 mm wide and high: set the size anew"));
  return NULL;
}

RakeShape *
rake_photo_trace_outline (RakePhotoTraceSize *size, const double *points_px, guint n_points,
                          gboolean is_smooth, GError **error)
{
  g_autoptr (GArray) points = NULL, edge = NULL;
  RakeShape *outline;
  Point least;

  if (n_points > RAKE_PHOTO_TRACE_MAX_POINTS)
    {
      refuse (error, _ ("An edge has at most 500 points"));
      return NULL;
    }
  points = are_finite (points_px, 2 * n_points) ? lay_points (size, points_px, n_points, error)
                                                : g_array_new (FALSE, FALSE, sizeof (Point));
  if (points == NULL)
    return NULL;
  if (points->len < 3)
    {
      refuse (error, _ ("Set three points or more along the edge"));
      return NULL;
    }
  edge = is_smooth ? smooth (points) : g_array_ref (points);
  if (crosses_itself (points) || crosses_itself (edge))
    {
      refuse (error, _ ("The edge crosses itself: take points back to where it does"));
      return NULL;
    }
  least = move_to_origin (edge);
  outline = make_area (edge, error);
  for (guint i = 0; outline != NULL && i < 4; i++)
    {
      size->pairs[i].body_x_mm -= least.x;
      size->pairs[i].body_y_mm -= least.y;
    }
  return outline;
}
