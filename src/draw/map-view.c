/* map-view.c - from millimetres on the face to pixels in a view, and back. */
#include "lamp.h"

#include <math.h>

G_DEFINE_QUARK (rake-map-error-quark, rake_map_error)

/* So far apart that nobody wants to go there, and so near that cairo's 24-bit coordinates hold a
 * face of several metres. */
#define MIN_PX_PER_MM 0.002
#define MAX_PX_PER_MM 80.0

double
rake_view_side (double px)
{
  return isfinite (px) && px > 1 ? px : 1;
}

void
rake_map_view_fit (RakeMapView *view, const RakeFace *face, double margin_px)
{
  RakeBounds bounds;
  double room_x_px, room_y_px, width_mm, height_mm;

  g_return_if_fail (view != NULL && face != NULL && face->outline != NULL);

  bounds = rake_shape_get_bounds (face->outline);
  width_mm = MAX (bounds.max_x_mm - bounds.min_x_mm, 0.001);
  height_mm = MAX (bounds.max_y_mm - bounds.min_y_mm, 0.001);
  if (!isfinite (margin_px) || margin_px < 0)
    margin_px = 0;
  room_x_px = rake_view_side (rake_view_side (view->width_px) - 2 * margin_px);
  room_y_px = rake_view_side (rake_view_side (view->height_px) - 2 * margin_px);
  view->px_per_mm =
      CLAMP (MIN (room_x_px / width_mm, room_y_px / height_mm), MIN_PX_PER_MM, MAX_PX_PER_MM);
  view->origin_x_px = rake_view_side (view->width_px) / 2 -
                      (bounds.min_x_mm + bounds.max_x_mm) / 2 * view->px_per_mm;
  view->origin_y_px = rake_view_side (view->height_px) / 2 -
                      (bounds.min_y_mm + bounds.max_y_mm) / 2 * view->px_per_mm;
}

void
rake_map_view_to_mm (const RakeMapView *view, double x_px, double y_px, double *x_mm, double *y_mm)
{
  *x_mm = (x_px - view->origin_x_px) / view->px_per_mm;
  *y_mm = (y_px - view->origin_y_px) / view->px_per_mm;
}

void
rake_map_view_to_px (const RakeMapView *view, double x_mm, double y_mm, double *x_px, double *y_px)
{
  *x_px = view->origin_x_px + x_mm * view->px_per_mm;
  *y_px = view->origin_y_px + y_mm * view->px_per_mm;
}

void
rake_map_view_zoom (RakeMapView *view, double factor, double x_px, double y_px)
{
  double px_per_mm, x_mm, y_mm;

  if (!isfinite (factor) || factor <= 0 || !isfinite (x_px) || !isfinite (y_px))
    return;
  px_per_mm = CLAMP (view->px_per_mm * factor, MIN_PX_PER_MM, MAX_PX_PER_MM);
  rake_map_view_to_mm (view, x_px, y_px, &x_mm, &y_mm);
  view->px_per_mm = px_per_mm;
  view->origin_x_px = x_px - x_mm * px_per_mm;
  view->origin_y_px = y_px - y_mm * px_per_mm;
}

void
rake_map_zone_extents (const RakeMapView *view, const RakeZone *zone, double *x_px, double *y_px,
                       double *width_px, double *height_px)
{
  RakeBounds bounds = rake_shape_get_bounds (zone->shape);
  double left, top, right, bottom;

  rake_map_view_to_px (view, bounds.min_x_mm, bounds.min_y_mm, &left, &top);
  rake_map_view_to_px (view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
  /* Whole pixels, with those that the soft edge of the last row reaches. */
  *x_px = floor (left);
  *y_px = floor (top);
  *width_px = MAX (ceil (right) - *x_px, 1);
  *height_px = MAX (ceil (bottom) - *y_px, 1);
}
