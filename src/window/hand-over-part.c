/* hand-over-part.c - what stands in the way of a hand-over, what is agreed at it, and its seal. */
#include "hand-over-part.h"
#include "dialogs.h"
#include "say.h"
#include "settings.h"
#include "slip-words.h"
#include "typed.h"
#include "wrap-layout.h"

#include <adwaita.h>
#include <locale.h>
#include <math.h>
#include <rakelight/care.h>
#include <rakelight/record.h>
#include <rakelight/seal.h>
#include <rakelight/units.h>
#include <rakelight/warranty.h>

#include "words.h"

#define MOST_DISTANCE_MM 100000
#define MOST_MONTHS 1200

struct _RakeHandOverPart
{
  RakeSessionView parent_instance;

  GtkWidget *content, *before, *obstacles, *light, *distance, *distance_label, *condition,
      *not_examined, *months, *exclusions, *fault;
  GtkWidget *after, *facts, *seal, *seal_holds, *strike_buttons;
  GtkWidget *care, *terms, *open_blanks;
  gboolean is_filling;
};

G_DEFINE_FINAL_TYPE (RakeHandOverPart, rake_hand_over_part, RAKE_TYPE_SESSION_VIEW)

/* --- what stands in the way -------------------------------------------------------------------------- */

static void
add_obstacle (RakeHandOverPart *self, const RakeObstacle *obstacle)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6), *buttons;
  g_autofree char *told = NULL;

  gtk_widget_add_css_class (box, "caution");
  rake_slip_add_words (box, obstacle->sentence, NULL);
  gtk_box_append (GTK_BOX (self->obstacles), box);
  if (rake_id_is_nil (obstacle->about))
    return;
  buttons = rake_slip_add_buttons (box);
  if (obstacle->kind == RAKE_OBSTACLE_DEFECT)
    {
      told = g_strdup_printf (_ ("Tell more: %s"), obstacle->sentence);
      rake_slip_add_button (buttons, _ ("_Tell more…"), told, "record.tell", obstacle->about);
      return;
    }
  told = g_strdup_printf (_ ("Show on the bench: %s"), obstacle->sentence);
  rake_slip_add_button (buttons, _ ("_Show on the bench"), told, "record.go", obstacle->about);
  if (obstacle->kind == RAKE_OBSTACLE_ZONE)
    {
      g_autofree char *accepted = g_strdup_printf (_ ("Accept as it is: %s"), obstacle->sentence);

      rake_slip_add_button (buttons, _ ("_Accept as it is…"), accepted, "hand-over.accept",
                            obstacle->about);
    }
}

static guint
show_obstacles (RakeHandOverPart *self, RakeSession *session)
{
  g_autoptr (GPtrArray) obstacles =
      rake_job_list_obstacles (rake_session_get_live_job (session),
                               rake_session_get_rules (session), rake_session_now_ms ());

  rake_slip_empty (self->obstacles);
  if (obstacles->len == 0)
    rake_slip_add_words (self->obstacles, _ ("Nothing stands in the way of a hand-over."), NULL);
  for (guint i = 0; i < obstacles->len; i++)
    add_obstacle (self, obstacles->pdata[i]);
  return obstacles->len;
}

static void
accept_zone (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeSession *session = rake_session_view_get_session (widget);
  GtkRoot *root = gtk_widget_get_root (widget);
  RakeId zone;

  if (session && GTK_IS_WINDOW (root) &&
      rake_id_from_text (g_variant_get_string (parameter, NULL), &zone))
    rake_dialogs_accept (GTK_WINDOW (root), session, zone);
}

/* --- what is agreed ------------------------------------------------------------------------------------ */

static char *
take_words (GtkWidget *entry)
{
  GtkTextBuffer *buffer;
  GtkTextIter start, end;
  char *words;

  if (!GTK_IS_TEXT_VIEW (entry))
    return rake_typed_words (entry);
  buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (entry));
  gtk_text_buffer_get_bounds (buffer, &start, &end);
  words = g_strstrip (gtk_text_buffer_get_text (buffer, &start, &end, FALSE));
  return *words ? words : (g_free (words), NULL);
}

static gboolean
read_number (GtkWidget *entry, GtkWidget *label, RakeMeasure measure, double most, double *value,
             GError **error)
{
  g_autofree char *words = take_words (entry);

  *value = NAN;
  if (!words || rake_units_parse (measure, words, 0, most, value, error))
    return TRUE;
  g_prefix_error (error, "%s: ", gtk_label_get_label (GTK_LABEL (label)));
  return FALSE;
}

