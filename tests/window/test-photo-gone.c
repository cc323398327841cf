/* test-photo-gone.c - a photograph that is withdrawn while a page shows it is shown no more, and the page says so.
 *
 * One photograph has a coloured disc that nothing else has; it is looked for in the pixels that a page draws. */
#include "compare-page.h"
#include "dialogs.h"
#include "face-map-private.h"
#include "lay-photo-page.h"
#include "photo-desk.h"
#include "photo-under.h"
#include "picture-maker.h"
#include "proposals-page.h"
#include "settings.h"
#include "side-window.h"

#include <rakelight/photo-store.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define WIDTH_PX 600
#define HEIGHT_PX 360
#define PX_PER_MM 3.0 /* straight from above: the face fills the picture */
#define LONGEST_S 30

typedef struct
{
  Bench *bench;
  SideWindow *window;
  GtkWidget *page;
  RakeId photos[3];
} Shown;

/* Grey, and where it is @marked, a disc in magenta that covers much of it. */
static GBytes *
make_photograph (guint8 grey, gboolean is_marked)
{
  g_autofree guint8 *rgb = g_new (guint8, 3 * WIDTH_PX * HEIGHT_PX);
  g_autoptr (GByteArray) png = NULL;

  for (int i = 0; i < WIDTH_PX * HEIGHT_PX; i++)
    {
      int x = i % WIDTH_PX - WIDTH_PX / 2, y = i / WIDTH_PX - HEIGHT_PX / 2;
      gboolean is_disc = is_marked && x * x + y * y < 150 * 150;

      rgb[3 * i] = rgb[3 * i + 2] = is_disc ? 255 : grey;
      rgb[3 * i + 1] = is_disc ? 0 : grey;
    }
  png = make_png (rgb, WIDTH_PX, HEIGHT_PX);
  return g_bytes_new (png->data, png->len);
}

static void
lay (Shown *shown, RakeId photo)
{
  static const double corners[][2] = { { 0, 0 }, { 200, 0 }, { 200, 120 }, { 0, 120 } };
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  RakeRegistrationBody *body = &entry->registration;

  body->face = shown->bench->face;
  body->photo = photo;
  for (gsize i = 0; i < G_N_ELEMENTS (corners); i++)
    {
      const RakePairSpec pair = { corners[i][0] * PX_PER_MM, corners[i][1] * PX_PER_MM, corners[i][0],
                                  corners[i][1] };
      g_array_append_val (body->pairs, pair);
    }
  body->m11 = body->m22 = PX_PER_MM;
  body->m12 = body->m13 = body->m21 = body->m23 = body->m31 = body->m32 = 0;
  body->m33 = 1;
  if (!rake_session_append (shown->bench->session, &entry, 1))
    fail_msg ("%s", bench_get_message (shown->bench));
}

/* The last of three, taken last, is the marked one. */
static void
add_photographs (Shown *shown)
{
  RakeSession *session = shown->bench->session;
  RakePhotoDesk *desk = rake_photo_desk_get (session);

  for (guint i = 0; i < 3; i++)
    {
      g_autoptr (GBytes) bytes = make_photograph ((guint8) (90 + 20 * i), i == 2);
      g_autoptr (RakePhotoPlace) place = rake_photo_place_new ();

      place->face = shown->bench->face;
      assert_true (rake_photo_desk_add_bytes (
          desk, bytes, "lid.png", rake_session_now_ms () - 60000 * (gint64) (3 - i), place));
      while (rake_photo_desk_get_n_waiting (desk) > 0)
        g_main_context_iteration (NULL, TRUE);
      assert_int_equal (rake_job_get_n_photos (rake_session_get_live_job (session)), i + 1);
      shown->photos[i] = rake_job_get_photo (rake_session_get_live_job (session), i)->id;
      lay (shown, shown->photos[i]);
    }
}

static int
set_up (void **state)
{
  Shown *shown = g_new0 (Shown, 1);

  bench_set_up ((void **) &shown->bench);
  rake_settings_set_text ("map", "under", NULL);
  add_photographs (shown);
  bench_forget_messages (shown->bench);
  *state = shown;
  return 0;
}

static int
take_down (void **state)
{
  Shown *shown = *state;
  void *bench = shown->bench;

  side_window_close (shown->window);
  bench_take_down (&bench);
  g_free (shown);
  return 0;
}

static void
show (Shown *shown, GtkWidget *page)
{
  shown->page = page;
  if (RAKE_IS_SESSION_VIEW (page))
    g_object_set (page, "session", shown->bench->session, NULL);
  shown->window = side_window_show (page, 1000, 640);
}

/* --- what is seen -------------------------------------------------------------------------------- */

