/* face-map-zones.c - each zone's surface, its marks and its label as pixels that are drawn again only
 * when what they were drawn from (their stamp) changed.
 *
 * Stamps tell content: a job built again, as the timeline builds it, has the same entries, so its
 * zones are known again. What must be drawn anew is drawn as far as a frame has time for it, nearest
 * to the hand first; the other zones look as they did and follow in the next frames. */
#include "face-map-paint.h"

#include <math.h>

static void
zone_paint_free (gpointer data)
{
  RakeZonePaint *paint = data;

  for (guint i = 0; i < RAKE_N_LAYERS; i++)
    {
      g_clear_pointer (&paint->pictures[i].pixels, cairo_surface_destroy);
      g_clear_pointer (&paint->pictures[i].node, gsk_render_node_unref);
    }
  g_clear_pointer (&paint->edge, gsk_render_node_unref);
  g_clear_pointer (&paint->faded, cairo_surface_destroy);
  g_free (paint);
}

void
rake_face_map_forget_zones (RakeFaceMap *self)
{
  g_clear_pointer (&self->paints, g_hash_table_unref);
  g_clear_pointer (&self->groups, g_array_unref);
  g_clear_pointer (&self->labels, g_array_unref);
  self->labels_stamp = 0;
}

/* --- stamps ---------------------------------------------------------------------------------- */

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

/* Shapes belong to entries, and never change; their bounds tell apart what came to lie where another
 * one lay before. */
guint64
rake_stamp_mix_shape (guint64 stamp, const RakeShape *shape)
{
  RakeBounds bounds = rake_shape_get_bounds (shape);

  stamp = rake_stamp_mix_pointer (stamp, shape);
  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, bounds.min_x_mm), bounds.min_y_mm);
  return rake_stamp_mix_real (rake_stamp_mix_real (stamp, bounds.max_x_mm), bounds.max_y_mm);
}

/* An entry never changes, so its id tells all of it. */
static guint64
mix_id (guint64 stamp, RakeId id)
{
  guint64 halves[2];

  memcpy (halves, id.bytes, sizeof halves);
  return rake_stamp_mix (rake_stamp_mix (stamp, halves[0]), halves[1]);
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
      stamp = rake_stamp_mix (rake_stamp_mix_shape (mix_id (stamp, mark->entry->id), mark->shape),
                              standing);
    }
  return stamp;
}

/* What is shown of a zone without a judgement is what was shown of it before. */
static void
find_stamps (RakeZonePaint *paint, const RakeShot *shot, const RakeJudgement *judgement)
{
  if (!judgement)
    return;
  paint->stamps[RAKE_LAYER_MARKS] = rake_stamp_mix (shot->lit_stamp, paint->marked_stamp);
  paint->stamps[RAKE_LAYER_SURFACE] =
      rake_stamp_mix (paint->stamps[RAKE_LAYER_MARKS], paint->seen_stamp);
}

/* --- what is known of each zone -------------------------------------------------------------- */

/* Whole pixels, so that what is drawn next to it meets without a seam. */
static graphene_rect_t
get_whole_box (double x, double y, double width, double height)
{
  graphene_rect_t box = GRAPHENE_RECT_INIT ((float) x, (float) y, (float) width, (float) height);

  graphene_rect_round_extents (&box, &box);
  return box;
}

graphene_rect_t
rake_zone_paint_get_box (const RakeMapView *view, const RakeZone *zone, double overhang_px)
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
get_paint_now (RakeFaceMap *self, const RakeShot *shot, const RakeZone *zone,
               const RakeJudgement *judgement)
{
  RakeZonePaint *paint = get_paint (self, zone);
  guint64 stamp = rake_session_get_zone_stamp (self->session, zone);
  guint64 boxed_stamp = rake_stamp_mix (shot->place_stamp, stamp);

  if (paint->zone_stamp != stamp)
    {
      paint->zone_stamp = stamp;
      paint->seen_stamp = judgement ? mix_judgement (RAKE_STAMP_START, judgement) : 0;
      paint->marked_stamp = mix_marks (rake_stamp_mix_shape (RAKE_STAMP_START, zone->shape), zone);
    }
  if (paint->boxed_stamp != boxed_stamp)
    {
      paint->boxed_stamp = boxed_stamp;
      paint->zone_box = rake_zone_paint_get_box (&self->view, zone, 0);
      paint->marks_box = get_marks_box (&self->view, zone);
    }
  find_stamps (paint, shot, judgement);
  return paint;
}

