/* test-wheel.c - wheels run as fast as the sums of the trade say, and carry one compound. */
#include <rakelight/wheel.h>

#include "fact-check.h"
#include "near.h"

#include <string.h>

#define MM_PER_INCH 25.4
#define FT_PER_MIN 0.00508 /* in m/s, exact */

static RakeWheelBody
new_wheel (double diameter_mm, double motor_rpm, double motor_pulley_mm, double wheel_pulley_mm)
{
  return (RakeWheelBody){ .diameter_mm = diameter_mm,
                          .motor_rpm = motor_rpm,
                          .motor_pulley_mm = motor_pulley_mm,
                          .wheel_pulley_mm = wheel_pulley_mm,
                          .rated_rpm = NAN,
                          .width_mm = NAN };
}

static void
the_surface_runs_as_published_examples_say (void **state)
{
  static const struct
  {
    const char *source;
    double diameter_in, motor_rpm, motor_pulley, wheel_pulley, ft_per_min, within;
  } cases[] = {
    { "wheel maker's page, which prints 837.16 for 1.0472 · 800", 4, 800, NAN, NAN, 837.758, 5e-4 },
    { "the same page: 9700 at 2300 r/min are 16.1 in", 16.109, 2300, NAN, NAN, 9700, 0.5 },
    { "2.5 to 6 in, wheel of 14 (computed)", 14, 1725, 2.5, 6, 2634.356, 5e-4 },
    { "8 in on a motor of 1725 (computed)", 8, 1725, NAN, NAN, 3612.83, 5e-3 },
    /* Common practice, no source: a motor of 1725 geared to about 1000 r/min with wheels of 14 in was
     * called "about 3500": a spoken round figure, within 5 % of what the formula gives. */
    { "spoken of as about 3500", 14, 1725, 1000, 1725, 3500, 0.05 * 3500 },
    { "which the formula makes 3665", 14, 1725, 1000, 1725, 3665, 0.5 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      RakeWheelBody wheel = new_wheel (cases[i].diameter_in * MM_PER_INCH, cases[i].motor_rpm,
                                       cases[i].motor_pulley, cases[i].wheel_pulley);
      double m_per_s = rake_wheel_surface_m_per_s (wheel.diameter_mm, rake_wheel_get_rpm (&wheel));

      assert_near (cases[i].source, m_per_s / FT_PER_MIN, cases[i].ft_per_min, cases[i].within);
    }
  assert_near ("63 to 125 mm, wheel of 300 (computed)",
               rake_wheel_surface_m_per_s (300, 1425.0 * 63 / 125), 11.28146, 5e-6);
  assert_near ("2800 ft/min at 14 in (computed)",
               rake_wheel_rpm_for (2800 * FT_PER_MIN, 14 * MM_PER_INCH), 763.94, 5e-3);
}

static void
what_is_not_said_of_a_wheel_is_not_guessed (void **state)
{
  RakeWheelBody wheel = new_wheel (350, 1425, 63, NAN);

  assert_true (isnan (rake_wheel_get_rpm (&wheel)));
  assert_int_equal (rake_wheel_judge (&wheel, RAKE_FINISH_SHELLAC), RAKE_WHEEL_SPEED_UNKNOWN);
  wheel.wheel_pulley_mm = 0;
  assert_true (isnan (rake_wheel_get_rpm (&wheel)));
  wheel = new_wheel (350, -3, NAN, NAN);
  assert_true (isnan (rake_wheel_get_rpm (&wheel)));
  assert_true (isnan (rake_wheel_surface_m_per_s (NAN, 800)));
  assert_true (isnan (rake_wheel_surface_m_per_s (350, INFINITY)));
  assert_true (isnan (rake_wheel_rpm_for (0, 350)));
}

static void
a_speed_has_its_place_in_the_range_of_the_finish (void **state)
{
  static const struct
  {
    double rpm, rated_rpm;
    RakeWheelSpeed soft, hard;
  } cases[] = {
    /* 350 mm: 9 m/s at 491, 11 at 600, 14 at 764 and 18 at 982 r/min. */
    { 480, NAN, RAKE_WHEEL_SLOW, RAKE_WHEEL_SLOW },
    { 550, NAN, RAKE_WHEEL_IN_RANGE, RAKE_WHEEL_SLOW },
    { 700, NAN, RAKE_WHEEL_IN_RANGE, RAKE_WHEEL_IN_RANGE },
    { 900, NAN, RAKE_WHEEL_FAST, RAKE_WHEEL_IN_RANGE },
    { 1000, NAN, RAKE_WHEEL_FAST, RAKE_WHEEL_FAST },
    { 700, 700, RAKE_WHEEL_IN_RANGE, RAKE_WHEEL_IN_RANGE },
    { 700, 690, RAKE_WHEEL_OVER_RATED, RAKE_WHEEL_OVER_RATED },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      RakeWheelBody wheel = new_wheel (350, cases[i].rpm, NAN, NAN);

      wheel.rated_rpm = cases[i].rated_rpm;
      assert_int_equal (rake_wheel_judge (&wheel, RAKE_FINISH_NITROCELLULOSE), cases[i].soft);
      assert_int_equal (rake_wheel_judge (&wheel, RAKE_FINISH_UNSAID), cases[i].soft);
      assert_int_equal (rake_wheel_judge (&wheel, RAKE_FINISH_POLYESTER), cases[i].hard);
      wheel.diameter_mm = NAN;
      assert_int_equal (rake_wheel_judge (&wheel, RAKE_FINISH_OTHER),
                        cases[i].soft == RAKE_WHEEL_OVER_RATED ? RAKE_WHEEL_OVER_RATED
                                                               : RAKE_WHEEL_SPEED_UNKNOWN);
    }
  for (int finish = 0; finish < RAKE_N_FINISHES; finish++)
    {
      RakeSpeedRange range = rake_wheel_get_range ((RakeFinish) finish);

      assert_true (range.least_m_per_s > 0 && range.least_m_per_s < range.most_m_per_s);
    }
}

static RakeWheelStanding
stand (const BenchLog *log, RakeId wheel)
{
  RakeWheelStanding standing;

  assert_true (rake_wheel_take (log->job, wheel, &standing));
  return standing;
}

static const RakeEntry *
log_work (BenchLog *log, RakeId wheel, RakeWheelWork work, const char *compound)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_WHEEL);

  entry->wheel.wheel = wheel;
  entry->wheel.name = g_strdup ("A wheel");
  entry->wheel.work = work;
  entry->wheel.compound = g_strdup (compound);
  entry->wheel.carried_other =
      work == RAKE_WHEEL_WORK_CHECKED ? RAKE_ANSWER_UNSAID : RAKE_ANSWER_NO;
  return log_write (log, entry);
}

