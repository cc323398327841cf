/* point-knob.c - one end of a pair of points. */
#include "point-knob.h"

#include "theme.h"

#include <math.h>

#define RING_PX 11.0
#define MANY_STEPS 10

struct _RakePointKnob
{
  GtkWidget parent_instance;

  guint number;
  RakeKnobFlags flags;
  char *words;
};

enum
{
  SIGNAL_NUDGED,
  SIGNAL_CONFIRMED,
  SIGNAL_DISCARDED,
  SIGNAL_FOCUSED,
  N_SIGNALS,
};

static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (RakePointKnob, rake_point_knob, GTK_TYPE_WIDGET)

/* --- drawing ------------------------------------------------------------------------------------ */

/* Light on dark, so that it shows on any photograph. */
static void
stroke_twice (cairo_t *cr, RakeColour colour, double width_px)
{
  cairo_set_source_rgba (cr, 0, 0, 0, 0.75);
  cairo_set_line_width (cr, width_px + 2.5);
  cairo_stroke_preserve (cr);
  cairo_set_source_rgb (cr, colour.red, colour.green, colour.blue);
  cairo_set_line_width (cr, width_px);
  cairo_stroke (cr);
}

static void
draw_ring (RakePointKnob *self, cairo_t *cr, RakeColour colour)
{
  const double dashes[2] = { 4, 4 };
  double middle = RAKE_POINT_KNOB_PX / 2.0;

  if (self->flags & RAKE_KNOB_WAITS)
    cairo_set_dash (cr, dashes, 2, 0);
  cairo_arc (cr, middle, middle, RING_PX, 0, 2 * G_PI);
  stroke_twice (cr, colour, self->flags & RAKE_KNOB_IS_HELD ? 3 : 2);
  cairo_set_dash (cr, NULL, 0, 0);
  if (self->flags & RAKE_KNOB_IS_ODD)
    {
      cairo_arc (cr, middle, middle, RING_PX + 5, 0, 2 * G_PI);
      stroke_twice (cr, colour, 1.5);
    }
  /* The arms end before the middle: that is what must be seen. */
  for (int arm = 0; arm < 4; arm++)
    {
      double x = cos (arm * G_PI / 2), y = sin (arm * G_PI / 2);

      cairo_move_to (cr, middle + 3 * x, middle + 3 * y);
      cairo_line_to (cr, middle + (RING_PX + 3) * x, middle + (RING_PX + 3) * y);
    }
  stroke_twice (cr, colour, 1.2);
}

static void
draw_number (RakePointKnob *self, cairo_t *cr, RakeColour colour)
{
  g_autofree char *text =
      g_strdup_printf (self->flags & RAKE_KNOB_IS_ODD ? "%u!" : "%u", self->number);
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), text);
  PangoAttrList *attributes = pango_attr_list_new ();
  int width, height;

  pango_attr_list_insert (attributes, pango_attr_weight_new (PANGO_WEIGHT_BOLD));
  pango_attr_list_insert (attributes, pango_attr_size_new_absolute (13 * PANGO_SCALE));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  pango_layout_get_pixel_size (layout, &width, &height);
  cairo_move_to (cr, RAKE_POINT_KNOB_PX - width - 1, RAKE_POINT_KNOB_PX - height + 1);
  pango_cairo_layout_path (cr, layout);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_source_rgba (cr, 0, 0, 0, 0.8);
  cairo_set_line_width (cr, 3.5);
  cairo_stroke_preserve (cr);
  cairo_set_source_rgb (cr, colour.red, colour.green, colour.blue);
  cairo_fill (cr);
}

static void
rake_point_knob_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakePointKnob *self = RAKE_POINT_KNOB (widget);
  /* Its colours are those of the dark theme on any ground: a photograph has no theme. */
  const RakePalette *palette = rake_palette_get (RAKE_THEME_DARK);
  RakeColour colour = self->flags & RAKE_KNOB_IS_ODD    ? palette->verdict[RAKE_VERDICT_STOP]
                      : self->flags & RAKE_KNOB_IS_HELD ? palette->lamp_fill
                                                        : (RakeColour){ 1, 1, 1, 1 };
  graphene_rect_t box = GRAPHENE_RECT_INIT (0, 0, RAKE_POINT_KNOB_PX, RAKE_POINT_KNOB_PX);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);

  draw_ring (self, cr, colour);
  draw_number (self, cr, colour);
  cairo_destroy (cr);
}

