/* face-map-under.c - the photograph under the map: over the surfaces as they were told, and under seams,
 * marks and labels. */
#include "face-map-paint.h"
#include "photo-under.h"

/* NULL where nothing of it is seen. */
static GskRenderNode *
new_pixels (RakeFaceMap *self, GdkTexture *texture, const graphene_rect_t *box_mm)
{
  graphene_rect_t whole = rake_face_map_get_view_box (self), box, seen;
  double x_px, y_px, scale = self->view.px_per_mm;
  GskRenderNode *picture;
  cairo_t *cr;

  rake_map_view_to_px (&self->view, (double) box_mm->origin.x, (double) box_mm->origin.y, &x_px,
                       &y_px);
  graphene_rect_init (&box, (float) x_px, (float) y_px,
                      (float) ((double) box_mm->size.width * scale),
                      (float) ((double) box_mm->size.height * scale));
  if (!graphene_rect_intersection (&whole, &box, &seen))
    return NULL;
  graphene_rect_round_extents (&seen, &seen);
  picture = gsk_texture_node_new (texture, &box);
  cr = rake_face_map_begin_pixels (self, &seen);
  gsk_render_node_draw (picture, cr);
  gsk_render_node_unref (picture);
  return rake_face_map_end_pixels (cr, &seen);
}

static void
forget_under (RakeFaceMap *self)
{
  g_clear_pointer (&self->under, gsk_render_node_unref);
  g_clear_pointer (&self->under_pixels, gsk_render_node_unref);
  self->under_stamp = self->under_pixels_stamp = 0;
}

/* The photograph is brought to the view's size once; how strongly it shows may change then. */
void
rake_face_map_append_under (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  RakePhotoUnder *under = rake_photo_under_get (self->session);
  double opacity = rake_photo_under_get_opacity (under);
  graphene_rect_t box_mm;
  GdkTexture *texture = rake_photo_under_peek (under, &box_mm);
  guint64 stamp = rake_stamp_mix_pointer (rake_face_map_get_view_stamp (self), texture);

  if (!texture || !(opacity > 0))
    {
      forget_under (self);
      return;
    }
  if (self->under_pixels_stamp != stamp)
    {
      forget_under (self);
      self->under_pixels = new_pixels (self, texture, &box_mm);
      self->under_pixels_stamp = stamp;
    }
  stamp = rake_stamp_mix_real (stamp, opacity);
  if (self->under_stamp != stamp && self->under_pixels)
    {
      g_clear_pointer (&self->under, gsk_render_node_unref);
      self->under = gsk_opacity_node_new (self->under_pixels, (float) opacity);
      self->under_stamp = stamp;
    }
  if (self->under)
    gtk_snapshot_append_node (snapshot, self->under);
}

static void
under_changed (RakeFaceMap *self)
{
  rake_face_map_make_sharp (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_face_map_follow_under (RakeFaceMap *self, RakeSession *before, RakeSession *session)
{
  if (before)
    g_signal_handlers_disconnect_by_data (rake_photo_under_get (before), self);
  if (session)
    g_signal_connect_swapped (rake_photo_under_get (session), "changed", G_CALLBACK (under_changed),
                              self);
}
