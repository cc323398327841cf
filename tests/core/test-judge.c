/* test-judge.c - what the built-in rules say: one situation or more for each line of the trade's list,
 * what is warned of before a pass, and that a zone nobody looked at is never ready. */
#include "bench-log.h"
#include <rakelight/record.h>
#include "job-support.h"
#include "rules-private.h"
#include "usual-stages.h"

/* --- situations as facts ----------------------------------------------------------------------------- */

/* Facts as text: "passes_here 3, low_spot_fraction 0.14, film_um ?, wheel_carried_other -". */
static void
set_facts (RakeFacts *facts, const char *text)
{
  g_auto (GStrv) pairs = g_strsplit (text, ", ", -1);

  for (guint i = 0; pairs[i] != NULL && *pairs[i] != '\0'; i++)
    {
      g_auto (GStrv) words = g_strsplit (pairs[i], " ", 2);
      RakeFact fact = rake_fact_from_name (words[0]);

      if (fact == RAKE_N_FACTS || words[1] == NULL)
        fail_msg ("\"%s\" is not a fact and its value", pairs[i]);
      facts->knowledge[fact] = *words[1] == '?'                       ? RAKE_UNKNOWN
                               : *words[1] == '-' && words[1][1] == 0 ? RAKE_NOT_APPLICABLE
                                                                      : RAKE_KNOWN;
      facts->value[fact] = g_ascii_strtod (words[1], NULL);
    }
}

#define CURED_AND_LOOKED_AT                                                                         \
  "is_edge 0, passes_here 2, passes_since_coat 2, looked_before_first_pass 1, looked_since_pass 1, " \
  "looked_poorly_since_pass 0, said_since_pass 1, marks_not_revisited 0, carried_low_spots 0, "      \
  "neighbour_repaired 0, scratches 0, passes_since_scratch -, witness_lines 0, burns 0, "            \
  "sand_throughs 0, repair_faults 0, shrink_backs 0, carried_faults 0, open_defects 0, " \
  "swirls 0, dull_spots 0, " \
  "coats_fuse 1, days_since_coat 30, cure_days 21, days_since_fill -, risk_limit 0.05, "             \
  "island_limit_mm 6, lights_seen 1, has_stage_before 1, is_last_sanding 0, is_after_sanding 0, "    \
  "minutes_since_buff -, "

/* A zone that is ready, at a stage of each action. */
static const struct
{
  RakeAction action;
  const char *facts;
} ready_at[] = {
  [RAKE_ACTION_LEVEL] = { RAKE_ACTION_LEVEL,
                          CURED_AND_LOOKED_AT "has_strokes_before 0, low_spot_fraction 0.08, "
                                              "largest_island_mm 5, low_spot_limit 0.1, "
                                              "has_stage_before 0" },
  [RAKE_ACTION_REFINE] = { RAKE_ACTION_REFINE,
                           CURED_AND_LOOKED_AT "has_strokes_before 1, lamp_across_strokes_deg 90, "
                                               "lamps_across_deg 0, low_spot_fraction 0, "
                                               "largest_island_mm 0, low_spot_limit 0.1" },
  [RAKE_ACTION_LAST_LOOK] = { RAKE_ACTION_LAST_LOOK,
                              CURED_AND_LOOKED_AT "passes_here 0, lamps_across_deg 70, "
                                                  "low_spot_fraction 0, low_spot_limit 0, "
                                                  "is_after_sanding 1" },
  [RAKE_ACTION_BUFF] = { RAKE_ACTION_BUFF,
                         CURED_AND_LOOKED_AT "passes_here 1, wiped_with_spirit 1, lights_seen 2, "
                                             "minutes_since_buff 40, cool_minutes 30, "
                                             "low_spot_fraction 0, low_spot_limit 0, "
                                             "is_after_sanding 1, wheel_carried_other 0, "
                                             "gloss_spread_limit_gu 5" },
  [RAKE_ACTION_REST] = { RAKE_ACTION_REST,
                         CURED_AND_LOOKED_AT "passes_here 0, wiped_with_spirit 1, lights_seen 2, "
                                             "minutes_since_buff 14400, days_since_buff 10, "
                                             "rest_days 7, rested_at_look_days 10, "
                                             "low_spot_fraction 0, low_spot_limit 0, "
                                             "is_after_sanding 1, wheel_carried_other -" },
};

#define LAST_GRIT "is_last_sanding 1, low_spot_limit 0, "
#define EDGE "is_edge 1, low_spot_limit 0.25, island_limit_mm -, "
#define LAST_EDGE "is_edge 1, is_last_sanding 1, low_spot_limit 0.05, island_limit_mm -, "

