/* test-shape.c - shapes measure as geometry says, read back what they wrote, and refuse what would
 * hurt.
 *
 * Random tests print their seed on failure; RAKE_TEST_SEED runs that one again. */
#include <rakelight/shape.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <math.h>
#include <string.h>
#include <cmocka.h>

static guint32 seed;

static GRand *
new_random (guint case_number)
{
  return g_rand_new_with_seed (seed + case_number);
}

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
assert_close (const char *what, double got, double expected, double within)
{
  if (!(ABS (got - expected) <= within))
    fail_msg ("%s is %.9f, expected %.9f within %g (seed %u)", what, got, expected, within, seed);
}

static RakeShape *
new_blob (GRand *random, double x_mm, double y_mm, double size_mm)
{
  double points[2 * 40];
  guint n_points = (guint) g_rand_int_range (random, 3, 40);

  for (guint i = 0; i < n_points; i++)
    {
      double angle = 2 * G_PI * i / n_points;
      double radius = size_mm * g_rand_double_range (random, 0.4, 1);
      points[2 * i] = x_mm + radius * cos (angle);
      points[2 * i + 1] = y_mm + radius * sin (angle);
    }
  return rake_shape_new_area (points, n_points, NULL);
}

static void
places_are_snapped_to_a_micrometre (void **state)
{
  g_autoptr (RakeShape) shape = rake_shape_new_point (1.00049, -0.0004, NULL);
  g_autoptr (RakeShape) same = rake_shape_new_point (1, 0, NULL);
  g_autofree char *wkt = rake_shape_to_wkt (shape);

  assert_string_equal (wkt, "POINT (1 0)");
  assert_true (rake_shape_equal (shape, same));
}

static void
wkt_is_the_same_to_the_letter (void **state)
{
  static const struct
  {
    const char *read, *written;
  } cases[] = {
    { "point(1 2)", "POINT (1 2)" },
    { " POINT ( -0.0001  +2.50 ) ", "POINT (0 2.5)" },
    { "POINT (-0.001 1e2)", "POINT (-0.001 100)" },
    { "LINESTRING (0 0, 0 0, 1.2345 2)", "LINESTRING (0 0, 1.235 2)" },
    { "MultiLineString ((0 0, 1 1), (2 2, 3 3.1))", "MULTILINESTRING ((0 0, 1 1), (2 2, 3 3.1))" },
    { "POLYGON ((0 0, 10 0, 10 10))", "POLYGON ((0 0, 10 0, 10 10, 0 0))" },
    /* Either way round, and from any corner: a valid ring stays as it was drawn. */
    { "POLYGON ((5 5, 5 6, 6 6, 6 5, 5 5))", "POLYGON ((5 5, 5 6, 6 6, 6 5, 5 5))" },
    { "POLYGON ((6 6, 5 6, 5 5, 6 5, 6 6))", "POLYGON ((6 6, 5 6, 5 5, 6 5, 6 6))" },
    { "POLYGON ((0 0, 9 0, 9 9, 0 9, 0 0), (1 1, 2 1, 2 2, 1 1))",
      "POLYGON ((0 0, 9 0, 9 9, 0 9, 0 0), (1 1, 2 1, 2 2, 1 1))" },
    { "MULTIPOLYGON(((0 0,1 0,1 1,0 0)),((5 5,6 5,6 6,5 5),(5.5 5.1,5.9 5.1,5.9 5.5,5.5 5.1)))",
      "MULTIPOLYGON (((0 0, 1 0, 1 1, 0 0)), "
      "((5 5, 6 5, 6 6, 5 5), (5.5 5.1, 5.9 5.1, 5.9 5.5, 5.5 5.1)))" },
    { "MULTIPOLYGON (((0 0, 1 0, 1 1, 0 0)))", "POLYGON ((0 0, 1 0, 1 1, 0 0))" },
    { "POINT (99999.999 -100000)", "POINT (99999.999 -100000)" },
    { "POINT (0.01 -0.1)", "POINT (0.01 -0.1)" },
    { "POINT (-10.07 100.001)", "POINT (-10.07 100.001)" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeShape) shape = read_wkt (cases[i].read), again = NULL;
      g_autofree char *wkt = rake_shape_to_wkt (shape);

      assert_string_equal (wkt, cases[i].written);
      again = read_wkt (wkt);
      assert_true (rake_shape_equal (shape, again));
    }
}