static guint
count_marked (Shown *shown)
{
  int width = gtk_widget_get_width (shown->page), height = gtk_widget_get_height (shown->page);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  g_autoptr (GdkPaintable) paintable = gtk_widget_paintable_new (shown->page);
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  GskRenderNode *node;
  cairo_t *cr = cairo_create (surface);
  guint n = 0;

  gdk_paintable_snapshot (paintable, snapshot, width, height);
  node = gtk_snapshot_to_node (snapshot);
  if (node)
    {
      gsk_render_node_draw (node, cr);
      gsk_render_node_unref (node);
    }
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      {
        const guint8 *row = cairo_image_surface_get_data (surface) +
                            (gsize) y * (gsize) cairo_image_surface_get_stride (surface);
        guint32 pixel = ((const guint32 *) (gconstpointer) row)[x];

        n += (pixel >> 16 & 255) > 180 && (pixel >> 8 & 255) < 60 && (pixel & 255) > 180;
      }
  cairo_surface_destroy (surface);
  return n;
}

static void
wait_until (Shown *shown, gboolean is_seen)
{
  gint64 end_us = g_get_monotonic_time () + LONGEST_S * G_USEC_PER_SEC;

  while ((count_marked (shown) > 500) != is_seen && g_get_monotonic_time () < end_us)
    side_window_settle (shown->window);
  if ((count_marked (shown) > 500) != is_seen)
    fail_msg ("%s", is_seen ? "the photograph does not show" : "the photograph shows still");
  assert_true (is_seen || count_marked (shown) == 0);
}

static RakeEntry *
new_withdrawal (RakeId photo)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_WITHDRAWAL);

  entry->withdrawal.photo = photo;
  entry->withdrawal.reason = g_strdup ("a face in the reflection");
  return entry;
}

static void
withdraw_here (Shown *shown)
{
  g_autoptr (RakeEntry) entry = new_withdrawal (shown->photos[2]);

  assert_true (rake_session_append (shown->bench->session, &entry, 1));
}

/* As another window does, or the command line. */
static void
withdraw_elsewhere (Shown *shown)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file =
      rake_job_file_open (shown->bench->path, RAKE_JOB_FILE_WRITE, &error);
  g_autoptr (RakeJob) job = file ? rake_job_file_load (file, &error) : NULL;
  g_autoptr (RakeEntry) entry = new_withdrawal (shown->photos[2]);

  g_assert_no_error (error);
  rake_job_file_append (file, job, &entry, 1, NULL, &error);
  g_assert_no_error (error);
}

static void
assert_said_once (Shown *shown, const char *part)
{
  guint n = 0;

  for (guint i = 0; i < shown->bench->messages->len; i++)
    n += strstr (shown->bench->messages->pdata[i], part) != NULL;
  if (n != 1)
    fail_msg ("said %u times \"%s\"; last: \"%s\"", n, part, bench_get_message (shown->bench));
}

/* --- the pages ----------------------------------------------------------------------------------- */

static void
where_it_is_laid (void **state)
{
  Shown *shown = *state;

  show (shown, g_object_new (RAKE_TYPE_LAY_PHOTO_PAGE, NULL));
  rake_lay_photo_page_open (RAKE_LAY_PHOTO_PAGE (shown->page), shown->photos[2]);
  wait_until (shown, TRUE);
  withdraw_elsewhere (shown);
  wait_until (shown, FALSE);
  side_assert_reads (shown->page, "This photograph was withdrawn: its picture is gone.");
  side_assert_does_not_read (shown->page, "The pairs are off");
  /* another one can be laid then */
  rake_lay_photo_page_open (RAKE_LAY_PHOTO_PAGE (shown->page), shown->photos[1]);
  side_assert_does_not_read (shown->page, "withdrawn");
}

static void
where_it_is_compared (void **state)
{
  Shown *shown = *state;

  show (shown, g_object_new (RAKE_TYPE_COMPARE_PAGE, NULL));
  rake_compare_page_open (RAKE_COMPARE_PAGE (shown->page), shown->photos[2]);
  wait_until (shown, TRUE);
  withdraw_elsewhere (shown);
  wait_until (shown, FALSE);
  assert_said_once (shown, "A photograph that was compared was withdrawn");
  /* two are left */
  side_assert_reads (shown->page, "Both lie on the map");
}

