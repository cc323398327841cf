/* forecast-private.h - what a surface may be like, after some looks.
 *
 * For forecast's own files and their tests only. */
#pragma once
#include <rakelight/forecast.h>

/* Numbers of the model; docs/film.md, "Forecast". */
#define RAKE_FORECAST_START_FRACTION 0.99
#define RAKE_FORECAST_START_SD 0.5
#define RAKE_FORECAST_LOOK_SD 0.25
#define RAKE_FORECAST_MAX_POINTS 20

typedef struct
{
  double before_um;    /* of the present depth; 0: the present one */
  double probit;       /* as told, or the end of what an eye tells */
  int end;             /* -1: told as nothing, 1: as all, 0: told */
} RakeForecastLook;

typedef struct
{
  RakeForecastLook looks[RAKE_FORECAST_MAX_POINTS]; /* since the first pass */
  guint n_looks;
  double depth_um;     /* now */
  double log_sigma_mean, log_sigma_sd;
  double pass_um, scatter_sd_um;
} RakeForecastEvidence;

#define RAKE_FORECAST_N_GRID 61

/* For each of some σ how likely it is, and where the surface's probit stands now if it is so. */
typedef struct
{
  double sigma_um[RAKE_FORECAST_N_GRID], weight[RAKE_FORECAST_N_GRID]; /* weights add up to 1 */
  double probit_mean[RAKE_FORECAST_N_GRID], probit_sd[RAKE_FORECAST_N_GRID];
  RakeLine line;       /* probit against depth since the last coat */
  double log_sigma_mean;
} RakeForecastBelief;

void rake_forecast_believe (RakeForecastBelief *belief, const RakeForecastEvidence *evidence);

/* How many passes more bring the probit down to @target, at probability @p of being enough. */
double rake_forecast_find_passes (const RakeForecastBelief *belief,
                                  const RakeForecastEvidence *evidence, double target, double p);
