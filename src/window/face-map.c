/* face-map.c - the picture of the shown face: its life, its session, its children. */
#include "face-map-private.h"
#include "ghost-chip.h"
#include "say.h"
#include "theme.h"
#include "zone-place.h"

#include <adwaita.h>
#include <math.h>
#include <rakelight/record.h>
#include "words.h"

#define LABEL_TEXT_PX 13.0

/* Of a frame's 16 ms. */
#define DRAWING_US (8 * 1000)

enum
{
  PROP_0,
  PROP_SESSION,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

G_DEFINE_FINAL_TYPE (RakeFaceMap, rake_face_map, GTK_TYPE_WIDGET)

static const RakeFace *
find_face (RakeFaceMap *self)
{
  return self->session ? rake_session_get_face (self->session) : NULL;
}

/* --- what lies where ------------------------------------------------------------------------- */

const RakeZone *
rake_face_map_find_zone_at (RakeFaceMap *self, double x, double y)
{
  const RakeFace *face = find_face (self);
  double x_mm, y_mm;

  if (!face || !(self->view.px_per_mm > 0))
    return NULL;
  rake_map_view_to_mm (&self->view, x, y, &x_mm, &y_mm);
  return rake_face_find_zone_at (face, x_mm, y_mm);
}

const RakeMark *
rake_face_map_find_mark_at (RakeFaceMap *self, double x, double y)
{
  const RakeZone *zone = rake_face_map_find_zone_at (self, x, y);
  const RakeMark *nearest = NULL;
  double reach_mm = RAKE_MARK_REACH_PX / self->view.px_per_mm;
  double x_mm, y_mm;

  if (!zone)
    return NULL;
  rake_map_view_to_mm (&self->view, x, y, &x_mm, &y_mm);
  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      double distance_mm;
      if (mark->closed_by)
        continue;
      distance_mm = rake_shape_get_kind (mark->shape) == RAKE_SHAPE_AREA &&
                            rake_shape_contains (mark->shape, x_mm, y_mm)
                        ? 0
                        : rake_shape_get_distance_to_edge_mm (mark->shape, x_mm, y_mm);
      if (distance_mm > reach_mm)
        continue;
      reach_mm = distance_mm;
      nearest = mark;
    }
  return nearest;
}

/* --- the context menu ------------------------------------------------------------------------ */

static void
add_item (GMenu *menu, const char *label, const char *action, RakeId target)
{
  g_autoptr (GMenuItem) item = g_menu_item_new (label, NULL);
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (target, text);
  g_menu_item_set_action_and_target (item, action, "s", text);
  g_menu_append_item (menu, item);
}

static GMenu *
new_mark_section (const RakeZone *zone, const RakeMark *mark, gboolean is_handed_over)
{
  GMenu *section = g_menu_new ();

  if (rake_mark_is_ghost (zone, mark) || rake_mark_is_carried (zone, mark))
    add_item (section, _ ("Still there"), "win.still-there", mark->entry->id);
  add_item (section, _ ("Gone"), "win.gone", mark->entry->id);
  add_item (section, _ ("Keep for the record…"), "win.keep", mark->entry->id);
  if (is_handed_over)
    add_item (section, _ ("A claim about it…"), "win.claim", mark->entry->id);
  add_item (section, _ ("Note…"), "win.note", mark->entry->id);
  add_item (section, _ ("Strike out…"), "win.strike", mark->entry->id);
  return section;
}

static GMenu *
new_zone_section (const RakeZone *zone, gboolean is_handed_over)
{
  GMenu *section = g_menu_new ();

  g_menu_append (section, _ ("All even"), "win.all-even");
  g_menu_append (section, _ ("Pass done"), "win.pass-done");
  add_item (section, _ ("How much is still glossy…"), "win.say-share", zone->id);
  add_item (section, _ ("Accept as it is…"), "win.accept", zone->id);
  add_item (section, _ ("Repaired…"), "win.repair", zone->id);
  add_item (section, _ ("Keep a fault for the record…"), "win.keep", zone->id);
  if (is_handed_over)
    add_item (section, _ ("A claim about it…"), "win.claim", zone->id);
  add_item (section, _ ("Name, edge, reserve…"), "win.zone-facts", zone->id);
  add_item (section, _ ("Note…"), "win.note", zone->id);
  g_menu_append (section, _ ("Divide zones…"), "win.edit-zones");
  return section;
}

