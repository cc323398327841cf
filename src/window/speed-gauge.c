/* speed-gauge.c - the surface speed of a wheel on a scale. */
#include "speed-gauge.h"
#include "theme.h"

#include <adwaita.h>
#include <math.h>

#define WIDTH_PX 160
#define HEIGHT_PX 34
#define BAR_PX 10.0
#define SIDE_PX 8.0

struct _RakeSpeedGauge
{
  GtkWidget parent_instance;

  double speed_m_per_s;
  RakeSpeedRange range;
};

G_DEFINE_FINAL_TYPE (RakeSpeedGauge, rake_speed_gauge, GTK_TYPE_WIDGET)

static void
set_source (cairo_t *cr, RakeColour colour)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha);
}

static double
get_x (RakeSpeedGauge *self, double width_px, double speed_m_per_s)
{
  double most = 1.25 * MAX (self->range.most_m_per_s, self->speed_m_per_s);

  return SIDE_PX + (width_px - 2 * SIDE_PX) * speed_m_per_s / most;
}

/* The needle is a wedge over the bar; the range is a filled part with an upright at either end, so it is
 * seen without its colour. */
static void
draw (RakeSpeedGauge *self, cairo_t *cr, double width_px, double height_px)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  double top_px = height_px - BAR_PX - 4, x_px = get_x (self, width_px, self->speed_m_per_s);
  double least_px = get_x (self, width_px, self->range.least_m_per_s);
  double most_px = get_x (self, width_px, self->range.most_m_per_s);
  gboolean is_within = self->speed_m_per_s >= self->range.least_m_per_s &&
                       self->speed_m_per_s <= self->range.most_m_per_s;

  set_source (cr, palette->line);
  cairo_rectangle (cr, SIDE_PX, top_px, width_px - 2 * SIDE_PX, BAR_PX);
  cairo_fill (cr);
  set_source (cr, palette->verdict[RAKE_VERDICT_READY]);
  cairo_rectangle (cr, least_px, top_px, most_px - least_px, BAR_PX);
  cairo_fill (cr);
  set_source (cr, palette->ink);
  cairo_rectangle (cr, least_px - 1, top_px - 3, 2, BAR_PX + 6);
  cairo_rectangle (cr, most_px - 1, top_px - 3, 2, BAR_PX + 6);
  cairo_fill (cr);
  set_source (cr, palette->verdict[is_within ? RAKE_VERDICT_READY : RAKE_VERDICT_STOP]);
  cairo_move_to (cr, x_px, top_px - 1);
  cairo_line_to (cr, x_px - 6, top_px - 13);
  cairo_line_to (cr, x_px + 6, top_px - 13);
  cairo_close_path (cr);
  cairo_fill (cr);
}

static void
rake_speed_gauge_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  double width_px = gtk_widget_get_width (widget), height_px = gtk_widget_get_height (widget);
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width_px, (float) height_px));

  draw (RAKE_SPEED_GAUGE (widget), cr, width_px, height_px);
  cairo_destroy (cr);
}

static void
rake_speed_gauge_measure (GtkWidget *widget, GtkOrientation orientation, int for_size_px,
                          int *minimum_px, int *natural_px, int *minimum_baseline,
                          int *natural_baseline)
{
  *minimum_px = *natural_px = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH_PX : HEIGHT_PX;
}

GtkWidget *
rake_speed_gauge_new (double speed_m_per_s, RakeSpeedRange range, const char *words)
{
  RakeSpeedGauge *self = g_object_new (RAKE_TYPE_SPEED_GAUGE, NULL);

  self->speed_m_per_s = speed_m_per_s;
  self->range = range;
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, words, -1);
  return GTK_WIDGET (self);
}

static void
rake_speed_gauge_class_init (RakeSpeedGaugeClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  widget_class->snapshot = rake_speed_gauge_snapshot;
  widget_class->measure = rake_speed_gauge_measure;
  gtk_widget_class_set_css_name (widget_class, "speedgauge");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
rake_speed_gauge_init (RakeSpeedGauge *self)
{
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (gtk_widget_queue_draw), self, G_CONNECT_SWAPPED);
}
