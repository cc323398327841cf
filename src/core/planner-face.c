/* planner-face.c - what the planner needs, from a face as it stands. */
#include "facts-private.h"
#include "i18n.h"

#include <rakelight/forecast.h>
#include <rakelight/planner.h>

#include <math.h>

typedef struct
{
  RakePlannerInput *input;
  const RakeJob *job;
  const RakeFace *face;
  const RakeRates *rates;
  const RakeLimits *limits;
  double least_um;           /* that the zones so far allow to be taken of a flat */
  double left_um;            /* until the roughest of them is level */
  gboolean has_passes;
} Survey;

gboolean
rake_planner_grade_init (RakePlannerGrade *grade, const char *text, const RakeRates *rates,
                         GError **error)
{
  const RakeRate *rate;
  RakeRate assumed;

  *grade = (RakePlannerGrade){ .pass_min_per_m2 = NAN };
  if (!rake_grade_parse (text, &grade->grade, error))
    return FALSE;
  rate = rates != NULL ? rake_rates_find (rates, text) : NULL;
  assumed = rake_rate_assume (text);
  if (rate == NULL)
    rate = &assumed;
  grade->pass_um = (RakeNormal){ rate->mean_um, rate->scatter_sd_um };
  grade->common_sd_um = rate->common_sd_um;
  g_free (assumed.grade);
  return TRUE;
}

/* --- what the compounds take ------------------------------------------------------------------- */

static void
add_compound (RakeNormal *buff, const char *compound, const RakeRates *rates)
{
  const RakeRate *rate = rates != NULL ? rake_rates_find (rates, compound) : NULL;
  RakeRate assumed = rake_rate_assume (compound);

  if (rate == NULL)
    rate = &assumed;
  if (isfinite (rate->mean_um))
    {
      buff->mean += rate->mean_um;
      buff->sd = sqrt (buff->sd * buff->sd + rate->common_sd_um * rate->common_sd_um +
                       rate->scatter_sd_um * rate->scatter_sd_um);
    }
  g_free (assumed.grade);
}

RakeNormal
rake_planner_assume_buffing (RakeBuffing buffing)
{
  RakeNormal buff = { 0, 0 };

  if (buffing != RAKE_BUFFING_NONE)
    {
      add_compound (&buff, "medium cut", NULL);
      add_compound (&buff, "fine", NULL);
    }
  return buff;
}

/* Each compound of the schedule once; without any, the usual two. */
static RakeNormal
get_buffing (const Survey *survey, RakeBuffing buffing)
{
  RakeNormal buff = { 0, 0 };

  if (buffing == RAKE_BUFFING_NONE)
    return buff;
  for (guint i = 0; i < survey->face->stages->len; i++)
    {
      const RakeStage *stage = survey->face->stages->pdata[i];

      if (stage->action == RAKE_ACTION_BUFF)
        add_compound (&buff, stage->grade, survey->rates);
    }
  return buff.mean > 0 ? buff : rake_planner_assume_buffing (buffing);
}

static RakeBuffing
get_buffing_way (const RakeJob *job)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);

  if (facts == NULL)
    return RAKE_BUFFING_UNSAID;
  if (facts->buffing == RAKE_BUFFING_UNSAID && facts->sheen == RAKE_SHEEN_SATIN)
    return RAKE_BUFFING_NONE;
  return facts->buffing;
}

/* --- the zones ----------------------------------------------------------------------------------- */

/* A zone that joins at a later stage does not hold back what is planned before: it is left out while
 * others are at work. */
static gboolean
takes_part (const RakeFace *face, const RakeZone *zone)
{
  return zone->first_stage == NULL || face->stage == NULL ||
         zone->first_stage->position <= face->stage->position;
}

/* As the schedule says, else as the grade's name does. */
static double
get_d50_um (const RakeStage *stage)
{
  RakeGrade grade;

  if (isfinite (stage->d50_um))
    return stage->d50_um;
  return rake_grade_parse (stage->grade, &grade, NULL) ? grade.d50_um : (double) NAN;
}

static void
see_scratch (Survey *survey, const RakeStory *story)
{
  for (guint i = story->passes->len; i-- > 0;)
    {
      const RakeStage *stage = rake_story_pass (story, i)->stage;

      if (stage == NULL || !rake_stage_is_sanding (stage))
        continue;
      survey->has_passes = TRUE;
      survey->input->scratch_d50_um = fmax (survey->input->scratch_d50_um, get_d50_um (stage));
      return;
    }
}

