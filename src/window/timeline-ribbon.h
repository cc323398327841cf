/* timeline-ribbon.h - the ribbon of the timeline: a dot for each moment, shaped and coloured by what it
 * was, and the place where the map stands now.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * Dragging, Left, Right, Home and End move it (actions ribbon.earlier, ribbon.later, ribbon.first,
 * ribbon.now). A slider to assistive technology. 28 px high at least; from 44 with labels. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_TIMELINE_RIBBON (rake_timeline_ribbon_get_type ())
G_DECLARE_FINAL_TYPE (RakeTimelineRibbon, rake_timeline_ribbon, RAKE, TIMELINE_RIBBON,
                      RakeSessionView)

/* "09:41, Pass at P800 on Lower bass" for where it stands; NULL when there is nothing. Caller frees. */
char *rake_timeline_ribbon_describe (RakeTimelineRibbon *self);

/* What a hand does, for tests: to the moment nearest to @x_px of the widget, at once. */
void rake_timeline_ribbon_move_to (RakeTimelineRibbon *self, double x_px);

/* How often the dots have been drawn, for tests. */
guint rake_timeline_ribbon_get_n_drawn (RakeTimelineRibbon *self);
