/* test-photo-under.c - a photograph laid on its face lies under the bench's map where its registration
 * says, as strongly as it was set, and what is drawn over it is marked where it shows it.
 *
 * The photograph is made here from a projection of our own: grey, with three discs at known places of
 * the face. They are looked for in the pixels that the map draws. */
#include "bench-chip.h"
#include "face-map-private.h"
#include "photo-desk.h"
#include "photo-under-chip.h"
#include "photo-under.h"
#include "picture-maker.h"
#include "settings.h"
#include "side-window.h"

#include <math.h>

#define WIDTH_PX 900
#define HEIGHT_PX 600
#define LONGEST_S 30
#define DISC_MM 2.5
#define CLOSE_MM 1.0

/* Millimetres of the face to pixels. */
static const double m[9] = { 3.6, 0.3, 60, -0.2, 3.2, 90, 0.0004, 0.0007, 1 };

/* Off the labels, which lie in the middle of the zones. */
static const double discs_mm[][2] = { { 12, 14 }, { 185, 104 }, { 95, 16 } };

typedef struct
{
  Bench *bench;
  SideWindow *window;
  RakeFaceMap *map;
  RakePhotoUnder *under;
} Shown;

static void
project (double x_mm, double y_mm, double *x_px, double *y_px)
{
  double w = m[6] * x_mm + m[7] * y_mm + m[8];

  *x_px = (m[0] * x_mm + m[1] * y_mm + m[2]) / w;
  *y_px = (m[3] * x_mm + m[4] * y_mm + m[5]) / w;
}

/* By Cramer's rule: m · (x, y, 1) is along (px, py, 1). */
static void
project_back (double x_px, double y_px, double *x_mm, double *y_mm)
{
  double a = m[0] - x_px * m[6], b = m[1] - x_px * m[7], c = x_px * m[8] - m[2];
  double d = m[3] - y_px * m[6], e = m[4] - y_px * m[7], f = y_px * m[8] - m[5];

  *x_mm = (c * e - b * f) / (a * e - b * d);
  *y_mm = (a * f - c * d) / (a * e - b * d);
}

static GBytes *
make_photograph (guint8 grey)
{
  g_autofree guint8 *rgb = g_new (guint8, 3 * WIDTH_PX * HEIGHT_PX);
  g_autoptr (GByteArray) png = NULL;

  for (int i = 0; i < WIDTH_PX * HEIGHT_PX; i++)
    {
      double x_mm, y_mm;
      gboolean is_disc = FALSE;

      project_back (i % WIDTH_PX + 0.5, i / WIDTH_PX + 0.5, &x_mm, &y_mm);
      for (gsize disc = 0; disc < G_N_ELEMENTS (discs_mm); disc++)
        is_disc |= hypot (x_mm - discs_mm[disc][0], y_mm - discs_mm[disc][1]) < DISC_MM;
      rgb[3 * i] = rgb[3 * i + 2] = is_disc ? 255 : grey;
      rgb[3 * i + 1] = is_disc ? 0 : grey;
    }
  png = make_png (rgb, WIDTH_PX, HEIGHT_PX);
  return g_bytes_new (png->data, png->len);
}

static RakeId
add_photograph (Shown *shown, guint8 grey, double minutes_ago)
{
  RakeSession *session = shown->bench->session;
  RakePhotoDesk *desk = rake_photo_desk_get (session);
  g_autoptr (GBytes) bytes = make_photograph (grey);
  g_autoptr (RakePhotoPlace) place = rake_photo_place_new ();
  guint n_before = rake_job_get_n_photos (rake_session_get_live_job (session));

  place->face = shown->bench->face;
  assert_true (rake_photo_desk_add_bytes (
      desk, bytes, "lid.png", rake_session_now_ms () - (gint64) (60000 * minutes_ago), place));
  while (rake_photo_desk_get_n_waiting (desk) > 0)
    g_main_context_iteration (NULL, TRUE);
  assert_int_equal (rake_job_get_n_photos (rake_session_get_live_job (session)), n_before + 1);
  return rake_job_get_photo (rake_session_get_live_job (session), n_before)->id;
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
      RakePairSpec pair = { .x_mm = corners[i][0], .y_mm = corners[i][1] };

      project (pair.x_mm, pair.y_mm, &pair.x_px, &pair.y_px);
      g_array_append_val (body->pairs, pair);
    }
  body->m11 = m[0], body->m12 = m[1], body->m13 = m[2];
  body->m21 = m[3], body->m22 = m[4], body->m23 = m[5];
  body->m31 = m[6], body->m32 = m[7], body->m33 = m[8];
  if (!rake_session_append (shown->bench->session, &entry, 1))
    fail_msg ("%s", bench_get_message (shown->bench));
}

