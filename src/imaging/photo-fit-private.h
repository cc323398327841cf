/* photo-fit-private.h - what the reader asks of a fit beside what everybody may. */
#pragma once
#include <rakelight/photo-reading.h>

/* Where the camera stood: x and y on the face, z above it, in mm. The focal length comes from the
 * projection itself, taking square pixels and the lens's middle in the picture's; where the face is
 * seen almost from straight above, and it tells nothing, a usual lens is taken. */
void rake_photo_fit_find_camera (const RakePhotoFit *fit, double camera_mm[3]);

/* The projection from millimetres to halves of the picture's diagonal counted from its middle,
 * without the radial term; its last row is positive wherever the camera sees. */
void rake_photo_fit_get_normal_matrix (const RakePhotoFit *fit, double matrix[9]);

/* A bit of an edge whose place on the face is known: where it is seen, and across it. */
typedef struct
{
  double x_mm, y_mm;
  double x_px, y_px;
  double to_x, to_y; /* across the edge in the picture, of length 1 */
  double weight;     /* of its squared distance, beside 1 for a click's */
} RakePhotoEdge;

/* The fit from the same pairs and the edges together; NULL when they fit no camera. */
RakePhotoFit *rake_photo_fit_new_with_edges (const RakePhotoFit *fit, const RakePhotoEdge *edges,
                                             guint n_edges);

/* The question's fit, made better by the edges in its picture; NULL when too few are found.
 *
 * edge_px  out: how many pixels wide those edges are in the middle; untouched when too few are found
 * off_px   out: how far from them the fit is in the middle, in its last round; untouched likewise */
RakePhotoFit *rake_photo_fit_new_on_edges (const RakePhotoQuestion *question, double *edge_px,
                                           double *off_px);
