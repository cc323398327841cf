/* statistics.c - the few sums of probability that films, forecasts and readings need. */
#include <rakelight/statistics.h>

#include <math.h>

double
rake_normal_cdf (double z)
{
  /* erfc, not 1 + erf: the risks that matter are a few in ten thousand, and 1 + erf has lost them. */
  return 0.5 * erfc (-z * M_SQRT1_2);
}

/* For 0 < p <= 0.5. Begins with Hastings' fraction (Abramowitz and Stegun, Handbook of Mathematical
 * Functions, 26.2.23: off by 4.5e-4 at most) and refines log Φ (z) = log p, which is nearly straight
 * however small p is. */
static double
find_lower_quantile (double p)
{
  double t = sqrt (-2 * log (p));
  double z = -(t - (2.515517 + t * (0.802853 + t * 0.010328)) /
                       (1 + t * (1.432788 + t * (0.189269 + t * 0.001308))));

  for (guint i = 0; i < 4; i++)
    {
      double cdf = rake_normal_cdf (z);
      double density = exp (-0.5 * z * z) / sqrt (2 * G_PI);

      z -= log (cdf / p) * cdf / density;
    }
  return z;
}

double
rake_normal_quantile (double p)
{
  if (isnan (p) || p < 0 || p > 1)
    return NAN;
  if (p == 0 || p == 1)
    return p == 0 ? -INFINITY : INFINITY;
  return p <= 0.5 ? find_lower_quantile (p) : -find_lower_quantile (1 - p);
}

RakeNormal
rake_normal_combine (RakeNormal a, RakeNormal b)
{
  double together = hypot (a.sd, b.sd);
  double of_a;

  if (isnan (a.sd) || isnan (b.sd) || a.sd < 0 || b.sd < 0)
    return (RakeNormal){ NAN, NAN };
  if (isinf (b.sd))
    return a;
  if (isinf (a.sd))
    return b;
  if (together == 0)
    return (RakeNormal){ 0.5 * a.mean + 0.5 * b.mean, 0 };
  of_a = a.sd / together;
  return (RakeNormal){ a.mean + (b.mean - a.mean) * of_a * of_a, of_a * b.sd };
}

RakeSample
rake_sample_take (const double *values, guint n)
{
  RakeSample sample = { n, 0, NAN, INFINITY, -INFINITY, NAN };
  double squares = 0;

  for (guint i = 0; i < n; i++)
    {
      double off = values[i] - sample.mean;

      if (isnan (values[i]))
        return (RakeSample){ n, NAN, NAN, NAN, NAN, NAN };
      sample.mean += off / (i + 1);
      squares += off * (values[i] - sample.mean);
      sample.least = MIN (sample.least, values[i]);
      sample.largest = MAX (sample.largest, values[i]);
    }
  if (n == 0)
    return (RakeSample){ 0, NAN, NAN, NAN, NAN, NAN };
  if (n > 1)
    {
      sample.sd = sqrt (squares / (n - 1));
      sample.standard_error = sample.sd / sqrt (n);
    }
  return sample;
}

/* --- Student's t ---------------------------------------------------------------------------- */

/* The weight, against its peak at s = 1, of a sample's sd being e^u of the true one: the density of
 * u = ln √(χ²/ν). */
static double
get_sd_weight (double u, double degrees)
{
  return exp (degrees * (u - 0.5 * expm1 (2 * u)));
}

/* P (T <= t) of the non-central t: the mean of Φ (t·s - shift) over what the sample's sd may be. Over
 * u = ln s the integrand is smooth and falls to nothing both ways, where plain sums of equal steps
 * are exact to all digits; the weights sum to the same whole, so no gamma function is needed. */
static double
get_t_cdf (double t, double degrees, double shift)
{
  /* Of u, the sample's sd takes up 1/√degrees, and the step of Φ 1/|shift|. */
  double step = MIN (0.1, 0.4 / hypot (sqrt (degrees), shift));
  double sum = 0, whole = 0;

  for (int way = -1; way <= 1; way += 2)
    for (int i = way < 0;; i++)
      {
        double u = way * step * i;
        double weight = get_sd_weight (u, degrees);

        if (weight < 1e-32)
          break;
        sum += weight * rake_normal_cdf (t * exp (u) - shift);
        whole += weight;
      }
  return sum / whole;
}

/* The t >= 0 whose upper tail is @tail, @tail within what t = 0 has. */
static double
find_t_with_tail (double tail, double degrees, double shift)
{
  double least = 0, most = 1;

  /* The upper tail is the lower one mirrored, and small numbers keep their digits there. */
  while (get_t_cdf (-most, degrees, -shift) > tail && most < 1e300)
    {
      least = most;
      most *= 2;
    }
  for (guint i = 0; i < 60; i++)
    {
      double middle = 0.5 * (least + most);

      if (middle <= least || middle >= most)
        break;
      *(get_t_cdf (-middle, degrees, -shift) > tail ? &least : &most) = middle;
    }
  return 0.5 * (least + most);
}

double
rake_student_quantile (double p, double degrees)
{
  if (!(p >= 1e-9 && p <= 1 - 1e-9) || !(degrees >= 1))
    return NAN;
  if (isinf (degrees))
    return rake_normal_quantile (p);
  return p < 0.5 ? -find_t_with_tail (p, degrees, 0) : find_t_with_tail (1 - p, degrees, 0);
}

double
rake_tolerance_factor (guint n, double coverage, double confidence)
{
  double root = sqrt (n);

  if (n < 2 || !(coverage >= 0.5 && coverage <= 0.9999) ||
      !(confidence >= 0.5 && confidence <= 0.9999))
    return NAN;
  return find_t_with_tail (1 - confidence, n - 1, rake_normal_quantile (coverage) * root) / root;
}

/* --- a line --------------------------------------------------------------------------------- */

static gboolean
make_a_line (const double *x, const double *y, const double *weights, guint n)
{
  double least = INFINITY, largest = -INFINITY;

  for (guint i = 0; i < n; i++)
    {
      if (!isfinite (x[i]) || !isfinite (y[i]) || !isfinite (weights[i]) || weights[i] < 0)
        return FALSE;
      if (weights[i] > 0)
        {
          least = MIN (least, x[i]);
          largest = MAX (largest, x[i]);
        }
    }
  return least < largest;
}

gboolean
rake_line_fit (const double *x, const double *y, const double *weights, guint n, RakeLine *line)
{
  double weight = 0, middle_x = 0, middle_y = 0, squares = 0, products = 0;

  if (!make_a_line (x, y, weights, n))
    return FALSE;
  for (guint i = 0; i < n; i++)
    {
      weight += weights[i];
      if (weights[i] > 0)
        {
          middle_x += (x[i] - middle_x) * weights[i] / weight;
          middle_y += (y[i] - middle_y) * weights[i] / weight;
        }
    }
  /* From the middle, or the differences of large sums would eat the digits. */
  for (guint i = 0; i < n; i++)
    {
      squares += weights[i] * (x[i] - middle_x) * (x[i] - middle_x);
      products += weights[i] * (x[i] - middle_x) * (y[i] - middle_y);
    }
  if (!isnormal (squares) || !isfinite (products))
    return FALSE;
  line->slope = products / squares;
  line->intercept = middle_y - line->slope * middle_x;
  line->var_slope = 1 / squares;
  line->var_intercept = 1 / weight + middle_x * middle_x / squares;
  line->covariance = -middle_x / squares;
  return TRUE;
}
