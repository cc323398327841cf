/* face-map-paint.c - the picture of the face, kept in drawing nodes.
 *
 * A node that is kept costs nothing but being gone through, a node made anew is rasterised. While the
 * view moves everything would be new; then a picture of the last sharp view is moved instead, and the
 * face drawn sharp when the hand stops: over that picture, until all zones are there. While the lamp
 * is dragged the light on the ground follows the finger, and the zones are lit anew when it stops.
 * Figures: docs/speed.md. */
#include "face-map-paint.h"
#include "theme.h"

#include <math.h>

#define SHARPEN_MS 150

void
rake_face_map_forget_paint (RakeFaceMap *self)
{
  rake_face_map_forget_zones (self);
  g_clear_pointer (&self->glow, gsk_render_node_unref);
  g_clear_pointer (&self->under, gsk_render_node_unref);
  g_clear_pointer (&self->under_pixels, gsk_render_node_unref);
  g_clear_pointer (&self->seams, gsk_render_node_unref);
  g_clear_pointer (&self->lamp, gsk_render_node_unref);
  g_clear_pointer (&self->picture, gsk_render_node_unref);
  g_clear_pointer (&self->still, cairo_surface_destroy);
  self->glow_stamp = self->seams_stamp = self->lamp_stamp = 0;
  self->under_stamp = self->under_pixels_stamp = 0;
}

void
rake_face_map_free_paint (RakeFaceMap *self)
{
  g_clear_handle_id (&self->sharpen, g_source_remove);
  if (self->following)
    gtk_widget_remove_tick_callback (GTK_WIDGET (self), self->following);
  self->following = 0;
  rake_face_map_forget_paint (self);
}

/* --- stamps ---------------------------------------------------------------------------------- */

guint64
rake_face_map_get_place_stamp (RakeFaceMap *self)
{
  const RakeMapView *view = &self->view;
  guint64 stamp =
      rake_stamp_mix (RAKE_STAMP_START, (guint64) gtk_widget_get_scale_factor (GTK_WIDGET (self)));

  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, view->width_px), view->height_px);
  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, view->origin_x_px), view->origin_y_px);
  return rake_stamp_mix_real (rake_stamp_mix_real (stamp, view->px_per_mm), view->text_px);
}

guint64
rake_face_map_get_view_stamp (RakeFaceMap *self)
{
  return rake_stamp_mix (rake_face_map_get_place_stamp (self), (guint64) self->view.theme);
}

/* --- what is not a zone's -------------------------------------------------------------------- */

/* TRUE when @node must be drawn anew; it is dropped then. */
static gboolean
is_stale (GskRenderNode **node, guint64 *stamp, guint64 now)
{
  if (*node && *stamp == now)
    return FALSE;
  g_clear_pointer (node, gsk_render_node_unref);
  *stamp = now;
  return TRUE;
}

static void
append_glow (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeFace *face)
{
  guint64 stamp = rake_stamp_mix_real (rake_face_map_get_view_stamp (self), self->view.lamp_deg);

  if (is_stale (&self->glow, &self->glow_stamp, stamp))
    {
      graphene_rect_t box = rake_face_map_get_view_box (self);
      cairo_t *cr;
      self->glow = gsk_cairo_node_new (&box);
      cr = gsk_cairo_node_get_draw_context (self->glow);
      rake_map_draw_glow (cr, &self->view, face);
      cairo_destroy (cr);
    }
  gtk_snapshot_append_node (snapshot, self->glow);
}

static void
append_seams (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeShot *shot)
{
  const GPtrArray *zones = shot->face->zones;
  guint64 stamp = rake_stamp_mix_pointer (shot->view_stamp, shot->face->outline);

  for (guint i = 0; i < zones->len; i++)
    stamp = rake_stamp_mix_pointer (stamp, ((const RakeZone *) zones->pdata[i])->shape);
  if (is_stale (&self->seams, &self->seams_stamp, stamp))
    {
      graphene_rect_t box = rake_face_map_get_view_box (self);
      cairo_t *cr = rake_face_map_begin_pixels (self, &box);
      rake_map_draw_seams (cr, &self->view, shot->face);
      self->seams = rake_face_map_end_pixels (cr, &box);
    }
  gtk_snapshot_append_node (snapshot, self->seams);
}

