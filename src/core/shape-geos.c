/* shape-geos.c - shapes into GEOS and out again.
 *
 * GEOS takes not-a-number and falls over it, and gives NULL for a ring that crosses itself; what
 * comes in here has been through a tracing, and what goes out goes through one again. */
#include "shape-private.h"

#include <math.h>

typedef struct
{
  GEOSContextHandle_t context;
  char *message;
} ThreadState;

/* Below this many points the edges cannot cross often enough to matter. */
#define FEW_POINTS 200

/* GEOS's index of grid points falls into a list when rings come in order from left to right, and
 * its work grows with the square of their number. */
#define MOST_RINGS 20000

static void
free_thread_state (gpointer data)
{
  ThreadState *thread = data;

  GEOS_finish_r (thread->context);
  g_free (thread->message);
  g_free (thread);
}

static GPrivate thread_state = G_PRIVATE_INIT (free_thread_state);

static void
keep_message (const char *message, void *data)
{
  ThreadState *thread = data;

  g_free (thread->message);
  thread->message = g_strdup (message);
}

static ThreadState *
get_thread_state (void)
{
  ThreadState *thread = g_private_get (&thread_state);

  if (thread == NULL)
    {
      thread = g_new0 (ThreadState, 1);
      thread->context = GEOS_init_r ();
      GEOSContext_setErrorMessageHandler_r (thread->context, keep_message, thread);
      g_private_set (&thread_state, thread);
    }
  return thread;
}

GEOSContextHandle_t
rake_geos_get_context (void)
{
  return get_thread_state ()->context;
}

void
rake_geos_destroy (GEOSGeometry *geometry)
{
  if (geometry != NULL)
    GEOSGeom_destroy_r (rake_geos_get_context (), geometry);
}

void
rake_geos_set_error (GError **error, const char *doing)
{
  ThreadState *thread = get_thread_state ();

  g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_GEOMETRY, "%s: %s", doing,
               thread->message != NULL ? thread->message : _ ("no reason given"));
  g_clear_pointer (&thread->message, g_free);
}

static GEOSCoordSequence *
new_sequence (const RakeShape *shape, guint ring)
{
  return GEOSCoordSeq_copyFromBuffer_r (rake_geos_get_context (),
                                        shape->points_mm + 2 * shape->rings[ring].first,
                                        shape->rings[ring].n_points, 0, 0);
}

GEOSGeometry *
rake_geos_collect (int kind, GPtrArray *geometries)
{
  GEOSGeometry *collection;

  /* GEOS takes over the members even when it fails. */
  collection = GEOSGeom_createCollection_r (rake_geos_get_context (), kind,
                                            (GEOSGeometry **) geometries->pdata, geometries->len);
  g_ptr_array_set_free_func (geometries, NULL);
  g_ptr_array_set_size (geometries, 0);
  return collection;
}

static GEOSGeometry *
make_polygon (const RakeShape *shape, guint *ring)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  GEOSGeometry *outside = GEOSGeom_createLinearRing_r (context, new_sequence (shape, (*ring)++));
  g_autoptr (GPtrArray) holes = g_ptr_array_new ();
  GEOSGeometry *polygon;

  while (*ring < shape->n_rings && shape->rings[*ring].is_hole)
    g_ptr_array_add (holes, GEOSGeom_createLinearRing_r (context, new_sequence (shape, (*ring)++)));
  polygon = GEOSGeom_createPolygon_r (context, outside, (GEOSGeometry **) holes->pdata, holes->len);
  return polygon;
}

GEOSGeometry *
rake_geos_from_shape (const RakeShape *shape)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GPtrArray) parts = g_ptr_array_new ();
  guint ring = 0;

  if (shape->kind == RAKE_SHAPE_POINT)
    return GEOSGeom_createPoint_r (context, new_sequence (shape, 0));
  while (ring < shape->n_rings)
    g_ptr_array_add (parts,
                     shape->kind == RAKE_SHAPE_AREA
                         ? make_polygon (shape, &ring)
                         : GEOSGeom_createLineString_r (context, new_sequence (shape, ring++)));
  if (parts->len == 1)
    return parts->pdata[0];
  return rake_geos_collect (
      shape->kind == RAKE_SHAPE_AREA ? GEOS_MULTIPOLYGON : GEOS_MULTILINESTRING, parts);
}

