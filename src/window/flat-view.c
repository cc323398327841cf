/* flat-view.c - something flat shown large, with knobs on it. */
#include "flat-view.h"

#include "theme.h"

#include <math.h>

#define MARGIN_PX 12.0
#define TAP_REACH_PX 8.0
#define ZOOM_STEP 1.25
#define PAN_STEP_PX 60.0
#define NEAREST_PX 24.0 /* of the widget for a unit of place, or the whole view where that is more */
#define LOUPE_REACH_PX 84.0
#define LOUPE_ABOVE_PX 130.0 /* the glass's middle over the finger's */
#define FURTHEST 0.5    /* of the scale that shows the whole */

typedef struct
{
  GtkWidget *widget;
  double x, y;
} Knob;

typedef enum
{
  HAND_AWAY,
  HAND_DOWN,
  HAND_LENT, /* to who asked for it */
  HAND_PANNING,
  HAND_SPENT,
} Hand;

typedef struct
{
  double scale, origin_x_px, origin_y_px;
  gboolean is_fitted;
  GArray *knobs;
  Hand hand;
  double start_x, start_y, last_x, last_y;
  double pinch_scale, pinch_x, pinch_y;
  double pointer_x, pointer_y;
  gboolean has_loupe;
  double loupe_x, loupe_y;
} RakeFlatViewPrivate;

enum
{
  SIGNAL_HAND_DOWN,
  SIGNAL_HAND_MOVE,
  SIGNAL_HAND_UP,
  SIGNAL_HAND_CANCELLED,
  SIGNAL_TAPPED,
  SIGNAL_HOVERED,
  SIGNAL_MOVED,
  N_SIGNALS,
};

static guint signals[N_SIGNALS];

G_DEFINE_ABSTRACT_TYPE_WITH_PRIVATE (RakeFlatView, rake_flat_view, GTK_TYPE_WIDGET)

static RakeFlatViewPrivate *
get_private (gpointer view)
{
  return rake_flat_view_get_instance_private (RAKE_FLAT_VIEW (view));
}

/* --- where things are ------------------------------------------------------------------------- */

static gboolean
find_whole (RakeFlatView *self, double *scale, graphene_rect_t *box)
{
  double width_px = gtk_widget_get_width (GTK_WIDGET (self)) - 2 * MARGIN_PX;
  double height_px = gtk_widget_get_height (GTK_WIDGET (self)) - 2 * MARGIN_PX;

  if (width_px < 1 || height_px < 1 || !RAKE_FLAT_VIEW_GET_CLASS (self)->get_box (self, box))
    return FALSE;
  *scale = MIN (width_px / (double) box->size.width, height_px / (double) box->size.height);
  return isfinite (*scale) && *scale > 0;
}

static void
moved (RakeFlatView *self)
{
  gtk_widget_queue_allocate (GTK_WIDGET (self));
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_signal_emit (self, signals[SIGNAL_MOVED], 0);
}

static void
show_whole (RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);
  graphene_rect_t box;

  if (!find_whole (self, &private->scale, &box))
    return;
  private->origin_x_px = gtk_widget_get_width (GTK_WIDGET (self)) / 2.0 -
                         (double) (box.origin.x + box.size.width / 2) * private->scale;
  private->origin_y_px = gtk_widget_get_height (GTK_WIDGET (self)) / 2.0 -
                         (double) (box.origin.y + box.size.height / 2) * private->scale;
}

void
rake_flat_view_fit (gpointer view)
{
  get_private (view)->is_fitted = TRUE;
  show_whole (view);
  moved (view);
}

double
rake_flat_view_get_scale (gpointer view)
{
  return get_private (view)->scale;
}

void
rake_flat_view_to_place (gpointer view, double x_px, double y_px, double *x, double *y)
{
  const RakeFlatViewPrivate *private = get_private (view);

  *x = (x_px - private->origin_x_px) / private->scale;
  *y = (y_px - private->origin_y_px) / private->scale;
}

