/* face-map.h - the picture of the shown face, which the finisher touches.
 *
 * Property "session": RakeSession, read-write, may be NULL. The map changes no job: a tap or a drawn
 * mark goes to the session, what wants asking first to the window's actions. docs/window.md lists
 * what fingers, mouse and keys do. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_FACE_MAP (rake_face_map_get_type ())
G_DECLARE_FINAL_TYPE (RakeFaceMap, rake_face_map, RAKE, FACE_MAP, GtkWidget)

RakeFaceMap *rake_face_map_new (void);
RakeSession *rake_face_map_get_session (RakeFaceMap *self);
void rake_face_map_set_session (RakeFaceMap *self, RakeSession *session);

/* The whole face in view again, and so at every size until it is zoomed or moved. */
void rake_face_map_fit (RakeFaceMap *self);

/* Nearer (above 1) or further away, about the middle of the view. */
void rake_face_map_zoom (RakeFaceMap *self, double factor);

/* Gives the keys to the map: to the selected zone's place in it. */
void rake_face_map_grab_keys (RakeFaceMap *self);
