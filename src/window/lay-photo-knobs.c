/* lay-photo-knobs.c - the points on both sides: hand, keys, loupe. */
#include "lay-photo-private.h"

#include "point-knob.h"

#include <math.h>
#include "words.h"

/* A finger takes the nearest point within so many pixels. */
#define REACH_PX 30.0

/* On the drawing a point keeps to the edge where it comes so near. */
#define SNAP_PX 6.0

/* --- where they lie ------------------------------------------------------------------------------ */

static gpointer
get_view (RakeLayPhotoPage *self, gboolean on_face)
{
  return on_face ? (gpointer) self->outline_view : (gpointer) self->photo_view;
}

/* In the view's own places: upright pixels, or millimetres. */
static void
get_place (RakeLayPhotoPage *self, guint index, gboolean on_face, double *x, double *y)
{
  const RakeLayPair *pair = rake_laying_get_pair (self->laying, index);

  *x = pair->x_mm;
  *y = pair->y_mm;
  if (!on_face)
    rake_photo_view_turn_upright (self->photo_view, pair->x_px, pair->y_px, x, y);
}

static guint
find_index (const GPtrArray *knobs, gconstpointer knob)
{
  guint index;

  return g_ptr_array_find ((GPtrArray *) knobs, knob, &index) ? index : G_MAXUINT;
}

/* --- showing ------------------------------------------------------------------------------------- */

static char *
say_end (RakeLayPhotoPage *self, guint index, gboolean on_face)
{
  const RakeLayPair *pair = rake_laying_get_pair (self->laying, index);
  g_autofree char *where = NULL;

  if (on_face)
    /* Translators: a point on the drawing; its number and place in mm. */
    where = g_strdup_printf (_ ("Point %u on the drawing, at %.1f, %.1f mm"), index + 1, pair->x_mm,
                             pair->y_mm);
  else
    /* Translators: a point in the photograph; its number and place in pixels. */
    where = g_strdup_printf (_ ("Point %u in the photograph, at %.0f, %.0f pixels"), index + 1,
                             pair->x_px, pair->y_px);
  if (!pair->is_placed)
    return g_strdup_printf (_ ("%s, not put yet"), where);
  if (isfinite (pair->off_mm))
    return g_strdup_printf (_ ("%s, off by %.2f mm"), where, pair->off_mm);
  return g_steal_pointer (&where);
}

static void
show_knob (RakeLayPhotoPage *self, guint index, gboolean on_face)
{
  const RakeLayPair *pair = rake_laying_get_pair (self->laying, index);
  RakePointKnob *knob = (on_face ? self->face_knobs : self->photo_knobs)->pdata[index];
  g_autofree char *words = say_end (self, index, on_face);
  RakeKnobFlags flags = RAKE_KNOB_PLAIN;
  double x, y;

  if (!pair->is_placed)
    flags |= RAKE_KNOB_WAITS;
  if (self->laying->verdict == RAKE_PHOTO_PAIRS_ONE_IS_ODD && self->laying->odd == index)
    flags |= RAKE_KNOB_IS_ODD;
  if (self->held == index || gtk_widget_has_focus (GTK_WIDGET (knob)))
    flags |= RAKE_KNOB_IS_HELD;
  rake_point_knob_show (knob, index + 1, flags, words);
  get_place (self, index, on_face, &x, &y);
  rake_flat_view_put (get_view (self, on_face), GTK_WIDGET (knob), x, y);
  gtk_widget_set_visible (GTK_WIDGET (knob), self->mode == RAKE_LAY_POINTS);
}

/* --- moving -------------------------------------------------------------------------------------- */

/* The nearest place on the edge, if it is near; else the place itself. */
static void
snap (RakeLayPhotoPage *self, double *x_mm, double *y_mm)
{
  const RakeShape *outline = self->laying->outline;
  double reach_mm = SNAP_PX / rake_flat_view_get_scale (self->outline_view);
  double best_mm = reach_mm, from_x = *x_mm, from_y = *y_mm;

  if (rake_shape_get_distance_to_edge_mm (outline, from_x, from_y) > reach_mm)
    return;
  for (guint ring = 0; ring < rake_shape_get_n_rings (outline); ring++)
    {
      guint n_points;
      const double *at = rake_shape_get_ring (outline, ring, &n_points, NULL);

      for (guint i = 0; i + 1 < n_points; i++, at += 2)
        {
          double dx = at[2] - at[0], dy = at[3] - at[1], length2 = dx * dx + dy * dy;
          double t = length2 > 0 ? ((from_x - at[0]) * dx + (from_y - at[1]) * dy) / length2 : 0;
          double x = at[0] + CLAMP (t, 0, 1) * dx, y = at[1] + CLAMP (t, 0, 1) * dy;

          if (hypot (x - from_x, y - from_y) > best_mm)
            continue;
          best_mm = hypot (x - from_x, y - from_y);
          *x_mm = x;
          *y_mm = y;
        }
    }
}

