/* test-gate.c - judging through a job: what an acceptance mutes, where a zone is sent back to, when a
 * face may go on. */
#include "bench-log.h"
#include "rules-private.h"
#include "usual-stages.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

static const RakeReason *
find_reason (GPtrArray *reasons, const char *rule)
{
  for (guint i = 0; i < reasons->len; i++)
    if (strcmp (((const RakeReason *) reasons->pdata[i])->rule, rule) == 0)
      return reasons->pdata[i];
  return NULL;
}

static RakeJudgement *
judge (const RakeRules *rules, const BenchLog *log, const char *zone)
{
  return rake_rules_judge (rules, log->job, log_zone (log, zone), log->now_ms);
}

static void
check_verdict (const RakeRules *rules, const BenchLog *log, const char *zone, RakeVerdict verdict,
               int line)
{
  g_autoptr (RakeJudgement) judgement = judge (rules, log, zone);

  if (judgement->verdict != verdict)
    fail_msg ("line %d: %s is %d by %s, expected %d", line, zone, judgement->verdict,
              judgement->reasons->len > 0
                  ? ((const RakeReason *) judgement->reasons->pdata[0])->sentence
                  : "nothing",
              verdict);
}

#define VERDICT(zone, verdict) check_verdict (rules, log, zone, RAKE_VERDICT_##verdict, __LINE__)

static void
without_a_schedule_nothing_is_asked (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (RakeJob) job = rake_job_new ();
  double points_mm[] = { 0, 0, 10, 0, 10, 10, 0, 10 };
  g_autoptr (RakeEntry) face = rake_entry_new (RAKE_ENTRY_FACE);
  g_autoptr (RakeJudgement) judgement = NULL;
  g_autoptr (RakeGate) gate = NULL;
  g_autofree char *warning = NULL;
  const RakeFace *shown;

  face->face.name = g_strdup ("front");
  face->face.outline = rake_shape_new_area (points_mm, 4, NULL);
  assert_true (rake_job_apply (job, face, NULL));
  shown = rake_job_get_face (job, 0);
  judgement = rake_rules_judge (rules, job, shown->zones->pdata[0], 0);
  assert_int_equal (judgement->verdict, RAKE_VERDICT_NONE);
  assert_null (judgement->stage);
  assert_int_equal (judgement->reasons->len, 0);
  assert_false (rake_judgement_is_settled (judgement));
  warning = rake_rules_warn_before_pass (rules, shown->zones->pdata[0], judgement);
  assert_null (warning);
  gate = rake_rules_gate (rules, job, shown, &judgement);
  assert_false (gate->is_open);
  assert_null (gate->stage);
}

static void
a_zone_that_starts_later_is_asked_nothing_but_bad_news_counts (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, E 20 edge 1");
  g_autoptr (RakeJudgement) judgement = judge (rules, log, "E");
  g_autofree char *warning = rake_rules_warn_before_pass (rules, log_zone (log, "E"), judgement);

  assert_int_equal (judgement->verdict, RAKE_VERDICT_NONE);
  assert_non_null (strstr (warning, "P1200"));
  log_pass (log, P800, "A", 0);
  log_mark (log, log_look (log, "E", 90), RAKE_MARK_SAND_THROUGH, 110, 50, 4);
  VERDICT ("E", REPAIR);
}

static void
a_zone_is_sent_back_no_further_than_its_first_stage (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, E 20 edge 1");
  static const char *const zones[] = { "A", "E" };

  log_pass (log, P800, "A", 0);
  for (gsize i = 0; i < G_N_ELEMENTS (zones); i++)
    {
      const RakeEntry *mark;
      g_autoptr (RakeJudgement) judgement = NULL;

      log_pass (log, P1200, zones[i], 90);
      mark = log_mark (log, log_look (log, zones[i], 90), RAKE_MARK_SCRATCH, i == 0 ? 50 : 110, 50,
                       10);
      for (int pass = 0; pass < 2; pass++)
        {
          log_pass (log, P1200, zones[i], 90);
          log_still_there (log, log_look (log, zones[i], 90), mark, 0);
        }
      judgement = judge (rules, log, zones[i]);
      if (i == 0)
        {
          const RakeReason *reason = find_reason (judgement->reasons, "scratch-back");
          assert_int_equal (judgement->verdict, RAKE_VERDICT_SAND_AGAIN);
          assert_ptr_equal (judgement->back_to, log_stage (log, P800));
          assert_non_null (strstr (reason->clears, "P800"));
        }
      else
        {
          assert_int_equal (judgement->verdict, RAKE_VERDICT_STOP);
          assert_null (judgement->back_to);
          assert_non_null (find_reason (judgement->reasons, "scratch-at-first-grit"));
        }
    }
}

