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
  RAKE_PHOTO_READING_ERROR_TOGETHER, /* readings that are not of one face */
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
  RAKE_PHOTO_DISAGREE,       /* of several photographs: each sure, but of something else */
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
  guint n_showing, n_able; /* photographs that show it, and that could; 1 of 1 for a single one */
  guint showing;          /* which show it: bit n is that of readings[n] combined; 1 for a single one */
  char *why;              /* a short sentence for the person */
} RakePhotoSpot;

typedef struct
{
  RakeShape *line;
  double length_mm;
  double contrast;
  double confidence;
  guint n_showing; /* photographs that show it: only those lit across it can */
  guint showing;   /* which, as above */
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

/* What each cell of the face showed, kept for rake_photo_reading_combine(). */
typedef struct _RakePhotoSight RakePhotoSight;

typedef struct
{
  GPtrArray *spots;     /* RakePhotoSpot, by place: row by row from the top */
  GPtrArray *scratches; /* RakePhotoScratch, longest first */
  RakePhotoZone *zones; /* n_zones, in the question's order */
  guint n_zones;
  RakePhotoObstacle obstacle; /* of the picture; not READABLE: every zone is declined */
  char *advice;
  RakePhotoSight *sight; /* NULL when the picture is declined */
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

#define RAKE_PHOTO_MAX_TOGETHER 8

/* What several photographs of one face show together, best with the lamp on different sides. Each was
 * read by itself, with the same outline, cavities and zones.
 *
 * An island has the shape of the photograph that shows it most surely; the others raise its confidence
 * where they show it too, and lower it where they could but do not. What one must decline is taken
 * from another. The glossy share is the mean, by cell, of those that can be read there, weighed by how
 * sure each is; in a zone where one is half as sure as another, or less, it only fills gaps. Where two
 * are sure and differ, the zone is declined (RAKE_PHOTO_DISAGREE). A scratch needs one photograph.
 *
 * readings  1 to RAKE_PHOTO_MAX_TOGETHER, not kept, their order of no account but where two are alike
 * returns   a reading that the caller frees; NULL with RAKE_PHOTO_READING_ERROR_TOGETHER */
RakePhotoReading *rake_photo_reading_combine (const RakePhotoReading *const *readings,
                                              guint n_readings, GError **error);

void rake_photo_reading_free (RakePhotoReading *reading); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePhotoReading, rake_photo_reading_free)

/* "away", "mirror", "mixed", "unknown" and "readable", "not in frame" …, for files; untranslated. */
const char *rake_photo_regime_get_name (RakePhotoRegime regime);
const char *rake_photo_obstacle_get_name (RakePhotoObstacle obstacle);
