/* gloss-private.h - gloss readings of a zone, for its facts and for the gloss of a face alike. */
#pragma once
#include <rakelight/gloss.h>

/* The readings since the last pass on @zone, all at one angle: the latest reading's, which goes to
 * @angle_read_deg, or @angle_deg when that is given. n is 0 when there is none. */
RakeSample rake_gloss_sample_zone (const RakeZone *zone, const double *angle_deg,
                                   double *angle_read_deg);

/* @here_gu minus the middle of the other zones' means at @angle_deg; NaN when none has any. */
double rake_gloss_get_above_others_gu (const RakeZone *zone, double angle_deg, double here_gu);
