/* wheel-card.c - one wheel on the buffing bench. */
#include "wheel-card.h"
#include "say.h"
#include "speed-gauge.h"
#include "wrap-layout.h"

#include <math.h>
#include <rakelight/units.h>
#include <rakelight/wheel.h>

#include "words.h"

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

/* --- what it carries ------------------------------------------------------------------------------- */

char *
rake_wheel_say_carries (const RakeWheelStanding *standing)
{
  if (standing->is_mixed == RAKE_ANSWER_YES)
    return g_strdup (
        _ ("Has carried more than one compound: strip or replace it before it is used."));
  if (!standing->compound || !*standing->compound)
    return standing->is_mixed == RAKE_ANSWER_UNSAID
               ? g_strdup (_ ("What it has carried is not known: strip or replace it, or say so."))
               : g_strdup (_ ("Carries nothing yet."));
  /* Translators: %s is a compound. */
  return g_strdup_printf (_ ("Carries %s, and only that."), standing->compound);
}

static char *
say_used (const RakeWheelStanding *standing)
{
  g_autofree char *day = standing->last_check ? rake_say_day (standing->last_check) : NULL;

  if (!day)
    return g_strdup_printf (ngettext ("%u pass on it; never checked",
                                      "%u passes on it; never checked", standing->n_passes),
                            standing->n_passes);
  return g_strdup_printf (
      ngettext ("%u pass on it; checked %s", "%u passes on it; checked %s", standing->n_passes),
      standing->n_passes, day);
}

/* --- how fast it runs ------------------------------------------------------------------------------ */

static const char *
say_judged (RakeWheelSpeed speed)
{
  switch (speed)
    {
    case RAKE_WHEEL_SLOW:
      return _ ("slow for this finish: it cuts little and may drag");
    case RAKE_WHEEL_IN_RANGE:
      return _ ("within the usual range for this finish");
    case RAKE_WHEEL_FAST:
      return _ ("fast for this finish: heat comes quickly");
    case RAKE_WHEEL_OVER_RATED:
      return _ ("faster than the wheel is rated for: do not run it");
    case RAKE_WHEEL_SPEED_UNKNOWN:
    default:
      return _ ("say its diameter and the motor's speed to know how fast it runs");
    }
}

static void
add_speed (GtkWidget *box, RakeSession *session, const RakeWheelBody *wheel)
{
  const RakeJobFacts *facts = rake_job_find_facts (rake_session_get_job (session));
  RakeFinish finish = facts ? facts->finish : RAKE_FINISH_UNSAID;
  double speed = rake_wheel_surface_m_per_s (wheel->diameter_mm, rake_wheel_get_rpm (wheel));
  RakeWheelSpeed judged = rake_wheel_judge (wheel, finish);
  g_autofree char *number =
      isfinite (speed) ? rake_units_to_text (RAKE_MEASURE_SPEED, speed) : NULL;
  g_autofree char *turns = NULL;
  g_autofree char *text = NULL;

  if (number)
    {
      turns = g_strdup_printf ("%.0f", rake_wheel_get_rpm (wheel));
      /* Translators: surface speed, turns a minute, how that is for the finish. */
      text = g_strdup_printf (_ ("%s at %s r/min, %s."), number, turns, say_judged (judged));
    }
  else
    text = g_strdup_printf (_ ("Speed not known: %s."), say_judged (judged));
  add_label (box, text,
             judged == RAKE_WHEEL_FAST || judged == RAKE_WHEEL_OVER_RATED ? "caution" : "numbers");
  if (number)
    gtk_box_append (GTK_BOX (box),
                    rake_speed_gauge_new (speed, rake_wheel_get_range (finish), text));
}

/* --- the card --------------------------------------------------------------------------------------- */

static void
add_button (GtkWidget *box, const char *label, const char *action, const char *id, const char *name)
{
  GtkWidget *button = gtk_button_new_with_label (label);
  g_autofree char *described = g_strdup_printf ("%s: %s", name, label);

  gtk_widget_add_css_class (button, "row-button");
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", id);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, described,
                                  -1);
  gtk_box_append (GTK_BOX (box), button);
}

static GtkWidget *
new_buttons (RakeId wheel, const char *name)
{
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (wheel, id);
  gtk_widget_set_layout_manager (buttons, rake_wrap_layout_new (6));
  add_button (buttons, C_ ("wheel", "Checked"), "wheels.checked", id, name);
  add_button (buttons, C_ ("wheel", "Stripped"), "wheels.stripped", id, name);
  add_button (buttons, C_ ("wheel", "Replaced"), "wheels.replaced", id, name);
  add_button (buttons, C_ ("wheel", "Facts…"), "wheels.edit", id, name);
  return buttons;
}

GtkWidget *
rake_wheel_card_new (RakeSession *session, RakeId wheel)
{
  RakeWheelStanding standing;
  GtkWidget *card;
  g_autofree char *carries = NULL;
  g_autofree char *used = NULL;
  g_autofree char *advice = NULL;

  if (!rake_wheel_take (rake_session_get_job (session), wheel, &standing))
    return NULL;
  card = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_add_css_class (card, "wheel-card");
  carries = rake_wheel_say_carries (&standing);
  used = say_used (&standing);
  advice = rake_wheel_advise (&standing);
  add_label (card, standing.entry->wheel.name, "zone-name");
  add_label (card, carries, standing.is_mixed == RAKE_ANSWER_NO ? NULL : "caution");
  add_speed (card, session, &standing.entry->wheel);
  add_label (card, used, "soft");
  if (advice)
    add_label (card, advice, "caution");
  gtk_box_append (GTK_BOX (card), new_buttons (wheel, standing.entry->wheel.name));
  return card;
}
