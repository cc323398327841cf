/* defect-dialog.c - a defect put on record, or more of one told. */
#include "defect-dialog.h"
#include "choice-grid.h"
#include "defect-list.h"
#include "dialog-watch.h"
#include "record-dialog.h"
#include "say.h"
#include "settings.h"
#include "slip-words.h"
#include "wrap-layout.h"

#include <math.h>
#include "words.h"

typedef enum
{
  WHAT,
  SEVERITY,
  CAUSE,
  ACTION,
  OUTCOME,
  N_TEXTS,
} Text;

struct _RakeDefectDialog
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId zone, mark, defect;
  GtkWidget *heading, *place, *severities, *standings, *cost, *is_internal, *fault;
  GtkWidget *texts[N_TEXTS];
};

G_DEFINE_FINAL_TYPE (RakeDefectDialog, rake_defect_dialog, ADW_TYPE_WINDOW)

static const RakeRecordText texts[N_TEXTS] = {
  [WHAT] = { "what", G_STRUCT_OFFSET (RakeDefectBody, what) },
  [SEVERITY] = { "severity", G_STRUCT_OFFSET (RakeDefectBody, severity) },
  [CAUSE] = { "cause", G_STRUCT_OFFSET (RakeDefectBody, cause) },
  [ACTION] = { "action", G_STRUCT_OFFSET (RakeDefectBody, action) },
  [OUTCOME] = { "outcome", G_STRUCT_OFFSET (RakeDefectBody, outcome) },
};

/* --- what is said ---------------------------------------------------------------------------------- */

static RakeEntry *
read_entry (RakeDefectDialog *self, char **sentence)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_DEFECT);
  g_autofree char *usual = rake_settings_get_text ("record", "currency");
  RakeDefectBody *body = &entry->defect;

  body->zone = self->zone;
  body->mark = self->mark;
  body->defect = self->defect;
  body->standing = (RakeStanding) rake_choice_grid_get_chosen (RAKE_CHOICE_GRID (self->standings));
  rake_record_dialog_read (self->texts, texts, N_TEXTS, body);
  if (gtk_check_button_get_active (GTK_CHECK_BUTTON (self->is_internal)))
    body->is_for_client = RAKE_ANSWER_NO;
  if (!rake_read_cost (gtk_editable_get_text (GTK_EDITABLE (self->cost)), usual, &body->cost,
                       &body->currency, sentence))
    return NULL;
  return g_steal_pointer (&entry);
}

/* What a person is to do before it can be written down, or NULL. */
static char *
find_fault (RakeDefectDialog *self, RakeEntry *entry)
{
  const RakeDefectBody *body = &entry->defect;
  g_autoptr (GError) error = NULL;

  if (rake_id_is_nil (self->mark) && rake_id_is_nil (self->defect) && !body->what)
    return g_strdup (_ ("Say in a few words what it is."));
  if (body->standing > RAKE_STANDING_REPAIRED && !body->outcome)
    return g_strdup (_ ("Say why it may stay as it is, under “What came of it”."));
  if (!rake_session_would_take (self->session, entry, &error))
    return g_strdup (error->message);
  return NULL;
}

static void
on_typed (RakeDefectDialog *self)
{
  g_autofree char *sentence = NULL;
  g_autoptr (RakeEntry) entry = NULL;

  if (!self->session)
    return;
  entry = read_entry (self, &sentence);
  if (entry)
    sentence = find_fault (self, entry);
  rake_record_dialog_tell_fault (GTK_WIDGET (self), "defect.record", self->fault, sentence);
}

static void
record (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeDefectDialog *self = RAKE_DEFECT_DIALOG (widget);
  g_autoptr (RakeDefectDialog) alive = g_object_ref (self);
  g_autofree char *sentence = NULL;
  g_autoptr (RakeEntry) entry = read_entry (self, &sentence);

  if (entry)
    rake_record_dialog_enter (GTK_WINDOW (self), self->session, entry, entry->defect.currency);
}

/* --- what is asked --------------------------------------------------------------------------------- */

static void
take_severity (GtkButton *button, RakeDefectDialog *self)
{
  gtk_editable_set_text (GTK_EDITABLE (self->texts[SEVERITY]), gtk_button_get_label (button));
}

static void
add_choices (RakeDefectDialog *self)
{
  for (guint i = 0; rake_severity_words[i]; i++)
    {
      GtkWidget *button = gtk_button_new_with_label (_ (rake_severity_words[i]));

      gtk_widget_add_css_class (button, "row-button");
      g_signal_connect_object (button, "clicked", G_CALLBACK (take_severity), self, 0);
      gtk_box_append (GTK_BOX (self->severities), button);
    }
  for (int standing = RAKE_STANDING_OPEN; standing <= RAKE_STANDING_LEFT_AS_AGREED; standing++)
    rake_choice_grid_add (RAKE_CHOICE_GRID (self->standings), standing,
                          _ (rake_standing_get_label ((RakeStanding) standing)));
}

