/* session-judging.c - what the rules say of each zone, kept until something it hears of changes. */
#include "session-private.h"
#include "stamp.h"

#include <rakelight/map.h>
#include <rakelight/rates.h>

/* As many zones are judged between two frames: all of a job of common size. */
#define AT_ONCE 48

/* After how many more is told what was judged meanwhile: each time costs a frame, or several. */
#define TELL_EVERY 120

/* A judgement, and what it was made from: while the stamp is the same, so is the judgement. */
typedef struct
{
  RakeId zone; /* the table's key points here */
  guint64 stamp;
  guint64 revision, surroundings; /* when the stamp was taken: while they are the same, so is it */
  RakeJudgement *judgement; /* NULL: still to be made */
  guint64 made;             /* the how-manieth it is */
  guint64 heard_revision, heard; /* of the zone, what zones next door hear of it */
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

  g_clear_pointer (&kept->judgement, rake_judgement_free);
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

static Kept *
get_kept (RakeSession *self, const RakeZone *zone)
{
  Kept *kept = g_hash_table_lookup (self->judgements, &zone->id);

  if (kept)
    return kept;
  kept = g_new0 (Kept, 1);
  kept->zone = zone->id;
  g_hash_table_insert (self->judgements, &kept->zone, kept);
  return kept;
}

/* Repairs and gloss readings are heard next door. */
static guint64
get_heard_stamp (Kept *kept, const RakeZone *zone)
{
  guint64 stamp = RAKE_STAMP_START;

  if (kept->heard_revision == zone->revision)
    return kept->heard;
  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      if (entry->kind == RAKE_ENTRY_REPAIR || entry->kind == RAKE_ENTRY_READING)
        stamp =
            rake_stamp_mix (rake_stamp_mix_pointer (stamp, entry), rake_id_hash_key (&zone->id));
    }
  kept->heard_revision = zone->revision;
  kept->heard = stamp;
  return stamp;
}

/* What a judgement of a zone hears of outside the zone: the face's stages and where it stands, the
 * job's facts, its wheels and rates, and what is heard from next door. */
static guint64
get_surroundings_stamp (RakeSession *self, const RakeJob *job, const RakeFace *face)
{
  guint64 stamp = RAKE_STAMP_START;

  stamp = rake_stamp_mix_pointer (stamp, self->rules);
  stamp = rake_stamp_mix_pointer (stamp, rake_job_find_facts (job));
  stamp = rake_stamp_mix (stamp, rake_job_get_shop_revision (job));
  stamp = mix_stage (stamp, face->stage);
  for (guint i = 0; i < face->stages->len; i++)
    stamp = mix_stage (stamp, face->stages->pdata[i]);
  for (guint i = 0; i < face->coats->len; i++)
    stamp = rake_stamp_mix_pointer (stamp, face->coats->pdata[i]);
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      stamp = rake_stamp_mix (stamp, get_heard_stamp (get_kept (self, zone), zone));
    }
  return mix_rates (stamp, job);
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

/* A job built anew gives every zone another revision, though most are as they were. */
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

static const RakeJudgement *
judge_now (RakeSession *self, Kept *kept, const RakeZone *zone)
{
  if (kept->judgement)
    return kept->judgement;
  kept->judgement = rake_rules_judge (self->rules, rake_session_get_job (self), zone,
                                      rake_session_get_judging_ms (self));
  kept->made = ++self->n_judged;
  return kept->judgement;
}

static gboolean
is_doubtful (Kept *kept, const RakeZone *zone, guint64 surroundings)
{
  guint64 stamp;

  if (kept->revision == zone->revision && kept->surroundings == surroundings)
    return !kept->judgement;
  stamp = get_zone_stamp (surroundings, zone);
  if (stamp != kept->stamp)
    g_clear_pointer (&kept->judgement, rake_judgement_free);
  kept->stamp = stamp;
  kept->revision = zone->revision;
  kept->surroundings = surroundings;
  return !kept->judgement;
}

