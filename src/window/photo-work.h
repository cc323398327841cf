/* photo-work.h - what is read and reckoned of a photograph at full size, in a worker thread.
 *
 * Small copies for the screen come from elsewhere; here are the pixels of the photograph itself. A
 * worker opens a handle of its own on the job's file. */
#pragma once
#include "session.h"
#include <gdk/gdk.h>
#include <rakelight/photo-picture.h>
#include <rakelight/photo-warp.h>
#include <rakelight/photo.h>

/* In the main thread. @picture is the caller's to unref, NULL with @error. Not called once the
 * cancellable is cancelled. */
typedef void (*RakePhotoPictureReady) (RakePhotoPicture *picture, const GError *error,
                                       gpointer data);

/* Reads the photograph as it lies in its file, with at most @most_pixels where that can be had by
 * halves. */
void rake_photo_work_read (RakeSession *session, const RakePhoto *photo, guint most_pixels,
                           GCancellable *cancellable, RakePhotoPictureReady ready, gpointer data);

/* The same, at once, for a worker thread. */
RakePhotoPicture *rake_photo_work_read_now (const char *path, const char *sha256, guint most_pixels,
                                            GError **error);

/* --- laid flat ----------------------------------------------------------------------------------- */

/* In the main thread. @texture is the face from straight above, its upper left corner at x, y; the
 * caller takes a reference to keep it. NULL with @error. Not called once cancelled. */
typedef void (*RakePhotoLaid) (GdkTexture *texture, double x_mm, double y_mm, double px_per_mm,
                               const GError *error, gpointer data);

/* The pixels along the longer side of a face that is laid flat for the screen. */
#define RAKE_PHOTO_FLAT_PX 1600

/* @map is taken over; width and height are those of the picture as it lies at its full size. */
void rake_photo_work_lay_picture (const RakeShape *outline, RakePhotoPicture *picture,
                                  RakePhotoMap *map, double width_px, double height_px,
                                  int long_side_px, GCancellable *cancellable, RakePhotoLaid ready,
                                  gpointer data);

/* Reads it first. The photograph is registered. */
void rake_photo_work_lay (RakeSession *session, const RakePhoto *photo, int long_side_px,
                          GCancellable *cancellable, RakePhotoLaid ready, gpointer data);