static char *
say_today (void)
{
  g_autoptr (GDateTime) today = g_date_time_new_from_unix_local (rake_session_now_ms () / 1000);
  /* Translators: a date as g_date_time_format() writes it: "15 March 2026" */
  char *text = today ? g_date_time_format (today, _ ("%-e %B %Y")) : NULL;

  return text ? g_strstrip (text) : g_strdup ("");
}

/* Everything but the seal; NULL when a number is none. */
static RakeEntry *
read_entry (RakeHandOverPart *self, const RakeJob *job, guint *n_open, GError **error)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_HAND_OVER);
  const RakeJobFacts *facts = rake_job_find_facts (job);
  RakeHandOverBody *body = &entry->hand_over;
  GtkWidget *months_label = gtk_widget_get_prev_sibling (self->months);
  g_autofree char *today = say_today ();

  if (!read_number (self->distance, self->distance_label, RAKE_MEASURE_LENGTH, MOST_DISTANCE_MM,
                    &body->distance_mm, error) ||
      !read_number (self->months, months_label, RAKE_MEASURE_TURNS, MOST_MONTHS, &body->months,
                    error))
    return NULL;
  body->light = take_words (self->light);
  body->condition = take_words (self->condition);
  body->not_examined = take_words (self->not_examined);
  body->exclusions = take_words (self->exclusions);
  body->care = rake_care_to_text (facts ? facts->finish : RAKE_FINISH_UNSAID,
                                  facts ? facts->sheen : RAKE_SHEEN_UNSAID);
  body->terms = rake_warranty_fill (rake_warranty_get_template (g_get_language_names ()[0]), job,
                                    body, today, n_open, error);
  return body->terms ? g_steal_pointer (&entry) : NULL;
}

static void
show_agreed (RakeHandOverPart *self, const RakeHandOverBody *body, guint n_open)
{
  g_autofree char *blanks =
      n_open == 0 ? NULL
                  : g_strdup_printf (ngettext ("%u blank is open: it becomes a line to write on.",
                                               "%u blanks are open: they become lines to write on.",
                                               n_open),
                                     n_open);

  gtk_label_set_label (GTK_LABEL (self->care), body->care ? body->care : "");
  gtk_label_set_label (GTK_LABEL (self->terms), body->terms ? body->terms : "");
  gtk_label_set_label (GTK_LABEL (self->open_blanks), blanks ? blanks : "");
  gtk_widget_set_visible (self->open_blanks, blanks != NULL);
}

static void
show_draft (RakeHandOverPart *self, RakeSession *session, gboolean is_free)
{
  g_autoptr (GError) error = NULL;
  guint n_open = 0;
  g_autoptr (RakeEntry) entry =
      read_entry (self, rake_session_get_live_job (session), &n_open, &error);

  if (entry)
    show_agreed (self, &entry->hand_over, n_open);
  gtk_label_set_label (GTK_LABEL (self->fault),
                       error      ? error->message
                       : !is_free ? _ ("First clear what stands in the way, above.")
                                  : "");
  gtk_widget_set_visible (self->fault, error || !is_free);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "hand-over.hand-over", is_free && !error);
}

static gboolean
is_free (RakeHandOverPart *self)
{
  GtkWidget *first = gtk_widget_get_first_child (self->obstacles);

  return first && GTK_IS_LABEL (first);
}

static void
on_typed (RakeHandOverPart *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  if (session && !self->is_filling)
    show_draft (self, session, is_free (self));
}

/* What is agreed with one client is mostly what is agreed with the next. */
static void
remember (const RakeHandOverBody *body)
{
  if (body->light)
    rake_settings_set_text ("record", "light", body->light);
  if (isfinite (body->distance_mm))
    rake_settings_set_number ("record", "distance_mm", (int) round (body->distance_mm));
  if (isfinite (body->months))
    rake_settings_set_number ("record", "months", (int) round (body->months));
}

