/* zone-canvas.c - a face large, its zones with their areas, to cut and to choose from. */
#include "zone-canvas.h"

#include "say.h"
#include "theme.h"

#include <adwaita.h>
#include <glib/gi18n.h>
#include <math.h>
#include <rakelight/map.h>
#include <rakelight/zoning.h>

#define MARGIN_PX 36.0
#define SNAP_PX 12.0
#define STEP_PX 4.0 /* a freehand point is kept when the hand has gone so far */

struct _RakeZoneCanvas
{
  GtkWidget parent_instance;

  const RakeFace *face;
  RakeMapView view;
  RakeZoneTool tool;
  GArray *chosen;     /* RakeId */
  GPtrArray *preview; /* RakeShape */
  GArray *drawn_mm;   /* double: x, y, … of the line in the making */
  RakeShape *line;
  gboolean is_drawing, has_guide, is_snapped;
  double start_x_px, start_y_px;
  double snap_x_px, snap_y_px;
  double guide_x_mm, guide_y_mm, guide_deg;
};

enum
{
  SIGNAL_CUT,
  SIGNAL_SELECTED,
  N_SIGNALS,
};

static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (RakeZoneCanvas, rake_zone_canvas, GTK_TYPE_WIDGET)

/* --- where things are ------------------------------------------------------------------------ */

static void
fit (RakeZoneCanvas *self)
{
  self->view = (RakeMapView){
    .theme = rake_theme_now (),
    .width_px = gtk_widget_get_width (GTK_WIDGET (self)),
    .height_px = gtk_widget_get_height (GTK_WIDGET (self)),
    .px_per_mm = 1,
    .lamp_deg = 315,
    .text_px = 0,
  };
  if (self->face != NULL && self->view.width_px > 0)
    rake_map_view_fit (&self->view, self->face, MARGIN_PX);
}

static GPtrArray *
get_shapes (RakeZoneCanvas *self)
{
  GPtrArray *shapes = g_ptr_array_new ();

  for (guint i = 0; i < self->face->zones->len; i++)
    g_ptr_array_add (shapes, (gpointer) ((const RakeZone *) self->face->zones->pdata[i])->shape);
  return shapes;
}

/* The place under the pointer in mm, on what it probably meant. */
static void
take_place (RakeZoneCanvas *self, double x_px, double y_px, double *x_mm, double *y_mm)
{
  g_autoptr (GPtrArray) shapes = get_shapes (self);

  rake_map_view_to_mm (&self->view, x_px, y_px, x_mm, y_mm);
  self->is_snapped = self->tool == RAKE_ZONE_TOOL_CUT &&
                     rake_zoning_snap (self->face->outline, (RakeShape *const *) shapes->pdata,
                                       shapes->len, SNAP_PX / self->view.px_per_mm, x_mm, y_mm);
  if (self->is_snapped)
    rake_map_view_to_px (&self->view, *x_mm, *y_mm, &self->snap_x_px, &self->snap_y_px);
}

static gboolean
is_chosen (RakeZoneCanvas *self, RakeId zone)
{
  for (guint i = 0; i < self->chosen->len; i++)
    if (rake_id_equal (g_array_index (self->chosen, RakeId, i), zone))
      return TRUE;
  return FALSE;
}

/* --- the line -------------------------------------------------------------------------------- */

