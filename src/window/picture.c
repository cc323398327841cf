/* picture.c - one of the map's small pictures as a widget. */
#include "picture.h"
#include "theme.h"

#include <adwaita.h>
#include <math.h>
#include <rakelight/map.h>

typedef enum
{
  NOTHING,
  VERDICT,
  STATE,
  MARK,
  RING,
  LAMP,
  STROKES,
} PictureKind;

struct _RakePicture
{
  GtkWidget parent_instance;

  PictureKind kind;
  int what;      /* the verdict, state or mark; of a ring: whether it has a number */
  double amount; /* the fraction, or degrees */
  PangoLayout *number;
};

G_DEFINE_FINAL_TYPE (RakePicture, rake_picture, GTK_TYPE_WIDGET)

static void
set_source (cairo_t *cr, RakeColour colour)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha);
}

/* Turned so that a line drawn upward points along @deg on the face (0 up, clockwise). */
static void
turn (cairo_t *cr, double width_px, double height_px, double deg)
{
  cairo_translate (cr, width_px / 2, height_px / 2);
  cairo_rotate (cr, deg * G_PI / 180);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
}

/* The lamp at the rim, its light falling on the middle. */
static void
draw_lamp (cairo_t *cr, double width_px, double height_px, double lamp_deg)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  double radius_px = MIN (width_px, height_px) / 2 - 1;

  set_source (cr, palette->line);
  cairo_set_line_width (cr, 1.5);
  cairo_arc (cr, width_px / 2, height_px / 2, radius_px, 0, 2 * G_PI);
  cairo_stroke (cr);
  if (!isfinite (lamp_deg))
    return;
  turn (cr, width_px, height_px, lamp_deg);
  set_source (cr, palette->lamp_fill);
  cairo_arc (cr, 0, -radius_px + 3, 3.5, 0, 2 * G_PI);
  cairo_fill (cr);
  set_source (cr, palette->lamp);
  cairo_set_line_width (cr, 1.8);
  cairo_move_to (cr, 0, -radius_px + 8);
  cairo_line_to (cr, 0, radius_px * 0.45);
  cairo_move_to (cr, -3.5, radius_px * 0.45 - 4);
  cairo_line_to (cr, 0, radius_px * 0.45);
  cairo_line_to (cr, 3.5, radius_px * 0.45 - 4);
  cairo_stroke (cr);
}

static void
draw_strokes (cairo_t *cr, double width_px, double height_px, double stroke_deg)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  double reach_px = MIN (width_px, height_px) / 2 - 2;

  set_source (cr, palette->soft_ink);
  if (!isfinite (stroke_deg))
    {
      cairo_arc (cr, width_px / 2, height_px / 2, 2, 0, 2 * G_PI);
      cairo_fill (cr);
      return;
    }
  turn (cr, width_px, height_px, stroke_deg);
  cairo_set_line_width (cr, 1.8);
  for (int i = -1; i <= 1; i++)
    {
      double half_px = i ? reach_px * 0.7 : reach_px;

      cairo_move_to (cr, i * reach_px * 0.5, -half_px);
      cairo_line_to (cr, i * reach_px * 0.5, half_px);
    }
  cairo_stroke (cr);
}

static void
draw (RakePicture *self, cairo_t *cr, double width_px, double height_px)
{
  RakeTheme theme = rake_theme_now ();
  double size_px = MIN (width_px, height_px);

  switch (self->kind)
    {
    case VERDICT:
      cairo_translate (cr, (width_px - size_px) / 2, (height_px - size_px) / 2);
      rake_map_draw_verdict_glyph (cr, theme, (RakeVerdict) self->what, size_px);
      break;
    case STATE:
      rake_map_draw_state_picture (cr, theme, (RakeState) self->what, width_px, height_px);
      break;
    case MARK:
      rake_map_draw_mark_picture (cr, theme, (RakeMarkKind) self->what, width_px, height_px);
      break;
    case RING:
      cairo_translate (cr, (width_px - size_px) / 2, (height_px - size_px) / 2);
      rake_map_draw_progress_ring (cr, theme, self->amount, size_px);
      break;
    case LAMP:
      draw_lamp (cr, width_px, height_px, self->amount);
      break;
    case STROKES:
      draw_strokes (cr, width_px, height_px, self->amount);
      break;
    case NOTHING:
    default:
      break;
    }
}

