/* test-map.c - the map lies where it says, keeps to its boxes and is the same every time.
 *
 * There is no outside source for how a surface should look; what is checked here is arithmetic
 * (places, shares, boxes), and that no two pictures can be taken for each other. Pictures are
 * compared with committed ones in test-map-pictures.c. */
#include "islands.h"
#include "sample.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

static const double hostile_numbers[] = { 0, -1, 0.3, 1e-9, 1e9, -1e9, NAN, INFINITY, -INFINITY };

/* --- canvas: an image that is known to be untouched ----------------------------------------- */

typedef struct
{
  cairo_surface_t *surface;
  cairo_t *cr;
  guint32 *pixels;
  int width, height;
} Canvas;

#define UNTOUCHED 0xff3b5e7du

static void
canvas_open (Canvas *canvas, int width, int height)
{
  canvas->surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  canvas->pixels = (guint32 *) (gpointer) cairo_image_surface_get_data (canvas->surface);
  canvas->width = width;
  canvas->height = height;
  assert_int_equal (cairo_image_surface_get_stride (canvas->surface), 4 * width);
  for (int i = 0; i < width * height; i++)
    canvas->pixels[i] = UNTOUCHED;
  cairo_surface_mark_dirty (canvas->surface);
  canvas->cr = cairo_create (canvas->surface);
}

static void
canvas_close (Canvas *canvas)
{
  assert_int_equal (cairo_status (canvas->cr), CAIRO_STATUS_SUCCESS);
  cairo_destroy (canvas->cr);
  cairo_surface_destroy (canvas->surface);
}

static guint
canvas_count_touched (const Canvas *canvas, double x, double y, double width, double height,
                      gboolean outside)
{
  guint n = 0;

  cairo_surface_flush (canvas->surface);
  for (int row = 0; row < canvas->height; row++)
    for (int column = 0; column < canvas->width; column++)
      {
        gboolean is_inside = column >= x && column < x + width && row >= y && row < y + height;
        if (is_inside == !outside && canvas->pixels[row * canvas->width + column] != UNTOUCHED)
          n++;
      }
  return n;
}

/* --- the view ------------------------------------------------------------------------------- */

static void
a_fitted_view_shows_the_whole_face_in_its_margin (void **state)
{
  static const struct
  {
    double width_px, height_px, margin_px, px_per_mm;
  } cases[] = {
    /* by hand: (920 - 120) / 300 mm is more than (740 - 120) / 350 mm */
    { 920, 740, 60, 620 / 350.0 },
    { 300, 740, 0, 1.0 },
    { 3000, 350, 0, 1.0 },
  };
  g_autoptr (Sample) sample = sample_new_mandola ();

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      RakeMapView view = sample_view (RAKE_THEME_DARK, cases[i].width_px, cases[i].height_px, 0);
      double left, top, right, bottom;
      RakeBounds bounds = rake_shape_get_bounds (sample->face->outline);
      rake_map_view_fit (&view, sample->face, cases[i].margin_px);
      if (ABS (view.px_per_mm - cases[i].px_per_mm) > 0.002)
        fail_msg ("case %zu: %.4f px/mm, expected %.4f", i, view.px_per_mm, cases[i].px_per_mm);
      rake_map_view_to_px (&view, bounds.min_x_mm, bounds.min_y_mm, &left, &top);
      rake_map_view_to_px (&view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
      assert_true (left >= cases[i].margin_px - 0.01 && top >= cases[i].margin_px - 0.01);
      /* In the middle: as much room on the left as on the right. */
      assert_true (ABS (left - (cases[i].width_px - right)) < 0.01);
      assert_true (ABS (top - (cases[i].height_px - bottom)) < 0.01);
    }
}

static void
millimetres_and_pixels_go_round_and_zoom_keeps_the_place (void **state)
{
  g_autoptr (Sample) sample = sample_new_mandola ();
  RakeMapView view = sample_view (RAKE_THEME_DARK, 800, 600, 0);
  GRand *random = g_rand_new_with_seed (7);

  rake_map_view_fit (&view, sample->face, 40);
  for (guint i = 0; i < 500; i++)
    {
      double x_px = g_rand_double_range (random, -500, 1300);
      double y_px = g_rand_double_range (random, -500, 1100);
      double x_mm, y_mm, again_x, again_y;
      rake_map_view_to_mm (&view, x_px, y_px, &x_mm, &y_mm);
      rake_map_view_to_px (&view, x_mm, y_mm, &again_x, &again_y);
      assert_true (ABS (again_x - x_px) < 1e-6 && ABS (again_y - y_px) < 1e-6);
      rake_map_view_zoom (&view, g_rand_double_range (random, 0.5, 2), x_px, y_px);
      rake_map_view_to_px (&view, x_mm, y_mm, &again_x, &again_y);
      assert_true (ABS (again_x - x_px) < 1e-6 && ABS (again_y - y_px) < 1e-6);
    }
  g_rand_free (random);
}

