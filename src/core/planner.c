/* planner.c - which grits: every schedule that no other beats, from the grades on hand. */
#include "i18n.h"
#include "planner-private.h"

#include <rakelight/forecast.h>
#include <rakelight/statistics.h>

#include <math.h>
#include <string.h>

#define MAX_GRADES 200
#define LEAST_D50_UM 0.1
#define MOST_D50_UM 2000
#define USUAL_AREA_MM2 1e5

/* From how it comes off the gun to level enough, of a Gaussian surface: 3.97 of its standard
 * deviations. docs/film.md, "Planner". */
#define FRACTION_AS_SPRAYED 0.99
#define FRACTION_LEVEL 0.05

G_DEFINE_QUARK (rake-planner-error-quark, rake_planner_error)

/* --- the door ------------------------------------------------------------------------------- */

static gboolean
check_number (const char *what, double value, double least, double most, GError **error)
{
  if (value >= least && value <= most)
    return TRUE;
  if (isnan (value))
    g_set_error (error, RAKE_PLANNER_ERROR, RAKE_PLANNER_ERROR_INPUT,
                 _ ("%s is not known; a plan needs it"), what);
  else
    g_set_error (error, RAKE_PLANNER_ERROR, RAKE_PLANNER_ERROR_INPUT,
                 _ ("%s is %g; it must lie between %g and %g"), what, value, least, most);
  return FALSE;
}

/* Like it, for what may be left unsaid. */
static gboolean
check_optional (const char *what, double value, double least, double most, GError **error)
{
  return isnan (value) || check_number (what, value, least, most, error);
}

static gboolean
check_grade (const RakePlannerGrade *grade, GError **error)
{
  g_autofree char *name = rake_grade_to_text (&grade->grade);

  if (check_number (_ ("grain size (µm)"), grade->grade.d50_um, LEAST_D50_UM, MOST_D50_UM, error) &&
      check_number (_ ("film taken in a pass (µm)"), grade->pass_um.mean, 1e-3, 1000, error) &&
      check_number (_ ("scatter of passes (µm)"), grade->pass_um.sd, 0, 1000, error) &&
      check_number (_ ("doubt of the rate (µm)"), grade->common_sd_um, 0, 1000, error) &&
      check_optional (_ ("minutes for a square metre"), grade->pass_min_per_m2, 0, 1e5, error))
    return TRUE;
  g_prefix_error (error, "%s: ", name);
  return FALSE;
}

static gboolean
check_input (const RakePlannerInput *input, GError **error)
{
  if (input->n_grades > MAX_GRADES)
    return check_number (_ ("number of grits"), input->n_grades, 0, MAX_GRADES, error);
  for (guint i = 0; i < input->n_grades; i++)
    if (!check_grade (&input->grades[i], error))
      return FALSE;
  return check_optional (_ ("sprayed texture (µm)"), input->sigma_um, 0, 1000, error) &&
         check_optional (_ ("film to be taken until level (µm)"), input->level_um, 0, 10000,
                         error) &&
         check_optional (_ ("grain of the scratch that is there (µm)"), input->scratch_d50_um,
                         LEAST_D50_UM, MOST_D50_UM, error) &&
         check_number (_ ("grain that the buffing wants (µm)"), input->entry_d50_um, LEAST_D50_UM,
                       MOST_D50_UM, error) &&
         check_number (_ ("what the compounds take (µm)"), input->buff_um.mean, 0, 1000, error) &&
         check_number (_ ("doubt of what the compounds take (µm)"), input->buff_um.sd, 0, 1000,
                       error) &&
         check_optional (_ ("coarsest grain (µm)"), input->coarsest_d50_um, LEAST_D50_UM,
                         MOST_D50_UM, error) &&
         check_number (_ ("film (µm)"), input->film.mean, -10000, 10000, error) &&
         check_number (_ ("doubt of the film (µm)"), input->film.sd, 0, 10000, error) &&
         check_optional (_ ("edge factor"), input->edge_factor, 0.01, 100, error) &&
         check_optional (_ ("reserve (µm)"), input->reserve_um, 0, 10000, error) &&
         check_number (_ ("risk limit"), input->risk_limit, 1e-9, 0.5, error) &&
         check_optional (_ ("area (mm²)"), input->area_mm2, 0, 1e9, error) &&
         check_optional (_ ("minutes for a change of grit"), input->change_min, 0, 1e5, error);
}

/* --- the table ------------------------------------------------------------------------------ */

/* Coarse to fine; of one grain the one that takes more first. The same whatever the order given. */
static int
compare_grades (gconstpointer a, gconstpointer b, gpointer data)
{
  const RakePlannerGrade *grades = data;
  guint i = *(const guint *) a, j = *(const guint *) b;
  const RakePlannerGrade *one = &grades[i], *other = &grades[j];

  if (one->grade.d50_um != other->grade.d50_um)
    return one->grade.d50_um > other->grade.d50_um ? -1 : 1;
  if (one->pass_um.mean != other->pass_um.mean)
    return one->pass_um.mean > other->pass_um.mean ? -1 : 1;
  if (one->grade.system != other->grade.system)
    return one->grade.system < other->grade.system ? -1 : 1;
  return i < j ? -1 : i > j;
}