static const struct
{
  const char *source; /* the line of the trade's list, or the ruling that settled it */
  RakeAction action;
  const char *facts;  /* what differs from a zone that is ready */
  RakeVerdict verdict;
  const char *rule;   /* that speaks, and with that verdict */
} situations[] = {
  { "D1", RAKE_ACTION_LEVEL, "days_since_coat 20", RAKE_VERDICT_WAIT, "cure" },
  { "D1", RAKE_ACTION_LEVEL, "days_since_coat 21", RAKE_VERDICT_READY, "level-enough" },
  { "D1", RAKE_ACTION_BUFF, "days_since_coat 3", RAKE_VERDICT_WAIT, "cure" },
  { "D1", RAKE_ACTION_LEVEL, "paper_loaded 1", RAKE_VERDICT_WAIT, "paper-loaded" },
  { "D1", RAKE_ACTION_LEVEL, "paper_loaded ?", RAKE_VERDICT_READY, "level-enough" },
  { "D2", RAKE_ACTION_LEVEL,
    "passes_here 0, passes_since_coat 0, looked_before_first_pass 0, looked_since_pass 0, "
    "low_spot_fraction ?", RAKE_VERDICT_LOOK_AGAIN, "first-look" },
  { "D2", RAKE_ACTION_LEVEL, "passes_here 0, passes_since_coat 0", RAKE_VERDICT_SAND_AGAIN,
    "not-sanded-here" },
  { "D9", RAKE_ACTION_LEVEL, "passes_here 0, passes_since_coat 0, days_since_coat ?",
    RAKE_VERDICT_LOOK_AGAIN, "cure-not-known" },
  { "D5", RAKE_ACTION_LEVEL, "looked_since_pass 0, said_since_pass 0, low_spot_fraction ?",
    RAKE_VERDICT_LOOK_AGAIN, "not-looked-at" },
  { "D5", RAKE_ACTION_LEVEL,
    "looked_since_pass 0, said_since_pass 0, looked_poorly_since_pass 1, low_spot_fraction ?",
    RAKE_VERDICT_LOOK_AGAIN, "looked-at-poorly" },
  { "D9", RAKE_ACTION_LEVEL, "said_since_pass 0, low_spot_fraction ?", RAKE_VERDICT_LOOK_AGAIN,
    "nothing-said" },
  { "D6", RAKE_ACTION_REFINE, "lamp_across_strokes_deg 60", RAKE_VERDICT_READY, "refined" },
  { "D6", RAKE_ACTION_REFINE, "lamp_across_strokes_deg 59", RAKE_VERDICT_LOOK_AGAIN,
    "lamp-along-strokes" },
  { "D6", RAKE_ACTION_REFINE, "lamp_across_strokes_deg 10, lamps_across_deg 60", RAKE_VERDICT_READY,
    "refined" },
  { "D6", RAKE_ACTION_REFINE, "lamp_across_strokes_deg ?", RAKE_VERDICT_LOOK_AGAIN,
    "lamp-along-strokes" },
  { "D6", RAKE_ACTION_REFINE, "lamp_across_strokes_deg ?, lamps_across_deg 80", RAKE_VERDICT_READY,
    "refined" },
  { "D6", RAKE_ACTION_REFINE, "has_strokes_before 0, lamp_across_strokes_deg -", RAKE_VERDICT_READY,
    "refined" },
  { "D6", RAKE_ACTION_LAST_LOOK, "lamps_across_deg 59", RAKE_VERDICT_LOOK_AGAIN, "lamps-not-across" },
  { "D7", RAKE_ACTION_REFINE, "marks_not_revisited 1", RAKE_VERDICT_LOOK_AGAIN, "marks-from-before" },
  { "D8", RAKE_ACTION_BUFF, "wiped_with_spirit 0", RAKE_VERDICT_LOOK_AGAIN,
    "not-wiped-after-buffing" },
  { "D8", RAKE_ACTION_BUFF, "wiped_with_spirit ?", RAKE_VERDICT_LOOK_AGAIN,
    "not-wiped-after-buffing" },
  { "D8", RAKE_ACTION_BUFF, "lights_seen 1", RAKE_VERDICT_LOOK_AGAIN, "one-light-after-buffing" },
  { "D10", RAKE_ACTION_LEVEL, "low_spot_fraction 0.1, largest_island_mm 6", RAKE_VERDICT_READY,
    "level-enough" },
  { "a share without an island", RAKE_ACTION_LEVEL, "low_spot_fraction 0.1, largest_island_mm ?",
    RAKE_VERDICT_READY, "level-enough" },
  { "D11", RAKE_ACTION_LEVEL, "low_spot_fraction 0.101", RAKE_VERDICT_SAND_AGAIN, "low-spots" },
  { "D11", RAKE_ACTION_LEVEL, "largest_island_mm 6.1", RAKE_VERDICT_SAND_AGAIN, "large-island" },
  { "D11", RAKE_ACTION_REFINE, "low_spot_fraction 0.17", RAKE_VERDICT_SAND_AGAIN, "low-spots" },
  { "D12", RAKE_ACTION_LEVEL, EDGE "low_spot_fraction 0.25, largest_island_mm 40", RAKE_VERDICT_READY,
    "level-enough-edge" },
  { "D12", RAKE_ACTION_REFINE, EDGE "low_spot_fraction 0.26", RAKE_VERDICT_SAND_AGAIN,
    "low-spots-edge" },
  { "D12", RAKE_ACTION_REFINE, EDGE "low_spot_fraction 0.2", RAKE_VERDICT_READY, "refined-edge" },
  { "D13", RAKE_ACTION_LEVEL, "low_spot_fraction 0.28, low_spot_drop_fraction 0.067",
    RAKE_VERDICT_SAND_AGAIN, "stalled" },
  { "D13, a tenth", RAKE_ACTION_LEVEL, "low_spot_fraction 0.27, low_spot_drop_fraction 0.1",
    RAKE_VERDICT_SAND_AGAIN, "low-spots" },
  { "D13, ruling 4: not of a ready zone", RAKE_ACTION_LEVEL, "low_spot_drop_fraction 0.01",
    RAKE_VERDICT_READY, "level-enough" },
  { "D14", RAKE_ACTION_LEVEL,
    "passes_here 4, low_spot_fraction 0.12, largest_island_mm 21.5, island_shrink_fraction 0.02, "
    "other_islands_over_limit 0", RAKE_VERDICT_STOP, "hollow" },
  { "D14, others left", RAKE_ACTION_LEVEL,
    "passes_here 4, low_spot_fraction 0.12, largest_island_mm 21.5, island_shrink_fraction 0.02, "
    "other_islands_over_limit 1", RAKE_VERDICT_SAND_AGAIN, "low-spots" },
  { "D14, others not known", RAKE_ACTION_LEVEL,
    "passes_here 4, low_spot_fraction 0.12, largest_island_mm 21.5, island_shrink_fraction 0.02, "
    "other_islands_over_limit ?", RAKE_VERDICT_SAND_AGAIN, "low-spots" },
  { "D14, within the gate", RAKE_ACTION_LEVEL,
    "passes_here 4, island_shrink_fraction 0.02, other_islands_over_limit 0", RAKE_VERDICT_READY,
    "level-enough" },
  { "D16", RAKE_ACTION_LEVEL, "low_spot_fraction 0.3, risk_now 0.06, reserve_um 40",
    RAKE_VERDICT_STOP, "film-under-reserve" },
  { "D16, no reserve said", RAKE_ACTION_LEVEL, "low_spot_fraction 0.3, risk_now 0.06, reserve_um ?",
    RAKE_VERDICT_STOP, "film-at-its-end" },
  { "D16, ruling 5", RAKE_ACTION_LEVEL, "risk_now 0.06", RAKE_VERDICT_READY, "level-enough" },
  { "D17", RAKE_ACTION_REFINE, "low_spot_fraction 0.3, risk_after_next_pass 0.063", RAKE_VERDICT_STOP,
    "film-short-for-next-pass" },
  { "D17, at the limit", RAKE_ACTION_REFINE, "low_spot_fraction 0.3, risk_after_next_pass 0.05",
    RAKE_VERDICT_SAND_AGAIN, "low-spots" },
  { "D17, ruling 5", RAKE_ACTION_REFINE, "risk_after_next_pass 0.5", RAKE_VERDICT_READY, "refined" },
  { "D17, nobody looked yet", RAKE_ACTION_REFINE,
    "risk_after_next_pass 0.5, looked_since_pass 0, said_since_pass 0, low_spot_fraction ?",
    RAKE_VERDICT_LOOK_AGAIN, "not-looked-at" },
  { "D17, before the first pass of a grit", RAKE_ACTION_REFINE,
    "passes_here 0, risk_after_next_pass 0.5", RAKE_VERDICT_STOP, "film-short-for-next-pass" },
  { "D18", RAKE_ACTION_LEVEL, "sand_throughs 1", RAKE_VERDICT_REPAIR, "sand-through-fused" },
  { "D18", RAKE_ACTION_BUFF, "sand_throughs 1, coats_fuse 0", RAKE_VERDICT_REPAIR,
    "sand-through-not-fused" },
  { "D18", RAKE_ACTION_REST, "sand_throughs 1, coats_fuse ?", RAKE_VERDICT_REPAIR, "sand-through" },
  { "D18 outranks the calendar", RAKE_ACTION_LEVEL, "sand_throughs 1, days_since_coat 3",
    RAKE_VERDICT_REPAIR, "sand-through-fused" },
  { "D20", RAKE_ACTION_REFINE, "scratches 1, passes_since_scratch 1", RAKE_VERDICT_SAND_AGAIN,
    "scratch" },
  { "D21", RAKE_ACTION_REFINE, "scratches 1, passes_since_scratch 2", RAKE_VERDICT_SAND_AGAIN,
    "scratch-back" },
  { "D21, no grit before", RAKE_ACTION_LEVEL, "scratches 1, passes_since_scratch 2",
    RAKE_VERDICT_STOP, "scratch-at-first-grit" },
  { "D23", RAKE_ACTION_REFINE, LAST_GRIT "low_spot_fraction 0", RAKE_VERDICT_READY,
    "last-grit-done" },
  { "D23", RAKE_ACTION_REFINE, LAST_GRIT "low_spot_fraction 0.001", RAKE_VERDICT_SAND_AGAIN,
    "low-spots-last-grit" },
  { "D23", RAKE_ACTION_REFINE, LAST_EDGE "low_spot_fraction 0.05", RAKE_VERDICT_READY,
    "last-grit-done" },
  { "D23", RAKE_ACTION_REFINE, LAST_EDGE "low_spot_fraction 0.07", RAKE_VERDICT_SAND_AGAIN,
    "low-spots-last-grit" },
  { "D23", RAKE_ACTION_REFINE, LAST_GRIT "carried_low_spots 1", RAKE_VERDICT_SAND_AGAIN,
    "carried-low-spots" },
  { "D23", RAKE_ACTION_LAST_LOOK, "carried_low_spots 1", RAKE_VERDICT_SAND_AGAIN,
    "low-spots-after-sanding" },
  { "D24", RAKE_ACTION_REFINE, "scratches 1, passes_since_scratch 1, risk_after_next_pass 0.06",
    RAKE_VERDICT_STOP, "deep-scratch" },
  { "D25", RAKE_ACTION_LEVEL, "witness_lines 1, coats_fuse 0", RAKE_VERDICT_REPAIR,
    "witness-line-not-fused" },
  { "D25", RAKE_ACTION_LEVEL,
    "witness_lines 1, coats_fuse 0, last_coat_film_um 4, risk_after_next_pass 0.001",
    RAKE_VERDICT_REPAIR, "witness-line-not-fused" },
  { "D26", RAKE_ACTION_LEVEL,
    "witness_lines 1, coats_fuse 0, last_coat_film_um 3, risk_after_next_pass 0.001",
    RAKE_VERDICT_SAND_AGAIN, "witness-line-remnant" },
  { "D26, but no film", RAKE_ACTION_LEVEL,
    "witness_lines 1, coats_fuse 0, last_coat_film_um 3, risk_after_next_pass 0.06",
    RAKE_VERDICT_REPAIR, "witness-line-not-fused" },
  { "D26, but buffed", RAKE_ACTION_BUFF,
    "witness_lines 1, coats_fuse 0, last_coat_film_um 3, risk_after_next_pass 0.001",
    RAKE_VERDICT_REPAIR, "witness-line-not-fused" },
  { "D27", RAKE_ACTION_LEVEL, "witness_lines 1, coats_fuse 1", RAKE_VERDICT_LOOK_AGAIN,
    "witness-line-fused" },
  { "D25 or D27: who knows", RAKE_ACTION_LEVEL, "witness_lines 1, coats_fuse ?",
    RAKE_VERDICT_LOOK_AGAIN, "witness-line" },
  { "D28", RAKE_ACTION_BUFF, "minutes_since_buff 29", RAKE_VERDICT_WAIT, "warm-after-buffing" },
  { "D28", RAKE_ACTION_BUFF, "surface_celsius 46", RAKE_VERDICT_WAIT, "warm-surface" },
  { "D28", RAKE_ACTION_BUFF, "surface_celsius 39", RAKE_VERDICT_READY, "buffed" },
  { "D29", RAKE_ACTION_BUFF, "wheel_carried_other 1", RAKE_VERDICT_STOP, "wheel-carried-other" },
  { "D29", RAKE_ACTION_BUFF, "wheel_carried_other ?", RAKE_VERDICT_STOP, "wheel-not-known" },
  { "D29, by hand", RAKE_ACTION_BUFF, "wheel_carried_other -", RAKE_VERDICT_READY, "buffed" },
  { "D30", RAKE_ACTION_BUFF, "burns 1, minutes_since_buff 5, wheel_carried_other 1",
    RAKE_VERDICT_REPAIR, "burn" },
  { "D31", RAKE_ACTION_BUFF, "scratches 1", RAKE_VERDICT_SAND_AGAIN, "scratch-after-buffing" },
  { "D31", RAKE_ACTION_LAST_LOOK, "scratches 1", RAKE_VERDICT_SAND_AGAIN, "scratch-before-buffing" },
  { "D32, wipe and look", RAKE_ACTION_BUFF, "dull_spots 1, passes_since_dull 0, dull_seen_again 0",
    RAKE_VERDICT_LOOK_AGAIN, "dull-after-buffing" },
  { "D32, once more", RAKE_ACTION_BUFF, "dull_spots 1, passes_since_dull 0, dull_seen_again 1",
    RAKE_VERDICT_SAND_AGAIN, "dull-once-more" },
  { "D32, then paper", RAKE_ACTION_BUFF, "dull_spots 1, passes_since_dull 1, dull_seen_again 1",
    RAKE_VERDICT_SAND_AGAIN, "dull-back" },
  { "faults after buffing", RAKE_ACTION_BUFF, "swirls 1", RAKE_VERDICT_SAND_AGAIN, "swirl" },
  { "D34", RAKE_ACTION_REST, "days_since_buff 6", RAKE_VERDICT_WAIT, "rest" },
  { "D34", RAKE_ACTION_REST, "rested_at_look_days 0.1", RAKE_VERDICT_LOOK_AGAIN,
    "not-looked-at-after-rest" },
  { "D34", RAKE_ACTION_REST, "days_since_buff ?, rested_at_look_days ?", RAKE_VERDICT_LOOK_AGAIN,
    "rest-not-known" },
  { "D34", RAKE_ACTION_REST, "", RAKE_VERDICT_READY, "rested" },
  { "D35", RAKE_ACTION_REST, "repair_faults 1, shrink_backs 1", RAKE_VERDICT_REPAIR, "shrink-back" },
  { "D37", RAKE_ACTION_REFINE, "days_since_fill 1, fill_cure_days 2", RAKE_VERDICT_WAIT,
    "fill-cure" },
  { "D37", RAKE_ACTION_REFINE, "neighbour_repaired 1", RAKE_VERDICT_LOOK_AGAIN,
    "neighbour-repaired" },
  { "D39", RAKE_ACTION_BUFF, "gloss_above_others_gu 8", RAKE_VERDICT_SAND_AGAIN, "burnished" },
  { "D39", RAKE_ACTION_BUFF, "gloss_above_others_gu 5", RAKE_VERDICT_READY, "buffed" },
  { "D39", RAKE_ACTION_REFINE,
    LAST_GRIT "low_spot_fraction 0, gloss_above_others_gu 8, gloss_spread_limit_gu 5",
    RAKE_VERDICT_SAND_AGAIN, "burnished" },
  { "D40", RAKE_ACTION_LEVEL,
    "coats_fuse 0, low_spot_fraction 0.14, risk_now 0, last_coat_risk_after_next_pass 0.07",
    RAKE_VERDICT_STOP, "last-coat-short-for-next-pass" },
  { "D40, coats fuse", RAKE_ACTION_LEVEL,
    "coats_fuse 1, low_spot_fraction 0.14, last_coat_risk_after_next_pass 0.07",
    RAKE_VERDICT_SAND_AGAIN, "low-spots" },
  { "D41", RAKE_ACTION_LEVEL, "repair_faults 1", RAKE_VERDICT_REPAIR, "faults-to-repair" },
  { "D41, carried", RAKE_ACTION_LEVEL, "carried_faults 1", RAKE_VERDICT_READY, "level-enough" },
  { "D41, no place", RAKE_ACTION_REFINE, LAST_GRIT "open_defects 1", RAKE_VERDICT_REPAIR, "open-defect" },
  { "D41, last grit", RAKE_ACTION_REFINE, LAST_GRIT "carried_faults 1", RAKE_VERDICT_REPAIR,
    "carried-faults-fused" },
  { "D41, last grit", RAKE_ACTION_REFINE, LAST_GRIT "carried_faults 1, coats_fuse 0",
    RAKE_VERDICT_REPAIR, "carried-faults" },
  { "D41, last grit, who knows", RAKE_ACTION_REFINE, LAST_GRIT "carried_faults 1, coats_fuse ?",
    RAKE_VERDICT_REPAIR, "carried-faults" },
  { "D41, buffed", RAKE_ACTION_BUFF, "carried_faults 1", RAKE_VERDICT_REPAIR,
    "carried-faults-fused" },
  { "D41, not seen again", RAKE_ACTION_REFINE, LAST_GRIT "carried_faults 1, marks_not_revisited 1",
    RAKE_VERDICT_LOOK_AGAIN, "marks-from-before" },
  { "nothing done yet", RAKE_ACTION_BUFF, "passes_here 0, minutes_since_buff -", RAKE_VERDICT_SAND_AGAIN,
    "not-buffed-here" },
  { "D33, before the stage", RAKE_ACTION_BUFF,
    "passes_here 0, minutes_since_buff -, wheel_looked_over 0", RAKE_VERDICT_SAND_AGAIN,
    "wheel-not-looked-over" },
};