static void
no_number_breaks_a_view (void **state)
{
  g_autoptr (Sample) sample = sample_new_mandola ();

  for (gsize i = 0; i < G_N_ELEMENTS (hostile_numbers); i++)
    for (gsize j = 0; j < G_N_ELEMENTS (hostile_numbers); j++)
      {
        RakeMapView view = sample_view (RAKE_THEME_DARK, hostile_numbers[i], hostile_numbers[j], 0);
        rake_map_view_fit (&view, sample->face, hostile_numbers[(i + j) % 9]);
        rake_map_view_zoom (&view, hostile_numbers[j], hostile_numbers[i], 3);
        rake_map_view_zoom (&view, 1.5, 3, hostile_numbers[i]);
        if (!isfinite (view.px_per_mm) || view.px_per_mm <= 0 || !isfinite (view.origin_x_px) ||
            !isfinite (view.origin_y_px))
          fail_msg ("%g × %g: %g px/mm at %g, %g", hostile_numbers[i], hostile_numbers[j],
                    view.px_per_mm, view.origin_x_px, view.origin_y_px);
      }
}

/* --- the ring ------------------------------------------------------------------------------- */

static void
the_lamp_is_always_in_view_and_stands_where_it_is_put (void **state)
{
  static const double sizes[][2] = { { 920, 740 }, { 130, 120 }, { 1600, 300 }, { 300, 1200 } };
  static const double zooms[] = { 1, 0.3, 4, 40 };
  g_autoptr (Sample) mandola = sample_new_mandola ();
  g_autoptr (Sample) board = sample_new_board (1400, 200, 3, 1, 1);

  for (gsize size = 0; size < G_N_ELEMENTS (sizes); size++)
    for (gsize zoom = 0; zoom < G_N_ELEMENTS (zooms); zoom++)
      for (guint deg = 0; deg < 360; deg += 15)
        for (guint which = 0; which < 2; which++)
          {
            const RakeFace *face = which ? board->face : mandola->face;
            RakeMapView view = sample_view (RAKE_THEME_DARK, sizes[size][0], sizes[size][1], deg);
            double x, y, centre_x, centre_y, radius, back;
            rake_map_view_fit (&view, face, 58);
            rake_map_view_zoom (&view, zooms[zoom], 0.3 * sizes[size][0], 0.8 * sizes[size][1]);
            assert_true (rake_map_get_lamp (&view, face, &x, &y));
            if (x < 0 || y < 0 || x > view.width_px || y > view.height_px)
              fail_msg ("%g × %g, zoom %g, lamp at %u°: %.1f, %.1f is out of view", view.width_px,
                        view.height_px, zooms[zoom], deg, x, y);
            back = rake_map_get_lamp_deg_at (&view, face, x, y);
            if (MIN (ABS (back - deg), 360 - ABS (back - deg)) > 0.01)
              fail_msg ("lamp put at %u° stands at %.3f°", deg, back);
            assert_true (rake_map_is_on_ring (&view, face, x, y, 1));
            rake_map_get_ring (&view, face, &centre_x, &centre_y, &radius);
            assert_true (ABS (hypot (x - centre_x, y - centre_y) - radius) < 0.01);
            assert_false (rake_map_is_on_ring (&view, face, centre_x, centre_y, 1));
          }
}

static void
the_ring_keeps_clear_of_the_face_in_a_fitted_view (void **state)
{
  g_autoptr (Sample) mandola = sample_new_mandola ();
  g_autoptr (Sample) board = sample_new_board (1400, 320, 3, 1, 1);
  Sample *const samples[] = { mandola, board };

  for (gsize which = 0; which < G_N_ELEMENTS (samples); which++)
    for (guint deg = 0; deg < 360; deg += 3)
      {
        RakeMapView view = sample_view (RAKE_THEME_DARK, 920, 740, deg);
        double x_px, y_px, x_mm, y_mm;
        rake_map_view_fit (&view, samples[which]->face, 58);
        rake_map_get_lamp (&view, samples[which]->face, &x_px, &y_px);
        rake_map_view_to_mm (&view, x_px, y_px, &x_mm, &y_mm);
        if (rake_shape_contains (samples[which]->face->outline, x_mm, y_mm))
          fail_msg ("sample %zu: the lamp at %u° stands on the piece", which, deg);
      }
}

static void
without_a_lamp_there_is_none (void **state)
{
  g_autoptr (Sample) sample = sample_new_mandola ();
  RakeMapView view = sample_view (RAKE_THEME_DARK, 920, 740, NAN);
  double x = 1, y = 2;

  rake_map_view_fit (&view, sample->face, 58);
  assert_false (rake_map_get_lamp (&view, sample->face, &x, &y));
  assert_true (x == 1 && y == 2);
}