/* The number inside a ring is text of the widget, so it grows with the user's font. */
static void
append_number (RakePicture *self, GtkSnapshot *snapshot, int width_px, int height_px)
{
  GtkStyleContext *style = gtk_widget_get_style_context (GTK_WIDGET (self));
  char text[8];
  int text_width_px, text_height_px;
  GdkRGBA ink;

  /* Rounded down: 100 only when all of it is. */
  g_snprintf (text, sizeof text, "%d", (int) floor (self->amount * 100 + 1e-9));
  if (!self->number)
    self->number = gtk_widget_create_pango_layout (GTK_WIDGET (self), NULL);
  pango_layout_set_text (self->number, text, -1);
  pango_layout_get_pixel_size (self->number, &text_width_px, &text_height_px);
  if (text_width_px > width_px - 8)
    return;
  gtk_style_context_get_color (style, &ink);
  gtk_snapshot_save (snapshot);
  gtk_snapshot_translate (snapshot,
                          &GRAPHENE_POINT_INIT ((float) (width_px - text_width_px) / 2,
                                                (float) (height_px - text_height_px) / 2));
  gtk_snapshot_append_layout (snapshot, self->number, &ink);
  gtk_snapshot_restore (snapshot);
}

static void
rake_picture_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakePicture *self = RAKE_PICTURE (widget);
  int width_px = gtk_widget_get_width (widget), height_px = gtk_widget_get_height (widget);
  cairo_t *cr;

  if (self->kind == NOTHING || width_px <= 0 || height_px <= 0)
    return;
  cr = gtk_snapshot_append_cairo (snapshot,
                                  &GRAPHENE_RECT_INIT (0, 0, (float) width_px, (float) height_px));
  draw (self, cr, width_px, height_px);
  cairo_destroy (cr);
  if (self->kind == RING && self->what)
    append_number (self, snapshot, width_px, height_px);
}

static void
show (RakePicture *self, PictureKind kind, int what, double amount)
{
  self->kind = kind;
  self->what = what;
  self->amount = amount;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
rake_picture_show_nothing (RakePicture *self)
{
  show (self, NOTHING, 0, 0);
}

void
rake_picture_show_verdict (RakePicture *self, RakeVerdict verdict)
{
  show (self, VERDICT, (int) verdict, 0);
}

void
rake_picture_show_state (RakePicture *self, RakeState state)
{
  show (self, STATE, (int) state, 0);
}

void
rake_picture_show_mark (RakePicture *self, RakeMarkKind mark)
{
  show (self, MARK, (int) mark, 0);
}

void
rake_picture_show_ring (RakePicture *self, double fraction, gboolean has_number)
{
  show (self, RING, has_number, isfinite (fraction) ? CLAMP (fraction, 0, 1) : 0);
}

void
rake_picture_show_lamp (RakePicture *self, double lamp_deg)
{
  show (self, LAMP, 0, lamp_deg);
}

void
rake_picture_show_strokes (RakePicture *self, double stroke_deg)
{
  show (self, STROKES, 0, stroke_deg);
}

GtkWidget *
rake_picture_new (int width_px, int height_px)
{
  return g_object_new (RAKE_TYPE_PICTURE, "width-request", width_px, "height-request", height_px,
                       "valign", GTK_ALIGN_CENTER, "halign", GTK_ALIGN_CENTER, NULL);
}

static void
rake_picture_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (rake_picture_parent_class)->css_changed (widget, change);
  g_clear_object (&RAKE_PICTURE (widget)->number);
}

static void
rake_picture_dispose (GObject *object)
{
  g_clear_object (&RAKE_PICTURE (object)->number);
  G_OBJECT_CLASS (rake_picture_parent_class)->dispose (object);
}

static void
rake_picture_class_init (RakePictureClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_picture_dispose;
  widget_class->snapshot = rake_picture_snapshot;
  widget_class->css_changed = rake_picture_css_changed;
  gtk_widget_class_set_css_name (widget_class, "smallpicture");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
rake_picture_init (RakePicture *self)
{
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (gtk_widget_queue_draw), self, G_CONNECT_SWAPPED);
}
