/* test-record-page.c - a burn from its finding to the claim about it, on the record page, with the clock
 * set on in between; and what the command line then says of the file.
 *
 *   test-record-page RAKELIGHT-CLI */
#include "claim-dialog.h"
#include "defect-dialog.h"
#include "hand-over-part.h"
#include "record-page.h"
#include "side-window.h"

#include <rakelight/record.h>
#include <string.h>

#define DAY_S (24 * 3600.0)

static const char *cli;

/* --- hands ------------------------------------------------------------------------------------------- */

static GtkWidget *
find_window (GType type)
{
  GListModel *windows = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (windows); i++)
    {
      g_autoptr (GtkWidget) window = g_list_model_get_item (windows, i);

      if (G_TYPE_CHECK_INSTANCE_TYPE (window, type))
        return window;
    }
  fail_msg ("no %s came", g_type_name (type));
  return NULL;
}

static void
say (GtkWidget *dialog, const char *child, const char *text)
{
  GObject *entry = gtk_widget_get_template_child (dialog, G_OBJECT_TYPE (dialog), child);

  gtk_editable_set_text (GTK_EDITABLE (entry), text);
}

static void
choose (GtkWidget *dialog, const char *label)
{
  GtkWidget *row = side_find_labelled (dialog, label);

  while (row && !GTK_IS_CHECK_BUTTON (row))
    row = gtk_widget_get_parent (row);
  if (!row)
    fail_msg ("“%s” is not offered", label);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (row), TRUE);
}

/* --- the command line ---------------------------------------------------------------------------------- */

static char *
ask_cli (const char *command, const char *path, const char *option, const char *value, int *status)
{
  const char *argv[] = { cli, command, path, option, value, NULL };
  g_autoptr (GError) error = NULL;
  int wait_status = 0;
  g_autofree char *said = NULL, *complained = NULL;

  g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_DEFAULT, NULL, NULL, &said, &complained,
                &wait_status, &error);
  g_assert_no_error (error);
  *status = g_spawn_check_wait_status (wait_status, NULL) ? 0 : 1;
  return g_strconcat (said, complained, NULL);
}

static void
assert_cli_says (Bench *bench, const char *part)
{
  int status;
  g_autofree char *said = ask_cli ("status", bench->path, "--json", NULL, &status);

  assert_int_equal (status, 0);
  if (!strstr (said, part))
    fail_msg ("no %s in\n%s", part, said);
}

/* --- the story ----------------------------------------------------------------------------------------- */

static RakeId
burn (Bench *bench)
{
  g_autoptr (RakeShape) place = bench_new_patch (160, 60, 6);

  assert_true (rake_session_mark (bench->session, RAKE_MARK_BURN, place));
  return bench_get_last (bench, 0)->id;
}

static void
keep_it_for_the_record (Bench *bench, SideWindow *side, RakeId mark)
{
  GtkWidget *dialog;

  rake_defect_dialog_present (side_window_get_window (side), bench->session, mark);
  dialog = find_window (RAKE_TYPE_DEFECT_DIALOG);
  say (dialog, "severity", "Seen from any side.");
  say (dialog, "cost", "95 EUR");
  gtk_widget_activate_action (dialog, "defect.record", NULL);
  assert_int_equal (bench_get_last (bench, 0)->kind, RAKE_ENTRY_DEFECT);
}

static void
scrape (Bench *bench, RakeId mark)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_REPAIR);

  entry->repair.zone = bench->right;
  entry->repair.method = RAKE_REPAIR_SCRAPED;
  g_array_append_val (entry->repair.marks, mark);
  assert_true (rake_session_append (bench->session, &entry, 1));
}

/* Left as agreed wants a reason, and nothing is written before there is one. */
static void
tell_more_of_it (Bench *bench, SideWindow *side, GtkWidget *page, RakeId defect)
{
  char id[RAKE_ID_TEXT_LENGTH + 1];
  guint n_before = bench_count_entries (bench);
  GtkWidget *dialog;

  rake_id_to_text (defect, id);
  gtk_widget_activate_action (page, "record.tell", "s", id);
  dialog = find_window (RAKE_TYPE_DEFECT_DIALOG);
  choose (dialog, rake_standing_get_label (RAKE_STANDING_LEFT_AS_AGREED));
  gtk_widget_activate_action (dialog, "defect.record", NULL);
  assert_int_equal (bench_count_entries (bench), n_before);
  choose (dialog, rake_standing_get_label (RAKE_STANDING_REPAIRED));
  say (dialog, "outcome", "Not found again under two lamps.");
  gtk_widget_activate_action (dialog, "defect.record", NULL);
  assert_int_equal (bench_count_entries (bench), n_before + 1);
}

