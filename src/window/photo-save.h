/* photo-save.h - a photograph out of the job into a file, as it came. */
#pragma once
#include <gtk/gtk.h>

#include "session.h"

/* Asks where to; the picture is read and written behind, and without what the camera wrote beside it,
 * the place among it, unless the person asks for that.
 *
 * may_have_all  whether to offer it: the picture tells where it was taken */
void rake_photo_save (GtkWindow *parent, RakeSession *session, RakeId photo, gboolean may_have_all);
