/* window.h - the one window: shelf, new job, zone editor and bench as its pages.
 *
 * Actions that widgets may activate (gtk_widget_activate_action, or action-name in .ui). Ids are
 * passed as text. What needs a job is disabled without one; what writes, also in the past and in a
 * read-only file.
 *
 *   win.open-job (path)      win.new-job           win.back-to-shelf      win.show-bench
 *   win.edit-zones           win.undo              win.redo               win.pass-done
 *   win.all-even             win.next-zone         win.select-unsettled   win.lamp-across
 *   win.turn-lamp (degrees)  win.brush (word)      win.fresh-paper
 *   win.accept (zone or "")  win.repair (zone or "")  win.zone-facts (zone or "")
 *   win.say-share (zone or "")  win.note (about or "")  win.strike (entry)
 *   win.begin-stage (stage)  win.still-there (mark)   win.gone (mark)
 *   win.show-now (timeline to now)   win.theme (state: "dark", "light", "desktop")
 *
 * A zone of "" is the selected one. */
#pragma once
#include <adwaita.h>
#include "session.h"

#define RAKE_TYPE_WINDOW (rake_window_get_type ())
G_DECLARE_FINAL_TYPE (RakeWindow, rake_window, RAKE, WINDOW, AdwApplicationWindow)

RakeWindow *rake_window_new (GtkApplication *application);

/* The job at the bench, NULL on the shelf. A window takes its own reference. */
RakeSession *rake_window_get_session (RakeWindow *self);
void rake_window_set_session (RakeWindow *self, RakeSession *session);

/* Opens the file at @path at the bench; on failure a dialog says why and FALSE is returned. */
gboolean rake_window_open (RakeWindow *self, const char *path);
