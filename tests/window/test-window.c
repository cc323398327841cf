/* test-window.c - the window around the bench: pages, actions, questions, sizes, colours. */
#include "bench-job.h"
#include "bench-page.h"
#include "side-window.h"
#include "window.h"

#include <glib/gstdio.h>
#include <math.h>
#include <rakelight/palette.h>
#include <stdlib.h>
#include <string.h>

typedef struct
{
  Bench *bench;
  RakeWindow *window;
} Open;

static void
settle (RakeWindow *window)
{
  for (int i = 0; i < 3; i++)
    {
      while (g_main_context_iteration (NULL, FALSE))
        ;
      gtk_widget_queue_draw (GTK_WIDGET (window));
      gtk_test_widget_wait_for_draw (GTK_WIDGET (window));
    }
}

static int
set_up (void **state)
{
  Open *open = g_new0 (Open, 1);

  bench_set_up ((void **) &open->bench);
  open->window = rake_window_new (side_get_application ());
  gtk_window_present (GTK_WINDOW (open->window));
  rake_window_set_session (open->window, open->bench->session);
  settle (open->window);
  *state = open;
  return 0;
}

/* A leaked widget stays reachable through GTK's own tables; only a weak pointer tells. */
static int
take_down (void **state)
{
  Open *open = *state;
  gpointer window = open->window, session = open->bench->session, bench = open->bench;

  /* cppcheck does not see that the weak pointer is what clears it. */
  /* cppcheck-suppress nullPointerRedundantCheck */
  g_object_add_weak_pointer (window, &window);
  if (session)
    g_object_add_weak_pointer (session, &session);
  gtk_window_destroy (GTK_WINDOW (open->window));
  for (int i = 0; i < 200 && window; i++)
    g_main_context_iteration (NULL, FALSE);
  assert_null (window);
  bench_close (open->bench);
  assert_null (session);
  bench_take_down (&bench);
  g_free (open);
  return 0;
}

/* --- helpers --------------------------------------------------------------------------------- */

static gboolean
act (Open *open, const char *action, const char *target)
{
  return target ? gtk_widget_activate_action (GTK_WIDGET (open->window), action, "s", target)
                : gtk_widget_activate_action (GTK_WIDGET (open->window), action, NULL);
}

static GtkWidget *
find_button_of (GtkWidget *widget, const char *action)
{
  if (GTK_IS_ACTIONABLE (widget) &&
      g_strcmp0 (gtk_actionable_get_action_name (GTK_ACTIONABLE (widget)), action) == 0)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_button_of (child, action);
      if (found)
        return found;
    }
  return NULL;
}

static gboolean
is_offered (Open *open, const char *action)
{
  GtkWidget *button = find_button_of (GTK_WIDGET (open->window), action);

  assert_non_null (button);
  return gtk_widget_is_sensitive (button);
}

static AdwMessageDialog *
find_dialog (void)
{
  GListModel *windows = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (windows); i++)
    {
      g_autoptr (GtkWindow) window = g_list_model_get_item (windows, i);
      if (ADW_IS_MESSAGE_DIALOG (window) && gtk_widget_get_visible (GTK_WIDGET (window)))
        return ADW_MESSAGE_DIALOG (window);
    }
  return NULL;
}

/* --- pages and actions ----------------------------------------------------------------------- */

static void
the_title_says_piece_and_face (void **state)
{
  Open *open = *state;

  assert_string_equal (gtk_window_get_title (GTK_WINDOW (open->window)), "Tray 3 — Top");
}

static void
the_shelf_takes_the_job_off_the_bench (void **state)
{
  Open *open = *state;

  assert_true (is_offered (open, "win.pass-done"));
  assert_true (act (open, "win.back-to-shelf", NULL));
  settle (open->window);
  assert_null (rake_window_get_session (open->window));
  assert_false (is_offered (open, "win.pass-done"));
  assert_false (is_offered (open, "win.undo"));
}

static void
a_job_is_opened_by_its_path (void **state)
{
  Open *open = *state;
  g_autofree char *path = g_strdup (open->bench->path);

  assert_true (act (open, "win.back-to-shelf", NULL));
  assert_true (act (open, "win.open-job", path));
  assert_non_null (rake_window_get_session (open->window));
  assert_string_equal (rake_session_get_path (rake_window_get_session (open->window)), path);
}

