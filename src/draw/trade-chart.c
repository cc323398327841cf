/* trade-chart.c - see trade-chart.h. */
#include <rakelight/trade-chart.h>

#include "words.h"

#include <rakelight/units.h>

#include <math.h>

#define DOT_EM 0.95
#define MOST_TICKS 6

static const RakeColour on_lamp = { 0.149, 0.129, 0.110, 1 };

/* The frame of the chart, and what its sides stand for. */
typedef struct
{
  double left_px, right_px, top_px, bottom_px;
  double least_um, most_um, least_min, most_min;
} Frame;

static void
widen (double *least, double *most)
{
  double span = *most - *least, room = span > 0 ? 0.12 * span : MAX (0.1 * fabs (*most), 1);

  *least = MAX (*least - room, 0);
  *most += room;
}

static Frame
get_frame (const RakeTradeChart *chart)
{
  const GPtrArray *plans = chart->planning->plans;
  Frame frame = { .left_px = 3.6 * chart->text_px,
                  .right_px = chart->width_px - chart->text_px,
                  .top_px = 1.9 * chart->text_px,
                  .bottom_px = chart->height_px - 2.9 * chart->text_px,
                  .least_um = INFINITY,
                  .most_um = -INFINITY,
                  .least_min = INFINITY,
                  .most_min = -INFINITY };

  for (guint i = 0; i < plans->len; i++)
    {
      const RakePlan *plan = plans->pdata[i];

      frame.least_um = MIN (frame.least_um, plan->film_um);
      frame.most_um = MAX (frame.most_um, plan->film_um);
      frame.least_min = MIN (frame.least_min, plan->minutes);
      frame.most_min = MAX (frame.most_min, plan->minutes);
    }
  widen (&frame.least_um, &frame.most_um);
  widen (&frame.least_min, &frame.most_min);
  return frame;
}

static double
get_x (const Frame *frame, double film_um)
{
  return frame->left_px + (film_um - frame->least_um) / (frame->most_um - frame->least_um) *
                              (frame->right_px - frame->left_px);
}

static double
get_y (const Frame *frame, double minutes)
{
  return frame->bottom_px - (minutes - frame->least_min) / (frame->most_min - frame->least_min) *
                                (frame->bottom_px - frame->top_px);
}

/* --- axes --------------------------------------------------------------------------------------- */

static double
choose_step (double span)
{
  double wanted = span / MOST_TICKS, power = pow (10, floor (log10 (wanted)));

  return power * (wanted <= power ? 1 : wanted <= 2 * power ? 2 : wanted <= 5 * power ? 5 : 10);
}

static void
write_at (cairo_t *cr, const RakeTradeChart *chart, const char *text, double x_px, double y_px,
          double align, RakeColour colour)
{
  g_autoptr (PangoLayout) layout = rake_words_new (cr, text, chart->text_px, FALSE);
  double width_px, height_px;

  rake_words_get_size (layout, &width_px, &height_px);
  x_px = CLAMP (x_px - align * width_px, 0, MAX (chart->width_px - width_px, 0));
  rake_words_write (cr, layout, x_px, y_px, colour);
}

static void
set_line (cairo_t *cr, RakeColour colour)
{
  cairo_set_source_rgb (cr, colour.red, colour.green, colour.blue);
  cairo_set_line_width (cr, 1);
}

static void
draw_line (cairo_t *cr, double x0, double y0, double x1, double y1)
{
  cairo_move_to (cr, x0, y0);
  cairo_line_to (cr, x1, y1);
  cairo_stroke (cr);
}

static void
draw_film_axis (cairo_t *cr, const RakeTradeChart *chart, const Frame *frame)
{
  const RakePalette *palette = rake_palette_get (chart->theme);
  double unit_um = rake_units_get ().film_in_mil ? 25.4 : 1;
  double step_um = unit_um * choose_step ((frame->most_um - frame->least_um) / unit_um);
  g_autofree char *name =
      g_strdup_printf (_ ("film taken, %s"), rake_units_get_sign (RAKE_MEASURE_FILM));

  for (double um = ceil (frame->least_um / step_um) * step_um; um <= frame->most_um; um += step_um)
    {
      g_autofree char *number = rake_units_to_number (RAKE_MEASURE_FILM, um);
      double x_px = floor (get_x (frame, um)) + 0.5;

      set_line (cr, palette->line);
      draw_line (cr, x_px, frame->top_px, x_px, frame->bottom_px);
      write_at (cr, chart, number, x_px, frame->bottom_px + 3, 0.5, palette->soft_ink);
    }
  write_at (cr, chart, name, frame->right_px, frame->bottom_px + 1.4 * chart->text_px, 1,
            palette->soft_ink);
}

