/* face-thumb.h - a face's map, small: drawn anew only when that face shows something else.
 *
 * Its size is given by "width-request" and "height-request"; the map fits itself in. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_FACE_THUMB (rake_face_thumb_get_type ())
G_DECLARE_FINAL_TYPE (RakeFaceThumb, rake_face_thumb, RAKE, FACE_THUMB, GtkWidget)

/* Shows @face of @session as it is now; NULL and nil show nothing. The session is kept weakly. */
void rake_face_thumb_show (RakeFaceThumb *self, RakeSession *session, RakeId face);

/* How often the map has been drawn, for tests. */
guint rake_face_thumb_get_n_drawn (RakeFaceThumb *self);
