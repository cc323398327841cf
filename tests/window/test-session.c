/* test-session.c - what the finisher does becomes entries, once, together, or not at all.
 *
 * Verdicts are those that docs/judging.md and the rules give; their judging is tested in the core. */
#include "bench-job.h"
#include "session-private.h"

#include <glib/gstdio.h>
#include <math.h>
#include <signal.h>
#include <sqlite3.h>
#include <string.h>
#include <sys/resource.h>

static void
assert_says (Bench *bench, const char *part)
{
  if (!strstr (bench_get_message (bench), part))
    fail_msg ("the session said \"%s\", expected something with \"%s\"", bench_get_message (bench),
              part);
}

static void
set_lamp (Bench *bench, double lamp_deg)
{
  RakeBench set = *rake_session_get_bench (bench->session);

  set.lamp_deg = lamp_deg;
  rake_session_set_bench (bench->session, &set);
}

/* One pass and a dry look that found all even: ready by any rule for a level stage. */
static void
make_ready (Bench *bench, RakeId zone)
{
  bench_select (bench, zone);
  bench_set_dry (bench);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_all_even (bench->session));
  assert_int_equal (bench_get_verdict (bench, zone), RAKE_VERDICT_READY);
}

/* --- opening --------------------------------------------------------------------------------- */

static void
a_new_job_records_the_rules_it_is_judged_by (void **state)
{
  Bench *bench = *state;
  const RakeRulesBody *recorded = rake_job_find_rules (rake_session_get_job (bench->session));

  assert_non_null (recorded);
  assert_non_null (strstr (recorded->text, "verdict"));
  assert_string_equal (rake_session_get_face (bench->session)->name, "Top");
}

static void
what_cannot_be_created_leaves_no_file (void **state)
{
  Bench *bench = *state;
  g_autofree char *path = g_build_filename (bench->folder, "other.rakejob", NULL);
  g_autoptr (RakeEntry) unsaid = rake_entry_new (RAKE_ENTRY_JOB); /* without its required name */
  g_autoptr (GError) error = NULL;

  assert_null (rake_session_create (path, bench->rules, &unsaid, 1, &error));
  assert_non_null (error);
  assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
}

static void
an_open_job_begins_with_the_suggested_zone_selected (void **state)
{
  Bench *bench = *state;
  const RakeGate *gate;

  make_ready (bench, bench->left);
  bench_reopen (bench);
  gate = rake_session_get_gate (bench->session, rake_session_get_face (bench->session));
  assert_non_null (gate->suggested);
  assert_true (rake_id_equal (rake_session_get_zone (bench->session)->id, gate->suggested->id));
  assert_false (rake_id_equal (gate->suggested->id, bench->left));
}

/* --- passes ---------------------------------------------------------------------------------- */

static void
a_pass_is_one_entry_for_all_selected_zones (void **state)
{
  Bench *bench = *state;
  guint before = bench_count_entries (bench);
  const RakeEntry *pass;

  bench_select (bench, bench->left);
  rake_session_select_zone (bench->session, bench->right, TRUE);
  assert_true (rake_session_pass_done (bench->session));
  assert_int_equal (bench_count_entries (bench), before + 1);
  pass = bench_get_last (bench, 0);
  assert_int_equal (pass->kind, RAKE_ENTRY_PASS);
  assert_int_equal (pass->pass.zones->len, 2);
  assert_true (rake_id_equal (pass->pass.stage, bench->stages[0]));
}

static void
fresh_paper_is_used_paper_after_its_pass (void **state)
{
  Bench *bench = *state;
  RakeBench set = *rake_session_get_bench (bench->session);

  set.paper = RAKE_PAPER_FRESH;
  rake_session_set_bench (bench->session, &set);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  assert_int_equal (bench_get_last (bench, 0)->pass.paper, RAKE_PAPER_FRESH);
  assert_int_equal (rake_session_get_bench (bench->session)->paper, RAKE_PAPER_USED);
}

static void
a_ready_zone_is_warned_of_before_its_pass (void **state)
{
  Bench *bench = *state;
  g_autofree char *before = NULL, *after = NULL;

  bench_select (bench, bench->left);
  before = rake_session_warn_before_pass (bench->session);
  assert_null (before);
  make_ready (bench, bench->left);
  after = rake_session_warn_before_pass (bench->session);
  assert_non_null (after);
  assert_non_null (strstr (after, "Left"));
}

