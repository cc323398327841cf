/* ribbon-draw.c - how the timeline's ribbon is drawn. */
#include "ribbon-draw.h"
#include "say.h"
#include "theme.h"

#include <math.h>
#include "words.h"

#define SIDE_PX 14
#define LEAST_APART_PX 15.0
#define MOST_APART_PX 54.0
#define LABELS_FROM_PX 40
#define LABEL_GAP_PX 14
#define MAX_DAYS 40 /* more than fit */
#define REACH_PX 22 /* half a finger */

static void
set_source (cairo_t *cr, RakeColour colour)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha);
}

static GdkRGBA
to_rgba (RakeColour colour)
{
  return (GdkRGBA){ (float) colour.red, (float) colour.green, (float) colour.blue,
                    (float) colour.alpha };
}

/* --- where things lie ------------------------------------------------------------------------ */

RakeRibbonFrame
rake_ribbon_frame_new (int width_px, int height_px, gboolean is_mirrored)
{
  RakeRibbonFrame frame = { .width_px = width_px, .height_px = height_px };

  frame.start_px = SIDE_PX;
  frame.length_px = MAX (0, width_px - 2 * SIDE_PX);
  frame.has_labels = height_px >= LABELS_FROM_PX;
  frame.line_y_px = frame.has_labels ? 14 : height_px / 2.0;
  frame.is_mirrored = is_mirrored;
  return frame;
}

gboolean
rake_ribbon_frame_equal (const RakeRibbonFrame *a, const RakeRibbonFrame *b)
{
  return a->width_px == b->width_px && a->height_px == b->height_px &&
         a->is_mirrored == b->is_mirrored;
}

static double
mirror (const RakeRibbonFrame *frame, double x_px)
{
  return frame->is_mirrored ? frame->width_px - x_px : x_px;
}

static double
get_x (GArray *moments, const RakeRibbonFrame *frame, guint index)
{
  return mirror (
      frame, rake_moments_get_x (moments, frame->start_px, frame->length_px, MOST_APART_PX, index));
}

guint
rake_ribbon_find_moment (GArray *moments, const RakeRibbonFrame *frame, double x_px)
{
  return rake_moments_find_at (moments, frame->start_px, frame->length_px, MOST_APART_PX,
                               mirror (frame, x_px));
}

static GArray *
lay_out (GArray *moments, const RakeRibbonFrame *frame)
{
  return rake_moments_lay_out (moments, frame->start_px, frame->length_px, LEAST_APART_PX,
                               MOST_APART_PX);
}

gboolean
rake_ribbon_find_cluster (GArray *moments, const RakeRibbonFrame *frame, double x_px,
                          RakeCluster *cluster)
{
  g_autoptr (GArray) clusters = lay_out (moments, frame);
  double nearest_px = REACH_PX;
  gboolean is_found = FALSE;

  x_px = mirror (frame, x_px);
  for (guint i = 0; i < clusters->len; i++)
    {
      const RakeCluster *candidate = &g_array_index (clusters, RakeCluster, i);
      double away_px = fabs (candidate->x_px - x_px);

      if (away_px > nearest_px)
        continue;
      nearest_px = away_px;
      *cluster = *candidate;
      is_found = TRUE;
    }
  return is_found;
}

/* --- signs ----------------------------------------------------------------------------------- */

static RakeColour
get_colour (const RakePalette *palette, RakeMomentKind kind)
{
  switch (kind)
    {
    case RAKE_MOMENT_LOOK:
      return palette->verdict[RAKE_VERDICT_LOOK_AGAIN];
    case RAKE_MOMENT_MARK:
      return palette->verdict[RAKE_VERDICT_SAND_AGAIN];
    case RAKE_MOMENT_STAGE:
      return palette->lamp;
    case RAKE_MOMENT_ACCEPTANCE:
      return palette->verdict[RAKE_VERDICT_READY];
    case RAKE_MOMENT_REPAIR:
      return palette->verdict[RAKE_VERDICT_REPAIR];
    case RAKE_MOMENT_PASS:
      return palette->ink;
    case RAKE_MOMENT_COAT:
    case RAKE_MOMENT_OTHER:
    case RAKE_N_MOMENTS:
    default:
      return palette->soft_ink;
    }
}

