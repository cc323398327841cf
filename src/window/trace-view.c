/* trace-view.c - a photograph on which points are set. */
#include "trace-view.h"
#include "theme.h"

#include <math.h>
#include <rakelight/palette.h>

#include "words.h"

#define REACH_PX 22.0 /* of a finger on a point */
#define TAP_PX 8.0
#define RING_PX 9.0
#define CROSS_PX 16.0

struct _RakeTraceView
{
  RakeFlatView parent_instance;

  cairo_surface_t *surface;
  GdkTexture *texture;
  double width_px, height_px;
  RakeTracePart part;
  guint n_size;
  GArray *points[RAKE_N_TRACE_PARTS]; /* double: x, y, … */
  GArray *outline;
  gboolean is_closed;
  int held; /* index of the point in hand; -1: none */
  double held_x, held_y, start_x, start_y;
  gboolean has_moved;
};

static guint changed_signal;

G_DEFINE_FINAL_TYPE (RakeTraceView, rake_trace_view, RAKE_TYPE_FLAT_VIEW)

static double *
get_point (RakeTraceView *self, RakeTracePart part, guint index)
{
  return &g_array_index (self->points[part], double, 2 * index);
}

static guint
count (RakeTraceView *self, RakeTracePart part)
{
  return self->points[part]->len / 2;
}

static void
changed (RakeTraceView *self)
{
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_signal_emit (self, changed_signal, 0);
}

/* --- setting and moving ------------------------------------------------------------------------------ */

/* Of the part that is set now; -1 when none is within reach. */
static int
find_point (RakeTraceView *self, double x, double y)
{
  double reach = REACH_PX / rake_flat_view_get_scale (self);
  int nearest = -1;

  for (guint i = 0; i < count (self, self->part); i++)
    {
      const double *at = get_point (self, self->part, i);

      if (hypot (at[0] - x, at[1] - y) > reach)
        continue;
      reach = hypot (at[0] - x, at[1] - y);
      nearest = (int) i;
    }
  return nearest;
}

static gboolean
close_edge (RakeTraceView *self)
{
  if (self->part != RAKE_TRACE_EDGE || self->is_closed || count (self, RAKE_TRACE_EDGE) < 3)
    return FALSE;
  self->is_closed = TRUE;
  changed (self);
  return TRUE;
}

void
rake_trace_view_set_point (RakeTraceView *self, double x, double y)
{
  GArray *points = self->points[self->part];

  if (!(x >= 0 && y >= 0 && x <= self->width_px && y <= self->height_px))
    return;
  if (find_point (self, x, y) == 0 && close_edge (self))
    return;
  if (self->part == RAKE_TRACE_EDGE ? self->is_closed
                                    : count (self, RAKE_TRACE_SIZE) >= self->n_size)
    return;
  g_array_append_val (points, x);
  g_array_append_val (points, y);
  changed (self);
}

void
rake_trace_view_take_back (RakeTraceView *self)
{
  GArray *points = self->points[self->part];

  if (self->part == RAKE_TRACE_EDGE && self->is_closed)
    self->is_closed = FALSE;
  else if (points->len >= 2)
    g_array_set_size (points, points->len - 2);
  else
    return;
  self->held = -1;
  changed (self);
}

static void
tapped (RakeTraceView *self, double x, double y)
{
  rake_trace_view_set_point (self, x, y);
}

static gboolean
hand_down (RakeTraceView *self, double x, double y)
{
  self->held = find_point (self, x, y);
  if (self->held < 0)
    return FALSE;
  self->start_x = x;
  self->start_y = y;
  self->held_x = get_point (self, self->part, (guint) self->held)[0];
  self->held_y = get_point (self, self->part, (guint) self->held)[1];
  self->has_moved = FALSE;
  rake_flat_view_show_loupe (self, self->held_x, self->held_y);
  gtk_widget_grab_focus (GTK_WIDGET (self));
  return TRUE;
}

