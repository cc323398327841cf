/* trade-view.h - the planner's trade chart as a widget: a tap on a point chooses that schedule.
 *
 * The same schedules stand beside it as a list, which is what the keyboard and assistive technology
 * use; to them the chart is a picture with one sentence.
 *
 * Signal "chosen" (guint index). */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/trade-chart.h>

#define RAKE_TYPE_TRADE_VIEW (rake_trade_view_get_type ())
G_DECLARE_FINAL_TYPE (RakeTradeView, rake_trade_view, RAKE, TRADE_VIEW, GtkWidget)

/* @planning is the caller's and must stay until another, or NULL, is shown. @chosen -1: none. */
void rake_trade_view_show (RakeTradeView *self, const RakePlanning *planning, int chosen);
