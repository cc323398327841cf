/* test-trace.c - an outline drawn over a photograph by taps has the size of what was photographed, and the
 * photograph is kept in the new job, laid under it.
 *
 * The photograph is made here: an ellipse seen askew by a projection of our own, and a card on it. With
 * RAKE_PICTURES a folder, the dialog is drawn there. */
#include "photo-files.h"
#include "picture-maker.h"
#include "side-window.h"
#include "trace-dialog.h"
#include "trace-view.h"

#include <math.h>
#include <rakelight/photo.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>

#define WIDTH_PX 1200
#define HEIGHT_PX 900
#define A_MM 150.0
#define B_MM 95.0
#define N_POINTS 24

static const double m[9] = { 2.4, 0.25, 600, -0.2, 2.1, 450, 0.0004, -0.0009, 1 };

typedef struct
{
  Bench *bench;
  SideWindow *window;
  RakeTraceDialog *dialog;
  RakeTraced *traced;
  int turn;
} Drawing;

static void
see (double x_mm, double y_mm, double *x_px, double *y_px)
{
  double w = m[6] * x_mm + m[7] * y_mm + m[8];

  *x_px = (m[0] * x_mm + m[1] * y_mm + m[2]) / w;
  *y_px = (m[3] * x_mm + m[4] * y_mm + m[5]) / w;
}

static gboolean
is_inside (double x_px, double y_px)
{
  double a = m[0] - x_px * m[6], b = m[1] - x_px * m[7], c = x_px * m[8] - m[2];
  double d = m[3] - y_px * m[6], e = m[4] - y_px * m[7], f = y_px * m[8] - m[5];
  double x_mm = (c * e - b * f) / (a * e - b * d), y_mm = (a * f - c * d) / (a * e - b * d);

  return hypot (x_mm / A_MM, y_mm / B_MM) < 1 && !(fabs (x_mm) < 60 && fabs (y_mm) < 35);
}

/* Where a place of the upright picture lies in the file, as it is turned by EXIF's Orientation: 3 half a turn, 6 a
 * quarter clockwise, 8 a quarter anticlockwise. Source: Exif 2.32 (CIPA DC-008), tag 274; from memory. */
static void
lay_in_file (int turn, double x, double y, double *file_x, double *file_y)
{
  *file_x = turn == 6 ? y : turn == 8 ? HEIGHT_PX - y : turn == 3 ? WIDTH_PX - x : x;
  *file_y = turn == 6 ? WIDTH_PX - x : turn == 8 ? x : turn == 3 ? HEIGHT_PX - y : y;
}

static char *
write_photograph (const char *folder, int turn)
{
  gboolean is_quarter = turn == 6 || turn == 8;
  int width = is_quarter ? HEIGHT_PX : WIDTH_PX, height = is_quarter ? WIDTH_PX : HEIGHT_PX;
  g_autofree guint8 *rgb = g_malloc (3 * WIDTH_PX * HEIGHT_PX);
  g_autoptr (GBytes) jpeg = NULL, bytes = NULL;

  for (int i = 0; i < WIDTH_PX * HEIGHT_PX; i++)
    {
      double x = i % WIDTH_PX + 0.5, y = i / WIDTH_PX + 0.5, file_x, file_y;
      gboolean is_wood = is_inside (x, y);
      guint8 *at;

      lay_in_file (turn, x, y, &file_x, &file_y);
      at = rgb + 3 * ((gsize) file_y * (gsize) width + (gsize) file_x);
      at[0] = is_wood ? 150 : 70;
      at[1] = is_wood ? 100 : 80;
      at[2] = is_wood ? 60 : 90;
    }
  jpeg = g_byte_array_free_to_bytes (make_jpeg (rgb, width, height, 90, FALSE));
  bytes = photo_files_with_exif (jpeg, turn, FALSE);
  return photo_files_write (folder, "front.jpg", bytes);
}

static void
take (RakeTraced *traced, GObject *owner)
{
  Drawing *drawing = g_object_get_data (owner, "drawing");

  drawing->traced = traced;
}

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static RakeTraceView *
get_view (Drawing *drawing)
{
  return RAKE_TRACE_VIEW (side_find (GTK_WIDGET (drawing->dialog), RAKE_TYPE_TRACE_VIEW));
}