static void
show_map (Shown *shown)
{
  shown->map = rake_face_map_new ();
  rake_face_map_set_session (shown->map, shown->bench->session);
  shown->under = rake_photo_under_get (shown->bench->session);
  shown->window = side_window_show (GTK_WIDGET (shown->map), 900, 600);
}

static int
set_up (void **state)
{
  Shown *shown = g_new0 (Shown, 1);

  bench_set_up ((void **) &shown->bench);
  rake_settings_set_text ("map", "under", NULL);
  show_map (shown);
  rake_photo_under_set_opacity (shown->under, 1);
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

/* --- what is seen -------------------------------------------------------------------------------- */

static void
wait_for_picture (Shown *shown)
{
  gint64 end_us = g_get_monotonic_time () + LONGEST_S * G_USEC_PER_SEC;
  graphene_rect_t box;

  while (!rake_photo_under_peek (shown->under, &box) && g_get_monotonic_time () < end_us)
    g_main_context_iteration (NULL, TRUE);
  assert_non_null (rake_photo_under_peek (shown->under, &box));
}

/* The map as it is drawn, as pixels. */
static cairo_surface_t *
take_picture (Shown *shown)
{
  int width = gtk_widget_get_width (GTK_WIDGET (shown->map));
  int height = gtk_widget_get_height (GTK_WIDGET (shown->map));
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  GskRenderNode *node;
  cairo_t *cr = cairo_create (surface);

  rake_face_map_paint (shown->map, snapshot);
  node = gtk_snapshot_to_node (snapshot);
  gsk_render_node_draw (node, cr);
  gsk_render_node_unref (node);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

/* The middle of what has the discs' colour within 10 mm of a place, as far as it is in view. */
static gboolean
find_disc (Shown *shown, cairo_surface_t *surface, const double *disc_mm, double *x_mm,
           double *y_mm)
{
  const guint8 *rows = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface), n = 0;
  double sum_x = 0, sum_y = 0;

  for (int y = 0; y < cairo_image_surface_get_height (surface); y++)
    for (int x = 0; x < cairo_image_surface_get_width (surface); x++)
      {
        guint32 pixel = ((const guint32 *) (gconstpointer) (rows + y * stride))[x];
        double at_x, at_y;

        if ((pixel >> 16 & 0xff) < 200 || (pixel >> 8 & 0xff) > 60 || (pixel & 0xff) < 200)
          continue;
        rake_map_view_to_mm (&shown->map->view, x + 0.5, y + 0.5, &at_x, &at_y);
        if (hypot (at_x - disc_mm[0], at_y - disc_mm[1]) > 10)
          continue;
        sum_x += at_x;
        sum_y += at_y;
        n++;
      }
  *x_mm = sum_x / n;
  *y_mm = sum_y / n;
  return n > 0;
}

static void
assert_discs (Shown *shown, guint n_first, gboolean are_there)
{
  cairo_surface_t *surface = take_picture (shown);

  for (guint i = 0; i < n_first; i++)
    {
      double x_mm, y_mm;
      gboolean is_there = find_disc (shown, surface, discs_mm[i], &x_mm, &y_mm);

      assert_int_equal (is_there, are_there);
      if (is_there && !(hypot (x_mm - discs_mm[i][0], y_mm - discs_mm[i][1]) < CLOSE_MM))
        fail_msg ("the disc at %g, %g is seen at %g, %g", discs_mm[i][0], discs_mm[i][1], x_mm,
                  y_mm);
    }
  cairo_surface_destroy (surface);
}

/* --- tests ---------------------------------------------------------------------------------------- */

static void
it_lies_where_its_registration_says (void **state)
{
  Shown *shown = *state;
  RakeId photo = add_photograph (shown, 120, 30);
  double x, y;

  rake_photo_under_choose (shown->under, photo);
  assert_null (rake_photo_under_get_photo (shown->under));
  lay (shown, photo);
  rake_photo_under_choose (shown->under, photo);
  wait_for_picture (shown);
  assert_discs (shown, G_N_ELEMENTS (discs_mm), TRUE);
  /* Nearer, about the first disc, which stays in view. */
  rake_map_view_to_px (&shown->map->view, discs_mm[0][0], discs_mm[0][1], &x, &y);
  rake_face_map_zoom_at (shown->map, 3, x, y);
  assert_discs (shown, 1, TRUE);
  rake_face_map_finish (shown->map);
  assert_discs (shown, 1, TRUE);
  rake_photo_under_choose (shown->under, RAKE_ID_NIL);
  assert_discs (shown, 1, FALSE);
}

static void
it_shows_as_strongly_as_it_is_set (void **state)
{
  Shown *shown = *state;
  RakeId photo = add_photograph (shown, 120, 30);

  lay (shown, photo);
  rake_photo_under_choose (shown->under, photo);
  wait_for_picture (shown);
  rake_photo_under_set_opacity (shown->under, 0.3);
  assert_discs (shown, 3, FALSE);
  assert_int_equal (rake_settings_get_number ("map", "under_percent", -1), 30);
  rake_photo_under_set_opacity (shown->under, 0);
  assert_discs (shown, 3, FALSE);
  assert_true (shown->map->under == NULL);
  rake_photo_under_set_opacity (shown->under, NAN);
  assert_true (rake_photo_under_get_opacity (shown->under) == 0);
  rake_photo_under_set_opacity (shown->under, 7);
  assert_true (rake_photo_under_get_opacity (shown->under) == 1);
  assert_discs (shown, 3, TRUE);
}

static void
what_is_drawn_over_it_is_marked_where_it_shows_it (void **state)
{
  Shown *shown = *state;
  RakeBench set = *rake_session_get_bench (shown->bench->session);
  RakeId photo = add_photograph (shown, 120, 30);
  cairo_surface_t *surface;
  const RakeZone *zone;
  RakeBounds bounds;
  double seen_x, seen_y, x, y;

  lay (shown, photo);
  rake_photo_under_choose (shown->under, photo);
  wait_for_picture (shown);
  set.brush = RAKE_MARK_LOW_SPOT;
  set.brush_radius_mm = 3;
  rake_session_set_bench (shown->bench->session, &set);
  surface = take_picture (shown);
  assert_true (find_disc (shown, surface, discs_mm[0], &seen_x, &seen_y));
  cairo_surface_destroy (surface);
  /* A stroke to both sides of what is seen. */
  rake_map_view_to_px (&shown->map->view, seen_x - 5, seen_y, &x, &y);
  rake_face_map_hand_down (shown->map, x, y);
  rake_map_view_to_px (&shown->map->view, seen_x + 5, seen_y, &x, &y);
  rake_face_map_hand_move (shown->map, x, y);
  rake_face_map_hand_up (shown->map, x, y, 0);
  zone = bench_get_zone (shown->bench, shown->bench->left);
  assert_int_equal (zone->marks->len, 1);
  bounds = rake_shape_get_bounds (((const RakeMark *) zone->marks->pdata[0])->shape);
  assert_float_equal ((bounds.min_x_mm + bounds.max_x_mm) / 2, discs_mm[0][0], CLOSE_MM);
  assert_float_equal ((bounds.min_y_mm + bounds.max_y_mm) / 2, discs_mm[0][1], CLOSE_MM);
}

static gboolean
is_shown (Shown *shown, RakeId photo)
{
  const RakePhoto *now = rake_photo_under_get_photo (shown->under);

  return now && rake_id_equal (now->id, photo);
}

static void
the_newest_is_shown_and_a_choice_is_kept (void **state)
{
  Shown *shown = *state;
  RakeId older = add_photograph (shown, 100, 60), newer, newest;
  g_autoptr (GPtrArray) photos = NULL;

  lay (shown, older);
  rake_photo_under_choose (shown->under, older);
  newer = add_photograph (shown, 110, 30);
  assert_true (is_shown (shown, older));
  lay (shown, newer);
  assert_true (is_shown (shown, newer));
  rake_photo_under_choose (shown->under, older);
  newest = add_photograph (shown, 130, 10);
  lay (shown, newest);
  assert_true (is_shown (shown, older));
  photos = rake_photo_under_list (shown->under);
  assert_int_equal (photos->len, 3);
  assert_true (rake_id_equal (((const RakePhoto *) photos->pdata[0])->id, newest));
  assert_true (rake_id_equal (((const RakePhoto *) photos->pdata[2])->id, older));
  /* In the next run, too. */
  side_window_close (shown->window);
  bench_reopen (shown->bench);
  show_map (shown);
  assert_true (is_shown (shown, older));
  wait_for_picture (shown);
  assert_discs (shown, 3, TRUE);
}

static void
one_that_was_withdrawn_is_not_offered (void **state)
{
  Shown *shown = *state;
  RakeId photo = add_photograph (shown, 100, 60);
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_WITHDRAWAL);
  g_autoptr (GPtrArray) photos = NULL;

  lay (shown, photo);
  rake_photo_under_choose (shown->under, photo);
  wait_for_picture (shown);
  entry->withdrawal.photo = photo;
  entry->withdrawal.reason = g_strdup ("a face in the reflection");
  assert_true (rake_session_append (shown->bench->session, &entry, 1));
  photos = rake_photo_under_list (shown->under);
  assert_int_equal (photos->len, 0);
  assert_null (rake_photo_under_get_photo (shown->under));
  assert_discs (shown, 3, FALSE);
}