void
rake_flat_view_to_px (gpointer view, double x, double y, double *x_px, double *y_px)
{
  const RakeFlatViewPrivate *private = get_private (view);

  *x_px = private->origin_x_px + x * private->scale;
  *y_px = private->origin_y_px + y * private->scale;
}

void
rake_flat_view_zoom_at (gpointer view, double factor, double x_px, double y_px)
{
  RakeFlatViewPrivate *private = get_private (view);
  graphene_rect_t box;
  double whole, x, y, scale;

  if (!isfinite (factor) || factor <= 0 || !find_whole (view, &whole, &box))
    return;
  rake_flat_view_to_place (view, x_px, y_px, &x, &y);
  scale = CLAMP (private->scale * factor, FURTHEST * whole, MAX (NEAREST_PX, whole));
  private->scale = scale;
  private->origin_x_px = x_px - x * scale;
  private->origin_y_px = y_px - y * scale;
  private->is_fitted = FALSE;
  moved (view);
}

void
rake_flat_view_zoom (gpointer view, double factor)
{
  rake_flat_view_zoom_at (view, factor, gtk_widget_get_width (view) / 2.0,
                          gtk_widget_get_height (view) / 2.0);
}

void
rake_flat_view_pan (gpointer view, double dx_px, double dy_px)
{
  RakeFlatViewPrivate *private = get_private (view);

  private->origin_x_px += dx_px;
  private->origin_y_px += dy_px;
  private->is_fitted = FALSE;
  moved (view);
}

/* --- knobs ------------------------------------------------------------------------------------ */

static Knob *
find_knob (RakeFlatViewPrivate *private, GtkWidget *widget)
{
  for (guint i = 0; i < private->knobs->len; i++)
    {
      Knob *knob = &g_array_index (private->knobs, Knob, i);
      if (knob->widget == widget)
        return knob;
    }
  return NULL;
}

void
rake_flat_view_put (gpointer view, GtkWidget *widget, double x, double y)
{
  RakeFlatViewPrivate *private = get_private (view);
  Knob *knob = find_knob (private, widget);
  const Knob fresh = { widget, x, y };

  if (knob && !(hypot (knob->x - x, knob->y - y) > 0))
    return;
  if (knob)
    {
      knob->x = x;
      knob->y = y;
    }
  else
    {
      g_array_append_val (private->knobs, fresh);
      gtk_widget_set_parent (widget, view);
    }
  gtk_widget_queue_allocate (view);
}

void
rake_flat_view_remove (gpointer view, GtkWidget *widget)
{
  RakeFlatViewPrivate *private = get_private (view);

  for (guint i = 0; i < private->knobs->len; i++)
    if (g_array_index (private->knobs, Knob, i).widget == widget)
      {
        g_array_remove_index (private->knobs, i);
        gtk_widget_unparent (widget);
        return;
      }
}

static void
place_knob (RakeFlatView *self, const Knob *knob)
{
  graphene_point_t corner;
  double x_px, y_px;
  int width, height;

  gtk_widget_measure (knob->widget, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &width, NULL, NULL);
  gtk_widget_measure (knob->widget, GTK_ORIENTATION_VERTICAL, width, NULL, &height, NULL, NULL);
  rake_flat_view_to_px (self, knob->x, knob->y, &x_px, &y_px);
  graphene_point_init (&corner, (float) (x_px - width / 2.0), (float) (y_px - height / 2.0));
  gtk_widget_allocate (knob->widget, width, height, -1, gsk_transform_translate (NULL, &corner));
}

/* --- the hand ---------------------------------------------------------------------------------- */

static void
emit_at (RakeFlatView *self, guint signal, double x_px, double y_px)
{
  double x = NAN, y = NAN;

  if (isfinite (x_px) && get_private (self)->scale > 0)
    rake_flat_view_to_place (self, x_px, y_px, &x, &y);
  g_signal_emit (self, signals[signal], 0, x, y);
}

