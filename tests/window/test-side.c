/* test-side.c - faces, schedule, questions and the log window: what they say and what comes of them.
 * Run on a display. */
#include "side-window.h"
#include "dialogs.h"
#include "face-card.h"
#include "face-list.h"
#include "face-thumb.h"
#include "log-row.h"
#include "log-window.h"
#include "prepare-dialog.h"
#include "repair-dialog.h"
#include "stage-rail.h"
#include "stage-step.h"
#include "wrap-layout.h"
#include "zone-facts-dialog.h"

#include <rakelight/units.h>

#include <math.h>
#include <string.h>

static void
make_all_ready (Bench *bench)
{
  bench_set_dry (bench);
  bench_select (bench, bench->left);
  rake_session_select_zone (bench->session, bench->middle, TRUE);
  rake_session_select_zone (bench->session, bench->right, TRUE);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_all_even (bench->session));
}

/* A second face, 100 by 100 mm, without a schedule. */
static RakeId
add_face (Bench *bench)
{
  static const double points[] = { 0, 0, 100, 0, 100, 100, 0, 100 };
  g_autoptr (RakeEntry) face = rake_entry_new (RAKE_ENTRY_FACE);

  face->face.name = g_strdup ("Bottom");
  face->face.outline = rake_shape_new_area (points, 4, NULL);
  assert_true (rake_session_append (bench->session, &face, 1));
  return face->id;
}

static void
settle (void)
{
  for (int i = 0; i < 200; i++)
    {
      while (g_main_context_iteration (NULL, FALSE))
        ;
      g_usleep (1000);
    }
}

/* The newest window but @under. */
static GtkWidget *
find_dialog (GtkWindow *under)
{
  g_autoptr (GList) windows = gtk_window_list_toplevels ();

  settle ();
  for (GList *item = windows; item; item = item->next)
    if (item->data != under && gtk_window_get_transient_for (item->data) == under)
      return item->data;
  fail_msg ("no dialog came");
  return NULL;
}

/* --- faces ----------------------------------------------------------------------------------- */

static void
a_tap_on_a_face_shows_it (void **state)
{
  Bench *bench = *state;
  GtkWidget *list, *card;
  SideWindow *window;
  RakeId bottom = add_face (bench);

  make_all_ready (bench);
  list = g_object_new (RAKE_TYPE_FACE_LIST, "session", bench->session, NULL);
  window = side_window_show (list, 200, 500);
  side_assert_reads (list, "100\u00a0% ready");
  side_assert_reads (list, "no schedule");
  card = gtk_widget_get_ancestor (side_find_labelled (list, "Bottom"), RAKE_TYPE_FACE_CARD);
  assert_true (gtk_widget_activate_action (card, "face.select", NULL));
  assert_true (rake_id_equal (rake_session_get_face (bench->session)->id, bottom));
  assert_true (gtk_widget_get_state_flags (card) & GTK_STATE_FLAG_SELECTED);

  g_object_set (list, "orientation", GTK_ORIENTATION_HORIZONTAL, NULL);
  side_window_settle (window);
  side_assert_reads (list, "Bottom");
  assert_true (gtk_widget_get_height (card) <= 64);
  g_object_set (list, "orientation", GTK_ORIENTATION_VERTICAL, "session", NULL, NULL);
  side_window_settle (window);
  side_assert_does_not_read (list, "Bottom");
  side_window_close (window);
}

