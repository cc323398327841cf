/* rules-gate.c - whether a face may go to the next grit, and which zone to take up first. */
#include "i18n.h"
#include "rules-private.h"

#include <rakelight/film.h>

#include <math.h>

/* The angle from which on two lamps are across each other: trade list D6. */
#define ACROSS_DEG 60.0

/* What one zone does to the gate. */
typedef struct
{
  const RakeZone *zone;
  const RakeJudgement *judgement;
  gboolean is_behind;        /* ready, but at an earlier stage than the face */
  gboolean wants_wheel_look; /* ready, but not seen under two lamps across each other */
} GateZone;

static gboolean
is_settled (const GateZone *gate_zone)
{
  return rake_judgement_is_settled (gate_zone->judgement) && !gate_zone->is_behind &&
         !gate_zone->wants_wheel_look;
}

/* Zones sent back hold the gate even when they are ready where they are. */
static GateZone
examine (const RakeZone *zone, const RakeJudgement *judgement, gboolean is_before_wheel)
{
  const RakeFacts *facts = &judgement->facts;
  gboolean is_ready = rake_judgement_is_settled (judgement);
  gboolean is_across = facts->knowledge[RAKE_FACT_LAMPS_ACROSS_DEG] == RAKE_KNOWN &&
                       facts->value[RAKE_FACT_LAMPS_ACROSS_DEG] >= ACROSS_DEG;

  return (GateZone){
    .zone = zone,
    .judgement = judgement,
    .is_behind = is_ready && zone->stage->position < zone->face->stage->position,
    .wants_wheel_look = is_ready && is_before_wheel && !judgement->is_accepted && !is_across,
  };
}

/* Lower is stronger: repairs first, then looks (they are cheap), then the sanding that is nearest its
 * end, then what has stopped, and what must wait last. */
static double
get_claim (const GateZone *gate_zone)
{
  const RakeFacts *facts = &gate_zone->judgement->facts;
  double share = facts->knowledge[RAKE_FACT_LOW_SPOT_FRACTION] == RAKE_KNOWN
                     ? facts->value[RAKE_FACT_LOW_SPOT_FRACTION]
                     : 1;

  if (gate_zone->wants_wheel_look)
    return 1;
  if (gate_zone->is_behind)
    return 2;
  switch (gate_zone->judgement->verdict)
    {
    case RAKE_VERDICT_REPAIR:
      return 0;
    case RAKE_VERDICT_LOOK_AGAIN:
      return 1;
    case RAKE_VERDICT_SAND_AGAIN:
      return 3 + share;
    case RAKE_VERDICT_STOP:
      return 5;
    case RAKE_VERDICT_WAIT:
      return 6;
    case RAKE_VERDICT_NONE:
    case RAKE_VERDICT_READY:
    case RAKE_N_VERDICTS:
      break;
    }
  return 7;
}

static const RakeStage *
find_next_stage (const RakeFace *face)
{
  guint next = face->stage->position + 1;

  return next < face->stages->len ? face->stages->pdata[next] : NULL;
}

static gboolean
is_before_wheel (const RakeStage *stage, const RakeStage *next)
{
  return next != NULL && next->action == RAKE_ACTION_BUFF &&
         (stage->action == RAKE_ACTION_LEVEL || stage->action == RAKE_ACTION_REFINE);
}

static char *
say_open (const RakeGate *gate)
{
  g_autofree char *stage = NULL;

  if (gate->next == NULL)
    return g_strdup (_ ("Every zone is ready, and no stage comes after this one."));
  stage = rake_stage_describe (gate->next);
  if (gate->next->action == RAKE_ACTION_LAST_LOOK || gate->next->action == RAKE_ACTION_REST)
    return g_strdup_printf (_ ("Every zone is ready. What comes next: %s."), stage);
  return g_strdup_printf (_ ("Every zone is ready for %s. Go through the preparation list first."),
                          stage);
}

static char *
say_shut (const RakeGate *gate, const GateZone *suggested)
{
  guint n_left = gate->n_zones - gate->n_settled;
  g_autofree char *stage = rake_stage_describe (suggested->zone->stage);
  g_autofree char *face_stage = rake_stage_describe (gate->stage);
  g_autofree char *next = NULL, *how_many = NULL;

  if (suggested->wants_wheel_look)
    next = g_strdup_printf (_ ("Before the wheel, %s wants two looks with the lamp across."),
                            suggested->zone->name);
  else if (suggested->is_behind)
    /* Translators: a zone, the grit it is ready at, the grit the face stands at. */
    next = g_strdup_printf (_ ("%s is ready at %s and has %s to come."), suggested->zone->name,
                            stage, face_stage);
  else
    /* Translators: a zone and its verdict, as in "Next: Door panel – Sand again." */
    next = g_strdup_printf (_ ("Next: %s – %s."), suggested->zone->name,
                            _ (rake_verdict_get_label (suggested->judgement->verdict)));
  /* Translators: how many zones of how many hold the gate. A sentence on the next one follows. */
  how_many = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u of %u zones is not ready.",
                                           "%u of %u zones are not ready.", n_left),
                              n_left, gate->n_zones);
  return g_strdup_printf ("%s %s", how_many, next);
}

