/* rates-learn.c - what gauge pairs say of the rates.
 *
 * A reading of a film that was read before and sanded since is one equation: what was read less what was
 * expected is loads · (rates - what we thought), with a noise made of both readings and the scatter of
 * the passes between. Each updates the rates as a Kalman filter does. Zones are independent once the
 * rates are given, so taking zone after zone is exact. */
#include "film-private.h"
#include "job-private.h"

#include "i18n.h"

#include <math.h>

static double
get_loaded (const double *loads, const RakeRates *rates)
{
  double sum = 0;

  for (guint i = 0; i < rates->rates->len; i++)
    if (loads[i] != 0)
      sum += loads[i] * g_array_index (rates->rates, RakeRate, i).mean_um;
  return sum;
}

/* covariance · loads */
static void
multiply (const RakeRates *rates, const double *loads, double *product)
{
  guint n = rates->rates->len;

  for (guint i = 0; i < n; i++)
    {
      product[i] = 0;
      for (guint j = 0; j < n; j++)
        product[i] += rates->covariance[i * n + j] * loads[j];
    }
}

static void
observe (RakeRates *rates, const RakeFilmWalk *walk)
{
  guint n = rates->rates->len;
  const double *loads = walk->innovation_loads;
  g_autofree double *product = g_new (double, n);
  double variance_um2 = walk->innovation_variance_um2, surprise_um;

  multiply (rates, loads, product);
  for (guint i = 0; i < n; i++)
    variance_um2 += loads[i] * product[i];
  if (!(variance_um2 > 0))
    return; /* all was certain before */
  surprise_um = walk->innovation_um - get_loaded (loads, rates);
  for (guint i = 0; i < n; i++)
    {
      RakeRate *rate = &g_array_index (rates->rates, RakeRate, i);

      if (product[i] != 0)
        rate->mean_um += product[i] / variance_um2 * surprise_um;
      rate->n_observations += loads[i] != 0;
    }
  for (guint i = 0; i < n; i++)
    for (guint j = 0; j < n; j++)
      rates->covariance[i * n + j] -= product[i] * product[j] / variance_um2;
}

static gboolean
has_loads (const RakeFilmWalk *walk)
{
  for (guint i = 0; i < walk->rates->rates->len; i++)
    if (walk->innovation_loads[i] != 0)
      return TRUE;
  return FALSE;
}

/* Zones that were one have its readings in common: each reading counts once. */
static void
observe_strand (RakeRates *rates, const RakeJob *job, const RakeZone *zone, GPtrArray *history,
                GHashTable *seen)
{
  g_auto (RakeFilmWalk) walk = { 0 };

  rake_film_walk_init (&walk, job, zone, rates, history);
  while (rake_film_walk_step (&walk))
    if (walk.kind == RAKE_FILM_READING && !isnan (walk.innovation_um) && has_loads (&walk) &&
        g_hash_table_add (seen, (gpointer) walk.entry))
      observe (rates, &walk);
}

static void
observe_zone (RakeRates *rates, const RakeJob *job, const RakeZone *zone, GHashTable *seen)
{
  g_autoptr (GPtrArray) strands = rake_film_list_strands (job, zone);

  for (guint i = 0; i < strands->len; i++)
    observe_strand (rates, job, zone, strands->pdata[i], seen);
}

void
rake_rates_observe (RakeRates *rates, const RakeJob *job)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);
  guint n = rates->rates->len;

  for (guint f = 0; f < job->faces->len; f++)
    {
      const RakeFace *face = &((const RakeShownFace *) job->faces->pdata[f])->face;

      for (guint i = 0; i < face->zones->len; i++)
        if (((const RakeShownZone *) face->zones->pdata[i])->n_film_readings > 1)
          observe_zone (rates, job, face->zones->pdata[i], seen);
    }
  for (guint i = 0; i < n; i++)
    {
      RakeRate *rate = &g_array_index (rates->rates, RakeRate, i);

      if (rate->n_observations == 0)
        continue;
      rate->common_sd_um = sqrt (MAX (rates->covariance[i * n + i], 0));
      if (rate->prior_sd_um > 0)
        rate->origin = RAKE_RATE_LEARNED;
    }
}

/* --- for a shop -------------------------------------------------------------------------------------- */

static RakeEntry *
tell_rate (const RakeRate *rate, guint n_jobs)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_RATE);

  entry->rate.grade = g_strdup (rate->grade);
  entry->rate.removal_um = rate->mean_um;
  entry->rate.common_sd_um = rate->common_sd_um;
  entry->rate.scatter_sd_um = rate->scatter_sd_um;
  entry->rate.n_pairs = rate->n_observations;
  /* Translators: where a rate comes from: how many pairs of gauge readings, from how many jobs. */
  entry->rate.origin =
      g_strdup_printf (_ ("shop, pairs: %u, jobs: %u"), rate->n_observations, n_jobs);
  return entry;
}

/* From our own assumptions, not from what the jobs record: that holds earlier jobs already. A rate
 * whose pairs say that a pass takes nothing is not told. */
GPtrArray *
rake_rates_learn (const RakeJob *const *jobs, guint n_jobs)
{
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  g_autoptr (RakeRates) rates = NULL;
  g_autofree guint *n_of = NULL;

  g_return_val_if_fail (jobs != NULL || n_jobs == 0, entries);

  rates = rake_rates_new_prior (jobs, n_jobs, FALSE);
  n_of = g_new0 (guint, MAX (rates->rates->len, 1));
  for (guint j = 0; j < n_jobs; j++)
    {
      g_autofree guint *before = g_new0 (guint, MAX (rates->rates->len, 1));

      for (guint i = 0; i < rates->rates->len; i++)
        before[i] = rake_rates_get (rates, i)->n_observations;
      rake_rates_observe (rates, jobs[j]);
      for (guint i = 0; i < rates->rates->len; i++)
        n_of[i] += rake_rates_get (rates, i)->n_observations > before[i];
    }
  for (guint i = 0; i < rates->rates->len; i++)
    if (n_of[i] > 0 && rake_rates_get (rates, i)->mean_um > 0)
      g_ptr_array_add (entries, tell_rate (rake_rates_get (rates, i), n_of[i]));
  return entries;
}
