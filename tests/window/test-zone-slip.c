/* test-zone-slip.c - the slip says what the rules say of the selected zone, and passes on what the
 * finisher wants of it. Run on a display. */
#include "side-window.h"
#include "reading-dialog.h"
#include "record-row.h"
#include "share-entry.h"
#include "zone-slip.h"

#include <math.h>
#include <rakelight/nominal.h>
#include <string.h>

static GtkWidget *
new_slip (Bench *bench)
{
  return g_object_new (RAKE_TYPE_ZONE_SLIP, "session", bench->session, NULL);
}

static void
press (GtkWidget *root, const char *label)
{
  GtkWidget *button = side_find_labelled (root, label);

  if (!button)
    fail_msg ("there is no \"%s\"", label);
  assert_true (gtk_widget_get_sensitive (button));
  g_signal_emit_by_name (button, "clicked");
}

static void
the_verdict_is_read_with_its_reason (void **state)
{
  Bench *bench = *state;
  GtkWidget *slip = new_slip (bench);
  SideWindow *window;
  const RakeJudgement *judgement;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  window = side_window_show (slip, 320, 700);
  side_assert_reads (slip, "Left");
  side_assert_reads (slip, "72\u00a0cm²"); /* 60 by 120 mm */
  side_assert_reads (slip, "Look again");

  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_say_state (bench->session, bench->left, RAKE_STATE_LOW_SPOT, 0.4, 20));
  side_window_settle (window);
  judgement = rake_session_get_judgement (bench->session, bench_get_zone (bench, bench->left));
  side_assert_reads (slip, "Sand again");
  side_assert_reads (slip, "1 pass at P800");
  side_assert_reads (slip, ((const RakeReason *) judgement->reasons->pdata[0])->sentence);
  side_window_close (window);
}

static void
several_zones_are_a_summary_and_none_a_word (void **state)
{
  Bench *bench = *state;
  GtkWidget *slip = new_slip (bench);
  SideWindow *window;

  bench_select (bench, bench->left);
  rake_session_select_zone (bench->session, bench->right, TRUE);
  window = side_window_show (slip, 320, 700);
  side_assert_reads (slip, "2 zones");
  side_assert_reads (slip, "156\u00a0cm²"); /* 72 + 84 */
  side_assert_reads (slip, "Right");
  side_assert_does_not_read (slip, "Accept this zone as it is…");

  /* The last selected alone. */
  {
    GtkWidget *row = gtk_widget_get_ancestor (side_find_labelled (slip, "Left"), GTK_TYPE_BUTTON);
    g_signal_emit_by_name (row, "clicked");
  }
  assert_true (rake_id_equal (rake_session_get_zone (bench->session)->id, bench->left));
  side_window_settle (window);
  side_assert_does_not_read (slip, "2 zones");

  rake_session_select_zone (bench->session, bench->left, TRUE); /* out of the selection again */
  side_window_settle (window);
  side_assert_reads (slip, "Tap a zone");
  side_window_close (window);
}

static void
marks_from_before_are_asked_about_one_by_one_and_together (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) one = bench_new_line (10, 20, 40, 20);
  g_autoptr (RakeShape) other = bench_new_line (10, 80, 30, 80);
  GtkWidget *slip = new_slip (bench);
  SideWindow *window;
  g_autofree char *asked = NULL;
  char id[RAKE_ID_TEXT_LENGTH + 1];
  RakeId mark;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, one));
  mark = bench_get_last (bench, 0)->id;
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SCRATCH, other));
  window = side_window_show (slip, 320, 900);
  side_assert_does_not_read (slip, "from before");

  assert_true (rake_session_pass_done (bench->session));
  side_window_settle (window);
  side_assert_reads (slip, "2 marks from before: still there or gone?");
  side_assert_reads (slip, "Scratch, 30\u00a0mm");
  press (slip, "Gone");
  asked = side_window_take_asked (window);
  rake_id_to_text (mark, id);
  assert_true (g_str_has_prefix (asked, "win.gone "));
  assert_string_equal (asked + strlen ("win.gone "), id);

  press (slip, "All gone");
  side_window_settle (window);
  side_assert_does_not_read (slip, "from before");
  assert_int_equal (
      rake_job_find_mark (rake_session_get_job (bench->session), mark)->closed_by != NULL, TRUE);
  side_window_close (window);
}

