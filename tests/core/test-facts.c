/* test-facts.c - facts taken from real logbooks: what counts, what is stale, what is not known.
 *
 * What is expected follows from docs/judging.md; the numbers are worked out beside each case. */
#include "fact-check.h"

static void
before_anything_most_is_unknown_and_nothing_is_zero (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_UNSAID, STAGES, "A 100, E 20 edge 1");

  FACT ("A", PASSES_HERE, 0);
  FACT ("A", LOOKED_SINCE_PASS, 0);
  FACT ("A", LOOKED_BEFORE_FIRST_PASS, 0);
  FACT ("A", LOW_SPOT_FRACTION, UNKNOWN);
  FACT ("A", LARGEST_ISLAND_MM, UNKNOWN);
  FACT ("A", LOW_SPOT_DROP_FRACTION, UNKNOWN);
  FACT ("A", OTHER_ISLANDS_OVER_LIMIT, UNKNOWN);
  FACT ("A", DAYS_SINCE_COAT, UNKNOWN);
  FACT ("A", COATS_FUSE, UNKNOWN);
  FACT ("A", IS_SATIN, UNKNOWN);
  FACT ("A", CURE_DAYS, 21);
  FACT ("A", PAPER_LOADED, NONE);
  FACT ("A", MINUTES_SINCE_BUFF, NONE);
  FACT ("A", WHEEL_CARRIED_OTHER, NONE);
  FACT ("A", RISK_NOW, UNKNOWN);
  FACT ("A", FILM_UM, UNKNOWN);
  FACT ("A", RESERVE_UM, UNKNOWN);
  FACT ("A", RISK_LIMIT, 0.05);
  FACT ("E", ISLAND_LIMIT_MM, NONE);
  FACT ("E", OTHER_ISLANDS_OVER_LIMIT, NONE);
}

static void
the_gates_are_the_zones_and_the_stages_and_the_jobs_own (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, E 20 edge 1");
  RakeEntry *facts;

  FACT ("A", LOW_SPOT_LIMIT, 0.1);
  FACT ("A", ISLAND_LIMIT_MM, 6);
  FACT ("E", LOW_SPOT_LIMIT, 0.25);
  log_begin (log, P2000);
  FACT ("A", IS_LAST_SANDING, 1);
  FACT ("A", LOW_SPOT_LIMIT, 0);
  FACT ("E", LOW_SPOT_LIMIT, 0.05);
  log_begin (log, CUT);
  FACT ("A", IS_LAST_SANDING, 0);
  FACT ("A", IS_AFTER_SANDING, 1);
  FACT ("E", LOW_SPOT_LIMIT, 0.05);

  facts = log_new_facts (log);
  facts->job.level_low_spot_fraction = 0.2;
  facts->job.level_island_mm = 9;
  facts->job.edge_low_spot_fraction = 0.3;
  facts->job.last_edge_low_spot_fraction = 0.1;
  facts->job.risk_limit_fraction = 0.01;
  facts->job.sheen = RAKE_SHEEN_SATIN;
  log_write (log, facts);
  FACT ("E", LOW_SPOT_LIMIT, 0.1);
  FACT ("A", RISK_LIMIT, 0.01);
  FACT ("A", IS_SATIN, 1);
  log_begin (log, P800);
  FACT ("A", LOW_SPOT_LIMIT, 0.2);
  FACT ("A", ISLAND_LIMIT_MM, 9);
  FACT ("E", LOW_SPOT_LIMIT, 0.3);
}

static void
a_limit_nobody_set_is_unknown (void **state)
{
  static const RakeLimits none = { NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN };
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  RakeFacts facts;

  log_pass (log, P800, "A", 0);
  log_low (log, log_look (log, "A", 90), 0.05, 3, NAN);
  rake_facts_take (&facts, log->job, log_zone (log, "A"), &none, log->now_ms);
  assert_int_equal (facts.knowledge[RAKE_FACT_LOW_SPOT_FRACTION], RAKE_KNOWN);
  assert_int_equal (facts.knowledge[RAKE_FACT_LOW_SPOT_LIMIT], RAKE_UNKNOWN);
  assert_int_equal (facts.knowledge[RAKE_FACT_ISLAND_LIMIT_MM], RAKE_UNKNOWN);
  assert_int_equal (facts.knowledge[RAKE_FACT_OTHER_ISLANDS_OVER_LIMIT], RAKE_UNKNOWN);
  assert_int_equal (facts.knowledge[RAKE_FACT_COOL_MINUTES], RAKE_UNKNOWN);
  assert_int_equal (facts.knowledge[RAKE_FACT_RISK_LIMIT], RAKE_UNKNOWN);
}

