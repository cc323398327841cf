/* ribbon-draw.h - how the timeline's ribbon is drawn, and where its dots lie. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/palette.h>

#include "moments.h"

typedef struct
{
  int width_px, height_px;
  double start_px, length_px, line_y_px;
  gboolean has_labels, is_mirrored;
} RakeRibbonFrame;

RakeRibbonFrame rake_ribbon_frame_new (int width_px, int height_px, gboolean is_mirrored);
gboolean rake_ribbon_frame_equal (const RakeRibbonFrame *a, const RakeRibbonFrame *b);

/* The moment nearest to @x_px of the widget. */
guint rake_ribbon_find_moment (GArray *moments, const RakeRibbonFrame *frame, double x_px);

/* What lies under @x_px, within half a finger. FALSE where nothing does. */
gboolean rake_ribbon_find_cluster (GArray *moments, const RakeRibbonFrame *frame, double x_px,
                                   RakeCluster *cluster);

/* From where to where a day's name stands, px of the widget. */
typedef struct
{
  double from_px, to_px;
} RakeRibbonSpan;

/* Line, dots and days as one drawing node, to be kept.
 *
 * days  filled with RakeRibbonSpan, one a day's name that is there */
GskRenderNode *rake_ribbon_draw_moments (GtkWidget *widget, const RakeRibbonFrame *frame,
                                         GArray *moments, GArray *days);

/* @dots, what comes after the shown moment set back, and the place where the map stands. */
void rake_ribbon_snapshot (GtkWidget *widget, GtkSnapshot *snapshot, const RakeRibbonFrame *frame,
                           GArray *moments, GskRenderNode *dots, GArray *days, guint shown,
                           gboolean is_now);

/* The sign of a kind of moment, around 0, 0; filled, or as an outline when @is_hollow. */
void rake_ribbon_draw_sign (cairo_t *cr, const RakePalette *palette, RakeMomentKind kind,
                            gboolean is_hollow);
