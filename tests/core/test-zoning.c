/* test-zoning.c - zones tile their face, and a drawn line divides as the hand meant it.
 *
 * Random tests print their seed; RAKE_TEST_SEED runs that one again. The same divisions are
 * checked against another area library in zoning-against-clipper.py. */
#include "../support/share.h"
#include "zoning-random.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

static guint32 seed;

static RakeShape *
read_wkt (const char *wkt)
{
  g_autoptr (GError) error = NULL;
  RakeShape *shape = rake_shape_from_wkt (wkt, &error);

  if (shape == NULL)
    fail_msg ("%s: %s", wkt, error->message);
  return shape;
}

static void
assert_tiles (const RakeShape *face, const GPtrArray *zones, const char *what)
{
  g_autoptr (GError) error = NULL;

  if (!rake_zoning_check_tiles (face, (RakeShape *const *) zones->pdata, zones->len, &error))
    fail_msg ("%s (seed %u): %s", what, seed, error->message);
}

static void
any_divisions_in_any_order_tile_the_face (void **state)
{
  guint n_zones = 0, n_rounds = test_share (40);

  for (guint i = 0; i < n_rounds; i++)
    for (RakeOutlineKind kind = 1; kind < RAKE_N_OUTLINES; kind++)
      {
        g_autoptr (GRand) random = g_rand_new_with_seed (seed + 100 * i + kind);
        g_autoptr (RakeShape) face = random_face (random, kind);
        g_autoptr (GError) error = NULL;
        g_autoptr (GPtrArray) zones = random_zones (random, face, 12, &error);
        g_autofree char *what =
            g_strdup_printf ("%s, round %u", rake_outline_kind_get_name (kind), i);
        if (zones == NULL)
          fail_msg ("%s (seed %u): %s", what, seed, error->message);
        assert_tiles (face, zones, what);
        n_zones += zones->len;
      }
  /* Were the gestures to miss all the time, the test would say nothing. */
  assert_true (n_zones > n_rounds * (RAKE_N_OUTLINES - 1) * 4);
}

#define SQUARE "POLYGON ((0 0, 100 0, 100 100, 0 100, 0 0))"
#define HOLED                                                                                     \
  "POLYGON ((0 0, 100 0, 100 100, 0 100, 0 0), (40 40, 60 40, 60 60, 40 60, 40 40))"
#define COMB "POLYGON ((0 0, 100 0, 100 100, 70 100, 70 30, 30 30, 30 100, 0 100, 0 0))"

