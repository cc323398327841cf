/* zone-slip.h - the selected zone: verdict, why, what clears it, passes, marks.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * 300 px wide at least. What it offers goes through the window's actions, see window.h. With several
 * zones selected it is a summary of them, with none a word of how to begin. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_ZONE_SLIP (rake_zone_slip_get_type ())
G_DECLARE_FINAL_TYPE (RakeZoneSlip, rake_zone_slip, RAKE, ZONE_SLIP, RakeSessionView)
