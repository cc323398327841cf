/* test-rules-read.c - a rule file is read whole or refused with line and column, and can be written
 * out again. */
#include "rules-private.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#define GOOD_RULE                                                                                  \
  "rule a\n"                                                                                       \
  "  matter looks\n"                                                                               \
  "  stages any\n"                                                                                 \
  "  when is_edge = yes\n"                                                                         \
  "  verdict wait\n"                                                                               \
  "  says \"Wait.\"\n"

static RakeRules *
read_rules (const char *text, const RakeRules *base)
{
  g_autoptr (GError) error = NULL;
  RakeRules *rules = rake_rules_new ("shop.rules", text, base, &error);

  if (rules == NULL)
    fail_msg ("%s\nin\n%s", error->message, text);
  return rules;
}

static void
a_preparation_may_be_for_some_stages_only (void **state)
{
  static const RakeStage level = { .action = RAKE_ACTION_LEVEL },
                         buff = { .action = RAKE_ACTION_BUFF };
  g_autoptr (RakeRules) rules = read_rules ("prepare water level refine \"Fresh water\"\n"
                                            "prepare cloths \"Clean cloths\"\n"
                                            "prepare spirit buff after buff \"Wiped clear\"\n",
                                            NULL);
  g_autofree char *text = rake_rules_to_text (rules);
  g_autoptr (RakeRules) again = read_rules (text, NULL);
  RakePreparation *const *list =
      (RakePreparation *const *) rake_rules_get_preparations (again)->pdata;

  assert_non_null (strstr (text, "prepare water level refine \"Fresh water\"\n"));
  assert_non_null (strstr (text, "prepare spirit buff after buff \"Wiped clear\"\n"));
  assert_true (rake_preparation_is_for (list[0], &level, NULL));
  assert_false (rake_preparation_is_for (list[0], &buff, &level));
  assert_true (rake_preparation_is_for (list[1], &buff, NULL));
  assert_true (rake_preparation_is_for (list[2], &buff, &buff));
  assert_false (rake_preparation_is_for (list[2], &buff, &level));
  assert_false (rake_preparation_is_for (list[2], &buff, NULL));
}

static void
the_built_in_rules_read_and_trace_back (void **state)
{
  g_autoptr (RakeRules) rules = read_rules (rake_rules_get_builtin_text (), NULL);
  const RakeLimits *limits = rake_rules_get_limits (rules);

  assert_true (rake_rules_get_n_rules (rules) > 40);
  assert_int_equal (rake_rules_get_preparations (rules)->len, 10);
  /* practice list D10, D12, D23, D28, D39, D16 and the feather band of about 30 mm */
  assert_true (limits->level_low_spot_fraction == 0.1);
  assert_true (limits->level_island_mm == 6);
  assert_true (limits->edge_low_spot_fraction == 0.25);
  assert_true (limits->last_low_spot_fraction == 0);
  assert_true (limits->last_edge_low_spot_fraction == 0.05);
  assert_true (limits->cool_minutes == 30);
  assert_true (limits->gloss_spread_gu == 5);
  assert_true (limits->risk_limit_fraction == 0.05);
  assert_true (limits->feather_mm == 30);
  for (guint i = 0; i < rules->rules->len; i++)
    {
      const RakeRule *rule = rules->rules->pdata[i];
      if (rule->trace[0] != 'D')
        fail_msg ("%s has no trace", rule->name);
      if (rule->verdict != RAKE_VERDICT_READY && rule->clears == NULL)
        fail_msg ("%s does not say what would clear it", rule->name);
      if (rule->verdict == RAKE_VERDICT_STOP && strstr (rule->clears, "accept") == NULL)
        fail_msg ("%s, a stop, does not offer to accept", rule->name);
    }
}