static void
only_the_face_that_changed_is_drawn_again (void **state)
{
  Bench *bench = *state;
  GtkWidget *list;
  RakeFaceThumb *top, *bottom;
  SideWindow *window;
  guint n_top, n_bottom;

  add_face (bench);
  list = g_object_new (RAKE_TYPE_FACE_LIST, "session", bench->session, NULL);
  window = side_window_show (list, 200, 500);
  top = RAKE_FACE_THUMB (
      side_find (gtk_widget_get_ancestor (side_find_labelled (list, "Top"), RAKE_TYPE_FACE_CARD),
                 RAKE_TYPE_FACE_THUMB));
  bottom = RAKE_FACE_THUMB (
      side_find (gtk_widget_get_ancestor (side_find_labelled (list, "Bottom"), RAKE_TYPE_FACE_CARD),
                 RAKE_TYPE_FACE_THUMB));
  n_top = rake_face_thumb_get_n_drawn (top);
  n_bottom = rake_face_thumb_get_n_drawn (bottom);
  assert_true (n_top >= 1 && n_bottom >= 1);

  bench_select (bench, bench->middle);
  side_window_settle (window);
  assert_int_equal (rake_face_thumb_get_n_drawn (top), n_top); /* only selected */
  assert_true (rake_session_pass_done (bench->session));
  side_window_settle (window);
  assert_int_equal (rake_face_thumb_get_n_drawn (top), n_top + 1);
  assert_int_equal (rake_face_thumb_get_n_drawn (bottom), n_bottom);
  side_window_close (window);
}

/* --- schedule -------------------------------------------------------------------------------- */

static GtkWidget *
find_step (GtkWidget *rail, const char *words)
{
  GtkWidget *label = side_find_labelled (rail, words);

  if (!label)
    fail_msg ("no step says \"%s\"", words);
  return gtk_widget_get_ancestor (label, RAKE_TYPE_STAGE_STEP);
}

static void
the_gate_opens_the_next_step_and_only_that (void **state)
{
  Bench *bench = *state;
  GtkWidget *rail = g_object_new (RAKE_TYPE_STAGE_RAIL, "session", bench->session, NULL);
  SideWindow *window = side_window_show (rail, 900, 120);
  g_autofree char *asked = NULL;
  char id[RAKE_ID_TEXT_LENGTH + 1];
  const RakeGate *gate;

  gate = rake_session_get_gate (bench->session, rake_session_get_face (bench->session));
  side_assert_reads (rail, gate->sentence);
  assert_null (gtk_actionable_get_action_name (GTK_ACTIONABLE (find_step (rail, "P1200"))));
  side_assert_does_not_read (rail, "Go on");

  make_all_ready (bench);
  side_window_settle (window);
  side_assert_reads (rail, "Go on");
  assert_null (gtk_actionable_get_action_name (GTK_ACTIONABLE (find_step (rail, "cut"))));
  g_signal_emit_by_name (find_step (rail, "P1200"), "clicked");
  asked = side_window_take_asked (window);
  rake_id_to_text (bench->stages[1], id);
  assert_true (g_str_has_prefix (asked, "win.begin-stage "));
  assert_string_equal (asked + strlen ("win.begin-stage "), id);

  assert_true (rake_session_begin_stage (bench->session, bench->stages[1], NULL, NULL));
  side_window_settle (window);
  g_signal_emit_by_name (find_step (rail, "P800"), "clicked"); /* back */
  g_free (asked);
  asked = side_window_take_asked (window);
  rake_id_to_text (bench->stages[0], id);
  assert_string_equal (asked + strlen ("win.begin-stage "), id);
  side_window_close (window);
}

/* Narrow, the steps say less, then stand in rows; they never ask for more than the widest one. */
static void
a_narrow_rail_says_less_and_then_wraps (void **state)
{
  Bench *bench = *state;
  GtkWidget *rail = g_object_new (RAKE_TYPE_STAGE_RAIL, "session", bench->session, NULL);
  SideWindow *window = side_window_show (rail, 900, 300);
  int wide_px, narrow_px, least_px, all_px;

  gtk_widget_measure (rail, GTK_ORIENTATION_HORIZONTAL, -1, &least_px, &all_px, NULL, NULL);
  gtk_widget_measure (rail, GTK_ORIENTATION_VERTICAL, 900, NULL, &wide_px, NULL, NULL);
  gtk_widget_measure (rail, GTK_ORIENTATION_VERTICAL, least_px, NULL, &narrow_px, NULL, NULL);
  assert_true (least_px < 250);
  assert_true (narrow_px > wide_px + 50);
  side_assert_reads (rail, "Refine");
  side_window_close (window);

  rail = g_object_new (RAKE_TYPE_STAGE_RAIL, "session", bench->session, "width-request", 1,
                       "halign", GTK_ALIGN_START, NULL);
  {
    GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
    GtkWidget *clamp = adw_clamp_new ();

    adw_clamp_set_maximum_size (ADW_CLAMP (clamp), all_px - 10);
    adw_clamp_set_child (ADW_CLAMP (clamp), rail);
    gtk_widget_set_halign (rail, GTK_ALIGN_FILL);
    gtk_widget_set_hexpand (clamp, TRUE);
    gtk_box_append (GTK_BOX (box), clamp);
    window = side_window_show (box, 900, 300);
    assert_true (gtk_widget_get_width (rail) < all_px);
    side_assert_reads (box, "P1200");
    side_assert_reads (box, "Level");          /* the present step says all */
    side_assert_does_not_read (box, "Refine"); /* the others their grade */
    side_window_close (window);
  }
}

