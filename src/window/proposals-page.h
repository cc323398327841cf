/* proposals-page.h - what a photograph under a low lamp shows, drawn over it and listed, to be taken or
 * left one by one.
 *
 * Property "session": RakeSession, read-write, may be NULL. "Enter these" enters what is taken and goes
 * to the bench. Actions: proposals.take-all, .take-none, .enter, .stop. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_PROPOSALS_PAGE (rake_proposals_page_get_type ())
G_DECLARE_FINAL_TYPE (RakeProposalsPage, rake_proposals_page, RAKE, PROPOSALS_PAGE, RakeSessionView)

/* Reads a photograph that lies on its face. */
void rake_proposals_page_read (RakeProposalsPage *self, RakeId photo);
