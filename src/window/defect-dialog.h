/* defect-dialog.h - a defect put on record, or more of one told. */
#pragma once
#include <adwaita.h>
#include "session.h"

#define RAKE_TYPE_DEFECT_DIALOG (rake_defect_dialog_get_type ())
G_DECLARE_FINAL_TYPE (RakeDefectDialog, rake_defect_dialog, RAKE, DEFECT_DIALOG, AdwWindow)

/* @about is a mark to be kept, a zone with a fault that has no place, or a defect of which more is told;
 * of a mark that is kept already, more is told. NULL when it is none of these. Nothing is written until
 * it is answered. */
RakeDefectDialog *rake_defect_dialog_present (GtkWindow *parent, RakeSession *session, RakeId about);
