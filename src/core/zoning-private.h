/* zoning-private.h - the net that divisions are cut from; for the zoning files only. */
#pragma once
#include <rakelight/zoning.h>

#include "shape-private.h"

/* A piece narrower than this came from a trembling hand or from two edges that were meant as one;
 * it goes to the neighbour it hangs on. */
#define RAKE_SLIVER_WIDTH_MM 0.1

/* An empty array that unrefs its shapes. */
GPtrArray *rake_zoning_new_areas (void);

static inline RakeShape *
rake_zoning_get_area (const GPtrArray *areas, guint index)
{
  return areas->pdata[index];
}

/* The pieces that the lines cut @area into, on the grid; one piece when they cut nothing. */
GPtrArray *rake_zoning_find_meshes (const RakeShape *area, const RakeShape *cuts, GError **error);

/* Gives each sliver and each area smaller than @least_mm2 to the neighbour it shares the longest
 * edge with; one without neighbours stays. */
gboolean rake_zoning_settle_small (GPtrArray *areas, double least_mm2, GError **error);

/* By the cell of a grid over @bounds that the inner point lies in, row by row, then by the point
 * itself, top to bottom. */
void rake_zoning_put_in_order (GPtrArray *areas, const RakeBounds *bounds, guint n_columns,
                               guint n_rows);

/* The area with its holes filled in. */
RakeShape *rake_zoning_fill_holes (const RakeShape *area);
