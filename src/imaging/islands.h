/* islands.h - what is to be known of each island that a tree found. */
#pragma once
#include "reader.h"

typedef struct
{
  int min_x, min_y, max_x, max_y;
  double area_mm2;
  double level;      /* mean of the flat light in it */
  double around;     /* the same of the cells close around that are no island's */
  double shore_mm;
  double gain;       /* mean along the shore */
  double whole;      /* share of the shore where the gain is positive */
  double length_mm, width_mm; /* of an ellipse of the same spread */
  double edge_mm;    /* mean distance to the rim or a cavity */
  guint zone;        /* index + 1 of the zone that its first cell lies in, or 0 */
} RakeIsland;

/* n_labels + 1 of them; the first, for 0, is empty. Free with g_free(). */
RakeIsland *rake_islands_measure (const RakeReader *reader, const guint32 *labels,
                                  guint32 n_labels, const float *gain);
