/* pass-chart.c - the share still glossy by pass, drawn small. */
#include "pass-chart.h"
#include "say.h"
#include "theme.h"

#include <adwaita.h>
#include <math.h>
#include "words.h"

#define SIDE_PX 12
#define HEIGHT_PX 116
#define DOT_PX 4

typedef struct
{
  double share_fraction; /* NaN: nobody said */
  char *grade;           /* of the stage that begins here; NULL: the same as before */
} Point;

struct _RakePassChart
{
  GtkWidget parent_instance;

  GArray *points; /* Point */
  double limit_fraction;
};

G_DEFINE_FINAL_TYPE (RakePassChart, rake_pass_chart, GTK_TYPE_WIDGET)

static void
clear_point (gpointer data)
{
  g_free (((Point *) data)->grade);
}

static const Point *
get_point (const RakePassChart *self, guint index)
{
  return &g_array_index (self->points, Point, index);
}

/* --- drawing --------------------------------------------------------------------------------- */

typedef struct
{
  double left_px, right_px, top_px, bottom_px, highest_fraction;
} Frame;

static double
get_x (const RakePassChart *self, const Frame *frame, guint index)
{
  guint n_steps = MAX (1, self->points->len - 1);

  return frame->left_px + (frame->right_px - frame->left_px) * index / n_steps;
}

static double
get_y (const Frame *frame, double fraction)
{
  return frame->bottom_px - (frame->bottom_px - frame->top_px) * fraction / frame->highest_fraction;
}

static void
set_source (cairo_t *cr, RakeColour colour)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha);
}

/* The chart reaches a little over its highest share, so a zone near its limit still shows how near. */
static double
find_highest (const RakePassChart *self)
{
  double highest = isfinite (self->limit_fraction) ? self->limit_fraction * 2 : 0.1;

  for (guint i = 0; i < self->points->len; i++)
    if (isfinite (get_point (self, i)->share_fraction))
      highest = MAX (highest, get_point (self, i)->share_fraction * 1.1);
  return CLAMP (highest, 0.05, 1);
}

static void
draw_limit (RakePassChart *self, cairo_t *cr, const Frame *frame, const RakePalette *palette)
{
  static const double dashes[] = { 3, 3 };
  double y_px = floor (get_y (frame, self->limit_fraction)) + 0.5;

  set_source (cr, palette->verdict[RAKE_VERDICT_READY]);
  cairo_set_line_width (cr, 1);
  cairo_set_dash (cr, dashes, 2, 0);
  cairo_move_to (cr, SIDE_PX / 2.0, y_px);
  cairo_line_to (cr, frame->right_px + SIDE_PX / 2.0, y_px);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
}

static void
draw_line (RakePassChart *self, cairo_t *cr, const Frame *frame, const RakePalette *palette)
{
  gboolean has_start = FALSE;

  set_source (cr, palette->soft_ink);
  cairo_set_line_width (cr, 1.5);
  for (guint i = 0; i < self->points->len; i++)
    {
      double share = get_point (self, i)->share_fraction;

      if (!isfinite (share))
        continue;
      if (has_start)
        cairo_line_to (cr, get_x (self, frame, i), get_y (frame, share));
      else
        cairo_move_to (cr, get_x (self, frame, i), get_y (frame, share));
      has_start = TRUE;
    }
  cairo_stroke (cr);
}

static void
draw_points (RakePassChart *self, cairo_t *cr, const Frame *frame, const RakePalette *palette)
{
  for (guint i = 0; i < self->points->len; i++)
    {
      double share = get_point (self, i)->share_fraction, x_px = get_x (self, frame, i);

      /* A pass nobody looked after is a tick on the base line, not a guess. */
      if (!isfinite (share))
        {
          set_source (cr, palette->line);
          cairo_set_line_width (cr, 1.5);
          cairo_move_to (cr, x_px, frame->bottom_px - 5);
          cairo_line_to (cr, x_px, frame->bottom_px);
          cairo_stroke (cr);
          continue;
        }
      set_source (cr, palette->verdict[RAKE_VERDICT_LOOK_AGAIN]);
      cairo_arc (cr, x_px, get_y (frame, share), DOT_PX, 0, 2 * G_PI);
      cairo_fill (cr);
    }
}

static void
append_text (RakePassChart *self, GtkSnapshot *snapshot, const char *text, RakeColour colour,
             double x_px, double y_px, double align)
{
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), text);
  GdkRGBA ink = { (float) colour.red, (float) colour.green, (float) colour.blue,
                  (float) colour.alpha };
  int width_px, height_px;

  pango_layout_get_pixel_size (layout, &width_px, &height_px);
  x_px = CLAMP (x_px - width_px * align, 2,
                MAX (2, gtk_widget_get_width (GTK_WIDGET (self)) - width_px - 2));
  gtk_snapshot_save (snapshot);
  gtk_snapshot_translate (snapshot, &GRAPHENE_POINT_INIT ((float) x_px, (float) y_px));
  gtk_snapshot_append_layout (snapshot, layout, &ink);
  gtk_snapshot_restore (snapshot);
}

