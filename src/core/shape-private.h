/* shape-private.h - how a shape is kept, how one is made, and the way to GEOS and back.
 *
 * For the geometry files of the core only. */
#pragma once
#include <rakelight/shape.h>

#include <geos_c.h>

#include "i18n.h"

/* The grid all shapes lie on, and the width below which two edges count as one: an edge cut by a
 * later line is bent by up to half a grid step, so edges that were one run a step or two apart. */
#define RAKE_GRID_MM 0.001
#define RAKE_EDGE_TOLERANCE_MM 0.002

/* A run of points in the shape's list: a ring of an area, a path of a line, or a point. */
typedef struct
{
  guint first;
  guint n_points;
  gboolean is_hole;
} RakeRing;

struct _RakeShape
{
  gatomicrefcount n_refs;
  RakeShapeKind kind;
  guint n_rings;
  guint n_points;
  RakeBounds bounds;
  double area_mm2;
  double length_mm;
  RakeRing *rings;
  double *points_mm;
};

/* A shape in the making. Start each ring, add its points, then finish once. */
typedef struct
{
  RakeShapeKind kind;
  GArray *points_mm; /* of double */
  GArray *rings;     /* of RakeRing */
} RakeTracing;

RakeTracing *rake_tracing_new (RakeShapeKind kind);
void rake_tracing_free (RakeTracing *tracing);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeTracing, rake_tracing_free)

void rake_tracing_start_ring (RakeTracing *tracing, gboolean is_hole);

/* Snaps and adds a point; one that repeats the point before it is passed over. FALSE with INVALID
 * when it is not finite, too far out or one too many. */
gboolean rake_tracing_add_point (RakeTracing *tracing, double x_mm, double y_mm, GError **error);
gboolean rake_tracing_add_points (RakeTracing *tracing, const double *points_mm, guint n_points,
                                  GError **error);

/* Closes rings, leaves out those with nothing in them and makes the shape as it stands, valid or
 * not. NULL with EMPTY when nothing is left. */
RakeShape *rake_tracing_finish_unchecked (RakeTracing *tracing, GError **error);

/* The same, and an area that is not valid is mended. A valid one keeps its order of points. */
RakeShape *rake_tracing_finish (RakeTracing *tracing, GError **error);

/* The calling thread's own GEOS context; GEOS contexts and geometries are never shared. */
GEOSContextHandle_t rake_geos_get_context (void);

void rake_geos_destroy (GEOSGeometry *geometry);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (GEOSGeometry, rake_geos_destroy)

/* Sets GEOMETRY with what was being done and what GEOS said of it. */
void rake_geos_set_error (GError **error, const char *doing);

/* The shape as a geometry: the caller's. NULL when GEOS fails. */
GEOSGeometry *rake_geos_from_shape (const RakeShape *shape);

/* All edges of the shape as lines: the caller's. NULL when GEOS fails. */
GEOSGeometry *rake_geos_edges_from_shape (const RakeShape *shape);

/* A collection of @kind (a GEOS geometry type) out of @geometries, an array that is emptied. */
GEOSGeometry *rake_geos_collect (int kind, GPtrArray *geometries);

/* The areas (or the lines) in @geometry as a shape, snapped; the rest of it is passed over. EMPTY
 * when there are none. Not checked for validity. */
RakeShape *rake_geos_to_shape (const GEOSGeometry *geometry, RakeShapeKind kind, GError **error);

/* TRUE when every ring is simple and the rings lie right with each other. */
gboolean rake_geos_is_valid (const RakeShape *area);

/* TRUE only when the area is one ring of few points that touches itself nowhere beyond doubt: then
 * it is valid. FALSE says nothing; rake_geos_is_valid() knows. */
gboolean rake_shape_is_plainly_simple (const RakeShape *area);

/* The areas in @geometry, snapped, and mended where that made edges cross. */
RakeShape *rake_geos_to_valid_area (const GEOSGeometry *geometry, GError **error);

/* A valid area with the same inside, or NULL with EMPTY, INVALID or GEOMETRY. */
RakeShape *rake_geos_mend (const RakeShape *area, GError **error);

/* FALSE with INVALID when the shapes have so many rings, or edges that cross so often, that the
 * arithmetic would take minutes or all memory: nothing drawn by hand comes near, a hostile file
 * does. Crossings are estimated from samples. A hundred thousand of two areas take a second or two,
 * as do twenty thousand of one edge with itself. */
#define RAKE_MOST_CROSSINGS 100000.0
#define RAKE_MOST_OWN_CROSSINGS 20000.0
gboolean rake_geos_check_effort (const RakeShape *const *shapes, guint n_shapes,
                                 double most_crossings, GError **error);

/* Is @area narrower than @width_mm everywhere? Its mean width alone would not do: a long thread may
 * end in a spot as broad as a zone. FALSE also when that cannot be told. */
gboolean rake_shape_is_thread (const RakeShape *area, double width_mm);

/* The shape of pieces whose mean width (twice the area by the length of the edge) is at least
 * @width_mm, in @broad, and of the others, in @narrow; either may come out NULL. Holes narrower
 * than that everywhere are filled in @broad. */
void rake_shape_split_by_width (const RakeShape *area, double width_mm, RakeShape **broad,
                                RakeShape **narrow);

/* How long the two shapes' edges run within RAKE_EDGE_TOLERANCE_MM of each other. */
double rake_shape_get_shared_edge_mm (const RakeShape *a, const RakeShape *b);

/* A circle inside an area whose radius is less than the largest one's by @slack_fraction at most:
 * its middle, and returns its radius. */
double rake_shape_get_inner_circle (const RakeShape *area, double slack_fraction, double *x_mm,
                                    double *y_mm);

/* The point of the shape's edge nearest to the given one, and the distance. */
double rake_shape_get_nearest_edge_point (const RakeShape *shape, double x_mm, double y_mm,
                                          double *edge_x_mm, double *edge_y_mm);

static inline gboolean
rake_bounds_meet (const RakeBounds *a, const RakeBounds *b, double reach_mm)
{
  return a->min_x_mm <= b->max_x_mm + reach_mm && b->min_x_mm <= a->max_x_mm + reach_mm &&
         a->min_y_mm <= b->max_y_mm + reach_mm && b->min_y_mm <= a->max_y_mm + reach_mm;
}
