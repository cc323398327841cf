/* test-photo-trace.c - an outline drawn point by point over a photograph has the size of what was
 * photographed, and what is no outline is refused.
 *
 * The photograph is reckoned here by a projection of its own, given as nine numbers. Areas come from the
 * formulas of the figures: an ellipse is pi a b, a rectangle its sides' product. */
#include <rakelight/photo-trace.h>

#include <math.h>
#include <string.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#define WIDTH_PX 1600
#define HEIGHT_PX 1200
#define A_MM 150.0
#define B_MM 95.0
#define MAX_POINTS 600

/* The face, its 0, 0 in the middle, seen askew. */
static const double m[9] = { 3.1, 0.35, 800, -0.25, 2.6, 600, 0.0004, -0.0009, 1 };

static void
see (double x_mm, double y_mm, double *px)
{
  double w = m[6] * x_mm + m[7] * y_mm + m[8];

  px[0] = (m[0] * x_mm + m[1] * y_mm + m[2]) / w;
  px[1] = (m[3] * x_mm + m[4] * y_mm + m[5]) / w;
}

/* A hand is off by up to a pixel, another way each time. */
static double
wobble (guint i)
{
  return sin (12.9898 * i) * 0.7;
}

static void
see_ellipse (double *px, guint n, double off_px)
{
  for (guint i = 0; i < n; i++)
    {
      double angle = 2 * G_PI * i / n;

      see (A_MM * cos (angle), B_MM * sin (angle), px + 2 * i);
      px[2 * i] += off_px * wobble (2 * i);
      px[2 * i + 1] += off_px * wobble (2 * i + 1);
    }
}

/* A card of 120 by 70 mm on the face, its corners set in no order. */
static void
take_size (RakePhotoTraceSize *size)
{
  double corners[8];
  g_autoptr (GError) error = NULL;

  see (60, 35, corners);
  see (-60, -35, corners + 2);
  see (-60, 35, corners + 4);
  see (60, -35, corners + 6);
  assert_true (
      rake_photo_trace_size_from_rectangle (size, WIDTH_PX, HEIGHT_PX, corners, 120, 70, &error));
}

static void
assert_share (double value, double truth, double share)
{
  if (!(fabs (value - truth) <= share * truth))
    fail_msg ("%g is not within %g %% of %g", value, 100 * share, truth);
}

static void
assert_ellipse (guint n_points, gboolean is_smooth, double off_px)
{
  RakePhotoTraceSize size;
  double px[2 * MAX_POINTS];
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) outline = NULL;
  RakeBounds bounds;

  take_size (&size);
  see_ellipse (px, n_points, off_px);
  outline = rake_photo_trace_outline (&size, px, n_points, is_smooth, &error);
  if (outline == NULL)
    fail_msg ("%s", error->message);
  assert_share (rake_shape_get_area_mm2 (outline), G_PI * A_MM * B_MM, 0.01);
  bounds = rake_shape_get_bounds (outline);
  assert_float_equal (bounds.min_x_mm, 0, 0.001);
  assert_float_equal (bounds.min_y_mm, 0, 0.001);
  assert_share (bounds.max_x_mm, 2 * A_MM, 0.01);
  assert_share (bounds.max_y_mm, 2 * B_MM, 0.01);
}

static void
a_curve_is_traced_by_few_points (void **state)
{
  assert_ellipse (16, TRUE, 0);
  assert_ellipse (24, TRUE, 1);
  assert_ellipse (40, TRUE, 1);
}

static void
straight_lines_take_more_points (void **state)
{
  assert_ellipse (60, FALSE, 0);
  assert_ellipse (60, FALSE, 1);
}

static void
the_photograph_lies_under_what_was_drawn (void **state)
{
  RakePhotoTraceSize size;
  double px[2 * 48], at[2];
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) outline = NULL;
  g_autoptr (RakePhotoFit) fit = NULL;

  take_size (&size);
  see_ellipse (px, 48, 0);
  outline = rake_photo_trace_outline (&size, px, 48, TRUE, &error);
  assert_non_null (outline);
  fit = rake_photo_fit_new (size.pairs, 4, WIDTH_PX, HEIGHT_PX, RAKE_PHOTO_FIT_PROJECTIVE, &error);
  assert_non_null (fit);
  /* The ellipse's middle is the middle of its box, and was seen at the projection's. */
  assert_true (rake_photo_fit_to_image (fit, A_MM, B_MM, &at[0], &at[1]));
  see (0, 0, px);
  assert_float_equal (at[0], px[0], 1);
  assert_float_equal (at[1], px[1], 1);
}

