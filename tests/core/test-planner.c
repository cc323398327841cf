/* test-planner.c - what schedules are made of, which is recommended, and what is refused.
 *
 * That the whole answer is right is for planner-against-search.py. */
#include <rakelight/forecast.h>
#include <rakelight/planner.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

/* µm a pass on a flat: engineering estimates, no source, as the assumed rates have them. */
static const struct
{
  const char *grade;
  double um, sd_um;
} rates[] = {
  { "P800", 3.0, 0.8 }, { "P1000", 2.2, 0.6 }, { "P1200", 1.6, 0.5 },
  { "P1500", 1.0, 0.3 }, { "P2000", 0.6, 0.2 }, { "P3000", 0.3, 0.1 },
};

typedef struct
{
  RakePlannerInput input;
  RakePlannerGrade grades[G_N_ELEMENTS (rates)];
} Bench;

static void
assert_near (double is, double should, double within)
{
  if (!(fabs (is - should) <= within))
    fail_msg ("%.12g, not %.12g", is, should);
}

static RakePlannerGrade
grade_of (const char *text)
{
  RakePlannerGrade grade = { .pass_um = { NAN, NAN }, .pass_min_per_m2 = NAN };

  assert_true (rake_grade_parse (text, &grade.grade, NULL));
  for (gsize i = 0; i < G_N_ELEMENTS (rates); i++)
    if (strcmp (rates[i].grade, text) == 0)
      grade.pass_um = (RakeNormal){ rates[i].um, rates[i].sd_um };
  return grade;
}

/* A flat with film to spare, as sprayed, and the grits named in @grades. */
static void
lay_out (Bench *bench, const char *grades, RakeBuffing buffing)
{
  g_auto (GStrv) names = g_strsplit (grades, ",", -1);

  *bench = (Bench){ .input = { .grades = bench->grades,
                               .n_grades = g_strv_length (names),
                               .sigma_um = NAN,
                               .level_um = NAN,
                               .scratch_d50_um = NAN,
                               .entry_d50_um = rake_buffing_get_entry_d50_um (buffing),
                               .buff_um = { 1.6, 0.6 },
                               .coarsest_d50_um = NAN,
                               .film = { 120, 12 },
                               .edge_factor = NAN,
                               .reserve_um = 40,
                               .risk_limit = 0.05,
                               .area_mm2 = NAN,
                               .change_min = NAN } };
  for (guint i = 0; names[i] != NULL; i++)
    bench->grades[i] = grade_of (names[i]);
}

static char *
to_text (const Bench *bench, const RakePlan *plan)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < plan->steps->len; i++)
    {
      const RakePlanStep *step = &g_array_index (plan->steps, RakePlanStep, i);
      g_autofree char *name = rake_grade_to_text (&bench->grades[step->grade].grade);
      g_string_append_printf (text, "%s%u %s", i > 0 ? ", " : "", step->n_passes, name);
    }
  return g_string_free (text, FALSE);
}

static char *
recommend (const Bench *bench)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePlanning) planning = rake_planner_plan (&bench->input, &error);

  if (planning == NULL)
    fail_msg ("%s", error->message);
  return to_text (bench, planning->plans->pdata[planning->recommended]);
}

static void
assert_recommends (const Bench *bench, const char *should)
{
  g_autofree char *text = recommend (bench);

  assert_string_equal (text, should);
}

/* --- what a step must take ------------------------------------------------------------------- */

/* 1.5 · 0.15 · d50 of the step before, by hand: P800 4.905, P1500 2.835, P2000 2.3175 µm. From 99 to 5 %
 * glossy at σ 4 µm are 15.885 µm (SciPy: 4 · (norm.ppf (0.99) - norm.ppf (0.05)) = 15.884806003969255). */
static void
a_step_takes_the_scratch_before_it (void **state)
{
  Bench bench;
  g_autoptr (RakePlanning) planning = NULL;
  const RakePlan *plan;
  const double needed_um[] = { 15.884806004, 4.905, 2.835, 2.3175 };

  lay_out (&bench, "P800,P1500,P2000,P3000", RAKE_BUFFING_HAND);
  planning = rake_planner_plan (&bench.input, NULL);
  assert_non_null (planning);
  plan = planning->plans->pdata[planning->recommended];
  assert_int_equal (plan->steps->len, 4);
  for (guint i = 0; i < 4; i++)
    assert_near (g_array_index (plan->steps, RakePlanStep, i).needed_um, needed_um[i], 1e-7);
  /* 6 · 3 + 5 · 1 + 5 · 0.6 + 8 · 0.3, and the compounds what they are said to: P3000's 1.4625 is less */
  assert_near (plan->film_um, 18 + 5 + 3 + 2.4 + 1.6, 1e-9);
  /* scatter alone: 6 · 0.8² + 5 · 0.3² + 5 · 0.2² + 8 · 0.1² + 0.6² */
  assert_near (plan->film_sd_um, sqrt (3.84 + 0.45 + 0.2 + 0.08 + 0.36), 1e-9);
  /* 24 passes of 6 minutes on 0.1 m², and three changes of 10 */
  assert_near (plan->minutes, 24 * 6 + 3 * 10, 1e-9);
}