static void
trace_polygon (cairo_t *cr, const double *points_px, guint n_points)
{
  for (guint i = 0; i < n_points; i++)
    cairo_line_to (cr, points_px[2 * i], points_px[2 * i + 1]);
  cairo_close_path (cr);
}

/* Told apart by shape as well as colour: a pass is a disc, a look an eye-lid, a mark a lozenge, a
 * coat a lying bar, a stage a standing one, an acceptance a square, a repair a triangle. */
static void
trace_sign (cairo_t *cr, RakeMomentKind kind)
{
  static const double lozenge_px[] = { 0, -6, 6, 0, 0, 6, -6, 0 };
  static const double triangle_px[] = { -6, -4.5, 6, -4.5, 0, 6 };

  switch (kind)
    {
    case RAKE_MOMENT_PASS:
      cairo_arc (cr, 0, 0, 4.5, 0, 2 * G_PI);
      break;
    case RAKE_MOMENT_LOOK:
      cairo_arc (cr, 0, 2, 5.5, G_PI, 0);
      cairo_close_path (cr);
      break;
    case RAKE_MOMENT_MARK:
      trace_polygon (cr, lozenge_px, 4);
      break;
    case RAKE_MOMENT_COAT:
      cairo_rectangle (cr, -7, -2.5, 14, 5);
      break;
    case RAKE_MOMENT_STAGE:
      cairo_rectangle (cr, -2, -9, 4, 18);
      break;
    case RAKE_MOMENT_ACCEPTANCE:
      cairo_rectangle (cr, -4.5, -4.5, 9, 9);
      break;
    case RAKE_MOMENT_REPAIR:
      trace_polygon (cr, triangle_px, 3);
      break;
    case RAKE_MOMENT_OTHER:
    case RAKE_N_MOMENTS:
    default:
      cairo_arc (cr, 0, 0, 2, 0, 2 * G_PI);
      break;
    }
}

void
rake_ribbon_draw_sign (cairo_t *cr, const RakePalette *palette, RakeMomentKind kind,
                       gboolean is_hollow)
{
  cairo_new_path (cr);
  trace_sign (cr, kind);
  if (is_hollow)
    {
      set_source (cr, palette->ground);
      cairo_fill_preserve (cr);
      set_source (cr, get_colour (palette, kind));
      cairo_set_line_width (cr, 1.3);
      cairo_stroke (cr);
      return;
    }
  set_source (cr, get_colour (palette, kind));
  cairo_fill (cr);
}

/* --- the kept node --------------------------------------------------------------------------- */

static void
draw_dots (cairo_t *cr, const RakeRibbonFrame *frame, GArray *moments)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  g_autoptr (GArray) clusters = lay_out (moments, frame);

  set_source (cr, palette->line);
  cairo_set_line_width (cr, 2);
  cairo_move_to (cr, frame->start_px, frame->line_y_px);
  cairo_line_to (cr, frame->width_px - frame->start_px, frame->line_y_px);
  cairo_stroke (cr);
  for (guint i = 0; i < clusters->len; i++)
    {
      const RakeCluster *cluster = &g_array_index (clusters, RakeCluster, i);

      cairo_save (cr);
      cairo_translate (cr, mirror (frame, cluster->x_px), frame->line_y_px);
      rake_ribbon_draw_sign (cr, palette, cluster->kind, cluster->is_struck);
      cairo_restore (cr);
    }
}

static gboolean
is_another_day (const RakeEntry *a, const RakeEntry *b)
{
  /* The day at the bench, not in Greenwich. */
  gint64 day_ms = 24 * 3600 * G_GINT64_CONSTANT (1000);
  gint64 a_ms = a->happened_ms + a->utc_offset_minutes * G_GINT64_CONSTANT (60000);
  gint64 b_ms = b->happened_ms + b->utc_offset_minutes * G_GINT64_CONSTANT (60000);

  return a_ms / day_ms != b_ms / day_ms;
}

