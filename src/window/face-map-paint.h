/* face-map-paint.h - what the parts of the face map's picture share.
 *
 *   face-map-paint.c   the whole picture, and what is not a zone's
 *   face-map-zones.c   each zone's pictures: what they are drawn from, and drawing them
 *   face-map-groups.c  showing them in the nodes of a frame
 *   face-map-under.c   the photograph under the map */
#pragma once
#include "face-map-private.h"
#include "stamp.h"

/* How far a zone's edge and a mark in the making may reach over their box. */
#define RAKE_OVERHANG_PX 24.0

/* So many zones have a node in common, which holds theirs. */
#define RAKE_GROUP_SIZE 10

typedef enum
{
  RAKE_LAYER_SURFACE,
  RAKE_LAYER_MARKS,
  RAKE_LAYER_LABEL,
  RAKE_N_LAYERS
} RakeLayer;

/* Pixels that were drawn once. */
typedef struct
{
  cairo_surface_t *pixels; /* NULL: nothing of it is seen */
  GskRenderNode *node;     /* of the pixels alone; NULL: not made yet */
  graphene_rect_t box;
  guint64 stamp;           /* what it was drawn from */
  guint64 serial;          /* no two drawings have the same */
} RakePicture;

struct _RakeZonePaint
{
  RakeId zone; /* the table's key points here */
  RakePicture pictures[RAKE_N_LAYERS];
  guint64 stamps[RAKE_N_LAYERS];       /* what the pictures should be drawn from now */
  guint64 place_stamp, lit_stamp;      /* of the view they were drawn in, without light and with it */
  guint64 zone_stamp;                  /* of the zone that the following were taken from */
  guint64 seen_stamp;                  /* what of the judgement is seen in the surface */
  guint64 marked_stamp;                /* its marks, and how they stand */
  guint64 boxed_stamp;                 /* of view and zone that the boxes were taken from */
  graphene_rect_t zone_box, marks_box;
  guint64 laid_stamp;                  /* what its label was laid from */
  GskRenderNode *edge;
  guint64 edge_stamp;
  cairo_surface_t *faded;              /* what the surface looked like before, going */
  gint64 fade_start_us;
};

/* The face as it is to be painted in one frame. */
typedef struct
{
  const RakeFace *face;
  guint64 place_stamp, view_stamp, lit_stamp; /* where; and in which theme; and in which light */
  GPtrArray *judgements; /* RakeJudgement *, of each zone; NULL: still to be made */
  GPtrArray *paints;     /* RakeZonePaint *, of each zone */
} RakeShot;

RakeShot *rake_face_map_new_shot (RakeFaceMap *self, const RakeFace *face);
void rake_shot_free (RakeShot *shot);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeShot, rake_shot_free)

/* Of a shape and of where it is in memory: shapes belong to entries, and never change. */
guint64 rake_stamp_mix_shape (guint64 stamp, const RakeShape *shape);
guint64 rake_face_map_get_place_stamp (RakeFaceMap *self); /* of where the view is, and how large */
graphene_rect_t rake_face_map_get_view_box (RakeFaceMap *self);
graphene_rect_t rake_zone_paint_get_box (const RakeMapView *view, const RakeZone *zone,
                                         double overhang_px);

/* To draw in the view's pixels what is seen of it in @box, which is of whole pixels. */
cairo_t *rake_face_map_begin_pixels (RakeFaceMap *self, const graphene_rect_t *box);
/* What was drawn, which from then on only is copied: a node that holds lines or a texture is drawn or
 * converted again in every frame that touches it. Takes @cr over. */
GskRenderNode *rake_face_map_end_pixels (cairo_t *cr, const graphene_rect_t *box);

/* Draws what is to be drawn anew, as far as there is time. Returns whether that was all. */
gboolean rake_face_map_draw_zones (RakeFaceMap *self, const RakeShot *shot);
void rake_face_map_forget_zones (RakeFaceMap *self);

/* Another frame is to come. */
void rake_face_map_follow_up (RakeFaceMap *self);

/* @before, which is taken over, melts into what @paint shows now. */
void rake_face_map_start_fade (RakeFaceMap *self, RakeZonePaint *paint, cairo_surface_t *before);
/* Lets go of what is through. Returns whether there is more. */
gboolean rake_face_map_fade_zones (RakeFaceMap *self);

void rake_face_map_append_zones (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeShot *shot,
                                 RakeLayer layer);
void rake_face_map_append_edges (RakeFaceMap *self, GtkSnapshot *snapshot, const RakeShot *shot);
