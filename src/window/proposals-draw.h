/* proposals-draw.h - proposals over the photograph they were read in.
 *
 * Taken: filled, with a whole line. Left: no fill, a dashed line. So neither hangs on a colour. */
#pragma once
#include "photo-view.h"
#include "proposals.h"

/* Draws all, and a ring around @pointed (may be NULL). */
void rake_proposals_draw (GtkSnapshot *snapshot, RakePhotoView *view, RakeProposals *proposals,
                          const RakePhotoMap *map, RakeProposal *pointed);
