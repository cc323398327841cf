/* proposals-row.h - a line of the list of proposals: a box to tick, what it is, and why. */
#pragma once
#include "proposals.h"
#include <gtk/gtk.h>

/* Rows for a GtkListView over rake_proposals_get_list().
 *
 * pointed  (proposal, user_data): the row got the focus */
typedef void (*RakeProposalPointed) (RakeProposal *proposal, gpointer user_data);
GtkListItemFactory *rake_proposals_row_factory_new (RakeProposals *proposals,
                                                    RakeProposalPointed pointed,
                                                    gpointer user_data);
