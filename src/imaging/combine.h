/* combine.h - what the parts of combining several readings of one face hand on to one another. */
#pragma once
#include "raster.h"

#include <rakelight/photo-reading.h>

/* How surely a cell is legible, 0 (not at all) to this. */
#define RAKE_SIGHT_SUREST 63
#define RAKE_SIGHT_SURE 0x3f
#define RAKE_SIGHT_SEEN 0x40  /* in the picture */
#define RAKE_SIGHT_GLOSS 0x80

struct _RakePhotoSight
{
  RakeRaster raster;
  guint8 *zone;  /* index + 1, or 0 beside the face and in cavities */
  guint8 *cells; /* of the bits above */
};

void rake_photo_sight_free (RakePhotoSight *sight);

/* One with no spots, scratches or zones said of yet. */
RakePhotoReading *rake_photo_reading_new (guint n_zones);
void rake_photo_reading_decline (RakePhotoReading *reading, RakePhotoObstacle obstacle);

/* The parts: each adds to @together what the readings, none of them declined, say. */
void rake_combine_spots (const RakePhotoReading *const *readings, guint n_readings,
                         RakePhotoReading *together);
void rake_combine_scratches (const RakePhotoReading *const *readings, guint n_readings,
                             RakePhotoReading *together);
void rake_combine_zones (const RakePhotoReading *const *readings, guint n_readings,
                         RakePhotoReading *together);