static void
drag_began (GtkGestureDrag *gesture, double x, double y, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);
  gboolean is_asked_for = FALSE;
  double place_x, place_y;

  private->start_x = private->last_x = x;
  private->start_y = private->last_y = y;
  private->hand = HAND_SPENT;
  if (!(private->scale > 0))
    return;
  private->hand = HAND_DOWN;
  rake_flat_view_to_place (self, x, y, &place_x, &place_y);
  g_signal_emit (self, signals[SIGNAL_HAND_DOWN], 0, place_x, place_y, &is_asked_for);
  if (is_asked_for)
  private->hand = HAND_LENT;
  else if (!(gtk_widget_get_state_flags (GTK_WIDGET (self)) & GTK_STATE_FLAG_FOCUS_WITHIN))
      gtk_widget_grab_focus (GTK_WIDGET (self));
}

static void
drag_moved (GtkGestureDrag *gesture, double dx, double dy, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);
  double x = private->start_x + dx, y = private->start_y + dy;

  if (private->hand == HAND_DOWN && hypot (dx, dy) >= TAP_REACH_PX)
  private->hand = HAND_PANNING;
  if (private->hand == HAND_PANNING)
    rake_flat_view_pan (self, x - private->last_x, y - private->last_y);
  else if (private->hand == HAND_LENT)
    emit_at (self, SIGNAL_HAND_MOVE, x, y);
  else
    return;
  private->last_x = x;
  private->last_y = y;
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
}

static void
cancel_hand (RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);
  Hand hand = private->hand;

  private->hand = HAND_SPENT;
  if (hand == HAND_LENT)
    g_signal_emit (self, signals[SIGNAL_HAND_CANCELLED], 0);
}

static void
drag_ended (GtkGestureDrag *gesture, double dx, double dy, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);
  GdkEvent *event = gtk_event_controller_get_current_event (GTK_EVENT_CONTROLLER (gesture));
  Hand hand = private->hand;

  /* A second finger ends the drag of the first: that was the beginning of a pinch. */
  if (event && gdk_event_get_event_type (event) == GDK_TOUCH_BEGIN)
    {
      cancel_hand (self);
      return;
    }
  private->hand = HAND_AWAY;
  if (hand == HAND_DOWN)
    emit_at (self, SIGNAL_TAPPED, private->start_x, private->start_y);
  else if (hand == HAND_LENT)
    emit_at (self, SIGNAL_HAND_UP, private->start_x + dx, private->start_y + dy);
}

static void
drag_cancelled (GtkGesture *gesture, GdkEventSequence *sequence, RakeFlatView *self)
{
  cancel_hand (self);
}

static void
middle_began (GtkGestureDrag *gesture, double x, double y, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);

  private->last_x = private->last_y = 0;
}

static void
middle_moved (GtkGestureDrag *gesture, double dx, double dy, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);

  rake_flat_view_pan (self, dx - private->last_x, dy - private->last_y);
  private->last_x = dx;
  private->last_y = dy;
}

static void
pinch_began (GtkGesture *gesture, GdkEventSequence *sequence, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);

  cancel_hand (self);
  private->pinch_scale = 1;
  gtk_gesture_get_bounding_box_center (gesture, &private->pinch_x, &private->pinch_y);
  gtk_gesture_set_state (gesture, GTK_EVENT_SEQUENCE_CLAIMED);
}

static void
pinch_moved (GtkGestureZoom *gesture, double scale, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);
  double x = private->pinch_x, y = private->pinch_y;

  gtk_gesture_get_bounding_box_center (GTK_GESTURE (gesture), &x, &y);
  if (!isfinite (scale) || scale <= 0)
    return;
  rake_flat_view_pan (self, x - private->pinch_x, y - private->pinch_y);
  rake_flat_view_zoom_at (self, scale / private->pinch_scale, x, y);
  private->pinch_scale = scale;
  private->pinch_x = x;
  private->pinch_y = y;
}