static void
what_is_no_job_is_said_and_leaves_the_page (void **state)
{
  Open *open = *state;
  g_autofree char *path = g_build_filename (open->bench->folder, "letter.rakejob", NULL);

  assert_true (g_file_set_contents (path, "Dear finisher,", -1, NULL));
  assert_true (act (open, "win.back-to-shelf", NULL));
  assert_false (rake_window_open (open->window, path));
  assert_null (rake_window_get_session (open->window));
  assert_non_null (find_dialog ());
  gtk_window_destroy (GTK_WINDOW (find_dialog ()));
}

static void
undo_is_offered_once_there_is_something_to_undo (void **state)
{
  Open *open = *state;
  guint before;

  /* Making the job was a gesture of this bench, too; it is undone as one. */
  bench_select (open->bench, open->bench->left);
  before = bench_count_entries (open->bench);
  assert_true (act (open, "win.pass-done", NULL));
  assert_int_equal (bench_count_entries (open->bench), before + 1);
  assert_true (is_offered (open, "win.undo"));
  assert_true (act (open, "win.undo", NULL));
  assert_int_equal (bench_get_last (open->bench, 0)->kind, RAKE_ENTRY_STRIKE);
  assert_true (is_offered (open, "win.redo"));
  assert_true (act (open, "win.redo", NULL));
}

static void
a_brush_is_taken_and_put_down_by_the_same_key (void **state)
{
  Open *open = *state;

  assert_true (act (open, "win.brush", "scratch"));
  assert_int_equal (rake_session_get_bench (open->bench->session)->brush, RAKE_MARK_SCRATCH);
  assert_true (act (open, "win.brush", "uniform"));
  assert_true (rake_session_get_bench (open->bench->session)->brush_is_uniform);
  assert_int_equal (rake_session_get_bench (open->bench->session)->brush, RAKE_MARK_UNSAID);
  assert_true (act (open, "win.brush", "uniform"));
  assert_false (rake_session_get_bench (open->bench->session)->brush_is_uniform);
}

static void
a_pass_on_a_ready_zone_is_asked_about_first (void **state)
{
  Open *open = *state;
  guint before;

  bench_set_dry (open->bench);
  bench_select (open->bench, open->bench->left);
  assert_true (act (open, "win.pass-done", NULL));
  assert_true (act (open, "win.all-even", NULL));
  assert_int_equal (bench_get_verdict (open->bench, open->bench->left), RAKE_VERDICT_READY);
  before = bench_count_entries (open->bench);

  assert_true (act (open, "win.pass-done", NULL));
  assert_non_null (find_dialog ());
  assert_int_equal (bench_count_entries (open->bench), before);
  adw_message_dialog_response (find_dialog (), "leave");
  settle (open->window);
  assert_int_equal (bench_count_entries (open->bench), before);

  assert_true (act (open, "win.pass-done", NULL));
  adw_message_dialog_response (find_dialog (), "pass");
  settle (open->window);
  assert_int_equal (bench_count_entries (open->bench), before + 1);
}

static void
nothing_that_writes_is_offered_in_the_past (void **state)
{
  Open *open = *state;

  bench_select (open->bench, open->bench->left);
  assert_true (act (open, "win.pass-done", NULL));
  rake_session_show_entries (open->bench->session, bench_count_entries (open->bench) - 1);
  settle (open->window);
  assert_false (is_offered (open, "win.pass-done"));
  assert_false (is_offered (open, "win.all-even"));
  assert_false (is_offered (open, "win.undo"));
  assert_true (act (open, "win.show-now", NULL));
  settle (open->window);
  assert_true (is_offered (open, "win.pass-done"));
}

static void
a_ghost_is_answered_from_its_chip (void **state)
{
  Open *open = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (10, 20, 40, 20);
  GtkWidget *gone;
  const RakeMark *mark;

  bench_set_dry (open->bench);
  bench_select (open->bench, open->bench->left);
  assert_true (rake_session_mark (open->bench->session, RAKE_MARK_SCRATCH, scratch));
  assert_true (act (open, "win.pass-done", NULL));
  settle (open->window);
  gone = find_button_of (GTK_WIDGET (open->window), "win.gone");
  assert_non_null (gone);
  g_signal_emit_by_name (gone, "clicked");
  mark = bench_get_zone (open->bench, open->bench->left)->marks->pdata[0];
  assert_non_null (mark->closed_by);
}

/* --- sizes ----------------------------------------------------------------------------------- */

