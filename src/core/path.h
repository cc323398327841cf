/* path.h - curves into points: what our own outlines and drawings from elsewhere are traced with.
 *
 * A path collects pairs x, y in millimetres; the pen stands at the last pair. Chords stay within
 * its tolerance of the curve. */
#pragma once
#include <glib.h>

typedef struct
{
  double tolerance_mm;
  GArray *points_mm; /* of double, x, y, x, y … */
  guint64 n_steps;   /* walked so far, kept or not: what tracing has cost */
} RakePath;

RakePath *rake_path_new (double tolerance_mm);
void rake_path_free (RakePath *path);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePath, rake_path_free)

guint rake_path_get_n_points (const RakePath *path);
const double *rake_path_get_points (const RakePath *path);

void rake_path_line_to (RakePath *path, double x_mm, double y_mm);

/* A cubic Bézier curve from where the pen stands: two control points and the end. */
void rake_path_curve_to (RakePath *path, double x1_mm, double y1_mm, double x2_mm, double y2_mm,
                         double x_mm, double y_mm);

/* A part of an ellipse from angle @start by @sweep radians (x rightward, y downward, so a positive
 * sweep runs clockwise), with a line to its start. Each quarter begins and ends on a point. */
void rake_path_arc (RakePath *path, double centre_x_mm, double centre_y_mm, double radius_x_mm,
                    double radius_y_mm, double start, double sweep);

/* The control points of a cubic that follows the unit circle from @start by @sweep radians: x1, y1,
 * x2, y2, x, y. Off by 7·10^-8 of the radius at most when @sweep is RAKE_PATH_ARC_STEP. */
#define RAKE_PATH_ARC_STEP (G_PI / 8)
void rake_path_get_arc_controls (double start, double sweep, double controls[6]);