static void
no_pass_is_recorded_where_none_belongs (void **state)
{
  Bench *bench = *state;
  guint before;

  rake_session_select_zone (bench->session, RAKE_ID_NIL, FALSE);
  assert_false (rake_session_pass_done (bench->session));
  assert_says (bench, "Select");
  assert_true (rake_session_begin_stage (bench->session, bench->stages[2], NULL, NULL));
  before = bench_count_entries (bench);
  bench_select (bench, bench->left);
  assert_false (rake_session_pass_done (bench->session));
  assert_says (bench, "last look");
  assert_int_equal (bench_count_entries (bench), before);
}

/* --- looks and marks ------------------------------------------------------------------------- */

static void
a_mark_brings_its_look_and_the_next_one_shares_it (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (10, 20, 40, 20);
  g_autoptr (RakeShape) patch = bench_new_patch (30, 60, 5);
  const RakeEntry *look, *mark;
  guint before;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  before = bench_count_entries (bench);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch));
  assert_int_equal (bench_count_entries (bench), before + 2);
  look = bench_get_last (bench, 1);
  mark = bench_get_last (bench, 0);
  assert_int_equal (look->kind, RAKE_ENTRY_LOOK);
  assert_true (rake_id_equal (mark->mark.look, look->id));
  assert_true (rake_id_equal (mark->gesture, look->gesture));
  assert_true (look->look.lamp_deg == 90);

  assert_true (rake_session_mark (bench->session, RAKE_MARK_LOW_SPOT, patch));
  assert_int_equal (bench_count_entries (bench), before + 3);
  assert_true (rake_id_equal (bench_get_last (bench, 0)->mark.look, look->id));
}

static void
another_lamp_another_look_and_a_pass_ends_it (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) one = bench_new_line (10, 20, 40, 20);
  g_autoptr (RakeShape) two = bench_new_line (10, 30, 40, 30);
  g_autoptr (RakeShape) three = bench_new_line (10, 40, 40, 40);
  guint before;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, one));
  set_lamp (bench, 180);
  before = bench_count_entries (bench);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, two));
  assert_int_equal (bench_count_entries (bench), before + 2);
  assert_true (bench_get_last (bench, 1)->look.lamp_deg == 180);

  assert_true (rake_session_pass_done (bench->session));
  before = bench_count_entries (bench);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, three));
  assert_int_equal (bench_count_entries (bench), before + 2);
}

static void
light_without_a_place_records_no_lamp (void **state)
{
  Bench *bench = *state;
  RakeBench set;

  bench_set_dry (bench);
  set = *rake_session_get_bench (bench->session);
  set.light = RAKE_LIGHT_DAYLIGHT;
  rake_session_set_bench (bench->session, &set);
  bench_select (bench, bench->left);
  assert_true (rake_session_all_even (bench->session));
  assert_true (isnan (bench_get_last (bench, 1)->look.lamp_deg));
}

static void
a_line_over_a_seam_is_a_mark_in_each_zone (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) line = bench_new_line (40, 50, 100, 50);
  guint before = bench_count_entries (bench);

  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, line));
  assert_int_equal (bench_count_entries (bench), before + 4);
  assert_int_equal (bench_get_zone (bench, bench->left)->marks->len, 1);
  assert_int_equal (bench_get_zone (bench, bench->middle)->marks->len, 1);
  assert_int_equal (bench_get_zone (bench, bench->right)->marks->len, 0);
}

static void
what_spills_over_a_seam_by_a_hair_stays_in_one_zone (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) patch = bench_new_patch (50, 50, 10.2); /* 0.2 mm over the seam at 60 */
  g_autoptr (RakeShape) beside = bench_new_patch (300, 50, 5);

  assert_true (rake_session_mark (bench->session, RAKE_MARK_LOW_SPOT, patch));
  assert_int_equal (bench_get_zone (bench, bench->left)->marks->len, 1);
  assert_int_equal (bench_get_zone (bench, bench->middle)->marks->len, 0);
  assert_false (rake_session_mark (bench->session, RAKE_MARK_LOW_SPOT, beside));
  assert_says (bench, "beside");
}

