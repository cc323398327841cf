/* rules-judge.c - what the rules say of a zone, and what an acceptance mutes. */
#include "i18n.h"
#include "rules-private.h"

#include <string.h>

/* --- sentences for a zone ---------------------------------------------------------------------------- */

char *
rake_stage_describe (const RakeStage *stage)
{
  if (stage == NULL)
    return g_strdup (_ ("an earlier grit"));
  if (stage->grade == NULL || *stage->grade == '\0')
    return g_strdup (_ (rake_action_get_label (stage->action)));
  if (stage->action == RAKE_ACTION_BUFF)
    /* Translators: a buffing compound by its name, as in "cut compound". */
    return g_strdup_printf (_ ("%s compound"), stage->grade);
  return g_strdup (stage->grade);
}

static gboolean
is_sanding (const RakeStage *stage)
{
  return stage->action == RAKE_ACTION_LEVEL || stage->action == RAKE_ACTION_REFINE;
}

static const RakeStage *
find_last_sanding (const RakeZone *zone)
{
  for (guint i = 0; i < zone->face->stages->len; i++)
    if (((const RakeStage *) zone->face->stages->pdata[i])->is_last_sanding)
      return zone->face->stages->pdata[i];
  return NULL;
}

/* So many sanding stages before where the zone stands, but never before its first. */
static const RakeStage *
find_stage_before (const RakeZone *zone, guint n_back)
{
  const GPtrArray *stages = zone->face->stages;
  const RakeStage *found = NULL;

  for (guint i = stages->len; i-- > 0 && n_back > 0;)
    {
      const RakeStage *stage = stages->pdata[i];

      if (!is_sanding (stage) || stage->position >= zone->stage->position ||
          stage->position < zone->first_stage->position)
        continue;
      found = stage;
      n_back--;
    }
  return found;
}

/* The stage that "{back}" names, also when the zone stands there. */
static const RakeStage *
find_named_back (const RakeRule *rule, const RakeZone *zone)
{
  if (zone == NULL || zone->stage == NULL || rule->back == RAKE_BACK_NOT)
    return NULL;
  return rule->back == RAKE_BACK_LAST_SANDING ? find_last_sanding (zone)
                                              : find_stage_before (zone, rule->n_back);
}

const RakeStage *
rake_rule_find_back (const RakeRule *rule, const RakeZone *zone)
{
  const RakeStage *back = find_named_back (rule, zone);
  return back != NULL && back != zone->stage ? back : NULL;
}

/* "Nib, Run": the trade's other faults that are open here, each kind once. */
static char *
list_open_faults (const RakeZone *zone)
{
  g_autoptr (GString) faults = g_string_new (NULL);
  guint kinds = 0;

  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];

      if (mark->closed_by == NULL)
        kinds |= 1u << mark->kind;
    }
  for (int kind = RAKE_MARK_RUN; kind <= RAKE_MARK_SHRINK_BACK; kind++)
    if ((kinds & (1u << kind)) != 0)
      g_string_append_printf (faults, "%s%s", faults->len > 0 ? ", " : "",
                              _ (rake_mark_kind_get_label ((RakeMarkKind) kind)));
  return g_strdup (faults->str);
}

char *
rake_rule_say (const RakeRule *rule, const char *msgid, const RakeFacts *facts,
               const RakeZone *zone)
{
  g_autofree char *stage = NULL, *back = NULL, *faults = NULL;
  RakeSaying saying = { .facts = facts };

  if (strchr (msgid, '{') != NULL && zone != NULL && zone->stage != NULL)
    {
      saying.zone = zone->name;
      saying.stage = stage = rake_stage_describe (zone->stage);
      saying.back = back = rake_stage_describe (find_named_back (rule, zone));
      saying.faults = faults = list_open_faults (zone);
    }
  return rake_saying_fill (&saying, msgid);
}

/* --- weighing ---------------------------------------------------------------------------------------- */

void
rake_reason_free (RakeReason *reason)
{
  g_free (reason->sentence);
  g_free (reason->clears);
  g_free (reason);
}

/* The verdict a rule speaks with, given what its condition came to; NONE when it is silent. */
static RakeVerdict
get_voice (const RakeRule *rule, const RakeFacts *facts)
{
  switch (rake_condition_weigh (rule->when, facts))
    {
    case RAKE_TRUTH_TRUE:
      return rule->verdict;
    case RAKE_TRUTH_UNKNOWN:
      return rule->unsure != NULL ? RAKE_VERDICT_LOOK_AGAIN : RAKE_VERDICT_NONE;
    case RAKE_TRUTH_FALSE:
      break;
    }
  return RAKE_VERDICT_NONE;
}

static gboolean
is_for_action (const RakeRule *rule, RakeAction action)
{
  return (rule->stages & (1u << action)) != 0;
}