static void
open_dialog (Drawing *drawing, const char *path)
{
  GtkWindow *parent = side_window_get_window (drawing->window);
  gint64 end_us = g_get_monotonic_time () + 30 * G_USEC_PER_SEC;

  g_object_set_data (G_OBJECT (parent), "drawing", drawing);
  drawing->dialog = rake_trace_dialog_present (parent, path, take, G_OBJECT (parent));
  while (!get_view (drawing) || !(rake_flat_view_get_scale (get_view (drawing)) > 0))
    {
      if (g_get_monotonic_time () > end_us)
        fail_msg ("the photograph is not shown");
      g_main_context_iteration (NULL, TRUE);
    }
  settle ();
}

static int
set_up_turned (void **state, int turn)
{
  Drawing *drawing = g_new0 (Drawing, 1);
  g_autofree char *path = NULL;

  drawing->turn = turn;
  bench_set_up ((void **) &drawing->bench);
  drawing->window = side_window_show (gtk_label_new ("under it"), 600, 400);
  path = write_photograph (drawing->bench->folder, turn);
  open_dialog (drawing, path);
  *state = drawing;
  return 0;
}

static int
set_up (void **state)
{
  return set_up_turned (state, 1);
}

static int
set_up_half_a_turn (void **state)
{
  return set_up_turned (state, 3);
}

static int
set_up_clockwise (void **state)
{
  return set_up_turned (state, 6);
}

static int
set_up_anticlockwise (void **state)
{
  return set_up_turned (state, 8);
}

static int
take_down (void **state)
{
  Drawing *drawing = *state;
  void *bench = drawing->bench;

  if (drawing->dialog)
    gtk_window_destroy (GTK_WINDOW (drawing->dialog));
  settle ();
  side_window_close (drawing->window);
  rake_traced_free (drawing->traced);
  bench_take_down (&bench);
  g_free (drawing);
  return 0;
}

/* --- helpers --------------------------------------------------------------------------------------- */

static void
tap (Drawing *drawing, double x_mm, double y_mm)
{
  double x_px, y_px;

  see (x_mm, y_mm, &x_px, &y_px);
  g_signal_emit_by_name (get_view (drawing), "tapped", x_px, y_px);
}

static GtkCheckButton *
find_check (Drawing *drawing, const char *label)
{
  GtkWidget *found = side_find_labelled (GTK_WIDGET (drawing->dialog), label);

  if (!found)
    fail_msg ("no %s", label);
  return GTK_CHECK_BUTTON (gtk_widget_get_ancestor (found, GTK_TYPE_CHECK_BUTTON));
}

static void
set_number (Drawing *drawing, guint nth, double value)
{
  GtkWidget *box =
      gtk_widget_get_parent (side_find (GTK_WIDGET (drawing->dialog), GTK_TYPE_SPIN_BUTTON));

  for (GtkWidget *child = gtk_widget_get_first_child (box); child;
       child = gtk_widget_get_next_sibling (child))
    if (GTK_IS_SPIN_BUTTON (child) && nth-- == 0)
      gtk_spin_button_set_value (GTK_SPIN_BUTTON (child), value);
}

/* The card of 120 by 70 mm that lies in the middle. */
static void
set_size (Drawing *drawing)
{
  gtk_check_button_set_active (find_check (drawing, "A rectangle by its four corners"), TRUE);
  settle ();
  set_number (drawing, 0, 120);
  set_number (drawing, 1, 70);
  tap (drawing, -60, -35);
  tap (drawing, 60, 35);
  tap (drawing, 60, -35);
  tap (drawing, -60, 35);
  settle ();
}

static void
set_edge (Drawing *drawing)
{
  for (guint i = 0; i < N_POINTS; i++)
    tap (drawing, A_MM * cos (2 * G_PI * i / N_POINTS), B_MM * sin (2 * G_PI * i / N_POINTS));
}

static guint
count (Drawing *drawing, RakeTracePart part)
{
  guint n_points;

  rake_trace_view_get_points (get_view (drawing), part, &n_points);
  return n_points;
}

