/* rules.c - a rule set as a value: its limits, its words, and the set written out as one file. */
#include "rules-private.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

static const struct
{
  const char *name;
  RakeUnit unit;
  gsize offset;
} limits_table[] = {
  { "level_low_spot_fraction", RAKE_UNIT_FRACTION, offsetof (RakeLimits, level_low_spot_fraction) },
  { "level_island_mm", RAKE_UNIT_MM, offsetof (RakeLimits, level_island_mm) },
  { "edge_low_spot_fraction", RAKE_UNIT_FRACTION, offsetof (RakeLimits, edge_low_spot_fraction) },
  { "last_low_spot_fraction", RAKE_UNIT_FRACTION, offsetof (RakeLimits, last_low_spot_fraction) },
  { "last_edge_low_spot_fraction", RAKE_UNIT_FRACTION,
    offsetof (RakeLimits, last_edge_low_spot_fraction) },
  { "cool_minutes", RAKE_UNIT_MINUTE, offsetof (RakeLimits, cool_minutes) },
  { "gloss_spread_gu", RAKE_UNIT_GU, offsetof (RakeLimits, gloss_spread_gu) },
  { "risk_limit_fraction", RAKE_UNIT_FRACTION, offsetof (RakeLimits, risk_limit_fraction) },
  { "feather_mm", RAKE_UNIT_MM, offsetof (RakeLimits, feather_mm) },
};

static const char *const verdict_words[RAKE_N_VERDICTS] = {
  [RAKE_VERDICT_READY] = "ready",           [RAKE_VERDICT_SAND_AGAIN] = "sand-again",
  [RAKE_VERDICT_LOOK_AGAIN] = "look-again", [RAKE_VERDICT_WAIT] = "wait",
  [RAKE_VERDICT_STOP] = "stop",             [RAKE_VERDICT_REPAIR] = "repair",
};

static const char *const action_words[] = {
  [RAKE_ACTION_LEVEL] = "level",         [RAKE_ACTION_REFINE] = "refine",
  [RAKE_ACTION_LAST_LOOK] = "last-look", [RAKE_ACTION_BUFF] = "buff",
  [RAKE_ACTION_REST] = "rest",
};

extern const char rake_builtin_rules[]; /* made from data/rules/rakelight.rules by the build */

static double *
limit_at (RakeLimits *limits, gsize index)
{
  return (double *) (gpointer) ((char *) limits + limits_table[index].offset);
}

double *
rake_limits_find (RakeLimits *limits, const char *name, RakeUnit *unit)
{
  for (gsize i = 0; i < G_N_ELEMENTS (limits_table); i++)
    if (strcmp (limits_table[i].name, name) == 0)
      {
        if (unit != NULL)
          *unit = limits_table[i].unit;
        return limit_at (limits, i);
      }
  return NULL;
}

const char *
rake_rules_get_verdict_word (RakeVerdict verdict)
{
  return verdict_words[verdict];
}

RakeVerdict
rake_rules_find_verdict (const char *word)
{
  for (int i = RAKE_VERDICT_READY; i < RAKE_N_VERDICTS; i++)
    if (strcmp (verdict_words[i], word) == 0)
      return (RakeVerdict) i;
  return RAKE_VERDICT_NONE;
}

const char *
rake_rules_get_action_word (RakeAction action)
{
  return action_words[action];
}

RakeAction
rake_rules_find_action (const char *word)
{
  for (gsize i = RAKE_ACTION_LEVEL; i < G_N_ELEMENTS (action_words); i++)
    if (strcmp (action_words[i], word) == 0)
      return (RakeAction) i;
  return RAKE_ACTION_UNSAID;
}

const RakeRule *
rake_rules_find (const RakeRules *rules, const char *name)
{
  for (guint i = 0; i < rules->rules->len; i++)
    {
      const RakeRule *rule = rules->rules->pdata[i];
      if (strcmp (rule->name, name) == 0)
        return rule;
    }
  return NULL;
}

const char *
rake_rules_get_builtin_text (void)
{
  return rake_builtin_rules;
}

RakeRules *
rake_rules_ref (RakeRules *rules)
{
  g_return_val_if_fail (rules != NULL, NULL);
  g_atomic_ref_count_inc (&rules->n_refs);
  return rules;
}