static RakeReason *
reason_new (const RakeRule *rule, RakeVerdict voice, const RakeFacts *facts, const RakeZone *zone)
{
  RakeReason *reason = g_new0 (RakeReason, 1);
  gboolean is_unsure =
      voice != rule->verdict || rake_condition_weigh (rule->when, facts) != RAKE_TRUTH_TRUE;

  reason->rule = rule->name;
  reason->trace = rule->trace;
  reason->matter = rule->matter;
  reason->verdict = voice;
  reason->sentence = rake_rule_say (rule, is_unsure ? rule->unsure : rule->says, facts, zone);
  if (rule->clears != NULL)
    reason->clears = rake_rule_say (rule, rule->clears, facts, zone);
  return reason;
}

GPtrArray *
rake_rules_weigh (const RakeRules *rules, RakeAction action, const RakeFacts *facts,
                  const RakeZone *zone)
{
  GPtrArray *reasons = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_reason_free);
  RakeVerdict voices[RAKE_RULES_MAX_RULES] = { RAKE_VERDICT_NONE };
  gboolean is_pass_asked = FALSE;

  for (guint i = 0; i < rules->rules->len; i++)
    {
      const RakeRule *rule = rules->rules->pdata[i];

      if (is_for_action (rule, action) && !rule->is_about_next_pass)
        voices[i] = get_voice (rule, facts);
      is_pass_asked |= voices[i] == RAKE_VERDICT_SAND_AGAIN;
    }
  for (guint i = 0; is_pass_asked && i < rules->rules->len; i++)
    {
      const RakeRule *rule = rules->rules->pdata[i];

      if (is_for_action (rule, action) && rule->is_about_next_pass)
        voices[i] = get_voice (rule, facts);
    }
  for (int verdict = RAKE_VERDICT_REPAIR; verdict > RAKE_VERDICT_NONE; verdict--)
    for (guint i = 0; i < rules->rules->len; i++)
      if ((int) voices[i] == verdict)
        g_ptr_array_add (reasons, reason_new (rules->rules->pdata[i], voices[i], facts, zone));
  return reasons;
}

/* --- acceptance -------------------------------------------------------------------------------------- */

/* It holds until a pass, a repair or a coat there, or a new finding. */
static const RakeEntry *
find_acceptance (const RakeZone *zone)
{
  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_ACCEPTANCE)
        return entry;
      if (entry->kind == RAKE_ENTRY_PASS || entry->kind == RAKE_ENTRY_REPAIR ||
          entry->kind == RAKE_ENTRY_COAT || entry->kind == RAKE_ENTRY_MARK ||
          (entry->kind == RAKE_ENTRY_STATE && entry->state.state != RAKE_STATE_UNIFORM))
        return NULL;
    }
  return NULL;
}

static gboolean
holds_text (GPtrArray *texts, const char *text)
{
  for (guint i = 0; i < texts->len; i++)
    if (strcmp (texts->pdata[i], text) == 0)
      return TRUE;
  return FALSE;
}

/* Nothing was done to the zone since, so nothing new can have come of looks, progress and low spots.
 * An acceptance that does not say what it was given against covers what is no stronger than the
 * verdict it was given against. */
static gboolean
mutes (const RakeAcceptanceBody *acceptance, const RakeReason *reason)
{
  static const char *const always[] = { "looks", "progress", "low spots" };

  if (reason->verdict == RAKE_VERDICT_READY)
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (always); i++)
    if (strcmp (reason->matter, always[i]) == 0)
      return TRUE;
  if (acceptance->matters->len > 0)
    return holds_text (acceptance->matters, reason->matter);
  if (acceptance->rules->len > 0)
    return holds_text (acceptance->rules, reason->rule);
  return reason->verdict <= acceptance->verdict;
}

/* --- judging ----------------------------------------------------------------------------------------- */

/* The zone has no such stage yet, so nothing is asked of it; but bad news counts always. */
static void
keep_repairs_only (GPtrArray *reasons)
{
  for (guint i = reasons->len; i-- > 0;)
    if (((const RakeReason *) reasons->pdata[i])->verdict != RAKE_VERDICT_REPAIR)
      g_ptr_array_remove_index (reasons, i);
}

static void
add_nothing_known (GPtrArray *reasons)
{
  RakeReason *reason = g_new0 (RakeReason, 1);

  reason->rule = "nothing-known";
  reason->trace = "D9";
  reason->matter = "looks";
  reason->verdict = RAKE_VERDICT_LOOK_AGAIN;
  reason->sentence = g_strdup (_ ("Nothing is known that makes this zone ready."));
  reason->clears = g_strdup (_ ("Look at it, and say what it shows."));
  g_ptr_array_add (reasons, reason);
}

/* The strongest reason that is not muted; when all are, the zone is taken as it is. */
static void
settle_verdict (RakeJudgement *judgement, const RakeEntry *acceptance)
{
  RakeVerdict muted = RAKE_VERDICT_NONE;

  judgement->verdict = RAKE_VERDICT_READY;
  for (guint i = judgement->reasons->len; i-- > 0;)
    {
      RakeReason *reason = judgement->reasons->pdata[i];

      reason->is_accepted = acceptance != NULL && mutes (&acceptance->acceptance, reason);
      if (reason->is_accepted)
        muted = MAX (muted, reason->verdict);
      else
        judgement->verdict = MAX (judgement->verdict, reason->verdict);
    }
  judgement->is_accepted = muted > judgement->verdict;
  if (judgement->is_accepted)
    judgement->acceptance = acceptance;
}

