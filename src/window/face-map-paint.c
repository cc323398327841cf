/* face-map-paint.c - the picture of the face, kept in drawing nodes.
 *
 * GSK tells what to paint again by comparing nodes by their address: a node that is kept costs
 * nothing, a node made anew is rasterised. So every zone, its marks, its edge and its label are
 * nodes of their own, each made again only when what it was drawn from (its stamp) changed. While
 * the view moves everything would be new; then a picture of the last sharp view is moved instead,
 * and the face drawn sharp when the hand stops. While the lamp is dragged the light on the ground
 * follows the finger, and the zones are lit anew when it stops. Figures: docs/window.md. */
#include "face-map-private.h"
#include "stamp.h"
#include "theme.h"

#include <math.h>

#define SHARPEN_MS 150
#define FADE_US (150 * 1000)

/* How far a zone's edge and a mark in the making may reach over their box. */
#define OVERHANG_PX 24.0

struct _RakeZonePaint
{
  RakeId zone; /* the table's key points here */
  GskRenderNode *surface, *marks, *edge, *label;
  guint64 surface_stamp, marks_stamp, edge_stamp, label_stamp;
  guint64 view_stamp, marks_view_stamp; /* of the view @surface and @marks were drawn in */
  guint64 zone_stamp;      /* of the zone that the following were taken from */
  guint64 seen_stamp;      /* what of the judgement is seen in the surface */
  guint64 marked_stamp;    /* its marks, and how they stand */
  guint64 boxed_stamp;     /* of view and zone that the boxes were taken from */
  graphene_rect_t zone_box, marks_box;
  guint64 laid_stamp;      /* what its label was laid from */
  GskRenderNode *faded;    /* what the zone looked like before, going */
  gint64 fade_start_us;
};

static void
zone_paint_free (gpointer data)
{
  RakeZonePaint *paint = data;

  g_clear_pointer (&paint->surface, gsk_render_node_unref);
  g_clear_pointer (&paint->marks, gsk_render_node_unref);
  g_clear_pointer (&paint->edge, gsk_render_node_unref);
  g_clear_pointer (&paint->label, gsk_render_node_unref);
  g_clear_pointer (&paint->faded, gsk_render_node_unref);
  g_free (paint);
}

void
rake_face_map_forget_paint (RakeFaceMap *self)
{
  g_clear_pointer (&self->paints, g_hash_table_unref);
  g_clear_pointer (&self->glow, gsk_render_node_unref);
  g_clear_pointer (&self->under, gsk_render_node_unref);
  g_clear_pointer (&self->seams, gsk_render_node_unref);
  g_clear_pointer (&self->lamp, gsk_render_node_unref);
  g_clear_pointer (&self->labels, g_array_unref);
  g_clear_pointer (&self->still, cairo_surface_destroy);
  self->glow_stamp = self->seams_stamp = self->lamp_stamp = self->labels_stamp = 0;
}

void
rake_face_map_free_paint (RakeFaceMap *self)
{
  g_clear_handle_id (&self->sharpen, g_source_remove);
  if (self->fade)
    gtk_widget_remove_tick_callback (GTK_WIDGET (self), self->fade);
  self->fade = 0;
  rake_face_map_forget_paint (self);
}

/* --- stamps ---------------------------------------------------------------------------------- */

guint64
rake_face_map_get_view_stamp (RakeFaceMap *self)
{
  const RakeMapView *view = &self->view;
  guint64 stamp = rake_stamp_mix (RAKE_STAMP_START, (guint64) view->theme);

  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, view->width_px), view->height_px);
  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, view->origin_x_px), view->origin_y_px);
  return rake_stamp_mix_real (rake_stamp_mix_real (stamp, view->px_per_mm), view->text_px);
}

/* What rake_map_draw_zone() reads of a judgement. The marks come on top: whatever was painted is not
 * made up a second time from what was said. */