/* Of a mark first what can be said of it; the zone's list is one step further then, so that neither
 * is longer than a low screen. */
static GMenuModel *
new_menu (const RakeZone *zone, const RakeMark *mark, gboolean is_handed_over)
{
  GMenu *menu = g_menu_new ();
  g_autoptr (GMenu) of_zone = new_zone_section (zone, is_handed_over);

  if (mark)
    {
      g_autoptr (GMenu) of_mark = new_mark_section (zone, mark, is_handed_over);
      g_autoptr (GMenu) further = g_menu_new ();
      g_autofree char *name = rake_say_mark (mark);
      g_menu_append_section (menu, name, G_MENU_MODEL (of_mark));
      g_menu_append_submenu (further, zone->name, G_MENU_MODEL (of_zone));
      g_menu_append_section (menu, NULL, G_MENU_MODEL (further));
    }
  else
    g_menu_append_section (menu, zone->name, G_MENU_MODEL (of_zone));
  return G_MENU_MODEL (menu);
}

void
rake_face_map_show_menu (RakeFaceMap *self, double x, double y)
{
  const RakeZone *zone = rake_face_map_find_zone_at (self, x, y);
  g_autoptr (GMenuModel) model = NULL;
  GdkRectangle place = { (int) x, (int) y, 1, 1 };

  if (!zone)
    return;
  model = new_menu (zone, rake_face_map_find_mark_at (self, x, y),
                    rake_job_find_hand_over (rake_session_get_job (self->session), NULL) != NULL);
  if (!rake_session_is_selected (self->session, zone->id))
    rake_session_select_zone (self->session, zone->id, FALSE);
  if (!self->menu)
    {
      self->menu = gtk_popover_menu_new_from_model (NULL);
      gtk_popover_set_has_arrow (GTK_POPOVER (self->menu), FALSE);
      gtk_widget_set_halign (self->menu, GTK_ALIGN_START);
      gtk_widget_set_parent (self->menu, GTK_WIDGET (self));
    }
  gtk_popover_menu_set_menu_model (GTK_POPOVER_MENU (self->menu), model);
  gtk_popover_set_pointing_to (GTK_POPOVER (self->menu), &place);
  gtk_popover_popup (GTK_POPOVER (self->menu));
}

/* --- showing ----------------------------------------------------------------------------------- */

static gboolean
has_keys (RakeFaceMap *self)
{
  return (gtk_widget_get_state_flags (GTK_WIDGET (self)) & GTK_STATE_FLAG_FOCUS_WITHIN) != 0;
}

static void
show_face (RakeFaceMap *self)
{
  const RakeFace *face = find_face (self);
  gboolean had_keys = has_keys (self);

  if (!face)
    {
      rake_face_map_drop_children (self);
      return;
    }
  if (!rake_id_equal (face->id, self->face))
    {
      self->face = face->id;
      self->has_cross = FALSE;
      rake_face_map_forget_paint (self);
      rake_face_map_fit (self);
    }
  rake_face_map_show_children (self, face);
  if (had_keys)
    rake_face_map_grab_keys (self);
  gtk_widget_queue_allocate (GTK_WIDGET (self));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_face_map_say_cross (RakeFaceMap *self)
{
  g_autofree char *words = NULL;
  const RakeFace *face = find_face (self);
  const RakeZone *zone;

  if (!self->has_cross || !face)
    {
      gtk_accessible_reset_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION);
      return;
    }
  zone = rake_face_find_zone_at (face, self->cross_x_mm, self->cross_y_mm);
  words = g_strdup_printf (self->is_cross_marking ? _ ("Marking; cross at %.0f, %.0f mm, %s")
                                                  : _ ("Cross at %.0f, %.0f mm, %s"),
                           self->cross_x_mm, self->cross_y_mm,
                           zone ? zone->name : _ ("beside the piece"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, words,
                                  -1);
}

/* --- layout ---------------------------------------------------------------------------------- */

void
rake_face_map_view_moved (RakeFaceMap *self)
{
  self->is_fitted = FALSE;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  if (self->chips->len > 0)
    gtk_widget_queue_allocate (GTK_WIDGET (self));
}

/* Room for the lamp on its ring, which draws nearer to the piece where the view is small. */
void
rake_face_map_fit_view (RakeMapView *view, const RakeFace *face)
{
  double smaller_px = MIN (view->width_px, view->height_px);

  rake_map_view_fit (view, face, 22 + 30 * CLAMP (smaller_px / 480, 0.35, 1));
}

static void
rake_face_map_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  RakeFaceMap *self = RAKE_FACE_MAP (widget);
  const RakeFace *face = find_face (self);

  if (!self->is_fitted)
    {
      /* What was in the middle stays in the middle. */
      self->view.origin_x_px += (width - self->view.width_px) / 2;
      self->view.origin_y_px += (height - self->view.height_px) / 2;
    }
  self->view.width_px = width;
  self->view.height_px = height;
  if (self->is_fitted && face)
    rake_face_map_fit_view (&self->view, face);
  if (face)
    rake_face_map_place_children (self, face);
  if (self->menu)
    gtk_popover_present (GTK_POPOVER (self->menu));
}