static void
an_estimate_by_eye_is_one_look (void **state)
{
  Bench *bench = *state;
  GtkWidget *slip = new_slip (bench);
  SideWindow *window;
  guint before;
  const RakeEntry *said;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  window = side_window_show (slip, 320, 900);
  before = bench_count_entries (bench);
  gtk_expander_set_expanded (
      GTK_EXPANDER (gtk_widget_get_ancestor (
          side_find_labelled (slip, "How much is still glossy, by eye"), GTK_TYPE_EXPANDER)),
      TRUE);
  side_window_settle (window);
  rake_share_entry_set (RAKE_SHARE_ENTRY (side_find (slip, RAKE_TYPE_SHARE_ENTRY)), 0.14, 9);
  press (slip, "Write down this look");
  assert_int_equal (bench_count_entries (bench), before + 2);
  said = bench_get_last (bench, 0);
  assert_int_equal (said->kind, RAKE_ENTRY_STATE);
  assert_int_equal (said->state.state, RAKE_STATE_LOW_SPOT);
  assert_true (fabs (said->state.low_spot_fraction - 0.14) < 1e-9);
  assert_true (fabs (said->state.largest_island_mm - 9) < 1e-9);
  side_window_close (window);
}

static void
nothing_glossy_by_eye_is_uniform (void **state)
{
  Bench *bench = *state;
  GtkWidget *entry = rake_share_entry_new ();
  SideWindow *window;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  window = side_window_show (entry, 320, 300);
  rake_share_entry_show (RAKE_SHARE_ENTRY (entry), bench->session, bench->left);
  rake_share_entry_set (RAKE_SHARE_ENTRY (entry), 0, 5);
  assert_true (rake_share_entry_record (RAKE_SHARE_ENTRY (entry)));
  assert_int_equal (bench_get_last (bench, 0)->state.state, RAKE_STATE_UNIFORM);
  side_window_close (window);
}

static void
an_accepted_zone_says_so_and_why (void **state)
{
  Bench *bench = *state;
  GtkWidget *slip = new_slip (bench);
  SideWindow *window;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_say_state (bench->session, bench->left, RAKE_STATE_LOW_SPOT, 0.4, 20));
  window = side_window_show (slip, 320, 900);
  side_assert_reads (slip, "Accept this zone as it is…");
  assert_true (rake_session_accept (bench->session, bench->left, "turns over in the hand"));
  side_window_settle (window);
  side_assert_reads (slip, "Accepted over: Sand again");
  side_assert_reads (slip, "turns over in the hand");
  side_assert_does_not_read (slip, "Accept this zone as it is…");
  side_window_close (window);
}

static void
a_repair_is_offered_where_the_verdict_asks_for_it (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) patch = bench_new_patch (30, 60, 6);
  GtkWidget *slip = new_slip (bench);
  SideWindow *window;
  g_autofree char *asked = NULL;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  window = side_window_show (slip, 320, 900);
  side_assert_does_not_read (slip, "Write down the repair…");
  assert_true (rake_session_mark (bench->session, RAKE_MARK_SAND_THROUGH, patch));
  side_window_settle (window);
  side_assert_reads (slip, "Repair");
  press (slip, "Write down the repair…");
  asked = side_window_take_asked (window);
  assert_string_equal (asked, "win.repair ");
  side_window_close (window);
}

static void
open_expander (GtkWidget *slip, const char *heading)
{
  GtkWidget *label = side_find_labelled (slip, heading);

  if (!label)
    fail_msg ("there is no heading \"%s\"", heading);
  gtk_expander_set_expanded (GTK_EXPANDER (gtk_widget_get_ancestor (label, GTK_TYPE_EXPANDER)),
                             TRUE);
}