static guint64
mix_judgement (guint64 stamp, const RakeJudgement *judgement)
{
  static const RakeFact drawn[] = {
    RAKE_FACT_SAID_SINCE_PASS,   RAKE_FACT_LOOKED_SINCE_PASS, RAKE_FACT_LOOKED_POORLY_SINCE_PASS,
    RAKE_FACT_LOW_SPOT_FRACTION, RAKE_FACT_SCRATCHES,         RAKE_FACT_LONGEST_SCRATCH_MM,
    RAKE_FACT_WITNESS_LINES,     RAKE_FACT_BURNS,             RAKE_FACT_SAND_THROUGHS,
    RAKE_FACT_IS_SATIN,
  };

  stamp = rake_stamp_mix (stamp, judgement->stage ? (guint64) judgement->stage->action : 0);
  for (guint i = 0; i < G_N_ELEMENTS (drawn); i++)
    if (judgement->facts.knowledge[drawn[i]] == RAKE_KNOWN)
      stamp = rake_stamp_mix_real (rake_stamp_mix (stamp, i + 1), judgement->facts.value[drawn[i]]);
  return stamp;
}

static guint64
mix_marks (guint64 stamp, const RakeZone *zone)
{
  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      guint standing = (guint) (mark->closed_by != NULL) | (guint) mark->was_repaired << 1 |
                       (guint) rake_mark_is_ghost (zone, mark) << 2 |
                       (guint) rake_mark_is_carried (zone, mark) << 3;
      stamp = rake_stamp_mix (
          rake_stamp_mix_pointer (rake_stamp_mix_pointer (stamp, mark->entry), mark->shape),
          standing);
    }
  return stamp;
}

/* --- nodes ----------------------------------------------------------------------------------- */

/* Whole pixels, so that what is drawn next to it meets without a seam. */
static graphene_rect_t
get_whole_box (double x, double y, double width, double height)
{
  graphene_rect_t box = GRAPHENE_RECT_INIT ((float) x, (float) y, (float) width, (float) height);

  graphene_rect_round_extents (&box, &box);
  return box;
}

static graphene_rect_t
get_zone_box (const RakeMapView *view, const RakeZone *zone, double overhang_px)
{
  double x, y, width, height;

  rake_map_zone_extents (view, zone, &x, &y, &width, &height);
  return get_whole_box (x - overhang_px, y - overhang_px, width + 2 * overhang_px,
                        height + 2 * overhang_px);
}

static graphene_rect_t
get_marks_box (const RakeMapView *view, const RakeZone *zone)
{
  double x, y, width, height;

  rake_map_marks_extents (view, zone, &x, &y, &width, &height);
  return get_whole_box (x, y, width, height);
}

static graphene_rect_t
get_view_box (const RakeMapView *view)
{
  return GRAPHENE_RECT_INIT (0, 0, (float) view->width_px, (float) view->height_px);
}

/* TRUE when @node must be drawn anew; it is dropped then. */
static gboolean
is_stale (GskRenderNode **node, guint64 *stamp, guint64 now)
{
  if (*node && *stamp == now)
    return FALSE;
  g_clear_pointer (node, gsk_render_node_unref);
  *stamp = now;
  return TRUE;
}

static void
append (GtkSnapshot *snapshot, GskRenderNode *node)
{
  if (node)
    gtk_snapshot_append_node (snapshot, node);
}

static gboolean
is_in_view (const RakeMapView *view, const graphene_rect_t *box)
{
  graphene_rect_t whole = get_view_box (view);

  return graphene_rect_intersection (&whole, box, NULL);
}

/* What every zone of a picture has in common. */
typedef struct
{
  guint64 view_stamp, lit_stamp; /* without the lamp, and with it */
} Shot;

static RakeZonePaint *
get_paint (RakeFaceMap *self, const RakeZone *zone)
{
  RakeZonePaint *paint;

  if (!self->paints)
    self->paints =
        g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, NULL, zone_paint_free);
  paint = g_hash_table_lookup (self->paints, &zone->id);
  if (!paint)
    {
      paint = g_new0 (RakeZonePaint, 1);
      paint->zone = zone->id;
      g_hash_table_insert (self->paints, &paint->zone, paint);
    }
  return paint;
}

