/* zone-editor.h - divides the shown face into zones, and says each zone's facts.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * Leaves through the action win.show-bench. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_ZONE_EDITOR (rake_zone_editor_get_type ())
G_DECLARE_FINAL_TYPE (RakeZoneEditor, rake_zone_editor, RAKE, ZONE_EDITOR, GtkWidget)
