/* test-photo.c - turning upright and back, and what is drawn on a photograph. */
#include <rakelight/photo.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

/* Where the first pixel's outer corner of a picture 4 by 3 goes. Source: Exif 2.32, Orientation: which
 * row is the visual top, which column the left-hand side. That pictures really stand upright is checked
 * against Pillow in tests/imaging/photo-against-exiftool.py. */
static void
each_turn_puts_the_first_corner_where_exif_says (void **state)
{
  static const double corners[8][2] = {
    { 0, 0 }, /* 1: row 0 is the top, column 0 the left */
    { 4, 0 }, /* 2: top, right */
    { 4, 3 }, /* 3: bottom, right */
    { 0, 3 }, /* 4: bottom, left */
    { 0, 0 }, /* 5: left, top */
    { 3, 0 }, /* 6: right, top */
    { 3, 4 }, /* 7: right, bottom */
    { 0, 4 }, /* 8: left, bottom */
  };

  for (RakeTurn turn = 1; turn <= 8; turn++)
    {
      double x, y, width, height;

      rake_turn_size (turn, 4, 3, &width, &height);
      assert_true (turn < 5 ? width > height : height > width);
      rake_turn_to_upright (turn, 4, 3, 0, 0, &x, &y);
      if (x != corners[turn - 1][0] || y != corners[turn - 1][1])
        fail_msg ("turn %d: %g, %g", turn, x, y);
      rake_turn_to_upright (turn, 4, 3, 1.25, 0.5, &x, &y);
      assert_true (x >= 0 && x <= width && y >= 0 && y <= height);
      rake_turn_from_upright (turn, 4, 3, x, y, &x, &y);
      if (x != 1.25 || y != 0.5)
        fail_msg ("turn %d and back: %g, %g", turn, x, y);
    }
}

/* A camera that looks along the face: the horizon, W = 0, is at y = 500 mm. */
static RakePhotoMap *
make_tilted (double radial)
{
  const RakeRegistrationBody body = {
    .m11 = 10, .m13 = 100, .m22 = 8, .m23 = 50, .m32 = -0.002, .m33 = 1, .radial = radial,
  };

  return rake_photo_map_new (&body, 4000, 3000);
}

static void
nothing_is_seen_beyond_the_horizon (void **state)
{
  g_autoptr (RakePhotoMap) map = make_tilted (NAN);
  double x = -1, y = -1;

  assert_true (rake_photo_map_to_photo (map, 100, 100, &x, &y));
  assert_true (fabs (x - 1100 / 0.8) < 1e-9 && fabs (y - 850 / 0.8) < 1e-9);
  x = y = -1;
  assert_false (rake_photo_map_to_photo (map, 100, 500, &x, &y));
  assert_false (rake_photo_map_to_photo (map, 100, 600, &x, &y));
  assert_false (rake_photo_map_to_face (map, NAN, 5, &x, &y));
  assert_false (rake_photo_map_to_face (map, 1e9, 5, &x, &y));
  assert_true (x == -1 && y == -1);
}

static void
what_is_drawn_on_the_photograph_lands_on_the_face (void **state)
{
  g_autoptr (RakePhotoMap) map = make_tilted (-0.03);
  const double wanted_mm[] = { 20, 30, 120, 40, 90, 130 };
  double points_px[6];
  g_autoptr (RakeShape) area = NULL, line = NULL, beyond = NULL;
  g_autoptr (GError) error = NULL;
  const double *ring;
  guint n_points;

  for (int i = 0; i < 6; i += 2)
    assert_true (rake_photo_map_to_photo (map, wanted_mm[i], wanted_mm[i + 1], &points_px[i],
                                          &points_px[i + 1]));
  area = rake_photo_map_draw (map, RAKE_SHAPE_AREA, points_px, 3, &error);
  assert_non_null (area);
  ring = rake_shape_get_ring (area, 0, &n_points, NULL);
  assert_int_equal (n_points, 4);
  for (int i = 0; i < 6; i += 2)
    {
      gboolean is_there = FALSE;
      for (guint j = 0; j < n_points; j++)
        is_there |= hypot (ring[2 * j] - wanted_mm[i], ring[2 * j + 1] - wanted_mm[i + 1]) < 0.002;
      assert_true (is_there); /* shapes are snapped to 1 µm */
    }
  line = rake_photo_map_draw (map, RAKE_SHAPE_LINE, points_px, 3, &error);
  assert_non_null (line);
  points_px[4] = points_px[5] = 1e8;
  beyond = rake_photo_map_draw (map, RAKE_SHAPE_LINE, points_px, 3, &error);
  assert_null (beyond);
  assert_true (error->domain == RAKE_SHAPE_ERROR);
}

static void
a_face_on_one_line_is_no_map (void **state)
{
  const RakeRegistrationBody flat = { .m11 = 1, .m12 = 2, .m21 = 2, .m22 = 4, .m33 = 1 };

  assert_null (rake_photo_map_new (&flat, 4000, 3000));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (each_turn_puts_the_first_corner_where_exif_says),
    cmocka_unit_test (nothing_is_seen_beyond_the_horizon),
    cmocka_unit_test (what_is_drawn_on_the_photograph_lands_on_the_face),
    cmocka_unit_test (a_face_on_one_line_is_no_map),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