static gboolean
scrolled (GtkEventControllerScroll *controller, double dx, double dy, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);
  GdkModifierType state =
      gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (controller));
  gboolean is_touchpad =
      gtk_event_controller_scroll_get_unit (controller) == GDK_SCROLL_UNIT_SURFACE;

  if (is_touchpad && !(state & GDK_CONTROL_MASK))
    rake_flat_view_pan (self, -dx, -dy);
  else
    rake_flat_view_zoom_at (self, pow (ZOOM_STEP, is_touchpad ? -dy / 40 : -dy), private->pointer_x,
                            private->pointer_y);
  return GDK_EVENT_STOP;
}

static void
pointer_moved (GtkEventControllerMotion *controller, double x, double y, RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);

  private->pointer_x = x;
  private->pointer_y = y;
  emit_at (self, SIGNAL_HOVERED, x, y);
}

static void
pointer_left (GtkEventControllerMotion *controller, RakeFlatView *self)
{
  emit_at (self, SIGNAL_HOVERED, NAN, NAN);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
             RakeFlatView *self)
{
  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return FALSE;
  switch (key)
    {
    case GDK_KEY_plus:
    case GDK_KEY_equal:
    case GDK_KEY_KP_Add:
      rake_flat_view_zoom (self, ZOOM_STEP);
      return TRUE;
    case GDK_KEY_minus:
    case GDK_KEY_KP_Subtract:
      rake_flat_view_zoom (self, 1 / ZOOM_STEP);
      return TRUE;
    case GDK_KEY_0:
    case GDK_KEY_KP_0:
      rake_flat_view_fit (self);
      return TRUE;
    case GDK_KEY_Left:
      rake_flat_view_pan (self, PAN_STEP_PX, 0);
      return TRUE;
    case GDK_KEY_Right:
      rake_flat_view_pan (self, -PAN_STEP_PX, 0);
      return TRUE;
    case GDK_KEY_Up:
      rake_flat_view_pan (self, 0, PAN_STEP_PX);
      return TRUE;
    case GDK_KEY_Down:
      rake_flat_view_pan (self, 0, -PAN_STEP_PX);
      return TRUE;
    default:
      return FALSE;
    }
}

/* --- the loupe --------------------------------------------------------------------------------- */

void
rake_flat_view_show_loupe (gpointer view, double x, double y)
{
  RakeFlatViewPrivate *private = get_private (view);

  private->has_loupe = TRUE;
  private->loupe_x = x;
  private->loupe_y = y;
  gtk_widget_queue_draw (view);
}

void
rake_flat_view_hide_loupe (gpointer view)
{
  get_private (view)->has_loupe = FALSE;
  gtk_widget_queue_draw (view);
}

/* Above the place; where there is no room, beside it. */
static void
find_room_for_loupe (RakeFlatView *self, double *x_px, double *y_px)
{
  RakeFlatViewPrivate *private = get_private (self);
  double width = gtk_widget_get_width (GTK_WIDGET (self)), place_x, place_y;

  rake_flat_view_to_px (self, private->loupe_x, private->loupe_y, &place_x, &place_y);
  *x_px = CLAMP (place_x, LOUPE_REACH_PX, MAX (LOUPE_REACH_PX, width - LOUPE_REACH_PX));
  *y_px = place_y - LOUPE_ABOVE_PX;
  if (*y_px >= LOUPE_REACH_PX)
    return;
  *y_px = LOUPE_REACH_PX;
  *x_px = place_x + (place_x < width / 2 ? LOUPE_ABOVE_PX : -LOUPE_ABOVE_PX);
}

/* Light on dark, open in the middle. */
static void
draw_hairs (cairo_t *cr)
{
  for (int arm = 0; arm < 4; arm++)
    {
      double x = cos (arm * G_PI / 2), y = sin (arm * G_PI / 2);

      cairo_move_to (cr, 5 * x, 5 * y);
      cairo_line_to (cr, 0.75 * LOUPE_REACH_PX * x, 0.75 * LOUPE_REACH_PX * y);
    }
  cairo_set_source_rgba (cr, 0, 0, 0, 0.7);
  cairo_set_line_width (cr, 3);
  cairo_stroke_preserve (cr);
  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
}

