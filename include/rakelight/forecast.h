/* forecast.h - how many passes more until level enough.
 *
 * A sprayed surface whose heights are Gaussian, cut by a falling plane, is glossy where the plane has
 * not come: Φ(h/σ). So the probit of the glossy share falls on a line against depth removed, with slope
 * -1/σ (an assumption: heights are Gaussian). The line is fitted by weighted least squares with a prior
 * on σ and on where the surface began, so that one look already says something, with its doubt. */
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
  RAKE_FORECAST_TOO_EARLY,   /* the 80 % range is wider than is of use (see RAKE_FORECAST_WIDEST) */
  RAKE_FORECAST_SAYS,
  RAKE_FORECAST_REACHED,     /* the last look was level enough */
  RAKE_FORECAST_NOT_FALLING, /* passes were made, and the share does not fall as any surface would */
} RakeForecastStanding;

/* Upper end of the range more than this many passes above the lower: too early. */
#define RAKE_FORECAST_WIDEST 6.0

/* The surface as it usually comes from a gun: engineering estimate, no source found. */
#define RAKE_FORECAST_USUAL_SIGMA_UM 4.0
#define RAKE_FORECAST_USUAL_SIGMA_RATIO 1.6 /* log-normal, one sd */

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

/* Pure: from points in order, a target share, and what one pass takes.
 *
 * sigma_prior_um  NaN for the usual
 * pass            what one pass takes here, with its doubt */
RakeForecast rake_forecast_fit (const RakeForecastPoint *points, guint n_points,
                                double target_fraction, double sigma_prior_um, RakeNormal pass);

/* For a zone at a levelling or refining stage; NOTHING elsewhere. */
RakeForecast rake_forecast_take (const RakeJob *job, const RakeZone *zone, const RakeFilm *film,
                                 const RakeRates *rates, const RakeLimits *limits);

/* One translated sentence: "About 2 passes more (1 to 4), 6 µm". Caller frees. */
char *rake_forecast_describe (const RakeForecast *forecast);