static void
every_rule_stands_in_the_table_under_its_number (void **state)
{
  g_autoptr (RakeRules) rules = read_rules (rake_rules_get_builtin_text (), NULL);
  g_autofree char *path =
      g_build_filename (g_getenv ("RAKE_SOURCE_ROOT"), "docs", "judging.md", NULL);
  g_autofree char *text = NULL;

  assert_true (g_file_get_contents (path, &text, NULL, NULL));
  for (guint i = 0; i < rules->rules->len; i++)
    {
      const RakeRule *rule = rules->rules->pdata[i];
      g_autofree char *start = g_strdup_printf ("\n| %s |", rule->trace);
      g_autofree char *name = g_strdup_printf ("`%s`", rule->name);
      const char *row = strstr (text, start), *end = row != NULL ? strchr (row + 1, '\n') : NULL;

      if (end == NULL || g_strstr_len (row, end - row, name) == NULL)
        fail_msg ("%s is not in the row of %s", rule->name, rule->trace);
    }
}

static void
a_slip_is_refused_with_its_line_and_column (void **state)
{
  static const struct
  {
    const char *text, *place;
  } rows[] = {
    { "rul a", "1:1: " },
    { "# only a comment\n\nlet", "3:4: " },
    { "let level = 10 %", "1:5: " },
    { "let level_island_mm 6 mm", "1:21: " },
    { "let level_island_mm = 6", "1:24: " },
    { "let level_island_mm = -6 mm", "1:23: " },
    { "let risk_limit_fraction = 101 %", "1:27: " },
    { "let level_island_mm = 6 mm\nlet level_island_mm = 5 mm", "2:5: " },
    { "rule \"a\"", "1:6: " },
    { "rule a\n  matter looks\n  matter looks", "3:3: " },
    { "rule a\n  stages any\n  when is_edge = yes\n  verdict wait\n  says \"x\"\n", "6:1: " },
    { "rule a\n  matter looks\n  when is_edge = yes\n  verdict wait\n  says \"x\"\n", "6:1: " },
    { "rule a\n  matter looks\n  stages any\n  verdict wait\n  says \"x\"\n", "6:1: " },
    { "rule a\n  matter looks\n  stages any\n  when is_edge = yes\n  says \"x\"\n", "6:1: " },
    { "rule a\n  matter looks\n  stages any\n  when is_edge = yes\n  verdict wait\n", "6:1: " },
    { "rule a\n  stages sometimes", "2:10: " },
    { "rule a\n  verdict maybe", "2:11: " },
    { "rule a\n  verdict wait back 1", "2:16: " },
    { "rule a\n  verdict sand-again back 0", "2:27: " },
    { "rule a\n  verdict sand-again back 1.5", "2:27: " },
    { "rule a\n  verdict sand-again back home", "2:27: " },
    { "rule a\n  only ready", "2:8: " },
    { "rule a\n  says x", "2:8: " },
    { "rule a\n  says \"open", "2:8: " },
    { "rule a\n  says \"open\n\"", "2:8: " },
    { "rule a\n  says \"\"", "2:8: " },
    { "rule a\n  says \"µ {nothing}\"", "2:11: " },
    { "rule a\n  says \"µ {film_um\"", "2:11: " },
    { "rule a\n  says \"film_um}\"", "2:16: " },
    { "rule a\n  when is_edge = yes or\n  verdict wait", "3:3: " },
    { "rule a\n  matter looks stages any", "2:26: " },
    { GOOD_RULE GOOD_RULE, "7:6: " },
    { GOOD_RULE "clears \"Back to {back}.\"", "7:25: " },
    { GOOD_RULE "drop b", "7:6: " },
    { "drop", "1:5: " },
    { "prepare", "1:8: " },
    { "prepare water", "1:14: " },
    { "prepare water wet \"x\"", "1:15: " },
    { "prepare water buff after \"x\"", "1:26: " },
    { "prepare water \"x\"\nprepare water \"y\"", "2:9: " },
    { "let level_island_mm = 6 mm ;", "1:28: " },
    { "# µm\n  \xff", "2:3: " },
    { "  \xe2\x82", "1:3: " },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autofree char *prefix = g_strconcat ("shop.rules:", rows[i].place, NULL);
      g_autoptr (RakeRules) rules = rake_rules_new ("shop.rules", rows[i].text, NULL, &error);

      if (rules != NULL)
        fail_msg ("was read:\n%s", rows[i].text);
      assert_true (g_error_matches (error, RAKE_RULES_ERROR, RAKE_RULES_ERROR_SYNTAX));
      if (!g_str_has_prefix (error->message, prefix))
        fail_msg ("%s, expected %s… for\n%s", error->message, prefix, rows[i].text);
    }
}