/* A and B levelled, A to 13 %, B to 6 %. */
static BenchLog *
new_levelled_log (void)
{
  BenchLog *log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");

  log_pass (log, P800, "A B", 0);
  log_low (log, log_look (log, "A", 90), 0.13, 5, NAN);
  log_low (log, log_look (log, "B", 90), 0.06, 5, NAN);
  return log;
}

static void
accept (const RakeRules *rules, BenchLog *log, const char *zone)
{
  g_autoptr (RakeJudgement) judgement = judge (rules, log, zone);

  log_accept (log, zone, judgement);
}

static void
an_acceptance_mutes_but_shows (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = new_levelled_log ();
  g_autoptr (RakeJudgement) judgement = NULL;
  g_autofree char *warning = NULL;
  const RakeReason *reason;

  VERDICT ("A", SAND_AGAIN);
  accept (rules, log, "A");
  judgement = judge (rules, log, "A");
  assert_int_equal (judgement->verdict, RAKE_VERDICT_READY);
  assert_true (judgement->is_accepted);
  assert_true (rake_judgement_is_settled (judgement));
  assert_string_equal (judgement->acceptance->acceptance.reason, "nobody sees it");
  reason = find_reason (judgement->reasons, "low-spots");
  assert_true (reason->is_accepted);
  warning = rake_rules_warn_before_pass (rules, log_zone (log, "A"), judgement);
  assert_non_null (strstr (warning, "accepted"));
}

static void
an_acceptance_ends_with_a_pass_a_repair_or_a_new_finding (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();

  for (int how = 0; how < 6; how++)
    {
      g_autoptr (BenchLog) log = new_levelled_log ();
      RakeVerdict expected[] = { RAKE_VERDICT_SAND_AGAIN, RAKE_VERDICT_SAND_AGAIN,
                                 RAKE_VERDICT_LOOK_AGAIN, RAKE_VERDICT_LOOK_AGAIN,
                                 RAKE_VERDICT_READY,      RAKE_VERDICT_READY };

      accept (rules, log, "A");
      switch (how)
        {
        case 0:
          log_mark (log, log_look (log, "A", 0), RAKE_MARK_SCRATCH, 50, 50, 20);
          break;
        case 1:
          log_low (log, log_look (log, "A", 0), 0.13, 5, NAN);
          break;
        case 2:
          log_pass (log, P800, "A", 0);
          break;
        case 3:
          log_repair (log, "A", RAKE_REPAIR_LEVELLED, NULL, -1);
          break;
        case 4: /* another zone, and a look that finds nothing */
          log_pass (log, P800, "B", 0);
          break;
        default:
          log_look (log, "A", 0);
          break;
        }
      check_verdict (rules, log, "A", expected[how], how);
    }
}

static void
an_acceptance_rides_along_to_later_stages_until_a_new_matter (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = new_levelled_log ();

  accept (rules, log, "A");
  log_begin (log, P1200);
  VERDICT ("A", READY); /* not sanded here, but nothing was done to it since */
  VERDICT ("B", SAND_AGAIN);
  log_begin (log, LAST_LOOK);
  VERDICT ("A", READY);
  log_coat (log);
  VERDICT ("A", WAIT);
}

