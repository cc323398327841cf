/* photos-page.h - the photographs of the job: a strip of them by face, one large, and its slip.
 *
 * What else can be done with a photograph stands in the box "tools" of photos-page.ui: buttons whose
 * actions take the photograph's id as text; the page gives them that. */
#pragma once
#include "photo-place.h"
#include "session-view.h"

#define RAKE_TYPE_PHOTOS_PAGE (rake_photos_page_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotosPage, rake_photos_page, RAKE, PHOTOS_PAGE, RakeSessionView)

/* Shows that one, whatever face it is of. */
void rake_photos_page_show_photo (RakePhotosPage *self, RakeId photo);

/* Where what is added from here belongs; NULL: as guessed. Caller frees. */
RakePhotoPlace *rake_photos_page_get_place (RakePhotosPage *self);
