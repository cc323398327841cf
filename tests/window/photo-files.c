/* photo-files.c - pictures for the window's tests, written to files. */
#include "photo-files.h"
#include "../imaging/picture-maker.h"

#include <string.h>

GBytes *
photo_files_make_jpeg (int width, int height, guint seed)
{
  g_autofree guint8 *rgb = make_colours (width, height);
  GByteArray *jpeg;

  for (guint i = 0; i < 3; i++)
    rgb[i] = (guint8) (seed >> 8 * i);
  jpeg = make_jpeg (rgb, width, height, 95, FALSE);
  g_byte_array_append (jpeg, (const guint8 *) &seed, sizeof seed); /* behind the end: passed over */
  return g_byte_array_free_to_bytes (jpeg);
}

/* By hand, so that nothing of the program vouches for itself. Big-endian TIFF in an APP1 segment: one
 * directory with Orientation (tag 0x0112, SHORT) and a pointer (0x8825, LONG) to a GPS directory with
 * GPSLatitudeRef (1, ASCII "N"). Source: Exif 2.32 (CIPA DC-008), from memory; exiftool reads it so. */
GBytes *
photo_files_with_exif (GBytes *jpeg, int turn, gboolean has_location)
{
  guint8 block[] = {
    0xff, 0xe1, 0, 64, 'E', 'x', 'i', 'f', 0, 0,
    'M', 'M', 0, 42, 0, 0, 0, 8,
    0, (guint8) (has_location ? 2 : 1),
    0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, (guint8) turn, 0, 0,
    0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38,
    0, 0, 0, 0,
    0, 1, 0, 1, 0, 2, 0, 0, 0, 2, 'N', 0, 0, 0, 0, 0, 0, 0,
  };
  GByteArray *whole = g_byte_array_new ();
  gsize length;
  const guint8 *bytes = g_bytes_get_data (jpeg, &length);

  G_STATIC_ASSERT (sizeof block == 66);
  if (!has_location)
    memset (block + 32, 0, 12);
  g_byte_array_append (whole, bytes, 2); /* start of image */
  g_byte_array_append (whole, block, sizeof block);
  g_byte_array_append (whole, bytes + 2, (guint) length - 2);
  return g_byte_array_free_to_bytes (whole);
}

char *
photo_files_write (const char *folder, const char *name, GBytes *bytes)
{
  char *path = g_build_filename (folder, name, NULL);
  g_autoptr (GError) error = NULL;
  gsize length;
  const char *data = g_bytes_get_data (bytes, &length);

  g_file_set_contents (path, data, (gssize) length, &error);
  g_assert_no_error (error);
  return path;
}