/* Nothing scrolls sideways, and nothing hangs over. */
static void
the_bench_fits_a_low_and_narrow_screen (void **state)
{
  Open *open = *state;
  int width, height;

  gtk_widget_measure (GTK_WIDGET (open->window), GTK_ORIENTATION_HORIZONTAL, -1, &width, NULL, NULL,
                      NULL);
  gtk_widget_measure (GTK_WIDGET (open->window), GTK_ORIENTATION_VERTICAL, 1280, &height, NULL,
                      NULL, NULL);
  if (width > 1280 || height > 720)
    fail_msg ("the window needs %d by %d px, more than 1280 by 720", width, height);
}

static void
resize (Open *open, int width, int height)
{
  gtk_window_set_default_size (GTK_WINDOW (open->window), width, height);
  for (int i = 0; i < 50; i++)
    {
      settle (open->window);
      if (gtk_widget_get_width (GTK_WIDGET (open->window)) == width)
        break;
      g_usleep (20000);
    }
}

static GtkWidget *
find_type (GtkWidget *widget, const char *type)
{
  if (g_strcmp0 (G_OBJECT_TYPE_NAME (widget), type) == 0)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_type (child, type);
      if (found)
        return found;
    }
  return NULL;
}

static void
a_narrow_window_folds_the_faces_into_a_strip (void **state)
{
  static const struct
  {
    int width, height;
    GtkOrientation faces;
  } cases[] = {
    { 1280, 720, GTK_ORIENTATION_HORIZONTAL },
    { 1500, 900, GTK_ORIENTATION_VERTICAL },
    { 1300, 800, GTK_ORIENTATION_HORIZONTAL },
  };
  Open *open = *state;
  GtkWidget *faces = find_type (GTK_WIDGET (open->window), "RakeFaceList");
  GtkWidget *slip = find_type (GTK_WIDGET (open->window), "RakeZoneSlip");
  GtkWidget *timeline = find_type (GTK_WIDGET (open->window), "RakeTimeline");

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      graphene_rect_t box;
      resize (open, cases[i].width, cases[i].height);
      assert_int_equal (gtk_orientable_get_orientation (GTK_ORIENTABLE (faces)), cases[i].faces);
      assert_true (gtk_widget_get_allocated_width (slip) >= 300);
      assert_true (gtk_widget_get_allocated_height (timeline) >= 28);
      assert_true (gtk_widget_compute_bounds (slip, GTK_WIDGET (open->window), &box));
      assert_true (box.origin.x + box.size.width <= cases[i].width + 0.5);
    }
}

/* Dusty fingers at arm's length: 44 px and more, the two big buttons and the brushes 64. The window's
 * own controls are the desktop's business. */
static void
check_targets (GtkWidget *widget, GtkWidget *window)
{
  if (!gtk_widget_get_mapped (widget) || GTK_IS_WINDOW_CONTROLS (widget))
    return;
  if (GTK_IS_BUTTON (widget) || GTK_IS_MENU_BUTTON (widget))
    {
      gboolean is_large = gtk_widget_has_css_class (widget, "big") ||
                          (gtk_widget_has_css_class (widget, "brush") && GTK_IS_BUTTON (widget));
      int least = is_large ? 64 : 44;
      graphene_rect_t box;
      assert_true (gtk_widget_compute_bounds (widget, window, &box));
      if (box.size.height < (float) least || box.size.width < 44)
        fail_msg ("%s (%s) is %.0f by %.0f px", G_OBJECT_TYPE_NAME (widget),
                  GTK_IS_ACTIONABLE (widget)
                      ? gtk_actionable_get_action_name (GTK_ACTIONABLE (widget))
                      : "",
                  box.size.width, box.size.height);
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    check_targets (child, window);
}

static void
every_target_is_large_enough (void **state)
{
  static const int sizes[][2] = { { 1280, 720 }, { 1500, 900 } };
  Open *open = *state;
  g_autoptr (RakeShape) scratch = bench_new_line (10, 20, 40, 20);

  bench_select (open->bench, open->bench->left);
  assert_true (rake_session_mark (open->bench->session, RAKE_MARK_SCRATCH, scratch));
  assert_true (rake_session_pass_done (open->bench->session));
  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      resize (open, sizes[i][0], sizes[i][1]);
      check_targets (GTK_WIDGET (open->window), GTK_WIDGET (open->window));
    }
}

/* --- colours --------------------------------------------------------------------------------- */

static char *
get_style (const char *name)
{
  g_autofree char *path = g_strconcat ("/org/rakelight/Rakelight/", name, NULL);
  g_autoptr (GBytes) bytes = g_resources_lookup_data (path, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);

  assert_non_null (bytes);
  return g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
}

