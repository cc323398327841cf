/* timeline.h - the logbook as a ribbon that can be drawn back to any entry.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * 28 px high at least. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_TIMELINE (rake_timeline_get_type ())
G_DECLARE_FINAL_TYPE (RakeTimeline, rake_timeline, RAKE, TIMELINE, GtkWidget)
