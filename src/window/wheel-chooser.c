/* wheel-chooser.c - which wheel the passes at a buff stage take. */
#include "wheel-chooser.h"
#include "dialog-watch.h"
#include "wheel-card.h"
#include "wheel-dialog.h"

#include <rakelight/wheel.h>

#include "words.h"

struct _RakeWheelChooser
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId stage;
  gboolean is_for_pass;
  GtkWidget *heading, *wheels;
};

G_DEFINE_FINAL_TYPE (RakeWheelChooser, rake_wheel_chooser, ADW_TYPE_WINDOW)

static const RakeStage *
find_stage (RakeWheelChooser *self)
{
  return rake_job_find_stage (rake_session_get_job (self->session), self->stage);
}

/* --- a wheel ------------------------------------------------------------------------------------- */

static GtkWidget *
add_label (GtkWidget *box, const char *text, const char *css_class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  if (css_class)
    gtk_widget_add_css_class (label, css_class);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static GtkWidget *
add_button (GtkWidget *box, const char *label, const char *action, RakeId wheel, const char *name)
{
  GtkWidget *button = gtk_button_new_with_label (label);
  g_autofree char *described = g_strdup_printf ("%s: %s", name, label);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (wheel, id);
  gtk_widget_add_css_class (button, "wide");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", id);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, described,
                                  -1);
  gtk_box_append (GTK_BOX (box), button);
  return button;
}

static GtkWidget *
new_row (const RakeWheelStanding *standing, RakeId wheel, const char *compound)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  const char *name = standing->entry->wheel.name;
  g_autofree char *carries = rake_wheel_say_carries (standing);
  g_autofree char *refusal = rake_wheel_refuse (standing, compound);
  g_autofree char *advice = refusal ? NULL : rake_wheel_advise (standing);

  gtk_widget_add_css_class (row, "wheel-card");
  add_label (row, name, "zone-name");
  if (refusal || advice)
    add_label (row, refusal ? refusal : advice, "caution");
  else
    add_label (row, carries, NULL);
  if (refusal)
    {
      add_button (buttons, C_ ("wheel", "Stripped"), "chooser.stripped", wheel, name);
      add_button (buttons, C_ ("wheel", "Replaced"), "chooser.replaced", wheel, name);
    }
  else
    {
      gtk_widget_add_css_class (
          add_button (buttons, C_ ("wheel", "Take This"), "chooser.take", wheel, name),
          "main-action");
      if (advice)
        add_button (buttons, C_ ("wheel", "Checked"), "chooser.checked", wheel, name);
    }
  gtk_box_append (GTK_BOX (row), buttons);
  return row;
}

static void
show (RakeWheelChooser *self)
{
  const RakeJob *job = rake_session_get_job (self->session);
  const RakeStage *stage = find_stage (self);
  g_autoptr (GArray) wheels = rake_wheel_list (job);
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->wheels)))
    gtk_box_remove (GTK_BOX (self->wheels), child);
  for (guint i = 0; stage && i < wheels->len; i++)
    {
      RakeId wheel = g_array_index (wheels, RakeId, i);
      RakeWheelStanding standing;

      if (rake_wheel_take (job, wheel, &standing))
        gtk_box_append (GTK_BOX (self->wheels), new_row (&standing, wheel, stage->grade));
    }
  if (wheels->len == 0)
    add_label (self->wheels, _ ("No wheel is on record yet."), "soft");
}

/* --- what is answered ------------------------------------------------------------------------------ */

static void
choose (RakeWheelChooser *self, RakeId wheel)
{
  g_autoptr (RakeWheelChooser) alive = g_object_ref (self);
  const RakeStage *stage = find_stage (self);

  if (!stage)
    return;
  rake_session_choose_wheel (self->session, stage, wheel);
  gtk_window_destroy (GTK_WINDOW (self));
  if (self->is_for_pass)
    rake_session_pass_done (self->session);
}

static void
take (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeId wheel;

  if (rake_id_from_text (g_variant_get_string (parameter, NULL), &wheel))
    choose (RAKE_WHEEL_CHOOSER (widget), wheel);
}

static void
take_none (GtkWidget *widget, const char *action, GVariant *parameter)
{
  choose (RAKE_WHEEL_CHOOSER (widget), RAKE_ID_NIL);
}

static void
note_work (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeWheelWork work = g_str_has_suffix (action, "checked")    ? RAKE_WHEEL_WORK_CHECKED
                       : g_str_has_suffix (action, "stripped") ? RAKE_WHEEL_WORK_STRIPPED
                                                               : RAKE_WHEEL_WORK_REPLACED;
  RakeId wheel;

  if (rake_id_from_text (g_variant_get_string (parameter, NULL), &wheel))
    rake_session_note_wheel_work (RAKE_WHEEL_CHOOSER (widget)->session, wheel, work);
}

static void
tell_new_wheel (GtkWidget *widget, const char *action, GVariant *parameter)
{
  rake_wheel_dialog_present (GTK_WINDOW (widget), RAKE_WHEEL_CHOOSER (widget)->session,
                             RAKE_ID_NIL);
}

/* --- the whole ------------------------------------------------------------------------------------- */

RakeWheelChooser *
rake_wheel_chooser_present (GtkWindow *parent, RakeSession *session, RakeId stage_id,
                            gboolean is_for_pass)
{
  const RakeStage *stage = rake_job_find_stage (rake_session_get_job (session), stage_id);
  g_autofree char *heading = NULL;
  RakeWheelChooser *self;

  if (!stage || stage->action != RAKE_ACTION_BUFF)
    return NULL;
  self = g_object_new (RAKE_TYPE_WHEEL_CHOOSER, "transient-for", parent, NULL);
  self->session = g_object_ref (session);
  self->stage = stage_id;
  self->is_for_pass = is_for_pass;
  /* Translators: %s is a compound. */
  heading = g_strdup_printf (_ ("Which wheel for %s?"), stage->grade);
  gtk_window_set_title (GTK_WINDOW (self), heading);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  g_signal_connect_object (session, "changed", G_CALLBACK (show), self, G_CONNECT_SWAPPED);
  show (self);
  rake_dialog_watch (GTK_WINDOW (self), session, stage_id);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

static void
rake_wheel_chooser_dispose (GObject *object)
{
  g_clear_object (&RAKE_WHEEL_CHOOSER (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_WHEEL_CHOOSER);
  G_OBJECT_CLASS (rake_wheel_chooser_parent_class)->dispose (object);
}

static void
rake_wheel_chooser_class_init (RakeWheelChooserClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_wheel_chooser_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "wheel-chooser.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeWheelChooser, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelChooser, wheels);
  gtk_widget_class_install_action (widget_class, "chooser.take", "s", take);
  gtk_widget_class_install_action (widget_class, "chooser.take-none", NULL, take_none);
  gtk_widget_class_install_action (widget_class, "chooser.checked", "s", note_work);
  gtk_widget_class_install_action (widget_class, "chooser.stripped", "s", note_work);
  gtk_widget_class_install_action (widget_class, "chooser.replaced", "s", note_work);
  gtk_widget_class_install_action (widget_class, "chooser.new-wheel", NULL, tell_new_wheel);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_wheel_chooser_init (RakeWheelChooser *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