static void
bad_wkt_is_refused (void **state)
{
  static const char *const cases[] = {
    "", "POINT", "POINT (1)", "POINT (1 2 3)", "POINT (1, 2)", "POINT EMPTY", "POINT Z (1 2 3)",
    "POINT (nan 1)", "POINT (inf 1)", "POINT (0x10 1)", "POINT (1e400 1)", "POINT (100001 0)",
    "POINT (1,5 2)", "POINT (1 2) POINT (3 4)", "POINT ((1 2))", "POINT (1 2", "POINT (1 2, 3 4)",
    "LINESTRING (1 1)", "LINESTRING (1 1, 1 1)", "LINESTRING ()", "LINESTRING (1 1, 2 2,)",
    "POLYGON (0 0, 1 0, 1 1, 0 0)", "POLYGON ((0 0, 1 0))", "POLYGON ((0 0, 5 5, 9 9, 0 0))",
    "POLYGON ((0 0, 1 0, 1 1, 0 0)", "POLYGON ()", "MULTIPOLYGON ()", "MULTIPOLYGON (())",
    "GEOMETRYCOLLECTION (POINT (1 2))", "MULTIPOINT ((1 2))", "CIRCULARSTRING (0 0, 1 1, 2 0)",
    "SRID=4326;POINT (1 2)", "POINT (1 --2)", "POINT (1 .)", "POINT (1 2)\x01", "POLYGONE ((0 0))",
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeShape) shape = rake_shape_from_wkt (cases[i], &error);

      if (shape != NULL)
        fail_msg ("\"%s\" was taken", cases[i]);
      assert_non_null (error);
      assert_int_equal (error->domain, RAKE_SHAPE_ERROR);
    }
}

static GBytes *
bytes_from_hex (const char *hex)
{
  GByteArray *bytes = g_byte_array_new ();

  for (; hex[0] != '\0'; hex += 2)
    {
      guint8 byte = (guint8) (g_ascii_xdigit_value (hex[0]) * 16 + g_ascii_xdigit_value (hex[1]));
      g_byte_array_append (bytes, &byte, 1);
    }
  return g_byte_array_free_to_bytes (bytes);
}

#define LE_POINT "0101000000"
#define ONE_LE "000000000000f03f"
#define ONE_BE "3ff0000000000000"

static void
wkb_is_what_the_standard_says (void **state)
{
  /* OGC Simple Feature Access 1.2.1, 8.2.3: an order, a code, counts, IEEE numbers. Written out
   * here by hand. */
  static const struct
  {
    const char *hex, *wkt; /* no wkt: refused */
  } cases[] = {
    { LE_POINT ONE_LE "0000000000000040", "POINT (1 2)" },
    { "0000000001" ONE_BE "4000000000000000", "POINT (1 2)" },
    { "0102000000" "02000000" "0000000000000000" ONE_LE ONE_LE ONE_LE, "LINESTRING (0 1, 1 1)" },
    { "0103000000" "01000000" "04000000" "00000000000000000000000000000000"
      ONE_LE "0000000000000000" ONE_LE ONE_LE "00000000000000000000000000000000",
      "POLYGON ((0 0, 1 0, 1 1, 0 0))" },
    { "", NULL },
    { "01", NULL },
    { LE_POINT, NULL },
    { LE_POINT ONE_LE, NULL },
    { LE_POINT ONE_LE ONE_LE "00", NULL },
    { "0201000000" ONE_LE ONE_LE, NULL },
    { LE_POINT "000000000000f87f" ONE_LE, NULL },                                /* not a number */
    { LE_POINT "000000000000f07f" ONE_LE, NULL },                                /* infinite */
    { LE_POINT "0000000080842e41" ONE_LE, NULL },                                /* 1000000 mm */
    { "01e9030000" ONE_LE ONE_LE ONE_LE, NULL },                                 /* with a z */
    { "0101000080" ONE_LE ONE_LE ONE_LE, NULL },                                 /* its old code */
    { "0101000020" "e6100000" ONE_LE ONE_LE, NULL },                             /* with an SRID */
    { "0102000000" "ffffffff" ONE_LE ONE_LE, NULL },                             /* lying count */
    { "0102000000" "03000000" ONE_LE ONE_LE "00000000000000000000000000000000", NULL },
    { "0103000000" "ffffff7f" "00000000", NULL },
    { "0103000000" "00000000", NULL },
    { "0106000000" "ffffffff" "010300000000000000", NULL },
    { "0106000000" "01000000" LE_POINT ONE_LE ONE_LE, NULL },                    /* wrong part */
    { "0107000000" "01000000" LE_POINT ONE_LE ONE_LE, NULL },                    /* a collection */
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GBytes) wkb = bytes_from_hex (cases[i].hex);
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeShape) shape = rake_shape_from_wkb (wkb, &error);
      g_autofree char *wkt = shape != NULL ? rake_shape_to_wkt (shape) : NULL;

      if (g_strcmp0 (wkt, cases[i].wkt) != 0)
        fail_msg ("%s: read as %s", cases[i].hex, wkt);
      if (shape == NULL)
        assert_int_equal (error->domain, RAKE_SHAPE_ERROR);
    }
}

