/* test-nominal.c - which readings are held to the nominal film, and what is said of them. */
#include <rakelight/nominal.h>

#include "bench-log.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "near.h"

#define STAGES "level P800, refine P1200"

/* Verdicts by the words of the pattern, by hand: docs/checks.md. */
static const double too_many_low_um[] = { 102, 98, 95, 110, 105, 101, 88, 120, 99, 104 };
static const double good_um[] = { 102, 98, 105, 110, 105, 101, 100, 120, 103, 104 };

static BenchLog *
new_log (double nominal_um)
{
  BenchLog *log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100");

  log_write (log, rake_nominal_new_entry (log->job, nominal_um));
  log_coat (log);
  return log;
}

static void
read_film (BenchLog *log, const char *zone, const double *values_um, guint n)
{
  for (guint i = 0; i < n; i++)
    log_reading (log, zone, RAKE_QUANTITY_FILM_UM, values_um[i]);
}

static void
assert_says (const RakeNominalCheck *check, const char *where, const char *expected)
{
  g_autofree char *said = rake_nominal_check_describe (check, where);

  if (expected == NULL)
    assert_null (said);
  else
    assert_string_equal (said, expected);
}

static void
the_facts_said_again_are_the_facts (void **state)
{
  g_autoptr (BenchLog) log = new_log (100);
  const RakeJobFacts *facts = rake_job_find_facts (log->job);

  assert_string_equal (facts->name, "A box");
  assert_true (facts->finish == RAKE_FINISH_NITROCELLULOSE && facts->nominal_film_um == 100);
  assert_null (facts->piece);
}

static void
readings_as_coated_are_held_to_the_nominal_film (void **state)
{
  g_autoptr (BenchLog) log = new_log (100);
  const RakeZone *a = log_zone (log, "A");
  RakeNominalCheck check = rake_nominal_check_zone (log->job, a);

  assert_true (isnan (check.nominal_um) && check.sample.n == 0);
  assert_says (&check, "A", NULL);

  read_film (log, "A", too_many_low_um, G_N_ELEMENTS (too_many_low_um));
  log_reading (log, "A", RAKE_QUANTITY_TEMPERATURE_CELSIUS, 21);
  check = rake_nominal_check_zone (log->job, log_zone (log, "A"));
  assert_int_equal (check.sample.n, 10);
  assert_near ("mean", check.sample.mean, 102.2, 1e-12);
  assert_int_equal (check.faults, RAKE_ACCEPTANCE_SHARE_LOW);
  /* mean - k·s with k 2.910963 for ten readings (printed tables 2.911, memory), s 8.6384155 by
   * Python's statistics */
  assert_near ("tolerance", check.tolerance_um, 102.2 - 2.910963 * 8.6384155, 1e-5);
  assert_says (&check, "A",
               "A: 10 readings of the film as coated, 102.2\302\240±\302\2408.6\302\240µm, do not "
               "pass against a nominal "
               "100 µm. A fifth or more of the readings are under the nominal film.");

  read_film (log, "B", good_um, G_N_ELEMENTS (good_um));
  check = rake_nominal_check_zone (log->job, log_zone (log, "B"));
  assert_int_equal (check.faults, RAKE_ACCEPTANCE_PASSES);
  assert_says (&check, "B",
               "B: 10 readings of the film as coated, 104.8\302\240±\302\2406.3\302\240µm, pass "
               "against a nominal "
               "100 µm.");
  /* together 5 of 20 are between 80 and 100: a fifth and more */
  check = rake_nominal_check_face (log->job, log_zone (log, "B")->face);
  assert_true (check.sample.n == 20 && check.faults == RAKE_ACCEPTANCE_SHARE_LOW);
}

static void
what_was_sanded_is_not_held_to_it (void **state)
{
  g_autoptr (BenchLog) log = new_log (100);
  RakeNominalCheck check;

  log_reading (log, "A", RAKE_QUANTITY_FILM_UM, 104);
  log_pass (log, 0, "A", NAN);
  log_reading (log, "A", RAKE_QUANTITY_FILM_UM, 70);
  check = rake_nominal_check_zone (log->job, log_zone (log, "A"));
  assert_true (check.sample.n == 1 && check.sample.mean == 104 && isnan (check.tolerance_um));
  assert_says (&check, "A",
               "A: 1 reading of the film as coated, 104 µm, passes against a nominal "
               "100 µm.");

  /* Another coat: what was read before it is of another film. */
  log_coat (log);
  check = rake_nominal_check_zone (log->job, log_zone (log, "A"));
  assert_true (check.sample.n == 0 && isnan (check.nominal_um));
  log_reading (log, "A", RAKE_QUANTITY_FILM_UM, 79);
  check = rake_nominal_check_zone (log->job, log_zone (log, "A"));
  assert_int_equal (check.faults, RAKE_ACCEPTANCE_MEAN_LOW | RAKE_ACCEPTANCE_ONE_LOW);
  check = rake_nominal_check_face (log->job, log_zone (log, "A")->face);
  assert_int_equal (check.sample.n, 1);
}

static void
without_a_nominal_film_there_is_nothing_to_say (void **state)
{
  g_autoptr (BenchLog) log = new_log (NAN);
  RakeNominalCheck check;

  log_reading (log, "A", RAKE_QUANTITY_FILM_UM, 104);
  check = rake_nominal_check_zone (log->job, log_zone (log, "A"));
  assert_true (isnan (check.nominal_um) && check.sample.n == 1);
  assert_says (&check, "A", NULL);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (the_facts_said_again_are_the_facts),
    cmocka_unit_test (readings_as_coated_are_held_to_the_nominal_film),
    cmocka_unit_test (what_was_sanded_is_not_held_to_it),
    cmocka_unit_test (without_a_nominal_film_there_is_nothing_to_say),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
