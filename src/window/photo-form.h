/* photo-form.h - where a photograph belongs, to be changed: face, stage, pass, zones, mark, lamp, view,
 * words. What is changed is kept only when the person says so, as an entry that places it anew. */
#pragma once
#include <gtk/gtk.h>

#include "session.h"

#define RAKE_TYPE_PHOTO_FORM (rake_photo_form_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoForm, rake_photo_form, RAKE, PHOTO_FORM, GtkWidget)

/* Another photograph, or the same after the job changed: then what was changed here stays. No session:
 * nothing. */
void rake_photo_form_show (RakePhotoForm *self, RakeSession *session, RakeId photo);
