/* units.h - numbers as a person writes and reads them: µm or mil, mm or inch, °C or °F, comma or point.
 *
 * Stored are mm, µm and °C, always. What is shown follows one choice for the whole process, as the
 * language does: rake_units_choose() once at the start and whenever the person changes it. */
#pragma once
#include <glib.h>

#define RAKE_UNITS_ERROR (rake_units_error_quark ())
GQuark rake_units_error_quark (void);

typedef enum
{
  RAKE_UNITS_ERROR_TEXT,  /* not a number, or a unit of another kind */
  RAKE_UNITS_ERROR_RANGE, /* outside what can be; the message says the limits in the shown unit */
} RakeUnitsError;

typedef struct
{
  gboolean film_in_mil, length_in_inch, temperature_in_fahrenheit;
} RakeUnits;

void rake_units_choose (RakeUnits units);
RakeUnits rake_units_get (void);

/* Another choice for what the calling thread alone writes and reads, as a report in its worker; NULL:
 * that of the process again. Numbers then have the
 * decimal sign of the language, not that of the locale: paper may speak another one than the bench. @units is copied. */
void rake_units_choose_for_thread (const RakeUnits *units);

typedef enum
{
  RAKE_MEASURE_FILM,         /* µm */
  RAKE_MEASURE_LENGTH,       /* mm */
  RAKE_MEASURE_TEMPERATURE,  /* °C */
  RAKE_MEASURE_SPEED,        /* m/s; shown as ft/min beside inches */
  RAKE_MEASURE_GLOSS,        /* GU */
  RAKE_MEASURE_SHARE,        /* 0 to 1; shown in % */
  RAKE_MEASURE_MASS,         /* g */
  RAKE_MEASURE_DENSITY,      /* g/mL */
  RAKE_MEASURE_AREA,         /* mm²; shown in m², or ft² beside inches */
  RAKE_MEASURE_TURNS,        /* r/min */
  RAKE_MEASURE_ANGLE,        /* ° */
} RakeMeasure;

/* A number with so many decimals and the decimal sign of the language that words are in. Caller frees. */
char *rake_units_print_in_language (double value, guint n_decimals);

/* "42.5 µm", "1.67 mil", in the person's number form; NaN: "not known". Caller frees. */
char *rake_units_to_text (RakeMeasure measure, double value);

/* "88.0 ± 12.1 µm", with spaces that no line breaks at. */
char *rake_units_to_text_with_doubt (RakeMeasure measure, double mean, double sd);

/* The number alone in the shown unit, for an entry field, and the unit's sign. */
char *rake_units_to_number (RakeMeasure measure, double value);
const char *rake_units_get_sign (RakeMeasure measure);

/* @value in the shown unit. */
double rake_units_to_shown (RakeMeasure measure, double value);

/* Reads "3.2", "3,2", "3.2 mil", "81 µm", "81um", "104 °F", "12 %": without a unit the shown one. Both
 * a comma and a point in one number, or two of one, are refused: nobody can tell what was meant.
 *
 * least, most  limits in the stored unit
 * value        out, in the stored unit; untouched on FALSE */
gboolean rake_units_parse (RakeMeasure measure, const char *text, double least, double most,
                           double *value, GError **error);
