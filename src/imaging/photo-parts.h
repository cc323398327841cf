/* photo-parts.h - a picture's file taken apart without decoding it. */
#pragma once
#include <glib.h>

/* The Exif block of a JPEG or a PNG, beginning with "Exif\0\0"; NULL when there is none. The caller frees. */
guint8 *rake_photo_find_exif (const guint8 *bytes, gsize n_bytes, gsize *length);
