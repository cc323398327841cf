/* planner-table.c - what one step costs, and the risk at the end. */
#include "planner-private.h"

#include <rakelight/statistics.h>

#include <math.h>

/* Three and a third passes are four; three and a rounding error are three. */
#define WHOLE_PASS_TOLERANCE 1e-9

const RakePlannerGrade *
rake_planner_table_get (const RakePlannerTable *table, guint node)
{
  return &table->input.grades[table->order[node]];
}

/* What must go before the scratch of grain @d50_um is gone. */
static double
get_scratch_need_um (double d50_um)
{
  return RAKE_SCRATCH_TIMES * RAKE_SCRATCH_SHARE * d50_um;
}

/* What a step at grain @d50_um must take where the scratch of @before_um is there (NaN: none): that
 * scratch, unless it goes on with the same paper or a coarser, and at the first step the texture. */
static double
get_need_um (const RakePlannerTable *table, gboolean is_first, double before_um, double d50_um)
{
  double scratch_um = d50_um < before_um ? get_scratch_need_um (before_um) : 0;

  return is_first ? MAX (table->texture_um, scratch_um) : scratch_um;
}

static gint64
round_to_units (double value)
{
  return (gint64) llround (value * RAKE_PLANNER_UNITS);
}

gboolean
rake_planner_table_get_step (const RakePlannerTable *table, guint from, guint to,
                             RakePlannerCost *cost)
{
  const RakePlannerInput *input = &table->input;
  const RakePlannerGrade *grade = rake_planner_table_get (table, to);
  gboolean is_first = from == RAKE_PLANNER_START, levels;
  double d50_um = grade->grade.d50_um, before_um, n_passes, minutes;

  before_um = is_first ? input->scratch_d50_um : rake_planner_table_get (table, from)->grade.d50_um;
  cost->needed_um = get_need_um (table, is_first, before_um, d50_um);
  if (cost->needed_um <= 0 || (is_first && d50_um > input->coarsest_d50_um))
    return FALSE;
  n_passes = ceil (cost->needed_um / grade->pass_um.mean * (1 - WHOLE_PASS_TOLERANCE));
  levels = is_first && cost->needed_um <= table->texture_um;
  if (n_passes > (levels ? input->max_level_passes : input->max_refine_passes))
    return FALSE;
  minutes = n_passes * grade->pass_min_per_m2 * input->area_mm2 / 1e6;
  if (isfinite (before_um) && before_um != d50_um)
    minutes += input->change_min;
  cost->n_passes = (guint) n_passes;
  cost->film_pm = round_to_units (n_passes * grade->pass_um.mean);
  cost->time = round_to_units (minutes);
  cost->variance_um2 = n_passes * n_passes * grade->common_sd_um * grade->common_sd_um +
                       n_passes * grade->pass_um.sd * grade->pass_um.sd;
  return TRUE;
}

gboolean
rake_planner_table_get_buffing (const RakePlannerTable *table, guint last, RakePlannerCost *cost)
{
  const RakePlannerInput *input = &table->input;
  gboolean is_start = last == RAKE_PLANNER_START;
  double scratch_um =
      is_start ? input->scratch_d50_um : rake_planner_table_get (table, last)->grade.d50_um;
  double usual_um = input->buff_um.mean, taken_um = usual_um;

  if (scratch_um > input->entry_d50_um || (is_start && table->texture_um > 0))
    return FALSE;
  *cost = (RakePlannerCost){ 0 };
  if (usual_um == 0)
    return TRUE;
  if (!isnan (scratch_um))
    {
      cost->needed_um = get_scratch_need_um (scratch_um);
      taken_um = MAX (usual_um, cost->needed_um);
    }
  cost->film_pm = round_to_units (taken_um);
  /* more of the same compound: its doubt grows with what it takes */
  cost->variance_um2 = pow (input->buff_um.sd * taken_um / usual_um, 2);
  return TRUE;
}

double
rake_planner_table_get_risk (const RakePlannerTable *table, double film_um, double variance_um2)
{
  const RakePlannerInput *input = &table->input;
  double mean_um = input->film.mean - input->edge_factor * film_um;
  double sd_um = sqrt (input->film.sd * input->film.sd +
                       input->edge_factor * input->edge_factor * variance_um2);

  if (sd_um == 0)
    return mean_um >= input->reserve_um ? 0 : 1;
  return rake_normal_cdf ((input->reserve_um - mean_um) / sd_um);
}
