/* reader.h - what the steps of a reading hand on to one another: planes over the face. */
#pragma once
#include "raster.h"

#include <rakelight/photo-reading.h>

typedef struct
{
  const RakePhotoQuestion *question;
  const RakePhotoFit *fit; /* the question's, or a better one made on the edges */
  RakeRaster raster;
  double cells_per_mm;
  double px_mm;      /* mm of the face in a pixel, in the middle of it */
  double doubt_mm;   /* so much further than usual from rim and cavities it is not sure what is face */
  double strictness; /* 1 for the usual sensitivity; more proposes less */
  /* By cell; all g_free()d by rake_reader_clear(). */
  guint8 *face;      /* 1 where face is, not cavity */
  guint8 *mask;      /* the same, and in the picture */
  guint8 *zone;      /* index + 1, or 0; of 255 zones or more the rest is not told apart */
  guint8 *washed;    /* 1 where the picture is white or black without any drawing */
  float *light;      /* natural logarithm of the brightness */
  float *flat;       /* the same, less what lies around */
  float *steep;      /* how steep the light is, in what is usual around in that direction */
  float *usual;      /* what is usual, all directions together, per mm */
  float *gloss_dark; /* log odds that gloss is dark here rather than bright */
  float *edge_mm;    /* distance to the rim, a cavity or the picture's frame, less the doubt */
} RakeReader;

void rake_reader_clear (RakeReader *reader);

/* The steps, in their order; each needs what those before it made. */
void rake_reader_sample (RakeReader *reader);
void rake_reader_flatten (RakeReader *reader);
void rake_reader_find_polarity (RakeReader *reader);

/* Labels every cell of an island, 0 elsewhere, and adds a RakePhotoSpot for each. */
void rake_reader_find_islands (RakeReader *reader, guint32 *labels, GPtrArray *spots);

/* Adds a RakePhotoScratch for each. FALSE when cancelled. */
gboolean rake_reader_find_scratches (RakeReader *reader, GCancellable *cancellable,
                                     GPtrArray *scratches);

/* Fills in what was asked of each zone, and declines what cannot be read. */
void rake_reader_judge_zones (RakeReader *reader, const guint32 *labels,
                              RakePhotoReading *reading);

/* The sentence that goes with an obstacle; NULL for RAKE_PHOTO_READABLE. Free with g_free(). */
char *rake_reader_advise (RakePhotoObstacle obstacle, gboolean is_zone);
