/* outline-view.c - a face drawn plainly. */
#include "outline-view.h"

#include "theme.h"

#include <adwaita.h>
#include <math.h>
#include <rakelight/map.h>
#include "words.h"

#define LOUPE_TIMES 4.0

typedef struct
{
  char *name;
  RakeShape *shape;
} Zone;

struct _RakeOutlineView
{
  RakeFlatView parent_instance;

  RakeShape *outline;
  GArray *zones; /* Zone */
  GdkTexture *under;
  graphene_rect_t under_mm;
  double opacity;
  GskRenderNode *drawing; /* kept while the view stands still */
  graphene_rect_t drawn;  /* for which view: where 0, 0 lay, and the size */
  double drawn_scale;
};

G_DEFINE_FINAL_TYPE (RakeOutlineView, rake_outline_view, RAKE_TYPE_FLAT_VIEW)

static void
clear_zone (gpointer data)
{
  Zone *zone = data;

  g_clear_pointer (&zone->name, g_free);
  g_clear_pointer (&zone->shape, rake_shape_unref);
}

static gboolean
rake_outline_view_get_box (RakeFlatView *view, graphene_rect_t *box)
{
  RakeOutlineView *self = RAKE_OUTLINE_VIEW (view);
  RakeBounds bounds;

  if (!self->outline)
    return FALSE;
  bounds = rake_shape_get_bounds (self->outline);
  *box = GRAPHENE_RECT_INIT ((float) bounds.min_x_mm, (float) bounds.min_y_mm,
                             (float) (bounds.max_x_mm - bounds.min_x_mm),
                             (float) (bounds.max_y_mm - bounds.min_y_mm));
  return TRUE;
}

/* --- drawing ------------------------------------------------------------------------------------ */

/* Millimetres of the face to where cairo is to draw. */
typedef struct
{
  double scale, x_px, y_px;
} Lens;

static void
trace (cairo_t *cr, const Lens *lens, const RakeShape *shape)
{
  for (guint ring = 0; ring < rake_shape_get_n_rings (shape); ring++)
    {
      guint n_points;
      const double *points = rake_shape_get_ring (shape, ring, &n_points, NULL);

      cairo_new_sub_path (cr);
      for (guint i = 0; i < n_points; i++)
        cairo_line_to (cr, lens->x_px + points[2 * i] * lens->scale,
                       lens->y_px + points[2 * i + 1] * lens->scale);
    }
}

static void
set_colour (cairo_t *cr, RakeColour colour, double alpha)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha * alpha);
}

static void
draw_edges (RakeOutlineView *self, cairo_t *cr, const Lens *lens)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());

  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (guint i = 0; i < self->zones->len; i++)
    trace (cr, lens, g_array_index (self->zones, Zone, i).shape);
  set_colour (cr, palette->ground, 0.6);
  cairo_set_line_width (cr, 3);
  cairo_stroke_preserve (cr);
  set_colour (cr, palette->soft_ink, 0.9);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
  trace (cr, lens, self->outline);
  set_colour (cr, palette->ground, 0.6);
  cairo_set_line_width (cr, 4);
  cairo_stroke_preserve (cr);
  set_colour (cr, palette->ink, 1);
  cairo_set_line_width (cr, 2);
  cairo_stroke (cr);
}

static void
draw_names (RakeOutlineView *self, cairo_t *cr, const Lens *lens)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());

  for (guint i = 0; i < self->zones->len; i++)
    {
      const Zone *zone = &g_array_index (self->zones, Zone, i);
      g_autoptr (PangoLayout) layout =
          gtk_widget_create_pango_layout (GTK_WIDGET (self), zone->name);
      double x_mm, y_mm;
      int width, height;

      pango_layout_get_pixel_size (layout, &width, &height);
      rake_shape_get_inner_point (zone->shape, &x_mm, &y_mm);
      cairo_move_to (cr, lens->x_px + x_mm * lens->scale - width / 2.0,
                     lens->y_px + y_mm * lens->scale - height / 2.0);
      pango_cairo_layout_path (cr, layout);
      set_colour (cr, palette->ground, 0.8);
      cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
      cairo_set_line_width (cr, 3);
      cairo_stroke_preserve (cr);
      set_colour (cr, palette->soft_ink, 1);
      cairo_fill (cr);
    }
}

