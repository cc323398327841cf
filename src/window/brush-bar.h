/* brush-bar.h - what is in the hand: state brushes, "all even", "pass done".
 *
 * Property "session": RakeSession, read-write, may be NULL. A brush is the state of the window's
 * action win.brush, in the words below. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_BRUSH_BAR (rake_brush_bar_get_type ())
G_DECLARE_FINAL_TYPE (RakeBrushBar, rake_brush_bar, RAKE, BRUSH_BAR, RakeSessionView)

/* The six states' brushes have the keys 1 to 6, in the order of the buttons. */
#define RAKE_N_STATE_BRUSHES 6

/* "low-spot", "uniform", "scratch" … by its key's place from 0; NULL past the last. */
const char *rake_brush_get_word (guint index);

/* The word for what @bench has in hand, "none" when the pointer selects. */
const char *rake_brush_find_word (const RakeBench *bench);

/* Takes the brush of that word in hand; "none", or a word there is no brush for, puts it down. */
void rake_brush_take (RakeBench *bench, const char *word);

/* The state that a tap says of a whole zone; UNSAID for faults that are no state, and for none. */
RakeState rake_brush_get_state (const RakeBench *bench);

/* Opens the list of the other faults. */
void rake_brush_bar_show_more (RakeBrushBar *self);
