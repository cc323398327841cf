/* test-job-record.c - defects with their stories, the hand-over that closes a job, and claims. */
#include "bench-log.h"
#include "job-support.h"

#include <rakelight/record.h>
#include <rakelight/facts.h>
#include <rakelight/seal.h>

#include "near.h"

static RakeEntry *
new_defect (RakeId zone, RakeId mark, RakeStanding standing)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_DEFECT);

  entry->defect.zone = zone;
  entry->defect.mark = mark;
  entry->defect.standing = standing;
  if (rake_id_is_nil (mark))
    entry->defect.what = g_strdup ("a dent in the wood");
  if (standing > RAKE_STANDING_REPAIRED)
    entry->defect.outcome = g_strdup ("under the strap");
  return entry;
}

static RakeEntry *
new_more (RakeId zone, RakeId defect, RakeStanding standing)
{
  RakeEntry *entry = new_defect (zone, RAKE_ID_NIL, standing);

  g_clear_pointer (&entry->defect.what, g_free);
  entry->defect.defect = defect;
  return entry;
}

static RakeEntry *
new_hand_over (void)
{
  return rake_entry_new (RAKE_ENTRY_HAND_OVER);
}

static RakeEntry *
new_claim (RakeId claim, RakeId about, RakeDecision decision)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_CLAIM);

  entry->claim.claim = claim;
  entry->claim.about = about;
  entry->claim.complaint = g_strdup ("a white ring");
  entry->claim.decision = decision;
  return entry;
}

static RakeDefect *
only_defect (const Bench *bench)
{
  g_autoptr (GPtrArray) defects = rake_job_list_defects (bench->bench->job);

  assert_int_equal (defects->len, 1);
  return rake_job_find_defect (bench->bench->job, ((RakeDefect *) defects->pdata[0])->id);
}

/* --- defects ---------------------------------------------------------------------------------------- */

static void
a_defect_says_when_and_where_it_was_found (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId pass = bench_write (bench, new_pass (bench->stages[0], bench->left));
  RakeEntry *look_entry = new_look (bench->left);
  RakeId look, mark;
  g_autoptr (RakeDefect) defect = NULL;

  look_entry->look.lamp_deg = 275;
  look = bench_write (bench, look_entry);
  mark = bench_write (bench, new_mark (look, RAKE_MARK_SCRATCH, line_from (20, 30, 50, 70)));
  bench_write (bench, new_pass (bench->stages[0], bench->left));
  bench_write (bench, new_defect (bench->left, mark, RAKE_STANDING_OPEN));
  defect = only_defect (bench);
  assert_ptr_equal (defect->look, rake_job_find_entry (bench->bench->job, look));
  assert_ptr_equal (defect->pass, rake_job_find_entry (bench->bench->job, pass));
  assert_int_equal (stage_number (bench, defect->stage), 0);
  assert_true (defect->found_ms == defect->look->happened_ms);
  assert_ptr_equal (defect->zone, zone_of (bench, bench->left));
  assert_string_equal (defect->what, "Scratch");
  /* by hand: 300 × 200 mm, so 20 mm from the left edge; a 30-40-50 triangle */
  assert_near ("lamp_deg", defect->lamp_deg, 275, 0);
  assert_near ("from_edge_mm", defect->from_edge_mm, 20, 1e-9);
  assert_near ("length_mm", defect->length_mm, 50, 1e-9);
  assert_near ("area_mm2", defect->area_mm2, 0, 0);
}

static void
a_fault_without_a_place_has_no_measures (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RakeDefect) defect = NULL;

  bench_write (bench, new_defect (bench->right, RAKE_ID_NIL, RAKE_STANDING_LEFT_AS_AGREED));
  defect = only_defect (bench);
  assert_null (defect->mark);
  assert_null (defect->look);
  assert_string_equal (defect->what, "a dent in the wood");
  assert_true (isnan (defect->from_edge_mm) && isnan (defect->length_mm) &&
               isnan (defect->lamp_deg));
  assert_true (defect->found_ms == defect->entry->happened_ms);
}

