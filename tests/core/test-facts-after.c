/* test-facts-after.c - facts that time, repairs, wheels and gloss decide, taken from real logbooks.
 *
 * What is expected follows from docs/judging.md; the numbers are worked out beside each case. */
#include "fact-check.h"

static void
a_coat_starts_the_clock_and_makes_everything_before_it_past (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_WATERBORNE, STAGES, "A 100");
  RakeEntry *late;

  log_coat (log);
  FACT ("A", COATS_FUSE, 0);
  FACT ("A", CURE_DAYS, 7);
  log_wait (log, 8 * 24 * 60);
  FACT ("A", DAYS_SINCE_COAT, 8);
  FACT ("A", CURE_DAYS_LEFT, 0);
  log_pass (log, P800, "A", 0);
  log_pass (log, P1200, "A", 0);
  log_even (log, log_look (log, "A", 90));
  FACT ("A", PASSES_SINCE_COAT, 2);
  log_repair (log, "A", RAKE_REPAIR_RECOAT, NULL, -1);
  FACT ("A", PASSES_SINCE_COAT, 0);
  FACT ("A", LOOKED_SINCE_PASS, 0);
  FACT ("A", LOOKED_BEFORE_FIRST_PASS, 0);
  FACT ("A", HAS_STROKES_BEFORE, 0);
  FACT ("A", DAYS_SINCE_FILL, NONE);
  assert_true (take (log, "A", RAKE_FACT_DAYS_SINCE_COAT) < 0.001);

  /* sprayed yesterday, entered today */
  log_wait (log, 3 * 24 * 60);
  late = rake_entry_new (RAKE_ENTRY_COAT);
  late->coat.face = log->face;
  late->happened_ms = log->now_ms - DAY_MS;
  log_write (log, late);
  assert_true (fabs (take (log, "A", RAKE_FACT_DAYS_SINCE_COAT) - 1) < 0.001);
  assert_true (fabs (take (log, "A", RAKE_FACT_CURE_DAYS_LEFT) - 6) < 0.001);

  /* and an older one entered after it: the youngest film is what is soft */
  late = rake_entry_new (RAKE_ENTRY_COAT);
  late->coat.face = log->face;
  late->happened_ms = log->now_ms - 2 * DAY_MS;
  log_write (log, late);
  assert_true (fabs (take (log, "A", RAKE_FACT_DAYS_SINCE_COAT) - 1) < 0.001);
}

static void
a_fill_has_a_clock_of_its_own (void **state)
{
  static const struct
  {
    RakeFinish finish;
    RakeRepairMethod method;
    double said_days, expected_days;
  } rows[] = {
    { RAKE_FINISH_NITROCELLULOSE, RAKE_REPAIR_DROP_FILL, NAN, 2 },   /* trade list D38 */
    { RAKE_FINISH_POLYURETHANE_2K, RAKE_REPAIR_DROP_FILL, NAN, 5 },  /* does not fuse: as a coat */
    { RAKE_FINISH_NITROCELLULOSE, RAKE_REPAIR_FILL, NAN, 1 },
    { RAKE_FINISH_NITROCELLULOSE, RAKE_REPAIR_FILL, 0.5, 0.5 },
    { RAKE_FINISH_NITROCELLULOSE, RAKE_REPAIR_SCRAPED, NAN, NONE },
    { RAKE_FINISH_NITROCELLULOSE, RAKE_REPAIR_SCRAPED, 1, 1 },
    { RAKE_FINISH_NITROCELLULOSE, RAKE_REPAIR_COLOUR, NAN, NONE },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BenchLog) log = log_new (rows[i].finish, STAGES, "A 100");
      RakeEntry *entry = rake_entry_new (RAKE_ENTRY_REPAIR);

      entry->repair.zone = log_zone (log, "A")->id;
      entry->repair.method = rows[i].method;
      entry->repair.cure_days = rows[i].said_days;
      entry->happened_ms = log->now_ms;
      log_write (log, entry);
      FACT ("A", FILL_CURE_DAYS, rows[i].expected_days);
      log_wait (log, 24 * 60);
      if (rows[i].expected_days > 0)
        assert_true (fabs (take (log, "A", RAKE_FACT_DAYS_SINCE_FILL) - 1) < 0.001);
    }
}

static void
a_repair_next_door_wants_a_look_only_within_its_feather_band (void **state)
{
  static const struct
  {
    double x_mm;
    gboolean is_near;
  } rows[] = { { 120, TRUE }, { 150, FALSE } }; /* the border is at 100, the band 30, half size 5 */

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100");
      const RakeEntry *mark;

      log_pass (log, P800, "A B", 0);
      log_even (log, log_look (log, "A", 90));
      mark = log_mark (log, log_look (log, "B", 90), RAKE_MARK_CRATER, rows[i].x_mm, 50, 10);
      FACT ("A", NEIGHBOUR_REPAIRED, 0);
      log_repair (log, "B", RAKE_REPAIR_DROP_FILL, mark, -1);
      FACT ("A", NEIGHBOUR_REPAIRED, rows[i].is_near);
      FACT ("B", NEIGHBOUR_REPAIRED, 0);
      log_even (log, log_look (log, "A", 90));
      FACT ("A", NEIGHBOUR_REPAIRED, 0);
    }
}

