/* dialogs.c - the questions of a line or two that a gesture may ask before it is recorded. */
#include "dialogs.h"
#include "dialog-watch.h"
#include "prepare-dialog.h"
#include "reading-dialog.h"
#include "repair-dialog.h"
#include "say.h"
#include "session-private.h"
#include "share-entry.h"
#include "zone-facts-dialog.h"

#include <adwaita.h>
#include <rakelight/photo.h>
#include <string.h>
#include "words.h"

/* What a question needs once it is answered. Belongs to the dialog. */
typedef struct
{
  RakeSession *session;
  RakeId about;
  GtkWidget *dialog;
  GtkTextBuffer *words;
  GtkWidget *everywhere; /* of a withdrawal: the same picture's other photographs, too; or NULL */
} Question;

static void
free_question (gpointer data)
{
  Question *question = data;

  g_object_unref (question->session);
  g_free (question);
}

static Question *
ask (GtkWindow *parent, RakeSession *session, RakeId about, const char *heading, const char *body)
{
  Question *question = g_new0 (Question, 1);

  question->session = g_object_ref (session);
  question->about = about;
  question->dialog = adw_message_dialog_new (parent, heading, NULL);
  adw_message_dialog_set_body (ADW_MESSAGE_DIALOG (question->dialog), body ? body : "");
  adw_message_dialog_add_response (ADW_MESSAGE_DIALOG (question->dialog), "cancel",
                                   C_ ("question", "_Cancel"));
  adw_message_dialog_set_close_response (ADW_MESSAGE_DIALOG (question->dialog), "cancel");
  g_object_set_data_full (G_OBJECT (question->dialog), "question", question, free_question);
  rake_dialog_watch (GTK_WINDOW (question->dialog), session, about);
  return question;
}

static void
offer (Question *question, const char *label, AdwResponseAppearance appearance, GCallback answered)
{
  adw_message_dialog_add_response (ADW_MESSAGE_DIALOG (question->dialog), "yes", label);
  adw_message_dialog_set_response_appearance (ADW_MESSAGE_DIALOG (question->dialog), "yes",
                                              appearance);
  adw_message_dialog_set_default_response (ADW_MESSAGE_DIALOG (question->dialog), "yes");
  g_signal_connect_swapped (question->dialog, "response::yes", answered, question);
}

/* The words without the space around them; NULL when there are none. */
static char *
get_words (Question *question)
{
  GtkTextIter start, end;
  g_autofree char *words = NULL;

  gtk_text_buffer_get_bounds (question->words, &start, &end);
  words = g_strstrip (gtk_text_buffer_get_text (question->words, &start, &end, FALSE));
  return *words ? g_steal_pointer (&words) : NULL;
}

static void
on_words_changed (Question *question)
{
  g_autofree char *words = get_words (question);

  adw_message_dialog_set_response_enabled (ADW_MESSAGE_DIALOG (question->dialog), "yes",
                                           words != NULL);
}

/* Enter answers; a new line in a reason is Shift+Enter. */
static gboolean
on_key (Question *question, guint key, guint code, GdkModifierType modifiers)
{
  g_autofree char *words = NULL;

  if ((key != GDK_KEY_Return && key != GDK_KEY_KP_Enter) || (modifiers & GDK_SHIFT_MASK))
    return GDK_EVENT_PROPAGATE;
  words = get_words (question);
  if (words)
    adw_message_dialog_response (ADW_MESSAGE_DIALOG (question->dialog), "yes");
  return GDK_EVENT_STOP;
}

