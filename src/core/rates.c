/* rates.c - how much film one pass takes, as far as anybody knows. */
#include "film-private.h"
#include "job-private.h"

#include <rakelight/grade.h>

#include <math.h>
#include <string.h>

/* --- what we assume --------------------------------------------------------------------------------- */

/* The middles of what the trade says a pass takes on a flat with a block, by median grain: engineering
 * estimates, no source. P3000's grain is itself approximate. docs/film.md, "Rates". */
static const struct
{
  double d50_um, removal_um;
} table[] = {
  { 21.8, 3.0 }, { 18.3, 2.2 }, { 15.3, 1.6 }, { 12.6, 1.0 }, { 10.3, 0.6 }, { 6.5, 0.3 },
};

/* Of compounds, likewise; between them their geometric middle. */
#define CUT_UM 1.2
#define FINE_UM 0.4

/* The doubt of the rate itself, and from pass to pass, as shares of it. */
#define COMMON_SHARE 0.35
#define SCATTER_SHARE 0.25

/* Straight lines in log-log between the rows; beyond them in proportion to the grain. */
static double
get_grit_removal (double d50_um)
{
  const gsize last = G_N_ELEMENTS (table) - 1;

  if (d50_um >= table[0].d50_um)
    return table[0].removal_um * d50_um / table[0].d50_um;
  for (gsize i = 1; i <= last; i++)
    if (d50_um >= table[i].d50_um)
      {
        double share = log (d50_um / table[i].d50_um) / log (table[i - 1].d50_um / table[i].d50_um);

        return table[i].removal_um * pow (table[i - 1].removal_um / table[i].removal_um, share);
      }
  return table[last].removal_um * d50_um / table[last].d50_um;
}

static gboolean
has_word (const char *folded, const char *const *words)
{
  for (; *words != NULL; words++)
    if (strstr (folded, *words) != NULL)
      return TRUE;
  return FALSE;
}

/* By what the name says of how it cuts, in English or German; NaN when it says nothing. */
static double
get_compound_removal (const char *folded)
{
  static const char *const medium[] = { "medium", "mittel", NULL };
  static const char *const cut[] = { "cut", "coarse", "heavy", "grob", "schleif", NULL };
  static const char *const fine[] = { "fine", "finish", "polish", "gloss", "fein", "glanz", NULL };
  gboolean cuts = has_word (folded, cut), is_fine = has_word (folded, fine);

  if (has_word (folded, medium) || (cuts && is_fine))
    return sqrt (CUT_UM * FINE_UM);
  if (cuts)
    return CUT_UM;
  return is_fine ? FINE_UM : NAN;
}

RakeRate
rake_rate_assume (const char *grade)
{
  RakeRate rate = { .d50_um = NAN, .mean_um = NAN };
  RakeGrade grit;

  g_return_val_if_fail (grade != NULL, rate);

  rate.grade = g_strdup (grade);
  if (rake_grade_parse (grade, &grit, NULL))
    {
      rate.d50_um = grit.d50_um;
      rate.mean_um = get_grit_removal (grit.d50_um);
    }
  else
    {
      g_autofree char *folded = g_utf8_casefold (grade, -1);
      rate.mean_um = get_compound_removal (folded);
    }
  rate.common_sd_um = rate.prior_sd_um = COMMON_SHARE * rate.mean_um;
  rate.scatter_sd_um = SCATTER_SHARE * rate.mean_um;
  rate.prior_mean_um = rate.mean_um;
  rate.origin = isnan (rate.mean_um) ? RAKE_RATE_UNKNOWN : RAKE_RATE_ASSUMED;
  return rate;
}

/* --- finding ----------------------------------------------------------------------------------------- */

char *
rake_rate_fold (const char *grade)
{
  g_autofree char *folded = NULL, *plain = NULL;
  RakeGrade grit;

  if (rake_grade_parse (grade, &grit, NULL))
    return rake_grade_to_text (&grit);
  plain = g_strstrip (g_strdup (grade));
  folded = g_utf8_casefold (plain, -1);
  return g_steal_pointer (&folded);
}

static int
find_key (const RakeRates *rates, const char *key)
{
  for (guint i = 0; i < rates->keys->len; i++)
    if (strcmp (rates->keys->pdata[i], key) == 0)
      return (int) i;
  return -1;
}

static int
find_index (const RakeRates *rates, const char *grade)
{
  g_autofree char *key = NULL;

  if (grade == NULL || *grade == '\0')
    return -1;
  /* mostly it is written as it was before */
  for (guint i = 0; i < rates->rates->len; i++)
    if (strcmp (g_array_index (rates->rates, RakeRate, i).grade, grade) == 0)
      return (int) i;
  key = rake_rate_fold (grade);
  return find_key (rates, key);
}

