/* test-session-wheel.c - which wheel a pass takes: asked once a compound, refused where the trade's D29
 * refuses it, and remembered over a restart because the log says so. */
#include "bench-job.h"

#include <string.h>

static RakeId
add_wheel (Bench *bench, const char *name, const char *compound)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_WHEEL);

  entry->wheel.name = g_strdup (name);
  entry->wheel.compound = g_strdup (compound);
  entry->wheel.carried_other = RAKE_ANSWER_NO;
  entry->wheel.work = RAKE_WHEEL_WORK_NEW;
  assert_true (rake_session_append (bench->session, &entry, 1));
  return entry->id;
}

static const RakeStage *
stand_at_buffing (Bench *bench)
{
  assert_true (rake_session_begin_stage (bench->session, bench->stages[3], NULL, NULL));
  bench_select (bench, bench->left);
  return rake_job_find_stage (rake_session_get_job (bench->session), bench->stages[3]);
}

static const RakeStage *
get_stage (Bench *bench)
{
  return rake_job_find_stage (rake_session_get_job (bench->session), bench->stages[3]);
}

static void
without_wheels_nothing_is_asked (void **state)
{
  Bench *bench = *state;

  stand_at_buffing (bench);
  assert_null (rake_session_find_stage_to_ask (bench->session));
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_id_is_nil (bench_get_last (bench, 0)->pass.wheel));
}

static void
the_wheel_is_asked_once_and_goes_with_every_pass (void **state)
{
  Bench *bench = *state;
  RakeId wheel = add_wheel (bench, "Left wheel", "cut"), told;
  const RakeStage *stage = stand_at_buffing (bench);

  assert_false (rake_session_get_wheel (bench->session, stage, &told));
  assert_ptr_equal (rake_session_find_stage_to_ask (bench->session), stage);
  assert_false (rake_session_pass_done (bench->session));
  assert_non_null (strstr (bench_get_message (bench), "which wheel"));
  rake_session_choose_wheel (bench->session, stage, wheel);
  assert_null (rake_session_find_stage_to_ask (bench->session));
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_id_equal (bench_get_last (bench, 0)->pass.wheel, wheel));
  bench_close (bench);
  bench_reopen (bench);
  bench_select (bench, bench->middle);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_id_equal (bench_get_last (bench, 0)->pass.wheel, wheel));
}

static void
that_there_is_none_is_remembered_too (void **state)
{
  Bench *bench = *state;
  const RakeStage *stage;
  RakeId told;

  add_wheel (bench, "Left wheel", "cut");
  stage = stand_at_buffing (bench);
  rake_session_choose_wheel (bench->session, stage, RAKE_ID_NIL);
  assert_true (rake_session_pass_done (bench->session));
  bench_close (bench);
  bench_reopen (bench);
  assert_true (rake_session_get_wheel (bench->session, get_stage (bench), &told));
  assert_true (rake_id_is_nil (told));
}

static void
another_compound_is_refused_until_the_wheel_is_stripped (void **state)
{
  Bench *bench = *state;
  RakeId wheel = add_wheel (bench, "Left wheel", "fine");
  guint n_entries;

  rake_session_choose_wheel (bench->session, stand_at_buffing (bench), wheel);
  assert_non_null (rake_session_find_stage_to_ask (bench->session));
  n_entries = bench_count_entries (bench);
  assert_false (rake_session_pass_done (bench->session));
  assert_non_null (strstr (bench_get_message (bench), "carries fine"));
  assert_int_equal (bench_count_entries (bench), n_entries);
  assert_true (rake_session_note_wheel_work (bench->session, wheel, RAKE_WHEEL_WORK_STRIPPED));
  assert_int_equal (bench_get_last (bench, 0)->wheel.work, RAKE_WHEEL_WORK_STRIPPED);
  assert_null (rake_session_find_stage_to_ask (bench->session));
  assert_true (rake_session_pass_done (bench->session));
}

static void
wheels_looked_over_go_with_the_stage (void **state)
{
  Bench *bench = *state;
  RakeId wheel = add_wheel (bench, "Left wheel", "cut");
  g_autoptr (GArray) looked_over = g_array_new (FALSE, FALSE, sizeof (RakeId));
  const RakeEntry *check;

  g_array_append_val (looked_over, wheel);
  assert_true (rake_session_begin_stage (bench->session, bench->stages[3], NULL, looked_over));
  check = bench_get_last (bench, 0);
  assert_int_equal (check->kind, RAKE_ENTRY_WHEEL);
  assert_int_equal (check->wheel.work, RAKE_WHEEL_WORK_CHECKED);
  assert_string_equal (check->wheel.name, "Left wheel");
  assert_true (rake_id_equal (check->wheel.wheel, wheel));
  assert_true (rake_id_equal (check->gesture, bench_get_last (bench, 1)->id));
}

#define TEST(claim) cmocka_unit_test_setup_teardown (claim, bench_set_up, bench_take_down)

int
main (void)
{
  const struct CMUnitTest tests[] = {
    TEST (without_wheels_nothing_is_asked),
    TEST (the_wheel_is_asked_once_and_goes_with_every_pass),
    TEST (that_there_is_none_is_remembered_too),
    TEST (another_compound_is_refused_until_the_wheel_is_stripped),
    TEST (wheels_looked_over_go_with_the_stage),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
