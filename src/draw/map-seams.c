/* map-seams.c - the lines between zones, the piece's own edge, and the zone in hand. */
#include "pen.h"

static void
trace_all_zones (cairo_t *cr, const RakeMapView *view, const RakeFace *face)
{
  /* One path for all: where two zones share a line it is laid down once. */
  for (guint i = 0; face->zones != NULL && i < face->zones->len; i++)
    rake_shape_trace (cr, view, ((const RakeZone *) face->zones->pdata[i])->shape);
}

static void
draw_holes (const RakePen *pen, const RakeMapView *view, const RakeFace *face)
{
  cairo_t *cr = pen->cr;
  gboolean has_hole = FALSE;

  for (guint ring = 0; ring < rake_shape_get_n_rings (face->outline); ring++)
    {
      guint n_points;
      gboolean is_hole;
      const double *points_mm = rake_shape_get_ring (face->outline, ring, &n_points, &is_hole);
      if (!is_hole)
        continue;
      has_hole = TRUE;
      for (guint i = 0; i + 1 < n_points; i++)
        {
          double x, y;
          rake_map_view_to_px (view, points_mm[2 * i], points_mm[2 * i + 1], &x, &y);
          if (i == 0)
            cairo_move_to (cr, x, y);
          else
            cairo_line_to (cr, x, y);
        }
      cairo_close_path (cr);
    }
  if (!has_hole)
    return;
  /* Dark inside the piece, whatever the bench is. */
  rake_pen_colour (pen,
                   pen->is_ink ? pen->palette->ground
                   : pen->theme == RAKE_THEME_DARK
                       ? rake_colour_from_hex (0x0d0b0a)
                       : rake_colour_mix (pen->palette->ground, pen->palette->ink, 0.10),
                   1);
  cairo_fill (cr);
}

void
rake_map_draw_seams (cairo_t *cr, const RakeMapView *view, const RakeFace *face)
{
  RakePen pen;

  rake_pen_init (&pen, cr, view, face);
  cairo_save (cr);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  trace_all_zones (cr, view, face);
  if (pen.is_ink)
    {
      rake_pen_line (&pen, pen.materials->seam, 1, 0.9);
      cairo_stroke (cr);
    }
  else
    {
      rake_pen_line (&pen, pen.materials->seam_edge, 1, 3.4);
      cairo_stroke_preserve (cr);
      rake_pen_line (&pen, pen.materials->seam, 1, 1.9);
      cairo_stroke (cr);
    }
  draw_holes (&pen, view, face);
  rake_shape_trace (cr, view, face->outline);
  if (!pen.is_ink)
    {
      rake_pen_line (&pen, pen.materials->shade, 0.55, 4);
      cairo_stroke_preserve (cr);
    }
  rake_pen_line (&pen, pen.materials->edge, 1, 1.7);
  cairo_stroke (cr);
  cairo_restore (cr);
}

void
rake_map_draw_zone_edge (cairo_t *cr, const RakeMapView *view, const RakeZone *zone,
                         RakeZoneFlags flags)
{
  RakePen pen;
  double unit;

  if (flags == RAKE_ZONE_PLAIN)
    return;
  rake_pen_init (&pen, cr, view, zone->face);
  unit = pen.unit_px;
  cairo_save (cr);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  if (flags & RAKE_ZONE_HOVERED)
    {
      rake_shape_trace (cr, view, zone->shape);
      rake_pen_line (&pen, pen.palette->ink, 0.55, 2);
      cairo_stroke (cr);
    }
  if (flags & RAKE_ZONE_SELECTED)
    {
      rake_shape_trace (cr, view, zone->shape);
      rake_pen_line (&pen, pen.palette->lamp_fill, 0.22, 10);
      cairo_stroke_preserve (cr);
      rake_pen_line (&pen, pen.materials->shade, 0.5, 5);
      cairo_stroke_preserve (cr);
      rake_pen_line (&pen, pen.palette->lamp_fill, 1, 3.2);
      cairo_stroke (cr);
    }
  else if (flags & RAKE_ZONE_SUGGESTED)
    {
      rake_shape_trace (cr, view, zone->shape);
      rake_pen_line (&pen, pen.materials->shade, 0.45, 4);
      cairo_set_dash (cr, (double[]){ 9 * unit, 7 * unit }, 2, 0);
      cairo_stroke_preserve (cr);
      rake_pen_line (&pen, pen.palette->lamp_fill, 1, 2.2);
      cairo_stroke (cr);
    }
  cairo_restore (cr);
}
