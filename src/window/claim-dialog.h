/* claim-dialog.h - a claim opened, more of one told, or one decided. */
#pragma once
#include <adwaita.h>
#include "session.h"

#define RAKE_TYPE_CLAIM_DIALOG (rake_claim_dialog_get_type ())
G_DECLARE_FINAL_TYPE (RakeClaimDialog, rake_claim_dialog, RAKE, CLAIM_DIALOG, AdwWindow)

/* @about is a claim of which more is told, or what a new one is about: a face, zone, mark or defect; nil:
 * the piece. Before the piece was handed over there is no claim: a sentence says so, and NULL is
 * returned. */
RakeClaimDialog *rake_claim_dialog_present (GtkWindow *parent, RakeSession *session, RakeId about);
