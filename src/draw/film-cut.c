/* film-cut.c - see film-cut.h. Words and their places are in film-cut-words.c. */
#include "film-cut-private.h"

#include <math.h>

#define GROUND_PX 0.085   /* of the height: what lies under the film */
#define HEAD_PX 0.06      /* air above the sprayed surface */
#define DOUBT_SDS 2.5     /* how far the blurred edge reaches */
#define N_STOPS 12
#define STEP_PX 2.0
#define LONG_WAVE_PX 34.0
#define SHORT_WAVE_PX 11.0
#define DEEPEST_SIGMAS 2.0
#define NARROWEST_BAND_PX 3.0

gboolean
rake_film_scale_init (RakeFilmScale *scale, const RakeFilmCut *cut)
{
  const RakeFilm *film = cut->film;
  double top_um;

  if (film == NULL || film->standing != RAKE_FILM_KNOWN || !isfinite (film->film.mean))
    return FALSE;
  scale->sigma_um = isfinite (cut->sigma_um) ? cut->sigma_um : RAKE_FORECAST_USUAL_SIGMA_UM;
  scale->now_um = film->film.mean;
  scale->sd_um = isfinite (film->film.sd) ? film->film.sd : 0;
  scale->sprayed_um =
      isfinite (film->sprayed.mean) ? MAX (film->sprayed.mean, scale->now_um) : scale->now_um;
  scale->reserve_um = isfinite (film->reserve_um) ? film->reserve_um : NAN;
  top_um = MAX (scale->sprayed_um + DEEPEST_SIGMAS * scale->sigma_um,
                scale->now_um + DOUBT_SDS * scale->sd_um);
  if (isfinite (scale->reserve_um))
    top_um = MAX (top_um, scale->reserve_um * 1.1);
  if (!(top_um > 0) || !(cut->width_px > 0) || !(cut->height_px > 0))
    return FALSE;
  scale->bottom_px = cut->height_px * (1 - GROUND_PX);
  scale->px_per_um = (scale->bottom_px - cut->height_px * HEAD_PX) / top_um;
  scale->width_px = cut->width_px;
  scale->height_px = cut->height_px;
  return TRUE;
}

double
rake_film_scale_get_y (const RakeFilmScale *scale, double film_um)
{
  return scale->bottom_px - film_um * scale->px_per_um;
}

/* --- surfaces ----------------------------------------------------------------------------------- */

/* The sprayed texture over its mean: long swells with a finer ripple. */
static double
get_texture_um (const RakeFilmScale *scale, double x_px)
{
  double swell = rake_noise (x_px / LONG_WAVE_PX, 0.5, 0, 0, 7);
  double ripple = rake_noise (x_px / SHORT_WAVE_PX, 8.5, 0, 0, 11);

  return scale->sigma_um * DEEPEST_SIGMAS * (0.8 * swell + 0.2 * ripple);
}

/* What the plane of the block has left standing: where the texture lies lower, it was not reached. */
static double
get_surface_um (const RakeFilmScale *scale, double x_px)
{
  double sprayed_um = scale->sprayed_um + get_texture_um (scale, x_px);

  return scale->sprayed_um - scale->now_um < 0.1 ? sprayed_um : MIN (sprayed_um, scale->now_um);
}

static void
trace_sprayed (cairo_t *cr, const RakeFilmScale *scale)
{
  for (double x_px = 0; x_px <= scale->width_px + STEP_PX; x_px += STEP_PX)
    cairo_line_to (cr, x_px,
                   rake_film_scale_get_y (scale, scale->sprayed_um + get_texture_um (scale, x_px)));
}

static void
trace_now (cairo_t *cr, const RakeFilmScale *scale)
{
  for (double x_px = 0; x_px <= scale->width_px + STEP_PX; x_px += STEP_PX)
    cairo_line_to (cr, x_px, rake_film_scale_get_y (scale, get_surface_um (scale, x_px)));
}

static void
close_at_bottom (cairo_t *cr, const RakeFilmScale *scale)
{
  cairo_line_to (cr, scale->width_px + STEP_PX, scale->bottom_px);
  cairo_line_to (cr, 0, scale->bottom_px);
  cairo_close_path (cr);
}

/* --- layers -------------------------------------------------------------------------------------- */