static const RakeReason *
find_reason (GPtrArray *reasons, const char *rule)
{
  for (guint i = 0; i < reasons->len; i++)
    if (strcmp (((const RakeReason *) reasons->pdata[i])->rule, rule) == 0)
      return reasons->pdata[i];
  return NULL;
}

static void
each_line_of_the_trades_list_is_said (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();

  for (gsize i = 0; i < G_N_ELEMENTS (situations); i++)
    {
      RakeAction action = situations[i].action;
      RakeFacts facts = { 0 };
      g_autoptr (GPtrArray) reasons = NULL;
      const RakeReason *strongest, *said;

      set_facts (&facts, ready_at[action].facts);
      set_facts (&facts, situations[i].facts);
      reasons = rake_rules_weigh (rules, action, &facts, NULL);
      if (reasons->len == 0)
        fail_msg ("%s: \"%s\": nothing is said", situations[i].source, situations[i].facts);
      strongest = reasons->pdata[0];
      said = find_reason (reasons, situations[i].rule);
      if (strongest->verdict != situations[i].verdict || said == NULL ||
          said->verdict != situations[i].verdict)
        fail_msg ("%s: \"%s\": %s says %s; expected %s from %s", situations[i].source,
                  situations[i].facts, strongest->rule,
                  rake_rules_get_verdict_word (strongest->verdict),
                  rake_rules_get_verdict_word (situations[i].verdict), situations[i].rule);
    }
}