static void
too_many_points_are_refused (void **state)
{
  const guint n_points = RAKE_SHAPE_MAX_POINTS + 1;
  g_autofree double *points = g_new (double, 2 * n_points);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) most = NULL;

  for (guint i = 0; i < n_points; i++)
    {
      points[2 * i] = i * 0.01;
      points[2 * i + 1] = i % 2;
    }
  assert_null (rake_shape_new_line (points, n_points, &error));
  assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID));
  most = rake_shape_new_line (points, n_points - 1, NULL);
  assert_non_null (most);
}

static void
too_many_rings_are_refused (void **state)
{
  g_autoptr (GString) wkt = g_string_new ("MULTIPOLYGON (((0 0, 1 0, 1 1, 0 0))");
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) most = NULL;

  for (guint i = 1; i < RAKE_SHAPE_MAX_RINGS; i++)
    g_string_append_printf (wkt, ", ((%u 0, %u 1, %u 1, %u 0))", 2 * i, 2 * i, 2 * i + 1, 2 * i);
  g_string_append (wkt, ")");
  most = rake_shape_from_wkt (wkt->str, &error);
  if (most == NULL)
    fail_msg ("%s", error->message);
  g_string_truncate (wkt, wkt->len - 1);
  g_string_append (wkt, ", ((0 5, 1 5, 1 6, 0 5)))");
  assert_null (rake_shape_from_wkt (wkt->str, &error));
  assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID));
}

static void
writing_and_reading_gives_the_same_bytes (void **state)
{
  for (guint i = 0; i < 300; i++)
    {
      g_autoptr (GRand) random = new_random (i);
      g_autoptr (RakeShape) a = new_blob (random, 0, 0, 100), b = new_blob (random, 60, 30, 80);
      g_autoptr (RakeShape) shape = i % 3 == 0   ? rake_shape_union (a, b, NULL)
                                    : i % 3 == 1 ? rake_shape_difference (a, b, NULL)
                                                 : rake_shape_intersection (a, b, NULL);
      g_autoptr (RakeShape) from_wkt = NULL, from_wkb = NULL;
      g_autoptr (GBytes) wkb = NULL, wkb_again = NULL;
      g_autofree char *wkt = NULL, *wkt_again = NULL;

      if (shape == NULL)
        continue;
      wkt = rake_shape_to_wkt (shape);
      wkb = rake_shape_to_wkb (shape);
      from_wkt = read_wkt (wkt);
      from_wkb = rake_shape_from_wkb (wkb, NULL);
      assert_non_null (from_wkb);
      wkt_again = rake_shape_to_wkt (from_wkb);
      wkb_again = rake_shape_to_wkb (from_wkt);
      if (strcmp (wkt, wkt_again) != 0 || !g_bytes_equal (wkb, wkb_again))
        fail_msg ("seed %u, case %u: %s read back as %s", seed, i, wkt, wkt_again);
    }
}

static void
areas_and_lengths_are_those_of_geometry (void **state)
{
  static const struct
  {
    const char *wkt;
    double area_mm2, length_mm, extent_mm;
  } cases[] = {
    { "POLYGON ((0 0, 30 0, 30 40, 0 40, 0 0))", 1200, 140, 50 },
    { "POLYGON ((0 0, 0 40, 30 40, 30 0, 0 0), (10 10, 20 10, 20 20, 10 20, 10 10))", 1100, 180,
      50 },
    { "MULTIPOLYGON (((0 0, 3 0, 3 4, 0 0)), ((100 0, 101 0, 101 1, 100 1, 100 0)))", 7, 16,
      101.004950373 }, /* √10202 */
    { "POLYGON ((99990 99990, 99999 99990, 99999 99999, 99990 99990))", 40.5,
      18 + 9 * G_SQRT2, 9 * G_SQRT2 },
    { "LINESTRING (0 0, 3 4, 3 10)", 0, 11, 10.440306509 },
    { "LINESTRING (0 0, 10 0, 2 0)", 0, 18, 10 },
    { "POINT (3 4)", 0, 0, 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeShape) shape = read_wkt (cases[i].wkt);
      assert_close (cases[i].wkt, rake_shape_get_area_mm2 (shape), cases[i].area_mm2, 1e-9);
      assert_close (cases[i].wkt, rake_shape_get_length_mm (shape), cases[i].length_mm, 1e-9);
      assert_close (cases[i].wkt, rake_shape_get_extent_mm (shape), cases[i].extent_mm, 1e-9);
    }
}