static void
a_zone_that_turns_out_ready_is_ready_and_not_accepted (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = new_levelled_log ();
  g_autoptr (RakeJudgement) judgement = NULL;

  accept (rules, log, "A");
  log_even (log, log_look (log, "A", 0));
  judgement = judge (rules, log, "A");
  assert_int_equal (judgement->verdict, RAKE_VERDICT_READY);
  assert_false (judgement->is_accepted);
  assert_null (judgement->acceptance);
  assert_false (find_reason (judgement->reasons, "level-enough")->is_accepted);
}

static void
a_zone_is_not_sent_back_to_where_it_stands (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");
  static const char *const zones[] = { "A", "B" };
  int stages[] = { P2000, CUT };

  for (gsize i = 0; i < G_N_ELEMENTS (stages); i++)
    {
      g_autoptr (RakeJudgement) judgement = NULL;

      log_pass (log, (guint) stages[i], "A B", 0);
      log_wait (log, 40);
      for (gsize k = 0; k < G_N_ELEMENTS (zones); k++)
        {
          log_even (log, log_look_how (log, zones[k], RAKE_SURFACE_DRY, RAKE_WIPE_SPIRIT,
                                       RAKE_LIGHT_LAMP, 90));
          log_even (log, log_look_how (log, zones[k], RAKE_SURFACE_DRY, RAKE_WIPE_SPIRIT,
                                       RAKE_LIGHT_DAYLIGHT, NAN));
          log_reading (log, zones[k], RAKE_QUANTITY_GLOSS_GU, k == 0 ? 60 : 50);
        }
      judgement = judge (rules, log, "A");
      assert_int_equal (judgement->verdict, RAKE_VERDICT_SAND_AGAIN);
      assert_ptr_equal (judgement->back_to, stages[i] == CUT ? log_stage (log, P2000) : NULL);
      assert_non_null (strstr (find_reason (judgement->reasons, "burnished")->clears, "P2000"));
    }
}

static void
an_acceptance_covers_only_what_it_was_given_against (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");
  const RakeEntry *wheel = log_wheel (log, "cut", RAKE_ANSWER_YES, RAKE_ID_NIL);
  RakeEntry *bare;

  log_pass_on_wheel (log, CUT, "A B", wheel->id);
  log_wait (log, 40);
  VERDICT ("A", STOP);
  accept (rules, log, "A");
  VERDICT ("A", READY);
  log_reading (log, "A", RAKE_QUANTITY_TEMPERATURE_CELSIUS, 60);
  VERDICT ("A", WAIT); /* heat is another matter */

  /* one that does not say what against: against all that is no stronger */
  log_reading (log, "B", RAKE_QUANTITY_TEMPERATURE_CELSIUS, 60);
  bare = rake_entry_new (RAKE_ENTRY_ACCEPTANCE);
  bare->acceptance.zone = log_zone (log, "B")->id;
  bare->acceptance.verdict = RAKE_VERDICT_WAIT;
  bare->acceptance.reason = g_strdup ("no time");
  log_write (log, bare);
  VERDICT ("B", STOP);
  {
    g_autoptr (RakeJudgement) judgement = judge (rules, log, "B");
    assert_true (find_reason (judgement->reasons, "warm-surface")->is_accepted);
    assert_false (find_reason (judgement->reasons, "wheel-carried-other")->is_accepted);
  }
}

static void
a_sentence_names_what_it_speaks_of (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");
  g_autoptr (RakeJudgement) judgement = NULL, unsure = NULL;
  const RakeEntry *look;

  log_pass (log, P800, "A B", NAN);
  log_pass (log, P1200, "A B", 0);
  look = log_look (log, "A", 90);
  log_mark (log, look, RAKE_MARK_LIFTING, 20, 20, 5);
  log_mark (log, look, RAKE_MARK_NIB, 50, 50, 0);
  log_mark (log, look, RAKE_MARK_NIB, 60, 50, 0);
  judgement = judge (rules, log, "A");
  assert_string_equal (find_reason (judgement->reasons, "faults-to-repair")->sentence,
                       "Still open: Nib, Lifting.");
  log_even (log, log_look (log, "B", 90));
  unsure = judge (rules, log, "B");
  assert_non_null (
      strstr (find_reason (unsure->reasons, "lamp-along-strokes")->sentence, "not known"));
}

