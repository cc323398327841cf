/* test-photo-reading.c - islands and scratches that are known are found, and a picture that shows
 * nothing is declined with what would help. */
#include "raking-maker.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <string.h>
#include <cmocka.h>

static RakePhotoReading *
read_it (Raking *raking)
{
  RakePhotoQuestion question;
  g_autoptr (GError) error = NULL;
  RakePhotoReading *reading;

  raking_make (raking);
  question = raking_ask (raking);
  reading = rake_photo_read (&question, NULL, NULL, NULL, &error);
  if (reading == NULL)
    fail_msg ("%s", error->message);
  return reading;
}

/* Islands of 3 to 6 mm, seen at 0.3 mm a pixel: half a pixel of registration is a sixth of one. */
static void
check_islands (gboolean is_mirror, double camera_y_mm, double camera_z_mm)
{
  Raking raking;
  g_autoptr (RakePhotoReading) reading = NULL;
  double found, right;

  raking_init (&raking);
  raking.is_mirror = is_mirror;
  raking.camera.place_mm[1] = camera_y_mm;
  raking.camera.place_mm[2] = camera_z_mm;
  reading = read_it (&raking);
  raking_compare (&raking, reading, &found, &right);
  if (found < 0.8 || right < 0.75)
    fail_msg ("%.2f of the islands found, %.2f of the spots right", found, right);
  assert_int_equal (reading->obstacle, RAKE_PHOTO_READABLE);
  for (guint zone = 0; zone < 2; zone++)
    {
      assert_int_equal (reading->zones[zone].obstacle, RAKE_PHOTO_READABLE);
      assert_int_equal (reading->zones[zone].regime,
                        is_mirror ? RAKE_PHOTO_REGIME_MIRROR : RAKE_PHOTO_REGIME_AWAY);
      assert_true (
          fabs (reading->zones[zone].glossy_fraction - raking_get_fraction (&raking, zone)) < 0.03);
    }
  for (guint i = 0; i < reading->spots->len; i++)
    {
      const RakePhotoSpot *spot = reading->spots->pdata[i];
      assert_true ((spot->contrast < 0) != is_mirror);
      assert_non_null (spot->why);
    }
  raking_clear (&raking);
}

static void
dark_islands_are_found_from_above (void **state)
{
  check_islands (FALSE, 420, 380);
}

static void
bright_islands_are_found_from_low_down (void **state)
{
  check_islands (TRUE, 560, 190);
}

static void
a_scratch_is_found_where_it_runs (void **state)
{
  Raking raking;
  g_autoptr (RakePhotoReading) reading = NULL;
  g_autoptr (RakeShape) true_line = NULL;
  double length_mm = 0;

  raking_init (&raking);
  raking.n_islands = 12;
  raking.scratch_mm = 60;
  reading = read_it (&raking);
  true_line = rake_shape_new_line (raking.scratch, 2, NULL);
  /* In one piece or in two; ends may lie a little further out. */
  assert_in_range (reading->scratches->len, 1, 2);
  for (guint i = 0; i < reading->scratches->len; i++)
    {
      const RakePhotoScratch *scratch = reading->scratches->pdata[i];
      guint n;
      const double *p = rake_shape_get_ring (scratch->line, 0, &n, NULL);

      assert_true (scratch->contrast < 0 && scratch->why != NULL);
      length_mm += scratch->length_mm;
      for (guint k = 2; k + 2 < n; k++)
        assert_true (rake_shape_get_distance_to_edge_mm (true_line, p[2 * k], p[2 * k + 1]) < 1.5);
    }
  assert_true (length_mm > 40 && length_mm < 72);
  raking_clear (&raking);
}

static void
a_level_face_has_no_islands (void **state)
{
  Raking raking;
  g_autoptr (RakePhotoReading) reading = NULL;

  raking_init (&raking);
  raking.n_islands = 0;
  reading = read_it (&raking);
  for (guint zone = 0; zone < 2; zone++)
    {
      assert_int_equal (reading->zones[zone].obstacle, RAKE_PHOTO_READABLE);
      assert_true (reading->zones[zone].glossy_fraction < 0.01);
    }
  assert_int_equal (reading->scratches->len, 0);
  raking_clear (&raking);
}

