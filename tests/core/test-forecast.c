/* test-forecast.c - what the forecast says when, and in which words.
 *
 * That its numbers are right is for forecast-against-scipy.py. */
#include <rakelight/forecast.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

static const RakeNormal p800 = { 3, 0.8 };

static void
assert_near (double is, double should, double within)
{
  if (!(fabs (is - should) <= within))
    fail_msg ("%.12g, not %.12g", is, should);
}

static RakeForecast
fit (const RakeForecastPoint *points, guint n)
{
  return rake_forecast_fit (points, n, 0.1, NAN, p800, 0.5);
}

static void
assert_describes (const RakeForecast *forecast, const char *says)
{
  g_autofree char *text = rake_forecast_describe (forecast);

  if (strstr (text, says) == NULL)
    fail_msg ("\"%s\" does not say \"%s\"", text, says);
}

/* A Gaussian surface of σ 4 µm, by SciPy: norm.cdf (h / 4) for h 10, 7, 4, 1, -2. What is left until
 * 10 % (norm.ppf (0.1) · 4 = -5.126) from there is 3.126 µm, a little more than one pass. */
static void
a_gaussian_surface_is_foretold (void **state)
{
  const RakeForecastPoint points[] = {
    { 0, 0.9937903346742238 },  { 3, 0.9599408431361829 },  { 6, 0.8413447460685429 },
    { 9, 0.5987063256829237 }, { 12, 0.3085375387259869 },
  };
  RakeForecast forecast = fit (points, G_N_ELEMENTS (points));

  assert_int_equal (forecast.standing, RAKE_FORECAST_SAYS);
  /* A little is drawn to how surfaces usually begin, lower than this one. */
  assert_near (forecast.sigma_um, 4, 0.4);
  assert_near (forecast.needed_um, 3.126, 0.6);
  assert_near (forecast.passes, forecast.needed_um / 3, 1e-9);
  assert_true (forecast.passes_low < forecast.passes && forecast.passes < forecast.passes_high);
  assert_near (forecast.line.slope, -0.25, 0.02);
  assert_describes (&forecast, "About 2 passes more (1 to 3), 4 µm");
}

static void
each_look_narrows_the_range (void **state)
{
  const RakeForecastPoint points[] = {
    { 0, 1 }, { 3, 0.96 }, { 6, 0.84 }, { 9, 0.6 }, { 12, 0.31 },
  };
  double width = INFINITY;

  for (guint n = 1; n <= G_N_ELEMENTS (points); n++)
    {
      RakeForecast forecast = fit (points, n);

      assert_true (forecast.passes_high - forecast.passes_low < width);
      width = forecast.passes_high - forecast.passes_low;
    }
}

static void
before_the_first_pass_it_is_too_early (void **state)
{
  const RakeForecastPoint point = { 0, 1 };
  RakeForecast forecast = fit (&point, 1);

  assert_int_equal (forecast.standing, RAKE_FORECAST_TOO_EARLY);
  /* all that is known is how surfaces usually are: σ 4, from 99 to 10 %: 3.608 · 4 µm */
  assert_near (forecast.needed_um, 14.43, 0.8);
  assert_describes (&forecast, "Too early to say");
}

static void
what_is_level_enough_needs_nothing_more (void **state)
{
  const RakeForecastPoint points[] = { { 3, 0.5 }, { 6, 0.1 } };
  RakeForecast forecast = fit (points, 2);

  assert_int_equal (forecast.standing, RAKE_FORECAST_REACHED);
  assert_near (forecast.passes_high, 0, 0);
  assert_describes (&forecast, "Level enough");
}

/* At the last grit nothing may be left: the least share that an eye tells from nothing is meant. */
static void
none_at_all_can_be_wanted_and_told (void **state)
{
  const RakeForecastPoint points[] = { { 3, 0.7 }, { 6, 0.4 }, { 9, 0.1 } };
  RakeForecast some = rake_forecast_fit (points, 3, 0, NAN, p800, 0.5);
  RakeForecast least = rake_forecast_fit (points, 3, RAKE_FORECAST_RESOLUTION, NAN, p800, 0.5);
  const RakeForecastPoint done[] = { { 3, 0.7 }, { 6, 0 } };

  assert_int_equal (some.standing, RAKE_FORECAST_SAYS);
  assert_near (some.passes, least.passes, 1e-9);
  assert_int_equal (rake_forecast_fit (done, 2, 0, NAN, p800, 0.5).standing, RAKE_FORECAST_REACHED);
  assert_true (isfinite (rake_forecast_fit (done, 2, 0, NAN, p800, 0.5).sigma_um));
}