static void
the_last_telling_shows_and_the_story_stays (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_BURN, point_at (10, 10)));
  RakeId id = bench_write (bench, new_defect (bench->left, mark, RAKE_STANDING_OPEN)), repair, more;
  g_autoptr (RakeDefect) open = only_defect (bench), mended = NULL, again = NULL;
  g_autoptr (GPtrArray) repairs = NULL;

  assert_int_equal (open->told->defect.standing, RAKE_STANDING_OPEN);
  repair = bench_write (bench, new_repair (bench->left, RAKE_REPAIR_SCRAPED, mark));
  more = bench_write (bench, new_more (bench->left, id, RAKE_STANDING_REPAIRED));
  mended = rake_job_find_defect (bench->bench->job, more);
  assert_true (rake_id_equal (mended->id, id));
  assert_int_equal (mended->told->defect.standing, RAKE_STANDING_REPAIRED);
  assert_int_equal (mended->story->len, 2);
  assert_non_null (mended->mark);
  assert_true (mended->mark->was_repaired);
  repairs = rake_defect_list_repairs (mended);
  assert_int_equal (repairs->len, 1);
  assert_ptr_equal (repairs->pdata[0], rake_job_find_entry (bench->bench->job, repair));
  /* a story is told of its beginning, and hangs on it */
  bench_refuses (bench, new_more (bench->left, more, RAKE_STANDING_OPEN), RAKE_JOB_ERROR_REFERENCE);
  bench_refuses (bench, new_strike (id), RAKE_JOB_ERROR_RULE);
  bench_write (bench, new_strike (more));
  again = only_defect (bench);
  assert_int_equal (again->told->defect.standing, RAKE_STANDING_OPEN);
}

static void
a_defect_is_kept_of_a_mark_in_its_zone (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left)), upper, lower;
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_NIB, point_at (10, 150)));
  RakeEntry *cut;
  g_autoptr (RakeDefect) defect = NULL;

  bench_refuses (bench, new_defect (bench->right, mark, RAKE_STANDING_OPEN), RAKE_JOB_ERROR_RULE);
  bench_write (bench, new_defect (bench->left, mark, RAKE_STANDING_OPEN));
  cut = new_cut_of_left (bench, &upper, &lower);
  bench_write (bench, cut);
  defect = only_defect (bench);
  assert_ptr_equal (defect->zone, zone_of (bench, lower));
}

static double
count_open (const Bench *bench, RakeId zone)
{
  const RakeLimits limits = { 0 };
  RakeFacts facts;

  rake_facts_take (&facts, bench->bench->job, zone_of (bench, zone), &limits, bench->bench->now_ms);
  assert_int_equal (facts.knowledge[RAKE_FACT_OPEN_DEFECTS], RAKE_KNOWN);
  return facts.value[RAKE_FACT_OPEN_DEFECTS];
}

static void
an_open_defect_without_a_mark_is_a_fact (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_BURN, point_at (10, 10)));
  RakeId marked = bench_write (bench, new_defect (bench->left, mark, RAKE_STANDING_OPEN)), defect;

  bench_write (bench, new_more (bench->left, marked, RAKE_STANDING_OPEN));
  assert_near ("its mark speaks", count_open (bench, bench->left), 0, 0);
  defect = bench_write (bench, new_defect (bench->left, RAKE_ID_NIL, RAKE_STANDING_OPEN));
  bench_write (bench, new_more (bench->left, defect, RAKE_STANDING_OPEN));
  assert_near ("told twice", count_open (bench, bench->left), 1, 0);
  assert_near ("elsewhere", count_open (bench, bench->right), 0, 0);
  bench_write (bench, new_more (bench->left, defect, RAKE_STANDING_REPAIRED));
  assert_near ("repaired", count_open (bench, bench->left), 0, 0);
}

/* --- hand-over --------------------------------------------------------------------------------------- */

