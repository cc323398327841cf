/* units.c - numbers as a person writes and reads them. */
#include "units-private.h"

#include "i18n.h"

#include <locale.h>
#include <math.h>
#include <string.h>

#define MOST_DIGITS 24

G_DEFINE_QUARK (rake-units-error-quark, rake_units_error)

/* One choice for the whole process, as the language is; a thread may have one of its own. */
static RakeUnits chosen;
static GPrivate chosen_by_thread = G_PRIVATE_INIT (g_free);

typedef struct
{
  const char *word;        /* as read: casefolded, without spaces; the first of a unit's is its sign */
  RakeMeasure measure;
  gboolean is_customary;   /* shown where µm, mm, °C are not wanted */
  gboolean is_shown;
  double per_stored, zero; /* shown = stored · per_stored + zero */
  int decimals;
} Unit;

/* 25.4 mm to the inch, 0.00508 m/s to the ft/min, 92903.04 mm² to the ft², 28.349523125 g to the oz and
 * 1.8 °F to the °C are exact by definition. */
static const Unit units[] = {
  { "μm", RAKE_MEASURE_FILM, FALSE, TRUE, 1, 0, 1 },
  { "um", RAKE_MEASURE_FILM, FALSE, FALSE, 1, 0, 1 },
  { "micron", RAKE_MEASURE_FILM, FALSE, FALSE, 1, 0, 1 },
  { "microns", RAKE_MEASURE_FILM, FALSE, FALSE, 1, 0, 1 },
  { "mil", RAKE_MEASURE_FILM, TRUE, TRUE, 1 / 25.4, 0, 2 },
  { "mils", RAKE_MEASURE_FILM, TRUE, FALSE, 1 / 25.4, 0, 2 },
  { "thou", RAKE_MEASURE_FILM, TRUE, FALSE, 1 / 25.4, 0, 2 },
  { "mm", RAKE_MEASURE_FILM, FALSE, FALSE, 1e-3, 0, 4 },
  { "cm", RAKE_MEASURE_FILM, FALSE, FALSE, 1e-4, 0, 4 },
  { "m", RAKE_MEASURE_FILM, FALSE, FALSE, 1e-6, 0, 4 },
  { "mm", RAKE_MEASURE_LENGTH, FALSE, TRUE, 1, 0, 1 },
  { "cm", RAKE_MEASURE_LENGTH, FALSE, FALSE, 0.1, 0, 2 },
  { "m", RAKE_MEASURE_LENGTH, FALSE, FALSE, 1e-3, 0, 4 },
  { "in", RAKE_MEASURE_LENGTH, TRUE, TRUE, 1 / 25.4, 0, 2 },
  { "inch", RAKE_MEASURE_LENGTH, TRUE, FALSE, 1 / 25.4, 0, 2 },
  { "inches", RAKE_MEASURE_LENGTH, TRUE, FALSE, 1 / 25.4, 0, 2 },
  { "zoll", RAKE_MEASURE_LENGTH, TRUE, FALSE, 1 / 25.4, 0, 2 },
  { "\"", RAKE_MEASURE_LENGTH, TRUE, FALSE, 1 / 25.4, 0, 2 },
  { "″", RAKE_MEASURE_LENGTH, TRUE, FALSE, 1 / 25.4, 0, 2 },
  { "°c", RAKE_MEASURE_TEMPERATURE, FALSE, TRUE, 1, 0, 1 },
  { "c", RAKE_MEASURE_TEMPERATURE, FALSE, FALSE, 1, 0, 1 },
  { "°f", RAKE_MEASURE_TEMPERATURE, TRUE, TRUE, 1.8, 32, 1 },
  { "f", RAKE_MEASURE_TEMPERATURE, TRUE, FALSE, 1.8, 32, 1 },
  { "m/s", RAKE_MEASURE_SPEED, FALSE, TRUE, 1, 0, 1 },
  { "ft/min", RAKE_MEASURE_SPEED, TRUE, TRUE, 1 / 0.00508, 0, 0 },
  { "fpm", RAKE_MEASURE_SPEED, TRUE, FALSE, 1 / 0.00508, 0, 0 },
  { "sfm", RAKE_MEASURE_SPEED, TRUE, FALSE, 1 / 0.00508, 0, 0 },
  { "gu", RAKE_MEASURE_GLOSS, FALSE, TRUE, 1, 0, 1 },
  { "%", RAKE_MEASURE_SHARE, FALSE, TRUE, 100, 0, 1 },
  { "g", RAKE_MEASURE_MASS, FALSE, TRUE, 1, 0, 1 },
  { "kg", RAKE_MEASURE_MASS, FALSE, FALSE, 1e-3, 0, 4 },
  { "oz", RAKE_MEASURE_MASS, FALSE, FALSE, 1 / 28.349523125, 0, 2 },
  { "g/ml", RAKE_MEASURE_DENSITY, FALSE, TRUE, 1, 0, 3 },
  { "kg/l", RAKE_MEASURE_DENSITY, FALSE, FALSE, 1, 0, 3 },
  { "g/cm³", RAKE_MEASURE_DENSITY, FALSE, FALSE, 1, 0, 3 },
  { "m²", RAKE_MEASURE_AREA, FALSE, TRUE, 1e-6, 0, 2 },
  { "m2", RAKE_MEASURE_AREA, FALSE, FALSE, 1e-6, 0, 2 },
  { "cm²", RAKE_MEASURE_AREA, FALSE, FALSE, 1e-2, 0, 1 },
  { "cm2", RAKE_MEASURE_AREA, FALSE, FALSE, 1e-2, 0, 1 },
  { "ft²", RAKE_MEASURE_AREA, TRUE, TRUE, 1 / 92903.04, 0, 2 },
  { "ft2", RAKE_MEASURE_AREA, TRUE, FALSE, 1 / 92903.04, 0, 2 },
  { "r/min", RAKE_MEASURE_TURNS, FALSE, TRUE, 1, 0, 0 },
  { "rpm", RAKE_MEASURE_TURNS, FALSE, FALSE, 1, 0, 0 },
  { "1/min", RAKE_MEASURE_TURNS, FALSE, FALSE, 1, 0, 0 },
  { "u/min", RAKE_MEASURE_TURNS, FALSE, FALSE, 1, 0, 0 },
  { "°", RAKE_MEASURE_ANGLE, FALSE, TRUE, 1, 0, 0 },
};

