/* svg-private.h - reading drawings: numbers, transforms, path data, and the tracer they feed.
 *
 * Source: W3C SVG 1.1 (2nd edition), chapters 7 (coordinates), 8 (paths), 9 (basic shapes) and
 * appendix F.6 (arcs). */
#pragma once
#include <rakelight/outline.h>

#include "path.h"

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
  RAKE_SVG_LENGTH_PHYSICAL, /* mm, cm, in, pt or pc */
  RAKE_SVG_LENGTH_PERCENT,
} RakeSvgLengthKind;

/* An attribute's length, @text may be NULL. Physical ones come in millimetres. */
RakeSvgLengthKind rake_svg_read_length (const char *text, double *length);

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
