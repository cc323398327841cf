/* lay-photo-page.h - a photograph laid on its face by pairs of points, and marks drawn on it.
 *
 * Property "session": RakeSession, read-write, may be NULL. On the left the photograph, on the right
 * the drawing, each with one end of every pair. docs/window.md tells what fingers and keys do. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_LAY_PHOTO_PAGE (rake_lay_photo_page_get_type ())
G_DECLARE_FINAL_TYPE (RakeLayPhotoPage, rake_lay_photo_page, RAKE, LAY_PHOTO_PAGE, RakeSessionView)

/* Shows that photograph of the session's job. What was begun on another one and not kept is gone. */
void rake_lay_photo_page_open (RakeLayPhotoPage *self, RakeId photo);
