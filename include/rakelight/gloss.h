/* gloss.h - gloss readings: which angle to use, mean, spread, and a zone against its neighbours.
 *
 * Angles by ISO 2813 and ASTM D523: above 70 GU at 60° compare at 20°, below 10 at 85°, otherwise
 * (exactly 70 or 10 too) stay at 60°. Readings at different angles are never compared. */
#pragma once
#include <rakelight/job.h>
#include <rakelight/statistics.h>

/* 20, 60 or 85 for a mean at 60°; NaN for NaN. */
double rake_gloss_choose_angle_deg (double mean_gu_at_60);

/* What a flawless film of refractive index @n, 1 or more, shows at an angle from 0 to under 90°, by
 * Fresnel against black glass of 1.567: the most that buffing can reach. Else NaN. */
double rake_gloss_of_index_gu (double n, double angle_deg);

typedef struct
{
  const RakeZone *zone;
  double angle_deg;              /* the latest reading's; NaN: not said */
  RakeSample sample;             /* of the readings since the last pass at that angle */
  double above_others_gu;        /* mean minus the middle of the other zones' means; NaN: alone */
} RakeGlossZone;

typedef struct
{
  GArray *zones;                 /* RakeGlossZone, one for each zone of the face with readings */
  RakeSample means;              /* of the zones' means at the angle most of them were last read at */
  double advised_angle_deg;      /* by the mean at 60°; NaN when none was read there */
  double spread_gu;              /* largest minus least of the zones' means; NaN without any */
} RakeGloss;

RakeGloss *rake_gloss_take (const RakeJob *job, const RakeFace *face);
void rake_gloss_free (RakeGloss *gloss);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeGloss, rake_gloss_free)
