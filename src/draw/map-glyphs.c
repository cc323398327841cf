/* map-glyphs.c - the signs of the verdicts, each its own outline, so that none needs its colour:
 * a disc, three strokes, an eye-lid, a clock, a square, an open triangle point down. */
#include "pen.h"

#include <math.h>

#define LARGEST_PX 8192.0

static void
set_colour (cairo_t *cr, RakeColour colour)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha);
}

/* All signs are drawn in a box of 16. */
static void
draw_disc (cairo_t *cr)
{
  cairo_arc (cr, 8, 8, 5.6, 0, 2 * G_PI);
  cairo_fill (cr);
}

/* Three strokes of the block. */
static void
draw_strokes (cairo_t *cr)
{
  static const double rows[3][3] = { { 2.8, 12.6, 4 }, { 3.4, 13.2, 8 }, { 2.8, 12.6, 12 } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      cairo_move_to (cr, rows[i][0], rows[i][2]);
      cairo_line_to (cr, rows[i][1], rows[i][2]);
    }
  cairo_set_line_width (cr, 2.3);
  cairo_stroke (cr);
}

/* A lid, and the eye half below it. */
static void
draw_lid (cairo_t *cr)
{
  cairo_move_to (cr, 1.5, 9.4);
  cairo_curve_to (cr, 4.2, 2.6, 11.8, 2.6, 14.5, 9.4);
  cairo_set_line_width (cr, 2);
  cairo_stroke (cr);
  cairo_arc (cr, 8, 9.6, 2.9, 0, 2 * G_PI);
  cairo_fill (cr);
}

static void
draw_clock (cairo_t *cr)
{
  cairo_arc (cr, 8, 8, 5.7, 0, 2 * G_PI);
  cairo_set_line_width (cr, 1.8);
  cairo_stroke (cr);
  cairo_move_to (cr, 8, 4.9);
  cairo_line_to (cr, 8, 8.2);
  cairo_line_to (cr, 10.4, 9.6);
  cairo_set_line_width (cr, 1.6);
  cairo_stroke (cr);
}

static void
draw_square (cairo_t *cr)
{
  cairo_rectangle (cr, 3.4, 3.4, 9.2, 9.2);
  cairo_fill_preserve (cr);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
}

static void
draw_triangle (cairo_t *cr)
{
  cairo_move_to (cr, 2.9, 3.7);
  cairo_line_to (cr, 13.1, 3.7);
  cairo_line_to (cr, 8, 13);
  cairo_close_path (cr);
  cairo_set_line_width (cr, 2.1);
  cairo_stroke (cr);
}

/* Nothing is asked. */
static void
draw_dash (cairo_t *cr)
{
  cairo_move_to (cr, 5, 8);
  cairo_line_to (cr, 11, 8);
  cairo_set_line_width (cr, 2);
  cairo_stroke (cr);
}

static void
begin_sign (cairo_t *cr, double size_px)
{
  cairo_save (cr);
  cairo_scale (cr, size_px / 16, size_px / 16);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_new_path (cr);
}

void
rake_map_draw_verdict_glyph (cairo_t *cr, RakeTheme theme, RakeVerdict verdict, double size_px)
{
  static void (*const signs[RAKE_N_VERDICTS]) (cairo_t *) = {
    [RAKE_VERDICT_NONE] = draw_dash,
    [RAKE_VERDICT_READY] = draw_disc,
    [RAKE_VERDICT_SAND_AGAIN] = draw_strokes,
    [RAKE_VERDICT_LOOK_AGAIN] = draw_lid,
    [RAKE_VERDICT_WAIT] = draw_clock,
    [RAKE_VERDICT_STOP] = draw_square,
    [RAKE_VERDICT_REPAIR] = draw_triangle,
  };

  g_return_if_fail ((guint) verdict < RAKE_N_VERDICTS);

  if (!(size_px > 0 && size_px <= LARGEST_PX))
    return;
  begin_sign (cr, size_px);
  set_colour (cr, rake_palette_get (theme)->verdict[verdict]);
  signs[verdict](cr);
  cairo_restore (cr);
}

/* A ring left open where a hook comes out of it: taken as it is. */
void
rake_map_draw_accepted_glyph (cairo_t *cr, RakeTheme theme, double size_px)
{
  if (!(size_px > 0 && size_px <= LARGEST_PX))
    return;
  begin_sign (cr, size_px);
  set_colour (cr, rake_palette_get (theme)->ink);
  cairo_arc (cr, 7.6, 8.4, 5.4, 0.02 * G_PI, 1.62 * G_PI);
  cairo_set_line_width (cr, 1.6);
  cairo_stroke (cr);
  cairo_move_to (cr, 5, 7.9);
  cairo_line_to (cr, 7.6, 10.6);
  cairo_line_to (cr, 13.9, 2.9);
  cairo_set_line_width (cr, 2);
  cairo_stroke (cr);
  cairo_restore (cr);
}

void
rake_map_draw_progress_ring (cairo_t *cr, RakeTheme theme, double fraction, double size_px)
{
  const RakePalette *palette = rake_palette_get (theme);
  double width = 0.13 * size_px, radius = (size_px - width) / 2 - 0.5;

  if (!(size_px > 2 && size_px <= LARGEST_PX))
    return;
  fraction = isfinite (fraction) ? CLAMP (fraction, 0, 1) : 0;
  cairo_save (cr);
  cairo_new_path (cr);
  cairo_set_line_width (cr, width);
  cairo_arc (cr, size_px / 2, size_px / 2, radius, 0, 2 * G_PI);
  set_colour (cr, palette->line);
  cairo_stroke (cr);
  if (fraction > 0)
    {
      cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
      cairo_arc (cr, size_px / 2, size_px / 2, radius, -G_PI / 2, -G_PI / 2 + 2 * G_PI * fraction);
      set_colour (cr, palette->verdict[RAKE_VERDICT_READY]);
      cairo_stroke (cr);
    }
  cairo_restore (cr);
}