static void
put (RakeLayPhotoPage *self, guint index, gboolean on_face, double x, double y)
{
  if (on_face)
    rake_laying_put_on_face (self->laying, index, x, y);
  else
    {
      rake_photo_view_turn_to_file (self->photo_view, x, y, &x, &y);
      rake_laying_put_in_photo (self->laying, index, x, y);
    }
  get_place (self, index, on_face, &x, &y);
  rake_flat_view_show_loupe (get_view (self, on_face), x, y);
  rake_lay_changed (self);
}

gboolean
rake_lay_knobs_down (RakeLayPhotoPage *self, gboolean on_face, double x, double y)
{
  gpointer view = get_view (self, on_face);
  double nearest_px = REACH_PX, scale = rake_flat_view_get_scale (view);
  GPtrArray *knobs = on_face ? self->face_knobs : self->photo_knobs;

  self->held = G_MAXUINT;
  for (guint i = 0; self->laying && i < knobs->len; i++)
    {
      double at_x, at_y;

      get_place (self, i, on_face, &at_x, &at_y);
      if (hypot (at_x - x, at_y - y) * scale > nearest_px)
        continue;
      nearest_px = hypot (at_x - x, at_y - y) * scale;
      self->held = i;
      self->grip_x = at_x - x;
      self->grip_y = at_y - y;
    }
  if (self->held == G_MAXUINT)
    return FALSE;
  self->is_held_on_face = on_face;
  self->before = *rake_laying_get_pair (self->laying, self->held);
  gtk_widget_grab_focus (knobs->pdata[self->held]);
  rake_flat_view_show_loupe (view, x + self->grip_x, y + self->grip_y);
  rake_lay_show_knobs (self);
  return TRUE;
}

static void
move_held (RakeLayPhotoPage *self, double x, double y)
{
  if (self->held == G_MAXUINT || !self->laying || self->held >= self->laying->pairs->len)
    return;
  x += self->grip_x;
  y += self->grip_y;
  if (self->is_held_on_face)
    snap (self, &x, &y);
  put (self, self->held, self->is_held_on_face, x, y);
}

static void
let_go (RakeLayPhotoPage *self)
{
  self->held = G_MAXUINT;
  rake_flat_view_hide_loupe (self->photo_view);
  rake_flat_view_hide_loupe (self->outline_view);
  if (self->laying)
    rake_lay_show_knobs (self);
}

/* A pinch began with the finger that took the point: nobody meant to move it. */
static void
give_back (RakeLayPhotoPage *self)
{
  if (self->held != G_MAXUINT && self->laying && self->held < self->laying->pairs->len)
    rake_laying_put_back (self->laying, self->held, &self->before);
  let_go (self);
  rake_lay_changed (self);
}

/* --- keys on a knob ------------------------------------------------------------------------------ */

static gboolean
take_knob (RakeLayPhotoPage *self, RakePointKnob *knob, guint *index, gboolean *on_face)
{
  *index = find_index (self->photo_knobs, knob);
  *on_face = *index == G_MAXUINT;
  if (*on_face)
    *index = find_index (self->face_knobs, knob);
  return self->laying && *index < self->laying->pairs->len;
}

static void
nudged (RakePointKnob *knob, int dx, int dy, RakeLayPhotoPage *self)
{
  gboolean on_face;
  double x, y, step;
  guint index;

  if (!take_knob (self, knob, &index, &on_face))
    return;
  /* A pixel of the photograph; on the drawing a tenth of a millimetre, or what can be seen. */
  step = on_face ? MAX (0.1, 0.25 / rake_flat_view_get_scale (self->outline_view)) : 1;
  get_place (self, index, on_face, &x, &y);
  put (self, index, on_face, x + dx * step, y + dy * step);
}

static void
confirmed (RakePointKnob *knob, RakeLayPhotoPage *self)
{
  gboolean on_face;
  double x, y;
  guint index;

  if (!take_knob (self, knob, &index, &on_face))
    return;
  get_place (self, index, FALSE, &x, &y);
  put (self, index, FALSE, x, y);
}

static void
discarded (RakePointKnob *knob, RakeLayPhotoPage *self)
{
  gboolean on_face;
  guint index;

  if (!take_knob (self, knob, &index, &on_face))
    return;
  rake_laying_remove (self->laying, index);
  rake_lay_changed (self);
}

