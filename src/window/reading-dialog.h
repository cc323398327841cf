/* reading-dialog.h - instruments read at a zone, typed fast: a number and Enter, again and again, then
 * the next zone. Several numbers may stand in one line.
 *
 * Every Enter is one gesture of the logbook, so nothing is lost when the window is closed. */
#pragma once
#include "session.h"

#include <adwaita.h>

#define RAKE_TYPE_READING_DIALOG (rake_reading_dialog_get_type ())
G_DECLARE_FINAL_TYPE (RakeReadingDialog, rake_reading_dialog, RAKE, READING_DIALOG, AdwWindow)

/* NULL when there is no such zone. Owned by itself, as windows are. */
RakeReadingDialog *rake_reading_dialog_present (GtkWindow *parent, RakeSession *session,
                                                RakeId zone);