/* --- questions ------------------------------------------------------------------------------- */

static void
what_was_ticked_goes_with_the_stage (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  RakePrepareDialog *dialog;
  GtkWidget *first;
  const RakeEntry *begun;
  g_autofree char *ticked = NULL;

  make_all_ready (bench);
  rake_dialogs_begin_stage (side_window_get_window (window), bench->session, bench->stages[1]);
  dialog = RAKE_PREPARE_DIALOG (find_dialog (side_window_get_window (window)));
  side_assert_reads (GTK_WIDGET (dialog), "Before Refine P1200");
  first = side_find (GTK_WIDGET (dialog), GTK_TYPE_CHECK_BUTTON);
  assert_non_null (first);
  ticked = g_strdup (gtk_widget_get_name (first));
  gtk_check_button_set_active (GTK_CHECK_BUTTON (first), TRUE);
  assert_true (gtk_widget_activate_action (GTK_WIDGET (dialog), "prepare.start", NULL));
  begun = bench_get_last (bench, 0);
  assert_int_equal (begun->kind, RAKE_ENTRY_BEGIN_STAGE);
  assert_true (rake_id_equal (begun->begin_stage.stage, bench->stages[1]));
  assert_int_equal (begun->begin_stage.prepared->len, 1);
  assert_string_equal (begun->begin_stage.prepared->pdata[0], ticked);
  settle ();
  side_window_close (window);
}

static void
going_back_is_asked_first (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  GtkWidget *dialog;
  guint before;

  make_all_ready (bench);
  assert_true (rake_session_begin_stage (bench->session, bench->stages[1], NULL, NULL));
  before = bench_count_entries (bench);
  rake_dialogs_begin_stage (side_window_get_window (window), bench->session, bench->stages[0]);
  dialog = find_dialog (side_window_get_window (window));
  side_assert_reads (dialog, "Go back to P800?");
  assert_int_equal (bench_count_entries (bench), before);
  adw_message_dialog_response (ADW_MESSAGE_DIALOG (dialog), "yes");
  assert_int_equal (bench_count_entries (bench), before + 1);
  assert_true (rake_id_equal (bench_get_last (bench, 0)->begin_stage.stage, bench->stages[0]));
  settle ();
  side_window_close (window);
}

static GtkTextBuffer *
find_words (GtkWidget *dialog)
{
  GtkWidget *text = side_find (dialog, GTK_TYPE_TEXT_VIEW);

  assert_non_null (text);
  return gtk_text_view_get_buffer (GTK_TEXT_VIEW (text));
}

static void
accepting_wants_a_reason (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  GtkWidget *dialog;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  rake_dialogs_accept (side_window_get_window (window), bench->session, bench->left);
  dialog = find_dialog (side_window_get_window (window));
  assert_false (adw_message_dialog_get_response_enabled (ADW_MESSAGE_DIALOG (dialog), "yes"));
  gtk_text_buffer_set_text (find_words (dialog), "  \n ", -1);
  assert_false (adw_message_dialog_get_response_enabled (ADW_MESSAGE_DIALOG (dialog), "yes"));
  gtk_text_buffer_set_text (find_words (dialog), " under the bridge \n", -1);
  assert_true (adw_message_dialog_get_response_enabled (ADW_MESSAGE_DIALOG (dialog), "yes"));
  adw_message_dialog_response (ADW_MESSAGE_DIALOG (dialog), "yes");
  assert_int_equal (bench_get_last (bench, 0)->kind, RAKE_ENTRY_ACCEPTANCE);
  assert_string_equal (bench_get_last (bench, 0)->acceptance.reason, "under the bridge");
  settle ();
  side_window_close (window);
}

