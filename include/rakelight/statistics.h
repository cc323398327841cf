/* statistics.h - the few sums of probability that films, forecasts and readings need.
 *
 * Checked against SciPy and mpmath: docs/checks.md. NaN in, NaN out. */
#pragma once
#include <glib.h>

/* A number with its doubt: what is known of a film, a rate, a share. */
typedef struct
{
  double mean, sd;
} RakeNormal;

/* Φ(z), without loss in the far tails (relative 1e-12 for z from -37, where Φ is near the least number
 * there is, to 8), and its inverse for 0 < p < 1 (±infinity at 0 and 1; NaN outside). */
double rake_normal_cdf (double z);
double rake_normal_quantile (double p);

/* What two independent opinions of one thing say together, weighted by 1/sd². An sd of 0 is certain;
 * an infinite one says nothing, whatever its mean. Of two that are certain, the middle; of two that
 * say nothing, @a. */
RakeNormal rake_normal_combine (RakeNormal a, RakeNormal b);

typedef struct
{
  guint n;
  double mean, sd;        /* sd with n - 1; NaN for n < 2 */
  double least, largest;
  double standard_error;
} RakeSample;

/* Welford's sums; n 0 gives NaN throughout. */
RakeSample rake_sample_take (const double *values, guint n);

/* Student's t: quantile @p, 1e-9 to 1 - 1e-9, at @degrees of freedom (1 or more, not necessarily
 * whole); else NaN. */
double rake_student_quantile (double p, double degrees);

/* The one-sided tolerance factor k: mean - k·sd is below @coverage of the whole with @confidence,
 * exact by the non-central t. n ≥ 2, both shares within 0.5 to 0.9999; else NaN. */
double rake_tolerance_factor (guint n, double coverage, double confidence);

/* A line y = a + b·x through points with weights (1/variance), by least squares, with its covariance
 * for the given weights (not scaled by the residuals). A point of weight 0 counts for nothing. FALSE
 * for fewer than two different x, and for what is not finite or a weight below 0. */
typedef struct
{
  double intercept, slope;
  double var_intercept, var_slope, covariance;
} RakeLine;

gboolean rake_line_fit (const double *x, const double *y, const double *weights, guint n,
                        RakeLine *line);