/* Of thousands of marks only those of a zone that may be another are gone through. */
static RakeZonePaint *
get_paint_now (RakeFaceMap *self, const Shot *shot, const RakeZone *zone,
               const RakeJudgement *judgement)
{
  RakeZonePaint *paint = get_paint (self, zone);
  guint64 stamp = rake_session_get_zone_stamp (self->session, zone);
  guint64 boxed_stamp = rake_stamp_mix (shot->view_stamp, stamp);

  if (paint->zone_stamp != stamp)
    {
      paint->zone_stamp = stamp;
      paint->seen_stamp =
          judgement
              ? mix_judgement (rake_stamp_mix_pointer (RAKE_STAMP_START, zone->shape), judgement)
              : 0;
      paint->marked_stamp =
          mix_marks (rake_stamp_mix_pointer (RAKE_STAMP_START, zone->shape), zone);
    }
  if (paint->boxed_stamp != boxed_stamp)
    {
      paint->boxed_stamp = boxed_stamp;
      paint->zone_box = get_zone_box (&self->view, zone, 0);
      paint->marks_box = get_marks_box (&self->view, zone);
    }
  return paint;
}

const GskRenderNode *
rake_face_map_peek_surface (RakeFaceMap *self, RakeId zone)
{
  const RakeZonePaint *paint = self->paints ? g_hash_table_lookup (self->paints, &zone) : NULL;

  return paint ? paint->surface : NULL;
}

static void
append_glow (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeFace *face)
{
  guint64 stamp = rake_stamp_mix_real (rake_face_map_get_view_stamp (self), self->view.lamp_deg);

  if (is_stale (&self->glow, &self->glow_stamp, stamp))
    {
      graphene_rect_t box = get_view_box (&self->view);
      cairo_t *cr;
      self->glow = gsk_cairo_node_new (&box);
      cr = gsk_cairo_node_get_draw_context (self->glow);
      rake_map_draw_glow (cr, &self->view, face);
      cairo_destroy (cr);
    }
  append (snapshot, self->glow);
}

static gboolean
fade_step (GtkWidget *widget, GdkFrameClock *clock, gpointer user_data)
{
  RakeFaceMap *self = RAKE_FACE_MAP (widget);
  gint64 now_us = gdk_frame_clock_get_frame_time (clock);
  gboolean is_going_on = FALSE;
  GHashTableIter iter;
  gpointer value;

  if (self->paints)
    {
      g_hash_table_iter_init (&iter, self->paints);
      while (g_hash_table_iter_next (&iter, NULL, &value))
        {
          RakeZonePaint *paint = value;
          if (!paint->faded)
            continue;
          if (now_us - paint->fade_start_us >= FADE_US)
            g_clear_pointer (&paint->faded, gsk_render_node_unref);
          else
            is_going_on = TRUE;
        }
    }
  gtk_widget_queue_draw (widget);
  if (!is_going_on)
    self->fade = 0;
  return is_going_on ? G_SOURCE_CONTINUE : G_SOURCE_REMOVE;
}

/* A zone whose picture changes where it stands melts from the old to the new. */
static void
start_fade (RakeFaceMap *self, RakeZonePaint *paint, GskRenderNode *before)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (self));
  gboolean is_animated = FALSE;

  g_object_get (gtk_widget_get_settings (GTK_WIDGET (self)), "gtk-enable-animations", &is_animated,
                NULL);
  if (!is_animated || !clock || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    {
      gsk_render_node_unref (before);
      return;
    }
  g_clear_pointer (&paint->faded, gsk_render_node_unref);
  paint->faded = before;
  paint->fade_start_us = gdk_frame_clock_get_frame_time (clock);
  if (!self->fade)
    self->fade = gtk_widget_add_tick_callback (GTK_WIDGET (self), fade_step, NULL, NULL);
}

static GskRenderNode *
draw_surface (RakeFaceMap *self, const RakeZonePaint *paint, const RakeZone *zone,
              const RakeJudgement *judgement)
{
  GskRenderNode *node = gsk_cairo_node_new (&paint->zone_box);
  cairo_t *cr = gsk_cairo_node_get_draw_context (node);

  rake_map_draw_zone (cr, &self->view, zone, judgement);
  cairo_destroy (cr);
  return node;
}

