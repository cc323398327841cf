/* pass-chart.h - the share still glossy by pass, drawn small, with the line that is level enough.
 *
 * Assistive technology gets the numbers as one sentence. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/facts.h>

#define RAKE_TYPE_PASS_CHART (rake_pass_chart_get_type ())
G_DECLARE_FINAL_TYPE (RakePassChart, rake_pass_chart, RAKE, PASS_CHART, GtkWidget)

/* shares          RakeShareTold, as from rake_facts_take_shares(); only numbers are kept
 * limit_fraction  level enough, 0 to 1; NaN: no line
 * returns         whether there is anything to see: two or more known shares, or one after a pass */
gboolean rake_pass_chart_show (RakePassChart *self, const RakeZone *zone, GArray *shares,
                               double limit_fraction);
