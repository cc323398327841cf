/* film.c - the ledger of a zone's film, and how likely it is to be too little. */
#include "film-private.h"

#include <math.h>

/* Where a line stood when it was made; evaluated at the end, with the rates as all readings have them. */
typedef struct
{
  RakeFilm *film;
  RakeFilmWalk walk;
  RakeFilmSum taken;        /* since the last coat: what passes and repairs took, signed */
  RakeFilmSum run;          /* the passes of the last line */
  gboolean has_sprayed, is_read_since_coat;
  RakeNormal read_since_coat; /* the film at the first reading since the coat */
} Ledger;

double
rake_film_risk (RakeNormal film, double reserve_um)
{
  double over_um = film.mean - (isnan (reserve_um) ? 0 : reserve_um);

  if (isnan (film.mean) || isnan (film.sd))
    return NAN;
  if (film.sd <= 0)
    return over_um < 0 ? 1 : 0;
  return rake_normal_cdf (-over_um / film.sd);
}

/* --- lines ------------------------------------------------------------------------------------------ */

static RakeFilmLine *
add_line (Ledger *ledger, RakeFilmLineKind kind)
{
  const RakeFilmWalk *walk = &ledger->walk;
  RakeFilmLine line = {
    .kind = kind,
    .entry = walk->entry,
    .change = walk->change,
    .way = walk->way,
    .film = rake_film_sum_evaluate (&walk->film, walk->rates),
    .last_coat = rake_film_sum_evaluate (&walk->last_coat, walk->rates),
  };

  g_array_append_val (ledger->film->lines, line);
  return &g_array_index (ledger->film->lines, RakeFilmLine, ledger->film->lines->len - 1);
}

static void
clear_sum (RakeFilmSum *sum, guint n)
{
  double *loads = sum->loads;

  for (guint i = 0; i < n; i++)
    loads[i] = 0;
  *sum = (RakeFilmSum){ .is_known = TRUE, .loads = loads };
}

static void
add_pass (Ledger *ledger)
{
  const RakeFilmWalk *walk = &ledger->walk;
  GArray *lines = ledger->film->lines;
  const RakeStage *stage = rake_job_find_stage (walk->job, walk->entry->pass.stage);
  RakeFilmLine *line = lines->len > 0 ? &g_array_index (lines, RakeFilmLine, lines->len - 1) : NULL;

  if (line == NULL || line->kind != RAKE_FILM_PASSES || line->stage != stage)
    {
      clear_sum (&ledger->run, walk->rates->rates->len);
      line = add_line (ledger, RAKE_FILM_PASSES);
      line->stage = stage;
    }
  line->entry = walk->entry;
  line->n_passes++;
  if (walk->rate_index >= 0)
    {
      const RakeRate *rate = rake_rates_get (walk->rates, (guint) walk->rate_index);
      double factor = walk->zone->edge_factor, scatter_um = factor * rate->scatter_sd_um;

      line->origin = rate->origin;
      ledger->run.loads[walk->rate_index] -= factor;
      ledger->run.variance_um2 += scatter_um * scatter_um;
      ledger->taken.loads[walk->rate_index] -= factor;
    }
  else
    ledger->run.is_known = FALSE;
  line->change = rake_film_sum_evaluate (&ledger->run, walk->rates);
  line->film = rake_film_sum_evaluate (&walk->film, walk->rates);
  line->last_coat = rake_film_sum_evaluate (&walk->last_coat, walk->rates);
}

/* The scuff stands before its coat. */
static void
add_scuff (Ledger *ledger)
{
  RakeFilmLine *line;

  if (ledger->walk.scuff.mean <= 0)
    return;
  line = add_line (ledger, RAKE_FILM_SCUFF);
  line->change = (RakeNormal){ -ledger->walk.scuff.mean, ledger->walk.scuff.sd };
  line->film = ledger->walk.after_scuff;
  line->last_coat = (RakeNormal){ NAN, NAN };
}

static void
note_coat (Ledger *ledger)
{
  clear_sum (&ledger->taken, ledger->walk.rates->rates->len);
  ledger->film->sprayed = rake_film_sum_evaluate (&ledger->walk.film, ledger->walk.rates);
  ledger->is_read_since_coat = FALSE;
}

