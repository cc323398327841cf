/* compare-strip.h - photographs in a row, in the order in which they were taken, each with its words.
 *
 * Where all lie on one face they are shown from straight above, one after the other as they are read. */
#pragma once
#include "session.h"
#include <gtk/gtk.h>

#define RAKE_TYPE_COMPARE_STRIP (rake_compare_strip_get_type ())
G_DECLARE_FINAL_TYPE (RakeCompareStrip, rake_compare_strip, RAKE, COMPARE_STRIP, GtkWidget)

/* photos  RakeId, copied; NULL: none. Nothing is read before the strip is seen. */
void rake_compare_strip_show (RakeCompareStrip *self, RakeSession *session, const GArray *photos);