static void
a_drawn_line_divides_as_it_was_meant (void **state)
{
  static const struct
  {
    const char *what, *area, *line;
    gboolean extend;
    double areas_mm2[5]; /* in order; none: it does not divide */
  } cases[] = {
    { "from edge to edge", SQUARE, "LINESTRING (-5 30, 105 30)", FALSE, { 3000, 7000 } },
    { "just reaching both edges", SQUARE, "LINESTRING (0 30, 100 30)", FALSE, { 3000, 7000 } },
    { "short at both ends", SQUARE, "LINESTRING (40 30, 60 30)", TRUE, { 3000, 7000 } },
    { "short, and not to be carried on", SQUARE, "LINESTRING (40 30, 60 30)", FALSE, { 0 } },
    { "ending inside", SQUARE, "LINESTRING (-5 30, 60 30)", FALSE, { 0 } },
    { "ending inside, carried on", SQUARE, "LINESTRING (-5 30, 60 30)", TRUE, { 3000, 7000 } },
    { "upright: left before right", SQUARE, "LINESTRING (30 -5, 30 105)", FALSE, { 3000, 7000 } },
    { "a bend", SQUARE, "LINESTRING (-5 50, 50 50, 50 105)", FALSE, { 7500, 2500 } },
    { "misses", SQUARE, "LINESTRING (110 0, 110 100)", TRUE, { 0 } },
    { "misses and points away", SQUARE, "LINESTRING (110 50, 120 50)", TRUE, { 0 } },
    { "along the edge", SQUARE, "LINESTRING (0 0, 100 0)", TRUE, { 0 } },
    { "trembling along the edge", SQUARE, "LINESTRING (0 0.02, 30 -0.02, 60 0.03, 100 -0.01)",
      TRUE, { 0 } },
    { "twice across", SQUARE, "LINESTRING (-5 20, 110 20, 110 70, -5 70)", FALSE,
      { 2000, 5000, 3000 } },
    { "crossing itself", SQUARE, "LINESTRING (50 -5, 50 105, 105 105, 105 50, -5 50)", FALSE,
      { 2500, 2500, 2500, 2500 } },
    { "from corner to corner", SQUARE, "LINESTRING (0 0, 100 100)", TRUE, { 5000, 5000 } },
    { "ends whose last step trembles", SQUARE,
      "LINESTRING (10.001 30.005, 10 30, 50 30, 90 30, 90.001 30.005)", TRUE, { 3000, 7000 } },
    { "right through the hole", HOLED, "LINESTRING (-5 50, 105 50)", FALSE, { 4800, 4800 } },
    { "beside the hole, carried on through it", HOLED, "LINESTRING (10 50, 20 50)", TRUE,
      { 4800, 4800 } },
    { "within the hole, carried on to both sides", HOLED, "LINESTRING (45 50, 55 50)", TRUE,
      { 4800, 4800 } },
    { "from the hole to the edge alone", HOLED, "LINESTRING (50 50, 105 50)", FALSE, { 0 } },
    { "over the hole and into both sides", HOLED, "LINESTRING (30 50, 70 50)", TRUE,
      { 4800, 4800 } },
    { "one tooth only: it stops where it leaves", COMB, "LINESTRING (10 80, 20 80)", TRUE,
      { 100 * 30 + 2 * 30 * 70 - 600, 600 } },
    { "both teeth, drawn over both", COMB, "LINESTRING (-5 80, 105 80)", FALSE,
      { 100 * 30 + 2 * 30 * 50, 600, 600 } },
    { "a closed loop", SQUARE, "LINESTRING (20 20, 40 20, 40 40, 20 40, 20 20)", TRUE,
      { 400, 9600 } },
    { "a loop that does not quite close", SQUARE, "LINESTRING (20 20, 40 20, 40 40, 20 40, 20 24)",
      TRUE, { 400, 9600 } },
    { "a loop whose ends cross", SQUARE, "LINESTRING (18 20, 40 20, 40 40, 20 40, 20 18)", TRUE,
      { 400, 9600 } },
    { "a loop around the hole", HOLED, "LINESTRING (30 30, 70 30, 70 70, 30 70, 30 30)", TRUE,
      { 8400, 1200 } },
    { "a loop over the edge", SQUARE, "LINESTRING (90 40, 110 40, 110 60, 90 60, 90 40)", TRUE,
      { 9800, 200 } },
    { "a loop, not to be carried on", SQUARE, "LINESTRING (20 20, 40 20, 40 40, 20 40, 20 20)",
      FALSE, { 400, 9600 } },
    { "one of two parts",
      "MULTIPOLYGON (((0 0, 10 0, 10 10, 0 10, 0 0)), ((20 0, 50 0, 50 30, 20 30, 20 0)))",
      "LINESTRING (15 15, 55 15)", TRUE, { 100, 450, 450 } },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeShape) area = read_wkt (cases[i].area), line = read_wkt (cases[i].line);
      g_autoptr (GError) error = NULL;
      g_autoptr (GPtrArray) zones = rake_zoning_cut (area, line, cases[i].extend, &error);

      if (zones == NULL)
        {
          if (cases[i].areas_mm2[0] != 0)
            fail_msg ("%s: %s", cases[i].what, error->message);
          assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY));
          continue;
        }
      assert_tiles (area, zones, cases[i].what);
      for (guint z = 0; z < MAX (zones->len, 2); z++)
        if (z >= zones->len ||
            ABS (rake_shape_get_area_mm2 (zones->pdata[z]) - cases[i].areas_mm2[z]) > 0.3)
          fail_msg ("%s: %u zones, number %u has %.3f mm², not %.3f", cases[i].what, zones->len,
                    z + 1, z < zones->len ? rake_shape_get_area_mm2 (zones->pdata[z]) : 0.0,
                    cases[i].areas_mm2[z]);
      assert_true (cases[i].areas_mm2[zones->len] == 0);
    }
}

static void
a_line_that_divides_nothing_says_what_to_do (void **state)
{
  g_autoptr (RakeShape) area = read_wkt (SQUARE);
  g_autoptr (RakeShape) misses = read_wkt ("LINESTRING (110 0, 110 100)");
  g_autoptr (RakeShape) ends = read_wkt ("LINESTRING (-5 50, 50 50)");
  g_autoptr (GError) error = NULL;

  assert_null (rake_zoning_cut (area, misses, TRUE, &error));
  assert_non_null (strstr (error->message, "misses"));
  g_clear_error (&error);
  assert_null (rake_zoning_cut (area, ends, FALSE, &error));
  assert_non_null (strstr (error->message, "from one edge to another"));
}

