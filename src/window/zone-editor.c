/* zone-editor.c - divides a face into zones, and says each zone's facts. */
#include "zone-editor.h"

#include "say.h"
#include "zone-canvas.h"

#include <adwaita.h>
#include <glib/gi18n.h>
#include <rakelight/division.h>
#include <rakelight/zoning.h>

struct _RakeZoneEditor
{
  GtkWidget parent_instance;

  RakeSession *session;
  RakeZoneHost host;
  RakeId face;
  gboolean is_showing; /* rows are being filled in: what they emit is no wish of the person's */

  GtkWidget *content;
  RakeZoneCanvas *canvas;
  GtkToggleButton *choose_tool, *cut_tool, *freehand_tool;
  GtkWidget *band_popover, *grid_popover, *done_button, *facts;
  GtkSpinButton *band_width, *grid_columns, *grid_rows;
  GtkCheckButton *band_holes;
  GtkLabel *hint;
  GtkListBox *list;
  AdwEntryRow *zone_name;
  GtkSwitch *zone_is_edge;
  AdwComboRow *zone_first_stage;
};

enum
{
  PROP_0,
  PROP_SESSION,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

G_DEFINE_FINAL_TYPE (RakeZoneEditor, rake_zone_editor, GTK_TYPE_WIDGET)

static const RakeFace *
get_face (RakeZoneEditor *self)
{
  return self->host.get_job != NULL
             ? rake_job_find_face (self->host.get_job (self->host.owner), self->face)
             : NULL;
}

/* --- what is written --------------------------------------------------------------------------- */

static void
say_hint (RakeZoneEditor *self, const char *sentence)
{
  const char *usual =
      gtk_toggle_button_get_active (self->choose_tool)
          ? _ ("Tap a zone to name it; tap several that touch to join them.")
      : gtk_toggle_button_get_active (self->cut_tool)
          ? _ ("Draw across a zone; the line is carried on to its edges and snaps to "
               "corners, edges and the middle. With keys: arrows, R turns, Enter "
               "cuts.")
          : _ ("Draw the line as it should run; its ends are carried on straight.");

  gtk_label_set_text (self->hint, sentence != NULL ? sentence : usual);
}

/* Appends entries as one gesture; takes them over. */
static void
record (RakeZoneEditor *self, GPtrArray *entries)
{
  g_autofree char *why = NULL;

