/* photo-shrink.h - a smaller picture of a picture, and a picture as JPEG. */
#pragma once
#include <rakelight/photo-picture.h>
#include <rakelight/photo.h>

/* Turned upright, its long side @side_px or as it was if that is less; each pixel is the mean of what it
 * covers. The caller unrefs. */
RakePhotoPicture *rake_photo_shrink (const RakePhotoPicture *picture, int side_px, RakeTurn turn);

/* quality  1 to 100 */
GBytes *rake_photo_to_jpeg (const RakePhotoPicture *picture, int quality);
