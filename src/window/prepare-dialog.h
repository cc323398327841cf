/* prepare-dialog.h - the short list before a face goes to the next stage: bench, water, block,
 * cloths, holes, tape. What was ticked is recorded with the beginning of the stage.
 *
 * Nothing has to be ticked: the list reminds, it does not forbid. */
#pragma once
#include <adwaita.h>
#include "session.h"

#define RAKE_TYPE_PREPARE_DIALOG (rake_prepare_dialog_get_type ())
G_DECLARE_FINAL_TYPE (RakePrepareDialog, rake_prepare_dialog, RAKE, PREPARE_DIALOG, AdwWindow)

/* Asks over @parent before @stage of the shown face is begun. Returns the dialog, which owns
 * itself; NULL when there is no such stage. */
RakePrepareDialog *rake_prepare_dialog_present (GtkWindow *parent, RakeSession *session,
                                                RakeId stage);