static void
recall (RakeHandOverPart *self)
{
  g_autofree char *light = rake_settings_get_text ("record", "light");
  int distance_mm = rake_settings_get_number ("record", "distance_mm", 0);
  int months = rake_settings_get_number ("record", "months", 0);
  g_autofree char *distance =
      distance_mm > 0 ? rake_units_to_number (RAKE_MEASURE_LENGTH, distance_mm) : NULL;
  g_autofree char *months_text = months > 0 ? g_strdup_printf ("%d", months) : NULL;

  gtk_editable_set_text (GTK_EDITABLE (self->light), light ? light : "");
  gtk_editable_set_text (GTK_EDITABLE (self->distance), distance ? distance : "");
  gtk_editable_set_text (GTK_EDITABLE (self->months), months_text ? months_text : "");
  gtk_editable_set_text (GTK_EDITABLE (self->exclusions), "");
  gtk_text_buffer_set_text (gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->condition)), "", 0);
  gtk_text_buffer_set_text (gtk_text_view_get_buffer (GTK_TEXT_VIEW (self->not_examined)), "", 0);
}

/* --- handing over -------------------------------------------------------------------------------------- */

static void
answered (AdwMessageDialog *dialog, const char *response, RakeHandOverPart *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  g_autoptr (RakeEntry) entry = NULL;

  if (!job || !g_str_equal (response, "hand-over"))
    return;
  entry = read_entry (self, job, NULL, NULL);
  if (!entry)
    return;
  entry->hand_over.seal = rake_seal_take (job, rake_job_get_n_entries (job));
  if (rake_session_append (session, &entry, 1))
    remember (&entry->hand_over);
}

static void
hand_over (GtkWidget *widget, const char *action, GVariant *parameter)
{
  GtkRoot *root = gtk_widget_get_root (widget);
  GtkWidget *dialog;

  if (!GTK_IS_WINDOW (root) || !rake_session_view_get_session (widget))
    return;
  dialog = adw_message_dialog_new (
      GTK_WINDOW (root), _ ("Hand the piece over?"),
      _ ("The logbook is sealed as it stands, and the job is closed for work. Looks, marks, "
         "photographs, notes and claims go on. Striking out the hand-over opens it again."));
  adw_message_dialog_add_responses (ADW_MESSAGE_DIALOG (dialog), "cancel", _ ("_Not Yet"),
                                    "hand-over", _ ("_Hand Over"), NULL);
  adw_message_dialog_set_response_appearance (ADW_MESSAGE_DIALOG (dialog), "hand-over",
                                              ADW_RESPONSE_SUGGESTED);
  adw_message_dialog_set_default_response (ADW_MESSAGE_DIALOG (dialog), "hand-over");
  adw_message_dialog_set_close_response (ADW_MESSAGE_DIALOG (dialog), "cancel");
  g_signal_connect_object (dialog, "response", G_CALLBACK (answered), widget, 0);
  gtk_window_present (GTK_WINDOW (dialog));
}

/* --- after it ------------------------------------------------------------------------------------------ */

static void
show_facts (RakeHandOverPart *self, const RakeJob *job, const RakeEntry *entry)
{
  const RakeHandOverBody *body = &entry->hand_over;
  g_autofree char *when = rake_say_when (entry, rake_session_now_ms ());
  g_autofree char *distance =
      isfinite (body->distance_mm) ? rake_say_length (body->distance_mm) : NULL;
  g_autofree char *months = isfinite (body->months) ? g_strdup_printf ("%.0f", body->months) : NULL;

  rake_slip_empty (self->facts);
  rake_slip_add_words (
      self->facts,
      rake_job_is_closed (job)
          ? _ ("The piece was handed over. The job is closed for work, and open for claims.")
          : _ ("The piece was handed over. A claim is open: until it is decided, the job is open "
               "for work."),
      "record-title");
  rake_slip_add_fact (self->facts, C_ ("hand-over", "When"), when);
  rake_slip_add_fact (self->facts, C_ ("hand-over", "By whom"), entry->who);
  rake_slip_add_fact (self->facts, C_ ("hand-over", "Agreed viewing light"), body->light);
  rake_slip_add_fact (self->facts, C_ ("hand-over", "Agreed distance"), distance);
  rake_slip_add_fact (self->facts, C_ ("hand-over", "How it looked"), body->condition);
  rake_slip_add_fact (self->facts, C_ ("hand-over", "Not examined"), body->not_examined);
  rake_slip_add_fact (self->facts, C_ ("hand-over", "Months of warranty"), months);
  rake_slip_add_fact (self->facts, C_ ("hand-over", "What else is not covered"), body->exclusions);
}

