/* camera-module.h - what the window asks of the module that knows cameras.
 *
 * GStreamer is in the module alone, which the window loads when somebody wants a camera: a bench without
 * one pays nothing for it, not at start and not in memory. Nothing but GLib crosses between the two.
 *
 * The module never calls into GTK's thread: frames and failures come in threads of their own. All functions
 * may take a while (a first run reads what GStreamer has installed) and are for a worker. */
#pragma once
#include <gio/gio.h>

/* Raised whenever anything below changes: a module of another build is refused. */
#define RAKE_CAMERA_MODULE_VERSION 1
#define RAKE_CAMERA_MODULE_SYMBOL "rake_camera_module"

/* One frame: rows of red, green, blue from the top without gaps. @rgb is the callee's to keep. */
typedef void (*RakeCameraFrame) (GBytes *rgb, int width, int height, gpointer user_data);

/* The picture has stopped for good. @sentence is GStreamer's, in the person's language. */
typedef void (*RakeCameraFailed) (const char *sentence, gpointer user_data);

typedef struct _RakeCameraRun RakeCameraRun;

typedef struct
{
  int version;

  /* Names of the cameras that are there, NULL at the end; what was listed last can be started. NULL with
   * @error when there is no GStreamer to be used. The caller frees with g_strfreev(). */
  char **(*list) (GError **error);

  /* Starts the camera at @index of the list. NULL with @error. Neither function is called any more once
   * stop() has returned. */
  RakeCameraRun *(*start) (guint index, RakeCameraFrame frame, RakeCameraFailed failed,
                           gpointer user_data, GError **error);

  /* Returns at once; a device that hangs is waited for elsewhere. */
  void (*stop) (RakeCameraRun *run);
} RakeCameraModule;