  if (entries->len > 0 && !self->host.append (self->host.owner, (RakeEntry *const *) entries->pdata,
                                              entries->len, &why))
    say_hint (self, why);
  else
    say_hint (self, NULL);
  g_ptr_array_unref (entries);
  rake_zone_editor_refresh (self);
}

static GPtrArray *
new_gesture (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
}

/* The zones a division is meant for: the chosen ones, or all while none is. */
static GPtrArray *
get_meant (RakeZoneEditor *self)
{
  GPtrArray *zones = rake_zone_canvas_get_chosen (self->canvas);
  const RakeFace *face = get_face (self);

  if (zones->len == 0 && face != NULL)
    for (guint i = 0; i < face->zones->len; i++)
      g_ptr_array_add (zones, face->zones->pdata[i]);
  return zones;
}

/* Only when nothing could be divided is the reason told: a band misses some zones, and may. */
static void
record_divisions (RakeZoneEditor *self, GPtrArray *gesture, GError *error)
{
  if (gesture->len == 0 && error != NULL)
    {
      say_hint (self, error->message);
      g_ptr_array_unref (gesture);
      return;
    }
  record (self, gesture);
}

static void
on_cut (RakeZoneEditor *self)
{
  const RakeShape *line = rake_zone_canvas_get_line (self->canvas);
  const RakeFace *face = get_face (self);
  GPtrArray *gesture = new_gesture ();
  g_autoptr (GError) error = NULL;

  for (guint i = 0; face != NULL && line != NULL && i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      RakeEntry *entry;

      if (!rake_shape_overlaps (line, zone->shape))
        continue;
      g_clear_error (&error);
      entry = rake_division_new_cut (zone, line, &error);
      if (entry != NULL)
        g_ptr_array_add (gesture, entry);
    }
  record_divisions (self, gesture, error);
}

static void
make_band (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeZoneEditor *self = RAKE_ZONE_EDITOR (widget);
  g_autoptr (GPtrArray) zones = get_meant (self);
  GPtrArray *gesture = new_gesture ();
  g_autoptr (GError) error = NULL;

  gtk_popover_popdown (GTK_POPOVER (self->band_popover));
  for (guint i = 0; i < zones->len; i++)
    {
      RakeEntry *entry;

      g_clear_error (&error);
      entry = rake_division_new_band (zones->pdata[i], gtk_spin_button_get_value (self->band_width),
                                      gtk_check_button_get_active (self->band_holes), &error);
      if (entry != NULL)
        g_ptr_array_add (gesture, entry);
    }
  record_divisions (self, gesture, error);
}

static void
make_grid (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeZoneEditor *self = RAKE_ZONE_EDITOR (widget);
  g_autoptr (GPtrArray) zones = get_meant (self);
  GPtrArray *gesture = new_gesture ();
  g_autoptr (GError) error = NULL;

  gtk_popover_popdown (GTK_POPOVER (self->grid_popover));
  for (guint i = 0; i < zones->len; i++)
    {
      RakeEntry *entry;

      g_clear_error (&error);
      entry = rake_division_new_grid (
          zones->pdata[i], (guint) gtk_spin_button_get_value_as_int (self->grid_columns),
          (guint) gtk_spin_button_get_value_as_int (self->grid_rows), &error);
      if (entry != NULL)
        g_ptr_array_add (gesture, entry);
    }
  record_divisions (self, gesture, error);
}

static void
join (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeZoneEditor *self = RAKE_ZONE_EDITOR (widget);
  g_autoptr (GPtrArray) zones = rake_zone_canvas_get_chosen (self->canvas);
  GPtrArray *gesture = new_gesture ();
  g_autoptr (GError) error = NULL;
  RakeEntry *entry =
      rake_division_new_join ((const RakeZone *const *) zones->pdata, zones->len, &error);

  if (entry != NULL)
    g_ptr_array_add (gesture, entry);
  record_divisions (self, gesture, error);
}

static void
undo (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeZoneEditor *self = RAKE_ZONE_EDITOR (widget);

  if (self->host.undo == NULL)
    return;
  self->host.undo (self->host.owner);
  say_hint (self, NULL);
  rake_zone_editor_refresh (self);
}

static void
on_facts (RakeZoneEditor *self)
{
  g_autoptr (GPtrArray) chosen = NULL;
  GPtrArray *gesture;
  const RakeZone *zone;
  const RakeStage *first;
  const char *name;
  gboolean is_edge;
  guint stage;
  RakeEntry *entry;

  if (self->is_showing || get_face (self) == NULL)
    return;
  chosen = rake_zone_canvas_get_chosen (self->canvas);
  if (chosen->len != 1)
    return;
  zone = chosen->pdata[0];
  name = gtk_editable_get_text (GTK_EDITABLE (self->zone_name));
  is_edge = gtk_switch_get_active (self->zone_is_edge);
  stage = adw_combo_row_get_selected (self->zone_first_stage);
  first = stage < zone->face->stages->len ? zone->face->stages->pdata[stage] : NULL;

  entry = rake_entry_new (RAKE_ENTRY_ZONE_FACTS);
  entry->zone_facts.zone = zone->id;
  if (*name != '\0' && !g_str_equal (name, zone->name))
    entry->zone_facts.name = g_strdup (name);
  if (is_edge != zone->is_edge)
    {
      entry->zone_facts.is_edge = is_edge ? RAKE_ANSWER_YES : RAKE_ANSWER_NO;
      entry->zone_facts.edge_factor = is_edge ? RAKE_USUAL_EDGE_FACTOR : 1;
    }
  if (first != NULL && first != zone->first_stage)
    entry->zone_facts.first_stage = first->id;
  gesture = new_gesture ();
  if (entry->zone_facts.name == NULL && entry->zone_facts.is_edge == RAKE_ANSWER_UNSAID &&
      rake_id_is_nil (entry->zone_facts.first_stage))
    rake_entry_unref (entry);
  else
    g_ptr_array_add (gesture, entry);
  record (self, gesture);
}

/* --- what is shown ------------------------------------------------------------------------------ */

static void
on_end_preview (RakeZoneEditor *self)
{
  rake_zone_canvas_preview (self->canvas, NULL);
}

static void
add_parts (GPtrArray *all, GPtrArray *parts)
{
  for (guint i = 0; parts != NULL && i < parts->len; i++)
    g_ptr_array_add (all, rake_shape_ref (parts->pdata[i]));
  g_clear_pointer (&parts, g_ptr_array_unref);
}

static void
on_preview_band (RakeZoneEditor *self)
{
  g_autoptr (GPtrArray) zones = get_meant (self);
  g_autoptr (GPtrArray) parts = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);

  if (!gtk_widget_get_visible (self->band_popover))
    return;
  for (guint i = 0; i < zones->len; i++)
    {
      const RakeZone *zone = zones->pdata[i];

      add_parts (parts, rake_zoning_band (zone->shape, zone->face->outline,
                                          gtk_spin_button_get_value (self->band_width),
                                          gtk_check_button_get_active (self->band_holes), NULL));
    }
  rake_zone_canvas_preview (self->canvas, parts);
}