/* docs/logbook.md: "Striking what others build on is refused: a face with zones …" */
static void
what_cannot_be_struck_is_said_before_anything_is_typed (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  GtkWidget *dialog;
  guint before = bench_count_entries (bench);

  rake_dialogs_strike (side_window_get_window (window), bench->session, bench->face);
  dialog = find_dialog (side_window_get_window (window));
  side_assert_reads (dialog, "This line cannot be struck out");
  assert_null (side_find (dialog, GTK_TYPE_TEXT_VIEW));
  gtk_window_destroy (GTK_WINDOW (dialog));
  settle ();
  assert_int_equal (bench_count_entries (bench), before);
  side_window_close (window);
}

static void
a_question_goes_when_its_line_is_struck_elsewhere (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  gpointer dialog;
  RakeId note;

  assert_true (rake_session_note (bench->session, bench->left, "a note"));
  note = bench_get_last (bench, 0)->id;
  rake_dialogs_strike (side_window_get_window (window), bench->session, note);
  dialog = find_dialog (side_window_get_window (window));
  g_object_add_weak_pointer (dialog, &dialog);
  assert_true (rake_session_undo (bench->session));
  settle ();
  assert_null (dialog);
  side_window_close (window);
}

static GtkWidget *
get_part (GtkWidget *dialog, const char *name)
{
  return GTK_WIDGET (gtk_widget_get_template_child (dialog, G_OBJECT_TYPE (dialog), name));
}

static void
type_in (GtkWidget *dialog, const char *name, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (get_part (dialog, name)), text);
}

static void
choose (GtkWidget *dialog, const char *label)
{
  GtkWidget *row =
      gtk_widget_get_ancestor (side_find_labelled (dialog, label), GTK_TYPE_CHECK_BUTTON);

  gtk_check_button_set_active (GTK_CHECK_BUTTON (row), TRUE);
  settle ();
}

static gboolean
is_ticked (GtkWidget *dialog, const char *label)
{
  GtkWidget *row =
      gtk_widget_get_ancestor (side_find_labelled (dialog, label), GTK_TYPE_CHECK_BUTTON);

  return gtk_check_button_get_active (GTK_CHECK_BUTTON (row));
}

static void
a_repair_is_written_down_with_what_it_was (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) pit = rake_shape_new_point (10, 10, NULL);
  g_autoptr (RakeShape) scratch = bench_new_line (5, 5, 25, 5);
  SideWindow *window;
  GtkWidget *dialog;
  const RakeEntry *repair;
  RakeId crater;

  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, scratch));
  assert_true (rake_session_mark (bench->session, RAKE_MARK_CRATER, pit));
  crater = bench_get_last (bench, 0)->id;
  window = side_window_show (gtk_label_new (""), 300, 300);
  rake_dialogs_repair (side_window_get_window (window), bench->session, bench->left);
  dialog = find_dialog (side_window_get_window (window));
  assert_false (gtk_widget_activate_action (dialog, "repair.record", NULL) &&
                bench_get_last (bench, 0)->kind == RAKE_ENTRY_REPAIR);
  choose (dialog, "Drop fill");
  side_assert_reads (dialog, "its own wait before it is levelled");
  assert_true (is_ticked (dialog, "Crater"));
  assert_false (is_ticked (dialog, "Scratch, 20\u00a0mm"));
  type_in (dialog, "film", "120");
  type_in (dialog, "film_sd", "20,5");
  type_in (dialog, "outcome", " level, no colour ");
  assert_true (gtk_widget_activate_action (dialog, "repair.record", NULL));
  repair = bench_get_last (bench, 0);
  assert_int_equal (repair->kind, RAKE_ENTRY_REPAIR);
  assert_int_equal (repair->repair.method, RAKE_REPAIR_DROP_FILL);
  assert_string_equal (repair->repair.outcome, "level, no colour");
  assert_true (repair->repair.added_um == 120 && repair->repair.added_sd_um == 20.5);
  assert_true (isnan (repair->repair.removed_um));
  assert_int_equal (repair->repair.marks->len, 1);
  assert_true (rake_id_equal (g_array_index (repair->repair.marks, RakeId, 0), crater));
  settle ();
  side_window_close (window);
}

