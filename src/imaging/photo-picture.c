/* photo-picture.c - decoding JPEG with libjpeg and PNG with libpng, never trusting either's input.
 *
 * libjpeg's own error manager ends the program; ours jumps back. A jump leaves local variables that
 * changed since undefined, so whatever must be freed lives in the Decoder, outside the frame that
 * is jumped back to. */
#include <rakelight/photo-picture.h>

#include "../core/i18n.h"

#include <setjmp.h>
#include <stdio.h>
#include <string.h>

#include <jpeglib.h>
#include <jerror.h>
#include <png.h>

/* A few kilobytes can hold thousands of passes over a large picture; a camera writes ten or so. */
#define MAX_SCANS 100

#define MAX_SIDE_PX 65500

struct _RakePhotoPicture
{
  gatomicrefcount n_refs;
  int width, height;
  guint8 *rgb;
};

typedef struct
{
  struct jpeg_decompress_struct info;
  struct jpeg_error_mgr errors;
  struct jpeg_progress_mgr progress;
  jmp_buf back;
  RakePhotoPicture *picture;
  gboolean is_damaged, has_too_many_scans;
  char message[JMSG_LENGTH_MAX];
} Decoder;

G_DEFINE_QUARK (rake-photo-picture-error, rake_photo_picture_error)

static RakePhotoPicture *
new_picture (int width, int height)
{
  RakePhotoPicture *picture = g_new0 (RakePhotoPicture, 1);

  g_atomic_ref_count_init (&picture->n_refs);
  picture->width = width;
  picture->height = height;
  picture->rgb = g_malloc ((gsize) width * (gsize) height * 3);
  return picture;
}

static gboolean
check_size (guint64 width, guint64 height, GError **error)
{
  if (width >= 1 && height >= 1 && width <= MAX_SIDE_PX && height <= MAX_SIDE_PX &&
      width * height <= RAKE_PHOTO_PICTURE_MAX_PIXELS)
    return TRUE;
  g_set_error (error, RAKE_PHOTO_PICTURE_ERROR, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE,
               _ ("The picture is %u × %u pixels; at most %d megapixels can be read"),
               (guint) width, (guint) height, RAKE_PHOTO_PICTURE_MAX_PIXELS / 1000000);
  return FALSE;
}

static gboolean
find_format (const guint8 *bytes, gsize n_bytes, RakePhotoFormat *format, GError **error)
{
  static const guint8 jpeg[] = { 0xff, 0xd8, 0xff };

  if (n_bytes > RAKE_PHOTO_PICTURE_MAX_BYTES)
    {
      g_set_error (error, RAKE_PHOTO_PICTURE_ERROR, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE,
                   _ ("The file is larger than %d MB; save the picture smaller"),
                   RAKE_PHOTO_PICTURE_MAX_BYTES / (1024 * 1024));
      return FALSE;
    }
  if (n_bytes > sizeof jpeg && memcmp (bytes, jpeg, sizeof jpeg) == 0)
    *format = RAKE_PHOTO_FORMAT_JPEG;
  else if (n_bytes > 8 && png_sig_cmp (bytes, 0, 8) == 0)
    *format = RAKE_PHOTO_FORMAT_PNG;
  else
    {
      g_set_error (error, RAKE_PHOTO_PICTURE_ERROR, RAKE_PHOTO_PICTURE_ERROR_NOT_A_PICTURE,
                   _ ("This is neither a JPEG nor a PNG picture, whatever it is called"));
      return FALSE;
    }
  return TRUE;
}

static void
jump_back (j_common_ptr info)
{
  Decoder *self = info->client_data;

  info->err->format_message (info, self->message);
  longjmp (self->back, 1);
}

static void
note_warning (j_common_ptr info, int level)
{
  Decoder *self = info->client_data;

  /* Bytes between the parts harm nothing, and some cameras leave them. */
  if (level < 0 && info->err->msg_code != JWRN_EXTRANEOUS_DATA &&
      info->err->msg_code != JWRN_ADOBE_XFORM && !self->is_damaged)
    {
      self->is_damaged = TRUE;
      info->err->format_message (info, self->message);
    }
}

static void
count_scans (j_common_ptr info)
{
  Decoder *self = info->client_data;

  if (self->info.input_scan_number > MAX_SCANS)
    {
      self->has_too_many_scans = TRUE;
      longjmp (self->back, 1);
    }
}

static void
say_nothing (j_common_ptr info)
{
}

