/* timeline.h - the logbook as a ribbon that can be drawn back to any entry, and, while it is back, a
 * word that says so with the way to now.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * 28 px high at least; while the map shows the past, a row of 44 px more above the ribbon. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_TIMELINE (rake_timeline_get_type ())
G_DECLARE_FINAL_TYPE (RakeTimeline, rake_timeline, RAKE, TIMELINE, RakeSessionView)
