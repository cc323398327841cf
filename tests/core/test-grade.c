/* test-grade.c - grades are read as they are written in shops, and are of the size the tables say. */
#include <rakelight/grade.h>

#include <locale.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>
#include "near.h"

static void
a_grade_is_read_however_it_is_written (void **state)
{
  static const struct
  {
    const char *text, *meant;
    double d50_um;
  } cases[] = {
    { "P800", "P800", 21.8 },            { "p 800", "P800", 21.8 },
    { " P 800 ", "P800", 21.8 },         { "FEPA P1200", "P1200", 15.3 },
    { "P2000 grit", "P2000", 10.3 },     { "400 CAMI", "CAMI 400", 23 },
    { "cami 400", "CAMI 400", 23 },      { "CAMI400", "CAMI 400", 23 },
    { "#1000", "#1000", 11.5 },          { "# 1000", "#1000", 11.5 },
    { "JIS 1000", "#1000", 11.5 },       { "JIS #1000", "#1000", 11.5 },
    { "1000 jis", "#1000", 11.5 },       { "5 µm", "5 µm", 5 },
    { "5 μm", "5 µm", 5 },               { "5um", "5 µm", 5 },
    { "3,5 micron", "3.5 µm", 3.5 },     { "3.5 Microns", "3.5 µm", 3.5 },
    { "0,5 µm", "0.5 µm", 0.5 },         { "5\u00a0µm", "5 µm", 5 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *text = NULL;
      RakeGrade grade = { 0 };

      if (!rake_grade_parse (cases[i].text, &grade, &error))
        fail_msg ("\"%s\": %s", cases[i].text, error->message);
      text = rake_grade_to_text (&grade);
      if (strcmp (text, cases[i].meant) != 0 || grade.d50_um != cases[i].d50_um)
        fail_msg ("\"%s\" was read as %s of %g µm", cases[i].text, text, grade.d50_um);
    }
}

static void
what_is_no_grade_is_refused_with_what_to_write (void **state)
{
  static const struct
  {
    const char *text;
    RakeGradeError code;
    const char *says;
  } cases[] = {
    { "", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "cut", RAKE_GRADE_ERROR_TEXT, "“cut”" },
    { "P", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "P-800", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "F800", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "P800 CAMI", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "#5 µm", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "3.5.1 µm", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "1,000 µm 5", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "P800P1000", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "nan µm", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "P8000000000000000000000000", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "\xff\xfe", RAKE_GRADE_ERROR_TEXT, "P800" },
    { "800", RAKE_GRADE_ERROR_NO_SYSTEM, "P800, 800 CAMI or #800" },
    { " 1200 grit", RAKE_GRADE_ERROR_NO_SYSTEM, "P1200" },
    { "P900", RAKE_GRADE_ERROR_NONE_SUCH, "P800 and P1000" },
    { "P0", RAKE_GRADE_ERROR_NONE_SUCH, "P60" },
    { "P800.5", RAKE_GRADE_ERROR_NONE_SUCH, "P800 and P1000" },
    { "P36", RAKE_GRADE_ERROR_NONE_SUCH, "P60" },
    { "P9000", RAKE_GRADE_ERROR_NONE_SUCH, "the finest is P5000" },
    { "450 CAMI", RAKE_GRADE_ERROR_NONE_SUCH, "CAMI 400 and CAMI 500" },
    { "#900", RAKE_GRADE_ERROR_NONE_SUCH, "#800 and #1000" },
    { "0 µm", RAKE_GRADE_ERROR_NONE_SUCH, "0.1 to 2000" },
    { "2001 µm", RAKE_GRADE_ERROR_NONE_SUCH, "0.1 to 2000" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      RakeGrade grade = { .number = -1 };

      if (rake_grade_parse (cases[i].text, &grade, &error))
        fail_msg ("\"%s\" was taken", cases[i].text);
      if (!g_error_matches (error, RAKE_GRADE_ERROR, (int) cases[i].code) ||
          strstr (error->message, cases[i].says) == NULL ||
          !g_utf8_validate (error->message, -1, NULL) || grade.number != -1)
        fail_msg ("\"%s\": %s", cases[i].text, error->message);
    }
}

static void
every_series_falls_and_reads_back (void **state)
{
  const RakeGrade *before = NULL;

  for (guint i = 0; i < rake_grade_get_n (); i++)
    {
      const RakeGrade *row = rake_grade_get (i);
      g_autofree char *text = rake_grade_to_text (row);
      RakeGrade read = { 0 };

      if (before != NULL && before->system == row->system)
        {
          if (!(row->d50_um < before->d50_um))
            fail_msg ("%s is not finer than the row before", text);
          if (row->system != RAKE_GRADE_SYSTEM_MICRON)
            assert_true (row->number > before->number);
        }
      assert_true (before == NULL || before->system <= row->system);
      assert_true (rake_grade_parse (text, &read, NULL));
      assert_true (read.system == row->system && read.d50_um == row->d50_um);
      assert_true (*row->source != '\0' && row->d50_um > 0);
      before = row;
    }
  assert_int_equal (rake_grade_get_n (), 76);
}

static void
grades_of_other_systems_are_the_ones_of_the_same_grain (void **state)
{
  static const struct
  {
    const char *from;
    RakeGradeSystem system;
    const char *to;
  } cases[] = {
    /* Nearest P by the log of the ratio, worked out from the table with Python. An answers page gives
     * CAMI 320 as P400, 600 as P1200 and 800 as P1500 independently of it. */
    { "320 CAMI", RAKE_GRADE_SYSTEM_P, "P400" },   { "400 CAMI", RAKE_GRADE_SYSTEM_P, "P800" },
    { "600 CAMI", RAKE_GRADE_SYSTEM_P, "P1200" },  { "800 CAMI", RAKE_GRADE_SYSTEM_P, "P1500" },
    { "1000 CAMI", RAKE_GRADE_SYSTEM_P, "P2000" }, { "#800", RAKE_GRADE_SYSTEM_P, "P1200" },
    { "#1000", RAKE_GRADE_SYSTEM_P, "P1500" },     { "#1200", RAKE_GRADE_SYSTEM_P, "P2000" },
    { "#1500", RAKE_GRADE_SYSTEM_P, "P2500" },
    /* The same with the sides changed: 21.8 lies between 23 and 20, 9 between 8.4 and 10.3. */
    { "P800", RAKE_GRADE_SYSTEM_CAMI, "CAMI 400" }, { "9 µm", RAKE_GRADE_SYSTEM_P, "P2500" },
    { "P800", RAKE_GRADE_SYSTEM_P, "P800" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = NULL;
      RakeGrade grade = { 0 };

      assert_true (rake_grade_parse (cases[i].from, &grade, NULL));
      text = rake_grade_to_text (rake_grade_find_nearest (grade.d50_um, cases[i].system));
      if (strcmp (text, cases[i].to) != 0)
        fail_msg ("%s is nearest to %s, not %s", cases[i].from, text, cases[i].to);
    }
  assert_null (rake_grade_find_nearest (NAN, RAKE_GRADE_SYSTEM_P));
  assert_null (rake_grade_find_nearest (0, RAKE_GRADE_SYSTEM_P));
  assert_null (rake_grade_find_nearest (INFINITY, RAKE_GRADE_SYSTEM_P));
  assert_null (rake_grade_find_nearest (20, RAKE_GRADE_SYSTEM_UNSAID));
  /* √(9·12) is as near to 9 as to 12 µm. */
  assert_true (rake_grade_find_nearest (sqrt (108), RAKE_GRADE_SYSTEM_MICRON)->number == 9);
}

static void
the_coarsest_grains_of_a_fine_sheet_stray_farther (void **state)
{
  static const struct
  {
    const char *grade;
    double ratio, within;
  } cases[] = {
    /* JIS R 6001:1987, d3/d50, two decimals; P from memory of the FEPA table. */
    { "#800", 2.21, 5e-3 }, { "#1500", 2.50, 5e-3 }, { "#2000", 2.54, 5e-3 },
    { "P800", 1.75, 0 },    { "P1500", 2.05, 0 },    { "P2000", 2.17, 0 },
    /* Beyond what is known: as the last that is. */
    { "P60", 1.75, 0 },     { "P5000", 2.17, 0 },    { "#240", 2.21, 5e-3 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      RakeGrade grade = { 0 };

      assert_true (rake_grade_parse (cases[i].grade, &grade, NULL));
      assert_near (cases[i].grade, rake_grade_get_coarse_ratio (&grade), cases[i].ratio,
                   cases[i].within + 1e-12);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_grade_is_read_however_it_is_written),
    cmocka_unit_test (what_is_no_grade_is_refused_with_what_to_write),
    cmocka_unit_test (every_series_falls_and_reads_back),
    cmocka_unit_test (grades_of_other_systems_are_the_ones_of_the_same_grain),
    cmocka_unit_test (the_coarsest_grains_of_a_fine_sheet_stray_farther),
  };

  setlocale (LC_ALL, "");
  return cmocka_run_group_tests (tests, NULL, NULL);
}
