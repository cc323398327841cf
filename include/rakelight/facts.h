/* facts.h - what is known of a zone at its present stage, as numbers a rule can ask about.
 *
 * A fact is known or unknown. Unknown is not zero and not "no": a condition on it is unknown too.
 * Some facts do not apply (strokes before the first stage, wheels when none was used): a condition
 * on them is false, whichever way round it is put. Each has a unit; docs/judging.md says in words
 * how each is taken from the logbook. */
#pragma once
#include <rakelight/job.h>

typedef enum
{
  RAKE_UNIT_NUMBER,   /* a count */
  RAKE_UNIT_ANSWER,   /* yes 1, no 0 */
  RAKE_UNIT_FRACTION, /* 0 to 1; "%" in rules */
  RAKE_UNIT_MM,
  RAKE_UNIT_UM,
  RAKE_UNIT_DEG,
  RAKE_UNIT_DAY,
  RAKE_UNIT_MINUTE,
  RAKE_UNIT_CELSIUS,
  RAKE_UNIT_GU,
} RakeUnit;

typedef enum
{
  /* where the zone stands */
  RAKE_FACT_IS_EDGE,
  RAKE_FACT_IS_LAST_SANDING,
  RAKE_FACT_IS_AFTER_SANDING,         /* the last look, buffing or the rest */
  RAKE_FACT_IS_SATIN,
  RAKE_FACT_HAS_STAGE_BEFORE,         /* a coarser sanding stage that the zone has too */
  RAKE_FACT_PASSES_HERE,              /* the latest run of passes at this stage, since the last coat */
  RAKE_FACT_PASSES_SINCE_COAT,
  /* looks */
  RAKE_FACT_LOOKED_BEFORE_FIRST_PASS, /* a dry look since the last coat (any number of passes) */
  RAKE_FACT_LOOKED_SINCE_PASS,        /* a proper look: after the last pass, dry, wiped */
  RAKE_FACT_LOOKED_POORLY_SINCE_PASS, /* only wet, dusty, warm, hazed or unwiped ones */
  RAKE_FACT_SAID_SINCE_PASS,          /* a proper look said what the zone shows */
  RAKE_FACT_HAS_STROKES_BEFORE,       /* the stage before left strokes here */
  RAKE_FACT_LAMP_ACROSS_STROKES_DEG,  /* best angle of a proper look's lamp to them, 0 to 90 */
  RAKE_FACT_LAMPS_ACROSS_DEG,         /* best angle between two proper looks' lamps, 0 to 90 */
  RAKE_FACT_LIGHTS_SEEN,              /* kinds of light of proper looks */
  RAKE_FACT_WIPED_WITH_SPIRIT,        /* (or as the finish bears) since the last pass */
  RAKE_FACT_MARKS_NOT_REVISITED,      /* open marks that want another look, see judging.md */
  RAKE_FACT_CARRIED_LOW_SPOTS,        /* open low spots from an earlier stage */
  RAKE_FACT_NEIGHBOUR_REPAIRED,       /* within the feather band, since the last proper look */
  /* low spots */
  RAKE_FACT_LOW_SPOT_FRACTION,
  RAKE_FACT_LARGEST_ISLAND_MM,
  RAKE_FACT_LOW_SPOT_DROP_FRACTION,   /* fallen since the look before the last pass, of itself */
  RAKE_FACT_ISLAND_SHRINK_FRACTION,   /* of the largest island over the last two passes */
  RAKE_FACT_OTHER_ISLANDS_OVER_LIMIT, /* islands over the limit besides the largest */
  RAKE_FACT_LOW_SPOT_LIMIT,           /* the gate for this zone at this stage */
  RAKE_FACT_ISLAND_LIMIT_MM,
  /* what else was seen */
  RAKE_FACT_SCRATCHES,
  RAKE_FACT_LONGEST_SCRATCH_MM,
  RAKE_FACT_PASSES_SINCE_SCRATCH,     /* at this stage, that left the oldest open one as it was */
  RAKE_FACT_WITNESS_LINES,
  RAKE_FACT_BURNS,
  RAKE_FACT_SAND_THROUGHS,
  RAKE_FACT_REPAIR_FAULTS,            /* lifting, imprint, shrink-back: open */
  RAKE_FACT_SHRINK_BACKS,             /* of these, the shrink-backs */
  RAKE_FACT_CARRIED_FAULTS,           /* run, nib, crater, pinhole: open */
  RAKE_FACT_OPEN_DEFECTS,             /* on record as open, without a mark that could say so */
  RAKE_FACT_SWIRLS,
  RAKE_FACT_DULL_SPOTS,
  RAKE_FACT_PASSES_SINCE_DULL,        /* that left the oldest open dull spot as it was */
  RAKE_FACT_DULL_SEEN_AGAIN,          /* in a later look than the one that found it */
  /* film and coats */
  RAKE_FACT_COATS_FUSE,
  RAKE_FACT_DAYS_SINCE_COAT,
  RAKE_FACT_CURE_DAYS,
  RAKE_FACT_CURE_DAYS_LEFT,           /* 0 once cured; so all that end in LEFT */
  RAKE_FACT_PAPER_LOADED,             /* in the last pass since the coat */
  RAKE_FACT_DAYS_SINCE_FILL,          /* since the last repair that wants its own wait */
  RAKE_FACT_FILL_CURE_DAYS,
  RAKE_FACT_FILL_CURE_DAYS_LEFT,
  /* buffing and after */
  RAKE_FACT_MINUTES_SINCE_BUFF,
  RAKE_FACT_COOL_MINUTES,
  RAKE_FACT_COOL_MINUTES_LEFT,
  RAKE_FACT_SURFACE_CELSIUS,          /* read since the last pass, and not long ago */
  RAKE_FACT_WHEEL_CARRIED_OTHER,      /* the wheel of the last buffing */
  RAKE_FACT_WHEEL_LOOKED_OVER,        /* that this stage's compound would go on, since its last pass */
  RAKE_FACT_DAYS_SINCE_BUFF,
  RAKE_FACT_REST_DAYS,
  RAKE_FACT_REST_DAYS_LEFT,
  RAKE_FACT_RESTED_AT_LOOK_DAYS,      /* from the last buffing to the last proper look */
  RAKE_FACT_GLOSS_ABOVE_OTHERS_GU,    /* mean here minus the middle of the other zones' means */
  RAKE_FACT_GLOSS_SPREAD_LIMIT_GU,
  /* film: unknown while no coat or reading tells it, see docs/film.md */
  RAKE_FACT_FILM_UM,
  RAKE_FACT_RESERVE_UM,
  RAKE_FACT_LAST_COAT_FILM_UM,        /* above the line under the last coat */
  RAKE_FACT_RISK_NOW,
  RAKE_FACT_RISK_AFTER_NEXT_PASS,
  RAKE_FACT_LAST_COAT_RISK_AFTER_NEXT_PASS,
  RAKE_FACT_RISK_AT_END,              /* of the schedule */
  RAKE_FACT_LAST_COAT_RISK_AT_END,
  RAKE_FACT_RISK_LIMIT,
  RAKE_N_FACTS,
} RakeFact;

