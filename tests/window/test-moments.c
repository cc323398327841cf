/* test-moments.c - a logbook becomes a row of moments: one a gesture, gathered where room is short. */
#include "bench-job.h"
#include "moments.h"

#include <math.h>

static const RakeMoment *
get_last (GArray *moments)
{
  assert_true (moments->len > 0);
  return &g_array_index (moments, RakeMoment, moments->len - 1);
}

static GArray *
take (Bench *bench)
{
  return rake_moments_take (rake_session_get_live_job (bench->session));
}

/* The kinds of gesture that session.h knows, and what each is mainly about. */
static void
each_gesture_is_one_moment_of_its_kind (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) line = bench_new_line (10, 20, 40, 20);
  g_autoptr (RakeEntry) repair = rake_entry_new (RAKE_ENTRY_REPAIR);
  g_autoptr (GArray) made = take (bench);

  assert_int_equal (made->len, 1);
  assert_int_equal (get_last (made)->kind, RAKE_MOMENT_COAT); /* the heaviest of a new job */

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  {
    g_autoptr (GArray) moments = take (bench);
    assert_int_equal (moments->len, 2);
    assert_int_equal (get_last (moments)->kind, RAKE_MOMENT_PASS);
  }
  assert_true (rake_session_all_even (bench->session)); /* a look and a state */
  {
    g_autoptr (GArray) moments = take (bench);
    assert_int_equal (moments->len, 3);
    assert_int_equal (get_last (moments)->kind, RAKE_MOMENT_LOOK);
    assert_int_equal (get_last (moments)->entry->kind, RAKE_ENTRY_STATE);
    assert_int_equal (get_last (moments)->n_entries, bench_count_entries (bench));
  }
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, line));
  repair->repair.zone = bench->left;
  repair->repair.method = RAKE_REPAIR_LEVELLED;
  assert_true (rake_session_append (bench->session, &repair, 1));
  assert_true (rake_session_note (bench->session, bench->left, "near the seam"));
  {
    g_autoptr (GArray) moments = take (bench);
    assert_int_equal (moments->len, 6);
    assert_int_equal (g_array_index (moments, RakeMoment, 3).kind, RAKE_MOMENT_MARK);
    assert_int_equal (g_array_index (moments, RakeMoment, 4).kind, RAKE_MOMENT_REPAIR);
    assert_int_equal (g_array_index (moments, RakeMoment, 5).kind, RAKE_MOMENT_OTHER);
  }
}

static void
what_was_undone_stays_as_a_struck_moment (void **state)
{
  Bench *bench = *state;
  g_autoptr (GArray) moments = NULL;

  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_undo (bench->session));
  moments = take (bench);
  assert_int_equal (moments->len, 3);
  assert_int_equal (g_array_index (moments, RakeMoment, 1).kind, RAKE_MOMENT_PASS);
  assert_true (g_array_index (moments, RakeMoment, 1).is_struck);
  assert_false (g_array_index (moments, RakeMoment, 2).is_struck); /* the undoing itself */
}

/* n_entries of made-up moments: 1, 3, 6, 10. */
static GArray *
new_moments (guint n_moments, const RakeMomentKind *kinds, guint n_kinds)
{
  GArray *moments = g_array_new (FALSE, FALSE, sizeof (RakeMoment));

  for (guint i = 0, n_entries = 0; i < n_moments; i++)
    {
      RakeMoment moment = { NULL, n_entries += i + 1, kinds[i % n_kinds], FALSE };
      g_array_append_val (moments, moment);
    }
  return moments;
}

static void
the_moment_within_so_many_entries_is_found (void **state)
{
  static const RakeMomentKind kinds[] = { RAKE_MOMENT_PASS };
  static const struct
  {
    guint n_entries, found;
  } cases[] = { { 0, 0 }, { 1, 0 }, { 2, 0 }, { 3, 1 }, { 5, 1 }, { 6, 2 }, { 9, 2 }, { 10, 3 }, { 99, 3 } };
  g_autoptr (GArray) moments = new_moments (4, kinds, 1);

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    if (rake_moments_find (moments, cases[i].n_entries) != cases[i].found)
      fail_msg ("%u entries: moment %u, expected %u", cases[i].n_entries,
                rake_moments_find (moments, cases[i].n_entries), cases[i].found);
}