static void
note_step (Ledger *ledger)
{
  const RakeFilmWalk *walk = &ledger->walk;

  if (walk->begins_coat)
    note_coat (ledger);
  else if (walk->kind == RAKE_FILM_REPAIR)
    ledger->taken.mean_um += walk->change.mean;
  else if (walk->kind == RAKE_FILM_READING && !ledger->is_read_since_coat)
    {
      ledger->is_read_since_coat = TRUE;
      ledger->read_since_coat = rake_film_sum_evaluate (&walk->film, walk->rates);
    }
}

static void
walk_along (Ledger *ledger)
{
  while (rake_film_walk_step (&ledger->walk))
    {
      if (ledger->walk.kind == RAKE_FILM_PASSES)
        add_pass (ledger);
      else
        {
          add_scuff (ledger);
          add_line (ledger, ledger->walk.kind);
        }
      note_step (ledger);
    }
}

/* --- taking ----------------------------------------------------------------------------------------- */

/* What the film was at the last coat: as reckoned then, or since it was read, what was read and all
 * that was taken. */
static void
take_sprayed (Ledger *ledger)
{
  RakeFilm *film = ledger->film;
  RakeNormal taken = rake_film_sum_evaluate (&ledger->taken, ledger->walk.rates);

  if (!ledger->is_read_since_coat && !isnan (film->sprayed.mean))
    return;
  film->sprayed = (RakeNormal){ film->film.mean - taken.mean, ledger->is_read_since_coat
                                                                  ? ledger->read_since_coat.sd
                                                                  : film->film.sd };
}

static RakeFilm *
take_strand (const RakeJob *job, const RakeZone *zone, const RakeRates *rates,
             const RakeLimits *limits, GPtrArray *history)
{
  RakeFilm *film = g_new0 (RakeFilm, 1);
  guint n = MAX (rates->rates->len, 1);
  g_autofree double *taken = g_new0 (double, n), *run = g_new0 (double, n);
  Ledger ledger = { .film = film };

  film->lines = g_array_new (FALSE, TRUE, sizeof (RakeFilmLine));
  film->sprayed = (RakeNormal){ NAN, NAN };
  ledger.taken = (RakeFilmSum){ .is_known = TRUE, .loads = taken };
  ledger.run = (RakeFilmSum){ .is_known = TRUE, .loads = run };
  rake_film_walk_init (&ledger.walk, job, zone, rates, history);
  walk_along (&ledger);

  film->standing = ledger.walk.standing;
  film->obstacle = film->standing == RAKE_FILM_NO_COATS ? NULL : ledger.walk.obstacle;
  film->film = rake_film_sum_evaluate (&ledger.walk.film, rates);
  film->last_coat = rake_film_sum_evaluate (&ledger.walk.last_coat, rates);
  take_sprayed (&ledger);
  film->reserve_um = zone->reserve_um;
  rake_film_look_ahead (film, &ledger.walk, limits);
  rake_film_walk_clear (&ledger.walk);
  return film;
}

/* Of a zone's strands the one that stands worst: not known, else thinnest. */
static gboolean
is_worse (const RakeFilm *film, const RakeFilm *than)
{
  if (isnan (than->film.mean))
    return FALSE;
  return isnan (film->film.mean) || film->film.mean < than->film.mean;
}

RakeFilm *
rake_film_take (const RakeJob *job, const RakeZone *zone, const RakeRates *rates,
                const RakeLimits *limits)
{
  g_autoptr (GPtrArray) strands = NULL;
  RakeFilm *worst = NULL;

  g_return_val_if_fail (job != NULL && zone != NULL && rates != NULL && limits != NULL, NULL);

  strands = rake_film_list_strands (job, zone);
  for (guint i = 0; i < strands->len; i++)
    {
      RakeFilm *film = take_strand (job, zone, rates, limits, strands->pdata[i]);

      if (worst == NULL || is_worse (film, worst))
        {
          rake_film_free (worst);
          worst = film;
        }
      else
        rake_film_free (film);
    }
  return worst;
}

void
rake_film_free (RakeFilm *film)
{
  if (film == NULL)
    return;
  g_array_unref (film->lines);
  g_free (film);
}
