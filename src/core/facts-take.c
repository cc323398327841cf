/* facts-take.c - all facts of a zone: where it stands, its gates, and the rest file by file. */
#include "facts-private.h"

#include <math.h>
#include <string.h>

void
rake_facts_set (RakeFacts *facts, RakeFact fact, double value)
{
  facts->knowledge[fact] = isfinite (value) ? RAKE_KNOWN : RAKE_UNKNOWN;
  facts->value[fact] = isfinite (value) ? value : 0;
}

void
rake_facts_set_none (RakeFacts *facts, RakeFact fact)
{
  facts->knowledge[fact] = RAKE_NOT_APPLICABLE;
  facts->value[fact] = 0;
}

void
rake_facts_set_answer (RakeFacts *facts, RakeFact fact, RakeAnswer answer)
{
  rake_facts_set (facts, fact, answer == RAKE_ANSWER_UNSAID ? NAN : answer == RAKE_ANSWER_YES);
}

static gboolean
has_stage_before (const RakeStory *story)
{
  const GPtrArray *stages = story->zone->face->stages;

  for (guint i = 0; i < stages->len; i++)
    {
      const RakeStage *stage = stages->pdata[i];

      if (rake_stage_is_sanding (stage) && stage->position < story->stage->position &&
          stage->position >= story->zone->first_stage->position)
        return TRUE;
    }
  return FALSE;
}

static void
take_standing (RakeFacts *facts, const RakeStory *story)
{
  RakeSheen sheen = story->job_facts != NULL ? story->job_facts->sheen : RAKE_SHEEN_UNSAID;
  gboolean is_sanding = rake_stage_is_sanding (story->stage);

  rake_facts_set (facts, RAKE_FACT_IS_EDGE, story->zone->is_edge);
  rake_facts_set (facts, RAKE_FACT_IS_LAST_SANDING, is_sanding && story->stage->is_last_sanding);
  rake_facts_set (facts, RAKE_FACT_IS_AFTER_SANDING, !is_sanding);
  rake_facts_set (facts, RAKE_FACT_IS_SATIN,
                  sheen == RAKE_SHEEN_UNSAID ? NAN : sheen == RAKE_SHEEN_SATIN);
  rake_facts_set (facts, RAKE_FACT_HAS_STAGE_BEFORE, has_stage_before (story));
  rake_facts_set (facts, RAKE_FACT_PASSES_HERE, story->passes_here);
  rake_facts_set (facts, RAKE_FACT_PASSES_SINCE_COAT, story->passes->len);
}

double
rake_story_get_low_spot_limit (const RakeStory *story)
{
  const RakeJobFacts *job = story->job_facts;
  const RakeLimits *rules = story->limits;
  gboolean is_last = story->stage->is_last_sanding || !rake_stage_is_sanding (story->stage);

  if (story->zone->is_edge)
    return is_last
               ? rake_story_get_limit (story, job != NULL ? job->last_edge_low_spot_fraction : NAN,
                                       rules->last_edge_low_spot_fraction)
               : rake_story_get_limit (story, job != NULL ? job->edge_low_spot_fraction : NAN,
                                       rules->edge_low_spot_fraction);
  return is_last ? rules->last_low_spot_fraction
                 : rake_story_get_limit (story, job != NULL ? job->level_low_spot_fraction : NAN,
                                         rules->level_low_spot_fraction);
}

/* Edges have no limit for islands. */
static void
take_gates (RakeFacts *facts, const RakeStory *story)
{
  const RakeJobFacts *job = story->job_facts;
  const RakeLimits *rules = story->limits;

  rake_facts_set (facts, RAKE_FACT_LOW_SPOT_LIMIT, rake_story_get_low_spot_limit (story));
  if (story->zone->is_edge)
    rake_facts_set_none (facts, RAKE_FACT_ISLAND_LIMIT_MM);
  else
    rake_facts_set (facts, RAKE_FACT_ISLAND_LIMIT_MM,
                    rake_story_get_limit (story, job != NULL ? job->level_island_mm : NAN,
                                          rules->level_island_mm));
}

void
rake_facts_take (RakeFacts *facts, const RakeJob *job, const RakeZone *zone,
                 const RakeLimits *limits, gint64 now_ms)
{
  g_auto (RakeStory) story = { 0 };

  g_return_if_fail (facts != NULL && job != NULL && zone != NULL && limits != NULL);

  memset (facts, 0, sizeof *facts); /* all unknown */
  if (zone->stage == NULL)
    return;
  rake_story_init (&story, job, zone, limits, now_ms);
  take_standing (facts, &story);
  take_gates (facts, &story);
  rake_facts_take_film (facts, &story);
  rake_facts_take_looks (facts, &story);
  rake_facts_take_low_spots (facts, &story);
  rake_facts_take_marks (facts, &story);
  rake_facts_take_neighbours (facts, &story);
  rake_facts_take_waits (facts, &story);
  rake_facts_take_buffing (facts, &story);
  rake_facts_take_gloss (facts, &story);
}
