/* pass-history.h - how much of a zone was still glossy after each pass, as its logbook tells it.
 *
 * What counts is docs/judging.md's: shares from proper looks only; a state says it for the whole
 * zone, painted patches with their area, and the larger holds. This is the past for a picture; the
 * verdict's own share is among the judgement's facts. */
#pragma once
#include <rakelight/job.h>

typedef struct
{
  const RakeEntry *pass;     /* NULL: before the first pass */
  guint number;              /* of the passes at this stage, from 1; 0 before the first */
  double share_fraction;     /* still glossy after it; NaN: nobody said */
  double largest_island_mm;  /* as said or as painted; NaN: nobody said */
} RakePassRecord;

/* The state before the first pass since the last coat, and then each pass since.
 * Returns an array of RakePassRecord, 1 or more; the caller g_array_unref()s it. The entries are
 * the job's. */
GArray *rake_pass_history_take (const RakeZone *zone);
