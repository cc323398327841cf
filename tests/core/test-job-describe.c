/* test-job-describe.c - an entry in one line, and what is usual for a finish. */
#include "job-support.h"

static void
assert_line (const Bench *bench, RakeId id, const char *expected)
{
  const RakeEntry *entry = rake_job_find_entry (bench->bench->job, id);
  g_autofree char *line = rake_job_describe_entry (bench->bench->job, entry);

  assert_string_equal (line, expected);
}

static RakeId
write_many_kinds (Bench *bench, RakeId *state, RakeId *reading, RakeId *wheel)
{
  RakeId look = bench_write (bench, new_look (bench->right));
  RakeEntry *entry = new_state (look, RAKE_STATE_LOW_SPOT);

  entry->state.low_spot_fraction = 0.3;
  *state = bench_write (bench, entry);
  entry = rake_entry_new (RAKE_ENTRY_READING);
  entry->reading.zone = bench->left;
  entry->reading.quantity = RAKE_QUANTITY_FILM_UM;
  entry->reading.value = 64.5;
  *reading = bench_write (bench, entry);
  entry = rake_entry_new (RAKE_ENTRY_WHEEL);
  entry->wheel.name = g_strdup ("Soft");
  *wheel = bench_write (bench, entry);
  return look;
}

static void
every_kind_is_told_in_a_line (void **state_unused)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId state, reading, wheel, look = write_many_kinds (bench, &state, &reading, &wheel);
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_SCRATCH, point_at (200, 10)));
  RakeId gone = bench_write (bench, new_revisit (look, mark, RAKE_OUTCOME_GONE));
  RakeId pass = bench_write (bench, new_pass (bench->stages[1], bench->left));
  RakeId repair = bench_write (bench, new_repair (bench->left, RAKE_REPAIR_DROP_FILL, RAKE_ID_NIL));
  RakeId note = bench_write (bench, new_note ("Two\nlines"));
  RakeEntry *entry = new_pass (bench->stages[3], bench->left), *acceptance;
  RakeId both, upper, lower, cut, begin, accepted;

  g_array_append_val (entry->pass.zones, bench->right);
  both = bench_write (bench, entry);
  entry = rake_entry_new (RAKE_ENTRY_BEGIN_STAGE);
  entry->begin_stage.face = bench->face;
  entry->begin_stage.stage = bench->stages[2];
  begin = bench_write (bench, entry);
  acceptance = rake_entry_new (RAKE_ENTRY_ACCEPTANCE);
  acceptance->acceptance.zone = bench->left;
  acceptance->acceptance.verdict = RAKE_VERDICT_STOP;
  acceptance->acceptance.reason = g_strdup ("under the hinge");
  accepted = bench_write (bench, acceptance);
  cut = bench_write (bench, new_cut_of_left (bench, &upper, &lower));

  assert_line (bench, bench->facts, "Facts of the job Mandola");
  assert_line (bench, bench->face, "Face Front");
  assert_line (bench, bench->schedule, "Schedule of Front: 4 stages");
  assert_line (bench, bench->division, "Front divided into 2 zones");
  assert_line (bench, look, "Look at Right");
  assert_line (bench, state, "Right: Low spot, 30 %");
  assert_line (bench, mark, "Scratch on Right");
  assert_line (bench, gone, "Scratch on Right is gone");
  assert_line (bench, pass, "Pass at P800 on Left");
  assert_line (bench, both, "Pass at fine on 2 zones");
  assert_line (bench, begin, "Front goes to P1500");
  assert_line (bench, repair, "Drop fill on Left");
  assert_line (bench, reading, "Film of 64.5 µm read on Left");
  assert_line (bench, wheel, "Wheel Soft");
  assert_line (bench, note, "Note: Two lines");
  assert_line (bench, accepted, "Left accepted against “Stop”");
  assert_line (bench, cut, "Left divided into 2 zones");
}