typedef enum { RAKE_UNKNOWN, RAKE_KNOWN, RAKE_NOT_APPLICABLE } RakeKnowledge;

typedef struct
{
  RakeKnowledge knowledge[RAKE_N_FACTS];
  double value[RAKE_N_FACTS];
} RakeFacts;

/* The name a rule uses ("low_spot_fraction"), its unit, and back. RAKE_N_FACTS when there is none. */
const char *rake_fact_get_name (RakeFact fact);
RakeUnit rake_fact_get_unit (RakeFact fact);
RakeFact rake_fact_from_name (const char *name);

/* All facts of @zone at its present stage.
 *
 * limits  the gates that the job does not set itself, by name (see rules.h); may not be NULL
 * now_ms  the time to judge at, UTC */
typedef struct
{
  double level_low_spot_fraction, level_island_mm, edge_low_spot_fraction;
  double last_low_spot_fraction, last_edge_low_spot_fraction;
  double cool_minutes, gloss_spread_gu, risk_limit_fraction, feather_mm;
} RakeLimits;

void rake_facts_take (RakeFacts *facts, const RakeJob *job, const RakeZone *zone,
                      const RakeLimits *limits, gint64 now_ms);

/* How much was glossy between one pass and the next, as the proper looks then told it. */
typedef struct
{
  const RakeEntry *pass;      /* the pass before; NULL: before the first since the last coat */
  double low_spot_fraction;   /* 0 to 1; NaN: no proper look said what the zone shows */
  double largest_island_mm;   /* NaN: not known */
} RakeShareTold;

/* The story of a zone's glossy share since the last coat: before the first pass, then after each.
 * The last is what the facts say now. Returns an array of RakeShareTold, 1 or more, that the caller
 * g_array_unref()s; the entries are the job's. */
GArray *rake_facts_take_shares (const RakeJob *job, const RakeZone *zone, const RakeLimits *limits);

/* The folded angle between two directions as lines: 0 (along) to 90 (square across). */
double rake_angle_between_lines_deg (double a_deg, double b_deg);
