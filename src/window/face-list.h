/* face-list.h - the faces of a job as small live maps; a tap shows the face.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * Property "orientation" (GtkOrientable): vertical as the left column, horizontal
 * as a strip above the map in a narrow window. Width as a column 176 px, height as a strip 64 px. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_FACE_LIST (rake_face_list_get_type ())
G_DECLARE_FINAL_TYPE (RakeFaceList, rake_face_list, RAKE, FACE_LIST, GtkWidget)