static void
a_job_handed_over_takes_no_more_work (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId pass = bench_write (bench, new_pass (bench->stages[0], bench->left)), look, note;
  RakeId hand_over = bench_write (bench, new_hand_over ());
  guint n_before = 0;

  assert_true (rake_job_is_closed (bench->bench->job));
  rake_job_find_hand_over (bench->bench->job, &n_before);
  assert_int_equal (n_before, rake_job_get_n_entries (bench->bench->job) - 1);
  bench_refuses (bench, new_pass (bench->stages[0], bench->left), RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_repair (bench->left, RAKE_REPAIR_FILL, RAKE_ID_NIL),
                 RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_defect (bench->left, RAKE_ID_NIL, RAKE_STANDING_OPEN),
                 RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_hand_over (), RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_strike (pass), RAKE_JOB_ERROR_RULE);
  /* it may still be looked at, and what is written since may be corrected */
  look = bench_write (bench, new_look (bench->left));
  bench_write (bench, new_mark (look, RAKE_MARK_DULL_SPOT, point_at (5, 5)));
  note = bench_write (bench, new_note ("The client rang."));
  bench_write (bench, new_strike (note));
  bench_write (bench, new_strike (hand_over));
  assert_false (rake_job_is_closed (bench->bench->job));
  bench_write (bench, new_pass (bench->stages[0], bench->left));
}

static void
an_open_claim_opens_it_again (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId claim, decided;

  bench_write (bench, new_hand_over ());
  claim = bench_write (bench, new_claim (RAKE_ID_NIL, bench->left, RAKE_DECISION_OPEN));
  assert_false (rake_job_is_closed (bench->bench->job));
  bench_write (bench, new_repair (bench->left, RAKE_REPAIR_FILL, RAKE_ID_NIL));
  decided = bench_write (bench, new_claim (claim, RAKE_ID_NIL, RAKE_DECISION_GOODWILL));
  assert_true (rake_job_is_closed (bench->bench->job));
  bench_refuses (bench, new_repair (bench->left, RAKE_REPAIR_FILL, RAKE_ID_NIL),
                 RAKE_JOB_ERROR_RULE);
  bench_write (bench, new_strike (decided));
  bench_write (bench, new_hand_over ());
  assert_false (rake_job_is_closed (bench->bench->job));
}

static void
undo_goes_back_to_the_hand_over_and_past_it (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId pass = bench_write (bench, new_pass (bench->stages[0], bench->left));
  RakeId hand_over = bench_write (bench, new_hand_over ());

  assert_true (random_bench_undo (bench->bench));
  assert_true (rake_job_is_struck (bench->bench->job, hand_over));
  assert_true (random_bench_undo (bench->bench));
  assert_true (rake_job_is_struck (bench->bench->job, pass));
  assert_true (random_bench_redo (bench->bench));
  assert_true (random_bench_redo (bench->bench));
  assert_true (rake_job_is_closed (bench->bench->job));
}

/* What another bench handed over is not undone piece by piece. */
static void
undo_leaves_what_another_bench_handed_over (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *hand_over = new_hand_over ();

  bench_write (bench, new_pass (bench->stages[0], bench->left));
  hand_over->bench = any_id ();
  hand_over->number = 1;
  hand_over->written_ms = hand_over->happened_ms = bench->bench->now_ms + 1;
  random_bench_receive (bench->bench, &hand_over, 1);
  rake_entry_unref (hand_over);
  assert_true (rake_job_is_closed (bench->bench->job));
  assert_false (random_bench_undo (bench->bench));
}

static void
the_seal_is_that_of_all_before (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *stale = new_hand_over (), *right = new_hand_over ();

  stale->hand_over.seal =
      rake_seal_take (bench->bench->job, rake_job_get_n_entries (bench->bench->job));
  bench_write (bench, new_note ("one more"));
  bench_refuses (bench, stale, RAKE_JOB_ERROR_RULE);
  right->hand_over.seal =
      rake_seal_take (bench->bench->job, rake_job_get_n_entries (bench->bench->job));
  bench_write (bench, right);
}

static guint
count_obstacles (const GPtrArray *obstacles, RakeObstacleKind kind, RakeId about)
{
  guint n_found = 0;

  for (guint i = 0; i < obstacles->len; i++)
    {
      const RakeObstacle *obstacle = obstacles->pdata[i];

      n_found += obstacle->kind == kind && rake_id_equal (obstacle->about, about) ? 1 : 0;
    }
  return n_found;
}