static void
a_repair_next_door_that_names_no_place_is_of_the_whole_zone (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100, C 100");

  log_pass (log, P800, "A B C", 0);
  log_even (log, log_look (log, "A", 90));
  log_even (log, log_look (log, "B", 90));
  log_repair (log, "C", RAKE_REPAIR_DROP_FILL, NULL, -1);
  FACT ("A", NEIGHBOUR_REPAIRED, 0);
  FACT ("B", NEIGHBOUR_REPAIRED, 1);
}

static void
a_wheel_is_clean_only_when_said_and_never_seen_otherwise (void **state)
{
  static const struct
  {
    const char *compound;
    RakeAnswer carried_other;
    double expected;
  } rows[] = {
    { "cut", RAKE_ANSWER_NO, 0 },     { "Cut", RAKE_ANSWER_NO, 0 },
    { "cut", RAKE_ANSWER_YES, 1 },    { "cut", RAKE_ANSWER_UNSAID, UNKNOWN },
    { NULL, RAKE_ANSWER_NO, 0 },      { NULL, RAKE_ANSWER_UNSAID, UNKNOWN },
    { "fine", RAKE_ANSWER_NO, 1 },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100");
      const RakeEntry *wheel =
          log_wheel (log, rows[i].compound, rows[i].carried_other, RAKE_ID_NIL);

      log_pass (log, CUT, "A", NAN);
      FACT ("A", WHEEL_CARRIED_OTHER, NONE);
      log_pass_on_wheel (log, CUT, "A", wheel->id);
      FACT ("A", WHEEL_CARRIED_OTHER, rows[i].expected);

      /* whatever was said: here it is seen with another compound, until it is renewed */
      log_pass_on_wheel (log, FINE, "B", wheel->id);
      FACT ("A", WHEEL_CARRIED_OTHER, 1);
      log_wheel (log, "cut", RAKE_ANSWER_NO, wheel->id);
      FACT ("A", WHEEL_CARRIED_OTHER, 0);
    }
}

static void
heat_and_rest_are_counted_from_the_last_buffing (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");

  log_pass (log, CUT, "A", NAN);
  log_reading (log, "A", RAKE_QUANTITY_TEMPERATURE_CELSIUS, 46);
  FACT ("A", SURFACE_CELSIUS, 46);
  log_wait (log, 20);
  FACT ("A", COOL_MINUTES, 30);
  assert_true (fabs (take (log, "A", RAKE_FACT_MINUTES_SINCE_BUFF) - 20) < 0.01);
  assert_true (fabs (take (log, "A", RAKE_FACT_COOL_MINUTES_LEFT) - 10) < 0.01);
  log_look_how (log, "A", RAKE_SURFACE_WARM, RAKE_WIPE_NOTHING, RAKE_LIGHT_LAMP, 90);
  FACT ("A", SURFACE_CELSIUS, 46);
  log_wait (log, 11);
  FACT ("A", SURFACE_CELSIUS, UNKNOWN); /* it tells of half an hour ago */
  log_reading (log, "A", RAKE_QUANTITY_TEMPERATURE_CELSIUS, 42);
  FACT ("A", SURFACE_CELSIUS, 42);
  log_even (log, log_look (log, "A", 90)); /* dry, and not warm */
  FACT ("A", SURFACE_CELSIUS, UNKNOWN);
  log_wait (log, 3 * 24 * 60);
  assert_true (fabs (take (log, "A", RAKE_FACT_DAYS_SINCE_BUFF) - 3) < 0.1);
  assert_true (take (log, "A", RAKE_FACT_RESTED_AT_LOOK_DAYS) < 0.1);
  FACT ("A", REST_DAYS, 7);
  log_look (log, "A", 90); /* says nothing */
  assert_true (take (log, "A", RAKE_FACT_RESTED_AT_LOOK_DAYS) < 0.1);
  log_even (log, log_look (log, "A", 90));
  assert_true (fabs (take (log, "A", RAKE_FACT_RESTED_AT_LOOK_DAYS) - 3) < 0.1);
}

static void
a_finish_left_in_its_last_scratch_rests_from_the_last_pass (void **state)
{
  g_autoptr (BenchLog) satin =
      log_new (RAKE_FINISH_NITROCELLULOSE, "level P800, refine P1200, rest", "A 100");
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");

  log_pass (satin, 1, "A", 0);
  log_wait (satin, 2 * 24 * 60);
  assert_true (fabs (take (satin, "A", RAKE_FACT_DAYS_SINCE_BUFF) - 2) < 0.1);
  log_pass (log, P1200, "A", 0);
  FACT ("A", DAYS_SINCE_BUFF, UNKNOWN); /* a buffing is planned and is not on record */
}