/* Drops what does not hold any more; adds the zones to @doubtful. */
static void
doubt_face (RakeSession *self, const RakeFace *face, GPtrArray *doubtful)
{
  guint64 surroundings = get_surroundings_stamp (self, rake_session_get_job (self), face);

  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      if (is_doubtful (get_kept (self, zone), zone, surroundings))
        g_ptr_array_add (doubtful, (gpointer) zone);
    }
}

static guint
get_rank (RakeSession *self, const RakeZone *zone)
{
  if (rake_session_is_selected (self, zone->id))
    return 2;
  return zone->face == rake_session_get_face (self) ? 1 : 0;
}

/* What is selected comes first, then what is shown; of these, what was worked on last. */
static int
compare_urgency (gconstpointer a, gconstpointer b, gpointer session)
{
  const RakeZone *one = *(const RakeZone *const *) a, *other = *(const RakeZone *const *) b;
  guint rank = get_rank (session, one), other_rank = get_rank (session, other);

  if (rank != other_rank)
    return rank > other_rank ? -1 : 1;
  return one->revision > other->revision ? -1 : one->revision < other->revision;
}

static gboolean judge_in_idle_time (gpointer user_data);

static void
judge_in_idle_times (RakeSession *self)
{
  if (!self->judging)
    self->judging = g_idle_add_full (G_PRIORITY_LOW, judge_in_idle_time, self, NULL);
}

/* Finds out what is to be judged anew; judges it at once, or as much of it as a frame has time for:
 * what is selected, what is shown, the rest. */
static void
survey (RakeSession *self)
{
  const RakeJob *job = rake_session_get_job (self);
  g_autoptr (GPtrArray) doubtful = NULL;

  if (self->is_surveyed)
    return;
  self->is_surveyed = TRUE;
  doubtful = g_ptr_array_new ();
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    doubt_face (self, rake_job_get_face (job, i), doubtful);
  if (doubtful->len > AT_ONCE)
    g_ptr_array_sort_with_data (doubtful, compare_urgency, self);
  for (guint i = 0; i < MIN (doubtful->len, AT_ONCE); i++)
    judge_now (self, get_kept (self, doubtful->pdata[i]), doubtful->pdata[i]);
  g_array_set_size (self->to_judge, 0);
  for (guint i = doubtful->len; i-- > AT_ONCE;)
    g_array_append_val (self->to_judge, ((const RakeZone *) doubtful->pdata[i])->id);
  if (self->to_judge->len > 0)
    judge_in_idle_times (self);
}

void
rake_session_doubt_judgements (RakeSession *self)
{
  g_hash_table_remove_all (self->gates);
  self->is_surveyed = FALSE;
}

void
rake_session_drop_judgements (RakeSession *self)
{
  rake_session_doubt_judgements (self);
  g_hash_table_remove_all (self->judgements);
  g_array_set_size (self->to_judge, 0);
  self->n_shown_jobs++;
}

const RakeJudgement *
rake_session_find_judgement (RakeSession *self, const RakeZone *zone)
{
  g_return_val_if_fail (zone != NULL, NULL);
  survey (self);
  return get_kept (self, zone)->judgement;
}

const RakeJudgement *
rake_session_get_judgement (RakeSession *self, const RakeZone *zone)
{
  const RakeJudgement *judgement = rake_session_find_judgement (self, zone);

  if (judgement)
    return judgement;
  /* Views that only show it hear of it when the rest is told. */
  self->is_judged_anew = TRUE;
  return judge_now (self, get_kept (self, zone), zone);
}

GPtrArray *
rake_session_find_judgements (RakeSession *self, const RakeFace *face)
{
  GPtrArray *judgements = g_ptr_array_sized_new (face->zones->len);

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (judgements,
                     (gpointer) rake_session_find_judgement (self, face->zones->pdata[i]));
  return judgements;
}

GPtrArray *
rake_session_get_judgements (RakeSession *self, const RakeFace *face)
{
  GPtrArray *judgements = g_ptr_array_sized_new (face->zones->len);

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (judgements,
                     (gpointer) rake_session_get_judgement (self, face->zones->pdata[i]));
  return judgements;
}

