/* picture-maker.c - see picture-maker.h. */
#include "picture-maker.h"

#include <stdio.h>
#include <stdlib.h>

#include <jpeglib.h>
#include <png.h>

GByteArray *
make_jpeg (const guint8 *rgb, int width, int height, int quality, gboolean is_progressive)
{
  struct jpeg_compress_struct info;
  struct jpeg_error_mgr errors;
  unsigned char *bytes = NULL;
  unsigned long n_bytes = 0;
  GByteArray *made = g_byte_array_new ();

  info.err = jpeg_std_error (&errors);
  jpeg_create_compress (&info);
  jpeg_mem_dest (&info, &bytes, &n_bytes);
  info.image_width = (JDIMENSION) width;
  info.image_height = (JDIMENSION) height;
  info.input_components = 3;
  info.in_color_space = JCS_RGB;
  jpeg_set_defaults (&info);
  jpeg_set_quality (&info, quality, TRUE);
  if (is_progressive)
    jpeg_simple_progression (&info);
  jpeg_start_compress (&info, TRUE);
  while (info.next_scanline < info.image_height)
    {
      JSAMPROW row = (JSAMPROW) rgb + (gsize) info.next_scanline * (gsize) width * 3;
      jpeg_write_scanlines (&info, &row, 1);
    }
  jpeg_finish_compress (&info);
  g_byte_array_append (made, bytes, (guint) n_bytes);
  jpeg_destroy_compress (&info);
  free (bytes);
  return made;
}

GByteArray *
make_png (const guint8 *rgb, int width, int height)
{
  png_image image = { .version = PNG_IMAGE_VERSION,
                      .width = (png_uint_32) width,
                      .height = (png_uint_32) height,
                      .format = PNG_FORMAT_RGB };
  png_alloc_size_t n_bytes = PNG_IMAGE_PNG_SIZE_MAX (image);
  GByteArray *made = g_byte_array_new ();

  g_byte_array_set_size (made, (guint) n_bytes);
  if (!png_image_write_to_memory (&image, made->data, &n_bytes, 0, rgb, 0, NULL))
    g_error ("cannot write a PNG: %s", image.message);
  g_byte_array_set_size (made, (guint) n_bytes);
  return made;
}

guint8 *
make_colours (int width, int height)
{
  guint8 *rgb = g_malloc ((gsize) width * (gsize) height * 3), *p = rgb;

  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      {
        *p++ = (guint8) (255 * x / MAX (width - 1, 1));
        *p++ = (guint8) (255 * y / MAX (height - 1, 1));
        *p++ = (guint8) (128 + 64 * (x + y) / (width + height));
      }
  return rgb;
}
