/* photo-heif.h - the pictures that phones take, decoded by another program.
 *
 * HEIC is read by a library whose decoder has been a way in for strangers more than once. So it is not
 * linked here: a small program of its own, rakelight-heif, gets the bytes, gives itself little memory,
 * little time and no files, and hands back rows of colours. Where it crashes, a picture is refused. It
 * is there when libheif was when Rakelight was built.
 *
 * The container says how the picture stands, and the decoder has turned it already: what a camera
 * wrote of a turn in the Exif block says the same again and is not applied. Places in such a picture
 * are pixels of it as it stands upright. All of this is work for a worker thread. */
#pragma once
#include <gio/gio.h>
#include <rakelight/photo-intake.h>
#include <rakelight/photo-picture.h>

#define RAKE_PHOTO_HEIF_ERROR (rake_photo_heif_error_quark ())
GQuark rake_photo_heif_error_quark (void);

typedef enum
{
  RAKE_PHOTO_HEIF_ERROR_NOT_HERE, /* Rakelight was built without it */
} RakePhotoHeifError;

/* By the first bytes: a HEIF container with a still picture in it. */
gboolean rake_photo_is_heif (const void *bytes, gsize n_bytes);

/* Decodes a HEIC picture.
 *
 * exif  out, may be NULL: what the camera wrote, its turn 1
 * returns  a picture that the caller unrefs; NULL with RAKE_PHOTO_HEIF_ERROR, RAKE_PHOTO_PICTURE_ERROR
 *          or G_IO_ERROR_CANCELLED, and a sentence for the person */
RakePhotoPicture *rake_photo_picture_new_from_heif (GBytes *heif, RakePhotoExif *exif,
                                                    GCancellable *cancellable, GError **error);

/* Any photograph that a job keeps, whole: HEIC as above, the others by rake_photo_picture_new(). */
RakePhotoPicture *rake_photo_picture_new_from_photo (GBytes *photo, GCancellable *cancellable,
                                                     GError **error);
