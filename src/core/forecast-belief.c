/* forecast-belief.c - what a surface may be like after some looks: Bayes' rule on a grid.
 *
 * The grid is of u = log σ and v, the probit of the share that is glossy now. (Where it began would be
 * tied to σ; where it stands is nearly free of it.) It is laid four times at most, each time closer
 * around where the weight is. The posterior falls off smoothly to all sides, and sums of equal steps
 * are then exact to many digits. */
#include "forecast-private.h"

#include <rakelight/statistics.h>

#include <math.h>

#define N RAKE_FORECAST_N_GRID
#define N_LAYINGS 5
#define WIDTH_SD 5.5

typedef struct
{
  double mean, half_width, step;
} Axis;

typedef struct
{
  double u[N], v[N];
  double log_weight[N][N];   /* by u, then v; then the weight itself */
  double u_sd, v_sd, u_mean, v_mean;
} Grid;

static double
square (double value)
{
  return value * value;
}

/* Of a look at another depth, besides the eye: passes between have taken more or less than reckoned. */
static double
get_scatter_variance (const RakeForecastEvidence *evidence, double between_um, double sigma_um)
{
  return between_um / evidence->pass_um * square (evidence->scatter_sd_um / sigma_um);
}

static double
get_log_likelihood (const RakeForecastLook *look, double predicted, double sd)
{
  double off = (look->probit - predicted) / sd;

  switch (look->end)
    {
    case -1:
      return log (MAX (rake_normal_cdf (off), G_MINDOUBLE));
    case 1:
      return log (MAX (rake_normal_cdf (-off), G_MINDOUBLE));
    default:
      return -0.5 * off * off - log (sd);
    }
}

static void
weigh_row (double *log_weight, const RakeForecastEvidence *evidence, double u, const double *v)
{
  double sigma_um = exp (u), start = rake_normal_quantile (RAKE_FORECAST_START_FRACTION);
  double start_sd = sqrt (square (RAKE_FORECAST_START_SD) +
                          get_scatter_variance (evidence, evidence->depth_um, sigma_um));

  for (guint j = 0; j < N; j++)
    log_weight[j] = -0.5 * square ((u - evidence->log_sigma_mean) / evidence->log_sigma_sd) -
                    0.5 * square ((v[j] + evidence->depth_um / sigma_um - start) / start_sd) -
                    log (start_sd);
  for (guint i = 0; i < evidence->n_looks; i++)
    {
      const RakeForecastLook *look = &evidence->looks[i];
      double drop = look->before_um / sigma_um;
      double sd = sqrt (square (RAKE_FORECAST_LOOK_SD) +
                        get_scatter_variance (evidence, look->before_um, sigma_um));

      for (guint j = 0; j < N; j++)
        log_weight[j] += get_log_likelihood (look, v[j] + drop, sd);
    }
}

/* Makes of logarithms the weights themselves, which add up to 1. */
static void
normalise (Grid *grid)
{
  double largest = -INFINITY, sum = 0;

  for (guint i = 0; i < N; i++)
    for (guint j = 0; j < N; j++)
      largest = MAX (largest, grid->log_weight[i][j]);
  for (guint i = 0; i < N; i++)
    for (guint j = 0; j < N; j++)
      sum += grid->log_weight[i][j] = exp (grid->log_weight[i][j] - largest);
  for (guint i = 0; i < N; i++)
    for (guint j = 0; j < N; j++)
      grid->log_weight[i][j] /= sum;
}

static void
take_moments (Grid *grid)
{
  double uu = 0, vv = 0;

  grid->u_mean = grid->v_mean = 0;
  for (guint i = 0; i < N; i++)
    for (guint j = 0; j < N; j++)
      {
        grid->u_mean += grid->log_weight[i][j] * grid->u[i];
        grid->v_mean += grid->log_weight[i][j] * grid->v[j];
      }
  for (guint i = 0; i < N; i++)
    for (guint j = 0; j < N; j++)
      {
        uu += grid->log_weight[i][j] * square (grid->u[i] - grid->u_mean);
        vv += grid->log_weight[i][j] * square (grid->v[j] - grid->v_mean);
      }
  grid->u_sd = sqrt (uu);
  grid->v_sd = sqrt (vv);
}

static void
lay (Grid *grid, const RakeForecastEvidence *evidence, const Axis *u, const Axis *v)
{
  for (guint i = 0; i < N; i++)
    {
      grid->u[i] = u->mean - u->half_width + i * u->step;
      grid->v[i] = v->mean - v->half_width + i * v->step;
    }
  for (guint i = 0; i < N; i++)
    weigh_row (grid->log_weight[i], evidence, grid->u[i], grid->v);
  normalise (grid);
  take_moments (grid);
}