static void
on_preview_grid (RakeZoneEditor *self)
{
  g_autoptr (GPtrArray) zones = get_meant (self);
  g_autoptr (GPtrArray) parts = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);

  if (!gtk_widget_get_visible (self->grid_popover))
    return;
  for (guint i = 0; i < zones->len; i++)
    add_parts (parts,
               rake_zoning_grid (((const RakeZone *) zones->pdata[i])->shape,
                                 (guint) gtk_spin_button_get_value_as_int (self->grid_columns),
                                 (guint) gtk_spin_button_get_value_as_int (self->grid_rows), NULL));
  rake_zone_canvas_preview (self->canvas, parts);
}

static void
show_facts (RakeZoneEditor *self)
{
  g_autoptr (GPtrArray) chosen = rake_zone_canvas_get_chosen (self->canvas);
  const RakeZone *zone = chosen->len == 1 ? chosen->pdata[0] : NULL;
  g_autoptr (GtkStringList) stages = gtk_string_list_new (NULL);

  gtk_widget_set_visible (self->facts, zone != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "zones.join", chosen->len > 1);
  if (zone == NULL)
    return;
  self->is_showing = TRUE;
  gtk_editable_set_text (GTK_EDITABLE (self->zone_name), zone->name);
  gtk_switch_set_active (self->zone_is_edge, zone->is_edge);
  for (guint i = 0; i < zone->face->stages->len; i++)
    {
      g_autofree char *words = rake_say_stage (zone->face->stages->pdata[i]);

      gtk_string_list_append (stages, words);
    }
  adw_combo_row_set_model (self->zone_first_stage, G_LIST_MODEL (stages));
  if (zone->first_stage != NULL)
    adw_combo_row_set_selected (self->zone_first_stage, zone->first_stage->position);
  self->is_showing = FALSE;
}

static gboolean
is_chosen (GPtrArray *chosen, const RakeZone *zone)
{
  return g_ptr_array_find (chosen, zone, NULL);
}

static GtkWidget *
new_row (const RakeZone *zone, gboolean chosen)
{
  GtkWidget *row = adw_action_row_new ();
  g_autofree char *area = rake_say_area (rake_shape_get_area_mm2 (zone->shape));
  g_autofree char *below =
      zone->is_edge ? g_strdup_printf (_ ("%s · edge"), area) : g_steal_pointer (&area);

  adw_preferences_row_set_use_markup (ADW_PREFERENCES_ROW (row), FALSE);
  adw_preferences_row_set_title (ADW_PREFERENCES_ROW (row), zone->name);
  adw_action_row_set_subtitle (ADW_ACTION_ROW (row), below);
  gtk_list_box_row_set_activatable (GTK_LIST_BOX_ROW (row), TRUE);
  if (chosen)
    {
      GtkWidget *tick = gtk_image_new_from_icon_name ("object-select-symbolic");

      adw_action_row_add_suffix (ADW_ACTION_ROW (row), tick);
      gtk_widget_add_css_class (row, "lamp");
    }
  gtk_accessible_update_state (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_STATE_SELECTED, chosen, -1);
  return row;
}

static void
show_list (RakeZoneEditor *self)
{
  const RakeFace *face = get_face (self);
  g_autoptr (GPtrArray) chosen = rake_zone_canvas_get_chosen (self->canvas);
  GtkWidget *row;

  while ((row = gtk_widget_get_first_child (GTK_WIDGET (self->list))) != NULL)
    gtk_list_box_remove (self->list, row);
  for (guint i = 0; face != NULL && i < face->zones->len; i++)
    gtk_list_box_append (
        self->list, new_row (face->zones->pdata[i], is_chosen (chosen, face->zones->pdata[i])));
}

static void
on_chosen (RakeZoneEditor *self)
{
  show_list (self);
  show_facts (self);
}

static void
on_row (RakeZoneEditor *self, GtkListBoxRow *row)
{
  const RakeFace *face = get_face (self);
  int index = gtk_list_box_row_get_index (row);

  if (face != NULL && index >= 0 && index < (int) face->zones->len)
    rake_zone_canvas_choose (self->canvas, ((const RakeZone *) face->zones->pdata[index])->id,
                             TRUE);
}

static void
on_tool (RakeZoneEditor *self)
{
  rake_zone_canvas_set_tool (
      self->canvas, gtk_toggle_button_get_active (self->cut_tool)        ? RAKE_ZONE_TOOL_CUT
                    : gtk_toggle_button_get_active (self->freehand_tool) ? RAKE_ZONE_TOOL_FREEHAND
                                                                         : RAKE_ZONE_TOOL_CHOOSE);
  say_hint (self, NULL);
}

