/* proposals-draw.c - see proposals-draw.h. */
#include "proposals-draw.h"

#include "theme.h"

#include <math.h>

#define LINE_PX 1.5
#define CASING_PX 3.5
#define POINTED_PX 8.0
#define FILL_ALPHA 0.35

static gboolean
to_view (RakePhotoView *view, const RakePhotoMap *map, double x_mm, double y_mm, double *x,
         double *y)
{
  double x_px, y_px;

  if (!rake_photo_map_to_photo (map, x_mm, y_mm, &x_px, &y_px))
    return FALSE;
  rake_photo_view_from_file_px (view, x_px, y_px, x, y);
  return TRUE;
}

/* FALSE when a part of it does not lie in the photograph. */
static gboolean
add_path (cairo_t *cr, RakePhotoView *view, const RakePhotoMap *map, const RakeShape *shape)
{
  cairo_new_path (cr);
  for (guint ring = 0; ring < rake_shape_get_n_rings (shape); ring++)
    {
      guint n;
      const double *points = rake_shape_get_ring (shape, ring, &n, NULL);

      for (guint i = 0; i < n; i++)
        {
          double x, y;

          if (!to_view (view, map, points[2 * i], points[2 * i + 1], &x, &y))
            return FALSE;
          if (i == 0)
            cairo_move_to (cr, x, y);
          else
            cairo_line_to (cr, x, y);
        }
      if (rake_shape_get_kind (shape) == RAKE_SHAPE_AREA)
        cairo_close_path (cr);
    }
  return TRUE;
}

/* Dark under light, so that it is seen on any picture. */
static void
stroke (cairo_t *cr, const RakeColour *colour, double width_px, gboolean is_dashed)
{
  static const double dashes[] = { 4, 2 };

  cairo_set_source_rgba (cr, 0, 0, 0, 0.6);
  cairo_set_line_width (cr, width_px + CASING_PX - LINE_PX);
  cairo_stroke_preserve (cr);
  cairo_set_source_rgba (cr, colour->red, colour->green, colour->blue, 1);
  cairo_set_line_width (cr, width_px);
  cairo_set_dash (cr, dashes, is_dashed ? 2 : 0, 0);
  cairo_stroke_preserve (cr);
  cairo_set_dash (cr, NULL, 0, 0);
}

static void
draw_one (cairo_t *cr, RakePhotoView *view, const RakePhotoMap *map, RakeProposal *proposal,
          gboolean is_pointed)
{
  const RakeColour *colour = &rake_palette_get (RAKE_THEME_DARK)->lamp_fill;
  const RakeShape *shape = rake_proposal_get_shape (proposal);
  gboolean is_taken = rake_proposal_is_taken (proposal);

  if (!add_path (cr, view, map, shape))
    return;
  if (is_taken && rake_shape_get_kind (shape) == RAKE_SHAPE_AREA)
    {
      cairo_set_source_rgba (cr, colour->red, colour->green, colour->blue, FILL_ALPHA);
      cairo_fill_preserve (cr);
    }
  if (is_pointed)
    {
      cairo_set_source_rgba (cr, 1, 1, 1, 0.9);
      cairo_set_line_width (cr, POINTED_PX);
      cairo_stroke_preserve (cr);
    }
  stroke (cr, colour, is_taken ? 1.5 * LINE_PX : LINE_PX, !is_taken);
}

void
rake_proposals_draw (GtkSnapshot *snapshot, RakePhotoView *view, RakeProposals *proposals,
                     const RakePhotoMap *map, RakeProposal *pointed)
{
  GListModel *list = rake_proposals_get_list (proposals);
  graphene_rect_t box = GRAPHENE_RECT_INIT (0, 0, (float) gtk_widget_get_width (GTK_WIDGET (view)),
                                            (float) gtk_widget_get_height (GTK_WIDGET (view)));
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);

  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_BUTT);
  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (RakeProposal) proposal = g_list_model_get_item (list, i);
      draw_one (cr, view, map, proposal, proposal == pointed);
    }
  cairo_destroy (cr);
}
