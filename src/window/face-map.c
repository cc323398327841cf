/* face-map.c - the picture of the shown face: its life, its session, its children. */
#include "face-map-private.h"
#include "ghost-chip.h"
#include "mark-place.h"
#include "say.h"
#include "theme.h"
#include "zone-place.h"

#include <adwaita.h>
#include <math.h>
#include "words.h"

#define LABEL_TEXT_PX 13.0

/* More chips than this would cover the piece; the slip answers for all of a zone at once. */
#define MOST_CHIPS 8

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

static GMenuModel *
new_menu (const RakeZone *zone, const RakeMark *mark)
{
  GMenu *menu = g_menu_new ();
  g_autoptr (GMenu) now = g_menu_new ();
  g_autoptr (GMenu) later = g_menu_new ();

  if (mark)
    {
      g_autoptr (GMenu) about = g_menu_new ();
      g_autofree char *name = rake_say_mark (mark);
      if (rake_mark_is_ghost (zone, mark) || rake_mark_is_carried (zone, mark))
        add_item (about, _ ("Still there"), "win.still-there", mark->entry->id);
      add_item (about, _ ("Gone"), "win.gone", mark->entry->id);
      add_item (about, _ ("Note…"), "win.note", mark->entry->id);
      add_item (about, _ ("Strike out…"), "win.strike", mark->entry->id);
      g_menu_append_section (menu, name, G_MENU_MODEL (about));
    }
  g_menu_append (now, _ ("All even"), "win.all-even");
  g_menu_append (now, _ ("Pass done"), "win.pass-done");
  add_item (now, _ ("How much is still glossy…"), "win.say-share", zone->id);
  add_item (now, _ ("Accept as it is…"), "win.accept", zone->id);
  add_item (now, _ ("Repaired…"), "win.repair", zone->id);
  g_menu_append_section (menu, zone->name, G_MENU_MODEL (now));
  add_item (later, _ ("Name, edge, reserve…"), "win.zone-facts", zone->id);
  add_item (later, _ ("Note…"), "win.note", zone->id);
  g_menu_append (later, _ ("Divide zones…"), "win.edit-zones");
  g_menu_append_section (menu, NULL, G_MENU_MODEL (later));
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
  model = new_menu (zone, rake_face_map_find_mark_at (self, x, y));
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

/* --- accessible places and chips ------------------------------------------------------------- */

static void
drop_children (GPtrArray *children)
{
  for (guint i = 0; i < children->len; i++)
    gtk_widget_unparent (children->pdata[i]);
  g_ptr_array_set_size (children, 0);
}

/* Makes @children one for each of @ids, keeping those that are right from the front. */
static void
match_children (RakeFaceMap *self, GPtrArray *children, GArray *ids, RakeId (*get_id) (GtkWidget *),
                GtkWidget *(*make) (RakeFaceMap *, RakeId))
{
  guint same = 0;

  while (same < children->len && same < ids->len &&
         rake_id_equal (get_id (children->pdata[same]), g_array_index (ids, RakeId, same)))
    same++;
  while (children->len > same)
    {
      gtk_widget_unparent (children->pdata[children->len - 1]);
      g_ptr_array_set_size (children, (int) children->len - 1);
    }
  for (guint i = same; i < ids->len; i++)
    {
      GtkWidget *child = make (self, g_array_index (ids, RakeId, i));
      gtk_widget_set_parent (child, GTK_WIDGET (self));
      g_ptr_array_add (children, child);
    }
}

static RakeId
get_id_of_zone_place (GtkWidget *child)
{
  return rake_zone_place_get_zone (RAKE_ZONE_PLACE (child));
}

static GtkWidget *
make_zone_place (RakeFaceMap *self, RakeId id)
{
  return GTK_WIDGET (rake_zone_place_new (id));
}

static RakeId
get_id_of_mark_place (GtkWidget *child)
{
  return rake_mark_place_get_mark (RAKE_MARK_PLACE (child));
}

static GtkWidget *
make_mark_place (RakeFaceMap *self, RakeId id)
{
  return GTK_WIDGET (rake_mark_place_new (id));
}

static RakeId
get_id_of_chip (GtkWidget *child)
{
  return rake_ghost_chip_get_mark (RAKE_GHOST_CHIP (child));
}

static GtkWidget *
make_chip (RakeFaceMap *self, RakeId id)
{
  const RakeMark *mark = rake_job_find_mark (rake_session_get_job (self->session), id);
  g_autofree char *name = rake_say_mark (mark);

  return GTK_WIDGET (rake_ghost_chip_new (id, name));
}

static void
show_zones (RakeFaceMap *self, const RakeFace *face)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (RakeId));

  for (guint i = 0; i < face->zones->len; i++)
    g_array_append_val (ids, ((const RakeZone *) face->zones->pdata[i])->id);
  match_children (self, self->zone_places, ids, get_id_of_zone_place, make_zone_place);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      rake_zone_place_show (self->zone_places->pdata[i], zone,
                            rake_session_get_judgement (self->session, zone),
                            rake_session_is_selected (self->session, zone->id));
    }
}

