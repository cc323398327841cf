/* map-lamp.c - the ring around the face, the lamp on it, and its light over the bench. */
#include "lamp.h"
#include "pen.h"
#include "tile.h"

#include <math.h>

#define GAP_PX 30.0          /* between the piece's edge and the ring, on the bench */
#define LAMP_HALF_PX 24.0    /* how near the edge of the view the lamp may come */
#define ROUNDEST 2.0
#define SQUAREST 9.0

static double
to_radians (double deg)
{
  return deg * G_PI / 180;
}

/* --- the ring ------------------------------------------------------------------------------- */

static double
get_gap (const RakeMapView *view)
{
  return GAP_PX *
         CLAMP (MIN (rake_view_side (view->width_px), rake_view_side (view->height_px)) / 480, 0.35,
                1);
}

/* The roundest ring that keeps @margin_px clear of every point of the outline. */
static double
find_power (const RakeRing *ring, const RakeMapView *view, const RakeShape *outline,
            double margin_px)
{
  double power = ROUNDEST;

  for (guint index = 0; index < rake_shape_get_n_rings (outline); index++)
    {
      guint n_points;
      const double *points_mm = rake_shape_get_ring (outline, index, &n_points, NULL);
      for (guint i = 0; i < n_points; i++)
        {
          double x, y;
          rake_map_view_to_px (view, points_mm[2 * i], points_mm[2 * i + 1], &x, &y);
          x = fabs (x - ring->centre_x) / MAX (ring->half_width - margin_px, 1);
          y = fabs (y - ring->centre_y) / MAX (ring->half_height - margin_px, 1);
          /* Most points lie within the ellipse and need no power taken. */
          if (x * x + y * y > 1)
            while (power < SQUAREST && pow (x, power) + pow (y, power) > 1)
              power += 0.5;
        }
    }
  return power;
}

