/* face-map-groups.c - the zones' pictures in the nodes of a frame, and the edges around zones.
 *
 * GSK goes through all nodes in every frame, and compares them with those of the last frame in their
 * order. So the zones' nodes are held by few, each of which holds a group of zones, has its place whether
 * there is anything to see or not, and is kept until one of its zones changes. */
#include "face-map-paint.h"

#define FADE_US (150 * 1000)

/* One node that shows a layer of some zones. */
typedef struct
{
  GskRenderNode *node;
  guint64 stamp;
} Group;

static void
group_clear (gpointer data)
{
  g_clear_pointer (&((Group *) data)->node, gsk_render_node_unref);
}

/* --- showing --------------------------------------------------------------------------------- */

static double
get_progress (RakeFaceMap *self, const RakeZonePaint *paint)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (self));
  gint64 now_us = clock ? gdk_frame_clock_get_frame_time (clock) : G_MAXINT64;

  return CLAMP ((double) (now_us - paint->fade_start_us) / FADE_US, 0, 1);
}

/* A zone whose picture changes where it stands melts from the old to the new. */
void
rake_face_map_start_fade (RakeFaceMap *self, RakeZonePaint *paint, cairo_surface_t *before)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (self));
  gboolean is_animated = FALSE;

  g_object_get (gtk_widget_get_settings (GTK_WIDGET (self)), "gtk-enable-animations", &is_animated,
                NULL);
  if (!is_animated || !clock || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    {
      cairo_surface_destroy (before);
      return;
    }
  g_clear_pointer (&paint->faded, cairo_surface_destroy);
  paint->faded = before;
  paint->fade_start_us = gdk_frame_clock_get_frame_time (clock);
  rake_face_map_follow_up (self);
}

gboolean
rake_face_map_fade_zones (RakeFaceMap *self)
{
  gboolean is_going_on = FALSE;
  GHashTableIter iter;
  gpointer value;

  if (!self->paints)
    return FALSE;
  g_hash_table_iter_init (&iter, self->paints);
  while (g_hash_table_iter_next (&iter, NULL, &value))
    {
      RakeZonePaint *paint = value;
      if (paint->faded && get_progress (self, paint) >= 1)
        g_clear_pointer (&paint->faded, cairo_surface_destroy);
      is_going_on |= paint->faded != NULL;
    }
  return is_going_on;
}

/* A picture of where the view was has no place in where it is. */
static const RakePicture *
find_picture (const RakeShot *shot, guint i, RakeLayer layer)
{
  const RakeZonePaint *paint = shot->paints->pdata[i];

  return paint->pictures[layer].pixels && paint->place_stamp == shot->place_stamp
             ? &paint->pictures[layer]
             : NULL;
}

/* What a group shows. */
static guint64
get_group_stamp (RakeFaceMap *self, const RakeShot *shot, guint first, guint end, RakeLayer layer)
{
  guint64 stamp = RAKE_STAMP_START;

  for (guint i = first; i < end; i++)
    {
      const RakeZonePaint *paint = shot->paints->pdata[i];
      const RakePicture *picture = find_picture (shot, i, layer);
      stamp = rake_stamp_mix (stamp, picture ? picture->serial : 0);
      if (picture && paint->faded && layer == RAKE_LAYER_SURFACE)
        stamp = rake_stamp_mix_real (stamp, get_progress (self, paint));
    }
  return stamp;
}

GskRenderNode *
rake_face_map_end_pixels (cairo_t *cr, const graphene_rect_t *box)
{
  GskRenderNode *node = gsk_cairo_node_new (box);
  cairo_t *copy = gsk_cairo_node_get_draw_context (node);

  cairo_set_source_surface (copy, cairo_get_target (cr), (double) box->origin.x,
                            (double) box->origin.y);
  cairo_paint (copy);
  cairo_destroy (copy);
  cairo_destroy (cr);
  return node;
}

static GskRenderNode *
new_picture_node (const RakePicture *picture, cairo_surface_t *faded, double progress)
{
  double x = (double) picture->box.origin.x, y = (double) picture->box.origin.y;
  GskRenderNode *node = gsk_cairo_node_new (&picture->box);
  cairo_t *cr = gsk_cairo_node_get_draw_context (node);

  if (faded)
    {
      cairo_set_source_surface (cr, faded, x, y);
      cairo_paint (cr);
    }
  cairo_set_source_surface (cr, picture->pixels, x, y);
  cairo_paint_with_alpha (cr, faded ? progress : 1);
  cairo_destroy (cr);
  return node;
}

