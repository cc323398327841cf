/* zone-facts-dialog.c - a zone's name, edge, reserve and first stage. */
#include "zone-facts-dialog.h"
#include "dialog-watch.h"
#include "say.h"

#include <math.h>
#include <rakelight/units.h>
#include "words.h"

#define RESERVE_UNSAID (-1.0)
#define MOST_RESERVE_UM 1000

struct _RakeZoneFactsDialog
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId zone;
  GtkWidget *heading, *name, *is_edge, *edge_factor_row, *edge_factor, *reserve, *first_stage;
};

G_DEFINE_FINAL_TYPE (RakeZoneFactsDialog, rake_zone_facts_dialog, ADW_TYPE_WINDOW)

/* The entry says what differs from the zone as it is now; NULL when nothing does. */
static RakeEntry *
take_changes (RakeZoneFactsDialog *self, const RakeZone *zone)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_ZONE_FACTS);
  RakeZoneFactsBody *facts = &entry->zone_facts;
  g_autofree char *name = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->name))));
  gboolean is_edge = gtk_switch_get_active (GTK_SWITCH (self->is_edge));
  double factor = gtk_spin_button_get_value (GTK_SPIN_BUTTON (self->edge_factor));
  double reserve_um;
  guint stage = adw_combo_row_get_selected (ADW_COMBO_ROW (self->first_stage));
  gboolean has_changes = FALSE;

  gtk_spin_button_update (GTK_SPIN_BUTTON (self->reserve));
  reserve_um = gtk_spin_button_get_value (GTK_SPIN_BUTTON (self->reserve));
  facts->zone = zone->id;
  facts->edge_factor = facts->reserve_um = NAN;
  if (*name && !g_str_equal (name, zone->name))
    {
      facts->name = g_steal_pointer (&name);
      has_changes = TRUE;
    }
  if (is_edge != zone->is_edge)
    {
      facts->is_edge = is_edge ? RAKE_ANSWER_YES : RAKE_ANSWER_NO;
      has_changes = TRUE;
    }
  if (fabs (factor - zone->edge_factor) > 0.005)
    {
      facts->edge_factor = factor;
      has_changes = TRUE;
    }
  if (reserve_um >= 0 && !(fabs (reserve_um - zone->reserve_um) < 0.05))
    {
      facts->reserve_um = reserve_um;
      has_changes = TRUE;
    }
  if (stage < zone->face->stages->len && zone->face->stages->pdata[stage] != zone->first_stage)
    {
      facts->first_stage = ((const RakeStage *) zone->face->stages->pdata[stage])->id;
      has_changes = TRUE;
    }
  return has_changes ? g_steal_pointer (&entry) : NULL;
}

static void
record (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeZoneFactsDialog *self = RAKE_ZONE_FACTS_DIALOG (widget);
  g_autoptr (RakeZoneFactsDialog) alive = g_object_ref (self);
  const RakeZone *zone = rake_job_find_zone (rake_session_get_job (self->session), self->zone);
  g_autoptr (RakeEntry) entry = zone ? take_changes (self, zone) : NULL;

  if (!entry || rake_session_append (self->session, &entry, 1))
    gtk_window_destroy (GTK_WINDOW (self));
}

static void
on_name_changed (RakeZoneFactsDialog *self)
{
  g_autofree char *name = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->name))));

  gtk_widget_action_set_enabled (GTK_WIDGET (self), "facts.record", *name != '\0');
}

/* In the unit that was chosen; the spin button itself counts µm. A reserve that was never said shows as a
 * dash: 0 would be a promise. */
static char *
say_reserve (double reserve_um)
{
  return reserve_um < 0 ? g_strdup ("–") : rake_units_to_text (RAKE_MEASURE_FILM, reserve_um);
}

static gboolean
on_reserve_output (GtkSpinButton *spin)
{
  g_autofree char *text = say_reserve (gtk_spin_button_get_value (spin));

  if (!g_str_equal (gtk_editable_get_text (GTK_EDITABLE (spin)), text))
    gtk_editable_set_text (GTK_EDITABLE (spin), text);
  return TRUE;
}

