/* photo-reading.h - what a photograph under a low lamp shows: proposals for a person to accept.
 *
 * Matte scatters the lamp's light everywhere, a glossy island sends it on like a mirror. So the same
 * island is dark in a brighter field from nearly everywhere (RAKE_PHOTO_REGIME_AWAY), and bright in
 * a darker field where the camera stands in the lamp's mirror direction (RAKE_PHOTO_REGIME_MIRROR).
 * Between lies a belt where it cannot be seen. A reading says for each zone which of them it
 * believes in, and declines what it cannot read, with what would help.
 *
 * Nothing here is entered anywhere, and nothing is learnt: the same picture gives the same reading
 * on every run and machine that counts alike. How it works: docs/photo-reading.md. */
#pragma once
#include <gio/gio.h>
#include <rakelight/photo-fit.h>
#include <rakelight/photo-picture.h>
#include <rakelight/shape.h>

#define RAKE_PHOTO_READING_ERROR (rake_photo_reading_error_quark ())
GQuark rake_photo_reading_error_quark (void);

typedef enum
{
  RAKE_PHOTO_READING_ERROR_QUESTION, /* shapes or numbers that make no sense together */
} RakePhotoReadingError;

typedef enum
{
  RAKE_PHOTO_REGIME_UNKNOWN = 0,
  RAKE_PHOTO_REGIME_AWAY,   /* gloss is dark in brighter matte */
  RAKE_PHOTO_REGIME_MIRROR, /* gloss is bright in darker matte */
  RAKE_PHOTO_REGIME_MIXED,  /* both within the zone */
} RakePhotoRegime;

typedef enum
{
  RAKE_PHOTO_READABLE = 0,
  RAKE_PHOTO_NOT_IN_FRAME,   /* too little of the face is in the picture */
  RAKE_PHOTO_TOO_SMALL,      /* the face covers too few pixels */
  RAKE_PHOTO_CLIPPED,        /* white without any drawing in it */
  RAKE_PHOTO_TOO_DARK,       /* black without any drawing in it */
  RAKE_PHOTO_BLURRED,        /* out of focus or moved */
  RAKE_PHOTO_NOT_SANDED,     /* gloss everywhere, or no matte to see it against */
  RAKE_PHOTO_EQUAL_BELT,     /* gloss and matte equally bright */
} RakePhotoObstacle;

#define RAKE_PHOTO_USUAL_SENSITIVITY 0.5

typedef struct
{
  const RakePhotoPicture *picture;
  const RakePhotoFit *fit; /* made from the whole picture's pixels */
  const RakeShape *outline;
  const RakeShape *const *holes; /* cavities; may lie partly outside */
  guint n_holes;
  const RakeShape *const *zones;
  guint n_zones;
  double stroke_deg;  /* along which the last strokes went, from the face's right, anticlockwise;
                         NAN unknown */
  double sensitivity; /* 0 to 1: low proposes less, high more */
} RakePhotoQuestion;

typedef struct
{
  RakeShape *area;
  double area_mm2;
  double contrast;        /* natural logarithm of its brightness over that of the matte around */
  RakePhotoRegime regime; /* AWAY when darker, MIRROR when brighter */
  double confidence;      /* 0 to 1; not a probability: for ordering */
  char *why;              /* a short sentence for the person */
} RakePhotoSpot;

typedef struct
{
  RakeShape *line;
  double length_mm;
  double contrast;
  double confidence;
  char *why;
} RakePhotoScratch;

typedef struct
{
  double seen_fraction;    /* of the zone's area less cavities: what is in the picture and legible */
  double glossy_fraction;  /* of what is legible */
  RakePhotoRegime regime;
  double confidence;       /* in the regime, 0 to 1 */
  RakePhotoObstacle obstacle; /* not READABLE: declined, and the fraction is not to be used */
  char *advice;            /* what would help; NULL when readable */
} RakePhotoZone;

typedef struct
{
  GPtrArray *spots;     /* RakePhotoSpot, by place: row by row from the top */
  GPtrArray *scratches; /* RakePhotoScratch, longest first */
  RakePhotoZone *zones; /* n_zones, in the question's order */
  guint n_zones;
  RakePhotoObstacle obstacle; /* of the picture; not READABLE: every zone is declined */
  char *advice;
} RakePhotoReading;

/* Told now and then how far it is, 0 to 1, in the thread that reads. */
typedef void (*RakePhotoProgress) (double fraction, gpointer data);

/* Reads a photograph. Takes a second or so: not for the thread that draws. A picture that cannot be
 * read is an answer, not an error.
 *
 * progress  may be NULL
 * returns   a reading that the caller frees with rake_photo_reading_free(); NULL with
 *           RAKE_PHOTO_READING_ERROR and a sentence, or G_IO_ERROR_CANCELLED */
RakePhotoReading *rake_photo_read (const RakePhotoQuestion *question, RakePhotoProgress progress,
                                   gpointer data, GCancellable *cancellable, GError **error);

void rake_photo_reading_free (RakePhotoReading *reading); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePhotoReading, rake_photo_reading_free)

/* "away", "mirror", "mixed", "unknown" and "readable", "not in frame" …, for files; untranslated. */
const char *rake_photo_regime_get_name (RakePhotoRegime regime);
const char *rake_photo_obstacle_get_name (RakePhotoObstacle obstacle);