static void
only_a_dry_and_wiped_look_after_the_last_pass_counts (void **state)
{
  static const struct
  {
    RakeSurface surface;
    RakeWipe wipe;
    gboolean counts;
  } rows[] = {
    { RAKE_SURFACE_DRY, RAKE_WIPE_DRY_CLOTH, TRUE },
    { RAKE_SURFACE_DRY, RAKE_WIPE_DAMP_CLOTH, TRUE },
    { RAKE_SURFACE_DRY, RAKE_WIPE_SPIRIT, TRUE },
    { RAKE_SURFACE_DRY, RAKE_WIPE_NOTHING, FALSE },
    { RAKE_SURFACE_DRY, RAKE_WIPE_UNSAID, FALSE },
    { RAKE_SURFACE_WET, RAKE_WIPE_DRY_CLOTH, FALSE },
    { RAKE_SURFACE_DUSTY, RAKE_WIPE_DRY_CLOTH, FALSE },
    { RAKE_SURFACE_WARM, RAKE_WIPE_DRY_CLOTH, FALSE },
    { RAKE_SURFACE_HAZED, RAKE_WIPE_DRY_CLOTH, FALSE },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");

      log_pass (log, P800, "A B", 0);
      log_even (log, log_look_how (log, "A", rows[i].surface, rows[i].wipe, RAKE_LIGHT_LAMP, 90));
      if (take (log, "A", RAKE_FACT_LOOKED_SINCE_PASS) != rows[i].counts ||
          take (log, "A", RAKE_FACT_SAID_SINCE_PASS) != rows[i].counts ||
          take (log, "A", RAKE_FACT_LOOKED_POORLY_SINCE_PASS) == rows[i].counts)
        fail_msg ("row %d", (int) i);
      FACT ("A", LOW_SPOT_FRACTION, rows[i].counts ? 0 : UNKNOWN);
      FACT ("B", LOOKED_SINCE_PASS, 0);
      FACT ("B", LOOKED_POORLY_SINCE_PASS, 0);
    }
}

static void
a_pass_or_a_repair_makes_every_look_stale (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");
  RakeEntry *late;

  /* before the first pass a dry look needs no wipe */
  log_look_how (log, "A", RAKE_SURFACE_WET, RAKE_WIPE_NOTHING, RAKE_LIGHT_LAMP, 90);
  FACT ("A", LOOKED_BEFORE_FIRST_PASS, 0);
  log_look_how (log, "A", RAKE_SURFACE_DRY, RAKE_WIPE_NOTHING, RAKE_LIGHT_LAMP, 90);
  FACT ("A", LOOKED_BEFORE_FIRST_PASS, 1);
  FACT ("A", LOOKED_SINCE_PASS, 1);

  log_pass (log, P800, "A", 0);
  FACT ("A", LOOKED_SINCE_PASS, 0);
  log_look_how (log, "A", RAKE_SURFACE_WET, RAKE_WIPE_NOTHING, RAKE_LIGHT_LAMP, 90);
  FACT ("A", LOOKED_POORLY_SINCE_PASS, 1);
  log_pass (log, P800, "A", 0);
  FACT ("A", LOOKED_POORLY_SINCE_PASS, 0); /* not even poorly */
  log_low (log, log_look (log, "A", 90), 0.05, 3, NAN);
  FACT ("A", LOOKED_SINCE_PASS, 1);
  FACT ("A", LOW_SPOT_FRACTION, 0.05);
  log_pass (log, P800, "B", 0);
  FACT ("A", LOOKED_SINCE_PASS, 1);
  log_repair (log, "A", RAKE_REPAIR_LEVELLED, NULL, -1);
  FACT ("A", LOOKED_SINCE_PASS, 0);
  FACT ("A", LOW_SPOT_FRACTION, UNKNOWN);

  /* entered after a pass, but made before it happened */
  log_wait (log, 60);
  log_pass (log, P800, "A", 0);
  late = rake_entry_new (RAKE_ENTRY_LOOK);
  late->look.zone = log_zone (log, "A")->id;
  late->look.surface = RAKE_SURFACE_DRY;
  late->look.wiped_with = RAKE_WIPE_DRY_CLOTH;
  late->look.light = RAKE_LIGHT_LAMP;
  late->happened_ms = log->now_ms - 30 * MINUTE_MS;
  log_write (log, late);
  FACT ("A", LOOKED_SINCE_PASS, 0);
}

