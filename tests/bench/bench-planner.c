/* bench-planner.c - what a plan costs with every grade of the table on hand.
 *
 *   all grades   each grade known, at rates that scatter about a share of the grain; floor: as many
 *                partial schedules as the planner looked at, each only its four sums
 *   P grades     these alone
 *   made up      as many as a plan may have, where a change of grit costs nothing
 *
 * Processor time. The floor says what cannot be saved: a label costs four additions at least. */
#include "bench.h"

#include <rakelight/planner.h>

#include <math.h>

#define N_RUNS 60
#define MADE_UP 200

static guint
list_grades (RakePlannerGrade *grades, RakeGradeSystem only, GRand *dice)
{
  guint n = 0;

  for (guint i = 0; i < rake_grade_get_n (); i++)
    {
      const RakeGrade *grade = rake_grade_get (i);
      double um = grade->d50_um * g_rand_double_range (dice, 0.1, 0.2);

      if (only != RAKE_GRADE_SYSTEM_UNSAID && grade->system != only)
        continue;
      grades[n++] = (RakePlannerGrade){ *grade, { um, 0.25 * um }, 0.35 * um, NAN };
    }
  return n;
}

static guint
make_up_grades (RakePlannerGrade *grades, GRand *dice)
{
  for (guint i = 0; i < MADE_UP; i++)
    {
      double d50_um = exp (g_rand_double_range (dice, log (3), log (60)));
      double um = d50_um * g_rand_double_range (dice, 0.05, 0.25);
      RakeGrade grade = {
        RAKE_GRADE_SYSTEM_MICRON, d50_um, d50_um, NAN, RAKE_GRADE_READ, "made up"
      };

      grades[i] = (RakePlannerGrade){ grade, { um, 0.25 * um }, 0.35 * um, NAN };
    }
  return MADE_UP;
}

static double
add_up (guint n)
{
  double began = bench_now_processor_ms (), variance = 0;
  gint64 film = 0, time = 0;
  guint grits = 0;

  for (guint i = 0; i < n; i++)
    {
      /* read anew each time, so that the compiler cannot know the sums */
      gint64 step = (gint64) bench_sink;
      film += step;
      time += step + 1;
      grits++;
      variance += (double) step;
    }
  bench_sink = (guint64) (film + time + grits) + (guint64) variance;
  bench_sink = 3;
  return bench_now_processor_ms () - began;
}

static void
bench_plan (const char *what, RakeGradeSystem only, guint max_passes)
{
  g_autoptr (GRand) dice = g_rand_new_with_seed (7);
  g_autofree RakePlannerGrade *grades = g_new (RakePlannerGrade, MADE_UP);
  RakePlannerInput input = {
    .grades = grades, .sigma_um = NAN, .level_um = NAN, .scratch_d50_um = NAN,
    .entry_d50_um = 6.5, .buff_um = { 2.7, 1.1 }, .coarsest_d50_um = NAN, .film = { 110, 12 },
    .edge_factor = 1.5, .reserve_um = 30, .risk_limit = 0.05, .area_mm2 = NAN, .change_min = NAN,
    .max_level_passes = max_passes,
    .max_refine_passes = max_passes,
  };
  g_autofree char *line = NULL;
  guint n_considered = 0, n_plans = 0;
  BenchTimes *times;

  if (only == RAKE_N_GRADE_SYSTEMS)
    {
      input.n_grades = make_up_grades (grades, dice);
      input.change_min = 0;
    }
  else
    input.n_grades = list_grades (grades, only, dice);
  for (guint i = 0; i < 2; i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakePlanning) planning = rake_planner_plan (&input, &error);

      bench_must (planning != NULL, error);
      n_considered = planning->n_considered;
      n_plans = planning->plans->len;
    }
  line = g_strdup_printf ("planner: %s (%u grades, %u passes at most; %u looked at, %u answers)",
                          what, input.n_grades, max_passes, n_considered, n_plans);
  times = bench_times_new (line);
  for (guint i = 0; i < N_RUNS; i++)
    {
      double began = bench_now_processor_ms (), took;
      RakePlanning *planning = rake_planner_plan (&input, NULL);

      took = bench_now_processor_ms () - began;
      rake_planning_free (planning);
      bench_times_add (times, took, add_up (n_considered));
    }
  bench_times_tell (times);
}

int
main (void)
{
  bench_plan ("every grade known", RAKE_GRADE_SYSTEM_UNSAID, RAKE_PLANNER_USUAL_REFINE_PASSES);
  bench_plan ("every grade known, patiently", RAKE_GRADE_SYSTEM_UNSAID, 100);
  bench_plan ("the P grades", RAKE_GRADE_SYSTEM_P, RAKE_PLANNER_USUAL_REFINE_PASSES);
  bench_plan ("made up, no change costs", RAKE_N_GRADE_SYSTEMS, 100);
  return 0;
}
