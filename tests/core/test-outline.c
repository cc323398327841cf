/* test-outline.c - the built-in outlines have the size asked for, and are whole and even. */
#include <rakelight/outline.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <string.h>
#include <cmocka.h>

static const char *
name (RakeOutlineKind kind)
{
  return rake_outline_kind_get_name (kind);
}

static RakeShape *
new_outline (RakeOutlineKind kind, double width_mm, double height_mm, double hole_mm)
{
  g_autoptr (GError) error = NULL;
  RakeShape *outline = rake_outline_new (kind, width_mm, height_mm, hole_mm, &error);

  if (outline == NULL)
    fail_msg ("%s %g × %g, hole %g: %s", name (kind), width_mm, height_mm, hole_mm, error->message);
  return outline;
}

static void
an_outline_fills_its_size_exactly (void **state)
{
  static const double factors[][2] = { { 1, 1 }, { 0.1, 0.1 }, { 3, 1 }, { 1, 4 }, { 10, 10 } };

  for (RakeOutlineKind kind = 1; kind < RAKE_N_OUTLINES; kind++)
    for (gsize i = 0; i < G_N_ELEMENTS (factors); i++)
      {
        double width_mm, height_mm, hole_mm;
        g_autoptr (RakeShape) outline = NULL;
        RakeBounds bounds;

        rake_outline_kind_get_usual_size (kind, &width_mm, &height_mm, &hole_mm);
        width_mm *= factors[i][0];
        height_mm *= factors[i][1];
        outline = new_outline (kind, width_mm, height_mm, 0);
        bounds = rake_shape_get_bounds (outline);
        if (bounds.min_x_mm != 0 || bounds.min_y_mm != 0 ||
            fabs (bounds.max_x_mm - width_mm) > 0.0006 ||
            fabs (bounds.max_y_mm - height_mm) > 0.0006)
          fail_msg ("%s %g × %g fills %g, %g to %g, %g", name (kind), width_mm, height_mm,
                    bounds.min_x_mm, bounds.min_y_mm, bounds.max_x_mm, bounds.max_y_mm);
        assert_int_equal (rake_shape_get_n_rings (outline), 1);
      }
}

static void
the_usual_size_gives_a_moderate_outline (void **state)
{
  for (RakeOutlineKind kind = 1; kind < RAKE_N_OUTLINES; kind++)
    {
      double width_mm, height_mm, hole_mm;
      g_autoptr (RakeShape) outline = NULL;
      guint n_points = 0;

      rake_outline_kind_get_usual_size (kind, &width_mm, &height_mm, &hole_mm);
      outline = new_outline (kind, width_mm, height_mm, hole_mm);
      assert_int_equal (rake_shape_get_n_rings (outline), hole_mm > 0 ? 2 : 1);
      for (guint r = 0; r < rake_shape_get_n_rings (outline); r++)
        {
          guint n_ring;
          rake_shape_get_ring (outline, r, &n_ring, NULL);
          n_points += n_ring;
        }
      if (n_points > 400)
        fail_msg ("%s has %u points", name (kind), n_points);
    }
}

/* Chords within 0.05 mm of the curve lose at most that along the whole edge. */
static void
areas_follow_the_closed_forms (void **state)
{
  g_autoptr (RakeShape) disc = new_outline (RAKE_OUTLINE_DISC, 400, 250, 0);
  g_autoptr (RakeShape) long_disc = new_outline (RAKE_OUTLINE_DISC, 1000, 50, 0);
  g_autoptr (RakeShape) holed = new_outline (RAKE_OUTLINE_DISC, 400, 250, 80);
  g_autoptr (RakeShape) slab = new_outline (RAKE_OUTLINE_ROUNDED_SLAB, 600, 300, 0);
  double disc_mm2 = G_PI / 4 * 400 * 250, hole_mm2 = G_PI / 4 * 80 * 80;
  double slab_mm2 = 600 * 300 - (4 - G_PI) * 36 * 36;

  assert_true (fabs (rake_shape_get_area_mm2 (disc) - disc_mm2) < 0.05 * 1040);
  assert_true (fabs (rake_shape_get_area_mm2 (long_disc) - G_PI / 4 * 1000 * 50) < 0.05 * 2010);
  assert_true (fabs (rake_shape_get_area_mm2 (holed) - disc_mm2 + hole_mm2) < 0.05 * 1300);
  assert_true (fabs (rake_shape_get_area_mm2 (slab) - slab_mm2) < 0.05 * 230);
  assert_true (rake_shape_get_area_mm2 (disc) < disc_mm2);
}

