/* face-map-hand.c - pointer and fingers on the face map.
 *
 * One drag gesture takes in taps, marks, the lamp and panning, because only what happens after the
 * press tells them apart. Nothing is marked on the press: the first finger of a pinch presses too. */
#include "brush-bar.h"
#include "face-map-private.h"

#include <math.h>

#define ZOOM_STEP 1.25
#define CLOSEST_PX_PER_MM 60.0

/* Two points nearer than this say nothing new. */
#define POINT_GAP_PX 2.0

/* --- view ------------------------------------------------------------------------------------ */

void
rake_face_map_pan (RakeFaceMap *self, double dx, double dy)
{
  rake_face_map_hold_still (self, TRUE);
  self->view.origin_x_px += dx;
  self->view.origin_y_px += dy;
  rake_face_map_view_moved (self);
}

void
rake_face_map_zoom_at (RakeFaceMap *self, double factor, double x, double y)
{
  const RakeFace *face = self->session ? rake_session_get_face (self->session) : NULL;
  RakeMapView whole = self->view;

  if (!face || !isfinite (factor) || factor <= 0)
    return;
  rake_face_map_fit_view (&whole, face);
  factor = CLAMP (factor, 0.5 * whole.px_per_mm / self->view.px_per_mm,
                  MAX (CLOSEST_PX_PER_MM, whole.px_per_mm) / self->view.px_per_mm);
  rake_face_map_hold_still (self, TRUE);
  rake_map_view_zoom (&self->view, factor, x, y);
  rake_face_map_view_moved (self);
}

/* --- the lamp -------------------------------------------------------------------------------- */

void
rake_face_map_turn_lamp (RakeFaceMap *self, double lamp_deg)
{
  RakeBench bench = *rake_session_get_bench (self->session);

  /* A whole degree is finer than any lamp is held. */
  bench.lamp_deg = fmod (round (lamp_deg) + 720, 360);
  if (bench.lamp_deg != rake_session_get_bench (self->session)->lamp_deg)
    rake_session_set_bench (self->session, &bench);
}

static void
point_lamp_at (RakeFaceMap *self, double x, double y)
{
  rake_face_map_turn_lamp (
      self, rake_map_get_lamp_deg_at (&self->view, rake_session_get_face (self->session), x, y));
}

/* On the lamp itself, even over a zone; on the rest of its ring only where the ground is. */
static gboolean
is_at_lamp (RakeFaceMap *self, double x, double y)
{
  const RakeFace *face = rake_session_get_face (self->session);
  double lamp_x, lamp_y;

  if (!face)
    return FALSE;
  if (rake_map_get_lamp (&self->view, face, &lamp_x, &lamp_y) &&
      hypot (lamp_x - x, lamp_y - y) <= RAKE_LAMP_REACH_PX)
    return TRUE;
  return rake_map_is_on_ring (&self->view, face, x, y, RAKE_LAMP_REACH_PX) &&
         !rake_face_map_find_zone_at (self, x, y);
}

/* --- marks ----------------------------------------------------------------------------------- */

static gboolean
has_brush (RakeFaceMap *self)
{
  const RakeBench *bench = rake_session_get_bench (self->session);

  return bench->brush != RAKE_MARK_UNSAID || bench->brush_is_uniform;
}

static gboolean
is_drawn_as_line (RakeMarkKind kind)
{
  return kind == RAKE_MARK_SCRATCH || kind == RAKE_MARK_WITNESS_LINE;
}

