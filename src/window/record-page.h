/* record-page.h - what is kept of the piece for later: its defects, the hand-over, the claims after it.
 *
 * Property "session", as with every RakeSessionView. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_RECORD_PAGE (rake_record_page_get_type ())
G_DECLARE_FINAL_TYPE (RakeRecordPage, rake_record_page, RAKE, RECORD_PAGE, RakeSessionView)

/* "defects", "hand-over", "claims" */
void rake_record_page_show_part (RakeRecordPage *self, const char *name);

/* Shows the defect, or the claim; nothing happens for what is neither. */
void rake_record_page_show_thing (RakeRecordPage *self, RakeId id);
