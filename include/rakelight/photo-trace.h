/* photo-trace.h - the outline of a face drawn over a photograph of it: from a size and the points that a
 * person set along the edge to millimetres.
 *
 * Pixels are those of whatever picture the points were set in, x right, y down. Nothing here keeps
 * anything; all functions may be called from any thread. Refusals are RAKE_SHAPE_ERROR_INVALID, or those
 * of photo-fit.h, with a sentence for the person. */
#pragma once
#include <rakelight/photo-fit.h>
#include <rakelight/shape.h>

#define RAKE_PHOTO_TRACE_MAX_POINTS 500

/* What the size of a photograph is taken from, as four pairs for a fit. */
typedef struct
{
  RakePhotoPair pairs[4];
  int width_px, height_px; /* of the picture */
} RakePhotoTraceSize;

/* Two points and how far they are from each other on the face, which is seen from straight above.
 *
 * ends_px  x, y, x, y */
gboolean rake_photo_trace_size_from_length (RakePhotoTraceSize *size, int width_px, int height_px,
                                            const double *ends_px, double length_mm, GError **error);

/* The corners of a rectangle that lies on the face, set in any order.
 *
 * corners_px  four pairs x, y
 * width_mm    of its upper side as it is seen in the picture; height_mm of the others */
gboolean rake_photo_trace_size_from_rectangle (RakePhotoTraceSize *size, int width_px, int height_px,
                                               const double *corners_px, double width_mm,
                                               double height_mm, GError **error);

/* The outline that runs through the points and back to the first.
 *
 * size       out: its millimetres are moved so that the outline begins at 0, 0
 * points_px  n_points pairs x, y, 3 or more
 * is_smooth  a curve through the points, except where the edge turns sharply; else straight lines
 * returns    an area of one ring that crosses itself nowhere, which the caller unrefs; NULL with an
 *            error, and @size as it was */
RakeShape *rake_photo_trace_outline (RakePhotoTraceSize *size, const double *points_px, guint n_points,
                                     gboolean is_smooth, GError **error);
