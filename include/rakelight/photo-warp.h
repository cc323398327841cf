/* photo-warp.h - a photograph as it would look from straight above: laid flat in the face's millimetres.
 *
 * Made once for a registration, in a worker, and then shown like any picture: under the map, or beside
 * another photograph laid the same way. */
#pragma once
#include <gio/gio.h>
#include <rakelight/photo-picture.h>
#include <rakelight/photo.h>

/* Rows of native 32-bit alpha, red, green, blue, as cairo and GDK have them, colours multiplied with
 * alpha; clear where the photograph shows nothing, and off the face. */
typedef struct
{
  int width, height;
  double x_mm, y_mm;  /* where its upper left corner lies on the face */
  double px_per_mm;
  guint32 *pixels;    /* width * height */
} RakePhotoSheet;

/* outline    an area; outside of it, and in its holes, nothing is shown
 * picture    as it lies in the file, at its own size or shrunk
 * map        of the photograph at its own size
 * width_px, height_px  the photograph's own size
 * long_side_px  of the sheet, 16 to 8192
 * cancellable   may be NULL
 * returns  a sheet that the caller frees; NULL when cancelled */
RakePhotoSheet *rake_photo_sheet_new (const RakeShape *outline, const RakePhotoPicture *picture,
                                      const RakePhotoMap *map, double width_px, double height_px,
                                      int long_side_px, GCancellable *cancellable);
void rake_photo_sheet_free (RakePhotoSheet *sheet);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePhotoSheet, rake_photo_sheet_free)