static void
look_from_two_sides (Bench *bench)
{
  RakeBench set = *rake_session_get_bench (bench->session);
  const RakeId zones[] = { bench->left, bench->middle, bench->right };

  for (guint i = 0; i < 2 * G_N_ELEMENTS (zones); i++)
    {
      bench_select (bench, zones[i / 2]);
      set.lamp_deg = i % 2 == 0 ? 0 : 90;
      set.light = RAKE_LIGHT_LAMP;
      set.surface = RAKE_SURFACE_DRY;
      rake_session_set_bench (bench->session, &set);
      assert_true (rake_session_all_even (bench->session));
    }
}

static void
accept_what_is_left (Bench *bench)
{
  for (guint round = 0; round < 3; round++)
    {
      g_autoptr (GPtrArray) obstacles =
          rake_job_list_obstacles (rake_session_get_live_job (bench->session),
                                   rake_session_get_rules (bench->session), rake_session_now_ms ());

      rake_session_catch_up (bench->session);
      for (guint i = 0; i < obstacles->len; i++)
        {
          const RakeObstacle *obstacle = obstacles->pdata[i];

          if (obstacle->kind == RAKE_OBSTACLE_ZONE)
            rake_session_accept (bench->session, obstacle->about, "agreed with the owner");
        }
    }
}

static void
hand_over (Bench *bench, SideWindow *side, GtkWidget *page)
{
  GtkWidget *part, *dialog;

  rake_record_page_show_part (RAKE_RECORD_PAGE (page), "hand-over");
  side_window_settle (side);
  part = side_find (page, RAKE_TYPE_HAND_OVER_PART);
  side_assert_reads (part, "Nothing stands in the way of a hand-over.");
  side_assert_reads (part, "no legal advice");
  say (part, "light", "window light from the north");
  say (part, "distance", "600");
  side_assert_reads (part, "Under window light from the north, from 600 mm.");
  gtk_widget_activate_action (part, "hand-over.hand-over", NULL);
  dialog = find_window (ADW_TYPE_MESSAGE_DIALOG);
  adw_message_dialog_response (ADW_MESSAGE_DIALOG (dialog), "hand-over");
  side_window_settle (side);
  assert_int_equal (bench_get_last (bench, 0)->kind, RAKE_ENTRY_HAND_OVER);
  side_assert_reads (part, "The job is closed for work, and open for claims.");
  side_assert_reads (part, bench_get_last (bench, 0)->hand_over.seal);
}

static void
open_a_claim (Bench *bench, GtkWidget *page, RakeId defect)
{
  char id[RAKE_ID_TEXT_LENGTH + 1];
  GtkWidget *dialog;

  rake_id_to_text (defect, id);
  gtk_widget_activate_action (page, "record.claim", "s", id);
  dialog = find_window (RAKE_TYPE_CLAIM_DIALOG);
  say (dialog, "complaint", "A ring where the burn was.");
  gtk_widget_activate_action (dialog, "claim.record", NULL);
  assert_int_equal (bench_get_last (bench, 0)->kind, RAKE_ENTRY_CLAIM);
  assert_true (rake_id_equal (bench_get_last (bench, 0)->claim.about, defect));
}

static void
decide_it (Bench *bench, SideWindow *side, GtkWidget *page)
{
  RakeId claim = bench_get_last (bench, 0)->id;
  char id[RAKE_ID_TEXT_LENGTH + 1];
  GtkWidget *dialog;

  rake_record_page_show_thing (RAKE_RECORD_PAGE (page), claim);
  side_window_settle (side);
  side_assert_reads (page, "A ring where the burn was.");
  side_assert_reads (page, "Then, when it was handed over");
  rake_id_to_text (claim, id);
  gtk_widget_activate_action (page, "record.tell", "s", id);
  dialog = find_window (RAKE_TYPE_CLAIM_DIALOG);
  say (dialog, "finding", "Wax of a candle; it came off with a soft cloth.");
  choose (dialog, rake_decision_get_label (RAKE_DECISION_GOODWILL));
  gtk_widget_activate_action (dialog, "claim.record", NULL);
  if (bench_get_last (bench, 0)->claim.decision != RAKE_DECISION_GOODWILL)
    fail_msg ("not decided: %s %s", bench_get_message (bench), side_read (dialog));
  side_window_settle (side);
  side_assert_reads (page, "Goodwill");
}

