/* photo-shrink.c - pictures made smaller by the mean of what each pixel covers, and written as JPEG. */
#include "photo-shrink.h"

#include <stdio.h>
#include <stdlib.h>

#include <jpeglib.h>

/* The mean over whole pixels from @left to @right, @top to @bottom: at least one. */
static void
take_mean (const guint8 *rgb, int width, int left, int right, int top, int bottom, guint8 mean[3])
{
  guint64 sums[3] = { 0 };
  guint n = (guint) (right - left) * (guint) (bottom - top);

  for (int y = top; y < bottom; y++)
    for (int x = left; x < right; x++)
      {
        const guint8 *pixel = rgb + 3 * ((gsize) y * (gsize) width + (gsize) x);
        for (int i = 0; i < 3; i++)
          sums[i] += pixel[i];
      }
  for (int i = 0; i < 3; i++)
    mean[i] = (guint8) ((sums[i] + n / 2) / n);
}

static int
scale (int position, int of, int to)
{
  return (int) ((gint64) position * to / of);
}

static RakePhotoPicture *
shrink_as_it_lies (const RakePhotoPicture *picture, int width, int height)
{
  int from_width = rake_photo_picture_get_width (picture);
  int from_height = rake_photo_picture_get_height (picture);
  const guint8 *from = rake_photo_picture_get_rgb (picture);
  g_autofree guint8 *rgb = g_malloc (3 * (gsize) width * (gsize) height);

  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      take_mean (from, from_width, scale (x, width, from_width), scale (x + 1, width, from_width),
                 scale (y, height, from_height), scale (y + 1, height, from_height),
                 rgb + 3 * ((gsize) y * (gsize) width + (gsize) x));
  return rake_photo_picture_new_from_rgb (rgb, width, height);
}

static RakePhotoPicture *
turn_upright (const RakePhotoPicture *picture, RakeTurn turn)
{
  int width = rake_photo_picture_get_width (picture);
  int height = rake_photo_picture_get_height (picture);
  const guint8 *from = rake_photo_picture_get_rgb (picture);
  int upright_width = turn >= 5 ? height : width, upright_height = turn >= 5 ? width : height;
  g_autofree guint8 *rgb = g_malloc (3 * (gsize) width * (gsize) height);

  for (int y = 0; y < upright_height; y++)
    for (int x = 0; x < upright_width; x++)
      {
        double from_x, from_y;
        gsize at = 3 * ((gsize) y * (gsize) upright_width + (gsize) x), there;

        /* middles of pixels */
        rake_turn_from_upright (turn, width, height, x + 0.5, y + 0.5, &from_x, &from_y);
        there = 3 * ((gsize) from_y * (gsize) width + (gsize) from_x);
        for (int i = 0; i < 3; i++)
          rgb[at + (gsize) i] = from[there + (gsize) i];
      }
  return rake_photo_picture_new_from_rgb (rgb, upright_width, upright_height);
}

RakePhotoPicture *
rake_photo_shrink (const RakePhotoPicture *picture, int side_px, RakeTurn turn)
{
  int width = rake_photo_picture_get_width (picture);
  int height = rake_photo_picture_get_height (picture);
  int side = MAX (width, height);
  g_autoptr (RakePhotoPicture) small = NULL;

  if (side > side_px)
    {
      int to_width = MAX (1, (int) (((gint64) width * side_px + side / 2) / side));
      int to_height = MAX (1, (int) (((gint64) height * side_px + side / 2) / side));
      small = shrink_as_it_lies (picture, to_width, to_height);
    }
  else
    small = rake_photo_picture_ref ((RakePhotoPicture *) picture);
  return turn != 1 ? turn_upright (small, turn) : g_steal_pointer (&small);
}

/* Writing to memory what is whole cannot fail but for want of memory, which ends the program. */
GBytes *
rake_photo_to_jpeg (const RakePhotoPicture *picture, int quality)
{
  struct jpeg_compress_struct info;
  struct jpeg_error_mgr errors;
  unsigned char *out = NULL;
  unsigned long n_out = 0;
  gsize row = 3 * (gsize) rake_photo_picture_get_width (picture);

  info.err = jpeg_std_error (&errors);
  jpeg_create_compress (&info);
  jpeg_mem_dest (&info, &out, &n_out);
  info.image_width = (JDIMENSION) rake_photo_picture_get_width (picture);
  info.image_height = (JDIMENSION) rake_photo_picture_get_height (picture);
  info.input_components = 3;
  info.in_color_space = JCS_RGB;
  jpeg_set_defaults (&info);
  jpeg_set_quality (&info, quality, TRUE);
  jpeg_start_compress (&info, TRUE);
  while (info.next_scanline < info.image_height)
    {
      JSAMPROW line = (JSAMPROW) rake_photo_picture_get_rgb (picture) + row * info.next_scanline;
      jpeg_write_scanlines (&info, &line, 1);
    }
  jpeg_finish_compress (&info);
  jpeg_destroy_compress (&info);
  return g_bytes_new_with_free_func (out, n_out, free, out);
}