static Axis
make_axis (double mean, double half_width)
{
  return (Axis){ mean, half_width, 2 * half_width / (N - 1) };
}

static Grid *
lay_close (const RakeForecastEvidence *evidence)
{
  Grid *grid = g_new (Grid, 1);
  Axis u = make_axis (evidence->log_sigma_mean, WIDTH_SD * evidence->log_sigma_sd);
  /* From all glossy down to what the narrowest surface would show at this depth. */
  double sharpest =
      evidence->depth_um / exp (evidence->log_sigma_mean - 3 * evidence->log_sigma_sd);
  double least = -MIN (MAX (sharpest, 7), 60);
  Axis v = make_axis (0.5 * (7 + least), 0.5 * (7 - least));

  for (guint i = 0; i < N_LAYINGS; i++)
    {
      lay (grid, evidence, &u, &v);
      if (u.step < 0.3 * grid->u_sd && v.step < 0.3 * grid->v_sd && i > 0)
        break;
      u = make_axis (grid->u_mean, WIDTH_SD * MAX (grid->u_sd, u.step));
      v = make_axis (grid->v_mean, WIDTH_SD * MAX (grid->v_sd, v.step));
    }
  return grid;
}

static void
take_row (RakeForecastBelief *belief, const Grid *grid, guint i)
{
  double sum = 0, mean = 0, variance = 0;

  for (guint j = 0; j < N; j++)
    {
      sum += grid->log_weight[i][j];
      mean += grid->log_weight[i][j] * grid->v[j];
    }
  mean = sum > 0 ? mean / sum : 0;
  for (guint j = 0; j < N; j++)
    variance += grid->log_weight[i][j] * square (grid->v[j] - mean);
  belief->sigma_um[i] = exp (grid->u[i]);
  belief->weight[i] = sum;
  belief->probit_mean[i] = mean;
  belief->probit_sd[i] = sum > 0 ? sqrt (variance / sum) : 0;
}

static void
take_line (RakeForecastBelief *belief, double depth_um)
{
  double slope = 0, now = belief->line.intercept, var_slope = 0, var_now = 0, both = 0;

  for (guint i = 0; i < N; i++)
    {
      slope -= belief->weight[i] / belief->sigma_um[i];
      now += belief->weight[i] * belief->probit_mean[i];
    }
  for (guint i = 0; i < N; i++)
    {
      double slope_off = -1 / belief->sigma_um[i] - slope;
      double now_off = belief->probit_mean[i] - now;

      var_slope += belief->weight[i] * square (slope_off);
      var_now += belief->weight[i] * (square (now_off) + square (belief->probit_sd[i]));
      both += belief->weight[i] * slope_off * now_off;
    }
  belief->line = (RakeLine){
    .intercept = now - slope * depth_um,
    .slope = slope,
    .var_slope = var_slope,
    .var_intercept = var_now + square (depth_um) * var_slope - 2 * depth_um * both,
    .covariance = both - depth_um * var_slope,
  };
}

void
rake_forecast_believe (RakeForecastBelief *belief, const RakeForecastEvidence *evidence)
{
  g_autofree Grid *grid = lay_close (evidence);

  *belief = (RakeForecastBelief){ .log_sigma_mean = grid->u_mean };
  for (guint i = 0; i < N; i++)
    take_row (belief, grid, i);
  take_line (belief, evidence->depth_um);
}

/* The probability that @passes are enough. */
static double
get_enough (const RakeForecastBelief *belief, const RakeForecastEvidence *evidence, double target,
            double passes)
{
  double enough = 0;

  for (guint i = 0; i < N; i++)
    {
      double needed_um = belief->sigma_um[i] * (belief->probit_mean[i] - target);
      double sd_um = sqrt (square (belief->sigma_um[i] * belief->probit_sd[i]) +
                           passes * square (evidence->scatter_sd_um));

      if (belief->weight[i] > 0)
        enough +=
            belief->weight[i] * rake_normal_cdf ((passes * evidence->pass_um - needed_um) / sd_um);
    }
  return enough;
}

double
rake_forecast_find_passes (const RakeForecastBelief *belief, const RakeForecastEvidence *evidence,
                           double target, double p)
{
  double least = 0, most = 1;

  if (get_enough (belief, evidence, target, 0) >= p)
    return 0;
  while (get_enough (belief, evidence, target, most) < p && most < 1e6)
    most *= 2;
  for (guint i = 0; i < 40 && most - least > 1e-6 * most; i++)
    {
      double middle = 0.5 * (least + most);
      *(get_enough (belief, evidence, target, middle) < p ? &least : &most) = middle;
    }
  return 0.5 * (least + most);
}
