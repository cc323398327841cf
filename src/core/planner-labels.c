/* planner-labels.c - every schedule that no other beats, by setting labels.
 *
 * Grades from coarse to fine are the nodes of a net without circles. A label at a node is a schedule
 * so far that ends there; labels go on to every finer node, and of those at a node only what no other
 * beats is kept. Film, time and grits add up, so a label that is no better in any of them ends no
 * better; but the risk limit may forbid it what it allows a rival with less doubt. Therefore a fourth
 * number is compared, the reach: how deep the schedule so far may well have gone at the thinnest zone,
 *
 *   reach = factor · taken + k · √(film's variance + factor² · variance), k = Φ⁻¹ (1 - limit) ≥ 0
 *
 * with the least variance that is still to come counted in. The limit is a bound on the reach at the
 * end. What is to come adds the same film to both, and the same variance under both roots, which then
 * differ less: whoever has not the larger reach here has not the larger one at the end. So exactly the
 * schedules that cannot matter are dropped. */
#include "planner-private.h"

#include <rakelight/statistics.h>

#include <math.h>

/* Below what rounding can do to a reach. */
#define REACH_TOLERANCE_UM 1e-9

/* The least that is still to come from a node on, each number by itself; RAKE_PLANNER_START is the
 * last. No schedule leads on where film_pm is above RAKE_PLANNER_MOST. */
typedef struct
{
  gint64 film_pm, time;
  double variance_um2;
  guint n_grits;
} ToCome;

typedef struct
{
  RakePlannerSearch *search;
  const RakePlannerTable *table;
  gboolean for_film;
  double k, limit_um;
  ToCome *to_come;
} Run;

static guint
get_place (const RakePlannerTable *table, guint node)
{
  return node == RAKE_PLANNER_START ? table->n_nodes : node;
}

/* --- bounds --------------------------------------------------------------------------------- */

static void
bound_by_step (Run *run, ToCome *here, guint from, guint to)
{
  const ToCome *there = &run->to_come[to];
  RakePlannerCost cost;

  if (there->film_pm > RAKE_PLANNER_MOST ||
      !rake_planner_table_get_step (run->table, from, to, &cost))
    return;
  here->film_pm = MIN (here->film_pm, cost.film_pm + there->film_pm);
  here->time = MIN (here->time, cost.time + there->time);
  here->variance_um2 = MIN (here->variance_um2, cost.variance_um2 + there->variance_um2);
  here->n_grits = MIN (here->n_grits, 1 + there->n_grits);
}

static void
bound_node (Run *run, guint node)
{
  ToCome here = { 2 * RAKE_PLANNER_MOST, 2 * RAKE_PLANNER_MOST, INFINITY, G_MAXUINT };
  RakePlannerCost cost;

  for (guint to = node == RAKE_PLANNER_START ? 0 : node + 1; to < run->table->n_nodes; to++)
    bound_by_step (run, &here, node, to);
  if (rake_planner_table_get_buffing (run->table, node, &cost))
    {
      here.film_pm = MIN (here.film_pm, cost.film_pm);
      here.variance_um2 = MIN (here.variance_um2, cost.variance_um2);
      here.time = 0;
      here.n_grits = 0;
    }
  run->to_come[get_place (run->table, node)] = here;
}

static void
bound_all (Run *run)
{
  for (guint node = run->table->n_nodes; node-- > 0;)
    bound_node (run, node);
  bound_node (run, RAKE_PLANNER_START);
}

/* --- labels --------------------------------------------------------------------------------- */

static double
get_reach_um (const Run *run, gint64 film_pm, double variance_um2)
{
  const RakePlannerInput *input = &run->table->input;
  double film_sd_um = input->film.sd, factor = input->edge_factor;

  return factor * (double) film_pm / RAKE_PLANNER_UNITS +
         run->k * sqrt (film_sd_um * film_sd_um + factor * factor * variance_um2);
}

static int
compare_paths (const RakePlannerLabel *a, const RakePlannerLabel *b)
{
  int before;

  if (a == NULL || b == NULL)
    return (a != NULL) - (b != NULL);
  before = compare_paths (a->before, b->before);
  return before != 0 ? before : (a->node > b->node) - (a->node < b->node);
}

/* Whether nothing that may come of @b is wanted where @a is. */
static gboolean
beats (const RakePlannerLabel *a, const RakePlannerLabel *b)
{
  if (a->film_pm > b->film_pm || a->time > b->time || a->n_grits > b->n_grits ||
      a->reach_um > b->reach_um)
    return FALSE;
  if (a->film_pm < b->film_pm || a->time < b->time || a->n_grits < b->n_grits)
    return TRUE;
  if (a->variance_um2 != b->variance_um2)
    return a->variance_um2 < b->variance_um2;
  return compare_paths (a, b) <= 0;
}

static void
keep_label (GArray *front, const RakePlannerLabel *label)
{
  for (guint i = 0; i < front->len; i++)
    if (beats (&g_array_index (front, RakePlannerLabel, i), label))
      return;
  for (guint i = front->len; i-- > 0;)
    if (beats (label, &g_array_index (front, RakePlannerLabel, i)))
      g_array_remove_index_fast (front, i);
  g_array_append_val (front, *label);
}