/* A place for a sentence, required before the question can be answered with yes. */
static void
ask_for_words (Question *question, const char *label)
{
  GtkWidget *text = gtk_text_view_new ();
  GtkWidget *caption = gtk_label_new (label);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkEventController *keys = gtk_event_controller_key_new ();

  question->words = gtk_text_view_get_buffer (GTK_TEXT_VIEW (text));
  g_object_set (text, "wrap-mode", GTK_WRAP_WORD_CHAR, "accepts-tab", FALSE, "top-margin", 10,
                "bottom-margin", 10, "left-margin", 12, "right-margin", 12, "height-request", 88,
                NULL);
  gtk_widget_add_css_class (text, "words-entry");
  gtk_accessible_update_property (GTK_ACCESSIBLE (text), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_label_set_xalign (GTK_LABEL (caption), 0);
  gtk_label_set_wrap (GTK_LABEL (caption), TRUE);
  gtk_widget_add_css_class (caption, "soft");
  gtk_box_append (GTK_BOX (box), caption);
  gtk_box_append (GTK_BOX (box), text);
  adw_message_dialog_set_extra_child (ADW_MESSAGE_DIALOG (question->dialog), box);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (on_key), question);
  gtk_widget_add_controller (text, keys);
  g_signal_connect_swapped (question->words, "changed", G_CALLBACK (on_words_changed), question);
  on_words_changed (question);
  gtk_window_set_focus (GTK_WINDOW (question->dialog), text);
}

static void
present (Question *question)
{
  gtk_window_present (GTK_WINDOW (question->dialog));
}

static void
on_accept (Question *question)
{
  g_autofree char *reason = get_words (question);

  if (reason)
    rake_session_accept (question->session, question->about, reason);
}

/* The verdict and its strongest reason: what the acceptance is given against. */
static char *
say_against (RakeSession *session, const RakeZone *zone)
{
  const RakeJudgement *judgement = rake_session_get_judgement (session, zone);
  const RakeReason *reason = NULL;

  for (guint i = 0; judgement && i < judgement->reasons->len && !reason; i++)
    {
      const RakeReason *candidate = judgement->reasons->pdata[i];

      if (!candidate->is_accepted && candidate->verdict == judgement->verdict)
        reason = candidate;
    }
  if (!judgement)
    return NULL;
  if (!reason)
    return g_strdup_printf (_ ("The verdict is: %s. Your reason stands in the record for ever."),
                            rake_say_verdict (judgement->verdict));
  return g_strdup_printf (
      _ ("The verdict is: %s. %s\n\nYour reason stands in the record for ever."),
      rake_say_verdict (judgement->verdict), reason->sentence);
}

void
rake_dialogs_accept (GtkWindow *parent, RakeSession *session, RakeId zone_id)
{
  const RakeZone *zone = rake_job_find_zone (rake_session_get_job (session), zone_id);
  g_autofree char *heading = NULL;
  g_autofree char *body = NULL;
  Question *question;

  if (!zone)
    return;
  heading = g_strdup_printf (_ ("Accept “%s” as it is?"), zone->name);
  body = say_against (session, zone);
  question = ask (parent, session, zone_id, heading, body);
  offer (question, C_ ("question", "_Accept"), ADW_RESPONSE_SUGGESTED, G_CALLBACK (on_accept));
  ask_for_words (question, _ ("Why may it stay as it is?"));
  present (question);
}

static void
on_note (Question *question)
{
  g_autofree char *text = get_words (question);

  if (text)
    rake_session_note (question->session, question->about, text);
}

void
rake_dialogs_note (GtkWindow *parent, RakeSession *session, RakeId about)
{
  const RakeZone *zone = rake_job_find_zone (rake_session_get_job (session), about);
  g_autofree char *heading =
      zone ? g_strdup_printf (_ ("A note on “%s”"), zone->name) : g_strdup (_ ("A note"));
  Question *question = ask (parent, session, about, heading, NULL);

  offer (question, C_ ("question", "_Write Down"), ADW_RESPONSE_SUGGESTED, G_CALLBACK (on_note));
  ask_for_words (question, _ ("What should be remembered?"));
  present (question);
}

static void
on_strike (Question *question)
{
  g_autofree char *reason = get_words (question);

  if (reason)
    rake_session_strike (question->session, question->about, reason);
}

/* Asked before anything is typed: some lines cannot be struck out while others build on them. */
static char *
find_refusal (RakeSession *session, RakeId entry)
{
  g_autoptr (RakeEntry) strike = rake_entry_new (RAKE_ENTRY_STRIKE);
  g_autoptr (GError) error = NULL;

  strike->strike.entry = entry;
  strike->strike.why = RAKE_STRIKE_CORRECTION;
  strike->strike.reason = g_strdup ("-");
  if (rake_job_check (rake_session_get_live_job (session), strike, &error))
    return NULL;
  return g_strdup (error->message);
}