static void
append_loupe (RakeFlatView *self, GtkSnapshot *snapshot)
{
  RakeFlatViewPrivate *private = get_private (self);
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  graphene_rect_t box;
  double x, y;
  cairo_t *cr;

  find_room_for_loupe (self, &x, &y);
  graphene_rect_init (&box, (float) (x - LOUPE_REACH_PX - 3), (float) (y - LOUPE_REACH_PX - 3),
                      (float) (2 * LOUPE_REACH_PX + 6), (float) (2 * LOUPE_REACH_PX + 6));
  graphene_rect_round_extents (&box, &box);
  cr = gtk_snapshot_append_cairo (snapshot, &box);
  cairo_translate (cr, x, y);
  cairo_arc (cr, 0, 0, LOUPE_REACH_PX, 0, 2 * G_PI);
  cairo_set_source_rgb (cr, palette->ground.red, palette->ground.green, palette->ground.blue);
  cairo_fill_preserve (cr);
  cairo_save (cr);
  cairo_clip (cr);
  RAKE_FLAT_VIEW_GET_CLASS (self)->paint_loupe (self, cr, private->loupe_x, private->loupe_y,
                                                LOUPE_REACH_PX);
  cairo_restore (cr);
  draw_hairs (cr);
  cairo_arc (cr, 0, 0, LOUPE_REACH_PX, 0, 2 * G_PI);
  cairo_set_source_rgb (cr, palette->lamp_fill.red, palette->lamp_fill.green,
                        palette->lamp_fill.blue);
  cairo_set_line_width (cr, 2.5);
  cairo_stroke (cr);
  cairo_destroy (cr);
}

/* --- focus ------------------------------------------------------------------------------------ */

static gboolean
focus_knob (RakeFlatViewPrivate *private, int index, int step)
{
  for (; index >= 0 && index < (int) private->knobs->len; index += step)
    if (gtk_widget_grab_focus (g_array_index (private->knobs, Knob, index).widget))
      return TRUE;
  return FALSE;
}

/* Tab goes to the view itself, then from knob to knob in the order in which they were put. */
static gboolean
rake_flat_view_focus (GtkWidget *widget, GtkDirectionType direction)
{
  RakeFlatViewPrivate *private = get_private (widget);
  GtkWidget *within = gtk_widget_get_focus_child (widget);
  int last = (int) private->knobs->len - 1, at = -1;

  if (direction != GTK_DIR_TAB_FORWARD && direction != GTK_DIR_TAB_BACKWARD)
    return FALSE;
  for (int i = 0; within && i <= last; i++)
    if (g_array_index (private->knobs, Knob, i).widget == within)
      at = i;
  if (direction == GTK_DIR_TAB_FORWARD)
    return within || gtk_widget_has_focus (widget) ? focus_knob (private, at + 1, 1)
                                                   : gtk_widget_grab_focus (widget);
  if (gtk_widget_has_focus (widget))
    return FALSE;
  return focus_knob (private, within ? at - 1 : last, -1) || gtk_widget_grab_focus (widget);
}

/* --- class ------------------------------------------------------------------------------------- */

static void
rake_flat_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  RakeFlatView *self = RAKE_FLAT_VIEW (widget);
  RakeFlatViewPrivate *private = get_private (self);

  if (private->is_fitted)
    show_whole (self);
  for (guint i = 0; i < private->knobs->len; i++)
    {
      const Knob *knob = &g_array_index (private->knobs, Knob, i);
      if (gtk_widget_should_layout (knob->widget))
        place_knob (self, knob);
    }
}

static void
rake_flat_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                        int *natural, int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 200 : 160;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 480 : 360;
}

static void
rake_flat_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakeFlatView *self = RAKE_FLAT_VIEW (widget);
  RakeFlatViewPrivate *private = get_private (self);
  RakeFlatViewClass *klass = RAKE_FLAT_VIEW_GET_CLASS (self);

  if (private->scale > 0)
    klass->paint (self, snapshot);
  for (guint i = 0; i < private->knobs->len; i++)
    gtk_widget_snapshot_child (widget, g_array_index (private->knobs, Knob, i).widget, snapshot);
  if (private->scale > 0 && private->has_loupe && klass->paint_loupe)
    append_loupe (self, snapshot);
}

