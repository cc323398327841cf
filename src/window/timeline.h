/* timeline.h - the logbook as a ribbon that can be drawn back to any entry: a dot for each gesture,
 * shaped and coloured by what it was, and the place where the map stands now.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * Dragging, Left, Right, Home and End move it (actions timeline.earlier, timeline.later,
 * timeline.first, timeline.now). A slider to assistive technology. 28 px high at least; from 40 with
 * labels. That the map shows the past is said over the map, by the bench page. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_TIMELINE (rake_timeline_get_type ())
G_DECLARE_FINAL_TYPE (RakeTimeline, rake_timeline, RAKE, TIMELINE, RakeSessionView)

/* "09:41, Pass at P800 on Lower bass" for where it stands; NULL when there is nothing. Caller frees. */
char *rake_timeline_describe (RakeTimeline *self);

/* What a hand does, for tests: to the moment nearest to @x_px of the widget, at once. */
void rake_timeline_move_to (RakeTimeline *self, double x_px);

/* How often the dots have been drawn, for tests. */
guint rake_timeline_get_n_drawn (RakeTimeline *self);
