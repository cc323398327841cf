/* forecast-zone.c - the forecast for a zone of a job, from what its logbook told. */
#include "facts-private.h"

#include <rakelight/forecast.h>

#include <math.h>

/* What the pass took on this zone; NaN when nobody knows. */
static double
get_taken_um (const RakeStory *story, guint pass, const RakeRates *rates)
{
  const RakeStage *stage = rake_story_pass (story, pass)->stage;
  const RakeRate *rate = stage != NULL ? rake_rates_find (rates, stage->grade) : NULL;

  return rate != NULL ? rate->mean_um * story->zone->edge_factor : (double) NAN;
}

/* How many passes came before the last repair: what was told until then is of another surface. */
static guint
count_before_repair (const RakeStory *story)
{
  const GPtrArray *history = story->zone->history;
  guint n_passes = 0, before = 0;

  for (guint i = story->first; i < history->len; i++)
    {
      const RakeEntry *entry = history->pdata[i];

      if (entry->kind == RAKE_ENTRY_PASS)
        n_passes++;
      else if (entry->kind == RAKE_ENTRY_REPAIR)
        before = n_passes;
    }
  return before;
}

/* The shares that were told, each with the depth taken until then. NULL when a depth is not known. */
static GArray *
list_points (const RakeStory *story, const RakeRates *rates)
{
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (RakeForecastPoint));
  g_autoptr (GArray) shares = rake_facts_take_shares (story->job, story->zone, story->limits);
  guint before_repair = count_before_repair (story);
  double removed_um = 0;

  for (guint i = 0; i < shares->len; i++)
    {
      double share = g_array_index (shares, RakeShareTold, i).low_spot_fraction;
      RakeForecastPoint point;

      if (i > 0)
        removed_um += get_taken_um (story, i - 1, rates);
      if (isnan (removed_um))
        return NULL;
      point = (RakeForecastPoint){ removed_um, share };
      if (!isnan (share) && i >= before_repair)
        g_array_append_val (points, point);
    }
  return g_steal_pointer (&points);
}

static guint
count_passes_on_record (const RakeFilm *film, const RakeStage *stage)
{
  guint n = 0;

  for (guint i = 0; i < film->lines->len; i++)
    {
      const RakeFilmLine *line = &g_array_index (film->lines, RakeFilmLine, i);

      if (line->kind == RAKE_FILM_READING)
        n = 0;
      else if (line->kind == RAKE_FILM_PASSES && line->stage != NULL &&
               g_strcmp0 (line->stage->grade, stage->grade) == 0)
        n += line->n_passes;
    }
  return n;
}

/* The film once level enough, at the middle of the forecast. Passes at one grit err together, those
 * already made with those to come: the doubt of the rate grows with the square of their number. */
static void
judge_film (RakeForecast *forecast, const RakeStory *story, const RakeFilm *film,
            const RakeRate *rate)
{
  double factor = story->zone->edge_factor;
  double common_um = rate->common_sd_um * factor, scatter_um = rate->scatter_sd_um * factor;
  double made = count_passes_on_record (film, story->stage), more = ceil (forecast->passes);
  double reserve_um = isnan (film->reserve_um) ? 0 : film->reserve_um;
  double limit = rake_story_get_limit (
      story, story->job_facts != NULL ? story->job_facts->risk_limit_fraction : NAN,
      story->limits->risk_limit_fraction);
  RakeNormal left = film->film;

  if (film->standing != RAKE_FILM_KNOWN || isnan (more))
    return;
  left.mean -= more * rate->mean_um * factor;
  left.sd = sqrt (left.sd * left.sd + more * (2 * made + more) * common_um * common_um +
                  more * scatter_um * scatter_um);
  forecast->risk_at_end = rake_film_risk (left, reserve_um);
  forecast->film_allows = isnan (limit) || forecast->risk_at_end <= limit;
}

static RakeForecast
say_nothing (void)
{
  return rake_forecast_fit (NULL, 0, NAN, NAN, (RakeNormal){ NAN, NAN }, NAN);
}

RakeForecast
rake_forecast_take (const RakeJob *job, const RakeZone *zone, const RakeFilm *film,
                    const RakeRates *rates, const RakeLimits *limits)
{
  g_auto (RakeStory) story = { 0 };
  g_autoptr (GArray) points = NULL;
  const RakeRate *rate;
  RakeForecast forecast;
  RakeNormal pass;

  g_return_val_if_fail (job != NULL && zone != NULL && film != NULL && rates != NULL,
                        say_nothing ());
  if (zone->stage == NULL || !rake_stage_is_sanding (zone->stage))
    return say_nothing ();
  rate = rake_rates_find (rates, zone->stage->grade);
  rake_story_init (&story, job, zone, limits, 0);
  points = list_points (&story, rates);
  if (rate == NULL || points == NULL)
    return say_nothing ();
  pass = (RakeNormal){ rate->mean_um * zone->edge_factor, rate->scatter_sd_um * zone->edge_factor };
  forecast = rake_forecast_fit ((const RakeForecastPoint *) (gpointer) points->data, points->len,
                                rake_story_get_low_spot_limit (&story),
                                rake_texture_get_sigma_um (story.job_facts != NULL
                                                               ? story.job_facts->texture
                                                               : RAKE_TEXTURE_UNSAID),
                                pass, rate->common_sd_um * zone->edge_factor);
  judge_film (&forecast, &story, film, rate);
  return forecast;
}
