/* defects-part.h - the defects on record: a list with filter and order, and the slip of the chosen one.
 *
 * Property "session", as with every RakeSessionView. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_DEFECTS_PART (rake_defects_part_get_type ())
G_DECLARE_FINAL_TYPE (RakeDefectsPart, rake_defects_part, RAKE, DEFECTS_PART, RakeSessionView)

/* Chooses one, showing every one if the filter would hide it. */
void rake_defects_part_choose (RakeDefectsPart *self, RakeId defect);