/* The whole of it, every pair: slow and beyond doubt. */
static void
the_extent_is_the_largest_distance_of_all_pairs (void **state)
{
  for (guint i = 0; i < 200; i++)
    {
      g_autoptr (GRand) random = new_random (i);
      g_autoptr (RakeShape) shape = new_blob (random, 20, -30, i < 100 ? 50 : 0.005);
      g_autoptr (GArray) points = g_array_new (FALSE, FALSE, 2 * sizeof (double));
      const double (*at)[2];
      double most = 0;

      if (shape == NULL)
        continue;
      for (guint r = 0; r < rake_shape_get_n_rings (shape); r++)
        {
          guint n_points;
          const double *ring = rake_shape_get_ring (shape, r, &n_points, NULL);
          g_array_append_vals (points, ring, n_points);
        }
      at = (gpointer) points->data;
      for (guint a = 0; a < points->len; a++)
        for (guint b = 0; b < a; b++)
          most = fmax (most, hypot (at[a][0] - at[b][0], at[a][1] - at[b][1]));
      assert_close ("the extent", rake_shape_get_extent_mm (shape), most, 1e-9);
    }
}

static void
a_ring_that_crosses_itself_is_mended (void **state)
{
  static const struct
  {
    const char *wkt;
    double area_mm2; /* 0: nothing remains */
  } cases[] = {
    { "POLYGON ((0 0, 10 10, 10 0, 0 10, 0 0))", 50 },               /* a bow tie: both lobes */
    { "POLYGON ((0 0, 10 0, 10 10, 5 10, 5 15, 5 10, 0 10, 0 0))", 100 }, /* a spike */
    { "POLYGON ((0 0, 9 0, 9 9, 0 9, 0 0), (7 7, 12 7, 12 12, 7 12, 7 7))", 77 }, /* hole out */
    { "MULTIPOLYGON (((0 0, 4 0, 4 4, 0 4, 0 0)), ((2 2, 6 2, 6 6, 2 6, 2 2)))", 28 },
    { "POLYGON ((0 0, 10 0, 20 0, 5 0, 0 0))", 0 },
    { "POLYGON ((0 0, 0.0001 0, 0 0.0001, 0 0))", 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeShape) shape = rake_shape_from_wkt (cases[i].wkt, &error);

      if (cases[i].area_mm2 > 0)
        assert_close (cases[i].wkt, rake_shape_get_area_mm2 (shape), cases[i].area_mm2, 0.001);
      else
        assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY));
    }
}

static void
a_scribble_is_mended_or_refused_but_never_hangs (void **state)
{
  static const guint sizes[] = { 5, 50, 200, 1000, 20000, RAKE_SHAPE_MAX_POINTS - 1 };

  for (gsize i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      g_autoptr (GRand) random = new_random ((guint) i);
      g_autofree double *points = g_new (double, 2 * sizes[i]);
      g_autoptr (GError) error = NULL, stroke_error = NULL;
      g_autoptr (RakeShape) area = NULL, stroke = NULL;

      for (guint k = 0; k < 2 * sizes[i]; k++)
        points[k] = g_rand_double_range (random, -200, 200);
      area = rake_shape_new_area (points, sizes[i], &error);
      if (sizes[i] <= 200)
        assert_non_null (area);
      else
        assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID));
      /* A hand never draws more points than this in one stroke, and no file holds strokes. */
      if (sizes[i] > 1000)
        continue;
      stroke = rake_shape_new_brush_stroke (points, sizes[i], 3, &stroke_error);
      if (stroke == NULL)
        fail_msg ("seed %u: %s", seed, stroke_error->message);
    }
}

/* Rubbing to and fro with the brush: what a finisher does, a hundred times over. */
static void
a_patch_rubbed_in_to_and_fro_is_one_area (void **state)
{
  double points[2 * 4000];
  g_autoptr (GRand) random = new_random (0);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) stroke = NULL;

  for (guint i = 0; i < 4000; i++)
    {
      points[2 * i] = 60 * sin (i * 0.31) + g_rand_double_range (random, -1, 1);
      points[2 * i + 1] = i * 0.025 + g_rand_double_range (random, -2, 2);
    }
  stroke = rake_shape_new_brush_stroke (points, 4000, 10, &error);
  if (stroke == NULL)
    fail_msg ("seed %u: %s", seed, error->message);
  assert_int_equal (rake_shape_get_n_rings (stroke), 1);
  assert_close ("the patch", rake_shape_get_area_mm2 (stroke), 142 * 122, 1500);
}

