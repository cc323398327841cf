/* face-list.h - the faces of a job as small live maps; a tap shows the face.
 *
 * Property "session": RakeSession, read-write, may be NULL.
 * Property "orientation" (GtkOrientable): vertical as the left column, horizontal
 * as a strip above the map in a narrow window. Width as a column 176 px, height as a strip 64 px;
 * a strip that is too narrow for all faces wraps. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_FACE_LIST (rake_face_list_get_type ())
G_DECLARE_FINAL_TYPE (RakeFaceList, rake_face_list, RAKE, FACE_LIST, RakeSessionView)
