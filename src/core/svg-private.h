/* svg-private.h - reading drawings: the tree, numbers, transforms, path data, and the tracer they
 * feed.
 *
 * Source: W3C SVG 1.1 (2nd edition), chapters 5 (structure), 7 (coordinates), 8 (paths), 9 (basic
 * shapes), 11.5 (visibility), 14.3 (clipping) and appendix F.6 (arcs); what styles may set besides:
 * SVG 2, 7 and CSS Transforms 1. */
#pragma once
#include <rakelight/outline.h>

#include "path.h"

/* --- styles --------------------------------------------------------------------------------- */

typedef enum
{
  RAKE_SVG_DISPLAY,    /* effective: neither the element nor anything in it is there */
  RAKE_SVG_VISIBILITY, /* effective: hidden, but it may hold what is not */
  RAKE_SVG_OVERFLOW,   /* effective: what a drawing within holds is not cut off at its edge */
  RAKE_SVG_CUT,        /* the rest is not followed when it is effective */
  RAKE_SVG_PLACE,
  RAKE_SVG_TURN,
  RAKE_SVG_MEASURE,
} RakeSvgPropertyKind;

/* What an element's attributes and its style say; bits by property. */
typedef struct
{
  guint said, effective;
} RakeSvgStyle;

/* Both arrays end with NULL. */
RakeSvgStyle rake_svg_read_style (const char *const *names, const char *const *values);

/* The first property of @kind that is said, or that has an effect; or NULL. */
const char *rake_svg_style_find (RakeSvgStyle style, RakeSvgPropertyKind kind,
                                 gboolean is_effective);

/* FALSE with RAKE_SVG_ERROR_NOT_READ when a style sheet would hide, cut or move something. */
gboolean rake_svg_check_style_sheets (const char *css, GError **error);

/* --- the tree ------------------------------------------------------------------------------- */

#define RAKE_SVG_DEEPEST 100
#define RAKE_SVG_MOST_ELEMENTS 200000

typedef struct
{
  char *name; /* without the prefix "svg:" */
  char **names, **values;
  gsize n_bytes; /* of all these */
  RakeSvgStyle style;
  GPtrArray *children; /* of RakeSvgNode */
} RakeSvgNode;

typedef struct
{
  RakeSvgNode *root;    /* an svg element */
  GHashTable *by_id;    /* id -> RakeSvgNode */
  GString *style_sheets; /* one after another */
} RakeSvgTree;

/* NULL with RAKE_SVG_ERROR when the text is not XML, is no drawing, or holds too much. */
RakeSvgTree *rake_svg_tree_new (const char *svg, gsize length, GError **error);
void rake_svg_tree_free (RakeSvgTree *tree);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeSvgTree, rake_svg_tree_free)

/* NULL when there is none. */
RakeSvgNode *rake_svg_tree_find (const RakeSvgTree *tree, const char *id);
const char *rake_svg_node_get (const RakeSvgNode *node, const char *name);
const char *rake_svg_node_get_link (const RakeSvgNode *node);

/* FALSE with RAKE_SVG_ERROR_NOT_READ when that is more than RAKE_SVG_MOST_ELEMENTS. */
gboolean rake_svg_check_n_elements (guint n_elements, GError **error);

/* --- numbers -------------------------------------------------------------------------------- */

/* Text being read, and how far. */
typedef struct
{
  const char *text;
  const char *at;
} RakeSvgScan;

void rake_svg_skip_space (RakeSvgScan *scan);

/* Skips white space with one comma in it, as allowed between numbers; TRUE when there was one. */
gboolean rake_svg_skip_comma (RakeSvgScan *scan);

/* TRUE when a number may begin here. */
gboolean rake_svg_is_at_number (const RakeSvgScan *scan);

/* A number by the SVG grammar: no "inf", no hexadecimals, and it ends where the grammar says, not
 * where the C library would. FALSE with RAKE_SVG_ERROR_PATH, also when too large to be one. */
gboolean rake_svg_read_number (RakeSvgScan *scan, double *number, GError **error);

/* FALSE with RAKE_SVG_ERROR_PATH that tells the character and what was expected there. */
gboolean rake_svg_refuse (const RakeSvgScan *scan, const char *expected, GError **error);

typedef enum
{
  RAKE_SVG_LENGTH_NONE,     /* absent or not readable */
  RAKE_SVG_LENGTH_USER,     /* user units: none given, or px */
  RAKE_SVG_LENGTH_PHYSICAL, /* mm, cm, Q, in, pt or pc */
  RAKE_SVG_LENGTH_PERCENT,
} RakeSvgLengthKind;

/* An attribute's length, @text may be NULL. Physical ones come in millimetres. */
RakeSvgLengthKind rake_svg_read_length (const char *text, double *length);

/* The text, or its beginning when it is long, to be put into a sentence; freed by the caller. */
char *rake_svg_shorten (const char *text);

/* --- transforms ----------------------------------------------------------------------------- */

/* x' = a x + c y + e, y' = b x + d y + f */
typedef struct
{
  double a, b, c, d, e, f;
} RakeSvgMatrix;

