/* facts-story.c - what happened to a zone since its last coat, told once. */
#include "facts-private.h"
#include "job-private.h"

#include <math.h>

static gboolean
is_coat (const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_COAT ||
         (entry->kind == RAKE_ENTRY_REPAIR && entry->repair.method == RAKE_REPAIR_RECOAT);
}

static void
find_last_coat (RakeStory *story)
{
  const GPtrArray *history = story->zone->history;

  for (guint i = 0; i < history->len; i++)
    {
      const RakeEntry *entry = history->pdata[i];

      if (!is_coat (entry))
        continue;
      if (story->last_coat == NULL || entry->happened_ms > story->last_coat_ms)
        story->last_coat_ms = entry->happened_ms;
      story->last_coat = entry;
      story->first = i + 1;
    }
}

int
rake_story_find_look (const RakeStory *story, const RakeEntry *entry)
{
  for (guint i = story->looks->len; i-- > 0;)
    if (rake_story_look (story, i)->entry == entry)
      return (int) i;
  return -1;
}

static int
find_look_by_id (const RakeStory *story, RakeId id)
{
  for (guint i = story->looks->len; i-- > 0;)
    if (rake_id_equal (rake_story_look (story, i)->entry->id, id))
      return (int) i;
  return -1;
}

static void
tell_pass (RakeStory *story, const RakeEntry *entry)
{
  RakePassTold pass = { entry, rake_job_find_stage (story->job, entry->pass.stage) };

  story->passes_here = pass.stage == story->stage ? story->passes_here + 1 : 0;
  g_array_append_val (story->passes, pass);
}

static void
tell_look (RakeStory *story, const RakeEntry *entry)
{
  gboolean is_wiped = entry->look.wiped_with > RAKE_WIPE_NOTHING;
  RakeLookTold look = {
    .entry = entry,
    .window = story->passes->len,
    .n_repairs = story->n_repairs,
    .is_proper = entry->look.surface == RAKE_SURFACE_DRY && (is_wiped || story->passes->len == 0),
    .scratch_mm = NAN,
  };

  g_array_append_val (story->looks, look);
}

static void
tell_state (RakeStory *story, const RakeEntry *entry)
{
  int index = find_look_by_id (story, entry->state.look);
  RakeLookTold *look;

  if (index < 0)
    return;
  look = rake_story_look (story, (guint) index);
  look->is_statement = TRUE;
  look->states |= 1u << entry->state.state;
  if (entry->state.state == RAKE_STATE_LOW_SPOT || entry->state.state == RAKE_STATE_UNIFORM)
    look->low_spot = &entry->state;
  if (entry->state.state == RAKE_STATE_SCRATCH)
    look->scratch_mm = entry->state.scratch_mm;
}

static void
tell_sighting (RakeStory *story, RakeId look_id, const RakeEntry *mark, const RakeShape *shape)
{
  int index = find_look_by_id (story, look_id);
  RakeSighting sighting;

  if (index < 0)
    return;
  /* The kinds up to sand-through are the six states' own; the rest are the trade's other faults. */
  if (mark->mark.mark <= RAKE_MARK_SAND_THROUGH)
    rake_story_look (story, (guint) index)->is_statement = TRUE;
  sighting = (RakeSighting){ mark, (guint) index, shape };
  g_array_append_val (story->sightings, sighting);
}

static void
tell_revisit (RakeStory *story, const RakeEntry *entry)
{
  const RakeRevisitBody *revisit = &entry->revisit;
  const RakeEntry *mark = rake_job_find_entry (story->job, revisit->mark);
  const RakeShape *shape = revisit->shape;

  if (mark == NULL || mark->kind != RAKE_ENTRY_MARK || revisit->outcome != RAKE_OUTCOME_STILL_THERE)
    return;
  for (guint i = story->sightings->len; shape == NULL && i-- > 0;)
    {
      const RakeSighting *sighting = &g_array_index (story->sightings, RakeSighting, i);
      if (sighting->mark == mark)
        shape = sighting->shape;
    }
  tell_sighting (story, revisit->look, mark, shape != NULL ? shape : mark->mark.shape);
}

