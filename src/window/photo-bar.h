/* photo-bar.h - what goes on with photographs, under the header of every page of a job: how far adding
 * is, to be stopped there; and what is new in the watched folder, to be answered. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_PHOTO_BAR (rake_photo_bar_get_type ())
G_DECLARE_FINAL_TYPE (RakePhotoBar, rake_photo_bar, RAKE, PHOTO_BAR, RakeSessionView)

/* Asks for a folder to be watched, or whether to stop watching the one there is. */
void rake_photo_bar_choose_folder (GtkWindow *parent);
