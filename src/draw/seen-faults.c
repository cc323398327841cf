/* seen-faults.c - the trade's other faults: raised things, holes, and patches that scatter or hide
 * the light in their own way. */
#include "seen-private.h"

#include <math.h>

/* However large a place is, there is no more in it than can be told apart. */
#define MAX_SPECKS_A_SIDE 14
#define MAX_LINES 120
#define MAX_LINES_OF_SCALES 40
#define MAX_CIRCLES 24

/* --- specks: nibs, craters, pinholes -------------------------------------------------------- */

typedef void (*DrawSpeck) (const RakePen *pen, gboolean is_hollow, RakePoint at, double size_units);

static void
disc (const RakePen *pen, RakePoint at, double radius_units)
{
  cairo_new_sub_path (pen->cr);
  cairo_arc (pen->cr, at.x, at.y, radius_units * pen->unit_px, 0, 2 * G_PI);
}

/* Dust under the film: a bright grain that throws a long shadow. */
static void
draw_nib (const RakePen *pen, gboolean is_hollow, RakePoint at, double size_units)
{
  const RakeMaterials *materials = pen->materials;
  RakePoint to_lamp = rake_pen_to_lamp (pen, at);
  double unit = pen->unit_px, tail = 3.6 * size_units * unit, half = 0.9 * size_units * unit;

  if (!is_hollow)
    {
      cairo_move_to (pen->cr, at.x - to_lamp.y * half, at.y + to_lamp.x * half);
      cairo_line_to (pen->cr, at.x - to_lamp.x * tail, at.y - to_lamp.y * tail);
      cairo_line_to (pen->cr, at.x + to_lamp.y * half, at.y - to_lamp.x * half);
      cairo_close_path (pen->cr);
      rake_pen_colour (pen, materials->shade, pen->is_ink ? 1 : 0.70);
      cairo_fill (pen->cr);
    }
  disc (pen, at, size_units);
  if (!is_hollow)
    {
      rake_pen_colour (pen, materials->gleam, 1);
      cairo_fill_preserve (pen->cr);
    }
  rake_pen_line (pen, is_hollow && !pen->is_ink ? materials->gleam : materials->shade,
                 is_hollow ? 1 : 0.8, 1);
  cairo_stroke (pen->cr);
}

/* The film drew away: a pit with a raised rim, lit on the wall away from the lamp. */
static void
draw_crater (const RakePen *pen, gboolean is_hollow, RakePoint at, double size_units)
{
  const RakeMaterials *materials = pen->materials;
  RakePoint to_lamp = rake_pen_to_lamp (pen, at);
  double away = atan2 (-to_lamp.y, -to_lamp.x), radius = 1.5 * size_units;

  if (!is_hollow && !pen->is_ink)
    {
      disc (pen, at, radius);
      rake_pen_colour (pen, materials->shade, 0.55);
      cairo_fill (pen->cr);
    }
  if (!pen->is_ink)
    {
      disc (pen, at, radius);
      rake_pen_line (pen, materials->gleam, 0.40, 1);
      cairo_stroke (pen->cr);
    }
  else
    {
      disc (pen, at, radius);
      rake_pen_line (pen, materials->shade, 1, 0.8);
      cairo_stroke (pen->cr);
      if (!is_hollow)
        {
          disc (pen, at, 0.45 * radius);
          cairo_stroke (pen->cr);
        }
    }
  cairo_new_sub_path (pen->cr);
  cairo_arc (pen->cr, at.x, at.y, 0.82 * radius * pen->unit_px, away - 1.15, away + 1.15);
  rake_pen_line (pen, pen->is_ink ? materials->shade : materials->gleam, 1, is_hollow ? 1 : 2);
  cairo_stroke (pen->cr);
}

/* Three pricks of a needle: they come in groups. */
static void
draw_pinholes (const RakePen *pen, gboolean is_hollow, RakePoint at, double size_units)
{
  static const double offsets[3][2] = { { -1.1, -0.55 }, { 1.0, -0.85 }, { 0.15, 1.05 } };
  const RakeMaterials *materials = pen->materials;

  for (guint i = 0; i < G_N_ELEMENTS (offsets); i++)
    {
      RakePoint here = { at.x + offsets[i][0] * size_units * 1.25 * pen->unit_px,
                         at.y + offsets[i][1] * size_units * 1.25 * pen->unit_px };
      if (!pen->is_ink)
        {
          disc (pen, here, 0.42 * size_units + 0.9);
          rake_pen_colour (pen, materials->gleam, 0.55);
          cairo_fill (pen->cr);
        }
      disc (pen, here, 0.42 * size_units);
      if (is_hollow)
        {
          rake_pen_line (pen, materials->shade, 1, 0.8);
          cairo_stroke (pen->cr);
          continue;
        }
      rake_pen_colour (pen, materials->shade, 1);
      cairo_fill (pen->cr);
    }
}