int
rake_rates_index (const RakeRates *rates, const char *grade)
{
  int index = find_index (rates, grade);

  return index >= 0 && isnan (g_array_index (rates->rates, RakeRate, index).mean_um) ? -1 : index;
}

guint
rake_rates_get_n (const RakeRates *rates)
{
  g_return_val_if_fail (rates != NULL, 0);
  return rates->rates->len;
}

const RakeRate *
rake_rates_get (const RakeRates *rates, guint index)
{
  g_return_val_if_fail (rates != NULL && index < rates->rates->len, NULL);
  return &g_array_index (rates->rates, RakeRate, index);
}

const RakeRate *
rake_rates_find (const RakeRates *rates, const char *grade)
{
  int index;

  g_return_val_if_fail (rates != NULL, NULL);

  index = find_index (rates, grade);
  return index >= 0 ? &g_array_index (rates->rates, RakeRate, index) : NULL;
}

/* --- a set ------------------------------------------------------------------------------------------- */

static void
clear_rate (gpointer rate)
{
  g_free (((RakeRate *) rate)->grade);
}

RakeRates *
rake_rates_ref (RakeRates *rates)
{
  g_return_val_if_fail (rates != NULL, NULL);
  g_atomic_ref_count_inc (&rates->n_refs);
  return rates;
}

void
rake_rates_unref (RakeRates *rates)
{
  if (rates == NULL || !g_atomic_ref_count_dec (&rates->n_refs))
    return;
  g_array_unref (rates->rates);
  g_ptr_array_unref (rates->keys);
  g_free (rates->covariance);
  g_free (rates);
}

static void
add_grade (RakeRates *rates, const char *grade)
{
  RakeRate rate;

  if (grade == NULL || *grade == '\0' || find_index (rates, grade) >= 0)
    return;
  rate = rake_rate_assume (grade);
  g_array_append_val (rates->rates, rate);
  g_ptr_array_add (rates->keys, rake_rate_fold (grade));
}

static double
or_nothing (double value)
{
  return isnan (value) ? 0 : value;
}

static void
add_recorded (RakeRates *rates, const RakeRateBody *recorded)
{
  RakeRate *rate = &g_array_index (rates->rates, RakeRate, find_index (rates, recorded->grade));

  rate->mean_um = rate->prior_mean_um = recorded->removal_um;
  rate->common_sd_um = rate->prior_sd_um = or_nothing (recorded->common_sd_um);
  rate->scatter_sd_um = or_nothing (recorded->scatter_sd_um);
  rate->n_shop_pairs = (guint) or_nothing (recorded->n_pairs);
  rate->origin = RAKE_RATE_OF_SHOP;
}

static void
add_job (RakeRates *rates, const RakeJob *job, gboolean with_recorded)
{
  for (guint i = 0; i < job->stages->len; i++)
    add_grade (rates, ((const RakeShownStage *) job->stages->pdata[i])->stage.grade);
  for (guint i = 0; with_recorded && i < job->rates->len; i++)
    {
      const RakeRateBody *recorded = &((const RakeEntry *) job->rates->pdata[i])->rate;

      add_grade (rates, recorded->grade);
      add_recorded (rates, recorded);
    }
}

RakeRates *
rake_rates_new_prior (const RakeJob *const *jobs, guint n_jobs, gboolean with_recorded)
{
  RakeRates *rates = g_new0 (RakeRates, 1);
  guint n;

  g_atomic_ref_count_init (&rates->n_refs);
  rates->rates = g_array_new (FALSE, FALSE, sizeof (RakeRate));
  g_array_set_clear_func (rates->rates, clear_rate);
  rates->keys = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < n_jobs; i++)
    add_job (rates, jobs[i], with_recorded);
  n = rates->rates->len;
  rates->covariance = g_new0 (double, MAX (n * n, 1));
  for (guint i = 0; i < n; i++)
    {
      double sd_um = g_array_index (rates->rates, RakeRate, i).common_sd_um;
      rates->covariance[i * n + i] = isnan (sd_um) ? 0 : sd_um * sd_um;
    }
  return rates;
}

/* Judging asks for each zone anew: kept until something changes that rates are made of. */
RakeRates *
rake_rates_take (const RakeJob *job)
{
  RakeRates *rates;

  g_return_val_if_fail (job != NULL, NULL);

  if (job->kept->rates == NULL || job->kept->revision != job->film_revision)
    {
      rates = rake_rates_new_prior (&job, 1, TRUE);
      rake_rates_observe (rates, job);
      g_clear_pointer (&job->kept->rates, rake_rates_unref);
      job->kept->rates = rates;
      job->kept->revision = job->film_revision;
    }
  return rake_rates_ref (job->kept->rates);
}
