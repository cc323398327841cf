/* claims-part.h - the claims after the hand-over: a list, and the slip of the chosen one.
 *
 * Property "session", as with every RakeSessionView. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_CLAIMS_PART (rake_claims_part_get_type ())
G_DECLARE_FINAL_TYPE (RakeClaimsPart, rake_claims_part, RAKE, CLAIMS_PART, RakeSessionView)

void rake_claims_part_choose (RakeClaimsPart *self, RakeId claim);