/* --- boxes ---------------------------------------------------------------------------------- */

static void
zones_keep_to_their_extents_and_marks_to_theirs (void **state)
{
  g_autoptr (Sample) mandola = sample_new_mandola ();
  g_autoptr (Sample) catalogue = sample_new_catalogue ();
  g_autoptr (Sample) buffed = sample_new_buffed ();
  Sample *const samples[] = { mandola, catalogue, buffed };

  for (gsize which = 0; which < G_N_ELEMENTS (samples); which++)
    for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_PAPER; theme++)
      for (guint i = 0; i < samples[which]->face->zones->len; i++)
        {
          const RakeZone *zone = samples[which]->face->zones->pdata[i];
          RakeMapView view = sample_view (theme, 400, 300, 300);
          double x, y, width, height;
          Canvas canvas;
          view.is_paper = theme == RAKE_THEME_PAPER;
          rake_map_view_fit (&view, samples[which]->face, 30.3);
          canvas_open (&canvas, 400, 300);
          rake_map_zone_extents (&view, zone, &x, &y, &width, &height);
          rake_map_draw_zone (canvas.cr, &view, zone, samples[which]->judgements[i]);
          if (canvas_count_touched (&canvas, x, y, width, height, TRUE) > 0)
            fail_msg ("%s, theme %d: drawn outside its extents", zone->name, theme);
          if (canvas_count_touched (&canvas, x, y, width, height, FALSE) < width * height / 4)
            fail_msg ("%s, theme %d: hardly drawn at all", zone->name, theme);
          canvas_close (&canvas);
          canvas_open (&canvas, 400, 300);
          rake_map_marks_extents (&view, zone, &x, &y, &width, &height);
          rake_map_draw_marks (canvas.cr, &view, zone, samples[which]->judgements[i]);
          if (canvas_count_touched (&canvas, x, y, width, height, TRUE) > 0)
            fail_msg ("%s, theme %d: marks drawn outside their extents", zone->name, theme);
          if ((zone->marks->len > 0) !=
              (canvas_count_touched (&canvas, x, y, width, height, FALSE) > 0))
            fail_msg ("%s, theme %d: %u marks", zone->name, theme, zone->marks->len);
          canvas_close (&canvas);
        }
}

static void
labels_keep_to_their_boxes (void **state)
{
  g_autoptr (Sample) sample = sample_new_mandola ();

  for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_PAPER; theme++)
    {
      RakeMapView view = sample_view (theme, 500, 420, 300);
      g_autoptr (GArray) labels = NULL;
      Canvas canvas;
      rake_map_view_fit (&view, sample->face, 40);
      canvas_open (&canvas, 500, 420);
      labels = rake_map_lay_labels (canvas.cr, &view, sample->face, sample->judgements);
      canvas_close (&canvas);
      for (guint i = 0; i < labels->len; i++)
        {
          const RakeMapLabel *label = &g_array_index (labels, RakeMapLabel, i);
          assert_false (label->is_hidden);
          canvas_open (&canvas, 500, 420);
          rake_map_draw_label (canvas.cr, &view, sample->face->zones->pdata[i],
                               sample->judgements[i], label);
          /* Three pixels for the shadow and the halo. */
          if (canvas_count_touched (&canvas, label->x_px - 3, label->y_px - 3, label->width_px + 6,
                                    label->height_px + 6, TRUE) > 0)
            fail_msg ("label %u, theme %d: drawn outside its box", i, theme);
          assert_true (canvas_count_touched (&canvas, label->x_px, label->y_px, label->width_px,
                                             label->height_px, FALSE) > 50);
          canvas_close (&canvas);
        }
    }
}

static void
expect_labels_apart_and_in_view (const GArray *labels, const RakeMapView *view, guint seed)
{
  for (guint i = 0; i < labels->len; i++)
    {
      const RakeMapLabel *a = &g_array_index (labels, RakeMapLabel, i);
      if (a->is_hidden)
        continue;
      if (a->x_px < 0 || a->y_px < 0 || a->x_px + a->width_px > view->width_px ||
          a->y_px + a->height_px > view->height_px)
        fail_msg ("seed %u, label %u leaves the view: %.1f, %.1f, %.1f × %.1f", seed, i, a->x_px,
                  a->y_px, a->width_px, a->height_px);
      for (guint j = i + 1; j < labels->len; j++)
        {
          const RakeMapLabel *b = &g_array_index (labels, RakeMapLabel, j);
          if (!b->is_hidden && a->x_px < b->x_px + b->width_px && b->x_px < a->x_px + a->width_px &&
              a->y_px < b->y_px + b->height_px && b->y_px < a->y_px + a->height_px)
            fail_msg ("seed %u: labels %u and %u overlap", seed, i, j);
        }
    }
}

