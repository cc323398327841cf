/* test-film-cut.c - the cut through the film is to scale, and says in words what it shows. */
#include <rakelight/film-cut.h>
#include <rakelight/units.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#define WIDTH 300
#define HEIGHT 240
#define COLUMN 150

/* 138 µm sprayed, 109 ± 6 left over a reserve of 50. */
static RakeFilm *
new_film (void)
{
  RakeFilm *film = g_new0 (RakeFilm, 1);

  film->standing = RAKE_FILM_KNOWN;
  film->lines = g_array_new (FALSE, TRUE, sizeof (RakeFilmLine));
  film->sprayed = (RakeNormal){ 138, 8 };
  film->film = (RakeNormal){ 109, 6 };
  film->last_coat = (RakeNormal){ NAN, NAN };
  film->reserve_um = 50;
  film->next_pass = (RakeNormal){ 3, 1 };
  film->to_come = (RakeNormal){ 7, 2 };
  return film;
}

static cairo_surface_t *
draw (RakeFilm *film, RakeTheme theme, double text_px)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, WIDTH, HEIGHT);
  cairo_t *cr = cairo_create (surface);
  RakeFilmCut cut = { .theme = theme,
                      .width_px = WIDTH,
                      .height_px = HEIGHT,
                      .text_px = text_px,
                      .film = film,
                      .sigma_um = 4 };

  rake_film_cut_draw (cr, &cut);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

static guint32
get_pixel (cairo_surface_t *surface, int x, int y)
{
  const guint8 *row =
      cairo_image_surface_get_data (surface) + y * cairo_image_surface_get_stride (surface);
  guint32 pixel;

  memcpy (&pixel, row + 4 * x, sizeof pixel);
  return pixel & 0xffffff;
}

static double
get_distance (guint32 pixel, RakeColour colour)
{
  double red = (pixel >> 16 & 0xff) / 255.0 - colour.red;
  double green = (pixel >> 8 & 0xff) / 255.0 - colour.green;
  double blue = (pixel & 0xff) / 255.0 - colour.blue;

  return sqrt (red * red + green * green + blue * blue);
}

/* The middle of the rows in which the whole width is nearest to @colour; -1 for none. */
static double
find_line (cairo_surface_t *surface, RakeColour colour, double within)
{
  double sum = 0;
  int n = 0;

  for (int y = 0; y < HEIGHT; y++)
    {
      int n_like = 0;

      for (int x = 20; x < WIDTH - 20; x += 5)
        n_like += get_distance (get_pixel (surface, x, y), colour) < within;
      if (n_like > 40)
        {
          sum += y + 0.5;
          n++;
        }
    }
  return n > 0 ? sum / n : -1;
}

static int
find_ground (cairo_surface_t *surface, RakeColour ground)
{
  for (int y = 0; y < HEIGHT; y++)
    if (get_distance (get_pixel (surface, COLUMN, y), ground) < 0.02 &&
        get_distance (get_pixel (surface, COLUMN, HEIGHT - 2), ground) < 0.02 &&
        get_distance (get_pixel (surface, 20, y), ground) < 0.02)
      return y;
  return -1;
}

static void
heights_are_to_scale (void **state)
{
  g_autoptr (RakeFilm) film = new_film ();
  cairo_surface_t *surface = draw (film, RAKE_THEME_DARK, 0);
  const RakePalette *palette = rake_palette_get (RAKE_THEME_DARK);
  double reserve = find_line (surface, palette->verdict[RAKE_VERDICT_STOP], 0.12);
  double now = find_line (surface, palette->ink, 0.12);
  int ground = find_ground (surface, palette->wood_shadow);

  assert_true (reserve > 0 && now > 0 && ground > 0);
  assert_true (now < reserve && reserve < ground);
  /* 50 µm to 109 µm, whatever the scale is */
  assert_true (fabs ((ground - reserve) / (ground - now) - 50.0 / 109.0) < 0.015);
  cairo_surface_destroy (surface);
}