/* What the sprayed texture still wants on this zone: by the forecast, else what it usually is less what
 * was taken. Once past sanding, nothing. */
static double
get_left_um (const Survey *survey, const RakeStory *story, const RakeFilm *film)
{
  const RakeZone *zone = story->zone;
  RakeForecast forecast;
  double taken_um = 0;

  if (zone->stage == NULL || !rake_stage_is_sanding (zone->stage))
    return story->passes->len > 0 ? 0 : rake_planner_get_texture_um (survey->input);
  forecast = rake_forecast_take (survey->job, zone, film, survey->rates, survey->limits);
  if (isfinite (forecast.needed_um))
    return forecast.needed_um / zone->edge_factor;
  for (guint i = 0; i < story->passes->len; i++)
    {
      const RakeStage *stage = rake_story_pass (story, i)->stage;
      const RakeRate *rate = stage != NULL ? rake_rates_find (survey->rates, stage->grade) : NULL;

      taken_um += rate != NULL && isfinite (rate->mean_um) ? rate->mean_um : 0;
    }
  return MAX (rake_planner_get_texture_um (survey->input) - taken_um, 0);
}

/* Keeps the zone that allows the least to be taken of a flat beside it. */
static void
see_film (Survey *survey, const RakeZone *zone, const RakeFilm *film)
{
  double reserve_um = isnan (zone->reserve_um) ? 0 : zone->reserve_um;
  double k = rake_normal_quantile (survey->input->risk_limit);
  double allows_um = (film->film.mean - reserve_um + k * film->film.sd) / zone->edge_factor;

  if (!(allows_um < survey->least_um))
    return;
  survey->least_um = allows_um;
  survey->input->film = film->film;
  survey->input->reserve_um = reserve_um;
  survey->input->edge_factor = zone->edge_factor;
}

static gboolean
see_zone (Survey *survey, const RakeZone *zone, GError **error)
{
  g_autoptr (RakeFilm) film = rake_film_take (survey->job, zone, survey->rates, survey->limits);
  g_auto (RakeStory) story = { 0 };
  double left_um;

  if (film->standing != RAKE_FILM_KNOWN)
    {
      g_autofree char *why = rake_film_describe_standing (film);
      g_set_error (error, RAKE_PLANNER_ERROR, RAKE_PLANNER_ERROR_INPUT, "%s: %s", zone->name, why);
      return FALSE;
    }
  rake_story_init (&story, survey->job, zone, survey->limits, 0);
  see_film (survey, zone, film);
  see_scratch (survey, &story);
  left_um = get_left_um (survey, &story, film);
  survey->left_um = MAX (survey->left_um, left_um);
  return TRUE;
}

gboolean
rake_planner_fill_from_face (RakePlannerInput *input, const RakeJob *job, const RakeFace *face,
                             const RakeRates *rates, const RakeLimits *limits, GError **error)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);
  RakeBuffing way = get_buffing_way (job);
  Survey survey = { input, job, face, rates, limits, INFINITY, 0, FALSE };

  *input = (RakePlannerInput){
    .grades = input->grades,
    .n_grades = input->n_grades,
    .sigma_um = rake_texture_get_sigma_um (facts != NULL ? facts->texture : RAKE_TEXTURE_UNSAID),
    .level_um = NAN,
    .scratch_d50_um = NAN,
    .entry_d50_um = rake_buffing_get_entry_d50_um (way),
    .buff_um = get_buffing (&survey, way),
    .film = { NAN, NAN },
    .risk_limit = facts != NULL && isfinite (facts->risk_limit_fraction)
                      ? facts->risk_limit_fraction
                      : limits->risk_limit_fraction,
    .area_mm2 = rake_shape_get_area_mm2 (face->outline),
    .change_min = NAN,
  };
  for (guint i = 0; i < face->zones->len; i++)
    if (takes_part (face, face->zones->pdata[i]) &&
        !see_zone (&survey, face->zones->pdata[i], error))
      return FALSE;
  if (survey.has_passes)
    input->level_um = survey.left_um;
  /* nobody goes back to a coarser scratch without a reason that a sum does not know */
  input->coarsest_d50_um = input->scratch_d50_um;
  return TRUE;
}
