/* test-defect-list.c - which defects are listed, in what order, and how their words are read. */
#include "bench-job.h"
#include "defect-list.h"

#include <math.h>
#include <string.h>

/* Three defects: a scratch in the right zone that is repaired, one without a place in the left zone, and
 * a dull spot in the middle that came first. */
typedef struct
{
  RakeId scratch, smell, dull;
} Three;

static RakeId
keep (Bench *bench, RakeId zone, RakeId mark, const char *what, const char *severity,
      RakeStanding standing)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_DEFECT);

  entry->defect.zone = zone;
  entry->defect.mark = mark;
  entry->defect.what = g_strdup (what);
  entry->defect.severity = g_strdup (severity);
  entry->defect.standing = standing;
  assert_true (rake_session_append (bench->session, &entry, 1));
  return entry->id;
}

static RakeId
mark (Bench *bench, RakeMarkKind kind, RakeShape *shape)
{
  g_autoptr (RakeShape) owned = shape;

  assert_true (rake_session_mark (bench->session, kind, owned));
  return bench_get_last (bench, 0)->id;
}

static Three
keep_three (Bench *bench)
{
  Three three;
  RakeId dull = mark (bench, RAKE_MARK_DULL_SPOT, bench_new_patch (95, 60, 5)), scratch;

  bench_let_time_pass (3600);
  scratch = mark (bench, RAKE_MARK_SCRATCH, bench_new_line (150, 20, 180, 60));
  bench_let_time_pass (3600);
  three.scratch =
      keep (bench, bench->right, scratch, NULL, rake_severity_words[0], RAKE_STANDING_REPAIRED);
  three.smell =
      keep (bench, bench->left, RAKE_ID_NIL, "smells of solvent", NULL, RAKE_STANDING_OPEN);
  three.dull = keep (bench, bench->middle, dull, NULL, rake_severity_words[3], RAKE_STANDING_OPEN);
  return three;
}

static void
assert_chosen (Bench *bench, RakeDefectsWanted wanted, const RakeId *expected, guint n_expected)
{
  g_autoptr (GPtrArray) chosen =
      rake_defects_choose (rake_session_get_live_job (bench->session), &wanted);

  assert_int_equal (chosen->len, n_expected);
  for (guint i = 0; i < n_expected; i++)
    if (!rake_id_equal (((RakeDefect *) chosen->pdata[i])->id, expected[i]))
      fail_msg ("%u: %s", i, ((RakeDefect *) chosen->pdata[i])->what);
}

static void
the_filter_keeps_what_is_wanted (void **state)
{
  Bench *bench = *state;
  Three three = keep_three (bench);
  RakeDefectsWanted open = { .standing = RAKE_DEFECTS_OPEN, .order = RAKE_DEFECTS_BY_PLACE };
  RakeDefectsWanted closed = { .standing = RAKE_DEFECTS_CLOSED };
  RakeDefectsWanted worst = { .severity = rake_severity_words[3] };
  RakeDefectsWanted unsaid = { .severity = "" };
  RakeDefectsWanted elsewhere = { .face = bench->left };
  RakeDefectsWanted here = { .face = bench->face, .standing = RAKE_DEFECTS_CLOSED };

  assert_chosen (bench, open, (RakeId[]){ three.smell, three.dull }, 2);
  assert_chosen (bench, closed, &three.scratch, 1);
  assert_chosen (bench, worst, &three.dull, 1);
  assert_chosen (bench, unsaid, &three.smell, 1);
  assert_chosen (bench, elsewhere, NULL, 0);
  assert_chosen (bench, here, &three.scratch, 1);
}

static void
the_order_is_by_finding_severity_or_place (void **state)
{
  Bench *bench = *state;
  Three three = keep_three (bench);
  RakeDefectsWanted wanted = { .order = RAKE_DEFECTS_BY_FOUND };

  /* the one without a mark was found when it was told, after the marks */
  assert_chosen (bench, wanted, (RakeId[]){ three.smell, three.scratch, three.dull }, 3);
  wanted.order = RAKE_DEFECTS_BY_SEVERITY;
  assert_chosen (bench, wanted, (RakeId[]){ three.dull, three.scratch, three.smell }, 3);
  wanted.order = RAKE_DEFECTS_BY_PLACE; /* the zones lie from left to right */
  assert_chosen (bench, wanted, (RakeId[]){ three.smell, three.dull, three.scratch }, 3);
}

static void
severities_are_offered_once_the_worst_first (void **state)
{
  Bench *bench = *state;
  g_autoptr (GPtrArray) said = NULL;

  keep_three (bench);
  keep (bench, bench->left, RAKE_ID_NIL, "a dent", "Felt with a nail.", RAKE_STANDING_OPEN);
  keep (bench, bench->left, RAKE_ID_NIL, "a dent", rake_severity_words[3], RAKE_STANDING_OPEN);
  said = rake_defects_list_severities (rake_session_get_live_job (bench->session));
  assert_int_equal (said->len, 4);
  assert_string_equal (said->pdata[0], rake_severity_words[3]);
  assert_string_equal (said->pdata[1], rake_severity_words[0]);
  assert_string_equal (said->pdata[2], "Felt with a nail.");
  assert_string_equal (said->pdata[3], "");
}