/* A rule that is whole but for the condition. */
static char *
new_rule_with (const char *before, const char *each, const char *between, const char *after, int n)
{
  GString *text = g_string_new ("rule a\nmatter m\nstages any\nverdict wait\nsays \"x\"\nwhen ");

  for (int i = 0; i < n; i++)
    g_string_append (text, before);
  g_string_append (text, each);
  for (int i = 0; i < n; i++)
    g_string_append_printf (text, "%s%s", between, after);
  return g_string_free (text, FALSE);
}

static void
check_limit (const char *text, gboolean is_read)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeRules) rules = rake_rules_new ("shop.rules", text, NULL, &error);

  if ((rules != NULL) != is_read)
    fail_msg ("%s: %.60s…", rules != NULL ? "was read" : error->message, strstr (text, "when"));
  if (rules == NULL)
    assert_true (g_error_matches (error, RAKE_RULES_ERROR, RAKE_RULES_ERROR_SYNTAX));
}

static void
what_piles_up_is_refused (void **state)
{
  g_autoptr (GString) many = g_string_new (NULL);
  g_autoptr (GString) big = g_string_new (GOOD_RULE "#");

  for (int i = 0; i < 4; i++)
    {
      static const struct
      {
        int n;
        gboolean is_read;
      } rows[] = { { 1, TRUE }, { RAKE_RULES_MAX_DEPTH, TRUE }, { RAKE_RULES_MAX_DEPTH + 1, FALSE },
                   { 10000, FALSE } };
      g_autofree char *brackets = new_rule_with ("(", "is_edge = yes", "", ")", rows[i].n);
      g_autofree char *nots = new_rule_with ("not ", "is_edge = yes", "", "", rows[i].n);
      g_autofree char *ands =
          new_rule_with ("", "is_edge = yes", " and ", "is_edge = yes", rows[i].n);
      g_autofree char *ors =
          new_rule_with ("", "is_edge = yes", " or ", "is_edge = yes", rows[i].n);

      check_limit (brackets, rows[i].is_read);
      check_limit (nots, rows[i].is_read);
      check_limit (ands, rows[i].is_read);
      check_limit (ors, rows[i].is_read);
    }
  for (int i = 0; i <= RAKE_RULES_MAX_RULES; i++)
    {
      g_string_append_printf (many,
                              "rule r%d matter m stages any when is_edge = yes verdict wait "
                              "says \"x\"\n",
                              i);
      if (i >= RAKE_RULES_MAX_RULES - 1)
        check_limit (many->str, i < RAKE_RULES_MAX_RULES);
    }
  while (big->len < RAKE_RULES_MAX_BYTES)
    g_string_append_c (big, 'x');
  check_limit (big->str, TRUE);
  g_string_append_c (big, 'x');
  check_limit (big->str, FALSE);
}

static void
a_refusal_says_what_stood_there (void **state)
{
  static const struct
  {
    const char *text, *message;
  } rows[] = {
    { "let", "shop.rules:1:4: expected the name of a limit, not the end of the file" },
    { "let \"x\"", "shop.rules:1:5: expected the name of a limit, not a sentence" },
    { "rules", "shop.rules:1:1: expected rule, let, drop or prepare, not “rules”" },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeRules) rules = rake_rules_new ("shop.rules", rows[i].text, NULL, &error);

      assert_null (rules);
      assert_string_equal (error->message, rows[i].message);
    }
}

