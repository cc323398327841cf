/* photo-thumb.h - a photograph's thumbnail as a widget, square, filled to its edges.
 *
 * It asks the desk when it is told what to show, and draws an empty square until that comes. It takes
 * the size asked of it by "width-request". It says nothing to assistive technology: words always stand
 * beside it. */
#pragma once
#include <gtk/gtk.h>

#include "session.h"

#define RAKE_TYPE_PHOTO_THUMB (rake_photo_thumb_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoThumb, rake_photo_thumb, RAKE, PHOTO_THUMB, GtkWidget)

GtkWidget *rake_photo_thumb_new (int side_px);

/* Nil, or a photograph that is not there: nothing. */
void rake_photo_thumb_show (RakePhotoThumb *self, RakeSession *session, RakeId photo);
