/* facts-looks.c - what was looked at, how, and in which light. docs/judging.md, "Looks". */
#include "facts-private.h"

#include <math.h>

static gboolean
has_lamp (const RakeLookTold *look)
{
  return rake_look_counts (look) && isfinite (look->entry->look.lamp_deg);
}

static void
take_whether_looked (RakeFacts *facts, const RakeStory *story)
{
  gboolean is_looked_at_dry = FALSE, is_looked_at = FALSE, is_said = FALSE, is_poor = FALSE;
  guint lights = 0;
  guint n_lights = 0;

  for (guint i = 0; i < story->looks->len; i++)
    {
      const RakeLookTold *look = rake_story_look (story, i);

      is_looked_at_dry |= look->entry->look.surface == RAKE_SURFACE_DRY;
      is_poor |= look->is_current && !look->is_proper;
      if (!rake_look_counts (look))
        continue;
      is_looked_at = TRUE;
      is_said |= look->is_statement;
      lights |= 1u << (guint) look->entry->look.light;
    }
  for (; lights != 0; lights &= lights - 1)
    n_lights++;

  rake_facts_set (facts, RAKE_FACT_LOOKED_BEFORE_FIRST_PASS, is_looked_at_dry);
  rake_facts_set (facts, RAKE_FACT_LOOKED_SINCE_PASS, is_looked_at);
  rake_facts_set (facts, RAKE_FACT_LOOKED_POORLY_SINCE_PASS, is_poor && !is_looked_at);
  rake_facts_set (facts, RAKE_FACT_SAID_SINCE_PASS, is_said);
  rake_facts_set (facts, RAKE_FACT_LIGHTS_SEEN, n_lights);
}

/* The coarser stage that was worked here last: its strokes are what must be gone. */
static const RakeStage *
find_stage_before (const RakeStory *story)
{
  for (guint i = story->passes->len; i-- > 0;)
    {
      const RakeStage *stage = rake_story_pass (story, i)->stage;

      if (stage == NULL || !rake_stage_is_sanding (stage))
        continue;
      if (stage->position < story->stage->position)
        return stage;
      /* no longer in the schedule, so only the grain can tell which came first */
      if (stage->position == G_MAXUINT && !(stage->d50_um <= story->stage->d50_um))
        return stage;
    }
  return NULL;
}

/* The best angle of any lamp to strokes in @stroke_deg; 0 when no lamp was there. */
static double
best_angle_across (const RakeStory *story, double stroke_deg)
{
  double best_deg = 0;

  for (guint i = 0; i < story->looks->len; i++)
    {
      const RakeLookTold *look = rake_story_look (story, i);

      if (has_lamp (look))
        best_deg =
            MAX (best_deg, rake_angle_between_lines_deg (look->entry->look.lamp_deg, stroke_deg));
    }
  return best_deg;
}

/* Strokes that ran several ways must each have been lit across, so the worst of them counts; one that
 * nobody noted leaves it unknown. */
static void
take_lamp_across_strokes (RakeFacts *facts, const RakeStory *story)
{
  const RakeStage *before = find_stage_before (story);
  double worst_deg = 90;

  rake_facts_set (facts, RAKE_FACT_HAS_STROKES_BEFORE, before != NULL);
  if (before == NULL)
    {
      rake_facts_set_none (facts, RAKE_FACT_LAMP_ACROSS_STROKES_DEG);
      return;
    }
  for (guint i = 0; i < story->passes->len; i++)
    {
      const RakePassTold *pass = rake_story_pass (story, i);

      if (pass->stage != before)
        continue;
      if (!isfinite (pass->entry->pass.stroke_deg))
        return;
      worst_deg = MIN (worst_deg, best_angle_across (story, pass->entry->pass.stroke_deg));
    }
  rake_facts_set (facts, RAKE_FACT_LAMP_ACROSS_STROKES_DEG, worst_deg);
}

static void
take_lamps_across (RakeFacts *facts, const RakeStory *story)
{
  double best_deg = 0;

  for (guint i = 0; i < story->looks->len; i++)
    if (has_lamp (rake_story_look (story, i)))
      best_deg = MAX (best_deg,
                      best_angle_across (story, rake_story_look (story, i)->entry->look.lamp_deg));
  rake_facts_set (facts, RAKE_FACT_LAMPS_ACROSS_DEG, best_deg);
}

/* Shellac bears no spirit: there any wipe is the one it bears. A wipe that nobody noted may have been
 * the right one, so it leaves the answer open. */
static void
take_wipe (RakeFacts *facts, const RakeStory *story)
{
  gboolean is_shellac = story->job_facts != NULL && story->job_facts->finish == RAKE_FINISH_SHELLAC;
  RakeAnswer answer = RAKE_ANSWER_NO;

  for (guint i = 0; i < story->looks->len; i++)
    {
      const RakeLookTold *look = rake_story_look (story, i);
      RakeWipe wipe = look->entry->look.wiped_with;

      if (!look->is_current)
        continue;
      if (wipe == RAKE_WIPE_SPIRIT || (is_shellac && wipe > RAKE_WIPE_NOTHING))
        {
          answer = RAKE_ANSWER_YES;
          break;
        }
      if (wipe == RAKE_WIPE_UNSAID)
        answer = RAKE_ANSWER_UNSAID;
    }
  rake_facts_set_answer (facts, RAKE_FACT_WIPED_WITH_SPIRIT, answer);
}

void
rake_facts_take_looks (RakeFacts *facts, const RakeStory *story)
{
  take_whether_looked (facts, story);
  take_lamp_across_strokes (facts, story);
  take_lamps_across (facts, story);
  take_wipe (facts, story);
}