static void
a_shop_file_replaces_drops_and_sets (void **state)
{
  g_autoptr (RakeRules) base = read_rules (rake_rules_get_builtin_text (), NULL);
  guint n_rules = rake_rules_get_n_rules (base);
  const RakeRule *before = rake_rules_find (base, "cure");
  g_autoptr (RakeRules) shop = read_rules ("let level_low_spot_fraction = 8 %\n"
                                           "drop hollow\n"
                                           "rule cure\n"
                                           "  matter   cure\n"
                                           "  stages   level refine\n"
                                           "  when     days_since_coat < 40 days\n"
                                           "  verdict  wait\n"
                                           "  says     \"Ours wants forty days.\"\n"
                                           "prepare water \"Rain water\"\n"
                                           "prepare apron \"A clean apron\"\n"
                                           "drop tape\n",
                                           base);
  guint at_base = 0, at_shop = 0;

  assert_true (rake_rules_get_limits (shop)->level_low_spot_fraction == 0.08);
  assert_true (rake_rules_get_limits (shop)->level_island_mm == 6);
  assert_int_equal (rake_rules_get_n_rules (shop), n_rules - 1);
  assert_null (rake_rules_find (shop, "hollow"));
  assert_string_equal (rake_rules_find (shop, "cure")->says, "Ours wants forty days.");
  assert_string_equal (rake_rules_find (shop, "cure")->trace, "");
  assert_int_equal (rake_rules_get_preparations (shop)->len, 10);

  /* it stands where the old one stood: the order among equals is the base's */
  assert_true (g_ptr_array_find (base->rules, rake_rules_find (base, "paper-loaded"), &at_base));
  assert_true (g_ptr_array_find (shop->rules, rake_rules_find (shop, "paper-loaded"), &at_shop));
  assert_ptr_equal (base->rules->pdata[at_base - 1], before);
  assert_ptr_equal (shop->rules->pdata[at_shop - 1], rake_rules_find (shop, "cure"));

  /* and the base is as it was */
  assert_int_equal (rake_rules_get_n_rules (base), n_rules);
  assert_ptr_equal (rake_rules_find (base, "cure"), before);
  assert_true (rake_rules_get_limits (base)->level_low_spot_fraction == 0.1);
}

static void
a_limit_that_nobody_set_is_not_a_number (void **state)
{
  g_autoptr (RakeRules) rules = read_rules (GOOD_RULE, NULL);

  assert_true (isnan (rake_rules_get_limits (rules)->level_low_spot_fraction));
  assert_true (isnan (rake_rules_get_limits (rules)->feather_mm));
}

static void
a_set_written_out_is_the_same_set (void **state)
{
  g_autoptr (RakeRules) rules = read_rules (rake_rules_get_builtin_text (), NULL);
  g_autofree char *text = rake_rules_to_text (rules), *again = NULL;
  g_autoptr (RakeRules) read_back = read_rules (text, NULL);

  again = rake_rules_to_text (read_back);
  assert_string_equal (again, text);
  assert_int_equal (rake_rules_get_n_rules (read_back), rake_rules_get_n_rules (rules));
  assert_memory_equal (rake_rules_get_limits (read_back), rake_rules_get_limits (rules),
                       sizeof (RakeLimits));
  for (guint i = 0; i < rules->rules->len; i++)
    {
      const RakeRule *a = rules->rules->pdata[i], *b = read_back->rules->pdata[i];
      if (strcmp (a->name, b->name) != 0 || strcmp (a->trace, b->trace) != 0 ||
          strcmp (a->matter, b->matter) != 0 || a->stages != b->stages ||
          a->verdict != b->verdict || a->back != b->back || a->n_back != b->n_back ||
          a->is_about_next_pass != b->is_about_next_pass || strcmp (a->says, b->says) != 0 ||
          g_strcmp0 (a->clears, b->clears) != 0 || g_strcmp0 (a->warns, b->warns) != 0 ||
          g_strcmp0 (a->unsure, b->unsure) != 0)
        fail_msg ("%s is not what it was", a->name);
    }
}

