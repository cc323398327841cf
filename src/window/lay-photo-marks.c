/* lay-photo-marks.c - marks drawn on the photograph with the brush in hand. */
#include "lay-photo-private.h"

#include "brush-bar.h"
#include "say.h"
#include "theme.h"

#include <math.h>
#include "words.h"

/* The view's pixels between two points of a mark, and what is still a tap. */
#define POINT_GAP_PX 3.0
#define TAP_REACH_PX 8.0

static RakeSession *
get_session (RakeLayPhotoPage *self)
{
  return rake_session_view_get_session (self);
}

static gboolean
is_line (RakeMarkKind kind)
{
  return kind == RAKE_MARK_SCRATCH || kind == RAKE_MARK_WITNESS_LINE;
}

/* --- what was drawn ------------------------------------------------------------------------------- */

/* The points on the face; NULL where one does not lie on its side of the horizon. */
static double *
lay_points (RakeLayPhotoPage *self)
{
  const double *points_px = (const double *) (gpointer) self->drawn_px->data;
  guint n_points = self->drawn_px->len / 2;
  g_autofree double *points_mm = g_new (double, 2 * (gsize) n_points + 1);

  for (guint i = 0; i < n_points; i++)
    if (!rake_photo_map_to_face (self->map, points_px[2 * i], points_px[2 * i + 1],
                                 &points_mm[2 * i], &points_mm[2 * i + 1]))
      return NULL;
  return g_steal_pointer (&points_mm);
}

static const RakeShape *
get_drawn (RakeLayPhotoPage *self)
{
  const RakeBench *bench = rake_session_get_bench (get_session (self));
  guint n_points = self->drawn_px->len / 2;
  g_autofree double *points_mm = NULL;

  if (self->drawn || !self->map || n_points == 0 || bench->brush == RAKE_MARK_UNSAID)
    return self->drawn;
  if (is_line (bench->brush))
    {
      if (n_points > 1)
        self->drawn =
            rake_photo_map_draw (self->map, RAKE_SHAPE_LINE,
                                 (const double *) (gpointer) self->drawn_px->data, n_points, NULL);
      return self->drawn;
    }
  points_mm = lay_points (self);
  if (points_mm)
    self->drawn = rake_shape_new_brush_stroke (points_mm, n_points, bench->brush_radius_mm, NULL);
  return self->drawn;
}

static void
drop_drawn (RakeLayPhotoPage *self)
{
  g_array_set_size (self->drawn_px, 0);
  g_clear_pointer (&self->drawn, rake_shape_unref);
  rake_photo_view_queue_overlays (self->photo_view);
}

static void
add_point (RakeLayPhotoPage *self, double x, double y)
{
  guint n = self->drawn_px->len;
  double file_x, file_y;

  rake_photo_view_turn_to_file (self->photo_view, x, y, &file_x, &file_y);
  if (n >= 2 && hypot (g_array_index (self->drawn_px, double, n - 2) - file_x,
                       g_array_index (self->drawn_px, double, n - 1) - file_y) *
                        rake_flat_view_get_scale (self->photo_view) <
                    POINT_GAP_PX)
    return;
  g_array_append_val (self->drawn_px, file_x);
  g_array_append_val (self->drawn_px, file_y);
  g_clear_pointer (&self->drawn, rake_shape_unref);
  rake_photo_view_queue_overlays (self->photo_view);
}

/* --- the hand ------------------------------------------------------------------------------------- */

static const RakeZone *
find_zone_under (RakeLayPhotoPage *self, double file_x, double file_y)
{
  const RakePhoto *photo = rake_lay_find_photo (self);
  double x_mm, y_mm;

  if (!photo || !photo->face || !self->map ||
      !rake_photo_map_to_face (self->map, file_x, file_y, &x_mm, &y_mm))
    return NULL;
  return rake_face_find_zone_at (photo->face, x_mm, y_mm);
}

gboolean
rake_lay_marks_down (RakeLayPhotoPage *self, double x, double y)
{
  const RakeBench *bench = rake_session_get_bench (get_session (self));

  drop_drawn (self);
  if (!self->map || (bench->brush == RAKE_MARK_UNSAID && !bench->brush_is_uniform))
    return FALSE;
  add_point (self, x, y);
  return TRUE;
}

void
rake_lay_marks_move (RakeLayPhotoPage *self, double x, double y)
{
  add_point (self, x, y);
}

/* How far the hand went at all, in the view's pixels. */
static double
get_reach_px (RakeLayPhotoPage *self)
{
  const double *points = (const double *) (gpointer) self->drawn_px->data;
  double reach = 0;

  for (guint i = 1; i < self->drawn_px->len / 2; i++)
    reach = MAX (reach, hypot (points[2 * i] - points[0], points[2 * i + 1] - points[1]));
  return reach * rake_flat_view_get_scale (self->photo_view);
}