void
rake_zone_editor_refresh (RakeZoneEditor *self)
{
  rake_zone_canvas_show (self->canvas, get_face (self));
  on_chosen (self);
}

void
rake_zone_editor_edit (RakeZoneEditor *self, const RakeZoneHost *host, RakeId face)
{
  self->host = host != NULL ? *host : (RakeZoneHost){ 0 };
  self->face = face;
  gtk_widget_set_visible (self->done_button, self->session != NULL);
  say_hint (self, NULL);
  rake_zone_editor_refresh (self);
}

/* --- on a session -------------------------------------------------------------------------------- */

static const RakeJob *
get_session_job (gpointer owner)
{
  return rake_session_get_live_job (RAKE_SESSION (owner));
}

static gboolean
append_to_session (gpointer owner, RakeEntry *const *entries, guint n_entries, char **why)
{
  if (rake_session_append (RAKE_SESSION (owner), entries, n_entries))
    return TRUE;
  *why = g_strdup (_ ("That could not be recorded."));
  return FALSE;
}

static void
undo_in_session (gpointer owner)
{
  rake_session_undo (RAKE_SESSION (owner));
}

static void
follow_session (RakeZoneEditor *self)
{
  const RakeFace *face = self->session != NULL ? rake_session_get_face (self->session) : NULL;
  const RakeZoneHost host = {
    .owner = self->session,
    .get_job = get_session_job,
    .append = append_to_session,
    .undo = undo_in_session,
  };

  rake_zone_editor_edit (self, face != NULL ? &host : NULL, face != NULL ? face->id : RAKE_ID_NIL);
}

static void
set_session (RakeZoneEditor *self, RakeSession *session)
{
  if (self->session != NULL)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_set_object (&self->session, session);
  if (session != NULL)
    {
      g_signal_connect_swapped (session, "changed", G_CALLBACK (rake_zone_editor_refresh), self);
      g_signal_connect_swapped (session, "selected", G_CALLBACK (follow_session), self);
    }
  follow_session (self);
}

/* --- class ---------------------------------------------------------------------------------------- */

static void
rake_zone_editor_dispose (GObject *object)
{
  RakeZoneEditor *self = RAKE_ZONE_EDITOR (object);

  if (self->session != NULL)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_clear_object (&self->session);
  self->host = (RakeZoneHost){ 0 };
  gtk_widget_dispose_template (GTK_WIDGET (self), RAKE_TYPE_ZONE_EDITOR);
  G_OBJECT_CLASS (rake_zone_editor_parent_class)->dispose (object);
}

static void
rake_zone_editor_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, RAKE_ZONE_EDITOR (object)->session);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_zone_editor_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    set_session (RAKE_ZONE_EDITOR (object), g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, content);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, canvas);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, choose_tool);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, cut_tool);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, freehand_tool);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, band_popover);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, grid_popover);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, done_button);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, facts);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, band_width);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, band_holes);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, grid_columns);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, grid_rows);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, hint);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, list);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, zone_name);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, zone_is_edge);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneEditor, zone_first_stage);
  gtk_widget_class_bind_template_callback (widget_class, on_tool);
  gtk_widget_class_bind_template_callback (widget_class, on_cut);
  gtk_widget_class_bind_template_callback (widget_class, on_chosen);
  gtk_widget_class_bind_template_callback (widget_class, on_row);
  gtk_widget_class_bind_template_callback (widget_class, on_facts);
  gtk_widget_class_bind_template_callback (widget_class, on_preview_band);
  gtk_widget_class_bind_template_callback (widget_class, on_preview_grid);
  gtk_widget_class_bind_template_callback (widget_class, on_end_preview);
}

static void
rake_zone_editor_class_init (RakeZoneEditorClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = rake_zone_editor_dispose;
  object_class->get_property = rake_zone_editor_get_property;
  object_class->set_property = rake_zone_editor_set_property;
  props[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);

  g_type_ensure (RAKE_TYPE_ZONE_CANVAS);
  gtk_widget_class_set_template_from_resource (widget_class,
                                               "/org/rakelight/Rakelight/ui/zone-editor.ui");
  bind_children (widget_class);
  gtk_widget_class_install_action (widget_class, "zones.band", NULL, make_band);
  gtk_widget_class_install_action (widget_class, "zones.grid", NULL, make_grid);
  gtk_widget_class_install_action (widget_class, "zones.join", NULL, join);
  gtk_widget_class_install_action (widget_class, "zones.undo", NULL, undo);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_z, GDK_CONTROL_MASK, "zones.undo",
                                       NULL);
}

static void
rake_zone_editor_init (RakeZoneEditor *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  say_hint (self, NULL);
}