static void
check_declined (Raking *raking, RakePhotoObstacle obstacle)
{
  g_autoptr (RakePhotoReading) reading = read_it (raking);

  if (reading->obstacle != obstacle)
    fail_msg ("%s, not %s", rake_photo_obstacle_get_name (reading->obstacle),
              rake_photo_obstacle_get_name (obstacle));
  assert_non_null (reading->advice);
  assert_int_equal (reading->spots->len, 0);
  for (guint zone = 0; zone < reading->n_zones; zone++)
    {
      assert_int_equal (reading->zones[zone].obstacle, obstacle);
      assert_non_null (reading->zones[zone].advice);
    }
  raking_clear (raking);
}

static void
what_cannot_be_read_is_declined (void **state)
{
  Raking raking;

  raking_init (&raking);
  raking.blur_px = 6;
  check_declined (&raking, RAKE_PHOTO_BLURRED);
  raking_init (&raking);
  raking.exposure = 20;
  check_declined (&raking, RAKE_PHOTO_CLIPPED);
  raking_init (&raking);
  raking.exposure = 0.003;
  check_declined (&raking, RAKE_PHOTO_TOO_DARK);
  raking_init (&raking);
  raking.n_islands = 0;
  raking.texture = 0;
  check_declined (&raking, RAKE_PHOTO_NOT_SANDED);
  raking_init (&raking);
  raking.camera.focal_px = 4500;
  raking.camera.towards_mm[0] = -60;
  check_declined (&raking, RAKE_PHOTO_NOT_IN_FRAME);
  raking_init (&raking);
  raking.camera.focal_px = 150;
  check_declined (&raking, RAKE_PHOTO_TOO_SMALL);
}

/* What of a disc around the cavity, a millimetre or so larger than it, is proposed. */
static double
measure_spots_in_hole (const RakePhotoReading *reading)
{
  const double middle[] = { RAKING_HOLE_X_MM, RAKING_HOLE_Y_MM };
  g_autoptr (RakeShape) hole = rake_shape_new_brush_stroke (middle, 1, RAKING_HOLE_MM + 1.5, NULL);
  double area_mm2 = 0;

  for (guint i = 0; i < reading->spots->len; i++)
    {
      const RakePhotoSpot *spot = reading->spots->pdata[i];
      g_autoptr (RakeShape) part = rake_shape_intersection (spot->area, hole, NULL);

      area_mm2 += part != NULL ? rake_shape_get_area_mm2 (part) : 0;
    }
  return area_mm2;
}

static void
check_hole (Raking *raking)
{
  g_autoptr (RakePhotoReading) reading = NULL;
  double in_hole_mm2;

  raking->n_islands = 12;
  raking->is_hole_in_outline = TRUE;
  reading = read_it (raking);
  in_hole_mm2 = measure_spots_in_hole (reading);
  if (in_hole_mm2 > 0)
    fail_msg ("seed %u: %.1f mm² of the cavity proposed", raking->seed, in_hole_mm2);
  assert_int_equal (reading->obstacle, RAKE_PHOTO_READABLE);
  assert_in_range (reading->spots->len, 10, 13);
  for (guint zone = 0; zone < 2; zone++)
    assert_true (fabs (reading->zones[zone].glossy_fraction - raking_get_fraction (raking, zone)) <
                 0.002);
  raking_clear (raking);
}

static void
a_cavity_in_the_outline_is_no_low_spot (void **state)
{
  /* Clicked so badly, with no rim to be seen, the cavity lies millimetres beside its place. */
  static const guint32 bad_seeds[] = { 15, 19, 20 };
  Raking raking;

  raking_init (&raking);
  check_hole (&raking);
  for (gsize i = 0; i < G_N_ELEMENTS (bad_seeds); i++)
    {
      raking_init (&raking);
      raking.seed = bad_seeds[i];
      raking.camera.focal_px = 650;
      raking.click_px = 7;
      raking.is_edge_hidden = TRUE;
      check_hole (&raking);
    }
}

static gboolean
is_same (const RakePhotoReading *a, const RakePhotoReading *b)
{
  if (a->spots->len != b->spots->len || a->scratches->len != b->scratches->len)
    return FALSE;
  for (guint i = 0; i < a->spots->len; i++)
    {
      const RakePhotoSpot *x = a->spots->pdata[i], *y = b->spots->pdata[i];

      if (!rake_shape_equal (x->area, y->area) || strcmp (x->why, y->why) != 0)
        return FALSE;
    }
  return TRUE;
}

