/* print-forecasts.c - what the forecast says to looks that are told to it, a line each.
 *
 * Read from standard input: target, σ as usual (nan: ours), what a pass takes, its scatter, the doubt
 * of the rate, how many looks, and for each the depth and the share. Printed: standing, passes middle,
 * low and high, σ, and the line: intercept, slope, their variances and covariance. */
#include <rakelight/forecast.h>

#include <stdio.h>
#include <stdlib.h>

#define MAX_LINE 4096
#define MAX_POINTS 100

static void
answer (char *line)
{
  double head[6];
  RakeForecastPoint points[MAX_POINTS];
  RakeForecast forecast;
  char *at = line;
  guint n;

  for (guint i = 0; i < G_N_ELEMENTS (head); i++)
    head[i] = g_ascii_strtod (at, &at);
  n = MIN ((guint) head[5], MAX_POINTS);
  for (guint i = 0; i < n; i++)
    {
      points[i].removed_um = g_ascii_strtod (at, &at);
      points[i].low_spot_fraction = g_ascii_strtod (at, &at);
    }
  forecast =
      rake_forecast_fit (points, n, head[0], head[1], (RakeNormal){ head[2], head[3] }, head[4]);
  printf ("%d %.17g %.17g %.17g %.17g %.17g %.17g %.17g %.17g %.17g\n", forecast.standing,
          forecast.passes, forecast.passes_low, forecast.passes_high, forecast.sigma_um,
          forecast.line.intercept, forecast.line.slope, forecast.line.var_intercept,
          forecast.line.var_slope, forecast.line.covariance);
}

int
main (void)
{
  char line[MAX_LINE];

  while (fgets (line, sizeof line, stdin) != NULL)
    answer (line);
  return 0;
}