static void
labels_never_overlap_or_leave_the_view (void **state)
{
  Canvas canvas;
  guint n_full = 0, n_glyphs = 0, n_hidden = 0;

  canvas_open (&canvas, 8, 8);
  for (guint seed = 1; seed <= 40; seed++)
    {
      GRand *random = g_rand_new_with_seed (seed);
      g_autoptr (Sample) sample = sample_new_board (
          g_rand_double_range (random, 40, 1500), g_rand_double_range (random, 40, 900),
          (guint) g_rand_int_range (random, 1, 14), (guint) g_rand_int_range (random, 1, 10), seed);
      RakeMapView view = sample_view (RAKE_THEME_DARK, g_rand_double_range (random, 30, 1400),
                                      g_rand_double_range (random, 30, 900), 0);
      g_autoptr (GArray) labels = NULL;
      view.text_px = g_rand_double_range (random, 7, 30);
      rake_map_view_fit (&view, sample->face, g_rand_double_range (random, 0, 60));
      if (seed % 3 == 0)
        rake_map_view_zoom (&view, g_rand_double_range (random, 0.5, 6),
                            g_rand_double_range (random, 0, view.width_px), view.height_px / 2);
      labels = rake_map_lay_labels (canvas.cr, &view, sample->face, sample->judgements);
      assert_int_equal (labels->len, sample->face->zones->len);
      expect_labels_apart_and_in_view (labels, &view, seed);
      for (guint i = 0; i < labels->len; i++)
        {
          const RakeMapLabel *label = &g_array_index (labels, RakeMapLabel, i);
          if (label->is_hidden)
            n_hidden++;
          else if (label->is_glyph_only)
            n_glyphs++;
          else
            n_full++;
        }
      g_rand_free (random);
    }
  canvas_close (&canvas);
  /* Not by hiding them all. */
  if (n_full < 60 || n_glyphs < 60 || n_hidden < 60)
    fail_msg ("%u labels in full, %u glyphs, %u hidden", n_full, n_glyphs, n_hidden);
}

/* A verdict here and there is another, and a mark of a zone is gone. */
static void
change_some_zones (Sample *sample, GRand *random, gboolean *is_other)
{
  for (guint i = 0; i < sample->face->zones->len; i++)
    {
      const RakeZone *zone = sample->face->zones->pdata[i];

      is_other[i] = g_rand_int_range (random, 0, 5) == 0;
      if (!is_other[i])
        continue;
      sample->judgements[i]->verdict =
          (RakeVerdict) g_rand_int_range (random, RAKE_VERDICT_NONE, RAKE_VERDICT_STOP + 1);
      if (zone->marks->len > 0)
        g_ptr_array_set_size (zone->marks, (int) zone->marks->len - 1);
    }
}

static void
labels_laid_again_are_as_if_laid_anew (void **state)
{
  Canvas canvas;
  guint n_moved = 0;

  canvas_open (&canvas, 8, 8);

  for (guint seed = 1; seed <= 60; seed++)
    {
      g_autoptr (GRand) random = g_rand_new_with_seed (seed);
      guint n_columns = (guint) g_rand_int_range (random, 1, 9),
            n_rows = (guint) g_rand_int_range (random, 1, 9);
      g_autoptr (Sample) sample = sample_new_board (380, 250, n_columns, n_rows, seed);
      g_autofree gboolean *is_other = g_new0 (gboolean, n_columns * n_rows);
      RakeMapView view = sample_view (RAKE_THEME_DARK, g_rand_double_range (random, 150, 900),
                                      g_rand_double_range (random, 120, 700), 30);
      g_autoptr (GArray) before = NULL, again = NULL, anew = NULL;

      rake_map_view_fit (&view, sample->face, 20);
      before = rake_map_lay_labels (canvas.cr, &view, sample->face, sample->judgements);
      change_some_zones (sample, random, is_other);
      again = rake_map_lay_labels_again (canvas.cr, &view, sample->face, sample->judgements, before,
                                         is_other);
      anew = rake_map_lay_labels (canvas.cr, &view, sample->face, sample->judgements);
      assert_int_equal (again->len, anew->len);
      if (memcmp (again->data, anew->data, anew->len * sizeof (RakeMapLabel)) != 0)
        fail_msg ("seed %u: not what is laid anew", seed);
      n_moved += memcmp (before->data, anew->data, anew->len * sizeof (RakeMapLabel)) != 0;
    }
  assert_true (n_moved > 20);
  canvas_close (&canvas);
}

