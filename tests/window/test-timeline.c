/* test-timeline.c - the ribbon takes the map back and forth, by hand and by key, and draws its dots
 * only when the logbook has changed. Run on a display. */
#include "side-window.h"
#include "timeline.h"

#include <math.h>
#include <string.h>

static GtkWidget *
new_timeline (Bench *bench)
{
  return g_object_new (RAKE_TYPE_TIMELINE, "session", bench->session, NULL);
}

static void
make_passes (Bench *bench, guint n_passes)
{
  bench_select (bench, bench->left);
  for (guint i = 0; i < n_passes; i++)
    assert_true (rake_session_pass_done (bench->session));
}

static void
keys_move_it_and_the_end_is_now (void **state)
{
  Bench *bench = *state;
  GtkWidget *timeline = new_timeline (bench);
  SideWindow *window;
  guint n_entries;

  make_passes (bench, 3);
  n_entries = bench_count_entries (bench);
  window = side_window_show (timeline, 800, 60);
  assert_false (rake_session_is_in_the_past (bench->session));

  assert_true (gtk_widget_activate_action (timeline, "timeline.earlier", NULL));
  assert_true (rake_session_is_in_the_past (bench->session));
  assert_int_equal (rake_session_get_shown_entries (bench->session), n_entries - 1);
  assert_true (gtk_widget_activate_action (timeline, "timeline.earlier", NULL));
  assert_int_equal (rake_session_get_shown_entries (bench->session), n_entries - 2);
  assert_true (gtk_widget_activate_action (timeline, "timeline.later", NULL));
  assert_int_equal (rake_session_get_shown_entries (bench->session), n_entries - 1);
  assert_true (gtk_widget_activate_action (timeline, "timeline.later", NULL));
  assert_false (rake_session_is_in_the_past (bench->session));

  assert_true (gtk_widget_activate_action (timeline, "timeline.first", NULL));
  assert_int_equal (rake_session_get_shown_entries (bench->session), n_entries - 3);
  assert_true (gtk_widget_activate_action (timeline, "timeline.earlier", NULL)); /* no further */
  assert_int_equal (rake_session_get_shown_entries (bench->session), n_entries - 3);
  assert_true (gtk_widget_activate_action (timeline, "timeline.now", NULL));
  assert_false (rake_session_is_in_the_past (bench->session));
  side_window_close (window);
}

/* Keys as GTK gives them to us. */
static void
arrows_are_bound (void **state)
{
  Bench *bench = *state;
  GtkWidget *timeline = new_timeline (bench);
  SideWindow *window;

  make_passes (bench, 2);
  window = side_window_show (timeline, 800, 60);
  assert_true (gtk_widget_grab_focus (timeline));
  {
    g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (timeline);
    gboolean has_left = FALSE;

    for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
      {
        g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);
        if (!GTK_IS_SHORTCUT_CONTROLLER (controller))
          continue;
        for (guint j = 0; j < g_list_model_get_n_items (G_LIST_MODEL (controller)); j++)
          {
            g_autoptr (GtkShortcut) shortcut = g_list_model_get_item (G_LIST_MODEL (controller), j);
            GtkShortcutTrigger *trigger = gtk_shortcut_get_trigger (shortcut);

            if (!GTK_IS_KEYVAL_TRIGGER (trigger) ||
                gtk_keyval_trigger_get_keyval (GTK_KEYVAL_TRIGGER (trigger)) != GDK_KEY_Left)
              continue;
            has_left = TRUE;
            assert_true (gtk_shortcut_action_activate (gtk_shortcut_get_action (shortcut), 0,
                                                       timeline,
                                                       gtk_shortcut_get_arguments (shortcut)));
          }
      }
    assert_true (has_left);
  }
  assert_true (rake_session_is_in_the_past (bench->session));
  side_window_close (window);
}

