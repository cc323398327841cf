/* pen.h - curves into points: what our own outlines and drawings from elsewhere are traced with.
 *
 * A pen collects pairs x, y in millimetres; where it stands is the last pair. Chords stay within
 * its tolerance of the curve. */
#pragma once
#include <glib.h>

typedef struct
{
  double tolerance_mm;
  GArray *points_mm; /* of double, x, y, x, y … */
  guint64 n_steps;   /* walked so far, kept or not: what tracing has cost */
} RakePen;

RakePen *rake_pen_new (double tolerance_mm);
void rake_pen_free (RakePen *pen);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePen, rake_pen_free)

guint rake_pen_get_n_points (const RakePen *pen);
const double *rake_pen_get_points (const RakePen *pen);

void rake_pen_line_to (RakePen *pen, double x_mm, double y_mm);

/* A cubic Bézier curve from where the pen stands: two control points and the end. */
void rake_pen_curve (RakePen *pen, double x1_mm, double y1_mm, double x2_mm, double y2_mm,
                     double x_mm, double y_mm);

/* A part of an ellipse from angle @start by @sweep radians (x rightward, y downward, so a positive
 * sweep runs clockwise), with a line to its start. Each quarter begins and ends on a point. */
void rake_pen_arc (RakePen *pen, double centre_x_mm, double centre_y_mm, double radius_x_mm,
                   double radius_y_mm, double start, double sweep);

/* The control points of a cubic that follows the unit circle from @start by @sweep radians: x1, y1,
 * x2, y2, x, y. Off by 7·10^-8 of the radius at most when @sweep is RAKE_PEN_ARC_STEP. */
#define RAKE_PEN_ARC_STEP (G_PI / 8)
void rake_pen_get_arc_controls (double start, double sweep, double controls[6]);
