/* zoning.h - dividing a face into zones. Zones never overlap and leave no gap: what goes in comes
 * out again, to within 1 µm along the new edges.
 *
 * Every function returns an array of RakeShape that the caller frees with g_ptr_array_unref(), in
 * a fixed order (from top to bottom, then left to right, by inner point; bands: edge part first),
 * or NULL with RAKE_SHAPE_ERROR set: EMPTY, with a sentence that tells the finisher what to do, when
 * the division would leave the area as it is. */
#pragma once
#include <rakelight/shape.h>

/* The most columns or rows of a grid. */
#define RAKE_ZONING_MOST_CELLS 40

/* Cut along a drawn line. With @extend its ends are carried on straight until they leave the area
 * (over holes, when the nearer edge would divide nothing), and a line whose ends nearly meet is
 * first taken for a loop that cuts out what it goes round. Pieces under 0.1 mm wide or 1 mm² join
 * their neighbour. Of an area in several parts, those that no cut divides stay together. */
GPtrArray *rake_zoning_cut (const RakeShape *area, const RakeShape *line, gboolean extend,
                            GError **error);

/* Two parts: the band of @width_mm along the edge of @face (outside edge, and the holes' edges when
 * @along_holes), as far as it lies in @area; and the rest. Either part may be of several pieces. */
GPtrArray *rake_zoning_band (const RakeShape *area, const RakeShape *face, double width_mm,
                             gboolean along_holes, GError **error);

/* Cut by an upright grid over the area's bounds. Slivers (under 2 % of a cell) join the neighbour
 * they share the longest edge with; zones come row by row. Cells under 2 mm are refused with EMPTY.
 * @n_columns and @n_rows 1 to RAKE_ZONING_MOST_CELLS, not both 1. */
GPtrArray *rake_zoning_grid (const RakeShape *area, guint n_columns, guint n_rows, GError **error);

/* One area out of neighbours; EMPTY when they do not hang together by shared edges. */
RakeShape *rake_zoning_join (RakeShape *const *areas, guint n_areas, GError **error);

/* Checks that the areas tile @face: overlap, gap and what sticks out each under 1 µm × the length
 * of all edges, and none of it anywhere wider than 0.02 mm on the mean. FALSE with
 * RAKE_SHAPE_ERROR_INVALID and a sentence naming the size of the fault. */
gboolean rake_zoning_check_tiles (const RakeShape *face, RakeShape *const *areas, guint n_areas,
                                  GError **error);

/* Moves a drawn point onto what it probably meant, within @reach_mm: first a corner of @face or of
 * one of @areas, then where the upright mid line of the face's bounds crosses an edge, then the
 * edges, then the mid lines. TRUE when it moved. */
gboolean rake_zoning_snap (const RakeShape *face, RakeShape *const *areas, guint n_areas,
                           double reach_mm, double *x_mm, double *y_mm);
