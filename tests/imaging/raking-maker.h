/* raking-maker.h - pictures of a face under a low lamp, computed, with islands and scratches known
 * to the micrometre: so that a reader can be tested with nothing from outside. */
#pragma once
#include "raking-camera.h"

#include <rakelight/photo-reading.h>

#define RAKING_MAX_ISLANDS 200

/* A round cavity is in every face, black inside. */
#define RAKING_HOLE_X_MM 180.0
#define RAKING_HOLE_Y_MM 60.0
#define RAKING_HOLE_MM 14.0 /* its radius */

typedef struct
{
  double x_mm, y_mm, radius_mm; /* a little oval, so that it is no screw hole */
} RakingIsland;

typedef struct
{
  /* What is asked for. */
  guint32 seed;
  double width_mm, height_mm;
  gboolean is_mirror;        /* gloss bright in darker matte, else dark in brighter */
  guint n_islands;
  double contrast;           /* of gloss to matte, natural logarithm */
  double texture;            /* of the matte, likewise, as a standard deviation */
  double blur_px;            /* out of focus */
  gboolean is_lamp_left;     /* the light falls off to the right, else to the left */
  double exposure;           /* 1 is right */
  double scratch_mm;         /* length of one scratch from the left upper part; 0 for none */
  guint shot;                /* another photograph of the same face, with other noise and clicks */
  double glare_from_mm, glare_to_mm; /* from left to right: white without any drawing; equal: none */
  guint n_hidden;            /* so many islands are there, but not to be seen */
  gboolean is_hole_in_outline; /* the cavity is a ring of the outline, and not asked of besides */
  gboolean is_edge_hidden;   /* what lies beside the face is as bright as the face */
  double click_px;           /* how far off the clicks are, as a standard deviation */
  Camera camera;
  /* What comes of it; raking_clear() frees it. */
  RakingIsland islands[RAKING_MAX_ISLANDS];
  double scratch[4]; /* from x, y to x, y */
  RakePhotoPicture *picture;
  RakePhotoFit *fit;
  RakeShape *outline, *hole, *zones[2]; /* left and right half */
} Raking;

/* A face of 260 by 180 mm seen from the front, level-sanded, away from the mirror. */
void raking_init (Raking *raking);
void raking_make (Raking *raking);
void raking_clear (Raking *raking);

/* The question that goes with it; it points into @raking. */
RakePhotoQuestion raking_ask (const Raking *raking);

/* Of all islands' area what the reading's spots cover, and of the spots' area what is island. */
void raking_compare (const Raking *raking, const RakePhotoReading *reading, double *found,
                     double *right);

/* The share of a half that is island. */
double raking_get_fraction (const Raking *raking, guint zone);