static void
many_dabs_one_upon_another_are_united (void **state)
{
  g_autoptr (GPtrArray) dabs = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  g_autoptr (GRand) random = new_random (0);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) all = NULL;

  for (guint i = 0; i < 1500; i++)
    {
      const double place[] = { g_rand_double_range (random, 0, 60),
                               g_rand_double_range (random, 0, 60) };
      g_ptr_array_add (dabs, rake_shape_new_brush_stroke (place, 1, 15, NULL));
    }
  all = rake_shape_union_all ((RakeShape *const *) dabs->pdata, dabs->len, &error);
  if (all == NULL)
    fail_msg ("seed %u: %s", seed, error->message);
  assert_int_equal (rake_shape_get_n_rings (all), 1);
  /* A square of 60 grown by 15. */
  assert_close ("the dabs", rake_shape_get_area_mm2 (all), 3600 + 240 * 15 + G_PI * 225, 300);
}

static void
what_two_share_and_what_they_do_not_make_the_whole (void **state)
{
  for (guint i = 0; i < 300; i++)
    {
      g_autoptr (GRand) random = new_random (i);
      g_autoptr (RakeShape) a = new_blob (random, 0, 0, 100), b = new_blob (random, 60, 30, 80);
      g_autoptr (RakeShape) sum = rake_shape_union (a, b, NULL);
      g_autoptr (RakeShape) shared = rake_shape_intersection (a, b, NULL);
      g_autoptr (RakeShape) rest = rake_shape_difference (a, b, NULL);
      double shared_mm2 = shared != NULL ? rake_shape_get_area_mm2 (shared) : 0;
      double rest_mm2 = rest != NULL ? rake_shape_get_area_mm2 (rest) : 0;
      double within = 0.002 * (rake_shape_get_length_mm (a) + rake_shape_get_length_mm (b));

      assert_close ("union and intersection", rake_shape_get_area_mm2 (sum) + shared_mm2,
                    rake_shape_get_area_mm2 (a) + rake_shape_get_area_mm2 (b), within);
      assert_close ("difference and intersection", rest_mm2 + shared_mm2,
                    rake_shape_get_area_mm2 (a), within);
      assert_int_equal (rake_shape_overlaps (a, b), shared != NULL);
    }
}

static void
growing_and_shrinking_follow_the_closed_forms (void **state)
{
  /* A square: (a - 2w)² inside; a² + 4aw + πw² outside. A disc: π(r ± w)². */
  g_autoptr (RakeShape) square = read_wkt ("POLYGON ((0 0, 100 0, 100 100, 0 100, 0 0))");
  g_autoptr (RakeShape) disc =
      rake_shape_new_brush_stroke ((const double[]){ 50, 50 }, 1, 40, NULL);
  static const double widths[] = { 0.1, 1, 5, 12.5, 30 };

  assert_close ("a disc", rake_shape_get_area_mm2 (disc), G_PI * 1600, 0.002 * G_PI * 1600);
  for (gsize i = 0; i < G_N_ELEMENTS (widths); i++)
    {
      double w = widths[i];
      g_autoptr (RakeShape) in = rake_shape_buffer (square, -w, NULL);
      g_autoptr (RakeShape) out = rake_shape_buffer (square, w, NULL);
      g_autoptr (RakeShape) smaller = rake_shape_buffer (disc, -w, NULL);
      g_autoptr (RakeShape) larger = rake_shape_buffer (disc, w, NULL);

      assert_close ("a square within", rake_shape_get_area_mm2 (in), (100 - 2 * w) * (100 - 2 * w),
                    0.001);
      assert_close ("a square without", rake_shape_get_area_mm2 (out),
                    10000 + 400 * w + G_PI * w * w, 0.02 * 2 * G_PI * w);
      /* Off by the chords of the disc and of what grew from it, each within 0.02 mm of the arc. */
      assert_close ("a disc within", rake_shape_get_area_mm2 (smaller), G_PI * (40 - w) * (40 - w),
                    2 * G_PI * 40 * 0.03);
      assert_close ("a disc without", rake_shape_get_area_mm2 (larger), G_PI * (40 + w) * (40 + w),
                    2 * G_PI * (40 + w) * 0.05);
    }
  assert_null (rake_shape_buffer (square, -50.1, NULL));
  assert_null (rake_shape_buffer (square, NAN, NULL));
  assert_null (rake_shape_buffer (square, INFINITY, NULL));
  assert_null (rake_shape_buffer (square, 1e12, NULL));
}