static void
all_even_never_closes_a_mark_from_before (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (10, 20, 40, 20);
  g_autoptr (GPtrArray) ghosts = NULL;
  const RakeMark *mark;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch));
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_all_even (bench->session));
  assert_says (bench, "mark from before");
  mark = bench_get_zone (bench, bench->left)->marks->pdata[0];
  assert_null (mark->closed_by);
  ghosts = rake_session_get_ghosts (bench->session, bench_get_zone (bench, bench->left));
  assert_int_equal (ghosts->len, 1);
  assert_int_not_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_READY);

  assert_true (rake_session_revisit (bench->session, mark->entry->id, RAKE_OUTCOME_GONE));
  assert_int_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_READY);
}

static void
a_wet_look_is_recorded_and_said_not_to_count (void **state)
{
  Bench *bench = *state;
  RakeBench set;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  set = *rake_session_get_bench (bench->session);
  set.surface = RAKE_SURFACE_WET;
  rake_session_set_bench (bench->session, &set);
  assert_true (rake_session_all_even (bench->session));
  assert_says (bench, "dry");
  assert_int_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_LOOK_AGAIN);
}

static void
an_acceptance_keeps_what_it_was_given_against (void **state)
{
  Bench *bench = *state;
  const RakeEntry *acceptance;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_say_state (bench->session, bench->left, RAKE_STATE_LOW_SPOT, 0.3, 20));
  assert_int_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_SAND_AGAIN);
  assert_true (rake_session_accept (bench->session, bench->left, "turns over in the hand"));
  acceptance = bench_get_last (bench, 0);
  assert_int_equal (acceptance->acceptance.verdict, RAKE_VERDICT_SAND_AGAIN);
  assert_true (acceptance->acceptance.matters->len > 0);
  assert_true (rake_judgement_is_settled (
      rake_session_get_judgement (bench->session, bench_get_zone (bench, bench->left))));
  assert_false (rake_session_accept (bench->session, bench->left, "again"));
}

/* --- undo ------------------------------------------------------------------------------------ */

static void
undo_takes_back_look_and_mark_together (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (10, 20, 40, 20);
  g_autofree char *undone = NULL, *redone = NULL, *before = NULL, *after = NULL, *again = NULL;

  before = rake_job_dump (rake_session_get_live_job (bench->session));
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch));
  assert_true (rake_session_can_undo (bench->session));
  undone = rake_session_describe_undo (bench->session);
  assert_non_null (strstr (undone, "cratch"));
  assert_true (rake_session_undo (bench->session));
  assert_says (bench, "Undone");
  assert_int_equal (bench_get_zone (bench, bench->left)->marks->len, 0);
  after = rake_job_dump (rake_session_get_live_job (bench->session));
  assert_true (rake_session_can_redo (bench->session));
  redone = rake_session_describe_redo (bench->session);
  assert_string_equal (redone, undone);
  assert_true (rake_session_redo (bench->session));
  assert_int_equal (bench_get_zone (bench, bench->left)->marks->len, 1);
}

/* --- time ------------------------------------------------------------------------------------ */

static void
nothing_is_recorded_in_the_past (void **state)
{
  Bench *bench = *state;
  guint n_entries;

  make_ready (bench, bench->left);
  n_entries = bench_count_entries (bench);
  rake_session_show_entries (bench->session, n_entries - 3);
  assert_true (rake_session_is_in_the_past (bench->session));
  assert_int_not_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_READY);
  assert_false (rake_session_pass_done (bench->session));
  assert_says (bench, "as it was");
  assert_false (rake_session_can_undo (bench->session));
  rake_session_show_entries (bench->session, G_MAXUINT);
  assert_int_equal (bench_count_entries (bench), n_entries);
  assert_int_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_READY);
}

static void
count_change (RakeSession *session, guint *n_changes)
{
  (*n_changes)++;
}

/* Judging again is done in idle time. */
static void
let_a_minute_be_judged (Bench *bench)
{
  rake_session_judge_again (bench->session);
  while (bench->session->judging)
    g_main_context_iteration (NULL, TRUE);
}

static void
a_minute_that_changes_nothing_is_not_announced (void **state)
{
  Bench *bench = *state;
  guint n_changes = 0;

  make_ready (bench, bench->left);
  g_signal_connect (bench->session, "changed", G_CALLBACK (count_change), &n_changes);
  bench_let_time_pass (60);
  let_a_minute_be_judged (bench);
  assert_int_equal (n_changes, 0);
}