static void
paper_that_does_not_bite_is_noticed (void **state)
{
  const RakeForecastPoint points[] = {
    { 3, 0.6 }, { 6, 0.6 }, { 9, 0.58 }, { 12, 0.6 }, { 15, 0.61 },
  };
  RakeForecast forecast = fit (points, G_N_ELEMENTS (points));

  assert_int_equal (forecast.standing, RAKE_FORECAST_NOT_FALLING);
  assert_describes (&forecast, "fresh paper");
}

static void
a_rougher_surface_wants_more (void **state)
{
  const RakeForecastPoint point = { 3, 0.95 };
  double smooth = rake_texture_get_sigma_um (RAKE_TEXTURE_SMOOTH);
  double rough = rake_texture_get_sigma_um (RAKE_TEXTURE_ROUGH);

  assert_near (rake_texture_get_sigma_um (RAKE_TEXTURE_UNSAID), RAKE_FORECAST_USUAL_SIGMA_UM, 0);
  assert_true (rake_forecast_fit (&point, 1, 0.1, smooth, p800, 0).passes <
               rake_forecast_fit (&point, 1, 0.1, rough, p800, 0).passes);
}

static void
numbers_that_cannot_be_say_nothing (void **state)
{
  const RakeForecastPoint good = { 3, 0.5 };
  const RakeForecastPoint bad[][2] = {
    { { 3, NAN }, { 6, 0.5 } },  { { NAN, 0.5 }, { 6, 0.5 } }, { { 6, 0.5 }, { 3, 0.4 } },
    { { 3, 1.01 }, { 6, 0.5 } }, { { 3, -0.1 }, { 6, 0.5 } },  { { -3, 0.6 }, { 6, 0.5 } },
    { { 3, 0.6 }, { INFINITY, 0.5 } },
  };
  const RakeNormal bad_pass[] = { { 0, 1 }, { NAN, 1 }, { 3, NAN }, { 3, -1 }, { INFINITY, 1 } };
  RakeForecast forecast = rake_forecast_fit (&good, 0, 0.1, NAN, p800, 0.5);

  assert_int_equal (forecast.standing, RAKE_FORECAST_NOTHING);
  assert_true (isnan (forecast.passes));
  assert_describes (&forecast, "No look");
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    assert_int_equal (fit (bad[i], 2).standing, RAKE_FORECAST_NOTHING);
  for (gsize i = 0; i < G_N_ELEMENTS (bad_pass); i++)
    assert_int_equal (rake_forecast_fit (&good, 1, 0.1, NAN, bad_pass[i], 0.5).standing,
                      RAKE_FORECAST_NOTHING);
  assert_int_equal (rake_forecast_fit (&good, 1, NAN, NAN, p800, 0.5).standing,
                    RAKE_FORECAST_NOTHING);
  assert_int_equal (rake_forecast_fit (&good, 1, 0.1, -4, p800, 0.5).standing,
                    RAKE_FORECAST_NOTHING);
  assert_int_equal (rake_forecast_fit (&good, 1, 0.1, NAN, p800, NAN).standing,
                    RAKE_FORECAST_NOTHING);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_gaussian_surface_is_foretold),
    cmocka_unit_test (each_look_narrows_the_range),
    cmocka_unit_test (before_the_first_pass_it_is_too_early),
    cmocka_unit_test (what_is_level_enough_needs_nothing_more),
    cmocka_unit_test (none_at_all_can_be_wanted_and_told),
    cmocka_unit_test (paper_that_does_not_bite_is_noticed),
    cmocka_unit_test (a_rougher_surface_wants_more),
    cmocka_unit_test (numbers_that_cannot_be_say_nothing),
  };

  return cmocka_run_group_tests (tests, NULL, NULL);
}