static void
assert_refused (const RakeWheelStanding *standing, const char *compound, const char *says)
{
  g_autofree char *sentence = rake_wheel_refuse (standing, compound);

  if (says == NULL)
    assert_null (sentence);
  else if (sentence == NULL || strstr (sentence, says) == NULL)
    fail_msg ("%s: \"%s\", expected \"%s\"", compound, sentence != NULL ? sentence : "", says);
}

static void
a_wheel_carries_one_compound_until_it_is_stripped (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100");
  RakeId wheel = log_wheel (log, NULL, RAKE_ANSWER_NO, RAKE_ID_NIL)->id;
  RakeWheelStanding standing = stand (log, wheel);
  const RakeEntry *pass;

  assert_true (standing.compound == NULL && standing.is_mixed == RAKE_ANSWER_NO);
  assert_refused (&standing, "fine", NULL);

  pass = log_pass_on_wheel (log, CUT, "A", wheel);
  log_pass (log, FINE, "B", NAN); /* by hand */
  standing = stand (log, wheel);
  assert_string_equal (standing.compound, "cut");
  assert_true (standing.last_pass == pass && standing.n_passes == 1);
  assert_refused (&standing, "CUT", NULL);
  assert_refused (&standing, "fine", "carries cut");

  log_pass_on_wheel (log, FINE, "B", wheel);
  standing = stand (log, wheel);
  assert_int_equal (standing.is_mixed, RAKE_ANSWER_YES);
  assert_refused (&standing, "cut", "more than one");
  assert_int_equal (rake_wheel_carried_other (log->job, pass), RAKE_ANSWER_YES);

  /* to look it over cleans nothing */
  log_work (log, wheel, RAKE_WHEEL_WORK_CHECKED, NULL);
  standing = stand (log, wheel);
  assert_int_equal (standing.is_mixed, RAKE_ANSWER_YES);
  FACT ("A", WHEEL_CARRIED_OTHER, 1);

  log_work (log, wheel, RAKE_WHEEL_WORK_STRIPPED, "fine");
  standing = stand (log, wheel);
  assert_int_equal (standing.is_mixed, RAKE_ANSWER_NO);
  assert_true (standing.last_pass == NULL && standing.last_check == NULL);
  assert_refused (&standing, "fine", NULL);
  assert_refused (&standing, "cut", "carries fine");
  /* what A was cut with is past: as it is now, the wheel is clean */
  FACT ("A", WHEEL_CARRIED_OTHER, 0);
  pass = log_pass_on_wheel (log, CUT, "A", wheel);
  assert_int_equal (rake_wheel_carried_other (log->job, pass), RAKE_ANSWER_YES);
  FACT ("A", WHEEL_CARRIED_OTHER, 1);
  assert_int_equal (stand (log, wheel).is_mixed, RAKE_ANSWER_YES);
}