static void
the_order_of_fields_and_the_breaks_of_lines_are_free (void **state)
{
  g_autoptr (RakeRules) rules =
      read_rules ("rule a says \"x\" # why\r\n\tverdict sand-again back 2 only sand-again\r\n"
                  "when is_edge = yes\n  and not\n(is_satin = no) matter low spots stages level\n",
                  NULL);
  const RakeRule *rule = rake_rules_find (rules, "a");

  assert_string_equal (rule->matter, "low spots");
  assert_int_equal (rule->verdict, RAKE_VERDICT_SAND_AGAIN);
  assert_int_equal (rule->n_back, 2);
  assert_true (rule->is_about_next_pass);
  assert_int_equal (rule->stages, 1u << RAKE_ACTION_LEVEL);
}

static void
a_sentence_is_filled_in_for_a_person (void **state)
{
  static const struct
  {
    RakeFact fact;
    double value;
    const char *says;
  } rows[] = {
    { RAKE_FACT_LOW_SPOT_FRACTION, 0.14, "14 %" },
    { RAKE_FACT_LOW_SPOT_FRACTION, 0.0625, "6.3 %" },
    { RAKE_FACT_LOW_SPOT_FRACTION, 0.0002, "under 0.1 %" },
    { RAKE_FACT_LOW_SPOT_FRACTION, 0, "0 %" },
    { RAKE_FACT_LARGEST_ISLAND_MM, 21.5, "21.5 mm" },
    { RAKE_FACT_LAMP_ACROSS_STROKES_DEG, 45, "45°" },
    { RAKE_FACT_FILM_UM, 76.64, "76.6 µm" },
    { RAKE_FACT_SURFACE_CELSIUS, 46, "46 °C" },
    { RAKE_FACT_GLOSS_ABOVE_OTHERS_GU, 8.0, "8 GU" },
    { RAKE_FACT_PASSES_HERE, 3, "3" },
    { RAKE_FACT_COATS_FUSE, 0, "no" },
    { RAKE_FACT_CURE_DAYS, 21, "21 days" },
    { RAKE_FACT_CURE_DAYS, 1, "1 day" },
    /* gone by is rounded down, still to go is rounded up: never "21 of 21 days" before its time */
    { RAKE_FACT_DAYS_SINCE_COAT, 20.99, "20 days" },
    { RAKE_FACT_DAYS_SINCE_COAT, 0.3, "7 hours" },
    { RAKE_FACT_DAYS_SINCE_COAT, -0.1, "0 days" },
    { RAKE_FACT_CURE_DAYS_LEFT, 4.1, "5 days" },
    { RAKE_FACT_CURE_DAYS_LEFT, 0.01, "1 hour" },
    { RAKE_FACT_MINUTES_SINCE_BUFF, 29.9, "29 min" },
    { RAKE_FACT_COOL_MINUTES_LEFT, 14.2, "15 min" },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      RakeFacts facts = { 0 };
      RakeSaying saying = { .facts = &facts, .zone = "Door panel" };
      g_autofree char *msgid = g_strdup_printf ("{zone}: {%s}!", rake_fact_get_name (rows[i].fact));
      g_autofree char *expected = g_strdup_printf ("Door panel: %s!", rows[i].says);
      g_autofree char *unknown = rake_saying_fill (&saying, msgid), *known = NULL;

      assert_string_equal (unknown, "Door panel: not known!");
      facts.knowledge[rows[i].fact] = RAKE_KNOWN;
      facts.value[rows[i].fact] = rows[i].value;
      known = rake_saying_fill (&saying, msgid);
      assert_string_equal (known, expected);
    }
}

/* What a careless or an ill-meaning hand does to a file: bytes changed, taken out, doubled, lines
 * moved. Whatever comes of it is read or refused; what is read can be written out and read again. */
