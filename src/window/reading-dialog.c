/* reading-dialog.c - instruments read at a zone, typed fast. */
#include "reading-dialog.h"
#include "dialog-watch.h"
#include "film-section.h"
#include "settings.h"

#include <math.h>
#include <rakelight/statistics.h>
#include <rakelight/units.h>

#include "words.h"

#define MOST_AT_ONCE 50
#define MOST_FILM_UM 3000
#define LEAST_NOMINAL_UM 1
#define MOST_GLOSS_GU 2000
#define LEAST_CELSIUS (-30)
#define MOST_CELSIUS 200

struct _RakeReadingDialog
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId zone;
  GtkWidget *heading, *film, *gloss, *temperature, *angles, *at_20, *at_60, *at_85, *numbers,
      *numbers_label, *instrument, *fault, *so_far, *nominal_check, *nominal_row, *nominal_label,
      *nominal, *next;
};

G_DEFINE_FINAL_TYPE (RakeReadingDialog, rake_reading_dialog, ADW_TYPE_WINDOW)

static const RakeZone *
find_zone (RakeReadingDialog *self)
{
  return rake_job_find_zone (rake_session_get_job (self->session), self->zone);
}

static gboolean
is_chosen (GtkWidget *button)
{
  return gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (button));
}

static RakeQuantity
get_quantity (RakeReadingDialog *self)
{
  return is_chosen (self->film)    ? RAKE_QUANTITY_FILM_UM
         : is_chosen (self->gloss) ? RAKE_QUANTITY_GLOSS_GU
                                   : RAKE_QUANTITY_TEMPERATURE_CELSIUS;
}

static RakeMeasure
get_measure (RakeReadingDialog *self)
{
  return is_chosen (self->film)    ? RAKE_MEASURE_FILM
         : is_chosen (self->gloss) ? RAKE_MEASURE_GLOSS
                                   : RAKE_MEASURE_TEMPERATURE;
}

static double
get_angle_deg (RakeReadingDialog *self)
{
  if (!is_chosen (self->gloss))
    return NAN;
  return is_chosen (self->at_20) ? 20 : is_chosen (self->at_85) ? 85 : 60;
}

/* --- what was typed ------------------------------------------------------------------------------ */

static RakeEntry *
new_reading (RakeReadingDialog *self, double value)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_READING);
  const char *instrument = gtk_editable_get_text (GTK_EDITABLE (self->instrument));

  entry->reading.zone = self->zone;
  entry->reading.quantity = get_quantity (self);
  entry->reading.value = value;
  entry->reading.angle_deg = get_angle_deg (self);
  if (*instrument)
    entry->reading.instrument = g_strdup (instrument);
  return entry;
}

static gboolean
parse_number (RakeReadingDialog *self, const char *text, double *value, GError **error)
{
  RakeMeasure measure = get_measure (self);
  double least = measure == RAKE_MEASURE_TEMPERATURE ? LEAST_CELSIUS : 0;
  double most = measure == RAKE_MEASURE_FILM    ? MOST_FILM_UM
                : measure == RAKE_MEASURE_GLOSS ? MOST_GLOSS_GU
                                                : MOST_CELSIUS;

  return rake_units_parse (measure, text, least, most, value, error);
}

static gboolean
begins_number (const char *word)
{
  return g_ascii_isdigit (*word) || *word == '-' || *word == '+';
}

/* A comma may belong to a number, so only spaces and semicolons part them; a unit stays with its
 * number. */
static GPtrArray *
split_numbers (const char *text)
{
  GPtrArray *parts = g_ptr_array_new_with_free_func (g_free);
  g_auto (GStrv) words = g_strsplit_set (text, " ;\t\n", -1);

  for (guint i = 0; words[i] != NULL; i++)
    {
      gboolean is_unit = parts->len > 0 && !begins_number (words[i]);

      if (*words[i] == '\0')
        continue;
      if (is_unit)
        {
          char *number = g_ptr_array_steal_index (parts, parts->len - 1);

          g_ptr_array_add (parts, g_strconcat (number, " ", words[i], NULL));
          g_free (number);
        }
      else
        g_ptr_array_add (parts, g_strdup (words[i]));
    }
  return parts;
}

