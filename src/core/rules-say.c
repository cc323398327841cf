/* rules-say.c - a rule's sentence as a person reads it: translated, the numbers filled in. */
#include "i18n.h"
#include "rules-private.h"
#include "units-private.h"

#include <math.h>
#include <string.h>

static const char *const saying_words[] = { "zone", "stage", "back", "faults" };

gboolean
rake_saying_has (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (saying_words); i++)
    if (strcmp (saying_words[i], name) == 0)
      return TRUE;
  return rake_fact_from_name (name) != RAKE_N_FACTS;
}

static char *describe_amount (double value, const char *format) G_GNUC_FORMAT (2);

static char *
describe_amount (double value, const char *format)
{
  g_autofree char *number = rake_units_write_number (value, 1);

  return g_strdup_printf (format, number);
}

/* Time gone by is rounded down and time still to go up, so neither promises too much. */
static double
round_time (RakeFact fact, double value)
{
  switch ((int) fact)
    {
    case RAKE_FACT_DAYS_SINCE_COAT:
    case RAKE_FACT_DAYS_SINCE_FILL:
    case RAKE_FACT_DAYS_SINCE_BUFF:
    case RAKE_FACT_RESTED_AT_LOOK_DAYS:
    case RAKE_FACT_MINUTES_SINCE_BUFF:
      return floor (value);
    case RAKE_FACT_CURE_DAYS_LEFT:
    case RAKE_FACT_FILL_CURE_DAYS_LEFT:
    case RAKE_FACT_REST_DAYS_LEFT:
    case RAKE_FACT_COOL_MINUTES_LEFT:
      return ceil (value);
    default:
      return value;
    }
}

static char *
describe_days (RakeFact fact, double days)
{
  double hours = round_time (fact, days * 24);

  days = MAX (days, 0);
  if (days != floor (days) && days < 2)
    {
      hours = MAX (hours, 0);
      return g_strdup_printf (ngettext ("%.0f hour", "%.0f hours", (gulong) hours), hours);
    }
  days = round_time (fact, days);
  if (days != floor (days))
    {
      g_autofree char *number = rake_units_print_number (days, 1);
      return g_strdup_printf (_ ("%s days"), number);
    }
  return g_strdup_printf (ngettext ("%.0f day", "%.0f days", (gulong) MIN (days, 1e9)), days);
}

char *
rake_fact_describe (const RakeFacts *facts, RakeFact fact)
{
  double value = facts->value[fact];

  if (facts->knowledge[fact] != RAKE_KNOWN)
    return g_strdup (_ ("not known"));
  switch (rake_fact_get_unit (fact))
    {
    case RAKE_UNIT_NUMBER:
      return g_strdup_printf ("%.0f", value);
    case RAKE_UNIT_ANSWER:
      return g_strdup (value != 0 ? _ ("yes") : _ ("no"));
    case RAKE_UNIT_FRACTION:
      return rake_units_to_text (RAKE_MEASURE_SHARE, value);
    case RAKE_UNIT_MM:
      return rake_units_to_text (RAKE_MEASURE_LENGTH, value);
    case RAKE_UNIT_UM:
      return rake_units_to_text (RAKE_MEASURE_FILM, value);
    case RAKE_UNIT_DEG:
      return describe_amount (value, _ ("%s°"));
    case RAKE_UNIT_DAY:
      return describe_days (fact, value);
    case RAKE_UNIT_MINUTE:
      return describe_amount (MAX (round_time (fact, value), 0), _ ("%s min"));
    case RAKE_UNIT_CELSIUS:
      return rake_units_to_text (RAKE_MEASURE_TEMPERATURE, value);
    case RAKE_UNIT_GU:
      return rake_units_to_text (RAKE_MEASURE_GLOSS, value);
    }
  g_assert_not_reached ();
}

static void
append_filled (GString *text, const RakeSaying *saying, const char *name)
{
  const char *const words[] = { saying->zone, saying->stage, saying->back, saying->faults };
  RakeFact fact;

  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    if (strcmp (saying_words[i], name) == 0)
      {
        g_string_append (text, words[i] != NULL ? words[i] : _ ("not known"));
        return;
      }
  fact = rake_fact_from_name (name);
  if (fact != RAKE_N_FACTS)
    {
      g_autofree char *described = rake_fact_describe (saying->facts, fact);
      g_string_append (text, described);
      return;
    }
  /* Only a translation can bring this: shown as it is, so that it is seen and mended. */
  g_string_append_printf (text, "{%s}", name);
}

char *
rake_saying_fill (const RakeSaying *saying, const char *msgid)
{
  const char *at = g_dgettext (RAKE_GETTEXT_DOMAIN, msgid);
  GString *text = g_string_new (NULL);
  const char *open, *close;

  while ((open = strchr (at, '{')) != NULL && (close = strchr (open, '}')) != NULL)
    {
      g_autofree char *name = g_strndup (open + 1, (gsize) (close - open - 1));

      g_string_append_len (text, at, open - at);
      append_filled (text, saying, name);
      at = close + 1;
    }
  g_string_append (text, at);
  return g_string_free (text, FALSE);
}