static void
a_word_too_long_for_its_zone_gives_way_to_its_glyph (void **state)
{
  /* One zone of 100 × 60 px: at 13 px "Sand again" fits, at 22 px (about 170 px) it does not. */
  static const struct
  {
    double text_px;
    gboolean is_glyph_only;
  } cases[] = { { 10, FALSE }, { 22, TRUE }, { 25, TRUE } };
  g_autoptr (Sample) sample = sample_new_board (100, 60, 1, 1, 1);
  Canvas canvas;

  sample->judgements[0]->verdict = RAKE_VERDICT_SAND_AGAIN;
  canvas_open (&canvas, 8, 8);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      RakeMapView view = sample_view (RAKE_THEME_DARK, 100, 60, 0);
      g_autoptr (GArray) labels = NULL;
      const RakeMapLabel *label;
      view.text_px = cases[i].text_px;
      rake_map_view_fit (&view, sample->face, 0);
      labels = rake_map_lay_labels (canvas.cr, &view, sample->face, sample->judgements);
      label = &g_array_index (labels, RakeMapLabel, 0);
      if (label->is_hidden || label->is_glyph_only != cases[i].is_glyph_only)
        fail_msg ("text of %.0f px: hidden %d, glyph only %d", cases[i].text_px, label->is_hidden,
                  label->is_glyph_only);
    }
  canvas_close (&canvas);
}

/* --- the same every time -------------------------------------------------------------------- */

static gpointer
draw_checksum (gpointer data)
{
  RakeTheme theme = (RakeTheme) GPOINTER_TO_INT (data);
  g_autoptr (Sample) sample = sample_new_mandola ();
  RakeMapView view = sample_view (theme, 320, 260, 300);
  Canvas canvas;
  char *checksum;

  rake_map_view_fit (&view, sample->face, 30);
  canvas_open (&canvas, 320, 260);
  rake_map_draw_face (canvas.cr, &view, sample->face, sample->judgements);
  cairo_surface_flush (canvas.surface);
  checksum = g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *) canvas.pixels,
                                          (gsize) 4 * 320 * 260);
  canvas_close (&canvas);
  return checksum;
}

static void
the_same_face_gives_the_same_pixels_in_any_thread (void **state)
{
  for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_PAPER; theme++)
    {
      g_autofree char *first = draw_checksum (GINT_TO_POINTER (theme));
      g_autofree char *again = draw_checksum (GINT_TO_POINTER (theme));
      GThread *threads[3];
      assert_string_equal (first, again);
      for (gsize i = 0; i < G_N_ELEMENTS (threads); i++)
        threads[i] = g_thread_new ("draw", draw_checksum, GINT_TO_POINTER (theme));
      for (gsize i = 0; i < G_N_ELEMENTS (threads); i++)
        {
          g_autofree char *elsewhere = g_thread_join (threads[i]);
          assert_string_equal (first, elsewhere);
        }
    }
}

/* --- hostile sizes -------------------------------------------------------------------------- */

static void
no_size_breaks_a_drawing (void **state)
{
  g_autoptr (Sample) sample = sample_new_mandola ();
  Canvas canvas;

  canvas_open (&canvas, 64, 48);
  for (gsize i = 0; i < G_N_ELEMENTS (hostile_numbers); i++)
    for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_PAPER; theme++)
      {
        double number = hostile_numbers[i];
        RakeMapView view = sample_view (theme, number, 48, number);
        view.is_paper = theme == RAKE_THEME_PAPER;
        view.text_px = number;
        rake_map_view_fit (&view, sample->face, number);
        rake_map_draw_face (canvas.cr, &view, sample->face, sample->judgements);
        rake_map_view_zoom (&view, 1e6, 10, 10);
        rake_map_draw_face (canvas.cr, &view, sample->face, sample->judgements);
        rake_map_view_zoom (&view, 1e-12, 10, 10);
        rake_map_draw_face (canvas.cr, &view, sample->face, sample->judgements);
        rake_map_draw_verdict_glyph (canvas.cr, theme, RAKE_VERDICT_WAIT, number);
        rake_map_draw_accepted_glyph (canvas.cr, theme, number);
        rake_map_draw_progress_ring (canvas.cr, theme, number, number);
        rake_map_draw_progress_ring (canvas.cr, theme, number, 20);
        for (RakeMarkKind kind = RAKE_MARK_UNSAID; kind < RAKE_N_MARKS; kind++)
          {
            rake_map_draw_mark_picture (canvas.cr, theme, kind, number, 30);
            rake_map_draw_mark_picture (canvas.cr, theme, kind, 30, number);
          }
        assert_int_equal (cairo_status (canvas.cr), CAIRO_STATUS_SUCCESS);
      }
  canvas_close (&canvas);
}

/* --- what is shown -------------------------------------------------------------------------- */