static void
a_band_has_the_area_of_its_closed_form (void **state)
{
  /* A square of side a: a² - (a - 2w)². With a square hole of side h: and its ring as well, with
   * round corners: (4h + πw) w. */
  static const struct
  {
    const char *area;
    double width_mm;
    gboolean along_holes;
    double band_mm2, within;
  } cases[] = {
    { SQUARE, 10, TRUE, 10000 - 6400, 0.01 },
    { SQUARE, 0.5, TRUE, 10000 - 99.0 * 99.0, 0.01 },
    { HOLED, 10, FALSE, 10000 - 6400, 0.01 },
    { HOLED, 10, TRUE, 10000 - 6400 + (80 + G_PI * 10) * 10, 2 },
    { HOLED, 35, FALSE, 10000 - 900 - 400 + 400, 0.01 }, /* the hole lies inside the rest */
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeShape) area = read_wkt (cases[i].area);
      g_autoptr (GError) error = NULL;
      g_autoptr (GPtrArray) zones =
          rake_zoning_band (area, area, cases[i].width_mm, cases[i].along_holes, &error);

      if (zones == NULL)
        fail_msg ("case %zu: %s", i, error->message);
      assert_int_equal (zones->len, 2);
      assert_tiles (area, zones, "a band");
      if (ABS (rake_shape_get_area_mm2 (zones->pdata[0]) - cases[i].band_mm2) > cases[i].within)
        fail_msg ("case %zu: the band has %.3f mm², not %.3f", i,
                  rake_shape_get_area_mm2 (zones->pdata[0]), cases[i].band_mm2);
    }
}

static void
a_band_that_is_all_or_nothing_is_refused (void **state)
{
  g_autoptr (RakeShape) face = read_wkt (SQUARE);
  g_autoptr (RakeShape) middle = read_wkt ("POLYGON ((40 40, 60 40, 60 60, 40 60, 40 40))");
  static const double refused[] = { NAN, INFINITY, -5, 0, 0.4, 50, 5000 };

  for (gsize i = 0; i < G_N_ELEMENTS (refused); i++)
    {
      g_autoptr (GError) error = NULL;
      assert_null (rake_zoning_band (face, face, refused[i], TRUE, &error));
      assert_int_equal (error->domain, RAKE_SHAPE_ERROR);
    }
  g_autoptr (GError) error = NULL;
  assert_null (rake_zoning_band (middle, face, 10, TRUE, &error));
  assert_non_null (strstr (error->message, "wider"));
}

static void
a_second_band_of_the_same_width_leaves_no_slivers (void **state)
{
  g_autoptr (RakeShape) face = rake_outline_new (RAKE_OUTLINE_PEAR, 330, 440, 92, NULL);
  g_autoptr (GPtrArray) zones = rake_zoning_band (face, face, 20, TRUE, NULL);

  assert_non_null (zones);
  for (guint i = 0; i < 2; i++)
    {
      g_autoptr (GError) error = NULL;
      assert_null (rake_zoning_band (zones->pdata[i], face, 20, TRUE, &error));
      assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY));
    }
}

static void
a_grid_comes_row_by_row_and_without_crumbs (void **state)
{
  g_autoptr (RakeShape) square = read_wkt (SQUARE);
  g_autoptr (RakeShape) disc = rake_outline_new (RAKE_OUTLINE_DISC, 100, 100, 0, NULL);
  g_autoptr (GPtrArray) cells = rake_zoning_grid (square, 4, 2, NULL);
  g_autoptr (GPtrArray) pieces = NULL;

  assert_int_equal (cells->len, 8);
  for (guint i = 0; i < 8; i++)
    {
      RakeBounds bounds = rake_shape_get_bounds (cells->pdata[i]);
      assert_true (ABS (bounds.min_x_mm - 25 * (i % 4)) < 0.0001);
      assert_true (ABS (bounds.min_y_mm - 50 * (i / 4)) < 0.0001);
    }
  for (guint n = 2; n <= test_share (RAKE_ZONING_MOST_CELLS); n += 19)
    {
      g_clear_pointer (&pieces, g_ptr_array_unref);
      pieces = rake_zoning_grid (disc, n, n, NULL);
      assert_tiles (disc, pieces, "a grid");
      for (guint i = 0; i < pieces->len; i++)
        assert_true (rake_shape_get_area_mm2 (pieces->pdata[i]) >= 0.02 * 10000 / n / n);
    }
  assert_null (rake_zoning_grid (square, 1, 1, NULL));
  assert_null (rake_zoning_grid (square, 0, 3, NULL));
  assert_null (rake_zoning_grid (square, 41, 3, NULL));
}

