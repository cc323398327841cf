/* photo-picture.h - a photograph's bytes, decoded to rows of colours.
 *
 * JPEG and PNG only, told apart by their first bytes; a file's name is never asked. The picture is
 * as it lies in the file: a turn that a camera noted beside it is not applied, so that a place in
 * the picture means the same whoever reads it. Colours are 8-bit sRGB as they come, with no profile
 * applied; grey becomes three equal colours, and what shines through is laid on black.
 *
 * What comes in is not trusted: the size in the header is looked at before anything is reserved, a
 * picture of more than RAKE_PHOTO_PICTURE_MAX_PIXELS is refused, and one that ends too early or is
 * damaged inside is refused too, since half a face is worse than none. A picture never changes once
 * made; all functions may be called from any thread. */
#pragma once
#include <glib.h>

#define RAKE_PHOTO_PICTURE_ERROR (rake_photo_picture_error_quark ())
GQuark rake_photo_picture_error_quark (void);

typedef enum
{
  RAKE_PHOTO_PICTURE_ERROR_NOT_A_PICTURE, /* neither JPEG nor PNG, or a kind that is not read */
  RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE,     /* more pixels, bytes or passes than we take */
  RAKE_PHOTO_PICTURE_ERROR_DAMAGED,       /* cut short, or wrong inside */
} RakePhotoPictureError;

#define RAKE_PHOTO_PICTURE_MAX_PIXELS 100000000
#define RAKE_PHOTO_PICTURE_MAX_BYTES (256 * 1024 * 1024)

typedef enum
{
  RAKE_PHOTO_FORMAT_JPEG = 1,
  RAKE_PHOTO_FORMAT_PNG,
} RakePhotoFormat;

typedef struct _RakePhotoPicture RakePhotoPicture;

/* What the header says, with nothing decoded.
 *
 * format, width, height  out, each may be NULL
 * returns  FALSE with RAKE_PHOTO_PICTURE_ERROR and a sentence for the person */
gboolean rake_photo_picture_read_header (const void *bytes, gsize n_bytes, RakePhotoFormat *format,
                                         int *width, int *height, GError **error);

/* Decodes a picture.
 *
 * bytes    the file's, not kept
 * shrink   1, or 2, 4 or 8 for a picture of half, a quarter, an eighth of the width and height,
 *          rounded up, which is quicker and smaller
 * returns  a picture that the caller frees with rake_photo_picture_unref(); NULL with
 *          RAKE_PHOTO_PICTURE_ERROR and a sentence for the person */
RakePhotoPicture *rake_photo_picture_new (const void *bytes, gsize n_bytes, int shrink,
                                          GError **error);

/* A picture from rows of red, green, blue without gaps, which are copied.
 *
 * rgb  3 * width * height bytes; width and height 1 or more, at most
 *      RAKE_PHOTO_PICTURE_MAX_PIXELS together */
RakePhotoPicture *rake_photo_picture_new_from_rgb (const guint8 *rgb, int width, int height);

RakePhotoPicture *rake_photo_picture_ref (RakePhotoPicture *picture);
void rake_photo_picture_unref (RakePhotoPicture *picture); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePhotoPicture, rake_photo_picture_unref)

int rake_photo_picture_get_width (const RakePhotoPicture *picture);
int rake_photo_picture_get_height (const RakePhotoPicture *picture);

/* 3 * width * height bytes, rows from the top without gaps, owned by the picture. */
const guint8 *rake_photo_picture_get_rgb (const RakePhotoPicture *picture);
