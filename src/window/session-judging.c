/* session-judging.c - what the rules say of each zone, kept until something it hears of changes. */
#include "session-private.h"
#include "stamp.h"

#include <rakelight/map.h>
#include <rakelight/rates.h>

/* A judgement, and what it was made from: while the stamp is the same, so is the judgement. */
typedef struct
{
  RakeId zone; /* the table's key points here */
  guint64 stamp;
  RakeJudgement *judgement;
} Kept;

typedef struct
{
  RakeId face;
  RakeGate *gate;
} KeptGate;

static void
kept_free (gpointer data)
{
  Kept *kept = data;

  rake_judgement_free (kept->judgement);
  g_free (kept);
}

static void
kept_gate_free (gpointer data)
{
  KeptGate *kept = data;

  rake_gate_free (kept->gate);
  g_free (kept);
}

/* By content as well as by place: a job built anew often puts another stage where the old one was. */
static guint64
mix_stage (guint64 stamp, const RakeStage *stage)
{
  if (!stage)
    return rake_stamp_mix (stamp, 0);
  stamp = rake_stamp_mix (rake_stamp_mix_pointer (stamp, stage), rake_id_hash_key (&stage->id));
  return rake_stamp_mix (rake_stamp_mix (stamp, (guint64) stage->action),
                         g_str_hash (stage->grade));
}

/* A gauge reading on any face may have taught something about them. */
static guint64
mix_rates (guint64 stamp, const RakeJob *job)
{
  g_autoptr (RakeRates) rates = rake_rates_take (job);

  for (guint i = 0; i < rake_rates_get_n (rates); i++)
    {
      const RakeRate *rate = rake_rates_get (rates, i);
      stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, rate->mean_um), rate->common_sd_um);
    }
  return stamp;
}

/* What a judgement of a zone hears of outside the zone: the face's stages and where it stands, the
 * job's facts, its wheels and rates, and repairs and gloss readings next door. */
static guint64
get_surroundings_stamp (RakeSession *self, const RakeJob *job, const RakeFace *face)
{
  guint64 stamp = RAKE_STAMP_START;

  stamp = rake_stamp_mix_pointer (stamp, self->rules);
  stamp = rake_stamp_mix_pointer (stamp, rake_job_find_facts (job));
  stamp = mix_stage (stamp, face->stage);
  for (guint i = 0; i < face->stages->len; i++)
    stamp = mix_stage (stamp, face->stages->pdata[i]);
  for (guint i = 0; i < face->coats->len; i++)
    stamp = rake_stamp_mix_pointer (stamp, face->coats->pdata[i]);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      for (guint j = 0; j < zone->history->len; j++)
        {
          const RakeEntry *entry = zone->history->pdata[j];
          if (entry->kind == RAKE_ENTRY_REPAIR || entry->kind == RAKE_ENTRY_READING)
            stamp = rake_stamp_mix_pointer (rake_stamp_mix_pointer (stamp, entry), zone);
        }
    }
  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);
      if (entry->kind == RAKE_ENTRY_WHEEL || entry->kind == RAKE_ENTRY_RATE)
        stamp = rake_stamp_mix (rake_stamp_mix_pointer (stamp, entry),
                                (guint64) rake_job_is_struck (job, entry->id));
    }
  return mix_rates (stamp, job);
}

static guint64
get_zone_stamp (guint64 surroundings, const RakeZone *zone)
{
  guint64 stamp = mix_stage (surroundings, zone->stage);

  stamp = rake_stamp_mix_pointer (stamp, zone->shape);
  stamp = mix_stage (stamp, zone->first_stage);
  stamp = rake_stamp_mix (stamp, g_str_hash (zone->name));
  stamp = rake_stamp_mix (stamp, (guint64) zone->is_edge);
  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, zone->edge_factor), zone->reserve_um);
  stamp = rake_stamp_mix_real (stamp, zone->coat_factor);
  for (guint i = 0; i < zone->history->len; i++)
    stamp = rake_stamp_mix_pointer (stamp, zone->history->pdata[i]);
  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      stamp = rake_stamp_mix_pointer (
          rake_stamp_mix_pointer (rake_stamp_mix_pointer (stamp, mark->entry), mark->last_seen),
          mark->closed_by);
    }
  return stamp;
}

void
rake_session_take_rules (RakeSession *self)
{
  const RakeJob *job = rake_session_get_job (self);
  const RakeRulesBody *recorded = rake_job_find_rules (job);

  if (self->rules && recorded == self->rules_of)
    return;
  g_clear_pointer (&self->rules, rake_rules_unref);
  self->rules = rake_rules_for_job (job, self->ours);
  self->rules_of = recorded;
}

/* Judges those zones of @face whose stamp has changed. */
static void
judge_face (RakeSession *self, const RakeFace *face)
{
  const RakeJob *job = rake_session_get_job (self);
  guint64 surroundings = get_surroundings_stamp (self, job, face);
  gint64 now_ms = rake_session_get_judging_ms (self);

  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      guint64 stamp = get_zone_stamp (surroundings, zone);
      Kept *kept = g_hash_table_lookup (self->judgements, &zone->id);
      if (kept && kept->stamp == stamp)
        continue;
      kept = g_new0 (Kept, 1);
      kept->zone = zone->id;
      kept->stamp = stamp;
      kept->judgement = rake_rules_judge (self->rules, job, zone, now_ms);
      g_hash_table_replace (self->judgements, &kept->zone, kept);
    }
}