void
rake_ring_around_face (RakeRing *ring, const RakeMapView *view, const RakeFace *face)
{
  RakeBounds bounds = rake_shape_get_bounds (face->outline);
  double left, top, right, bottom, gap = get_gap (view);

  rake_map_view_to_px (view, bounds.min_x_mm, bounds.min_y_mm, &left, &top);
  rake_map_view_to_px (view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
  *ring = (RakeRing){ (left + right) / 2, (top + bottom) / 2, (right - left) / 2 + gap,
                      (bottom - top) / 2 + gap, ROUNDEST };
  /* As round as the face lets it be; a slab wants a squarer one, to keep clear of its corners. */
  ring->power = find_power (ring, view, face->outline, gap / 2);
}

void
rake_ring_in_view (RakeRing *ring, const RakeMapView *view, const RakeFace *face)
{
  double view_width = rake_view_side (view->width_px),
         view_height = rake_view_side (view->height_px);
  double inset = MIN (LAMP_HALF_PX, 0.1 * MIN (view_width, view_height));
  double left, top, right, bottom;

  rake_ring_around_face (ring, view, face);
  left = MAX (ring->centre_x - ring->half_width, inset);
  top = MAX (ring->centre_y - ring->half_height, inset);
  right = MIN (ring->centre_x + ring->half_width, view_width - inset);
  bottom = MIN (ring->centre_y + ring->half_height, view_height - inset);
  /* Where little of the ring is left in view, the view's own edge serves. */
  if (right - left < view_width / 4)
    {
      left = inset;
      right = view_width - inset;
    }
  if (bottom - top < view_height / 4)
    {
      top = inset;
      bottom = view_height - inset;
    }
  ring->centre_x = (left + right) / 2;
  ring->centre_y = (top + bottom) / 2;
  ring->half_width = (right - left) / 2;
  ring->half_height = (bottom - top) / 2;
}

double
rake_ring_get_radius (const RakeRing *ring, double deg)
{
  double x = fabs (sin (to_radians (deg))) / ring->half_width;
  double y = fabs (cos (to_radians (deg))) / ring->half_height;

  return pow (pow (x, ring->power) + pow (y, ring->power), -1 / ring->power);
}

static RakePoint
place_on_ring (const RakeRing *ring, double deg)
{
  double radius = rake_ring_get_radius (ring, deg);

  return (RakePoint){ ring->centre_x + radius * sin (to_radians (deg)),
                      ring->centre_y - radius * cos (to_radians (deg)) };
}

gboolean
rake_lamp_get_source (const RakeMapView *view, const RakeFace *face, double *x_px, double *y_px,
                      double *reach_px)
{
  RakeBounds bounds = rake_shape_get_bounds (face->outline);
  const double corners_mm[4][2] = { { bounds.min_x_mm, bounds.min_y_mm },
                                    { bounds.max_x_mm, bounds.min_y_mm },
                                    { bounds.min_x_mm, bounds.max_y_mm },
                                    { bounds.max_x_mm, bounds.max_y_mm } };
  RakeRing ring;
  RakePoint at;

  *reach_px = 1;
  if (!isfinite (view->lamp_deg))
    return FALSE;
  rake_ring_around_face (&ring, view, face);
  at = place_on_ring (&ring, view->lamp_deg);
  *x_px = at.x;
  *y_px = at.y;
  for (guint i = 0; i < G_N_ELEMENTS (corners_mm); i++)
    {
      double x, y;
      rake_map_view_to_px (view, corners_mm[i][0], corners_mm[i][1], &x, &y);
      *reach_px = MAX (*reach_px, hypot (x - at.x, y - at.y));
    }
  return TRUE;
}

void
rake_map_get_ring (const RakeMapView *view, const RakeFace *face, double *centre_x_px,
                   double *centre_y_px, double *radius_px)
{
  RakeRing ring;

  rake_ring_in_view (&ring, view, face);
  *centre_x_px = ring.centre_x;
  *centre_y_px = ring.centre_y;
  *radius_px = rake_ring_get_radius (&ring, isfinite (view->lamp_deg) ? view->lamp_deg : 0);
}

gboolean
rake_map_get_lamp (const RakeMapView *view, const RakeFace *face, double *x_px, double *y_px)
{
  RakeRing ring;
  RakePoint at;

  if (!isfinite (view->lamp_deg))
    return FALSE;
  rake_ring_in_view (&ring, view, face);
  at = place_on_ring (&ring, view->lamp_deg);
  *x_px = at.x;
  *y_px = at.y;
  return TRUE;
}

double
rake_map_get_lamp_deg_at (const RakeMapView *view, const RakeFace *face, double x_px, double y_px)
{
  RakeRing ring;
  double deg;

  rake_ring_in_view (&ring, view, face);
  deg = atan2 (x_px - ring.centre_x, ring.centre_y - y_px) * 180 / G_PI;
  if (deg < 0)
    deg += 360;
  /* The smallest negative angles round up to the full turn, which is 0 in the logbook. */
  return deg < 360 ? deg : 0;
}

gboolean
rake_map_is_on_ring (const RakeMapView *view, const RakeFace *face, double x_px, double y_px,
                     double reach_px)
{
  RakeRing ring;
  double lamp_x, lamp_y, from_centre;

  rake_ring_in_view (&ring, view, face);
  if (rake_map_get_lamp (view, face, &lamp_x, &lamp_y) &&
      hypot (x_px - lamp_x, y_px - lamp_y) <= reach_px)
    return TRUE;
  from_centre = hypot (x_px - ring.centre_x, y_px - ring.centre_y);
  return fabs (from_centre -
               rake_ring_get_radius (&ring, rake_map_get_lamp_deg_at (view, face, x_px, y_px))) <=
         reach_px;
}

/* --- light over the bench ------------------------------------------------------------------- */

/* The piece is a few millimetres thick: its shadow falls away from the lamp, soft at its edge. */
static void
draw_shadow_of_piece (const RakePen *pen, const RakeMapView *view, const RakeFace *face)
{
  RakePoint centre, to_lamp;
  RakeBounds bounds = rake_shape_get_bounds (face->outline);
  double alpha = pen->theme == RAKE_THEME_DARK ? 0.17 : 0.05;
  double depth = 11 * pen->unit_px;

  rake_map_view_to_px (view, (bounds.min_x_mm + bounds.max_x_mm) / 2,
                       (bounds.min_y_mm + bounds.max_y_mm) / 2, &centre.x, &centre.y);
  to_lamp = rake_pen_to_lamp (pen, centre);
  for (guint step = 1; step <= 5; step++)
    {
      double share = step / 5.0;
      cairo_save (pen->cr);
      cairo_translate (pen->cr, -to_lamp.x * depth * share, -to_lamp.y * depth * share);
      rake_shape_trace (pen->cr, view, face->outline);
      cairo_restore (pen->cr);
      cairo_set_source_rgba (pen->cr, 0, 0, 0, alpha);
      cairo_fill (pen->cr);
    }
}

void
rake_map_draw_glow (cairo_t *cr, const RakeMapView *view, const RakeFace *face)
{
  RakePen pen;
  RakePoint lamp, centre;
  double radius;

  rake_pen_init (&pen, cr, view, face);
  if (pen.is_ink)
    return;
  cairo_save (cr);
  if (rake_map_get_lamp (view, face, &lamp.x, &lamp.y))
    {
      rake_map_get_ring (view, face, &centre.x, &centre.y, &radius);
      radius = 0.95 * radius + 40 * pen.unit_px;
      /* From a little inside the lamp: the shade keeps the light off the bench behind it. */
      lamp.x += 0.07 * (centre.x - lamp.x);
      lamp.y += 0.07 * (centre.y - lamp.y);
      cairo_rectangle (cr, lamp.x - radius, lamp.y - radius, 2 * radius, 2 * radius);
      rake_tile_fill_light (&pen, RAKE_TILE_GLOW, lamp, radius, 1);
    }
  draw_shadow_of_piece (&pen, view, face);
  cairo_restore (cr);
}

/* --- the lamp ------------------------------------------------------------------------------- */

static void
trace_ring (cairo_t *cr, const RakeRing *ring)
{
  for (guint step = 0; step < 180; step++)
    {
      RakePoint at = place_on_ring (ring, 2.0 * step);
      cairo_line_to (cr, at.x, at.y);
    }
  cairo_close_path (cr);
}

/* The ring for @reach_px to both sides of the lamp. */
static void
trace_slide (cairo_t *cr, const RakeRing *ring, double lamp_deg, double reach_px)
{
  RakePoint lamp = place_on_ring (ring, lamp_deg);

  for (int side = -1; side <= 1; side += 2)
    {
      cairo_move_to (cr, lamp.x, lamp.y);
      for (int step = 1; step < 120; step++)
        {
          RakePoint at = place_on_ring (ring, lamp_deg + side * step * 0.5);
          if (hypot (at.x - lamp.x, at.y - lamp.y) > reach_px)
            break;
          cairo_line_to (cr, at.x, at.y);
        }
    }
}

static void
draw_ring (const RakePen *pen, const RakeRing *ring)
{
  static const double dotted[] = { 0, 7 };
  double dashes[2] = { dotted[0], dotted[1] * pen->unit_px };
  cairo_t *cr = pen->cr;

  cairo_save (cr);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  trace_ring (cr, ring);
  cairo_set_dash (cr, dashes, 2, 0);
  rake_pen_line (pen, pen->palette->soft_ink, pen->is_ink ? 0.9 : 0.55, 1.3);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
  /* Where the lamp stands for looks square along and across the piece. */
  for (guint quarter = 0; quarter < 4; quarter++)
    {
      RakePoint at = place_on_ring (ring, 90.0 * quarter);
      cairo_move_to (cr, at.x, at.y);
      cairo_close_path (cr);
    }
  rake_pen_line (pen, pen->palette->soft_ink, 0.85, 3.6);
  cairo_stroke (cr);
  cairo_restore (cr);
}

/* The cone of light in front of the shade, softer towards its sides; x points to the piece. */
static void
draw_beam (const RakePen *pen, double strength)
{
  static const double spreads[] = { 14, 20, 26, 33, 41 };
  cairo_t *cr = pen->cr;
  RakeColour warm = pen->theme == RAKE_THEME_DARK ? rake_colour_from_hex (0xffe0a0)
                                                  : rake_colour_from_hex (0xf0b040);
  cairo_pattern_t *beam = cairo_pattern_create_radial (4, 0, 6, 4, 0, 74);

  cairo_pattern_add_color_stop_rgba (beam, 0, warm.red, warm.green, warm.blue, 0.26 * strength);
  cairo_pattern_add_color_stop_rgba (beam, 0.30, warm.red, warm.green, warm.blue, 0.10 * strength);
  cairo_pattern_add_color_stop_rgba (beam, 1, warm.red, warm.green, warm.blue, 0);
  cairo_set_source (cr, beam);
  cairo_pattern_destroy (beam);
  for (guint i = 0; i < G_N_ELEMENTS (spreads); i++)
    {
      cairo_move_to (cr, 9, -11);
      cairo_line_to (cr, 78, -11 - spreads[i]);
      cairo_line_to (cr, 78, 11 + spreads[i]);
      cairo_line_to (cr, 9, 11);
      cairo_close_path (cr);
      cairo_fill (cr);
    }
}

static void
trace_shade (cairo_t *cr)
{
  cairo_move_to (cr, -9, -5.5);
  cairo_curve_to (cr, -4, -9, 3, -12.5, 10, -14.5);
  cairo_curve_to (cr, 13, -5, 13, 5, 10, 14.5);
  cairo_curve_to (cr, 3, 12.5, -4, 9, -9, 5.5);
  cairo_curve_to (cr, -11, 3, -11, -3, -9, -5.5);
  cairo_close_path (cr);
}

static void
draw_stand (const RakePen *pen)
{
  cairo_t *cr = pen->cr;
  RakeColour metal = pen->is_ink ? pen->palette->ground
                                 : rake_colour_mix (pen->palette->card, pen->palette->ink, 0.16);

  cairo_arc (cr, -18, 0, 7.5, 0, 2 * G_PI);
  rake_pen_colour (pen, metal, 1);
  cairo_fill_preserve (cr);
  rake_pen_colour (pen, pen->is_ink ? pen->palette->ink : pen->palette->lamp_fill, 0.8);
  cairo_set_line_width (cr, 1.2);
  cairo_stroke (cr);
  cairo_move_to (cr, -18, 0);
  cairo_line_to (cr, -6, 0);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  rake_pen_colour (pen, pen->palette->ink, pen->is_ink ? 1 : 0.75);
  cairo_set_line_width (cr, 3.4);
  cairo_stroke (cr);
}

static void
draw_shade (const RakePen *pen)
{
  cairo_t *cr = pen->cr;
  RakeColour lamp = pen->palette->lamp_fill, dark = { 0.10, 0.07, 0.03, 1 };
  RakeColour back = rake_colour_mix (lamp, dark, 0.45);
  cairo_pattern_t *sheen = cairo_pattern_create_linear (-10, 0, 12, 0);

  cairo_pattern_add_color_stop_rgb (sheen, 0, back.red, back.green, back.blue);
  cairo_pattern_add_color_stop_rgb (sheen, 0.75, lamp.red, lamp.green, lamp.blue);
  cairo_pattern_add_color_stop_rgb (sheen, 1, 1, 0.96, 0.86);
  trace_shade (cr);
  cairo_set_source (cr, sheen);
  cairo_pattern_destroy (sheen);
  cairo_fill_preserve (cr);
  rake_pen_colour (pen, dark, 0.8);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
  /* Slots that let the heat out. */
  for (int slot = -1; slot <= 1; slot++)
    {
      cairo_move_to (cr, -5.5, slot * 3.2);
      cairo_line_to (cr, 0.5, slot * 4.6);
    }
  rake_pen_colour (pen, dark, 0.7);
  cairo_set_line_width (cr, 1.5);
  cairo_stroke (cr);
  /* The lit mouth of the shade. */
  cairo_move_to (cr, 10, -13);
  cairo_curve_to (cr, 12.6, -5, 12.6, 5, 10, 13);
  cairo_set_source_rgb (cr, 1, 0.98, 0.92);
  cairo_set_line_width (cr, pen->is_ink ? 0 : 1.8);
  cairo_stroke (cr);
}

void
rake_map_draw_lamp (cairo_t *cr, const RakeMapView *view, const RakeFace *face, gboolean is_grabbed)
{
  RakePen pen;
  RakeRing ring;
  RakePoint at;
  double size;

  rake_pen_init (&pen, cr, view, face);
  rake_ring_in_view (&ring, view, face);
  draw_ring (&pen, &ring);
  if (!isfinite (view->lamp_deg))
    return;
  at = place_on_ring (&ring, view->lamp_deg);
  cairo_save (cr);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  /* The stretch of ring the lamp slides on. */
  trace_slide (cr, &ring, view->lamp_deg, 54 * pen.unit_px);
  rake_pen_line (&pen, pen.palette->lamp_fill, is_grabbed ? 1 : 0.8, is_grabbed ? 3.4 : 2.4);
  cairo_stroke (cr);
  cairo_translate (cr, at.x, at.y);
  cairo_rotate (cr, atan2 (ring.centre_y - at.y, ring.centre_x - at.x));
  size = pen.unit_px * (is_grabbed ? 1.15 : 1);
  cairo_scale (cr, size, size);
  if (is_grabbed && !pen.is_ink)
    {
      cairo_arc (cr, -2, 0, 30, 0, 2 * G_PI);
      rake_pen_colour (&pen, pen.palette->lamp_fill, 0.20);
      cairo_fill (cr);
    }
  if (!pen.is_ink)
    draw_beam (&pen, is_grabbed ? 1 : 0.8);
  draw_stand (&pen);
  draw_shade (&pen);
  cairo_restore (cr);
}
