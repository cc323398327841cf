/* compare-page.h - photographs of one view beside each other: one wiped across another, or all in a row.
 *
 * Property "session": RakeSession, read-write, may be NULL. Photographs that lie on the face are shown
 * from straight above, so that the same place is the same place; others as they are, and it is said. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_COMPARE_PAGE (rake_compare_page_get_type ())
G_DECLARE_FINAL_TYPE (RakeComparePage, rake_compare_page, RAKE, COMPARE_PAGE, RakeSessionView)

/* Compares that photograph with the one before it, of its view where it has one, else of its face. */
void rake_compare_page_open (RakeComparePage *self, RakeId photo);