static void
rake_point_knob_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                         int *natural, int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = RAKE_POINT_KNOB_PX;
}

/* --- keys --------------------------------------------------------------------------------------- */

static gboolean
nudge (RakePointKnob *self, int dx, int dy, GdkModifierType state)
{
  int steps = state & GDK_SHIFT_MASK ? MANY_STEPS : 1;

  g_signal_emit (self, signals[SIGNAL_NUDGED], 0, dx * steps, dy * steps);
  return TRUE;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state,
             RakePointKnob *self)
{
  if (state & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return FALSE;
  switch (key)
    {
    case GDK_KEY_Left:
      return nudge (self, -1, 0, state);
    case GDK_KEY_Right:
      return nudge (self, 1, 0, state);
    case GDK_KEY_Up:
      return nudge (self, 0, -1, state);
    case GDK_KEY_Down:
      return nudge (self, 0, 1, state);
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
    case GDK_KEY_space:
      g_signal_emit (self, signals[SIGNAL_CONFIRMED], 0);
      return TRUE;
    case GDK_KEY_Delete:
    case GDK_KEY_KP_Delete:
      g_signal_emit (self, signals[SIGNAL_DISCARDED], 0);
      return TRUE;
    default:
      return FALSE;
    }
}

static void
focus_changed (RakePointKnob *self)
{
  if (gtk_widget_has_focus (GTK_WIDGET (self)))
    g_signal_emit (self, signals[SIGNAL_FOCUSED], 0);
}

/* --- public ------------------------------------------------------------------------------------- */

void
rake_point_knob_show (RakePointKnob *self, guint number, RakeKnobFlags flags, const char *words)
{
  if (self->number != number || self->flags != flags)
    gtk_widget_queue_draw (GTK_WIDGET (self));
  self->number = number;
  self->flags = flags;
  /* Only what is new: a screen reader says every change aloud. */
  if (g_strcmp0 (words, self->words) == 0)
    return;
  g_free (self->words);
  self->words = g_strdup (words);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, words, -1);
}

/* --- class -------------------------------------------------------------------------------------- */

static void
rake_point_knob_finalize (GObject *object)
{
  g_free (RAKE_POINT_KNOB (object)->words);
  G_OBJECT_CLASS (rake_point_knob_parent_class)->finalize (object);
}

static guint
new_signal (RakePointKnobClass *klass, const char *name, guint n_numbers)
{
  return g_signal_new (name, G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                       G_TYPE_NONE, n_numbers, G_TYPE_INT, G_TYPE_INT);
}

static void
rake_point_knob_class_init (RakePointKnobClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = rake_point_knob_finalize;
  widget_class->snapshot = rake_point_knob_snapshot;
  widget_class->measure = rake_point_knob_measure;
  gtk_widget_class_set_css_name (widget_class, "pointknob");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_BUTTON);
  signals[SIGNAL_NUDGED] = new_signal (klass, "nudged", 2);
  signals[SIGNAL_CONFIRMED] = new_signal (klass, "confirmed", 0);
  signals[SIGNAL_DISCARDED] = new_signal (klass, "discarded", 0);
  signals[SIGNAL_FOCUSED] = new_signal (klass, "focused", 0);
}

static void
rake_point_knob_init (RakePointKnob *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  /* The hand is the view's: it drags a knob by what is near it, and from a little way off. */
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  g_signal_connect (self, "notify::has-focus", G_CALLBACK (focus_changed), NULL);
}

RakePointKnob *
rake_point_knob_new (guint number)
{
  RakePointKnob *self = g_object_new (RAKE_TYPE_POINT_KNOB, NULL);

  self->number = number;
  return self;
}
