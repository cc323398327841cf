/* seen.c - the six things a lamp held low shows, and how old and mended ones are kept in sight.
 *
 * Each picture is told apart by its lines alone, so that ink is enough; tones and light only add
 * to it. A hollow is lit on the side away from the lamp, a raised thing on the side towards it; a
 * pool of gloss mirrors the lamp, so its rim towards the lamp is the brightest line of all. */
#include "seen-private.h"
#include "tile.h"

#include <math.h>

gboolean
rake_seen_is_line (RakeMarkKind kind)
{
  return kind == RAKE_MARK_SCRATCH || kind == RAKE_MARK_WITNESS_LINE;
}

void
rake_seen_clip (const RakePen *pen, const RakePlace *place)
{
  rake_place_trace (place, pen->cr, 0, 0, TRUE);
  cairo_clip (pen->cr);
}

void
rake_seen_outline (const RakePen *pen, const RakePlace *place, RakeColour colour, double alpha,
                   double width_units, double dash_units, double gap_units)
{
  cairo_t *cr = pen->cr;

  rake_place_trace (place, cr, 0, 0, TRUE);
  rake_pen_line (pen, colour, alpha, width_units);
  if (gap_units > 0)
    cairo_set_dash (cr, (double[]){ dash_units * pen->unit_px, gap_units * pen->unit_px }, 2, 0);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
}

/* --- glossy low spots ----------------------------------------------------------------------- */

/* A ring of a shore that is lit from one side. */
typedef struct
{
  const RakePoint *points;
  guint n_points;
  double winding;
  RakePoint towards;
  double width_px;
} Shore;

/* The point at @at moved inward as far as the shore there faces the light; FALSE where it does not. */
static gboolean
step_inside (const Shore *shore, guint at, RakePoint *inner)
{
  guint n = shore->n_points;
  /* Which way the shore faces is read over a few points: at a sharp turn the inner line would cross
   * itself otherwise. */
  guint reach = CLAMP (n / 16, 1, 4);
  const RakePoint *before = &shore->points[(at + n - reach) % n];
  const RakePoint *after = &shore->points[(at + reach) % n];
  double x = after->x - before->x, y = after->y - before->y, length = hypot (x, y);
  RakePoint outward = { length > 0 ? shore->winding * y / length : 0,
                        length > 0 ? -shore->winding * x / length : 0 };
  double facing = outward.x * shore->towards.x + outward.y * shore->towards.y;
  double depth = shore->width_px * CLAMP ((facing - 0.1) * 1.5, 0, 1);

  *inner = (RakePoint){ shore->points[at].x - outward.x * depth,
                        shore->points[at].y - outward.y * depth };
  return depth != 0;
}

/* The crescent from the point @first on, @n points long, which has a tip before and after them. */
static void
add_crescent (const Shore *shore, const RakePoint *inner, guint first, guint n, RakePlace *rim)
{
  for (guint i = 0; i < n + 2; i++)
    {
      const RakePoint *outer = &shore->points[(first + shore->n_points - 1 + i) % shore->n_points];
      rake_place_add (rim, outer->x, outer->y);
    }
  for (guint i = n; i-- > 0;)
    {
      const RakePoint *back = &inner[(first + i) % shore->n_points];
      rake_place_add (rim, back->x, back->y);
    }
  rake_place_end_ring (rim);
}

static void
add_crescents (const Shore *shore, RakePlace *rim)
{
  guint n = shore->n_points, start = 0, n_lit = 0;
  g_autofree RakePoint *inner = g_new (RakePoint, n);
  g_autofree gboolean *is_lit = g_new (gboolean, n);

  for (guint i = 0; i < n; i++)
    is_lit[i] = step_inside (shore, i, &inner[i]);
  /* From a dark point on, so that no crescent is parted where the ring begins. */
  while (start < n && is_lit[start])
    start++;
  for (guint i = 1; i <= n && start < n; i++)
    if (is_lit[(start + i) % n])
      n_lit++;
    else
      {
        if (n_lit > 0)
          add_crescent (shore, inner, start + i - n_lit, n_lit, rim);
        n_lit = 0;
      }
}

/* The rim of every ring on the side of @towards, @width_px at its broadest (below 0: outside). No
 * clip: clips are what costs on screen. */
