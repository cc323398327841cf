/* face-thumb.c - a face's map, small. */
#include "face-thumb.h"
#include "stamp.h"
#include "theme.h"

#include <adwaita.h>
#include <math.h>
#include <rakelight/map.h>

#define MARGIN_PX 3

struct _RakeFaceThumb
{
  GtkWidget parent_instance;

  GWeakRef session;
  RakeId face;
  guint64 print; /* of what the face shows; see take_print() */
  GskRenderNode *node;
  int node_width_px, node_height_px;
  guint n_drawn;
};

G_DEFINE_FINAL_TYPE (RakeFaceThumb, rake_face_thumb, GTK_TYPE_WIDGET)

/* A number that changes when the face's map would look different. */
static guint64
take_print (RakeSession *session, const RakeFace *face)
{
  guint64 print = RAKE_STAMP_START;

  for (guint i = 0; i < face->zones->len; i++)
    print = rake_stamp_mix (print, rake_session_get_zone_stamp (session, face->zones->pdata[i]));
  return print;
}

static void
drop_node (RakeFaceThumb *self)
{
  g_clear_pointer (&self->node, gsk_render_node_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
draw_node (RakeFaceThumb *self, RakeSession *session, const RakeFace *face, int width_px,
           int height_px)
{
  g_autoptr (GPtrArray) judgements = rake_session_find_judgements (session, face);
  g_autoptr (GtkSnapshot) snapshot = gtk_snapshot_new ();
  RakeMapView view = { .theme = rake_theme_now (),
                       .width_px = width_px,
                       .height_px = height_px,
                       .lamp_deg = NAN };
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width_px, (float) height_px));

  rake_map_view_fit (&view, face, MARGIN_PX);
  rake_map_draw_face (cr, &view, face, (RakeJudgement *const *) judgements->pdata);
  cairo_destroy (cr);
  g_clear_pointer (&self->node, gsk_render_node_unref);
  self->node = gtk_snapshot_to_node (snapshot);
  self->node_width_px = width_px;
  self->node_height_px = height_px;
  self->n_drawn++;
}

static void
rake_face_thumb_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakeFaceThumb *self = RAKE_FACE_THUMB (widget);
  g_autoptr (RakeSession) session = g_weak_ref_get (&self->session);
  int width_px = gtk_widget_get_width (widget), height_px = gtk_widget_get_height (widget);
  const RakeFace *face =
      session ? rake_job_find_face (rake_session_get_job (session), self->face) : NULL;

  if (!face || width_px <= 2 * MARGIN_PX || height_px <= 2 * MARGIN_PX)
    return;
  if (!self->node || self->node_width_px != width_px || self->node_height_px != height_px)
    draw_node (self, session, face, width_px, height_px);
  if (self->node)
    gtk_snapshot_append_node (snapshot, self->node);
}

void
rake_face_thumb_show (RakeFaceThumb *self, RakeSession *session, RakeId face_id)
{
  const RakeFace *face =
      session ? rake_job_find_face (rake_session_get_job (session), face_id) : NULL;
  guint64 print = face ? take_print (session, face) : 0;

  if (rake_id_equal (face_id, self->face) && print == self->print)
    return;
  g_weak_ref_set (&self->session, session);
  self->face = face_id;
  self->print = print;
  drop_node (self);
}

guint
rake_face_thumb_get_n_drawn (RakeFaceThumb *self)
{
  return self->n_drawn;
}

static void
rake_face_thumb_finalize (GObject *object)
{
  RakeFaceThumb *self = RAKE_FACE_THUMB (object);

  g_weak_ref_clear (&self->session);
  g_clear_pointer (&self->node, gsk_render_node_unref);
  G_OBJECT_CLASS (rake_face_thumb_parent_class)->finalize (object);
}

static void
rake_face_thumb_class_init (RakeFaceThumbClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = rake_face_thumb_finalize;
  widget_class->snapshot = rake_face_thumb_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
rake_face_thumb_init (RakeFaceThumb *self)
{
  g_weak_ref_init (&self->session, NULL);
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark", G_CALLBACK (drop_node),
                           self, G_CONNECT_SWAPPED);
}