/* What a zone looks like comes with its judgement: until that is there it looks as it did before. */
static void
append_surface (RakeFaceMap *self, GtkSnapshot *snapshot, const Shot *shot, RakeZonePaint *paint,
                const RakeZone *zone, const RakeJudgement *judgement)
{
  guint64 stamp =
      rake_stamp_mix (rake_stamp_mix (shot->lit_stamp, paint->seen_stamp), paint->marked_stamp);

  if (!is_in_view (&self->view, &paint->zone_box))
    return;
  if (judgement && (!paint->surface || paint->surface_stamp != stamp))
    {
      GskRenderNode *before = g_steal_pointer (&paint->surface);
      paint->surface = draw_surface (self, paint, zone, judgement);
      if (before && paint->view_stamp == shot->lit_stamp)
        start_fade (self, paint, before);
      else
        g_clear_pointer (&before, gsk_render_node_unref);
      paint->surface_stamp = stamp;
      paint->view_stamp = shot->lit_stamp;
    }
  if (paint->view_stamp != shot->lit_stamp)
    return;
  if (paint->faded)
    {
      GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (self));
      gint64 now_us = clock ? gdk_frame_clock_get_frame_time (clock) : G_MAXINT64;
      double progress = (double) (now_us - paint->fade_start_us) / FADE_US;
      gtk_snapshot_push_cross_fade (snapshot, CLAMP (progress, 0, 1));
      append (snapshot, paint->faded);
      gtk_snapshot_pop (snapshot);
      append (snapshot, paint->surface);
      gtk_snapshot_pop (snapshot);
    }
  else
    append (snapshot, paint->surface);
}

static void
append_marks (RakeFaceMap *self, GtkSnapshot *snapshot, const Shot *shot, RakeZonePaint *paint,
              const RakeZone *zone, const RakeJudgement *judgement)
{
  guint64 stamp = rake_stamp_mix (shot->lit_stamp, paint->marked_stamp);

  if (zone->marks->len == 0 || !is_in_view (&self->view, &paint->marks_box))
    return;
  if (!judgement && (!paint->marks || paint->marks_view_stamp != shot->lit_stamp))
    return;
  if (judgement && is_stale (&paint->marks, &paint->marks_stamp, stamp))
    {
      cairo_t *cr;
      paint->marks = gsk_cairo_node_new (&paint->marks_box);
      cr = gsk_cairo_node_get_draw_context (paint->marks);
      rake_map_draw_marks (cr, &self->view, zone, judgement);
      cairo_destroy (cr);
      paint->marks_view_stamp = shot->lit_stamp;
    }
  append (snapshot, paint->marks);
}

static void
append_seams (RakeFaceMap *self, GtkSnapshot *snapshot, const Shot *shot, const RakeFace *face)
{
  guint64 stamp = rake_stamp_mix_pointer (shot->view_stamp, face->outline);

  for (guint i = 0; i < face->zones->len; i++)
    stamp = rake_stamp_mix_pointer (stamp, ((const RakeZone *) face->zones->pdata[i])->shape);
  if (is_stale (&self->seams, &self->seams_stamp, stamp))
    {
      graphene_rect_t box = get_view_box (&self->view);
      cairo_t *cr;
      self->seams = gsk_cairo_node_new (&box);
      cr = gsk_cairo_node_get_draw_context (self->seams);
      rake_map_draw_seams (cr, &self->view, face);
      cairo_destroy (cr);
    }
  append (snapshot, self->seams);
}

static RakeZoneFlags
get_flags (RakeFaceMap *self, const RakeZone *zone, const RakeGate *gate)
{
  RakeZoneFlags flags = RAKE_ZONE_PLAIN;

  if (rake_session_is_selected (self->session, zone->id))
    flags |= RAKE_ZONE_SELECTED;
  else if (gate && gate->suggested && rake_id_equal (gate->suggested->id, zone->id))
    flags |= RAKE_ZONE_SUGGESTED;
  if (rake_id_equal (self->hovered, zone->id))
    flags |= RAKE_ZONE_HOVERED;
  return flags;
}

static void
append_edge (RakeFaceMap *self, GtkSnapshot *snapshot, const Shot *shot, RakeZonePaint *paint,
             const RakeZone *zone, RakeZoneFlags flags)
{
  graphene_rect_t box;
  guint64 stamp;

  if (flags == RAKE_ZONE_PLAIN)
    return;
  box = get_zone_box (&self->view, zone, OVERHANG_PX);
  if (!is_in_view (&self->view, &box))
    return;
  stamp = rake_stamp_mix (rake_stamp_mix_pointer (shot->view_stamp, zone->shape), (guint64) flags);
  if (is_stale (&paint->edge, &paint->edge_stamp, stamp))
    {
      cairo_t *cr;
      paint->edge = gsk_cairo_node_new (&box);
      cr = gsk_cairo_node_get_draw_context (paint->edge);
      rake_map_draw_zone_edge (cr, &self->view, zone, flags);
      cairo_destroy (cr);
    }
  append (snapshot, paint->edge);
}

