/* islands.h - low spots for a zone of which only a share was said. Private to src/draw. */
#pragma once
#include "pen.h"

/* Islands that cover about @fraction of the zone and may reach over its edge (clip them). A smaller
 * share of the same @seed lies within a larger one: from pass to pass islands shrink where they are.
 * They keep off the boxes in @avoid. NULL when there is nothing to cover. */
RakePlace *rake_islands_new (const RakeMapView *view, const RakeShape *zone, double fraction,
                             const RakeBounds *avoid, guint n_avoid, guint32 seed);