static void
decoder_init (Decoder *self)
{
  memset (self, 0, sizeof *self);
  self->info.err = jpeg_std_error (&self->errors);
  self->errors.error_exit = jump_back;
  self->errors.emit_message = note_warning;
  self->errors.output_message = say_nothing;
  self->info.client_data = self;
}

static void
fail_decoding (const Decoder *self, GError **error)
{
  if (error != NULL && *error != NULL)
    return;
  if (self->has_too_many_scans)
    g_set_error (error, RAKE_PHOTO_PICTURE_ERROR, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE,
                 _ ("The picture is in more than %d passes; save it anew"), MAX_SCANS);
  else
    g_set_error (error, RAKE_PHOTO_PICTURE_ERROR, RAKE_PHOTO_PICTURE_ERROR_DAMAGED,
                 _ ("The picture is damaged or cut short (%s); copy it from the camera again"),
                 self->message);
}

/* What jump_back() may leave in the middle of; FALSE then, and when the header asks too much. */
static gboolean
start_jpeg (Decoder *self, const guint8 *bytes, gsize n_bytes, GError **error)
{
  if (setjmp (self->back) != 0)
    {
      fail_decoding (self, error);
      return FALSE;
    }
  jpeg_create_decompress (&self->info);
  self->progress.progress_monitor = count_scans;
  self->info.progress = &self->progress;
  jpeg_mem_src (&self->info, bytes, (unsigned long) n_bytes);
  jpeg_read_header (&self->info, TRUE);
  return check_size (self->info.image_width, self->info.image_height, error);
}

static gboolean
decode_rows (Decoder *self, int shrink, GError **error)
{
  if (setjmp (self->back) != 0)
    {
      fail_decoding (self, error);
      return FALSE;
    }
  self->info.out_color_space = JCS_RGB;
  self->info.scale_num = 1;
  self->info.scale_denom = (unsigned) shrink;
  self->info.dct_method = JDCT_ISLOW;
  jpeg_start_decompress (&self->info);
  self->picture = new_picture ((int) self->info.output_width, (int) self->info.output_height);
  while (self->info.output_scanline < self->info.output_height)
    {
      JSAMPROW row = self->picture->rgb +
                     (gsize) self->info.output_scanline * (gsize) self->info.output_width * 3;
      jpeg_read_scanlines (&self->info, &row, 1);
    }
  jpeg_finish_decompress (&self->info);
  if (self->is_damaged)
    fail_decoding (self, error);
  return !self->is_damaged;
}

static RakePhotoPicture *
decode_jpeg (const guint8 *bytes, gsize n_bytes, int shrink, GError **error)
{
  g_autofree Decoder *self = g_new (Decoder, 1);
  gboolean is_done;

  decoder_init (self);
  is_done = start_jpeg (self, bytes, n_bytes, error) && decode_rows (self, shrink, error);
  jpeg_destroy_decompress (&self->info);
  if (!is_done)
    g_clear_pointer (&self->picture, rake_photo_picture_unref);
  return self->picture;
}

static gboolean
fail_png (png_image *image, GError **error)
{
  g_set_error (error, RAKE_PHOTO_PICTURE_ERROR, RAKE_PHOTO_PICTURE_ERROR_DAMAGED,
               _ ("The picture is damaged or cut short (%s); copy it from the camera again"),
               image->message);
  png_image_free (image);
  return FALSE;
}

static gboolean
start_png (png_image *image, const guint8 *bytes, gsize n_bytes, GError **error)
{
  memset (image, 0, sizeof *image);
  image->version = PNG_IMAGE_VERSION;
  if (!png_image_begin_read_from_memory (image, bytes, n_bytes))
    return fail_png (image, error);
  if (check_size (image->width, image->height, error))
    return TRUE;
  png_image_free (image);
  return FALSE;
}

/* libpng has no scaled decoding. */
static RakePhotoPicture *
shrink_picture (const RakePhotoPicture *whole, int shrink)
{
  int width = (whole->width + shrink - 1) / shrink, height = (whole->height + shrink - 1) / shrink;
  RakePhotoPicture *small = new_picture (width, height);

  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      {
        int x_end = MIN ((x + 1) * shrink, whole->width);
        int y_end = MIN ((y + 1) * shrink, whole->height);
        guint sum[3] = { 0 }, n = 0;

        for (int j = y * shrink; j < y_end; j++)
          for (int i = x * shrink; i < x_end; i++, n++)
            for (int c = 0; c < 3; c++)
              sum[c] += whole->rgb[3 * ((gsize) j * (gsize) whole->width + (gsize) i) + (gsize) c];
        for (int c = 0; c < 3; c++)
          small->rgb[3 * ((gsize) y * (gsize) width + (gsize) x) + (gsize) c] =
              (guint8) ((sum[c] + n / 2) / MAX (n, 1));
      }
  return small;
}