GEOSGeometry *
rake_geos_edges_from_shape (const RakeShape *shape)
{
  g_autoptr (GPtrArray) lines = g_ptr_array_new ();

  for (guint ring = 0; ring < shape->n_rings; ring++)
    g_ptr_array_add (
        lines, GEOSGeom_createLineString_r (rake_geos_get_context (), new_sequence (shape, ring)));
  return rake_geos_collect (GEOS_MULTILINESTRING, lines);
}

static gboolean
add_path (RakeTracing *tracing, const GEOSGeometry *path, gboolean is_hole, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  const GEOSCoordSequence *sequence = GEOSGeom_getCoordSeq_r (context, path);
  g_autofree double *points = NULL;
  unsigned int n_points = 0;

  if (sequence == NULL || !GEOSCoordSeq_getSize_r (context, sequence, &n_points))
    {
      rake_geos_set_error (error, _ ("reading a computed edge failed"));
      return FALSE;
    }
  points = g_new (double, 2 * n_points);
  GEOSCoordSeq_copyToBuffer_r (context, sequence, points, 0, 0);
  rake_tracing_start_ring (tracing, is_hole);
  return rake_tracing_add_points (tracing, points, n_points, error);
}

static gboolean
add_polygon (RakeTracing *tracing, const GEOSGeometry *polygon, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  int n_holes = GEOSGetNumInteriorRings_r (context, polygon);

  if (!add_path (tracing, GEOSGetExteriorRing_r (context, polygon), FALSE, error))
    return FALSE;
  for (int i = 0; i < n_holes; i++)
    if (!add_path (tracing, GEOSGetInteriorRingN_r (context, polygon, i), TRUE, error))
      return FALSE;
  return TRUE;
}

static gboolean
add_geometry (RakeTracing *tracing, const GEOSGeometry *geometry, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  int kind = GEOSGeomTypeId_r (context, geometry);

  if (GEOSisEmpty_r (context, geometry))
    return TRUE;
  if (kind == GEOS_POLYGON)
    return tracing->kind != RAKE_SHAPE_AREA || add_polygon (tracing, geometry, error);
  if (kind == GEOS_LINESTRING || kind == GEOS_LINEARRING)
    return tracing->kind != RAKE_SHAPE_LINE || add_path (tracing, geometry, FALSE, error);
  if (kind == GEOS_POINT)
    return TRUE;
  for (int i = 0; i < GEOSGetNumGeometries_r (context, geometry); i++)
    if (!add_geometry (tracing, GEOSGetGeometryN_r (context, geometry, i), error))
      return FALSE;
  return TRUE;
}

RakeShape *
rake_geos_to_shape (const GEOSGeometry *geometry, RakeShapeKind kind, GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (kind);

  if (!add_geometry (tracing, geometry, error))
    return NULL;
  return rake_tracing_finish_unchecked (tracing, error);
}

RakeShape *
rake_geos_to_valid_area (const GEOSGeometry *geometry, GError **error)
{
  g_autoptr (RakeTracing) tracing = rake_tracing_new (RAKE_SHAPE_AREA);

  if (!add_geometry (tracing, geometry, error))
    return NULL;
  return rake_tracing_finish (tracing, error);
}

gboolean
rake_geos_is_valid (const RakeShape *area)
{
  g_autoptr (GEOSGeometry) geometry = rake_geos_from_shape (area);

  return geometry != NULL && GEOSisValid_r (rake_geos_get_context (), geometry) == 1;
}

RakeShape *
rake_geos_mend (const RakeShape *area, GError **error)
{
  GEOSContextHandle_t context = rake_geos_get_context ();
  g_autoptr (GEOSGeometry) geometry = NULL, mended = NULL, on_grid = NULL;
  g_autoptr (RakeShape) shape = NULL;
  GEOSMakeValidParams *params;

  if (!rake_geos_check_effort (&area, 1, RAKE_MOST_OWN_CROSSINGS, error))
    return NULL;
  geometry = rake_geos_from_shape (area);
  params = GEOSMakeValidParams_create_r (context);
  GEOSMakeValidParams_setMethod_r (context, params, GEOS_MAKE_VALID_STRUCTURE);
  GEOSMakeValidParams_setKeepCollapsed_r (context, params, 0);
  if (geometry != NULL)
    mended = GEOSMakeValidWithParams_r (context, geometry, params);
  GEOSMakeValidParams_destroy_r (context, params);
  if (mended != NULL)
    on_grid = GEOSGeom_setPrecision_r (context, mended, RAKE_GRID_MM, 0);
  if (on_grid == NULL || GEOSNormalize_r (context, on_grid) != 0)
    {
      rake_geos_set_error (error, _ ("an edge that crosses itself could not be mended"));
      return NULL;
    }
  shape = rake_geos_to_shape (on_grid, RAKE_SHAPE_AREA, error);
  if (shape != NULL && !rake_geos_is_valid (shape))
    {
      rake_geos_set_error (error, _ ("an edge that crosses itself could not be mended"));
      return NULL;
    }
  return g_steal_pointer (&shape);
}