/* --- labels ---------------------------------------------------------------------------------- */

static guint64
get_label_stamp (guint64 stamp, const RakeZone *zone, const RakeJudgement *judgement)
{
  stamp = rake_stamp_mix (rake_stamp_mix (stamp, judgement ? (guint64) judgement->verdict : 99),
                          (guint64) (judgement && judgement->is_accepted));
  return rake_stamp_mix (rake_stamp_mix_pointer (stamp, zone->shape), g_str_hash (zone->name));
}

/* What the place of a zone's label depends on, beside the view and the other labels. */
static guint64
get_laid_stamp (const RakeZonePaint *paint, const RakeZone *zone, const RakeJudgement *judgement)
{
  return get_label_stamp (paint->marked_stamp, zone, judgement);
}

/* In the same view only those that are other, and those that stand in their way. */
static void
lay_labels (RakeFaceMap *self, const Shot *shot, const RakeFace *face, const GPtrArray *judgements,
            const GPtrArray *paints)
{
  g_autofree gboolean *is_other = g_new (gboolean, face->zones->len + 1);
  g_autoptr (GArray) before = NULL;
  gboolean is_any_other = FALSE;
  guint64 stamp = shot->view_stamp;
  cairo_surface_t *surface;
  cairo_t *cr;

  for (guint i = 0; i < face->zones->len; i++)
    {
      RakeZonePaint *paint = paints->pdata[i];
      guint64 laid = get_laid_stamp (paint, face->zones->pdata[i], judgements->pdata[i]);
      is_other[i] = paint->laid_stamp != laid;
      is_any_other |= is_other[i];
      paint->laid_stamp = laid;
      stamp = rake_stamp_mix (stamp, rake_id_hash_key (&paint->zone));
    }
  if (self->labels && self->labels_stamp == stamp && !is_any_other)
    return;
  before = g_steal_pointer (&self->labels);
  surface = cairo_image_surface_create (CAIRO_FORMAT_A8, 1, 1);
  cr = cairo_create (surface);
  if (before && self->labels_stamp == stamp)
    self->labels = rake_map_lay_labels_again (
        cr, &self->view, face, (RakeJudgement *const *) judgements->pdata, before, is_other);
  else
    self->labels =
        rake_map_lay_labels (cr, &self->view, face, (RakeJudgement *const *) judgements->pdata);
  self->labels_stamp = stamp;
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

static void
append_label (RakeFaceMap *self, GtkSnapshot *snapshot, const Shot *shot, RakeZonePaint *paint,
              const RakeZone *zone, const RakeJudgement *judgement, const RakeMapLabel *label)
{
  graphene_rect_t box;
  guint64 stamp;

  if (label->is_hidden)
    return;
  graphene_rect_init (&box, (float) label->x_px - 4, (float) label->y_px - 4,
                      (float) label->width_px + 8, (float) label->height_px + 8);
  graphene_rect_round_extents (&box, &box);
  if (!is_in_view (&self->view, &box))
    return;
  stamp = get_label_stamp (shot->view_stamp, zone, judgement);
  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, label->x_px), label->y_px);
  stamp =
      rake_stamp_mix (rake_stamp_mix_real (stamp, label->width_px), (guint64) label->is_glyph_only);
  if (is_stale (&paint->label, &paint->label_stamp, stamp))
    {
      cairo_t *cr;
      paint->label = gsk_cairo_node_new (&box);
      cr = gsk_cairo_node_get_draw_context (paint->label);
      rake_map_draw_label (cr, &self->view, zone, judgement, label);
      cairo_destroy (cr);
    }
  append (snapshot, paint->label);
}

static void
append_lamp (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeFace *face)
{
  gboolean is_grabbed = self->hand == RAKE_HAND_LAMP;
  guint64 stamp = rake_stamp_mix_real (rake_face_map_get_view_stamp (self), self->view.lamp_deg);

  if (is_stale (&self->lamp, &self->lamp_stamp, rake_stamp_mix (stamp, (guint64) is_grabbed)))
    {
      graphene_rect_t box = get_view_box (&self->view);
      cairo_t *cr;
      self->lamp = gsk_cairo_node_new (&box);
      cr = gsk_cairo_node_get_draw_context (self->lamp);
      rake_map_draw_lamp (cr, &self->view, face, is_grabbed);
      cairo_destroy (cr);
    }
  append (snapshot, self->lamp);
}