static void
the_record_opens_newest_first_and_can_be_struck (void **state)
{
  Bench *bench = *state;
  GtkWidget *slip = new_slip (bench);
  SideWindow *window;
  g_autofree char *text = NULL;
  g_autofree char *asked = NULL;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  for (int i = 0; i < 3; i++)
    {
      assert_true (rake_session_pass_done (bench->session));
      assert_true (rake_session_say_state (bench->session, bench->left, RAKE_STATE_LOW_SPOT,
                                           0.5 - 0.1 * i, 20));
    }
  window = side_window_show (slip, 320, 1200);
  side_assert_does_not_read (slip, "Pass 3 at P800");
  open_expander (slip, "Passes  3");
  side_window_settle (window);
  text = side_read (slip);
  assert_non_null (strstr (text, "Pass 3 at P800"));
  assert_true (strstr (text, "Pass 3 at P800") < strstr (text, "Pass 1 at P800"));
  assert_non_null (strstr (text, "30\u00a0% glossy after it"));
  {
    GtkWidget *row =
        gtk_widget_get_ancestor (side_find_labelled (slip, "Pass 3 at P800"), RAKE_TYPE_RECORD_ROW);
    g_signal_emit_by_name (side_find (row, GTK_TYPE_BUTTON), "clicked");
  }
  asked = side_window_take_asked (window);
  assert_true (g_str_has_prefix (asked, "win.strike "));
  side_window_close (window);
}

static void
read_film (Bench *bench, RakeId zone, double film_um)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_READING);

  entry->reading.zone = zone;
  entry->reading.quantity = RAKE_QUANTITY_FILM_UM;
  entry->reading.value = film_um;
  assert_true (rake_session_append (bench->session, &entry, 1));
}

static void
say_nominal (Bench *bench, double nominal_um)
{
  g_autoptr (RakeEntry) entry =
      rake_nominal_new_entry (rake_session_get_job (bench->session), nominal_um);

  assert_true (rake_session_append (bench->session, &entry, 1));
}

static void
readings_are_held_to_the_nominal_film (void **state)
{
  Bench *bench = *state;
  GtkWidget *slip = new_slip (bench), *label;
  SideWindow *window;

  bench_select (bench, bench->left);
  read_film (bench, bench->left, 104);
  window = side_window_show (slip, 320, 900);
  side_assert_does_not_read (slip, "nominal");

  say_nominal (bench, 100);
  side_window_settle (window);
  side_assert_reads (slip, "Left: 1 reading of the film as coated, 104 µm, passes against a "
                           "nominal 100 µm.");
  side_assert_does_not_read (slip, "Top:"); /* read nowhere else: nothing more to say */

  read_film (bench, bench->right, 76);
  side_window_settle (window);
  label = side_find_labelled (
      slip, "Top: 2 readings of the film as coated, 90.0\302\240±\302\24019.8\302\240µm, do not "
            "pass against a nominal "
            "100 µm. The mean is under the nominal film. A reading is under four fifths of the "
            "nominal film.");
  assert_non_null (label);
  assert_true (gtk_widget_has_css_class (label, "caution"));

  /* Once it is sanded, a thinner film is what was wanted. */
  assert_true (rake_session_pass_done (bench->session));
  read_film (bench, bench->left, 60);
  side_window_settle (window);
  side_assert_reads (slip, "Left: 1 reading of the film as coated");
  side_window_close (window);
}

/* Types @text into the entry named @name by its label, and enters it. */
static void
enter (GtkWidget *dialog, const char *label, const char *text)
{
  GtkWidget *found = side_find_labelled (dialog, label);
  GtkWidget *entry = found ? gtk_widget_get_next_sibling (found) : NULL;

  if (!entry)
    fail_msg ("there is no entry \"%s\"", label);
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  g_signal_emit_by_name (entry, "activate");
}