static void
every_rule_is_met_by_some_situation (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (GHashTable) met = g_hash_table_new (g_str_hash, g_str_equal);

  for (gsize i = 0; i < G_N_ELEMENTS (situations); i++)
    g_hash_table_add (met, (gpointer) situations[i].rule);
  /* a zone that is ready as it is */
  g_hash_table_add (met, (gpointer) "last-look-done");
  for (guint i = 0; i < rules->rules->len; i++)
    {
      const RakeRule *rule = rules->rules->pdata[i];
      if (!g_hash_table_contains (met, rule->name))
        fail_msg ("no situation for %s", rule->name);
    }
}

static void
a_ready_zone_is_ready_at_every_kind_of_stage_and_nothing_else_speaks (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();

  for (int action = RAKE_ACTION_LEVEL; action <= RAKE_ACTION_REST; action++)
    {
      RakeFacts facts = { 0 };
      g_autoptr (GPtrArray) reasons = NULL;

      set_facts (&facts, ready_at[action].facts);
      reasons = rake_rules_weigh (rules, (RakeAction) action, &facts, NULL);
      assert_int_equal (reasons->len, 1);
      assert_int_equal (((const RakeReason *) reasons->pdata[0])->verdict, RAKE_VERDICT_READY);
    }
}

static void
every_rule_that_speaks_is_listed_strongest_first (void **state)
{
  static const char *const expected[] = { "burn",        "wheel-carried-other",
                                          "cure",        "warm-after-buffing",
                                          "one-light-after-buffing", "scratch-after-buffing" };
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (GPtrArray) reasons = NULL;
  RakeFacts facts = { 0 };

  set_facts (&facts, ready_at[RAKE_ACTION_BUFF].facts);
  set_facts (&facts, "scratches 1, lights_seen 1, minutes_since_buff 5, days_since_coat 3, "
                     "wheel_carried_other 1, burns 1");
  reasons = rake_rules_weigh (rules, RAKE_ACTION_BUFF, &facts, NULL);
  assert_int_equal (reasons->len, G_N_ELEMENTS (expected));
  for (guint i = 0; i < reasons->len; i++)
    assert_string_equal (((const RakeReason *) reasons->pdata[i])->rule, expected[i]);
}