static void
what_is_compared_stays_chosen_while_others_go (void **state)
{
  Shown *shown = *state;
  GtkWidget *first, *second;

  show (shown, g_object_new (RAKE_TYPE_COMPARE_PAGE, NULL));
  rake_compare_page_open (RAKE_COMPARE_PAGE (shown->page), shown->photos[1]);
  first = side_find (shown->page, GTK_TYPE_DROP_DOWN);
  second = gtk_widget_get_next_sibling (first);
  assert_int_equal (gtk_drop_down_get_selected (GTK_DROP_DOWN (first)), 0);
  assert_int_equal (gtk_drop_down_get_selected (GTK_DROP_DOWN (second)), 1);
  withdraw_here (shown);
  side_window_settle (shown->window);
  assert_int_equal (g_list_model_get_n_items (gtk_drop_down_get_model (GTK_DROP_DOWN (first))), 2);
  assert_int_equal (gtk_drop_down_get_selected (GTK_DROP_DOWN (first)), 0);
  assert_int_equal (gtk_drop_down_get_selected (GTK_DROP_DOWN (second)), 1);
  assert_string_equal (bench_get_message (shown->bench), "");
}

static void
where_it_is_read (void **state)
{
  Shown *shown = *state;

  show (shown, g_object_new (RAKE_TYPE_PROPOSALS_PAGE, NULL));
  rake_proposals_page_read (RAKE_PROPOSALS_PAGE (shown->page), shown->photos[2]);
  wait_until (shown, TRUE);
  withdraw_here (shown);
  wait_until (shown, FALSE);
  side_assert_reads (shown->page, "This photograph was withdrawn: its picture is gone.");
}

/* The one before takes its place, as when it had never been. */
static void
where_it_lies_under_the_map (void **state)
{
  Shown *shown = *state;
  RakeFaceMap *map = rake_face_map_new ();
  RakePhotoUnder *under = rake_photo_under_get (shown->bench->session);

  rake_face_map_set_session (map, shown->bench->session);
  show (shown, GTK_WIDGET (map));
  rake_photo_under_set_opacity (under, 1);
  rake_photo_under_choose (under, shown->photos[2]);
  wait_until (shown, TRUE);
  withdraw_elsewhere (shown);
  wait_until (shown, FALSE);
  assert_said_once (shown, "The photograph under the map was withdrawn: its picture is gone.");
  assert_true (rake_id_equal (rake_photo_under_get_photo (under)->id, shown->photos[1]));
  /* nor where the job is shown as it was before */
  rake_session_show_entries (
      shown->bench->session,
      rake_job_get_n_entries (rake_session_get_live_job (shown->bench->session)) - 1);
  for (int i = 0; i < 5; i++)
    side_window_settle (shown->window);
  assert_int_equal (count_marked (shown), 0);
}

/* --- in a row ------------------------------------------------------------------------------------- */

/* The photographs of the strip, from left to right; those still to be read are NULL. */
static GPtrArray *
list_pictures (Shown *shown)
{
  GPtrArray *pictures = g_ptr_array_new ();
  GtkWidget *first = side_find (shown->page, GTK_TYPE_PICTURE);

  assert_non_null (first);
  for (GtkWidget *card = gtk_widget_get_parent (first); card;
       card = gtk_widget_get_next_sibling (card))
    g_ptr_array_add (pictures,
                     gtk_picture_get_paintable (GTK_PICTURE (gtk_widget_get_first_child (card))));
  return pictures;
}

static GPtrArray *
wait_for_pictures (Shown *shown, guint n_pictures)
{
  gint64 end_us = g_get_monotonic_time () + LONGEST_S * G_USEC_PER_SEC;

  for (;;)
    {
      g_autoptr (GPtrArray) pictures = list_pictures (shown);
      guint n_read = 0;

      for (guint i = 0; i < pictures->len; i++)
        n_read += pictures->pdata[i] != NULL;
      if (pictures->len == n_pictures && n_read == n_pictures)
        return g_steal_pointer (&pictures);
      if (g_get_monotonic_time () > end_us)
        fail_msg ("%u of %u photographs are in the row, %u expected", n_read, pictures->len,
                  n_pictures);
      side_window_settle (shown->window);
    }
}

/* What its upper left corner shows, which is of the grey that tells the photographs apart. */
static guint8
get_grey (GdkTexture *texture)
{
  int width = gdk_texture_get_width (texture), height = gdk_texture_get_height (texture);
  g_autofree guint8 *pixels = g_malloc ((gsize) width * (gsize) height * 4);

  gdk_texture_download (texture, pixels, (gsize) width * 4);
  return pixels[(gsize) (height / 12) * (gsize) width * 4 + (gsize) (width / 12) * 4];
}