/* --- the plan (D3) --------------------------------------------------------------------------------- */

static double
get_known (const RakeFacts *facts, RakeFact fact)
{
  return facts->knowledge[fact] == RAKE_KNOWN ? facts->value[fact] : 0;
}

/* The larger of the two risks that the schedule ends with. */
static double
get_risk_at_end (const RakeFacts *facts)
{
  return MAX (get_known (facts, RAKE_FACT_RISK_AT_END),
              get_known (facts, RAKE_FACT_LAST_COAT_RISK_AT_END));
}

static char *
say_plan (const RakeRules *rules, const RakeJob *job, const RakeZone *zone, const RakeFacts *facts)
{
  g_autoptr (RakeRates) rates = rake_rates_take (job);
  g_autoptr (RakeFilm) film = rake_film_take (job, zone, rates, &rules->limits);
  g_autofree char *stage = rake_stage_describe (film->stage_under);
  g_autofree char *risk = NULL;
  RakeFact fact = RAKE_FACT_RISK_AT_END;
  double of_line = get_known (facts, RAKE_FACT_LAST_COAT_RISK_AT_END);

  if (film->stage_under == NULL)
    return NULL;
  if (of_line > get_known (facts, RAKE_FACT_RISK_AT_END))
    fact = RAKE_FACT_LAST_COAT_RISK_AT_END;
  risk = rake_fact_describe (facts, fact);
  if (fact == RAKE_FACT_LAST_COAT_RISK_AT_END)
    /* Translators: a zone, a grit or compound, a risk at the end of the schedule. */
    return g_strdup_printf (
        _ ("With what is planned, %s may be through its last coat after %s; at the "
           "end the risk is %s. Fewer or finer grits, or a coat first."),
        zone->name, stage, risk);
  /* Translators: a zone, a grit or compound, a risk at the end of the schedule. */
  return g_strdup_printf (
      _ ("With what is planned, %s may be under its reserve after %s; at the end "
         "the risk is %s. Fewer or finer grits, or more coats first."),
      zone->name, stage, risk);
}

/* Of the zones that the plan would take too much of, the one that it takes most of. */
static char *
warn_of_plan (const RakeRules *rules, const RakeJob *job, const RakeFace *face,
              RakeJudgement *const *judgements)
{
  const RakeZone *worst = NULL;
  const RakeFacts *facts = NULL;

  for (guint i = 0; i < face->zones->len; i++)
    {
      double risk = get_risk_at_end (&judgements[i]->facts);

      if (risk <= 0 || risk <= get_known (&judgements[i]->facts, RAKE_FACT_RISK_LIMIT) ||
          judgements[i]->facts.knowledge[RAKE_FACT_RISK_LIMIT] != RAKE_KNOWN ||
          (facts != NULL && risk <= get_risk_at_end (facts)))
        continue;
      worst = face->zones->pdata[i];
      facts = &judgements[i]->facts;
    }
  return worst != NULL ? say_plan (rules, job, worst, facts) : NULL;
}

/* --- all together ---------------------------------------------------------------------------------- */

RakeGate *
rake_rules_gate (const RakeRules *rules, const RakeJob *job, const RakeFace *face,
                 RakeJudgement *const *judgements)
{
  RakeGate *gate;
  GateZone suggested = { NULL, NULL, FALSE, FALSE };
  double area_mm2 = 0, settled_mm2 = 0;

  g_return_val_if_fail (face != NULL && judgements != NULL, NULL);

  gate = g_new0 (RakeGate, 1);
  gate->stage = face->stage;
  if (face->stage == NULL)
    {
      gate->sentence = g_strdup (_ ("This face has no schedule yet."));
      return gate;
    }
  gate->next = find_next_stage (face);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      GateZone gate_zone;

      if (judgements[i]->verdict == RAKE_VERDICT_NONE)
        continue;
      gate_zone = examine (zone, judgements[i], is_before_wheel (gate->stage, gate->next));
      gate->n_zones++;
      area_mm2 += rake_shape_get_area_mm2 (zone->shape);
      if (is_settled (&gate_zone))
        {
          gate->n_settled++;
          settled_mm2 += rake_shape_get_area_mm2 (zone->shape);
        }
      else if (suggested.zone == NULL || get_claim (&gate_zone) < get_claim (&suggested))
        suggested = gate_zone;
    }
  gate->is_open = gate->n_settled == gate->n_zones;
  gate->ready_fraction = area_mm2 > 0 ? settled_mm2 / area_mm2 : 1;
  gate->suggested = suggested.zone;
  gate->warning = warn_of_plan (rules, job, face, judgements);
  gate->sentence = gate->is_open ? say_open (gate) : say_shut (gate, &suggested);
  return gate;
}

void
rake_gate_free (RakeGate *gate)
{
  if (gate == NULL)
    return;
  g_free (gate->sentence);
  g_free (gate->warning);
  g_free (gate);
}
