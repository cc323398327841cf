/* facts-after.c - what only time, cooling or a wheel can settle: cure, fills, buffing, rest, gloss. */
#include "facts-private.h"
#include "gloss-private.h"
#include "job-private.h"

#include <math.h>
#include <rakelight/wheel.h>

/* Drops of a finish that fuses: level after two days at the least (trade list D38). Other fillers, as
 * cyanoacrylate: a day; common practice, no source. */
#define FUSED_FILL_CURE_DAYS 2.0
#define OTHER_FILL_CURE_DAYS 1.0

static void
take_left (RakeFacts *facts, RakeFact left, double wanted, double gone)
{
  rake_facts_set (facts, left, isnan (wanted) || isnan (gone) ? NAN : MAX (wanted - gone, 0));
}

/* --- cure and fills --------------------------------------------------------------------------------- */

static void
take_cure (RakeFacts *facts, const RakeStory *story)
{
  double cure_days = rake_job_get_cure_days (story->job);
  double gone_days =
      story->last_coat != NULL ? rake_story_get_days_since (story, story->last_coat_ms) : NAN;

  rake_facts_set (facts, RAKE_FACT_DAYS_SINCE_COAT, gone_days);
  rake_facts_set (facts, RAKE_FACT_CURE_DAYS, cure_days);
  take_left (facts, RAKE_FACT_CURE_DAYS_LEFT, cure_days, gone_days);
}

static void
take_paper (RakeFacts *facts, const RakeStory *story)
{
  const RakePassTold *last = rake_story_get_last_pass (story);

  if (last == NULL)
    rake_facts_set_none (facts, RAKE_FACT_PAPER_LOADED);
  else if (last->entry->pass.paper != RAKE_PAPER_UNSAID)
    rake_facts_set (facts, RAKE_FACT_PAPER_LOADED, last->entry->pass.paper == RAKE_PAPER_LOADED);
}

/* NaN: this repair wants no wait of its own. */
static double
get_fill_cure_days (const RakeStory *story, const RakeRepairBody *repair)
{
  if (repair->method == RAKE_REPAIR_RECOAT)
    return NAN; /* that is a coat */
  if (isfinite (repair->cure_days))
    return repair->cure_days;
  if (repair->method == RAKE_REPAIR_FILL)
    return OTHER_FILL_CURE_DAYS;
  if (repair->method != RAKE_REPAIR_DROP_FILL)
    return NAN;
  return rake_job_get_coats_fuse (story->job) == RAKE_ANSWER_YES
             ? FUSED_FILL_CURE_DAYS
             : rake_job_get_cure_days (story->job);
}

/* Of several fills the one that takes longest from now. */
static void
take_fill (RakeFacts *facts, const RakeStory *story)
{
  const GPtrArray *history = story->zone->history;
  double best_days = NAN, gone_days = NAN;

  for (guint i = story->first; i < history->len; i++)
    {
      const RakeEntry *entry = history->pdata[i];
      double cure_days, days;

      if (entry->kind != RAKE_ENTRY_REPAIR)
        continue;
      cure_days = get_fill_cure_days (story, &entry->repair);
      days = rake_story_get_days_since (story, entry->happened_ms);
      if (isnan (cure_days) || cure_days - days < best_days - gone_days)
        continue;
      best_days = cure_days;
      gone_days = days;
    }
  if (isnan (best_days))
    {
      rake_facts_set_none (facts, RAKE_FACT_DAYS_SINCE_FILL);
      rake_facts_set_none (facts, RAKE_FACT_FILL_CURE_DAYS);
      rake_facts_set_none (facts, RAKE_FACT_FILL_CURE_DAYS_LEFT);
      return;
    }
  rake_facts_set (facts, RAKE_FACT_DAYS_SINCE_FILL, gone_days);
  rake_facts_set (facts, RAKE_FACT_FILL_CURE_DAYS, best_days);
  take_left (facts, RAKE_FACT_FILL_CURE_DAYS_LEFT, best_days, gone_days);
}

void
rake_facts_take_waits (RakeFacts *facts, const RakeStory *story)
{
  take_cure (facts, story);
  take_paper (facts, story);
  take_fill (facts, story);
}

/* --- wheels ------------------------------------------------------------------------------------------ */

/* Before the first pass at a buff stage; later the wheel is in use. By hand or with a pad there is none. */
static void
take_look_over (RakeFacts *facts, const RakeStory *story)
{
  const RakeStage *stage = story->zone->stage;
  RakeId wheel = stage != NULL && stage->action == RAKE_ACTION_BUFF
                     ? rake_wheel_find_for (story->job, stage->grade)
                     : RAKE_ID_NIL;
  RakeWheelStanding standing;
  g_autofree char *advice = NULL;

  if (rake_id_is_nil (wheel) || !rake_wheel_take (story->job, wheel, &standing))
    {
      rake_facts_set_none (facts, RAKE_FACT_WHEEL_LOOKED_OVER);
      return;
    }
  advice = rake_wheel_advise (&standing);
  rake_facts_set_answer (facts, RAKE_FACT_WHEEL_LOOKED_OVER,
                         advice == NULL ? RAKE_ANSWER_YES : RAKE_ANSWER_NO);
}