static void
a_look_that_says_nothing_or_only_other_faults_has_not_said_how_even (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  const RakeEntry *look;

  log_pass (log, P800, "A", 0);
  look = log_look (log, "A", 90);
  FACT ("A", LOOKED_SINCE_PASS, 1);
  FACT ("A", SAID_SINCE_PASS, 0);
  log_mark (log, look, RAKE_MARK_PINHOLE, 50, 50, 0);
  FACT ("A", SAID_SINCE_PASS, 0);
  FACT ("A", CARRIED_FAULTS, 1);
  log_mark (log, look, RAKE_MARK_SCRATCH, 50, 50, 20);
  FACT ("A", SAID_SINCE_PASS, 1);
  FACT ("A", LOW_SPOT_FRACTION, 0); /* what it does not mention was not seen */
  FACT ("A", LONGEST_SCRATCH_MM, 20);
}

static void
that_a_mark_is_gone_does_not_say_how_even_the_zone_is (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  const RakeEntry *mark;

  log_pass (log, P800, "A", 0);
  mark = log_mark (log, log_look (log, "A", 90), RAKE_MARK_SCRATCH, 50, 50, 20);
  log_pass (log, P800, "A", 0);
  log_gone (log, log_look (log, "A", 90), mark);
  FACT ("A", SCRATCHES, 0);
  FACT ("A", SAID_SINCE_PASS, 0);
  FACT ("A", LOW_SPOT_FRACTION, UNKNOWN);
}

static void
a_scratch_told_of_the_whole_zone_is_followed_too (void **state)
{
  static const struct
  {
    double length_mm, longest_mm, passes;
  } rows[] = { { 40, 40, 0 }, { 38, 38, 1 }, { NAN, UNKNOWN, 2 }, { 36, 36, 3 }, { 20, 20, 0 } };
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      RakeEntry *entry;
      const RakeEntry *look;

      log_pass (log, P800, "A", 0);
      look = log_look (log, "A", 90);
      entry = rake_entry_new (RAKE_ENTRY_STATE);
      entry->state.look = look->id;
      entry->state.state = RAKE_STATE_SCRATCH;
      entry->state.scratch_mm = rows[i].length_mm;
      log_write (log, entry);
      FACT ("A", SCRATCHES, 1);
      FACT ("A", LONGEST_SCRATCH_MM, rows[i].longest_mm);
      FACT ("A", PASSES_SINCE_SCRATCH, rows[i].passes);
    }
}

static void
lamps_are_held_against_the_strokes_of_the_grit_before (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100, C 100");

  log_pass (log, P800, "A", 0);
  log_pass (log, P800, "B", NAN);
  FACT ("A", HAS_STROKES_BEFORE, 0);
  FACT ("A", LAMP_ACROSS_STROKES_DEG, NONE);
  log_begin (log, P1200);
  log_pass (log, P1200, "A B C", 45);
  FACT ("A", HAS_STROKES_BEFORE, 1);
  FACT ("A", LAMP_ACROSS_STROKES_DEG, 0); /* no lamp was there */
  FACT ("B", LAMP_ACROSS_STROKES_DEG, UNKNOWN);
  FACT ("C", HAS_STROKES_BEFORE, 0);

  log_even (log, log_look (log, "A", 45));
  FACT ("A", LAMP_ACROSS_STROKES_DEG, 45);
  FACT ("A", LAMPS_ACROSS_DEG, 0);
  log_even (log, log_look (log, "A", 250));
  FACT ("A", LAMP_ACROSS_STROKES_DEG, 70); /* 250 is the line of 70 */
  FACT ("A", LAMPS_ACROSS_DEG, 25);
  log_look_how (log, "A", RAKE_SURFACE_WET, RAKE_WIPE_DRY_CLOTH, RAKE_LIGHT_LAMP, 90);
  FACT ("A", LAMP_ACROSS_STROKES_DEG, 70); /* a wet look lights nothing */
  log_look_how (log, "A", RAKE_SURFACE_DRY, RAKE_WIPE_DRY_CLOTH, RAKE_LIGHT_DAYLIGHT, NAN);
  FACT ("A", LAMP_ACROSS_STROKES_DEG, 70); /* nor does light without a place */
  FACT ("A", LIGHTS_SEEN, 2);
}