static void
a_film_cures_while_the_window_stands_open (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeEntry) coat = rake_entry_new (RAKE_ENTRY_COAT);
  guint n_changes = 0;

  coat->coat.face = bench->face;
  assert_true (rake_session_append (bench->session, &coat, 1));
  assert_int_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_WAIT);
  g_signal_connect (bench->session, "changed", G_CALLBACK (count_change), &n_changes);
  bench_let_time_pass (30 * 24 * 3600.0);
  let_a_minute_be_judged (bench);
  assert_true (n_changes > 0);
  assert_int_not_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_WAIT);
}

static void
only_the_zone_concerned_is_judged_again (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (10, 20, 40, 20);
  const RakeJudgement *right;
  guint64 left_stamp, right_stamp;

  bench_set_dry (bench);
  rake_session_select_zone (bench->session, bench->left, FALSE);
  assert_true (rake_session_pass_done (bench->session));
  left_stamp = rake_session_get_zone_stamp (bench->session, bench_get_zone (bench, bench->left));
  right_stamp = rake_session_get_zone_stamp (bench->session, bench_get_zone (bench, bench->right));
  right = rake_session_get_judgement (bench->session, bench_get_zone (bench, bench->right));
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch));
  assert_true (left_stamp !=
               rake_session_get_zone_stamp (bench->session, bench_get_zone (bench, bench->left)));
  assert_true (right_stamp ==
               rake_session_get_zone_stamp (bench->session, bench_get_zone (bench, bench->right)));
  assert_ptr_equal (
      rake_session_get_judgement (bench->session, bench_get_zone (bench, bench->right)), right);
}

/* The middle in strips of 0.5 mm: more zones than are judged between two frames. */
static void
divide_finely (Bench *bench)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_ZONES);

  entry->zones.face = bench->face;
  entry->zones.division = RAKE_DIVISION_GRID;
  g_array_append_val (entry->zones.removed, bench->middle);
  for (guint i = 0; i < 140; i++)
    {
      double left = 60 + 0.5 * i, right = left + 0.5;
      const double points[] = { left, 0, right, 0, right, 120, left, 120 };
      RakeZoneSpec spec = { .id = rake_id_new (rake_session_now_ms ()),
                            .name = g_strdup_printf ("Strip %u", i),
                            .shape = rake_shape_new_area (points, 4, NULL),
                            .edge_factor = NAN,
                            .reserve_um = NAN };
      g_array_append_val (entry->zones.added, spec);
    }
  assert_true (rake_session_append (bench->session, &entry, 1));
}

static guint
count_judged (Bench *bench)
{
  const RakeFace *face = rake_session_get_face (bench->session);
  g_autoptr (GPtrArray) judgements = rake_session_find_judgements (bench->session, face);
  guint n_judged = 0;

  for (guint i = 0; i < judgements->len; i++)
    n_judged += judgements->pdata[i] != NULL;
  return n_judged;
}

static void
a_large_job_is_judged_bit_by_bit_and_what_is_selected_first (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (150, 20, 180, 20);
  const RakeFace *face;
  guint n_changes = 0;

  divide_finely (bench);
  bench_select (bench, bench->left);
  bench_set_dry (bench);
  bench_reopen (bench);
  face = rake_session_get_face (bench->session);
  assert_true (count_judged (bench) < face->zones->len);
  assert_null (rake_session_find_gate (bench->session, face));
  assert_null (rake_session_get_zone (bench->session));
  g_signal_connect (bench->session, "changed", G_CALLBACK (count_change), &n_changes);
  /* What a person touches now, of all zones, is judged now. */
  assert_true (rake_session_mark (bench->session, RAKE_MARK_BURN, scratch));
  assert_non_null (
      rake_session_find_judgement (bench->session, bench_get_zone (bench, bench->right)));
  assert_int_equal (bench_get_verdict (bench, bench->right), RAKE_VERDICT_REPAIR);
  assert_int_equal (n_changes, 1);
  while (g_main_context_iteration (NULL, FALSE))
    ;
  face = rake_session_get_face (bench->session);
  assert_int_equal (count_judged (bench), face->zones->len);
  assert_non_null (rake_session_find_gate (bench->session, face));
  assert_true (n_changes > 1);
  assert_non_null (rake_session_get_zone (bench->session)); /* the suggested one */
}

/* --- selection and bench --------------------------------------------------------------------- */