static void
damaged_settings_choose_nothing (void **state)
{
  Shown *shown = *state;
  RakeId photo = add_photograph (shown, 100, 60);

  lay (shown, photo);
  for (guint i = 0; i < 5; i++)
    {
      static const char *const texts[] = { ";;;", "=newest", "x=y;z", "newest", "\xff\xfe=;" };

      rake_settings_set_text ("map", "under", texts[i]);
      assert_null (rake_photo_under_get_photo (shown->under));
    }
  rake_photo_under_choose (shown->under, photo);
  assert_true (is_shown (shown, photo));
}

static void
the_chip_is_there_when_there_is_something_to_choose (void **state)
{
  Shown *shown = *state;
  GtkWidget *chip = g_object_ref_sink (GTK_WIDGET (rake_photo_under_chip_new ()));
  RakeId photo;

  assert_false (gtk_widget_get_visible (chip));
  g_object_set (chip, "session", shown->bench->session, NULL);
  assert_false (gtk_widget_get_visible (chip));
  photo = add_photograph (shown, 100, 60);
  assert_false (gtk_widget_get_visible (chip));
  lay (shown, photo);
  assert_true (gtk_widget_get_visible (chip));
  g_object_set (chip, "session", NULL, NULL);
  assert_false (gtk_widget_get_visible (chip));
  g_object_unref (chip);
}

#define TEST(name) cmocka_unit_test_setup_teardown (name, set_up, take_down)

int
main (void)
{
  static const struct CMUnitTest tests[] = {
    TEST (it_lies_where_its_registration_says),
    TEST (it_shows_as_strongly_as_it_is_set),
    TEST (what_is_drawn_over_it_is_marked_where_it_shows_it),
    TEST (the_newest_is_shown_and_a_choice_is_kept),
    TEST (one_that_was_withdrawn_is_not_offered),
    TEST (damaged_settings_choose_nothing),
    TEST (the_chip_is_there_when_there_is_something_to_choose),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