void
rake_units_choose (RakeUnits wanted)
{
  chosen = wanted;
}

void
rake_units_choose_for_thread (const RakeUnits *wanted)
{
  g_private_replace (&chosen_by_thread, wanted != NULL ? g_memdup2 (wanted, sizeof *wanted) : NULL);
}

RakeUnits
rake_units_get (void)
{
  const RakeUnits *own = g_private_get (&chosen_by_thread);

  return own != NULL ? *own : chosen;
}

static gboolean
wants_customary (RakeMeasure measure)
{
  RakeUnits wanted = rake_units_get ();

  return (measure == RAKE_MEASURE_FILM && wanted.film_in_mil) ||
         ((measure == RAKE_MEASURE_LENGTH || measure == RAKE_MEASURE_SPEED ||
           measure == RAKE_MEASURE_AREA) &&
          wanted.length_in_inch) ||
         (measure == RAKE_MEASURE_TEMPERATURE && wanted.temperature_in_fahrenheit);
}

static const Unit *
get_shown (RakeMeasure measure)
{
  gboolean is_customary = wants_customary (measure);

  for (gsize i = 0; i < G_N_ELEMENTS (units); i++)
    if (units[i].measure == measure && units[i].is_shown && units[i].is_customary == is_customary)
      return &units[i];
  g_return_val_if_reached (&units[0]);
}

/* --- writing ---------------------------------------------------------------------------------- */

char *
rake_units_print_in_language (double value, guint n_decimals)
{
  char format[] = "%.0f", text[G_ASCII_DTOSTR_BUF_SIZE];
  /* Translators: the sign before the decimals, as in 1.5 */
  const char *sign = C_ ("decimal sign", ".");
  char *point;

  format[2] = (char) ('0' + MIN (n_decimals, 9));
  g_ascii_formatd (text, sizeof text, format, value);
  point = strchr (text, '.');
  if (point == NULL)
    return g_strdup (text);
  *point = '\0';
  return g_strconcat (text, sign, point + 1, NULL);
}

char *
rake_units_print_number (double value, guint n_decimals)
{
  return g_private_get (&chosen_by_thread) != NULL
             ? rake_units_print_in_language (value, n_decimals)
             : g_strdup_printf ("%.*f", (int) n_decimals, value);
}

