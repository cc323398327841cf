/* point-knob.h - one end of a pair of points: a ring with a number, that fingers and keys move.
 *
 * The view it lies on moves it by hand; the knob has the keys: arrows one step, with Shift ten, Enter
 * says that it is right where it lies, Delete takes the pair away.
 *
 * Signals:
 *   "nudged" (dx, dy)  so many steps
 *   "confirmed"
 *   "discarded"
 *   "focused"          the keys have come to it */
#pragma once
#include <gtk/gtk.h>

#define RAKE_TYPE_POINT_KNOB (rake_point_knob_get_type ())
G_DECLARE_FINAL_TYPE (RakePointKnob, rake_point_knob, RAKE, POINT_KNOB, GtkWidget)

#define RAKE_POINT_KNOB_PX 52

typedef enum
{
  RAKE_KNOB_PLAIN = 0,
  RAKE_KNOB_WAITS = 1 << 0,  /* not put yet: its ring is dashed */
  RAKE_KNOB_IS_ODD = 1 << 1, /* disagrees with the others: a second ring, and an exclamation mark */
  RAKE_KNOB_IS_HELD = 1 << 2,
} RakeKnobFlags;

RakePointKnob *rake_point_knob_new (guint number);

/* @words say for those who do not see it what it is and how it stands. */
void rake_point_knob_show (RakePointKnob *self, guint number, RakeKnobFlags flags,
                           const char *words);
