/* place.c - shapes in pixels, as rings of points that a picture can be drawn on. */
#include "pen.h"

#include <math.h>

#define MOST_LEFT_OUT 16 /* points at a time */

RakePlace *
rake_place_new (RakeShapeKind kind)
{
  RakePlace *place = g_new0 (RakePlace, 1);

  place->kind = kind;
  place->points = g_array_new (FALSE, FALSE, sizeof (RakePoint));
  place->ends = g_array_new (FALSE, FALSE, sizeof (guint));
  place->min = (RakePoint){ G_MAXDOUBLE, G_MAXDOUBLE };
  place->max = (RakePoint){ -G_MAXDOUBLE, -G_MAXDOUBLE };
  return place;
}

void
rake_place_free (RakePlace *place)
{
  if (place == NULL)
    return;
  g_array_unref (place->points);
  g_array_unref (place->ends);
  g_free (place);
}

/* cairo counts in 24.8 bits; far outside any view nobody sees a side bend. */
#define FARTHEST_PX 2e6

void
rake_place_add (RakePlace *place, double x, double y)
{
  RakePoint point = { CLAMP (x, -FARTHEST_PX, FARTHEST_PX), CLAMP (y, -FARTHEST_PX, FARTHEST_PX) };

  g_array_append_val (place->points, point);
  place->min = (RakePoint){ MIN (place->min.x, point.x), MIN (place->min.y, point.y) };
  place->max = (RakePoint){ MAX (place->max.x, point.x), MAX (place->max.y, point.y) };
}

void
rake_place_end_ring (RakePlace *place)
{
  guint before =
      place->ends->len > 0 ? g_array_index (place->ends, guint, place->ends->len - 1) : 0;

  if (place->points->len > before)
    g_array_append_val (place->ends, place->points->len);
}

void
rake_place_drop_ring (RakePlace *place)
{
  g_array_set_size (place->ends, place->ends->len - 1);
  g_array_set_size (place->points, place->ends->len > 0
                                       ? g_array_index (place->ends, guint, place->ends->len - 1)
                                       : 0);
}

guint
rake_place_get_n_rings (const RakePlace *place)
{
  return place->ends->len;
}

const RakePoint *
rake_place_get_ring (const RakePlace *place, guint index, guint *n_points)
{
  guint from = index > 0 ? g_array_index (place->ends, guint, index - 1) : 0;

  *n_points = g_array_index (place->ends, guint, index) - from;
  return &g_array_index (place->points, RakePoint, from);
}

double
rake_place_get_ring_area (const RakePlace *place, guint index)
{
  guint n_points;
  const RakePoint *points = rake_place_get_ring (place, index, &n_points);
  double twice = 0;

  for (guint i = 0, j = n_points - 1; i < n_points; j = i++)
    twice += points[j].x * points[i].y - points[i].x * points[j].y;
  return twice / 2;
}

RakePoint
rake_place_get_centre (const RakePlace *place)
{
  return (RakePoint){ (place->min.x + place->max.x) / 2, (place->min.y + place->max.y) / 2 };
}

/* Even-odd over all rings, as holes want it. */
gboolean
rake_place_contains (const RakePlace *place, double x, double y)
{
  gboolean is_inside = FALSE;

  if (x < place->min.x || x > place->max.x || y < place->min.y || y > place->max.y)
    return FALSE;
  for (guint ring = 0; ring < place->ends->len; ring++)
    {
      guint n_points;
      const RakePoint *points = rake_place_get_ring (place, ring, &n_points);
      for (guint i = 0, j = n_points - 1; i < n_points; j = i++)
        if ((points[i].y > y) != (points[j].y > y) &&
            x < (points[j].x - points[i].x) * (y - points[i].y) / (points[j].y - points[i].y) +
                    points[i].x)
          is_inside = !is_inside;
    }
  return is_inside;
}

