/* test-job-strikes.c - striking out, undo, and two benches that did not know of each other. */
#include "job-support.h"

/* --- strikes ------------------------------------------------------------------------------------------- */

static void
what_others_build_on_is_not_struck_out_first (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left)), mark, other, strike, wheel;
  RakeEntry *entry;

  mark = bench_write (bench, new_mark (look, RAKE_MARK_NIB, point_at (10, 10)));
  bench_write (bench, new_repair (bench->left, RAKE_REPAIR_LEVELLED, mark));
  bench_refuses (bench, new_strike (bench->face), RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_strike (bench->division), RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_strike (look), RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_strike (mark), RAKE_JOB_ERROR_RULE); /* the repair closes it */
  bench_refuses (bench, new_strike (bench->facts), RAKE_JOB_ERROR_RULE);
  other = bench_write (bench, new_mark (look, RAKE_MARK_RUN, point_at (20, 10)));
  bench_write (bench, new_revisit (look, other, RAKE_OUTCOME_STILL_THERE));
  bench_refuses (bench, new_strike (other), RAKE_JOB_ERROR_RULE);

  strike = bench_write (bench, new_strike (bench->schedule)); /* nothing was done by it yet */
  assert_true (rake_job_is_struck (bench->bench->job, bench->schedule));
  assert_null (zone_of (bench, bench->left)->stage);
  bench_refuses (bench, new_strike (bench->schedule), RAKE_JOB_ERROR_RULE); /* twice */
  bench_write (bench, new_strike (strike));
  assert_false (rake_job_is_struck (bench->bench->job, bench->schedule));
  entry = rake_entry_new (RAKE_ENTRY_WHEEL);
  entry->wheel.name = g_strdup ("Soft");
  wheel = bench_write (bench, entry);
  entry = new_pass (bench->stages[3], bench->left);
  entry->pass.wheel = wheel;
  bench_write (bench, entry);
  bench_refuses (bench, new_strike (bench->schedule), RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_strike (wheel), RAKE_JOB_ERROR_RULE);
}

static void
a_strike_is_not_revived_into_what_came_after (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, cut, strike;

  cut = bench_write (bench, new_cut_of_left (bench, &upper, &lower));
  strike = bench_write (bench, new_strike (cut));
  bench_write (bench,
               new_cut_of_left (bench, &upper, &lower)); /* differently, in the finisher's mind */
  bench_refuses (bench, new_strike (strike), RAKE_JOB_ERROR_RULE);
}

static void
a_note_stays_whatever_is_struck_out (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));
  RakeEntry *note = new_note ("That was the damp cloth.");

  note->note.about = look;
  bench_write (bench, note);
  bench_write (bench, new_strike (look));
  assert_false (rake_job_is_void (bench->bench->job, note->id));
}

/* --- two benches ---------------------------------------------------------------------------------------- */

/* A second bench that knows all that the first has written so far. */
static RandomBench *
new_second_bench (Bench *bench)
{
  RandomBench *second = random_bench_new (&bench->random);

  random_bench_receive (second, (RakeEntry *const *) bench->bench->written->pdata,
                        bench->bench->written->len);
  return second;
}

static RakeId
write_at (RandomBench *bench, RakeEntry *entry)
{
  g_autoptr (RakeEntry) owned = entry;

  random_bench_write (bench, &owned, 1);
  return owned->id;
}

static void
meet (Bench *bench, RandomBench *second)
{
  random_bench_receive (bench->bench, (RakeEntry *const *) second->written->pdata,
                        second->written->len);
}

static void
two_cuts_of_one_zone_leave_the_earlier (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RandomBench) second = new_second_bench (bench);
  RakeId upper, lower, other_upper, other_lower, cut, other_cut, look, pass;

  cut = bench_write (bench, new_cut_of_left (bench, &upper, &lower));
  second->now_ms = bench->bench->now_ms + 1000;
  other_cut = write_at (second, new_cut_of_left (bench, &other_upper, &other_lower));
  look = write_at (second, new_look (other_upper));
  pass = write_at (second, new_pass (bench->stages[0], bench->right));
  meet (bench, second);

  assert_false (rake_job_is_void (bench->bench->job, cut));
  assert_true (rake_job_is_void (bench->bench->job, other_cut));
  assert_true (rake_job_is_void (bench->bench->job, look));
  assert_false (rake_job_is_void (bench->bench->job, pass));
  assert_int_equal (rake_job_get_n_void (bench->bench->job), 2);
  assert_non_null (rake_job_find_zone (bench->bench->job, upper));
  assert_null (rake_job_find_zone (bench->bench->job, other_upper));
  bench_refuses (bench, new_look (other_upper), RAKE_JOB_ERROR_REFERENCE);
}