static void
the_wipe_is_with_what_the_finish_bears (void **state)
{
  static const struct
  {
    RakeFinish finish;
    RakeWipe wipe;
    double expected;
  } rows[] = {
    { RAKE_FINISH_NITROCELLULOSE, RAKE_WIPE_SPIRIT, 1 },
    { RAKE_FINISH_NITROCELLULOSE, RAKE_WIPE_DAMP_CLOTH, 0 },
    { RAKE_FINISH_NITROCELLULOSE, RAKE_WIPE_NOTHING, 0 },
    { RAKE_FINISH_NITROCELLULOSE, RAKE_WIPE_UNSAID, UNKNOWN },
    { RAKE_FINISH_SHELLAC, RAKE_WIPE_DRY_CLOTH, 1 },
    { RAKE_FINISH_SHELLAC, RAKE_WIPE_NOTHING, 0 },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BenchLog) log = log_new (rows[i].finish, STAGES, "A 100");

      log_pass (log, CUT, "A", NAN);
      log_look_how (log, "A", RAKE_SURFACE_DRY, rows[i].wipe, RAKE_LIGHT_LAMP, 90);
      FACT ("A", WIPED_WITH_SPIRIT, rows[i].expected);
      log_pass (log, CUT, "A", NAN);
      FACT ("A", WIPED_WITH_SPIRIT, 0);
    }
}

static void
gloss_is_held_against_the_middle_of_the_other_zones (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_WATERBORNE, STAGES, "A 100, B 100, C 100");
  static const double readings[3][3] = { { 57, 56, 55 }, { 54, 55, 55 }, { 63, 64, 63 } };
  static const char *const names[] = { "A", "B", "C" };

  log_pass (log, CUT, "A B C", NAN);
  FACT ("A", GLOSS_ABOVE_OTHERS_GU, UNKNOWN);
  for (gsize i = 0; i < 3; i++)
    for (gsize k = 0; k < 3; k++)
      log_reading (log, names[i], RAKE_QUANTITY_GLOSS_GU, readings[i][k]);
  /* means 56, 54.667, 63.333 */
  FACT ("C", GLOSS_ABOVE_OTHERS_GU, 190 / 3.0 - (56 + 164 / 3.0) / 2);
  FACT ("A", GLOSS_ABOVE_OTHERS_GU, 56 - (164 / 3.0 + 190 / 3.0) / 2);
  /* another angle is another scale: only readings at the angle of the last one are compared */
  for (gsize i = 0; i < 2; i++)
    {
      RakeEntry *reading = rake_entry_new (RAKE_ENTRY_READING);

      reading->reading.zone = log_zone (log, names[i])->id;
      reading->reading.quantity = RAKE_QUANTITY_GLOSS_GU;
      reading->reading.value = i == 0 ? 30 : 20;
      reading->reading.angle_deg = 20;
      log_write (log, reading);
    }
  FACT ("A", GLOSS_ABOVE_OTHERS_GU, 10);
  FACT ("C", GLOSS_ABOVE_OTHERS_GU, 190 / 3.0 - (56 + 164 / 3.0) / 2);
  log_pass (log, CUT, "A B", NAN);
  log_reading (log, "A", RAKE_QUANTITY_GLOSS_GU, 56);
  log_reading (log, "B", RAKE_QUANTITY_GLOSS_GU, 164 / 3.0);
  log_pass (log, CUT, "C", NAN);
  FACT ("C", GLOSS_ABOVE_OTHERS_GU, UNKNOWN);
  FACT ("A", GLOSS_ABOVE_OTHERS_GU, 56 - 164 / 3.0);
}

static void
a_dull_spot_is_wiped_looked_at_and_buffed_before_paper (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_ACRYLIC_LACQUER, STAGES, "A 100");
  const RakeEntry *mark;

  log_pass (log, CUT, "A", NAN);
  FACT ("A", PASSES_SINCE_DULL, NONE);
  mark = log_mark (log, log_look (log, "A", 90), RAKE_MARK_DULL_SPOT, 50, 50, 20);
  FACT ("A", DULL_SPOTS, 1);
  FACT ("A", DULL_SEEN_AGAIN, 0);
  log_still_there (log, log_look (log, "A", 90), mark, 0);
  FACT ("A", DULL_SEEN_AGAIN, 1);
  FACT ("A", PASSES_SINCE_DULL, 0);
  log_pass (log, CUT, "A", NAN);
  log_still_there (log, log_look (log, "A", 90), mark, 0);
  FACT ("A", PASSES_SINCE_DULL, 1);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_repair_next_door_that_names_no_place_is_of_the_whole_zone),
    cmocka_unit_test (a_coat_starts_the_clock_and_makes_everything_before_it_past),
    cmocka_unit_test (a_fill_has_a_clock_of_its_own),
    cmocka_unit_test (a_repair_next_door_wants_a_look_only_within_its_feather_band),
    cmocka_unit_test (a_wheel_is_clean_only_when_said_and_never_seen_otherwise),
    cmocka_unit_test (heat_and_rest_are_counted_from_the_last_buffing),
    cmocka_unit_test (a_finish_left_in_its_last_scratch_rests_from_the_last_pass),
    cmocka_unit_test (the_wipe_is_with_what_the_finish_bears),
    cmocka_unit_test (gloss_is_held_against_the_middle_of_the_other_zones),
    cmocka_unit_test (a_dull_spot_is_wiped_looked_at_and_buffed_before_paper),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