static void
drop_line (RakeZoneCanvas *self)
{
  g_clear_pointer (&self->line, rake_shape_unref);
  g_clear_pointer (&self->preview, g_ptr_array_unref);
  g_array_set_size (self->drawn_mm, 0);
  self->is_drawing = FALSE;
  self->has_guide = FALSE;
  self->is_snapped = FALSE;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* What the line would make of the zones it crosses. */
static void
preview_cut (RakeZoneCanvas *self)
{
  g_clear_pointer (&self->preview, g_ptr_array_unref);
  if (self->line == NULL)
    return;
  self->preview = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  for (guint i = 0; i < self->face->zones->len; i++)
    {
      const RakeZone *zone = self->face->zones->pdata[i];
      g_autoptr (GPtrArray) parts = NULL;

      if (!rake_shape_overlaps (self->line, zone->shape))
        continue;
      parts = rake_zoning_cut (zone->shape, self->line, TRUE, NULL);
      for (guint k = 0; parts != NULL && k < parts->len; k++)
        g_ptr_array_add (self->preview, rake_shape_ref (parts->pdata[k]));
    }
}

static void
take_line (RakeZoneCanvas *self)
{
  g_clear_pointer (&self->line, rake_shape_unref);
  if (self->drawn_mm->len >= 4)
    self->line = rake_shape_new_line ((const double *) (gpointer) self->drawn_mm->data,
                                      self->drawn_mm->len / 2, NULL);
  preview_cut (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
add_point (RakeZoneCanvas *self, double x_px, double y_px)
{
  double point_mm[2];

  take_place (self, x_px, y_px, &point_mm[0], &point_mm[1]);
  if (self->tool == RAKE_ZONE_TOOL_CUT)
    g_array_set_size (self->drawn_mm, MIN (self->drawn_mm->len, 2));
  else if (self->drawn_mm->len >= 2)
    {
      const double *last = &g_array_index (self->drawn_mm, double, self->drawn_mm->len - 2);

      if (hypot (point_mm[0] - last[0], point_mm[1] - last[1]) * self->view.px_per_mm < STEP_PX)
        return;
    }
  g_array_append_vals (self->drawn_mm, point_mm, 2);
}

static void
finish_line (RakeZoneCanvas *self)
{
  if (self->line != NULL && self->preview != NULL && self->preview->len > 0)
    g_signal_emit (self, signals[SIGNAL_CUT], 0);
  drop_line (self);
}

/* The keyboard's line: through the guide's place, longer than the face. */
static void
take_guide (RakeZoneCanvas *self)
{
  RakeBounds box = rake_shape_get_bounds (self->face->outline);
  double reach_mm = hypot (box.max_x_mm - box.min_x_mm, box.max_y_mm - box.min_y_mm);
  double x = sin (self->guide_deg * G_PI / 180), y = -cos (self->guide_deg * G_PI / 180);
  const double points[4] = { self->guide_x_mm - reach_mm * x, self->guide_y_mm - reach_mm * y,
                             self->guide_x_mm + reach_mm * x, self->guide_y_mm + reach_mm * y };
  const RakeZone *zone;
  g_autoptr (GPtrArray) chosen = rake_zone_canvas_get_chosen (self);
  g_autoptr (RakeShape) whole = rake_shape_new_line (points, 2, NULL);

  g_clear_pointer (&self->line, rake_shape_unref);
  zone = chosen->len > 0 ? chosen->pdata[0] : NULL;
  /* Only the chosen zone is cut, however far the guide is drawn. */
  if (zone != NULL && whole != NULL)
    self->line = rake_shape_intersection (whole, zone->shape, NULL);
  preview_cut (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static gboolean
move_guide (RakeZoneCanvas *self, double x_mm, double y_mm, double turn_deg)
{
  if (!self->has_guide)
    {
      g_autoptr (GPtrArray) chosen = rake_zone_canvas_get_chosen (self);

      if (chosen->len == 0)
        return FALSE;
      rake_shape_get_inner_point (((const RakeZone *) chosen->pdata[0])->shape, &self->guide_x_mm,
                                  &self->guide_y_mm);
      self->guide_deg = 0;
      self->has_guide = TRUE;
    }
  self->guide_x_mm += x_mm;
  self->guide_y_mm += y_mm;
  self->guide_deg = fmod (self->guide_deg + turn_deg + 360, 360);
  take_guide (self);
  return TRUE;
}

/* --- hands ------------------------------------------------------------------------------------ */

static void
drag_begin (RakeZoneCanvas *self, double x_px, double y_px)
{
  drop_line (self);
  self->start_x_px = x_px;
  self->start_y_px = y_px;
  if (self->face != NULL && self->tool != RAKE_ZONE_TOOL_CHOOSE)
    {
      self->is_drawing = TRUE;
      add_point (self, x_px, y_px);
    }
}

static void
drag_update (RakeZoneCanvas *self, double dx_px, double dy_px)
{
  if (!self->is_drawing)
    return;
  add_point (self, self->start_x_px + dx_px, self->start_y_px + dy_px);
  take_line (self);
}

static void
drag_end (RakeZoneCanvas *self, double dx_px, double dy_px)
{
  double x_mm, y_mm;
  const RakeZone *zone;

  if (self->face == NULL)
    return;
  if (self->is_drawing && hypot (dx_px, dy_px) > STEP_PX)
    {
      finish_line (self);
      return;
    }
  /* A tap chooses, whatever the tool. */
  drop_line (self);
  rake_map_view_to_mm (&self->view, self->start_x_px, self->start_y_px, &x_mm, &y_mm);
  zone = rake_face_find_zone_at (self->face, x_mm, y_mm);
  if (zone != NULL)
    rake_zone_canvas_choose (self, zone->id, self->tool == RAKE_ZONE_TOOL_CHOOSE);
}

static gboolean
press_key (RakeZoneCanvas *self, guint key, GdkModifierType state)
{
  double step_mm = (state & GDK_SHIFT_MASK) != 0 ? 10 : 1;

  if (key == GDK_KEY_Escape && (self->has_guide || self->is_drawing))
    {
      drop_line (self);
      return TRUE;
    }
  if (self->face == NULL || self->tool == RAKE_ZONE_TOOL_CHOOSE)
    return FALSE;
  switch (key)
    {
    case GDK_KEY_Left:
      return move_guide (self, -step_mm, 0, 0);
    case GDK_KEY_Right:
      return move_guide (self, step_mm, 0, 0);
    case GDK_KEY_Up:
      return move_guide (self, 0, -step_mm, 0);
    case GDK_KEY_Down:
      return move_guide (self, 0, step_mm, 0);
    case GDK_KEY_r:
      return move_guide (self, 0, 0, 5);
    case GDK_KEY_R:
      return move_guide (self, 0, 0, -5);
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
      if (!self->has_guide)
        return move_guide (self, 0, 0, 0);
      finish_line (self);
      return TRUE;
    default:
      return FALSE;
    }
}

/* --- drawing ----------------------------------------------------------------------------------- */

static void
set_colour (cairo_t *cr, RakeColour colour, double alpha)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha * alpha);
}

static void
trace (cairo_t *cr, const RakeMapView *view, const RakeShape *shape)
{
  for (guint ring = 0; ring < rake_shape_get_n_rings (shape); ring++)
    {
      guint n_points;
      const double *points = rake_shape_get_ring (shape, ring, &n_points, NULL);

      cairo_new_sub_path (cr);
      for (guint i = 0; i < n_points; i++)
        {
          double x_px, y_px;

          rake_map_view_to_px (view, points[2 * i], points[2 * i + 1], &x_px, &y_px);
          cairo_line_to (cr, x_px, y_px);
        }
    }
}

/* Name and area on a pill, where the shape is widest. */
static void
draw_words (RakeZoneCanvas *self, cairo_t *cr, const RakeShape *shape, const char *name)
{
  const RakePalette *palette = rake_palette_get (self->view.theme);
  g_autofree char *area = rake_say_area (rake_shape_get_area_mm2 (shape));
  g_autofree char *words = name != NULL ? g_strdup_printf ("%s\n%s", name, area) : g_strdup (area);
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), words);
  double x_mm, y_mm, x_px, y_px, pill_x, pill_y;
  int width, height;

  pango_layout_set_alignment (layout, PANGO_ALIGN_CENTER);
  pango_layout_get_pixel_size (layout, &width, &height);
  rake_shape_get_inner_point (shape, &x_mm, &y_mm);
  rake_map_view_to_px (&self->view, x_mm, y_mm, &x_px, &y_px);
  pill_x = CLAMP (x_px - width / 2.0 - 8, 2, MAX (2, self->view.width_px - width - 18));
  pill_y = CLAMP (y_px - height / 2.0 - 4, 2, MAX (2, self->view.height_px - height - 10));

  cairo_new_path (cr);
  cairo_arc (cr, pill_x + 8, pill_y + 8, 8, G_PI, 1.5 * G_PI);
  cairo_arc (cr, pill_x + width + 8, pill_y + 8, 8, 1.5 * G_PI, 0);
  cairo_arc (cr, pill_x + width + 8, pill_y + height, 8, 0, 0.5 * G_PI);
  cairo_arc (cr, pill_x + 8, pill_y + height, 8, 0.5 * G_PI, G_PI);
  cairo_close_path (cr);
  set_colour (cr, palette->card, 0.92);
  cairo_fill (cr);
  set_colour (cr, palette->ink, 1);
  cairo_move_to (cr, pill_x + 8, pill_y + 4);
  pango_cairo_show_layout (cr, layout);
}

static void
draw_preview (RakeZoneCanvas *self, cairo_t *cr)
{
  const RakePalette *palette = rake_palette_get (self->view.theme);

  for (guint i = 0; i < self->preview->len; i++)
    {
      trace (cr, &self->view, self->preview->pdata[i]);
      set_colour (cr, palette->lamp_fill, i % 2 == 0 ? 0.35 : 0.12);
      cairo_fill_preserve (cr);
      set_colour (cr, palette->lamp_fill, 1);
      cairo_set_line_width (cr, 1.5);
      cairo_stroke (cr);
    }
  for (guint i = 0; i < self->preview->len; i++)
    draw_words (self, cr, self->preview->pdata[i], NULL);
}

static void
draw_line (RakeZoneCanvas *self, cairo_t *cr)
{
  const RakePalette *palette = rake_palette_get (self->view.theme);

  trace (cr, &self->view, self->line);
  set_colour (cr, palette->lamp, 1);
  cairo_set_line_width (cr, 3);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_stroke (cr);
  if (self->is_snapped)
    {
      cairo_arc (cr, self->snap_x_px, self->snap_y_px, 8, 0, 2 * G_PI);
      cairo_set_line_width (cr, 2);
      cairo_stroke (cr);
    }
}

static void
rake_zone_canvas_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakeZoneCanvas *self = RAKE_ZONE_CANVAS (widget);
  graphene_rect_t area = GRAPHENE_RECT_INIT (0, 0, (float) gtk_widget_get_width (widget),
                                             (float) gtk_widget_get_height (widget));
  cairo_t *cr;

  if (self->face == NULL)
    return;
  fit (self);
  cr = gtk_snapshot_append_cairo (snapshot, &area);
  for (guint i = 0; i < self->face->zones->len; i++)
    rake_map_draw_zone (cr, &self->view, self->face->zones->pdata[i], NULL);
  rake_map_draw_seams (cr, &self->view, self->face);
  for (guint i = 0; i < self->face->zones->len; i++)
    {
      const RakeZone *zone = self->face->zones->pdata[i];

      if (is_chosen (self, zone->id))
        rake_map_draw_zone_edge (cr, &self->view, zone, RAKE_ZONE_SELECTED);
    }
  if (self->preview != NULL && self->preview->len > 0)
    draw_preview (self, cr);
  else
    for (guint i = 0; i < self->face->zones->len; i++)
      {
        const RakeZone *zone = self->face->zones->pdata[i];

        draw_words (self, cr, zone->shape, zone->name);
      }
  if (self->line != NULL)
    draw_line (self, cr);
  cairo_destroy (cr);
}