/* The trade's D38: each drop has its own time, the next four hours after the last. */
static void
drops_are_written_down_one_after_another (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  GtkWidget *dialog;
  const RakeEntry *first;

  rake_dialogs_repair (side_window_get_window (window), bench->session, bench->left);
  dialog = find_dialog (side_window_get_window (window));
  choose (dialog, "Drop fill");
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (get_part (dialog, "hours_ago")), 5.5);
  assert_true (gtk_widget_activate_action (dialog, "repair.another", NULL));
  settle ();
  first = bench_get_last (bench, 0);
  /* The bench's clock goes on a second with every reading. */
  assert_true (fabs ((double) (first->written_ms - first->happened_ms) - 5.5 * 3600e3) < 10e3);
  side_assert_reads (dialog, "the next drop may go on");
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (get_part (dialog, "hours_ago")), 0);
  type_in (dialog, "film", "80");
  assert_true (gtk_widget_activate_action (dialog, "repair.another", NULL));
  settle ();
  side_assert_reads (dialog, "the next drop in 4 hours");
  assert_int_equal (bench_get_last (bench, 1)->kind, RAKE_ENTRY_REPAIR);
  gtk_window_close (GTK_WINDOW (dialog));
  settle ();
  side_window_close (window);
}

static void
a_film_that_cannot_be_is_not_written_down (void **state)
{
  static const char *const nonsense[] = { "6000", "thick", "1.000,5", "nan" };
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  GtkWidget *dialog;
  RakeId last = bench_get_last (bench, 0)->id;

  rake_dialogs_repair (side_window_get_window (window), bench->session, bench->left);
  dialog = find_dialog (side_window_get_window (window));
  choose (dialog, "Whole face recoated");
  for (gsize i = 0; i < G_N_ELEMENTS (nonsense); i++)
    {
      type_in (dialog, "film", nonsense[i]);
      assert_true (gtk_widget_get_visible (get_part (dialog, "fault")));
      gtk_widget_activate_action (dialog, "repair.record", NULL);
      assert_true (rake_id_equal (bench_get_last (bench, 0)->id, last));
    }
  type_in (dialog, "film", "");
  type_in (dialog, "film_sd", "4");
  settle ();
  side_assert_reads (dialog, "Say the film itself");
  gtk_window_close (GTK_WINDOW (dialog));
  settle ();
  side_window_close (window);
}

static void
only_changed_facts_are_written_down (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  GtkWidget *dialog, *toggle;
  const RakeEntry *facts;
  guint before = bench_count_entries (bench);

  rake_dialogs_zone_facts (side_window_get_window (window), bench->session, bench->left);
  dialog = find_dialog (side_window_get_window (window));
  assert_true (gtk_widget_activate_action (dialog, "facts.record", NULL)); /* nothing was changed */
  settle ();
  assert_int_equal (bench_count_entries (bench), before);

  rake_dialogs_zone_facts (side_window_get_window (window), bench->session, bench->left);
  dialog = find_dialog (side_window_get_window (window));
  toggle = side_find (dialog, GTK_TYPE_SWITCH);
  gtk_switch_set_active (GTK_SWITCH (toggle), TRUE);
  assert_true (gtk_widget_activate_action (dialog, "facts.record", NULL));
  assert_int_equal (bench_count_entries (bench), before + 1);
  facts = bench_get_last (bench, 0);
  assert_int_equal (facts->kind, RAKE_ENTRY_ZONE_FACTS);
  assert_int_equal (facts->zone_facts.is_edge, RAKE_ANSWER_YES);
  assert_null (facts->zone_facts.name);
  assert_true (isnan (facts->zone_facts.edge_factor) && isnan (facts->zone_facts.reserve_um));
  assert_true (rake_id_is_nil (facts->zone_facts.first_stage));
  settle ();
  side_window_close (window);
}