static gboolean
is_within_limit (Run *run, const RakePlannerLabel *label, const ToCome *to_come)
{
  if (run->for_film)
    return TRUE;
  if (get_reach_um (run, label->film_pm + to_come->film_pm,
                    label->variance_um2 + to_come->variance_um2) <=
      run->limit_um + REACH_TOLERANCE_UM)
    return TRUE;
  run->search->n_over_risk++;
  return FALSE;
}

/* Whether a complete schedule beats whatever may come of @label. */
static gboolean
is_beaten (const Run *run, const RakePlannerLabel *label, const ToCome *to_come)
{
  const GArray *plans = run->search->plans;
  gint64 film_pm = label->film_pm + to_come->film_pm, time = label->time + to_come->time;
  guint n_grits = label->n_grits + to_come->n_grits;

  if (run->for_film)
    return FALSE;
  for (guint i = 0; i < plans->len; i++)
    {
      const RakePlannerLabel *plan = &g_array_index (plans, RakePlannerLabel, i);
      if (plan->film_pm <= film_pm && plan->time <= time && plan->n_grits <= n_grits &&
          (plan->film_pm < film_pm || plan->time < time || plan->n_grits < n_grits))
        return TRUE;
    }
  return FALSE;
}

static void
go_on (Run *run, const RakePlannerLabel *from, guint to, const RakePlannerCost *cost)
{
  const ToCome *to_come = &run->to_come[to];
  RakePlannerLabel label = {
    .before = from->node == RAKE_PLANNER_START ? NULL : from,
    .node = to,
    .n_grits = run->for_film ? 0 : from->n_grits + 1,
    .film_pm = from->film_pm + cost->film_pm,
    .time = run->for_film ? 0 : from->time + cost->time,
    .variance_um2 = from->variance_um2 + cost->variance_um2,
  };

  run->search->n_considered++;
  if (!is_within_limit (run, &label, to_come) || is_beaten (run, &label, to_come))
    return;
  label.reach_um = get_reach_um (run, label.film_pm, label.variance_um2 + to_come->variance_um2);
  keep_label (run->search->fronts->pdata[to], &label);
}

/* The complete schedule that ends with @last. */
static void
end (Run *run, const RakePlannerLabel *last, const RakePlannerCost *buffing)
{
  RakePlannerLabel plan = *last;
  double risk;

  plan.film_pm += buffing->film_pm;
  plan.variance_um2 += buffing->variance_um2;
  plan.reach_um = get_reach_um (run, plan.film_pm, plan.variance_um2);
  run->search->least_missing_um =
      MIN (run->search->least_missing_um, plan.reach_um - run->limit_um);
  risk = rake_planner_table_get_risk (run->table, (double) plan.film_pm / RAKE_PLANNER_UNITS,
                                      plan.variance_um2);
  if (!run->for_film && risk > run->table->input.risk_limit)
    {
      run->search->n_over_risk++;
      return;
    }
  plan.reach_um = 0; /* it may end here: nothing is to come that it might forbid */
  keep_label (run->search->plans, &plan);
}

static void
go_on_from (Run *run, guint node, const GArray *front)
{
  RakePlannerCost cost;

  if (rake_planner_table_get_buffing (run->table, node, &cost))
    for (guint i = 0; i < front->len; i++)
      end (run, &g_array_index (front, RakePlannerLabel, i), &cost);
  for (guint to = node == RAKE_PLANNER_START ? 0 : node + 1; to < run->table->n_nodes; to++)
    if (run->to_come[to].film_pm <= RAKE_PLANNER_MOST &&
        rake_planner_table_get_step (run->table, node, to, &cost))
      for (guint i = 0; i < front->len; i++)
        go_on (run, &g_array_index (front, RakePlannerLabel, i), to, &cost);
}

void
rake_planner_search_run (RakePlannerSearch *search, const RakePlannerTable *table,
                         gboolean for_film)
{
  const RakePlannerInput *input = &table->input;
  g_autofree ToCome *to_come = g_new (ToCome, table->n_nodes + 1);
  const RakePlannerLabel nothing = { .node = RAKE_PLANNER_START };
  g_autoptr (GArray) start = g_array_new (FALSE, FALSE, sizeof (RakePlannerLabel));
  Run run = { search, table, for_film, -rake_normal_quantile (input->risk_limit),
              input->film.mean - input->reserve_um, to_come };

  *search = (RakePlannerSearch){
    .fronts = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref),
    .plans = g_array_new (FALSE, FALSE, sizeof (RakePlannerLabel)),
    .least_missing_um = INFINITY,
  };
  for (guint i = 0; i < table->n_nodes; i++)
    g_ptr_array_add (search->fronts, g_array_new (FALSE, FALSE, sizeof (RakePlannerLabel)));
  bound_all (&run);
  g_array_append_val (start, nothing);
  go_on_from (&run, RAKE_PLANNER_START, start);
  /* Coarse to fine: when a node's turn comes, nothing is added to its labels any more, and what
   * points at them stays. */
  for (guint node = 0; node < table->n_nodes; node++)
    go_on_from (&run, node, search->fronts->pdata[node]);
}

void
rake_planner_search_clear (RakePlannerSearch *search)
{
  g_clear_pointer (&search->fronts, g_ptr_array_unref);
  g_clear_pointer (&search->plans, g_array_unref);
}