/* One speck in a small place, many in a large one. */
static void
draw_specks (const RakePen *pen, DrawSpeck draw, gboolean is_hollow, const RakePlace *place,
             guint32 seed)
{
  double across = MAX (place->max.x - place->min.x, place->max.y - place->min.y) / pen->unit_px;
  double longest = MAX (place->max.x - place->min.x, place->max.y - place->min.y);
  double spacing = MAX (15 * pen->unit_px, longest / MAX_SPECKS_A_SIDE);

  if (across < 26)
    {
      draw (pen, is_hollow, rake_place_get_centre (place), CLAMP (across * 0.2, 2.2, 4.2));
      return;
    }
  rake_seen_outline (pen, place, pen->is_ink ? pen->materials->shade : pen->materials->gleam, 0.6,
                     0.8, 1, 3);
  for (guint i = 0; i < MAX_SPECKS_A_SIDE * MAX_SPECKS_A_SIDE; i++)
    {
      guint row = i / MAX_SPECKS_A_SIDE, column = i % MAX_SPECKS_A_SIDE;
      RakePoint at = { place->min.x + (column + 0.15 + 0.7 * rake_random (&seed)) * spacing,
                       place->min.y + (row + 0.15 + 0.7 * rake_random (&seed)) * spacing };
      double size = 2 + 0.9 * rake_random (&seed);
      if (rake_place_contains (place, at.x, at.y))
        draw (pen, is_hollow, at, size);
    }
}

/* --- patches -------------------------------------------------------------------------------- */

/* Parallel lines through the place's box at @deg, @spacing_units apart; dashed when @dash_units. */
static void
hatch (const RakePen *pen, const RakePlace *place, double deg, double spacing_units,
       double dash_units, double gap_units)
{
  cairo_t *cr = pen->cr;
  RakePoint centre = rake_place_get_centre (place);
  double half = hypot (place->max.x - place->min.x, place->max.y - place->min.y) / 2;
  double spacing = MAX (spacing_units * pen->unit_px, 2 * half / MAX_LINES);
  double c = cos (deg * G_PI / 180), s = sin (deg * G_PI / 180);

  for (guint row = 0; row <= MAX_LINES && row * spacing <= 2 * half; row++)
    {
      double at = row * spacing - half;
      double from = half + (row % 2 ? (dash_units + gap_units) / 2 * pen->unit_px : 0);
      cairo_move_to (cr, centre.x - c * from - s * at, centre.y - s * from + c * at);
      cairo_line_to (cr, centre.x + c * half - s * at, centre.y + s * half + c * at);
    }
  if (dash_units > 0)
    cairo_set_dash (cr, (double[]){ dash_units * pen->unit_px, gap_units * pen->unit_px }, 2, 0);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
}

/* Light lines on a bench, black ones in ink. */
static RakeColour
pale_line (const RakePen *pen)
{
  return pen->is_ink ? pen->materials->shade : pen->materials->gleam;
}