RakePlace *
rake_place_new_from_shape (const RakeMapView *view, const RakeShape *shape)
{
  RakePlace *place = rake_place_new (rake_shape_get_kind (shape));
  guint n_rings = rake_shape_get_n_rings (shape);

  for (guint ring = 0; ring < n_rings; ring++)
    {
      guint n_points;
      const double *points_mm = rake_shape_get_ring (shape, ring, &n_points, NULL);
      /* The repeated last point of a ring would be a corner of its own when rounded. */
      if (place->kind == RAKE_SHAPE_AREA && n_points > 1)
        n_points--;
      for (guint i = 0; i < n_points; i++)
        {
          double x_px, y_px;
          rake_map_view_to_px (view, points_mm[2 * i], points_mm[2 * i + 1], &x_px, &y_px);
          rake_place_add (place, x_px, y_px);
        }
      rake_place_end_ring (place);
    }
  return place;
}

RakePlace *
rake_place_new_blob (RakePoint centre, double radius_x, double radius_y, guint32 seed)
{
  RakePlace *place = rake_place_new (RAKE_SHAPE_AREA);
  guint32 state = rake_hash (seed, 1, 2);
  double phase[3] = { 0 };
  const guint n_points = 24;

  for (guint i = 0; i < G_N_ELEMENTS (phase); i++)
    phase[i] = 2 * G_PI * rake_random (&state);
  for (guint i = 0; i < n_points; i++)
    {
      double angle = 2 * G_PI * i / n_points;
      double swell = 1 + 0.13 * sin (2 * angle + phase[0]) + 0.10 * sin (3 * angle + phase[1]) +
                     0.05 * sin (5 * angle + phase[2]);
      rake_place_add (place, centre.x + radius_x * swell * cos (angle),
                      centre.y + radius_y * swell * sin (angle));
    }
  rake_place_end_ring (place);
  return place;
}

/* One side of a capsule around a line, then the round cap at its end; called once from each end. */
static void
add_capsule_side (RakePlace *patch, const RakePoint *points, guint n_points, gboolean is_back,
                  double radius_px)
{
  double angle = 0;

  for (guint i = 0; i < n_points; i++)
    {
      guint here = is_back ? n_points - 1 - i : i;
      guint before = i == 0 ? here : is_back ? here + 1 : here - 1;
      guint after = i == n_points - 1 ? here : is_back ? here - 1 : here + 1;
      angle = atan2 (points[after].y - points[before].y, points[after].x - points[before].x);
      rake_place_add (patch, points[here].x + radius_px * sin (angle),
                      points[here].y - radius_px * cos (angle));
    }
  for (guint step = 1; step < 6; step++)
    {
      double turned = angle + G_PI * step / 6;
      rake_place_add (patch, points[is_back ? 0 : n_points - 1].x + radius_px * sin (turned),
                      points[is_back ? 0 : n_points - 1].y - radius_px * cos (turned));
    }
}

RakePlace *
rake_place_new_patch (const RakePlace *place, double radius_px, guint32 seed)
{
  RakePlace *patch;

  if (place->kind == RAKE_SHAPE_POINT)
    return rake_place_new_blob (rake_place_get_centre (place), radius_px, radius_px, seed);
  patch = rake_place_new (RAKE_SHAPE_AREA);
  for (guint ring = 0; ring < rake_place_get_n_rings (place); ring++)
    {
      guint n_points;
      const RakePoint *points = rake_place_get_ring (place, ring, &n_points);
      if (place->kind == RAKE_SHAPE_AREA)
        for (guint i = 0; i < n_points; i++)
          rake_place_add (patch, points[i].x, points[i].y);
      else
        {
          add_capsule_side (patch, points, n_points, FALSE, radius_px);
          add_capsule_side (patch, points, n_points, TRUE, radius_px);
        }
      rake_place_end_ring (patch);
    }
  return patch;
}

RakePlace *
rake_place_new_round (const RakePlace *area)
{
  RakePlace *round = rake_place_new (RAKE_SHAPE_AREA);

  round->is_fine = TRUE;
  for (guint ring = 0; ring < rake_place_get_n_rings (area); ring++)
    {
      guint n_points;
      const RakePoint *points = rake_place_get_ring (area, ring, &n_points);
      for (guint i = 0; i < n_points; i++)
        {
          RakePoint before = points[(i + n_points - 1) % n_points], at = points[i];
          RakePoint after = points[(i + 1) % n_points];
          /* The quadratic curve from the middle of one side to the middle of the next. */
          for (guint step = 0; step < 4; step++)
            {
              double t = step / 4.0, a = (1 - t) * (1 - t) / 2, b = t * t / 2;
              rake_place_add (round, a * before.x + (1 - a - b) * at.x + b * after.x,
                              a * before.y + (1 - a - b) * at.y + b * after.y);
            }
        }
      rake_place_end_ring (round);
    }
  return round;
}