static void
check_token (const char *style, const char *sheet, const char *token, RakeColour colour)
{
  g_autofree char *start = g_strdup_printf ("@define-color rake_%s #", token);
  const char *found = strstr (sheet, start);
  long number;

  if (!found)
    fail_msg ("%s has no token rake_%s", style, token);
  number = strtol (found + strlen (start), NULL, 16);
  if (number != ((lround (colour.red * 255) << 16) | (lround (colour.green * 255) << 8) |
                 lround (colour.blue * 255)))
    fail_msg ("%s: rake_%s is #%06lx, the palette has %.0f %.0f %.0f", style, token, number,
              colour.red * 255, colour.green * 255, colour.blue * 255);
}

/* The map is drawn with the palette, what stands around it styled with the tokens. */
static void
the_style_sheets_have_the_palettes_colours (void **state)
{
  static const struct
  {
    const char *style;
    RakeTheme theme;
  } sheets[] = {
    { "style.css", RAKE_THEME_LIGHT },
    { "style-dark.css", RAKE_THEME_DARK },
  };
  static const struct
  {
    const char *token;
    RakeVerdict verdict;
  } verdicts[] = {
    { "ready", RAKE_VERDICT_READY }, { "sand_again", RAKE_VERDICT_SAND_AGAIN },
    { "look_again", RAKE_VERDICT_LOOK_AGAIN }, { "wait", RAKE_VERDICT_WAIT },
    { "stop", RAKE_VERDICT_STOP }, { "repair", RAKE_VERDICT_REPAIR },
  };

  for (guint i = 0; i < G_N_ELEMENTS (sheets); i++)
    {
      g_autofree char *sheet = get_style (sheets[i].style);
      const RakePalette *palette = rake_palette_get (sheets[i].theme);
      check_token (sheets[i].style, sheet, "ground", palette->ground);
      check_token (sheets[i].style, sheet, "panel", palette->panel);
      check_token (sheets[i].style, sheet, "card", palette->card);
      check_token (sheets[i].style, sheet, "line", palette->line);
      check_token (sheets[i].style, sheet, "ink", palette->ink);
      check_token (sheets[i].style, sheet, "soft_ink", palette->soft_ink);
      check_token (sheets[i].style, sheet, "lamp", palette->lamp);
      check_token (sheets[i].style, sheet, "lamp_fill", palette->lamp_fill);
      for (guint j = 0; j < G_N_ELEMENTS (verdicts); j++)
        check_token (sheets[i].style, sheet, verdicts[j].token,
                     palette->verdict[verdicts[j].verdict]);
    }
}

static RakeColour
get_token (const char *sheet, const char *token)
{
  g_autofree char *start = g_strdup_printf ("@define-color rake_%s #", token);
  long number = strtol (strstr (sheet, start) + strlen (start), NULL, 16);

  return (RakeColour){ (double) (number >> 16 & 255) / 255, (double) (number >> 8 & 255) / 255,
                       (double) (number & 255) / 255, 1 };
}

/* WCAG 2.1, 1.4.3: text 4.5 to 1. */
static void
words_on_the_main_button_can_be_read (void **state)
{
  static const char *const styles[] = { "style.css", "style-dark.css" };

  for (guint i = 0; i < G_N_ELEMENTS (styles); i++)
    {
      g_autofree char *sheet = get_style (styles[i]);
      double contrast =
          rake_colour_contrast (get_token (sheet, "on_lamp"), get_token (sheet, "lamp_fill"));
      if (contrast < 4.5)
        fail_msg ("%s: %.2f to 1 on the main button", styles[i], contrast);
    }
}

#define TEST(claim) cmocka_unit_test_setup_teardown (claim, set_up, take_down)

int
main (void)
{
  const struct CMUnitTest tests[] = {
    TEST (the_title_says_piece_and_face),
    TEST (the_shelf_takes_the_job_off_the_bench),
    TEST (a_job_is_opened_by_its_path),
    TEST (what_is_no_job_is_said_and_leaves_the_page),
    TEST (undo_is_offered_once_there_is_something_to_undo),
    TEST (a_brush_is_taken_and_put_down_by_the_same_key),
    TEST (a_pass_on_a_ready_zone_is_asked_about_first),
    TEST (nothing_that_writes_is_offered_in_the_past),
    TEST (a_ghost_is_answered_from_its_chip),
    TEST (the_bench_fits_a_low_and_narrow_screen),
    TEST (a_narrow_window_folds_the_faces_into_a_strip),
    TEST (every_target_is_large_enough),
    TEST (the_style_sheets_have_the_palettes_colours),
    TEST (words_on_the_main_button_can_be_read),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
