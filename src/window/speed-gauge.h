/* speed-gauge.h - the surface speed of a wheel on a scale, with the range that the finish bears. The
 * words beside it say the same. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/wheel.h>

#define RAKE_TYPE_SPEED_GAUGE (rake_speed_gauge_get_type ())
G_DECLARE_FINAL_TYPE (RakeSpeedGauge, rake_speed_gauge, RAKE, SPEED_GAUGE, GtkWidget)

GtkWidget *rake_speed_gauge_new (double speed_m_per_s, RakeSpeedRange range, const char *words);
