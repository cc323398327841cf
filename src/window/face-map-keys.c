/* face-map-keys.c - the face map from the keyboard.
 *
 * Arrows go from zone to zone. M lays a cross on the map, which the arrows then move: M again puts
 * the brush down, the arrows draw, M once more lifts it and the mark is recorded. */
#include "face-map-private.h"

#include <math.h>

#define CROSS_STEP_MM 5.0
#define CROSS_FINE_STEP_MM 1.0
#define CROSS_WIDE_STEP_MM 20.0
#define LAMP_STEP_DEG 15.0
#define ZOOM_STEP 1.25
#define PAN_STEP_PX 60.0

static gboolean
get_direction (guint key, double *dx, double *dy)
{
  *dx = key == GDK_KEY_Left || key == GDK_KEY_KP_Left     ? -1
        : key == GDK_KEY_Right || key == GDK_KEY_KP_Right ? 1
                                                          : 0;
  *dy = key == GDK_KEY_Up || key == GDK_KEY_KP_Up       ? -1
        : key == GDK_KEY_Down || key == GDK_KEY_KP_Down ? 1
                                                        : 0;
  return *dx != 0 || *dy != 0;
}

/* --- from zone to zone ----------------------------------------------------------------------- */

/* Where a zone is felt to be: its middle, unless that lies beside it (a ring, a crescent). The inner
 * point alone is wherever there is most room, which may be far to one side. */
static void
get_middle (const RakeZone *zone, double *x_mm, double *y_mm)
{
  RakeBounds bounds = rake_shape_get_bounds (zone->shape);

  *x_mm = (bounds.min_x_mm + bounds.max_x_mm) / 2;
  *y_mm = (bounds.min_y_mm + bounds.max_y_mm) / 2;
  if (!rake_shape_contains (zone->shape, *x_mm, *y_mm))
    rake_shape_get_inner_point (zone->shape, x_mm, y_mm);
}

/* The nearest zone that way: a step aside counts double, so that "right" means right. */
static const RakeZone *
find_zone_towards (const RakeFace *face, const RakeZone *from, double dx, double dy)
{
  const RakeZone *nearest = NULL;
  double least = G_MAXDOUBLE, from_x, from_y;

  get_middle (from, &from_x, &from_y);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      double x, y, along, aside;
      if (zone == from)
        continue;
      get_middle (zone, &x, &y);
      along = (x - from_x) * dx + (y - from_y) * dy;
      aside = fabs ((x - from_x) * dy) + fabs ((y - from_y) * dx);
      if (along <= 0 || along + 2 * aside >= least)
        continue;
      least = along + 2 * aside;
      nearest = zone;
    }
  return nearest;
}

static void
go_to_zone (RakeFaceMap *self, const RakeZone *zone, gboolean add)
{
  /* Going back over a zone that is in the selection must not take it out. */
  if (!zone || (add && rake_session_is_selected (self->session, zone->id)))
    return;
  rake_session_select_zone (self->session, zone->id, add);
}

static gboolean
go_towards (RakeFaceMap *self, double dx, double dy, gboolean add)
{
  const RakeFace *face = rake_session_get_face (self->session);
  const RakeZone *from = rake_session_get_zone (self->session);

  if (!face || face->zones->len == 0)
    return FALSE;
  go_to_zone (self, from ? find_zone_towards (face, from, dx, dy) : face->zones->pdata[0], add);
  return TRUE;
}

static gboolean
go_to_end (RakeFaceMap *self, gboolean is_last)
{
  const RakeFace *face = rake_session_get_face (self->session);

  if (!face || face->zones->len == 0)
    return FALSE;
  go_to_zone (self, face->zones->pdata[is_last ? face->zones->len - 1 : 0], FALSE);
  return TRUE;
}

/* --- the cross ------------------------------------------------------------------------------- */

