/* proposals-together.h - the button that says which photographs are read as one, and lets them be chosen.
 *
 * It is only there where there is another photograph of the same face as it was then. */
#pragma once
#include "proposals.h"
#include <gtk/gtk.h>

/* @button  its popover holds @box, which is filled each time it opens */
void rake_proposals_together_set_up (GtkMenuButton *button, GtkBox *box);

/* Shows those of @proposals from now on; NULL for none. To be called again when they change. */
void rake_proposals_together_show (GtkMenuButton *button, RakeProposals *proposals);