/* A face has a gate only once all its zones are judged, so the gate tells that they are. */
static const RakeGate *
get_kept_gate (RakeSession *self, const RakeFace *face)
{
  KeptGate *kept = g_hash_table_lookup (self->gates, &face->id);
  g_autoptr (GPtrArray) judgements = NULL;

  if (kept)
    return kept->gate;
  judge_face (self, face);
  judgements = g_ptr_array_new ();
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      g_ptr_array_add (judgements,
                       ((Kept *) g_hash_table_lookup (self->judgements, &zone->id))->judgement);
    }
  kept = g_new0 (KeptGate, 1);
  kept->face = face->id;
  kept->gate = rake_rules_gate (self->rules, rake_session_get_job (self), face,
                                (RakeJudgement *const *) judgements->pdata);
  g_hash_table_replace (self->gates, &kept->face, kept);
  return kept->gate;
}

const RakeJudgement *
rake_session_get_judgement (RakeSession *self, const RakeZone *zone)
{
  Kept *kept;

  g_return_val_if_fail (zone != NULL, NULL);
  get_kept_gate (self, zone->face);
  kept = g_hash_table_lookup (self->judgements, &zone->id);
  return kept ? kept->judgement : NULL;
}

GPtrArray *
rake_session_get_judgements (RakeSession *self, const RakeFace *face)
{
  GPtrArray *judgements = g_ptr_array_new ();

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (judgements,
                     (gpointer) rake_session_get_judgement (self, face->zones->pdata[i]));
  return judgements;
}

const RakeGate *
rake_session_get_gate (RakeSession *self, const RakeFace *face)
{
  return get_kept_gate (self, face);
}

/* What a person would see of a judgement: whether the minute that passed shows anywhere. */
static gboolean
is_same_to_a_person (const RakeJudgement *a, const RakeJudgement *b)
{
  if (a->verdict != b->verdict || a->is_accepted != b->is_accepted || a->stage != b->stage ||
      a->back_to != b->back_to || a->reasons->len != b->reasons->len)
    return FALSE;
  for (guint i = 0; i < a->reasons->len; i++)
    {
      const RakeReason *one = a->reasons->pdata[i], *other = b->reasons->pdata[i];
      if (g_strcmp0 (one->sentence, other->sentence) != 0 ||
          g_strcmp0 (one->clears, other->clears) != 0)
        return FALSE;
    }
  return TRUE;
}

/* TRUE when a person would see a difference. */
static gboolean
judge_zone_again (RakeSession *self, Kept *kept)
{
  const RakeJob *job = rake_session_get_job (self);
  const RakeZone *zone = rake_job_find_zone (job, kept->zone);
  RakeJudgement *again;
  gboolean is_changed;

  if (!zone)
    return FALSE;
  again = rake_rules_judge (self->rules, job, zone, rake_session_get_judging_ms (self));
  is_changed = !is_same_to_a_person (kept->judgement, again);
  rake_judgement_free (kept->judgement);
  kept->judgement = again;
  return is_changed;
}

/* One zone; TRUE while there are more. */
static gboolean
judge_next_again (RakeSession *self)
{
  while (!self->past && self->to_judge->len > 0)
    {
      RakeId zone = g_array_index (self->to_judge, RakeId, self->to_judge->len - 1);
      Kept *kept = g_hash_table_lookup (self->judgements, &zone);
      g_array_set_size (self->to_judge, self->to_judge->len - 1);
      if (!kept)
        continue;
      self->is_judged_anew |= judge_zone_again (self, kept);
      return TRUE;
    }
  g_array_set_size (self->to_judge, 0);
  if (self->is_judged_anew)
    {
      self->is_judged_anew = FALSE;
      g_hash_table_remove_all (self->gates);
      rake_session_emit_changed (self);
    }
  return FALSE;
}

static gboolean
judge_in_idle_time (gpointer user_data)
{
  RakeSession *self = user_data;

  if (judge_next_again (self))
    return G_SOURCE_CONTINUE;
  self->judging = 0;
  return G_SOURCE_REMOVE;
}

void
rake_session_judge_again (RakeSession *self)
{
  GHashTableIter iter;
  gpointer id;

  g_array_set_size (self->to_judge, 0);
  g_hash_table_iter_init (&iter, self->judgements);
  while (g_hash_table_iter_next (&iter, &id, NULL))
    g_array_append_vals (self->to_judge, id, 1);
  /* A zone at a time, when nothing else is to be done: five hundred at once would stop the hand. */
  if (!self->judging)
    self->judging = g_idle_add_full (G_PRIORITY_LOW, judge_in_idle_time, self, NULL);
}

gboolean
rake_session_wants_another_look (const RakeZone *zone, const RakeMark *mark)
{
  /* A low spot of this stage fades with the others: what the next look finds says it all again. */
  return rake_mark_is_ghost (zone, mark) &&
         (mark->kind != RAKE_MARK_LOW_SPOT || rake_mark_is_carried (zone, mark));
}

GPtrArray *
rake_session_get_ghosts (RakeSession *self, const RakeZone *zone)
{
  GPtrArray *ghosts = g_ptr_array_new ();

  for (guint i = 0; i < zone->marks->len; i++)
    {
      RakeMark *mark = zone->marks->pdata[i];
      if (rake_session_wants_another_look (zone, mark))
        g_ptr_array_add (ghosts, mark);
    }
  return ghosts;
}

void
rake_session_make_tables (RakeSession *self)
{
  self->judgements = g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, NULL, kept_free);
  self->gates = g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, NULL, kept_gate_free);
  self->to_judge = g_array_new (FALSE, FALSE, sizeof (RakeId));
}
