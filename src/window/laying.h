/* laying.h - a photograph being laid on its face: pairs of points, and the fit that follows them.
 *
 * Nothing here draws or writes. A pair begins with its place on the drawing; it counts once its place
 * in the photograph was put, too. Pixels are those of the picture as it lies in its file. */
#pragma once
#include <rakelight/photo-fit.h>
#include <rakelight/photo-pairs.h>
#include <rakelight/photo.h>

typedef struct
{
  double x_px, y_px, x_mm, y_mm;
  gboolean is_placed;
  double off_mm; /* from where the fit puts it; NaN: not placed, or no fit */
} RakeLayPair;

typedef struct
{
  double width_px, height_px; /* of the picture as it lies */
  RakeTurn turn;
  RakeShape *outline;
  GArray *pairs; /* RakeLayPair, at least four */
  gboolean wants_radial;
  RakePhotoFit *fit;  /* of the placed pairs; NULL: none */
  char *fault;        /* why there is none though four are placed */
  RakePhotoPairsVerdict verdict;
  guint odd;          /* with RAKE_PHOTO_PAIRS_ONE_IS_ODD: which, and how far */
  double odd_mm;
  gboolean is_changed; /* since it was begun or kept */
} RakeLaying;

#define RAKE_LAYING_MAX_PAIRS 24

/* Goes on from the photograph's registration, else from suggestions on the face's outline. The
 * photograph has a face. Caller frees. */
RakeLaying *rake_laying_new (const RakePhoto *photo);
void rake_laying_free (RakeLaying *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeLaying, rake_laying_free)

guint rake_laying_get_n_placed (const RakeLaying *self);
const RakeLayPair *rake_laying_get_pair (const RakeLaying *self, guint index);

/* One more pair where the face has none near; returns its index, or G_MAXUINT when there are enough.
 * With a fit it lies in the photograph where that puts it, and does not count before it is put. */
guint rake_laying_add (RakeLaying *self);
void rake_laying_remove (RakeLaying *self, guint index); /* not below four */

/* Puts a pair's place; in the photograph it counts from then on. Kept within the picture. */
void rake_laying_put_in_photo (RakeLaying *self, guint index, double x_px, double y_px);
void rake_laying_put_on_face (RakeLaying *self, guint index, double x_mm, double y_mm);
void rake_laying_put_back (RakeLaying *self, guint index, const RakeLayPair *before);
void rake_laying_set_radial (RakeLaying *self, gboolean wants_radial);

/* Takes the pairs of a registration made of another photograph of the same view. */
void rake_laying_take (RakeLaying *self, const RakeRegistrationBody *registration);

/* The fit as the job applies it, and as an entry for the job; NULL without a fit. Caller frees. */
RakePhotoMap *rake_laying_new_map (const RakeLaying *self);
RakeEntry *rake_laying_new_entry (const RakeLaying *self, const RakePhoto *photo);

/* Root of the mean of the squared distances, mm; NaN without a fit. */
double rake_laying_get_rms_mm (const RakeLaying *self);
