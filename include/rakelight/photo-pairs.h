/* photo-pairs.h - helping a person to find pairs of points, and to see which of them is wrong.
 *
 * Which places of a drawing are found again in a photograph: corners first, where an edge turns
 * sharply; else where it reaches furthest out. And, once there are pairs enough, which one disagrees
 * with all the others. */
#pragma once
#include <rakelight/photo-fit.h>
#include <rakelight/shape.h>

#define RAKE_PHOTO_PAIRS_MAX_SUGGESTIONS 8

/* Places on the outline that are easily found again and lie far apart, clockwise from the upper left.
 *
 * outline    an area; the edge of its largest part counts, holes do not
 * n_wanted   4 to RAKE_PHOTO_PAIRS_MAX_SUGGESTIONS
 * points_mm  out: room for 2 * n_wanted numbers
 * returns    how many there are, 4 to n_wanted, no two in one spot */
guint rake_photo_pairs_suggest (const RakeShape *outline, guint n_wanted, double *points_mm);

typedef enum
{
  RAKE_PHOTO_PAIRS_AGREE,      /* or too few to say: with four every fit is perfect */
  RAKE_PHOTO_PAIRS_DISAGREE,   /* one of five is wrong; which one, a sixth would tell */
  RAKE_PHOTO_PAIRS_ONE_IS_ODD, /* without it the others agree */
} RakePhotoPairsVerdict;

/* A click is off by a pixel or so, and a lens bends lines by a pixel or three, of a picture a few
 * thousand pixels wide. What is off by far more was put on another place than on the drawing.
 *
 * flags    as the fit was made
 * odd      out, of meaning with RAKE_PHOTO_PAIRS_ONE_IS_ODD alone: the pair's index
 * off_mm   out, likewise: how far it is from where the others put it, on the face
 * source   leaving one out and predicting it; the limits are common practice, no source */
RakePhotoPairsVerdict rake_photo_pairs_judge (const RakePhotoPair *pairs, guint n_pairs, int width,
                                              int height, RakePhotoFitFlags flags, guint *odd,
                                              double *off_mm);
