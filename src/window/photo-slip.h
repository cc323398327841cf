/* photo-slip.h - what is known of one photograph, beside it: what it is, where it belongs, and what can
 * be done with its file. */
#pragma once
#include <gtk/gtk.h>

#include "session.h"

#define RAKE_TYPE_PHOTO_SLIP (rake_photo_slip_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoSlip, rake_photo_slip, RAKE, PHOTO_SLIP, GtkWidget)

/* No session, or nil: nothing. */
void rake_photo_slip_show (RakePhotoSlip *self, RakeSession *session, RakeId photo);
