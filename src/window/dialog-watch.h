/* dialog-watch.h - a question that closes itself when what it asks about is gone. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

/* Destroys @dialog once @session's job has neither zone, stage, face, mark nor unstruck entry of the
 * id @about; nil is always there. Keeps no reference. */
void rake_dialog_watch (GtkWindow *dialog, RakeSession *session, RakeId about);
