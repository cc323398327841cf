/* bench-photo-strip.c - what a frame of the photographs' page costs while its strip is scrolled: 200
 * photographs, 1440 by 900 px.
 *
 *   first   the strip is gone through once: rows are bound, thumbnails read and decoded by the worker
 *   again   and once more: what was read lately is still there
 *
 * A frame is what the program works, all its threads, from the frame clock's before-paint to its
 * after-paint. Floor: a bare widget as large as the strip, which paints as many squares at other
 * places. The pictures are small; their thumbnails are as large as any photograph's. */
#include "bench.h"
#include "photo-desk.h"
#include "photos-page.h"
#include "../imaging/picture-maker.h"

#include <adwaita.h>
#include <glib/gstdio.h>

#define N_PHOTOS 200
#define STEP_PX 60
#define THUMB_PX 128
#define STRIP_PX 320
#define HEIGHT_PX 900

static RakeSession *session;
static cairo_surface_t *square;
static double offset_px;

/* --- the floor ------------------------------------------------------------------------------- */

#define BENCH_TYPE_BARE (bench_bare_get_type ())
G_DECLARE_FINAL_TYPE (BenchBare, bench_bare, BENCH, BARE, GtkWidget)

struct _BenchBare
{
  GtkWidget parent_instance;
};

G_DEFINE_FINAL_TYPE (BenchBare, bench_bare, GTK_TYPE_WIDGET)

static void
bench_bare_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  graphene_rect_t box = GRAPHENE_RECT_INIT (0, 0, STRIP_PX, HEIGHT_PX);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);

  for (int y = -THUMB_PX; y < HEIGHT_PX; y += THUMB_PX + 30)
    for (int x = 0; x < 2; x++)
      {
        cairo_set_source_surface (cr, square, 12 + x * 152, y + (int) offset_px % (THUMB_PX + 30));
        cairo_paint (cr);
      }
  cairo_destroy (cr);
}

static void
bench_bare_class_init (BenchBareClass *klass)
{
  GTK_WIDGET_CLASS (klass)->snapshot = bench_bare_snapshot;
}

static void
bench_bare_init (BenchBare *self)
{
}

/* --- frames ---------------------------------------------------------------------------------- */

typedef struct
{
  GtkWidget *window, *widget;
  double began_ms, spent_ms;
  gboolean is_painted;
} Shown;

static void
before_paint (GdkFrameClock *clock, Shown *shown)
{
  shown->began_ms = bench_now_processor_ms ();
}

static void
after_paint (GdkFrameClock *clock, Shown *shown)
{
  shown->spent_ms = bench_now_processor_ms () - shown->began_ms;
  shown->is_painted = TRUE;
}

static void
show (Shown *shown, GtkWidget *widget)
{
  GdkFrameClock *clock;

  shown->widget = widget;
  shown->window = adw_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (shown->window), 1440, HEIGHT_PX);
  adw_window_set_content (ADW_WINDOW (shown->window), widget);
  gtk_window_present (GTK_WINDOW (shown->window));
  gtk_test_widget_wait_for_draw (shown->window);
  clock = gtk_widget_get_frame_clock (shown->window);
  g_signal_connect (clock, "before-paint", G_CALLBACK (before_paint), shown);
  g_signal_connect (clock, "after-paint", G_CALLBACK (after_paint), shown);
}

static double
take_frame_ms (Shown *shown)
{
  gtk_widget_queue_draw (shown->widget);
  shown->is_painted = FALSE;
  while (!shown->is_painted)
    g_main_context_iteration (NULL, TRUE);
  return shown->spent_ms;
}

static GtkWidget *
find_strip (GtkWidget *widget)
{
  GtkWidget *found = GTK_IS_GRID_VIEW (widget) ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child && !found;
       child = gtk_widget_get_next_sibling (child))
    found = find_strip (child);
  return found;
}

static void
scroll_through (const char *what, Shown *page, Shown *bare)
{
  GtkWidget *strip = find_strip (page->widget);
  GtkAdjustment *adjustment = gtk_scrollable_get_vadjustment (GTK_SCROLLABLE (strip));
  double end = gtk_adjustment_get_upper (adjustment) - gtk_adjustment_get_page_size (adjustment);
  BenchTimes *times = bench_times_new (what);

  /* A frame in which nothing moved paints nothing, and is no frame of scrolling. */
  offset_px = 0;
  take_frame_ms (page);
  take_frame_ms (bare);
  for (offset_px = STEP_PX; offset_px < end; offset_px += STEP_PX)
    {
      double ours_ms;
      gtk_adjustment_set_value (adjustment, offset_px);
      ours_ms = take_frame_ms (page);
      bench_times_add (times, ours_ms, take_frame_ms (bare));
    }
  bench_times_tell (times);
  gtk_adjustment_set_value (adjustment, 0);
}

/* --- the job --------------------------------------------------------------------------------- */

static void
add_photos (void)
{
  RakePhotoDesk *desk = rake_photo_desk_get (session);
  g_autofree guint8 *rgb = make_colours (640, 480);

  for (guint i = 0; i < N_PHOTOS; i++)
    {
      GByteArray *jpeg;
      g_autoptr (GBytes) bytes = NULL;

      rgb[0] = (guint8) i;
      jpeg = make_jpeg (rgb, 640, 480, 90, FALSE);
      g_byte_array_append (jpeg, (const guint8 *) &i, sizeof i);
      bytes = g_byte_array_free_to_bytes (jpeg);
      rake_photo_desk_add_bytes (desk, bytes, "p.jpg", 0, NULL);
    }
  while (rake_photo_desk_get_n_waiting (desk) > 0)
    g_main_context_iteration (NULL, TRUE);
  bench_must (rake_job_get_n_photos (rake_session_get_job (session)) == N_PHOTOS, NULL);
}

static void
open_session (const char *path)
{
  g_autoptr (BenchLogbook) logbook = bench_logbook_new (5, 4);
  g_autoptr (GPtrArray) entries = bench_logbook_take_entries (logbook, 500);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeRules) rules =
      rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, &error);

  bench_must (rules != NULL, error);
  session =
      rake_session_create (path, rules, (RakeEntry *const *) entries->pdata, entries->len, &error);
  bench_must (session != NULL, error);
  add_photos ();
}

int
main (void)
{
  g_autofree char *folder = g_dir_make_tmp ("rakelight-bench-XXXXXX", NULL);
  g_autofree char *path = g_build_filename (folder, "bench.rakejob", NULL);
  Shown page = { 0 }, bare = { 0 };

  g_setenv ("GSK_RENDERER", "cairo", FALSE);
  g_setenv ("GDK_DEBUG", "gl-disable", FALSE);
  adw_init ();
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  open_session (path);
  square = cairo_image_surface_create (CAIRO_FORMAT_RGB24, THUMB_PX, THUMB_PX);
  show (&bare, g_object_new (BENCH_TYPE_BARE, NULL));
  show (&page, g_object_new (RAKE_TYPE_PHOTOS_PAGE, "session", session, NULL));
  scroll_through ("photo strip: first", &page, &bare);
  scroll_through ("photo strip: again", &page, &bare);
  gtk_window_destroy (GTK_WINDOW (page.window));
  gtk_window_destroy (GTK_WINDOW (bare.window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  cairo_surface_destroy (square);
  g_object_unref (session);
  g_unlink (path);
  g_rmdir (folder);
  return 0;
}
