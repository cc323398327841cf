/* camera-page.h - a camera's picture, live, under the ghost of the last photograph of the same view, so
 * that a series is taken from one place; and the big button that takes it into the job.
 *
 * Property "session": RakeSession, read-write, may be NULL. The camera is open only while the page is
 * seen. What is taken belongs to the face and the zones that are selected at the bench, with its lamp. */
#pragma once
#include "session-view.h"

#define RAKE_TYPE_CAMERA_PAGE (rake_camera_page_get_type ())
G_DECLARE_FINAL_TYPE (RakeCameraPage, rake_camera_page, RAKE, CAMERA_PAGE, RakeSessionView)