static void
append_lamp (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeFace *face)
{
  gboolean is_grabbed = self->hand == RAKE_HAND_LAMP;
  guint64 stamp = rake_stamp_mix_real (rake_face_map_get_view_stamp (self), self->view.lamp_deg);

  if (is_stale (&self->lamp, &self->lamp_stamp, rake_stamp_mix (stamp, (guint64) is_grabbed)))
    {
      graphene_rect_t box = rake_face_map_get_view_box (self);
      cairo_t *cr;
      self->lamp = gsk_cairo_node_new (&box);
      cr = gsk_cairo_node_get_draw_context (self->lamp);
      rake_map_draw_lamp (cr, &self->view, face, is_grabbed);
      cairo_destroy (cr);
    }
  gtk_snapshot_append_node (snapshot, self->lamp);
}

/* --- the whole picture ----------------------------------------------------------------------- */

static gboolean
follow (GtkWidget *widget, GdkFrameClock *clock, gpointer user_data)
{
  RakeFaceMap *self = RAKE_FACE_MAP (widget);
  gboolean is_going_on = rake_face_map_fade_zones (self);

  gtk_widget_queue_draw (widget);
  if (!is_going_on)
    self->following = 0;
  return is_going_on ? G_SOURCE_CONTINUE : G_SOURCE_REMOVE;
}

void
rake_face_map_follow_up (RakeFaceMap *self)
{
  if (!self->following)
    self->following = gtk_widget_add_tick_callback (GTK_WIDGET (self), follow, NULL, NULL);
}

/* A picture as pixels: a node would be rasterised again in every frame. */
static void
take_still (RakeFaceMap *self, GskRenderNode *picture, const RakeMapView *view, gboolean lights)
{
  int scale = gtk_widget_get_scale_factor (GTK_WIDGET (self));
  cairo_t *cr;

  g_clear_pointer (&self->still, cairo_surface_destroy);
  self->still = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) view->width_px * scale,
                                            (int) view->height_px * scale);
  cairo_surface_set_device_scale (self->still, scale, scale);
  cr = cairo_create (self->still);
  gsk_render_node_draw (picture, cr);
  cairo_destroy (cr);
  self->still_view = *view;
  self->still_has_lights = lights;
}

static void
append_still (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  graphene_rect_t box = rake_face_map_get_view_box (self);
  double factor = self->view.px_per_mm / self->still_view.px_per_mm;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);

  cairo_translate (cr, self->view.origin_x_px - self->still_view.origin_x_px * factor,
                   self->view.origin_y_px - self->still_view.origin_y_px * factor);
  cairo_scale (cr, factor, factor);
  cairo_set_source_surface (cr, self->still, 0, 0);
  cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_FAST);
  cairo_paint (cr);
  cairo_destroy (cr);
}

/* GSK compares the nodes of two frames in their order, so what comes and goes has a place of its own:
 * else all that follows would be compared with its neighbour, and painted anew. Takes @layer over. */
static void
append_layer (GtkSnapshot *snapshot, GtkSnapshot *layer)
{
  GskRenderNode *content = gtk_snapshot_free_to_node (layer);
  GskRenderNode *node = gsk_container_node_new (&content, content ? 1 : 0);

  gtk_snapshot_append_node (snapshot, node);
  gsk_render_node_unref (node);
  g_clear_pointer (&content, gsk_render_node_unref);
}

static void
append_zones (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeShot *shot, RakeLayer of_zones)
{
  GtkSnapshot *layer = gtk_snapshot_new ();

  rake_face_map_append_zones (self, layer, shot, of_zones);
  append_layer (snapshot, layer);
}

