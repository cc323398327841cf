/* zone-editor.h - divides a face into zones, and says each zone's facts.
 *
 * Either on the shown face of a session (property "session", read-write, may be NULL), or on the
 * face of any other host, as the new-job assistant's draft. It leaves through win.show-bench when it
 * edits a session; a host shows it as long as it likes. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_ZONE_EDITOR (rake_zone_editor_get_type ())
G_DECLARE_FINAL_TYPE (RakeZoneEditor, rake_zone_editor, RAKE, ZONE_EDITOR, GtkWidget)

/* Where the zones are kept. Every function gets @owner; append records one gesture, of which it takes
 * no reference, and says in @why, freed by the editor, why not. */
typedef struct
{
  gpointer owner;
  const RakeJob *(*get_job) (gpointer owner);
  gboolean (*append) (gpointer owner, RakeEntry *const *entries, guint n_entries, char **why);
  void (*undo) (gpointer owner);
} RakeZoneHost;

/* The host is copied; its owner must outlive the editor or be taken away with NULL. */
void rake_zone_editor_edit (RakeZoneEditor *self, const RakeZoneHost *host, RakeId face);

/* The host's job has changed: shows it as it is now. */
void rake_zone_editor_refresh (RakeZoneEditor *self);