gconstpointer
rake_face_map_peek_surface (RakeFaceMap *self, RakeId zone)
{
  const RakeZonePaint *paint = self->paints ? g_hash_table_lookup (self->paints, &zone) : NULL;

  return paint ? paint->pictures[RAKE_LAYER_SURFACE].pixels : NULL;
}

RakeShot *
rake_face_map_new_shot (RakeFaceMap *self, const RakeFace *face)
{
  RakeShot *shot = g_new0 (RakeShot, 1);

  shot->face = face;
  shot->place_stamp = rake_face_map_get_place_stamp (self);
  shot->view_stamp = rake_face_map_get_view_stamp (self);
  shot->lit_stamp = rake_stamp_mix_real (shot->view_stamp, self->view.lamp_deg);
  shot->judgements = rake_session_find_judgements (self->session, face);
  shot->paints = g_ptr_array_sized_new (face->zones->len);
  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (shot->paints,
                     get_paint_now (self, shot, face->zones->pdata[i], shot->judgements->pdata[i]));
  return shot;
}

void
rake_shot_free (RakeShot *shot)
{
  g_ptr_array_unref (shot->judgements);
  g_ptr_array_unref (shot->paints);
  g_free (shot);
}

/* --- labels ---------------------------------------------------------------------------------- */

static guint64
get_label_stamp (guint64 stamp, const RakeZone *zone, const RakeJudgement *judgement)
{
  stamp = rake_stamp_mix (rake_stamp_mix (stamp, judgement ? (guint64) judgement->verdict : 99),
                          (guint64) (judgement && judgement->is_accepted));
  return rake_stamp_mix (rake_stamp_mix_shape (stamp, zone->shape), g_str_hash (zone->name));
}

static guint64
get_label_place_stamp (guint64 stamp, const RakeMapLabel *label)
{
  stamp = rake_stamp_mix_real (rake_stamp_mix_real (stamp, label->x_px), label->y_px);
  stamp = rake_stamp_mix_real (stamp, label->width_px);
  return rake_stamp_mix (stamp, (guint64) label->is_glyph_only | (guint64) label->is_hidden << 1);
}

/* The labels keep their places until all of the face is judged. */
static gboolean
is_waiting_for_labels (RakeFaceMap *self, const RakeShot *shot, guint64 stamp)
{
  if (!self->labels || self->labels_stamp != stamp)
    return FALSE;
  for (guint i = 0; i < shot->judgements->len; i++)
    if (!shot->judgements->pdata[i])
      return TRUE;
  return FALSE;
}

/* Of each zone whether its label must be laid anew; NULL when none must. */
static gboolean *
find_other_labels (const RakeShot *shot)
{
  g_autofree gboolean *is_other = g_new (gboolean, shot->face->zones->len + 1);
  gboolean is_any_other = FALSE;

  for (guint i = 0; i < shot->face->zones->len; i++)
    {
      RakeZonePaint *paint = shot->paints->pdata[i];
      guint64 laid = get_label_stamp (paint->marked_stamp, shot->face->zones->pdata[i],
                                      shot->judgements->pdata[i]);
      is_other[i] = paint->laid_stamp != laid;
      is_any_other |= is_other[i];
      paint->laid_stamp = laid;
    }
  return is_any_other ? g_steal_pointer (&is_other) : NULL;
}

