/* photo-fit.h - where a photograph's pixels lie on the face.
 *
 * The face is flat, so a photograph of it is a projective image of the drawing. The fit is found
 * from points that a person clicked in both: the sum of the squared distances, in pixels, between
 * where a point was clicked and where the fit puts it, is as small as can be. A wide lens bends
 * straight lines; with six points or more one radial term can be found beside the projection.
 *
 * Pixels: x right, y down, 0, 0 the outer corner of the first pixel, so that pixel centres lie at
 * .5. Millimetres: x right, y down, as the face lies on the drawing. A fit never changes once made;
 * all functions may be called from any thread.
 *
 * Source: R. Hartley and A. Zisserman, Multiple View Geometry (2nd edition), 4.2 and 4.4 for the
 * normalised start and the least squares, 8.8 for the focal length from two orthogonal directions;
 * from memory. */
#pragma once
#include <rakelight/entry.h>

#define RAKE_PHOTO_FIT_ERROR (rake_photo_fit_error_quark ())
GQuark rake_photo_fit_error_quark (void);

typedef enum
{
  RAKE_PHOTO_FIT_ERROR_TOO_FEW,    /* fewer than four pairs */
  RAKE_PHOTO_FIT_ERROR_NOT_FINITE, /* a coordinate that is no number, or far out */
  RAKE_PHOTO_FIT_ERROR_NO_FIT,     /* three in a line, two on one spot, or crossed over */
} RakePhotoFitError;

#define RAKE_PHOTO_FIT_MIN_PAIRS 4
#define RAKE_PHOTO_FIT_MAX_PAIRS 1000

/* One place, in the photograph and on the drawing. */
typedef struct
{
  double image_x_px, image_y_px;
  double body_x_mm, body_y_mm;
} RakePhotoPair;

typedef enum
{
  RAKE_PHOTO_FIT_PROJECTIVE = 0,
  RAKE_PHOTO_FIT_RADIAL = 1 << 0, /* one radial term too; asks for six pairs, else left out */
} RakePhotoFitFlags;

typedef struct _RakePhotoFit RakePhotoFit;

/* width, height  the picture's, whose middle the lens bends around; 1 or more
 * returns  a fit that the caller frees with rake_photo_fit_free(); NULL with RAKE_PHOTO_FIT_ERROR
 *          and a sentence for the person */
RakePhotoFit *rake_photo_fit_new (const RakePhotoPair *pairs, guint n_pairs, int width, int height,
                                  RakePhotoFitFlags flags, GError **error);

/* NULL is fine. */
void rake_photo_fit_free (RakePhotoFit *fit);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePhotoFit, rake_photo_fit_free)

/* Both ways. FALSE, and nothing written, where there is no such place: beyond the horizon of the
 * face, or so far out of the picture that the lens tells nothing. */
gboolean rake_photo_fit_to_image (const RakePhotoFit *fit, double x_mm, double y_mm, double *x_px,
                                  double *y_px);
gboolean rake_photo_fit_to_body (const RakePhotoFit *fit, double x_px, double y_px, double *x_mm,
                                 double *y_mm);

/* How far off a pair is: from where it was clicked to where the fit puts it, in pixels, or on the
 * face in millimetres. With four pairs all are 0 and prove nothing. */
guint rake_photo_fit_get_n_pairs (const RakePhotoFit *fit);
double rake_photo_fit_get_residual_px (const RakePhotoFit *fit, guint index);
double rake_photo_fit_get_residual_mm (const RakePhotoFit *fit, guint index);

/* Root of the mean of the squared residuals, in pixels, and on the face in millimetres. */
double rake_photo_fit_get_rms_px (const RakePhotoFit *fit);
double rake_photo_fit_get_rms_mm (const RakePhotoFit *fit);

/* Tells @body the projection, the radial term and how far off the pairs are; the pairs themselves, and
 * what they lay where, are left to others. */
void rake_photo_fit_fill_registration (const RakePhotoFit *fit, RakeRegistrationBody *body);

/* The projection from millimetres to pixels without the radial term, rows first, the last 1 or the
 * whole scaled to length 1 where that cannot be; and the radial term, 0 for none: a point at r,
 * counted from the picture's middle in halves of its diagonal, is seen at r (1 + radial r²). */
void rake_photo_fit_get_matrix (const RakePhotoFit *fit, double matrix[9]);
double rake_photo_fit_get_radial (const RakePhotoFit *fit);

/* Millimetres of the face that a pixel covers at a place of it, in the direction where that is
 * most; 0 where the place is not seen. */
double rake_photo_fit_get_mm_per_px (const RakePhotoFit *fit, double x_mm, double y_mm);