static PangoLayout *
new_text (GtkWidget *widget, const char *text, int *width_px, int *height_px)
{
  PangoLayout *layout = gtk_widget_create_pango_layout (widget, text);

  pango_layout_get_pixel_size (layout, width_px, height_px);
  return layout;
}

static void
append_text (GtkSnapshot *snapshot, PangoLayout *layout, RakeColour colour, double x_px,
             double y_px)
{
  GdkRGBA ink = to_rgba (colour);

  gtk_snapshot_save (snapshot);
  gtk_snapshot_translate (snapshot, &GRAPHENE_POINT_INIT ((float) x_px, (float) y_px));
  gtk_snapshot_append_layout (snapshot, layout, &ink);
  gtk_snapshot_restore (snapshot);
}

typedef struct
{
  const RakeEntry *entry; /* the day's first */
  double from_px, to_px;  /* from the ribbon's start, whichever side that is */
} Day;

static GArray *
collect_days (const RakeRibbonFrame *frame, GArray *moments)
{
  GArray *days = g_array_new (FALSE, FALSE, sizeof (Day));

  for (guint i = 0; i < moments->len; i++)
    {
      const RakeEntry *entry = g_array_index (moments, RakeMoment, i).entry;
      double x_px = mirror (frame, get_x (moments, frame, i));
      Day day = { entry, x_px, x_px };

      if (i == 0 || is_another_day (entry, g_array_index (days, Day, days->len - 1).entry))
        g_array_append_val (days, day);
      g_array_index (days, Day, days->len - 1).to_px = x_px;
    }
  return days;
}

static int
compare_length (gconstpointer a, gconstpointer b)
{
  const Day *one = a, *other = b;
  double difference_px = (other->to_px - other->from_px) - (one->to_px - one->from_px);

  if (fabs (difference_px) > 0.01)
    return difference_px > 0 ? 1 : -1;
  return one->from_px > other->from_px ? 1 : -1;
}

static gboolean
is_taken (GArray *taken, double from_px, double to_px)
{
  for (guint i = 0; i < taken->len; i++)
    {
      const Day *label = &g_array_index (taken, Day, i);

      if (from_px < label->to_px + LABEL_GAP_PX && to_px > label->from_px - LABEL_GAP_PX)
        return TRUE;
    }
  return FALSE;
}

/* A day's name where it begins. Where there is no room for all, the days on which most was done
 * keep theirs. */
static void
append_days (GtkWidget *widget, GtkSnapshot *snapshot, const RakeRibbonFrame *frame,
             GArray *moments, GArray *spans)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  g_autoptr (GArray) days = collect_days (frame, moments);
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (Day));

  g_array_sort (days, compare_length);
  for (guint i = 0; i < days->len && taken->len < MAX_DAYS; i++)
    {
      const Day *day = &g_array_index (days, Day, i);
      g_autofree char *name = rake_say_day (day->entry);
      int text_px, height_px;
      g_autoptr (PangoLayout) layout = new_text (widget, name, &text_px, &height_px);
      Day label = { day->entry, MAX (0, day->from_px - 6), 0 };
      RakeRibbonSpan span;

      label.to_px = label.from_px + text_px;
      if (label.to_px > frame->width_px || is_taken (taken, label.from_px, label.to_px))
        continue;
      span.from_px = frame->is_mirrored ? frame->width_px - label.to_px : label.from_px;
      span.to_px = span.from_px + text_px;
      append_text (snapshot, layout, palette->soft_ink, span.from_px, frame->height_px - height_px);
      g_array_append_val (taken, label);
      g_array_append_val (spans, span);
    }
}

GskRenderNode *
rake_ribbon_draw_moments (GtkWidget *widget, const RakeRibbonFrame *frame, GArray *moments,
                          GArray *days)
{
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) frame->width_px, (float) frame->height_px));

  draw_dots (cr, frame, moments);
  cairo_destroy (cr);
  g_array_set_size (days, 0);
  if (frame->has_labels)
    append_days (widget, snapshot, frame, moments, days);
  return gtk_snapshot_free_to_node (g_steal_pointer (&snapshot));
}

/* --- on top ---------------------------------------------------------------------------------- */