/* What was not touched stays as it is, though it is shown rounded. */
static int
on_reserve_input (GtkSpinButton *spin, double *value)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (spin));
  g_autofree char *shown = say_reserve (gtk_spin_button_get_value (spin));

  if (g_str_equal (text, shown))
    {
      *value = gtk_spin_button_get_value (spin);
      return TRUE;
    }
  return rake_units_parse (RAKE_MEASURE_FILM, text, 0, MOST_RESERVE_UM, value, NULL)
             ? TRUE
             : GTK_INPUT_ERROR;
}

static void
show_stages (RakeZoneFactsDialog *self, const RakeZone *zone)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  guint selected = GTK_INVALID_LIST_POSITION;

  for (guint i = 0; i < zone->face->stages->len; i++)
    {
      const RakeStage *stage = zone->face->stages->pdata[i];

      gtk_string_list_take (names, rake_say_stage (stage));
      if (stage == zone->first_stage)
        selected = i;
    }
  adw_combo_row_set_model (ADW_COMBO_ROW (self->first_stage), G_LIST_MODEL (names));
  adw_combo_row_set_selected (ADW_COMBO_ROW (self->first_stage), selected);
  gtk_widget_set_visible (self->first_stage, zone->face->stages->len > 0);
}

static void
show (RakeZoneFactsDialog *self, const RakeZone *zone)
{
  gtk_window_set_title (GTK_WINDOW (self), zone->name);
  gtk_label_set_label (GTK_LABEL (self->heading), zone->name);
  gtk_editable_set_text (GTK_EDITABLE (self->name), zone->name);
  gtk_switch_set_active (GTK_SWITCH (self->is_edge), zone->is_edge);
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (self->edge_factor), zone->edge_factor);
  gtk_spin_button_set_range (GTK_SPIN_BUTTON (self->reserve),
                             isfinite (zone->reserve_um) ? 0 : RESERVE_UNSAID, MOST_RESERVE_UM);
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (self->reserve),
                             isfinite (zone->reserve_um) ? zone->reserve_um : RESERVE_UNSAID);
  show_stages (self, zone);
}

RakeZoneFactsDialog *
rake_zone_facts_dialog_present (GtkWindow *parent, RakeSession *session, RakeId zone_id)
{
  const RakeZone *zone = rake_job_find_zone (rake_session_get_job (session), zone_id);
  RakeZoneFactsDialog *self;

  if (!zone)
    return NULL;
  self = g_object_new (RAKE_TYPE_ZONE_FACTS_DIALOG, "transient-for", parent, NULL);
  self->session = g_object_ref (session);
  self->zone = zone_id;
  show (self, zone);
  rake_dialog_watch (GTK_WINDOW (self), session, zone_id);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

static void
rake_zone_facts_dialog_dispose (GObject *object)
{
  g_clear_object (&RAKE_ZONE_FACTS_DIALOG (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_ZONE_FACTS_DIALOG);
  G_OBJECT_CLASS (rake_zone_facts_dialog_parent_class)->dispose (object);
}

static void
rake_zone_facts_dialog_class_init (RakeZoneFactsDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_zone_facts_dialog_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "zone-facts-dialog.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeZoneFactsDialog, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneFactsDialog, name);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneFactsDialog, is_edge);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneFactsDialog, edge_factor_row);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneFactsDialog, edge_factor);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneFactsDialog, reserve);
  gtk_widget_class_bind_template_child (widget_class, RakeZoneFactsDialog, first_stage);
  gtk_widget_class_bind_template_callback (widget_class, on_name_changed);
  gtk_widget_class_bind_template_callback (widget_class, on_reserve_output);
  gtk_widget_class_bind_template_callback (widget_class, on_reserve_input);
  gtk_widget_class_install_action (widget_class, "facts.record", NULL, record);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_zone_facts_dialog_init (RakeZoneFactsDialog *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
