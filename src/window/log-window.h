/* log-window.h - the whole logbook as a list: newest first, struck lines struck through, and each
 * line can be struck out with a reason. */
#pragma once
#include <adwaita.h>
#include "session.h"

#define RAKE_TYPE_LOG_WINDOW (rake_log_window_get_type ())
G_DECLARE_FINAL_TYPE (RakeLogWindow, rake_log_window, RAKE, LOG_WINDOW, AdwWindow)

/* Opens it over @parent (may be NULL), showing what concerns @zone; nil shows all. Returns the
 * window, which owns itself and closes with its parent. */
RakeLogWindow *rake_log_window_present (GtkWindow *parent, RakeSession *session, RakeId zone);