static GPtrArray *
read_entries (RakeReadingDialog *self, GError **error)
{
  g_autoptr (GPtrArray) parts =
      split_numbers (gtk_editable_get_text (GTK_EDITABLE (self->numbers)));
  g_autoptr (GPtrArray) entries =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);

  if (parts->len > MOST_AT_ONCE)
    {
      g_set_error (error, RAKE_UNITS_ERROR, RAKE_UNITS_ERROR_TEXT,
                   _ ("That is more than %d readings at once; enter them in parts"), MOST_AT_ONCE);
      return NULL;
    }
  for (guint i = 0; i < parts->len; i++)
    {
      double value;

      if (!parse_number (self, parts->pdata[i], &value, error))
        return NULL;
      g_ptr_array_add (entries, new_reading (self, value));
    }
  return g_steal_pointer (&entries);
}

/* --- what is there -------------------------------------------------------------------------------- */

/* The readings of this quantity since the zone was last worked or coated, the newest last. */
static GArray *
collect_readings (RakeReadingDialog *self, const RakeZone *zone)
{
  GArray *values = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_PASS || entry->kind == RAKE_ENTRY_COAT ||
          entry->kind == RAKE_ENTRY_REPAIR)
        break;
      if (entry->kind == RAKE_ENTRY_READING && entry->reading.quantity == get_quantity (self) &&
          (!isfinite (get_angle_deg (self)) || entry->reading.angle_deg == get_angle_deg (self)))
        g_array_prepend_val (values, entry->reading.value);
    }
  return values;
}

static void
show_so_far (RakeReadingDialog *self, const RakeZone *zone)
{
  g_autoptr (GArray) values = collect_readings (self, zone);
  RakeSample sample = rake_sample_take ((const double *) (gpointer) values->data, values->len);
  RakeMeasure measure = get_measure (self);
  g_autofree char *mean = NULL;
  g_autofree char *text = NULL;

  gtk_widget_set_visible (self->so_far, values->len > 0);
  if (values->len == 0)
    return;
  mean = isfinite (sample.sd) ? rake_units_to_text_with_doubt (measure, sample.mean, sample.sd)
                              : rake_units_to_text (measure, sample.mean);
  /* Translators: how many readings there are, and their mean with its spread: "3 readings, 102 ± 4 µm". */
  text = g_strdup_printf (ngettext ("%u reading since it was last worked: %s",
                                    "%u readings since it was last worked: %s", values->len),
                          values->len, mean);
  gtk_label_set_label (GTK_LABEL (self->so_far), text);
}

static void
show_unit (RakeReadingDialog *self)
{
  /* Translators: %s is a unit: "Numbers in µm". */
  g_autofree char *text =
      g_strdup_printf (_ ("Numbers in %s"), rake_units_get_sign (get_measure (self)));

  gtk_label_set_label (GTK_LABEL (self->numbers_label), text);
  gtk_widget_set_visible (self->angles, is_chosen (self->gloss));
}

/* --- the nominal film ------------------------------------------------------------------------------ */

static double
get_nominal_um (RakeReadingDialog *self)
{
  const RakeJobFacts *facts = rake_job_find_facts (rake_session_get_live_job (self->session));

  return facts && facts->nominal_film_um > 0 ? facts->nominal_film_um : NAN;
}

static char *
say_nominal (RakeReadingDialog *self)
{
  double nominal_um = get_nominal_um (self);

  return isfinite (nominal_um) ? rake_units_to_number (RAKE_MEASURE_FILM, nominal_um)
                               : g_strdup ("");
}