static void
draw_time_axis (cairo_t *cr, const RakeTradeChart *chart, const Frame *frame)
{
  const RakePalette *palette = rake_palette_get (chart->theme);
  double step_min = choose_step (frame->most_min - frame->least_min);

  for (double min = ceil (frame->least_min / step_min) * step_min; min <= frame->most_min;
       min += step_min)
    {
      g_autofree char *number = g_strdup_printf ("%.0f", min);
      double y_px = floor (get_y (frame, min)) + 0.5;

      set_line (cr, palette->line);
      draw_line (cr, frame->left_px, y_px, frame->right_px, y_px);
      write_at (cr, chart, number, frame->left_px - 5, y_px - 0.65 * chart->text_px, 1,
                palette->soft_ink);
    }
  write_at (cr, chart, _ ("minutes"), 0.6 * chart->text_px, 0.3 * chart->text_px, 0,
            palette->soft_ink);
}

/* --- plans --------------------------------------------------------------------------------------- */

static void
draw_joins (cairo_t *cr, const RakeTradeChart *chart, const Frame *frame)
{
  const GPtrArray *plans = chart->planning->plans;

  for (guint i = 1; i < plans->len; i++)
    {
      const RakePlan *before = plans->pdata[i - 1], *plan = plans->pdata[i];

      if (before->steps->len != plan->steps->len)
        continue;
      set_line (cr, rake_palette_get (chart->theme)->soft_ink);
      draw_line (cr, get_x (frame, before->film_um), get_y (frame, before->minutes),
                 get_x (frame, plan->film_um), get_y (frame, plan->minutes));
    }
}

static void
draw_plan (cairo_t *cr, const RakeTradeChart *chart, const Frame *frame, guint index)
{
  const RakePalette *palette = rake_palette_get (chart->theme);
  const RakePlan *plan = chart->planning->plans->pdata[index];
  gboolean is_recommended = index == chart->planning->recommended;
  double x_px = get_x (frame, plan->film_um), y_px = get_y (frame, plan->minutes);
  double radius_px = DOT_EM * chart->text_px;
  RakeColour body = is_recommended ? palette->lamp_fill : palette->card;
  g_autofree char *number = g_strdup_printf ("%u", plan->steps->len);
  g_autoptr (PangoLayout) layout = rake_words_new (cr, number, chart->text_px, TRUE);
  double width_px, height_px;

  /* Words leave a point behind, from which the circle would be joined by a line. */
  cairo_new_path (cr);
  cairo_arc (cr, x_px, y_px, radius_px, 0, 2 * G_PI);
  cairo_set_source_rgb (cr, body.red, body.green, body.blue);
  cairo_fill_preserve (cr);
  set_line (cr, is_recommended ? palette->lamp_fill : palette->ink);
  cairo_stroke (cr);
  if ((int) index == chart->chosen)
    {
      cairo_arc (cr, x_px, y_px, radius_px + 4, 0, 2 * G_PI);
      set_line (cr, palette->ink);
      cairo_set_line_width (cr, 2);
      cairo_stroke (cr);
    }
  rake_words_get_size (layout, &width_px, &height_px);
  rake_words_write (cr, layout, x_px - width_px / 2, y_px - height_px / 2,
                    is_recommended ? on_lamp : palette->ink);
}

void
rake_trade_chart_draw (cairo_t *cr, const RakeTradeChart *chart)
{
  Frame frame = get_frame (chart);

  if (chart->planning->plans->len == 0 || !(frame.right_px > frame.left_px) ||
      !(frame.bottom_px > frame.top_px))
    return;
  cairo_save (cr);
  draw_film_axis (cr, chart, &frame);
  draw_time_axis (cr, chart, &frame);
  draw_joins (cr, chart, &frame);
  for (guint i = chart->planning->plans->len; i-- > 0;)
    if ((int) i != chart->chosen)
      draw_plan (cr, chart, &frame, i);
  if (chart->chosen >= 0 && (guint) chart->chosen < chart->planning->plans->len)
    draw_plan (cr, chart, &frame, (guint) chart->chosen);
  cairo_restore (cr);
}

void
rake_trade_chart_get_place (const RakeTradeChart *chart, guint index, double *x_px, double *y_px)
{
  Frame frame = get_frame (chart);
  const RakePlan *plan = chart->planning->plans->pdata[index];

  *x_px = get_x (&frame, plan->film_um);
  *y_px = get_y (&frame, plan->minutes);
}

int
rake_trade_chart_find (const RakeTradeChart *chart, double x_px, double y_px, double reach_px)
{
  int found = -1;

  for (guint i = 0; i < chart->planning->plans->len; i++)
    {
      double at_x_px, at_y_px, away_px;

      rake_trade_chart_get_place (chart, i, &at_x_px, &at_y_px);
      away_px = hypot (at_x_px - x_px, at_y_px - y_px);
      if (away_px > reach_px)
        continue;
      reach_px = away_px;
      found = (int) i;
    }
  return found;
}
