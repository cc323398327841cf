/* claim-dialog.c - a claim opened, more of one told, or one decided. */
#include "claim-dialog.h"
#include "choice-grid.h"
#include "defect-list.h"
#include "dialog-watch.h"
#include "record-dialog.h"
#include "say.h"
#include "settings.h"

#include <math.h>
#include "words.h"

typedef enum
{
  COMPLAINT,
  FINDING,
  ACTION,
  N_TEXTS,
} Text;

struct _RakeClaimDialog
{
  AdwWindow parent_instance;

  RakeSession *session;
  RakeId claim;
  GArray *abouts; /* RakeId, in the order of "about" */
  GtkWidget *heading, *about, *decisions, *hint, *cost, *fault;
  GtkWidget *texts[N_TEXTS];
};

G_DEFINE_FINAL_TYPE (RakeClaimDialog, rake_claim_dialog, ADW_TYPE_WINDOW)

static const RakeRecordText texts[N_TEXTS] = {
  [COMPLAINT] = { "complaint", G_STRUCT_OFFSET (RakeClaimBody, complaint) },
  [FINDING] = { "finding", G_STRUCT_OFFSET (RakeClaimBody, finding) },
  [ACTION] = { "action", G_STRUCT_OFFSET (RakeClaimBody, action) },
};

/* --- what is said ---------------------------------------------------------------------------------- */

static RakeDecision
get_decision (RakeClaimDialog *self)
{
  return (RakeDecision) rake_choice_grid_get_chosen (RAKE_CHOICE_GRID (self->decisions));
}

static RakeEntry *
read_entry (RakeClaimDialog *self, char **sentence)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_CLAIM);
  g_autofree char *usual = rake_settings_get_text ("record", "currency");
  guint about = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->about));
  RakeClaimBody *body = &entry->claim;

  body->claim = self->claim;
  body->decision = get_decision (self);
  if (about < self->abouts->len)
    body->about = g_array_index (self->abouts, RakeId, about);
  rake_record_dialog_read (self->texts, texts, N_TEXTS, body);
  if (!rake_read_cost (gtk_editable_get_text (GTK_EDITABLE (self->cost)), usual, &body->cost,
                       &body->currency, sentence))
    return NULL;
  return g_steal_pointer (&entry);
}

static char *
find_fault (RakeClaimDialog *self, RakeEntry *entry)
{
  g_autoptr (GError) error = NULL;

  if (!entry->claim.complaint)
    return g_strdup (_ ("Say what the client says."));
  if (!rake_session_would_take (self->session, entry, &error))
    return g_strdup (error->message);
  return NULL;
}

static void
on_typed (RakeClaimDialog *self)
{
  g_autofree char *sentence = NULL;
  g_autoptr (RakeEntry) entry = NULL;

  if (!self->session)
    return;
  entry = read_entry (self, &sentence);
  if (entry)
    sentence = find_fault (self, entry);
  rake_record_dialog_tell_fault (GTK_WIDGET (self), "claim.record", self->fault, sentence);
}

static void
record (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeClaimDialog *self = RAKE_CLAIM_DIALOG (widget);
  g_autoptr (RakeClaimDialog) alive = g_object_ref (self);
  g_autofree char *sentence = NULL;
  g_autoptr (RakeEntry) entry = read_entry (self, &sentence);

  if (entry)
    rake_record_dialog_enter (GTK_WINDOW (self), self->session, entry, entry->claim.currency);
}

/* --- what is asked --------------------------------------------------------------------------------- */

static void
on_decision (RakeClaimDialog *self)
{
  gtk_label_set_label (GTK_LABEL (self->hint),
                       get_decision (self) == RAKE_DECISION_OPEN
                           ? _ ("While it is open, the job is open for work: for what is done "
                                "about it.")
                           : _ ("Once it is decided, the job is closed for work again."));
  on_typed (self);
}

static void
add_about (RakeClaimDialog *self, GtkStringList *words, const char *text, RakeId id)
{
  gtk_string_list_append (words, text);
  g_array_append_val (self->abouts, id);
}

static void
add_face (RakeClaimDialog *self, GtkStringList *words, const RakeFace *face)
{
  add_about (self, words, face->name, face->id);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      g_autofree char *text = g_strdup_printf (C_ ("place", "%s, %s"), face->name, zone->name);

      /* A face that is one zone still has that zone's id. */
      if (!rake_id_equal (zone->id, face->id))
        add_about (self, words, text, zone->id);
    }
}