static void
show_nominal (RakeReadingDialog *self, const RakeZone *zone)
{
  RakeNominalCheck check = rake_nominal_check_zone (rake_session_get_job (self->session), zone);
  g_autofree char *number = say_nominal (self);
  /* Translators: %s is a unit: "Nominal film in µm". */
  g_autofree char *label =
      g_strdup_printf (_ ("Nominal film in %s"), rake_units_get_sign (RAKE_MEASURE_FILM));

  gtk_widget_set_visible (self->nominal_row, is_chosen (self->film));
  gtk_label_set_label (GTK_LABEL (self->nominal_label), label);
  gtk_editable_set_text (GTK_EDITABLE (self->nominal), number);
  rake_nominal_check_show (is_chosen (self->film) ? &check : NULL, zone->name, self->nominal_check);
}

static const RakeZone *
find_next_zone (RakeReadingDialog *self, const RakeZone *zone)
{
  const GPtrArray *zones = zone->face->zones;

  for (guint i = 0; i < zones->len; i++)
    if (zones->pdata[i] == zone && zones->len > 1)
      return zones->pdata[(i + 1) % zones->len];
  return NULL;
}

static void
show (RakeReadingDialog *self)
{
  const RakeZone *zone = find_zone (self), *next = zone ? find_next_zone (self, zone) : NULL;
  g_autofree char *heading = NULL;
  g_autofree char *next_label = NULL;

  if (!zone)
    return;
  /* Translators: %s is a zone. */
  heading = g_strdup_printf (_ ("Readings on “%s”"), zone->name);
  gtk_window_set_title (GTK_WINDOW (self), heading);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  gtk_widget_set_visible (self->next, next != NULL);
  if (next)
    {
      next_label = g_strdup_printf (_ ("Next: %s"), next->name);
      gtk_button_set_label (GTK_BUTTON (self->next), next_label);
    }
  show_unit (self);
  show_so_far (self, zone);
  show_nominal (self, zone);
}

/* @entry: where the fault was typed. */
static void
tell_fault (RakeReadingDialog *self, GtkWidget *entry, const char *sentence)
{
  gtk_label_set_label (GTK_LABEL (self->fault), sentence ? sentence : "");
  gtk_widget_set_visible (self->fault, sentence != NULL);
  gtk_widget_remove_css_class (self->numbers, "error");
  gtk_widget_remove_css_class (self->nominal, "error");
  if (sentence)
    gtk_widget_add_css_class (entry, "error");
}

/* --- what it offers -------------------------------------------------------------------------------- */

/* What was typed for the nominal film, if it is another than the job has. */
static gboolean
record_nominal (RakeReadingDialog *self)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->nominal));
  g_autofree char *before = say_nominal (self);
  g_autoptr (RakeEntry) entry = NULL;
  g_autoptr (GError) error = NULL;
  double nominal_um = NAN;

  if (!rake_job_find_facts (job) || !is_chosen (self->film) || g_str_equal (text, before))
    return TRUE;
  if (*text && !rake_units_parse (RAKE_MEASURE_FILM, text, LEAST_NOMINAL_UM, MOST_FILM_UM,
                                  &nominal_um, &error))
    {
      tell_fault (self, self->nominal, error->message);
      return FALSE;
    }
  entry = rake_nominal_new_entry (job, nominal_um);
  return rake_session_append (self->session, &entry, 1);
}

static gboolean
record_typed (RakeReadingDialog *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = read_entries (self, &error);

  tell_fault (self, self->numbers, error ? error->message : NULL);
  if (!entries)
    return FALSE;
  if (entries->len > 0 &&
      !rake_session_append (self->session, (RakeEntry *const *) entries->pdata, entries->len))
    return FALSE;
  gtk_editable_set_text (GTK_EDITABLE (self->numbers), "");
  rake_settings_set_text ("readings", "instrument",
                          gtk_editable_get_text (GTK_EDITABLE (self->instrument)));
  return TRUE;
}

/* Return records at once, not by way of the default button: that one acts a quarter of a second late,
 * and a number begun meanwhile would be joined to the one before. */