static void
a_zone_shows_what_was_said_of_it (void **state)
{
  static const struct
  {
    const char *what;
    double looked, said, poorly, low_spots, scratches, witness_lines, burns, sand_throughs;
    RakeState state;
  } cases[] = {
    { "nobody looked", 0, 0, 0, NAN, 0, 0, 0, 0, RAKE_STATE_UNSAID },
    { "not looked at again since a scratch was seen", 0, 0, 0, NAN, 1, 0, 0, 0, RAKE_STATE_UNSAID },
    { "a look that says nothing", 1, 0, 0, NAN, 0, 0, 0, 0, RAKE_STATE_UNSAID },
    { "even", 1, 1, 0, 0, 0, 0, 0, 0, RAKE_STATE_UNIFORM },
    { "low spots", 1, 1, 0, 0.14, 0, 0, 0, 0, RAKE_STATE_LOW_SPOT },
    { "low spots and a scratch", 1, 1, 0, 0.14, 1, 0, 0, 0, RAKE_STATE_SCRATCH },
    { "a scratch and a witness line", 1, 1, 0, 0, 1, 1, 0, 0, RAKE_STATE_WITNESS_LINE },
    { "a burn", 1, 1, 0, 0, 1, 0, 1, 0, RAKE_STATE_BURN },
    { "through the film", 1, 1, 0, 0, 0, 0, 1, 1, RAKE_STATE_SAND_THROUGH },
    { "looked at wet: all dull", 0, 0, 1, 0, 0, 0, 0, 0, RAKE_STATE_UNSAID },
    { "looked at wet: a burn", 0, 0, 1, NAN, 0, 0, 1, 0, RAKE_STATE_BURN },
  };

  assert_int_equal (rake_map_get_shown_state (NULL), RAKE_STATE_UNSAID);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      RakeJudgement judgement = { 0 };
      const struct
      {
        RakeFact fact;
        double value;
      } facts[] = {
        { RAKE_FACT_LOOKED_SINCE_PASS, cases[i].looked },
        { RAKE_FACT_SAID_SINCE_PASS, cases[i].said },
        { RAKE_FACT_LOOKED_POORLY_SINCE_PASS, cases[i].poorly },
        { RAKE_FACT_LOW_SPOT_FRACTION, cases[i].low_spots },
        { RAKE_FACT_SCRATCHES, cases[i].scratches },
        { RAKE_FACT_WITNESS_LINES, cases[i].witness_lines },
        { RAKE_FACT_BURNS, cases[i].burns },
        { RAKE_FACT_SAND_THROUGHS, cases[i].sand_throughs },
      };
      for (gsize k = 0; k < G_N_ELEMENTS (facts); k++)
        if (!isnan (facts[k].value))
          {
            judgement.facts.knowledge[facts[k].fact] = RAKE_KNOWN;
            judgement.facts.value[facts[k].fact] = facts[k].value;
          }
      if (rake_map_get_shown_state (&judgement) != cases[i].state)
        fail_msg ("%s: shown as %s, expected %s", cases[i].what,
                  rake_state_get_label (rake_map_get_shown_state (&judgement)),
                  rake_state_get_label (cases[i].state));
    }
}

