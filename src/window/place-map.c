/* place-map.c - a face's map with one place on it made out. */
#include "place-map.h"
#include "theme.h"

#include <adwaita.h>
#include <math.h>
#include <rakelight/map.h>

#define MARGIN_PX 8
#define TEXT_PX 13
#define NEAR_FRACTION 0.8 /* of the picture that the zone fills: some of what is around tells where it is */
#define RING_PX 16
#define RING_WIDTH_PX 2.5

struct _RakePlaceMap
{
  GtkWidget parent_instance;

  RakeJob *job;
  RakeRules *rules;
  RakePlace place;
  gint64 at_ms;
  GWeakRef session; /* for the job as it is; else "job" holds it as it was */
  GskRenderNode *node;
  int node_width_px, node_height_px;
};

G_DEFINE_FINAL_TYPE (RakePlaceMap, rake_place_map, GTK_TYPE_WIDGET)

static void
drop_node (RakePlaceMap *self)
{
  g_clear_pointer (&self->node, gsk_render_node_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* Not kept: the job may change before the next drawing. */
static GPtrArray *
judge (RakePlaceMap *self, const RakeJob *job, const RakeFace *face)
{
  GPtrArray *judgements = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_judgement_free);

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (judgements,
                     rake_rules_judge (self->rules, job, face->zones->pdata[i], self->at_ms));
  return judgements;
}

/* --- drawing ----------------------------------------------------------------------------------- */

static void
go_near (RakeMapView *view, const RakeZone *zone)
{
  double x, y, width, height, factor;

  rake_map_zone_extents (view, zone, &x, &y, &width, &height);
  factor = NEAR_FRACTION * MIN (view->width_px / width, view->height_px / height);
  if (!isfinite (factor) || factor <= 1)
    return;
  rake_map_view_zoom (view, factor, x + width / 2, y + height / 2);
  view->origin_x_px += view->width_px / 2 - (x + width / 2);
  view->origin_y_px += view->height_px / 2 - (y + height / 2);
}

/* A ring around the mark: a dot of a scratch is not found on a small picture otherwise. */
static void
draw_ring (cairo_t *cr, const RakeMapView *view, const RakeMark *mark)
{
  double x_mm, y_mm, x_px, y_px;

  rake_shape_get_inner_point (mark->shape, &x_mm, &y_mm);
  rake_map_view_to_px (view, x_mm, y_mm, &x_px, &y_px);
  cairo_arc (cr, x_px, y_px, RING_PX, 0, 2 * G_PI);
  cairo_set_line_width (cr, RING_WIDTH_PX + 2);
  cairo_set_source_rgba (cr, 1, 1, 1, 0.7);
  cairo_stroke_preserve (cr);
  cairo_set_line_width (cr, RING_WIDTH_PX);
  cairo_set_source_rgb (cr, 0.1, 0.1, 0.1);
  cairo_stroke (cr);
}

static void
draw (RakePlaceMap *self, cairo_t *cr, const RakeJob *job, const RakeFace *face)
{
  const RakeZone *zone = rake_job_find_zone (job, self->place.zone);
  const RakeMark *mark = rake_job_find_mark (job, self->place.mark);
  g_autoptr (GPtrArray) judgements = judge (self, job, face);
  RakeMapView view = { .theme = rake_theme_now (),
                       .width_px = self->node_width_px,
                       .height_px = self->node_height_px,
                       .lamp_deg = NAN };

  rake_map_view_fit (&view, face, MARGIN_PX);
  if (zone && self->place.is_near)
    go_near (&view, zone);
  view.text_px = self->place.is_near ? TEXT_PX : 0;
  rake_map_draw_face (cr, &view, face, (RakeJudgement *const *) judgements->pdata);
  if (zone)
    rake_map_draw_zone_edge (cr, &view, zone, RAKE_ZONE_SELECTED);
  if (mark)
    draw_ring (cr, &view, mark);
}

static void
draw_node (RakePlaceMap *self, const RakeJob *job, const RakeFace *face)
{
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  cairo_t *cr;

  self->node_width_px = gtk_widget_get_width (GTK_WIDGET (self));
  self->node_height_px = gtk_widget_get_height (GTK_WIDGET (self));
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) self->node_width_px,
                                                                 (float) self->node_height_px));
  draw (self, cr, job, face);
  cairo_destroy (cr);
  g_clear_pointer (&self->node, gsk_render_node_unref);
  self->node = gtk_snapshot_to_node (snapshot);
}

static void
rake_place_map_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakePlaceMap *self = RAKE_PLACE_MAP (widget);
  g_autoptr (RakeSession) session = g_weak_ref_get (&self->session);
  const RakeJob *job = session ? rake_session_get_live_job (session) : self->job;
  const RakeFace *face = job ? rake_job_find_face (job, self->place.face) : NULL;
  int width_px = gtk_widget_get_width (widget), height_px = gtk_widget_get_height (widget);

  if (!face || width_px <= 2 * MARGIN_PX || height_px <= 2 * MARGIN_PX)
    return;
  if (!self->node || self->node_width_px != width_px || self->node_height_px != height_px)
    draw_node (self, job, face);
  gtk_snapshot_push_clip (snapshot,
                          &GRAPHENE_RECT_INIT (0, 0, (float) width_px, (float) height_px));
  if (self->node)
    gtk_snapshot_append_node (snapshot, self->node);
  gtk_snapshot_pop (snapshot);
}

/* --- showing ----------------------------------------------------------------------------------- */

void
rake_place_map_clear (RakePlaceMap *self)
{
  g_weak_ref_set (&self->session, NULL);
  g_clear_pointer (&self->job, rake_job_free);
  g_clear_pointer (&self->rules, rake_rules_unref);
  drop_node (self);
}

static void
show (RakePlaceMap *self, RakeRules *rules, const RakePlace *place, gint64 at_ms, const char *label)
{
  self->rules = rake_rules_ref (rules);
  self->place = *place;
  self->at_ms = at_ms;
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
}

void
rake_place_map_show_now (RakePlaceMap *self, RakeSession *session, const RakePlace *place,
                         const char *label)
{
  rake_place_map_clear (self);
  g_weak_ref_set (&self->session, session);
  show (self, rake_session_get_rules (session), place, rake_session_now_ms (), label);
}

void
rake_place_map_show_then (RakePlaceMap *self, RakeSession *session, guint n_entries,
                          const RakePlace *place, gint64 at_ms, const char *label)
{
  rake_place_map_clear (self);
  self->job = rake_job_new_until (rake_session_get_live_job (session), n_entries);
  show (self, rake_session_get_rules (session), place, at_ms, label);
}

static void
rake_place_map_dispose (GObject *object)
{
  rake_place_map_clear (RAKE_PLACE_MAP (object));
  G_OBJECT_CLASS (rake_place_map_parent_class)->dispose (object);
}

static void
rake_place_map_finalize (GObject *object)
{
  g_weak_ref_clear (&RAKE_PLACE_MAP (object)->session);
  G_OBJECT_CLASS (rake_place_map_parent_class)->finalize (object);
}

static void
rake_place_map_class_init (RakePlaceMapClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_place_map_dispose;
  G_OBJECT_CLASS (klass)->finalize = rake_place_map_finalize;
  widget_class->snapshot = rake_place_map_snapshot;
  gtk_widget_class_set_css_name (widget_class, "placemap");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
rake_place_map_init (RakePlaceMap *self)
{
  g_weak_ref_init (&self->session, NULL);
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark", G_CALLBACK (drop_node),
                           self, G_CONNECT_SWAPPED);
}