static void
show_marks (RakeFaceMap *self, const RakeFace *face)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (RakeId));
  g_autoptr (GPtrArray) marks = g_ptr_array_new ();
  g_autoptr (GPtrArray) zones = g_ptr_array_new ();

  for (guint i = 0; i < face->zones->len; i++)
    {
      RakeZone *zone = face->zones->pdata[i];
      for (guint j = 0; j < zone->marks->len; j++)
        {
          RakeMark *mark = zone->marks->pdata[j];
          if (mark->closed_by && !mark->was_repaired)
            continue;
          g_array_append_val (ids, mark->entry->id);
          g_ptr_array_add (marks, mark);
          g_ptr_array_add (zones, zone);
        }
    }
  match_children (self, self->mark_places, ids, get_id_of_mark_place, make_mark_place);
  for (guint i = 0; i < marks->len; i++)
    rake_mark_place_show (self->mark_places->pdata[i], zones->pdata[i], marks->pdata[i]);
}

static void
show_chips (RakeFaceMap *self)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (RakeId));
  g_autoptr (GPtrArray) zones = rake_session_get_zones (self->session);

  for (guint i = 0; i < zones->len && !rake_session_is_in_the_past (self->session); i++)
    {
      g_autoptr (GPtrArray) ghosts = rake_session_get_ghosts (self->session, zones->pdata[i]);
      for (guint j = 0; j < ghosts->len && ids->len < MOST_CHIPS; j++)
        g_array_append_val (ids, ((const RakeMark *) ghosts->pdata[j])->entry->id);
    }
  match_children (self, self->chips, ids, get_id_of_chip, make_chip);
}

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
      drop_children (self->zone_places);
      drop_children (self->mark_places);
      drop_children (self->chips);
      return;
    }
  if (!rake_id_equal (face->id, self->face))
    {
      self->face = face->id;
      self->has_cross = FALSE;
      rake_face_map_forget_paint (self);
      rake_face_map_fit (self);
    }
  show_zones (self, face);
  show_marks (self, face);
  show_chips (self);
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

static void
place (GtkWidget *child, double x, double y, double width, double height)
{
  GtkAllocation allocation = { (int) floor (x), (int) floor (y), MAX (1, (int) ceil (width)),
                               MAX (1, (int) ceil (height)) };

  /* Measured for GTK's sake: it warns of an allocation without. */
  gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, NULL, NULL, NULL, NULL);
  gtk_widget_size_allocate (child, &allocation, -1);
}