static void
a_check_counts_until_the_next_pass (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");
  RakeId wheel = log_wheel (log, "cut", RAKE_ANSWER_NO, RAKE_ID_NIL)->id;
  RakeWheelStanding standing = stand (log, wheel);
  g_autofree char *before = rake_wheel_advise (&standing), *after = NULL;
  const RakeEntry *check;

  assert_non_null (strstr (before, "Look “A wheel” over"));
  check = log_work (log, wheel, RAKE_WHEEL_WORK_CHECKED, NULL);
  standing = stand (log, wheel);
  assert_true (standing.last_check == check && standing.entry != check);
  assert_string_equal (standing.compound, "cut");
  assert_null (rake_wheel_advise (&standing));
  log_pass_on_wheel (log, CUT, "A", wheel);
  standing = stand (log, wheel);
  assert_int_equal (standing.n_passes, 1);
  after = rake_wheel_advise (&standing);
  assert_non_null (after);
}

static void
wheels_are_listed_by_their_first_entry (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");
  RakeId first = log_wheel (log, "cut", RAKE_ANSWER_NO, RAKE_ID_NIL)->id;
  RakeId second = log_wheel (log, "fine", RAKE_ANSWER_NO, RAKE_ID_NIL)->id;
  g_autoptr (GArray) wheels = NULL;
  RakeWheelStanding standing;

  log_wheel (log, "cut", RAKE_ANSWER_NO, first);
  wheels = rake_wheel_list (log->job);
  assert_int_equal (wheels->len, 2);
  assert_true (rake_id_equal (g_array_index (wheels, RakeId, 0), first));
  assert_true (rake_id_equal (g_array_index (wheels, RakeId, 1), second));
  assert_false (rake_wheel_take (log->job, rake_id_new (1), &standing));
}

/* Of the wheel the next pass would take: the last one's for that compound, else what carries it. */
static void
a_wheel_is_looked_over_before_its_stage (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100");
  RakeId first, second;

  log_begin (log, CUT);
  FACT ("A", WHEEL_LOOKED_OVER, NONE);
  first = log_wheel (log, "cut", RAKE_ANSWER_NO, RAKE_ID_NIL)->id;
  FACT ("A", WHEEL_LOOKED_OVER, 0);
  second = log_wheel (log, "Cut", RAKE_ANSWER_NO, RAKE_ID_NIL)->id;
  log_work (log, second, RAKE_WHEEL_WORK_CHECKED, NULL);
  FACT ("A", WHEEL_LOOKED_OVER, 1); /* the one entered last */
  log_pass_on_wheel (log, CUT, "B", first);
  assert_true (rake_id_equal (rake_wheel_find_for (log->job, "cut"), first));
  FACT ("A", WHEEL_LOOKED_OVER, 0);
  log_pass (log, CUT, "B", NAN); /* by hand from now on */
  FACT ("A", WHEEL_LOOKED_OVER, NONE);
  assert_true (rake_id_is_nil (rake_wheel_find_for (log->job, "fine")));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (the_surface_runs_as_published_examples_say),
    cmocka_unit_test (what_is_not_said_of_a_wheel_is_not_guessed),
    cmocka_unit_test (a_speed_has_its_place_in_the_range_of_the_finish),
    cmocka_unit_test (a_wheel_carries_one_compound_until_it_is_stripped),
    cmocka_unit_test (a_check_counts_until_the_next_pass),
    cmocka_unit_test (a_wheel_is_looked_over_before_its_stage),
    cmocka_unit_test (wheels_are_listed_by_their_first_entry),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