/* --- the whole picture ----------------------------------------------------------------------- */

static GPtrArray *
get_paints_now (RakeFaceMap *self, const Shot *shot, const RakeFace *face,
                const GPtrArray *judgements)
{
  GPtrArray *paints = g_ptr_array_sized_new (face->zones->len);

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (paints,
                     get_paint_now (self, shot, face->zones->pdata[i], judgements->pdata[i]));
  return paints;
}

/* With @lights the ground's glow and the lamp, too. */
static void
append_sharp (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeFace *face, gboolean lights)
{
  guint64 view_stamp = rake_face_map_get_view_stamp (self);
  const Shot shot = { view_stamp, rake_stamp_mix_real (view_stamp, self->view.lamp_deg) };
  g_autoptr (GPtrArray) judgements = rake_session_find_judgements (self->session, face);
  g_autoptr (GPtrArray) paints = get_paints_now (self, &shot, face, judgements);
  const RakeGate *gate = rake_session_find_gate (self->session, face);
  gpointer *zones = face->zones->pdata;
  guint n_zones = face->zones->len;

  if (lights)
    append_glow (self, snapshot, face);
  for (guint i = 0; i < n_zones; i++)
    append_surface (self, snapshot, &shot, paints->pdata[i], zones[i], judgements->pdata[i]);
  rake_face_map_append_under (self, snapshot);
  append_seams (self, snapshot, &shot, face);
  for (guint i = 0; i < n_zones; i++)
    append_marks (self, snapshot, &shot, paints->pdata[i], zones[i], judgements->pdata[i]);
  for (guint i = 0; i < n_zones; i++)
    append_edge (self, snapshot, &shot, paints->pdata[i], zones[i],
                 get_flags (self, zones[i], gate));
  rake_face_map_paint_leaders (self, snapshot);
  lay_labels (self, &shot, face, judgements, paints);
  for (guint i = 0; i < n_zones; i++)
    append_label (self, snapshot, &shot, paints->pdata[i], zones[i], judgements->pdata[i],
                  &g_array_index (self->labels, RakeMapLabel, i));
  if (lights)
    append_lamp (self, snapshot, face);
}

static void
append_still (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  graphene_rect_t box = get_view_box (&self->view);
  double factor = self->view.px_per_mm / self->still_view.px_per_mm;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &box);

  cairo_translate (cr, self->view.origin_x_px - self->still_view.origin_x_px * factor,
                   self->view.origin_y_px - self->still_view.origin_y_px * factor);
  cairo_scale (cr, factor, factor);
  cairo_set_source_surface (cr, self->still, 0, 0);
  cairo_pattern_set_filter (cairo_get_source (cr), CAIRO_FILTER_FAST);
  cairo_paint (cr);
  cairo_destroy (cr);
}

void
rake_face_map_make_sharp (RakeFaceMap *self)
{
  g_clear_handle_id (&self->sharpen, g_source_remove);
  if (!self->still)
    return;
  g_clear_pointer (&self->still, cairo_surface_destroy);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  gtk_widget_queue_allocate (GTK_WIDGET (self));
}

static gboolean
hand_stopped (gpointer user_data)
{
  RakeFaceMap *self = user_data;

  self->sharpen = 0;
  rake_face_map_make_sharp (self);
  return G_SOURCE_REMOVE;
}

/* The picture as it is now, as pixels: a node would be rasterised again in every frame. */
static cairo_surface_t *
take_still (RakeFaceMap *self, const RakeFace *face, gboolean lights)
{
  int scale = gtk_widget_get_scale_factor (GTK_WIDGET (self));
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  GskRenderNode *node;
  cairo_surface_t *still;
  cairo_t *cr;

  append_sharp (self, snapshot, face, lights);
  node = gtk_snapshot_to_node (snapshot);
  still = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int) self->view.width_px * scale,
                                      (int) self->view.height_px * scale);
  cairo_surface_set_device_scale (still, scale, scale);
  cr = cairo_create (still);
  gsk_render_node_draw (node, cr);
  cairo_destroy (cr);
  gsk_render_node_unref (node);
  return still;
}