/* The same film with another reserve: only that line moves, by as much as it should. */
static void
a_reserve_stands_where_it_is (void **state)
{
  g_autoptr (RakeFilm) film = new_film ();
  const RakePalette *palette = rake_palette_get (RAKE_THEME_LIGHT);
  cairo_surface_t *first = draw (film, RAKE_THEME_LIGHT, 0), *second;
  double at_50 = find_line (first, palette->verdict[RAKE_VERDICT_STOP], 0.12), at_25;

  film->reserve_um = 25;
  second = draw (film, RAKE_THEME_LIGHT, 0);
  at_25 = find_line (second, palette->verdict[RAKE_VERDICT_STOP], 0.12);
  assert_true (fabs (2 * (find_ground (second, palette->wood_shadow) - at_25) -
                     (find_ground (first, palette->wood_shadow) - at_50)) < 3);
  cairo_surface_destroy (first);
  cairo_surface_destroy (second);
}

static void
what_is_not_known_is_not_drawn (void **state)
{
  g_autoptr (RakeFilm) film = new_film ();
  cairo_surface_t *surface;

  film->standing = RAKE_FILM_NO_COATS;
  surface = draw (film, RAKE_THEME_DARK, 11);
  for (int y = 0; y < HEIGHT; y += 7)
    for (int x = 0; x < WIDTH; x += 7)
      assert_int_equal (get_pixel (surface, x, y), 0);
  cairo_surface_destroy (surface);
}

/* In black alone the reserve is seen by its hatch: the rows under its line are not of one tone. */
static void
on_paper_the_reserve_is_hatched (void **state)
{
  g_autoptr (RakeFilm) film = new_film ();
  cairo_surface_t *surface = draw (film, RAKE_THEME_PAPER, 0);
  int n_changes_in_reserve = 0, n_changes_above = 0;

  for (int x = 1; x < WIDTH; x++)
    {
      n_changes_in_reserve += get_pixel (surface, x, 200) != get_pixel (surface, x - 1, 200);
      n_changes_above += get_pixel (surface, x, 120) != get_pixel (surface, x - 1, 120);
    }
  assert_true (n_changes_in_reserve > 40);
  assert_int_equal (n_changes_above, 0);
  cairo_surface_destroy (surface);
}

static void
words_say_what_is_drawn (void **state)
{
  g_autoptr (RakeFilm) film = new_film ();
  RakeForecast forecast = { .standing = RAKE_FORECAST_SAYS, .passes = 2, .needed_um = 6 };
  g_autofree char *words = rake_film_cut_describe (film, &forecast);

  assert_non_null (strstr (words, "138"));
  assert_non_null (strstr (words, "29"));
  assert_non_null (strstr (words, "109"));
  assert_non_null (strstr (words, "reserve 50"));
  assert_non_null (strstr (words, "13 µm more planned"));
}

/* However many words and however little room: none leaves the picture, nothing crashes. */
static void
words_find_room (void **state)
{
  g_autoptr (RakeFilm) film = new_film ();

  film->last_coat = (RakeNormal){ 12, 4 };
  for (double text_px = 4; text_px < 60; text_px += 7)
    for (double reserve_um = 0; reserve_um < 300; reserve_um += 60)
      {
        film->reserve_um = reserve_um;
        cairo_surface_destroy (draw (film, RAKE_THEME_LIGHT, text_px));
      }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (heights_are_to_scale),
    cmocka_unit_test (a_reserve_stands_where_it_is),
    cmocka_unit_test (what_is_not_known_is_not_drawn),
    cmocka_unit_test (on_paper_the_reserve_is_hatched),
    cmocka_unit_test (words_say_what_is_drawn),
    cmocka_unit_test (words_find_room),
  };

  return cmocka_run_group_tests (tests, NULL, NULL);
}