static void
mutate (GString *text, GRand *random)
{
  static const char junk[] = "\"{}()<>=!%#\n \t-_.0123456789azAZ\xc3\xff\x01";
  gsize at = (gsize) g_rand_int_range (random, 0, (gint32) text->len);
  gsize wanted = (gsize) g_rand_int_range (random, 1, 80);
  gsize length = MIN (text->len - at, wanted);
  g_autofree char *piece = NULL;

  switch (g_rand_int_range (random, 0, 4))
    {
    case 0:
      text->str[at] = junk[g_rand_int_range (random, 0, sizeof junk - 1)];
      return;
    case 1:
      g_string_erase (text, (gssize) at, (gssize) length);
      return;
    case 2:
      g_string_insert_c (text, (gssize) at, junk[g_rand_int_range (random, 0, sizeof junk - 1)]);
      return;
    default:
      piece = g_strndup (text->str + at, length);
      g_string_insert (text, g_rand_int_range (random, 0, (gint32) text->len), piece);
      return;
    }
}

static void
a_damaged_file_is_refused_or_means_what_it_says (void **state)
{
  const guint32 seed = 20261124;
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  g_autoptr (RakeRules) base = read_rules (rake_rules_get_builtin_text (), NULL);
  guint n_read = 0, n_refused = 0;

  for (int round = 0; round < 3000; round++)
    {
      /* Mostly a few rules, so that one slip does not hide the rest; now and then the whole file. */
      const char *whole = rake_rules_get_builtin_text ();
      gsize length = strlen (whole);
      gsize from =
          round % 10 == 0 ? 0 : (gsize) g_rand_int_range (random, 0, (gint32) length - 900);
      const char *start = from == 0 ? whole : strstr (whole + from, "\nrule ");
      const char *end =
          start != NULL && strlen (start) > 1500 ? strstr (start + 1000, "\nrule ") : NULL;
      g_autoptr (GString) text = NULL;
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeRules) rules = NULL, again = NULL;
      g_autofree char *written = NULL, *written_again = NULL;

      if (start == NULL)
        continue;
      text = g_string_new_len (start, end != NULL && round % 10 != 0 ? end - start
                                                                     : (gssize) strlen (start));
      for (int n = g_rand_int_range (random, 1, 4); n > 0; n--)
        mutate (text, random);
      rules = rake_rules_new ("m", text->str, round % 2 == 0 ? NULL : base, &error);
      if (rules == NULL)
        {
          n_refused++;
          if (!g_error_matches (error, RAKE_RULES_ERROR, RAKE_RULES_ERROR_SYNTAX) ||
              !g_str_has_prefix (error->message, "m:") ||
              !g_utf8_validate (error->message, -1, NULL))
            fail_msg ("seed %u, round %d: %s", seed, round, error->message);
          continue;
        }
      n_read++;
      written = rake_rules_to_text (rules);
      again = rake_rules_new ("w", written, NULL, &error);
      if (again == NULL)
        fail_msg ("seed %u, round %d: written out, it is refused: %s", seed, round, error->message);
      written_again = rake_rules_to_text (again);
      assert_string_equal (written_again, written);
    }
  /* both ends of the fork were taken, or this test shows nothing */
  assert_true (n_read > 100 && n_refused > 100);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (the_built_in_rules_read_and_trace_back),
    cmocka_unit_test (a_preparation_may_be_for_some_stages_only),
    cmocka_unit_test (every_rule_stands_in_the_table_under_its_number),
    cmocka_unit_test (a_slip_is_refused_with_its_line_and_column),
    cmocka_unit_test (what_piles_up_is_refused),
    cmocka_unit_test (a_refusal_says_what_stood_there),
    cmocka_unit_test (a_shop_file_replaces_drops_and_sets),
    cmocka_unit_test (a_limit_that_nobody_set_is_not_a_number),
    cmocka_unit_test (a_set_written_out_is_the_same_set),
    cmocka_unit_test (the_order_of_fields_and_the_breaks_of_lines_are_free),
    cmocka_unit_test (a_sentence_is_filled_in_for_a_person),
    cmocka_unit_test (a_damaged_file_is_refused_or_means_what_it_says),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
