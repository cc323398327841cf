/* camera.h - a camera at the bench: which there are, what it sees now.
 *
 * The module behind it, and GStreamer with it, is loaded when a camera is first looked for, in a thread of
 * its own; nothing here makes the window wait.
 *
 * Signals:
 *   "changed"  the state is another, or the list of cameras
 *   "frame"    it sees something new; frames that come faster than they are shown are passed over */
#pragma once
#include <gtk/gtk.h>

#define RAKE_TYPE_CAMERA (rake_camera_get_type ())
G_DECLARE_FINAL_TYPE (RakeCamera, rake_camera, RAKE, CAMERA, GObject)

typedef enum
{
  RAKE_CAMERA_CLOSED,
  RAKE_CAMERA_LOOKING, /* for cameras, or for the first picture of one */
  RAKE_CAMERA_LIVE,
  RAKE_CAMERA_NONE,    /* rake_camera_get_sentence() says why, and what would help */
} RakeCameraState;

RakeCamera *rake_camera_new (void);

/* Looks for cameras and opens the one that is chosen, by name, or the first. */
void rake_camera_open (RakeCamera *self);
void rake_camera_close (RakeCamera *self);

RakeCameraState rake_camera_get_state (RakeCamera *self);
const char *rake_camera_get_sentence (RakeCamera *self);

/* NULL at the end; empty before they were looked for. The camera's. */
const char *const *rake_camera_get_names (RakeCamera *self);
guint rake_camera_get_chosen (RakeCamera *self);
void rake_camera_choose (RakeCamera *self, guint index);

/* What it sees now, NULL while it is not live: the camera's, to be shown; and its rows of red, green, blue
 * without gaps, which the caller unrefs. */
GdkTexture *rake_camera_get_texture (RakeCamera *self);
GBytes *rake_camera_take (RakeCamera *self, int *width, int *height);
