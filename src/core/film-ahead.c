/* film-ahead.c - the risk now, after one pass more, and at the end of the schedule. */
#include "film-private.h"

#include <rakelight/forecast.h>
#include <rakelight/planner.h>

#include <math.h>
#include <string.h>

/* Engineering estimates: how a clear that lay down smooth or rough compares with the usual, by the sd of
 * its heights; and where a surface begins, all but glossy. */
#define SMOOTH_TIMES 0.5
#define ROUGH_TIMES 1.5
#define GLOSSY_AT_FIRST 0.99

#define MOST_PASSES 200u

typedef struct
{
  RakeFilm *film;
  const RakeFilmWalk *walk;
  double limit;                 /* of risk */
  RakeFilmSum left, last_coat;  /* as the stages take from them */
  RakeFilmSum later;            /* what the stages after this one take, signed */
} Ahead;

static gboolean
is_sanding (const RakeStage *stage)
{
  return stage->action == RAKE_ACTION_LEVEL || stage->action == RAKE_ACTION_REFINE;
}

static RakeFilmSum
copy_sum (const RakeFilmSum *sum, guint n)
{
  RakeFilmSum copy = *sum;

  copy.loads = g_memdup2 (sum->loads, MAX (n, 1) * sizeof (double));
  return copy;
}

static void
sand (RakeFilmSum *sum, const RakeFilmWalk *walk, int index, guint n_passes)
{
  double factor = walk->zone->edge_factor;
  double scatter_um = factor * rake_rates_get (walk->rates, (guint) index)->scatter_sd_um;

  sum->loads[index] -= n_passes * factor;
  sum->variance_um2 += n_passes * scatter_um * scatter_um;
}

/* --- how much a stage must take --------------------------------------------------------------------- */

static double
get_grain (const Ahead *ahead, const RakeStage *stage)
{
  const RakeRate *rate;

  if (isfinite (stage->d50_um))
    return stage->d50_um;
  rate = rake_rates_find (ahead->walk->rates, stage->grade);
  return rate != NULL ? rate->d50_um : NAN;
}

/* The sanding stage of the zone before @stage; NULL when @stage is its first. */
static const RakeStage *
find_sanding_before (const RakeZone *zone, const RakeStage *stage)
{
  for (guint i = stage->position; i-- > zone->first_stage->position;)
    if (is_sanding (zone->face->stages->pdata[i]))
      return zone->face->stages->pdata[i];
  return NULL;
}

/* From all but glossy down to level enough. */
static double
get_texture (const Ahead *ahead, const RakeLimits *limits)
{
  const RakeJobFacts *facts = rake_job_find_facts (ahead->walk->job);
  RakeTexture texture = facts != NULL ? facts->texture : RAKE_TEXTURE_UNSAID;
  double times = texture == RAKE_TEXTURE_SMOOTH  ? SMOOTH_TIMES
                 : texture == RAKE_TEXTURE_ROUGH ? ROUGH_TIMES
                                                 : 1;
  double enough =
      ahead->walk->zone->is_edge ? limits->edge_low_spot_fraction : limits->level_low_spot_fraction;

  if (!(enough > 1 - GLOSSY_AT_FIRST && enough < GLOSSY_AT_FIRST))
    enough = 1 - GLOSSY_AT_FIRST;
  return times * RAKE_FORECAST_USUAL_SIGMA_UM *
         (rake_normal_quantile (GLOSSY_AT_FIRST) - rake_normal_quantile (enough));
}

/* A compound after the first only clears what that one left: one pass. */
static double
get_needed (const Ahead *ahead, const RakeStage *stage, const RakeLimits *limits)
{
  const RakeZone *zone = ahead->walk->zone;
  const RakeStage *before = find_sanding_before (zone, stage);
  gboolean is_later_compound =
      !is_sanding (stage) && stage->position > zone->first_stage->position &&
      ((const RakeStage *) zone->face->stages->pdata[stage->position - 1])->action ==
          RAKE_ACTION_BUFF;
  double grain_um;

  if (before == NULL && is_sanding (stage))
    return get_texture (ahead, limits);
  if (before == NULL || is_later_compound)
    return 0;
  grain_um = get_grain (ahead, before);
  return isnan (grain_um) ? 0 : RAKE_SCRATCH_TIMES * RAKE_SCRATCH_SHARE * grain_um;
}

static guint
count_passes (const Ahead *ahead, const RakeStage *stage, int index, const RakeLimits *limits)
{
  double pass_um =
      ahead->walk->zone->edge_factor * rake_rates_get (ahead->walk->rates, (guint) index)->mean_um;
  double n_passes = pass_um > 0 ? ceil (get_needed (ahead, stage, limits) / pass_um) : 1;

  return (guint) CLAMP (n_passes, 1, MOST_PASSES);
}

/* --- stage by stage ----------------------------------------------------------------------------------- */

static gboolean
is_over (const Ahead *ahead, double risk)
{
  return risk > ahead->limit; /* false for NaN */
}

static void
note_risks (Ahead *ahead, const RakeStage *stage)
{
  RakeFilm *film = ahead->film;
  const RakeRates *rates = ahead->walk->rates;

  film->risk_at_end =
      rake_film_risk (rake_film_sum_evaluate (&ahead->left, rates), film->reserve_um);
  film->last_coat_risk_at_end =
      rake_film_risk (rake_film_sum_evaluate (&ahead->last_coat, rates), 0);
  if (film->stage_under == NULL && stage != NULL &&
      (is_over (ahead, film->risk_at_end) || is_over (ahead, film->last_coat_risk_at_end)))
    film->stage_under = stage;
}