static void
each_obstacle_says_what_it_is_about (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  RakeId defect = bench_write (bench, new_defect (bench->right, RAKE_ID_NIL, RAKE_STANDING_OPEN));
  g_autoptr (GPtrArray) obstacles =
      rake_job_list_obstacles (bench->bench->job, rules, bench->bench->now_ms);
  g_autoptr (GPtrArray) none = NULL;
  g_autoptr (RakeJob) empty = rake_job_new ();

  assert_int_equal (count_obstacles (obstacles, RAKE_OBSTACLE_STAGES, bench->face), 1);
  assert_int_equal (count_obstacles (obstacles, RAKE_OBSTACLE_ZONE, bench->left), 1);
  assert_int_equal (count_obstacles (obstacles, RAKE_OBSTACLE_ZONE, bench->right), 1);
  assert_int_equal (count_obstacles (obstacles, RAKE_OBSTACLE_DEFECT, defect), 1);
  none = rake_job_list_obstacles (empty, rules, bench->bench->now_ms);
  assert_int_equal (none->len, 1);
  assert_int_equal (count_obstacles (none, RAKE_OBSTACLE_NO_FACE, RAKE_ID_NIL), 1);
}

/* --- claims ------------------------------------------------------------------------------------------ */

static void
a_claim_shows_its_place_then_and_now (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RakeJob) then = NULL;
  g_autoptr (GPtrArray) claims = NULL;
  const RakeClaim *claim;
  RakeId hand_over, look;

  bench_write (bench, new_pass (bench->stages[0], bench->left));
  hand_over = bench_write (bench, new_hand_over ());
  look = bench_write (bench, new_look (bench->left));
  bench_write (bench, new_mark (look, RAKE_MARK_IMPRINT, point_at (5, 5)));
  bench_write (bench, new_claim (RAKE_ID_NIL, bench->left, RAKE_DECISION_OPEN));
  claims = rake_job_list_claims (bench->bench->job);
  assert_int_equal (claims->len, 1);
  claim = claims->pdata[0];
  assert_true (claim->is_open);
  assert_ptr_equal (claim->zone, zone_of (bench, bench->left));
  assert_true (rake_id_equal (claim->hand_over->id, hand_over));
  then = rake_job_new_until (bench->bench->job, claim->n_entries_then);
  assert_int_equal (claim->zone->marks->len, 1);
  assert_int_equal (rake_job_find_zone (then, bench->left)->marks->len, 0);
  assert_true (rake_job_is_closed (then));
}

static void
a_claim_is_about_the_piece_a_place_or_a_defect (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_BURN, point_at (10, 10)));
  RakeId defect = bench_write (bench, new_defect (bench->left, mark, RAKE_STANDING_REPAIRED));
  RakeId ids[4] = { RAKE_ID_NIL, bench->face, mark, defect };
  g_autoptr (GPtrArray) claims = NULL;

  bench_refuses (bench, new_claim (RAKE_ID_NIL, look, RAKE_DECISION_OPEN),
                 RAKE_JOB_ERROR_REFERENCE);
  for (int i = 0; i < 4; i++)
    bench_write (bench, new_claim (RAKE_ID_NIL, ids[i], RAKE_DECISION_NOT_OURS));
  claims = rake_job_list_claims (bench->bench->job);
  for (int i = 0; i < 4; i++)
    {
      const RakeClaim *claim = claims->pdata[i];

      assert_true ((claim->face != NULL) == (i > 0));
      assert_true ((claim->mark != NULL) == (i > 1));
      assert_true ((claim->zone != NULL) == (i > 1)); /* the face was divided: it is meant whole */
      assert_true (rake_id_is_nil (claim->defect) == (i < 3));
      assert_null (claim->hand_over);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_defect_says_when_and_where_it_was_found),
    cmocka_unit_test (a_fault_without_a_place_has_no_measures),
    cmocka_unit_test (the_last_telling_shows_and_the_story_stays),
    cmocka_unit_test (a_defect_is_kept_of_a_mark_in_its_zone),
    cmocka_unit_test (an_open_defect_without_a_mark_is_a_fact),
    cmocka_unit_test (a_job_handed_over_takes_no_more_work),
    cmocka_unit_test (an_open_claim_opens_it_again),
    cmocka_unit_test (undo_goes_back_to_the_hand_over_and_past_it),
    cmocka_unit_test (undo_leaves_what_another_bench_handed_over),
    cmocka_unit_test (the_seal_is_that_of_all_before),
    cmocka_unit_test (each_obstacle_says_what_it_is_about),
    cmocka_unit_test (a_claim_shows_its_place_then_and_now),
    cmocka_unit_test (a_claim_is_about_the_piece_a_place_or_a_defect),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
