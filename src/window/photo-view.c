/* photo-view.c - one photograph, upright and large. */
#include "photo-view.h"

#include "photo-desk.h"
#include "photo-work.h"
#include "theme.h"

#include <math.h>
#include "words.h"

typedef struct
{
  RakePhotoOverlayFunc draw;
  gpointer data;
} Overlay;

struct _RakePhotoView
{
  RakeFlatView parent_instance;

  RakeId photo;
  RakeTurn turn;
  gboolean is_withdrawn;
  double width_px, height_px; /* as it lies in the file */
  GdkTexture *texture;        /* upright */
  char *sentence;             /* why there is none, or NULL */
  double opacity;
  GArray *overlays;
  GCancellable *reading, *reading_whole;
  RakePhotoPicture *whole;    /* as it lies, at its full size; NULL: not wanted, or not yet there */
};

enum
{
  SIGNAL_PHOTO_TAPPED,
  SIGNAL_READY,
  N_SIGNALS,
};

static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (RakePhotoView, rake_photo_view, RAKE_TYPE_FLAT_VIEW)

/* --- places ------------------------------------------------------------------------------------ */

void
rake_photo_view_to_upright_px (RakePhotoView *self, double x_px, double y_px, double *upright_x,
                               double *upright_y)
{
  rake_flat_view_to_place (self, x_px, y_px, upright_x, upright_y);
}

void
rake_photo_view_from_upright_px (RakePhotoView *self, double upright_x, double upright_y,
                                 double *x_px, double *y_px)
{
  rake_flat_view_to_px (self, upright_x, upright_y, x_px, y_px);
}

void
rake_photo_view_turn_to_file (RakePhotoView *self, double upright_x, double upright_y,
                              double *file_x, double *file_y)
{
  rake_turn_from_upright (self->turn, self->width_px, self->height_px, upright_x, upright_y, file_x,
                          file_y);
}

void
rake_photo_view_turn_upright (RakePhotoView *self, double file_x, double file_y, double *upright_x,
                              double *upright_y)
{
  rake_turn_to_upright (self->turn, self->width_px, self->height_px, file_x, file_y, upright_x,
                        upright_y);
}

void
rake_photo_view_to_file_px (RakePhotoView *self, double x_px, double y_px, double *file_x,
                            double *file_y)
{
  double x, y;

  rake_flat_view_to_place (self, x_px, y_px, &x, &y);
  rake_photo_view_turn_to_file (self, x, y, file_x, file_y);
}

void
rake_photo_view_from_file_px (RakePhotoView *self, double file_x, double file_y, double *x_px,
                              double *y_px)
{
  double x, y;

  rake_photo_view_turn_upright (self, file_x, file_y, &x, &y);
  rake_flat_view_to_px (self, x, y, x_px, y_px);
}

static gboolean
rake_photo_view_get_box (RakeFlatView *view, graphene_rect_t *box)
{
  RakePhotoView *self = RAKE_PHOTO_VIEW (view);
  double width, height;

  rake_turn_size (self->turn, self->width_px, self->height_px, &width, &height);
  *box = GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height);
  return width > 0 && height > 0;
}

static void
tapped (RakePhotoView *self, double x, double y)
{
  graphene_rect_t box;

  if (!rake_photo_view_get_box (RAKE_FLAT_VIEW (self), &box) || x < 0 || y < 0 ||
      x >= (double) box.size.width || y >= (double) box.size.height)
    return;
  rake_photo_view_turn_to_file (self, x, y, &x, &y);
  g_signal_emit (self, signals[SIGNAL_PHOTO_TAPPED], 0, x, y);
}

/* --- the picture -------------------------------------------------------------------------------- */

static void
take_picture (GdkTexture *texture, const GError *error, gpointer data)
{
  RakePhotoView *self = data;

  g_clear_object (&self->reading);
  g_set_object (&self->texture, texture);
  if (!texture)
    self->sentence = g_strdup (error->message);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_signal_emit (self, signals[SIGNAL_READY], 0);
}

static void
drop_picture (RakePhotoView *self)
{
  if (self->reading)
    g_cancellable_cancel (self->reading);
  g_clear_object (&self->reading);
  if (self->reading_whole)
    g_cancellable_cancel (self->reading_whole);
  g_clear_object (&self->reading_whole);
  g_clear_pointer (&self->whole, rake_photo_picture_unref);
  g_clear_object (&self->texture);
  g_clear_pointer (&self->sentence, g_free);
}