void
rake_rules_unref (RakeRules *rules)
{
  if (rules == NULL || !g_atomic_ref_count_dec (&rules->n_refs))
    return;
  g_ptr_array_unref (rules->rules);
  g_ptr_array_unref (rules->preparations);
  g_free (rules);
}

const RakeLimits *
rake_rules_get_limits (const RakeRules *rules)
{
  g_return_val_if_fail (rules != NULL, NULL);
  return &rules->limits;
}

guint
rake_rules_get_n_rules (const RakeRules *rules)
{
  g_return_val_if_fail (rules != NULL, 0);
  return rules->rules->len;
}

GPtrArray *
rake_rules_get_preparations (const RakeRules *rules)
{
  g_return_val_if_fail (rules != NULL, NULL);
  return rules->preparations;
}

gboolean
rake_preparation_is_for (const RakePreparation *preparation, const RakeStage *stage,
                         const RakeStage *before)
{
  if ((preparation->stages & (1u << stage->action)) == 0)
    return FALSE;
  return preparation->after == RAKE_STAGES_ANY ||
         (before != NULL && (preparation->after & (1u << before->action)) != 0);
}

static void
append_sentence (GString *text, const char *keyword, const char *sentence)
{
  if (sentence != NULL)
    g_string_append_printf (text, "  %-8s \"%s\"\n", keyword, sentence);
}

static void
append_stages (GString *text, guint stages)
{
  if (stages == RAKE_STAGES_ANY)
    g_string_append (text, " any");
  else
    for (gsize i = RAKE_ACTION_LEVEL; i < G_N_ELEMENTS (action_words); i++)
      if ((stages & (1u << i)) != 0)
        g_string_append_printf (text, " %s", action_words[i]);
}

static void
append_preparation (GString *text, const RakePreparation *preparation)
{
  g_string_append_printf (text, "prepare %s", preparation->name);
  if (preparation->stages != RAKE_STAGES_ANY)
    append_stages (text, preparation->stages);
  if (preparation->after != RAKE_STAGES_ANY)
    {
      g_string_append (text, " after");
      append_stages (text, preparation->after);
    }
  g_string_append_printf (text, " \"%s\"\n", preparation->sentence);
}

static void
append_rule (GString *text, const RakeRule *rule)
{
  g_string_append_printf (text, "\nrule %s\n", rule->name);
  if (*rule->trace != '\0')
    g_string_append_printf (text, "  trace    %s\n", rule->trace);
  g_string_append_printf (text, "  matter   %s\n", rule->matter);
  g_string_append (text, "  stages  ");
  append_stages (text, rule->stages);
  g_string_append_c (text, '\n');
  g_string_append (text, "  when     ");
  rake_condition_append_text (rule->when, text);
  g_string_append_c (text, '\n');
  if (rule->is_about_next_pass)
    g_string_append (text, "  only     sand-again\n");
  g_string_append_printf (text, "  verdict  %s", verdict_words[rule->verdict]);
  if (rule->back == RAKE_BACK_STAGES)
    g_string_append_printf (text, " back %u", rule->n_back);
  else if (rule->back == RAKE_BACK_LAST_SANDING)
    g_string_append (text, " back last-sanding");
  g_string_append_c (text, '\n');
  append_sentence (text, "says", rule->says);
  append_sentence (text, "clears", rule->clears);
  append_sentence (text, "warns", rule->warns);
  append_sentence (text, "unsure", rule->unsure);
}

char *
rake_rules_to_text (const RakeRules *rules)
{
  GString *text;
  RakeLimits limits;

  g_return_val_if_fail (rules != NULL, NULL);

  text = g_string_new (NULL);
  limits = rules->limits;
  for (gsize i = 0; i < G_N_ELEMENTS (limits_table); i++)
    {
      double limit = *limit_at (&limits, i);
      if (isnan (limit))
        continue;
      g_string_append_printf (text, "let %s = ", limits_table[i].name);
      rake_unit_append_value (text, limits_table[i].unit, limit);
      g_string_append_c (text, '\n');
    }
  for (guint i = 0; i < rules->rules->len; i++)
    append_rule (text, rules->rules->pdata[i]);
  if (rules->preparations->len > 0)
    g_string_append_c (text, '\n');
  for (guint i = 0; i < rules->preparations->len; i++)
    append_preparation (text, rules->preparations->pdata[i]);
  return g_string_free (text, FALSE);
}