/* The other bench did not know that the zone was cut: its pass took film off both parts, its mark is
 * where it was seen. */
static void
work_on_a_zone_that_was_cut_meanwhile_is_kept (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RandomBench) second = new_second_bench (bench);
  RakeId upper, lower, look, mark;

  bench_write (bench, new_cut_of_left (bench, &upper, &lower));
  second->now_ms = bench->bench->now_ms + 1000;
  write_at (second, new_pass (bench->stages[0], bench->left));
  look = write_at (second, new_look (bench->left));
  mark = write_at (second, new_mark (look, RAKE_MARK_SAND_THROUGH, point_at (75, 150)));
  meet (bench, second);

  assert_int_equal (rake_job_get_n_void (bench->bench->job), 0);
  assert_int_equal (count_in_history (zone_of (bench, upper), RAKE_ENTRY_PASS), 1);
  assert_int_equal (count_in_history (zone_of (bench, lower), RAKE_ENTRY_LOOK), 1);
  assert_null (mark_in (bench, upper, mark));
  assert_non_null (mark_in (bench, lower, mark));
}

static void
work_on_zones_that_were_joined_meanwhile_is_kept_once (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RandomBench) second = new_second_bench (bench);
  RakeEntry *pass = new_pass (bench->stages[0], bench->left);
  RakeId whole, look, mark;

  bench_write (bench, new_join (bench, &whole));
  second->now_ms = bench->bench->now_ms + 1000;
  g_array_append_val (pass->pass.zones, bench->right);
  write_at (second, pass);
  look = write_at (second, new_look (bench->left));
  write_at (second, new_state (look, RAKE_STATE_UNIFORM));
  mark = write_at (second, new_mark (look, RAKE_MARK_BURN, point_at (10, 10)));
  meet (bench, second);

  assert_int_equal (rake_job_get_n_void (bench->bench->job), 0);
  assert_int_equal (zone_of (bench, whole)->history->len, 1); /* the pass; no look of a part */
  assert_non_null (mark_in (bench, whole, mark));
}

/* What the other bench says of a look from before a repair is old news, also for the parts of the zone. */
static void
news_from_before_a_repair_is_old_for_the_parts_too (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_RUN, point_at (10, 10)));
  g_autoptr (RandomBench) second = new_second_bench (bench);

  look = write_at (second, new_look (bench->left));
  bench->bench->now_ms = second->now_ms;
  bench_write (bench, new_repair (bench->left, RAKE_REPAIR_FILL, RAKE_ID_NIL));
  bench_write (bench, new_cut_of_left (bench, &upper, &lower));
  second->now_ms = bench->bench->now_ms;
  write_at (second, new_revisit (look, mark, RAKE_OUTCOME_GONE));
  meet (bench, second);
  assert_null (mark_in (bench, upper, mark)->closed_by);
}

/* The zone is cut and joined so often that there are 2^40 ways to what became of it. */
static void
work_finds_its_way_through_many_divisions (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RandomBench) second = new_second_bench (bench);
  RakeId before = bench->left, look, mark;

  for (int i = 0; i < 40; i++)
    {
      RakeEntry *join = new_zones (bench, RAKE_DIVISION_JOIN);
      RakeId upper, lower;

      bench_write (bench, new_cut_of_left (bench, &upper, &lower));
      bench->left = any_id ();
      g_array_append_val (join->zones.removed, upper);
      g_array_append_val (join->zones.removed, lower);
      add_zone (join, bench->left, "Left again", random_rectangle (0, 0, 150, 200));
      bench_write (bench, join);
    }
  second->now_ms = bench->bench->now_ms + 1000;
  write_at (second, new_pass (bench->stages[0], before));
  look = write_at (second, new_look (before));
  mark = write_at (second, new_mark (look, RAKE_MARK_SCRATCH, line_from (75, 90, 75, 110)));
  meet (bench, second);
  assert_int_equal (zone_of (bench, bench->left)->history->len, 1);
  assert_non_null (mark_in (bench, bench->left, mark));
}

/* --- undo ------------------------------------------------------------------------------------------------ */

