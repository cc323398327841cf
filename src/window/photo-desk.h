/* photo-desk.h - the photographs of the job at the bench: into its file, and out of it as textures,
 * with the window never waiting.
 *
 * Reading, decoding and making smaller is done behind, one picture at a time a direction, so memory
 * stays bounded however many are waiting. The main thread only writes what is finished into the job
 * file, each photograph as a gesture of its own. Adding goes on when the person leaves the bench, or
 * closes the window: the desk keeps session and application until all are in.
 *
 * What cannot be added is told by the session's "message", a sentence each, and the rest goes on.
 *
 * Signals:
 *   "progress"  one is done, or a part of one
 *   "added"     (id as text) a photograph is in the job */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/photo-store.h>

#include "photo-place.h"

#define RAKE_TYPE_PHOTO_DESK (rake_photo_desk_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoDesk, rake_photo_desk, RAKE, PHOTO_DESK, GObject)

/* The session's desk, owned by it. */
RakePhotoDesk *rake_photo_desk_get (RakeSession *session);

/* --- in ---------------------------------------------------------------------------------------- */

/* Both return at once; FALSE with a message when nothing can be recorded (read-only, in the past).
 *
 * place    where it belongs, copied; NULL: as guessed from when it was taken
 * name     of the file it was, or NULL
 * file_ms  when it was made as far as known, for a picture that does not tell; 0: not known */
gboolean rake_photo_desk_add_file (RakePhotoDesk *self, GFile *file, const RakePhotoPlace *place);
gboolean rake_photo_desk_add_bytes (RakePhotoDesk *self, GBytes *bytes, const char *name,
                                    gint64 file_ms, const RakePhotoPlace *place);

/* Those not in yet, with the one in work; and how much of all that were given since there were none,
 * 0 to 1. */
guint rake_photo_desk_get_n_waiting (RakePhotoDesk *self);
double rake_photo_desk_get_progress (RakePhotoDesk *self);

/* Drops what is waiting and in work; what is in stays. */
void rake_photo_desk_cancel (RakePhotoDesk *self);

/* --- out --------------------------------------------------------------------------------------- */

/* In the main thread. @texture is upright and the desk's; NULL with @error, a sentence for the person
 * (RAKE_PHOTO_STORE_ERROR_WITHDRAWN, …_MISSING, or damaged). */
typedef void (*RakePhotoTextureReady) (GdkTexture *texture, const GError *error, gpointer user_data);

/* The photograph's copy, which is made and kept if it has none or a damaged one. What was loaded
 * lately is still there, up to 64 MiB. Always answers later, never before it returns.
 *
 * cancellable  may be NULL; once it is cancelled, @ready is not called any more, so that a widget
 *              may go and needs no reference to itself */
void rake_photo_desk_load (RakePhotoDesk *self, const RakePhoto *photo, RakePhotoCopyKind kind,
                           GCancellable *cancellable, RakePhotoTextureReady ready,
                           gpointer user_data);

/* What is there already, for drawing without waiting; NULL when it must be loaded. The desk's: take a
 * reference to keep it beyond the call. */
GdkTexture *rake_photo_desk_peek (RakePhotoDesk *self, const RakePhoto *photo,
                                  RakePhotoCopyKind kind);

/* The picture as it came, read behind and checked against its hash; cancelling as above.
 *
 * has_location  whether the camera wrote where it was taken */
typedef void (*RakePhotoOriginalReady) (GBytes *original, gboolean has_location,
                                        const GError *error, gpointer user_data);
void rake_photo_desk_read_original (RakePhotoDesk *self, const RakePhoto *photo,
                                    GCancellable *cancellable, RakePhotoOriginalReady ready,
                                    gpointer user_data);