static void
strokes_that_ran_two_ways_must_both_be_lit_across (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");

  log_pass (log, P800, "A", 0);
  log_pass (log, P800, "A", 90);
  log_pass (log, P1200, "A", 45);
  log_look (log, "A", 90);
  FACT ("A", LAMP_ACROSS_STROKES_DEG, 0);
  log_look (log, "A", 10);
  FACT ("A", LAMP_ACROSS_STROKES_DEG, 80);
}

static void
low_spots_are_as_said_or_as_painted_whichever_is_more (void **state)
{
  static const struct
  {
    double said, said_island_mm; /* said NaN: no state at all; -1: even; -2: low spot, no share */
    double patches_mm[3][3];     /* x, y, size */
    double fraction, island_mm;
  } rows[] = {
    /* the zone is 100 × 100 mm */
    { 0.17, 9, { { 0 } }, 0.17, 9 },
    { -1, NAN, { { 0 } }, 0, 0 },
    { -2, NAN, { { 0 } }, 1, UNKNOWN },
    { 0.05, NAN, { { 0 } }, 0.05, UNKNOWN },
    { NAN, NAN, { { 50, 50, 20 } }, 0.04, 28.2842712475 },               /* 400 mm², 20·√2 */
    { 0.17, 9, { { 50, 50, 20 } }, 0.17, 28.2842712475 },
    { 0.02, 9, { { 50, 50, 20 } }, 0.04, 28.2842712475 },
    { -2, NAN, { { 50, 50, 20 } }, 0.04, 28.2842712475 },
    { -1, NAN, { { 50, 50, 20 } }, 0.04, 28.2842712475 },
    { NAN, NAN, { { 50, 50, 20 }, { 60, 50, 20 } }, 0.06, 36.0555127546 }, /* 30 × 20 together */
    { NAN, NAN, { { 20, 20, 10 }, { 80, 80, 4 } }, 0.0116, 14.1421356237 },
    { NAN, NAN, { { 150, 50, 20 } }, 0, 0 },                             /* all of it in the next */
    { NAN, NAN, { { 100, 50, 20 } }, 0.02, 22.360679775 },               /* half of it in the next */
    { NAN, NAN, { { 50, 50, -1 } }, 0.0001, 1 },                         /* a point stands for 1 mm */
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");
      const RakeEntry *look;

      log_pass (log, P800, "A", 0);
      look = log_look (log, "A", 90);
      if (rows[i].said >= -1 && rows[i].said < 0)
        log_even (log, look);
      else if (!isnan (rows[i].said))
        log_low (log, look, rows[i].said < 0 ? NAN : rows[i].said, rows[i].said_island_mm, NAN);
      for (gsize k = 0; k < 3; k++)
        if (rows[i].patches_mm[k][2] != 0)
          log_mark (log, look, RAKE_MARK_LOW_SPOT, rows[i].patches_mm[k][0],
                    rows[i].patches_mm[k][1], rows[i].patches_mm[k][2]);
      if (fabs (take (log, "A", RAKE_FACT_LOW_SPOT_FRACTION) - rows[i].fraction) > 1e-6 ||
          fabs (take (log, "A", RAKE_FACT_LARGEST_ISLAND_MM) - rows[i].island_mm) > 1e-6)
        fail_msg ("row %d: %g, %g mm", (int) i, take (log, "A", RAKE_FACT_LOW_SPOT_FRACTION),
                  take (log, "A", RAKE_FACT_LARGEST_ISLAND_MM));
    }
}

static void
a_later_look_that_tells_only_of_a_scratch_leaves_the_share_as_told (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");

  log_pass (log, P800, "A", 0);
  log_low (log, log_look (log, "A", 90), 0.17, 9, NAN);
  log_mark (log, log_look (log, "A", 0), RAKE_MARK_SCRATCH, 50, 50, 30);
  FACT ("A", LOW_SPOT_FRACTION, 0.17);
  log_even (log, log_look (log, "A", 45));
  FACT ("A", LOW_SPOT_FRACTION, 0);
  log_low (log, log_look_how (log, "A", RAKE_SURFACE_WET, RAKE_WIPE_NOTHING, RAKE_LIGHT_LAMP, 0),
           0.5, 30, NAN);
  FACT ("A", LOW_SPOT_FRACTION, 0); /* a share counts only from a proper look */
}