/* docs/judging.md, "Marks from before". */
static void
marks_from_before_are_ghosts_or_carried (void **state)
{
  static const struct
  {
    const char *what;
    RakeMarkKind kind;
    const char *after; /* p a pass, b a stage begun, l a look that sees it again */
    guint found_at, now_at;
    gboolean is_closed, is_ghost, is_carried;
  } cases[] = {
    { "new scratch", RAKE_MARK_SCRATCH, "", 0, 0, FALSE, FALSE, FALSE },
    { "scratch, a pass since", RAKE_MARK_SCRATCH, "p", 0, 0, FALSE, TRUE, FALSE },
    { "scratch seen again", RAKE_MARK_SCRATCH, "pl", 0, 0, FALSE, FALSE, FALSE },
    { "scratch gone", RAKE_MARK_SCRATCH, "p", 0, 0, TRUE, FALSE, FALSE },
    { "scratch at the next stage", RAKE_MARK_SCRATCH, "b", 0, 1, FALSE, FALSE, TRUE },
    { "scratch, a pass there", RAKE_MARK_SCRATCH, "bp", 0, 1, FALSE, TRUE, TRUE },
    { "scratch, seen there", RAKE_MARK_SCRATCH, "bpl", 0, 1, FALSE, FALSE, FALSE },
    { "low spot, a pass since", RAKE_MARK_LOW_SPOT, "p", 0, 0, FALSE, TRUE, FALSE },
    { "low spot rides along", RAKE_MARK_LOW_SPOT, "bp", 0, 1, FALSE, FALSE, TRUE },
    { "low spot seen there", RAKE_MARK_LOW_SPOT, "bpl", 0, 1, FALSE, FALSE, TRUE },
    { "low spot at the last grit", RAKE_MARK_LOW_SPOT, "bp", 0, 2, FALSE, TRUE, TRUE },
    { "low spot at the wheel", RAKE_MARK_LOW_SPOT, "bp", 0, 3, FALSE, TRUE, TRUE },
  };
  RakeStage stages[] = {
    { .action = RAKE_ACTION_LEVEL, .position = 0 },
    { .action = RAKE_ACTION_REFINE, .position = 1 },
    { .action = RAKE_ACTION_REFINE, .position = 2, .is_last_sanding = TRUE },
    { .action = RAKE_ACTION_BUFF, .position = 3 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GPtrArray) history = g_ptr_array_new ();
      RakeEntry look = { .kind = RAKE_ENTRY_LOOK }, found = { .kind = RAKE_ENTRY_MARK };
      RakeEntry later[4] = { 0 };
      RakeZone zone = { .stage = &stages[cases[i].now_at], .history = history };
      RakeMark mark = { .entry = &found, .last_seen = &look, .kind = cases[i].kind };
      mark.stage = &stages[cases[i].found_at];
      g_ptr_array_add (history, &look);
      g_ptr_array_add (history, &found);
      for (gsize k = 0; cases[i].after[k] != '\0'; k++)
        {
          later[k].kind = cases[i].after[k] == 'p'   ? RAKE_ENTRY_PASS
                          : cases[i].after[k] == 'b' ? RAKE_ENTRY_BEGIN_STAGE
                                                     : RAKE_ENTRY_LOOK;
          if (cases[i].after[k] == 'l')
            mark.last_seen = &later[k];
          g_ptr_array_add (history, &later[k]);
        }
      mark.closed_by = cases[i].is_closed ? &found : NULL;
      if (rake_mark_is_ghost (&zone, &mark) != cases[i].is_ghost ||
          rake_mark_is_carried (&zone, &mark) != cases[i].is_carried)
        fail_msg ("%s: ghost %d, carried %d", cases[i].what, rake_mark_is_ghost (&zone, &mark),
                  rake_mark_is_carried (&zone, &mark));
    }
}

/* --- islands -------------------------------------------------------------------------------- */

static void
islands_cover_the_said_share_and_shrink_where_they_are (void **state)
{
  static const double fractions[] = { 0.04, 0.10, 0.25, 0.5, 0.8 };
  g_autoptr (Sample) sample = sample_new_mandola ();
  RakeMapView view = sample_view (RAKE_THEME_DARK, 920, 740, 0);

  rake_map_view_fit (&view, sample->face, 40);
  for (guint seed = 1; seed <= 2; seed++)
    for (guint which = 0; which < sample->face->zones->len; which++)
      {
        const RakeZone *zone = sample->face->zones->pdata[which];
        g_autoptr (RakePlace) place = rake_place_new_from_shape (&view, zone->shape);
        g_autoptr (RakePlace) smaller = NULL;
        for (gsize i = 0; i < G_N_ELEMENTS (fractions); i++)
          {
            RakePlace *islands = rake_islands_new (&view, zone->shape, fractions[i], NULL, 0, seed);
            guint n_zone = 0, n_covered = 0, n_lost = 0;
            assert_non_null (islands);
            for (double y = place->min.y; y < place->max.y; y += 3)
              for (double x = place->min.x; x < place->max.x; x += 3)
                if (rake_place_contains (place, x, y))
                  {
                    gboolean is_covered = rake_place_contains (islands, x, y);
                    n_zone++;
                    n_covered += is_covered ? 1 : 0;
                    n_lost += smaller && !is_covered && rake_place_contains (smaller, x, y) ? 1 : 0;
                  }
            if (ABS ((double) n_covered / n_zone - fractions[i]) > 0.02)
              fail_msg ("%s, seed %u: %.3f of the zone covered, %.2f said", zone->name, seed,
                        (double) n_covered / n_zone, fractions[i]);
            if (n_lost > n_zone / 500)
              fail_msg ("%s, seed %u: islands of %.2f do not hold the smaller ones", zone->name,
                        seed, fractions[i]);
            g_clear_pointer (&smaller, rake_place_free);
            smaller = islands;
          }
      }
}

static void
nothing_said_is_no_island_and_all_is_the_zone (void **state)
{
  g_autoptr (Sample) sample = sample_new_mandola ();
  const RakeZone *zone = sample->face->zones->pdata[0];
  RakeMapView view = sample_view (RAKE_THEME_DARK, 920, 740, 0);
  g_autoptr (RakePlace) all = NULL;

  rake_map_view_fit (&view, sample->face, 40);
  assert_null (rake_islands_new (&view, zone->shape, 0, NULL, 0, 1));
  assert_null (rake_islands_new (&view, zone->shape, NAN, NULL, 0, 1));
  assert_null (rake_islands_new (&view, zone->shape, -1, NULL, 0, 1));
  all = rake_islands_new (&view, zone->shape, 1, NULL, 0, 1);
  assert_int_equal (rake_place_get_n_rings (all), rake_shape_get_n_rings (zone->shape));
}

