/* window.h - the one window: shelf, new job, zone editor and bench as its pages.
 *
 * Actions that widgets may activate (gtk_widget_activate_action, or action-name in .ui). Ids are
 * passed as text. What needs a job is disabled without one; what writes, also in the past and in a
 * read-only file.
 *
 *   win.open-job (path)       win.choose-job         win.new-job             win.back-to-shelf
 *   win.plan-grits            win.show-wheels
 *   win.show-photos           win.show-photo (photo)  win.add-photos         win.paste-photos
 *   win.watch-photos
 *   win.lay-photo, win.compare-photos (photo; "": one that offers itself)
 *   win.show-bench            win.edit-zones         win.save-map            win.name-finisher
 *   win.undo                  win.redo               win.show-now            win.show-log
 *   win.next-zone
 *   win.pass-done             win.all-even           win.select-unsettled    win.show-other-faults
 *   win.lamp-across           win.turn-lamp (degrees, as text)               win.fit
 *   win.brush (word, see brush-bar.h; the brush that is in hand already is put down)
 *   win.select-zone (zone)    win.say-brush (zone: the brush in hand, or "uniform", of all of it)
 *   win.accept (zone)         win.repair (zone)      win.zone-facts (zone)   win.say-share (zone)
 *   win.reading (zone)       win.show-record          win.show-on-record (defect or claim)
 *   win.keep (mark or zone)  win.claim (face, zone, mark or defect)
 *   win.note (about)          win.strike (entry)     win.begin-stage (stage)
 *   win.still-there (mark)    win.gone (mark)
 *
 * and of the application: app.theme (state: "dark", "light", "desktop"), app.quit, app.about.
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