/* What is gone: a pale body under the sprayed surface, with a line where each stage ended. */
static void
draw_taken (const RakePen *pen, const RakeFilmCut *cut, const RakeFilmScale *scale)
{
  cairo_t *cr = pen->cr;

  cairo_new_path (cr);
  trace_sprayed (cr, scale);
  close_at_bottom (cr, scale);
  rake_pen_colour (pen, pen->palette->soft_ink, pen->is_ink ? 0.10 : 0.20);
  cairo_fill (cr);
  cairo_new_path (cr);
  trace_sprayed (cr, scale);
  rake_pen_line (pen, pen->palette->soft_ink, 0.9, 1);
  cairo_stroke (cr);
  for (guint i = 0; i + 1 < cut->film->lines->len; i++)
    {
      const RakeFilmLine *line = &g_array_index (cut->film->lines, RakeFilmLine, i);
      double y_px = rake_film_scale_get_y (scale, line->film.mean);

      if (line->kind != RAKE_FILM_PASSES || line->film.mean > scale->sprayed_um ||
          rake_film_scale_get_y (scale, scale->now_um) - y_px < NARROWEST_BAND_PX)
        continue;
      cairo_move_to (cr, 0, y_px);
      cairo_line_to (cr, scale->width_px, y_px);
      rake_pen_line (pen, pen->palette->soft_ink, 0.6, 0.7);
      cairo_stroke (cr);
    }
}

static void
add_stop (cairo_pattern_t *pattern, double at, RakeColour colour, double alpha)
{
  cairo_pattern_add_color_stop_rgba (pattern, at, colour.red, colour.green, colour.blue, alpha);
}

/* The clear, amber towards the wood. At each height it is as dense as it is likely to be there, so the
 * doubt is seen as an edge out of focus; on paper two dotted lines say the same. */
static void
draw_left (const RakePen *pen, const RakeFilmScale *scale)
{
  double top_um = scale->now_um + DOUBT_SDS * scale->sd_um,
         y_top = rake_film_scale_get_y (scale, top_um);
  RakeColour deep = pen->palette->wood,
             light = rake_colour_mix (deep, pen->palette->lamp_fill, 0.45);
  cairo_pattern_t *pattern = cairo_pattern_create_linear (0, y_top, 0, scale->bottom_px);

  for (guint i = 0; i <= N_STOPS; i++)
    {
      double film_um = top_um * (1 - (double) i / N_STOPS), share = 1 - film_um / top_um;
      double likely =
          scale->sd_um > 0 ? rake_normal_cdf ((scale->now_um - film_um) / scale->sd_um) : 1;

      add_stop (pattern, share, rake_colour_mix (light, deep, share),
                pen->is_ink ? 0.16 * likely : likely);
    }
  /* However great the doubt, no film stands over what was sprayed. */
  cairo_save (pen->cr);
  cairo_new_path (pen->cr);
  trace_sprayed (pen->cr, scale);
  close_at_bottom (pen->cr, scale);
  cairo_clip (pen->cr);
  cairo_rectangle (pen->cr, 0, y_top, scale->width_px, scale->bottom_px - y_top);
  cairo_set_source (pen->cr, pattern);
  cairo_fill (pen->cr);
  cairo_restore (pen->cr);
  cairo_pattern_destroy (pattern);
}

static void
draw_dotted (const RakePen *pen, const RakeFilmScale *scale, double film_um, RakeColour colour,
             double alpha, double on_units, double off_units)
{
  double dashes[] = { on_units * pen->unit_px, off_units * pen->unit_px };
  double y_px = floor (rake_film_scale_get_y (scale, film_um)) + 0.5;

  cairo_set_dash (pen->cr, dashes, 2, 0);
  cairo_move_to (pen->cr, 0, y_px);
  cairo_line_to (pen->cr, scale->width_px, y_px);
  rake_pen_line (pen, colour, alpha, 1);
  cairo_stroke (pen->cr);
  cairo_set_dash (pen->cr, NULL, 0, 0);
}

static void
draw_surface (const RakePen *pen, const RakeFilmScale *scale)
{
  cairo_new_path (pen->cr);
  trace_now (pen->cr, scale);
  rake_pen_line (pen, pen->palette->ink, 1, 1.6);
  cairo_stroke (pen->cr);
  if (pen->is_ink && scale->sd_um > 0)
    {
      draw_dotted (pen, scale, scale->now_um + scale->sd_um, pen->palette->ink, 0.8, 1, 2);
      draw_dotted (pen, scale, MAX (scale->now_um - scale->sd_um, 0), pen->palette->ink, 0.8, 1, 2);
    }
}