char *
rake_units_write_number (double value, int decimals)
{
  double parts = pow (10, decimals), rounded = round (value * parts);

  if (rounded == 0 && value != 0)
    {
      g_autofree char *least = rake_units_print_number (1 / parts, (guint) decimals);

      /* Translators: an amount, as in "under 0.1 mm". */
      return g_strdup_printf (_ ("under %s"), least);
    }
  if (fmod (rounded, parts) == 0)
    decimals = 0;
  return rake_units_print_number (rounded == 0 ? 0.0 : rounded / parts, (guint) decimals);
}

static char *
add_sign (const Unit *unit, const char *number)
{
  switch (unit->measure)
    {
    case RAKE_MEASURE_FILM:
      return g_strdup_printf (unit->is_customary ? _ ("%s mil") : _ ("%s µm"), number);
    case RAKE_MEASURE_LENGTH:
      return g_strdup_printf (unit->is_customary ? _ ("%s in") : _ ("%s mm"), number);
    case RAKE_MEASURE_TEMPERATURE:
      return g_strdup_printf (unit->is_customary ? _ ("%s °F") : _ ("%s °C"), number);
    case RAKE_MEASURE_SPEED:
      return g_strdup_printf (unit->is_customary ? _ ("%s ft/min") : _ ("%s m/s"), number);
    case RAKE_MEASURE_GLOSS:
      return g_strdup_printf (_ ("%s GU"), number);
    case RAKE_MEASURE_MASS:
      return g_strdup_printf (_ ("%s g"), number);
    case RAKE_MEASURE_DENSITY:
      return g_strdup_printf (_ ("%s g/mL"), number);
    case RAKE_MEASURE_AREA:
      return g_strdup_printf (unit->is_customary ? _ ("%s ft²") : _ ("%s m²"), number);
    case RAKE_MEASURE_TURNS:
      return g_strdup_printf (_ ("%s r/min"), number);
    case RAKE_MEASURE_ANGLE:
      return g_strdup_printf (_ ("%s°"), number);
    case RAKE_MEASURE_SHARE:
    default:
      return g_strdup_printf (_ ("%s %%"), number);
    }
}

double
rake_units_to_shown (RakeMeasure measure, double value)
{
  const Unit *unit = get_shown (measure);

  return value * unit->per_stored + unit->zero;
}

char *
rake_units_to_text (RakeMeasure measure, double value)
{
  const Unit *unit = get_shown (measure);
  g_autofree char *number = NULL;

  if (!isfinite (value))
    return g_strdup (_ ("not known"));
  number = rake_units_write_number (value * unit->per_stored + unit->zero, unit->decimals);
  return add_sign (unit, number);
}

/* Spaces that no line breaks at. */
static char *
keep_together (const char *text)
{
  g_auto (GStrv) words = g_strsplit (text, " ", -1);

  return g_strjoinv ("\302\240", words);
}

char *
rake_units_to_text_with_doubt (RakeMeasure measure, double mean, double sd)
{
  const Unit *unit = get_shown (measure);
  guint decimals = (guint) unit->decimals;
  g_autofree char *number = NULL, *middle = NULL, *doubt = NULL, *text = NULL;

  if (!isfinite (mean) || !isfinite (sd))
    return rake_units_to_text (measure, mean);
  middle = rake_units_print_number (mean * unit->per_stored + unit->zero, decimals);
  doubt = rake_units_print_number (sd * unit->per_stored, decimals);
  number = g_strdup_printf ("%s ± %s", middle, doubt);
  text = add_sign (unit, number);
  return keep_together (text);
}

char *
rake_units_to_number (RakeMeasure measure, double value)
{
  const Unit *unit = get_shown (measure);
  double parts = pow (10, unit->decimals + 2), shown = value * unit->per_stored + unit->zero;
  int decimals = unit->decimals + 2;

  if (!isfinite (value))
    return g_strdup ("");
  /* Two more digits than are shown, so that what was typed is what stands there again. */
  for (shown = round (shown * parts); decimals > 0 && fmod (shown, 10) == 0; shown /= 10)
    decimals--;
  return g_strdup_printf ("%.*f", decimals, shown == 0 ? 0.0 : shown / pow (10, decimals));
}