static void
whole_passes_are_counted_without_rounding_errors (void **state)
{
  Bench bench;

  lay_out (&bench, "P1500", RAKE_BUFFING_WHEEL);
  bench.grades[0].pass_um.mean = 0.1;
  bench.input.level_um =
      0.3; /* 0.3 / 0.1 is a little more than 3 in doubles or less, but means 3 */
  assert_recommends (&bench, "3 P1500");
  bench.input.level_um = 0.3001;
  assert_recommends (&bench, "4 P1500");
}

static void
the_compounds_take_the_last_scratch_whatever_they_are_said_to_take (void **state)
{
  Bench bench;
  g_autoptr (RakePlanning) planning = NULL;
  const RakePlan *plan;

  lay_out (&bench, "P800,P1500", RAKE_BUFFING_WHEEL);
  planning = rake_planner_plan (&bench.input, NULL);
  plan = planning->plans->pdata[0];
  assert_near (plan->buff_um.mean, 2.835, 1e-9);
  assert_near (plan->buff_um.sd, 0.6 * 2.835 / 1.6, 1e-6);
}

/* --- from where a job stands ------------------------------------------------------------------ */

static void
a_plan_goes_on_from_the_scratch_that_is_there (void **state)
{
  Bench bench;

  lay_out (&bench, "P800,P1000,P1200,P1500", RAKE_BUFFING_WHEEL);
  bench.input.level_um = 0;
  bench.input.scratch_d50_um = 15.3; /* P1200: 3.4425 µm must go */
  assert_recommends (&bench, "4 P1500");
  bench.input.scratch_d50_um = 21.8; /* P800, not level yet: the same paper has only that to do */
  bench.input.level_um = 5;
  bench.input.n_grades = 1;
  bench.input.entry_d50_um = 22;
  assert_recommends (&bench, "2 P800");
}

static void
when_the_last_scratch_is_fine_enough_nothing_is_left_to_sand (void **state)
{
  Bench bench;
  g_autoptr (RakePlanning) planning = NULL;
  g_autofree char *why = NULL;

  lay_out (&bench, "P800,P1500", RAKE_BUFFING_WHEEL);
  bench.input.level_um = 0;
  bench.input.scratch_d50_um = 12.6;
  planning = rake_planner_plan (&bench.input, NULL);
  assert_int_equal (planning->plans->len, 1);
  assert_int_equal (((RakePlan *) planning->plans->pdata[0])->steps->len, 0);
  why = rake_planning_describe (planning, 0);
  assert_string_equal (why, "Nothing to sand: the buffing can begin");
}

/* --- the trade -------------------------------------------------------------------------------- */

/* Common practice, no source: P800 to start levelling when the clear was laid smoothly, P1000 possible;
 * the last grit before a buffing machine P1500. (P1200 between them is practice too, but no schedule
 * that no other beats has it at these rates: docs/film.md says why.) */
static void
before_a_machine_it_begins_with_p800_and_ends_with_p1500 (void **state)
{
  Bench bench;

  lay_out (&bench, "P800,P1000,P1200,P1500,P2000", RAKE_BUFFING_MACHINE);
  assert_recommends (&bench, "6 P800, 5 P1500");
  lay_out (&bench, "P800,P1000,P1200,P1500", RAKE_BUFFING_MACHINE);
  bench.input.sigma_um = rake_texture_get_sigma_um (RAKE_TEXTURE_SMOOTH);
  assert_recommends (&bench, "5 P1000, 5 P1500");
  lay_out (&bench, "P800,P1500", RAKE_BUFFING_MACHINE);
  bench.input.sigma_um = rake_texture_get_sigma_um (RAKE_TEXTURE_SMOOTH);
  assert_recommends (&bench, "4 P800, 5 P1500");
  /* where P1500 is not said to cut so fast, P1200 comes between as the trade has it */
  lay_out (&bench, "P800,P1200,P1500", RAKE_BUFFING_MACHINE);
  bench.grades[2].pass_um.mean = 0.6;
  assert_recommends (&bench, "6 P800, 4 P1200, 6 P1500");
}

/* Common practice, no source: finer, to about P3000, before liquid compound by hand. */
static void
by_hand_it_ends_with_p3000 (void **state)
{
  Bench bench;

  lay_out (&bench, "P800,P1000,P1200,P1500,P2000,P3000", RAKE_BUFFING_HAND);
  assert_recommends (&bench, "6 P800, 5 P1500, 5 P2000, 8 P3000");
}

/* --- words ------------------------------------------------------------------------------------ */

static void
every_other_schedule_says_what_it_costs (void **state)
{
  Bench bench;
  g_autoptr (RakePlanning) planning = NULL;

  lay_out (&bench, "P800,P1000,P1200,P1500", RAKE_BUFFING_WHEEL);
  bench.input.sigma_um = 2.5;
  bench.input.max_level_passes = 20;
  bench.input.area_mm2 = 1e6; /* on a square metre, passes weigh more than a change of grit */
  planning = rake_planner_plan (&bench.input, NULL);
  assert_true (planning->plans->len > 1);
  for (guint i = 1; i < planning->plans->len; i++)
    {
      g_autofree char *why = rake_planning_describe (planning, i);
      RakePlanStanding standing = rake_planning_get_standing (planning, i);

      assert_int_not_equal (standing, RAKE_PLAN_RECOMMENDED);
      assert_non_null (
          strstr (why, standing == RAKE_PLAN_MORE_GRITS ? "more, for" : "As few grits"));
    }
}