/* How far the middle of a chord lies inside the round one about 50, 50. */
static double
find_deepest_chord_mm (const RakeShape *disc)
{
  guint n_points;
  const double *points = rake_shape_get_ring (disc, 0, &n_points, NULL);
  double deepest_mm = 0;

  for (guint i = 0; i + 1 < n_points; i++)
    deepest_mm = fmax (deepest_mm, 50 - hypot ((points[2 * i] + points[2 * i + 2]) / 2 - 50,
                                               (points[2 * i + 1] + points[2 * i + 3]) / 2 - 50));
  return deepest_mm;
}

/* Both ways of making an outline, to what outline.h says of them; a point is off by the grid. */
static void
curves_become_lines_as_near_as_is_said (void **state)
{
  static const char drawn[] = "<svg><circle r='50'/></svg>";
  g_autoptr (RakeShape) ours = rake_outline_new (RAKE_OUTLINE_DISC, 100, 100, 0, NULL);
  g_autoptr (RakeShape) from_svg = rake_outline_new_from_svg (drawn, strlen (drawn), 1, NULL);
  double ours_mm = find_deepest_chord_mm (ours), from_svg_mm = find_deepest_chord_mm (from_svg);

  if (!(ours_mm <= 0.051 && ours_mm > 0.011 && from_svg_mm <= 0.011))
    fail_msg ("ours within %.4f mm, a drawing's within %.4f mm", ours_mm, from_svg_mm);
}

static void
a_piece_with_two_like_halves_is_the_same_in_the_mirror (void **state)
{
  static const RakeOutlineKind even[] = { RAKE_OUTLINE_ROUNDED_SLAB, RAKE_OUTLINE_PEAR,
                                          RAKE_OUTLINE_WAISTED, RAKE_OUTLINE_LID,
                                          RAKE_OUTLINE_DISC, RAKE_OUTLINE_NECK };

  for (gsize i = 0; i < G_N_ELEMENTS (even); i++)
    {
      g_autoptr (RakeShape) outline = new_outline (even[i], 300, 400, 0);
      g_autoptr (RakeShape) mirrored =
          rake_shape_transform (outline, (const double[]){ -1, 0, 0, 1, 300, 0 }, NULL);
      g_autoptr (RakeShape) shared = rake_shape_intersection (outline, mirrored, NULL);

      if (rake_shape_get_area_mm2 (outline) - rake_shape_get_area_mm2 (shared) >
          0.002 * rake_shape_get_length_mm (outline))
        fail_msg ("%s is lopsided", name (even[i]));
    }
}

static void
a_pear_is_narrow_above_with_its_hole_in_the_upper_half (void **state)
{
  g_autoptr (RakeShape) pear = new_outline (RAKE_OUTLINE_PEAR, 330, 440, 92);
  guint n_points;
  const double *hole = rake_shape_get_ring (pear, 1, &n_points, NULL);
  double lowest = 0;

  for (guint i = 0; i < n_points; i++)
    lowest = fmax (lowest, hole[2 * i + 1]);
  assert_false (rake_shape_contains (pear, 60, 60));
  assert_true (rake_shape_contains (pear, 60, 300));
  assert_true (lowest < 0.55 * 440);
  assert_false (rake_shape_contains (pear, 165, 0.4 * 440));
}

static void
a_size_that_cannot_be_is_refused_in_words (void **state)
{
  static const double sizes[][3] = {
    { 0.5, 100, 0 },   { 100, 20001, 0 },   { NAN, 100, 0 },   { 100, INFINITY, 0 },
    { -100, 100, 0 },  { 100, 100, -1 },    { 100, 100, NAN }, { 100, 100, INFINITY },
    { 100, 100, 100 }, { 100, 100, 19999 },
  };

  for (RakeOutlineKind kind = 1; kind < RAKE_N_OUTLINES; kind++)
    for (gsize i = 0; i < G_N_ELEMENTS (sizes); i++)
      {
        g_autoptr (GError) error = NULL;
        g_autoptr (RakeShape) outline =
            rake_outline_new (kind, sizes[i][0], sizes[i][1], sizes[i][2], &error);

        if (outline != NULL)
          fail_msg ("%s %g × %g, hole %g was taken", name (kind), sizes[i][0], sizes[i][1],
                    sizes[i][2]);
        assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID));
        assert_true (g_str_has_suffix (error->message, "."));
      }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (an_outline_fills_its_size_exactly),
    cmocka_unit_test (the_usual_size_gives_a_moderate_outline),
    cmocka_unit_test (areas_follow_the_closed_forms),
    cmocka_unit_test (curves_become_lines_as_near_as_is_said),
    cmocka_unit_test (a_piece_with_two_like_halves_is_the_same_in_the_mirror),
    cmocka_unit_test (a_pear_is_narrow_above_with_its_hole_in_the_upper_half),
    cmocka_unit_test (a_size_that_cannot_be_is_refused_in_words),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
