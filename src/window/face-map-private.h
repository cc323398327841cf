/* face-map-private.h - the face map's parts among themselves.
 *
 *   face-map.c           life, session, menu, layout
 *   face-map-children.c  the accessible places and the chips
 *   face-map-paint.c     the picture, kept, so that only what changed is drawn again
 *   face-map-zones.c     of it the zones, as far as a frame has time for them
 *   face-map-groups.c    of it the nodes that show the zones
 *   face-map-under.c     the photograph under it
 *   face-map-hand.c      pointer and fingers
 *   face-map-keys.c      keyboard, and the cross that marks without a pointer */
#pragma once
#include "face-map.h"
#include <rakelight/map.h>

/* Logical pixels. A hand that moved less has tapped (docs/window.md). */
#define RAKE_TAP_REACH_PX 8.0
#define RAKE_LAMP_REACH_PX 26.0
#define RAKE_MARK_REACH_PX 12.0

typedef enum
{
  RAKE_HAND_AWAY,
  RAKE_HAND_DOWN,     /* pressed, and not yet moved far enough to tell what is meant */
  RAKE_HAND_LAMP,
  RAKE_HAND_MARKING,
  RAKE_HAND_PANNING,
  RAKE_HAND_SPENT,    /* still down, but what it did is over: cancelled, or a long press */
} RakeHand;

typedef struct _RakeZonePaint RakeZonePaint; /* face-map-paint.h */
guint64 rake_face_map_get_view_stamp (RakeFaceMap *self); /* of all but the lamp */

/* Where a zone and its marks are found by those who do not see the map; face-map-children.c. */
typedef struct
{
  RakeId zone;
  guint64 stamp;        /* of what they say; 0: not all of it is said yet */
  guint64 said_stamp;   /* of what the zone's own says */
  guint64 placed_stamp; /* of where they were put */
  gboolean is_selected;
  GtkWidget *place;     /* RakeZonePlace */
  GPtrArray *marks;     /* RakeMarkPlace: of the marks that show, in order */
} RakePlaces;

struct _RakeFaceMap
{
  GtkWidget parent_instance;

  RakeSession *session;
  RakeMapView view;
  gboolean is_fitted;
  RakeId face; /* the face that is in view */

  /* the picture */
  GHashTable *paints; /* RakeId * → RakeZonePaint * */
  GArray *groups;     /* nodes that show the zones of @paints */
  guint64 n_pictures; /* drawn so far */
  GskRenderNode *glow, *under, *under_pixels, *seams, *lamp;
  guint64 glow_stamp, under_stamp, under_pixels_stamp, seams_stamp, lamp_stamp, labels_stamp;
  GArray *labels;
  GskRenderNode *picture; /* what was shown last, and where */
  RakeMapView picture_view;
  guint64 picture_stamp;
  cairo_surface_t *still; /* what is shown while the view moves, and until it is sharp again */
  RakeMapView still_view;
  gboolean still_has_lights; /* the lamp and its glow are in it */
  gint64 drawing_us;         /* how long zones may be drawn in a frame */
  guint sharpen, following;

  /* the hand */
  RakeHand hand;
  double start_x, start_y, last_x, last_y;
  GArray *points_mm;   /* double: the mark being drawn, x, y, … */
  RakeShape *preview;  /* of these points; NULL when it must be made anew */
  RakeId hovered;
  double pointer_x, pointer_y; /* NaN: away */
  double pinch_scale, pinch_x, pinch_y;

  /* the keyboard */
  gboolean is_space_down, is_space_used;
  gboolean has_cross, is_cross_marking;
  double cross_x_mm, cross_y_mm;

  /* children */
  GPtrArray *places; /* RakePlaces *, one for each zone of the face, in order */
  GPtrArray *chips;
  guint filling;     /* idle: marks that have no place yet */
  GtkWidget *menu;
};

/* face-map.c */
void rake_face_map_view_moved (RakeFaceMap *self); /* after self->view was zoomed or moved */
const RakeZone *rake_face_map_find_zone_at (RakeFaceMap *self, double x, double y);
const RakeMark *rake_face_map_find_mark_at (RakeFaceMap *self, double x, double y);
void rake_face_map_show_menu (RakeFaceMap *self, double x, double y);
void rake_face_map_fit_view (RakeMapView *view, const RakeFace *face);
void rake_face_map_say_cross (RakeFaceMap *self);

/* face-map-children.c */
guint rake_face_map_get_n_mark_places (RakeFaceMap *self);
void rake_face_map_show_children (RakeFaceMap *self, const RakeFace *face);
void rake_face_map_place_children (RakeFaceMap *self, const RakeFace *face);
void rake_face_map_drop_children (RakeFaceMap *self);
void rake_face_map_paint_leaders (RakeFaceMap *self, GtkSnapshot *snapshot);

/* face-map-paint.c */
void rake_face_map_paint (RakeFaceMap *self, GtkSnapshot *snapshot);
void rake_face_map_forget_paint (RakeFaceMap *self); /* another face is shown */
/* The view is about to move, or (without @lights) the lamp: until the hand stops a picture of the
 * map as it is stands in, without the lamp and its glow if these go on being drawn. */
void rake_face_map_hold_still (RakeFaceMap *self, gboolean lights);
void rake_face_map_make_sharp (RakeFaceMap *self);
gboolean rake_face_map_is_moving (RakeFaceMap *self);
void rake_face_map_finish (RakeFaceMap *self); /* draws at once what would follow in later frames */
void rake_face_map_free_paint (RakeFaceMap *self);   /* when the map goes */

/* The picture that is kept of a zone's surface, not owned; NULL before it was drawn. For tests. */
gconstpointer rake_face_map_peek_surface (RakeFaceMap *self, RakeId zone);

/* face-map-under.c */
void rake_face_map_append_under (RakeFaceMap *self, GtkSnapshot *snapshot);
void rake_face_map_follow_under (RakeFaceMap *self, RakeSession *before, RakeSession *session);

/* face-map-hand.c; x and y in the map's pixels. Gestures call these and nothing else. */
void rake_face_map_add_gestures (RakeFaceMap *self);
void rake_face_map_hand_down (RakeFaceMap *self, double x, double y);
gboolean rake_face_map_hand_move (RakeFaceMap *self, double x, double y); /* TRUE: it is ours now */
void rake_face_map_hand_up (RakeFaceMap *self, double x, double y, GdkModifierType modifiers);
void rake_face_map_hand_cancel (RakeFaceMap *self);
void rake_face_map_pan (RakeFaceMap *self, double dx, double dy);
void rake_face_map_zoom_at (RakeFaceMap *self, double factor, double x, double y);
void rake_face_map_hover (RakeFaceMap *self, double x, double y);
void rake_face_map_turn_lamp (RakeFaceMap *self, double lamp_deg);

/* What the points drawn so far would mark, NULL when too little; kept until the next point. */
const RakeShape *rake_face_map_get_preview (RakeFaceMap *self, RakeMarkKind *kind);
void rake_face_map_add_point (RakeFaceMap *self, double x_mm, double y_mm);
void rake_face_map_drop_points (RakeFaceMap *self);
gboolean rake_face_map_record_points (RakeFaceMap *self);

/* face-map-keys.c */
void rake_face_map_add_keys (RakeFaceMap *self);
gboolean rake_face_map_key_down (RakeFaceMap *self, guint key, GdkModifierType modifiers);
void rake_face_map_key_up (RakeFaceMap *self, guint key);