static void
say_what_is_shown (RakePhotoView *self, const RakePhoto *photo)
{
  const char *name = photo ? photo->entry->photo.name : NULL;
  g_autofree char *words = name ? g_strdup_printf (C_ ("photo", "Photograph %s"), name)
                                : g_strdup (C_ ("photo", "Photograph"));

  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, words, -1);
}

void
rake_photo_view_set_photo (RakePhotoView *self, RakeSession *session, RakeId id)
{
  const RakePhoto *photo =
      session ? rake_job_find_photo (rake_session_get_live_job (session), id) : NULL;
  gboolean is_withdrawn = photo && photo->withdrawal;

  if (photo && rake_id_equal (photo->id, self->photo) && is_withdrawn == self->is_withdrawn)
    return;
  drop_picture (self);
  self->is_withdrawn = is_withdrawn;
  self->photo = photo ? photo->id : RAKE_ID_NIL;
  self->turn = photo ? rake_photo_get_turn (&photo->entry->photo) : 1;
  self->width_px = photo ? photo->entry->photo.width_px : 0;
  self->height_px = photo ? photo->entry->photo.height_px : 0;
  say_what_is_shown (self, photo);
  rake_flat_view_fit (self);
  if (!photo)
    return;
  self->reading = g_cancellable_new ();
  rake_photo_desk_load (rake_photo_desk_get (session), photo, RAKE_PHOTO_COPY_WORKING,
                        self->reading, take_picture, self);
}

RakeId
rake_photo_view_get_photo (RakePhotoView *self)
{
  return self->photo;
}

gboolean
rake_photo_view_is_ready (RakePhotoView *self)
{
  return self->texture != NULL;
}

void
rake_photo_view_set_opacity (RakePhotoView *self, double opacity)
{
  self->opacity = CLAMP (opacity, 0, 1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- drawing ------------------------------------------------------------------------------------- */

static void
append_words (RakePhotoView *self, GtkSnapshot *snapshot, const char *words)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  const GdkRGBA ink = { (float) palette->soft_ink.red, (float) palette->soft_ink.green,
                        (float) palette->soft_ink.blue, 1 };
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), words);
  int width = gtk_widget_get_width (GTK_WIDGET (self));
  int height = gtk_widget_get_height (GTK_WIDGET (self)), text_height;

  pango_layout_set_width (layout, MAX (width - 48, 40) * PANGO_SCALE);
  pango_layout_set_alignment (layout, PANGO_ALIGN_CENTER);
  pango_layout_get_pixel_size (layout, NULL, &text_height);
  gtk_snapshot_save (snapshot);
  gtk_snapshot_translate (snapshot,
                          &GRAPHENE_POINT_INIT (24, (float) floor ((height - text_height) / 2.0)));
  gtk_snapshot_append_layout (snapshot, layout, &ink);
  gtk_snapshot_restore (snapshot);
}

static void
append_picture (RakePhotoView *self, GtkSnapshot *snapshot)
{
  graphene_rect_t box;
  double left, top, scale = rake_flat_view_get_scale (self);

  if (!rake_photo_view_get_box (RAKE_FLAT_VIEW (self), &box))
    return;
  rake_flat_view_to_px (self, 0, 0, &left, &top);
  graphene_rect_init (&box, (float) left, (float) top, (float) ((double) box.size.width * scale),
                      (float) ((double) box.size.height * scale));
  gtk_snapshot_push_opacity (snapshot, self->opacity);
  gtk_snapshot_append_texture (snapshot, self->texture, &box);
  gtk_snapshot_pop (snapshot);
}

static void
rake_photo_view_paint (RakeFlatView *view, GtkSnapshot *snapshot)
{
  RakePhotoView *self = RAKE_PHOTO_VIEW (view);

  if (self->texture)
    append_picture (self, snapshot);
  else if (self->sentence)
    append_words (self, snapshot, self->sentence);
  else if (self->reading)
    append_words (self, snapshot, _ ("The photograph is being read…"));
  for (guint i = 0; self->texture && i < self->overlays->len; i++)
    {
      const Overlay *overlay = &g_array_index (self->overlays, Overlay, i);
      overlay->draw (snapshot, self, overlay->data);
    }
}

void
rake_photo_view_add_overlay (RakePhotoView *self, RakePhotoOverlayFunc draw, gpointer data)
{
  const Overlay overlay = { draw, data };

  g_array_append_val (self->overlays, overlay);
}