static void
on_entered (RakeReadingDialog *self)
{
  g_autoptr (RakeReadingDialog) alive = g_object_ref (self);

  if (!record_nominal (self))
    {
      gtk_widget_grab_focus (self->nominal);
      return;
    }
  if (record_typed (self))
    show (self);
  gtk_widget_grab_focus (self->numbers);
}

static void
on_nominal (RakeReadingDialog *self)
{
  g_autoptr (RakeReadingDialog) alive = g_object_ref (self);

  tell_fault (self, NULL, NULL);
  if (record_nominal (self))
    show (self);
}

static void
record (GtkWidget *widget, const char *action, GVariant *parameter)
{
  on_entered (RAKE_READING_DIALOG (widget));
}

/* What was typed but not entered goes with its own zone, never with the next. */
static void
go_on (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeReadingDialog *self = RAKE_READING_DIALOG (widget);
  g_autoptr (RakeReadingDialog) alive = g_object_ref (self);
  const RakeZone *zone = find_zone (self), *next = zone ? find_next_zone (self, zone) : NULL;
  RakeId next_id = next ? next->id : RAKE_ID_NIL;

  if (!next || !record_nominal (self) || !record_typed (self))
    return;
  self->zone = next_id;
  rake_session_select_zone (self->session, next_id, FALSE);
  show (self);
  gtk_widget_grab_focus (self->numbers);
}

static void
on_quantity (RakeReadingDialog *self)
{
  static const char *const words[] = { NULL, "film", "gloss", "temperature" };

  if (!self->session)
    return;
  rake_settings_set_text ("readings", "quantity", words[get_quantity (self)]);
  tell_fault (self, NULL, NULL);
  show (self);
}

static void
remember (RakeReadingDialog *self)
{
  g_autofree char *quantity = rake_settings_get_text ("readings", "quantity");
  g_autofree char *instrument = rake_settings_get_text ("readings", "instrument");
  GtkWidget *chosen = g_strcmp0 (quantity, "gloss") == 0         ? self->gloss
                      : g_strcmp0 (quantity, "temperature") == 0 ? self->temperature
                                                                 : self->film;

  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (chosen), TRUE);
  gtk_editable_set_text (GTK_EDITABLE (self->instrument), instrument ? instrument : "");
}

RakeReadingDialog *
rake_reading_dialog_present (GtkWindow *parent, RakeSession *session, RakeId zone_id)
{
  RakeReadingDialog *self;

  if (!rake_job_find_zone (rake_session_get_job (session), zone_id))
    return NULL;
  self = g_object_new (RAKE_TYPE_READING_DIALOG, "transient-for", parent, NULL);
  remember (self);
  self->session = g_object_ref (session);
  self->zone = zone_id;
  show (self);
  rake_dialog_watch (GTK_WINDOW (self), session, RAKE_ID_NIL);
  gtk_window_present (GTK_WINDOW (self));
  gtk_widget_grab_focus (self->numbers);
  return self;
}

static void
rake_reading_dialog_dispose (GObject *object)
{
  g_clear_object (&RAKE_READING_DIALOG (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_READING_DIALOG);
  G_OBJECT_CLASS (rake_reading_dialog_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, film);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, gloss);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, temperature);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, angles);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, at_20);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, at_60);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, at_85);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, numbers);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, numbers_label);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, instrument);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, fault);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, so_far);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, nominal_check);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, nominal_row);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, nominal_label);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, nominal);
  gtk_widget_class_bind_template_child (widget_class, RakeReadingDialog, next);
}

static void
rake_reading_dialog_class_init (RakeReadingDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_reading_dialog_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "reading-dialog.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_entered);
  gtk_widget_class_bind_template_callback (widget_class, on_nominal);
  gtk_widget_class_bind_template_callback (widget_class, on_quantity);
  gtk_widget_class_install_action (widget_class, "reading.record", NULL, record);
  gtk_widget_class_install_action (widget_class, "reading.next", NULL, go_on);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Page_Down, 0, "reading.next", NULL);
}

static void
rake_reading_dialog_init (RakeReadingDialog *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
