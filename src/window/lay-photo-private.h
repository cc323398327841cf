/* lay-photo-private.h - the parts of the page that lays a photograph on its face, among themselves.
 *
 *   lay-photo-page.c   life, the column of words and buttons, keeping
 *   lay-photo-knobs.c  the points on both sides: hand, keys, loupe
 *   lay-photo-over.c   what lies over the photograph, and the photograph under the drawing
 *   lay-photo-marks.c  marks drawn on the photograph */
#pragma once
#include "lay-photo-page.h"
#include "laying.h"
#include "outline-view.h"
#include "photo-view.h"
#include <rakelight/photo-picture.h>

typedef enum
{
  RAKE_LAY_POINTS,
  RAKE_LAY_MARKS,
} RakeLayMode;

struct _RakeLayPhotoPage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *photo_slot, *face_slot, *name, *refusal, *tools, *as_points, *as_marks, *for_points,
      *for_marks, *as_view, *pairs, *warning, *summary, *lens, *keep, *under_pointer, *brushes, *over_scale,
      *under_scale;
  RakePhotoView *photo_view;
  RakeOutlineView *outline_view;

  RakeId photo;
  RakeLaying *laying; /* NULL: there is no photograph, or it belongs to no face */
  RakeId registration; /* the entry that it was begun from; nil: none */
  RakeLayMode mode;

  GPtrArray *photo_knobs, *face_knobs; /* RakePointKnob, one each for a pair */
  guint held;                          /* the pair in hand, G_MAXUINT: none */
  gboolean is_held_on_face;
  double grip_x, grip_y;               /* from the hand to the point, in the view's places */
  RakeLayPair before;                  /* as it was when it was taken in hand */

  double over_opacity;
  RakePhotoMap *map; /* of the fit as it is now; NULL without one */
  RakePhotoPicture *picture; /* the photograph, to be laid flat; NULL while it is read */
  GCancellable *reading, *warping;
  guint warp_soon;

  GArray *drawn_px; /* double: the mark being drawn, x, y, … in the file's pixels */
  RakeShape *drawn; /* what it would mark, mm; NULL when it must be made anew */
};

/* lay-photo-page.c */
const RakePhoto *rake_lay_find_photo (RakeLayPhotoPage *self);
void rake_lay_changed (RakeLayPhotoPage *self); /* pairs or fit are others */
void rake_lay_show_pairs (RakeLayPhotoPage *self);

/* lay-photo-knobs.c */
void rake_lay_add_knob_hands (RakeLayPhotoPage *self);
void rake_lay_show_knobs (RakeLayPhotoPage *self);
void rake_lay_drop_knobs (RakeLayPhotoPage *self);
gboolean rake_lay_knobs_down (RakeLayPhotoPage *self, gboolean on_face, double x, double y);

/* lay-photo-over.c */
void rake_lay_add_overlay (RakeLayPhotoPage *self);
void rake_lay_take_map (RakeLayPhotoPage *self);  /* the fit is another one */
void rake_lay_read_picture (RakeLayPhotoPage *self);
void rake_lay_drop_picture (RakeLayPhotoPage *self);

/* Traces a shape of the face on the photograph, in the view's pixels, with what lies within the
 * picture's side of the horizon. */
void rake_lay_trace (RakeLayPhotoPage *self, cairo_t *cr, const RakeShape *shape);

/* lay-photo-marks.c */
gboolean rake_lay_marks_down (RakeLayPhotoPage *self, double x, double y);
void rake_lay_marks_move (RakeLayPhotoPage *self, double x, double y);
void rake_lay_marks_up (RakeLayPhotoPage *self);
void rake_lay_marks_cancel (RakeLayPhotoPage *self);
void rake_lay_marks_hover (RakeLayPhotoPage *self, double x, double y);
void rake_lay_paint_marks (RakeLayPhotoPage *self, cairo_t *cr);
