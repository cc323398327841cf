/* claim-slip.h - one claim: what is said, the place then and now side by side, what the record said of it
 * when the piece left, and how it was decided.
 *
 * Actions that it offers, with the claim's id as text: "record.tell", "record.go". */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_CLAIM_SLIP (rake_claim_slip_get_type ())
G_DECLARE_FINAL_TYPE (RakeClaimSlip, rake_claim_slip, RAKE, CLAIM_SLIP, GtkWidget)

/* Nil, or one that is not there any more, shows nothing. */
void rake_claim_slip_show (RakeClaimSlip *self, RakeSession *session, RakeId claim);