/* The mark is offered only where it was asked for: a piece may have hundreds. */
static void
offer_abouts (RakeClaimDialog *self, RakeId about)
{
  const RakeJob *job = rake_session_get_live_job (self->session);
  const RakeMark *mark = rake_job_find_mark (job, about);
  g_autoptr (GPtrArray) defects = rake_job_list_defects (job);
  g_autoptr (GtkStringList) words = gtk_string_list_new (NULL);

  add_about (self, words, _ ("The whole piece"), RAKE_ID_NIL);
  if (mark)
    {
      g_autofree char *text = rake_say_mark (mark);

      add_about (self, words, text, about);
    }
  for (guint i = 0; i < defects->len; i++)
    {
      const RakeDefect *defect = defects->pdata[i];
      g_autofree char *text =
          /* Translators: a defect on record, and its zone. */
          g_strdup_printf (_ ("On record: %s, %s"), defect->what,
                           defect->zone ? defect->zone->name : _ ("a zone that is gone"));

      add_about (self, words, text, defect->id);
    }
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    add_face (self, words, rake_job_get_face (job, i));
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->about), G_LIST_MODEL (words));
  for (guint i = 0; i < self->abouts->len; i++)
    if (rake_id_equal (g_array_index (self->abouts, RakeId, i), about))
      gtk_drop_down_set_selected (GTK_DROP_DOWN (self->about), i);
}

static void
fill (RakeClaimDialog *self, const RakeClaim *claim)
{
  RakeClaimBody told = claim->told->claim;
  g_autofree char *cost = rake_say_cost (told.cost, told.currency);

  rake_record_dialog_fill (self->texts, texts, N_TEXTS, &told);
  gtk_editable_set_text (GTK_EDITABLE (self->cost), cost ? cost : "");
  rake_choice_grid_choose (RAKE_CHOICE_GRID (self->decisions), (int) told.decision);
}

static void
begin (RakeClaimDialog *self, const RakeClaim *claim, RakeId about)
{
  const char *heading = claim ? _ ("More of this claim") : _ ("A new claim");

  self->claim = claim ? claim->id : RAKE_ID_NIL;
  offer_abouts (self, claim ? claim->about : about);
  if (claim)
    fill (self, claim);
  else
    rake_choice_grid_choose (RAKE_CHOICE_GRID (self->decisions), RAKE_DECISION_OPEN);
  gtk_window_set_title (GTK_WINDOW (self), heading);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  on_typed (self);
}

RakeClaimDialog *
rake_claim_dialog_present (GtkWindow *parent, RakeSession *session, RakeId about)
{
  const RakeJob *job = rake_session_get_live_job (session);
  g_autoptr (RakeClaim) claim = rake_job_find_claim (job, about);
  RakeClaimDialog *self;

  if (!rake_job_find_hand_over (job, NULL))
    {
      g_signal_emit_by_name (session, "message",
                             _ ("The piece was not handed over yet: put what is wrong on record "
                                "as a defect"));
      return NULL;
    }
  self = g_object_new (RAKE_TYPE_CLAIM_DIALOG, "transient-for", parent, NULL);
  self->session = g_object_ref (session);
  begin (self, claim, about);
  rake_dialog_watch (GTK_WINDOW (self), session, about);
  gtk_window_present (GTK_WINDOW (self));
  return self;
}

/* --- class ----------------------------------------------------------------------------------------- */

static void
rake_claim_dialog_dispose (GObject *object)
{
  g_clear_object (&RAKE_CLAIM_DIALOG (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_CLAIM_DIALOG);
  G_OBJECT_CLASS (rake_claim_dialog_parent_class)->dispose (object);
}

static void
rake_claim_dialog_finalize (GObject *object)
{
  g_array_unref (RAKE_CLAIM_DIALOG (object)->abouts);
  G_OBJECT_CLASS (rake_claim_dialog_parent_class)->finalize (object);
}

static void
rake_claim_dialog_class_init (RakeClaimDialogClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_claim_dialog_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_claim_dialog_finalize;
  g_type_ensure (RAKE_TYPE_CHOICE_GRID);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "claim-dialog.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeClaimDialog, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimDialog, about);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimDialog, decisions);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimDialog, hint);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimDialog, cost);
  gtk_widget_class_bind_template_child (widget_class, RakeClaimDialog, fault);
  rake_record_dialog_bind (widget_class, texts, N_TEXTS, G_STRUCT_OFFSET (RakeClaimDialog, texts));
  gtk_widget_class_bind_template_callback (widget_class, on_decision);
  gtk_widget_class_bind_template_callback (widget_class, on_typed);
  gtk_widget_class_install_action (widget_class, "claim.record", NULL, record);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
rake_claim_dialog_init (RakeClaimDialog *self)
{
  self->abouts = g_array_new (FALSE, FALSE, sizeof (RakeId));
  gtk_widget_init_template (GTK_WIDGET (self));
  for (int decision = RAKE_DECISION_OPEN; decision <= RAKE_DECISION_GOODWILL; decision++)
    rake_choice_grid_add (RAKE_CHOICE_GRID (self->decisions), decision,
                          _ (rake_decision_get_label ((RakeDecision) decision)));
}
