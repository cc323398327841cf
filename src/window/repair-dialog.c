/* repair-dialog.c - what was done about a zone's faults. Which marks it settles is repair-marks.c. */
#include "repair-dialog.h"
#include "choice-grid.h"
#include "dialog-watch.h"
#include "repair-marks.h"
#include "say.h"
#include "typed.h"

#include <math.h>
#include <rakelight/repair.h>
#include <rakelight/units.h>

#include "words.h"

#define MOST_FILM_UM 5000
#define HOUR_MS 3600000.0

struct _RakeRepairDialog
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId zone;
  RakeRepairMethod method;
  GtkWidget *heading, *methods, *advice, *marks, *film_label, *film_row, *film, *film_sd, *fault,
      *when_row, *hours_ago, *stage_row, *stage, *outcome, *fills, *another;
  GArray *stages; /* RakeId, as the list of stages has them; the first nil: it stays */
};

G_DEFINE_FINAL_TYPE (RakeRepairDialog, rake_repair_dialog, ADW_TYPE_WINDOW)

static const RakeZone *
find_zone (RakeRepairDialog *self)
{
  return rake_job_find_zone (rake_session_get_job (self->session), self->zone);
}

static gboolean
adds_film (RakeRepairMethod method)
{
  return method == RAKE_REPAIR_DROP_FILL || method == RAKE_REPAIR_FILL ||
         method == RAKE_REPAIR_RECOAT;
}

static gboolean
takes_film (RakeRepairMethod method)
{
  return method == RAKE_REPAIR_LEVELLED || method == RAKE_REPAIR_SCRAPED;
}

/* --- what was typed ------------------------------------------------------------------------------ */

static gboolean
read_film (GtkWidget *entry, double *value_um, GError **error)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (entry));

  *value_um = NAN;
  return *text == '\0' ||
         rake_units_parse (RAKE_MEASURE_FILM, text, 0, MOST_FILM_UM, value_um, error);
}

static gboolean
read_films (RakeRepairDialog *self, double *film_um, double *sd_um, GError **error)
{
  *film_um = *sd_um = NAN;
  if (!adds_film (self->method) && !takes_film (self->method))
    return TRUE;
  if (!read_film (self->film, film_um, error) || !read_film (self->film_sd, sd_um, error))
    return FALSE;
  if (isfinite (*film_um) || !isfinite (*sd_um))
    return TRUE;
  g_set_error (error, RAKE_UNITS_ERROR, RAKE_UNITS_ERROR_TEXT,
               _ ("Say the film itself as well, or leave its doubt empty."));
  return FALSE;
}

static void
tell_fault (RakeRepairDialog *self, const char *sentence)
{
  gtk_label_set_label (GTK_LABEL (self->fault), sentence ? sentence : "");
  gtk_widget_set_visible (self->fault, sentence != NULL);
}

static void
on_typed (RakeRepairDialog *self)
{
  g_autoptr (GError) error = NULL;
  double film_um, sd_um;
  gboolean is_sound = read_films (self, &film_um, &sd_um, &error);

  tell_fault (self, error ? error->message : NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "repair.record",
                                 is_sound && self->method != RAKE_REPAIR_UNSAID);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "repair.another",
                                 is_sound && self->method == RAKE_REPAIR_DROP_FILL);
}

static RakeId
get_stage (RakeRepairDialog *self)
{
  guint selected = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->stage));

  return self->method != RAKE_REPAIR_RECOAT && selected < self->stages->len
             ? g_array_index (self->stages, RakeId, selected)
             : RAKE_ID_NIL;
}