static void
what_has_fallen_is_held_against_the_look_before_the_last_pass (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");

  log_low (log, log_look (log, "A", 90), 0.9, 60, NAN);
  log_pass (log, P800, "A", 0);
  log_low (log, log_look (log, "A", 90), 0.3, 22, 3);
  FACT ("A", LOW_SPOT_DROP_FRACTION,
        UNKNOWN); /* the first pass here has nothing to stall against */
  FACT ("A", ISLAND_SHRINK_FRACTION, UNKNOWN);
  FACT ("A", OTHER_ISLANDS_OVER_LIMIT, 2);
  log_pass (log, P800, "A", 0);
  log_low (log, log_look (log, "A", 90), 0.27, 22, 2);
  FACT ("A", LOW_SPOT_DROP_FRACTION, 0.1); /* a tenth, though 0.3 - 0.27 is a hair less in binary */
  FACT ("A", ISLAND_SHRINK_FRACTION, 1 - 22 / 60.0);
  log_pass (log, P800, "A", 0);
  log_pass (log, P800, "A", 0);
  log_low (log, log_look (log, "A", 90), 0.2, 20, 1);
  FACT ("A", LOW_SPOT_DROP_FRACTION,
        1 - 0.2 / 0.27); /* passes without a look between count as one */
  FACT ("A", ISLAND_SHRINK_FRACTION, 1 - 20 / 22.0);
  FACT ("A", OTHER_ISLANDS_OVER_LIMIT, 0);

  /* at the next grit it begins again, but for the island that came along */
  log_pass (log, P1200, "A", 90);
  log_low (log, log_look (log, "A", 0), 0.19, 20, 1);
  FACT ("A", PASSES_HERE, 1);
  FACT ("A", LOW_SPOT_DROP_FRACTION, UNKNOWN);
  FACT ("A", ISLAND_SHRINK_FRACTION, UNKNOWN);
  log_pass (log, P1200, "A", 90);
  log_low (log, log_look (log, "A", 0), 0.18, 19.9, 1);
  FACT ("A", LOW_SPOT_DROP_FRACTION, 1 - 0.18 / 0.19);
  FACT ("A", ISLAND_SHRINK_FRACTION, 1 - 19.9 / 20);
  log_even (log, log_look (log, "A", 0));
  FACT ("A", LOW_SPOT_DROP_FRACTION, UNKNOWN); /* nothing left that could stall */
}

static void
islands_painted_are_followed_from_pass_to_pass (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  const RakeEntry *look, *mark;

  log_pass (log, P800, "A", 0);
  look = log_look (log, "A", 90);
  log_mark (log, look, RAKE_MARK_LOW_SPOT, 30, 30, 20);
  log_mark (log, look, RAKE_MARK_LOW_SPOT, 70, 70, 10);
  FACT ("A", OTHER_ISLANDS_OVER_LIMIT, 1);
  log_pass (log, P800, "A", 0);
  look = log_look (log, "A", 90);
  mark = log_mark (log, look, RAKE_MARK_LOW_SPOT, 30, 30, 20);
  FACT ("A", LOW_SPOT_DROP_FRACTION, 0.2); /* 500 mm² to 400 mm² */
  log_pass (log, P800, "A", 0);
  look = log_look (log, "A", 90);
  log_still_there (log, look, mark, 19);
  FACT ("A", LOW_SPOT_FRACTION, 0.0361);
  FACT ("A", LARGEST_ISLAND_MM, 19 * sqrt (2));
  FACT ("A", ISLAND_SHRINK_FRACTION, 0.05);
  FACT ("A", OTHER_ISLANDS_OVER_LIMIT, 0);
}

static void
the_rest_is_level_when_no_second_island_would_fit_into_it (void **state)
{
  static const struct
  {
    double fraction, island_mm, others;
  } rows[] = {
    /* 10 000 mm²; a disc of 6 mm is 28.3 mm², the gate 1000 mm² */
    { 0.05, 20, 0 },       /* within the gate */
    { 0.12, 12, UNKNOWN }, /* 1200 - 113: more than the gate, and who knows how it lies */
    { 0.12, 38.9, 0 },     /* 1200 - 1188: no second one fits */
    { 0.12, 20, 0 },       /* 1200 - 314: what is left is within the gate */
    { 0.5, NAN, UNKNOWN },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");

      log_pass (log, P800, "A", 0);
      log_low (log, log_look (log, "A", 90), rows[i].fraction, rows[i].island_mm, NAN);
      FACT ("A", OTHER_ISLANDS_OVER_LIMIT, rows[i].others);
    }
}

