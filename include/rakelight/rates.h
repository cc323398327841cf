/* rates.h - how much film one pass takes: assumed, learned by the shop, learned on this job.
 *
 * A rate is for a flat and for one pass; a zone's edge factor multiplies it. Its doubt has two parts:
 * `common` is the doubt of the rate itself (one hand, one block, one box of paper: the same for every
 * pass), `scatter` is what differs from one pass to the next. So n passes take n·mean, with variance
 * n²·common² + n·scatter².
 *
 * Learning: between two gauge readings of a zone lie passes; the film lost is one observation of their
 * rates. All of a job's observations update the rates together as one Gaussian (a Kalman filter whose
 * state is the zone's film and the rates; film starts unknown, so only differences tell). */
#pragma once
#include <rakelight/job.h>
#include <rakelight/statistics.h>

typedef enum
{
  RAKE_RATE_UNKNOWN,   /* neither grade nor compound is known: no sum can be made */
  RAKE_RATE_ASSUMED,   /* our table: an engineering estimate, no source */
  RAKE_RATE_OF_SHOP,   /* recorded in the job from what the shop has learned */
  RAKE_RATE_LEARNED,   /* and this job's own gauge pairs on top */
} RakeRateOrigin;

typedef struct
{
  char *grade;           /* as the stages write it: "P800", "cut" */
  double d50_um;         /* NaN for compounds */
  double mean_um, common_sd_um, scatter_sd_um;  /* as used now */
  double prior_mean_um, prior_sd_um;            /* before this job's gauge pairs (common part) */
  guint n_observations;  /* of this job */
  guint n_shop_pairs;    /* behind a shop's rate */
  RakeRateOrigin origin;
} RakeRate;

typedef struct _RakeRates RakeRates;

/* The rates of every grade and compound in any schedule of @job, also those no longer scheduled. */
RakeRates *rake_rates_take (const RakeJob *job);
RakeRates *rake_rates_ref (RakeRates *rates);
void rake_rates_unref (RakeRates *rates);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeRates, rake_rates_unref)

guint rake_rates_get_n (const RakeRates *rates);
const RakeRate *rake_rates_get (const RakeRates *rates, guint index);

/* NULL for a stage without a grade (last look, rest) or a grade that is not in @rates. Two grades are
 * the same when they read as the same grade ("p800", "P 800"), compounds when they fold alike. */
const RakeRate *rake_rates_find (const RakeRates *rates, const char *grade);

/* Our own assumption for a grade or a compound ("cut", "medium cut", "fine", "finish", …) before
 * anything was learned; mean NaN when the text says nothing of how it cuts. */
RakeRate rake_rate_assume (const char *grade);

/* What several jobs' gauge pairs say together: each job's learned part folded into @rates of the shop.
 * Returns an array of RAKE_ENTRY_RATE entries fit to be appended to a new job; caller frees with
 * g_ptr_array_unref(). */
GPtrArray *rake_rates_learn (const RakeJob *const *jobs, guint n_jobs);