/* Of several reasons to go back, the one that goes back furthest. */
static const RakeStage *
find_back_to (const RakeRules *rules, const RakeJudgement *judgement, const RakeZone *zone)
{
  const RakeStage *furthest = NULL;

  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];
      const RakeRule *rule;
      const RakeStage *back;

      if (reason->is_accepted || reason->verdict != RAKE_VERDICT_SAND_AGAIN)
        continue;
      rule = rake_rules_find (rules, reason->rule);
      back = rule != NULL ? rake_rule_find_back (rule, zone) : NULL;
      if (back != NULL && (furthest == NULL || back->position < furthest->position))
        furthest = back;
    }
  return furthest;
}

RakeJudgement *
rake_rules_judge (const RakeRules *rules, const RakeJob *job, const RakeZone *zone, gint64 now_ms)
{
  RakeJudgement *judgement;

  g_return_val_if_fail (rules != NULL && job != NULL && zone != NULL, NULL);

  judgement = g_new0 (RakeJudgement, 1);
  judgement->stage = zone->stage;
  rake_facts_take (&judgement->facts, job, zone, &rules->limits, now_ms);
  if (zone->stage == NULL)
    {
      judgement->reasons = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_reason_free);
      return judgement;
    }

  judgement->reasons = rake_rules_weigh (rules, zone->stage->action, &judgement->facts, zone);
  if (zone->stage->position < zone->first_stage->position)
    {
      keep_repairs_only (judgement->reasons);
      if (judgement->reasons->len == 0)
        return judgement;
    }
  else if (judgement->reasons->len == 0)
    add_nothing_known (judgement->reasons);
  settle_verdict (judgement, find_acceptance (zone));
  if (judgement->verdict == RAKE_VERDICT_SAND_AGAIN)
    judgement->back_to = find_back_to (rules, judgement, zone);
  return judgement;
}

void
rake_judgement_free (RakeJudgement *judgement)
{
  if (judgement == NULL)
    return;
  g_ptr_array_unref (judgement->reasons);
  g_free (judgement);
}

gboolean
rake_judgement_is_settled (const RakeJudgement *judgement)
{
  g_return_val_if_fail (judgement != NULL, FALSE);
  return judgement->verdict == RAKE_VERDICT_READY;
}

RakeRules *
rake_rules_for_job (const RakeJob *job, RakeRules *ours)
{
  const RakeRulesBody *recorded;
  RakeRules *rules = NULL;

  g_return_val_if_fail (job != NULL && ours != NULL, NULL);

  recorded = rake_job_find_rules (job);
  if (recorded != NULL)
    rules = rake_rules_new (recorded->name, recorded->text, NULL, NULL);
  return rules != NULL ? rules : rake_rules_ref (ours);
}

/* --- before a pass ----------------------------------------------------------------------------------- */

static char *
warn_by_rule (const RakeRules *rules, const RakeReason *reason, const RakeZone *zone,
              const RakeFacts *facts)
{
  const RakeRule *rule = rake_rules_find (rules, reason->rule);

  if (rule != NULL && rule->warns != NULL)
    return rake_rule_say (rule, rule->warns, facts, zone);
  return reason->verdict > RAKE_VERDICT_LOOK_AGAIN ? g_strdup (reason->sentence) : NULL;
}

/* A pass is about to be made, so the rules about passes still to be made speak, whether or not another
 * rule asked for one. */
static char *
warn_of_next_pass (const RakeRules *rules, const RakeZone *zone, const RakeFacts *facts)
{
  for (guint i = 0; i < rules->rules->len; i++)
    {
      const RakeRule *rule = rules->rules->pdata[i];

      if (rule->is_about_next_pass && is_for_action (rule, zone->stage->action) &&
          rake_condition_weigh (rule->when, facts) == RAKE_TRUTH_TRUE)
        return rake_rule_say (rule, rule->warns != NULL ? rule->warns : rule->says, facts, zone);
    }
  return NULL;
}

char *
rake_rules_warn_before_pass (const RakeRules *rules, const RakeZone *zone,
                             const RakeJudgement *judgement)
{
  g_return_val_if_fail (rules != NULL && zone != NULL && judgement != NULL, NULL);

  if (zone->stage == NULL)
    return NULL;
  if (judgement->verdict == RAKE_VERDICT_NONE)
    {
      g_autofree char *first = rake_stage_describe (zone->first_stage);
      return g_strdup_printf (_ ("%s is not worked before %s."), zone->name, first);
    }
  if (judgement->is_accepted && judgement->verdict == RAKE_VERDICT_READY)
    return g_strdup (_ ("This zone was accepted as it is: another pass ends that."));
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];
      char *warning;

      if (reason->is_accepted || reason->verdict != judgement->verdict)
        continue;
      warning = warn_by_rule (rules, reason, zone, &judgement->facts);
      if (warning != NULL)
        return warning;
    }
  return warn_of_next_pass (rules, zone, &judgement->facts);
}