static void
put_usual (double *value, double usual)
{
  if (isnan (*value))
    *value = usual;
}

double
rake_planner_get_texture_um (const RakePlannerInput *input)
{
  double sigma_um = isnan (input->sigma_um) ? RAKE_FORECAST_USUAL_SIGMA_UM : input->sigma_um;

  return sigma_um *
         (rake_normal_quantile (FRACTION_AS_SPRAYED) - rake_normal_quantile (FRACTION_LEVEL));
}

static RakePlannerGrade *
copy_grades (const RakePlannerInput *input)
{
  RakePlannerGrade *grades = g_new (RakePlannerGrade, MAX (input->n_grades, 1));

  for (guint i = 0; i < input->n_grades; i++)
    {
      grades[i] = input->grades[i];
      put_usual (&grades[i].pass_min_per_m2, RAKE_PLANNER_USUAL_PASS_MIN_PER_M2);
    }
  return grades;
}

static void
fill_table (RakePlannerTable *table, const RakePlannerInput *given, RakePlannerGrade *grades,
            guint *order)
{
  RakePlannerInput *input = &table->input;

  *table = (RakePlannerTable){ *given, order, given->level_um, given->n_grades };
  input->grades = grades;
  put_usual (&table->texture_um, rake_planner_get_texture_um (given));
  put_usual (&input->coarsest_d50_um, INFINITY);
  put_usual (&input->edge_factor, 1);
  put_usual (&input->reserve_um, 0);
  put_usual (&input->area_mm2, USUAL_AREA_MM2);
  put_usual (&input->change_min, RAKE_PLANNER_USUAL_CHANGE_MIN);
  if (input->max_level_passes == 0)
    input->max_level_passes = RAKE_PLANNER_USUAL_LEVEL_PASSES;
  if (input->max_refine_passes == 0)
    input->max_refine_passes = RAKE_PLANNER_USUAL_REFINE_PASSES;
  for (guint i = 0; i < table->n_nodes; i++)
    order[i] = i;
  g_qsort_with_data (order, (int) table->n_nodes, sizeof *order, compare_grades, grades);
}

/* --- no schedule ---------------------------------------------------------------------------- */

static char *
name_size (double d50_um)
{
  const RakeGrade *grade = rake_grade_find_nearest (d50_um, RAKE_GRADE_SYSTEM_P);

  return rake_grade_to_text (grade);
}

static gboolean
has_fine_enough (const RakePlannerTable *table)
{
  const RakePlannerInput *input = &table->input;

  return (table->n_nodes > 0 && rake_planner_table_get (table, table->n_nodes - 1)->grade.d50_um <=
                                    input->entry_d50_um) ||
         input->scratch_d50_um <= input->entry_d50_um;
}

static gboolean
has_beginning (const RakePlannerTable *table)
{
  RakePlannerCost cost;

  for (guint i = 0; i < table->n_nodes; i++)
    if (rake_planner_table_get_step (table, RAKE_PLANNER_START, i, &cost))
      return TRUE;
  return FALSE;
}

static void
say_why_none (const RakePlannerTable *table, GError **error)
{
  const RakePlannerInput *input = &table->input;
  g_autofree char *entry = name_size (input->entry_d50_um);
  g_auto (RakePlannerSearch) search = { 0 };

  rake_planner_search_run (&search, table, TRUE);
  if (isfinite (search.least_missing_um))
    g_set_error (error, RAKE_PLANNER_ERROR, RAKE_PLANNER_ERROR_NONE,
                 _ ("the film allows no schedule: at the thinnest zone %.1f µm are missing; finer "
                    "steps, another coat or a smaller reserve would do"),
                 search.least_missing_um);
  else if (!has_fine_enough (table))
    g_set_error (
        error, RAKE_PLANNER_ERROR, RAKE_PLANNER_ERROR_NONE,
        _ ("no grit on hand is fine enough for the buffing, which wants about %s or finer"), entry);
  else if (!has_beginning (table))
    g_set_error (error, RAKE_PLANNER_ERROR, RAKE_PLANNER_ERROR_NONE,
                 _ ("no grit on hand can begin: none may start that takes the %.1f µm that must go "
                    "first within %u passes; add a coarser grit"),
                 table->texture_um, input->max_level_passes);
  else
    g_set_error (error, RAKE_PLANNER_ERROR, RAKE_PLANNER_ERROR_NONE,
                 _ ("the grits on hand lie too far apart: none takes the scratch of the one before "
                    "within %u passes; add a grit between"),
                 input->max_refine_passes);
}

/* --- the answer ----------------------------------------------------------------------------- */

