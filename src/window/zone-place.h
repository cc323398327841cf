/* zone-place.h - where a zone lies on the map, for those who do not see the map.
 *
 * GTK 4.8 lets only widgets be accessible, so each zone is an invisible child of the map: it has the
 * zone's bounding box, name, verdict and actions, draws nothing and leaves the pointer to the map. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_ZONE_PLACE (rake_zone_place_get_type ())
G_DECLARE_FINAL_TYPE (RakeZonePlace, rake_zone_place, RAKE, ZONE_PLACE, GtkWidget)

RakeZonePlace *rake_zone_place_new (RakeId zone);
RakeId rake_zone_place_get_zone (RakeZonePlace *self);

/* Says what the zone is now; no @judgement: that it is not judged yet. */
void rake_zone_place_show (RakeZonePlace *self, const RakeZone *zone,
                           const RakeJudgement *judgement, gboolean is_selected);