static void
trace_crescents (const RakePlace *place, cairo_t *cr, RakePoint towards, double width_px)
{
  g_autoptr (RakePlace) rim = rake_place_new (RAKE_SHAPE_AREA);

  rim->slack_px = place->slack_px;
  for (guint ring = 0; ring < rake_place_get_n_rings (place); ring++)
    {
      guint n_points;
      const RakePoint *points = rake_place_get_ring (place, ring, &n_points);
      double area = rake_place_get_ring_area (place, ring);
      const Shore shore = { points, n_points, area < 0 ? -1 : 1, towards,
                            MIN (width_px, 0.3 * sqrt (fabs (area))) };

      if (n_points >= 3)
        add_crescents (&shore, rim);
    }
  rake_place_trace (rim, cr, 0, 0, FALSE);
}

static void
fill_crescents (const RakePen *pen, const RakePlace *place, RakePoint towards, double width_px)
{
  trace_crescents (place, pen->cr, towards, width_px);
  cairo_fill (pen->cr);
}

static void
fill_body (const RakePen *pen, const RakePlace *place, RakePoint to_lamp)
{
  const RakeMaterials *materials = pen->materials;
  RakePoint centre = rake_place_get_centre (place);
  double half = MAX (place->max.x - place->min.x, place->max.y - place->min.y) / 2;
  cairo_pattern_t *body =
      cairo_pattern_create_linear (centre.x + to_lamp.x * half, centre.y + to_lamp.y * half,
                                   centre.x - to_lamp.x * half, centre.y - to_lamp.y * half);
  RakeColour near = pen->is_ink ? materials->pool_far
                                : rake_colour_mix (materials->pool_near, materials->pool_far, 0.22);
  RakeColour far = materials->pool_far;

  cairo_pattern_add_color_stop_rgb (body, 0.0, near.red, near.green, near.blue);
  cairo_pattern_add_color_stop_rgb (body, 0.75, far.red, far.green, far.blue);
  /* A mirror shows a paler sky again at its far shore. */
  if (!pen->is_ink)
    far = rake_colour_mix (materials->pool_far, materials->pool_near, 0.35);
  cairo_pattern_add_color_stop_rgb (body, 1.0, far.red, far.green, far.blue);
  cairo_set_source (pen->cr, body);
  cairo_pattern_destroy (body);
  rake_place_trace (place, pen->cr, 0, 0, TRUE);
  cairo_fill (pen->cr);
}

static double
crescent_width (const RakePen *pen, double across_px)
{
  return CLAMP (0.13 * across_px, 1.5 * pen->unit_px, 5.5 * pen->unit_px);
}

static void
draw_low_spot (const RakePen *pen, gboolean is_hollow, const RakePlace *area)
{
  const RakeMaterials *materials = pen->materials;
  g_autoptr (RakePlace) place = rake_place_new_round (area);
  RakePoint to_lamp = rake_pen_to_lamp (pen, rake_place_get_centre (place));
  double across = MIN (place->max.x - place->min.x, place->max.y - place->min.y);
  double width = crescent_width (pen, across);

  place->slack_px = rake_pen_get_slack (pen);
  if (pen->is_ink && !is_hollow)
    {
      /* One path, filled and stroked: on paper its points are what costs. */
      rake_pen_colour (pen, materials->pool_far, 1);
      rake_place_trace (place, pen->cr, 0, 0, TRUE);
      cairo_fill_preserve (pen->cr);
      rake_pen_line (pen, materials->pool_rim, 1, 1);
      cairo_stroke (pen->cr);
    }
  else if (!is_hollow)
    {
      rake_seen_outline (pen, place, materials->pool_rim, 1, 1.7, 0, 0);
      fill_body (pen, place, to_lamp);
    }
  else
    rake_seen_outline (pen, place, pen->is_ink ? materials->pool_rim : materials->pool_near, 0.95,
                       1.4, 0, 0);
  rake_pen_colour (pen, materials->pool_near, is_hollow ? 0.85 : 1);
  fill_crescents (pen, place, to_lamp, width);
}

void
rake_seen_draw_islands (const RakePen *pen, const RakePlace *islands)
{
  const RakeMaterials *materials = pen->materials;
  RakePoint to_lamp = rake_pen_to_lamp (pen, rake_place_get_centre (islands));
  RakePoint away = { -to_lamp.x, -to_lamp.y };
  double width = 2.6 * pen->unit_px;

  if (pen->is_ink)
    {
      rake_pen_colour (pen, materials->pool_far, 1);
      rake_place_trace (islands, pen->cr, 0, 0, TRUE);
      cairo_fill_preserve (pen->cr);
      rake_pen_line (pen, materials->pool_rim, 1, 1.1);
      cairo_stroke (pen->cr);
    }
  else
    {
      /* Filled rims, no strokes: there may be a hundred islands in a zone and hundreds of zones. */
      rake_pen_colour (pen, materials->pool_rim, 1);
      trace_crescents (islands, pen->cr, away, -1.1 * pen->unit_px);
      trace_crescents (islands, pen->cr, to_lamp, -0.8 * pen->unit_px);
      cairo_fill (pen->cr);
      fill_body (pen, islands, to_lamp);
      rake_pen_colour (pen, rake_colour_mix (materials->pool_far, materials->pool_rim, 0.25), 0.55);
      fill_crescents (pen, islands, away, 1.2 * width);
    }
  rake_pen_colour (pen, materials->pool_near, 1);
  fill_crescents (pen, islands, to_lamp, width);
}