static void
assert_seal_holds (Bench *bench)
{
  const RakeEntry *entry =
      rake_job_find_hand_over (rake_session_get_live_job (bench->session), NULL);
  int status;
  g_autofree char *wrong = g_strdup (entry->hand_over.seal);
  g_autofree char *said = ask_cli ("verify", bench->path, "--seal", entry->hand_over.seal, &status);
  g_autofree char *refused = NULL;

  /* It is not the job's seal any more, for the hand-over and the claim came after it. */
  assert_int_not_equal (status, 0);
  assert_non_null (strstr (said, "is whole and had this seal"));
  wrong[5] = wrong[5] == '0' ? '1' : '0';
  refused = ask_cli ("verify", bench->path, "--seal", wrong, &status);
  assert_int_not_equal (status, 0);
  assert_non_null (strstr (refused, "after none of its entries"));
}

static void
a_burn_is_told_from_its_finding_to_the_claim (void **state)
{
  Bench *bench = *state;
  GtkWidget *page = g_object_new (RAKE_TYPE_RECORD_PAGE, NULL);
  g_autoptr (GPtrArray) nothing = g_ptr_array_new ();
  SideWindow *side;
  RakeId mark, defect;

  g_object_set (page, "session", bench->session, NULL);
  side = side_window_show (page, 1200, 700);
  assert_true (rake_session_begin_stage (bench->session, bench->stages[3], nothing, NULL));
  mark = burn (bench);
  keep_it_for_the_record (bench, side, mark);
  defect = bench_get_last (bench, 0)->id;
  side_window_settle (side);
  side_assert_reads (page, "Seen from any side.");
  side_assert_reads (page, "95.00 EUR");
  assert_cli_says (bench, "\"standing\": \"open\"");

  bench_let_time_pass (DAY_S);
  scrape (bench, mark);
  tell_more_of_it (bench, side, page, defect);
  bench_let_time_pass (60 * DAY_S);
  look_from_two_sides (bench);
  accept_what_is_left (bench);
  hand_over (bench, side, page);
  assert_cli_says (bench, "\"is_closed\": true");
  assert_false (rake_session_check_work (bench->session));

  bench_let_time_pass (300 * DAY_S);
  open_a_claim (bench, page, defect);
  assert_true (rake_session_check_work (bench->session));
  assert_cli_says (bench, "\"is_closed\": false");
  decide_it (bench, side, page);
  assert_cli_says (bench, "\"is_closed\": true");
  assert_seal_holds (bench);
  side_window_close (side);
}

static void
what_stands_in_the_way_is_said_with_a_way_there (void **state)
{
  Bench *bench = *state;
  GtkWidget *page = g_object_new (RAKE_TYPE_RECORD_PAGE, NULL), *part;
  SideWindow *side;
  guint n_before = bench_count_entries (bench);

  g_object_set (page, "session", bench->session, NULL);
  side = side_window_show (page, 1200, 700);
  rake_record_page_show_part (RAKE_RECORD_PAGE (page), "hand-over");
  side_window_settle (side);
  part = side_find (page, RAKE_TYPE_HAND_OVER_PART);
  side_assert_reads (part, "Top is at P800; it has still to go to cut.");
  side_assert_reads (part, "First clear what stands in the way, above.");
  gtk_widget_activate_action (part, "hand-over.hand-over", NULL);
  assert_int_equal (bench_count_entries (bench), n_before);
  rake_record_page_show_part (RAKE_RECORD_PAGE (page), "claims");
  side_window_settle (side);
  side_assert_reads (page, "Claims come after the hand-over.");
  side_window_close (side);
}

#define BENCH_TEST(test) cmocka_unit_test_setup_teardown (test, bench_set_up, bench_take_down)

int
main (int argc, char **argv)
{
  const struct CMUnitTest tests[] = {
    BENCH_TEST (a_burn_is_told_from_its_finding_to_the_claim),
    BENCH_TEST (what_stands_in_the_way_is_said_with_a_way_there),
  };

  g_assert (argc == 2);
  cli = argv[1];
  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
