/* facts.c - the names and units of the facts, and which way two lines lie to each other. */
#include <rakelight/facts.h>

#include <math.h>
#include <string.h>

static const struct
{
  const char *name;
  RakeUnit unit;
} facts_table[RAKE_N_FACTS] = {
  [RAKE_FACT_IS_EDGE] = { "is_edge", RAKE_UNIT_ANSWER },
  [RAKE_FACT_IS_LAST_SANDING] = { "is_last_sanding", RAKE_UNIT_ANSWER },
  [RAKE_FACT_IS_AFTER_SANDING] = { "is_after_sanding", RAKE_UNIT_ANSWER },
  [RAKE_FACT_IS_SATIN] = { "is_satin", RAKE_UNIT_ANSWER },
  [RAKE_FACT_HAS_STAGE_BEFORE] = { "has_stage_before", RAKE_UNIT_ANSWER },
  [RAKE_FACT_PASSES_HERE] = { "passes_here", RAKE_UNIT_NUMBER },
  [RAKE_FACT_PASSES_SINCE_COAT] = { "passes_since_coat", RAKE_UNIT_NUMBER },
  [RAKE_FACT_LOOKED_BEFORE_FIRST_PASS] = { "looked_before_first_pass", RAKE_UNIT_ANSWER },
  [RAKE_FACT_LOOKED_SINCE_PASS] = { "looked_since_pass", RAKE_UNIT_ANSWER },
  [RAKE_FACT_LOOKED_POORLY_SINCE_PASS] = { "looked_poorly_since_pass", RAKE_UNIT_ANSWER },
  [RAKE_FACT_SAID_SINCE_PASS] = { "said_since_pass", RAKE_UNIT_ANSWER },
  [RAKE_FACT_HAS_STROKES_BEFORE] = { "has_strokes_before", RAKE_UNIT_ANSWER },
  [RAKE_FACT_LAMP_ACROSS_STROKES_DEG] = { "lamp_across_strokes_deg", RAKE_UNIT_DEG },
  [RAKE_FACT_LAMPS_ACROSS_DEG] = { "lamps_across_deg", RAKE_UNIT_DEG },
  [RAKE_FACT_LIGHTS_SEEN] = { "lights_seen", RAKE_UNIT_NUMBER },
  [RAKE_FACT_WIPED_WITH_SPIRIT] = { "wiped_with_spirit", RAKE_UNIT_ANSWER },
  [RAKE_FACT_MARKS_NOT_REVISITED] = { "marks_not_revisited", RAKE_UNIT_NUMBER },
  [RAKE_FACT_CARRIED_LOW_SPOTS] = { "carried_low_spots", RAKE_UNIT_NUMBER },
  [RAKE_FACT_NEIGHBOUR_REPAIRED] = { "neighbour_repaired", RAKE_UNIT_ANSWER },
  [RAKE_FACT_LOW_SPOT_FRACTION] = { "low_spot_fraction", RAKE_UNIT_FRACTION },
  [RAKE_FACT_LARGEST_ISLAND_MM] = { "largest_island_mm", RAKE_UNIT_MM },
  [RAKE_FACT_LOW_SPOT_DROP_FRACTION] = { "low_spot_drop_fraction", RAKE_UNIT_FRACTION },
  [RAKE_FACT_ISLAND_SHRINK_FRACTION] = { "island_shrink_fraction", RAKE_UNIT_FRACTION },
  [RAKE_FACT_OTHER_ISLANDS_OVER_LIMIT] = { "other_islands_over_limit", RAKE_UNIT_NUMBER },
  [RAKE_FACT_LOW_SPOT_LIMIT] = { "low_spot_limit", RAKE_UNIT_FRACTION },
  [RAKE_FACT_ISLAND_LIMIT_MM] = { "island_limit_mm", RAKE_UNIT_MM },
  [RAKE_FACT_SCRATCHES] = { "scratches", RAKE_UNIT_NUMBER },
  [RAKE_FACT_LONGEST_SCRATCH_MM] = { "longest_scratch_mm", RAKE_UNIT_MM },
  [RAKE_FACT_PASSES_SINCE_SCRATCH] = { "passes_since_scratch", RAKE_UNIT_NUMBER },
  [RAKE_FACT_WITNESS_LINES] = { "witness_lines", RAKE_UNIT_NUMBER },
  [RAKE_FACT_BURNS] = { "burns", RAKE_UNIT_NUMBER },
  [RAKE_FACT_SAND_THROUGHS] = { "sand_throughs", RAKE_UNIT_NUMBER },
  [RAKE_FACT_REPAIR_FAULTS] = { "repair_faults", RAKE_UNIT_NUMBER },
  [RAKE_FACT_SHRINK_BACKS] = { "shrink_backs", RAKE_UNIT_NUMBER },
  [RAKE_FACT_CARRIED_FAULTS] = { "carried_faults", RAKE_UNIT_NUMBER },
  [RAKE_FACT_OPEN_DEFECTS] = { "open_defects", RAKE_UNIT_NUMBER },
  [RAKE_FACT_SWIRLS] = { "swirls", RAKE_UNIT_NUMBER },
  [RAKE_FACT_DULL_SPOTS] = { "dull_spots", RAKE_UNIT_NUMBER },
  [RAKE_FACT_PASSES_SINCE_DULL] = { "passes_since_dull", RAKE_UNIT_NUMBER },
  [RAKE_FACT_DULL_SEEN_AGAIN] = { "dull_seen_again", RAKE_UNIT_ANSWER },
  [RAKE_FACT_COATS_FUSE] = { "coats_fuse", RAKE_UNIT_ANSWER },
  [RAKE_FACT_DAYS_SINCE_COAT] = { "days_since_coat", RAKE_UNIT_DAY },
  [RAKE_FACT_CURE_DAYS] = { "cure_days", RAKE_UNIT_DAY },
  [RAKE_FACT_CURE_DAYS_LEFT] = { "cure_days_left", RAKE_UNIT_DAY },
  [RAKE_FACT_PAPER_LOADED] = { "paper_loaded", RAKE_UNIT_ANSWER },
  [RAKE_FACT_DAYS_SINCE_FILL] = { "days_since_fill", RAKE_UNIT_DAY },
  [RAKE_FACT_FILL_CURE_DAYS] = { "fill_cure_days", RAKE_UNIT_DAY },
  [RAKE_FACT_FILL_CURE_DAYS_LEFT] = { "fill_cure_days_left", RAKE_UNIT_DAY },
  [RAKE_FACT_MINUTES_SINCE_BUFF] = { "minutes_since_buff", RAKE_UNIT_MINUTE },
  [RAKE_FACT_COOL_MINUTES] = { "cool_minutes", RAKE_UNIT_MINUTE },
  [RAKE_FACT_COOL_MINUTES_LEFT] = { "cool_minutes_left", RAKE_UNIT_MINUTE },
  [RAKE_FACT_SURFACE_CELSIUS] = { "surface_celsius", RAKE_UNIT_CELSIUS },
  [RAKE_FACT_WHEEL_CARRIED_OTHER] = { "wheel_carried_other", RAKE_UNIT_ANSWER },
  [RAKE_FACT_WHEEL_LOOKED_OVER] = { "wheel_looked_over", RAKE_UNIT_ANSWER },
  [RAKE_FACT_DAYS_SINCE_BUFF] = { "days_since_buff", RAKE_UNIT_DAY },
  [RAKE_FACT_REST_DAYS] = { "rest_days", RAKE_UNIT_DAY },
  [RAKE_FACT_REST_DAYS_LEFT] = { "rest_days_left", RAKE_UNIT_DAY },
  [RAKE_FACT_RESTED_AT_LOOK_DAYS] = { "rested_at_look_days", RAKE_UNIT_DAY },
  [RAKE_FACT_GLOSS_ABOVE_OTHERS_GU] = { "gloss_above_others_gu", RAKE_UNIT_GU },
  [RAKE_FACT_GLOSS_SPREAD_LIMIT_GU] = { "gloss_spread_limit_gu", RAKE_UNIT_GU },
  [RAKE_FACT_FILM_UM] = { "film_um", RAKE_UNIT_UM },
  [RAKE_FACT_RESERVE_UM] = { "reserve_um", RAKE_UNIT_UM },
  [RAKE_FACT_LAST_COAT_FILM_UM] = { "last_coat_film_um", RAKE_UNIT_UM },
  [RAKE_FACT_RISK_NOW] = { "risk_now", RAKE_UNIT_FRACTION },
  [RAKE_FACT_RISK_AFTER_NEXT_PASS] = { "risk_after_next_pass", RAKE_UNIT_FRACTION },
  [RAKE_FACT_LAST_COAT_RISK_AFTER_NEXT_PASS] = { "last_coat_risk_after_next_pass",
                                                 RAKE_UNIT_FRACTION },
  [RAKE_FACT_RISK_AT_END] = { "risk_at_end", RAKE_UNIT_FRACTION },
  [RAKE_FACT_LAST_COAT_RISK_AT_END] = { "last_coat_risk_at_end", RAKE_UNIT_FRACTION },
  [RAKE_FACT_RISK_LIMIT] = { "risk_limit", RAKE_UNIT_FRACTION },
};

const char *
rake_fact_get_name (RakeFact fact)
{
  g_return_val_if_fail ((guint) fact < RAKE_N_FACTS, NULL);
  return facts_table[fact].name;
}

RakeUnit
rake_fact_get_unit (RakeFact fact)
{
  g_return_val_if_fail ((guint) fact < RAKE_N_FACTS, RAKE_UNIT_NUMBER);
  return facts_table[fact].unit;
}

RakeFact
rake_fact_from_name (const char *name)
{
  g_return_val_if_fail (name != NULL, RAKE_N_FACTS);
  for (int fact = 0; fact < RAKE_N_FACTS; fact++)
    if (strcmp (facts_table[fact].name, name) == 0)
      return (RakeFact) fact;
  return RAKE_N_FACTS;
}

double
rake_angle_between_lines_deg (double a_deg, double b_deg)
{
  double angle_deg = fmod (fabs (a_deg - b_deg), 180.0);

  return MIN (angle_deg, 180.0 - angle_deg);
}
