/* forecast.c - how many passes more until level enough. */
#include "forecast-private.h"
#include "i18n.h"

#include <rakelight/units.h>

#include <math.h>

/* The most doubtful share of what rates can be; more is no number. */
#define MOST_UM 10000

/* Not falling: even this far to the good of what three looks or more say, the share falls less than on
 * the widest surface (three ratios above the usual). */
#define NOT_FALLING_SD 2
#define NOT_FALLING_LOOKS 3
#define WIDEST_RATIOS 3

double
rake_texture_get_sigma_um (RakeTexture texture)
{
  switch ((int) texture)
    {
    case RAKE_TEXTURE_SMOOTH:
      return 2.5;
    case RAKE_TEXTURE_ROUGH:
      return 7.5;
    default:
      return RAKE_FORECAST_USUAL_SIGMA_UM;
    }
}

/* --- what the looks told -------------------------------------------------------------------- */

static gboolean
is_sound (const RakeForecastPoint *points, guint n_points, double target_fraction,
          double sigma_prior_um, RakeNormal pass, double common_sd_um)
{
  for (guint i = 0; i < n_points; i++)
    if (!(points[i].removed_um >= (i > 0 ? points[i - 1].removed_um : 0)) ||
        !(points[i].removed_um <= MOST_UM) || !(points[i].low_spot_fraction >= 0) ||
        !(points[i].low_spot_fraction <= 1))
      return FALSE;
  return n_points > 0 && target_fraction >= 0 && target_fraction <= 1 && pass.mean >= 1e-3 &&
         pass.mean <= MOST_UM && pass.sd >= 0 && pass.sd <= MOST_UM && common_sd_um >= 0 &&
         common_sd_um <= MOST_UM &&
         (isnan (sigma_prior_um) || (sigma_prior_um >= 0.01 && sigma_prior_um <= 1000));
}

static RakeForecastLook
read_look (const RakeForecastPoint *point, double depth_um)
{
  double least = RAKE_FORECAST_RESOLUTION, share = point->low_spot_fraction;
  RakeForecastLook look = { depth_um - point->removed_um, 0, 0 };

  if (share <= least)
    look.end = -1;
  else if (share >= 1 - least)
    look.end = 1;
  look.probit = rake_normal_quantile (CLAMP (share, least, 1 - least));
  return look;
}

/* Before the first pass all is glossy, whatever lies beneath: that look tells nothing of it. */
static void
gather (RakeForecastEvidence *evidence, const RakeForecastPoint *points, guint n_points,
        double sigma_prior_um, RakeNormal pass, double common_sd_um)
{
  guint first = n_points > RAKE_FORECAST_MAX_POINTS ? n_points - RAKE_FORECAST_MAX_POINTS : 0;
  double prior_um = isnan (sigma_prior_um) ? RAKE_FORECAST_USUAL_SIGMA_UM : sigma_prior_um;

  *evidence = (RakeForecastEvidence){
    .depth_um = points[n_points - 1].removed_um,
    .log_sigma_mean = log (prior_um),
    /* Depth is counted in passes; a rate in doubt is as good as a σ in doubt. */
    .log_sigma_sd = hypot (log (RAKE_FORECAST_USUAL_SIGMA_RATIO), common_sd_um / pass.mean),
    .pass_um = pass.mean,
    .scatter_sd_um = pass.sd,
  };
  for (guint i = first; i < n_points; i++)
    if (points[i].removed_um > 0)
      evidence->looks[evidence->n_looks++] = read_look (&points[i], evidence->depth_um);
}

/* Whether the share over the last looks, from three of them to all, falls less than any surface's. */
static gboolean
is_stuck (const RakeForecastEvidence *evidence)
{
  double x[RAKE_FORECAST_MAX_POINTS], y[RAKE_FORECAST_MAX_POINTS];
  double weights[RAKE_FORECAST_MAX_POINTS];
  double widest_um =
      exp (evidence->log_sigma_mean + WIDEST_RATIOS * log (RAKE_FORECAST_USUAL_SIGMA_RATIO));
  RakeLine line;

  for (guint i = 0; i < evidence->n_looks; i++)
    {
      x[i] = -evidence->looks[i].before_um;
      y[i] = evidence->looks[i].probit;
      weights[i] = 1 / (RAKE_FORECAST_LOOK_SD * RAKE_FORECAST_LOOK_SD);
    }
  for (guint first = 0; first + NOT_FALLING_LOOKS <= evidence->n_looks; first++)
    if (rake_line_fit (x + first, y + first, weights + first, evidence->n_looks - first, &line) &&
        line.slope - NOT_FALLING_SD * sqrt (line.var_slope) > -1 / widest_um)
      return TRUE;
  return FALSE;
}

/* --- the forecast --------------------------------------------------------------------------- */