static void
a_hand_finds_the_nearest_moment (void **state)
{
  Bench *bench = *state;
  GtkWidget *timeline = new_timeline (bench);
  SideWindow *window;
  guint n_entries;

  make_passes (bench, 4);
  n_entries = bench_count_entries (bench);
  window = side_window_show (timeline, 800, 60);
  /* Five moments, 54 px apart from 14 px on. */
  rake_timeline_move_to (RAKE_TIMELINE (timeline), 14 + 2 * 54 + 10);
  assert_int_equal (rake_session_get_shown_entries (bench->session), n_entries - 2);
  rake_timeline_move_to (RAKE_TIMELINE (timeline), 0);
  assert_int_equal (rake_session_get_shown_entries (bench->session), n_entries - 4);
  rake_timeline_move_to (RAKE_TIMELINE (timeline), 790);
  assert_false (rake_session_is_in_the_past (bench->session));
  side_window_close (window);
}

static void
it_says_where_it_stands (void **state)
{
  Bench *bench = *state;
  GtkWidget *timeline = new_timeline (bench);
  SideWindow *window;
  g_autofree char *text = NULL;

  make_passes (bench, 2);
  window = side_window_show (timeline, 800, 60);
  rake_timeline_move_to (RAKE_TIMELINE (timeline), 14 + 54);
  text = rake_timeline_describe (RAKE_TIMELINE (timeline));
  assert_non_null (strstr (text, "09:0")); /* the bench's clock */
  assert_non_null (strstr (text, "P800"));
  side_window_close (window);
}

/* Dragging must not draw twenty thousand dots a frame. */
static void
the_dots_are_kept_while_it_moves (void **state)
{
  Bench *bench = *state;
  GtkWidget *timeline = new_timeline (bench);
  SideWindow *window;
  guint n_drawn;

  make_passes (bench, 5);
  window = side_window_show (timeline, 800, 60);
  n_drawn = rake_timeline_get_n_drawn (RAKE_TIMELINE (timeline));
  assert_true (n_drawn >= 1);
  for (int x_px = 700; x_px > 0; x_px -= 50)
    {
      rake_timeline_move_to (RAKE_TIMELINE (timeline), x_px);
      side_window_settle (window);
    }
  assert_true (gtk_widget_activate_action (timeline, "timeline.now", NULL));
  side_window_settle (window);
  assert_int_equal (rake_timeline_get_n_drawn (RAKE_TIMELINE (timeline)), n_drawn);
  make_passes (bench, 1);
  side_window_settle (window);
  assert_int_equal (rake_timeline_get_n_drawn (RAKE_TIMELINE (timeline)), n_drawn + 1);
  side_window_close (window);
}

static void
another_session_or_none_is_shown_at_once (void **state)
{
  Bench *bench = *state;
  GtkWidget *timeline = new_timeline (bench);
  SideWindow *window = side_window_show (timeline, 800, 60);

  g_object_set (timeline, "session", NULL, NULL);
  side_window_settle (window);
  assert_null (rake_timeline_describe (RAKE_TIMELINE (timeline)));
  assert_true (gtk_widget_activate_action (timeline, "timeline.earlier", NULL)); /* nothing to do */
  g_object_set (timeline, "session", bench->session, NULL);
  side_window_settle (window);
  side_window_close (window);
}

int
main (void)
{
#define ON_A_BENCH(name) cmocka_unit_test_setup_teardown (name, bench_set_up, bench_take_down)
  const struct CMUnitTest tests[] = {
    ON_A_BENCH (keys_move_it_and_the_end_is_now),
    ON_A_BENCH (arrows_are_bound),
    ON_A_BENCH (a_hand_finds_the_nearest_moment),
    ON_A_BENCH (it_says_where_it_stands),
    ON_A_BENCH (the_dots_are_kept_while_it_moves),
    ON_A_BENCH (another_session_or_none_is_shown_at_once),
  };

  g_setenv ("TZ", "UTC", TRUE);
  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