static void
lay_cross (RakeFaceMap *self)
{
  const RakeFace *face = rake_session_get_face (self->session);
  const RakeZone *zone = rake_session_get_zone (self->session);
  const RakeShape *place = zone ? zone->shape : face ? face->outline : NULL;

  if (!place)
    return;
  rake_shape_get_inner_point (place, &self->cross_x_mm, &self->cross_y_mm);
  self->has_cross = TRUE;
  self->is_cross_marking = FALSE;
  rake_face_map_drop_points (self);
}

static void
lift_cross (RakeFaceMap *self)
{
  rake_face_map_drop_points (self);
  self->is_cross_marking = FALSE;
  self->has_cross = FALSE;
}

static void
press_cross (RakeFaceMap *self)
{
  if (rake_session_get_bench (self->session)->brush == RAKE_MARK_UNSAID)
    {
      RakeBench bench = *rake_session_get_bench (self->session);
      bench.brush = RAKE_MARK_LOW_SPOT;
      bench.brush_is_uniform = FALSE;
      rake_session_set_bench (self->session, &bench);
    }
  if (!self->is_cross_marking)
    {
      rake_face_map_drop_points (self);
      rake_face_map_add_point (self, self->cross_x_mm, self->cross_y_mm);
      self->is_cross_marking = TRUE;
      return;
    }
  self->is_cross_marking = FALSE;
  rake_face_map_record_points (self);
}

static void
move_cross (RakeFaceMap *self, double dx, double dy, GdkModifierType modifiers)
{
  const RakeFace *face = rake_session_get_face (self->session);
  double step = modifiers & GDK_SHIFT_MASK     ? CROSS_FINE_STEP_MM
                : modifiers & GDK_CONTROL_MASK ? CROSS_WIDE_STEP_MM
                                               : CROSS_STEP_MM;
  RakeBounds bounds = rake_shape_get_bounds (face->outline);

  self->cross_x_mm = CLAMP (self->cross_x_mm + dx * step, bounds.min_x_mm, bounds.max_x_mm);
  self->cross_y_mm = CLAMP (self->cross_y_mm + dy * step, bounds.min_y_mm, bounds.max_y_mm);
  if (self->is_cross_marking)
    rake_face_map_add_point (self, self->cross_x_mm, self->cross_y_mm);
}

