/* test-condition.c - conditions keep three values apart, and units too. */
#include "rules-private.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

/* A condition that must be readable; the caller frees it. */
static RakeCondition *
read_condition (const char *text)
{
  g_auto (RakeScanner) scanner = { 0 };
  g_autoptr (GError) error = NULL;
  RakeCondition *condition;

  if (!rake_scanner_init (&scanner, "condition", text, &error) ||
      (condition = rake_condition_read (&scanner, &error)) == NULL)
    fail_msg ("\"%s\": %s", text, error->message);
  if (scanner.type != RAKE_TOKEN_END)
    fail_msg ("\"%s\": something is left over", text);
  return condition;
}

static void
know (RakeFacts *facts, RakeFact fact, double value)
{
  facts->knowledge[fact] = RAKE_KNOWN;
  facts->value[fact] = value;
}

/* is_edge is true, is_satin is false, paper_loaded is unknown. */
static RakeFacts
three_answers (void)
{
  RakeFacts facts = { 0 };

  know (&facts, RAKE_FACT_IS_EDGE, 1);
  know (&facts, RAKE_FACT_IS_SATIN, 0);
  return facts;
}

static void
and_or_not_follow_kleene (void **state)
{
  /* S. C. Kleene, Introduction to Metamathematics (1952), §64, strong tables; from memory. */
  enum
  {
    F = RAKE_TRUTH_FALSE,
    U = RAKE_TRUTH_UNKNOWN,
    T = RAKE_TRUTH_TRUE
  };
  static const struct
  {
    const char *left, *right;
    int both, either;
  } rows[] = {
    { "is_edge", "is_edge", T, T },           { "is_edge", "paper_loaded", U, T },
    { "is_edge", "is_satin", F, T },          { "paper_loaded", "is_edge", U, T },
    { "paper_loaded", "paper_loaded", U, U }, { "paper_loaded", "is_satin", F, U },
    { "is_satin", "is_edge", F, T },          { "is_satin", "paper_loaded", F, U },
    { "is_satin", "is_satin", F, F },
  };
  RakeFacts facts = three_answers ();

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *both =
          g_strdup_printf ("%s = yes and %s = yes", rows[i].left, rows[i].right);
      g_autofree char *either =
          g_strdup_printf ("%s = yes or %s = yes", rows[i].left, rows[i].right);
      g_autoptr (RakeCondition) condition = read_condition (both);
      g_autoptr (RakeCondition) other = read_condition (either);

      if ((int) rake_condition_weigh (condition, &facts) != rows[i].both)
        fail_msg ("%s", both);
      if ((int) rake_condition_weigh (other, &facts) != rows[i].either)
        fail_msg ("%s", either);
    }
}

static void
what_is_known_decides_and_what_is_not_stays_open (void **state)
{
  enum
  {
    F = RAKE_TRUTH_FALSE,
    U = RAKE_TRUTH_UNKNOWN,
    T = RAKE_TRUTH_TRUE
  };
  static const struct
  {
    const char *text;
    int truth;
  } rows[] = {
    { "not is_edge = yes", F },
    { "not is_satin = yes", T },
    { "not paper_loaded = yes", U },
    { "not not is_edge = yes", T },
    { "known is_edge", T },
    { "known paper_loaded", F },
    { "unknown is_edge", F },
    { "unknown paper_loaded", T },
    { "low_spot_fraction <= 10 %", T },
    { "low_spot_fraction < 10 %", F },
    { "low_spot_fraction = 10 %", T },
    { "low_spot_fraction != 10 %", F },
    { "low_spot_fraction > 9.9 %", T },
    { "low_spot_fraction >= low_spot_limit", T },
    { "low_spot_fraction > low_spot_limit", F },
    { "largest_island_mm <= island_limit_mm", U },
    { "largest_island_mm > 6 mm", U },
    /* and before or, whichever comes first */
    { "is_edge = yes or is_satin = yes and is_satin = yes", T },
    { "is_satin = yes and is_satin = yes or is_edge = yes", T },
    { "(is_edge = yes or is_satin = yes) and is_satin = yes", F },
    /* what does not apply is false, whichever way round it is put */
    { "wheel_carried_other = yes", F },
    { "wheel_carried_other = no", F },
    { "wheel_carried_other != yes", F },
    { "known wheel_carried_other", F },
    { "unknown wheel_carried_other", F },
    { "gloss_above_others_gu > gloss_spread_limit_gu", F },
    { "gloss_spread_limit_gu < gloss_above_others_gu", F },
  };
  RakeFacts facts = three_answers ();

  know (&facts, RAKE_FACT_LOW_SPOT_FRACTION, 0.1);
  know (&facts, RAKE_FACT_LOW_SPOT_LIMIT, 0.1);
  know (&facts, RAKE_FACT_ISLAND_LIMIT_MM, 6);
  facts.knowledge[RAKE_FACT_WHEEL_CARRIED_OTHER] = RAKE_NOT_APPLICABLE;
  facts.knowledge[RAKE_FACT_GLOSS_ABOVE_OTHERS_GU] = RAKE_NOT_APPLICABLE;
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (RakeCondition) condition = read_condition (rows[i].text);
      int truth = (int) rake_condition_weigh (condition, &facts);
      if (truth != rows[i].truth)
        fail_msg ("%s: %d, expected %d", rows[i].text, truth, rows[i].truth);
    }
}