void
rake_dialogs_strike (GtkWindow *parent, RakeSession *session, RakeId entry_id)
{
  const RakeJob *job = rake_session_get_live_job (session);
  const RakeEntry *entry = rake_job_find_entry (job, entry_id);
  g_autofree char *line = NULL;
  g_autofree char *refusal = NULL;
  Question *question;

  if (!entry)
    return;
  line = rake_job_describe_entry (job, entry);
  refusal = find_refusal (session, entry_id);
  if (refusal)
    {
      question = ask (parent, session, RAKE_ID_NIL, _ ("This line cannot be struck out"), refusal);
      adw_message_dialog_set_response_label (ADW_MESSAGE_DIALOG (question->dialog), "cancel",
                                             C_ ("question", "_Leave It"));
      present (question);
      return;
    }
  question = ask (parent, session, entry_id, _ ("Strike out this line?"), line);
  offer (question, C_ ("question", "_Strike Out"), ADW_RESPONSE_DESTRUCTIVE,
         G_CALLBACK (on_strike));
  ask_for_words (question, _ ("Why? The line stays readable, with your reason beside it."));
  present (question);
}

static void
on_go_back (Question *question)
{
  g_autoptr (GPtrArray) nothing = g_ptr_array_new ();

  rake_session_begin_stage (question->session, question->about, nothing, NULL);
}

static void
ask_to_go_back (GtkWindow *parent, RakeSession *session, const RakeStage *stage)
{
  const RakeFace *face = rake_session_get_face (session);
  g_autofree char *heading = g_strdup_printf (_ ("Go back to %s?"), rake_say_grade (stage));
  g_autofree char *body = g_strdup_printf (_ ("The whole of “%s” stands at %s then, and every zone "
                                              "is judged there anew."),
                                           face->name, rake_say_grade (stage));
  Question *question = ask (parent, session, stage->id, heading, body);

  offer (question, C_ ("question", "_Go Back"), ADW_RESPONSE_DESTRUCTIVE, G_CALLBACK (on_go_back));
  adw_message_dialog_set_default_response (ADW_MESSAGE_DIALOG (question->dialog), "cancel");
  present (question);
}

void
rake_dialogs_begin_stage (GtkWindow *parent, RakeSession *session, RakeId stage_id)
{
  const RakeStage *stage = rake_job_find_stage (rake_session_get_job (session), stage_id);
  const RakeFace *face = rake_session_get_face (session);

  if (!stage || !face)
    return;
  if (face->stage && stage->position < face->stage->position)
    ask_to_go_back (parent, session, stage);
  else if (stage != face->stage)
    rake_prepare_dialog_present (parent, session, stage_id);
}

void
rake_dialogs_repair (GtkWindow *parent, RakeSession *session, RakeId zone)
{
  if (rake_job_find_zone (rake_session_get_job (session), zone))
    rake_repair_dialog_present (parent, session, zone);
}

void
rake_dialogs_reading (GtkWindow *parent, RakeSession *session, RakeId zone)
{
  rake_reading_dialog_present (parent, session, zone);
}

void
rake_dialogs_zone_facts (GtkWindow *parent, RakeSession *session, RakeId zone)
{
  if (rake_job_find_zone (rake_session_get_job (session), zone))
    rake_zone_facts_dialog_present (parent, session, zone);
}

static void
on_share (Question *question)
{
  GtkWidget *entry = adw_message_dialog_get_extra_child (ADW_MESSAGE_DIALOG (question->dialog));

  rake_share_entry_record (RAKE_SHARE_ENTRY (entry));
}