static void
drop_drawing (RakeOutlineView *self)
{
  g_clear_pointer (&self->drawing, gsk_render_node_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
append_under (RakeOutlineView *self, GtkSnapshot *snapshot)
{
  double x_px, y_px, scale = rake_flat_view_get_scale (self);
  graphene_rect_t box;

  rake_flat_view_to_px (self, (double) self->under_mm.origin.x, (double) self->under_mm.origin.y,
                        &x_px, &y_px);
  graphene_rect_init (&box, (float) x_px, (float) y_px,
                      (float) ((double) self->under_mm.size.width * scale),
                      (float) ((double) self->under_mm.size.height * scale));
  gtk_snapshot_push_opacity (snapshot, self->opacity);
  gtk_snapshot_append_texture (snapshot, self->under, &box);
  gtk_snapshot_pop (snapshot);
}

static void
rake_outline_view_paint (RakeFlatView *view, GtkSnapshot *snapshot)
{
  RakeOutlineView *self = RAKE_OUTLINE_VIEW (view);
  graphene_rect_t whole =
      GRAPHENE_RECT_INIT (0, 0, (float) gtk_widget_get_width (GTK_WIDGET (self)),
                          (float) gtk_widget_get_height (GTK_WIDGET (self)));
  Lens lens = { rake_flat_view_get_scale (view), 0, 0 };
  graphene_rect_t now;

  if (!self->outline)
    return;
  if (self->under && self->opacity > 0)
    append_under (self, snapshot);
  rake_flat_view_to_px (view, 0, 0, &lens.x_px, &lens.y_px);
  graphene_rect_init (&now, (float) lens.x_px, (float) lens.y_px, whole.size.width,
                      whole.size.height);
  if (!self->drawing || !graphene_rect_equal (&now, &self->drawn) ||
      fabs (lens.scale - self->drawn_scale) > 0)
    {
      cairo_t *cr;

      g_clear_pointer (&self->drawing, gsk_render_node_unref);
      self->drawn = now;
      self->drawn_scale = lens.scale;
      self->drawing = gsk_cairo_node_new (&whole);
      cr = gsk_cairo_node_get_draw_context (self->drawing);
      draw_edges (self, cr, &lens);
      draw_names (self, cr, &lens);
      cairo_destroy (cr);
    }
  gtk_snapshot_append_node (snapshot, self->drawing);
}

static void
rake_outline_view_paint_loupe (RakeFlatView *view, cairo_t *cr, double x, double y, double reach_px)
{
  Lens lens = { LOUPE_TIMES * rake_flat_view_get_scale (view), 0, 0 };

  lens.x_px = -x * lens.scale;
  lens.y_px = -y * lens.scale;
  draw_edges (RAKE_OUTLINE_VIEW (view), cr, &lens);
}

/* --- public ------------------------------------------------------------------------------------- */

void
rake_outline_view_show (RakeOutlineView *self, const RakeFace *face)
{
  gboolean is_same = face && self->outline && rake_shape_equal (face->outline, self->outline);

  g_array_set_size (self->zones, 0);
  g_clear_pointer (&self->outline, rake_shape_unref);
  self->outline = face ? rake_shape_ref ((RakeShape *) face->outline) : NULL;
  for (guint i = 0; face && i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      const Zone one = { g_strdup (zone->name), rake_shape_ref ((RakeShape *) zone->shape) };

      g_array_append_val (self->zones, one);
    }
  if (!is_same)
    rake_flat_view_fit (self);
  drop_drawing (self);
}

void
rake_outline_view_lay_under (RakeOutlineView *self, GdkTexture *texture, double x_mm, double y_mm,
                             double px_per_mm)
{
  g_set_object (&self->under, texture);
  if (texture)
    self->under_mm = GRAPHENE_RECT_INIT ((float) x_mm, (float) y_mm,
                                         (float) (gdk_texture_get_width (texture) / px_per_mm),
                                         (float) (gdk_texture_get_height (texture) / px_per_mm));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_outline_view_set_opacity (RakeOutlineView *self, double opacity)
{
  self->opacity = CLAMP (opacity, 0, 1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- class -------------------------------------------------------------------------------------- */

static void
rake_outline_view_dispose (GObject *object)
{
  RakeOutlineView *self = RAKE_OUTLINE_VIEW (object);

  g_clear_pointer (&self->outline, rake_shape_unref);
  g_clear_pointer (&self->zones, g_array_unref);
  g_clear_pointer (&self->drawing, gsk_render_node_unref);
  g_clear_object (&self->under);
  G_OBJECT_CLASS (rake_outline_view_parent_class)->dispose (object);
}

static void
rake_outline_view_class_init (RakeOutlineViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = rake_outline_view_dispose;
  RAKE_FLAT_VIEW_CLASS (klass)->get_box = rake_outline_view_get_box;
  RAKE_FLAT_VIEW_CLASS (klass)->paint = rake_outline_view_paint;
  RAKE_FLAT_VIEW_CLASS (klass)->paint_loupe = rake_outline_view_paint_loupe;
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (klass), "outlineview");
}

static void
rake_outline_view_init (RakeOutlineView *self)
{
  self->zones = g_array_new (FALSE, FALSE, sizeof (Zone));
  g_array_set_clear_func (self->zones, clear_zone);
  self->opacity = 0.6;
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Drawing of the face"), -1);
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (drop_drawing), self, G_CONNECT_SWAPPED);
}

RakeOutlineView *
rake_outline_view_new (void)
{
  return g_object_new (RAKE_TYPE_OUTLINE_VIEW, NULL);
}
