/* wipe-view.c - two pictures of one place, one wiped across the other. */
#include "wipe-view.h"

#include "theme.h"

#include <math.h>
#include "words.h"

#define HANDLE_PX 48
#define STEP 0.01
#define MANY_STEPS 10

/* --- the handle ----------------------------------------------------------------------------------- */

#define RAKE_TYPE_WIPE_HANDLE (rake_wipe_handle_get_type ())
G_DECLARE_FINAL_TYPE (RakeWipeHandle, rake_wipe_handle, RAKE, WIPE_HANDLE, GtkWidget)

struct _RakeWipeHandle
{
  GtkWidget parent_instance;
};

struct _RakeWipeView
{
  RakeFlatView parent_instance;

  GdkTexture *pictures[2];
  graphene_rect_t boxes[2];
  char *words[2];
  GtkWidget *handle;
  double share;
  gboolean is_dragged;
  double grip_px;
};

G_DEFINE_FINAL_TYPE (RakeWipeHandle, rake_wipe_handle, GTK_TYPE_WIDGET)
G_DEFINE_FINAL_TYPE (RakeWipeView, rake_wipe_view, RAKE_TYPE_FLAT_VIEW)

static void
rake_wipe_handle_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  const RakePalette *palette = rake_palette_get (RAKE_THEME_DARK);
  graphene_rect_t box = GRAPHENE_RECT_INIT (0, 0, HANDLE_PX, HANDLE_PX);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);
  double middle = HANDLE_PX / 2.0;

  cairo_arc (cr, middle, middle, middle - 3, 0, 2 * G_PI);
  cairo_set_source_rgba (cr, 0, 0, 0, 0.75);
  cairo_fill_preserve (cr);
  if (gtk_widget_has_focus (widget))
    cairo_set_source_rgb (cr, palette->lamp_fill.red, palette->lamp_fill.green,
                          palette->lamp_fill.blue);
  else
    cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_set_line_width (cr, gtk_widget_has_focus (widget) ? 3 : 2);
  cairo_stroke (cr);
  for (int side = -1; side <= 1; side += 2)
    {
      cairo_move_to (cr, middle + side * 6, middle - 6);
      cairo_line_to (cr, middle + side * 12, middle);
      cairo_line_to (cr, middle + side * 6, middle + 6);
    }
  cairo_set_line_width (cr, 2.5);
  cairo_stroke (cr);
  cairo_destroy (cr);
}

static void
rake_wipe_handle_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                          int *natural, int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = HANDLE_PX;
}

static gboolean
handle_key (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
            RakeWipeView *view)
{
  double step = state & GDK_SHIFT_MASK ? MANY_STEPS * STEP : STEP;

  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return FALSE;
  switch (key)
    {
    case GDK_KEY_Left:
      rake_wipe_view_set_share (view, view->share - step);
      return TRUE;
    case GDK_KEY_Right:
      rake_wipe_view_set_share (view, view->share + step);
      return TRUE;
    case GDK_KEY_Home:
      rake_wipe_view_set_share (view, 0);
      return TRUE;
    case GDK_KEY_End:
      rake_wipe_view_set_share (view, 1);
      return TRUE;
    default:
      return FALSE;
    }
}

static void
rake_wipe_handle_class_init (RakeWipeHandleClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  widget_class->snapshot = rake_wipe_handle_snapshot;
  widget_class->measure = rake_wipe_handle_measure;
  gtk_widget_class_set_css_name (widget_class, "wipehandle");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_SLIDER);
}

static void
rake_wipe_handle_init (RakeWipeHandle *self)
{
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
  gtk_accessible_update_property (
      GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
      _ ("Between the first photograph and the second"), GTK_ACCESSIBLE_PROPERTY_VALUE_MIN, 0.0,
      GTK_ACCESSIBLE_PROPERTY_VALUE_MAX, 100.0, GTK_ACCESSIBLE_PROPERTY_VALUE_NOW, 50.0, -1);
  g_signal_connect (self, "notify::has-focus", G_CALLBACK (gtk_widget_queue_draw), NULL);
}

/* --- where it stands ------------------------------------------------------------------------------- */