static void
focus_moved (RakePointKnob *knob, GParamSpec *pspec, RakeLayPhotoPage *self)
{
  gboolean on_face;
  guint index;

  if (!take_knob (self, knob, &index, &on_face))
    return;
  if (!gtk_widget_has_focus (GTK_WIDGET (knob)) && self->held == G_MAXUINT)
    rake_flat_view_hide_loupe (get_view (self, on_face));
  show_knob (self, index, on_face);
}

/* --- both sides ---------------------------------------------------------------------------------- */

static void
add_knob (RakeLayPhotoPage *self, gboolean on_face)
{
  GPtrArray *knobs = on_face ? self->face_knobs : self->photo_knobs;
  RakePointKnob *knob = rake_point_knob_new (knobs->len + 1);

  g_signal_connect (knob, "nudged", G_CALLBACK (nudged), self);
  g_signal_connect (knob, "confirmed", G_CALLBACK (confirmed), self);
  g_signal_connect (knob, "discarded", G_CALLBACK (discarded), self);
  g_signal_connect (knob, "notify::has-focus", G_CALLBACK (focus_moved), self);
  g_ptr_array_add (knobs, knob);
}

static void
drop_last (RakeLayPhotoPage *self, gboolean on_face)
{
  GPtrArray *knobs = on_face ? self->face_knobs : self->photo_knobs;
  RakePointKnob *knob = g_ptr_array_steal_index (knobs, knobs->len - 1);

  g_signal_handlers_disconnect_by_data (knob, self);
  rake_flat_view_remove (get_view (self, on_face), GTK_WIDGET (knob));
}

void
rake_lay_show_knobs (RakeLayPhotoPage *self)
{
  guint n_pairs = self->laying ? self->laying->pairs->len : 0;

  for (int on_face = FALSE; on_face <= TRUE; on_face++)
    {
      GPtrArray *knobs = on_face ? self->face_knobs : self->photo_knobs;

      while (knobs->len > n_pairs)
        drop_last (self, on_face);
      while (knobs->len < n_pairs)
        add_knob (self, on_face);
      for (guint i = 0; i < n_pairs; i++)
        show_knob (self, i, on_face);
    }
}

void
rake_lay_drop_knobs (RakeLayPhotoPage *self)
{
  while (self->photo_knobs->len > 0)
    drop_last (self, FALSE);
  while (self->face_knobs->len > 0)
    drop_last (self, TRUE);
}

static gboolean
photo_down (RakePhotoView *view, double x, double y, RakeLayPhotoPage *self)
{
  if (self->mode == RAKE_LAY_MARKS)
    return rake_lay_marks_down (self, x, y);
  return rake_lay_knobs_down (self, FALSE, x, y);
}

static gboolean
face_down (RakeOutlineView *view, double x, double y, RakeLayPhotoPage *self)
{
  return self->mode == RAKE_LAY_POINTS && rake_lay_knobs_down (self, TRUE, x, y);
}

static void
hand_moved (gpointer view, double x, double y, RakeLayPhotoPage *self)
{
  if (self->mode == RAKE_LAY_MARKS)
    rake_lay_marks_move (self, x, y);
  else
    move_held (self, x, y);
}

static void
hand_up (gpointer view, double x, double y, RakeLayPhotoPage *self)
{
  if (self->mode == RAKE_LAY_MARKS)
    rake_lay_marks_up (self);
  else
    let_go (self);
}

static void
hand_cancelled (gpointer view, RakeLayPhotoPage *self)
{
  if (self->mode == RAKE_LAY_MARKS)
    rake_lay_marks_cancel (self);
  else
    give_back (self);
}

static void
hovered (RakePhotoView *view, double x, double y, RakeLayPhotoPage *self)
{
  rake_lay_marks_hover (self, x, y);
}

void
rake_lay_add_knob_hands (RakeLayPhotoPage *self)
{
  gpointer views[] = { self->photo_view, self->outline_view };

  g_signal_connect (self->photo_view, "hand-down", G_CALLBACK (photo_down), self);
  g_signal_connect (self->outline_view, "hand-down", G_CALLBACK (face_down), self);
  g_signal_connect (self->photo_view, "hovered", G_CALLBACK (hovered), self);
  for (guint i = 0; i < G_N_ELEMENTS (views); i++)
    {
      g_signal_connect (views[i], "hand-move", G_CALLBACK (hand_moved), self);
      g_signal_connect (views[i], "hand-up", G_CALLBACK (hand_up), self);
      g_signal_connect (views[i], "hand-cancelled", G_CALLBACK (hand_cancelled), self);
    }
}