static void
shrinking_by_less_than_half_the_width_never_loses_all (void **state)
{
  for (guint i = 0; i < 500; i++)
    {
      g_autoptr (GRand) random = new_random (i);
      double width = g_rand_double_range (random, 0.5, 30), length = width * 20;
      double turn = g_rand_double_range (random, 0, 2 * G_PI);
      double c = cos (turn), s = sin (turn), w = width / 2;
      const double points[] = { 0, 0, length * c, length * s,
                                length * c - width * s, length * s + width * c,
                                -width * s, width * c };
      g_autoptr (RakeShape) strip = rake_shape_new_area (points, 4, NULL);
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeShape) shrunk = rake_shape_buffer (strip, -0.97 * w, &error);

      if (shrunk == NULL)
        fail_msg ("seed %u, case %u: %s", seed, i, error->message);
      assert_close ("the strip's middle", rake_shape_get_area_mm2 (shrunk),
                    (width - 1.94 * w) * (length - 1.94 * w), 0.02 * w * length);
    }
}

static void
a_stroke_is_as_broad_as_its_brush (void **state)
{
  const double straight[] = { 0, 0, 30, 0, 60, 0.001, 100, 0 };
  const double nowhere[] = { NAN, 0 };
  g_autoptr (RakeShape) stroke = rake_shape_new_brush_stroke (straight, 4, 10, NULL);
  g_autoptr (RakeShape) tap =
      rake_shape_new_brush_stroke ((const double[]){ 5, 5, 5, 5 }, 2, 10, NULL);

  assert_close ("a stroke", rake_shape_get_area_mm2 (stroke), 100 * 20 + G_PI * 100, 1);
  assert_close ("a tap", rake_shape_get_area_mm2 (tap), G_PI * 100, 1);
  assert_null (rake_shape_new_brush_stroke (straight, 4, 0, NULL));
  assert_null (rake_shape_new_brush_stroke (straight, 4, NAN, NULL));
  assert_null (rake_shape_new_brush_stroke (straight, 0, 10, NULL));
  assert_null (rake_shape_new_brush_stroke (nowhere, 1, 10, NULL));
}