static void
few_moments_stand_apart_and_are_found_again (void **state)
{
  static const RakeMomentKind kinds[] = { RAKE_MOMENT_PASS, RAKE_MOMENT_LOOK };
  g_autoptr (GArray) moments = new_moments (12, kinds, 2);
  g_autoptr (GArray) clusters = rake_moments_lay_out (moments, 14, 900, 9, 54);

  assert_int_equal (clusters->len, 12);
  for (guint i = 0; i < clusters->len; i++)
    {
      double x_px = rake_moments_get_x (moments, 14, 900, 54, i);
      assert_true (fabs (x_px - (14 + 54.0 * i)) < 0.001);
      assert_true (fabs (g_array_index (clusters, RakeCluster, i).x_px - x_px) < 0.001);
      assert_int_equal (rake_moments_find_at (moments, 14, 900, 54, x_px + 20), i);
    }
  assert_int_equal (rake_moments_find_at (moments, 14, 900, 54, -500), 0);
  assert_int_equal (rake_moments_find_at (moments, 14, 900, 54, 5000), 11);
}

/* 20 000 moments on 900 px: no more signs than there is room for, none lost, the heaviest seen. */
static void
many_moments_are_gathered_and_none_is_lost (void **state)
{
  static const RakeMomentKind kinds[] = { RAKE_MOMENT_PASS, RAKE_MOMENT_LOOK, RAKE_MOMENT_OTHER };
  g_autoptr (GArray) moments = new_moments (20000, kinds, 3);
  g_autoptr (GArray) clusters = NULL;
  guint n_moments = 0, n_repairs = 0;
  double before_px = -1;

  g_array_index (moments, RakeMoment, 12345).kind = RAKE_MOMENT_REPAIR;
  clusters = rake_moments_lay_out (moments, 14, 900, 9, 54);
  assert_true (clusters->len <= 900 / 9 + 1);
  for (guint i = 0; i < clusters->len; i++)
    {
      const RakeCluster *cluster = &g_array_index (clusters, RakeCluster, i);
      assert_int_equal (cluster->first, n_moments);
      assert_true (cluster->x_px > before_px);
      before_px = cluster->x_px;
      n_moments += cluster->n_moments;
      n_repairs += cluster->kind == RAKE_MOMENT_REPAIR;
      if (cluster->kind == RAKE_MOMENT_REPAIR)
        assert_true (cluster->first <= 12345 && 12345 < cluster->first + cluster->n_moments);
    }
  assert_int_equal (n_moments, 20000);
  assert_int_equal (n_repairs, 1);
}

static void
what_stands_outweighs_what_was_struck_out (void **state)
{
  static const RakeMomentKind kinds[] = { RAKE_MOMENT_REPAIR, RAKE_MOMENT_LOOK };
  g_autoptr (GArray) moments = new_moments (100, kinds, 2);
  g_autoptr (GArray) clusters = NULL;

  for (guint i = 0; i < moments->len; i += 2)
    g_array_index (moments, RakeMoment, i).is_struck = TRUE;
  clusters = rake_moments_lay_out (moments, 0, 90, 9, 54);
  for (guint i = 0; i < clusters->len; i++)
    {
      const RakeCluster *cluster = &g_array_index (clusters, RakeCluster, i);
      if (cluster->n_moments < 2)
        continue;
      assert_int_equal (cluster->kind, RAKE_MOMENT_LOOK);
      assert_false (cluster->is_struck);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown (each_gesture_is_one_moment_of_its_kind, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (what_was_undone_stays_as_a_struck_moment, bench_set_up, bench_take_down),
    cmocka_unit_test (the_moment_within_so_many_entries_is_found),
    cmocka_unit_test (few_moments_stand_apart_and_are_found_again),
    cmocka_unit_test (many_moments_are_gathered_and_none_is_lost),
    cmocka_unit_test (what_stands_outweighs_what_was_struck_out),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