const char *
rake_units_get_sign (RakeMeasure measure)
{
  gboolean is_customary = wants_customary (measure);

  switch (measure)
    {
    case RAKE_MEASURE_FILM:
      return is_customary ? "mil" : "µm";
    case RAKE_MEASURE_LENGTH:
      return is_customary ? "in" : "mm";
    case RAKE_MEASURE_TEMPERATURE:
      return is_customary ? "°F" : "°C";
    case RAKE_MEASURE_SPEED:
      return is_customary ? "ft/min" : "m/s";
    case RAKE_MEASURE_GLOSS:
      return "GU";
    case RAKE_MEASURE_MASS:
      return "g";
    case RAKE_MEASURE_DENSITY:
      return "g/mL";
    case RAKE_MEASURE_AREA:
      return is_customary ? "ft²" : "m²";
    case RAKE_MEASURE_TURNS:
      return "r/min";
    case RAKE_MEASURE_ANGLE:
      return "°";
    case RAKE_MEASURE_SHARE:
    default:
      return "%";
    }
}

/* --- reading ---------------------------------------------------------------------------------- */

static gboolean
refuse_text (const char *text, RakeMeasure measure, GError **error)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);

  g_set_error (error, RAKE_UNITS_ERROR, RAKE_UNITS_ERROR_TEXT,
               _ ("“%s” cannot be read: write a number, with %s or without"), valid,
               rake_units_get_sign (measure));
  return FALSE;
}

/* Casefolded and without spaces; a true minus becomes the typed one. */
static char *
squeeze (const char *text)
{
  g_autofree char *folded = g_utf8_casefold (text, -1);
  GString *squeezed = g_string_new (NULL);

  for (const char *c = folded; *c != '\0'; c = g_utf8_next_char (c))
    {
      gunichar letter = g_utf8_get_char (c);

      if (!g_unichar_isspace (letter))
        g_string_append_unichar (squeezed, letter == 0x2212 ? '-' : letter);
    }
  return g_string_free (squeezed, FALSE);
}

static const Unit *
find_unit (const char *word, RakeMeasure measure)
{
  if (*word == '\0')
    return get_shown (measure);
  for (gsize i = 0; i < G_N_ELEMENTS (units); i++)
    if (units[i].measure == measure && g_str_equal (units[i].word, word))
      return &units[i];
  return NULL;
}

/* The number before the unit, and where the unit begins. "1 000" was squeezed and is read; "1.000,5"
 * and "1,000,000" are not: nobody can tell what a mark means that comes twice. */
static gboolean
take_number (const char *text, double *number, const char **rest)
{
  gboolean is_negative = *text == '-';
  const char *digits = text + (is_negative || *text == '+');
  gsize length = strspn (digits, "0123456789.,");
  char plain[MOST_DIGITS + 1];
  guint n_marks = 0, n_digits = 0;

  if (length > MOST_DIGITS)
    return FALSE;
  for (gsize i = 0; i < length; i++)
    {
      gboolean is_mark = !g_ascii_isdigit (digits[i]);

      if (is_mark)
        n_marks++;
      else
        n_digits++;
      plain[i] = is_mark ? '.' : digits[i];
    }
  plain[length] = '\0';
  *rest = digits + length;
  *number = g_ascii_strtod (plain, NULL) * (is_negative ? -1 : 1);
  return n_digits > 0 && n_marks <= 1;
}

gboolean
rake_units_parse (RakeMeasure measure, const char *text, double least, double most, double *value,
                  GError **error)
{
  g_autofree char *squeezed = g_utf8_validate (text, -1, NULL) ? squeeze (text) : NULL;
  const char *rest;
  const Unit *unit;
  double number, stored;

  if (squeezed == NULL || !take_number (squeezed, &number, &rest) ||
      (unit = find_unit (rest, measure)) == NULL)
    return refuse_text (text, measure, error);
  stored = (number - unit->zero) / unit->per_stored;
  if (!(stored >= least && stored <= most))
    {
      g_autofree char *least_shown = rake_units_to_text (measure, least);
      g_autofree char *most_shown = rake_units_to_text (measure, most);

      g_set_error (error, RAKE_UNITS_ERROR, RAKE_UNITS_ERROR_RANGE,
                   _ ("“%s” is outside what can be: write a number from %s to %s"), text,
                   least_shown, most_shown);
      return FALSE;
    }
  *value = stored;
  return TRUE;
}