typedef struct
{
  double x1, y1, x2, y2;
} Segment;

static GArray *
list_segments (const RakeShape *const *shapes, guint n_shapes)
{
  GArray *segments = g_array_new (FALSE, FALSE, sizeof (Segment));

  for (guint s = 0; s < n_shapes; s++)
    for (guint r = 0; r < shapes[s]->n_rings; r++)
      for (guint i = 0; i + 1 < shapes[s]->rings[r].n_points; i++)
        {
          const double *at = shapes[s]->points_mm + 2 * (shapes[s]->rings[r].first + i);
          Segment segment = { at[0], at[1], at[2], at[3] };
          g_array_append_val (segments, segment);
        }
  return segments;
}

static double
get_side (const Segment *s, double x, double y)
{
  return (s->x2 - s->x1) * (y - s->y1) - (s->y2 - s->y1) * (x - s->x1);
}

static gboolean
ends_meet (const Segment *a, const Segment *b)
{
  return (a->x1 == b->x1 && a->y1 == b->y1) || (a->x1 == b->x2 && a->y1 == b->y2) ||
         (a->x2 == b->x1 && a->y2 == b->y1) || (a->x2 == b->x2 && a->y2 == b->y2);
}

/* TRUE when the two cross, touch or run along each other; a common end alone does not count, for
 * every edge has its neighbours. */
static gboolean
segments_meet (const Segment *a, const Segment *b)
{
  double b1, b2, a1, a2;

  if (fmax (a->x1, a->x2) < fmin (b->x1, b->x2) || fmax (b->x1, b->x2) < fmin (a->x1, a->x2) ||
      fmax (a->y1, a->y2) < fmin (b->y1, b->y2) || fmax (b->y1, b->y2) < fmin (a->y1, a->y2))
    return FALSE;
  b1 = get_side (a, b->x1, b->y1);
  b2 = get_side (a, b->x2, b->y2);
  if (ends_meet (a, b))
    return b1 == 0 && b2 == 0;
  a1 = get_side (b, a->x1, a->y1);
  a2 = get_side (b, a->x2, a->y2);
  return b1 * b2 <= 0 && a1 * a2 <= 0;
}

gboolean
rake_geos_check_effort (const RakeShape *const *shapes, guint n_shapes, double most_crossings,
                        GError **error)
{
  g_autoptr (GArray) segments = NULL;
  guint64 random = 0x9e3779b97f4a7c15; /* always the same: the same file is always judged alike */
  guint n_meeting = 0, n_points = 0, n_rings = 0, n_samples;
  double n_pairs;

  for (guint s = 0; s < n_shapes; s++)
    {
      n_points += shapes[s]->n_points;
      n_rings += shapes[s]->n_rings;
    }
  if (n_rings > MOST_RINGS)
    {
      g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                   _ ("an area of more than %d pieces and holes cannot be worked out"), MOST_RINGS);
      return FALSE;
    }
  if (n_points < FEW_POINTS)
    return TRUE;
  segments = list_segments (shapes, n_shapes);
  n_pairs = 0.5 * segments->len * segments->len;
  /* At the limit some eight of the pairs drawn are to meet. */
  n_samples = 2000 + (guint) (8 * n_pairs / most_crossings);
  for (guint i = 0; i < n_samples && segments->len > 0; i++)
    {
      guint a, b;
      /* Knuth's 64-bit linear congruential step; its upper half is random enough to sample. */
      random = random * 6364136223846793005u + 1442695040888963407u;
      a = (guint) ((random >> 32) % segments->len);
      random = random * 6364136223846793005u + 1442695040888963407u;
      b = (guint) ((random >> 32) % segments->len);
      if (a != b && segments_meet (&g_array_index (segments, Segment, a),
                                   &g_array_index (segments, Segment, b)))
        n_meeting++;
    }
  if (n_meeting * (n_pairs / n_samples) <= most_crossings)
    return TRUE;
  g_set_error_literal (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                       _ ("the edges cross each other too often to be worked out"));
  return FALSE;
}
