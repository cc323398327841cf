/* wheel-dialog.c - a wheel's facts. */
#include "wheel-dialog.h"
#include "dialog-watch.h"
#include "typed.h"
#include "wheel-card.h"

#include <math.h>
#include <rakelight/units.h>
#include <rakelight/wheel.h>

#include "words.h"

#define MOST_RPM 100000
#define MOST_MM 5000

/* The numbers of a wheel, as they are asked for. */
typedef enum
{
  DIAMETER,
  WIDTH,
  MOTOR,
  MOTOR_PULLEY,
  WHEEL_PULLEY,
  RATED,
  N_NUMBERS,
} Number;

struct _RakeWheelDialog
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId wheel;
  GtkWidget *heading, *name, *compound, *only_this, *others, *not_known, *numbers, *speed, *fault;
  GtkWidget *entries[N_NUMBERS];
};

G_DEFINE_FINAL_TYPE (RakeWheelDialog, rake_wheel_dialog, ADW_TYPE_WINDOW)

static const struct
{
  const char *label;
  gboolean is_length;
  goffset offset;
} numbers[N_NUMBERS] = {
  [DIAMETER] = { N_ ("Diameter"), TRUE, G_STRUCT_OFFSET (RakeWheelBody, diameter_mm) },
  [WIDTH] = { N_ ("Width"), TRUE, G_STRUCT_OFFSET (RakeWheelBody, width_mm) },
  [MOTOR] = { N_ ("Motor, turns a minute"), FALSE, G_STRUCT_OFFSET (RakeWheelBody, motor_rpm) },
  [MOTOR_PULLEY] = { N_ ("Pulley on the motor"), TRUE,
                     G_STRUCT_OFFSET (RakeWheelBody, motor_pulley_mm) },
  [WHEEL_PULLEY] = { N_ ("Pulley on the wheel's shaft"), TRUE,
                     G_STRUCT_OFFSET (RakeWheelBody, wheel_pulley_mm) },
  [RATED] = { N_ ("Rated for, turns a minute"), FALSE, G_STRUCT_OFFSET (RakeWheelBody, rated_rpm) },
};

static double *
get_place (RakeWheelBody *wheel, Number number)
{
  return (double *) (gpointer) ((char *) wheel + numbers[number].offset);
}

/* --- reading what was typed ------------------------------------------------------------------------- */

static gboolean
read_number (RakeWheelDialog *self, Number number, double *value, GError **error)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entries[number]));

  *value = NAN;
  if (*text == '\0')
    return TRUE;
  if (!rake_units_parse (numbers[number].is_length ? RAKE_MEASURE_LENGTH : RAKE_MEASURE_TURNS, text,
                         0, numbers[number].is_length ? MOST_MM : MOST_RPM, value, error))
    {
      g_prefix_error (error, "%s: ", _ (numbers[number].label));
      return FALSE;
    }
  return TRUE;
}

static gboolean
read_numbers (RakeWheelDialog *self, RakeWheelBody *wheel, GError **error)
{
  for (int number = 0; number < N_NUMBERS; number++)
    if (!read_number (self, (Number) number, get_place (wheel, (Number) number), error))
      return FALSE;
  return TRUE;
}

static RakeEntry *
read_entry (RakeWheelDialog *self, GError **error)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_WHEEL);

  entry->wheel.wheel = self->wheel;
  entry->wheel.work = rake_id_is_nil (self->wheel) ? RAKE_WHEEL_WORK_NEW : RAKE_WHEEL_WORK_UNSAID;
  entry->wheel.name = rake_typed_words (self->name);
  entry->wheel.compound = rake_typed_words (self->compound);
  entry->wheel.carried_other =
      gtk_check_button_get_active (GTK_CHECK_BUTTON (self->only_this)) ? RAKE_ANSWER_NO
      : gtk_check_button_get_active (GTK_CHECK_BUTTON (self->others))  ? RAKE_ANSWER_YES
                                                                       : RAKE_ANSWER_UNSAID;
  if (!read_numbers (self, &entry->wheel, error))
    return NULL;
  return g_steal_pointer (&entry);
}

/* --- showing ------------------------------------------------------------------------------------------ */

static void
on_typed (RakeWheelDialog *self)
{
  RakeWheelBody wheel = { 0 };
  g_autoptr (GError) error = NULL;
  g_autofree char *name = rake_typed_words (self->name), *speed = NULL, *text = NULL;
  double m_per_s = NAN;

  if (read_numbers (self, &wheel, &error))
    m_per_s = rake_wheel_surface_m_per_s (wheel.diameter_mm, rake_wheel_get_rpm (&wheel));
  gtk_label_set_label (GTK_LABEL (self->fault), error ? error->message : "");
  gtk_widget_set_visible (self->fault, error != NULL);
  if (isfinite (m_per_s))
    {
      speed = rake_units_to_text (RAKE_MEASURE_SPEED, m_per_s);
      text = g_strdup_printf (_ ("Its rim runs at %s."), speed);
    }
  gtk_label_set_label (GTK_LABEL (self->speed), text ? text : "");
  gtk_widget_set_visible (self->speed, text != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "wheel.record", name && !error);
}

