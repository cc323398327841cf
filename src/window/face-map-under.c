/* face-map-under.c - the photograph under the map: over the surfaces as they were told, and under seams,
 * marks and labels. */
#include "face-map-private.h"
#include "photo-under.h"
#include "stamp.h"

static GskRenderNode *
new_under (RakeFaceMap *self, GdkTexture *texture, const graphene_rect_t *box_mm, double opacity)
{
  double x_px, y_px, scale = self->view.px_per_mm;
  GskRenderNode *picture, *node;

  rake_map_view_to_px (&self->view, (double) box_mm->origin.x, (double) box_mm->origin.y, &x_px,
                       &y_px);
  picture = gsk_texture_node_new (
      texture, &GRAPHENE_RECT_INIT ((float) x_px, (float) y_px,
                                    (float) ((double) box_mm->size.width * scale),
                                    (float) ((double) box_mm->size.height * scale)));
  node = gsk_opacity_node_new (picture, (float) opacity);
  gsk_render_node_unref (picture);
  return node;
}

void
rake_face_map_append_under (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  RakePhotoUnder *under = rake_photo_under_get (self->session);
  double opacity = rake_photo_under_get_opacity (under);
  graphene_rect_t box_mm;
  GdkTexture *texture = rake_photo_under_peek (under, &box_mm);
  guint64 stamp = rake_stamp_mix_real (
      rake_stamp_mix_pointer (rake_face_map_get_view_stamp (self), texture), opacity);

  if (!texture || !(opacity > 0))
    {
      g_clear_pointer (&self->under, gsk_render_node_unref);
      return;
    }
  if (!self->under || self->under_stamp != stamp)
    {
      g_clear_pointer (&self->under, gsk_render_node_unref);
      self->under = new_under (self, texture, &box_mm, opacity);
      self->under_stamp = stamp;
    }
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
