/* test-units.c - numbers are read and shown in the units and the number form of the person. */
#include <rakelight/units.h>

#include <locale.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>
#include "near.h"

static const RakeUnits metric = { FALSE, FALSE, FALSE }, customary = { TRUE, TRUE, TRUE };

static void
numbers_are_shown_in_the_unit_that_was_chosen (void **state)
{
  static const struct
  {
    RakeMeasure measure;
    double value;
    const char *metric, *customary;
  } cases[] = {
    /* 25.4 µm to the mil, 25.4 mm to the inch, 1.8 °F to the °C, 0.00508 m/s to the ft/min: exact. */
    { RAKE_MEASURE_FILM, 42.46, "42.5 µm", "1.67 mil" },
    { RAKE_MEASURE_FILM, 127, "127 µm", "5 mil" },
    { RAKE_MEASURE_FILM, 0.02, "under 0.1 µm", "under 0.01 mil" },
    { RAKE_MEASURE_FILM, 0, "0 µm", "0 mil" },
    { RAKE_MEASURE_LENGTH, 6, "6 mm", "0.24 in" },
    { RAKE_MEASURE_LENGTH, 355.6, "355.6 mm", "14 in" },
    { RAKE_MEASURE_TEMPERATURE, 40, "40 °C", "104 °F" },
    { RAKE_MEASURE_TEMPERATURE, -40, "-40 °C", "-40 °F" },
    { RAKE_MEASURE_SPEED, 13.38253, "13.4 m/s", "2634 ft/min" },
    { RAKE_MEASURE_GLOSS, 87.26, "87.3 GU", "87.3 GU" },
    { RAKE_MEASURE_SHARE, 0.125, "12.5 %", "12.5 %" },
    { RAKE_MEASURE_FILM, NAN, "not known", "not known" },
    { RAKE_MEASURE_FILM, INFINITY, "not known", "not known" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    for (int second = 0; second <= 1; second++)
      {
        const char *expected = second ? cases[i].customary : cases[i].metric;
        g_autofree char *text = NULL;

        rake_units_choose (second ? customary : metric);
        text = rake_units_to_text (cases[i].measure, cases[i].value);
        if (strcmp (text, expected) != 0)
          fail_msg ("%g is shown as \"%s\", not \"%s\"", cases[i].value, text, expected);
      }
  rake_units_choose (metric);
}

static void
a_doubt_has_the_digits_of_its_number (void **state)
{
  g_autofree char *text = rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, 88, 12.1);
  g_autofree char *mil = NULL, *warm = NULL, *unknown = NULL;

  assert_string_equal (text, "88.0\302\240±\302\24012.1\302\240µm");
  unknown = rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, NAN, NAN);
  assert_string_equal (unknown, "not known");
  rake_units_choose (customary);
  mil = rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, 88.9, 12.7);
  assert_string_equal (mil, "3.50\302\240±\302\2400.50\302\240mil");
  /* A difference of temperatures has no zero to be moved. */
  warm = rake_units_to_text_with_doubt (RAKE_MEASURE_TEMPERATURE, 30, 5);
  assert_string_equal (warm, "86.0\302\240±\302\2409.0\302\240°F");
  rake_units_choose (metric);
}

