/* line-filter.h - how much each cell looks like a bit of a long thin line, and which way it runs. */
#pragma once
#include "reader.h"

#define RAKE_LINE_ANGLES 36

typedef struct
{
  float *strength;  /* in standard deviations of what is usual around for that angle; dark < 0 */
  float *light;     /* what it was measured in: the light, hardly smoothed */
  float most;       /* how much a cell may count */
  guint8 *angle;    /* times 180 / RAKE_LINE_ANGLES degrees, from x towards y */
} RakeLines;

/* How far to both sides of a line is looked. */
#define RAKE_LINE_SIDE_MM 1.3

/* FALSE when cancelled. Free the three planes with g_free(). */
gboolean rake_lines_measure (const RakeReader *reader, GCancellable *cancellable,
                             RakeLines *lines);