/* The part of the kept node between two places, set back by @opacity. */
static void
append_part (GtkSnapshot *snapshot, const RakeRibbonFrame *frame, GskRenderNode *dots,
             double from_px, double to_px, double opacity)
{
  if (to_px <= from_px)
    return;
  gtk_snapshot_push_clip (snapshot,
                          &GRAPHENE_RECT_INIT ((float) from_px, 0, (float) (to_px - from_px),
                                               (float) frame->height_px));
  gtk_snapshot_push_opacity (snapshot, opacity);
  gtk_snapshot_append_node (snapshot, dots);
  gtk_snapshot_pop (snapshot);
  gtk_snapshot_pop (snapshot);
}

static void
append_hand (GtkSnapshot *snapshot, const RakeRibbonFrame *frame, double x_px, gboolean is_now)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT ((float) x_px - 12, (float) frame->line_y_px - 14, 24, 28));

  set_source (cr, palette->ground);
  cairo_arc (cr, x_px, frame->line_y_px, 9.5, 0, 2 * G_PI);
  cairo_fill (cr);
  set_source (cr, palette->lamp_fill);
  cairo_arc (cr, x_px, frame->line_y_px, 7.5, 0, 2 * G_PI);
  if (is_now)
    cairo_fill (cr);
  else
    {
      cairo_set_line_width (cr, 3);
      cairo_stroke (cr);
    }
  cairo_destroy (cr);
}

/* The ground under the hand's words, and under every day's name that they would run into: half a
 * name is worse than none. */
static void
append_ground (GtkSnapshot *snapshot, const RakeRibbonFrame *frame, GArray *days, double from_px,
               double to_px, int height_px)
{
  GdkRGBA ground = to_rgba (rake_palette_get (rake_theme_now ())->ground);
  double left_px = from_px, right_px = to_px;

  for (guint i = 0; i < days->len; i++)
    {
      const RakeRibbonSpan *day = &g_array_index (days, RakeRibbonSpan, i);

      if (day->from_px >= to_px || day->to_px <= from_px)
        continue;
      left_px = MIN (left_px, day->from_px);
      right_px = MAX (right_px, day->to_px);
    }
  gtk_snapshot_append_color (snapshot, &ground,
                             &GRAPHENE_RECT_INIT ((float) left_px,
                                                  (float) (frame->height_px - height_px),
                                                  (float) (right_px - left_px), (float) height_px));
}

/* Where the map stands, in words under the hand. */
static void
append_hand_label (GtkWidget *widget, GtkSnapshot *snapshot, const RakeRibbonFrame *frame,
                   const RakeMoment *moment, GArray *days, double x_px, gboolean is_now)
{
  const RakePalette *palette = rake_palette_get (rake_theme_now ());
  g_autofree char *text =
      is_now ? g_strdup (C_ ("timeline", "now")) : rake_say_clock (moment->entry);
  int text_px, height_px;
  g_autoptr (PangoLayout) layout = new_text (widget, text, &text_px, &height_px);
  double left_px = CLAMP (x_px - text_px / 2.0, 4, MAX (4, frame->width_px - text_px - 4));

  append_ground (snapshot, frame, days, left_px - 8, left_px + text_px + 8, height_px);
  append_text (snapshot, layout, palette->lamp, left_px, frame->height_px - height_px);
}

void
rake_ribbon_snapshot (GtkWidget *widget, GtkSnapshot *snapshot, const RakeRibbonFrame *frame,
                      GArray *moments, GskRenderNode *dots, GArray *days, guint shown,
                      gboolean is_now)
{
  double x_px = get_x (moments, frame, MIN (shown, moments->len - 1));

  if (is_now)
    gtk_snapshot_append_node (snapshot, dots);
  else
    {
      append_part (snapshot, frame, dots, 0, x_px, frame->is_mirrored ? 0.4 : 1);
      append_part (snapshot, frame, dots, x_px, frame->width_px, frame->is_mirrored ? 1 : 0.4);
    }
  append_hand (snapshot, frame, x_px, is_now);
  if (frame->has_labels)
    append_hand_label (widget, snapshot, frame,
                       &g_array_index (moments, RakeMoment, MIN (shown, moments->len - 1)), days,
                       x_px, is_now);
}