/* --- lines ---------------------------------------------------------------------------------- */

/* How square across the line the lamp stands: 0 along it, 1 across. A scratch lies hidden under a
 * lamp along it and flashes under one across. */
static double
lamp_across (const RakePen *pen, const RakePoint *points, guint n_points)
{
  double angle;

  if (!pen->has_lamp || n_points < 2)
    return 0.7;
  angle = atan2 (points[n_points - 1].x - points[0].x, points[0].y - points[n_points - 1].y);
  return fabs (sin (angle - pen->lamp_deg * G_PI / 180));
}

static void
trace_line (cairo_t *cr, const RakePoint *points, guint n_points, double dx, double dy)
{
  cairo_move_to (cr, points[0].x + dx, points[0].y + dy);
  for (guint i = 1; i < n_points; i++)
    cairo_line_to (cr, points[i].x + dx, points[i].y + dy);
  if (n_points == 1)
    cairo_line_to (cr, points[0].x + dx + 0.01, points[0].y + dy);
}

/* A line moved sideways by @offset_px. */
static void
trace_beside (cairo_t *cr, const RakePoint *points, guint n_points, double offset_px)
{
  for (guint i = 0; i < n_points; i++)
    {
      const RakePoint *before = &points[i > 0 ? i - 1 : 0];
      const RakePoint *after = &points[i + 1 < n_points ? i + 1 : i];
      double x = after->x - before->x, y = after->y - before->y, length = hypot (x, y);
      double nx = length > 1e-9 ? -y / length : 0, ny = length > 1e-9 ? x / length : 1;
      if (i == 0)
        cairo_move_to (cr, points[i].x + nx * offset_px, points[i].y + ny * offset_px);
      else
        cairo_line_to (cr, points[i].x + nx * offset_px, points[i].y + ny * offset_px);
    }
}

static void
draw_scratch (const RakePen *pen, gboolean is_hollow, const RakePlace *place)
{
  const RakeMaterials *materials = pen->materials;
  cairo_t *cr = pen->cr;
  double unit = pen->unit_px;

  for (guint ring = 0; ring < rake_place_get_n_rings (place); ring++)
    {
      guint n_points;
      const RakePoint *points = rake_place_get_ring (place, ring, &n_points);
      double strength = pen->is_ink ? 1 : 0.50 + 0.50 * lamp_across (pen, points, n_points);
      RakePoint to_lamp = rake_pen_to_lamp (pen, points[n_points / 2]);

      if (!pen->is_ink && !is_hollow)
        {
          trace_line (cr, points, n_points, -to_lamp.x * 1.2 * unit, -to_lamp.y * 1.2 * unit);
          rake_pen_line (pen, materials->shade, 0.55 * strength, 1.6);
          cairo_stroke (cr);
        }
      trace_line (cr, points, n_points, 0, 0);
      cairo_set_dash (cr, (double[]){ 1.1 * unit, 10.9 * unit }, 2, -5 * unit);
      rake_pen_line (pen, materials->scratch, 0.9 * strength, 7);
      cairo_stroke (cr);
      cairo_set_dash (cr, NULL, 0, 0);
      if (is_hollow)
        for (int side = -1; side <= 1; side += 2)
          trace_beside (cr, points, n_points, side * 1.5 * unit);
      else
        trace_line (cr, points, n_points, 0, 0);
      rake_pen_line (pen, materials->scratch, strength, is_hollow ? 0.8 : 1.5);
      cairo_stroke (cr);
    }
}