static void
joining_undoes_cutting (void **state)
{
  for (guint i = 0, n = test_share (100); i < n; i++)
    {
      g_autoptr (GRand) random = g_rand_new_with_seed (seed + i);
      g_autoptr (RakeShape) face = random_face (random, 1 + i % (RAKE_N_OUTLINES - 1));
      g_autoptr (GError) error = NULL;
      g_autoptr (GPtrArray) zones = random_zones (random, face, 8, &error);
      g_autoptr (RakeShape) joined = NULL;

      assert_non_null (zones);
      joined = rake_zoning_join ((RakeShape *const *) zones->pdata, zones->len, &error);
      if (joined == NULL)
        fail_msg ("round %u (seed %u): %s", i, seed, error->message);
      if (rake_shape_get_n_rings (joined) != rake_shape_get_n_rings (face) ||
          ABS (rake_shape_get_area_mm2 (joined) - rake_shape_get_area_mm2 (face)) >
              0.001 * rake_shape_get_length_mm (face))
        fail_msg ("round %u (seed %u): %u rings of %.4f mm², the face has %u of %.4f", i, seed,
                  rake_shape_get_n_rings (joined), rake_shape_get_area_mm2 (joined),
                  rake_shape_get_n_rings (face), rake_shape_get_area_mm2 (face));
    }
}

/* A spot half a millimetre broad at the end of a thread is somebody's zone, not a crumb. */
static void
joining_leaves_a_third_zone_in_a_thread_alone (void **state)
{
  static const char right_with[] =
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50 90, 50.005 90, 50.005 50.5, 50.5 50, 50.005 50, "
      "50.005 10, 50 10, 50 0))";
  static const char right_without[] =
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50 90, 50.005 90, 50.005 10, 50 10, 50 0))";
  g_autoptr (RakeShape) left = read_wkt ("POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))");
  g_autoptr (RakeShape) around = read_wkt (right_with);
  g_autoptr (RakeShape) beside = read_wkt (right_without);
  g_autoptr (RakeShape) joined = NULL, closed = NULL;

  joined = rake_zoning_join ((RakeShape *const[]){ left, around }, 2, NULL);
  assert_non_null (joined);
  assert_false (rake_shape_contains (joined, 50.1, 50.1));
  closed = rake_zoning_join ((RakeShape *const[]){ left, beside }, 2, NULL);
  assert_non_null (closed);
  assert_true (rake_shape_contains (closed, 50.002, 50.1));
}

static void
what_does_not_hang_together_is_not_joined (void **state)
{
  g_autoptr (RakeShape) a = read_wkt (SQUARE);
  g_autoptr (RakeShape) corner = read_wkt ("POLYGON ((100 100, 150 100, 150 150, 100 100))");
  g_autoptr (RakeShape) beside = read_wkt ("POLYGON ((100 0, 150 0, 150 100, 100 100, 100 0))");
  g_autoptr (RakeShape) all = NULL;
  g_autoptr (GError) error = NULL;

  assert_null (rake_zoning_join ((RakeShape *const[]){ a, corner }, 2, &error));
  assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY));
  all = rake_zoning_join ((RakeShape *const[]){ a, corner, beside }, 3, NULL);
  assert_non_null (all);
  assert_int_equal (rake_shape_get_n_rings (all), 1);
}