static void
two_stops_say_two_sentences (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (GHashTable) sentences = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < rules->rules->len; i++)
    {
      const RakeRule *rule = rules->rules->pdata[i];
      if (rule->verdict == RAKE_VERDICT_STOP && !g_hash_table_add (sentences, rule->says))
        fail_msg ("%s says what another stop says", rule->name);
    }
}

/* --- never ready unseen ------------------------------------------------------------------------------ */

/* Any fact: not known, not applicable, or a number of the size such facts have. */
static void
set_random_facts (RakeFacts *facts, Random *random)
{
  for (int fact = 0; fact < RAKE_N_FACTS; fact++)
    {
      guint dice = random_below (random, 8);

      facts->knowledge[fact] = dice == 0   ? RAKE_UNKNOWN
                               : dice == 1 ? RAKE_NOT_APPLICABLE
                                           : RAKE_KNOWN;
      switch (rake_fact_get_unit ((RakeFact) fact))
        {
        case RAKE_UNIT_ANSWER:
          facts->value[fact] = random_below (random, 2);
          break;
        case RAKE_UNIT_NUMBER:
          facts->value[fact] = random_chance (random, 70) ? 0 : random_below (random, 4);
          break;
        case RAKE_UNIT_FRACTION:
          facts->value[fact] = random_chance (random, 50) ? 0 : random_real (random, 0, 1);
          break;
        default:
          facts->value[fact] = random_real (random, 0, 100);
          break;
        }
    }
}

