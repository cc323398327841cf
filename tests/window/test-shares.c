/* test-shares.c - the share still glossy after each pass is what proper looks said.
 *
 * Expected values follow docs/judging.md, "Looks". */
#include "bench-job.h"

#include <math.h>

static void
set_look (Bench *bench, RakeSurface surface, RakeWipe wiped_with)
{
  RakeBench set = *rake_session_get_bench (bench->session);

  set.surface = surface;
  set.wiped_with = wiped_with;
  set.light = RAKE_LIGHT_LAMP;
  set.lamp_deg = 90;
  rake_session_set_bench (bench->session, &set);
}

static void
set_dry (Bench *bench)
{
  set_look (bench, RAKE_SURFACE_DRY, RAKE_WIPE_DRY_CLOTH);
}

static void
make_pass (Bench *bench)
{
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
}

static void
say_share (Bench *bench, double fraction, double island_mm)
{
  assert_true (rake_session_say_state (bench->session, bench->left, RAKE_STATE_LOW_SPOT, fraction,
                                       island_mm));
}

static GArray *
take (Bench *bench)
{
  return rake_facts_take_shares (rake_session_get_job (bench->session),
                                 bench_get_zone (bench, bench->left),
                                 rake_rules_get_limits (bench->rules));
}

static void
assert_share (GArray *history, guint index, double expected)
{
  const RakeShareTold *record;

  assert_true (index < history->len);
  record = &g_array_index (history, RakeShareTold, index);
  if (isnan (expected) ? !isnan (record->low_spot_fraction)
                       : !(fabs (record->low_spot_fraction - expected) < 0.002))
    fail_msg ("record %u: share %.4f, expected %.4f", index, record->low_spot_fraction, expected);
}

static void
said_shares_follow_their_passes (void **state)
{
  Bench *bench = *state;
  g_autoptr (GArray) history = NULL;

  set_dry (bench);
  say_share (bench, 0.48, 20);
  make_pass (bench);
  say_share (bench, 0.31, 14);
  make_pass (bench); /* nobody looked */
  make_pass (bench);
  say_share (bench, 0.2, 9);
  say_share (bench, 0.14, 8); /* thought better of it */
  make_pass (bench);
  assert_true (rake_session_all_even (bench->session));
  history = take (bench);
  assert_int_equal (history->len, 5);
  assert_null (g_array_index (history, RakeShareTold, 0).pass);
  assert_share (history, 0, 0.48);
  assert_share (history, 1, 0.31);
  assert_share (history, 2, NAN);
  assert_share (history, 3, 0.14);
  assert_share (history, 4, 0);
  assert_true (fabs (g_array_index (history, RakeShareTold, 3).largest_island_mm - 8) < 0.01);
}

static void
poor_looks_say_nothing (void **state)
{
  static const struct
  {
    const char *what;
    RakeSurface surface;
    RakeWipe wiped_with;
  } cases[] = {
    { "wet",       RAKE_SURFACE_WET,   RAKE_WIPE_DRY_CLOTH },
    { "dusty",     RAKE_SURFACE_DUSTY, RAKE_WIPE_DRY_CLOTH },
    { "not wiped", RAKE_SURFACE_DRY,   RAKE_WIPE_NOTHING },
  };
  Bench *bench = *state;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GArray) history = NULL;

      make_pass (bench);
      set_look (bench, cases[i].surface, cases[i].wiped_with);
      say_share (bench, 0.1, 3);
      history = take (bench);
      if (!isnan (g_array_index (history, RakeShareTold, i + 1).low_spot_fraction))
        fail_msg ("a look that was %s counted", cases[i].what);
    }
}

/* The zone is 60 by 120 mm. A patch of radius 20 mm well inside: 1256.6 of 7200 mm²; discs are drawn
 * with straight edges, so a little less. */
static void
painted_patches_count_with_their_area (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) patch = bench_new_patch (30, 60, 20);
  g_autoptr (RakeShape) again = bench_new_patch (30, 62, 20);
  g_autoptr (GArray) history = NULL;

  set_dry (bench);
  make_pass (bench);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_LOW_SPOT, patch));
  history = take (bench);
  assert_share (history, 1, G_PI * 400 / 7200);
  assert_true (fabs (g_array_index (history, RakeShareTold, 1).largest_island_mm - 40) < 0.5);

  /* Painted over: the union, not the sum. */
  assert_true (rake_session_mark (bench->session, RAKE_MARK_LOW_SPOT, again));
  g_array_unref (history);
  history = take (bench);
  assert_true (g_array_index (history, RakeShareTold, 1).low_spot_fraction < 0.2);

  /* Said larger than painted: the larger holds. */
  say_share (bench, 0.5, NAN);
  g_array_unref (history);
  history = take (bench);
  assert_share (history, 1, 0.5);
}

static void
low_spots_said_without_share_or_place_are_the_whole_zone (void **state)
{
  Bench *bench = *state;
  g_autoptr (GArray) history = NULL;

  set_dry (bench);
  make_pass (bench);
  say_share (bench, NAN, NAN);
  history = take (bench);
  assert_share (history, 1, 1);
}

static void
the_last_is_what_the_facts_say (void **state)
{
  Bench *bench = *state;
  g_autoptr (GArray) history = NULL;
  const RakeFacts *facts;

  set_dry (bench);
  make_pass (bench);
  say_share (bench, 0.3, 5);
  history = take (bench);
  facts = &rake_session_get_judgement (bench->session, bench_get_zone (bench, bench->left))->facts;
  assert_int_equal (facts->knowledge[RAKE_FACT_LOW_SPOT_FRACTION], RAKE_KNOWN);
  assert_share (history, history->len - 1, facts->value[RAKE_FACT_LOW_SPOT_FRACTION]);
}

/* A look that marks a scratch and no low spot has seen no low spot. */
static void
what_a_look_does_not_mention_was_not_seen (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) line = bench_new_line (10, 20, 40, 20);
  g_autoptr (RakeShape) point = rake_shape_new_point (20, 60, NULL);
  g_autoptr (GArray) history = NULL;

  set_dry (bench);
  make_pass (bench);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_NIB, point)); /* says nothing of it */
  history = take (bench);
  assert_share (history, 1, NAN);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, line));
  g_array_unref (history);
  history = take (bench);
  assert_share (history, 1, 0);
}

static void
a_new_coat_begins_the_history_anew (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeEntry) coat = rake_entry_new (RAKE_ENTRY_COAT);
  g_autoptr (GArray) history = NULL;

  set_dry (bench);
  make_pass (bench);
  say_share (bench, 0.3, 5);
  coat->coat.face = bench->face;
  assert_true (rake_session_append (bench->session, &coat, 1));
  history = take (bench);
  assert_int_equal (history->len, 1);
  assert_share (history, 0, NAN);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown (said_shares_follow_their_passes, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (poor_looks_say_nothing, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (painted_patches_count_with_their_area, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (low_spots_said_without_share_or_place_are_the_whole_zone, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (what_a_look_does_not_mention_was_not_seen, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (the_last_is_what_the_facts_say, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (a_new_coat_begins_the_history_anew, bench_set_up, bench_take_down),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