static void
selecting_again_with_add_takes_a_zone_out (void **state)
{
  Bench *bench = *state;
  g_autoptr (GPtrArray) zones = NULL;

  bench_select (bench, bench->left);
  rake_session_select_zone (bench->session, bench->right, TRUE);
  rake_session_select_zone (bench->session, bench->left, TRUE);
  zones = rake_session_get_zones (bench->session);
  assert_int_equal (zones->len, 1);
  assert_true (rake_session_is_selected (bench->session, bench->right));
  assert_false (rake_session_is_selected (bench->session, bench->left));
}

static void
all_unsettled_are_all_but_the_ready_ones (void **state)
{
  Bench *bench = *state;

  make_ready (bench, bench->left);
  rake_session_select_all_unsettled (bench->session);
  assert_false (rake_session_is_selected (bench->session, bench->left));
  assert_true (rake_session_is_selected (bench->session, bench->middle));
  assert_true (rake_session_is_selected (bench->session, bench->right));
}

static void
the_bench_is_remembered_but_no_brush (void **state)
{
  Bench *bench = *state;
  RakeBench set = *rake_session_get_bench (bench->session);
  const RakeBench *again;

  set.lamp_deg = 237;
  set.surface = RAKE_SURFACE_DUSTY;
  set.wiped_with = RAKE_WIPE_SPIRIT;
  set.brush = RAKE_MARK_BURN;
  rake_session_set_bench (bench->session, &set);
  bench_reopen (bench);
  again = rake_session_get_bench (bench->session);
  assert_true (again->lamp_deg == 237);
  assert_int_equal (again->surface, RAKE_SURFACE_DUSTY);
  assert_int_equal (again->wiped_with, RAKE_WIPE_SPIRIT);
  assert_int_equal (again->brush, RAKE_MARK_UNSAID);
}

/* docs/judging.md: across is 60° or more of the folded angle. */
static void
the_lamp_goes_across_the_strokes_and_then_across_itself (void **state)
{
  static const struct
  {
    double lamp_deg, stroke_deg, across_deg;
  } cases[] = {
    { 10, 0, 90 },   /* along: to the nearer square */
    { 350, 0, 270 },
    { 45, 0, 90 },   /* 45° is not across */
    { 90, 0, 180 },  /* across already: across itself */
    { 300, 0, 30 },
    { 40, 90, 0 },
  };
  Bench *bench = *state;

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      RakeBench set = *rake_session_get_bench (bench->session);
      double across_deg;
      set.lamp_deg = cases[i].lamp_deg;
      set.stroke_deg = cases[i].stroke_deg;
      rake_session_set_bench (bench->session, &set);
      across_deg = rake_session_get_lamp_across_deg (bench->session);
      if (fabs (across_deg - cases[i].across_deg) > 1e-9)
        fail_msg ("lamp %.0f, strokes %.0f: to %.1f, expected %.0f", cases[i].lamp_deg,
                  cases[i].stroke_deg, across_deg, cases[i].across_deg);
    }
}

/* --- other programs, full disks -------------------------------------------------------------- */

static gboolean
stop_waiting (gpointer user_data)
{
  *(gboolean *) user_data = TRUE;
  return G_SOURCE_REMOVE;
}

static void
two_windows_on_one_file_see_each_other (void **state)
{
  Bench *bench = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeSession) other = rake_session_open (bench->path, bench->rules, &error);
  guint n_changes = 0, before = bench_count_entries (bench);
  gboolean is_late = FALSE;
  guint alarm = g_timeout_add_seconds (5, stop_waiting, &is_late);

  assert_non_null (other);
  g_signal_connect (bench->session, "changed", G_CALLBACK (count_change), &n_changes);
  rake_session_select_zone (other, bench->right, FALSE);
  assert_true (rake_session_pass_done (other));
  while (n_changes == 0 && !is_late)
    g_main_context_iteration (NULL, TRUE);
  assert_false (is_late);
  g_source_remove (alarm);
  assert_int_equal (bench_count_entries (bench), before + 1);

  /* And back, without waiting: appending catches up on the way. */
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  rake_session_catch_up (other);
  assert_int_equal (rake_job_get_n_entries (rake_session_get_live_job (other)), before + 2);
}