static void
bad_news_counts_from_any_look_and_holds_until_a_proper_one_says_otherwise (void **state)
{
  static const struct
  {
    RakeState state;
    RakeFact fact;
  } rows[] = { { RAKE_STATE_SCRATCH, RAKE_FACT_SCRATCHES },
               { RAKE_STATE_WITNESS_LINE, RAKE_FACT_WITNESS_LINES },
               { RAKE_STATE_BURN, RAKE_FACT_BURNS },
               { RAKE_STATE_SAND_THROUGH, RAKE_FACT_SAND_THROUGHS } };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");

      log_pass (log, P800, "A", 0);
      log_state (log,
                 log_look_how (log, "A", RAKE_SURFACE_WET, RAKE_WIPE_NOTHING, RAKE_LIGHT_ROOM, NAN),
                 rows[i].state);
      check (log, "A", rows[i].fact, 1, __LINE__);
      log_even (log, log_look (log, "A", 90)); /* another light, no pass between */
      check (log, "A", rows[i].fact, 1, __LINE__);
      log_pass (log, P800, "A", 0);
      check (log, "A", rows[i].fact, 1, __LINE__);
      log_even (log,
                log_look_how (log, "A", RAKE_SURFACE_WET, RAKE_WIPE_NOTHING, RAKE_LIGHT_LAMP, 90));
      check (log, "A", rows[i].fact, 1, __LINE__);
      log_even (log, log_look (log, "A", 90));
      check (log, "A", rows[i].fact, 0, __LINE__);
      log_state (log, log_look (log, "A", 0), rows[i].state);
      check (log, "A", rows[i].fact, 1, __LINE__);
      log_repair (log, "A", RAKE_REPAIR_SCRAPED, NULL, -1);
      check (log, "A", rows[i].fact, 0, __LINE__);
    }
}

static void
a_scratch_is_counted_from_where_it_last_changed (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  const RakeEntry *mark;

  log_pass (log, P800, "A", 0);
  log_begin (log, P1200);
  FACT ("A", PASSES_SINCE_SCRATCH, NONE);
  log_pass (log, P1200, "A", 90);
  mark = log_mark (log, log_look (log, "A", 0), RAKE_MARK_SCRATCH, 50, 50, 40);
  FACT ("A", PASSES_SINCE_SCRATCH, 0);
  log_pass (log, P1200, "A", 90);
  FACT ("A", PASSES_SINCE_SCRATCH, 0); /* not seen again yet */
  FACT ("A", MARKS_NOT_REVISITED, 1);
  log_still_there (log, log_look (log, "A", 0), mark, 0);
  FACT ("A", PASSES_SINCE_SCRATCH, 1);
  FACT ("A", MARKS_NOT_REVISITED, 0);
  log_pass (log, P1200, "A", 90);
  log_still_there (log, log_look (log, "A", 0), mark, 39);
  FACT ("A", PASSES_SINCE_SCRATCH, 2);
  log_pass (log, P1200, "A", 90);
  log_still_there (log, log_look (log, "A", 0), mark, 20);
  FACT ("A", PASSES_SINCE_SCRATCH, 0); /* it fades */
  FACT ("A", LONGEST_SCRATCH_MM, 20);
  log_pass (log, P800, "A", 0);
  log_still_there (log, log_look (log, "A", 0), mark, 0);
  FACT ("A", PASSES_SINCE_SCRATCH, 1); /* here is P800 now */
  log_pass (log, P1200, "A", 90);
  log_still_there (log, log_look (log, "A", 0), mark, 0);
  FACT ("A", PASSES_SINCE_SCRATCH, 1); /* and now P1200 again */
  log_gone (log, log_look (log, "A", 0), mark);
  FACT ("A", SCRATCHES, 0);
  FACT ("A", PASSES_SINCE_SCRATCH, NONE);
}

