/* test-paper.c - sheets are counted as the log tells of them, and a worn one is named. */
#include <rakelight/paper.h>

#include "fact-check.h"
#include "near.h"

#include <string.h>

static void
log_paper (BenchLog *log, guint stage, const char *zone, RakePaper paper)
{
  RakeEntry *pass = rake_entry_new (RAKE_ENTRY_PASS);
  RakeId id = log_zone (log, zone)->id;

  pass->pass.stage = log_stage (log, stage)->id;
  pass->pass.paper = paper;
  g_array_append_val (pass->pass.zones, id);
  log_write (log, pass);
}

static char *
advise (const BenchLog *log, const char *zone)
{
  RakeFacts facts;

  rake_facts_take (&facts, log->job, log_zone (log, zone), &limits, log->now_ms);
  return rake_paper_advise (log->job, log_zone (log, zone), &facts);
}

static void
assert_advice (const BenchLog *log, const char *zone, const char *says)
{
  g_autofree char *advice = advise (log, zone);

  if (says == NULL)
    assert_null (advice);
  else if (advice == NULL || strstr (advice, says) == NULL)
    fail_msg ("\"%s\", expected \"%s\"", advice != NULL ? advice : "nothing", says);
}

static void
sheets_are_counted_from_fresh_to_fresh (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 50");
  g_autoptr (GArray) none = rake_paper_take (log->job), uses = NULL;
  const RakePaperUse *use;
  double area_mm2 = rake_shape_get_area_mm2 (log_zone (log, "A")->shape);

  assert_int_equal (none->len, 0);
  /* P1200 first in the log, but P800 is the coarser; a sheet of three passes and one of two */
  log_paper (log, P1200, "B", RAKE_PAPER_UNSAID);
  log_paper (log, P800, "A", RAKE_PAPER_UNSAID);
  log_paper (log, P800, "A", RAKE_PAPER_USED);
  log_paper (log, P800, "A", RAKE_PAPER_WIPED);
  log_paper (log, P800, "A", RAKE_PAPER_FRESH);
  log_paper (log, P800, "A", RAKE_PAPER_USED);
  log_paper (log, P800, "A", RAKE_PAPER_FRESH);
  log_paper (log, P800, "A", RAKE_PAPER_WIPED);
  log_pass (log, CUT, "A", NAN); /* no paper at all */
  uses = rake_paper_take (log->job);
  assert_int_equal (uses->len, 2);
  use = &g_array_index (uses, RakePaperUse, 0);
  assert_string_equal (use->grade, "P800");
  assert_int_equal (use->n_sheets, 3);
  assert_int_equal (use->n_passes, 7);
  assert_int_equal (use->n_passes_on_sheet, 2);
  assert_int_equal (use->n_since_wiped, 1);
  assert_near ("passes per sheet", use->passes_per_sheet, 2.5, 1e-12);
  assert_near ("area", use->area_on_sheet_mm2, 2 * area_mm2, 1e-6);
  assert_false (use->is_loaded);
  use = &g_array_index (uses, RakePaperUse, 1);
  assert_string_equal (use->grade, "P1200");
  assert_true (use->n_sheets == 1 && isnan (use->passes_per_sheet));
}

static void
paper_is_changed_when_it_loads_or_has_done_its_work (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");

  assert_advice (log, "A", NULL);
  log_paper (log, P800, "A", RAKE_PAPER_FRESH);
  log_paper (log, P800, "A", RAKE_PAPER_USED);
  assert_advice (log, "A", NULL);
  log_paper (log, P800, "A", RAKE_PAPER_LOADED);
  assert_advice (log, "A", "P800 paper loaded");
  log_paper (log, P800, "A", RAKE_PAPER_FRESH);
  log_paper (log, P800, "A", RAKE_PAPER_USED);
  assert_advice (log, "A", NULL);
  log_paper (log, P800, "A", RAKE_PAPER_WIPED);
  assert_advice (log, "A", "3 passes with this sheet of P800");
  log_begin (log, P1200);
  assert_advice (log, "A", NULL);
}

static void
paper_is_changed_when_progress_stalls (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");

  log_paper (log, P800, "A", RAKE_PAPER_FRESH);
  log_low (log, log_look (log, "A", 90), 0.40, NAN, NAN);
  log_paper (log, P800, "A", RAKE_PAPER_USED);
  log_low (log, log_look (log, "A", 90), 0.20, NAN, NAN);
  FACT ("A", LOW_SPOT_DROP_FRACTION, 0.5);
  assert_advice (log, "A", NULL);
  log_paper (log, P800, "A", RAKE_PAPER_USED);
  log_low (log, log_look (log, "A", 90), 0.19, NAN, NAN);
  assert_advice (log, "A", "hardly anything");
  /* a fresh sheet that did no more either is no case for another sheet */
  log_paper (log, P800, "A", RAKE_PAPER_FRESH);
  log_low (log, log_look (log, "A", 90), 0.185, NAN, NAN);
  assert_advice (log, "A", NULL);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (sheets_are_counted_from_fresh_to_fresh),
    cmocka_unit_test (paper_is_changed_when_it_loads_or_has_done_its_work),
    cmocka_unit_test (paper_is_changed_when_progress_stalls),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