static void
draw_witness_line (const RakePen *pen, gboolean is_hollow, const RakePlace *place)
{
  cairo_t *cr = pen->cr;
  double unit = pen->unit_px;
  double dash = is_hollow ? 4.5 : 10, gap = is_hollow ? 4.5 : 4;

  cairo_set_line_cap (cr, CAIRO_LINE_CAP_BUTT);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (guint ring = 0; ring < rake_place_get_n_rings (place); ring++)
    {
      guint n_points;
      const RakePoint *points = rake_place_get_ring (place, ring, &n_points);
      RakePoint to_lamp = rake_pen_to_lamp (pen, points[n_points / 2]);
      /* The step between two coats: its lower line lies a little in shadow. */
      for (int side = -1; side <= 1; side += 2)
        {
          if (!pen->is_ink)
            {
              cairo_save (cr);
              cairo_translate (cr, -to_lamp.x * unit, -to_lamp.y * unit);
              trace_beside (cr, points, n_points, side * 2.9 * unit);
              cairo_restore (cr);
              rake_pen_line (pen, pen->materials->shade, 0.4, 1.5);
              cairo_stroke (cr);
            }
          trace_beside (cr, points, n_points, side * 2.9 * unit);
          cairo_set_dash (cr, (double[]){ dash * unit, gap * unit }, 2, side > 0 ? 6 * unit : 0);
          rake_pen_line (pen, pen->materials->scratch, side > 0 || pen->is_ink ? 0.95 : 0.75,
                         is_hollow ? 0.9 : 1.45);
          cairo_stroke (cr);
          cairo_set_dash (cr, NULL, 0, 0);
        }
    }
}

/* --- through the film ----------------------------------------------------------------------- */

static void
draw_burn (const RakePen *pen, gboolean is_hollow, const RakePlace *place)
{
  static const struct
  {
    double width, alpha;
  } halo[] = { { 11, 0.10 }, { 7.5, 0.16 }, { 4.6, 0.30 }, { 2.6, 0.75 } };
  const RakeMaterials *materials = pen->materials;
  cairo_t *cr = pen->cr;

  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  if (is_hollow)
    {
      rake_seen_outline (pen, place, materials->burn_core, 0.7, 3.4, 0, 0);
      rake_seen_outline (pen, place, materials->ember, 1, 1.5, 0, 0);
      return;
    }
  if (pen->is_ink)
    {
      /* A black blot, and a ring around it where the ember would be. */
      rake_seen_outline (pen, place, materials->burn_core, 1, 4.8, 0, 0);
      rake_seen_outline (pen, place, pen->palette->ground, 1, 3.0, 0, 0);
      rake_pen_colour (pen, materials->burn_core, 1);
      rake_place_trace (place, cr, 0, 0, TRUE);
      cairo_fill (cr);
      return;
    }
  for (guint i = 0; i < G_N_ELEMENTS (halo); i++)
    rake_seen_outline (pen, place, materials->ember, halo[i].alpha, halo[i].width, 0, 0);
  rake_pen_colour (pen, materials->burn_core, 1);
  rake_place_trace (place, cr, 0, 0, TRUE);
  cairo_fill (cr);
  cairo_save (cr);
  rake_seen_clip (pen, place);
  rake_seen_outline (pen, place, materials->burn_brown, 0.55, 10, 0, 0);
  rake_seen_outline (pen, place, materials->burn_brown, 0.8, 5.5, 0, 0);
  rake_seen_outline (pen, place, materials->ember, 0.85, 2.0, 0, 0);
  cairo_restore (cr);
}

/* The place with a torn edge: every few pixels in or out by chance. */
static RakePlace *
new_ragged (const RakePen *pen, const RakePlace *place, guint32 seed)
{
  RakePlace *ragged = rake_place_new (RAKE_SHAPE_AREA);
  double step = 3.2 * pen->unit_px;

  for (guint ring = 0; ring < rake_place_get_n_rings (place); ring++)
    {
      guint n_points;
      const RakePoint *points = rake_place_get_ring (place, ring, &n_points);
      RakePoint centre = rake_place_get_centre (place);
      for (guint i = 0; i < n_points; i++)
        {
          RakePoint from = points[i], to = points[(i + 1) % n_points];
          guint n_steps = (guint) CLAMP (hypot (to.x - from.x, to.y - from.y) / step, 1, 200);
          for (guint k = 0; k < n_steps; k++)
            {
              double share = (double) k / n_steps;
              double x = from.x + (to.x - from.x) * share, y = from.y + (to.y - from.y) * share;
              double away = MAX (hypot (x - centre.x, y - centre.y), 1);
              double tear = (0.5 + 7.5 * pow (rake_random (&seed), 1.5)) * pen->unit_px;
              rake_place_add (ragged, x + (x - centre.x) / away * tear,
                              y + (y - centre.y) / away * tear);
            }
        }
      rake_place_end_ring (ragged);
    }
  return ragged;
}

