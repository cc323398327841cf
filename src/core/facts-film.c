/* facts-film.c - what is left of the film, and the numbers it is held against. */
#include "facts-private.h"

#include <rakelight/film.h>

#include <math.h>

static void
take_limits (RakeFacts *facts, const RakeStory *story)
{
  const RakeJobFacts *job = story->job_facts;

  rake_facts_set_answer (facts, RAKE_FACT_COATS_FUSE, rake_job_get_coats_fuse (story->job));
  rake_facts_set (facts, RAKE_FACT_RESERVE_UM, story->zone->reserve_um);
  rake_facts_set (facts, RAKE_FACT_RISK_LIMIT,
                  rake_story_get_limit (story, job != NULL ? job->risk_limit_fraction : NAN,
                                        story->limits->risk_limit_fraction));
}

static void
take_last_coat (RakeFacts *facts, const RakeStory *story, const RakeFilm *film)
{
  if (rake_job_get_coats_fuse (story->job) == RAKE_ANSWER_YES)
    {
      rake_facts_set_none (facts, RAKE_FACT_LAST_COAT_FILM_UM);
      rake_facts_set_none (facts, RAKE_FACT_LAST_COAT_RISK_AFTER_NEXT_PASS);
      rake_facts_set_none (facts, RAKE_FACT_LAST_COAT_RISK_AT_END);
      return;
    }
  rake_facts_set (facts, RAKE_FACT_LAST_COAT_FILM_UM, film->last_coat.mean);
  rake_facts_set (facts, RAKE_FACT_LAST_COAT_RISK_AFTER_NEXT_PASS,
                  film->last_coat_risk_after_next_pass);
  rake_facts_set (facts, RAKE_FACT_LAST_COAT_RISK_AT_END, film->last_coat_risk_at_end);
}

void
rake_facts_take_film (RakeFacts *facts, const RakeStory *story)
{
  g_autoptr (RakeRates) rates = rake_rates_take (story->job);
  g_autoptr (RakeFilm) film = rake_film_take (story->job, story->zone, rates, story->limits);

  take_limits (facts, story);
  rake_facts_set (facts, RAKE_FACT_FILM_UM, film->film.mean);
  rake_facts_set (facts, RAKE_FACT_RISK_NOW, film->risk_now);
  rake_facts_set (facts, RAKE_FACT_RISK_AFTER_NEXT_PASS, film->risk_after_next_pass);
  rake_facts_set (facts, RAKE_FACT_RISK_AT_END, film->risk_at_end);
  take_last_coat (facts, story, film);
}
