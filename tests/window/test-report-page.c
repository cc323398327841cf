/* test-report-page.c - the report's page: what it shows, what it saves, and that a later wish stops an earlier. */
#include "bench-job.h"
#include "photo-desk.h"
#include "report-page.h"
#include "report-paper.h"
#include "settings.h"
#include "side-window.h"

#include <glib/gstdio.h>
#include <string.h>

#define WAIT_MS 60000

typedef struct
{
  Bench *bench;
  SideWindow *window;
  RakeReportPage *page;
} Open;

static int
set_up (void **state)
{
  Open *open = g_new0 (Open, 1);

  bench_set_up ((void **) &open->bench);
  open->page = g_object_new (RAKE_TYPE_REPORT_PAGE, NULL);
  g_object_set (open->page, "session", open->bench->session, NULL);
  open->window = side_window_show (GTK_WIDGET (open->page), 1200, 800);
  *state = open;
  return 0;
}

static GtkWidget *
get_child (Open *open, const char *name)
{
  return GTK_WIDGET (
      gtk_widget_get_template_child (GTK_WIDGET (open->page), RAKE_TYPE_REPORT_PAGE, name));
}

static void
wait_until_idle (Open *open)
{
  gint64 until = g_get_monotonic_time () + WAIT_MS * G_GINT64_CONSTANT (1000);

  while (gtk_widget_get_visible (get_child (open, "working")) && g_get_monotonic_time () < until)
    g_main_context_iteration (NULL, TRUE);
  assert_false (gtk_widget_get_visible (get_child (open, "working")));
}

static int
take_down (void **state)
{
  Open *open = *state;

  wait_until_idle (open);
  side_window_close (open->window);
  bench_take_down ((void **) &open->bench);
  g_free (open);
  return 0;
}

static const RakeReportPages *
get_pages (Open *open)
{
  return rake_report_paper_get_pages (RAKE_REPORT_PAPER (get_child (open, "paper")));
}

static guint
count_in (const char *bytes, gsize n_bytes, const char *word)
{
  gsize length = strlen (word);
  guint n = 0;

  for (gsize at = 0; at + length <= n_bytes; at++)
    n += memcmp (bytes + at, word, length) == 0;
  return n;
}

/* How many of the page's points are darker than half. */
static guint
count_ink (const RakeReportPages *pages, guint index)
{
  double width, height;
  cairo_surface_t *surface;
  cairo_t *cr;
  guint n = 0;

  rake_report_pages_get_size (pages, &width, &height);
  surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) width, (int) height);
  cr = cairo_create (surface);
  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  rake_report_pages_draw (pages, index, cr);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  for (int y = 0; y < cairo_image_surface_get_height (surface); y++)
    for (int x = 0; x < cairo_image_surface_get_width (surface); x++)
      n += cairo_image_surface_get_data (
               surface)[y * cairo_image_surface_get_stride (surface) + 4 * x + 1] < 128;
  cairo_surface_destroy (surface);
  return n;
}

static void
every_page_is_shown_with_something_on_it (void **state)
{
  Open *open = *state;

  wait_until_idle (open);
  assert_int_not_equal (rake_report_page_get_n_pages (open->page), 0);
  for (guint i = 0; i < rake_report_page_get_n_pages (open->page); i++)
    assert_true (count_ink (get_pages (open), i) > 100);
}

static void
the_file_has_the_pages_that_are_shown (void **state)
{
  Open *open = *state;
  g_autofree char *path = g_build_filename (open->bench->folder, "out.pdf", NULL), *bytes = NULL;
  gsize n_bytes;

  wait_until_idle (open);
  rake_report_page_save (open->page, path);
  assert_true (gtk_widget_get_visible (get_child (open, "working")));
  wait_until_idle (open);
  assert_true (g_file_get_contents (path, &bytes, &n_bytes, NULL));
  assert_memory_equal (bytes, "%PDF-", 5);
  assert_int_equal (count_in (bytes, n_bytes, "/Type /Page\n") +
                        count_in (bytes, n_bytes, "/Type /Page "),
                    rake_report_page_get_n_pages (open->page));
  assert_non_null (strstr (gtk_label_get_label (GTK_LABEL (get_child (open, "said"))), "out.pdf"));
  g_unlink (path);
}

static void
another_paper_makes_other_pages (void **state)
{
  Open *open = *state;
  double width, height;

  wait_until_idle (open);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (get_child (open, "a4")), TRUE);
  wait_until_idle (open);
  rake_report_pages_get_size (get_pages (open), &width, &height);
  assert_true (ABS (width - 595.28) < 0.01); /* 210 mm, ISO 216 */
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (get_child (open, "letter")), TRUE);
  wait_until_idle (open);
  rake_report_pages_get_size (get_pages (open), &width, &height);
  assert_true (ABS (width - 612) < 0.01); /* 8.5 in */
  /* The next one finds it as it was left. */
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (get_child (open, "a4")), TRUE);
}