/* A picture that changes is painted anew, and nothing beside it. */
static GskRenderNode *
get_node (RakeFaceMap *self, const RakeShot *shot, guint i, RakeLayer layer)
{
  RakeZonePaint *paint = shot->paints->pdata[i];
  RakePicture *picture = &paint->pictures[layer];

  if (!find_picture (shot, i, layer))
    return gsk_container_node_new (NULL, 0);
  if (layer == RAKE_LAYER_SURFACE && paint->faded)
    return new_picture_node (picture, paint->faded, get_progress (self, paint));
  if (!picture->node)
    picture->node = new_picture_node (picture, NULL, 1);
  return gsk_render_node_ref (picture->node);
}

static GskRenderNode *
new_group_node (RakeFaceMap *self, const RakeShot *shot, guint first, guint end, RakeLayer layer)
{
  GskRenderNode *nodes[RAKE_GROUP_SIZE];
  GskRenderNode *group;

  for (guint i = first; i < end; i++)
    nodes[i - first] = get_node (self, shot, i, layer);
  group = gsk_container_node_new (nodes, end - first);
  for (guint i = first; i < end; i++)
    gsk_render_node_unref (nodes[i - first]);
  return group;
}

void
rake_face_map_append_zones (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeShot *shot,
                            RakeLayer layer)
{
  guint n_zones = shot->paints->len, n_groups = (n_zones + RAKE_GROUP_SIZE - 1) / RAKE_GROUP_SIZE;

  if (!self->groups)
    {
      self->groups = g_array_new (FALSE, TRUE, sizeof (Group));
      g_array_set_clear_func (self->groups, group_clear);
    }
  if (self->groups->len != RAKE_N_LAYERS * n_groups)
    {
      g_array_set_size (self->groups, 0);
      g_array_set_size (self->groups, RAKE_N_LAYERS * n_groups);
    }
  for (guint i = 0; i < n_groups; i++)
    {
      Group *group = &g_array_index (self->groups, Group, layer * n_groups + i);
      guint first = i * RAKE_GROUP_SIZE, end = MIN (first + RAKE_GROUP_SIZE, n_zones);
      guint64 stamp = get_group_stamp (self, shot, first, end, layer);
      if (!group->node || group->stamp != stamp)
        {
          g_clear_pointer (&group->node, gsk_render_node_unref);
          group->node = new_group_node (self, shot, first, end, layer);
          group->stamp = stamp;
        }
      gtk_snapshot_append_node (snapshot, group->node);
    }
}

/* --- edges ----------------------------------------------------------------------------------- */

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
append_edge (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeShot *shot, RakeZonePaint *paint,
             const RakeZone *zone, RakeZoneFlags flags)
{
  guint64 stamp =
      rake_stamp_mix (rake_stamp_mix_shape (shot->view_stamp, zone->shape), (guint64) flags);

  if (!paint->edge || paint->edge_stamp != stamp)
    {
      graphene_rect_t box = rake_zone_paint_get_box (&self->view, zone, RAKE_OVERHANG_PX);
      cairo_t *cr;
      g_clear_pointer (&paint->edge, gsk_render_node_unref);
      paint->edge_stamp = stamp;
      paint->edge = gsk_cairo_node_new (&box);
      cr = gsk_cairo_node_get_draw_context (paint->edge);
      rake_map_draw_zone_edge (cr, &self->view, zone, flags);
      cairo_destroy (cr);
    }
  gtk_snapshot_append_node (snapshot, paint->edge);
}

void
rake_face_map_append_edges (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeShot *shot)
{
  const RakeGate *gate = rake_session_find_gate (self->session, shot->face);

  for (guint i = 0; i < shot->paints->len; i++)
    {
      const RakeZone *zone = shot->face->zones->pdata[i];
      RakeZoneFlags flags = get_flags (self, zone, gate);
      if (flags != RAKE_ZONE_PLAIN)
        append_edge (self, snapshot, shot, shot->paints->pdata[i], zone, flags);
    }
}
