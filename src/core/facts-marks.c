/* facts-marks.c - what else was seen: scratches, lines, burns and the other faults, and which of them
 * want another look. docs/judging.md, "Marks from before". */
#include "facts-private.h"
#include "job-private.h"

#include <math.h>

/* A mark shorter than this much of itself is going: it is no longer as it was. */
#define FADING_FRACTION 0.9

/* --- told by states ------------------------------------------------------------------------------- */

/* The unbroken run of looks that told one bad state of the whole zone. */
typedef struct
{
  gboolean is_open;
  guint since;       /* window it was first told in, or had last changed in */
  guint last_seen;   /* window it was last told in */
  guint n_repairs;
  double scratch_mm; /* as last told, else NaN */
} StateRun;

/* It holds until a proper statement after a pass says otherwise, or a repair is entered. */
static StateRun
follow_state (const RakeStory *story, RakeState state)
{
  StateRun run = { .scratch_mm = NAN };

  for (guint i = 0; i < story->looks->len; i++)
    {
      const RakeLookTold *look = rake_story_look (story, i);
      gboolean is_told = (look->states & (1u << state)) != 0;

      if (run.is_open &&
          (look->n_repairs > run.n_repairs ||
           (!is_told && look->is_statement && look->is_proper && look->window > run.last_seen)))
        run.is_open = FALSE;
      if (!is_told)
        continue;
      if (!run.is_open || look->scratch_mm < FADING_FRACTION * run.scratch_mm)
        run.since = look->window;
      run.is_open = TRUE;
      run.last_seen = look->window;
      run.n_repairs = look->n_repairs;
      run.scratch_mm = look->scratch_mm;
    }
  run.is_open = run.is_open && run.n_repairs == story->n_repairs;
  return run;
}

/* --- counting ------------------------------------------------------------------------------------- */

static guint
count_open (const RakeZone *zone, RakeMarkKind first, RakeMarkKind last)
{
  guint n_open = 0;

  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      if (mark->closed_by == NULL && mark->kind >= first && mark->kind <= last)
        n_open++;
    }
  return n_open;
}

static void
take_count (RakeFacts *facts, const RakeStory *story, RakeFact fact, RakeMarkKind kind,
            RakeState state)
{
  guint n_open = count_open (story->zone, kind, kind);

  if (n_open == 0 && follow_state (story, state).is_open)
    n_open = 1;
  rake_facts_set (facts, fact, n_open);
}

static void
take_faults (RakeFacts *facts, const RakeZone *zone)
{
  rake_facts_set (facts, RAKE_FACT_REPAIR_FAULTS,
                  count_open (zone, RAKE_MARK_LIFTING, RAKE_MARK_SHRINK_BACK));
  rake_facts_set (facts, RAKE_FACT_SHRINK_BACKS,
                  count_open (zone, RAKE_MARK_SHRINK_BACK, RAKE_MARK_SHRINK_BACK));
  rake_facts_set (facts, RAKE_FACT_CARRIED_FAULTS,
                  count_open (zone, RAKE_MARK_RUN, RAKE_MARK_PINHOLE));
  rake_facts_set (facts, RAKE_FACT_SWIRLS, count_open (zone, RAKE_MARK_SWIRL, RAKE_MARK_SWIRL));
  rake_facts_set (facts, RAKE_FACT_DULL_SPOTS,
                  count_open (zone, RAKE_MARK_DULL_SPOT, RAKE_MARK_DULL_SPOT));
}

static RakeId
get_defect (const RakeEntry *entry)
{
  return rake_id_is_nil (entry->defect.defect) ? entry->id : entry->defect.defect;
}

static gboolean
has_place (const RakeJob *job, const RakeEntry *entry)
{
  const RakeEntry *first = rake_job_find_entry (job, get_defect (entry));

  return !rake_id_is_nil (entry->defect.mark) ||
         (first != NULL && !rake_id_is_nil (first->defect.mark));
}

/* A defect with a mark is not counted twice: its mark speaks. */
static guint
count_open_defects (const RakeStory *story)
{
  const GPtrArray *history = story->zone->history;
  g_autoptr (GHashTable) told =
      g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, g_free, NULL);
  guint n_open = 0;

  for (guint i = history->len; i-- > 0;)
    {
      const RakeEntry *entry = history->pdata[i];
      RakeId id;

      if (entry->kind != RAKE_ENTRY_DEFECT)
        continue;
      id = get_defect (entry);
      if (g_hash_table_add (told, g_memdup2 (&id, sizeof id)) &&
          entry->defect.standing == RAKE_STANDING_OPEN && !has_place (story->job, entry))
        n_open++;
    }
  return n_open;
}

/* --- how long they have been there ----------------------------------------------------------------- */