static void
a_reserve_is_said_in_the_chosen_unit (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  GtkWidget *dialog;
  guint before = bench_count_entries (bench);

  rake_units_choose ((RakeUnits){ .film_in_mil = TRUE });
  rake_dialogs_zone_facts (side_window_get_window (window), bench->session, bench->left);
  dialog = find_dialog (side_window_get_window (window));
  type_in (dialog, "reserve", "2,03");
  assert_true (gtk_widget_activate_action (dialog, "facts.record", NULL));
  assert_int_equal (bench_count_entries (bench), before + 1);
  /* 0.001 in is 25.4 µm, exactly. */
  assert_true (fabs (bench_get_last (bench, 0)->zone_facts.reserve_um - 2.03 * 25.4) < 1e-6);
  settle ();

  /* Shown as 2.0 mil, and still what it was when nobody touched it. */
  rake_dialogs_zone_facts (side_window_get_window (window), bench->session, bench->left);
  dialog = find_dialog (side_window_get_window (window));
  assert_true (gtk_widget_activate_action (dialog, "facts.record", NULL));
  assert_int_equal (bench_count_entries (bench), before + 1);
  settle ();
  rake_units_choose ((RakeUnits){ 0 });
  side_window_close (window);
}

/* --- logbook --------------------------------------------------------------------------------- */

static void
the_log_shows_struck_lines_struck_and_asks_before_striking (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (gtk_label_new (""), 300, 300);
  RakeLogWindow *log;
  GtkWidget *dialog;
  RakeId note;
  char id[RAKE_ID_TEXT_LENGTH + 1];
  gpointer gone;

  assert_true (rake_session_note (bench->session, bench->left, "dust in the corner"));
  note = bench_get_last (bench, 0)->id;
  log = rake_log_window_present (side_window_get_window (window), bench->session, bench->left);
  settle ();
  side_assert_reads (GTK_WIDGET (log), "dust in the corner");
  side_assert_reads (GTK_WIDGET (log), "Top: Left");
  assert_non_null (side_find (GTK_WIDGET (log), RAKE_TYPE_LOG_ROW));

  rake_id_to_text (note, id);
  assert_true (gtk_widget_activate_action (GTK_WIDGET (log), "log.strike", "s", id));
  dialog = find_dialog (GTK_WINDOW (log));
  gtk_text_buffer_set_text (find_words (dialog), "it was a hair", -1);
  adw_message_dialog_response (ADW_MESSAGE_DIALOG (dialog), "yes");
  settle ();
  side_assert_reads (GTK_WIDGET (log), "Struck out: it was a hair");
  gone = log;
  g_object_add_weak_pointer (G_OBJECT (log), &gone);
  side_window_close (window);
  settle ();
  assert_null (gone); /* it goes with its parent */
}

int
main (void)
{
#define ON_A_BENCH(name) cmocka_unit_test_setup_teardown (name, bench_set_up, bench_take_down)
  const struct CMUnitTest tests[] = {
    ON_A_BENCH (a_tap_on_a_face_shows_it),
    ON_A_BENCH (only_the_face_that_changed_is_drawn_again),
    ON_A_BENCH (the_gate_opens_the_next_step_and_only_that),
    ON_A_BENCH (a_narrow_rail_says_less_and_then_wraps),
    ON_A_BENCH (what_was_ticked_goes_with_the_stage),
    ON_A_BENCH (going_back_is_asked_first),
    ON_A_BENCH (accepting_wants_a_reason),
    ON_A_BENCH (what_cannot_be_struck_is_said_before_anything_is_typed),
    ON_A_BENCH (a_question_goes_when_its_line_is_struck_elsewhere),
    ON_A_BENCH (a_repair_is_written_down_with_what_it_was),
    ON_A_BENCH (drops_are_written_down_one_after_another),
    ON_A_BENCH (a_film_that_cannot_be_is_not_written_down),
    ON_A_BENCH (only_changed_facts_are_written_down),
    ON_A_BENCH (a_reserve_is_said_in_the_chosen_unit),
    ON_A_BENCH (the_log_shows_struck_lines_struck_and_asks_before_striking),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
