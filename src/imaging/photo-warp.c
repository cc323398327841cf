/* photo-warp.c - a photograph laid flat on its face. */
#include <rakelight/photo-warp.h>

#include "raster.h"

#include <math.h>

typedef struct
{
  const RakePhotoPicture *picture;
  const RakePhotoMap *map;
  double shrink_x, shrink_y; /* from the photograph's pixels to the picture's */
} Source;

/* The colour between four pixels; 0 outside of the picture. */
static guint32
look_up (const Source *source, double x, double y)
{
  int width = rake_photo_picture_get_width (source->picture);
  int height = rake_photo_picture_get_height (source->picture);
  const guint8 *rgb = rake_photo_picture_get_rgb (source->picture);
  guint32 pixel = 0xff;
  double share_x, share_y;
  int left, top, right, bottom;

  if (!(x >= 0 && y >= 0 && x < width && y < height))
    return 0;
  /* A pixel's middle lies at a half. */
  x = CLAMP (x - 0.5, 0, width - 1);
  y = CLAMP (y - 0.5, 0, height - 1);
  left = (int) x;
  top = (int) y;
  right = MIN (left + 1, width - 1);
  bottom = MIN (top + 1, height - 1);
  share_x = x - left;
  share_y = y - top;
  for (int i = 0; i < 3; i++)
    {
      double upper =
          rgb[((gsize) top * (gsize) width + (gsize) left) * 3 + (gsize) i] * (1 - share_x) +
          rgb[((gsize) top * (gsize) width + (gsize) right) * 3 + (gsize) i] * share_x;
      double lower =
          rgb[((gsize) bottom * (gsize) width + (gsize) left) * 3 + (gsize) i] * (1 - share_x) +
          rgb[((gsize) bottom * (gsize) width + (gsize) right) * 3 + (gsize) i] * share_x;

      pixel = pixel << 8 | (guint32) lround (upper * (1 - share_y) + lower * share_y);
    }
  return pixel;
}

static void
fill_row (RakePhotoSheet *sheet, const Source *source, const guint8 *mask, int row)
{
  gsize first = (gsize) row * (gsize) sheet->width;
  double y_mm = sheet->y_mm + (row + 0.5) / sheet->px_per_mm;

  for (int column = 0; column < sheet->width; column++)
    {
      double x_px, y_px;

      if (mask[first + (gsize) column] == 0 ||
          !rake_photo_map_to_photo (source->map, sheet->x_mm + (column + 0.5) / sheet->px_per_mm,
                                    y_mm, &x_px, &y_px))
        continue;
      sheet->pixels[first + (gsize) column] =
          look_up (source, x_px * source->shrink_x, y_px * source->shrink_y);
    }
}

RakePhotoSheet *
rake_photo_sheet_new (const RakeShape *outline, const RakePhotoPicture *picture,
                      const RakePhotoMap *map, double width_px, double height_px, int long_side_px,
                      GCancellable *cancellable)
{
  g_autoptr (RakePhotoSheet) sheet = g_new0 (RakePhotoSheet, 1);
  RakeBounds bounds = rake_shape_get_bounds (outline);
  double width_mm = MAX (bounds.max_x_mm - bounds.min_x_mm, 0.001);
  double height_mm = MAX (bounds.max_y_mm - bounds.min_y_mm, 0.001);
  const Source source = { picture, map, rake_photo_picture_get_width (picture) / width_px,
                          rake_photo_picture_get_height (picture) / height_px };
  g_autofree guint8 *mask = NULL;
  RakeRaster raster;

  sheet->px_per_mm = CLAMP (long_side_px, 16, 8192) / MAX (width_mm, height_mm);
  sheet->x_mm = bounds.min_x_mm;
  sheet->y_mm = bounds.min_y_mm;
  sheet->width = (int) MAX (1, ceil (width_mm * sheet->px_per_mm - 1e-6));
  sheet->height = (int) MAX (1, ceil (height_mm * sheet->px_per_mm - 1e-6));
  sheet->pixels = g_new0 (guint32, (gsize) sheet->width * (gsize) sheet->height);
  mask = g_new0 (guint8, (gsize) sheet->width * (gsize) sheet->height);
  raster = (RakeRaster){ sheet->x_mm, sheet->y_mm, 1 / sheet->px_per_mm, sheet->width,
                         sheet->height };
  rake_raster_fill (&raster, outline, 1, mask);
  for (int row = 0; row < sheet->height; row++)
    {
      if (cancellable != NULL && g_cancellable_is_cancelled (cancellable))
        return NULL;
      fill_row (sheet, &source, mask, row);
    }
  return g_steal_pointer (&sheet);
}

void
rake_photo_sheet_free (RakePhotoSheet *sheet)
{
  if (sheet != NULL)
    g_free (sheet->pixels);
  g_free (sheet);
}
