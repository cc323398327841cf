/* test-long-words.c - in a language whose words are two fifths longer, every page of the demonstration
 * jobs fits a screen of 1280 by 720 px, and nothing on it hangs over the window's edge.
 *
 * test-long-words BUILD-ROOT SOURCE-ROOT, in the locale en@pseudo. */
#include "side-window.h"
#include "window.h"
#include "words.h"

#include <libintl.h>
#include <locale.h>
#include <string.h>

#define WIDTH_PX 1280
#define HEIGHT_PX 720

static const char *build_root, *source_root;
static GPtrArray *jobs; /* char *: paths of the demonstration jobs */

static int
make_jobs (void **state)
{
  g_autofree char *script = g_build_filename (source_root, "data", "demo", "make.sh", NULL);
  g_autofree char *folder = g_dir_make_tmp ("rakelight-XXXXXX", NULL);
  char *command[] = { "sh", script, (char *) build_root, folder, NULL };
  g_autofree char *said = NULL;
  g_auto (GStrv) lines = NULL;
  int status = 0;

  jobs = g_ptr_array_new_with_free_func (g_free);
  if (!g_spawn_sync (NULL, command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, &said, NULL, &status,
                     NULL) ||
      status != 0)
    return -1;
  lines = g_strsplit (said, "\n", -1);
  for (char **line = lines; *line; line++)
    if (**line)
      g_ptr_array_add (jobs, g_strdup (*line));
  return side_set_up_group (state);
}

static int
remove_jobs (void **state)
{
  g_autofree char *folder = g_path_get_dirname (jobs->pdata[0]);
  char *command[] = { "rm", "-r", folder, NULL };

  g_ptr_array_unref (jobs);
  return g_spawn_sync (NULL, command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, NULL, NULL)
             ? 0
             : -1;
}

static void
settle (RakeWindow *window)
{
  for (int i = 0; i < 5; i++)
    {
      for (int n = 0; n < 1000 && g_main_context_iteration (NULL, FALSE); n++)
        ;
      gtk_widget_queue_draw (GTK_WIDGET (window));
      gtk_test_widget_wait_for_draw (GTK_WIDGET (window));
    }
}

/* Of words and buttons: pictures may reach beyond, and what is scrolled sideways is meant to. */
static guint
find_overhang (GtkWidget *widget, GtkWidget *window, GString *overhang)
{
  graphene_rect_t box;
  guint n_seen = 0;

  if (!gtk_widget_get_mapped (widget))
    return 0;
  if (GTK_IS_SCROLLED_WINDOW (widget))
    {
      GtkPolicyType sideways;
      gtk_scrolled_window_get_policy (GTK_SCROLLED_WINDOW (widget), &sideways, NULL);
      if (sideways == GTK_POLICY_AUTOMATIC)
        return 0;
    }
  if ((GTK_IS_LABEL (widget) || GTK_IS_BUTTON (widget)) &&
      gtk_widget_compute_bounds (widget, window, &box))
    {
      n_seen++;
      if (box.origin.x < 0 || box.origin.x + box.size.width > WIDTH_PX)
        g_string_append_printf (
            overhang, "%s “%s” from %.0f to %.0f px\n", G_OBJECT_TYPE_NAME (widget),
            GTK_IS_LABEL (widget) ? gtk_label_get_label (GTK_LABEL (widget)) : "",
            (double) box.origin.x, (double) (box.origin.x + box.size.width));
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    n_seen += find_overhang (child, window, overhang);
  return n_seen;
}

static void
assert_fits (RakeWindow *window, const char *page)
{
  g_autoptr (GString) overhang = g_string_new (NULL);
  int width_px, height_px;

  gtk_widget_measure (GTK_WIDGET (window), GTK_ORIENTATION_HORIZONTAL, -1, &width_px, NULL, NULL,
                      NULL);
  gtk_widget_measure (GTK_WIDGET (window), GTK_ORIENTATION_VERTICAL, WIDTH_PX, &height_px, NULL,
                      NULL, NULL);
  if (width_px > WIDTH_PX || height_px > HEIGHT_PX)
    fail_msg ("%s: the window needs %d by %d px", page, width_px, height_px);
  if (gtk_widget_get_width (GTK_WIDGET (window)) > WIDTH_PX)
    fail_msg ("%s: the window is %d px wide", page, gtk_widget_get_width (GTK_WIDGET (window)));
  if (find_overhang (GTK_WIDGET (window), GTK_WIDGET (window), overhang) < 5)
    fail_msg ("%s: nothing is shown", page);
  if (overhang->len > 0)
    fail_msg ("%s: over the window's edge:\n%s", page, overhang->str);
}

static RakeSession *
open_job (const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeRules) rules =
      rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, &error);
  RakeSession *session = rake_session_open (path, rules, &error);

  if (!session)
    fail_msg ("%s", error->message);
  return session;
}