/* A sag of the wet film: a ridge with a lit flank and a dark one, and its tongue's inner lines. */
static void
draw_run (const RakePen *pen, const RakePlace *place)
{
  const RakeMaterials *materials = pen->materials;
  cairo_t *cr = pen->cr;
  RakePoint centre = rake_place_get_centre (place), to_lamp = rake_pen_to_lamp (pen, centre);
  double half = MAX (place->max.x - place->min.x, place->max.y - place->min.y) / 2;

  if (!pen->is_ink)
    {
      cairo_pattern_t *flanks =
          cairo_pattern_create_linear (centre.x + to_lamp.x * half, centre.y + to_lamp.y * half,
                                       centre.x - to_lamp.x * half, centre.y - to_lamp.y * half);
      cairo_pattern_add_color_stop_rgba (flanks, 0.0, materials->gleam.red, materials->gleam.green,
                                         materials->gleam.blue, 0.75);
      cairo_pattern_add_color_stop_rgba (flanks, 0.5, materials->gleam.red, materials->gleam.green,
                                         materials->gleam.blue, 0.12);
      cairo_pattern_add_color_stop_rgba (flanks, 1.0, materials->shade.red, materials->shade.green,
                                         materials->shade.blue, 0.70);
      rake_place_trace (place, cr, 0, 0, TRUE);
      cairo_set_source (cr, flanks);
      cairo_pattern_destroy (flanks);
      cairo_fill (cr);
    }
  rake_seen_outline (pen, place, pale_line (pen), 0.9, 1.3, 0, 0);
  for (guint inner = 1; inner <= 2; inner++)
    {
      double share = 1 - 0.32 * inner;
      cairo_save (cr);
      cairo_translate (cr, centre.x * (1 - share),
                       centre.y * (1 - share) + (place->max.y - centre.y) * (1 - share) * 0.55);
      cairo_scale (cr, share, share);
      rake_place_trace (place, cr, 0, 0, TRUE);
      cairo_restore (cr);
      rake_pen_line (pen, pale_line (pen), 0.7, 0.9);
      cairo_stroke (cr);
    }
}

/* The film has let go: pale with air below, in scales. */
static void
draw_lifting (const RakePen *pen, const RakePlace *place)
{
  const RakeMaterials *materials = pen->materials;
  cairo_t *cr = pen->cr;
  double longest = MAX (place->max.x - place->min.x, place->max.y - place->min.y);
  double scale = MAX (8 * pen->unit_px, longest / (0.6 * MAX_LINES_OF_SCALES));

  rake_place_trace (place, cr, 0, 0, TRUE);
  rake_pen_colour (pen, materials->milk, 1);
  cairo_fill (cr);
  cairo_save (cr);
  rake_seen_clip (pen, place);
  for (guint row = 0; row <= MAX_LINES_OF_SCALES + 1; row++)
    for (guint column = 0; column <= MAX_LINES_OF_SCALES + 1; column++)
      {
        double x = place->min.x + (column - (row % 2 ? 0.5 : 0)) * scale;
        double y = place->min.y + row * scale * 0.62;
        if (x > place->max.x + scale || y > place->max.y + scale)
          continue;
        cairo_new_sub_path (cr);
        cairo_arc (cr, x, y - scale * 0.3, scale / 2, 0.15 * G_PI, 0.85 * G_PI);
      }
  rake_pen_line (pen, materials->shade, 0.75, 1);
  cairo_stroke (cr);
  cairo_restore (cr);
  rake_seen_outline (pen, place, pale_line (pen), 1, 1.3, 0, 0);
}

/* Something was laid on it too soon: the weave of a cloth, pressed in. */
static void
draw_imprint (const RakePen *pen, const RakePlace *place)
{
  cairo_save (pen->cr);
  rake_seen_clip (pen, place);
  rake_pen_line (pen, pen->materials->shade, pen->is_ink ? 1 : 0.75, 1.1);
  hatch (pen, place, 45, 4.2, 4.2, 4.2);
  rake_pen_line (pen, pale_line (pen), 0.8, 1.1);
  hatch (pen, place, 135, 4.2, 4.2, 4.2);
  cairo_restore (pen->cr);
  rake_seen_outline (pen, place, pale_line (pen), 0.75, 1, 2.4, 2.4);
}

/* The film sank into the wood: the pores show through, dash by dash along the grain. */
static void
draw_shrink_back (const RakePen *pen, const RakePlace *place)
{
  double along = pen->is_across ? 0 : 90;

  cairo_save (pen->cr);
  rake_seen_clip (pen, place);
  if (!pen->is_ink)
    {
      cairo_save (pen->cr);
      cairo_translate (pen->cr, -0.9 * pen->unit_px, -0.9 * pen->unit_px);
      rake_pen_line (pen, pen->materials->gleam, 0.45, 1);
      hatch (pen, place, along, 3.8, 7, 4);
      cairo_restore (pen->cr);
    }
  rake_pen_line (pen, pen->materials->shade, 0.85, 1.2);
  hatch (pen, place, along, 3.8, 7, 4);
  cairo_restore (pen->cr);
  rake_seen_outline (pen, place, pale_line (pen), 0.7, 0.9, 1, 3);
}

