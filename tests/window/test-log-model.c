/* test-log-model.c - the logbook as a list: newest first, struck lines kept, what moved said. */
#include "bench-job.h"
#include "log-model.h"

#include <string.h>

typedef struct
{
  guint position, n_removed, n_added, n_times;
} Moved;

static void
note_move (GListModel *model, guint position, guint n_removed, guint n_added, Moved *moved)
{
  moved->position = position;
  moved->n_removed = n_removed;
  moved->n_added = n_added;
  moved->n_times++;
}

static guint
count (RakeLogModel *model)
{
  return g_list_model_get_n_items (G_LIST_MODEL (model));
}

static void
show (RakeLogModel *model, Bench *bench, RakeId zone)
{
  rake_log_model_show (model, rake_session_get_live_job (bench->session), zone);
}

static void
every_entry_is_a_line_newest_first (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeLogModel) model = rake_log_model_new ();

  assert_int_equal (count (model), 0);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  show (model, bench, RAKE_ID_NIL);
  assert_int_equal (count (model), bench_count_entries (bench));
  for (guint i = 0; i < count (model); i++)
    {
      g_autoptr (RakeLogItem) item = g_list_model_get_item (G_LIST_MODEL (model), i);
      assert_ptr_equal (rake_log_item_get_entry (item), bench_get_last (bench, i));
      assert_true (strlen (rake_log_item_get_text (item)) > 0);
      /* The bench's clock stands at 09:00 UTC of 2 March 2026, and tests run in UTC. */
      assert_non_null (strstr (rake_log_item_get_detail (item), "09:00"));
    }
  assert_null (g_list_model_get_item (G_LIST_MODEL (model), count (model)));
}

static void
a_new_line_moves_no_other (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeLogModel) model = rake_log_model_new ();
  Moved moved = { 0 };

  show (model, bench, RAKE_ID_NIL);
  g_signal_connect (model, "items-changed", G_CALLBACK (note_move), &moved);
  show (model, bench, RAKE_ID_NIL);
  assert_int_equal (moved.n_times, 0);
  assert_true (rake_session_note (bench->session, bench->left, "a note"));
  show (model, bench, RAKE_ID_NIL);
  assert_int_equal (moved.n_times, 1);
  assert_int_equal (moved.position, 0);
  assert_int_equal (moved.n_removed, 0);
  assert_int_equal (moved.n_added, 1);
}

static void
a_struck_line_stays_and_says_why (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeLogModel) model = rake_log_model_new ();
  Moved moved = { 0 };
  RakeId note;

  assert_true (rake_session_note (bench->session, bench->left, "a note"));
  note = bench_get_last (bench, 0)->id;
  assert_true (rake_session_note (bench->session, bench->left, "another"));
  show (model, bench, RAKE_ID_NIL);
  g_signal_connect (model, "items-changed", G_CALLBACK (note_move), &moved);
  assert_true (rake_session_strike (bench->session, note, "wrong zone"));
  show (model, bench, RAKE_ID_NIL);
  {
    g_autoptr (RakeLogItem) strike = g_list_model_get_item (G_LIST_MODEL (model), 0);
    g_autoptr (RakeLogItem) other = g_list_model_get_item (G_LIST_MODEL (model), 1);
    g_autoptr (RakeLogItem) struck = g_list_model_get_item (G_LIST_MODEL (model), 2);

    assert_false (rake_log_item_can_strike (strike));
    assert_true (rake_log_item_can_strike (other));
    assert_null (rake_log_item_get_strike (other));
    assert_true (rake_id_equal (rake_log_item_get_entry (struck)->id, note));
    assert_false (rake_log_item_can_strike (struck));
    assert_non_null (strstr (rake_log_item_get_strike (struck), "wrong zone"));
  }
  /* Lines below the struck one kept their place. */
  assert_int_equal (moved.n_times, 1);
  assert_int_equal (moved.position, 0);
  assert_int_equal (moved.n_removed, 2);
  assert_int_equal (moved.n_added, 3);
}

static void
undone_and_done_again_is_a_line_that_stands (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeLogModel) model = rake_log_model_new ();
  guint n_entries;

  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_undo (bench->session));
  assert_true (rake_session_redo (bench->session));
  show (model, bench, RAKE_ID_NIL);
  n_entries = count (model);
  for (guint i = 0; i < n_entries; i++)
    {
      g_autoptr (RakeLogItem) item = g_list_model_get_item (G_LIST_MODEL (model), i);
      if (rake_log_item_get_entry (item)->kind == RAKE_ENTRY_PASS)
        assert_null (rake_log_item_get_strike (item));
    }
}

/* Marks, states and revisits name only their look; a strike names what it struck. */
static void
a_zones_lines_are_all_that_concern_it (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeLogModel) model = rake_log_model_new ();
  g_autoptr (RakeShape) line = bench_new_line (10, 20, 40, 20);
  RakeId mark;
  guint n_kinds[RAKE_N_ENTRY_KINDS] = { 0 };

  bench_select (bench, bench->left);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, line)); /* look, mark */
  mark = bench_get_last (bench, 0)->id;
  assert_true (rake_session_note (bench->session, mark, "deep"));
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_revisit (bench->session, mark, RAKE_OUTCOME_GONE)); /* look, revisit */
  assert_true (rake_session_strike (bench->session, bench_get_last (bench, 0)->id, "too early"));
  bench_select (bench, bench->right);
  assert_true (rake_session_pass_done (bench->session)); /* the other zone's */
  assert_true (rake_session_note (bench->session, RAKE_ID_NIL, "about the job"));

  show (model, bench, bench->left);
  for (guint i = 0; i < count (model); i++)
    {
      g_autoptr (RakeLogItem) item = g_list_model_get_item (G_LIST_MODEL (model), i);
      n_kinds[rake_log_item_get_entry (item)->kind]++;
    }
  assert_int_equal (n_kinds[RAKE_ENTRY_LOOK], 2);
  assert_int_equal (n_kinds[RAKE_ENTRY_MARK], 1);
  assert_int_equal (n_kinds[RAKE_ENTRY_NOTE], 1);
  assert_int_equal (n_kinds[RAKE_ENTRY_PASS], 1);
  assert_int_equal (n_kinds[RAKE_ENTRY_REVISIT], 1);
  assert_int_equal (n_kinds[RAKE_ENTRY_STRIKE], 1);
  assert_int_equal (n_kinds[RAKE_ENTRY_ZONES], 1);
  assert_int_equal (n_kinds[RAKE_ENTRY_COAT], 1); /* of its face, so of its history */
  assert_int_equal (n_kinds[RAKE_ENTRY_JOB] + n_kinds[RAKE_ENTRY_SCHEDULE], 0);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown (every_entry_is_a_line_newest_first, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (a_new_line_moves_no_other, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (a_struck_line_stays_and_says_why, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (undone_and_done_again_is_a_line_that_stands, bench_set_up, bench_take_down),
    cmocka_unit_test_setup_teardown (a_zones_lines_are_all_that_concern_it, bench_set_up, bench_take_down),
  };

  g_setenv ("TZ", "UTC", TRUE);
  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