/* First @inner, then @outer. */
RakeSvgMatrix rake_svg_matrix_multiply (RakeSvgMatrix outer, RakeSvgMatrix inner);

/* A transform attribute's list, applied before what is in @matrix already. */
gboolean rake_svg_read_transform (const char *text, RakeSvgMatrix *matrix, GError **error);

/* --- places --------------------------------------------------------------------------------- */

/* A drawing within, which cuts off what leaves it. */
typedef struct _RakeSvgFrame RakeSvgFrame;
struct _RakeSvgFrame
{
  const RakeSvgFrame *outer;
  const char *name;
  RakeSvgMatrix matrix; /* its corner is at 0, 0 */
  double width, height;
};

/* What is being shown in place of a "use". */
typedef struct _RakeSvgUse RakeSvgUse;
struct _RakeSvgUse
{
  const RakeSvgUse *outer;
  const RakeSvgNode *used;
};

typedef struct
{
  const char *element, *property;
} RakeSvgFault;

/* Where the reader is in a drawing. */
typedef struct
{
  RakeSvgMatrix matrix; /* user units to millimetres */
  double width, height; /* what percentages are of, in user units; not a number when unknown */
  const RakeSvgFrame *frame;
  const RakeSvgUse *uses;
  RakeSvgFault cut, placing; /* around it, or NULLs */
  gboolean is_hidden;
  guint depth;
} RakeSvgPlace;

/* A length in user units. Absent or "auto" leaves @units as it is; FALSE with
 * RAKE_SVG_ERROR_NOT_READ when it cannot be used.
 *
 * whole  what percentages are of */
gboolean rake_svg_read_units (const RakeSvgNode *node, const char *name, double whole,
                              double *units, GError **error);

/* The outermost svg: how many millimetres a user unit is. */
gboolean rake_svg_enter_root (const RakeSvgNode *root, double mm_per_unit, RakeSvgPlace *place,
                              GError **error);

/* An svg or symbol within: placed, and its viewBox fitted into its size. It has no room, and shows
 * nothing, when the width or height of @place is then 0 or less.
 *
 * use    the "use" it stands for, or NULL
 * frame  room for the frame that @place may then point to */
gboolean rake_svg_enter_inner (const RakeSvgNode *node, const RakeSvgNode *use,
                               RakeSvgPlace *place, RakeSvgFrame *frame, GError **error);

/* ring  x, y, x, y … in millimetres */
gboolean rake_svg_lies_in_frame (const RakeSvgFrame *frame, const GArray *ring, double within_mm);

/* --- the tracer ----------------------------------------------------------------------------- */

/* Follows paths in user units and keeps the closed ones as rings of points in millimetres. */
typedef struct
{
  RakeSvgMatrix matrix; /* user units to millimetres */
  RakePath *path;       /* the subpath being drawn */
  GPtrArray *rings;     /* of GArray of double */
  guint n_points;       /* in the rings */
  double start_x, start_y, x, y;
} RakeSvgTracer;

void rake_svg_tracer_init (RakeSvgTracer *tracer);
void rake_svg_tracer_clear (RakeSvgTracer *tracer);

/* Each FALSE with RAKE_SVG_ERROR_PATH when a place is not finite, or with
 * RAKE_SHAPE_ERROR_INVALID when there are too many points. */
gboolean rake_svg_tracer_move (RakeSvgTracer *tracer, double x, double y, GError **error);
gboolean rake_svg_tracer_line (RakeSvgTracer *tracer, double x, double y, GError **error);
gboolean rake_svg_tracer_curve (RakeSvgTracer *tracer, double x1, double y1, double x2, double y2,
                                double x, double y, GError **error);
gboolean rake_svg_tracer_close (RakeSvgTracer *tracer, GError **error);

/* The end of a path: an open one is dropped, unless its ends meet. */
gboolean rake_svg_tracer_end (RakeSvgTracer *tracer, GError **error);

/* An elliptical arc as path data gives it (F.6). */
gboolean rake_svg_tracer_arc (RakeSvgTracer *tracer, double radius_x, double radius_y,
                              double turn_deg, gboolean is_large, gboolean is_clockwise, double x,
                              double y, GError **error);

/* A whole ellipse, closed. */
gboolean rake_svg_tracer_ellipse (RakeSvgTracer *tracer, double centre_x, double centre_y,
                                  double radius_x, double radius_y, GError **error);

/* --- path data ------------------------------------------------------------------------------ */

/* Follows a path's "d". FALSE with RAKE_SVG_ERROR_PATH that tells the character. */
gboolean rake_svg_trace_path (RakeSvgTracer *tracer, const char *data, GError **error);

/* Follows the "points" of a polygon or polyline. */
gboolean rake_svg_trace_points (RakeSvgTracer *tracer, const char *points, gboolean is_closed,
                                GError **error);

/* --- the whole ------------------------------------------------------------------------------ */

/* Follows all that the drawing shows. mm_per_unit 0: from the drawing. FALSE with RAKE_SVG_ERROR or
 * RAKE_SHAPE_ERROR. */
gboolean rake_svg_trace_tree (RakeSvgTracer *tracer, const RakeSvgTree *tree, double mm_per_unit,
                              GError **error);