/* Passes between two windows; at the present stage only, when @is_here. */
static guint
count_passes (const RakeStory *story, guint from, guint to, gboolean is_here)
{
  guint n_passes = 0;

  for (guint i = from; i < to; i++)
    if (!is_here || rake_story_pass (story, i)->stage == story->stage)
      n_passes++;
  return n_passes;
}

/* The passes that an open mark has stood unchanged: from the look that found it, or that saw it
 * shorter than before, to the one that saw it last. */
static guint
count_passes_unchanged (const RakeStory *story, const RakeMark *mark, gboolean is_here)
{
  guint since = 0, last_seen = 0;
  double length_mm = NAN;

  for (guint i = 0; i < story->sightings->len; i++)
    {
      const RakeSighting *sighting = &g_array_index (story->sightings, RakeSighting, i);
      double seen_mm;

      if (sighting->mark != mark->entry)
        continue;
      seen_mm = rake_shape_get_length_mm (sighting->shape);
      last_seen = rake_story_look (story, sighting->look)->window;
      if ((isnan (length_mm) && sighting->shape == mark->entry->mark.shape) ||
          seen_mm < FADING_FRACTION * length_mm)
        since = last_seen;
      length_mm = seen_mm;
    }
  return count_passes (story, since, last_seen, is_here);
}

static void
take_scratches (RakeFacts *facts, const RakeStory *story)
{
  StateRun told = follow_state (story, RAKE_STATE_SCRATCH);
  guint n_open = 0, n_passes = 0;
  double longest_mm = NAN;

  for (guint i = 0; i < story->zone->marks->len; i++)
    {
      const RakeMark *mark = story->zone->marks->pdata[i];

      if (mark->kind != RAKE_MARK_SCRATCH || mark->closed_by != NULL)
        continue;
      n_open++;
      n_passes = MAX (n_passes, count_passes_unchanged (story, mark, TRUE));
      longest_mm = fmax (longest_mm, rake_shape_get_length_mm (mark->shape));
    }
  if (told.is_open)
    {
      n_open = MAX (n_open, 1);
      n_passes = MAX (n_passes, count_passes (story, told.since, told.last_seen, TRUE));
      longest_mm = fmax (longest_mm, told.scratch_mm);
    }

  rake_facts_set (facts, RAKE_FACT_SCRATCHES, n_open);
  if (n_open == 0)
    {
      rake_facts_set_none (facts, RAKE_FACT_LONGEST_SCRATCH_MM);
      rake_facts_set_none (facts, RAKE_FACT_PASSES_SINCE_SCRATCH);
      return;
    }
  rake_facts_set (facts, RAKE_FACT_LONGEST_SCRATCH_MM, longest_mm);
  rake_facts_set (facts, RAKE_FACT_PASSES_SINCE_SCRATCH, n_passes);
}

static void
take_dull_spots (RakeFacts *facts, const RakeStory *story)
{
  gboolean is_seen_again = FALSE;
  guint n_open = 0, n_passes = 0;

  for (guint i = 0; i < story->zone->marks->len; i++)
    {
      const RakeMark *mark = story->zone->marks->pdata[i];

      if (mark->kind != RAKE_MARK_DULL_SPOT || mark->closed_by != NULL)
        continue;
      n_open++;
      is_seen_again |= !rake_id_equal (mark->last_seen->id, mark->entry->mark.look);
      n_passes = MAX (n_passes, count_passes_unchanged (story, mark, FALSE));
    }
  if (n_open == 0)
    {
      rake_facts_set_none (facts, RAKE_FACT_PASSES_SINCE_DULL);
      rake_facts_set_none (facts, RAKE_FACT_DULL_SEEN_AGAIN);
      return;
    }
  rake_facts_set (facts, RAKE_FACT_PASSES_SINCE_DULL, n_passes);
  rake_facts_set (facts, RAKE_FACT_DULL_SEEN_AGAIN, is_seen_again);
}

/* --- marks from before ----------------------------------------------------------------------------- */

gboolean
rake_story_has_carried (const RakeStory *story, const RakeMark *mark)
{
  if (mark->kind != RAKE_MARK_LOW_SPOT || mark->closed_by != NULL)
    return FALSE;
  /* a stage that is no longer planned, or none at all: from before this one in any case */
  return mark->stage == NULL || mark->stage->position == G_MAXUINT ||
         mark->stage->position < story->stage->position;
}

/* A mark is a ghost after any later pass on its zone, also one from before the last coat. */
static const RakeEntry *
find_last_pass_ever (const RakeZone *zone)
{
  for (guint i = zone->history->len; i-- > 0;)
    if (((const RakeEntry *) zone->history->pdata[i])->kind == RAKE_ENTRY_PASS)
      return zone->history->pdata[i];
  return NULL;
}

/* Carried spots ride along until the last grit has been over them. */
static gboolean
wants_another_look (const RakeStory *story, const RakeMark *mark)
{
  if (mark->kind != RAKE_MARK_LOW_SPOT)
    return TRUE;
  if (!rake_story_has_carried (story, mark))
    return FALSE;
  return !rake_stage_is_sanding (story->stage) ||
         (story->stage->is_last_sanding && story->passes_here > 0);
}