static RakeGate *
new_gate (const RakeRules *rules, const BenchLog *log)
{
  const RakeFace *face = rake_job_find_face (log->job, log->face);
  g_autoptr (GPtrArray) judgements =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_judgement_free);

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (judgements,
                     rake_rules_judge (rules, log->job, face->zones->pdata[i], log->now_ms));
  return rake_rules_gate (rules, log->job, face, (RakeJudgement *const *) judgements->pdata);
}

static void
check_gate (const RakeRules *rules, const BenchLog *log, gboolean is_open, guint n_settled,
            guint n_zones, const char *suggested, const char *says, int line)
{
  g_autoptr (RakeGate) gate = new_gate (rules, log);

  if (gate->is_open != is_open || gate->n_settled != n_settled || gate->n_zones != n_zones ||
      g_strcmp0 (gate->suggested != NULL ? gate->suggested->name : NULL, suggested) != 0 ||
      strstr (gate->sentence, says) == NULL)
    fail_msg ("line %d: %u of %u, %s, \"%s\"", line, gate->n_settled, gate->n_zones,
              gate->suggested != NULL ? gate->suggested->name : "none", gate->sentence);
}

#define GATE(is_open, n_settled, n_zones, suggested, says)                                          \
  check_gate (rules, log, is_open, n_settled, n_zones, suggested, says, __LINE__)

static void
the_gate_opens_when_every_zone_with_the_stage_is_settled (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 300, E 20 edge 1");
  g_autoptr (RakeGate) gate = NULL;

  GATE (FALSE, 0, 2, "A", "2 of 2 zones are not ready.");
  log_pass (log, P800, "A B", 0);
  log_low (log, log_look (log, "A", 90), 0.3, 20, NAN);
  log_low (log, log_look (log, "B", 90), 0.2, 20, NAN);
  GATE (FALSE, 0, 2, "B", "Sand again"); /* the smallest share left */
  log_low (log, log_look (log, "B", 90), 0.05, 3, NAN);
  GATE (FALSE, 1, 2, "A", "1 of 2 zones is not ready.");
  gate = new_gate (rules, log);
  assert_true (fabs (gate->ready_fraction - 0.75) < 1e-9);
  log_mark (log, log_look (log, "B", 90), RAKE_MARK_BURN, 250, 50, 10);
  GATE (FALSE, 0, 2, "B", "Repair"); /* repairs first */
  log_repair (log, "B", RAKE_REPAIR_SCRAPED,
              ((const RakeMark *) log_zone (log, "B")->marks->pdata[0])->entry, -1);
  GATE (FALSE, 0, 2, "B", "Look again"); /* a look is cheaper than a pass */
  log_low (log, log_look (log, "B", 90), 0.05, 3, NAN);
  accept (rules, log, "A");
  GATE (TRUE, 2, 2, NULL, "P1200");
  /* bad news where the stage is not asked for yet shuts it too */
  log_mark (log, log_look (log, "E", 90), RAKE_MARK_SAND_THROUGH, 410, 50, 4);
  GATE (FALSE, 2, 3, "E", "Repair");
}

static void
a_zone_sent_back_holds_the_gate_though_it_is_ready_there (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");

  log_pass (log, P800, "A B", 0);
  log_pass (log, P1200, "A B", 90);
  log_even (log, log_look (log, "A", 90));
  log_even (log, log_look (log, "B", 90));
  GATE (TRUE, 2, 2, NULL, "P2000");
  log_pass (log, P800, "B", 0);
  log_even (log, log_look (log, "B", 90));
  VERDICT ("B", READY);
  GATE (FALSE, 1, 2, "B", "ready at P800 and has P1200 to come");
}