static void
in_a_row_they_stand_as_they_were_taken (void **state)
{
  Shown *shown = *state;
  g_autoptr (GPtrArray) pictures = NULL;

  show (shown, g_object_new (RAKE_TYPE_COMPARE_PAGE, NULL));
  rake_compare_page_open (RAKE_COMPARE_PAGE (shown->page), shown->photos[0]);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (side_find_labelled (shown->page, "In a row")),
                                TRUE);
  side_window_settle (shown->window);
  pictures = wait_for_pictures (shown, 3);
  for (guint i = 0; i < 3; i++)
    {
      double shape = gdk_paintable_get_intrinsic_aspect_ratio (pictures->pdata[i]);
      int grey = get_grey (pictures->pdata[i]);

      if (abs (grey - (int) (90 + 20 * i)) > 6)
        fail_msg ("place %u shows a grey of %d", i, grey);
      /* from straight above: as the face is, 200 by 120 mm */
      if (fabs (shape - 200.0 / 120) > 0.02)
        fail_msg ("place %u is %.3f times as wide as high", i, shape);
    }
  withdraw_elsewhere (shown);
  g_ptr_array_unref (pictures);
  pictures = wait_for_pictures (shown, 2);
  assert_true (get_grey (pictures->pdata[1]) < 120);
}

/* --- the question --------------------------------------------------------------------------------- */

static GtkWidget *
find_question (void)
{
  g_autoptr (GList) windows = gtk_window_list_toplevels ();

  for (GList *at = windows; at; at = at->next)
    if (ADW_IS_MESSAGE_DIALOG (at->data))
      return at->data;
  fail_msg ("no question");
  return NULL;
}

/* Answers it with a reason; @everywhere ticks what is offered. */
static void
withdraw_by_question (Shown *shown, RakeId photo, gboolean everywhere)
{
  GtkWidget *question;

  rake_dialogs_withdraw_photo (side_window_get_window (shown->window), shown->bench->session,
                               photo);
  side_window_settle (shown->window);
  question = find_question ();
  if (everywhere)
    {
      side_assert_reads (question, "The same picture is in the job as 1 more photograph");
      gtk_check_button_set_active (GTK_CHECK_BUTTON (side_find (question, GTK_TYPE_CHECK_BUTTON)),
                                   TRUE);
    }
  gtk_text_buffer_set_text (
      gtk_text_view_get_buffer (GTK_TEXT_VIEW (side_find (question, GTK_TYPE_TEXT_VIEW))),
      "shows a person", -1);
  side_window_settle (shown->window);
  adw_message_dialog_response (ADW_MESSAGE_DIALOG (question), "yes");
  side_window_settle (shown->window);
}

static gboolean
is_withdrawn (Shown *shown, RakeId photo)
{
  return rake_job_find_photo (rake_session_get_live_job (shown->bench->session), photo)
             ->withdrawal != NULL;
}

static RakeId
add_twin (Shown *shown, RakeId photo)
{
  const RakeJob *job = rake_session_get_live_job (shown->bench->session);
  g_autoptr (RakeEntry) twin = rake_photo_new_placement (job, rake_job_find_photo (job, photo));

  twin->photo.photo = RAKE_ID_NIL;
  assert_true (rake_session_append (shown->bench->session, &twin, 1));
  return twin->id;
}

static void
the_question_offers_the_same_picture_elsewhere (void **state)
{
  Shown *shown = *state;
  RakeId twin = add_twin (shown, shown->photos[2]), third;

  show (shown, gtk_label_new ("under it"));
  withdraw_by_question (shown, shown->photos[2], FALSE);
  assert_true (is_withdrawn (shown, shown->photos[2]));
  assert_false (is_withdrawn (shown, twin));
  assert_said_once (shown, "The same picture stays in the job as photograph 4.");
  third = add_twin (shown, twin);
  withdraw_by_question (shown, twin, TRUE);
  assert_true (is_withdrawn (shown, twin) && is_withdrawn (shown, third));
  assert_said_once (shown, "The same picture stays");
  /* of one that is there once nothing more is asked */
  rake_dialogs_withdraw_photo (side_window_get_window (shown->window), shown->bench->session,
                               shown->photos[0]);
  side_window_settle (shown->window);
  assert_null (side_find (find_question (), GTK_TYPE_CHECK_BUTTON));
  gtk_window_destroy (GTK_WINDOW (find_question ()));
}

#define TEST(name) cmocka_unit_test_setup_teardown (name, set_up, take_down)

int
main (void)
{
  static const struct CMUnitTest tests[] = {
    TEST (where_it_is_laid),
    TEST (where_it_is_compared),
    TEST (what_is_compared_stays_chosen_while_others_go),
    TEST (in_a_row_they_stand_as_they_were_taken),
    TEST (where_it_is_read),
    TEST (where_it_lies_under_the_map),
    TEST (the_question_offers_the_same_picture_elsewhere),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