void
rake_face_map_hold_still (RakeFaceMap *self, gboolean lights)
{
  const RakeFace *face = self->session ? rake_session_get_face (self->session) : NULL;

  if (self->still && self->still_has_lights != lights)
    g_clear_pointer (&self->still, cairo_surface_destroy);
  if (!self->still && face && self->view.width_px >= 1 && self->view.height_px >= 1)
    {
      self->still = take_still (self, face, lights);
      self->still_view = self->view;
      self->still_has_lights = lights;
    }
  /* Counted from when the picture was taken, which may itself take as long. */
  g_clear_handle_id (&self->sharpen, g_source_remove);
  self->sharpen =
      g_timeout_add_full (G_PRIORITY_DEFAULT_IDLE, SHARPEN_MS, hand_stopped, self, NULL);
}

static void
append_preview (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  RakeMarkKind kind;
  const RakeShape *shape = rake_face_map_get_preview (self, &kind);
  RakeBounds bounds;
  double x, y, right, bottom;
  graphene_rect_t box;
  cairo_t *cr;

  if (!shape)
    return;
  bounds = rake_shape_get_bounds (shape);
  rake_map_view_to_px (&self->view, bounds.min_x_mm, bounds.min_y_mm, &x, &y);
  rake_map_view_to_px (&self->view, bounds.max_x_mm, bounds.max_y_mm, &right, &bottom);
  graphene_rect_init (&box, (float) (x - OVERHANG_PX), (float) (y - OVERHANG_PX),
                      (float) (right - x + 2 * OVERHANG_PX),
                      (float) (bottom - y + 2 * OVERHANG_PX));
  graphene_rect_round_extents (&box, &box);
  cr = gtk_snapshot_append_cairo (snapshot, &box);
  rake_map_draw_mark_preview (cr, &self->view, kind, shape);
  cairo_destroy (cr);
}

/* The size of the brush where the pointer is, and the cross that the keys move. */
static void
append_tool (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  const RakePalette *palette = rake_palette_get (self->view.theme);
  const RakeBench *bench = rake_session_get_bench (self->session);
  gboolean is_patch = bench->brush != RAKE_MARK_UNSAID && bench->brush != RAKE_MARK_SCRATCH &&
                      bench->brush != RAKE_MARK_WITNESS_LINE;
  double radius = is_patch ? MAX (bench->brush_radius_mm * self->view.px_per_mm, 3) : 0;
  double x = self->pointer_x, y = self->pointer_y;
  double reach = MAX (radius, 16) + 4;
  graphene_rect_t box;
  cairo_t *cr;

  if (self->has_cross)
    rake_map_view_to_px (&self->view, self->cross_x_mm, self->cross_y_mm, &x, &y);
  else if (!is_patch || !isfinite (x))
    return;
  graphene_rect_init (&box, (float) (x - reach), (float) (y - reach), (float) (2 * reach),
                      (float) (2 * reach));
  graphene_rect_round_extents (&box, &box);
  cr = gtk_snapshot_append_cairo (snapshot, &box);
  cairo_set_source_rgb (cr, palette->lamp.red, palette->lamp.green, palette->lamp.blue);
  cairo_set_line_width (cr, 1.5);
  if (is_patch)
    {
      cairo_arc (cr, x, y, radius, 0, 2 * G_PI);
      cairo_stroke (cr);
    }
  if (self->has_cross)
    {
      for (int arm = 0; arm < 4; arm++)
        {
          double dx = cos (arm * G_PI / 2), dy = sin (arm * G_PI / 2);
          cairo_move_to (cr, x + 4 * dx, y + 4 * dy);
          cairo_line_to (cr, x + 15 * dx, y + 15 * dy);
        }
      cairo_stroke (cr);
    }
  cairo_destroy (cr);
}

void
rake_face_map_paint (RakeFaceMap *self, GtkSnapshot *snapshot)
{
  const RakeFace *face = self->session ? rake_session_get_face (self->session) : NULL;

  if (!face || self->view.width_px < 1)
    return;
  if (self->still && !self->still_has_lights)
    append_glow (self, snapshot, face);
  if (self->still)
    append_still (self, snapshot);
  else
    append_sharp (self, snapshot, face, TRUE);
  if (self->still && !self->still_has_lights)
    append_lamp (self, snapshot, face);
  append_preview (self, snapshot);
  append_tool (self, snapshot);
}