static void
take_wheel (RakeFacts *facts, const RakeStory *story)
{
  const RakePassTold *buff = rake_story_get_last_buff (story);

  take_look_over (facts, story);
  /* by hand or with a pad; or not buffed at all */
  if (buff == NULL || rake_id_is_nil (buff->entry->pass.wheel))
    {
      rake_facts_set_none (facts, RAKE_FACT_WHEEL_CARRIED_OTHER);
      return;
    }
  rake_facts_set_answer (facts, RAKE_FACT_WHEEL_CARRIED_OTHER,
                         rake_wheel_carried_other (story->job, buff->entry));
}

/* --- heat and rest ----------------------------------------------------------------------------------- */

/* A reading tells of the moment. It counts for as long as cooling takes, or until a later look found
 * the surface dry and not warm. */
static void
take_surface (RakeFacts *facts, const RakeStory *story, double cool_minutes)
{
  const GPtrArray *history = story->zone->history;

  for (guint i = history->len; i-- > story->first;)
    {
      const RakeEntry *entry = history->pdata[i];

      if (entry->kind == RAKE_ENTRY_PASS ||
          (entry->kind == RAKE_ENTRY_LOOK && entry->look.surface == RAKE_SURFACE_DRY))
        return;
      if (entry->kind != RAKE_ENTRY_READING ||
          entry->reading.quantity != RAKE_QUANTITY_TEMPERATURE_CELSIUS)
        continue;
      if (rake_story_get_days_since (story, entry->happened_ms) * 24 * 60 < cool_minutes)
        rake_facts_set (facts, RAKE_FACT_SURFACE_CELSIUS, entry->reading.value);
      return;
    }
}

static gboolean
has_buff_stage (const RakeFace *face)
{
  for (guint i = 0; i < face->stages->len; i++)
    if (((const RakeStage *) face->stages->pdata[i])->action == RAKE_ACTION_BUFF)
      return TRUE;
  return FALSE;
}

static void
take_rest (RakeFacts *facts, const RakeStory *story, const RakeEntry *last)
{
  double rest_days = rake_job_get_rest_days (story->job), gone_days = NAN;

  rake_facts_set (facts, RAKE_FACT_REST_DAYS, rest_days);
  if (last != NULL)
    gone_days = rake_story_get_days_since (story, last->happened_ms);
  rake_facts_set (facts, RAKE_FACT_DAYS_SINCE_BUFF, gone_days);
  take_left (facts, RAKE_FACT_REST_DAYS_LEFT, rest_days, gone_days);

  for (guint i = story->looks->len; last != NULL && i-- > 0;)
    {
      const RakeLookTold *look = rake_story_look (story, i);

      if (!rake_look_counts (look) || !look->is_statement)
        continue;
      rake_facts_set (facts, RAKE_FACT_RESTED_AT_LOOK_DAYS,
                      rake_story_get_days_since (story, last->happened_ms) -
                          rake_story_get_days_since (story, look->entry->happened_ms));
      return;
    }
}

void
rake_facts_take_buffing (RakeFacts *facts, const RakeStory *story)
{
  const RakeJobFacts *job = story->job_facts;
  const RakePassTold *buff = rake_story_get_last_buff (story), *last = buff;
  double cool_minutes = rake_story_get_limit (story, job != NULL ? job->cool_minutes : NAN,
                                              story->limits->cool_minutes);
  double gone_minutes;

  rake_facts_set (facts, RAKE_FACT_COOL_MINUTES, cool_minutes);
  if (buff == NULL)
    {
      rake_facts_set_none (facts, RAKE_FACT_MINUTES_SINCE_BUFF);
      rake_facts_set_none (facts, RAKE_FACT_COOL_MINUTES_LEFT);
    }
  else
    {
      gone_minutes = rake_story_get_days_since (story, buff->entry->happened_ms) * 24 * 60;
      rake_facts_set (facts, RAKE_FACT_MINUTES_SINCE_BUFF, gone_minutes);
      take_left (facts, RAKE_FACT_COOL_MINUTES_LEFT, cool_minutes, gone_minutes);
    }
  take_surface (facts, story, cool_minutes);
  take_wheel (facts, story);

  /* a finish that is left in its last scratch rests from the last pass */
  if (last == NULL && !has_buff_stage (story->zone->face))
    last = rake_story_get_last_pass (story);
  take_rest (facts, story, last != NULL ? last->entry : NULL);
}

/* --- gloss ------------------------------------------------------------------------------------------- */

void
rake_facts_take_gloss (RakeFacts *facts, const RakeStory *story)
{
  const RakeJobFacts *job = story->job_facts;
  double angle_deg;
  RakeSample here = rake_gloss_sample_zone (story->zone, NULL, &angle_deg);

  rake_facts_set (facts, RAKE_FACT_GLOSS_SPREAD_LIMIT_GU,
                  rake_story_get_limit (story, job != NULL ? job->gloss_spread_gu : NAN,
                                        story->limits->gloss_spread_gu));
  if (here.n > 0)
    rake_facts_set (facts, RAKE_FACT_GLOSS_ABOVE_OTHERS_GU,
                    rake_gloss_get_above_others_gu (story->zone, angle_deg, here.mean));
}
