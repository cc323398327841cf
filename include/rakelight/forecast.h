/* forecast.h - how many passes more until level enough.
 *
 * A sprayed surface whose heights are Gaussian, cut by a falling plane, is glossy where the plane has
 * not come: Φ(h/σ). So the probit of the glossy share falls on a line against depth removed, with slope
 * -1/σ (an assumption: heights are Gaussian). What is known of the line is reckoned by Bayes' rule, on
 * a grid and without chance, from how surfaces usually are and from the looks, so that one look already
 * says something, with its doubt. docs/film.md, "Forecast", has every number behind it. */
#pragma once
#include <rakelight/film.h>

typedef struct
{
  double removed_um;         /* on this zone, since the last coat, when the look was made */
  double low_spot_fraction;  /* 0 to 1 */
} RakeForecastPoint;

typedef enum
{
  RAKE_FORECAST_NOTHING,     /* no look told a share: nothing can be said */
  RAKE_FORECAST_TOO_EARLY,   /* no look since the first pass, or the 80 % range is wider than is of use
                                (see RAKE_FORECAST_WIDEST); the numbers are there all the same */
  RAKE_FORECAST_SAYS,
  RAKE_FORECAST_REACHED,     /* the last look was level enough */
  RAKE_FORECAST_NOT_FALLING, /* passes were made, and the share does not fall as any surface would */
} RakeForecastStanding;

/* Upper end of the range more than this many passes above the lower: too early. */
#define RAKE_FORECAST_WIDEST 6.0

/* The surface as it usually comes from a gun: engineering estimate, no source found. */
#define RAKE_FORECAST_USUAL_SIGMA_UM 4.0
#define RAKE_FORECAST_USUAL_SIGMA_RATIO 1.6 /* log-normal, one sd */

/* An eye tells no share smaller than this from none, nor from all. A smaller target counts as it. */
#define RAKE_FORECAST_RESOLUTION 0.01

/* σ of the texture, for the heights from lowest to highest that clear is said to have (4 σ: 10, 16 and
 * 30 µm); unsaid is usual. */
double rake_texture_get_sigma_um (RakeTexture texture);

typedef struct
{
  RakeForecastStanding standing;
  double sigma_um;                    /* of the surface, as fitted */
  double passes, passes_low, passes_high; /* more, from here: middle, and the 80 % range */
  double needed_um, needed_low_um, needed_high_um;
  RakeLine line;                      /* probit against depth */
  gboolean film_allows;               /* at the middle, the risk stays within the limit */
  double risk_at_end;                 /* of being under the reserve once level enough; NaN: film unknown */
} RakeForecast;

/* Pure: from points in order, a target share, and what one pass takes. film_allows is TRUE and the risk
 * NaN. NOTHING too where a number cannot be: a pass that takes nothing, depth that shrinks.
 *
 * sigma_prior_um  NaN for the usual
 * pass            what one pass takes here; the sd is the scatter from pass to pass
 * common_sd_um    the doubt of the rate itself */
RakeForecast rake_forecast_fit (const RakeForecastPoint *points, guint n_points,
                                double target_fraction, double sigma_prior_um, RakeNormal pass,
                                double common_sd_um);

/* For a zone at a levelling or refining stage; NOTHING elsewhere, and where the rate of a pass since the
 * last coat is not known. */
RakeForecast rake_forecast_take (const RakeJob *job, const RakeZone *zone, const RakeFilm *film,
                                 const RakeRates *rates, const RakeLimits *limits);

/* One translated sentence: "About 2 passes more (1 to 4), 6 µm". Caller frees. */
char *rake_forecast_describe (const RakeForecast *forecast);