/* What good news hangs on at any stage: the knowledge, not the number. */
static gboolean
is_seen (const RakeFacts *facts)
{
  return facts->knowledge[RAKE_FACT_LOOKED_SINCE_PASS] == RAKE_KNOWN &&
         facts->value[RAKE_FACT_LOOKED_SINCE_PASS] != 0 &&
         facts->knowledge[RAKE_FACT_SAID_SINCE_PASS] == RAKE_KNOWN &&
         facts->value[RAKE_FACT_SAID_SINCE_PASS] != 0 &&
         facts->knowledge[RAKE_FACT_LOW_SPOT_FRACTION] == RAKE_KNOWN &&
         facts->knowledge[RAKE_FACT_SCRATCHES] == RAKE_KNOWN &&
         facts->knowledge[RAKE_FACT_MARKS_NOT_REVISITED] == RAKE_KNOWN;
}

static void
no_facts_at_all_make_an_unseen_zone_ready (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  Random random = random_new (20261124);
  guint n_unseen = 0, n_ready = 0;

  for (int round = 0; round < 60000; round++)
    {
      RakeAction action = (RakeAction) (RAKE_ACTION_LEVEL + random_below (&random, 5));
      RakeFacts facts = { 0 };
      g_autoptr (GPtrArray) reasons = NULL;

      if (round % 2 == 0)
        set_random_facts (&facts, &random);
      else
        {
          /* nearly ready: a few facts are shaken */
          RakeFacts shaken;
          set_facts (&facts, ready_at[action].facts);
          set_random_facts (&shaken, &random);
          for (guint n = 1 + random_below (&random, 3); n > 0; n--)
            {
              guint fact = random_below (&random, RAKE_N_FACTS);
              facts.knowledge[fact] = shaken.knowledge[fact];
              facts.value[fact] = shaken.value[fact];
            }
        }
      reasons = rake_rules_weigh (rules, action, &facts, NULL);
      if (!is_seen (&facts))
        n_unseen++;
      if (reasons->len == 0 ||
          ((const RakeReason *) reasons->pdata[0])->verdict != RAKE_VERDICT_READY)
        continue;
      n_ready++;
      if (!is_seen (&facts))
        fail_msg ("round %d: ready by %s, unseen", round,
                  ((const RakeReason *) reasons->pdata[0])->rule);
    }
  assert_true (n_unseen > 10000 && n_ready > 5000);
}