/* The ground's glow with @lights; what was shown elsewhere until all zones are drawn. */
static void
append_ground (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeFace *face, gboolean lights)
{
  GtkSnapshot *layer = gtk_snapshot_new ();

  if (lights)
    append_glow (self, layer, face);
  if (self->still)
    append_still (self, layer);
  append_layer (snapshot, layer);
}

static void
append_edges (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeShot *shot)
{
  GtkSnapshot *layer = gtk_snapshot_new ();

  rake_face_map_append_edges (self, layer, shot);
  append_layer (snapshot, layer);
  layer = gtk_snapshot_new ();
  rake_face_map_paint_leaders (self, layer);
  append_layer (snapshot, layer);
}

static void
append_under (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  GtkSnapshot *layer = gtk_snapshot_new ();

  rake_face_map_append_under (self, layer);
  append_layer (snapshot, layer);
}

/* With @lights the ground's glow and the lamp, too. Returns whether all zones are drawn. */
static gboolean
append_sharp (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeFace *face, gboolean lights)
{
  g_autoptr (RakeShot) shot = rake_face_map_new_shot (self, face);
  gboolean is_all = rake_face_map_draw_zones (self, shot);

  if (is_all)
    g_clear_pointer (&self->still, cairo_surface_destroy);
  else if (!self->still && self->picture && self->picture_stamp != shot->place_stamp)
    take_still (self, self->picture, &self->picture_view, TRUE);
  lights = lights && !(self->still && self->still_has_lights);
  append_ground (self, snapshot, face, lights);
  append_zones (self, snapshot, shot, RAKE_LAYER_SURFACE);
  append_under (self, snapshot);
  append_seams (self, snapshot, shot);
  append_zones (self, snapshot, shot, RAKE_LAYER_MARKS);
  append_edges (self, snapshot, shot);
  append_zones (self, snapshot, shot, RAKE_LAYER_LABEL);
  if (lights)
    append_lamp (self, snapshot, face);
  return is_all;
}

static void
append_picture (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeFace *face)
{
  GtkSnapshot *inner = gtk_snapshot_new ();

  if (!append_sharp (self, inner, face, TRUE))
    rake_face_map_follow_up (self);
  g_clear_pointer (&self->picture, gsk_render_node_unref);
  self->picture = gtk_snapshot_free_to_node (inner);
  self->picture_view = self->view;
  self->picture_stamp = rake_face_map_get_place_stamp (self);
  if (self->picture)
    gtk_snapshot_append_node (snapshot, self->picture);
}

gboolean
rake_face_map_is_moving (RakeFaceMap *self)
{
  return self->still && self->sharpen;
}

void
rake_face_map_make_sharp (RakeFaceMap *self)
{
  g_clear_handle_id (&self->sharpen, g_source_remove);
  if (!self->still)
    return;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  gtk_widget_queue_allocate (GTK_WIDGET (self));
}

static gboolean
hand_stopped (gpointer user_data)
{
  RakeFaceMap *self = user_data;

  self->sharpen = 0;
  rake_face_map_make_sharp (self);
  return G_SOURCE_REMOVE;
}

void
rake_face_map_hold_still (RakeFaceMap *self, gboolean lights)
{
  const RakeFace *face = self->session ? rake_session_get_face (self->session) : NULL;

  if (self->still && self->still_has_lights != lights)
    g_clear_pointer (&self->still, cairo_surface_destroy);
  if (!self->still && face && self->view.width_px >= 1 && self->view.height_px >= 1)
    {
      GtkSnapshot *snapshot = gtk_snapshot_new ();
      GskRenderNode *node;
      append_sharp (self, snapshot, face, lights);
      node = gtk_snapshot_free_to_node (snapshot);
      if (node)
        take_still (self, node, &self->view, lights);
      g_clear_pointer (&node, gsk_render_node_unref);
    }
  /* Counted from when the picture was taken, which may itself take as long. */
  g_clear_handle_id (&self->sharpen, g_source_remove);
  self->sharpen =
      g_timeout_add_full (G_PRIORITY_DEFAULT_IDLE, SHARPEN_MS, hand_stopped, self, NULL);
}