static void
show_seal (RakeHandOverPart *self, const RakeJob *job, const RakeEntry *entry, guint n_before)
{
  const char *seal = entry->hand_over.seal ? entry->hand_over.seal : "";
  g_autofree char *now = rake_seal_take (job, n_before);

  gtk_label_set_label (GTK_LABEL (self->seal), seal);
  gtk_label_set_label (
      GTK_LABEL (self->seal_holds),
      *seal == '\0' ? _ ("No seal was taken.")
      : g_ascii_strcasecmp (seal, now) == 0
          ? _ ("It holds: the entries up to the hand-over are those of that day. Give it to the "
               "client on paper, dated and signed: only that fixes the day.")
          : _ ("It does not hold: entries from before the hand-over have come in, or were changed. "
               "rakelight-cli verify names the first one."));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "hand-over.copy-seal", *seal != '\0');
}

static void
copy_seal (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeHandOverPart *self = RAKE_HAND_OVER_PART (widget);

  gdk_clipboard_set_text (gtk_widget_get_clipboard (widget),
                          gtk_label_get_label (GTK_LABEL (self->seal)));
}

static void
strike (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeSession *session = rake_session_view_get_session (widget);
  GtkRoot *root = gtk_widget_get_root (widget);
  const RakeEntry *entry =
      session ? rake_job_find_hand_over (rake_session_get_live_job (session), NULL) : NULL;

  if (entry && GTK_IS_WINDOW (root))
    rake_dialogs_strike (GTK_WINDOW (root), session, entry->id);
}

/* --- all of it ----------------------------------------------------------------------------------------- */

static void
show_all (RakeHandOverPart *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  guint n_before = 0;
  const RakeEntry *entry = job ? rake_job_find_hand_over (job, &n_before) : NULL;

  gtk_widget_set_visible (self->before, job && !entry);
  gtk_widget_set_visible (self->after, entry != NULL);
  if (!job)
    return;
  if (!entry)
    {
      show_draft (self, session, show_obstacles (self, session) == 0);
      return;
    }
  show_facts (self, job, entry);
  show_seal (self, job, entry, n_before);
  show_agreed (self, &entry->hand_over, 0);
}

static void
label_distance (RakeHandOverPart *self)
{
  g_autofree char *text =
      g_strdup_printf (_ ("And the distance, %s"), rake_units_get_sign (RAKE_MEASURE_LENGTH));

  gtk_label_set_label (GTK_LABEL (self->distance_label), text);
}

static void
rake_hand_over_part_show (RakeSessionView *view, RakeShow what)
{
  RakeHandOverPart *self = RAKE_HAND_OVER_PART (view);

  if (what == RAKE_SHOW_SESSION)
    {
      self->is_filling = TRUE;
      recall (self);
      self->is_filling = FALSE;
    }
  if (what == RAKE_SHOW_JOB && gtk_widget_get_mapped (GTK_WIDGET (view)))
    show_all (self);
}

static void
rake_hand_over_part_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_hand_over_part_parent_class)->map (widget);
  label_distance (RAKE_HAND_OVER_PART (widget));
  show_all (RAKE_HAND_OVER_PART (widget));
}

static void
rake_hand_over_part_dispose (GObject *object)
{
  RAKE_HAND_OVER_PART (object)->is_filling = TRUE;
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_HAND_OVER_PART);
  G_OBJECT_CLASS (rake_hand_over_part_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, content);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, before);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, obstacles);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, light);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, distance);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, distance_label);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, condition);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, not_examined);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, months);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, exclusions);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, fault);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, after);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, facts);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, seal);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, seal_holds);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, care);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, terms);
  gtk_widget_class_bind_template_child (widget_class, RakeHandOverPart, open_blanks);
}

static void
rake_hand_over_part_class_init (RakeHandOverPartClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_hand_over_part_dispose;
  widget_class->map = rake_hand_over_part_map;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_hand_over_part_show;
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "handoverpart");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "hand-over-part.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_typed);
  gtk_widget_class_install_action (widget_class, "hand-over.accept", "s", accept_zone);
  gtk_widget_class_install_action (widget_class, "hand-over.hand-over", NULL, hand_over);
  gtk_widget_class_install_action (widget_class, "hand-over.copy-seal", NULL, copy_seal);
  gtk_widget_class_install_action (widget_class, "hand-over.strike", NULL, strike);
}

static void
rake_hand_over_part_init (RakeHandOverPart *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