static void
rake_flat_view_dispose (GObject *object)
{
  RakeFlatViewPrivate *private = get_private (object);

  while (private->knobs && private->knobs->len > 0)
    rake_flat_view_remove (object, g_array_index (private->knobs, Knob, 0).widget);
  g_clear_pointer (&private->knobs, g_array_unref);
  G_OBJECT_CLASS (rake_flat_view_parent_class)->dispose (object);
}

static guint
new_signal (RakeFlatViewClass *klass, const char *name, guint n_numbers)
{
  return g_signal_new (name, G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                       G_TYPE_NONE, n_numbers, G_TYPE_DOUBLE, G_TYPE_DOUBLE);
}

static void
rake_flat_view_class_init (RakeFlatViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_flat_view_dispose;
  widget_class->size_allocate = rake_flat_view_size_allocate;
  widget_class->measure = rake_flat_view_measure;
  widget_class->snapshot = rake_flat_view_snapshot;
  widget_class->focus = rake_flat_view_focus;
  gtk_widget_class_set_css_name (widget_class, "flatview");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  signals[SIGNAL_HAND_DOWN] =
      g_signal_new ("hand-down", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                    g_signal_accumulator_true_handled, NULL, NULL, G_TYPE_BOOLEAN, 2, G_TYPE_DOUBLE,
                    G_TYPE_DOUBLE);
  signals[SIGNAL_HAND_MOVE] = new_signal (klass, "hand-move", 2);
  signals[SIGNAL_HAND_UP] = new_signal (klass, "hand-up", 2);
  signals[SIGNAL_HAND_CANCELLED] = new_signal (klass, "hand-cancelled", 0);
  signals[SIGNAL_TAPPED] = new_signal (klass, "tapped", 2);
  signals[SIGNAL_HOVERED] = new_signal (klass, "hovered", 2);
  signals[SIGNAL_MOVED] = new_signal (klass, "moved", 0);
}

static GtkGesture *
add_drag (RakeFlatView *self, guint button)
{
  GtkGesture *drag = gtk_gesture_drag_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (drag), button);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  return drag;
}

static void
add_gestures (RakeFlatView *self)
{
  GtkGesture *drag = add_drag (self, GDK_BUTTON_PRIMARY);
  GtkGesture *middle = add_drag (self, GDK_BUTTON_MIDDLE);
  GtkGesture *pinch = gtk_gesture_zoom_new ();
  GtkEventController *scroll =
      gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);
  GtkEventController *motion = gtk_event_controller_motion_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  g_signal_connect (drag, "drag-begin", G_CALLBACK (drag_began), self);
  g_signal_connect (drag, "drag-update", G_CALLBACK (drag_moved), self);
  g_signal_connect (drag, "drag-end", G_CALLBACK (drag_ended), self);
  g_signal_connect (drag, "cancel", G_CALLBACK (drag_cancelled), self);
  g_signal_connect (middle, "drag-begin", G_CALLBACK (middle_began), self);
  g_signal_connect (middle, "drag-update", G_CALLBACK (middle_moved), self);
  g_signal_connect (pinch, "begin", G_CALLBACK (pinch_began), self);
  g_signal_connect (pinch, "scale-changed", G_CALLBACK (pinch_moved), self);
  g_signal_connect (scroll, "scroll", G_CALLBACK (scrolled), self);
  g_signal_connect (motion, "motion", G_CALLBACK (pointer_moved), self);
  g_signal_connect (motion, "leave", G_CALLBACK (pointer_left), self);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (pinch));
  gtk_widget_add_controller (GTK_WIDGET (self), scroll);
  gtk_widget_add_controller (GTK_WIDGET (self), motion);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

static void
rake_flat_view_init (RakeFlatView *self)
{
  RakeFlatViewPrivate *private = get_private (self);

  private->knobs = g_array_new (FALSE, FALSE, sizeof (Knob));
  private->is_fitted = TRUE;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  add_gestures (self);
}