static void
inside_and_outside_are_told_apart_exactly (void **state)
{
  g_autoptr (RakeShape) area =
      read_wkt ("POLYGON ((0 0, 100 0, 100 100, 50 40, 0 100, 0 0), (10 10, 30 10, 20 20, 10 10))");
  static const struct
  {
    double x, y;
    gboolean is_inside;
    double edge_mm;
  } cases[] = {
    { 5, 5, TRUE, 5 },     { 20, 12, FALSE, 2 },       { 50, 40, TRUE, 0 },  { 50, 40.001, FALSE, 0 },
    { 0, 50, TRUE, 0 },    { -0.001, 50, FALSE, 0.001 }, { 100, 100, TRUE, 0 }, { 50, 90, FALSE, -1 },
    { 20, 20, TRUE, 0 },   { 20, 10, TRUE, 0 },        { 200, 0, FALSE, 100 }, { 103, 104, FALSE, 5 },
    { 50, 39.999, TRUE, 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      if (rake_shape_contains (area, cases[i].x, cases[i].y) != cases[i].is_inside)
        fail_msg ("%g, %g lies on the wrong side", cases[i].x, cases[i].y);
      if (cases[i].edge_mm >= 0)
        assert_close ("the distance to the edge",
                      rake_shape_get_distance_to_edge_mm (area, cases[i].x, cases[i].y),
                      cases[i].edge_mm, 0.0011);
    }
  assert_false (rake_shape_contains (area, NAN, 5));
}

static void
the_inner_point_lies_well_inside (void **state)
{
  g_autoptr (RakeShape) ring = rake_shape_new_brush_stroke (
      (const double[]){ 0, 0, 100, 0, 100, 100, 0, 100, 0, 0 }, 5, 10, NULL);
  g_autoptr (RakeShape) square = read_wkt ("POLYGON ((0 0, 90 0, 90 50, 0 50, 0 0))");
  g_autoptr (RakeShape) hair = read_wkt ("POLYGON ((0 0, 1000 999.999, 1000 1000, 0 0))");
  g_autoptr (RakeShape) line = read_wkt ("LINESTRING (0 0, 10 0, 10 10)");
  double x, y;

  rake_shape_get_inner_point (ring, &x, &y);
  assert_true (rake_shape_contains (ring, x, y));
  assert_true (rake_shape_get_distance_to_edge_mm (ring, x, y) > 9);
  rake_shape_get_inner_point (square, &x, &y);
  assert_close ("the middle", x, 45, 1e-6);
  assert_close ("the middle", y, 25, 1e-6);
  rake_shape_get_inner_point (hair, &x, &y);
  assert_true (rake_shape_get_distance_to_edge_mm (hair, x, y) < 0.001);
  rake_shape_get_inner_point (line, &x, &y);
  assert_close ("half way", hypot (x - 10, y), 0, 1e-9);
  for (guint i = 0; i < 200; i++)
    {
      g_autoptr (GRand) random = new_random (i);
      g_autoptr (RakeShape) blob = new_blob (random, 500, -20, 40);
      rake_shape_get_inner_point (blob, &x, &y);
      assert_true (rake_shape_contains (blob, x, y));
    }
}

static void
a_touch_is_no_overlap (void **state)
{
  g_autoptr (RakeShape) area = read_wkt ("POLYGON ((0 0, 100 0, 100 100, 0 100, 0 0))");
  static const struct
  {
    const char *wkt;
    gboolean overlaps;
  } cases[] = {
    { "POLYGON ((100 0, 200 0, 200 100, 100 100, 100 0))", FALSE },  /* a shared edge */
    { "POLYGON ((99.999 0, 200 0, 200 100, 99.999 100, 99.999 0))", FALSE }, /* one grid step in */
    { "POLYGON ((99.9 0, 200 0, 200 100, 99.9 100, 99.9 0))", TRUE },
    { "POLYGON ((100 100, 200 100, 200 200, 100 100))", FALSE },     /* a corner */
    { "POLYGON ((20 20, 30 20, 30 30, 20 20))", TRUE },              /* inside */
    { "POLYGON ((-10 -10, 110 -10, 110 110, -10 110, -10 -10))", TRUE },
    { "POLYGON ((-50 40, 150 40, 150 60, -50 60, -50 40))", TRUE },  /* no corner within */
    { "LINESTRING (-10 50, 110 50)", TRUE },
    { "LINESTRING (100 -10, 110 50)", FALSE },
    { "LINESTRING (-10 10, 10 -10)", FALSE },                        /* through the corner */
    { "POINT (50 50)", TRUE },
    { "POINT (150 50)", FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeShape) shape = read_wkt (cases[i].wkt);
      if (rake_shape_overlaps (shape, area) != cases[i].overlaps)
        fail_msg ("%s: overlap judged wrongly", cases[i].wkt);
    }
}

static void
neighbours_share_an_edge_not_a_corner (void **state)
{
  g_autoptr (RakeShape) area = read_wkt ("POLYGON ((0 0, 100 0, 100 100, 0 100, 0 0))");
  static const struct
  {
    const char *wkt;
    gboolean is_neighbour;
  } cases[] = {
    { "POLYGON ((100 0, 200 0, 200 100, 100 100, 100 0))", TRUE },
    { "POLYGON ((100 40, 200 40, 200 60, 100.001 60, 100 50, 100 40))", TRUE }, /* bent by a cut */
    { "POLYGON ((100 99, 200 99, 200 300, 100 300, 100 99))", TRUE },
    { "POLYGON ((100 100, 200 100, 200 200, 100 200, 100 100))", FALSE },
    { "POLYGON ((100.01 0, 200 0, 200 100, 100.01 100, 100.01 0))", FALSE },
    { "POLYGON ((100 50, 200 0, 200 100, 100 50))", FALSE },                    /* a tip */
    /* 0.05 mm, as the header says, from either side. */
    { "POLYGON ((100 99.944, 200 99, 200 300, 100 300, 100 99.944))", TRUE },
    { "POLYGON ((100 99.956, 200 99, 200 300, 100 300, 100 99.956))", FALSE },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeShape) shape = read_wkt (cases[i].wkt);
      if (rake_shape_is_neighbour (shape, area) != cases[i].is_neighbour ||
          rake_shape_is_neighbour (area, shape) != cases[i].is_neighbour)
        fail_msg ("%s: judged wrongly", cases[i].wkt);
    }
}

static void
a_line_is_clipped_into_its_pieces (void **state)
{
  g_autoptr (RakeShape) comb =
      read_wkt ("POLYGON ((0 0, 50 0, 50 50, 40 50, 40 10, 10 10, 10 50, 0 50, 0 0))");
  g_autoptr (RakeShape) line = read_wkt ("LINESTRING (-10 30, 100 30)");
  g_autoptr (RakeShape) outside = read_wkt ("LINESTRING (-10 60, 100 60)");
  g_autoptr (RakeShape) clipped = rake_shape_intersection (line, comb, NULL);
  g_autoptr (GError) error = NULL;

  assert_int_equal (rake_shape_get_kind (clipped), RAKE_SHAPE_LINE);
  assert_int_equal (rake_shape_get_n_rings (clipped), 2);
  assert_close ("the pieces", rake_shape_get_length_mm (clipped), 20, 1e-9);
  assert_null (rake_shape_intersection (outside, comb, &error));
  assert_true (g_error_matches (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_EMPTY));
}

