/* lay-photo-over.c - the drawing over the photograph, and the photograph under the drawing. */
#include "lay-photo-private.h"

#include "photo-work.h"
#include "theme.h"

#include <math.h>

/* Straight edges are curves in a photograph: so long may a piece of one be. */
#define PIECE_MM 15.0

/* How much longer than it is a pair's error is drawn: a pixel could not be seen. */
#define ERROR_TIMES 10.0

#define WARP_SOON_MS 60

/* --- the drawing over the photograph -------------------------------------------------------------- */

static gboolean
trace_to (RakeLayPhotoPage *self, cairo_t *cr, double x_mm, double y_mm, gboolean is_begun)
{
  double x_px, y_px;

  if (!rake_photo_map_to_photo (self->map, x_mm, y_mm, &x_px, &y_px))
    return FALSE;
  rake_photo_view_from_file_px (self->photo_view, x_px, y_px, &x_px, &y_px);
  /* cairo counts in 24 bits. */
  if (fabs (x_px) > 1e6 || fabs (y_px) > 1e6)
    return FALSE;
  if (is_begun)
    cairo_line_to (cr, x_px, y_px);
  else
    cairo_move_to (cr, x_px, y_px);
  return TRUE;
}

void
rake_lay_trace (RakeLayPhotoPage *self, cairo_t *cr, const RakeShape *shape)
{
  for (guint ring = 0; self->map && ring < rake_shape_get_n_rings (shape); ring++)
    {
      guint n_points;
      const double *at = rake_shape_get_ring (shape, ring, &n_points, NULL);
      gboolean is_begun = n_points > 0 && trace_to (self, cr, at[0], at[1], FALSE);

      for (guint i = 1; i < n_points; i++, at += 2)
        {
          double dx = at[2] - at[0], dy = at[3] - at[1];
          int n_pieces = (int) CLAMP (ceil (hypot (dx, dy) / PIECE_MM), 1, 200);

          for (int k = 1; k <= n_pieces; k++)
            is_begun =
                trace_to (self, cr, at[0] + dx * k / n_pieces, at[1] + dy * k / n_pieces, is_begun);
        }
    }
}

static void
stroke_on_photo (cairo_t *cr, RakeColour colour, double width_px, double alpha)
{
  cairo_set_source_rgba (cr, 0, 0, 0, 0.55 * alpha);
  cairo_set_line_width (cr, width_px + 2);
  cairo_stroke_preserve (cr);
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, alpha);
  cairo_set_line_width (cr, width_px);
  cairo_stroke (cr);
}

static void
draw_face (RakeLayPhotoPage *self, cairo_t *cr, const RakeFace *face)
{
  const RakePalette *palette = rake_palette_get (RAKE_THEME_DARK);

  if (self->over_opacity <= 0)
    return;
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  for (guint i = 0; face->zones->len > 1 && i < face->zones->len; i++)
    rake_lay_trace (self, cr, ((const RakeZone *) face->zones->pdata[i])->shape);
  stroke_on_photo (cr, (RakeColour){ 1, 1, 1, 1 }, 1, 0.8 * self->over_opacity);
  rake_lay_trace (self, cr, face->outline);
  stroke_on_photo (cr, palette->lamp_fill, 2, self->over_opacity);
}

/* From where a point was put towards where the fit puts it, ten times as long. */
static void
draw_errors (RakeLayPhotoPage *self, cairo_t *cr)
{
  for (guint i = 0; i < self->laying->pairs->len; i++)
    {
      const RakeLayPair *pair = rake_laying_get_pair (self->laying, i);
      double x, y, put_x, put_y;

      if (!pair->is_placed || !rake_photo_map_to_photo (self->map, pair->x_mm, pair->y_mm, &x, &y))
        continue;
      rake_photo_view_from_file_px (self->photo_view, pair->x_px, pair->y_px, &put_x, &put_y);
      rake_photo_view_from_file_px (self->photo_view, x, y, &x, &y);
      cairo_move_to (cr, put_x, put_y);
      cairo_line_to (cr, put_x + ERROR_TIMES * (x - put_x), put_y + ERROR_TIMES * (y - put_y));
    }
  stroke_on_photo (cr, (RakeColour){ 1, 1, 1, 1 }, 1.5, 1);
}