static void
the_wheel_wants_two_lamps_where_no_last_look_is_planned (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log =
      log_new (RAKE_FINISH_POLYESTER, "level P800, refine P2000, buff cut", "A 100, B 100");

  log_pass (log, 0, "A B", 0);
  log_pass (log, 1, "A B", 90);
  log_even (log, log_look (log, "A", 90));
  log_even (log, log_look (log, "A", 0));
  log_even (log, log_look (log, "B", 90));
  VERDICT ("B", READY); /* the last grit's own verdict */
  GATE (FALSE, 1, 2, "B", "Before the wheel, B wants two looks");
  log_even (log, log_look (log, "B", 20));
  GATE (TRUE, 2, 2, NULL, "cut compound");
  log_begin (log, 2);
  log_pass (log, 2, "A B", NAN);
  log_wait (log, 40);
  for (int i = 0; i < 4; i++)
    log_even (log, log_look_how (log, i % 2 == 0 ? "A" : "B", RAKE_SURFACE_DRY, RAKE_WIPE_SPIRIT,
                                 i < 2 ? RAKE_LIGHT_LAMP : RAKE_LIGHT_DAYLIGHT, NAN));
  GATE (TRUE, 2, 2, NULL, "no stage comes after");
}

static void
a_job_is_judged_by_the_rules_it_records (void **state)
{
  g_autoptr (RakeRules) ours = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = new_levelled_log ();
  g_autoptr (RakeRules) none = rake_rules_for_job (log->job, ours), theirs = NULL, broken = NULL;
  RakeEntry *entry;

  assert_ptr_equal (none, ours);
  entry = rake_entry_new (RAKE_ENTRY_RULES);
  entry->rules.name = g_strdup ("old");
  entry->rules.text =
      g_strdup ("let level_low_spot_fraction = 2 %\n"
                "rule strict matter looks stages any\n"
                "when low_spot_fraction > low_spot_limit verdict stop says \"{zone}\"\n");
  log_write (log, entry);
  theirs = rake_rules_for_job (log->job, ours);
  assert_int_equal (rake_rules_get_n_rules (theirs), 1);
  check_verdict (theirs, log, "B", RAKE_VERDICT_STOP, __LINE__);
  entry = rake_entry_new (RAKE_ENTRY_RULES);
  entry->rules.name = g_strdup ("of another program");
  entry->rules.text = g_strdup ("rule ???");
  log_write (log, entry);
  broken = rake_rules_for_job (log->job, ours);
  assert_ptr_equal (broken, ours);
}

static void
when_no_rule_speaks_nothing_makes_it_ready (void **state)
{
  g_autoptr (RakeRules) rules = rake_rules_new ("none", "", NULL, NULL);
  g_autoptr (BenchLog) log = new_levelled_log ();
  g_autoptr (RakeJudgement) judgement = judge (rules, log, "B");

  assert_int_equal (judgement->verdict, RAKE_VERDICT_LOOK_AGAIN);
  assert_int_equal (judgement->reasons->len, 1);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (without_a_schedule_nothing_is_asked),
    cmocka_unit_test (a_zone_that_starts_later_is_asked_nothing_but_bad_news_counts),
    cmocka_unit_test (a_zone_is_sent_back_no_further_than_its_first_stage),
    cmocka_unit_test (an_acceptance_mutes_but_shows),
    cmocka_unit_test (an_acceptance_ends_with_a_pass_a_repair_or_a_new_finding),
    cmocka_unit_test (an_acceptance_rides_along_to_later_stages_until_a_new_matter),
    cmocka_unit_test (a_zone_that_turns_out_ready_is_ready_and_not_accepted),
    cmocka_unit_test (a_zone_is_not_sent_back_to_where_it_stands),
    cmocka_unit_test (an_acceptance_covers_only_what_it_was_given_against),
    cmocka_unit_test (a_sentence_names_what_it_speaks_of),
    cmocka_unit_test (the_gate_opens_when_every_zone_with_the_stage_is_settled),
    cmocka_unit_test (a_zone_sent_back_holds_the_gate_though_it_is_ready_there),
    cmocka_unit_test (the_wheel_wants_two_lamps_where_no_last_look_is_planned),
    cmocka_unit_test (a_job_is_judged_by_the_rules_it_records),
    cmocka_unit_test (when_no_rule_speaks_nothing_makes_it_ready),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