static void
tell_repair (RakeStory *story, const RakeEntry *entry)
{
  story->n_repairs++;
  /* sent back, also to where it stands: the work there begins again */
  if (!rake_id_is_nil (entry->repair.back_to_stage))
    story->passes_here = 0;
}

static void
tell (RakeStory *story, const RakeEntry *entry)
{
  switch ((int) entry->kind)
    {
    case RAKE_ENTRY_PASS:
      tell_pass (story, entry);
      return;
    case RAKE_ENTRY_LOOK:
      tell_look (story, entry);
      return;
    case RAKE_ENTRY_STATE:
      tell_state (story, entry);
      return;
    case RAKE_ENTRY_MARK:
      tell_sighting (story, entry->mark.look, entry, entry->mark.shape);
      return;
    case RAKE_ENTRY_REVISIT:
      tell_revisit (story, entry);
      return;
    case RAKE_ENTRY_REPAIR:
      tell_repair (story, entry);
      return;
    default:
      return;
    }
}

/* A look entered late, but made before the last pass happened, is as stale as one entered then. */
static void
find_current_looks (RakeStory *story)
{
  const RakePassTold *last_pass = rake_story_get_last_pass (story);

  for (guint i = 0; i < story->looks->len; i++)
    {
      RakeLookTold *look = rake_story_look (story, i);

      look->is_current =
          look->window == story->passes->len && look->n_repairs == story->n_repairs &&
          (last_pass == NULL || look->entry->happened_ms >= last_pass->entry->happened_ms);
    }
}

void
rake_story_init (RakeStory *story, const RakeJob *job, const RakeZone *zone,
                 const RakeLimits *limits, gint64 now_ms)
{
  const GPtrArray *history = zone->history;

  *story = (RakeStory){
    .job = job,
    .zone = zone,
    .stage = zone->stage,
    .limits = limits,
    .job_facts = rake_job_find_facts (job),
    .now_ms = now_ms,
    .passes = g_array_new (FALSE, FALSE, sizeof (RakePassTold)),
    .looks = g_array_new (FALSE, FALSE, sizeof (RakeLookTold)),
    .sightings = g_array_new (FALSE, FALSE, sizeof (RakeSighting)),
  };
  find_last_coat (story);
  for (guint i = story->first; i < history->len; i++)
    tell (story, history->pdata[i]);
  find_current_looks (story);
}

void
rake_story_clear (RakeStory *story)
{
  g_clear_pointer (&story->passes, g_array_unref);
  g_clear_pointer (&story->looks, g_array_unref);
  g_clear_pointer (&story->sightings, g_array_unref);
}

const RakePassTold *
rake_story_get_last_pass (const RakeStory *story)
{
  return story->passes->len > 0 ? rake_story_pass (story, story->passes->len - 1) : NULL;
}

const RakePassTold *
rake_story_get_last_buff (const RakeStory *story)
{
  for (guint i = story->passes->len; i-- > 0;)
    {
      const RakePassTold *pass = rake_story_pass (story, i);
      if (pass->stage != NULL && pass->stage->action == RAKE_ACTION_BUFF)
        return pass;
    }
  return NULL;
}

gboolean
rake_look_counts (const RakeLookTold *look)
{
  return look->is_current && look->is_proper;
}

gboolean
rake_stage_is_sanding (const RakeStage *stage)
{
  return stage->action == RAKE_ACTION_LEVEL || stage->action == RAKE_ACTION_REFINE;
}

double
rake_story_get_limit (const RakeStory *story, double of_job, double of_rules)
{
  return story->job_facts != NULL && isfinite (of_job) ? of_job : of_rules;
}

double
rake_story_get_days_since (const RakeStory *story, gint64 ms)
{
  return (double) (story->now_ms - ms) / (24 * 3600 * 1000.0);
}
