/* film-private.h - what the files of film and rates share.
 *
 * Given the rates, a film is a plain sum: what was sprayed or read, less so many times each rate. So it
 * is kept as mean + loads · rates, with a doubt that has nothing to do with the rates. The rates' own
 * doubt comes in when the sum is evaluated, which makes n passes at one grit err together. It is also
 * what makes learning exact: a reading of a film that was read before is one equation for the rates. */
#pragma once
#include <rakelight/film.h>

/* The rates as one Gaussian. */
struct _RakeRates
{
  gatomicrefcount n_refs;
  GArray *rates;         /* RakeRate */
  GPtrArray *keys;       /* char *: a grade or compound folded, for finding */
  double *covariance;    /* n × n, of the common part */
};

/* TRUE when both mean the same grade or compound. Caller frees the key. */
char *rake_rate_fold (const char *grade);

/* The index of a stage's rate; -1 for none, or when nobody knows it. */
int rake_rates_index (const RakeRates *rates, const char *grade);

/* A set with room for every grade in @jobs. @with_recorded: begin from the rates that the jobs record,
 * else from our own assumptions. */
RakeRates *rake_rates_new_prior (const RakeJob *const *jobs, guint n_jobs, gboolean with_recorded);

/* Takes the gauge pairs of every zone of @job into @rates. */
void rake_rates_observe (RakeRates *rates, const RakeJob *job);

/* --- sums ------------------------------------------------------------------------------------------ */

typedef struct
{
  gboolean is_known;
  double mean_um, variance_um2; /* given the rates */
  double shared_sd_um;          /* of coats reckoned alike: their errors add up */
  double *loads;                /* for each rate: how many passes, signed */
} RakeFilmSum;

/* With the rates' doubt; NaN when not known. */
RakeNormal rake_film_sum_evaluate (const RakeFilmSum *sum, const RakeRates *rates);

/* --- a zone's history as steps --------------------------------------------------------------------- */

typedef struct
{
  const RakeJob *job;
  const RakeZone *zone;
  const RakeRates *rates;
  GPtrArray *history;           /* const RakeEntry *, of one strand of the zone */
  guint next;                   /* index in it */

  RakeFilmSum film, last_coat;
  double covariance_um2;        /* of the two, given the rates, but for what is shared */
  gboolean is_read;             /* the film rests on a reading */
  RakeFilmStanding standing;
  const RakeEntry *obstacle;

  /* the step just made */
  RakeFilmLineKind kind;
  const RakeEntry *entry;
  RakeNormal change;            /* NaN for passes: one pass of rate_index is */
  RakeNormal scuff;             /* of a coat: taken off below before it; mean 0 for none */
  RakeNormal after_scuff;       /* the film then, without the coat */
  int rate_index;               /* of a pass */
  int way;                      /* of a coat */
  gboolean begins_coat;
  double innovation_um, innovation_variance_um2; /* of a reading after a reading; NaN for none */
  double *innovation_loads;
} RakeFilmWalk;

/* The strands of a zone: what happened to its ground, which may differ from part to part where it was
 * joined. Each is an array of entries; one strand unless the zone was joined. Caller frees. */
GPtrArray *rake_film_list_strands (const RakeJob *job, const RakeZone *zone);

void rake_film_walk_init (RakeFilmWalk *walk, const RakeJob *job, const RakeZone *zone,
                          const RakeRates *rates, GPtrArray *history);
void rake_film_walk_clear (RakeFilmWalk *walk);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (RakeFilmWalk, rake_film_walk_clear)

/* The next entry that concerns the film; FALSE at the end. */
gboolean rake_film_walk_step (RakeFilmWalk *walk);

/* --- what is to come ------------------------------------------------------------------------------- */

/* Fills in the risks and what the stages to come will take. */
void rake_film_look_ahead (RakeFilm *film, const RakeFilmWalk *walk, const RakeLimits *limits);
