/* photo-reader.h - the desk's way out: copies as textures, originals as bytes, read by one worker.
 *
 * The worker has a handle of its own on the job file, open only while there is something to read. The
 * copies in the file are not to be trusted: they go through the careful decoder, and one that is
 * damaged or larger than it should be is made anew from the photograph. */
#pragma once
#include "photo-desk.h"

typedef struct _RakePhotoReader RakePhotoReader;

/* may_keep  whether copies that had to be made are kept in the file */
RakePhotoReader *rake_photo_reader_new (const char *path, gboolean may_keep);

/* Waits for the picture that is being read; what is still waiting answers with G_IO_ERROR_CANCELLED. */
void rake_photo_reader_free (RakePhotoReader *self);

/* As the desk's functions of that name. */
void rake_photo_reader_load (RakePhotoReader *self, const RakePhoto *photo, RakePhotoCopyKind kind,
                             GCancellable *cancellable, RakePhotoTextureReady ready,
                             gpointer user_data);
void rake_photo_reader_read_original (RakePhotoReader *self, const RakePhoto *photo,
                                      GCancellable *cancellable, RakePhotoOriginalReady ready,
                                      gpointer user_data);
GdkTexture *rake_photo_reader_peek (RakePhotoReader *self, const RakePhoto *photo,
                                    RakePhotoCopyKind kind);