static void
move_held (RakeTraceView *self, double x, double y)
{
  double *at = get_point (self, self->part, (guint) self->held);

  at[0] = CLAMP (x, 0, self->width_px);
  at[1] = CLAMP (y, 0, self->height_px);
  rake_flat_view_show_loupe (self, at[0], at[1]);
  changed (self);
}

static void
hand_move (RakeTraceView *self, double x, double y)
{
  double dx = x - self->start_x, dy = y - self->start_y;

  if (self->held < 0)
    return;
  if (!self->has_moved && hypot (dx, dy) * rake_flat_view_get_scale (self) < TAP_PX)
    return;
  self->has_moved = TRUE;
  move_held (self, self->held_x + dx, self->held_y + dy);
}

static void
hand_up (RakeTraceView *self, double x, double y)
{
  rake_flat_view_hide_loupe (self);
  if (self->held == 0 && !self->has_moved)
    close_edge (self);
  self->held = -1;
}

static void
hand_cancelled (RakeTraceView *self)
{
  if (self->held >= 0 && self->has_moved)
    move_held (self, self->held_x, self->held_y);
  rake_flat_view_hide_loupe (self);
  self->held = -1;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
             RakeTraceView *self)
{
  double x, y;

  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return FALSE;
  switch (key)
    {
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
    case GDK_KEY_space:
      rake_flat_view_to_place (self, gtk_widget_get_width (GTK_WIDGET (self)) / 2.0,
                               gtk_widget_get_height (GTK_WIDGET (self)) / 2.0, &x, &y);
      rake_trace_view_set_point (self, x, y);
      return TRUE;
    case GDK_KEY_BackSpace:
    case GDK_KEY_Delete:
      rake_trace_view_take_back (self);
      return TRUE;
    case GDK_KEY_Left:
    case GDK_KEY_Right:
    case GDK_KEY_Up:
    case GDK_KEY_Down:
      if (!(state & GDK_SHIFT_MASK))
        return FALSE;
      rake_flat_view_pan (self,
                          key == GDK_KEY_Left    ? 1
                          : key == GDK_KEY_Right ? -1
                                                 : 0,
                          key == GDK_KEY_Up     ? 1
                          : key == GDK_KEY_Down ? -1
                                                : 0);
      return TRUE;
    default:
      return FALSE;
    }
}

/* --- drawing --------------------------------------------------------------------------------------- */

static gboolean
rake_trace_view_get_box (RakeFlatView *view, graphene_rect_t *box)
{
  RakeTraceView *self = RAKE_TRACE_VIEW (view);

  *box = GRAPHENE_RECT_INIT (0, 0, (float) self->width_px, (float) self->height_px);
  return self->texture != NULL;
}

static void
stroke (cairo_t *cr, const RakeColour *colour, double width)
{
  cairo_set_source_rgba (cr, 0, 0, 0, 0.6);
  cairo_set_line_width (cr, width + 2);
  cairo_stroke_preserve (cr);
  cairo_set_source_rgb (cr, colour->red, colour->green, colour->blue);
  cairo_set_line_width (cr, width);
  cairo_stroke (cr);
}

static void
trace_path (RakeTraceView *self, cairo_t *cr, const GArray *points, gboolean is_closed)
{
  for (guint i = 0; i + 1 < points->len; i += 2)
    {
      double x, y;

      rake_flat_view_to_px (self, g_array_index (points, double, i),
                            g_array_index (points, double, i + 1), &x, &y);
      cairo_line_to (cr, x, y);
    }
  if (is_closed)
    cairo_close_path (cr);
}

/* The first of an edge is larger: it closes. */
static void
draw_rings (RakeTraceView *self, cairo_t *cr, RakeTracePart part, const RakeColour *colour)
{
  for (guint i = 0; i < count (self, part); i++)
    {
      const double *at = get_point (self, part, i);
      double x, y, radius = part == RAKE_TRACE_EDGE ? RING_PX - 4 : RING_PX;

      if (part == RAKE_TRACE_EDGE && i == 0 && !self->is_closed)
        radius = RING_PX + 2;
      rake_flat_view_to_px (self, at[0], at[1], &x, &y);
      cairo_new_sub_path (cr);
      cairo_arc (cr, x, y, radius, 0, 2 * G_PI);
      stroke (cr, colour, part == self->part ? 2 : 1);
    }
}