static gboolean
was_worked (const Ahead *ahead, const RakeStage *stage)
{
  const GPtrArray *history = ahead->walk->history;

  for (guint i = history->len; i-- > 0;)
    {
      const RakeEntry *entry = history->pdata[i];

      if (entry->kind == RAKE_ENTRY_COAT ||
          (entry->kind == RAKE_ENTRY_REPAIR && entry->repair.method == RAKE_REPAIR_RECOAT))
        return FALSE;
      if (entry->kind == RAKE_ENTRY_PASS && rake_id_equal (entry->pass.stage, stage->id))
        return TRUE;
    }
  return FALSE;
}

/* FALSE when what it takes is not known, or cannot be. */
static gboolean
take_stage (Ahead *ahead, const RakeStage *stage, gboolean is_present, const RakeLimits *limits)
{
  int index;
  guint n_passes;

  if (*stage->grade == '\0')
    return TRUE;
  index = rake_rates_index (ahead->walk->rates, stage->grade);
  if (index < 0)
    return FALSE;
  n_passes = count_passes (ahead, stage, index, limits);
  sand (&ahead->left, ahead->walk, index, n_passes);
  sand (&ahead->last_coat, ahead->walk, index, n_passes);
  if (!is_present)
    sand (&ahead->later, ahead->walk, index, n_passes);
  note_risks (ahead, stage);
  return TRUE;
}

static void
take_stages (Ahead *ahead, const RakeLimits *limits)
{
  RakeFilm *film = ahead->film;
  const RakeZone *zone = ahead->walk->zone;
  guint first = MAX (zone->stage->position, zone->first_stage->position);

  note_risks (ahead, NULL);
  for (guint i = first; i < zone->face->stages->len; i++)
    {
      const RakeStage *stage = zone->face->stages->pdata[i];

      if (stage == zone->stage && was_worked (ahead, stage))
        continue; /* what is left to do here is for the looks to say */
      if (!take_stage (ahead, stage, stage == zone->stage, limits))
        {
          film->risk_at_end = film->last_coat_risk_at_end = NAN;
          ahead->later.is_known = FALSE;
          break;
        }
    }
  film->to_come = rake_film_sum_evaluate (&ahead->later, ahead->walk->rates);
  film->to_come.mean = -film->to_come.mean;
}

static void
take_next_pass (Ahead *ahead, RakeFilmSum *pass)
{
  RakeFilm *film = ahead->film;
  const RakeFilmWalk *walk = ahead->walk;
  int index = rake_rates_index (walk->rates, walk->zone->stage->grade);
  g_autofree double *left_loads = NULL, *coat_loads = NULL;
  RakeFilmSum left, last_coat;

  if (index < 0)
    return;
  sand (pass, walk, index, 1);
  film->next_pass = rake_film_sum_evaluate (pass, walk->rates);
  film->next_pass.mean = -film->next_pass.mean;
  left = copy_sum (&walk->film, walk->rates->rates->len);
  last_coat = copy_sum (&walk->last_coat, walk->rates->rates->len);
  left_loads = left.loads;
  coat_loads = last_coat.loads;
  sand (&left, walk, index, 1);
  sand (&last_coat, walk, index, 1);
  film->risk_after_next_pass =
      rake_film_risk (rake_film_sum_evaluate (&left, walk->rates), film->reserve_um);
  film->last_coat_risk_after_next_pass =
      rake_film_risk (rake_film_sum_evaluate (&last_coat, walk->rates), 0);
}

static void
say_nothing (RakeFilm *film)
{
  film->risk_after_next_pass = film->risk_at_end = NAN;
  film->last_coat_risk_after_next_pass = film->last_coat_risk_at_end = NAN;
  film->next_pass = film->to_come = (RakeNormal){ NAN, NAN };
}

void
rake_film_look_ahead (RakeFilm *film, const RakeFilmWalk *walk, const RakeLimits *limits)
{
  const RakeJobFacts *facts = rake_job_find_facts (walk->job);
  guint n = walk->rates->rates->len;
  g_autofree double *pass_loads = g_new0 (double, MAX (n, 1));
  g_autofree double *later_loads = g_new0 (double, MAX (n, 1));
  RakeFilmSum pass = { .is_known = TRUE, .loads = pass_loads };
  Ahead ahead = { .film = film,
                  .walk = walk,
                  .limit = facts != NULL && isfinite (facts->risk_limit_fraction)
                               ? facts->risk_limit_fraction
                               : limits->risk_limit_fraction,
                  .later = { .is_known = TRUE, .loads = later_loads } };

  say_nothing (film);
  film->risk_now = rake_film_risk (film->film, film->reserve_um);
  film->last_coat_risk_now = rake_film_risk (film->last_coat, 0);
  if (walk->zone->stage == NULL)
    return;
  take_next_pass (&ahead, &pass);
  ahead.left = copy_sum (&walk->film, n);
  ahead.last_coat = copy_sum (&walk->last_coat, n);
  take_stages (&ahead, limits);
  g_free (ahead.left.loads);
  g_free (ahead.last_coat.loads);
}