/* An oracle of its own, from the bare history: after the last pass or repair there must be a dry look,
 * wiped if there was a pass, and something said in it. */
static gboolean
was_seen_by_history (const RakeZone *zone)
{
  gboolean has_pass = FALSE, is_seen_now = FALSE;
  const RakeEntry *looks[512];
  guint n_looks = 0;

  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_PASS || entry->kind == RAKE_ENTRY_REPAIR ||
          entry->kind == RAKE_ENTRY_COAT)
        {
          n_looks = 0;
          is_seen_now = FALSE;
          if (entry->kind == RAKE_ENTRY_PASS)
            has_pass = TRUE;
          else if (entry->kind == RAKE_ENTRY_COAT || entry->repair.method == RAKE_REPAIR_RECOAT)
            has_pass = FALSE;
        }
      else if (entry->kind == RAKE_ENTRY_LOOK && entry->look.surface == RAKE_SURFACE_DRY &&
               (!has_pass || entry->look.wiped_with > RAKE_WIPE_NOTHING) &&
               n_looks < G_N_ELEMENTS (looks))
        looks[n_looks++] = entry;
      else
        for (guint k = 0; k < n_looks; k++)
          if ((entry->kind == RAKE_ENTRY_STATE &&
               rake_id_equal (entry->state.look, looks[k]->id)) ||
              (entry->kind == RAKE_ENTRY_MARK && rake_id_equal (entry->mark.look, looks[k]->id)) ||
              (entry->kind == RAKE_ENTRY_REVISIT &&
               rake_id_equal (entry->revisit.look, looks[k]->id)))
            is_seen_now = TRUE;
    }
  return is_seen_now;
}

/* A careful finisher at a zone: a pass and looks from two sides that find it even. Now and then one
 * thing is left out, or done badly. */
static void
work_with_care (RandomBench *bench, const RakeZone *zone)
{
  RakeId id = zone->id, stage = zone->stage->id;
  gboolean has_pass = rake_job_find_stage (bench->job, stage)->action != RAKE_ACTION_LAST_LOOK &&
                      rake_job_find_stage (bench->job, stage)->action != RAKE_ACTION_REST;
  guint slip = random_below (bench->random, 6);

  if (has_pass)
    {
      RakeEntry *pass = new_pass (stage, id);
      random_bench_write (bench, &pass, 1);
      rake_entry_unref (pass);
    }
  for (int lamp = 0; lamp < 2; lamp++)
    {
      RakeEntry *look = new_look (id), *even;

      look->look.lamp_deg = 90 * lamp;
      look->look.light = lamp == 0 ? RAKE_LIGHT_LAMP : RAKE_LIGHT_POINT;
      look->look.wiped_with = slip == 0 ? RAKE_WIPE_NOTHING : RAKE_WIPE_SPIRIT;
      look->look.surface = slip == 1 ? RAKE_SURFACE_WET : RAKE_SURFACE_DRY;
      random_bench_write (bench, &look, 1);
      if (slip != 2)
        {
          even = new_state (look->id, RAKE_STATE_UNIFORM);
          random_bench_write (bench, &even, 1);
          rake_entry_unref (even);
        }
      rake_entry_unref (look);
    }
}

