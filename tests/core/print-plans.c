/* print-plans.c - random cases for the planner, and what it answers, one JSON object a line.
 *
 * print-plans SEED N: numbers are written with 17 digits, so a reader has the same doubles. */
#include <rakelight/planner.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define MOST_GRADES 12

static GRand *dice;

static double
between (double least, double most)
{
  return g_rand_double_range (dice, least, most);
}

static gboolean
one_in (int n)
{
  return g_rand_int_range (dice, 0, n) == 0;
}

/* Sizes and rates that often repeat, so that ties are met. */
static double
rounded (double value, double to)
{
  return round (value / to) * to;
}

static void
make_grades (RakePlannerGrade *grades, guint n, gboolean is_coarse)
{
  for (guint i = 0; i < n; i++)
    {
      double d50_um = exp (between (log (3), log (45)));

      if (is_coarse)
        d50_um = MAX (rounded (d50_um, 3), 3);
      grades[i].grade = (RakeGrade){ RAKE_GRADE_SYSTEM_MICRON, d50_um, d50_um, NAN,
                                     RAKE_GRADE_READ, "made up" };
      grades[i].pass_um.mean = d50_um * between (0.06, 0.25);
      if (is_coarse)
        grades[i].pass_um.mean = MAX (rounded (grades[i].pass_um.mean, 0.5), 0.5);
      grades[i].pass_um.sd = grades[i].pass_um.mean * between (0, 0.4);
      grades[i].common_sd_um = grades[i].pass_um.mean * between (0, 0.5);
      grades[i].pass_min_per_m2 = one_in (3) ? NAN : rounded (between (20, 120), 10);
    }
}

static void
make_input (RakePlannerInput *input, RakePlannerGrade *grades)
{
  guint n = (guint) g_rand_int_range (dice, one_in (5) ? 1 : 6, MOST_GRADES + 1);

  make_grades (grades, n, one_in (2));
  *input = (RakePlannerInput){
    .grades = grades,
    .n_grades = n,
    .sigma_um = one_in (10) ? 0 : one_in (4) ? NAN : between (2, 9),
    .level_um = one_in (4) ? between (0, 12) : NAN,
    .scratch_d50_um = one_in (3) ? grades[g_rand_int_range (dice, 0, (int) n)].grade.d50_um : NAN,
    .entry_d50_um = between (6, 14),
    .buff_um = { one_in (4) ? 0 : between (0.5, 4), between (0, 1.5) },
    .coarsest_d50_um = one_in (4) ? between (15, 40) : NAN,
    .film = { between (30, 160), one_in (8) ? 0 : between (0, 15) },
    .edge_factor = one_in (3) ? NAN : between (1, 2.5),
    .reserve_um = one_in (4) ? NAN : between (0, 40),
    .risk_limit = one_in (10) ? 0.5 : exp (between (log (1e-4), log (0.5))),
    .area_mm2 = one_in (4) ? NAN : rounded (between (1e4, 3e5), 1e4),
    .change_min = one_in (4) ? NAN : rounded (between (0, 15), 5),
    .max_level_passes = one_in (5) ? 0 : (guint) g_rand_int_range (dice, 3, one_in (3) ? 40 : 10),
    .max_refine_passes = one_in (5) ? 0 : (guint) g_rand_int_range (dice, 3, one_in (3) ? 40 : 10),
  };
  /* Where work costs no time, only film speaks for more grits. */
  if (one_in (4))
    {
      input->change_min = 0;
      if (one_in (2))
        input->area_mm2 = 0;
    }
  if (one_in (20))
    for (guint i = 0; i < n; i++)
      grades[i].common_sd_um = grades[i].pass_um.sd = 0;
}

static void
print_number (const char *name, double value)
{
  if (isnan (value))
    printf ("\"%s\":null,", name);
  else
    printf ("\"%s\":%.17g,", name, value);
}

static void
print_input (const RakePlannerInput *input)
{
  printf ("{\"grades\":[");
  for (guint i = 0; i < input->n_grades; i++)
    {
      const RakePlannerGrade *grade = &input->grades[i];
      printf ("%s{", i > 0 ? "," : "");
      print_number ("d50", grade->grade.d50_um);
      print_number ("rate", grade->pass_um.mean);
      print_number ("scatter", grade->pass_um.sd);
      print_number ("common", grade->common_sd_um);
      print_number ("minutes", grade->pass_min_per_m2);
      printf ("\"index\":%u}", i);
    }
  printf ("],");
  print_number ("sigma", input->sigma_um);
  print_number ("level", input->level_um);
  print_number ("scratch", input->scratch_d50_um);
  print_number ("entry", input->entry_d50_um);
  print_number ("buff", input->buff_um.mean);
  print_number ("buff_sd", input->buff_um.sd);
  print_number ("coarsest", input->coarsest_d50_um);
  print_number ("film", input->film.mean);
  print_number ("film_sd", input->film.sd);
  print_number ("factor", input->edge_factor);
  print_number ("reserve", input->reserve_um);
  print_number ("limit", input->risk_limit);
  print_number ("area", input->area_mm2);
  print_number ("change", input->change_min);
  printf ("\"max_level\":%u,\"max_refine\":%u,", input->max_level_passes, input->max_refine_passes);
}

static void
print_plan (const RakePlan *plan)
{
  printf ("{");
  print_number ("film", plan->film_um);
  print_number ("sd", plan->film_sd_um);
  print_number ("minutes", plan->minutes);
  print_number ("risk", plan->risk);
  printf ("\"steps\":[");
  for (guint i = 0; i < plan->steps->len; i++)
    {
      const RakePlanStep *step = &g_array_index (plan->steps, RakePlanStep, i);
      printf ("%s[%u,%u]", i > 0 ? "," : "", step->grade, step->n_passes);
    }
  printf ("]}");
}

static void
print_answer (const RakePlannerInput *input)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePlanning) planning = rake_planner_plan (input, &error);

  if (planning == NULL)
    {
      printf ("\"error\":%d,\"says\":\"%s\"}\n", error->code, error->message);
      return;
    }
  printf ("\"recommended\":%u,\"plans\":[", planning->recommended);
  for (guint i = 0; i < planning->plans->len; i++)
    {
      printf ("%s", i > 0 ? "," : "");
      print_plan (planning->plans->pdata[i]);
    }
  printf ("]}\n");
}

int
main (int argc, char **argv)
{
  RakePlannerGrade grades[MOST_GRADES];
  RakePlannerInput input;

  if (argc != 3)
    return 2;
  dice = g_rand_new_with_seed ((guint32) strtoul (argv[1], NULL, 10));
  for (unsigned long i = strtoul (argv[2], NULL, 10); i > 0; i--)
    {
      make_input (&input, grades);
      print_input (&input);
      print_answer (&input);
    }
  g_rand_free (dice);
  return 0;
}
