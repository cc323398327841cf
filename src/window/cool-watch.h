/* cool-watch.h - when a buffed face will have cooled, by the log: so it survives a restart. At the end
 * the desktop is told, whether the window is looked at or not. */
#pragma once
#include "session.h"

/* When the face's last buffing will have cooled, ms UTC; 0 when it was never buffed since its coat.
 *
 * buffed_ms  out, may be NULL: when it was buffed */
gint64 rake_cool_get_end_ms (RakeSession *session, const RakeFace *face, gint64 *buffed_ms);

typedef struct _RakeCoolWatch RakeCoolWatch;

/* Watches @session's job; sends through @application (not owned, may be NULL: then only the session's
 * "message" says it). Free before either goes. */
RakeCoolWatch *rake_cool_watch_new (RakeSession *session, GApplication *application);
void rake_cool_watch_free (RakeCoolWatch *self);