static void
no_logbook_makes_an_unseen_zone_ready (void **state)
{
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  guint n_ready = 0, n_other = 0;

  for (guint64 seed = 1; seed <= 60; seed++)
    {
      Random random = random_new (seed);
      g_autoptr (RandomBench) bench = random_bench_new (&random);

      for (int act = 0; act < 150; act++)
        {
          random_bench_act (bench);
          if (act % 5 != 0)
            continue;
          if (rake_job_get_n_faces (bench->job) > 0)
            {
              const RakeFace *face = rake_job_get_face (bench->job, 0);
              const RakeZone *zone = face->zones->pdata[random_below (&random, face->zones->len)];

              if (zone->stage != NULL && !rake_job_is_closed (bench->job))
                work_with_care (bench, zone);
            }
          for (guint f = 0; f < rake_job_get_n_faces (bench->job); f++)
            {
              const RakeFace *face = rake_job_get_face (bench->job, f);

              for (guint z = 0; z < face->zones->len; z++)
                {
                  const RakeZone *zone = face->zones->pdata[z];
                  /* two months on, so that cure does not outrank what is tested here */
                  g_autoptr (RakeJudgement) judgement =
                      rake_rules_judge (rules, bench->job, zone,
                                        bench->now_ms + G_GINT64_CONSTANT (60) * 24 * 3600 * 1000);

                  if (judgement->verdict != RAKE_VERDICT_READY || judgement->is_accepted)
                    {
                      n_other++;
                      continue;
                    }
                  n_ready++;
                  if (!was_seen_by_history (zone))
                    fail_msg ("seed %d, act %d: %s is ready, unseen", (int) seed, act, zone->name);
                }
            }
        }
    }
  /* both kinds came up, or this test shows nothing */
  assert_true (n_ready > 200 && n_other > 2000);
}

/* --- before a pass ------------------------------------------------------------------------------------ */

static void
a_pass_is_warned_of_before_it_is_made (void **state)
{
  static const struct
  {
    const char *source;
    RakeAction action;
    const char *facts, *says; /* NULL: no warning */
  } rows[] = {
    { "D15", RAKE_ACTION_LEVEL, "", "level enough" },
    { "D15", RAKE_ACTION_REFINE, "", "next grit" },
    { "sand again: go on", RAKE_ACTION_LEVEL, "low_spot_fraction 0.3", NULL },
    { "a look is due, a pass is no harm", RAKE_ACTION_LEVEL,
      "looked_since_pass 0, said_since_pass 0, low_spot_fraction ?", NULL },
    { "D1", RAKE_ACTION_LEVEL, "days_since_coat 3, cure_days_left 18", "another 18 days" },
    { "D30", RAKE_ACTION_LEVEL, "burns 1", "heat mark" },
    { "D17, nobody looked yet", RAKE_ACTION_LEVEL,
      "looked_since_pass 0, said_since_pass 0, low_spot_fraction ?, risk_after_next_pass 0.07",
      "7 %" },
    { "D17", RAKE_ACTION_LEVEL, "low_spot_fraction 0.3, risk_after_next_pass 0.07", "7 %" },
  };
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *warning = NULL;
      g_autoptr (RakeJudgement) judgement = g_new0 (RakeJudgement, 1);

      log_begin (log, rows[i].action == RAKE_ACTION_LEVEL ? P800 : P1200);
      set_facts (&judgement->facts, ready_at[rows[i].action].facts);
      set_facts (&judgement->facts, rows[i].facts);
      judgement->reasons =
          rake_rules_weigh (rules, rows[i].action, &judgement->facts, log_zone (log, "A"));
      judgement->verdict = ((const RakeReason *) judgement->reasons->pdata[0])->verdict;
      warning = rake_rules_warn_before_pass (rules, log_zone (log, "A"), judgement);
      if ((warning == NULL) != (rows[i].says == NULL) ||
          (warning != NULL && strstr (warning, rows[i].says) == NULL))
        fail_msg ("%s: \"%s\"", rows[i].source, warning != NULL ? warning : "no warning");
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (each_line_of_the_trades_list_is_said),
    cmocka_unit_test (every_rule_is_met_by_some_situation),
    cmocka_unit_test (a_ready_zone_is_ready_at_every_kind_of_stage_and_nothing_else_speaks),
    cmocka_unit_test (every_rule_that_speaks_is_listed_strongest_first),
    cmocka_unit_test (two_stops_say_two_sentences),
    cmocka_unit_test (no_facts_at_all_make_an_unseen_zone_ready),
    cmocka_unit_test (no_logbook_makes_an_unseen_zone_ready),
    cmocka_unit_test (a_pass_is_warned_of_before_it_is_made),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
