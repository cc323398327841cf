/* lamp.h - where the light comes from, for the rest of this layer. Private to src/draw. */
#pragma once
#include <rakelight/map.h>

/* A view's width or height. A widget is asked to draw before it has a size; a view of nothing still
 * needs numbers that work. */
double rake_view_side (double px);

/* The ring: |x/a|^n + |y/b|^n = 1 around its centre. */
typedef struct
{
  double centre_x, centre_y, half_width, half_height, power;
} RakeRing;

/* The ring around the whole face, wherever the view looks; the light on the surface comes from
 * there, so that panning does not change it. */
void rake_ring_around_face (RakeRing *ring, const RakeMapView *view, const RakeFace *face);

/* The same ring drawn in to where it can be seen and reached. */
void rake_ring_in_view (RakeRing *ring, const RakeMapView *view, const RakeFace *face);
double rake_ring_get_radius (const RakeRing *ring, double deg);

/* FALSE without a lamp. reach_px: from the lamp to the far end of the face. */
gboolean rake_lamp_get_source (const RakeMapView *view, const RakeFace *face, double *x_px,
                               double *y_px, double *reach_px);
