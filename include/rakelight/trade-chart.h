/* trade-chart.h - the planner's schedules as points: film taken to the right, time upwards, and in
 * each point its number of grits. What is recommended is filled; what is chosen is ringed.
 *
 * The further down and left, the better; schedules with the same number of grits are joined by a line,
 * so that the eye follows what one grit more would buy. */
#pragma once
#include <cairo.h>
#include <rakelight/palette.h>
#include <rakelight/planner.h>

typedef struct
{
  RakeTheme theme;
  double width_px, height_px, text_px;
  const RakePlanning *planning;
  int chosen;               /* index of a plan, -1: none */
} RakeTradeChart;

void rake_trade_chart_draw (cairo_t *cr, const RakeTradeChart *chart);

/* Where a plan's point stands. */
void rake_trade_chart_get_place (const RakeTradeChart *chart, guint index, double *x_px, double *y_px);

/* The plan within @reach_px of a place, the nearest; -1: none. */
int rake_trade_chart_find (const RakeTradeChart *chart, double x_px, double y_px, double reach_px);
