/* photo-view.h - one photograph, upright and large.
 *
 * A RakeFlatView whose places are pixels of the upright photograph at its full size, whatever copy of
 * it is shown. Where the job speaks of a photograph, and here where it is said, it is pixels of the
 * picture as it lies in its file (photo.h).
 *
 * Signals besides the flat view's:
 *   "photo-tapped" (x, y)   pixels of the picture as it lies in the file, and within it
 *   "ready"                 its picture is there, or there is none; see rake_photo_view_is_ready() */
#pragma once
#include "flat-view.h"
#include "session.h"
#include <rakelight/photo.h>

#define RAKE_TYPE_PHOTO_VIEW (rake_photo_view_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoView, rake_photo_view, RAKE, PHOTO_VIEW, RakeFlatView)

RakePhotoView *rake_photo_view_new (void);

/* Shows that photograph of the session's job, whole; nothing for a nil id or a NULL session. */
void rake_photo_view_set_photo (RakePhotoView *self, RakeSession *session, RakeId photo);
RakeId rake_photo_view_get_photo (RakePhotoView *self);

/* TRUE once its picture is shown. */
gboolean rake_photo_view_is_ready (RakePhotoView *self);

/* From the widget's pixels to the upright photograph's, and back. */
void rake_photo_view_to_upright_px (RakePhotoView *self, double x_px, double y_px, double *upright_x,
                                    double *upright_y);
void rake_photo_view_from_upright_px (RakePhotoView *self, double upright_x, double upright_y,
                                      double *x_px, double *y_px);

/* From the widget's pixels to those of the picture as it lies in the file, and back. */
void rake_photo_view_to_file_px (RakePhotoView *self, double x_px, double y_px, double *file_x,
                                 double *file_y);
void rake_photo_view_from_file_px (RakePhotoView *self, double file_x, double file_y, double *x_px,
                                   double *y_px);

/* From the upright photograph's pixels to those of the picture as it lies, and back. */
void rake_photo_view_turn_to_file (RakePhotoView *self, double upright_x, double upright_y,
                                   double *file_x, double *file_y);
void rake_photo_view_turn_upright (RakePhotoView *self, double file_x, double file_y,
                                   double *upright_x, double *upright_y);

/* Reads the photograph at its full size, for the loupe; before that is there it shows the copy. */
void rake_photo_view_want_loupe (RakePhotoView *self, RakeSession *session);

/* How strongly the picture shows, 0 to 1; overlays stay as they are. */
void rake_photo_view_set_opacity (RakePhotoView *self, double opacity);

/* Drawn above the picture and under the knobs, in the widget's pixels, whenever they are shown. What
 * is appended as small nodes is painted again in small parts. */
typedef void (*RakePhotoOverlayFunc) (GtkSnapshot *snapshot, RakePhotoView *self, gpointer data);
void rake_photo_view_add_overlay (RakePhotoView *self, RakePhotoOverlayFunc draw, gpointer data);
void rake_photo_view_queue_overlays (RakePhotoView *self);