static RakePhotoPicture *
decode_png (const guint8 *bytes, gsize n_bytes, int shrink, GError **error)
{
  static const png_color black = { 0, 0, 0 };
  g_autoptr (RakePhotoPicture) whole = NULL;
  png_image image;

  if (!start_png (&image, bytes, n_bytes, error))
    return NULL;
  image.format = PNG_FORMAT_RGB;
  whole = new_picture ((int) image.width, (int) image.height);
  /* Warnings are about what does not touch the pixels: a profile, a time. */
  if (!png_image_finish_read (&image, &black, whole->rgb, 0, NULL))
    {
      fail_png (&image, error);
      return NULL;
    }
  png_image_free (&image);
  return shrink == 1 ? g_steal_pointer (&whole) : shrink_picture (whole, shrink);
}

gboolean
rake_photo_picture_read_header (const void *bytes, gsize n_bytes, RakePhotoFormat *format,
                                int *width, int *height, GError **error)
{
  RakePhotoFormat found;
  guint w = 0, h = 0;

  g_return_val_if_fail (bytes != NULL || n_bytes == 0, FALSE);
  if (!find_format (bytes, n_bytes, &found, error))
    return FALSE;
  if (found == RAKE_PHOTO_FORMAT_JPEG)
    {
      g_autofree Decoder *self = g_new (Decoder, 1);
      gboolean is_read;

      decoder_init (self);
      is_read = start_jpeg (self, bytes, n_bytes, error);
      w = self->info.image_width;
      h = self->info.image_height;
      jpeg_destroy_decompress (&self->info);
      if (!is_read)
        return FALSE;
    }
  else
    {
      png_image image;

      if (!start_png (&image, bytes, n_bytes, error))
        return FALSE;
      w = image.width;
      h = image.height;
      png_image_free (&image);
    }
  if (format != NULL)
    *format = found;
  if (width != NULL)
    *width = (int) w;
  if (height != NULL)
    *height = (int) h;
  return TRUE;
}

RakePhotoPicture *
rake_photo_picture_new (const void *bytes, gsize n_bytes, int shrink, GError **error)
{
  RakePhotoFormat format;

  g_return_val_if_fail (bytes != NULL || n_bytes == 0, NULL);
  g_return_val_if_fail (shrink == 1 || shrink == 2 || shrink == 4 || shrink == 8, NULL);
  if (!find_format (bytes, n_bytes, &format, error))
    return NULL;
  return format == RAKE_PHOTO_FORMAT_JPEG ? decode_jpeg (bytes, n_bytes, shrink, error)
                                          : decode_png (bytes, n_bytes, shrink, error);
}

RakePhotoPicture *
rake_photo_picture_new_from_rgb (const guint8 *rgb, int width, int height)
{
  RakePhotoPicture *picture;

  g_return_val_if_fail (rgb != NULL && width >= 1 && height >= 1, NULL);
  g_return_val_if_fail ((gint64) width * height <= RAKE_PHOTO_PICTURE_MAX_PIXELS, NULL);
  picture = new_picture (width, height);
  memcpy (picture->rgb, rgb, (gsize) width * (gsize) height * 3);
  return picture;
}

RakePhotoPicture *
rake_photo_picture_ref (RakePhotoPicture *picture)
{
  g_return_val_if_fail (picture != NULL, NULL);
  g_atomic_ref_count_inc (&picture->n_refs);
  return picture;
}

void
rake_photo_picture_unref (RakePhotoPicture *picture)
{
  if (picture == NULL || !g_atomic_ref_count_dec (&picture->n_refs))
    return;
  g_free (picture->rgb);
  g_free (picture);
}

int
rake_photo_picture_get_width (const RakePhotoPicture *picture)
{
  g_return_val_if_fail (picture != NULL, 0);
  return picture->width;
}

int
rake_photo_picture_get_height (const RakePhotoPicture *picture)
{
  g_return_val_if_fail (picture != NULL, 0);
  return picture->height;
}

const guint8 *
rake_photo_picture_get_rgb (const RakePhotoPicture *picture)
{
  g_return_val_if_fail (picture != NULL, NULL);
  return picture->rgb;
}
