/* flat-view.h - something flat shown large: it is moved, brought nearer, and has knobs put on it.
 *
 * What is shown has places of its own: a photograph its upright pixels, a face its millimetres. The
 * wheel, two fingers, + and − bring it nearer or further away, 0 shows it whole; a drag, two fingers,
 * the middle button and the arrows move it. Nothing happens on the press that a second finger could
 * turn into a pinch, unless somebody asks for the drag.
 *
 * Signals, places in the view's own units:
 *   "hand-down" (x, y) → gboolean   TRUE: the drag that begins here is the handler's
 *   "hand-move" (x, y)              of such a drag
 *   "hand-up" (x, y)                its end
 *   "hand-cancelled"                its end, as if it had not been
 *   "tapped" (x, y)                 a press that nobody asked for, let go where it was
 *   "hovered" (x, y)                NaN, NaN: the pointer is away
 *   "moved"                         another part is in view */
#pragma once
#include <gtk/gtk.h>

#define RAKE_TYPE_FLAT_VIEW (rake_flat_view_get_type ())
G_DECLARE_DERIVABLE_TYPE (RakeFlatView, rake_flat_view, RAKE, FLAT_VIEW, GtkWidget)

struct _RakeFlatViewClass
{
  GtkWidgetClass parent_class;

  /* The box that is shown whole at first. FALSE: there is nothing. */
  gboolean (*get_box) (RakeFlatView *self, graphene_rect_t *box);

  /* Draws what is under the knobs, in the widget's pixels. */
  void (*paint) (RakeFlatView *self, GtkSnapshot *snapshot);

  /* Draws what lies around a place for the loupe, the place at 0, 0, as far as @reach_px; may be
   * NULL. Clipped for you. */
  void (*paint_loupe) (RakeFlatView *self, cairo_t *cr, double x, double y, double reach_px);
};

/* Shows the whole, and goes on doing so at every size until it is moved. */
void rake_flat_view_fit (gpointer view);
void rake_flat_view_zoom (gpointer view, double factor);
void rake_flat_view_zoom_at (gpointer view, double factor, double x_px, double y_px);
void rake_flat_view_pan (gpointer view, double dx_px, double dy_px);

/* Pixels of the widget for one unit of place. */
double rake_flat_view_get_scale (gpointer view);
void rake_flat_view_to_place (gpointer view, double x_px, double y_px, double *x, double *y);
void rake_flat_view_to_px (gpointer view, double x, double y, double *x_px, double *y_px);

/* @knob becomes a child whose middle lies at x, y; it keeps its natural size whatever the scale. */
void rake_flat_view_put (gpointer view, GtkWidget *knob, double x, double y);
void rake_flat_view_remove (gpointer view, GtkWidget *knob);

/* A round glass above the place, so that the finger on it hides nothing; until it is taken away. */
void rake_flat_view_show_loupe (gpointer view, double x, double y);
void rake_flat_view_hide_loupe (gpointer view);
