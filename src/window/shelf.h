/* shelf.h - the job files of the shop's folder as cards.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * Opens through the action win.open-job (path as text), makes through win.new-job. The folder is
 * read whenever the shelf comes into view; each job is opened in an idle moment, one at a time. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_SHELF (rake_shelf_get_type ())
G_DECLARE_FINAL_TYPE (RakeShelf, rake_shelf, RAKE, SHELF, GtkWidget)
