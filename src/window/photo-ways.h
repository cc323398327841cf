/* photo-ways.h - the ways in which a person brings pictures: chosen, dropped, pasted.
 *
 * Bytes are taken as they come and go to the desk, which looks at them in its worker; GDK decodes
 * nothing. */
#pragma once
#include <gtk/gtk.h>

#include "photo-place.h"

/* Asks for files, any number. @place is copied; NULL: guessed. */
void rake_photo_ways_choose (GtkWindow *parent, RakeSession *session, const RakePhotoPlace *place);

/* What the clipboard holds: files, else a picture. Tells by the session's "message" when it holds
 * neither. */
void rake_photo_ways_paste (GtkWidget *widget, RakeSession *session, const RakePhotoPlace *place);

/* Where what is dropped on a widget belongs: the session, NULL to refuse the drop, and @place for the
 * caller to free. */
typedef RakeSession *(*RakePhotoDropAsk) (gpointer user_data, RakePhotoPlace **place);

/* Lets files and pictures be dropped on @widget. */
void rake_photo_ways_take_drops (GtkWidget *widget, RakePhotoDropAsk ask, gpointer user_data);
