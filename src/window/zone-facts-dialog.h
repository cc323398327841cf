/* zone-facts-dialog.h - a zone's name, whether it is an edge, its edge factor, reserve and first
 * stage. What is left as it was is not written down again. */
#pragma once
#include <adwaita.h>
#include "session.h"

#define RAKE_TYPE_ZONE_FACTS_DIALOG (rake_zone_facts_dialog_get_type ())
G_DECLARE_FINAL_TYPE (RakeZoneFactsDialog, rake_zone_facts_dialog, RAKE, ZONE_FACTS_DIALOG,
                      AdwWindow)

/* Asks over @parent. Returns the dialog, which owns itself; NULL when there is no such zone. */
RakeZoneFactsDialog *rake_zone_facts_dialog_present (GtkWindow *parent, RakeSession *session,
                                                     RakeId zone);