static void
free_plan (gpointer data)
{
  RakePlan *plan = data;

  g_array_unref (plan->steps);
  g_free (plan);
}

static void
add_steps (RakePlan *plan, const RakePlannerTable *table, const RakePlannerLabel *label)
{
  guint from = label->before != NULL ? label->before->node : RAKE_PLANNER_START;
  RakePlannerCost cost;
  RakePlanStep step;

  if (label->node == RAKE_PLANNER_START)
    return;
  if (label->before != NULL)
    add_steps (plan, table, label->before);
  g_assert (rake_planner_table_get_step (table, from, label->node, &cost));
  step = (RakePlanStep){
    .grade = table->order[label->node],
    .n_passes = cost.n_passes,
    .needed_um = cost.needed_um,
    .taken_um = (double) cost.film_pm / RAKE_PLANNER_UNITS,
    .minutes = (double) cost.time / RAKE_PLANNER_UNITS,
  };
  g_array_append_val (plan->steps, step);
}

static RakePlan *
new_plan (const RakePlannerTable *table, const RakePlannerLabel *label)
{
  RakePlan *plan = g_new0 (RakePlan, 1);
  RakePlannerCost buffing;

  plan->steps = g_array_new (FALSE, FALSE, sizeof (RakePlanStep));
  add_steps (plan, table, label);
  g_assert (rake_planner_table_get_buffing (table, label->node, &buffing));
  plan->buff_um.mean = (double) buffing.film_pm / RAKE_PLANNER_UNITS;
  plan->buff_um.sd = sqrt (buffing.variance_um2);
  plan->film_um = (double) label->film_pm / RAKE_PLANNER_UNITS;
  plan->film_sd_um = sqrt (label->variance_um2);
  plan->minutes = (double) label->time / RAKE_PLANNER_UNITS;
  plan->risk = rake_planner_table_get_risk (table, plan->film_um, label->variance_um2);
  return plan;
}

static int
compare_plans (gconstpointer a, gconstpointer b)
{
  const RakePlan *one = *(RakePlan *const *) a, *other = *(RakePlan *const *) b;

  if (one->steps->len != other->steps->len)
    return one->steps->len < other->steps->len ? -1 : 1;
  return (one->film_um > other->film_um) - (one->film_um < other->film_um);
}

static RakePlanning *
new_planning (const RakePlannerTable *table, const RakePlannerSearch *search)
{
  RakePlanning *planning = g_new0 (RakePlanning, 1);

  planning->plans = g_ptr_array_new_with_free_func (free_plan);
  for (guint i = 0; i < search->plans->len; i++)
    g_ptr_array_add (planning->plans,
                     new_plan (table, &g_array_index (search->plans, RakePlannerLabel, i)));
  g_ptr_array_sort (planning->plans, compare_plans);
  planning->recommended = 0; /* as they are sorted: fewest grits, then least film */
  planning->n_considered = search->n_considered;
  planning->n_over_risk = search->n_over_risk;
  return planning;
}

/* Where nobody said how many passes a step may have, and no schedule does with the usual: a few more, as
 * few as will do. TRUE when that helped. */
static gboolean
search_patiently (RakePlannerSearch *search, RakePlannerTable *table, const RakePlannerInput *given)
{
  static const guint more[] = { 1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96 };

  if (given->max_level_passes > 0 && given->max_refine_passes > 0)
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (more) && search->plans->len == 0; i++)
    {
      if (given->max_level_passes == 0)
        table->input.max_level_passes = RAKE_PLANNER_USUAL_LEVEL_PASSES + more[i];
      if (given->max_refine_passes == 0)
        table->input.max_refine_passes = RAKE_PLANNER_USUAL_REFINE_PASSES + more[i];
      rake_planner_search_clear (search);
      rake_planner_search_run (search, table, FALSE);
    }
  return search->plans->len > 0;
}

RakePlanning *
rake_planner_plan (const RakePlannerInput *input, GError **error)
{
  g_autofree RakePlannerGrade *grades = NULL;
  g_autofree guint *order = NULL;
  g_auto (RakePlannerSearch) search = { 0 };
  RakePlannerTable table;
  RakePlanning *planning;
  gboolean needs_patience = FALSE;

  if (!check_input (input, error))
    return NULL;
  grades = copy_grades (input);
  order = g_new (guint, MAX (input->n_grades, 1));
  fill_table (&table, input, grades, order);
  rake_planner_search_run (&search, &table, FALSE);
  if (search.plans->len == 0)
    needs_patience = search_patiently (&search, &table, input);
  if (search.plans->len == 0)
    {
      say_why_none (&table, error);
      return NULL;
    }
  planning = new_planning (&table, &search);
  planning->needs_patience = needs_patience;
  return planning;
}

void
rake_planning_free (RakePlanning *planning)
{
  if (planning == NULL)
    return;
  g_ptr_array_unref (planning->plans);
  g_free (planning);
}