static void
carried_spots_ride_along_until_the_last_grit_has_been_over_them (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  const RakeEntry *look, *spot;

  log_pass (log, P800, "A", 0);
  look = log_look (log, "A", 90);
  spot = log_mark (log, look, RAKE_MARK_LOW_SPOT, 50, 50, 3);
  FACT ("A", CARRIED_LOW_SPOTS, 0);
  log_pass (log, P800, "A", 0);
  FACT ("A", MARKS_NOT_REVISITED, 0); /* of this stage: the next statement says it all again */
  log_still_there (log, log_look (log, "A", 90), spot, 0);
  log_pass (log, P1200, "A", 90);
  FACT ("A", CARRIED_LOW_SPOTS, 1);
  FACT ("A", MARKS_NOT_REVISITED, 0);
  log_even (log, log_look (log, "A", 0));
  FACT ("A", LOW_SPOT_FRACTION, 0); /* even says nothing of it, and does not close it */
  FACT ("A", CARRIED_LOW_SPOTS, 1);
  log_begin (log, P2000);
  FACT ("A", MARKS_NOT_REVISITED, 0);
  log_pass (log, P2000, "A", 0);
  FACT ("A", MARKS_NOT_REVISITED, 1);
  look = log_look (log, "A", 90);
  log_even (log, look);
  FACT ("A", MARKS_NOT_REVISITED, 1);
  log_still_there (log, look, spot, 0);
  FACT ("A", MARKS_NOT_REVISITED, 0);
  FACT ("A", CARRIED_LOW_SPOTS, 1);
  FACT ("A", LOW_SPOT_FRACTION, 0.0009);
  log_gone (log, log_look (log, "A", 0), spot);
  FACT ("A", CARRIED_LOW_SPOTS, 0);
  FACT ("A", LOW_SPOT_FRACTION, 0);
}

static void
a_zone_sent_back_begins_again_there (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_ACRYLIC_LACQUER, STAGES, "A 100, E 20 edge 1");
  const RakeEntry *mark;

  log_pass (log, P800, "A", 0);
  log_pass (log, P800, "A", 0);
  FACT ("A", PASSES_HERE, 2);
  FACT ("A", HAS_STAGE_BEFORE, 0);
  log_pass (log, P1200, "A E", 0);
  FACT ("A", PASSES_HERE, 1);
  FACT ("A", HAS_STAGE_BEFORE, 1);
  FACT ("E", HAS_STAGE_BEFORE, 0); /* P800 is not for it */
  log_pass (log, P800, "A", 0);
  FACT ("A", PASSES_HERE, 1);
  FACT ("A", PASSES_SINCE_COAT, 4);
  mark = log_mark (log, log_look (log, "A", 90), RAKE_MARK_RUN, 50, 50, 10);
  log_repair (log, "A", RAKE_REPAIR_LEVELLED, mark, P800);
  FACT ("A", PASSES_HERE, 0);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (before_anything_most_is_unknown_and_nothing_is_zero),
    cmocka_unit_test (the_gates_are_the_zones_and_the_stages_and_the_jobs_own),
    cmocka_unit_test (a_limit_nobody_set_is_unknown),
    cmocka_unit_test (only_a_dry_and_wiped_look_after_the_last_pass_counts),
    cmocka_unit_test (a_pass_or_a_repair_makes_every_look_stale),
    cmocka_unit_test (a_look_that_says_nothing_or_only_other_faults_has_not_said_how_even),
    cmocka_unit_test (that_a_mark_is_gone_does_not_say_how_even_the_zone_is),
    cmocka_unit_test (a_scratch_told_of_the_whole_zone_is_followed_too),
    cmocka_unit_test (lamps_are_held_against_the_strokes_of_the_grit_before),
    cmocka_unit_test (strokes_that_ran_two_ways_must_both_be_lit_across),
    cmocka_unit_test (low_spots_are_as_said_or_as_painted_whichever_is_more),
    cmocka_unit_test (a_later_look_that_tells_only_of_a_scratch_leaves_the_share_as_told),
    cmocka_unit_test (what_has_fallen_is_held_against_the_look_before_the_last_pass),
    cmocka_unit_test (islands_painted_are_followed_from_pass_to_pass),
    cmocka_unit_test (the_rest_is_level_when_no_second_island_would_fit_into_it),
    cmocka_unit_test (bad_news_counts_from_any_look_and_holds_until_a_proper_one_says_otherwise),
    cmocka_unit_test (a_scratch_is_counted_from_where_it_last_changed),
    cmocka_unit_test (carried_spots_ride_along_until_the_last_grit_has_been_over_them),
    cmocka_unit_test (a_zone_sent_back_begins_again_there),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