static RakeEntry *
read_entry (RakeRepairDialog *self)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_REPAIR);
  RakeRepairBody *repair = &entry->repair;
  double film_um, sd_um, hours = gtk_spin_button_get_value (GTK_SPIN_BUTTON (self->hours_ago));
  GArray *marks = rake_repair_marks_get_ticked (RAKE_REPAIR_MARKS (self->marks));

  if (!read_films (self, &film_um, &sd_um, NULL))
    film_um = sd_um = NAN;
  repair->zone = self->zone;
  repair->method = self->method;
  if (marks)
    {
      g_clear_pointer (&repair->marks, g_array_unref);
      repair->marks = marks;
    }
  *(adds_film (self->method) ? &repair->added_um : &repair->removed_um) = film_um;
  *(adds_film (self->method) ? &repair->added_sd_um : &repair->removed_sd_um) = sd_um;
  repair->back_to_stage = get_stage (self);
  repair->outcome = rake_typed_words (self->outcome);
  if (self->method == RAKE_REPAIR_DROP_FILL && hours > 0)
    entry->happened_ms = rake_session_now_ms () - (gint64) (hours * HOUR_MS);
  return g_steal_pointer (&entry);
}

/* --- what follows from it ------------------------------------------------------------------------ */

static void
add_line (GtkWidget *box, const char *sentence, const char *css_class)
{
  GtkWidget *label = gtk_label_new (sentence);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (label, css_class);
  gtk_box_append (GTK_BOX (box), label);
}

static void
remove_lines (GtkWidget *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (box)))
    gtk_box_remove (GTK_BOX (box), child);
}

/* What the record makes of the method, whatever the finish. */
static char *
say_consequence (RakeRepairDialog *self)
{
  int days = (int) rake_job_get_cure_days (rake_session_get_job (self->session));

  switch (self->method)
    {
    case RAKE_REPAIR_RECOAT:
      return g_strdup_printf (
          ngettext ("The whole face starts again from its first stage, after %d day of cure.",
                    "The whole face starts again from its first stage, after %d days of cure.",
                    (gulong) days),
          days);
    case RAKE_REPAIR_DROP_FILL:
    case RAKE_REPAIR_FILL:
      return g_strdup (_ ("It wants its own wait before it is levelled. The zones close to it are "
                          "to be looked at again."));
    case RAKE_REPAIR_COLOUR:
      return g_strdup (_ ("Colour alone settles nothing: enter the fill or the coat over it too."));
    case RAKE_REPAIR_LEVELLED:
    case RAKE_REPAIR_SCRAPED:
      return g_strdup (_ ("Took film and added none; the zone is to be looked at again."));
    case RAKE_REPAIR_UNSAID:
    default:
      return NULL;
    }
}

static void
show_advice (RakeRepairDialog *self, const RakeZone *zone)
{
  g_autoptr (GPtrArray) advice =
      rake_repair_list_advice (rake_session_get_job (self->session), zone, self->method);
  g_autofree char *consequence = say_consequence (self);

  remove_lines (self->advice);
  for (guint i = 0; i < advice->len; i++)
    add_line (self->advice, advice->pdata[i], "caution");
  if (consequence)
    add_line (self->advice, consequence, "soft");
  gtk_widget_set_visible (self->advice, consequence != NULL);
}

static void
show_film (RakeRepairDialog *self)
{
  const char *unit = rake_units_get_sign (RAKE_MEASURE_FILM);
  g_autofree char *text = g_strdup_printf (
      /* Translators: %s is a unit, µm or mil, in these three. */
      self->method == RAKE_REPAIR_RECOAT ? _ ("Film of the new coat once dry, %s")
      : adds_film (self->method)         ? _ ("Film added, before it shrinks, %s")
                                         : _ ("Film taken off, %s"),
      unit);

  gtk_label_set_label (GTK_LABEL (self->film_label), text);
  gtk_widget_set_visible (self->film_row, adds_film (self->method) || takes_film (self->method));
  gtk_widget_set_visible (self->when_row, self->method == RAKE_REPAIR_DROP_FILL);
  gtk_widget_set_visible (self->another, self->method == RAKE_REPAIR_DROP_FILL);
}