static void
every_page_of (const char *stem)
{
  static const struct
  {
    const char *action, *target;
  } pages[] = {
    { "win.show-bench", NULL },  { "win.edit-zones", NULL },  { "win.plan-grits", NULL },
    { "win.show-wheels", NULL }, { "win.show-photos", NULL }, { "win.lay-photo", "" },
    { "win.show-report", NULL }, { "win.show-record", NULL }, { "win.compare-photos", "" },
    { "win.new-job", NULL },
  };
  g_autoptr (RakeSession) session = NULL;
  RakeWindow *window = rake_window_new (side_get_application ());

  for (guint i = 0; i < jobs->len && !session; i++)
    if (strstr (jobs->pdata[i], stem))
      session = open_job (jobs->pdata[i]);
  assert_non_null (session);
  gtk_window_present (GTK_WINDOW (window));
  rake_window_set_session (window, session);
  settle (window);
  gtk_window_set_default_size (GTK_WINDOW (window), WIDTH_PX, HEIGHT_PX);
  for (guint i = 0; i < G_N_ELEMENTS (pages); i++)
    {
      g_autofree char *page = g_strdup_printf ("%s, %s", stem, pages[i].action);
      settle (window);
      gtk_widget_activate_action (GTK_WIDGET (window), pages[i].action,
                                  pages[i].target ? "s" : NULL, pages[i].target);
      settle (window);
      assert_fits (window, page);
      gtk_widget_activate_action (GTK_WIDGET (window), "win.show-bench", NULL);
    }
  gtk_window_destroy (GTK_WINDOW (window));
  for (int i = 0; i < 200; i++)
    g_main_context_iteration (NULL, FALSE);
}

static void
the_words_are_long (void **state)
{
  const char *words = dgettext (RAKE_GETTEXT_DOMAIN, "Shelf");

  if (g_utf8_strlen (words, -1) <= (glong) strlen ("Shelf") + 2)
    fail_msg ("“%s” is no longer than before", words);
}

static void
a_mandola_half_way_through (void **state)
{
  every_page_of ("octave-mandola");
}

static void
a_box_before_its_last_look (void **state)
{
  every_page_of ("writing-box");
}

static void
a_fallboard_with_a_claim (void **state)
{
  every_page_of ("fallboard");
}

int
main (int argc, char **argv)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (the_words_are_long),
    cmocka_unit_test (a_mandola_half_way_through),
    cmocka_unit_test (a_box_before_its_last_look),
    cmocka_unit_test (a_fallboard_with_a_claim),
  };
  g_autofree char *words = NULL;

  g_assert (argc == 3);
  build_root = argv[1];
  source_root = argv[2];
  setlocale (LC_ALL, "");
  words = g_build_filename (build_root, "po", NULL);
  bindtextdomain (RAKE_GETTEXT_DOMAIN, words);
  bind_textdomain_codeset (RAKE_GETTEXT_DOMAIN, "UTF-8");
  textdomain (RAKE_GETTEXT_DOMAIN);
  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, make_jobs, remove_jobs);
}