static void
append_preview (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  RakeMarkKind kind;
  const RakeShape *shape = rake_face_map_get_preview (self, &kind);
  RakeBounds bounds;
  double x, y, right, bottom;
  graphene_rect_t box;
  cairo_t *cr;

  if (!shape)
    return;
  bounds = rake_shape_get_bounds (shape);
  rake_map_view_to_px (&self->view, bounds.min_x_mm, bounds.min_y_mm, &x, &y);
  rake_map_view_to_px (&self->view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
  graphene_rect_init (&box, (float) (x - RAKE_OVERHANG_PX), (float) (y - RAKE_OVERHANG_PX),
                      (float) (right - x + 2 * RAKE_OVERHANG_PX),
                      (float) (bottom - y + 2 * RAKE_OVERHANG_PX));
  graphene_rect_round_extents (&box, &box);
  cr = gtk_snapshot_append_cairo (snapshot, &box);
  rake_map_draw_mark_preview (cr, &self->view, kind, shape);
  cairo_destroy (cr);
}

/* The size of the brush where the pointer is, and the cross that the keys move. */
static void
append_tool (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  const RakePalette *palette = rake_palette_get (self->view.theme);
  const RakeBench *bench = rake_session_get_bench (self->session);
  gboolean is_patch = bench->brush != RAKE_MARK_UNSAID && bench->brush != RAKE_MARK_SCRATCH &&
                      bench->brush != RAKE_MARK_WITNESS_LINE;
  double radius = is_patch ? MAX (bench->brush_radius_mm * self->view.px_per_mm, 3) : 0;
  double x = self->pointer_x, y = self->pointer_y;
  double reach = MAX (radius, 16) + 4;
  graphene_rect_t box;
  cairo_t *cr;

  if (self->has_cross)
    rake_map_view_to_px (&self->view, self->cross_x_mm, self->cross_y_mm, &x, &y);
  else if (!is_patch || !isfinite (x))
    return;
  graphene_rect_init (&box, (float) (x - reach), (float) (y - reach), (float) (2 * reach),
                      (float) (2 * reach));
  graphene_rect_round_extents (&box, &box);
  cr = gtk_snapshot_append_cairo (snapshot, &box);
  cairo_set_source_rgb (cr, palette->lamp.red, palette->lamp.green, palette->lamp.blue);
  cairo_set_line_width (cr, 1.5);
  if (is_patch)
    {
      cairo_arc (cr, x, y, radius, 0, 2 * G_PI);
      cairo_stroke (cr);
    }
  if (self->has_cross)
    {
      for (int arm = 0; arm < 4; arm++)
        {
          double dx = cos (arm * G_PI / 2), dy = sin (arm * G_PI / 2);
          cairo_move_to (cr, x + 4 * dx, y + 4 * dy);
          cairo_line_to (cr, x + 15 * dx, y + 15 * dy);
        }
      cairo_stroke (cr);
    }
  cairo_destroy (cr);
}

void
rake_face_map_paint (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  const RakeFace *face = self->session ? rake_session_get_face (self->session) : NULL;
  gboolean is_moving = rake_face_map_is_moving (self);

  if (!face || self->view.width_px < 1)
    return;
  if (is_moving && !self->still_has_lights)
    append_glow (self, snapshot, face);
  if (is_moving)
    append_still (self, snapshot);
  else
    append_picture (self, snapshot, face);
  if (is_moving && !self->still_has_lights)
    append_lamp (self, snapshot, face);
  append_preview (self, snapshot);
  append_tool (self, snapshot);
}

void
rake_face_map_finish (RakeFaceMap *self)
{
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  gint64 drawing_us = self->drawing_us;

  rake_face_map_make_sharp (self);
  self->drawing_us = G_MAXINT64;
  rake_face_map_paint (self, snapshot);
  self->drawing_us = drawing_us;
  g_object_unref (snapshot);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