static void
a_mark_is_kept_once (void **state)
{
  Bench *bench = *state;
  RakeId scratch = mark (bench, RAKE_MARK_SCRATCH, bench_new_line (150, 20, 180, 60)), kept;
  const RakeJob *job = rake_session_get_live_job (bench->session);
  g_autoptr (GPtrArray) right = NULL, left = NULL;

  assert_true (rake_id_is_nil (rake_defects_find_of_mark (job, scratch)));
  kept = keep (bench, bench->right, scratch, NULL, NULL, RAKE_STANDING_OPEN);
  assert_true (rake_id_equal (rake_defects_find_of_mark (job, scratch), kept));
  right = rake_defects_list_of_zone (job, bench_get_zone (bench, bench->right));
  left = rake_defects_list_of_zone (job, bench_get_zone (bench, bench->left));
  assert_int_equal (right->len, 1);
  assert_int_equal (left->len, 0);
}

static void
a_place_is_told_in_millimetres_from_the_edge (void **state)
{
  Bench *bench = *state;
  RakeId scratch = mark (bench, RAKE_MARK_SCRATCH, bench_new_line (150, 20, 180, 60));
  g_autoptr (RakeDefect) defect = NULL;
  g_autofree char *place = NULL, *size = NULL, *found = NULL;

  keep (bench, bench->right, scratch, NULL, NULL, RAKE_STANDING_OPEN);
  defect = rake_job_find_defect (rake_session_get_live_job (bench->session),
                                 bench_get_last (bench, 0)->id);
  place = rake_say_place (defect);
  size = rake_say_size (defect);
  found =
      rake_say_found (rake_session_get_live_job (bench->session), defect, rake_session_now_ms ());
  /* by hand: 200 × 120 mm; the ends are 20 mm from the right and from the upper or lower edge; 30-40-50 */
  assert_string_equal (place, "Top, Right; 20\302\240mm from the edge");
  assert_string_equal (size, "50\302\240mm long");
  assert_non_null (strstr (found, "at P800"));
}

static void
a_cost_is_read_as_people_write_it (void **state)
{
  static const struct
  {
    const char *text, *usual, *currency;
    double cost;
  } cases[] = {
    { "95 EUR", NULL, "EUR", 95 },         { " 12,50 eur ", NULL, "EUR", 12.5 },
    { "CHF 0.5", "EUR", "CHF", 0.5 },      { "7", "SEK", "SEK", 7 },
    { "", "EUR", NULL, NAN },              { "7", NULL, NULL, -1 },
    { "EUR", "EUR", NULL, -1 },            { "1.000,50 EUR", "EUR", NULL, -1 },
    { "-3 EUR", NULL, NULL, -1 },          { "nan EUR", NULL, NULL, -1 },
    { "1e300 EUR", NULL, NULL, -1 },       { "5 EURO", NULL, NULL, -1 },
    { "0x10 EUR", NULL, NULL, -1 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *currency = NULL, *sentence = NULL;
      double cost = 0;
      gboolean is_read =
          rake_read_cost (cases[i].text, cases[i].usual, &cost, &currency, &sentence);

      if (is_read != !(cases[i].cost < 0) || is_read != (sentence == NULL) ||
          g_strcmp0 (currency, cases[i].currency) != 0 ||
          (cases[i].currency && fabs (cost - cases[i].cost) > 1e-9))
        fail_msg ("“%s”: %g %s, %s", cases[i].text, cost, currency, sentence);
    }
}

static void
closed_work_is_refused_in_one_sentence (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeEntry) hand_over = rake_entry_new (RAKE_ENTRY_HAND_OVER);

  assert_true (rake_session_check_work (bench->session));
  assert_true (rake_session_append (bench->session, &hand_over, 1));
  bench_forget_messages (bench);
  assert_false (rake_session_check_work (bench->session));
  assert_non_null (strstr (bench_get_message (bench), "handed over"));
  /* looking goes on */
  mark (bench, RAKE_MARK_SCRATCH, bench_new_line (150, 20, 180, 60));
}

#define BENCH_TEST(test) cmocka_unit_test_setup_teardown (test, bench_set_up, bench_take_down)

int
main (void)
{
  const struct CMUnitTest tests[] = {
    BENCH_TEST (the_filter_keeps_what_is_wanted),
    BENCH_TEST (the_order_is_by_finding_severity_or_place),
    BENCH_TEST (severities_are_offered_once_the_worst_first),
    BENCH_TEST (a_mark_is_kept_once),
    BENCH_TEST (a_place_is_told_in_millimetres_from_the_edge),
    BENCH_TEST (a_cost_is_read_as_people_write_it),
    BENCH_TEST (closed_work_is_refused_in_one_sentence),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
