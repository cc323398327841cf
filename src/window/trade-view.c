/* trade-view.c - the planner's trade chart as a widget. */
#include "trade-view.h"
#include "theme.h"

#include <adwaita.h>

#include "words.h"

#define WIDTH_PX 280
#define HEIGHT_PX 260
#define REACH_PX 30 /* a finger's */

struct _RakeTradeView
{
  GtkWidget parent_instance;

  const RakePlanning *planning;
  int chosen;
};

static guint chosen_signal;

G_DEFINE_FINAL_TYPE (RakeTradeView, rake_trade_view, GTK_TYPE_WIDGET)

static double
get_text_px (GtkWidget *widget)
{
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (widget, "0");
  int height_px;

  pango_layout_get_pixel_size (layout, NULL, &height_px);
  return 0.68 * height_px;
}

static RakeTradeChart
get_chart (RakeTradeView *self)
{
  GtkWidget *widget = GTK_WIDGET (self);

  return (RakeTradeChart){ .theme = rake_theme_now (),
                           .width_px = gtk_widget_get_width (widget),
                           .height_px = gtk_widget_get_height (widget),
                           .text_px = get_text_px (widget),
                           .planning = self->planning,
                           .chosen = self->chosen };
}

static void
rake_trade_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakeTradeView *self = RAKE_TRADE_VIEW (widget);
  RakeTradeChart chart = get_chart (self);
  cairo_t *cr;

  if (!self->planning)
    return;
  cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) chart.width_px, (float) chart.height_px));
  rake_trade_chart_draw (cr, &chart);
  cairo_destroy (cr);
}

static void
rake_trade_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size_px,
                         int *minimum_px, int *natural_px, int *minimum_baseline,
                         int *natural_baseline)
{
  *minimum_px = *natural_px = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH_PX : HEIGHT_PX;
}

static void
on_tap (GtkGestureClick *click, int n_press, double x_px, double y_px, RakeTradeView *self)
{
  RakeTradeChart chart = get_chart (self);
  int index = self->planning ? rake_trade_chart_find (&chart, x_px, y_px, REACH_PX) : -1;

  if (index >= 0)
    g_signal_emit (self, chosen_signal, 0, (guint) index);
}

void
rake_trade_view_show (RakeTradeView *self, const RakePlanning *planning, int chosen)
{
  guint n_plans = planning ? planning->plans->len : 0;
  g_autofree char *words = g_strdup_printf (
      ngettext ("%u schedule by film taken and time; the list beside it says the same",
                "%u schedules by film taken and time; the list beside it says the same", n_plans),
      n_plans);

  self->planning = planning;
  self->chosen = chosen;
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, words, -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
rake_trade_view_class_init (RakeTradeViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  widget_class->snapshot = rake_trade_view_snapshot;
  widget_class->measure = rake_trade_view_measure;
  chosen_signal = g_signal_new ("chosen", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  gtk_widget_class_set_css_name (widget_class, "tradeview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
rake_trade_view_init (RakeTradeView *self)
{
  GtkGesture *click = gtk_gesture_click_new ();

  self->chosen = -1;
  g_signal_connect (click, "released", G_CALLBACK (on_tap), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (gtk_widget_queue_draw), self, G_CONNECT_SWAPPED);
}