static void
a_missing_or_wrong_unit_is_refused_where_it_stands (void **state)
{
  static const struct
  {
    const char *text;
    guint column;
  } rows[] = {
    { "low_spot_fraction <= 10", 24 },
    { "low_spot_fraction <= 10 mm", 25 },
    { "low_spot_fraction <= yes", 22 },
    { "low_spot_fraction <= largest_island_mm", 22 },
    { "passes_here >= 1 %", 18 },
    { "passes_here >= 1 mm", 18 },
    { "passes_here = yes", 15 },
    { "is_edge = 1", 11 },
    { "is_edge = scratches", 11 },
    { "is_edge < yes", 9 },
    { "days_since_coat < 21 min", 22 },
    { "minutes_since_buff < 30 days", 25 },
    { "surface_celsius >= 40 deg", 23 },
    { "is_edge", 8 },
    { "is_edge yes", 9 },
    { "edge = yes", 1 },
    { "10 % < low_spot_fraction", 1 },
    { "(is_edge = yes", 15 },
    { "not", 4 },
    { "known 3", 7 },
    { "is_edge = yes and", 18 },
    { "low_spot_fraction <= 10%x", 25 },
    { "low_spot_fraction <= 1e1 %", 22 },
    { "low_spot_fraction <= 1.2.3 %", 22 },
    { "low_spot_fraction <= 1. %", 22 },
    { "low_spot_fraction <= 9999999999 %", 22 },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_auto (RakeScanner) scanner = { 0 };
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeCondition) condition = NULL;
      g_autofree char *place = g_strdup_printf ("condition:1:%u: ", rows[i].column);
      gboolean is_all_read = FALSE;

      if (rake_scanner_init (&scanner, "condition", rows[i].text, &error))
        condition = rake_condition_read (&scanner, &error);
      /* what follows a condition is the rule's next line; here it must be the end */
      if (condition != NULL)
        is_all_read =
            scanner.type == RAKE_TOKEN_END || rake_scanner_fail (&scanner, 0, &error, "left over");
      if (is_all_read || error == NULL)
        fail_msg ("\"%s\" was read", rows[i].text);
      if (!g_str_has_prefix (error->message, place))
        fail_msg ("\"%s\": %s, expected %s…", rows[i].text, error->message, place);
    }
}

static void
a_condition_written_out_reads_back_the_same (void **state)
{
  static const char *const texts[] = {
    "is_edge = yes",
    "not (is_edge = yes or is_satin = no) and known film_um",
    "is_edge = yes and (is_satin = yes or paper_loaded != no)",
    "is_edge = yes and (is_satin = yes and paper_loaded = no)",
    "is_edge = yes or (is_satin = yes or unknown paper_loaded)",
    "not not is_edge = no",
    "low_spot_fraction <= 7 % or largest_island_mm > 6.25 mm",
    "lamp_across_strokes_deg < 60 deg and days_since_coat < 21 days and surface_celsius >= -4 C",
    "minutes_since_buff < cool_minutes or gloss_above_others_gu > 5 GU or film_um <= 0.000001 um",
  };
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autoptr (RakeCondition) condition = read_condition (texts[i]);
      g_autoptr (GString) text = g_string_new (NULL);

      rake_condition_append_text (condition, text);
      if (i < 8)
        assert_string_equal (text->str, texts[i]);
      g_clear_pointer (&condition, rake_condition_free);
      condition = read_condition (text->str);
      g_string_truncate (text, 0);
      rake_condition_append_text (condition, text);
      assert_int_equal (strncmp (text->str, texts[i], 40), 0);
    }
}

static void
every_fact_has_a_name_of_its_own_that_leads_back (void **state)
{
  for (int fact = 0; fact < RAKE_N_FACTS; fact++)
    {
      const char *name = rake_fact_get_name ((RakeFact) fact);
      if (name == NULL)
        fail_msg ("fact %d has no name", fact);
      if ((int) rake_fact_from_name (name) != fact)
        fail_msg ("%s leads to another fact", name);
    }
  assert_int_equal (rake_fact_from_name ("film"), RAKE_N_FACTS);
}

static void
lines_have_no_front_or_back (void **state)
{
  static const struct
  {
    double a, b, angle;
  } rows[] = {
    { 90, 270, 0 }, { 0, 90, 90 }, { 45, 0, 45 },   { 10, 170, 20 },
    { 350, 10, 20 }, { 0, 0, 0 },  { 300, 60, 60 }, { 359, 181, 2 },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      double angle = rake_angle_between_lines_deg (rows[i].a, rows[i].b);
      double turned = rake_angle_between_lines_deg (rows[i].b, rows[i].a);
      if (ABS (angle - rows[i].angle) > 1e-9 || ABS (turned - angle) > 1e-9)
        fail_msg ("%g and %g: %g, expected %g", rows[i].a, rows[i].b, angle, rows[i].angle);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (and_or_not_follow_kleene),
    cmocka_unit_test (what_is_known_decides_and_what_is_not_stays_open),
    cmocka_unit_test (a_missing_or_wrong_unit_is_refused_where_it_stands),
    cmocka_unit_test (a_condition_written_out_reads_back_the_same),
    cmocka_unit_test (every_fact_has_a_name_of_its_own_that_leads_back),
    cmocka_unit_test (lines_have_no_front_or_back),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