static void
draw_over (GtkSnapshot *snapshot, RakePhotoView *view, gpointer data)
{
  RakeLayPhotoPage *self = data;
  const RakePhoto *photo = rake_lay_find_photo (self);
  graphene_rect_t box = GRAPHENE_RECT_INIT (0, 0, (float) gtk_widget_get_width (GTK_WIDGET (view)),
                                            (float) gtk_widget_get_height (GTK_WIDGET (view)));
  cairo_t *cr;

  if (!self->laying || !self->map || !photo || !photo->face)
    return;
  cr = gtk_snapshot_append_cairo (snapshot, &box);
  draw_face (self, cr, photo->face);
  if (self->mode == RAKE_LAY_POINTS)
    draw_errors (self, cr);
  else
    rake_lay_paint_marks (self, cr);
  cairo_destroy (cr);
}

void
rake_lay_add_overlay (RakeLayPhotoPage *self)
{
  rake_photo_view_add_overlay (self->photo_view, draw_over, self);
}

/* --- the photograph under the drawing -------------------------------------------------------------- */

static void
take_laid (GdkTexture *texture, double x_mm, double y_mm, double px_per_mm, const GError *error,
           gpointer data)
{
  RakeLayPhotoPage *self = data;

  g_clear_object (&self->warping);
  rake_outline_view_lay_under (self->outline_view, texture, x_mm, y_mm, px_per_mm);
}

static gboolean
warp (gpointer data)
{
  RakeLayPhotoPage *self = data;
  RakePhotoMap *map = self->laying ? rake_laying_new_map (self->laying) : NULL;

  self->warp_soon = 0;
  if (self->warping)
    g_cancellable_cancel (self->warping);
  g_clear_object (&self->warping);
  if (!map || !self->picture)
    {
      rake_photo_map_free (map);
      rake_outline_view_lay_under (self->outline_view, NULL, 0, 0, 1);
      return G_SOURCE_REMOVE;
    }
  self->warping = g_cancellable_new ();
  rake_photo_work_lay_picture (self->laying->outline, self->picture, map, self->laying->width_px,
                               self->laying->height_px, RAKE_PHOTO_FLAT_PX, self->warping,
                               take_laid, self);
  return G_SOURCE_REMOVE;
}

/* While a point is dragged the drawing follows on the photograph; what is under the drawing follows
 * when the hand rests. */
void
rake_lay_take_map (RakeLayPhotoPage *self)
{
  g_clear_pointer (&self->map, rake_photo_map_free);
  self->map = self->laying ? rake_laying_new_map (self->laying) : NULL;
  rake_photo_view_queue_overlays (self->photo_view);
  g_clear_handle_id (&self->warp_soon, g_source_remove);
  self->warp_soon = g_timeout_add (WARP_SOON_MS, warp, self);
}

static void
take_picture (RakePhotoPicture *picture, const GError *error, gpointer data)
{
  RakeLayPhotoPage *self = data;

  g_clear_object (&self->reading);
  self->picture = picture;
  rake_lay_take_map (self);
}

void
rake_lay_read_picture (RakeLayPhotoPage *self)
{
  const RakePhoto *photo = rake_lay_find_photo (self);

  rake_lay_drop_picture (self);
  if (!photo || photo->withdrawal)
    return;
  self->reading = g_cancellable_new ();
  rake_photo_work_read (rake_session_view_get_session (self), photo,
                        2 * RAKE_PHOTO_FLAT_PX * RAKE_PHOTO_FLAT_PX, self->reading, take_picture,
                        self);
}

void
rake_lay_drop_picture (RakeLayPhotoPage *self)
{
  g_clear_handle_id (&self->warp_soon, g_source_remove);
  if (self->reading)
    g_cancellable_cancel (self->reading);
  g_clear_object (&self->reading);
  if (self->warping)
    g_cancellable_cancel (self->warping);
  g_clear_object (&self->warping);
  g_clear_pointer (&self->picture, rake_photo_picture_unref);
  g_clear_pointer (&self->map, rake_photo_map_free);
  rake_outline_view_lay_under (self->outline_view, NULL, 0, 0, 1);
}