static void
place_zones_and_marks (RakeFaceMap *self, const RakeFace *face)
{
  const RakeJob *job = rake_session_get_job (self->session);

  for (guint i = 0; i < self->zone_places->len && i < face->zones->len; i++)
    {
      double x, y, width, height;
      rake_map_zone_extents (&self->view, face->zones->pdata[i], &x, &y, &width, &height);
      place (self->zone_places->pdata[i], x, y, width, height);
    }
  for (guint i = 0; i < self->mark_places->len; i++)
    {
      RakeMarkPlace *child = self->mark_places->pdata[i];
      const RakeMark *mark = rake_job_find_mark (job, rake_mark_place_get_mark (child));
      RakeBounds bounds;
      double x, y, right, bottom;
      if (!mark)
        continue;
      bounds = rake_shape_get_bounds (mark->shape);
      rake_map_view_to_px (&self->view, bounds.min_x_mm, bounds.min_y_mm, &x, &y);
      rake_map_view_to_px (&self->view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
      place (GTK_WIDGET (child), x, y, right - x, bottom - y);
    }
}

static gboolean
is_free (RakeFaceMap *self, const graphene_rect_t *box, const graphene_rect_t *taken, guint n_taken)
{
  graphene_rect_t whole =
      GRAPHENE_RECT_INIT (0, 0, (float) self->view.width_px, (float) self->view.height_px);

  if (!graphene_rect_contains_rect (&whole, box))
    return FALSE;
  for (guint i = 0; i < n_taken; i++)
    if (graphene_rect_intersection (box, &taken[i], NULL))
      return FALSE;
  for (guint i = 0; self->labels && i < self->labels->len; i++)
    {
      const RakeMapLabel *label = &g_array_index (self->labels, RakeMapLabel, i);
      graphene_rect_t other =
          GRAPHENE_RECT_INIT ((float) label->x_px, (float) label->y_px, (float) label->width_px,
                              (float) label->height_px);
      if (!label->is_hidden && graphene_rect_intersection (box, &other, NULL))
        return FALSE;
    }
  return TRUE;
}

/* Below the mark, above it, right or left of it: the first place that covers nothing; else below. */
static graphene_rect_t
find_place_for_chip (RakeFaceMap *self, const RakeMark *mark, float width, float height,
                     const graphene_rect_t *taken, guint n_taken)
{
  static const float aside[] = { 0, 0, 1, -1 }, below[] = { 1, -1, 0, 0 };
  RakeBounds bounds = rake_shape_get_bounds (mark->shape);
  double left, top, right, bottom;
  graphene_rect_t box;

  rake_map_view_to_px (&self->view, bounds.min_x_mm, bounds.min_y_mm, &left, &top);
  rake_map_view_to_px (&self->view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
  for (guint i = 0; i < G_N_ELEMENTS (aside); i++)
    {
      float reach_x = (float) (right - left) / 2 + width / 2 + 10;
      float reach_y = (float) (bottom - top) / 2 + height / 2 + 10;
      float x = (float) (left + right) / 2 + aside[i] * reach_x - width / 2;
      float y = (float) (top + bottom) / 2 + below[i] * reach_y - height / 2;
      graphene_rect_init (&box, x, y, width, height);
      if (is_free (self, &box, taken, n_taken))
        return box;
    }
  graphene_rect_init (
      &box,
      CLAMP ((float) (left + right - width) / 2, 0, MAX (0, (float) self->view.width_px - width)),
      CLAMP ((float) bottom + 10, 0, MAX (0, (float) self->view.height_px - height)), width,
      height);
  return box;
}

static void
place_chips (RakeFaceMap *self)
{
  const RakeJob *job = rake_session_get_job (self->session);
  graphene_rect_t taken[MOST_CHIPS];
  guint n_taken = 0;

  for (guint i = 0; i < self->chips->len; i++)
    {
      RakeGhostChip *chip = self->chips->pdata[i];
      const RakeMark *mark = rake_job_find_mark (job, rake_ghost_chip_get_mark (chip));
      int width, height;
      graphene_rect_t box;
      if (!mark)
        continue;
      gtk_widget_measure (GTK_WIDGET (chip), GTK_ORIENTATION_HORIZONTAL, -1, NULL, &width, NULL,
                          NULL);
      gtk_widget_measure (GTK_WIDGET (chip), GTK_ORIENTATION_VERTICAL, width, NULL, &height, NULL,
                          NULL);
      box = find_place_for_chip (self, mark, (float) width, (float) height, taken, n_taken);
      taken[n_taken++] = box;
      place (GTK_WIDGET (chip), box.origin.x, box.origin.y, box.size.width, box.size.height);
    }
}

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
  if (face && !self->still)
    place_zones_and_marks (self, face);
  if (face)
    place_chips (self);
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

  for (guint i = 0; zone && i < self->zone_places->len; i++)
    if (rake_id_equal (get_id_of_zone_place (self->zone_places->pdata[i]), zone->id))
      return self->zone_places->pdata[i];
  return self->zone_places->len > 0 ? self->zone_places->pdata[0] : NULL;
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
  rake_face_map_forget_paint (self);
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

  g_ptr_array_unref (self->zone_places);
  g_ptr_array_unref (self->mark_places);
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
  self->points_mm = g_array_new (FALSE, FALSE, sizeof (double));
  self->zone_places = g_ptr_array_new ();
  self->mark_places = g_ptr_array_new ();
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