static void
a_file_that_cannot_be_written_is_told_and_the_pages_stay (void **state)
{
  Open *open = *state;
  guint n_pages;

  wait_until_idle (open);
  n_pages = rake_report_page_get_n_pages (open->page);
  rake_report_page_save (open->page, "/nowhere/at/all/out.pdf");
  wait_until_idle (open);
  assert_true (gtk_widget_get_visible (get_child (open, "said")));
  assert_int_equal (rake_report_page_get_n_pages (open->page), n_pages);
}

static void
stopped_it_leaves_no_file (void **state)
{
  Open *open = *state;
  g_autofree char *path = g_build_filename (open->bench->folder, "stopped.pdf", NULL);

  wait_until_idle (open);
  rake_report_page_save (open->page, path);
  gtk_widget_activate_action (GTK_WIDGET (open->page), "report.cancel", NULL);
  wait_until_idle (open);
  assert_false (g_file_test (path, G_FILE_TEST_EXISTS));
}

static void
nearer_pages_are_larger (void **state)
{
  Open *open = *state;
  GtkWidget *paper = get_child (open, "paper"), *sheet;
  int before;

  wait_until_idle (open);
  side_window_settle (open->window); /* until then it is not known how wide the room is */
  sheet = gtk_widget_get_first_child (gtk_widget_get_first_child (paper)); /* the viewport */
  sheet = gtk_widget_get_first_child (gtk_widget_get_first_child (sheet));
  before = gtk_drawing_area_get_content_width (GTK_DRAWING_AREA (sheet));
  gtk_widget_activate_action (GTK_WIDGET (open->page), "report.nearer", NULL);
  assert_true (gtk_drawing_area_get_content_width (GTK_DRAWING_AREA (sheet)) > before);
  gtk_widget_activate_action (GTK_WIDGET (open->page), "report.fit", NULL);
  assert_int_equal (gtk_drawing_area_get_content_width (GTK_DRAWING_AREA (sheet)), before);
}

/* A photograph, and behind its end so much that no decoder looks at; it is kept as it came. */
static void
add_photo_of (Open *open, gsize n_bytes)
{
  RakePhotoDesk *desk = rake_photo_desk_get (open->bench->session);
  g_autofree char *path = g_build_filename (g_getenv ("RAKE_SOURCE_ROOT"), "tests", "pictures",
                                            "raking", "raking-10.jpg", NULL);
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  g_autoptr (GBytes) all = NULL;
  g_autoptr (RakePhotoPlace) place = rake_photo_place_new ();
  g_autofree char *picture = NULL;
  gsize n_picture;

  assert_true (g_file_get_contents (path, &picture, &n_picture, NULL));
  g_byte_array_append (bytes, (const guint8 *) picture, (guint) n_picture);
  g_byte_array_set_size (bytes, (guint) n_bytes);
  memset (bytes->data + n_picture, 0, n_bytes - n_picture);
  all = g_byte_array_free_to_bytes (g_steal_pointer (&bytes));
  assert_true (rake_photo_desk_add_bytes (desk, all, "large.jpg", 0, place));
  while (rake_photo_desk_get_n_waiting (desk) > 0)
    g_main_context_iteration (NULL, TRUE);
}

static void
a_report_too_large_to_be_mailed_is_told_before_it_is_made (void **state)
{
  Open *open = *state;
  GtkWidget *size = get_child (open, "size");

  add_photo_of (open, 9000000);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (get_child (open, "original")), TRUE);
  side_window_settle (open->window);
  assert_string_equal (gtk_label_get_label (GTK_LABEL (size)), "About 9 MB.");
  add_photo_of (open, 14000000);
  side_window_settle (open->window);
  assert_string_equal (gtk_label_get_label (GTK_LABEL (size)),
                       "About 23 MB. Many mailboxes take no more than 20 MB.");
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown (every_page_is_shown_with_something_on_it, set_up, take_down),
    cmocka_unit_test_setup_teardown (the_file_has_the_pages_that_are_shown, set_up, take_down),
    cmocka_unit_test_setup_teardown (another_paper_makes_other_pages, set_up, take_down),
    cmocka_unit_test_setup_teardown (a_file_that_cannot_be_written_is_told_and_the_pages_stay,
                                     set_up, take_down),
    cmocka_unit_test_setup_teardown (a_report_too_large_to_be_mailed_is_told_before_it_is_made, set_up,
                                     take_down),
    cmocka_unit_test_setup_teardown (stopped_it_leaves_no_file, set_up, take_down),
    cmocka_unit_test_setup_teardown (nearer_pages_are_larger, set_up, take_down),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