static void
take_marks_from_before (RakeFacts *facts, const RakeStory *story)
{
  const RakeEntry *last_pass = find_last_pass_ever (story->zone);
  guint n_carried = 0, n_not_revisited = 0;

  for (guint i = 0; i < story->zone->marks->len; i++)
    {
      const RakeMark *mark = story->zone->marks->pdata[i];

      if (mark->closed_by != NULL)
        continue;
      if (rake_story_has_carried (story, mark))
        n_carried++;
      if (last_pass != NULL && rake_job_compare_entries (last_pass, mark->last_seen) > 0 &&
          wants_another_look (story, mark))
        n_not_revisited++;
    }
  rake_facts_set (facts, RAKE_FACT_CARRIED_LOW_SPOTS, n_carried);
  rake_facts_set (facts, RAKE_FACT_MARKS_NOT_REVISITED, n_not_revisited);
}

void
rake_facts_take_marks (RakeFacts *facts, const RakeStory *story)
{
  take_scratches (facts, story);
  take_count (facts, story, RAKE_FACT_WITNESS_LINES, RAKE_MARK_WITNESS_LINE,
              RAKE_STATE_WITNESS_LINE);
  take_count (facts, story, RAKE_FACT_BURNS, RAKE_MARK_BURN, RAKE_STATE_BURN);
  take_count (facts, story, RAKE_FACT_SAND_THROUGHS, RAKE_MARK_SAND_THROUGH,
              RAKE_STATE_SAND_THROUGH);
  take_faults (facts, story->zone);
  rake_facts_set (facts, RAKE_FACT_OPEN_DEFECTS, count_open_defects (story));
  take_dull_spots (facts, story);
  take_marks_from_before (facts, story);
}

/* --- repairs next door ----------------------------------------------------------------------------- */

static const RakeEntry *
find_last_proper_look (const RakeStory *story)
{
  for (guint i = story->looks->len; i-- > 0;)
    if (rake_story_look (story, i)->is_proper)
      return rake_story_look (story, i)->entry;
  return NULL;
}

static gboolean
is_within (const RakeShape *place, double reach_mm, const RakeShape *zone)
{
  RakeBounds a = rake_shape_get_bounds (place), b = rake_shape_get_bounds (zone);
  g_autoptr (RakeShape) grown = NULL;

  if (a.min_x_mm - reach_mm > b.max_x_mm || a.max_x_mm + reach_mm < b.min_x_mm ||
      a.min_y_mm - reach_mm > b.max_y_mm || a.max_y_mm + reach_mm < b.min_y_mm)
    return FALSE;
  grown = rake_shape_buffer (place, reach_mm, NULL);
  return grown == NULL || rake_shape_overlaps (grown, zone);
}

/* The band runs round the marks it closed; a repair that names none counts as of its whole zone. */
static gboolean
reaches (const RakeStory *story, const RakeZone *other, const RakeRepairBody *repair)
{
  double reach_mm = isfinite (repair->feather_mm) ? repair->feather_mm : story->limits->feather_mm;
  gboolean has_place = FALSE;

  if (!isfinite (reach_mm))
    return TRUE;
  for (guint i = 0; i < repair->marks->len; i++)
    {
      const RakeMark *mark =
          rake_job_find_mark (story->job, g_array_index (repair->marks, RakeId, i));

      if (mark == NULL)
        continue;
      has_place = TRUE;
      if (is_within (mark->shape, reach_mm, story->zone->shape))
        return TRUE;
    }
  return !has_place && is_within (other->shape, reach_mm, story->zone->shape);
}

static gboolean
was_repaired_since (const RakeStory *story, const RakeZone *other, const RakeEntry *look)
{
  for (guint i = other->history->len; i-- > 0;)
    {
      const RakeEntry *entry = other->history->pdata[i];

      if (rake_job_compare_entries (entry, look) < 0)
        return FALSE;
      if (entry->kind == RAKE_ENTRY_REPAIR && entry->repair.method != RAKE_REPAIR_RECOAT &&
          reaches (story, other, &entry->repair))
        return TRUE;
    }
  return FALSE;
}

void
rake_facts_take_neighbours (RakeFacts *facts, const RakeStory *story)
{
  const GPtrArray *zones = story->zone->face->zones;
  const RakeEntry *look = find_last_proper_look (story);
  gboolean is_near = FALSE;

  for (guint i = 0; look != NULL && !is_near && i < zones->len; i++)
    if (zones->pdata[i] != story->zone)
      is_near = was_repaired_since (story, zones->pdata[i], look);
  rake_facts_set (facts, RAKE_FACT_NEIGHBOUR_REPAIRED, is_near);
}
