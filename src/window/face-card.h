/* face-card.h - one face in the list of faces: small live map, name, share that is ready.
 *
 * An option of a list box to assistive technology: "Front: 46 % ready". A tap, Enter or Space
 * selects the face (action face.select). */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_FACE_CARD (rake_face_card_get_type ())
G_DECLARE_FINAL_TYPE (RakeFaceCard, rake_face_card, RAKE, FACE_CARD, GtkWidget)

GtkWidget *rake_face_card_new (void);

/* Brings the card up to date. @is_low lays it out as a strip's, map and words side by side. */
void rake_face_card_show (RakeFaceCard *self, RakeSession *session, RakeId face, gboolean is_low);
RakeId rake_face_card_get_face (RakeFaceCard *self);
