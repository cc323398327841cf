/* verdict-card.c - what the rules say of a zone. */
#include "verdict-card.h"
#include "picture.h"
#include "say.h"

#include <string.h>
#include "words.h"

#define MAX_OPEN_REASONS 3

struct _RakeVerdictCard
{
  GtkWidget parent_instance;

  GtkWidget *content, *word, *accepted, *reasons, *clears, *others, *other_reasons;
  RakePicture *glyph;
  const char *style; /* the class that colours the card now */
};

G_DEFINE_FINAL_TYPE (RakeVerdictCard, rake_verdict_card, GTK_TYPE_WIDGET)

static void
remove_children (GtkWidget *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (box)))
    gtk_box_remove (GTK_BOX (box), child);
}

static GtkWidget *
new_reason_label (const char *text, const RakeReason *reason)
{
  GtkWidget *label = gtk_label_new (text);
  /* Translators: which rule spoke: its name, and the trade rule it traces to: "Rule level-enough, D10". */
  g_autofree char *trace = g_strdup_printf (_ ("Rule %s, %s"), reason->rule, reason->trace);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "numbers");
  gtk_widget_set_tooltip_text (label, trace);
  gtk_accessible_update_property (GTK_ACCESSIBLE (label), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  trace, -1);
  return label;
}

static gboolean
is_open_reason (const RakeJudgement *judgement, const RakeReason *reason)
{
  return !reason->is_accepted && reason->verdict == judgement->verdict;
}

static void
add_other_reason (RakeVerdictCard *self, const RakeReason *reason)
{
  const char *word = rake_say_verdict (reason->verdict);
  /* Translators: a verdict and its reason: "Sand again: low spots cover 14 %." */
  g_autofree char *text =
      reason->is_accepted
          ? g_strdup_printf (C_ ("reason", "%s (accepted): %s"), word, reason->sentence)
          : g_strdup_printf (C_ ("reason", "%s: %s"), word, reason->sentence);
  GtkWidget *label = new_reason_label (text, reason);

  if (reason->is_accepted)
    gtk_widget_add_css_class (label, "soft");
  gtk_box_append (GTK_BOX (self->other_reasons), label);
}

/* Several reasons are often cleared by the same thing: it is said once. */
static void
add_clears (GString *clears, const char *sentence)
{
  if (!sentence || !*sentence || strstr (clears->str, sentence))
    return;
  if (clears->len)
    g_string_append_c (clears, '\n');
  g_string_append (clears, sentence);
}

static void
show_reasons (RakeVerdictCard *self, const RakeJudgement *judgement)
{
  g_autoptr (GString) clears = g_string_new (NULL);
  g_autofree char *more = NULL;
  guint n_open = 0, n_others = 0;

  remove_children (self->reasons);
  remove_children (self->other_reasons);
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];

      if (is_open_reason (judgement, reason) && n_open < MAX_OPEN_REASONS)
        {
          gtk_box_append (GTK_BOX (self->reasons), new_reason_label (reason->sentence, reason));
          add_clears (clears, reason->clears);
          n_open++;
        }
      else
        {
          add_other_reason (self, reason);
          n_others++;
        }
    }
  gtk_widget_set_visible (self->reasons, n_open > 0);
  gtk_label_set_label (GTK_LABEL (self->clears), clears->str);
  gtk_widget_set_visible (self->clears, clears->len > 0);
  more = g_strdup_printf (ngettext ("%u thing more", "%u things more", n_others), n_others);
  gtk_expander_set_label (GTK_EXPANDER (self->others), more);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->others), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  more, -1);
  gtk_widget_set_visible (self->others, n_others > 0);
}