/* What must stay: hatched, with its edge drawn, so that it is seen without its colour. */
static void
draw_reserve (const RakePen *pen, const RakeFilmScale *scale)
{
  cairo_t *cr = pen->cr;
  double y_px = rake_film_scale_get_y (scale, scale->reserve_um),
         height_px = scale->bottom_px - y_px;

  if (!isfinite (scale->reserve_um) || height_px < 1)
    return;
  cairo_save (cr);
  cairo_rectangle (cr, 0, y_px, scale->width_px, height_px);
  cairo_clip (cr);
  for (double x_px = -height_px; x_px < scale->width_px; x_px += 8 * pen->unit_px)
    {
      cairo_move_to (cr, x_px, scale->bottom_px);
      cairo_line_to (cr, x_px + height_px, y_px);
    }
  rake_pen_line (pen, pen->palette->verdict[RAKE_VERDICT_STOP], 0.55, 0.8);
  cairo_stroke (cr);
  cairo_restore (cr);
  cairo_move_to (cr, 0, y_px);
  cairo_line_to (cr, scale->width_px, y_px);
  rake_pen_line (pen, pen->palette->verdict[RAKE_VERDICT_STOP], 1, 1.6);
  cairo_stroke (cr);
}

/* The line under the last coat, where coats do not fuse: long dashes, as a contour on the map. */
static void
draw_last_coat (const RakePen *pen, const RakeFilmCut *cut, const RakeFilmScale *scale)
{
  double below_um = scale->now_um - cut->film->last_coat.mean;

  if (isfinite (below_um) && below_um > 0)
    draw_dotted (pen, scale, below_um, pen->palette->verdict[RAKE_VERDICT_REPAIR], 1, 9, 4);
}

/* One dotted line a pass until level enough, then one where all stages to come would end. */
static void
draw_planned (const RakePen *pen, const RakeFilmCut *cut, const RakeFilmScale *scale)
{
  double pass_um = cut->film->next_pass.mean, to_come_um = cut->film->to_come.mean;
  const RakeForecast *forecast = cut->forecast;
  double level_um = 0;

  if (forecast != NULL && forecast->standing == RAKE_FORECAST_SAYS && pass_um > 0)
    for (double pass = 1; pass <= MIN (ceil (forecast->passes), 12); pass++)
      {
        level_um = pass * pass_um;
        if (level_um < scale->now_um)
          draw_dotted (pen, scale, scale->now_um - level_um, pen->palette->ink, 0.75, 3, 4);
      }
  if (to_come_um > 0 && level_um + to_come_um < scale->now_um)
    draw_dotted (pen, scale, scale->now_um - level_um - to_come_um, pen->palette->lamp, 1, 1.5, 3);
}

static void
draw_ground (const RakePen *pen, const RakeFilmScale *scale)
{
  rake_pen_colour (pen, pen->palette->wood_shadow, 1);
  cairo_rectangle (pen->cr, 0, scale->bottom_px, scale->width_px,
                   scale->height_px - scale->bottom_px);
  cairo_fill (pen->cr);
  cairo_move_to (pen->cr, 0, scale->bottom_px);
  cairo_line_to (pen->cr, scale->width_px, scale->bottom_px);
  rake_pen_line (pen, pen->palette->ink, 0.8, 1);
  cairo_stroke (pen->cr);
}

void
rake_film_cut_draw (cairo_t *cr, const RakeFilmCut *cut)
{
  RakeFilmScale scale;
  RakePen pen;

  if (!rake_film_scale_init (&scale, cut))
    return;
  cairo_save (cr);
  cairo_rectangle (cr, 0, 0, cut->width_px, cut->height_px);
  cairo_clip (cr);
  rake_pen_init_small (&pen, cr, cut->theme, cut->width_px, cut->height_px);
  pen.unit_px = 1;
  rake_pen_colour (&pen, pen.palette->card, 1);
  cairo_paint (cr);
  draw_taken (&pen, cut, &scale);
  draw_left (&pen, &scale);
  draw_reserve (&pen, &scale);
  draw_planned (&pen, cut, &scale);
  draw_last_coat (&pen, cut, &scale);
  draw_surface (&pen, &scale);
  draw_ground (&pen, &scale);
  rake_film_cut_write_words (&pen, cut, &scale);
  cairo_restore (cr);
}