static void
what_is_typed_is_understood (void **state)
{
  static const struct
  {
    RakeMeasure measure;
    const char *text;
    double stored;
  } cases[] = {
    { RAKE_MEASURE_FILM, "3.2", 3.2 },           { RAKE_MEASURE_FILM, "3,2", 3.2 },
    { RAKE_MEASURE_FILM, "3.2 mil", 81.28 },     { RAKE_MEASURE_FILM, "3,2mil", 81.28 },
    { RAKE_MEASURE_FILM, "81 µm", 81 },          { RAKE_MEASURE_FILM, "81 μm", 81 },
    { RAKE_MEASURE_FILM, "81um", 81 },           { RAKE_MEASURE_FILM, " 81 microns ", 81 },
    { RAKE_MEASURE_FILM, "0.1 mm", 100 },        { RAKE_MEASURE_FILM, "1\u202f000", 1000 },
    { RAKE_MEASURE_LENGTH, "14 in", 355.6 },     { RAKE_MEASURE_LENGTH, "14\"", 355.6 },
    { RAKE_MEASURE_LENGTH, "14 Zoll", 355.6 },   { RAKE_MEASURE_LENGTH, "35 cm", 350 },
    { RAKE_MEASURE_LENGTH, "350MM", 350 },       { RAKE_MEASURE_TEMPERATURE, "104 °F", 40 },
    { RAKE_MEASURE_TEMPERATURE, "−40 F", -40 },  { RAKE_MEASURE_TEMPERATURE, "-12,5", -12.5 },
    { RAKE_MEASURE_SHARE, "12 %", 0.12 },        { RAKE_MEASURE_SHARE, "12", 0.12 },
    { RAKE_MEASURE_SPEED, "2500 ft/min", 12.7 }, { RAKE_MEASURE_GLOSS, "57 GU", 57 },
    { RAKE_MEASURE_FILM, ".5", 0.5 },            { RAKE_MEASURE_FILM, "+5", 5 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      double value = NAN;

      if (!rake_units_parse (cases[i].measure, cases[i].text, -1000, 5000, &value, &error))
        fail_msg ("\"%s\": %s", cases[i].text, error->message);
      assert_near (cases[i].text, value, cases[i].stored, 1e-9);
    }
}

static void
what_nobody_can_tell_is_refused (void **state)
{
  static const struct
  {
    RakeMeasure measure;
    const char *text;
    RakeUnitsError code;
    const char *says;
  } cases[] = {
    { RAKE_MEASURE_FILM, "", RAKE_UNITS_ERROR_TEXT, "µm" },
    { RAKE_MEASURE_FILM, "µm", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, ",", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "1.000,5", RAKE_UNITS_ERROR_TEXT, "“1.000,5”" },
    { RAKE_MEASURE_FILM, "1,000,000", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "1.2.3", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "104 °F", RAKE_UNITS_ERROR_TEXT, "µm" },
    { RAKE_MEASURE_LENGTH, "3 mil", RAKE_UNITS_ERROR_TEXT, "mm" },
    { RAKE_MEASURE_FILM, "nan", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "inf µm", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "1e3", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "--5", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "5 5 µm x", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "\xff", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "11111111111111111111111111", RAKE_UNITS_ERROR_TEXT, "write a number" },
    { RAKE_MEASURE_FILM, "3 m", RAKE_UNITS_ERROR_RANGE, "from 0 µm to 500 µm" },
    { RAKE_MEASURE_FILM, "-1", RAKE_UNITS_ERROR_RANGE, "from 0 µm to 500 µm" },
    { RAKE_MEASURE_FILM, "20 mil", RAKE_UNITS_ERROR_RANGE, "“20 mil”" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      double value = -7;

      if (rake_units_parse (cases[i].measure, cases[i].text, 0, 500, &value, &error))
        fail_msg ("\"%s\" was taken for %g", cases[i].text, value);
      if (!g_error_matches (error, RAKE_UNITS_ERROR, (int) cases[i].code) ||
          strstr (error->message, cases[i].says) == NULL || value != -7 ||
          !g_utf8_validate (error->message, -1, NULL))
        fail_msg ("\"%s\": %s", cases[i].text, error->message);
    }
}

static void
what_was_typed_stands_there_again (void **state)
{
  static const char *const typed[] = { "3.2", "81.28", "0.125", "1000", "0", "-7.5" };

  for (int second = 0; second <= 1; second++)
    for (gsize i = 0; i < G_N_ELEMENTS (typed); i++)
      {
        g_autofree char *again = NULL;
        double value;

        rake_units_choose (second ? customary : metric);
        assert_true (rake_units_parse (RAKE_MEASURE_FILM, typed[i], -1e6, 1e6, &value, NULL));
        again = rake_units_to_number (RAKE_MEASURE_FILM, value);
        assert_string_equal (again, typed[i]);
      }
  rake_units_choose (metric);
  assert_string_equal (rake_units_get_sign (RAKE_MEASURE_FILM), "µm");
}

/* Where numbers are written with a comma, they are shown with one, and a point is read as well. */
static void
a_comma_is_shown_where_commas_are_written (void **state)
{
  static const char *const names[] = { "de_DE.UTF-8", "de_DE.utf8", "de_AT.UTF-8", "fr_FR.UTF-8" };
  g_autofree char *before = g_strdup (setlocale (LC_NUMERIC, NULL));
  g_autofree char *text = NULL, *number = NULL, *small = NULL;
  gboolean has_comma = FALSE;
  double value = 0;

  for (gsize i = 0; !has_comma && i < G_N_ELEMENTS (names); i++)
    has_comma = setlocale (LC_NUMERIC, names[i]) != NULL;
  if (!has_comma)
    {
      print_message (
          "skipped: no locale here writes commas; install locales and make de_DE.UTF-8\n");
      skip ();
    }
  text = rake_units_to_text (RAKE_MEASURE_FILM, 42.46);
  number = rake_units_to_number (RAKE_MEASURE_FILM, 42.46);
  small = rake_units_to_text (RAKE_MEASURE_FILM, 0.02);
  assert_true (rake_units_parse (RAKE_MEASURE_FILM, number, 0, 500, &value, NULL));
  assert_near ("read again", value, 42.46, 1e-12);
  assert_true (rake_units_parse (RAKE_MEASURE_FILM, "42.46", 0, 500, &value, NULL));
  assert_near ("a point", value, 42.46, 1e-12);
  setlocale (LC_NUMERIC, before);
  assert_string_equal (text, "42,5 µm");
  assert_string_equal (number, "42,46");
  assert_string_equal (small, "under 0,1 µm");
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (numbers_are_shown_in_the_unit_that_was_chosen),
    cmocka_unit_test (a_doubt_has_the_digits_of_its_number),
    cmocka_unit_test (what_is_typed_is_understood),
    cmocka_unit_test (what_nobody_can_tell_is_refused),
    cmocka_unit_test (what_was_typed_stands_there_again),
    cmocka_unit_test (a_comma_is_shown_where_commas_are_written),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