static void
strikes_say_what_they_strike_out (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left)), strike;

  strike = bench_write (bench, new_strike (look));
  assert_line (bench, strike, "Struck out: Look at Left");
  assert_true (random_bench_undo (bench->bench));
  assert_line (
      bench,
      ((RakeEntry *) g_ptr_array_index (bench->bench->written, bench->bench->written->len - 1))->id,
      "Undone: Struck out: Look at Left");
  assert_true (random_bench_redo (bench->bench));
  assert_line (
      bench,
      ((RakeEntry *) g_ptr_array_index (bench->bench->written, bench->bench->written->len - 1))->id,
      "Done again: Struck out: Look at Left");
}

/* Not yet written, of things that the job does not have, half filled in: still a line. */
static void
a_line_is_found_for_anything (void **state)
{
  g_autoptr (RakeJob) job = rake_job_new ();

  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      g_autoptr (RakeEntry) entry = rake_entry_new ((RakeEntryKind) kind);
      g_autofree char *line = rake_job_describe_entry (job, entry);

      assert_true (line != NULL && *line != '\0');
      assert_null (strstr (line, "(null)"));
    }
}

static void
a_job_goes_by_what_it_says_and_else_by_its_family (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeEntry *facts = rake_entry_new (RAKE_ENTRY_JOB);
  RakeJob *job = bench->bench->job;

  /* docs/judging.md, "Finish families": nitrocellulose lacquer, then oil varnish */
  assert_true (rake_job_get_cure_days (job) == 21 && rake_job_get_rest_days (job) == 7);
  assert_int_equal (rake_job_get_coats_fuse (job), RAKE_ANSWER_YES);
  facts->job.name = g_strdup ("Box");
  facts->job.finish = RAKE_FINISH_OIL_VARNISH;
  facts->job.cure_days = 45;
  bench_write (bench, facts);
  assert_true (rake_job_get_cure_days (job) == 45 && rake_job_get_rest_days (job) == 30);
  assert_int_equal (rake_job_get_coats_fuse (job), RAKE_ANSWER_NO);
}

static void
the_families_are_those_of_the_page (void **state)
{
  static const struct
  {
    RakeFinish finish;
    double cure_days, rest_days;
    RakeAnswer coats_fuse;
  } page[] = {
    { RAKE_FINISH_NITROCELLULOSE, 21, 7, RAKE_ANSWER_YES },
    { RAKE_FINISH_ACRYLIC_LACQUER, 14, 7, RAKE_ANSWER_YES },
    { RAKE_FINISH_SHELLAC, 14, 7, RAKE_ANSWER_YES },
    { RAKE_FINISH_WATERBORNE, 7, 2, RAKE_ANSWER_NO },
    { RAKE_FINISH_POLYURETHANE_2K, 5, 2, RAKE_ANSWER_NO },
    { RAKE_FINISH_POLYESTER, 3, 2, RAKE_ANSWER_NO },
    { RAKE_FINISH_OIL_VARNISH, 30, 30, RAKE_ANSWER_NO },
    { RAKE_FINISH_CONVERSION_VARNISH, 5, 2, RAKE_ANSWER_NO },
    { RAKE_FINISH_UV_CURED, 2, 2, RAKE_ANSWER_NO },
    { RAKE_FINISH_OTHER, 21, 7, RAKE_ANSWER_UNSAID },
    { RAKE_FINISH_UNSAID, 21, 7, RAKE_ANSWER_UNSAID },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (page); i++)
    {
      assert_true (rake_finish_get_cure_days (page[i].finish) == page[i].cure_days);
      assert_true (rake_finish_get_rest_days (page[i].finish) == page[i].rest_days);
      assert_int_equal (rake_finish_get_coats_fuse (page[i].finish), page[i].coats_fuse);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (every_kind_is_told_in_a_line),
    cmocka_unit_test (strikes_say_what_they_strike_out),
    cmocka_unit_test (a_line_is_found_for_anything),
    cmocka_unit_test (a_job_goes_by_what_it_says_and_else_by_its_family),
    cmocka_unit_test (the_families_are_those_of_the_page),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