/* The stages that the zone could go back to, and the one it usually does. */
static void
show_stages (RakeRepairDialog *self, const RakeZone *zone)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  const RakeStage *usual = rake_repair_find_stage_after (zone, self->method);
  RakeId stays = RAKE_ID_NIL;
  guint selected = 0;

  g_array_set_size (self->stages, 0);
  g_array_append_val (self->stages, stays);
  gtk_string_list_take (
      names, zone->stage ? g_strdup_printf (_ ("Stays at %s"), rake_say_grade (zone->stage))
                         : g_strdup (_ ("Stays where it is")));
  for (guint i = 0; zone->stage && i < zone->face->stages->len; i++)
    {
      const RakeStage *stage = zone->face->stages->pdata[i];

      if (stage->position >= zone->stage->position ||
          (zone->first_stage && stage->position < zone->first_stage->position))
        continue;
      if (stage == usual)
        selected = self->stages->len;
      g_array_append_val (self->stages, stage->id);
      gtk_string_list_take (names, rake_say_stage (stage));
    }
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->stage), G_LIST_MODEL (names));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->stage), selected);
  gtk_widget_set_visible (self->stage_row,
                          self->stages->len > 1 && self->method != RAKE_REPAIR_RECOAT);
}

/* --- drops and other fills, each with its clock ------------------------------------------------------ */

static char *
say_next_drop (const RakeFillClock *clock)
{
  guint hours = isfinite (clock->next_hours) ? (guint) ceil (clock->next_hours - 1e-6) : 0;

  if (!isfinite (clock->next_hours))
    return NULL;
  if (hours == 0)
    return g_strdup (_ ("the next drop may go on"));
  return g_strdup_printf (ngettext ("the next drop in %u hour", "the next drop in %u hours", hours),
                          hours);
}

static char *
say_levelling (const RakeFillClock *clock)
{
  guint days = (guint) ceil (clock->days_left - 1e-6);
  guint hours = (guint) ceil (clock->days_left * 24 - 1e-6);

  if (hours == 0)
    return g_strdup (_ ("may be levelled"));
  if (hours <= 48)
    return g_strdup_printf (ngettext ("levelled in %u hour", "levelled in %u hours", hours), hours);
  return g_strdup_printf (ngettext ("levelled in %u day", "levelled in %u days", days), days);
}

static char *
say_fill (const RakeFillClock *clock, gboolean is_last, gint64 now_ms)
{
  const RakeRepairBody *repair = &clock->repair->repair;
  g_autofree char *when = rake_say_when (clock->repair, now_ms);
  g_autofree char *film =
      isfinite (repair->added_um) ? rake_units_to_text (RAKE_MEASURE_FILM, repair->added_um) : NULL;
  g_autofree char *next = is_last ? say_next_drop (clock) : NULL;
  g_autofree char *levelling = say_levelling (clock);

  return g_strconcat (rake_say_repair_method (repair->method), " ", when, film ? ", " : "",
                      film ? film : "", next ? " · " : "", next ? next : "", " · ", levelling,
                      NULL);
}

static void
show_fills (RakeRepairDialog *self, const RakeZone *zone)
{
  gint64 now_ms = rake_session_now_ms ();
  g_autoptr (GArray) fills =
      rake_repair_list_fills (rake_session_get_job (self->session), zone, now_ms);

  remove_lines (self->fills);
  for (guint i = 0; i < fills->len; i++)
    {
      g_autofree char *line =
          say_fill (&g_array_index (fills, RakeFillClock, i), i + 1 == fills->len, now_ms);

      add_line (self->fills, line, "numbers");
    }
  gtk_widget_set_visible (self->fills, fills->len > 0);
}

/* --- the whole -------------------------------------------------------------------------------------- */

static void
show_method (RakeRepairDialog *self)
{
  const RakeZone *zone = find_zone (self);

  if (!zone)
    return;
  show_advice (self, zone);
  rake_repair_marks_show (RAKE_REPAIR_MARKS (self->marks), zone, self->method);
  show_film (self);
  show_stages (self, zone);
  show_fills (self, zone);
  on_typed (self);
}