static gboolean
key_with_cross (RakeFaceMap *self, guint key, GdkModifierType modifiers)
{
  double dx, dy;

  if (get_direction (key, &dx, &dy))
    move_cross (self, dx, dy, modifiers);
  else if (key == GDK_KEY_m || key == GDK_KEY_M || key == GDK_KEY_Return || key == GDK_KEY_KP_Enter)
    press_cross (self);
  else if (key == GDK_KEY_Escape && self->is_cross_marking)
    {
      self->is_cross_marking = FALSE;
      rake_face_map_drop_points (self);
    }
  else if (key == GDK_KEY_Escape)
    lift_cross (self);
  else
    return FALSE;
  rake_face_map_say_cross (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return TRUE;
}

/* --- keys ------------------------------------------------------------------------------------ */

/* First what the hand is doing, then the brush: each Escape takes one thing back. */
static gboolean
escape (RakeFaceMap *self)
{
  RakeBench bench = *rake_session_get_bench (self->session);

  if (self->hand == RAKE_HAND_DOWN || self->hand == RAKE_HAND_MARKING)
    {
      rake_face_map_hand_cancel (self);
      return TRUE;
    }
  if (bench.brush == RAKE_MARK_UNSAID && !bench.brush_is_uniform)
    return FALSE;
  bench.brush = RAKE_MARK_UNSAID;
  bench.brush_is_uniform = FALSE;
  rake_session_set_bench (self->session, &bench);
  return TRUE;
}

static void
show_menu_at_zone (RakeFaceMap *self)
{
  const RakeZone *zone = rake_session_get_zone (self->session);
  double x_mm, y_mm, x, y;

  if (!zone)
    return;
  rake_shape_get_inner_point (zone->shape, &x_mm, &y_mm);
  rake_map_view_to_px (&self->view, x_mm, y_mm, &x, &y);
  rake_face_map_show_menu (self, x, y);
}

static gboolean
key_for_view (RakeFaceMap *self, guint key)
{
  double lamp_deg = rake_session_get_bench (self->session)->lamp_deg;

  switch (key)
    {
    case GDK_KEY_plus:
    case GDK_KEY_equal:
    case GDK_KEY_KP_Add:
      rake_face_map_zoom (self, ZOOM_STEP);
      return TRUE;
    case GDK_KEY_minus:
    case GDK_KEY_KP_Subtract:
      rake_face_map_zoom (self, 1 / ZOOM_STEP);
      return TRUE;
    case GDK_KEY_0:
    case GDK_KEY_KP_0:
      rake_face_map_fit (self);
      return TRUE;
    case GDK_KEY_bracketleft:
      rake_face_map_turn_lamp (self, lamp_deg - LAMP_STEP_DEG);
      return TRUE;
    case GDK_KEY_bracketright:
      rake_face_map_turn_lamp (self, lamp_deg + LAMP_STEP_DEG);
      return TRUE;
    default:
      return FALSE;
    }
}

gboolean
rake_face_map_key_down (RakeFaceMap *self, guint key, GdkModifierType modifiers)
{
  gboolean is_shift = (modifiers & GDK_SHIFT_MASK) != 0;
  double dx, dy;

  if (!self->session || (modifiers & GDK_ALT_MASK))
    return FALSE;
  if (self->has_cross && key_with_cross (self, key, modifiers))
    return TRUE;
  if (get_direction (key, &dx, &dy))
    {
      if (!(modifiers & GDK_CONTROL_MASK))
        return go_towards (self, dx, dy, is_shift);
      rake_face_map_pan (self, -dx * PAN_STEP_PX, -dy * PAN_STEP_PX);
      return TRUE;
    }
  if (modifiers & GDK_CONTROL_MASK)
    return FALSE;
  switch (key)
    {
    case GDK_KEY_Home:
      return go_to_end (self, FALSE);
    case GDK_KEY_End:
      return go_to_end (self, TRUE);
    case GDK_KEY_m:
    case GDK_KEY_M:
      lay_cross (self);
      rake_face_map_say_cross (self);
      return TRUE;
    case GDK_KEY_Escape:
      return escape (self);
    case GDK_KEY_Menu:
      show_menu_at_zone (self);
      return TRUE;
    case GDK_KEY_F10:
      if (is_shift)
        show_menu_at_zone (self);
      return is_shift;
    case GDK_KEY_space:
      /* Held with a drag it moves the map, so "all even" waits until it is let go. */
      self->is_space_used = self->is_space_down && self->is_space_used;
      self->is_space_down = TRUE;
      return TRUE;
    default:
      return key_for_view (self, key);
    }
}

void
rake_face_map_key_up (RakeFaceMap *self, guint key)
{
  if (key != GDK_KEY_space || !self->is_space_down)
    return;
  self->is_space_down = FALSE;
  if (!self->is_space_used)
    gtk_widget_activate_action (GTK_WIDGET (self), "win.all-even", NULL);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType modifiers,
             RakeFaceMap *self)
{
  return rake_face_map_key_down (self, key, modifiers);
}

static void
key_released (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType modifiers,
              RakeFaceMap *self)
{
  rake_face_map_key_up (self, key);
}

static void
focus_left (GtkEventControllerFocus *controller, RakeFaceMap *self)
{
  self->is_space_down = FALSE;
}

void
rake_face_map_add_keys (RakeFaceMap *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();
  GtkEventController *focus = gtk_event_controller_focus_new ();

  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  g_signal_connect (keys, "key-released", G_CALLBACK (key_released), self);
  g_signal_connect (focus, "leave", G_CALLBACK (focus_left), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  gtk_widget_add_controller (GTK_WIDGET (self), focus);
}