/* Left by the wheel: hairlines in circles around the reflected light. */
static void
draw_swirl (const RakePen *pen, const RakePlace *place)
{
  cairo_t *cr = pen->cr;
  RakePoint centre = rake_place_get_centre (place), to_lamp = rake_pen_to_lamp (pen, centre);
  double reach = hypot (place->max.x - place->min.x, place->max.y - place->min.y) / 2;
  double spacing = MAX (3.6 * pen->unit_px, reach / MAX_CIRCLES);
  double facing = atan2 (to_lamp.y, to_lamp.x);

  rake_seen_outline (pen, place, pale_line (pen), 0.35, 0.8, 1, 2.5);
  cairo_save (cr);
  rake_seen_clip (pen, place);
  for (guint ring = 0; ring < MAX_CIRCLES; ring++)
    {
      double radius = (ring + 0.6) * spacing;
      double turn = facing + 0.5 * (ring % 3);
      if (radius > reach)
        break;
      cairo_new_sub_path (cr);
      cairo_arc (cr, centre.x, centre.y, radius, turn - 1.2, turn + 0.9);
      cairo_new_sub_path (cr);
      cairo_arc (cr, centre.x, centre.y, radius, turn + G_PI - 1.1, turn + G_PI + 0.8);
    }
  rake_pen_line (pen, pen->materials->scratch, 0.85, 0.9);
  cairo_stroke (cr);
  cairo_restore (cr);
}

/* No reflection where all around there is one. */
static void
draw_dull_spot (const RakePen *pen, const RakePlace *place)
{
  const RakeMaterials *materials = pen->materials;

  if (!pen->is_ink)
    {
      rake_seen_outline (pen, place, materials->dull, 0.35, 6, 0, 0);
      rake_pen_colour (pen, materials->dull, 1);
      rake_place_trace (place, pen->cr, 0, 0, TRUE);
      cairo_fill (pen->cr);
    }
  cairo_save (pen->cr);
  rake_seen_clip (pen, place);
  rake_pen_line (pen, pale_line (pen), pen->is_ink ? 1 : 0.30, 0.8);
  hatch (pen, place, 30, 3.4, 0, 0);
  cairo_restore (pen->cr);
}

/* Leaves only a rim of the place to draw on. */
static void
clip_to_rim (const RakePen *pen, const RakePlace *place)
{
  cairo_t *cr = pen->cr;
  RakePoint centre = rake_place_get_centre (place);
  const double share = 0.6, reach = RAKE_SEEN_REACH_UNITS * pen->unit_px;

  cairo_rectangle (cr, place->min.x - reach, place->min.y - reach,
                   place->max.x - place->min.x + 2 * reach,
                   place->max.y - place->min.y + 2 * reach);
  cairo_save (cr);
  cairo_translate (cr, centre.x * (1 - share), centre.y * (1 - share));
  cairo_scale (cr, share, share);
  rake_place_trace (place, cr, 0, 0, TRUE);
  cairo_restore (cr);
  cairo_set_fill_rule (cr, CAIRO_FILL_RULE_EVEN_ODD);
  cairo_clip (cr);
  cairo_set_fill_rule (cr, CAIRO_FILL_RULE_WINDING);
}

static void
draw_patch (const RakePen *pen, RakeMarkKind kind, const RakePlace *place)
{
  switch (kind)
    {
    case RAKE_MARK_RUN:
      draw_run (pen, place);
      break;
    case RAKE_MARK_LIFTING:
      draw_lifting (pen, place);
      break;
    case RAKE_MARK_IMPRINT:
      draw_imprint (pen, place);
      break;
    case RAKE_MARK_SHRINK_BACK:
      draw_shrink_back (pen, place);
      break;
    case RAKE_MARK_SWIRL:
      draw_swirl (pen, place);
      break;
    default:
      draw_dull_spot (pen, place);
      break;
    }
}

void
rake_seen_draw_fault (const RakePen *pen, RakeMarkKind kind, gboolean is_hollow,
                      const RakePlace *place, guint32 seed)
{
  if (kind == RAKE_MARK_NIB)
    draw_specks (pen, draw_nib, is_hollow, place, seed);
  else if (kind == RAKE_MARK_CRATER)
    draw_specks (pen, draw_crater, is_hollow, place, seed);
  else if (kind == RAKE_MARK_PINHOLE)
    draw_specks (pen, draw_pinholes, is_hollow, place, seed);
  else
    {
      cairo_save (pen->cr);
      if (is_hollow)
        clip_to_rim (pen, place);
      draw_patch (pen, kind, place);
      cairo_restore (pen->cr);
    }
}
