/* marks-before.h - the marks from before the last pass on a zone: are they still there?
 *
 * One tap each, or one for all. A tap activates win.still-there or win.gone with the mark's id; for
 * all, the session is told. Hidden when there is nothing to ask. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_MARKS_BEFORE (rake_marks_before_get_type ())
G_DECLARE_FINAL_TYPE (RakeMarksBefore, rake_marks_before, RAKE, MARKS_BEFORE, GtkWidget)

/* Asks about @zone; NULL hides it. */
void rake_marks_before_show (RakeMarksBefore *self, RakeSession *session, const RakeZone *zone);
