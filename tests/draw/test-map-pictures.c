/* test-map-pictures.c - the pictures are those that were looked at and found good.
 *
 * tests/draw/pictures/ holds what was agreed by eye. A change that is meant is written anew with
 *
 *     RAKE_WRITE_PICTURES=1 meson test -C build map-pictures
 *
 * and looked at before it is committed. Versions of cairo and pixman round differently, so a picture
 * passes when it is the same but for a few pixels and a little noise. No text: fonts differ. */
#include "sample.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#define MEAN_WITHIN 1.5     /* of 255 */
#define CLEARLY_OTHER 40    /* of 255, in one channel */
#define OTHER_WITHIN 0.005  /* share of the pixels */

static void
draw_mandola (cairo_t *cr, RakeTheme theme, double width_px, double height_px, double lamp_deg)
{
  g_autoptr (Sample) sample = sample_new_mandola ();
  RakeMapView view = sample_view (theme, width_px, height_px, lamp_deg);

  view.text_px = 0;
  view.is_paper = theme == RAKE_THEME_PAPER;
  rake_map_view_fit (&view, sample->face, 22);
  rake_map_draw_face (cr, &view, sample->face, sample->judgements);
}

static void
draw_swatches (cairo_t *cr, RakeTheme theme, double width_px, double height_px, double lamp_deg)
{
  for (guint i = 1; i < RAKE_N_MARKS + RAKE_N_VERDICTS; i++)
    {
      cairo_save (cr);
      cairo_translate (cr, 4 + (i - 1) % 5 * 60, 4 + (i - 1) / 5 * 32);
      if (i < RAKE_N_MARKS)
        rake_map_draw_mark_picture (cr, theme, (RakeMarkKind) i, 52, 26);
      else
        rake_map_draw_verdict_glyph (cr, theme, (RakeVerdict) (i - RAKE_N_MARKS), 24);
      cairo_restore (cr);
    }
}

typedef struct
{
  const char *file;
  RakeTheme theme;
  int width, height;
  void (*draw) (cairo_t *cr, RakeTheme theme, double width_px, double height_px, double lamp_deg);
} Picture;

static const Picture pictures[] = {
  { "mandola-dark.png", RAKE_THEME_DARK, 176, 150, draw_mandola },
  { "mandola-light.png", RAKE_THEME_LIGHT, 176, 150, draw_mandola },
  { "mandola-paper.png", RAKE_THEME_PAPER, 176, 150, draw_mandola },
  { "swatches-dark.png", RAKE_THEME_DARK, 304, 164, draw_swatches },
  { "swatches-paper.png", RAKE_THEME_PAPER, 304, 164, draw_swatches },
};

static cairo_surface_t *
draw_picture (const Picture *picture, double lamp_deg)
{
  cairo_surface_t *surface =
      cairo_image_surface_create (CAIRO_FORMAT_RGB24, picture->width, picture->height);
  cairo_t *cr = cairo_create (surface);
  RakeColour ground = rake_palette_get (picture->theme)->ground;

  cairo_set_source_rgb (cr, ground.red, ground.green, ground.blue);
  cairo_paint (cr);
  picture->draw (cr, picture->theme, picture->width, picture->height, lamp_deg);
  assert_int_equal (cairo_status (cr), CAIRO_STATUS_SUCCESS);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

static void
compare (cairo_surface_t *one, cairo_surface_t *other, double *mean, double *share)
{
  int width = cairo_image_surface_get_width (one), height = cairo_image_surface_get_height (one);
  double sum = 0, n_other = 0;

  assert_int_equal (width, cairo_image_surface_get_width (other));
  assert_int_equal (height, cairo_image_surface_get_height (other));
  for (int y = 0; y < height; y++)
    {
      const guint8 *a =
          cairo_image_surface_get_data (one) + y * cairo_image_surface_get_stride (one);
      const guint8 *b =
          cairo_image_surface_get_data (other) + y * cairo_image_surface_get_stride (other);
      for (int x = 0; x < width; x++)
        {
          int most = 0;
          for (int channel = 0; channel < 3; channel++)
            most = MAX (most, ABS ((int) a[4 * x + channel] - (int) b[4 * x + channel]));
          sum += most;
          n_other += most > CLEARLY_OTHER;
        }
    }
  *mean = sum / (width * height);
  *share = n_other / (width * height);
}

static gboolean
is_the_same (cairo_surface_t *one, cairo_surface_t *other)
{
  double mean, share;

  compare (one, other, &mean, &share);
  return mean <= MEAN_WITHIN && share <= OTHER_WITHIN;
}

static void
pictures_are_as_they_were_agreed (void **state)
{
  const char *folder = g_getenv ("RAKE_PICTURES");

  assert_non_null (folder);
  for (gsize i = 0; i < G_N_ELEMENTS (pictures); i++)
    {
      g_autofree char *path = g_build_filename (folder, pictures[i].file, NULL);
      cairo_surface_t *drawn = draw_picture (&pictures[i], 300), *agreed;
      if (g_getenv ("RAKE_WRITE_PICTURES") != NULL)
        assert_int_equal (cairo_surface_write_to_png (drawn, path), CAIRO_STATUS_SUCCESS);
      agreed = cairo_image_surface_create_from_png (path);
      if (cairo_surface_status (agreed) != CAIRO_STATUS_SUCCESS)
        fail_msg ("%s: %s", path, cairo_status_to_string (cairo_surface_status (agreed)));
      if (!is_the_same (drawn, agreed))
        {
          g_autofree char *name = g_strdup_printf ("rakelight-%s", pictures[i].file);
          g_autofree char *seen = g_build_filename (g_get_tmp_dir (), name, NULL);
          double mean, share;
          compare (drawn, agreed, &mean, &share);
          cairo_surface_write_to_png (drawn, seen);
          fail_msg ("%s: %.2f off in the mean, %.2f %% of the pixels clearly other; drawn now: %s",
                    pictures[i].file, mean, 100 * share, seen);
        }
      cairo_surface_destroy (agreed);
      cairo_surface_destroy (drawn);
    }
}

/* The measure is worth something: a lamp moved by 40° is another picture. */
static void
another_lamp_is_another_picture (void **state)
{
  for (gsize i = 0; i < G_N_ELEMENTS (pictures); i++)
    if (pictures[i].draw == draw_mandola)
      {
        cairo_surface_t *one = draw_picture (&pictures[i], 300);
        cairo_surface_t *other = draw_picture (&pictures[i], 340);
        if (is_the_same (one, other))
          fail_msg ("%s is taken for the same under another lamp", pictures[i].file);
        cairo_surface_destroy (one);
        cairo_surface_destroy (other);
      }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (pictures_are_as_they_were_agreed),
    cmocka_unit_test (another_lamp_is_another_picture),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
