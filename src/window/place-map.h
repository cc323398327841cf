/* place-map.h - a face's map with one place on it made out: for a defect, or for a claim then and now.
 */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_PLACE_MAP (rake_place_map_get_type ())
G_DECLARE_FINAL_TYPE (RakePlaceMap, rake_place_map, RAKE, PLACE_MAP, GtkWidget)

/* What is shown; nil: nothing is made out. */
typedef struct
{
  RakeId face, zone, mark;
  gboolean is_near; /* the zone fills the picture; else the whole face */
} RakePlace;

/* Shows the place in the session's job as it is now, until that changes: then show it again. The
 * session is kept weakly.
 *
 * label  for assistive technology */
void rake_place_map_show_now (RakePlaceMap *self, RakeSession *session, const RakePlace *place,
                              const char *label);

/* Shows it as it was after the job's first @n_entries, judged at @at_ms. */
void rake_place_map_show_then (RakePlaceMap *self, RakeSession *session, guint n_entries,
                               const RakePlace *place, gint64 at_ms, const char *label);

/* Shows nothing, and keeps nothing. */
void rake_place_map_clear (RakePlaceMap *self);
