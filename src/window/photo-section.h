/* photo-section.h - the photographs of the zone in the slip, the latest first; a tap opens one. */
#pragma once
#include <gtk/gtk.h>

#include "session.h"

#define RAKE_TYPE_PHOTO_SECTION (rake_photo_section_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoSection, rake_photo_section, RAKE, PHOTO_SECTION, GtkWidget)

/* NULL: nothing. */
void rake_photo_section_show (RakePhotoSection *self, RakeSession *session, const RakeZone *zone);