/* --- public ------------------------------------------------------------------------------------ */

void
rake_zone_canvas_show (RakeZoneCanvas *self, const RakeFace *face)
{
  self->face = face;
  for (guint i = self->chosen->len; i > 0; i--)
    {
      RakeId id = g_array_index (self->chosen, RakeId, i - 1);
      gboolean is_there = FALSE;

      for (guint k = 0; face != NULL && k < face->zones->len; k++)
        is_there |= rake_id_equal (((const RakeZone *) face->zones->pdata[k])->id, id);
      if (!is_there)
        g_array_remove_index (self->chosen, i - 1);
    }
  drop_line (self);
}

void
rake_zone_canvas_set_tool (RakeZoneCanvas *self, RakeZoneTool tool)
{
  self->tool = tool;
  gtk_widget_set_cursor_from_name (GTK_WIDGET (self),
                                   tool == RAKE_ZONE_TOOL_CHOOSE ? "default" : "crosshair");
  drop_line (self);
}

const RakeShape *
rake_zone_canvas_get_line (RakeZoneCanvas *self)
{
  return self->line;
}

void
rake_zone_canvas_preview (RakeZoneCanvas *self, GPtrArray *shapes)
{
  g_clear_pointer (&self->preview, g_ptr_array_unref);
  if (shapes != NULL)
    self->preview = g_ptr_array_ref (shapes);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

GPtrArray *
rake_zone_canvas_get_chosen (RakeZoneCanvas *self)
{
  GPtrArray *zones = g_ptr_array_new ();

  for (guint i = 0; self->face != NULL && i < self->face->zones->len; i++)
    if (is_chosen (self, ((const RakeZone *) self->face->zones->pdata[i])->id))
      g_ptr_array_add (zones, self->face->zones->pdata[i]);
  return zones;
}

void
rake_zone_canvas_choose (RakeZoneCanvas *self, RakeId zone, gboolean add)
{
  gboolean was_chosen = is_chosen (self, zone);

  if (add && was_chosen)
    {
      for (guint i = 0; i < self->chosen->len; i++)
        if (rake_id_equal (g_array_index (self->chosen, RakeId, i), zone))
          g_array_remove_index (self->chosen, i--);
    }
  else
    {
      if (!add)
        g_array_set_size (self->chosen, 0);
      g_array_append_val (self->chosen, zone);
    }
  drop_line (self);
  g_signal_emit (self, signals[SIGNAL_SELECTED], 0);
}

/* --- class ------------------------------------------------------------------------------------- */

static void
rake_zone_canvas_dispose (GObject *object)
{
  RakeZoneCanvas *self = RAKE_ZONE_CANVAS (object);

  g_clear_pointer (&self->chosen, g_array_unref);
  g_clear_pointer (&self->preview, g_ptr_array_unref);
  g_clear_pointer (&self->drawn_mm, g_array_unref);
  g_clear_pointer (&self->line, rake_shape_unref);
  G_OBJECT_CLASS (rake_zone_canvas_parent_class)->dispose (object);
}

static void
rake_zone_canvas_class_init (RakeZoneCanvasClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_zone_canvas_dispose;
  widget_class->snapshot = rake_zone_canvas_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_widget_class_set_css_name (widget_class, "zonecanvas");
  signals[SIGNAL_CUT] = g_signal_new ("cut", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                      NULL, NULL, G_TYPE_NONE, 0);
  signals[SIGNAL_SELECTED] = g_signal_new ("selected", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST,
                                           0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
             RakeZoneCanvas *self)
{
  return press_key (self, key, state);
}

static void
rake_zone_canvas_init (RakeZoneCanvas *self)
{
  GtkGesture *drag = gtk_gesture_drag_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->chosen = g_array_new (FALSE, FALSE, sizeof (RakeId));
  self->drawn_mm = g_array_new (FALSE, FALSE, sizeof (double));
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("The face with its zones"), -1);
  g_signal_connect_swapped (drag, "drag-begin", G_CALLBACK (drag_begin), self);
  g_signal_connect_swapped (drag, "drag-update", G_CALLBACK (drag_update), self);
  g_signal_connect_swapped (drag, "drag-end", G_CALLBACK (drag_end), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (gtk_widget_queue_draw), self, G_CONNECT_SWAPPED);
}