void
rake_photo_view_queue_overlays (RakePhotoView *self)
{
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- the loupe ----------------------------------------------------------------------------------- */

static void
take_whole (RakePhotoPicture *picture, const GError *error, gpointer data)
{
  RakePhotoView *self = data;

  g_clear_object (&self->reading_whole);
  self->whole = picture;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_photo_view_want_loupe (RakePhotoView *self, RakeSession *session)
{
  const RakePhoto *photo = rake_job_find_photo (rake_session_get_live_job (session), self->photo);

  if (!photo || self->whole || self->reading_whole)
    return;
  self->reading_whole = g_cancellable_new ();
  rake_photo_work_read (session, photo, RAKE_PHOTO_PICTURE_MAX_PIXELS, self->reading_whole,
                        take_whole, self);
}

/* How many pixels of the glass one of the photograph takes: enough to see each, and nearer than the
 * view is. */
static double
get_loupe_scale (RakePhotoView *self)
{
  return CLAMP (3 * rake_flat_view_get_scale (self), 2, 16);
}

/* The upright pixels around a place, each as it is: what is blurred cannot be judged. */
static cairo_surface_t *
cut_out (RakePhotoView *self, int left, int top, int side)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, side, side);
  int width = rake_photo_picture_get_width (self->whole);
  int height = rake_photo_picture_get_height (self->whole);
  const guint8 *rgb = rake_photo_picture_get_rgb (self->whole);
  guint8 *rows = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);

  cairo_surface_flush (surface);
  for (int y = 0; y < side; y++)
    for (int x = 0; x < side; x++)
      {
        guint32 *pixel = (guint32 *) (gpointer) (rows + (gssize) y * stride + (gssize) x * 4);
        const guint8 *from;
        double file_x, file_y;

        rake_photo_view_turn_to_file (self, left + x + 0.5, top + y + 0.5, &file_x, &file_y);
        if (file_x < 0 || file_y < 0 || file_x >= width || file_y >= height)
          continue;
        from = rgb + ((gsize) file_y * (gsize) width + (gsize) file_x) * 3;
        *pixel = (guint32) from[0] << 16 | (guint32) from[1] << 8 | from[2];
      }
  cairo_surface_mark_dirty (surface);
  return surface;
}

static void
rake_photo_view_paint_loupe (RakeFlatView *view, cairo_t *cr, double x, double y, double reach_px)
{
  RakePhotoView *self = RAKE_PHOTO_VIEW (view);
  double scale = get_loupe_scale (self);
  int reach = (int) ceil (reach_px / scale) + 1;
  int left = (int) floor (x) - reach, top = (int) floor (y) - reach;
  cairo_surface_t *surface;

  if (!self->whole)
    return;
  surface = cut_out (self, left, top, 2 * reach + 1);
  cairo_scale (cr, scale, scale);
  cairo_set_source_surface (cr, surface, left - x, top - y);
  cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_NEAREST);
  cairo_paint (cr);
  cairo_surface_destroy (surface);
}

/* --- class ---------------------------------------------------------------------------------------- */

static void
rake_photo_view_dispose (GObject *object)
{
  RakePhotoView *self = RAKE_PHOTO_VIEW (object);

  drop_picture (self);
  g_clear_pointer (&self->overlays, g_array_unref);
  G_OBJECT_CLASS (rake_photo_view_parent_class)->dispose (object);
}

static void
rake_photo_view_class_init (RakePhotoViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = rake_photo_view_dispose;
  RAKE_FLAT_VIEW_CLASS (klass)->get_box = rake_photo_view_get_box;
  RAKE_FLAT_VIEW_CLASS (klass)->paint = rake_photo_view_paint;
  RAKE_FLAT_VIEW_CLASS (klass)->paint_loupe = rake_photo_view_paint_loupe;
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (klass), "photoview");
  signals[SIGNAL_PHOTO_TAPPED] =
      g_signal_new ("photo-tapped", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                    NULL, G_TYPE_NONE, 2, G_TYPE_DOUBLE, G_TYPE_DOUBLE);
  signals[SIGNAL_READY] = g_signal_new ("ready", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                                        NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
rake_photo_view_init (RakePhotoView *self)
{
  self->turn = 1;
  self->opacity = 1;
  self->overlays = g_array_new (FALSE, FALSE, sizeof (Overlay));
  g_signal_connect (self, "tapped", G_CALLBACK (tapped), NULL);
}

RakePhotoView *
rake_photo_view_new (void)
{
  return g_object_new (RAKE_TYPE_PHOTO_VIEW, NULL);
}