/* In the same view only those that are other, and those that stand in their way. */
static void
lay_labels (RakeFaceMap *self, const RakeShot *shot)
{
  RakeJudgement *const *judgements = (RakeJudgement *const *) shot->judgements->pdata;
  g_autofree gboolean *is_other = NULL;
  g_autoptr (GArray) before = NULL;
  guint64 stamp = shot->place_stamp;
  cairo_surface_t *surface;
  cairo_t *cr;

  for (guint i = 0; i < shot->paints->len; i++)
    stamp = mix_id (stamp, ((const RakeZonePaint *) shot->paints->pdata[i])->zone);
  if (is_waiting_for_labels (self, shot, stamp))
    return;
  is_other = find_other_labels (shot);
  if (self->labels && self->labels_stamp == stamp && !is_other)
    return;
  before = g_steal_pointer (&self->labels);
  surface = cairo_image_surface_create (CAIRO_FORMAT_A8, 1, 1);
  cr = cairo_create (surface);
  if (before && self->labels_stamp == stamp)
    self->labels =
        rake_map_lay_labels_again (cr, &self->view, shot->face, judgements, before, is_other);
  else
    self->labels = rake_map_lay_labels (cr, &self->view, shot->face, judgements);
  self->labels_stamp = stamp;
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

static void
find_label_stamps (RakeFaceMap *self, const RakeShot *shot)
{
  for (guint i = 0; i < shot->paints->len; i++)
    {
      RakeZonePaint *paint = shot->paints->pdata[i];
      const RakeJudgement *judgement = shot->judgements->pdata[i];
      if (judgement)
        paint->stamps[RAKE_LAYER_LABEL] = get_label_place_stamp (
            get_label_stamp (shot->view_stamp, shot->face->zones->pdata[i], judgement),
            &g_array_index (self->labels, RakeMapLabel, i));
    }
}

/* --- drawing --------------------------------------------------------------------------------- */

graphene_rect_t
rake_face_map_get_view_box (RakeFaceMap *self)
{
  return GRAPHENE_RECT_INIT (0, 0, (float) self->view.width_px, (float) self->view.height_px);
}

cairo_t *
rake_face_map_begin_pixels (RakeFaceMap *self, const graphene_rect_t *box)
{
  int scale = gtk_widget_get_scale_factor (GTK_WIDGET (self));
  cairo_surface_t *pixels = cairo_image_surface_create (
      CAIRO_FORMAT_ARGB32, (int) box->size.width * scale, (int) box->size.height * scale);
  cairo_t *cr;

  cairo_surface_set_device_scale (pixels, scale, scale);
  cr = cairo_create (pixels);
  cairo_translate (cr, -(double) box->origin.x, -(double) box->origin.y);
  cairo_surface_destroy (pixels);
  return cr;
}

/* NULL where nothing of it would be seen. */
static cairo_t *
begin_picture (RakeFaceMap *self, RakePicture *picture, guint64 stamp, const graphene_rect_t *box)
{
  graphene_rect_t whole = rake_face_map_get_view_box (self);
  cairo_t *cr;

  g_clear_pointer (&picture->pixels, cairo_surface_destroy);
  g_clear_pointer (&picture->node, gsk_render_node_unref);
  picture->stamp = stamp;
  picture->serial = ++self->n_pictures;
  if (box->size.width < 1 || box->size.height < 1 ||
      !graphene_rect_intersection (&whole, box, &picture->box))
    return NULL;
  graphene_rect_round_extents (&picture->box, &picture->box);
  cr = rake_face_map_begin_pixels (self, &picture->box);
  picture->pixels = cairo_surface_reference (cairo_get_target (cr));
  return cr;
}

static void
draw_surface (RakeFaceMap *self, const RakeShot *shot, RakeZonePaint *paint, const RakeZone *zone,
              const RakeJudgement *judgement)
{
  RakePicture *picture = &paint->pictures[RAKE_LAYER_SURFACE];
  gboolean is_where_it_was = paint->lit_stamp == shot->lit_stamp;
  cairo_surface_t *before = g_steal_pointer (&picture->pixels);
  cairo_t *cr = begin_picture (self, picture, paint->stamps[RAKE_LAYER_SURFACE], &paint->zone_box);

  if (cr)
    rake_map_draw_zone (cr, &self->view, zone, judgement);
  g_clear_pointer (&cr, cairo_destroy);
  if (before && is_where_it_was)
    rake_face_map_start_fade (self, paint, before);
  else
    {
      g_clear_pointer (&paint->faded, cairo_surface_destroy);
      g_clear_pointer (&before, cairo_surface_destroy);
    }
}

static void
draw_marks (RakeFaceMap *self, RakeZonePaint *paint, const RakeZone *zone,
            const RakeJudgement *judgement)
{
  cairo_t *cr = begin_picture (self, &paint->pictures[RAKE_LAYER_MARKS],
                               paint->stamps[RAKE_LAYER_MARKS], &paint->marks_box);

  if (cr)
    rake_map_draw_marks (cr, &self->view, zone, judgement);
  g_clear_pointer (&cr, cairo_destroy);
}

static void
draw_label (RakeFaceMap *self, RakeZonePaint *paint, const RakeZone *zone,
            const RakeJudgement *judgement, const RakeMapLabel *label)
{
  graphene_rect_t box = graphene_rect_zero ()[0];
  cairo_t *cr;

  if (!label->is_hidden)
    box =
        get_whole_box (label->x_px - 4, label->y_px - 4, label->width_px + 8, label->height_px + 8);
  cr = begin_picture (self, &paint->pictures[RAKE_LAYER_LABEL], paint->stamps[RAKE_LAYER_LABEL],
                      &box);
  if (cr)
    rake_map_draw_label (cr, &self->view, zone, judgement, label);
  g_clear_pointer (&cr, cairo_destroy);
}

static gboolean
is_stale (const RakeZonePaint *paint, RakeLayer layer)
{
  return paint->pictures[layer].stamp != paint->stamps[layer];
}

/* All of it at once, so that a zone never shows two moments. */
static void
draw_zone (RakeFaceMap *self, const RakeShot *shot, guint i)
{
  RakeZonePaint *paint = shot->paints->pdata[i];
  const RakeZone *zone = shot->face->zones->pdata[i];
  const RakeJudgement *judgement = shot->judgements->pdata[i];

  if (is_stale (paint, RAKE_LAYER_SURFACE))
    draw_surface (self, shot, paint, zone, judgement);
  if (is_stale (paint, RAKE_LAYER_MARKS))
    draw_marks (self, paint, zone, judgement);
  if (is_stale (paint, RAKE_LAYER_LABEL))
    draw_label (self, paint, zone, judgement, &g_array_index (self->labels, RakeMapLabel, i));
  paint->place_stamp = shot->place_stamp;
  paint->lit_stamp = shot->lit_stamp;
}

typedef struct
{
  guint zone;
  double away_px; /* how far from where the hand is the nearest of its group lies */
} ToDraw;

/* Group by group, since a group is shown by one node. */
static int
compare_to_draw (gconstpointer a, gconstpointer b)
{
  const ToDraw *one = a, *other = b;

  if (one->away_px != other->away_px)
    return one->away_px < other->away_px ? -1 : 1;
  return one->zone < other->zone ? -1 : one->zone > other->zone;
}

/* The pointer, or the selected zone, or the middle. */
static void
find_hand (RakeFaceMap *self, double *x, double *y)
{
  const RakeZone *zone = rake_session_get_zone (self->session);
  double width, height;

  *x = self->pointer_x;
  *y = self->pointer_y;
  if (isfinite (*x) && isfinite (*y))
    return;
  *x = self->view.width_px / 2;
  *y = self->view.height_px / 2;
  if (!zone)
    return;
  rake_map_zone_extents (&self->view, zone, x, y, &width, &height);
  *x += width / 2;
  *y += height / 2;
}

static gboolean
is_to_draw (const RakeShot *shot, guint i)
{
  const RakeZonePaint *paint = shot->paints->pdata[i];

  return shot->judgements->pdata[i] &&
         (is_stale (paint, RAKE_LAYER_SURFACE) || is_stale (paint, RAKE_LAYER_MARKS) ||
          is_stale (paint, RAKE_LAYER_LABEL));
}

static GArray *
find_to_draw (RakeFaceMap *self, const RakeShot *shot)
{
  GArray *found = g_array_new (FALSE, FALSE, sizeof (ToDraw));
  guint first_of_group = 0;
  double x, y, nearest_px = G_MAXDOUBLE;

  find_hand (self, &x, &y);
  for (guint i = 0; i < shot->paints->len; i++)
    {
      const RakeZonePaint *paint = shot->paints->pdata[i];
      graphene_point_t middle;
      ToDraw one = { .zone = i };
      if (i % RAKE_GROUP_SIZE == 0)
        {
          first_of_group = found->len;
          nearest_px = G_MAXDOUBLE;
        }
      if (!is_to_draw (shot, i))
        continue;
      graphene_rect_get_center (&paint->zone_box, &middle);
      nearest_px = MIN (nearest_px, hypot ((double) middle.x - x, (double) middle.y - y));
      g_array_append_val (found, one);
      for (guint j = first_of_group; j < found->len; j++)
        g_array_index (found, ToDraw, j).away_px = nearest_px;
    }
  g_array_sort (found, compare_to_draw);
  return found;
}

gboolean
rake_face_map_draw_zones (RakeFaceMap *self, const RakeShot *shot)
{
  gint64 began_us = g_get_monotonic_time ();
  g_autoptr (GArray) to_draw = NULL;

  lay_labels (self, shot);
  find_label_stamps (self, shot);
  to_draw = find_to_draw (self, shot);
  for (guint i = 0; i < to_draw->len; i++)
    {
      if (i > 0 && g_get_monotonic_time () - began_us >= self->drawing_us)
        return FALSE;
      draw_zone (self, shot, g_array_index (to_draw, ToDraw, i).zone);
    }
  return TRUE;
}