static void
draw_cross (RakeTraceView *self, cairo_t *cr, const RakeColour *colour)
{
  double x = gtk_widget_get_width (GTK_WIDGET (self)) / 2.0;
  double y = gtk_widget_get_height (GTK_WIDGET (self)) / 2.0;

  for (int arm = 0; arm < 4; arm++)
    {
      cairo_move_to (cr, x + 3 * cos (arm * G_PI / 2), y + 3 * sin (arm * G_PI / 2));
      cairo_line_to (cr, x + CROSS_PX * cos (arm * G_PI / 2), y + CROSS_PX * sin (arm * G_PI / 2));
    }
  stroke (cr, colour, 1.5);
}

static void
rake_trace_view_paint (RakeFlatView *view, GtkSnapshot *snapshot)
{
  static const RakeColour white = { 1, 1, 1, 1 };
  RakeTraceView *self = RAKE_TRACE_VIEW (view);
  const RakeColour *lamp = &rake_palette_get (RAKE_THEME_DARK)->lamp_fill;
  double left, top, scale = rake_flat_view_get_scale (self);
  cairo_t *cr;

  if (!self->texture)
    return;
  rake_flat_view_to_px (self, 0, 0, &left, &top);
  gtk_snapshot_append_texture (snapshot, self->texture,
                               &GRAPHENE_RECT_INIT ((float) left, (float) top,
                                                    (float) (self->width_px * scale),
                                                    (float) (self->height_px * scale)));
  cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) gtk_widget_get_width (GTK_WIDGET (self)),
                                     (float) gtk_widget_get_height (GTK_WIDGET (self))));
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  if (self->n_size == 2) /* corners come in any order */
    trace_path (self, cr, self->points[RAKE_TRACE_SIZE], FALSE);
  stroke (cr, &white, 1);
  if (self->outline->len > 0)
    trace_path (self, cr, self->outline, self->is_closed);
  else
    trace_path (self, cr, self->points[RAKE_TRACE_EDGE], self->is_closed);
  stroke (cr, lamp, 2);
  draw_rings (self, cr, RAKE_TRACE_SIZE, &white);
  draw_rings (self, cr, RAKE_TRACE_EDGE, lamp);
  if (gtk_widget_has_visible_focus (GTK_WIDGET (self)))
    draw_cross (self, cr, lamp);
  cairo_destroy (cr);
}

static void
rake_trace_view_paint_loupe (RakeFlatView *view, cairo_t *cr, double x, double y, double reach_px)
{
  RakeTraceView *self = RAKE_TRACE_VIEW (view);
  double shrunk =
      self->surface ? cairo_image_surface_get_width (self->surface) / self->width_px : 1;
  double times = MAX (3 * rake_flat_view_get_scale (self) / shrunk, 2);

  if (!self->surface)
    return;
  cairo_scale (cr, times, times);
  cairo_set_source_surface (cr, self->surface, -x * shrunk, -y * shrunk);
  cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_NEAREST);
  cairo_paint (cr);
}

/* --- what is shown ----------------------------------------------------------------------------------- */