static void
the_same_picture_reads_the_same (void **state)
{
  Raking raking;
  g_autoptr (RakePhotoReading) first = NULL;
  g_autoptr (RakePhotoReading) again = NULL;
  RakePhotoQuestion question;

  raking_init (&raking);
  first = read_it (&raking);
  question = raking_ask (&raking);
  again = rake_photo_read (&question, NULL, NULL, NULL, NULL);
  assert_true (is_same (first, again));
  raking_clear (&raking);
}

static void
more_sensitivity_proposes_more (void **state)
{
  guint n_before = 0;
  Raking raking;
  RakePhotoQuestion question;

  raking_init (&raking);
  raking.contrast = 0.16;
  raking_make (&raking);
  question = raking_ask (&raking);
  for (double sensitivity = 0; sensitivity <= 1; sensitivity += 0.5)
    {
      g_autoptr (RakePhotoReading) reading = NULL;

      question.sensitivity = sensitivity;
      reading = rake_photo_read (&question, NULL, NULL, NULL, NULL);
      assert_true (reading->spots->len >= n_before);
      n_before = reading->spots->len;
    }
  assert_in_range (n_before, 40, 400);
  raking_clear (&raking);
}

typedef struct
{
  GCancellable *cancellable;
  double at, last;
  guint n;
} Halt;

static void
note_progress (double fraction, gpointer data)
{
  Halt *halt = data;

  assert_true (fraction >= halt->last && fraction <= 1);
  halt->last = fraction;
  halt->n++;
  if (fraction >= halt->at)
    g_cancellable_cancel (halt->cancellable);
}

static void
a_reading_tells_how_far_it_is_and_stops (void **state)
{
  Raking raking;
  RakePhotoQuestion question;

  raking_init (&raking);
  raking_make (&raking);
  question = raking_ask (&raking);
  for (double at = 0; at < 2; at += 0.3)
    {
      g_autoptr (GCancellable) cancellable = g_cancellable_new ();
      g_autoptr (GError) error = NULL;
      Halt halt = { cancellable, at, 0, 0 };
      g_autoptr (RakePhotoReading) reading =
          rake_photo_read (&question, note_progress, &halt, cancellable, &error);

      if (at <= 1)
        assert_true (reading == NULL && g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED));
      else
        assert_true (reading != NULL && halt.last == 1 && halt.n >= 5);
    }
  raking_clear (&raking);
}

static void
a_question_without_sense_is_refused (void **state)
{
  Raking raking;
  RakePhotoQuestion question;
  const double tiny[] = { 0, 0, 3, 0, 3, 3 }, line[] = { 0, 0, 50, 50 };
  g_autoptr (RakeShape) small = rake_shape_new_area (tiny, 3, NULL);
  g_autoptr (RakeShape) no_area = rake_shape_new_line (line, 2, NULL);

  raking_init (&raking);
  raking_make (&raking);
  for (int kind = 0; kind < 5; kind++)
    {
      g_autoptr (GError) error = NULL;

      question = raking_ask (&raking);
      if (kind == 0)
        question.outline = small;
      else if (kind == 1)
        question.outline = no_area;
      else if (kind == 2)
        question.sensitivity = NAN;
      else if (kind == 3)
        question.zones = (const RakeShape *const *) (const void *) &no_area, question.n_zones = 1;
      else
        question.holes = (const RakeShape *const *) (const void *) &no_area;
      assert_null (rake_photo_read (&question, NULL, NULL, NULL, &error));
      assert_true (
          g_error_matches (error, RAKE_PHOTO_READING_ERROR, RAKE_PHOTO_READING_ERROR_QUESTION));
    }
  raking_clear (&raking);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (dark_islands_are_found_from_above),
    cmocka_unit_test (bright_islands_are_found_from_low_down),
    cmocka_unit_test (a_scratch_is_found_where_it_runs),
    cmocka_unit_test (a_level_face_has_no_islands),
    cmocka_unit_test (a_cavity_in_the_outline_is_no_low_spot),
    cmocka_unit_test (what_cannot_be_read_is_declined),
    cmocka_unit_test (the_same_picture_reads_the_same),
    cmocka_unit_test (more_sensitivity_proposes_more),
    cmocka_unit_test (a_reading_tells_how_far_it_is_and_stops),
    cmocka_unit_test (a_question_without_sense_is_refused),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
