/* nominal.h - gauge readings of the film as coated, held to what the coats were meant to make.
 *
 * Only readings of a film that nothing was taken from yet count: those since the zone's last coat and
 * before its first pass after that. A film that is being sanded falls under its nominal one by intent. */
#pragma once
#include <rakelight/coating.h>
#include <rakelight/job.h>
#include <rakelight/statistics.h>

typedef struct
{
  double nominal_um;   /* NaN: the job names none, or there is no reading; all else is then void */
  RakeSample sample;   /* of the readings that count */
  double tolerance_um; /* 95 of 100 places have more, 95 times in 100; NaN for a single reading */
  guint faults;        /* of RakeAcceptanceFault, by the pattern of ISO 19840; PASSES for none */
} RakeNominalCheck;

RakeNominalCheck rake_nominal_check_zone (const RakeJob *job, const RakeZone *zone);

/* Of all zones of @face together. What was read before a zone was divided counts once. */
RakeNominalCheck rake_nominal_check_face (const RakeJob *job, const RakeFace *face);

/* Translated: "Left: 5 readings of the film as coated, 146 ± 5 µm, pass against a nominal 120 µm."
 * What is wrong follows, a sentence each. NULL when there is nothing to say. Caller frees. */
char *rake_nominal_check_describe (const RakeNominalCheck *check, const char *where);

/* An entry that says the job's facts as they stand, with another nominal film (NaN: none). NULL when
 * the job has no facts. Caller unrefs. */
RakeEntry *rake_nominal_new_entry (const RakeJob *job, double nominal_um);
