/* fact-check.h - one fact of a zone held against a number, for tests of facts. */
#pragma once
#include "bench-log.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#define STAGES "level P800, refine P1200, refine P2000, last-look, buff cut, buff fine, rest"
#define MINUTE_MS (60 * 1000)
#define DAY_MS (24 * 60 * MINUTE_MS)
#define UNKNOWN (-1e9)
#define NONE (-2e9)

enum
{
  P800,
  P1200,
  P2000,
  LAST_LOOK,
  CUT,
  FINE,
  REST
};

static const RakeLimits limits = { .level_low_spot_fraction = 0.1,
                                   .level_island_mm = 6,
                                   .edge_low_spot_fraction = 0.25,
                                   .last_low_spot_fraction = 0,
                                   .last_edge_low_spot_fraction = 0.05,
                                   .cool_minutes = 30,
                                   .gloss_spread_gu = 5,
                                   .risk_limit_fraction = 0.05,
                                   .feather_mm = 30 };

/* UNKNOWN or NONE where the fact is not a number. */
static double
take (const BenchLog *log, const char *zone, RakeFact fact)
{
  RakeFacts facts;

  rake_facts_take (&facts, log->job, log_zone (log, zone), &limits, log->now_ms);
  if (facts.knowledge[fact] == RAKE_UNKNOWN)
    return UNKNOWN;
  return facts.knowledge[fact] == RAKE_NOT_APPLICABLE ? NONE : facts.value[fact];
}

static void
check (const BenchLog *log, const char *zone, RakeFact fact, double expected, int line)
{
  double value = take (log, zone, fact);

  if (fabs (value - expected) > 1e-6)
    fail_msg ("line %d: %s of %s is %g, expected %g", line, rake_fact_get_name (fact), zone, value,
              expected);
}

#define FACT(zone, fact, expected) check (log, zone, RAKE_FACT_##fact, expected, __LINE__)