/* --- refused ---------------------------------------------------------------------------------- */

static void
assert_refused (const RakePlannerInput *input, RakePlannerError code, const char *says)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePlanning) planning = rake_planner_plan (input, &error);

  assert_null (planning);
  assert_true (g_error_matches (error, RAKE_PLANNER_ERROR, (gint) code));
  if (strstr (error->message, says) == NULL)
    fail_msg ("\"%s\" does not say \"%s\"", error->message, says);
}

static void
what_stands_in_the_way_is_named (void **state)
{
  Bench bench;

  lay_out (&bench, "P800,P1000", RAKE_BUFFING_WHEEL);
  assert_refused (&bench.input, RAKE_PLANNER_ERROR_NONE, "P1500 or finer");
  lay_out (&bench, "P800,P1500", RAKE_BUFFING_WHEEL);
  bench.input.film = (RakeNormal){ 50, 0 };
  bench.grades[0].pass_um.sd = bench.grades[1].pass_um.sd = bench.input.buff_um.sd = 0;
  /* least film: 18 + 5 + 2.835, or 16 passes of P1500 and 2.835: 18.835, of 10 that there are */
  assert_refused (&bench.input, RAKE_PLANNER_ERROR_NONE, "8.8 µm are missing");
  lay_out (&bench, "P800,P1500", RAKE_BUFFING_WHEEL);
  bench.input.max_level_passes = 2;
  assert_refused (&bench.input, RAKE_PLANNER_ERROR_NONE, "coarser grit");
  bench.input.max_level_passes = 6;
  bench.input.max_refine_passes = 2;
  assert_refused (&bench.input, RAKE_PLANNER_ERROR_NONE, "too far apart");
  bench.input.n_grades = 0;
  assert_refused (&bench.input, RAKE_PLANNER_ERROR_NONE, "fine enough");
}

static void
numbers_that_cannot_be_are_refused (void **state)
{
  static const double wrong[] = { NAN, INFINITY, -INFINITY, -1 };
  Bench bench;

  lay_out (&bench, "P800,P1500", RAKE_BUFFING_WHEEL);
  for (gsize i = 0; i < G_N_ELEMENTS (wrong); i++)
    {
      double *const required[] = {
        &bench.grades[1].pass_um.mean, &bench.grades[1].pass_um.sd, &bench.grades[1].common_sd_um,
        &bench.grades[1].grade.d50_um, &bench.input.entry_d50_um,   &bench.input.buff_um.mean,
        &bench.input.buff_um.sd,       &bench.input.film.sd,        &bench.input.risk_limit,
      };
      double *const optional[] = {
        &bench.input.sigma_um,    &bench.input.scratch_d50_um, &bench.input.level_um,
        &bench.input.edge_factor, &bench.input.reserve_um,     &bench.input.area_mm2,
        &bench.input.change_min,  &bench.input.coarsest_d50_um,
      };

      for (gsize j = 0; j < G_N_ELEMENTS (required); j++)
        {
          double kept = *required[j];
          *required[j] = wrong[i];
          assert_refused (&bench.input, RAKE_PLANNER_ERROR_INPUT, "");
          *required[j] = kept;
        }
      for (gsize j = 0; i > 0 && j < G_N_ELEMENTS (optional); j++)
        {
          double kept = *optional[j];
          *optional[j] = wrong[i];
          assert_refused (&bench.input, RAKE_PLANNER_ERROR_INPUT, "");
          *optional[j] = kept;
        }
    }
  bench.input.risk_limit = 0.6;
  assert_refused (&bench.input, RAKE_PLANNER_ERROR_INPUT, "risk limit");
  bench.input.risk_limit = 0.05;
  bench.input.film.mean = 3e6; /* 3 m */
  assert_refused (&bench.input, RAKE_PLANNER_ERROR_INPUT, "film");
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_step_takes_the_scratch_before_it),
    cmocka_unit_test (whole_passes_are_counted_without_rounding_errors),
    cmocka_unit_test (the_compounds_take_the_last_scratch_whatever_they_are_said_to_take),
    cmocka_unit_test (a_plan_goes_on_from_the_scratch_that_is_there),
    cmocka_unit_test (when_the_last_scratch_is_fine_enough_nothing_is_left_to_sand),
    cmocka_unit_test (before_a_machine_it_begins_with_p800_and_ends_with_p1500),
    cmocka_unit_test (by_hand_it_ends_with_p3000),
    cmocka_unit_test (every_other_schedule_says_what_it_costs),
    cmocka_unit_test (what_stands_in_the_way_is_named),
    cmocka_unit_test (numbers_that_cannot_be_are_refused),
  };

  return cmocka_run_group_tests (tests, NULL, NULL);
}