static void
what_a_locked_file_refuses_does_not_show (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (10, 20, 40, 20);
  guint before = bench_count_entries (bench);
  sqlite3 *other = NULL;

  assert_int_equal (sqlite3_open (bench->path, &other), SQLITE_OK);
  assert_int_equal (sqlite3_exec (other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
  assert_false (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch));
  assert_says (bench, "Not recorded");
  assert_int_equal (bench_count_entries (bench), before);
  assert_int_equal (bench_get_zone (bench, bench->left)->marks->len, 0);
  assert_int_equal (sqlite3_exec (other, "ROLLBACK", NULL, NULL, NULL), SQLITE_OK);
  assert_int_equal (sqlite3_close (other), SQLITE_OK);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch));
}

/* A limit on the size of files stands in for a full disk: writes fail in the same place. */
static void
what_a_full_disk_refuses_does_not_show (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (10, 20, 40, 20);
  guint before = bench_count_entries (bench);
  struct rlimit limit, none;
  void (*handler) (int) = signal (SIGXFSZ, SIG_IGN);
  gboolean is_kept;

  getrlimit (RLIMIT_FSIZE, &limit);
  none = (struct rlimit){ .rlim_cur = 1, .rlim_max = limit.rlim_max };
  setrlimit (RLIMIT_FSIZE, &none);
  is_kept = rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch);
  setrlimit (RLIMIT_FSIZE, &limit);
  signal (SIGXFSZ, handler);
  assert_false (is_kept);
  assert_says (bench, "Not recorded");
  assert_int_equal (bench_count_entries (bench), before);
  assert_int_equal (bench_get_zone (bench, bench->left)->marks->len, 0);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch));
}

static void
a_closed_session_leaves_one_file (void **state)
{
  Bench *bench = *state;
  g_autoptr (GDir) files = NULL;
  RakeSession *watched = bench->session;
  guint n_files = 0;

  make_ready (bench, bench->left);
  g_object_add_weak_pointer (G_OBJECT (watched), (gpointer *) &watched);
  bench_close (bench);
  assert_null (watched);
  files = g_dir_open (bench->folder, 0, NULL);
  while (g_dir_read_name (files))
    n_files++;
  assert_int_equal (n_files, 1);
  bench_reopen (bench);
  assert_int_equal (bench_get_verdict (bench, bench->left), RAKE_VERDICT_READY);
}

#define TEST(claim) cmocka_unit_test_setup_teardown (claim, bench_set_up, bench_take_down)

int
main (void)
{
  const struct CMUnitTest tests[] = {
    TEST (a_new_job_records_the_rules_it_is_judged_by),
    TEST (what_cannot_be_created_leaves_no_file),
    TEST (an_open_job_begins_with_the_suggested_zone_selected),
    TEST (a_pass_is_one_entry_for_all_selected_zones),
    TEST (fresh_paper_is_used_paper_after_its_pass),
    TEST (a_ready_zone_is_warned_of_before_its_pass),
    TEST (no_pass_is_recorded_where_none_belongs),
    TEST (a_mark_brings_its_look_and_the_next_one_shares_it),
    TEST (another_lamp_another_look_and_a_pass_ends_it),
    TEST (light_without_a_place_records_no_lamp),
    TEST (a_line_over_a_seam_is_a_mark_in_each_zone),
    TEST (what_spills_over_a_seam_by_a_hair_stays_in_one_zone),
    TEST (all_even_never_closes_a_mark_from_before),
    TEST (a_wet_look_is_recorded_and_said_not_to_count),
    TEST (an_acceptance_keeps_what_it_was_given_against),
    TEST (undo_takes_back_look_and_mark_together),
    TEST (nothing_is_recorded_in_the_past),
    TEST (a_minute_that_changes_nothing_is_not_announced),
    TEST (a_film_cures_while_the_window_stands_open),
    TEST (only_the_zone_concerned_is_judged_again),
    TEST (selecting_again_with_add_takes_a_zone_out),
    TEST (all_unsettled_are_all_but_the_ready_ones),
    TEST (the_bench_is_remembered_but_no_brush),
    TEST (the_lamp_goes_across_the_strokes_and_then_across_itself),
    TEST (a_large_job_is_judged_bit_by_bit_and_what_is_selected_first),
    TEST (two_windows_on_one_file_see_each_other),
    TEST (what_a_locked_file_refuses_does_not_show),
    TEST (what_a_full_disk_refuses_does_not_show),
    TEST (a_closed_session_leaves_one_file),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