/* --- told apart ----------------------------------------------------------------------------- */

/* The share of pixels that are clearly other (by a fifth of the way from black to white). */
static double
difference (const Canvas *a, const Canvas *b)
{
  guint n = 0;

  cairo_surface_flush (a->surface);
  cairo_surface_flush (b->surface);
  for (int i = 0; i < a->width * a->height; i++)
    n += ABS ((int) (a->pixels[i] >> 8 & 0xff) - (int) (b->pixels[i] >> 8 & 0xff)) > 50;
  return (double) n / (a->width * a->height);
}

static void
open_white (Canvas *canvas, int width, int height)
{
  canvas_open (canvas, width, height);
  cairo_set_source_rgb (canvas->cr, 1, 1, 1);
  cairo_paint (canvas->cr);
}

static void
pictures_are_told_apart_in_black_alone (void **state)
{
  Canvas pictures[RAKE_N_MARKS], glyphs[RAKE_N_VERDICTS + 1], states[RAKE_N_STATES];

  for (RakeMarkKind kind = 0; kind < RAKE_N_MARKS; kind++)
    {
      open_white (&pictures[kind], 60, 34);
      rake_map_draw_mark_picture (pictures[kind].cr, RAKE_THEME_PAPER, kind, 60, 34);
      for (RakeMarkKind other = 0; other < kind; other++)
        if (difference (&pictures[kind], &pictures[other]) < 0.02)
          fail_msg ("%s and %s look alike: %.3f", rake_mark_kind_get_label (kind),
                    rake_mark_kind_get_label (other),
                    difference (&pictures[kind], &pictures[other]));
    }
  for (RakeState shown = 0; shown < RAKE_N_STATES; shown++)
    {
      open_white (&states[shown], 60, 34);
      rake_map_draw_state_picture (states[shown].cr, RAKE_THEME_PAPER, shown, 60, 34);
      for (RakeState other = 0; other < shown; other++)
        if (difference (&states[shown], &states[other]) < 0.02)
          fail_msg ("states %d and %d look alike: %.3f", shown, other,
                    difference (&states[shown], &states[other]));
    }
  for (guint verdict = 0; verdict <= RAKE_N_VERDICTS; verdict++)
    {
      open_white (&glyphs[verdict], 16, 16);
      if (verdict < RAKE_N_VERDICTS)
        rake_map_draw_verdict_glyph (glyphs[verdict].cr, RAKE_THEME_PAPER, (RakeVerdict) verdict,
                                     16);
      else
        rake_map_draw_accepted_glyph (glyphs[verdict].cr, RAKE_THEME_PAPER, 16);
      for (guint other = 0; other < verdict; other++)
        if (difference (&glyphs[verdict], &glyphs[other]) < 0.10)
          fail_msg ("glyphs %u and %u look alike: %.3f", verdict, other,
                    difference (&glyphs[verdict], &glyphs[other]));
    }
  for (guint i = 0; i < RAKE_N_MARKS; i++)
    canvas_close (&pictures[i]);
  for (guint i = 0; i < RAKE_N_STATES; i++)
    canvas_close (&states[i]);
  for (guint i = 0; i <= RAKE_N_VERDICTS; i++)
    canvas_close (&glyphs[i]);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_fitted_view_shows_the_whole_face_in_its_margin),
    cmocka_unit_test (millimetres_and_pixels_go_round_and_zoom_keeps_the_place),
    cmocka_unit_test (no_number_breaks_a_view),
    cmocka_unit_test (the_lamp_is_always_in_view_and_stands_where_it_is_put),
    cmocka_unit_test (the_ring_keeps_clear_of_the_face_in_a_fitted_view),
    cmocka_unit_test (without_a_lamp_there_is_none),
    cmocka_unit_test (zones_keep_to_their_extents_and_marks_to_theirs),
    cmocka_unit_test (labels_keep_to_their_boxes),
    cmocka_unit_test (labels_never_overlap_or_leave_the_view),
    cmocka_unit_test (labels_laid_again_are_as_if_laid_anew),
    cmocka_unit_test (a_word_too_long_for_its_zone_gives_way_to_its_glyph),
    cmocka_unit_test (the_same_face_gives_the_same_pixels_in_any_thread),
    cmocka_unit_test (no_size_breaks_a_drawing),
    cmocka_unit_test (a_zone_shows_what_was_said_of_it),
    cmocka_unit_test (marks_from_before_are_ghosts_or_carried),
    cmocka_unit_test (islands_cover_the_said_share_and_shrink_where_they_are),
    cmocka_unit_test (nothing_said_is_no_island_and_all_is_the_zone),
    cmocka_unit_test (pictures_are_told_apart_in_black_alone),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
