/* photo-watch.h - a folder that a phone or a camera puts its pictures into, watched for new ones.
 *
 * One for the program: the folder is a setting of the machine. New is what was not there when the
 * folder was chosen and was not answered about since; a picture that changed is another one. What is
 * answered is remembered in the user's state folder, rakelight/photos-answered. A file is offered once
 * its size and date have stood still for two seconds, so that half of a picture is waited for. The
 * folder is listed in a worker, when the system tells of a change and every ten seconds besides.
 *
 * Signal "changed": other pictures are offered, or another folder is watched. */
#pragma once
#include <gio/gio.h>

#define RAKE_TYPE_PHOTO_WATCH (rake_photo_watch_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoWatch, rake_photo_watch, RAKE, PHOTO_WATCH, GObject)

/* The program's, made when first asked for, with the folder of the settings. Not owned. */
RakePhotoWatch *rake_photo_watch_get (void);

/* The folder's path; NULL: none. */
const char *rake_photo_watch_get_folder (RakePhotoWatch *self);

/* Watches that one from now on, and remembers it; NULL: none. What lies there is not new. */
void rake_photo_watch_set_folder (RakePhotoWatch *self, const char *path);

/* A new picture, by its file only: its name's ending, nothing is read. */
typedef struct
{
  char *path;
  gint64 file_ms; /* when it was written */
  gint64 n_bytes;
} RakeOfferedPhoto;

/* RakeOfferedPhoto, oldest first; the watch's, until "changed". */
GPtrArray *rake_photo_watch_get_offered (RakePhotoWatch *self);

/* None of these is offered again, whatever was answered. */
void rake_photo_watch_answer (RakePhotoWatch *self);

/* Lists the folder now; for tests, and where the system does not tell of changes. */
void rake_photo_watch_look (RakePhotoWatch *self);

/* For tests: how long a file must stand still, and how often the folder is listed. */
void rake_photo_watch_set_patience (RakePhotoWatch *self, guint still_ms, guint look_ms);