static void
record (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeWheelDialog *self = RAKE_WHEEL_DIALOG (widget);
  g_autoptr (RakeWheelDialog) alive = g_object_ref (self);
  g_autoptr (RakeEntry) entry = read_entry (self, NULL);

  if (entry && entry->wheel.name && rake_session_append (self->session, &entry, 1))
    gtk_window_destroy (GTK_WINDOW (self));
}

static void
add_numbers (RakeWheelDialog *self)
{
  for (int number = 0; number < N_NUMBERS; number++)
    {
      g_autofree char *text = numbers[number].is_length
                                  ? g_strdup_printf (_ ("%s, %s"), _ (numbers[number].label),
                                                     rake_units_get_sign (RAKE_MEASURE_LENGTH))
                                  : g_strdup (_ (numbers[number].label));
      GtkWidget *label = gtk_label_new (text), *entry = gtk_entry_new ();

      gtk_label_set_xalign (GTK_LABEL (label), 0);
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_widget_set_hexpand (label, TRUE);
      gtk_entry_set_activates_default (GTK_ENTRY (entry), TRUE);
      gtk_widget_add_css_class (entry, "wide");
      gtk_accessible_update_relation (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_RELATION_LABELLED_BY,
                                      label, NULL, -1);
      g_signal_connect_swapped (entry, "changed", G_CALLBACK (on_typed), self);
      gtk_grid_attach (GTK_GRID (self->numbers), label, 0, number, 1, 1);
      gtk_grid_attach (GTK_GRID (self->numbers), entry, 1, number, 1, 1);
      self->entries[number] = entry;
    }
}

static void
fill (RakeWheelDialog *self, const RakeEntry *before)
{
  RakeWheelBody wheel = before->wheel;
  GtkWidget *carried = wheel.carried_other == RAKE_ANSWER_NO    ? self->only_this
                       : wheel.carried_other == RAKE_ANSWER_YES ? self->others
                                                                : self->not_known;

  gtk_editable_set_text (GTK_EDITABLE (self->name), wheel.name);
  gtk_editable_set_text (GTK_EDITABLE (self->compound), wheel.compound ? wheel.compound : "");
  gtk_check_button_set_active (GTK_CHECK_BUTTON (carried), TRUE);
  for (int number = 0; number < N_NUMBERS; number++)
    {
      double value = *get_place (&wheel, (Number) number);
      g_autofree char *text = NULL;

      if (!isfinite (value))
        continue;
      text = rake_units_to_number (
          numbers[number].is_length ? RAKE_MEASURE_LENGTH : RAKE_MEASURE_TURNS, value);
      gtk_editable_set_text (GTK_EDITABLE (self->entries[number]), text);
    }
}

RakeWheelDialog *
rake_wheel_dialog_present (GtkWindow *parent, RakeSession *session, RakeId wheel)
{
  const RakeEntry *before = rake_job_find_wheel (rake_session_get_job (session), wheel);
  RakeWheelDialog *self;
  const char *heading;

  if (!rake_id_is_nil (wheel) && !before)
    return NULL;
  self = g_object_new (RAKE_TYPE_WHEEL_DIALOG, "transient-for", parent, NULL);
  self->session = g_object_ref (session);
  self->wheel = wheel;
  heading = before ? _ ("Facts of the wheel") : _ ("A new wheel");
  gtk_window_set_title (GTK_WINDOW (self), heading);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  if (before)
    fill (self, before);
  on_typed (self);
  rake_dialog_watch (GTK_WINDOW (self), session, wheel);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

static void
rake_wheel_dialog_dispose (GObject *object)
{
  g_clear_object (&RAKE_WHEEL_DIALOG (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_WHEEL_DIALOG);
  G_OBJECT_CLASS (rake_wheel_dialog_parent_class)->dispose (object);
}

static void
rake_wheel_dialog_class_init (RakeWheelDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_wheel_dialog_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "wheel-dialog.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, name);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, compound);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, only_this);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, others);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, not_known);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, numbers);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, speed);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelDialog, fault);
  gtk_widget_class_bind_template_callback (widget_class, on_typed);
  gtk_widget_class_install_action (widget_class, "wheel.record", NULL, record);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_wheel_dialog_init (RakeWheelDialog *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  add_numbers (self);
}