static void
parts_come_largest_first (void **state)
{
  g_autoptr (RakeShape) area = read_wkt (
      "MULTIPOLYGON (((0 0, 1 0, 1 1, 0 0)), ((5 5, 9 5, 9 9, 5 5), (8 6, 8.5 6, 8.5 6.5, 8 6)))");
  g_autoptr (GPtrArray) parts = rake_shape_get_parts (area);

  assert_int_equal (parts->len, 2);
  assert_close ("the first", rake_shape_get_area_mm2 (parts->pdata[0]), 7.875, 1e-9);
  assert_close ("the second", rake_shape_get_area_mm2 (parts->pdata[1]), 0.5, 1e-9);
}

static void
a_matrix_moves_as_svg_says (void **state)
{
  /* SVG 1.1, 7.4: x' = a x + c y + e, y' = b x + d y + f. */
  g_autoptr (RakeShape) line = read_wkt ("LINESTRING (1 2, 3 5)");
  g_autoptr (RakeShape) moved =
      rake_shape_transform (line, (const double[]){ 1, 2, 3, 4, 5, 6 }, NULL);
  g_autofree char *wkt = rake_shape_to_wkt (moved);

  assert_string_equal (wkt, "LINESTRING (12 16, 23 32)");
  assert_null (rake_shape_transform (line, (const double[]){ NAN, 0, 0, 1, 0, 0 }, NULL));
  assert_null (rake_shape_transform (line, (const double[]){ 1e9, 0, 0, 1, 0, 0 }, NULL));
}

static gpointer
work_in_a_thread (gpointer data)
{
  RakeShape *shape = data;
  double area_mm2 = 0;

  for (guint i = 0; i < 100; i++)
    {
      g_autoptr (RakeShape) mine = rake_shape_ref (shape);
      g_autoptr (RakeShape) grown = rake_shape_buffer (mine, 1 + i % 7, NULL);
      g_autoptr (RakeShape) ring = rake_shape_difference (grown, mine, NULL);
      area_mm2 += rake_shape_get_area_mm2 (ring);
    }
  return g_memdup2 (&area_mm2, sizeof area_mm2);
}

static void
threads_work_on_one_shape_at_a_time_together (void **state)
{
  g_autoptr (GRand) random = new_random (0);
  g_autoptr (RakeShape) shape = new_blob (random, 0, 0, 100);
  GThread *threads[4];
  double first = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (threads); i++)
    threads[i] = g_thread_new ("geometry", work_in_a_thread, shape);
  for (gsize i = 0; i < G_N_ELEMENTS (threads); i++)
    {
      g_autofree double *area_mm2 = g_thread_join (threads[i]);
      if (i == 0)
        first = *area_mm2;
      assert_close ("the sum", *area_mm2, first, 0);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (places_are_snapped_to_a_micrometre),
    cmocka_unit_test (wkt_is_the_same_to_the_letter),
    cmocka_unit_test (bad_wkt_is_refused),
    cmocka_unit_test (wkb_is_what_the_standard_says),
    cmocka_unit_test (too_many_points_are_refused),
    cmocka_unit_test (too_many_rings_are_refused),
    cmocka_unit_test (writing_and_reading_gives_the_same_bytes),
    cmocka_unit_test (areas_and_lengths_are_those_of_geometry),
    cmocka_unit_test (the_extent_is_the_largest_distance_of_all_pairs),
    cmocka_unit_test (a_ring_that_crosses_itself_is_mended),
    cmocka_unit_test (a_scribble_is_mended_or_refused_but_never_hangs),
    cmocka_unit_test (a_patch_rubbed_in_to_and_fro_is_one_area),
    cmocka_unit_test (many_dabs_one_upon_another_are_united),
    cmocka_unit_test (what_two_share_and_what_they_do_not_make_the_whole),
    cmocka_unit_test (growing_and_shrinking_follow_the_closed_forms),
    cmocka_unit_test (shrinking_by_less_than_half_the_width_never_loses_all),
    cmocka_unit_test (a_stroke_is_as_broad_as_its_brush),
    cmocka_unit_test (inside_and_outside_are_told_apart_exactly),
    cmocka_unit_test (the_inner_point_lies_well_inside),
    cmocka_unit_test (a_touch_is_no_overlap),
    cmocka_unit_test (neighbours_share_an_edge_not_a_corner),
    cmocka_unit_test (a_line_is_clipped_into_its_pieces),
    cmocka_unit_test (parts_come_largest_first),
    cmocka_unit_test (a_matrix_moves_as_svg_says),
    cmocka_unit_test (threads_work_on_one_shape_at_a_time_together),
  };
  const char *given = g_getenv ("RAKE_TEST_SEED");

  seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : 1;
  g_print ("seed %u\n", seed);
  return cmocka_run_group_tests (tests, NULL, NULL);
}