static void
draw_grain_inside (const RakePen *pen, const RakePlace *place, guint32 seed)
{
  cairo_t *cr = pen->cr;
  double from = pen->is_across ? place->min.y : place->min.x;
  double width = (pen->is_across ? place->max.y : place->max.x) - from;
  guint n_lines = (guint) CLAMP (width / (4.0 * pen->unit_px), 1, 80);

  cairo_save (cr);
  rake_seen_clip (pen, place);
  for (guint i = 0; i < n_lines; i++)
    {
      double at = from + width * (i + 0.25 + 0.5 * rake_random (&seed)) / n_lines;
      cairo_move_to (cr, pen->is_across ? place->min.x : at, pen->is_across ? at : place->min.y);
      cairo_line_to (cr, pen->is_across ? place->max.x : at, pen->is_across ? at : place->max.y);
    }
  rake_pen_line (pen, pen->materials->bare_grain, 0.8, 0.8);
  cairo_stroke (cr);
  cairo_restore (cr);
}

static void
draw_sand_through (const RakePen *pen, gboolean is_hollow, const RakePlace *place, guint32 seed)
{
  const RakeMaterials *materials = pen->materials;
  cairo_t *cr = pen->cr;
  g_autoptr (RakePlace) ragged = new_ragged (pen, place, seed);

  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  if (!is_hollow)
    {
      rake_place_trace (ragged, cr, 0, 0, FALSE);
      rake_pen_colour (pen, materials->bare, pen->is_ink ? 1 : 0.42);
      cairo_fill (cr);
    }
  rake_place_trace (ragged, cr, 0, 0, FALSE);
  rake_pen_line (pen, pen->is_ink ? materials->bare_grain : materials->bare, 0.9, 1);
  cairo_stroke (cr);
  if (is_hollow)
    {
      rake_seen_outline (pen, place, materials->bare_grain, 0.9, 1, 0, 0);
      return;
    }
  rake_pen_colour (pen, materials->bare, 1);
  rake_place_trace (place, cr, 0, 0, TRUE);
  cairo_fill (cr);
  draw_grain_inside (pen, place, seed);
  rake_seen_outline (pen, place, materials->bare_grain, 0.9, 1, 0, 0);
}

/* --- how it stands -------------------------------------------------------------------------- */

static void
draw_stitched (const RakePen *pen, const RakePlace *place)
{
  const RakeMaterials *materials = pen->materials;

  if (!pen->is_ink)
    {
      rake_pen_colour (pen, materials->stitch, 0.10);
      rake_place_trace (place, pen->cr, 0, 0, TRUE);
      cairo_fill (pen->cr);
    }
  rake_seen_outline (pen, place, materials->stitch, 0.55, 0.9, 0, 0);
  /* Broad dashes across a thin line are stitches. */
  rake_seen_outline (pen, place, materials->stitch, 1, 5.2, 1.2, 3.6);
}

static void
draw_ghost (const RakePen *pen, RakeMarkKind kind, const RakePlace *place)
{
  const RakeMaterials *materials = pen->materials;

  if (!pen->is_ink)
    rake_seen_outline (pen, place, materials->shade, 0.35, 2.6, 4.5, 3.5);
  rake_seen_outline (pen, place, materials->ghost, 1, rake_seen_is_line (kind) ? 1.5 : 1.3, 4.5,
                     3.5);
}

void
rake_seen_draw (const RakePen *pen, RakeMarkKind kind, RakeSeenAs as, const RakePlace *place,
                guint32 seed)
{
  g_autoptr (RakePlace) patch = NULL;
  gboolean is_hollow = as == RAKE_SEEN_HOLLOW;

  if (rake_place_get_n_rings (place) == 0)
    return;
  cairo_save (pen->cr);
  if (place->kind != RAKE_SHAPE_AREA && (!rake_seen_is_line (kind) || as == RAKE_SEEN_STITCHED))
    {
      patch = rake_place_new_patch (place, 5 * pen->unit_px, seed);
      place = patch;
    }
  if (as == RAKE_SEEN_STITCHED)
    draw_stitched (pen, place);
  else if (as == RAKE_SEEN_GHOST)
    draw_ghost (pen, kind, place);
  else if (kind == RAKE_MARK_LOW_SPOT)
    draw_low_spot (pen, is_hollow, place);
  else if (kind == RAKE_MARK_SCRATCH)
    draw_scratch (pen, is_hollow, place);
  else if (kind == RAKE_MARK_WITNESS_LINE)
    draw_witness_line (pen, is_hollow, place);
  else if (kind == RAKE_MARK_BURN)
    draw_burn (pen, is_hollow, place);
  else if (kind == RAKE_MARK_SAND_THROUGH)
    draw_sand_through (pen, is_hollow, place, seed);
  else
    rake_seen_draw_fault (pen, kind, is_hollow, place, seed);
  cairo_restore (pen->cr);
}
