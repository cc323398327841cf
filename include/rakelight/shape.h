/* shape.h - a place on a face: a point, a line or an area, in millimetres.
 *
 * x runs to the right and y downward, as the face lies on the drawing. Every coordinate is snapped
 * to 1 µm when a shape is made, so equal places are equal bytes. A shape never changes once made
 * and is shared by reference; all functions may be called from any thread.
 *
 * Areas may have holes and several parts, lines several paths (a scratch clipped by a zone). Our
 * own door refuses what is not finite or lies further than RAKE_SHAPE_LIMIT_MM from the origin; a
 * self-crossing ring is mended (structure method), and refused only when nothing of it remains.
 * That is so for every way a shape is made, from a file as from a hand: no shape is let in unlooked
 * at. One small ring is looked at by ourselves, all else and every doubt by GEOS.
 * Rings run either way round: fill an area by the even-odd rule.
 *
 * Source: OGC Simple Feature Access 1.2.1 for WKT and WKB; the arithmetic is GEOS's. */
#pragma once
#include <glib.h>

#define RAKE_SHAPE_ERROR (rake_shape_error_quark ())
GQuark rake_shape_error_quark (void);

typedef enum
{
  RAKE_SHAPE_ERROR_INVALID,   /* not finite, too far out, too few points, or not WKT/WKB */
  RAKE_SHAPE_ERROR_EMPTY,     /* nothing remains: a cut that misses, an area of nothing */
  RAKE_SHAPE_ERROR_GEOMETRY,  /* the arithmetic failed; the message says at what */
} RakeShapeError;

#define RAKE_SHAPE_LIMIT_MM 100000.0

/* No shape has more points or rings: a file that asks for more is refused. */
#define RAKE_SHAPE_MAX_POINTS 200000
#define RAKE_SHAPE_MAX_RINGS 5000

typedef enum
{
  RAKE_SHAPE_POINT = 1,
  RAKE_SHAPE_LINE,
  RAKE_SHAPE_AREA,
} RakeShapeKind;

typedef struct _RakeShape RakeShape;

typedef struct
{
  double min_x_mm, min_y_mm, max_x_mm, max_y_mm;
} RakeBounds;

/* points_mm  2 * n_points numbers: x, y, x, y …; closed or not (a ring is closed for you)
 * returns    a new shape, or NULL with @error set to INVALID or EMPTY */
RakeShape *rake_shape_new_point (double x_mm, double y_mm, GError **error);
RakeShape *rake_shape_new_line (const double *points_mm, guint n_points, GError **error);
RakeShape *rake_shape_new_area (const double *points_mm, guint n_points, GError **error);

/* The first ring is the outside, the rest are holes in it. */
RakeShape *rake_shape_new_area_with_holes (const double *const *rings_mm, const guint *n_points,
                                           guint n_rings, GError **error);

/* What a brush of @radius_mm painted along the points (one point: a disc). */
RakeShape *rake_shape_new_brush_stroke (const double *points_mm, guint n_points, double radius_mm,
                                        GError **error);

RakeShape *rake_shape_ref (RakeShape *shape);
void rake_shape_unref (RakeShape *shape);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeShape, rake_shape_unref)

/* WKB is little-endian, two-dimensional, without a spatial reference. WKT is ours to the letter
 * (see docs/entries.md): up to three decimals, no exponent, so it can be sealed. Reading takes any
 * 2-D WKT/WKB of POINT, LINESTRING, MULTILINESTRING, POLYGON or MULTIPOLYGON and refuses the rest
 * with INVALID. What was written reads back to the same bytes.
 * rake_shape_to_wkt returns text that the caller frees with g_free(). */
RakeShape *rake_shape_from_wkb (GBytes *wkb, GError **error);
GBytes *rake_shape_to_wkb (const RakeShape *shape);
RakeShape *rake_shape_from_wkt (const char *wkt, GError **error);
char *rake_shape_to_wkt (const RakeShape *shape);

RakeShapeKind rake_shape_get_kind (const RakeShape *shape);
gboolean rake_shape_equal (const RakeShape *a, const RakeShape *b);

/* The rings of an area (parts in order, each outside first and then its holes), or the paths of a
 * line or point: one, except where a line was clipped.
 *
 * index      below rake_shape_get_n_rings()
 * n_points   out: number of points; a ring repeats its first point at the end
 * is_hole    out, may be NULL
 * returns    2 * n_points numbers in mm, owned by the shape */
guint rake_shape_get_n_rings (const RakeShape *shape);
const double *rake_shape_get_ring (const RakeShape *shape, guint index, guint *n_points,
                                   gboolean *is_hole);

RakeBounds rake_shape_get_bounds (const RakeShape *shape);

/* 0 for points and lines. */
double rake_shape_get_area_mm2 (const RakeShape *shape);

/* Of a line: its length. Of an area: the length of all its rings. 0 for a point. */
double rake_shape_get_length_mm (const RakeShape *shape);

/* The longest straight distance between two points of the shape. */
double rake_shape_get_extent_mm (const RakeShape *shape);

/* A point well inside an area, for its label; for a line or a point, one on it. */
void rake_shape_get_inner_point (const RakeShape *shape, double *x_mm, double *y_mm);

gboolean rake_shape_contains (const RakeShape *area, double x_mm, double y_mm);

/* Distance to the nearest point of the shape's edge (area) or of itself (line, point). */
double rake_shape_get_distance_to_edge_mm (const RakeShape *shape, double x_mm, double y_mm);

/* The least distance from a shape to the edges of an area, holes' too: 0 where an edge runs through it.
 * NaN when the arithmetic failed. */
double rake_shape_get_edge_gap_mm (const RakeShape *shape, const RakeShape *area);

/* TRUE when the two share more than a touch: an area of area∩area, a length of line∩area, a point
 * inside an area. */
gboolean rake_shape_overlaps (const RakeShape *shape, const RakeShape *area);

/* TRUE when two areas share an edge longer than 0.05 mm; less is two corners that touch. Edges
 * that lie within the grid's rounding of each other are shared. */
gboolean rake_shape_is_neighbour (const RakeShape *a, const RakeShape *b);

/* New shapes; NULL with EMPTY when nothing remains, GEOMETRY when the arithmetic failed. Areas in,
 * areas out, except that intersection takes a line or point first and gives one back. */
RakeShape *rake_shape_union (const RakeShape *a, const RakeShape *b, GError **error);
RakeShape *rake_shape_union_all (RakeShape *const *shapes, guint n_shapes, GError **error);
RakeShape *rake_shape_intersection (const RakeShape *shape, const RakeShape *area, GError **error);
RakeShape *rake_shape_difference (const RakeShape *a, const RakeShape *b, GError **error);

/* Grown (positive) or shrunk (negative) by @distance_mm, corners round. */
RakeShape *rake_shape_buffer (const RakeShape *shape, double distance_mm, GError **error);

/* The connected parts of an area, largest first: an array of RakeShape that the caller unrefs. */
GPtrArray *rake_shape_get_parts (const RakeShape *area);

/* Moved so that x becomes a·x + c·y + e and y becomes b·x + d·y + f (SVG's matrix order). */
RakeShape *rake_shape_transform (const RakeShape *shape, const double matrix[6], GError **error);
