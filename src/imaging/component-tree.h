/* component-tree.h - islands by the strength of their shores.
 *
 * Flood a plane of numbers from the lowest up: pools appear, grow and run together. Each pool at
 * each water level is a candidate; what counts for it is the sum, along its shore, of how much
 * steeper the ground is there than usual. Of pools that lie in one another the sum decides whether
 * the one or the several in it are taken, so every island gets the level of its own shore.
 *
 * Source: the tree is that of Berger et al., "Effective component tree computation" (2007), the
 * choice of a set without nesting by its sum that of Jones, "Connected filtering and segmentation
 * using component trees" (1999); both from memory. */
#pragma once
#include "raster.h"

typedef struct
{
  double min_area_cells, max_area_cells;
  double min_gain; /* the least mean gain along a shore */
} RakeTreeLimits;

/* values  low is inside; what is above the highest level, or masked out, is never inside
 * mask    0 where nothing is to be found
 * gain    how much steeper than usual the ground is at a cell; negative where it is flatter
 * labels  out: 0, or the number of the island, from 1
 * returns how many islands */
guint32 rake_component_tree_find (const RakeRaster *raster, const float *values,
                                  const guint8 *mask, const float *gain,
                                  const RakeTreeLimits *limits, guint32 *labels);
