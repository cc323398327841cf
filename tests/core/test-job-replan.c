/* test-job-replan.c - a schedule made anew keeps what was worked, and the ids by which it is known. */
#include "job-support.h"

#include <rakelight/schedule.h>

static char *
replan (const Bench *bench, const char *const *grades, RakeBuffing buffing)
{
  const RakeFace *face = rake_job_get_face (bench->bench->job, 0);
  g_autoptr (RakeEntry) entry = rake_schedule_new_from_grades (face, grades, buffing);
  g_autoptr (GError) error = NULL;

  if (!rake_entry_check (entry, &error))
    fail_msg ("%s", error->message);
  return rake_schedule_to_text (entry->schedule.stages);
}

/* The bench's schedule: level P400, level P800, refine P1500, buff fine. */
static void
nothing_worked_is_planned_from_the_start (void **state)
{
  static const char *const grades[] = { "P1000", "P1500", NULL };
  g_autoptr (Bench) bench = bench_new ();
  g_autofree char *text = replan (bench, grades, RAKE_BUFFING_WHEEL);

  assert_string_equal (text, "level P1000, refine P1500, last look, buff fine, rest");
}

static void
what_was_worked_stays (void **state)
{
  static const char *const grades[] = { "P1200", "P2000", NULL };
  g_autoptr (Bench) bench = bench_new ();
  g_autofree char *text = NULL;

  write_script_step (bench, "b1");
  write_script_step (bench, "p1l");
  text = replan (bench, grades, RAKE_BUFFING_HAND);
  assert_string_equal (
      text, "level P400, level P800, refine P1200, refine P2000, last look, buff fine, rest");
}

static void
a_stage_planned_again_keeps_its_id (void **state)
{
  static const char *const grades[] = { "P800", "P1500", NULL };
  g_autoptr (Bench) bench = bench_new ();
  const RakeFace *face = rake_job_get_face (bench->bench->job, 0);
  g_autoptr (RakeEntry) entry = rake_schedule_new_from_grades (face, grades, RAKE_BUFFING_WHEEL);
  const RakeStageSpec *stages = (const RakeStageSpec *) (gpointer) entry->schedule.stages->data;

  assert_true (rake_id_equal (stages[0].id, bench->stages[1]));
  assert_true (rake_id_equal (stages[1].id, bench->stages[2]));
  assert_true (rake_id_equal (stages[3].id, bench->stages[3]));
  bench_write (bench, g_steal_pointer (&entry));
  assert_int_equal (rake_job_get_face (bench->bench->job, 0)->stages->len, 5);
}

static void
satin_is_not_buffed (void **state)
{
  static const char *const grades[] = { "P1000", NULL };
  g_autoptr (Bench) bench = bench_new ();
  g_autofree char *text = replan (bench, grades, RAKE_BUFFING_NONE);

  assert_string_equal (text, "level P1000, last look, rest");
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (nothing_worked_is_planned_from_the_start),
    cmocka_unit_test (what_was_worked_stays),
    cmocka_unit_test (a_stage_planned_again_keeps_its_id),
    cmocka_unit_test (satin_is_not_buffed),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