static void
record (RakeLayPhotoPage *self)
{
  RakeSession *session = get_session (self);
  const RakeShape *drawn = get_drawn (self);
  g_autoptr (RakeShape) shape = drawn ? rake_shape_ref ((RakeShape *) drawn) : NULL;

  /* Not left on screen while the session commits: what is not recorded must not show. */
  drop_drawn (self);
  if (shape)
    rake_session_mark_on_photo (session, self->photo, rake_session_get_bench (session)->brush,
                                shape);
}

/* As on the map: a tap with a state's brush says it of the whole zone. */
static void
tap (RakeLayPhotoPage *self)
{
  RakeSession *session = get_session (self);
  RakeState state = rake_brush_get_state (rake_session_get_bench (session));
  const double *at = (const double *) (gpointer) self->drawn_px->data;
  const RakeZone *zone = find_zone_under (self, at[0], at[1]);

  if (!zone)
    return;
  g_array_set_size (self->drawn_px, 2);
  g_clear_pointer (&self->drawn, rake_shape_unref);
  if (state != RAKE_STATE_UNSAID)
    rake_session_say_state (session, zone->id, state, NAN, NAN);
  else
    record (self);
}

void
rake_lay_marks_up (RakeLayPhotoPage *self)
{
  if (self->drawn_px->len >= 2 && get_reach_px (self) <= TAP_REACH_PX)
    tap (self);
  else
    record (self);
  drop_drawn (self);
}

void
rake_lay_marks_cancel (RakeLayPhotoPage *self)
{
  drop_drawn (self);
}

void
rake_lay_marks_hover (RakeLayPhotoPage *self, double x, double y)
{
  g_autofree char *words = NULL;
  const RakeZone *zone = NULL;
  double x_mm = NAN, y_mm = NAN;

  if (isfinite (x) && self->map)
    {
      rake_photo_view_turn_to_file (self->photo_view, x, y, &x, &y);
      if (rake_photo_map_to_face (self->map, x, y, &x_mm, &y_mm))
        zone = find_zone_under (self, x, y);
    }
  if (zone)
    /* Translators: the zone under the pointer, and the place on the face in mm. */
    words = g_strdup_printf (_ ("%s, at %.0f, %.0f mm"), zone->name, x_mm, y_mm);
  else
    words = g_strdup (isfinite (x_mm) ? _ ("beside the piece") : "");
  if (g_strcmp0 (words, gtk_label_get_label (GTK_LABEL (self->under_pointer))) != 0)
    gtk_label_set_label (GTK_LABEL (self->under_pointer), words);
}

/* --- drawing -------------------------------------------------------------------------------------- */

static void
draw_shape (RakeLayPhotoPage *self, cairo_t *cr, const RakeShape *shape, RakeColour colour)
{
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  if (rake_shape_get_kind (shape) == RAKE_SHAPE_POINT)
    {
      double x, y;

      rake_lay_trace (self, cr, shape);
      if (!cairo_has_current_point (cr))
        return;
      cairo_get_current_point (cr, &x, &y);
      cairo_new_path (cr);
      cairo_arc (cr, x, y, 5, 0, 2 * G_PI);
    }
  else
    rake_lay_trace (self, cr, shape);
  if (rake_shape_get_kind (shape) == RAKE_SHAPE_AREA)
    {
      cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, 0.25);
      cairo_fill_preserve (cr);
    }
  cairo_set_source_rgba (cr, 0, 0, 0, 0.7);
  cairo_set_line_width (cr, 4);
  cairo_stroke_preserve (cr);
  cairo_set_source_rgb (cr, colour.red, colour.green, colour.blue);
  cairo_set_line_width (cr, 2);
  cairo_stroke (cr);
}

void
rake_lay_paint_marks (RakeLayPhotoPage *self, cairo_t *cr)
{
  const RakePhoto *photo = rake_lay_find_photo (self);
  const RakePalette *palette = rake_palette_get (RAKE_THEME_DARK);
  const RakeShape *drawn = get_drawn (self);

  for (guint i = 0; photo && photo->face && i < photo->face->zones->len; i++)
    {
      const RakeZone *zone = photo->face->zones->pdata[i];

      for (guint k = 0; k < zone->marks->len; k++)
        {
          const RakeMark *mark = zone->marks->pdata[k];
          if (!mark->closed_by)
            draw_shape (self, cr, mark->shape, (RakeColour){ 1, 1, 1, 1 });
        }
    }
  if (drawn)
    draw_shape (self, cr, drawn, palette->lamp_fill);
}