/* A curve that touches every side in its middle, with the corners as control points: round without
 * ever leaving the polygon's hull. */
static void
trace_round_ring (cairo_t *cr, const RakePoint *points, guint n_points, double dx, double dy)
{
  RakePoint last = points[n_points - 1];
  RakePoint from = { (last.x + points[0].x) / 2 + dx, (last.y + points[0].y) / 2 + dy };

  cairo_move_to (cr, from.x, from.y);
  for (guint i = 0; i < n_points; i++)
    {
      RakePoint corner = { points[i].x + dx, points[i].y + dy };
      RakePoint next = { points[(i + 1) % n_points].x + dx, points[(i + 1) % n_points].y + dy };
      RakePoint to = { (corner.x + next.x) / 2, (corner.y + next.y) / 2 };
      cairo_curve_to (cr, from.x + (corner.x - from.x) * 2 / 3,
                      from.y + (corner.y - from.y) * 2 / 3, to.x + (corner.x - to.x) * 2 / 3,
                      to.y + (corner.y - to.y) * 2 / 3, to.x, to.y);
      from = to;
    }
  cairo_close_path (cr);
}

static double
get_distance (RakePoint at, RakePoint from, RakePoint to)
{
  double x = to.x - from.x, y = to.y - from.y, square = x * x + y * y;
  double along = square > 0 ? ((at.x - from.x) * x + (at.y - from.y) * y) / square : 0;

  along = CLAMP (along, 0, 1);
  return hypot (at.x - from.x - along * x, at.y - from.y - along * y);
}

/* The farthest point after @at to which a straight line misses none between by more than @slack_px. */
static guint
find_next (const RakePoint *points, guint n_points, guint at, double slack_px)
{
  guint next = at + 1;

  for (guint to = at + 2; to < n_points && to <= at + MOST_LEFT_OUT; next = to++)
    for (guint i = at + 1; i < to; i++)
      if (get_distance (points[i], points[at], points[to]) > slack_px)
        return next;
  return next;
}

void
rake_place_trace (const RakePlace *place, cairo_t *cr, double dx, double dy, gboolean is_round)
{
  for (guint ring = 0; ring < rake_place_get_n_rings (place); ring++)
    {
      guint n_points;
      const RakePoint *points = rake_place_get_ring (place, ring, &n_points);
      if (is_round && !place->is_fine && place->kind == RAKE_SHAPE_AREA && n_points > 2)
        {
          trace_round_ring (cr, points, n_points, dx, dy);
          continue;
        }
      cairo_move_to (cr, points[0].x + dx, points[0].y + dy);
      for (guint i = 1; i<n_points; i = place->slack_px> 0
                            ? find_next (points, n_points, i, place->slack_px)
                            : i + 1)
        cairo_line_to (cr, points[i].x + dx, points[i].y + dy);
      if (place->kind == RAKE_SHAPE_AREA)
        cairo_close_path (cr);
    }
}

void
rake_shape_trace (cairo_t *cr, const RakeMapView *view, const RakeShape *shape)
{
  guint n_rings = rake_shape_get_n_rings (shape);
  gboolean is_area = rake_shape_get_kind (shape) == RAKE_SHAPE_AREA;

  for (guint ring = 0; ring < n_rings; ring++)
    {
      guint n_points;
      const double *points_mm = rake_shape_get_ring (shape, ring, &n_points, NULL);
      for (guint i = 0; i + (is_area ? 1 : 0) < n_points; i++)
        {
          double x_px, y_px;
          rake_map_view_to_px (view, points_mm[2 * i], points_mm[2 * i + 1], &x_px, &y_px);
          x_px = CLAMP (x_px, -FARTHEST_PX, FARTHEST_PX);
          y_px = CLAMP (y_px, -FARTHEST_PX, FARTHEST_PX);
          if (i == 0)
            cairo_move_to (cr, x_px, y_px);
          else
            cairo_line_to (cr, x_px, y_px);
        }
      if (is_area)
        cairo_close_path (cr);
    }
}
