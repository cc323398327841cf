/* pen.h - what the pictures of this layer are drawn with: a pen, the materials of the bench, places
 * in pixels, and a noise that is the same everywhere. Private to src/draw. */
#pragma once
#include <rakelight/map.h>

typedef struct
{
  double x, y;
} RakePoint;

/* --- materials: what a finisher's bench is made of, per theme ------------------------------- */

typedef struct
{
  RakeColour grain, pore;                    /* darker lines in the wood */
  RakeColour stipple, stipple_below;         /* scattered light, and the speck beside each dot */
  RakeColour dots;                           /* the grid of the unknown */
  RakeColour seam, seam_edge, edge;          /* between zones; the face's outline */
  RakeColour pool_near, pool_far, pool_rim;  /* a mirror: towards the lamp, away, its shore */
  RakeColour gleam, shade;                   /* raised and cut things: lit side, shadow side */
  RakeColour scratch;
  RakeColour burn_core, burn_brown, ember;
  RakeColour bare, bare_grain;               /* what lies below the film */
  RakeColour milk, dull;                     /* air under the film; no reflection */
  RakeColour stitch, ghost;
  double shadow_alpha;                       /* over a zone nobody has looked at */
} RakeMaterials;

const RakeMaterials *rake_materials_get (RakeTheme theme);

/* --- the pen -------------------------------------------------------------------------------- */

typedef struct
{
  cairo_t *cr;
  RakeTheme theme;
  const RakePalette *palette;
  const RakeMaterials *materials;
  gboolean is_ink;        /* black on white: lines instead of tones */
  gboolean is_vector;     /* strokes and gradients instead of tiles */
  gboolean is_across;     /* the grain runs from left to right */
  double unit_px;         /* how wide a fine line is */
  double px_per_mm;
  RakePoint origin;       /* where the piece's 0, 0 lies */
  gboolean has_lamp;
  double lamp_deg;
  RakePoint lamp;         /* where the light comes from: on the piece's own ring, in or out of view */
  double lamp_reach_px;   /* from there to the far end of the face */
} RakePen;

void rake_pen_init (RakePen *pen, cairo_t *cr, const RakeMapView *view, const RakeFace *face);

/* For a small picture of its own, lit from its upper left. */
void rake_pen_init_small (RakePen *pen, cairo_t *cr, RakeTheme theme, double width_px,
                          double height_px);

void rake_pen_colour (const RakePen *pen, RakeColour colour, double alpha);

/* By how much a line may miss its points: nothing on a screen; on paper, where every point is written
 * out in digits, by what no printer shows. */
double rake_pen_get_slack (const RakePen *pen);
void rake_pen_line (const RakePen *pen, RakeColour colour, double alpha, double width_units);

/* The unit vector from @at towards the lamp; to the upper left when no lamp is lit. */
RakePoint rake_pen_to_lamp (const RakePen *pen, RakePoint at);

RakeColour rake_colour_mix (RakeColour a, RakeColour b, double share_of_b);
RakeColour rake_colour_from_hex (guint32 rgb);

/* How many device pixels one pixel of the view is. */
double rake_device_scale (cairo_t *cr);

/* --- places --------------------------------------------------------------------------------- */

/* A shape in pixels: rings of points. */
typedef struct
{
  RakeShapeKind kind;
  GArray *points;   /* RakePoint */
  GArray *ends;     /* guint: index after the last point of each ring */
  RakePoint min, max;
  gboolean is_fine; /* its points lie so close that rounding would not show */
  double slack_px;  /* when a fine one is traced, what lies so near a straight line is left out; 0: nothing */
} RakePlace;

RakePlace *rake_place_new (RakeShapeKind kind);
RakePlace *rake_place_new_from_shape (const RakeMapView *view, const RakeShape *shape);

/* An uneven patch; the same @seed is the same patch. */
RakePlace *rake_place_new_blob (RakePoint centre, double radius_x, double radius_y, guint32 seed);

/* The patch that a line or a point stands for when its kind of mark is a patch: everything within
 * @radius_px of it. Of an area: the same rings. */
RakePlace *rake_place_new_patch (const RakePlace *place, double radius_px, guint32 seed);

/* The area with its corners rounded as rake_place_trace() would, as points. */
RakePlace *rake_place_new_round (const RakePlace *area);
void rake_place_free (RakePlace *place);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePlace, rake_place_free)

void rake_place_add (RakePlace *place, double x, double y);
void rake_place_end_ring (RakePlace *place);

/* Takes the last ring away; min and max stay as they were. */
void rake_place_drop_ring (RakePlace *place);
guint rake_place_get_n_rings (const RakePlace *place);
const RakePoint *rake_place_get_ring (const RakePlace *place, guint index, guint *n_points);

/* Positive when the ring runs clockwise as seen on screen. */
double rake_place_get_ring_area (const RakePlace *place, guint index);
RakePoint rake_place_get_centre (const RakePlace *place);
gboolean rake_place_contains (const RakePlace *place, double x, double y);

/* Adds the place to the current path, moved by dx, dy; smoothly rounded when @is_round. */
void rake_place_trace (const RakePlace *place, cairo_t *cr, double dx, double dy,
                       gboolean is_round);

/* Adds an area in mm to the current path, as it lies in the view. */
void rake_shape_trace (cairo_t *cr, const RakeMapView *view, const RakeShape *shape);

/* --- noise ---------------------------------------------------------------------------------- */

guint32 rake_hash (guint32 a, guint32 b, guint32 c);
guint32 rake_seed_from_id (RakeId id);

/* 0 to 1, from the next state of @seed. */
double rake_random (guint32 *seed);

/* Smooth noise of wavelength 1, -1 to 1; repeats after @period_x and @period_y (0: never). */
double rake_noise (double x, double y, int period_x, int period_y, guint32 seed);
