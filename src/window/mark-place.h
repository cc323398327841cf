/* mark-place.h - where a mark lies on the map, for those who do not see the map; see zone-place.h. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_MARK_PLACE (rake_mark_place_get_type ())
G_DECLARE_FINAL_TYPE (RakeMarkPlace, rake_mark_place, RAKE, MARK_PLACE, GtkWidget)

RakeMarkPlace *rake_mark_place_new (RakeId mark);
RakeId rake_mark_place_get_mark (RakeMarkPlace *self);
void rake_mark_place_show (RakeMarkPlace *self, const RakeZone *zone, const RakeMark *mark);