static void
rake_face_map_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                       int *natural, int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 320 : 240;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 800 : 600;
}

static void
rake_face_map_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakeFaceMap *self = RAKE_FACE_MAP (widget);

  rake_face_map_paint (self, snapshot);
  for (guint i = 0; i < self->chips->len; i++)
    gtk_widget_snapshot_child (widget, self->chips->pdata[i], snapshot);
}

void
rake_face_map_fit (RakeFaceMap *self)
{
  const RakeFace *face = find_face (self);

  self->is_fitted = TRUE;
  if (face && self->view.width_px > 0)
    rake_face_map_fit_view (&self->view, face);
  gtk_widget_queue_allocate (GTK_WIDGET (self));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_face_map_zoom (RakeFaceMap *self, double factor)
{
  rake_face_map_zoom_at (self, factor, self->view.width_px / 2, self->view.height_px / 2);
}

/* --- focus ----------------------------------------------------------------------------------- */

static GtkWidget *
find_place_with_keys (RakeFaceMap *self)
{
  const RakeZone *zone = self->session ? rake_session_get_zone (self->session) : NULL;

  for (guint i = 0; zone && i < self->places->len; i++)
    {
      const RakePlaces *places = self->places->pdata[i];
      if (rake_id_equal (places->zone, zone->id))
        return places->place;
    }
  return self->places->len > 0 ? ((const RakePlaces *) self->places->pdata[0])->place : NULL;
}

void
rake_face_map_grab_keys (RakeFaceMap *self)
{
  GtkWidget *place_with_keys = find_place_with_keys (self);

  if (place_with_keys)
    gtk_widget_grab_focus (place_with_keys);
}

static gboolean
rake_face_map_grab_focus (GtkWidget *widget)
{
  GtkWidget *place_with_keys = find_place_with_keys (RAKE_FACE_MAP (widget));

  return place_with_keys && gtk_widget_grab_focus (place_with_keys);
}

/* Tab stops at the selected zone, then at the chips, then leaves: zones are for the arrows. */
static gboolean
rake_face_map_focus (GtkWidget *widget, GtkDirectionType direction)
{
  RakeFaceMap *self = RAKE_FACE_MAP (widget);
  gboolean is_back = direction == GTK_DIR_TAB_BACKWARD;
  GtkWidget *with_keys = gtk_widget_get_focus_child (widget);
  int last = (int) self->chips->len, at = is_back ? last + 1 : -1;

  if (direction != GTK_DIR_TAB_FORWARD && !is_back)
    return FALSE;
  if (with_keys && gtk_widget_child_focus (with_keys, direction) && RAKE_IS_GHOST_CHIP (with_keys))
    return TRUE;
  for (int i = 0; with_keys && i <= last; i++)
    if (i == 0 ? RAKE_IS_ZONE_PLACE (with_keys) : with_keys == self->chips->pdata[i - 1])
      at = i;
  for (at += is_back ? -1 : 1; at >= 0 && at <= last; at += is_back ? -1 : 1)
    if (at == 0 ? rake_face_map_grab_focus (widget)
                : gtk_widget_child_focus (self->chips->pdata[at - 1], direction))
      return TRUE;
  return FALSE;
}

/* --- session --------------------------------------------------------------------------------- */

static void
session_changed (RakeFaceMap *self)
{
  show_face (self);
}

static void
bench_changed (RakeFaceMap *self)
{
  self->view.lamp_deg = rake_session_get_bench (self->session)->lamp_deg;
  /* The brush or its size may be another. */
  g_clear_pointer (&self->preview, rake_shape_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
theme_changed (RakeFaceMap *self)
{
  self->view.theme = rake_theme_now ();
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

RakeSession *
rake_face_map_get_session (RakeFaceMap *self)
{
  return self->session;
}

void
rake_face_map_set_session (RakeFaceMap *self, RakeSession *session)
{
  if (self->session == session)
    return;
  rake_face_map_drop_points (self);
  self->hand = RAKE_HAND_AWAY;
  self->has_cross = FALSE;
  self->face = RAKE_ID_NIL;
  if (self->session)
    g_signal_handlers_disconnect_by_data (self->session, self);
  rake_face_map_follow_under (self, self->session, session);
  g_set_object (&self->session, session);
  rake_face_map_forget_paint (self);
  if (session)
    {
      g_signal_connect_swapped (session, "changed", G_CALLBACK (session_changed), self);
      g_signal_connect_swapped (session, "selected", G_CALLBACK (session_changed), self);
      g_signal_connect_swapped (session, "bench", G_CALLBACK (bench_changed), self);
      self->view.lamp_deg = rake_session_get_bench (session)->lamp_deg;
    }
  show_face (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_SESSION]);
}

/* --- class ----------------------------------------------------------------------------------- */

static void
rake_face_map_dispose (GObject *object)
{
  RakeFaceMap *self = RAKE_FACE_MAP (object);

  rake_face_map_set_session (self, NULL);
  rake_face_map_free_paint (self);
  g_clear_pointer (&self->menu, gtk_widget_unparent);
  G_OBJECT_CLASS (rake_face_map_parent_class)->dispose (object);
}

static void
rake_face_map_finalize (GObject *object)
{
  RakeFaceMap *self = RAKE_FACE_MAP (object);

  g_ptr_array_unref (self->places);
  g_ptr_array_unref (self->chips);
  g_array_unref (self->points_mm);
  G_OBJECT_CLASS (rake_face_map_parent_class)->finalize (object);
}

static void
rake_face_map_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, RAKE_FACE_MAP (object)->session);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_face_map_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    rake_face_map_set_session (RAKE_FACE_MAP (object), g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_face_map_class_init (RakeFaceMapClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = rake_face_map_dispose;
  object_class->finalize = rake_face_map_finalize;
  object_class->get_property = rake_face_map_get_property;
  object_class->set_property = rake_face_map_set_property;
  widget_class->measure = rake_face_map_measure;
  widget_class->size_allocate = rake_face_map_size_allocate;
  widget_class->snapshot = rake_face_map_snapshot;
  widget_class->focus = rake_face_map_focus;
  widget_class->grab_focus = rake_face_map_grab_focus;
  props[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_css_name (widget_class, "facemap");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_LIST_BOX);
}

static void
rake_face_map_init (RakeFaceMap *self)
{
  self->is_fitted = TRUE;
  self->pointer_x = self->pointer_y = NAN;
  self->view.theme = rake_theme_now ();
  self->view.text_px = LABEL_TEXT_PX;
  self->drawing_us = DRAWING_US;
  self->points_mm = g_array_new (FALSE, FALSE, sizeof (double));
  self->places = g_ptr_array_new ();
  self->chips = g_ptr_array_new ();
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Zones of the face"), -1);
  rake_face_map_add_gestures (self);
  rake_face_map_add_keys (self);
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (theme_changed), self, G_CONNECT_SWAPPED);
}

RakeFaceMap *
rake_face_map_new (void)
{
  return g_object_new (RAKE_TYPE_FACE_MAP, NULL);
}