void
rake_face_map_add_point (RakeFaceMap *self, double x_mm, double y_mm)
{
  guint n = self->points_mm->len;

  if (n >= 2 && hypot (g_array_index (self->points_mm, double, n - 2) - x_mm,
                       g_array_index (self->points_mm, double, n - 1) - y_mm) *
                        self->view.px_per_mm <
                    POINT_GAP_PX)
    return;
  g_array_append_val (self->points_mm, x_mm);
  g_array_append_val (self->points_mm, y_mm);
  g_clear_pointer (&self->preview, rake_shape_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_face_map_drop_points (RakeFaceMap *self)
{
  g_array_set_size (self->points_mm, 0);
  g_clear_pointer (&self->preview, rake_shape_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

const RakeShape *
rake_face_map_get_preview (RakeFaceMap *self, RakeMarkKind *kind)
{
  const RakeBench *bench = rake_session_get_bench (self->session);
  const double *points = (const double *) (gpointer) self->points_mm->data;
  guint n_points = self->points_mm->len / 2;

  *kind = bench->brush;
  if (n_points == 0 || bench->brush == RAKE_MARK_UNSAID)
    return NULL;
  if (!self->preview && is_drawn_as_line (bench->brush))
    self->preview = n_points > 1 ? rake_shape_new_line (points, n_points, NULL) : NULL;
  else if (!self->preview)
    self->preview = rake_shape_new_brush_stroke (points, n_points, bench->brush_radius_mm, NULL);
  return self->preview;
}

gboolean
rake_face_map_record_points (RakeFaceMap *self)
{
  RakeMarkKind kind;
  const RakeShape *drawn = rake_face_map_get_preview (self, &kind);
  g_autoptr (RakeShape) shape = drawn ? rake_shape_ref ((RakeShape *) drawn) : NULL;
  gboolean is_kept;

  /* Not left on screen while the session commits: what is not recorded must not show. */
  rake_face_map_drop_points (self);
  is_kept = shape && rake_session_mark (self->session, kind, shape);
  return is_kept;
}

static void
add_point_at (RakeFaceMap *self, double x, double y)
{
  double x_mm, y_mm;

  rake_map_view_to_mm (&self->view, x, y, &x_mm, &y_mm);
  rake_face_map_add_point (self, x_mm, y_mm);
}

/* --- taps ------------------------------------------------------------------------------------ */

static void
tap_with_brush (RakeFaceMap *self, const RakeZone *zone, double x, double y)
{
  const RakeBench *bench = rake_session_get_bench (self->session);
  RakeState state = rake_brush_get_state (bench);
  RakeId id = zone->id; /* @zone may go when the session writes */

  rake_session_select_zone (self->session, id, FALSE);
  if (state != RAKE_STATE_UNSAID)
    {
      rake_session_say_state (self->session, id, state, NAN, NAN);
      return;
    }
  rake_face_map_drop_points (self);
  add_point_at (self, x, y);
  rake_face_map_record_points (self);
}

static void
tap (RakeFaceMap *self, double x, double y, GdkModifierType modifiers)
{
  const RakeZone *zone;
  gboolean add = (modifiers & (GDK_CONTROL_MASK | GDK_SHIFT_MASK)) != 0;

  if (is_at_lamp (self, x, y))
    {
      point_lamp_at (self, x, y);
      return;
    }
  zone = rake_face_map_find_zone_at (self, x, y);
  if (zone && has_brush (self) && !add)
    tap_with_brush (self, zone, x, y);
  else if (zone)
    rake_session_select_zone (self->session, zone->id, add);
}

/* --- the hand -------------------------------------------------------------------------------- */

void
rake_face_map_hand_down (RakeFaceMap *self, double x, double y)
{
  if (!self->session)
    return;
  rake_face_map_drop_points (self);
  self->start_x = self->last_x = x;
  self->start_y = self->last_y = y;
  self->hand = RAKE_HAND_DOWN;
  if (self->is_space_down)
    {
      self->hand = RAKE_HAND_PANNING;
      self->is_space_used = TRUE;
    }
}

static RakeHand
tell_drag (RakeFaceMap *self)
{
  if (is_at_lamp (self, self->start_x, self->start_y))
    return RAKE_HAND_LAMP;
  if (rake_session_get_bench (self->session)->brush != RAKE_MARK_UNSAID)
    return RAKE_HAND_MARKING;
  /* With no brush in hand, a drag moves the map: the only thing it can mean. */
  return RAKE_HAND_PANNING;
}

gboolean
rake_face_map_hand_move (RakeFaceMap *self, double x, double y)
{
  if (self->hand == RAKE_HAND_DOWN)
    {
      if (hypot (x - self->start_x, y - self->start_y) < RAKE_TAP_REACH_PX)
        return FALSE;
      self->hand = tell_drag (self);
      if (self->hand == RAKE_HAND_MARKING)
        add_point_at (self, self->start_x, self->start_y);
    }
  switch (self->hand)
    {
    case RAKE_HAND_LAMP:
      rake_face_map_hold_still (self, FALSE);
      point_lamp_at (self, x, y);
      break;
    case RAKE_HAND_MARKING:
      self->pointer_x = x;
      self->pointer_y = y;
      add_point_at (self, x, y);
      break;
    case RAKE_HAND_PANNING:
      rake_face_map_pan (self, x - self->last_x, y - self->last_y);
      break;
    case RAKE_HAND_AWAY:
    case RAKE_HAND_DOWN:
    case RAKE_HAND_SPENT:
    default:
      return FALSE;
    }
  self->last_x = x;
  self->last_y = y;
  return TRUE;
}

void
rake_face_map_hand_up (RakeFaceMap *self, double x, double y, GdkModifierType modifiers)
{
  RakeHand did = self->hand;

  self->hand = RAKE_HAND_AWAY;
  if (!self->session)
    return;
  if (did == RAKE_HAND_DOWN)
    tap (self, self->start_x, self->start_y, modifiers);
  else if (did == RAKE_HAND_MARKING)
    rake_face_map_record_points (self);
  else if (did == RAKE_HAND_LAMP)
    rake_face_map_make_sharp (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_face_map_hand_cancel (RakeFaceMap *self)
{
  if (self->hand != RAKE_HAND_AWAY)
    self->hand = RAKE_HAND_SPENT;
  rake_face_map_drop_points (self);
}

void
rake_face_map_hover (RakeFaceMap *self, double x, double y)
{
  const RakeZone *zone = isfinite (x) ? rake_face_map_find_zone_at (self, x, y) : NULL;
  RakeId hovered = zone ? zone->id : RAKE_ID_NIL;
  const char *cursor = NULL;

  if (!rake_id_equal (hovered, self->hovered) || (self->session && has_brush (self)))
    gtk_widget_queue_draw (GTK_WIDGET (self));
  self->hovered = hovered;
  self->pointer_x = x;
  self->pointer_y = y;
  if (self->session && isfinite (x))
    cursor = is_at_lamp (self, x, y) ? "grab" : zone && has_brush (self) ? "crosshair" : NULL;
  gtk_widget_set_cursor_from_name (GTK_WIDGET (self), cursor);
}

/* --- gestures: each handler calls one function above ------------------------------------------ */

static void
drag_began (GtkGestureDrag *gesture, double x, double y, RakeFaceMap *self)
{
  rake_face_map_grab_keys (self);
  rake_face_map_hand_down (self, x, y);
}

static void
drag_moved (GtkGestureDrag *gesture, double dx, double dy, RakeFaceMap *self)
{
  if (rake_face_map_hand_move (self, self->start_x + dx, self->start_y + dy))
    gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
}

static void
drag_ended (GtkGestureDrag *gesture, double dx, double dy, RakeFaceMap *self)
{
  GtkEventController *controller = GTK_EVENT_CONTROLLER (gesture);
  GdkEvent *event = gtk_event_controller_get_current_event (controller);

  /* A second finger ends the drag of the first: that was the beginning of a pinch. */
  if (event && gdk_event_get_event_type (event) == GDK_TOUCH_BEGIN)
    rake_face_map_hand_cancel (self);
  rake_face_map_hand_up (self, self->start_x + dx, self->start_y + dy,
                         gtk_event_controller_get_current_event_state (controller));
}

static void
drag_cancelled (GtkGesture *gesture, GdkEventSequence *sequence, RakeFaceMap *self)
{
  rake_face_map_hand_cancel (self);
  self->hand = RAKE_HAND_AWAY;
}

static void
middle_drag_began (GtkGestureDrag *gesture, double x, double y, RakeFaceMap *self)
{
  self->last_x = 0;
  self->last_y = 0;
}

static void
middle_drag_moved (GtkGestureDrag *gesture, double dx, double dy, RakeFaceMap *self)
{
  rake_face_map_pan (self, dx - self->last_x, dy - self->last_y);
  self->last_x = dx;
  self->last_y = dy;
}

static void
menu_asked (GtkGestureClick *gesture, int n_press, double x, double y, RakeFaceMap *self)
{
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  rake_face_map_show_menu (self, x, y);
}

static void
long_pressed (GtkGestureLongPress *gesture, double x, double y, RakeFaceMap *self)
{
  if (self->hand != RAKE_HAND_DOWN)
    return;
  /* The drag ends all the same when the finger lifts; it must not be a tap then. */
  rake_face_map_hand_cancel (self);
  rake_face_map_show_menu (self, x, y);
}

static void
pinch_began (GtkGesture *gesture, GdkEventSequence *sequence, RakeFaceMap *self)
{
  rake_face_map_hand_cancel (self);
  self->pinch_scale = 1;
  gtk_gesture_get_bounding_box_center (gesture, &self->pinch_x, &self->pinch_y);
  gtk_gesture_set_state (gesture, GTK_EVENT_SEQUENCE_CLAIMED);
}

/* Two fingers zoom by their distance and move the map by their middle, at once. */
static void
pinch_moved (GtkGestureZoom *gesture, double scale, RakeFaceMap *self)
{
  double x, y;

  if (!gtk_gesture_get_bounding_box_center (GTK_GESTURE (gesture), &x, &y))
    {
      x = self->pinch_x;
      y = self->pinch_y;
    }
  if (!isfinite (scale) || scale <= 0)
    return;
  rake_face_map_pan (self, x - self->pinch_x, y - self->pinch_y);
  rake_face_map_zoom_at (self, scale / self->pinch_scale, x, y);
  self->pinch_scale = scale;
  self->pinch_x = x;
  self->pinch_y = y;
}

static gboolean
scrolled (GtkEventControllerScroll *controller, double dx, double dy, RakeFaceMap *self)
{
  GdkModifierType state =
      gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (controller));
  gboolean is_touchpad =
      gtk_event_controller_scroll_get_unit (controller) == GDK_SCROLL_UNIT_SURFACE;
  double x = isfinite (self->pointer_x) ? self->pointer_x : self->view.width_px / 2;
  double y = isfinite (self->pointer_y) ? self->pointer_y : self->view.height_px / 2;

  if (is_touchpad && !(state & GDK_CONTROL_MASK))
    rake_face_map_pan (self, -dx, -dy);
  else if (state & GDK_SHIFT_MASK)
    rake_face_map_pan (self, -40 * (dx + dy), 0);
  else
    rake_face_map_zoom_at (self, pow (ZOOM_STEP, is_touchpad ? -dy / 40 : -dy), x, y);
  return GDK_EVENT_STOP;
}

static void
pointer_moved (GtkEventControllerMotion *controller, double x, double y, RakeFaceMap *self)
{
  rake_face_map_hover (self, x, y);
}

static void
pointer_left (GtkEventControllerMotion *controller, RakeFaceMap *self)
{
  rake_face_map_hover (self, NAN, NAN);
}

static GtkGesture *
add_drag (RakeFaceMap *self, guint button)
{
  GtkGesture *drag = gtk_gesture_drag_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (drag), button);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  return drag;
}

void
rake_face_map_add_gestures (RakeFaceMap *self)
{
  GtkGesture *drag = add_drag (self, GDK_BUTTON_PRIMARY);
  GtkGesture *middle_drag = add_drag (self, GDK_BUTTON_MIDDLE);
  GtkGesture *menu = gtk_gesture_click_new ();
  GtkGesture *long_press = gtk_gesture_long_press_new ();
  GtkGesture *pinch = gtk_gesture_zoom_new ();
  GtkEventController *scroll =
      gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_BOTH_AXES);
  GtkEventController *motion = gtk_event_controller_motion_new ();

  g_signal_connect (drag, "drag-begin", G_CALLBACK (drag_began), self);
  g_signal_connect (drag, "drag-update", G_CALLBACK (drag_moved), self);
  g_signal_connect (drag, "drag-end", G_CALLBACK (drag_ended), self);
  g_signal_connect (drag, "cancel", G_CALLBACK (drag_cancelled), self);
  g_signal_connect (middle_drag, "drag-begin", G_CALLBACK (middle_drag_began), self);
  g_signal_connect (middle_drag, "drag-update", G_CALLBACK (middle_drag_moved), self);
  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (menu), GDK_BUTTON_SECONDARY);
  g_signal_connect (menu, "released", G_CALLBACK (menu_asked), self);
  gtk_gesture_single_set_touch_only (GTK_GESTURE_SINGLE (long_press), TRUE);
  g_signal_connect (long_press, "pressed", G_CALLBACK (long_pressed), self);
  g_signal_connect (pinch, "begin", G_CALLBACK (pinch_began), self);
  g_signal_connect (pinch, "scale-changed", G_CALLBACK (pinch_moved), self);
  g_signal_connect (scroll, "scroll", G_CALLBACK (scrolled), self);
  g_signal_connect (motion, "motion", G_CALLBACK (pointer_moved), self);
  g_signal_connect (motion, "leave", G_CALLBACK (pointer_left), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (menu));
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (long_press));
  gtk_gesture_group (long_press, drag);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (pinch));
  gtk_widget_add_controller (GTK_WIDGET (self), scroll);
  gtk_widget_add_controller (GTK_WIDGET (self), motion);
}