static void
the_nominal_film_is_said_where_films_are_read (void **state)
{
  Bench *bench = *state;
  SideWindow *window = side_window_show (new_slip (bench), 320, 900);
  GtkWidget *dialog = GTK_WIDGET (
      rake_reading_dialog_present (side_window_get_window (window), bench->session, bench->left));
  const RakeJobFacts *facts;
  guint before;

  g_object_add_weak_pointer (G_OBJECT (dialog), (gpointer *) &dialog);
  side_window_settle (window);
  enter (dialog, "Numbers in µm", "104 99.5");
  side_assert_does_not_read (dialog, "against");
  before = bench_count_entries (bench);
  enter (dialog, "Nominal film in µm", "3 m");
  assert_int_equal (bench_count_entries (bench), before); /* refused, and it says so */
  side_assert_reads (dialog, "3");
  enter (dialog, "Nominal film in µm", "100");
  facts = rake_job_find_facts (rake_session_get_job (bench->session));
  assert_true (facts->nominal_film_um == 100);
  assert_string_equal (facts->name, "Tray 3");
  side_assert_reads (
      dialog, "Left: 2 readings of the film as coated, 101.8\302\240±\302\2403.2\302\240µm, do not "
              "pass against a nominal 100 µm. A fifth or more of the readings are "
              "under the nominal film.");
  enter (dialog, "Nominal film in µm", "100"); /* nothing new is nothing written */
  assert_int_equal (bench_count_entries (bench), before + 1);
  enter (dialog, "Nominal film in µm", "");
  assert_true (
      isnan (rake_job_find_facts (rake_session_get_job (bench->session))->nominal_film_um));
  side_assert_does_not_read (dialog, "against");
  gtk_window_destroy (GTK_WINDOW (dialog));
  side_window_settle (window);
  assert_null (dialog);
  side_window_close (window);
}

/* 300 px are what the bench gives at 1280 px; nothing may ask for more. */
static void
it_never_needs_more_than_its_place (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeShape) line = bench_new_line (10, 20, 40, 20);
  GtkWidget *slip = new_slip (bench);
  SideWindow *window;
  int least_px;

  bench_set_dry (bench);
  bench_select (bench, bench->left);
  assert_true (rake_session_mark (bench->session, RAKE_MARK_WITNESS_LINE, line));
  assert_true (rake_session_pass_done (bench->session));
  assert_true (rake_session_note (bench->session, bench->left,
                                  "Donaudampfschifffahrtsgesellschaftskapitänsmützenschrank"));
  window = side_window_show (slip, 320, 1400);
  open_expander (slip, "Passes  1");
  open_expander (slip, "Looks  1");
  open_expander (slip, "Marks  1");
  open_expander (slip, "Notes  1");
  open_expander (slip, "How much is still glossy, by eye");
  side_window_settle (window);
  gtk_widget_measure (slip, GTK_ORIENTATION_HORIZONTAL, -1, &least_px, NULL, NULL, NULL);
  assert_int_equal (least_px, 300);
  side_window_close (window);
}

int
main (void)
{
#define ON_A_BENCH(name) cmocka_unit_test_setup_teardown (name, bench_set_up, bench_take_down)
  const struct CMUnitTest tests[] = {
    ON_A_BENCH (the_verdict_is_read_with_its_reason),
    ON_A_BENCH (several_zones_are_a_summary_and_none_a_word),
    ON_A_BENCH (marks_from_before_are_asked_about_one_by_one_and_together),
    ON_A_BENCH (an_estimate_by_eye_is_one_look),
    ON_A_BENCH (nothing_glossy_by_eye_is_uniform),
    ON_A_BENCH (an_accepted_zone_says_so_and_why),
    ON_A_BENCH (a_repair_is_offered_where_the_verdict_asks_for_it),
    ON_A_BENCH (the_record_opens_newest_first_and_can_be_struck),
    ON_A_BENCH (readings_are_held_to_the_nominal_film),
    ON_A_BENCH (the_nominal_film_is_said_where_films_are_read),
    ON_A_BENCH (it_never_needs_more_than_its_place),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
