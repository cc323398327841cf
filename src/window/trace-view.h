/* trace-view.h - a photograph on which points are set: for its size, and along the edge of the face.
 *
 * A RakeFlatView whose places are pixels of the upright photograph. A tap sets the next point, on the
 * first one it closes the edge; a point is dragged under a glass. With the keys the arrows move the
 * photograph under a cross in the middle (Shift: a pixel), Enter and Space set a point there, Backspace
 * takes the last one back.
 *
 * Signal "points-changed". */
#pragma once
#include "flat-view.h"

#define RAKE_TYPE_TRACE_VIEW (rake_trace_view_get_type ())
G_DECLARE_FINAL_TYPE (RakeTraceView, rake_trace_view, RAKE, TRACE_VIEW, RakeFlatView)

typedef enum
{
  RAKE_TRACE_SIZE, /* as many points as it takes */
  RAKE_TRACE_EDGE,
  RAKE_N_TRACE_PARTS,
} RakeTracePart;

RakeTraceView *rake_trace_view_new (void);

/* rgb  3 * width * height bytes, upright, copied
 * width_px, height_px  of the upright photograph at its full size; 0: nothing is shown */
void rake_trace_view_set_picture (RakeTraceView *self, const guint8 *rgb, int width, int height,
                                  double width_px, double height_px);

/* Which points are set and moved. */
void rake_trace_view_set_part (RakeTraceView *self, RakeTracePart part);

/* Two points, or four; those beyond are dropped. */
void rake_trace_view_set_n_size (RakeTraceView *self, guint n);

/* x, y, x, y …, owned by the view. */
const double *rake_trace_view_get_points (RakeTraceView *self, RakeTracePart part, guint *n_points);
gboolean rake_trace_view_is_closed (RakeTraceView *self);

/* Sets a point as a tap there does. */
void rake_trace_view_set_point (RakeTraceView *self, double x, double y);

/* Opens the edge again, or takes the part's last point back. */
void rake_trace_view_take_back (RakeTraceView *self);

/* What comes of the points, drawn over the photograph; copied. */
void rake_trace_view_show_outline (RakeTraceView *self, const double *points, guint n_points);
