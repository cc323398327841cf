/* photo-under-chip.h - beside the bench's settings: which photograph lies under the map, and how strongly
 * it shows. Not to be seen where none is laid on the face. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_PHOTO_UNDER_CHIP (rake_photo_under_chip_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoUnderChip, rake_photo_under_chip, RAKE, PHOTO_UNDER_CHIP, RakeSessionView)

RakePhotoUnderChip *rake_photo_under_chip_new (void);