static RakeForecast
say_nothing (void)
{
  return (RakeForecast){
    .standing = RAKE_FORECAST_NOTHING,
    .sigma_um = NAN,
    .passes = NAN,
    .passes_low = NAN,
    .passes_high = NAN,
    .needed_um = NAN,
    .needed_low_um = NAN,
    .needed_high_um = NAN,
    .line = { NAN, NAN, NAN, NAN, NAN },
    .film_allows = TRUE,
    .risk_at_end = NAN,
  };
}

static void
predict (RakeForecast *forecast, const RakeForecastEvidence *evidence, double target_fraction)
{
  double target = rake_normal_quantile (
      CLAMP (target_fraction, RAKE_FORECAST_RESOLUTION, 1 - RAKE_FORECAST_RESOLUTION));
  RakeForecastBelief belief;

  rake_forecast_believe (&belief, evidence);
  forecast->sigma_um = exp (belief.log_sigma_mean);
  forecast->line = belief.line;
  forecast->passes_low = rake_forecast_find_passes (&belief, evidence, target, 0.1);
  forecast->passes = rake_forecast_find_passes (&belief, evidence, target, 0.5);
  forecast->passes_high = rake_forecast_find_passes (&belief, evidence, target, 0.9);
  forecast->needed_low_um = forecast->passes_low * evidence->pass_um;
  forecast->needed_um = forecast->passes * evidence->pass_um;
  forecast->needed_high_um = forecast->passes_high * evidence->pass_um;
}

RakeForecast
rake_forecast_fit (const RakeForecastPoint *points, guint n_points, double target_fraction,
                   double sigma_prior_um, RakeNormal pass, double common_sd_um)
{
  RakeForecast forecast = say_nothing ();
  RakeForecastEvidence evidence;

  if (!is_sound (points, n_points, target_fraction, sigma_prior_um, pass, common_sd_um))
    return forecast;
  gather (&evidence, points, n_points, sigma_prior_um, pass, common_sd_um);
  predict (&forecast, &evidence, target_fraction);
  if (points[n_points - 1].low_spot_fraction <= target_fraction)
    {
      forecast.standing = RAKE_FORECAST_REACHED;
      forecast.passes = forecast.passes_low = forecast.passes_high = 0;
      forecast.needed_um = forecast.needed_low_um = forecast.needed_high_um = 0;
    }
  else if (is_stuck (&evidence))
    forecast.standing = RAKE_FORECAST_NOT_FALLING;
  else if (evidence.n_looks == 0 ||
           forecast.passes_high - forecast.passes_low > RAKE_FORECAST_WIDEST)
    forecast.standing = RAKE_FORECAST_TOO_EARLY;
  else
    forecast.standing = RAKE_FORECAST_SAYS;
  return forecast;
}

/* --- in words ------------------------------------------------------------------------------- */

/* Whole micrometres, for the range is wider than that; what is under one is not nothing. */
static char *
say_needed (double needed_um)
{
  if (rake_units_get ().film_in_mil)
    return rake_units_to_text (RAKE_MEASURE_FILM, needed_um);
  return needed_um < 0.5 ? g_strdup (_ ("under 1 µm"))
                         : rake_units_to_text (RAKE_MEASURE_FILM, round (needed_um));
}

static char *
describe_passes (const RakeForecast *forecast)
{
  g_autofree char *needed = say_needed (forecast->needed_um);
  guint passes = (guint) MAX (ceil (forecast->passes), 1);
  guint low = (guint) MAX (ceil (forecast->passes_low), 1);
  guint high = (guint) MAX (ceil (forecast->passes_high), 1);
  /* Translators: the range of a number of passes, behind it: "2 passes more (1 to 4)". */
  g_autofree char *range =
      low < high ? g_strdup_printf (_ (" (%u to %u)"), low, high) : g_strdup ("");
  const char *form;

  /* Translators: how many passes, their range or nothing, how much film they take. */
  if (!forecast->film_allows)
    form = g_dngettext (GETTEXT_PACKAGE, "About %u pass more%s, %s: more than the film allows",
                        "About %u passes more%s, %s: more than the film allows", passes);
  else
    form = g_dngettext (GETTEXT_PACKAGE, "About %u pass more%s, %s", "About %u passes more%s, %s",
                        passes);
  return g_strdup_printf (form, passes, range, needed);
}

char *
rake_forecast_describe (const RakeForecast *forecast)
{
  switch (forecast->standing)
    {
    case RAKE_FORECAST_TOO_EARLY:
      return g_strdup_printf (
          _ ("Too early to say: from %.0f to %.0f passes more; look again after the next"),
          MAX (ceil (forecast->passes_low), 1), ceil (forecast->passes_high));
    case RAKE_FORECAST_SAYS:
      return describe_passes (forecast);
    case RAKE_FORECAST_REACHED:
      return g_strdup (_ ("Level enough by the share still glossy"));
    case RAKE_FORECAST_NOT_FALLING:
      return g_strdup (_ ("The glossy share does not fall as it should: take fresh paper, then a "
                          "coarser grit, or leave a hollow be"));
    case RAKE_FORECAST_NOTHING:
    default:
      return g_strdup (_ ("No look has told yet how much is glossy"));
    }
}