static void
draw_dialog (Drawing *drawing)
{
  const char *folder = g_getenv ("RAKE_PICTURES");
  g_autoptr (GdkPaintable) paintable = NULL;
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  g_autofree char *path = NULL;
  int width = gtk_widget_get_width (GTK_WIDGET (drawing->dialog));
  int height = gtk_widget_get_height (GTK_WIDGET (drawing->dialog));
  cairo_surface_t *surface;
  GskRenderNode *node;
  cairo_t *cr;

  if (!folder)
    return;
  gtk_widget_queue_draw (GTK_WIDGET (drawing->dialog));
  gtk_test_widget_wait_for_draw (GTK_WIDGET (drawing->dialog));
  /* It has what was drawn last before it was made. */
  paintable = gtk_widget_paintable_new (GTK_WIDGET (drawing->dialog));
  gdk_paintable_snapshot (paintable, snapshot, width, height);
  node = gtk_snapshot_to_node (snapshot);
  surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  cr = cairo_create (surface);
  gsk_render_node_draw (node, cr);
  cairo_destroy (cr);
  path = g_build_filename (folder, "trace.png", NULL);
  cairo_surface_write_to_png (surface, path);
  cairo_surface_destroy (surface);
  gsk_render_node_unref (node);
}

/* A limit on the size of files stands in for a full disk. */
static gboolean
keep_on_a_full_disk (Drawing *drawing)
{
  struct rlimit limit, none;
  void (*handler) (int) = signal (SIGXFSZ, SIG_IGN);
  gboolean is_kept;

  getrlimit (RLIMIT_FSIZE, &limit);
  none = (struct rlimit){ .rlim_cur = 1, .rlim_max = limit.rlim_max };
  setrlimit (RLIMIT_FSIZE, &none);
  is_kept = rake_traced_keep (drawing->traced, drawing->bench->session);
  setrlimit (RLIMIT_FSIZE, &limit);
  signal (SIGXFSZ, handler);
  return is_kept;
}

/* --- tests --------------------------------------------------------------------------------------------- */

static void
what_was_drawn_is_taken_and_the_photograph_with_it (void **state)
{
  Drawing *drawing = *state;
  g_autoptr (RakeEntry) face = rake_entry_new (RAKE_ENTRY_FACE);
  const RakeJob *job;
  const RakePhoto *photo;
  g_autoptr (RakePhotoMap) map = NULL;
  double x_mm, y_mm, x_px, y_px;
  RakeBounds box;

  set_size (drawing);
  set_edge (drawing);
  assert_false (rake_trace_view_is_closed (get_view (drawing)));
  tap (drawing, A_MM, 0);
  assert_true (rake_trace_view_is_closed (get_view (drawing)));
  assert_int_equal (count (drawing, RAKE_TRACE_EDGE), N_POINTS);
  settle ();
  if (drawing->turn == 1)
    draw_dialog (drawing);
  gtk_widget_activate_action (GTK_WIDGET (drawing->dialog), "trace.take", NULL);
  drawing->dialog = NULL;
  assert_non_null (drawing->traced);
  assert_true (
      fabs (rake_shape_get_area_mm2 (drawing->traced->outline) / (G_PI * A_MM * B_MM) - 1) < 0.01);
  box = rake_shape_get_bounds (drawing->traced->outline);
  assert_true (fabs ((box.max_x_mm - box.min_x_mm) / (2 * A_MM) - 1) < 0.01);
  assert_true (fabs ((box.max_y_mm - box.min_y_mm) / (2 * B_MM) - 1) < 0.01);
  face->face.name = g_strdup ("Front");
  face->face.outline = rake_shape_ref (drawing->traced->outline);
  assert_true (rake_session_append (drawing->bench->session, &face, 1));
  drawing->traced->face = face->id;
  bench_forget_messages (drawing->bench);
  assert_false (keep_on_a_full_disk (drawing));
  assert_string_not_equal (bench_get_message (drawing->bench), "");
  assert_true (rake_traced_keep (drawing->traced, drawing->bench->session));
  job = rake_session_get_live_job (drawing->bench->session);
  assert_int_equal (rake_job_get_n_photos (job), 1);
  photo = rake_job_get_photo (job, 0);
  assert_non_null (photo->registration);
  assert_int_equal (rake_photo_get_turn (&photo->entry->photo), drawing->turn);
  assert_true (rake_id_equal (photo->face->id, face->id));
  map = rake_photo_map_new_for_photo (photo);
  /* the middle, and a place far from it in both directions */
  for (int i = 0; i < 2; i++)
    {
      see (i * 100, i * -50, &x_px, &y_px);
      lay_in_file (drawing->turn, x_px, y_px, &x_px, &y_px);
      assert_true (rake_photo_map_to_face (map, x_px, y_px, &x_mm, &y_mm));
      assert_true (fabs (x_mm - (A_MM + i * 100)) < 1);
      assert_true (fabs (y_mm - (B_MM - i * 50)) < 1);
    }
}