static void
a_faulty_tiling_is_found_out (void **state)
{
  static const struct
  {
    const char *fault, *left, *right; /* no fault: it tiles */
  } cases[] = {
    { NULL, "POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))",
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50 0))" },
    { NULL, "POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))",
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50.001 40, 50 0))" },
    { "uncovered", "POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))",
      "POLYGON ((51 0, 100 0, 100 100, 51 100, 51 0))" },
    { "uncovered", "POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))", /* a corner of 0.1 mm² */
      "POLYGON ((50 0, 99.5 0, 100 0.5, 100 100, 50 100, 50 0))" },
    { "overlap", "POLYGON ((0 0, 51 0, 51 100, 0 100, 0 0))",
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50 0))" },
    { "overlap", "POLYGON ((0 0, 50 0, 50 50, 50.5 50.5, 50 51, 50 100, 0 100, 0 0))",
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50 0))" },
    { "beyond", "POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))",
      "POLYGON ((50 0, 101 0, 101 100, 50 100, 50 0))" },
    /* A long thread is a matter of snapped edges, but not the spot half a millimetre broad in it. */
    { NULL, "POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))",
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50 90, 50.005 90, 50.005 10, 50 10, 50 0))" },
    { "uncovered", "POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))",
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50 90, 50.005 90, 50.005 50.5, 50.5 50, 50.005 49.5, "
      "50.005 10, 50 10, 50 0))" },
    { "overlap", "POLYGON ((0 0, 50 0, 50 10, 50.005 10, 50.005 49.5, 50.5 50, 50.005 50.5, "
      "50.005 90, 50 90, 50 100, 0 100, 0 0))",
      "POLYGON ((50 0, 100 0, 100 100, 50 100, 50 0))" },
    { "beyond", "POLYGON ((0 0, 50 0, 50 100, 0 100, 0 0))",
      "POLYGON ((50 0, 100 0, 100 10, 100.005 10, 100.005 49.5, 100.5 50, 100.005 50.5, 100.005 90, "
      "100 90, 100 100, 50 100, 50 0))" },
  };
  g_autoptr (RakeShape) face = read_wkt (SQUARE);

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeShape) left = read_wkt (cases[i].left), right = read_wkt (cases[i].right);
      g_autoptr (GError) error = NULL;
      gboolean tiles =
          rake_zoning_check_tiles (face, (RakeShape *const[]){ left, right }, 2, &error);

      if (tiles != (cases[i].fault == NULL) ||
          (!tiles && strstr (error->message, cases[i].fault) == NULL))
        fail_msg ("case %zu: %s", i, tiles ? "was taken" : error->message);
    }
  assert_false (rake_zoning_check_tiles (face, NULL, 0, NULL));
}

static void
a_drawn_point_snaps_to_what_it_meant (void **state)
{
  static const struct
  {
    const char *what;
    double x, y, to_x, to_y;
  } cases[] = {
    { "a corner, though the edge is nearer", 2, 0.5, 0, 0 },
    { "a corner of a zone", 48, 31, 50, 30 },
    { "an edge on the mid line", 52, 101, 50, 100 },
    { "an edge", 20, 1, 20, 0 },
    { "a zone's edge", 20, 28, 20, 30 },
    { "the mid line", 51, 70, 50, 70 },
    { "the lying mid line", 70, 51, 70, 50 },
    { "both mid lines", 48, 51, 50, 50 },
    { "nothing near", 70, 70, 70, 70 },
    { "already there", 20, 0, 20, 0 },
  };
  g_autoptr (RakeShape) face = read_wkt (SQUARE);
  g_autoptr (RakeShape) zone = read_wkt ("POLYGON ((0 0, 50 0, 50 30, 0 30, 0 0))");
  RakeShape *zones[] = { zone };
  double x = NAN, y = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      gboolean moves = cases[i].x != cases[i].to_x || cases[i].y != cases[i].to_y;
      x = cases[i].x;
      y = cases[i].y;
      if (rake_zoning_snap (face, zones, 1, 4, &x, &y) != moves || x != cases[i].to_x ||
          y != cases[i].to_y)
        fail_msg ("%s: went to %g, %g", cases[i].what, x, y);
    }
  x = NAN;
  assert_false (rake_zoning_snap (face, zones, 1, 4, &x, &y));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (any_divisions_in_any_order_tile_the_face),
    cmocka_unit_test (a_drawn_line_divides_as_it_was_meant),
    cmocka_unit_test (a_line_that_divides_nothing_says_what_to_do),
    cmocka_unit_test (a_band_has_the_area_of_its_closed_form),
    cmocka_unit_test (a_band_that_is_all_or_nothing_is_refused),
    cmocka_unit_test (a_second_band_of_the_same_width_leaves_no_slivers),
    cmocka_unit_test (a_grid_comes_row_by_row_and_without_crumbs),
    cmocka_unit_test (joining_undoes_cutting),
    cmocka_unit_test (joining_leaves_a_third_zone_in_a_thread_alone),
    cmocka_unit_test (what_does_not_hang_together_is_not_joined),
    cmocka_unit_test (a_faulty_tiling_is_found_out),
    cmocka_unit_test (a_drawn_point_snaps_to_what_it_meant),
  };
  const char *given = g_getenv ("RAKE_TEST_SEED");

  seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : 1;
  g_print ("seed %u\n", seed);
  return cmocka_run_group_tests (tests, NULL, NULL);
}