static double
get_edge_px (RakeWipeView *self)
{
  return self->share * gtk_widget_get_width (GTK_WIDGET (self));
}

/* The handle stays in the view, whatever is moved under it. */
static void
place_handle (RakeWipeView *self)
{
  double width = gtk_widget_get_width (GTK_WIDGET (self)), x, y;

  if (!(rake_flat_view_get_scale (self) > 0))
    return;
  rake_flat_view_to_place (
      self,
      CLAMP (get_edge_px (self), HANDLE_PX / 2.0, MAX (HANDLE_PX / 2.0, width - HANDLE_PX / 2.0)),
      gtk_widget_get_height (GTK_WIDGET (self)) / 2.0, &x, &y);
  rake_flat_view_put (self, self->handle, x, y);
}

double
rake_wipe_view_get_share (RakeWipeView *self)
{
  return self->share;
}

void
rake_wipe_view_set_share (RakeWipeView *self, double share)
{
  self->share = CLAMP (share, 0, 1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->handle), GTK_ACCESSIBLE_PROPERTY_VALUE_NOW,
                                  round (100 * self->share), -1);
  place_handle (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static gboolean
hand_down (RakeWipeView *self, double x, double y)
{
  double x_px, y_px;

  rake_flat_view_to_px (self, x, y, &x_px, &y_px);
  self->grip_px = get_edge_px (self) - x_px;
  self->is_dragged = fabs (self->grip_px) <= HANDLE_PX / 2.0;
  if (self->is_dragged)
    gtk_widget_grab_focus (self->handle);
  return self->is_dragged;
}

static void
hand_move (RakeWipeView *self, double x, double y)
{
  double x_px, y_px, width = gtk_widget_get_width (GTK_WIDGET (self));

  rake_flat_view_to_px (self, x, y, &x_px, &y_px);
  if (width > 0)
    rake_wipe_view_set_share (self, (x_px + self->grip_px) / width);
}

/* --- drawing -------------------------------------------------------------------------------------- */

static gboolean
rake_wipe_view_get_box (RakeFlatView *view, graphene_rect_t *box)
{
  RakeWipeView *self = RAKE_WIPE_VIEW (view);

  if (self->pictures[0] && self->pictures[1])
    graphene_rect_union (&self->boxes[0], &self->boxes[1], box);
  else if (self->pictures[0] || self->pictures[1])
    *box = self->boxes[self->pictures[0] ? 0 : 1];
  else
    return FALSE;
  return box->size.width > 0 && box->size.height > 0;
}

static void
append_words (RakeWipeView *self, GtkSnapshot *snapshot, guint side, const graphene_rect_t *part)
{
  g_autoptr (PangoLayout) layout = NULL;
  const GdkRGBA white = { 1, 1, 1, 1 }, dark = { 0, 0, 0, 0.7f };
  graphene_rect_t pill;
  int width, height, x;

  if (!self->words[side])
    return;
  layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), self->words[side]);
  pango_layout_get_pixel_size (layout, &width, &height);
  if ((float) width + 24 > part->size.width)
    return;
  x = (int) (side == 0 ? part->origin.x + 10 : part->origin.x + part->size.width - 26) -
      (side == 0 ? 0 : width);
  pill = GRAPHENE_RECT_INIT ((float) x, 10, (float) width + 16, (float) height + 8);
  gtk_snapshot_append_color (snapshot, &dark, &pill);
  gtk_snapshot_save (snapshot);
  gtk_snapshot_translate (snapshot, &GRAPHENE_POINT_INIT ((float) x + 8, 14));
  gtk_snapshot_append_layout (snapshot, layout, &white);
  gtk_snapshot_restore (snapshot);
}

static void
append_side (RakeWipeView *self, GtkSnapshot *snapshot, guint side, const graphene_rect_t *part)
{
  const graphene_rect_t *box = &self->boxes[side];
  double x, y, scale = rake_flat_view_get_scale (self);
  graphene_rect_t area;

  if (part->size.width < 1)
    return;
  gtk_snapshot_push_clip (snapshot, part);
  if (self->pictures[side])
    {
      rake_flat_view_to_px (self, (double) box->origin.x, (double) box->origin.y, &x, &y);
      graphene_rect_init (&area, (float) x, (float) y, (float) ((double) box->size.width * scale),
                          (float) ((double) box->size.height * scale));
      gtk_snapshot_append_texture (snapshot, self->pictures[side], &area);
    }
  append_words (self, snapshot, side, part);
  gtk_snapshot_pop (snapshot);
}