static void
a_length_is_enough_from_straight_above (void **state)
{
  const double ends[4] = { 100, 100, 400, 500 }; /* 500 pixels */
  const double corners[8] = { 200, 150, 1400, 150, 1400, 950, 200, 950 };
  RakePhotoTraceSize size;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) sharp = NULL, rounded = NULL;

  assert_true (rake_photo_trace_size_from_length (&size, WIDTH_PX, HEIGHT_PX, ends, 125, &error));
  sharp = rake_photo_trace_outline (&size, corners, 4, FALSE, &error);
  assert_non_null (sharp);
  assert_share (rake_shape_get_area_mm2 (sharp), 300.0 * 200, 1e-4);
  /* Corners stay corners. */
  rounded = rake_photo_trace_outline (&size, corners, 4, TRUE, &error);
  assert_non_null (rounded);
  assert_share (rake_shape_get_area_mm2 (rounded), 300.0 * 200, 1e-4);
}

static void
refuse_edge (const double *px, guint n_points, const char *part)
{
  RakePhotoTraceSize size, before;
  g_autoptr (GError) error = NULL;

  take_size (&size);
  before = size;
  assert_null (rake_photo_trace_outline (&size, px, n_points, TRUE, &error));
  assert_non_null (error);
  assert_non_null (strstr (error->message, part));
  assert_memory_equal (&size, &before, sizeof size);
}

static void
what_is_no_outline_is_refused (void **state)
{
  const double bow[8] = { 400, 300, 1200, 900, 1200, 300, 400, 900 };
  const double nowhere[6] = { 400, 300, NAN, 900, 1200, 300 };
  const double line[6] = { 400, 300, 500, 300, 600, 300 };
  double many[2 * MAX_POINTS];
  RakePhotoTraceSize size;
  g_autoptr (GError) error = NULL;

  refuse_edge (bow, 4, "crosses itself");
  refuse_edge (nowhere, 3, "three points");
  refuse_edge (bow, 2, "three points");
  see_ellipse (many, MAX_POINTS, 0);
  refuse_edge (many, MAX_POINTS, "at most 500");
  take_size (&size);
  assert_null (rake_photo_trace_outline (&size, line, 3, FALSE, &error));
  assert_non_null (error);
}

static void
what_is_no_size_is_refused (void **state)
{
  const double ends[4] = { 100, 100, 101, 100 };
  const double far[4] = { 100, 100, 900, 100 };
  const double line[8] = { 100, 100, 200, 100, 300, 100, 400, 100 };
  const double bad[] = { 0, -5, NAN, INFINITY, 1e9 };
  RakePhotoTraceSize size;

  assert_false (rake_photo_trace_size_from_length (&size, WIDTH_PX, HEIGHT_PX, ends, 100, NULL));
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      assert_false (
          rake_photo_trace_size_from_length (&size, WIDTH_PX, HEIGHT_PX, far, bad[i], NULL));
      assert_false (rake_photo_trace_size_from_rectangle (&size, WIDTH_PX, HEIGHT_PX, line, bad[i],
                                                          10, NULL));
    }
  assert_false (
      rake_photo_trace_size_from_rectangle (&size, WIDTH_PX, HEIGHT_PX, line, 100, 50, NULL));
}

int
main (void)
{
  static const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_curve_is_traced_by_few_points),
    cmocka_unit_test (straight_lines_take_more_points),
    cmocka_unit_test (the_photograph_lies_under_what_was_drawn),
    cmocka_unit_test (a_length_is_enough_from_straight_above),
    cmocka_unit_test (what_is_no_outline_is_refused),
    cmocka_unit_test (what_is_no_size_is_refused),
  };

  return cmocka_run_group_tests (tests, NULL, NULL);
}
