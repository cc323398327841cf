/* paper.h - what a job's paper has done: passes since a sheet was fresh, sheets used, when to change. */
#pragma once
#include <rakelight/facts.h>

typedef struct
{
  const char *grade;         /* of the stages */
  guint n_sheets;            /* begun, as far as the log says so; a first pass begins one */
  guint n_passes;            /* in all */
  guint n_passes_on_sheet;   /* since the last fresh one */
  guint n_since_wiped;       /* since it was fresh or wiped */
  double area_on_sheet_mm2;  /* gone over since it was fresh */
  double passes_per_sheet;   /* mean of the sheets that were changed; NaN before the first change */
  gboolean is_loaded;        /* the last pass said so */
} RakePaperUse;

/* One for each abrasive grade that has passes, coarsest stage first. Free with g_array_unref(). */
GArray *rake_paper_take (const RakeJob *job);

/* One translated sentence when the paper wants wiping or changing before the next pass on @zone (its
 * progress stalled, it loaded, or it has done what this job's sheets do), else NULL. Caller frees. */
char *rake_paper_advise (const RakeJob *job, const RakeZone *zone, const RakeFacts *facts);