/* As it stands now: what is left as it is will be said again. */
static void
fill (RakeDefectDialog *self, const RakeDefect *defect)
{
  RakeDefectBody told = defect->told->defect;
  g_autofree char *cost = rake_say_cost (told.cost, told.currency);
  g_autofree char *place = rake_say_place (defect);

  gtk_label_set_label (GTK_LABEL (self->place), place);
  rake_record_dialog_fill (self->texts, texts, N_TEXTS, &told);
  gtk_editable_set_text (GTK_EDITABLE (self->cost), cost ? cost : "");
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->is_internal),
                               told.is_for_client == RAKE_ANSWER_NO);
  rake_choice_grid_choose (RAKE_CHOICE_GRID (self->standings), (int) told.standing);
}

/* What a new defect is of: a mark, or a zone alone. FALSE when it is neither. */
static gboolean
take_place (RakeDefectDialog *self, RakeId about)
{
  const RakeJob *job = rake_session_get_job (self->session);
  const RakeMark *mark = rake_job_find_mark (job, about);
  const RakeZone *zone = mark ? rake_session_find_zone_of_mark (self->session, about)
                              : rake_job_find_zone (job, about);
  g_autofree char *words = mark ? rake_say_mark (mark) : NULL;
  g_autofree char *place = NULL;

  if (!zone)
    return FALSE;
  self->zone = zone->id;
  self->mark = mark ? about : RAKE_ID_NIL;
  place = words ? g_strdup_printf (C_ ("mark, zone", "%s, %s"), words, zone->name)
                : g_strdup_printf (C_ ("place", "%s, %s"), zone->face->name, zone->name);
  gtk_label_set_label (GTK_LABEL (self->place), place);
  if (mark)
    gtk_entry_set_placeholder_text (GTK_ENTRY (self->texts[WHAT]),
                                    _ (rake_mark_kind_get_label (mark->kind)));
  rake_choice_grid_choose (RAKE_CHOICE_GRID (self->standings), RAKE_STANDING_OPEN);
  return TRUE;
}

static gboolean
begin (RakeDefectDialog *self, RakeId about)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  RakeId kept = rake_defects_find_of_mark (job, about);
  g_autoptr (RakeDefect) defect = rake_job_find_defect (job, rake_id_is_nil (kept) ? about : kept);

  if (!defect)
    return take_place (self, about);
  self->defect = defect->id;
  self->zone = defect->zone ? defect->zone->id : defect->told->defect.zone;
  fill (self, defect);
  return TRUE;
}

RakeDefectDialog *
rake_defect_dialog_present (GtkWindow *parent, RakeSession *session, RakeId about)
{
  RakeDefectDialog *self = g_object_new (RAKE_TYPE_DEFECT_DIALOG, "transient-for", parent, NULL);
  const char *heading;

  self->session = g_object_ref (session);
  if (!begin (self, about))
    {
      gtk_window_destroy (GTK_WINDOW (self));
      return NULL;
    }
  heading = rake_id_is_nil (self->defect) ? _ ("Kept for the record") : _ ("More of this defect");
  gtk_window_set_title (GTK_WINDOW (self), heading);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  on_typed (self);
  rake_dialog_watch (GTK_WINDOW (self), session, about);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

/* --- class ----------------------------------------------------------------------------------------- */

static void
rake_defect_dialog_dispose (GObject *object)
{
  g_clear_object (&RAKE_DEFECT_DIALOG (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_DEFECT_DIALOG);
  G_OBJECT_CLASS (rake_defect_dialog_parent_class)->dispose (object);
}

static void
rake_defect_dialog_class_init (RakeDefectDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_defect_dialog_dispose;
  g_type_ensure (RAKE_TYPE_CHOICE_GRID);
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "defect-dialog.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeDefectDialog, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectDialog, place);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectDialog, severities);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectDialog, standings);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectDialog, cost);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectDialog, is_internal);
  gtk_widget_class_bind_template_child (widget_class, RakeDefectDialog, fault);
  rake_record_dialog_bind (widget_class, texts, N_TEXTS, G_STRUCT_OFFSET (RakeDefectDialog, texts));
  gtk_widget_class_bind_template_callback (widget_class, on_typed);
  gtk_widget_class_install_action (widget_class, "defect.record", NULL, record);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_defect_dialog_init (RakeDefectDialog *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  add_choices (self);
}
