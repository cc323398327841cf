/* repair-dialog.h - what was done about a zone's faults: the method, which marks it settles, the film it
 * added or took with its doubt, where the zone goes on, and how it came out. Drops are written down one
 * after another, each with its own time and clock. */
#pragma once
#include <adwaita.h>
#include "session.h"

#define RAKE_TYPE_REPAIR_DIALOG (rake_repair_dialog_get_type ())
G_DECLARE_FINAL_TYPE (RakeRepairDialog, rake_repair_dialog, RAKE, REPAIR_DIALOG, AdwWindow)

/* Asks over @parent. Returns the dialog, which owns itself; NULL when there is no such zone. */
RakeRepairDialog *rake_repair_dialog_present (GtkWindow *parent, RakeSession *session,
                                              RakeId zone);
