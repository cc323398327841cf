/* finish.c - what is usual for a family of finishes: docs/judging.md, "Finish families". */
#include <rakelight/job.h>

#include <math.h>

static const struct
{
  double cure_days, rest_days;
  RakeAnswer coats_fuse;
} families[RAKE_N_FINISHES] = {
  [RAKE_FINISH_UNSAID] = { 21, 7, RAKE_ANSWER_UNSAID },
  [RAKE_FINISH_NITROCELLULOSE] = { 21, 7, RAKE_ANSWER_YES },
  [RAKE_FINISH_ACRYLIC_LACQUER] = { 14, 7, RAKE_ANSWER_YES },
  [RAKE_FINISH_SHELLAC] = { 14, 7, RAKE_ANSWER_YES },
  [RAKE_FINISH_WATERBORNE] = { 7, 2, RAKE_ANSWER_NO },
  [RAKE_FINISH_POLYURETHANE_2K] = { 5, 2, RAKE_ANSWER_NO },
  [RAKE_FINISH_POLYESTER] = { 3, 2, RAKE_ANSWER_NO },
  [RAKE_FINISH_OIL_VARNISH] = { 30, 30, RAKE_ANSWER_NO },
  [RAKE_FINISH_CONVERSION_VARNISH] = { 5, 2, RAKE_ANSWER_NO },
  [RAKE_FINISH_UV_CURED] = { 2, 2, RAKE_ANSWER_NO },
  [RAKE_FINISH_OTHER] = { 21, 7, RAKE_ANSWER_UNSAID },
};

RakeAnswer
rake_finish_get_coats_fuse (RakeFinish finish)
{
  return families[finish < RAKE_N_FINISHES ? finish : RAKE_FINISH_UNSAID].coats_fuse;
}

double
rake_finish_get_cure_days (RakeFinish finish)
{
  return families[finish < RAKE_N_FINISHES ? finish : RAKE_FINISH_UNSAID].cure_days;
}

double
rake_finish_get_rest_days (RakeFinish finish)
{
  return families[finish < RAKE_N_FINISHES ? finish : RAKE_FINISH_UNSAID].rest_days;
}

static RakeFinish
get_finish (const RakeJob *job)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);
  return facts != NULL ? facts->finish : RAKE_FINISH_UNSAID;
}

RakeAnswer
rake_job_get_coats_fuse (const RakeJob *job)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);

  if (facts != NULL && facts->coats_fuse != RAKE_ANSWER_UNSAID)
    return facts->coats_fuse;
  return rake_finish_get_coats_fuse (get_finish (job));
}

double
rake_job_get_cure_days (const RakeJob *job)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);

  if (facts != NULL && !isnan (facts->cure_days))
    return facts->cure_days;
  return rake_finish_get_cure_days (get_finish (job));
}

double
rake_job_get_rest_days (const RakeJob *job)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);

  if (facts != NULL && !isnan (facts->rest_days))
    return facts->rest_days;
  return rake_finish_get_rest_days (get_finish (job));
}