static const RakeGate *
make_gate (RakeSession *self, const RakeFace *face, const GPtrArray *judgements)
{
  KeptGate *kept = g_new0 (KeptGate, 1);

  kept->face = face->id;
  kept->gate = rake_rules_gate (self->rules, rake_session_get_job (self), face,
                                (RakeJudgement *const *) judgements->pdata);
  g_hash_table_replace (self->gates, &kept->face, kept);
  return kept->gate;
}

const RakeGate *
rake_session_get_gate (RakeSession *self, const RakeFace *face)
{
  const RakeGate *gate = rake_session_find_gate (self, face);
  g_autoptr (GPtrArray) judgements = NULL;

  if (gate)
    return gate;
  judgements = rake_session_get_judgements (self, face);
  return make_gate (self, face, judgements);
}

const RakeGate *
rake_session_find_gate (RakeSession *self, const RakeFace *face)
{
  const KeptGate *kept = g_hash_table_lookup (self->gates, &face->id);
  g_autoptr (GPtrArray) judgements = NULL;

  if (kept)
    return kept->gate;
  judgements = rake_session_find_judgements (self, face);
  for (guint i = 0; i < judgements->len; i++)
    if (!judgements->pdata[i])
      return NULL;
  return make_gate (self, face, judgements);
}

guint64
rake_session_get_zone_stamp (RakeSession *self, const RakeZone *zone)
{
  guint64 stamp = rake_stamp_mix (RAKE_STAMP_START, self->n_shown_jobs);
  const Kept *kept;

  survey (self);
  kept = get_kept (self, zone);
  stamp = rake_stamp_mix (stamp, kept->stamp);
  return rake_stamp_mix (stamp, kept->judgement ? kept->made : 0);
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
judge_zone_again (RakeSession *self, Kept *kept, const RakeZone *zone)
{
  g_autoptr (RakeJudgement) before = g_steal_pointer (&kept->judgement);
  guint64 made = kept->made;
  const RakeJudgement *after = judge_now (self, kept, zone);

  if (!before || !is_same_to_a_person (before, after))
    return TRUE;
  kept->made = made;
  return FALSE;
}

static void
tell_what_was_judged (RakeSession *self)
{
  self->is_judged_anew = FALSE;
  self->n_told = self->n_judged;
  g_hash_table_remove_all (self->gates);
  rake_session_emit_changed (self);
}

/* One zone; TRUE while there are more. */
static gboolean
judge_next (RakeSession *self)
{
  survey (self);
  while (self->to_judge->len > 0)
    {
      RakeId id = g_array_index (self->to_judge, RakeId, self->to_judge->len - 1);
      const RakeZone *zone = rake_job_find_zone (rake_session_get_job (self), id);
      Kept *kept = zone ? get_kept (self, zone) : NULL;
      g_array_set_size (self->to_judge, self->to_judge->len - 1);
      /* The past does not get older. */
      if (!kept || (kept->judgement && self->past))
        continue;
      self->is_judged_anew |= judge_zone_again (self, kept, zone);
      return TRUE;
    }
  return FALSE;
}

static gboolean
judge_in_idle_time (gpointer user_data)
{
  RakeSession *self = user_data;
  gboolean is_more = judge_next (self);

  if (self->is_judged_anew && (!is_more || self->n_judged - self->n_told >= TELL_EVERY))
    {
      tell_what_was_judged (self);
      return G_SOURCE_CONTINUE;
    }
  if (is_more)
    return G_SOURCE_CONTINUE;
  self->judging = 0;
  if (rake_session_take_suggestion (self))
    rake_session_emit_selected (self);
  return G_SOURCE_REMOVE;
}

void
rake_session_judge_again (RakeSession *self)
{
  GHashTableIter iter;
  gpointer id;

  survey (self);
  g_array_set_size (self->to_judge, 0);
  g_hash_table_iter_init (&iter, self->judgements);
  while (g_hash_table_iter_next (&iter, &id, NULL))
    g_array_append_vals (self->to_judge, id, 1);
  /* A zone at a time, when nothing else is to be done: five hundred at once would stop the hand. */
  judge_in_idle_times (self);
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

void
rake_session_say_again (RakeSession *self)
{
  g_hash_table_remove_all (self->judgements);
  g_hash_table_remove_all (self->gates);
  rake_session_emit_changed (self);
}