static void
on_method (RakeRepairDialog *self)
{
  self->method = (RakeRepairMethod) rake_choice_grid_get_chosen (RAKE_CHOICE_GRID (self->methods));
  show_method (self);
}

static void
record (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeRepairDialog *self = RAKE_REPAIR_DIALOG (widget);
  g_autoptr (RakeRepairDialog) alive = g_object_ref (self);
  g_autoptr (RakeEntry) entry = read_entry (self);

  if (rake_session_append (self->session, &entry, 1))
    gtk_window_destroy (GTK_WINDOW (self));
}

/* One drop more: the dialog stays, with what the zone is like after this one. */
static void
record_and_go_on (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeRepairDialog *self = RAKE_REPAIR_DIALOG (widget);
  g_autoptr (RakeRepairDialog) alive = g_object_ref (self);
  g_autoptr (RakeEntry) entry = read_entry (self);

  if (!rake_session_append (self->session, &entry, 1))
    return;
  gtk_editable_set_text (GTK_EDITABLE (self->film), "");
  gtk_editable_set_text (GTK_EDITABLE (self->film_sd), "");
  gtk_editable_set_text (GTK_EDITABLE (self->outcome), "");
  show_method (self);
  gtk_widget_grab_focus (self->film);
}

RakeRepairDialog *
rake_repair_dialog_present (GtkWindow *parent, RakeSession *session, RakeId zone_id)
{
  const RakeZone *zone = rake_job_find_zone (rake_session_get_job (session), zone_id);
  g_autofree char *heading = NULL;
  RakeRepairDialog *self;

  if (!zone)
    return NULL;
  self = g_object_new (RAKE_TYPE_REPAIR_DIALOG, "transient-for", parent, NULL);
  self->session = g_object_ref (session);
  self->zone = zone_id;
  heading = g_strdup_printf (_ ("What was done on “%s”?"), zone->name);
  gtk_window_set_title (GTK_WINDOW (self), heading);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  for (int method = RAKE_REPAIR_LEVELLED; method <= RAKE_REPAIR_RECOAT; method++)
    rake_choice_grid_add (RAKE_CHOICE_GRID (self->methods), method,
                          rake_say_repair_method ((RakeRepairMethod) method));
  show_method (self);
  rake_dialog_watch (GTK_WINDOW (self), session, zone_id);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

static void
rake_repair_dialog_dispose (GObject *object)
{
  g_clear_object (&RAKE_REPAIR_DIALOG (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_REPAIR_DIALOG);
  G_OBJECT_CLASS (rake_repair_dialog_parent_class)->dispose (object);
}

static void
rake_repair_dialog_finalize (GObject *object)
{
  g_array_unref (RAKE_REPAIR_DIALOG (object)->stages);
  G_OBJECT_CLASS (rake_repair_dialog_parent_class)->finalize (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, methods);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, advice);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, marks);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, film_label);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, film_row);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, film);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, film_sd);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, fault);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, when_row);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, hours_ago);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, stage_row);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, stage);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, outcome);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, fills);
  gtk_widget_class_bind_template_child (widget_class, RakeRepairDialog, another);
}

static void
rake_repair_dialog_class_init (RakeRepairDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  g_type_ensure (RAKE_TYPE_CHOICE_GRID);
  g_type_ensure (RAKE_TYPE_REPAIR_MARKS);
  G_OBJECT_CLASS (klass)->dispose = rake_repair_dialog_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_repair_dialog_finalize;
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "repair-dialog.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_method);
  gtk_widget_class_bind_template_callback (widget_class, on_typed);
  gtk_widget_class_install_action (widget_class, "repair.record", NULL, record);
  gtk_widget_class_install_action (widget_class, "repair.another", NULL, record_and_go_on);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_repair_dialog_init (RakeRepairDialog *self)
{
  self->stages = g_array_new (FALSE, FALSE, sizeof (RakeId));
  gtk_widget_init_template (GTK_WIDGET (self));
}