static void
the_last_point_is_taken_back (void **state)
{
  Drawing *drawing = *state;
  GtkWidget *dialog = GTK_WIDGET (drawing->dialog);

  set_size (drawing);
  set_edge (drawing);
  tap (drawing, A_MM, 0);
  gtk_widget_activate_action (dialog, "trace.take-back", NULL);
  assert_false (rake_trace_view_is_closed (get_view (drawing)));
  assert_int_equal (count (drawing, RAKE_TRACE_EDGE), N_POINTS);
  gtk_widget_activate_action (dialog, "trace.take-back", NULL);
  assert_int_equal (count (drawing, RAKE_TRACE_EDGE), N_POINTS - 1);
  assert_int_equal (count (drawing, RAKE_TRACE_SIZE), 4);
  gtk_widget_activate_action (dialog, "trace.take", NULL);
  assert_null (drawing->traced);
}

static void
an_edge_that_crosses_itself_is_refused_until_it_does_not (void **state)
{
  Drawing *drawing = *state;

  set_size (drawing);
  tap (drawing, -100, -60);
  tap (drawing, 100, 60);
  tap (drawing, 100, -60);
  tap (drawing, -100, 60);
  tap (drawing, -100, -60);
  settle ();
  side_assert_reads (GTK_WIDGET (drawing->dialog), "crosses itself");
  gtk_widget_activate_action (GTK_WIDGET (drawing->dialog), "trace.take", NULL);
  assert_null (drawing->traced);
  for (guint i = 0; i < 4; i++)
    gtk_widget_activate_action (GTK_WIDGET (drawing->dialog), "trace.take-back", NULL);
  tap (drawing, 100, -60);
  tap (drawing, 100, 60);
  tap (drawing, -100, 60);
  tap (drawing, -100, -60);
  settle ();
  side_assert_does_not_read (GTK_WIDGET (drawing->dialog), "crosses itself");
}

static void
what_is_no_picture_is_said (void **state)
{
  Drawing *drawing = *state;
  g_autoptr (GBytes) bytes = g_bytes_new_static ("no picture at all", 17);
  g_autofree char *path = photo_files_write (drawing->bench->folder, "text.jpg", bytes);
  GtkWindow *parent = side_window_get_window (drawing->window);
  gint64 end_us = g_get_monotonic_time () + 10 * G_USEC_PER_SEC;

  gtk_window_destroy (GTK_WINDOW (drawing->dialog));
  drawing->dialog = rake_trace_dialog_present (parent, path, take, G_OBJECT (parent));
  for (gboolean is_said = FALSE; !is_said && g_get_monotonic_time () < end_us;)
    {
      g_autofree char *words = side_read (GTK_WIDGET (drawing->dialog));

      is_said = strstr (words, "text.jpg") != NULL || strstr (words, "picture") != NULL;
      g_main_context_iteration (NULL, FALSE);
      g_usleep (5000);
    }
  side_assert_reads (GTK_WIDGET (drawing->dialog), "picture");
  gtk_widget_activate_action (GTK_WIDGET (drawing->dialog), "trace.take", NULL);
  assert_null (drawing->traced);
}

/* The hand sees the picture upright; the photograph is kept and laid as it lies in its file. */
#define TURNED(way)                                                                                \
  {                                                                                                \
    "what_was_drawn_is_taken_from_a_picture_turned_" #way,                                         \
        what_was_drawn_is_taken_and_the_photograph_with_it, set_up_##way, take_down, NULL          \
  }

#define TEST(name) cmocka_unit_test_setup_teardown (name, set_up, take_down)

int
main (void)
{
  static const struct CMUnitTest tests[] = {
    TEST (what_was_drawn_is_taken_and_the_photograph_with_it),
    TURNED (half_a_turn),
    TURNED (clockwise),
    TURNED (anticlockwise),
    TEST (the_last_point_is_taken_back),
    TEST (an_edge_that_crosses_itself_is_refused_until_it_does_not),
    TEST (what_is_no_picture_is_said),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