void
rake_dialogs_say_share (GtkWindow *parent, RakeSession *session, RakeId zone_id)
{
  const RakeZone *zone = rake_job_find_zone (rake_session_get_job (session), zone_id);
  g_autofree char *heading = NULL;
  Question *question;
  GtkWidget *entry;

  if (!zone)
    return;
  heading = g_strdup_printf (_ ("How much of “%s” is still glossy?"), zone->name);
  question = ask (parent, session, zone_id, heading, NULL);
  entry = rake_share_entry_new ();
  rake_share_entry_show (RAKE_SHARE_ENTRY (entry), session, zone_id);
  adw_message_dialog_set_extra_child (ADW_MESSAGE_DIALOG (question->dialog), entry);
  offer (question, C_ ("question", "_Write Down"), ADW_RESPONSE_SUGGESTED, G_CALLBACK (on_share));
  present (question);
}

/* How many other photographs that are shown are of the same picture. */
static guint
count_others (const RakeJob *job, const RakePhoto *photo)
{
  g_autoptr (GPtrArray) same = rake_job_list_same_photos (job, photo->entry->photo.sha256);
  guint n = 0;

  for (guint i = 0; i < same->len; i++)
    {
      const RakePhoto *other = rake_job_find_photo (job, ((const RakeEntry *) same->pdata[i])->id);

      n += other && other != photo;
    }
  return n;
}

static void
ask_whether_everywhere (Question *question, guint n_others)
{
  g_autofree char *label =
      g_strdup_printf (ngettext ("The same picture is in the job as %u more photograph: withdraw "
                                 "that as well",
                                 "The same picture is in the job as %u more photographs: withdraw "
                                 "those as well",
                                 n_others),
                       n_others);
  GtkWidget *words = gtk_label_new (label);

  gtk_label_set_wrap (GTK_LABEL (words), TRUE);
  gtk_label_set_xalign (GTK_LABEL (words), 0);
  question->everywhere = gtk_check_button_new ();
  gtk_check_button_set_child (GTK_CHECK_BUTTON (question->everywhere), words);
  gtk_widget_set_size_request (question->everywhere, -1, 44);
  gtk_accessible_update_property (GTK_ACCESSIBLE (question->everywhere),
                                  GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_box_append (
      GTK_BOX (adw_message_dialog_get_extra_child (ADW_MESSAGE_DIALOG (question->dialog))),
      question->everywhere);
}

static void
on_withdraw (Question *question)
{
  g_autofree char *reason = get_words (question), *sha256 = NULL;
  const RakeJob *job = rake_session_get_live_job (question->session);
  const RakePhoto *photo = rake_job_find_photo (job, question->about);
  g_autoptr (GPtrArray) entries = NULL;
  guint other;

  if (!reason || !photo)
    return;
  sha256 = g_strdup (photo->entry->photo.sha256);
  entries = rake_photo_new_withdrawals (
      job, photo, reason,
      question->everywhere &&
          gtk_check_button_get_active (GTK_CHECK_BUTTON (question->everywhere)));
  if (!rake_session_append (question->session, (RakeEntry **) entries->pdata, entries->len))
    return;
  other = rake_job_find_same_photo (rake_session_get_live_job (question->session), sha256);
  if (other > 0)
    rake_session_say (question->session, _ ("The same picture stays in the job as photograph %u."),
                      other);
}

void
rake_dialogs_withdraw_photo (GtkWindow *parent, RakeSession *session, RakeId id)
{
  const RakeJob *job = rake_session_get_live_job (session);
  const RakePhoto *photo = rake_job_find_photo (job, id);
  Question *question;

  if (!photo || photo->withdrawal)
    return;
  question = ask (parent, session, photo->id, _ ("Withdraw this photograph?"),
                  _ ("The picture is taken out of the job file for good, with its smaller copies. "
                     "That cannot be undone, and the same picture cannot be added again. What the "
                     "logbook says of it stays: its name, its time, its fingerprint, where it "
                     "belonged, and your reason."));
  offer (question, C_ ("question", "_Withdraw"), ADW_RESPONSE_DESTRUCTIVE,
         G_CALLBACK (on_withdraw));
  adw_message_dialog_set_default_response (ADW_MESSAGE_DIALOG (question->dialog), "cancel");
  ask_for_words (question, _ ("Why is it withdrawn?"));
  if (count_others (job, photo) > 0)
    ask_whether_everywhere (question, count_others (job, photo));
  present (question);
}
