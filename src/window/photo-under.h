/* photo-under.h - the photograph that lies under the bench's map: which one, how strongly, its picture.
 *
 * Of the face that the session shows. What was chosen for a face is remembered per machine, and how
 * strongly photographs show, too. The picture is laid flat once, in a worker.
 *
 * Signal "changed": another photograph, another picture of it, or shown more or less strongly. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/photo.h>

#include "session.h"

#define RAKE_TYPE_PHOTO_UNDER (rake_photo_under_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoUnder, rake_photo_under, RAKE, PHOTO_UNDER, GObject)

/* The session's, owned by it. */
RakePhotoUnder *rake_photo_under_get (RakeSession *session);

/* The photographs that can lie there: those laid on the shown face that still have their bytes, the one
 * taken last first. const RakePhoto *; the caller unrefs the array. */
GPtrArray *rake_photo_under_list (RakePhotoUnder *self);

/* The one that is to lie there; NULL: none. */
const RakePhoto *rake_photo_under_get_photo (RakePhotoUnder *self);

/* Nil: none. The first of the list stands for whichever is the first from now on. */
void rake_photo_under_choose (RakePhotoUnder *self, RakeId photo);

/* 0 to 1. */
double rake_photo_under_get_opacity (RakePhotoUnder *self);
void rake_photo_under_set_opacity (RakePhotoUnder *self, double opacity);

/* The face from straight above, and where it lies on the face. Owned by @self; NULL while there is none
 * to show or it is not ready. */
GdkTexture *rake_photo_under_peek (RakePhotoUnder *self, graphene_rect_t *box_mm);