static void
rake_wipe_view_paint (RakeFlatView *view, GtkSnapshot *snapshot)
{
  RakeWipeView *self = RAKE_WIPE_VIEW (view);
  float width = (float) gtk_widget_get_width (GTK_WIDGET (self));
  float height = (float) gtk_widget_get_height (GTK_WIDGET (self));
  float edge = (float) round (get_edge_px (self));
  const GdkRGBA white = { 1, 1, 1, 1 }, black = { 0, 0, 0, 0.7f };

  append_side (self, snapshot, 0, &GRAPHENE_RECT_INIT (0, 0, edge, height));
  append_side (self, snapshot, 1, &GRAPHENE_RECT_INIT (edge, 0, width - edge, height));
  gtk_snapshot_append_color (snapshot, &black, &GRAPHENE_RECT_INIT (edge - 2, 0, 4, height));
  gtk_snapshot_append_color (snapshot, &white, &GRAPHENE_RECT_INIT (edge - 1, 0, 2, height));
}

/* --- public --------------------------------------------------------------------------------------- */

void
rake_wipe_view_set_picture (RakeWipeView *self, guint side, GdkTexture *texture,
                            const graphene_rect_t *box)
{
  graphene_rect_t before, after;
  gboolean had_any = rake_wipe_view_get_box (RAKE_FLAT_VIEW (self), &before);

  g_set_object (&self->pictures[side], texture);
  if (texture)
    self->boxes[side] = *box;
  if (rake_wipe_view_get_box (RAKE_FLAT_VIEW (self), &after) &&
      (!had_any || !graphene_rect_equal (&before, &after)))
    rake_flat_view_fit (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_wipe_view_set_words (RakeWipeView *self, guint side, const char *words)
{
  g_free (self->words[side]);
  self->words[side] = g_strdup (words);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- class ---------------------------------------------------------------------------------------- */

static void
rake_wipe_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  RakeWipeView *self = RAKE_WIPE_VIEW (widget);
  GTK_WIDGET_CLASS (rake_wipe_view_parent_class)->size_allocate (widget, width, height, baseline);
  /* Once more, with the handle where the new size has it. */
  place_handle (self);
  GTK_WIDGET_CLASS (rake_wipe_view_parent_class)->size_allocate (widget, width, height, baseline);
}

static void
rake_wipe_view_dispose (GObject *object)
{
  RakeWipeView *self = RAKE_WIPE_VIEW (object);

  for (guint side = 0; side < 2; side++)
    {
      g_clear_object (&self->pictures[side]);
      g_clear_pointer (&self->words[side], g_free);
    }
  G_OBJECT_CLASS (rake_wipe_view_parent_class)->dispose (object);
}

static void
rake_wipe_view_class_init (RakeWipeViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = rake_wipe_view_dispose;
  GTK_WIDGET_CLASS (klass)->size_allocate = rake_wipe_view_size_allocate;
  RAKE_FLAT_VIEW_CLASS (klass)->get_box = rake_wipe_view_get_box;
  RAKE_FLAT_VIEW_CLASS (klass)->paint = rake_wipe_view_paint;
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (klass), "wipeview");
}

static void
rake_wipe_view_init (RakeWipeView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->share = 0.5;
  self->handle = g_object_new (RAKE_TYPE_WIPE_HANDLE, NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Two photographs, one wiped across the other"), -1);
  rake_flat_view_put (self, self->handle, 0, 0);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (handle_key), self);
  gtk_widget_add_controller (self->handle, keys);
  g_signal_connect (self, "hand-down", G_CALLBACK (hand_down), NULL);
  g_signal_connect (self, "hand-move", G_CALLBACK (hand_move), NULL);
}

RakeWipeView *
rake_wipe_view_new (void)
{
  return g_object_new (RAKE_TYPE_WIPE_VIEW, NULL);
}
