/* photo-parts.h - a picture's file taken apart without decoding it. */
#pragma once
#include <rakelight/photo-intake.h>

/* The Exif block of a JPEG or a PNG, beginning with "Exif\0\0"; NULL when there is none. The caller frees. */
guint8 *rake_photo_find_exif (const guint8 *bytes, gsize n_bytes, gsize *length);

/* What a camera wrote, from a block that begins with a TIFF head, with or without "Exif\0\0" before it. */
void rake_photo_exif_read_tiff (const guint8 *block, gsize n_block, RakePhotoExif *exif);
