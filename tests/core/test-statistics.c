/* test-statistics.c - probabilities against printed tables and worked examples.
 *
 * Values marked (computed) were worked out with SciPy 1.10 and mpmath, of which they are no copy but a
 * fixed point: sums-against-scipy.py asks the two libraries themselves, on a grid. */
#include <rakelight/statistics.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include "near.h"

static void
the_normal_table_is_met_and_its_tails_are_kept (void **state)
{
  static const struct
  {
    const char *source;
    double z, p, relative;
  } cases[] = {
    { "printed normal table", -3.0, 0.00135, 4e-3 },
    { "printed normal table", -2.5, 0.00621, 1e-3 },
    { "the middle", 0.0, 0.5, 0 },
    { "glossy share of 4 µm, at 10 µm (computed)", 2.5, 0.9937903346742238, 1e-14 },
    { "glossy share of 4 µm, at 1 µm (computed)", 0.25, 0.5987063256829237, 1e-14 },
    { "film of 117 ± 13.3 µm under 75 (computed)", -3.1578947368421053, 0.000794564641050298, 1e-12 },
    { "mpmath at 30 digits, far tail (computed)", -20, 2.7536241186062337e-89, 1e-12 },
    { "mpmath at 30 digits, farthest tail (computed)", -37, 5.725571222524576e-300, 1e-12 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    assert_near (cases[i].source, rake_normal_cdf (cases[i].z), cases[i].p,
                 cases[i].p * cases[i].relative);
}

static void
a_quantile_is_the_table_backwards (void **state)
{
  static const struct
  {
    double p, z;
  } cases[] = {
    { 0.5, 0 },
    { 0.2, -0.8416212335729142 },  /* computed, as are the next */
    { 0.1, -1.2815515655446004 },
    { 0.05, -1.6448536269514729 },
    { 0.01, -2.3263478740408408 },
    { 0.99, 2.3263478740408408 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    assert_near ("quantile", rake_normal_quantile (cases[i].p), cases[i].z, 1e-14 * 3);
  for (double p = 1e-300; p < 1; p *= 7.3)
    assert_near ("there and back", rake_normal_cdf (rake_normal_quantile (p)) / p, 1, 2e-12);
  assert_true (rake_normal_quantile (0) == -INFINITY && rake_normal_quantile (1) == INFINITY);
  assert_true (isnan (rake_normal_quantile (-0.1)) && isnan (rake_normal_quantile (1.1)));
  assert_true (isnan (rake_normal_quantile (NAN)) && isnan (rake_normal_cdf (NAN)));
}

static void
two_opinions_weigh_by_their_doubt (void **state)
{
  RakeNormal prior = { 150, 12 };
  RakeNormal both = rake_normal_combine (prior, (RakeNormal){ 138, 5 });

  /* Normal-normal update, computed by the matrix formula. */
  assert_near ("one reading", both.mean, 139.7751479289941, 1e-11);
  assert_near ("one reading", both.sd, 4.615384615384616, 1e-12);
  both = rake_normal_combine (rake_normal_combine (both, (RakeNormal){ 141, 5 }),
                              (RakeNormal){ 136, 5 });
  assert_near ("three readings", both.mean, 138.9715536105033, 1e-11);
  assert_near ("three readings", both.sd, 2.806681618349928, 1e-12);

  both = rake_normal_combine (prior, (RakeNormal){ 138, 0 });
  assert_true (both.mean == 138 && both.sd == 0);
  both = rake_normal_combine ((RakeNormal){ NAN, INFINITY }, prior);
  assert_true (both.mean == 150 && both.sd == 12);
  both = rake_normal_combine ((RakeNormal){ 10, 0 }, (RakeNormal){ 12, 0 });
  assert_true (both.mean == 11 && both.sd == 0);
  both = rake_normal_combine (prior, (RakeNormal){ 138, NAN });
  assert_true (isnan (both.mean) && isnan (both.sd));
  assert_true (isnan (rake_normal_combine (prior, (RakeNormal){ 138, -1 }).mean));
}

static void
readings_have_their_mean_and_spread (void **state)
{
  static const double readings[] = { 142, 150, 147, 139, 152 };
  static const double odd[] = { 1, NAN };
  RakeSample sample = rake_sample_take (readings, 5);

  /* Computed with Python's statistics and SciPy. */
  assert_near ("mean", sample.mean, 146, 1e-12);
  assert_near ("sd", sample.sd, 5.431390245600108, 1e-12);
  assert_near ("standard error", sample.standard_error, 2.4289915602982237, 1e-12);
  assert_true (sample.n == 5 && sample.least == 139 && sample.largest == 152);
  assert_near ("t interval", sample.mean - rake_student_quantile (0.975, 4) * sample.standard_error,
               139.25603827184324, 1e-9);
  assert_near ("95 % above, 95 % sure",
               sample.mean - rake_tolerance_factor (5, 0.95, 0.95) * sample.sd, 123.17360081656977,
               1e-9);

  sample = rake_sample_take (readings, 1);
  assert_true (sample.mean == 142 && sample.least == 142 && isnan (sample.sd));
  assert_true (isnan (rake_sample_take (NULL, 0).mean) && isnan (rake_sample_take (odd, 2).least));
}

static void
tolerance_factors_are_those_of_the_printed_tables (void **state)
{
  static const struct
  {
    guint n;
    double coverage, confidence, k, within;
  } cases[] = {
    /* Printed tables of one-sided factors, from memory: 7.656, 4.203, 2.911, 2.396. */
    { 3, 0.95, 0.95, 7.656, 5e-4 }, { 5, 0.95, 0.95, 4.203, 5e-4 },
    { 10, 0.95, 0.95, 2.911, 5e-4 }, { 20, 0.95, 0.95, 2.396, 5e-4 },
    /* NIST/SEMATECH e-Handbook 7.2.6.3: Natrella's approximation has 1.8752; computed exactly: */
    { 43, 0.90, 0.99, 1.8739536, 5e-8 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    assert_near ("k", rake_tolerance_factor (cases[i].n, cases[i].coverage, cases[i].confidence),
                 cases[i].k, cases[i].within);
  assert_true (isnan (rake_tolerance_factor (1, 0.95, 0.95)));
  assert_true (isnan (rake_tolerance_factor (5, 0.4, 0.95)));
  assert_true (isnan (rake_tolerance_factor (5, 0.95, NAN)));
  assert_true (isnan (rake_student_quantile (0.5, 0.5)));
  assert_near ("the middle", rake_student_quantile (0.5, 3), 0, 1e-12);
}

static void
a_line_is_the_least_squares_one (void **state)
{
  /* Probits of 92, 70, 38 and 13 % glossy after 3, 6, 9 and 12 µm (computed). */
  static const double x[] = { 3, 6, 9, 12 }, weights[] = { 1, 1, 1, 1 }, off[] = { 0, 1, 0, 0 };
  static const double same[] = { 0.1, 0.1, 0.1, 0.1 }, odd[] = { 1, 2, INFINITY, 3 };
  double y[4];
  RakeLine line = { 0 };

  y[0] = rake_normal_quantile (0.92);
  y[1] = rake_normal_quantile (0.70);
  y[2] = rake_normal_quantile (0.38);
  y[3] = rake_normal_quantile (0.13);
  assert_true (rake_line_fit (x, y, weights, 4, &line));
  assert_near ("slope", line.slope, -0.28080897896175794, 1e-14);
  assert_near ("intercept", line.intercept, 2.230467381183053, 1e-13);
  /* By hand: 1/Σ(x-7.5)² = 1/45; 1/4 + 7.5²/45; -7.5/45. */
  assert_near ("var slope", line.var_slope, 1 / 45.0, 1e-15);
  assert_near ("var intercept", line.var_intercept, 1.5, 1e-14);
  assert_near ("covariance", line.covariance, -1 / 6.0, 1e-15);

  assert_false (rake_line_fit (same, y, weights, 4, &line));
  assert_false (rake_line_fit (x, y, off, 4, &line));
  assert_false (rake_line_fit (odd, y, weights, 4, &line));
  assert_false (rake_line_fit (x, y, weights, 1, &line));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (the_normal_table_is_met_and_its_tails_are_kept),
    cmocka_unit_test (a_quantile_is_the_table_backwards),
    cmocka_unit_test (two_opinions_weigh_by_their_doubt),
    cmocka_unit_test (readings_have_their_mean_and_spread),
    cmocka_unit_test (tolerance_factors_are_those_of_the_printed_tables),
    cmocka_unit_test (a_line_is_the_least_squares_one),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