static char *
say_word (const RakeZone *zone, const RakeJudgement *judgement)
{
  if (judgement->is_accepted && judgement->acceptance)
    /* Translators: the zone was accepted against a verdict: "Accepted over: Stop". */
    return g_strdup_printf (_ ("Accepted over: %s"),
                            rake_say_verdict (judgement->acceptance->acceptance.verdict));
  if (judgement->verdict == RAKE_VERDICT_NONE)
    {
      if (!zone->stage)
        return g_strdup (_ ("No schedule yet"));
      /* Translators: %s is a grit: the zone has no earlier stage. */
      return g_strdup_printf (_ ("Joins in at %s"), rake_say_grade (zone->first_stage));
    }
  if (judgement->back_to)
    /* Translators: a verdict, and the grit the zone goes back to: "Sand again, back to P1200". */
    return g_strdup_printf (_ ("%s, back to %s"), rake_say_verdict (judgement->verdict),
                            rake_say_grade (judgement->back_to));
  return g_strdup (rake_say_verdict (judgement->verdict));
}

static void
show_acceptance (RakeVerdictCard *self, const RakeJudgement *judgement)
{
  const RakeEntry *acceptance = judgement->acceptance;
  g_autofree char *text = NULL;
  g_autofree char *day = NULL;

  gtk_widget_set_visible (self->accepted, acceptance != NULL);
  if (!acceptance)
    return;
  day = rake_say_day (acceptance);
  if (acceptance->who)
    /* Translators: the reason in the finisher's own words, who gave it, and the day. */
    text =
        g_strdup_printf (_ ("“%s” — %s, %s"), acceptance->acceptance.reason, acceptance->who, day);
  else
    text = g_strdup_printf (_ ("“%s” — %s"), acceptance->acceptance.reason, day);
  gtk_label_set_label (GTK_LABEL (self->accepted), text);
}

/* An accepted zone keeps the colour of what it was accepted over: it shows for ever. */
void
rake_verdict_card_show (RakeVerdictCard *self, const RakeZone *zone, const RakeJudgement *judgement)
{
  g_autofree char *word = say_word (zone, judgement);
  RakeVerdict verdict = judgement->is_accepted && judgement->acceptance
                            ? judgement->acceptance->acceptance.verdict
                            : judgement->verdict;

  if (self->style)
    {
      gtk_widget_remove_css_class (GTK_WIDGET (self), self->style);
      gtk_widget_remove_css_class (self->word, self->style);
    }
  self->style = rake_say_verdict_class (verdict);
  gtk_widget_add_css_class (GTK_WIDGET (self), self->style);
  gtk_widget_add_css_class (self->word, self->style);
  if (judgement->is_accepted)
    gtk_widget_add_css_class (GTK_WIDGET (self), "accepted");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self), "accepted");

  rake_picture_show_verdict (self->glyph, verdict);
  gtk_widget_set_visible (GTK_WIDGET (self->glyph), verdict != RAKE_VERDICT_NONE);
  gtk_label_set_label (GTK_LABEL (self->word), word);
  show_acceptance (self, judgement);
  show_reasons (self, judgement);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, word, -1);
}

static void
rake_verdict_card_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_VERDICT_CARD);
  G_OBJECT_CLASS (rake_verdict_card_parent_class)->dispose (object);
}

static void
rake_verdict_card_class_init (RakeVerdictCardClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_verdict_card_dispose;
  g_type_ensure (RAKE_TYPE_PICTURE);
  gtk_widget_class_set_css_name (widget_class, "verdictcard");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "verdict-card.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeVerdictCard, content);
  gtk_widget_class_bind_template_child (widget_class, RakeVerdictCard, glyph);
  gtk_widget_class_bind_template_child (widget_class, RakeVerdictCard, word);
  gtk_widget_class_bind_template_child (widget_class, RakeVerdictCard, accepted);
  gtk_widget_class_bind_template_child (widget_class, RakeVerdictCard, reasons);
  gtk_widget_class_bind_template_child (widget_class, RakeVerdictCard, clears);
  gtk_widget_class_bind_template_child (widget_class, RakeVerdictCard, others);
  gtk_widget_class_bind_template_child (widget_class, RakeVerdictCard, other_reasons);
}

static void
rake_verdict_card_init (RakeVerdictCard *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
