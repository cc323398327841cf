/* photo-fit-private.h - what the reader asks of a fit beside what everybody may. */
#pragma once
#include <rakelight/photo-fit.h>

/* Where the camera stood: x and y on the face, z above it, in mm. The focal length comes from the
 * projection itself, taking square pixels and the lens's middle in the picture's; where the face is
 * seen almost from straight above, and it tells nothing, a usual lens is taken. */
void rake_photo_fit_find_camera (const RakePhotoFit *fit, double camera_mm[3]);

/* The projection from millimetres to halves of the picture's diagonal counted from its middle,
 * without the radial term; its last row is positive wherever the camera sees. */
void rake_photo_fit_get_normal_matrix (const RakePhotoFit *fit, double matrix[9]);
