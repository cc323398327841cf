/* photo-thumb.c - a photograph's thumbnail as a widget. */
#include "photo-thumb.h"
#include "photo-desk.h"

#include <math.h>

struct _RakePhotoThumb
{
  GtkWidget parent_instance;

  int side_px;
  GCancellable *loading;
  cairo_surface_t *picture; /* at the size that it is shown in; NULL: none, or not yet */
  gboolean is_gone;         /* withdrawn, or it cannot be read */
};

G_DEFINE_FINAL_TYPE (RakePhotoThumb, rake_photo_thumb, GTK_TYPE_WIDGET)

/* --- the picture ----------------------------------------------------------------------------------- */

static cairo_surface_t *
download (GdkTexture *texture)
{
  cairo_surface_t *surface = cairo_image_surface_create (
      CAIRO_FORMAT_ARGB32, gdk_texture_get_width (texture), gdk_texture_get_height (texture));

  gdk_texture_download (texture, cairo_image_surface_get_data (surface),
                        (gsize) cairo_image_surface_get_stride (surface));
  cairo_surface_mark_dirty (surface);
  return surface;
}

/* Made smaller once, not in every frame: a strip of them moves while it is scrolled. */
static void
take_picture (RakePhotoThumb *self, GdkTexture *texture)
{
  int factor = gtk_widget_get_scale_factor (GTK_WIDGET (self));
  int side = self->side_px * factor;
  cairo_surface_t *whole = download (texture);
  double width = gdk_texture_get_width (texture), height = gdk_texture_get_height (texture);
  double scale = side / MIN (width, height);
  cairo_t *cr;

  g_clear_pointer (&self->picture, cairo_surface_destroy);
  self->picture = cairo_image_surface_create (CAIRO_FORMAT_RGB24, side, side);
  cr = cairo_create (self->picture);
  cairo_translate (cr, (side - width * scale) / 2, (side - height * scale) / 2);
  cairo_scale (cr, scale, scale);
  cairo_set_source_surface (cr, whole, 0, 0);
  cairo_paint (cr);
  cairo_destroy (cr);
  cairo_surface_destroy (whole);
  cairo_surface_set_device_scale (self->picture, factor, factor);
}

static void
on_ready (GdkTexture *texture, const GError *error, gpointer user_data)
{
  RakePhotoThumb *self = user_data;

  g_clear_object (&self->loading);
  if (texture)
    take_picture (self, texture);
  self->is_gone = !texture;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
stop_loading (RakePhotoThumb *self)
{
  if (self->loading)
    g_cancellable_cancel (self->loading);
  g_clear_object (&self->loading);
}

void
rake_photo_thumb_show (RakePhotoThumb *self, RakeSession *session, RakeId id)
{
  const RakePhoto *photo =
      session ? rake_job_find_photo (rake_session_get_job (session), id) : NULL;
  RakePhotoDesk *desk = photo ? rake_photo_desk_get (session) : NULL;
  GdkTexture *there = photo ? rake_photo_desk_peek (desk, photo, RAKE_PHOTO_COPY_THUMBNAIL) : NULL;

  stop_loading (self);
  g_clear_pointer (&self->picture, cairo_surface_destroy);
  self->is_gone = photo && photo->withdrawal;
  if (there)
    take_picture (self, there);
  else if (photo && !photo->withdrawal)
    {
      self->loading = g_cancellable_new ();
      rake_photo_desk_load (desk, photo, RAKE_PHOTO_COPY_THUMBNAIL, self->loading, on_ready, self);
    }
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- class ----------------------------------------------------------------------------------------- */

static void
rake_photo_thumb_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                          int *natural, int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = RAKE_PHOTO_THUMB (widget)->side_px;
}

/* A cross where there is no picture any more, in the colour of the text. */
static void
draw_gone (GtkWidget *widget, cairo_t *cr, double side)
{
  GdkRGBA ink;

  gtk_style_context_get_color (gtk_widget_get_style_context (widget), &ink);
  ink.alpha *= 0.5f;
  gdk_cairo_set_source_rgba (cr, &ink);
  cairo_set_line_width (cr, 1.5);
  cairo_move_to (cr, side * 0.3, side * 0.3);
  cairo_line_to (cr, side * 0.7, side * 0.7);
  cairo_move_to (cr, side * 0.7, side * 0.3);
  cairo_line_to (cr, side * 0.3, side * 0.7);
  cairo_stroke (cr);
}

static void
rake_photo_thumb_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakePhotoThumb *self = RAKE_PHOTO_THUMB (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  graphene_rect_t bounds =
      GRAPHENE_RECT_INIT ((float) (width - self->side_px) / 2, (float) (height - self->side_px) / 2,
                          (float) self->side_px, (float) self->side_px);
  cairo_t *cr;

  if (!self->picture && !self->is_gone)
    return;
  cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  cairo_translate (cr, floor (bounds.origin.x), floor (bounds.origin.y));
  if (self->picture)
    {
      cairo_set_source_surface (cr, self->picture, 0, 0);
      cairo_paint (cr);
    }
  else
    draw_gone (widget, cr, self->side_px);
  cairo_destroy (cr);
}

static void
rake_photo_thumb_dispose (GObject *object)
{
  RakePhotoThumb *self = RAKE_PHOTO_THUMB (object);

  stop_loading (self);
  g_clear_pointer (&self->picture, cairo_surface_destroy);
  G_OBJECT_CLASS (rake_photo_thumb_parent_class)->dispose (object);
}

static void
rake_photo_thumb_class_init (RakePhotoThumbClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_photo_thumb_dispose;
  widget_class->measure = rake_photo_thumb_measure;
  widget_class->snapshot = rake_photo_thumb_snapshot;
  gtk_widget_class_set_css_name (widget_class, "photothumb");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
rake_photo_thumb_init (RakePhotoThumb *self)
{
}

GtkWidget *
rake_photo_thumb_new (int side_px)
{
  RakePhotoThumb *self = g_object_new (RAKE_TYPE_PHOTO_THUMB, NULL);

  self->side_px = side_px;
  return GTK_WIDGET (self);
}
