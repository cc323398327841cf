/* picture-maker.h - pictures for tests, made on the spot, as JPEG and as PNG. */
#pragma once
#include <glib.h>

/* rgb  3 * width * height bytes. The array is the file's bytes; free it with g_byte_array_unref().
 * A JPEG comes in one pass, or with is_progressive in several. */
GByteArray *make_jpeg (const guint8 *rgb, int width, int height, int quality,
                       gboolean is_progressive);
GByteArray *make_png (const guint8 *rgb, int width, int height);

/* A slow run of colours in both directions; free it with g_free(). */
guint8 *make_colours (int width, int height);