static int
get_text_height (RakePassChart *self)
{
  g_autoptr (PangoLayout) layout = gtk_widget_create_pango_layout (GTK_WIDGET (self), "0");
  int height_px;

  pango_layout_get_pixel_size (layout, NULL, &height_px);
  return height_px;
}

static void
append_words (RakePassChart *self, GtkSnapshot *snapshot, const Frame *frame, int text_px,
              const RakePalette *palette)
{
  for (guint i = 0; i < self->points->len; i++)
    if (get_point (self, i)->grade)
      append_text (self, snapshot, get_point (self, i)->grade, palette->soft_ink,
                   get_x (self, frame, i), frame->bottom_px + 3, i == 0 ? 0 : 0.5);
  if (isfinite (self->limit_fraction))
    {
      g_autofree char *share = rake_say_low_share (self->limit_fraction);
      /* Translators: the line in the chart of glossy shares: "10 % is level enough". */
      g_autofree char *text = g_strdup_printf (_ ("%s is level enough"), share);
      double y_px = get_y (frame, self->limit_fraction);

      /* At the start, where shares are still high, there is room over the line. */
      append_text (self, snapshot, text, palette->verdict[RAKE_VERDICT_READY], SIDE_PX / 2.0,
                   y_px - text_px - 1, 0);
    }
}

static void
rake_pass_chart_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakePassChart *self = RAKE_PASS_CHART (widget);
  int width_px = gtk_widget_get_width (widget), height_px = gtk_widget_get_height (widget);
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  int text_px = get_text_height (self);
  Frame frame = { SIDE_PX, width_px - SIDE_PX, SIDE_PX, height_px - text_px - 6,
                  find_highest (self) };
  cairo_t *cr;

  if (width_px < 3 * SIDE_PX || self->points->len == 0)
    return;
  cr = gtk_snapshot_append_cairo (snapshot,
                                  &GRAPHENE_RECT_INIT (0, 0, (float) width_px, (float) height_px));
  if (isfinite (self->limit_fraction))
    draw_limit (self, cr, &frame, palette);
  draw_line (self, cr, &frame, palette);
  draw_points (self, cr, &frame, palette);
  cairo_destroy (cr);
  append_words (self, snapshot, &frame, text_px, palette);
}

static void
rake_pass_chart_measure (GtkWidget *widget, GtkOrientation orientation, int for_size_px,
                         int *minimum_px, int *natural_px, int *minimum_baseline,
                         int *natural_baseline)
{
  *minimum_px = *natural_px = orientation == GTK_ORIENTATION_HORIZONTAL ? 120 : HEIGHT_PX;
}

/* --- what it shows --------------------------------------------------------------------------- */

static const char *
find_grade (const RakeZone *zone, RakeId stage_id)
{
  for (guint i = 0; i < zone->face->stages->len; i++)
    {
      const RakeStage *stage = zone->face->stages->pdata[i];

      if (rake_id_equal (stage->id, stage_id))
        return rake_say_grade (stage);
    }
  return NULL;
}

static void
describe (RakePassChart *self)
{
  g_autoptr (GString) text = g_string_new (_ ("Share still glossy, look by look:"));

  for (guint i = 0; i < self->points->len; i++)
    {
      g_autofree char *share = rake_say_low_share (get_point (self, i)->share_fraction);

      if (share)
        g_string_append_printf (text, " %s", share);
    }
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, text->str,
                                  -1);
}

gboolean
rake_pass_chart_show (RakePassChart *self, const RakeZone *zone, GArray *shares,
                      double limit_fraction)
{
  guint n_known = 0;
  gboolean has_pass = FALSE;
  RakeId stage = RAKE_ID_NIL;

  g_array_set_size (self->points, 0);
  self->limit_fraction = limit_fraction;
  for (guint i = 0; i < shares->len; i++)
    {
      const RakeShareTold *told = &g_array_index (shares, RakeShareTold, i);
      Point point = { told->low_spot_fraction, NULL };

      if (told->pass && !rake_id_equal (told->pass->pass.stage, stage))
        {
          stage = told->pass->pass.stage;
          point.grade = g_strdup (find_grade (zone, stage));
        }
      if (isfinite (told->low_spot_fraction))
        {
          n_known++;
          has_pass |= told->pass != NULL;
        }
      g_array_append_val (self->points, point);
    }
  describe (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return n_known > 1 || has_pass;
}

static void
rake_pass_chart_finalize (GObject *object)
{
  g_array_unref (RAKE_PASS_CHART (object)->points);
  G_OBJECT_CLASS (rake_pass_chart_parent_class)->finalize (object);
}

static void
rake_pass_chart_class_init (RakePassChartClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = rake_pass_chart_finalize;
  widget_class->snapshot = rake_pass_chart_snapshot;
  widget_class->measure = rake_pass_chart_measure;
  gtk_widget_class_set_css_name (widget_class, "passchart");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
rake_pass_chart_init (RakePassChart *self)
{
  self->points = g_array_new (FALSE, FALSE, sizeof (Point));
  g_array_set_clear_func (self->points, clear_point);
  self->limit_fraction = NAN;
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (gtk_widget_queue_draw), self, G_CONNECT_SWAPPED);
}