static void
undo_takes_back_a_whole_gesture_newest_first (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RakeEntry) look = new_look (bench->left);
  g_autoptr (RakeEntry) mark = new_mark (look->id, RAKE_MARK_NIB, point_at (5, 5));
  RakeEntry *gesture[] = { look, mark };
  g_autofree char *before = random_log_shown (bench->bench->job), *after = NULL;
  g_autoptr (GPtrArray) plan = NULL;

  random_bench_write (bench->bench, gesture, 2);
  plan = rake_job_plan_undo (bench->bench->job, bench->bench->id);
  assert_int_equal (plan->len, 2);
  assert_true (rake_id_equal (((RakeEntry *) plan->pdata[0])->strike.entry, mark->id));
  assert_true (rake_id_equal (((RakeEntry *) plan->pdata[1])->strike.entry, look->id));
  assert_int_equal (((RakeEntry *) plan->pdata[0])->strike.why, RAKE_STRIKE_UNDO);
  assert_true (
      rake_id_equal (((RakeEntry *) plan->pdata[1])->gesture, ((RakeEntry *) plan->pdata[0])->id));
  assert_true (random_bench_undo (bench->bench));
  after = random_log_shown (bench->bench->job);
  assert_string_equal (before, after);
}

static void
a_new_gesture_ends_what_could_be_redone (void **state)
{
  g_autoptr (Bench) bench = bench_new ();

  bench_write (bench, new_look (bench->left));
  bench_write (bench, new_look (bench->right));
  assert_null (rake_job_plan_redo (bench->bench->job, bench->bench->id));
  assert_true (random_bench_undo (bench->bench));
  assert_true (random_bench_undo (bench->bench));
  assert_true (random_bench_redo (bench->bench));
  assert_int_equal (zone_of (bench, bench->left)->history->len, 1);
  bench_write (bench, new_note ("something else"));
  assert_false (random_bench_redo (bench->bench));
  assert_int_equal (zone_of (bench, bench->right)->history->len, 0);
}

static void
a_correction_can_be_undone_like_any_gesture (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));

  bench_write (bench, new_strike (look));
  assert_true (rake_job_is_struck (bench->bench->job, look));
  assert_true (random_bench_undo (bench->bench));
  assert_false (rake_job_is_struck (bench->bench->job, look));
  assert_true (random_bench_undo (bench->bench)); /* now the look */
  assert_true (rake_job_is_struck (bench->bench->job, look));
  assert_true (random_bench_redo (bench->bench));
  assert_true (random_bench_redo (bench->bench));
  assert_true (rake_job_is_struck (bench->bench->job, look));
}

static void
undo_leaves_the_other_bench_alone (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, cut = bench_write (bench, new_cut_of_left (bench, &upper, &lower));
  g_autoptr (RandomBench) second = new_second_bench (bench);
  RakeId look = write_at (second, new_look (upper));

  meet (bench, second);
  /* the other bench looked at what the cut made: nothing to undo rather than an argument */
  assert_null (rake_job_plan_undo (bench->bench->job, bench->bench->id));
  assert_true (random_bench_undo (second));
  random_bench_receive (bench->bench, (RakeEntry *const *) second->written->pdata + 1, 1);
  assert_true (rake_job_is_struck (bench->bench->job, look));
  assert_true (random_bench_undo (bench->bench));
  assert_true (rake_job_is_struck (bench->bench->job, cut));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (what_others_build_on_is_not_struck_out_first),
    cmocka_unit_test (a_strike_is_not_revived_into_what_came_after),
    cmocka_unit_test (a_note_stays_whatever_is_struck_out),
    cmocka_unit_test (two_cuts_of_one_zone_leave_the_earlier),
    cmocka_unit_test (work_on_a_zone_that_was_cut_meanwhile_is_kept),
    cmocka_unit_test (work_on_zones_that_were_joined_meanwhile_is_kept_once),
    cmocka_unit_test (news_from_before_a_repair_is_old_for_the_parts_too),
    cmocka_unit_test (work_finds_its_way_through_many_divisions),
    cmocka_unit_test (undo_takes_back_a_whole_gesture_newest_first),
    cmocka_unit_test (a_new_gesture_ends_what_could_be_redone),
    cmocka_unit_test (a_correction_can_be_undone_like_any_gesture),
    cmocka_unit_test (undo_leaves_the_other_bench_alone),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