void
rake_trace_view_set_picture (RakeTraceView *self, const guint8 *rgb, int width, int height,
                             double width_px, double height_px)
{
  g_autoptr (GBytes) bytes = rgb ? g_bytes_new (rgb, 3 * (gsize) width * (gsize) height) : NULL;

  g_clear_object (&self->texture);
  g_clear_pointer (&self->surface, cairo_surface_destroy);
  self->width_px = width_px;
  self->height_px = height_px;
  if (rgb)
    {
      guint8 *rows;
      int stride;

      self->texture =
          gdk_memory_texture_new (width, height, GDK_MEMORY_R8G8B8, bytes, 3 * (gsize) width);
      self->surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
      rows = cairo_image_surface_get_data (self->surface);
      stride = cairo_image_surface_get_stride (self->surface);
      gdk_texture_download (self->texture, rows, (gsize) stride);
      cairo_surface_mark_dirty (self->surface);
    }
  for (guint i = 0; i < RAKE_N_TRACE_PARTS; i++)
    g_array_set_size (self->points[i], 0);
  self->is_closed = FALSE;
  self->held = -1;
  rake_flat_view_fit (self);
  changed (self);
}

void
rake_trace_view_set_part (RakeTraceView *self, RakeTracePart part)
{
  self->part = part;
  self->held = -1;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_trace_view_set_n_size (RakeTraceView *self, guint n)
{
  self->n_size = n;
  if (count (self, RAKE_TRACE_SIZE) > n)
    g_array_set_size (self->points[RAKE_TRACE_SIZE], 2 * n);
  changed (self);
}

const double *
rake_trace_view_get_points (RakeTraceView *self, RakeTracePart part, guint *n_points)
{
  *n_points = count (self, part);
  return (const double *) (gconstpointer) self->points[part]->data;
}

gboolean
rake_trace_view_is_closed (RakeTraceView *self)
{
  return self->is_closed;
}

void
rake_trace_view_show_outline (RakeTraceView *self, const double *points, guint n_points)
{
  g_array_set_size (self->outline, 0);
  if (n_points > 0)
    g_array_append_vals (self->outline, points, 2 * n_points);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- class -------------------------------------------------------------------------------------------- */

static void
rake_trace_view_finalize (GObject *object)
{
  RakeTraceView *self = RAKE_TRACE_VIEW (object);

  for (guint i = 0; i < RAKE_N_TRACE_PARTS; i++)
    g_array_unref (self->points[i]);
  g_array_unref (self->outline);
  g_clear_object (&self->texture);
  g_clear_pointer (&self->surface, cairo_surface_destroy);
  G_OBJECT_CLASS (rake_trace_view_parent_class)->finalize (object);
}

static void
rake_trace_view_class_init (RakeTraceViewClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = rake_trace_view_finalize;
  RAKE_FLAT_VIEW_CLASS (klass)->get_box = rake_trace_view_get_box;
  RAKE_FLAT_VIEW_CLASS (klass)->paint = rake_trace_view_paint;
  RAKE_FLAT_VIEW_CLASS (klass)->paint_loupe = rake_trace_view_paint_loupe;
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (klass), "photoview");
  changed_signal = g_signal_new ("points-changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                                 NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
rake_trace_view_init (RakeTraceView *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->held = -1;
  self->n_size = 2;
  for (guint i = 0; i < RAKE_N_TRACE_PARTS; i++)
    self->points[i] = g_array_new (FALSE, FALSE, sizeof (double));
  self->outline = g_array_new (FALSE, FALSE, sizeof (double));
  gtk_accessible_update_property (
      GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
      _ ("Photograph: arrows move it under the cross, Enter sets a point, Backspace takes it back"),
      -1);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  g_signal_connect (self, "state-flags-changed", G_CALLBACK (gtk_widget_queue_draw), NULL);
  g_signal_connect (self, "tapped", G_CALLBACK (tapped), NULL);
  g_signal_connect (self, "hand-down", G_CALLBACK (hand_down), NULL);
  g_signal_connect (self, "hand-move", G_CALLBACK (hand_move), NULL);
  g_signal_connect (self, "hand-up", G_CALLBACK (hand_up), NULL);
  g_signal_connect (self, "hand-cancelled", G_CALLBACK (hand_cancelled), NULL);
}

RakeTraceView *
rake_trace_view_new (void)
{
  return g_object_new (RAKE_TYPE_TRACE_VIEW, NULL);
}
