/* hand-over-part.h - what stands in the way of a hand-over, what is agreed at it, and its seal.
 *
 * Property "session", as with every RakeSessionView. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_HAND_OVER_PART (rake_hand_over_part_get_type ())
G_DECLARE_FINAL_TYPE (RakeHandOverPart, rake_hand_over_part, RAKE, HAND_OVER_PART, RakeSessionView)
