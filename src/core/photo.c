/* photo.c - turning a picture upright, and laying it on its face. */
#include <rakelight/photo.h>

#include <math.h>
#include <string.h>

#include "i18n.h"

/* --- turning ------------------------------------------------------------------------------------ */

RakeTurn
rake_photo_get_turn (const RakePhotoBody *photo)
{
  return isnan (photo->turn) ? 1 : (RakeTurn) photo->turn;
}

void
rake_turn_size (RakeTurn turn, double width, double height, double *upright_width,
                double *upright_height)
{
  gboolean is_quarter = turn >= 5;

  *upright_width = is_quarter ? height : width;
  *upright_height = is_quarter ? width : height;
}

void
rake_turn_to_upright (RakeTurn turn, double width, double height, double x, double y,
                      double *upright_x, double *upright_y)
{
  const double places[8][2] = {
    { x, y },          { width - x, y }, { width - x, height - y },  { x, height - y },
    { y, x },          { height - y, x }, { height - y, width - x }, { y, width - x },
  };

  g_return_if_fail (turn >= 1 && turn <= 8);
  *upright_x = places[turn - 1][0];
  *upright_y = places[turn - 1][1];
}

/* The opposite of each turn is itself, but for the two quarter turns. */
void
rake_turn_from_upright (RakeTurn turn, double width, double height, double upright_x,
                        double upright_y, double *x, double *y)
{
  RakeTurn back = turn == 6 ? 8 : turn == 8 ? 6 : turn;
  double upright_width, upright_height;

  g_return_if_fail (turn >= 1 && turn <= 8);
  rake_turn_size (turn, width, height, &upright_width, &upright_height);
  rake_turn_to_upright (back, upright_width, upright_height, upright_x, upright_y, x, y);
}

/* --- the map ------------------------------------------------------------------------------------- */

struct _RakePhotoMap
{
  double to_photo[9], to_face[9]; /* without the lens */
  double radial;
  double middle_x_px, middle_y_px, half_diagonal_px;
};

/* Where the lens's formula runs back on itself, and how far out it still tells something. */
#define LEAST_SLOPE 0.2
#define FURTHEST_OUT 100

/* FALSE for what lies on a line or a point. The sign of the last row of the result is such that it is
 * positive for what is in front of the camera. */
static gboolean
invert (const double m[9], double inverse[9])
{
  const double cofactors[9] = {
    m[4] * m[8] - m[5] * m[7], m[2] * m[7] - m[1] * m[8], m[1] * m[5] - m[2] * m[4],
    m[5] * m[6] - m[3] * m[8], m[0] * m[8] - m[2] * m[6], m[2] * m[3] - m[0] * m[5],
    m[3] * m[7] - m[4] * m[6], m[1] * m[6] - m[0] * m[7], m[0] * m[4] - m[1] * m[3],
  };
  double determinant = m[0] * cofactors[0] + m[1] * cofactors[3] + m[2] * cofactors[6];

  if (!isnormal (determinant))
    return FALSE;
  for (int i = 0; i < 9; i++)
    {
      inverse[i] = cofactors[i] / determinant;
      if (!isfinite (inverse[i]))
        return FALSE;
    }
  return TRUE;
}

RakePhotoMap *
rake_photo_map_new (const RakeRegistrationBody *registration, double width_px, double height_px)
{
  g_autofree RakePhotoMap *map = g_new0 (RakePhotoMap, 1);
  const double m[9] = { registration->m11, registration->m12, registration->m13,
                        registration->m21, registration->m22, registration->m23,
                        registration->m31, registration->m32, registration->m33 };

  for (int i = 0; i < 9; i++)
    map->to_photo[i] = m[i];
  map->radial = isnan (registration->radial) ? 0 : registration->radial;
  map->middle_x_px = width_px / 2;
  map->middle_y_px = height_px / 2;
  map->half_diagonal_px = hypot (width_px, height_px) / 2;
  if (!(map->half_diagonal_px > 0) || !invert (m, map->to_face))
    return NULL;
  return g_steal_pointer (&map);
}

RakePhotoMap *
rake_photo_map_new_for_photo (const RakePhoto *photo)
{
  if (photo->registration == NULL)
    return NULL;
  return rake_photo_map_new (&photo->registration->registration, photo->entry->photo.width_px,
                             photo->entry->photo.height_px);
}

void
rake_photo_map_free (RakePhotoMap *map)
{
  g_free (map);
}

static gboolean
project (const double m[9], double x, double y, double *to_x, double *to_y)
{
  double w = m[6] * x + m[7] * y + m[8];
  double found_x = (m[0] * x + m[1] * y + m[2]) / w, found_y = (m[3] * x + m[4] * y + m[5]) / w;

  if (!(w > 0) || !isfinite (found_x) || !isfinite (found_y))
    return FALSE;
  *to_x = found_x;
  *to_y = found_y;
  return TRUE;
}

gboolean
rake_photo_map_to_photo (const RakePhotoMap *map, double x_mm, double y_mm, double *x_px,
                         double *y_px)
{
  double x, y, u, v, r2;

  if (!project (map->to_photo, x_mm, y_mm, &x, &y))
    return FALSE;
  u = (x - map->middle_x_px) / map->half_diagonal_px;
  v = (y - map->middle_y_px) / map->half_diagonal_px;
  r2 = u * u + v * v;
  if (!(r2 < FURTHEST_OUT * FURTHEST_OUT) || !(1 + 3 * map->radial * r2 > LEAST_SLOPE))
    return FALSE;
  *x_px = map->middle_x_px + map->half_diagonal_px * u * (1 + map->radial * r2);
  *y_px = map->middle_y_px + map->half_diagonal_px * v * (1 + map->radial * r2);
  return TRUE;
}

/* Undoes the lens: r (1 + radial r²) = seen, by Newton's steps. */
static gboolean
straighten (const RakePhotoMap *map, double seen, double *scale)
{
  double r = seen;

  *scale = 1;
  if (map->radial == 0 || seen == 0)
    return TRUE;
  for (int i = 0; i < 30; i++)
    {
      double slope = 1 + 3 * map->radial * r * r;

      if (!(slope > LEAST_SLOPE / 2))
        return FALSE;
      r -= (r * (1 + map->radial * r * r) - seen) / slope;
    }
  *scale = r / seen;
  return isfinite (*scale) && *scale > 0;
}

gboolean
rake_photo_map_to_face (const RakePhotoMap *map, double x_px, double y_px, double *x_mm,
                        double *y_mm)
{
  double u = (x_px - map->middle_x_px) / map->half_diagonal_px;
  double v = (y_px - map->middle_y_px) / map->half_diagonal_px;
  double seen = hypot (u, v), scale;

  if (!(seen < FURTHEST_OUT) || !straighten (map, seen, &scale))
    return FALSE;
  return project (map->to_face, map->middle_x_px + map->half_diagonal_px * u * scale,
                  map->middle_y_px + map->half_diagonal_px * v * scale, x_mm, y_mm);
}

RakeShape *
rake_photo_map_draw (const RakePhotoMap *map, RakeShapeKind kind, const double *points_px,
                     guint n_points, GError **error)
{
  g_autofree double *points_mm = g_new (double, 2 * (gsize) MAX (n_points, 1));

  for (guint i = 0; i < n_points; i++)
    if (!rake_photo_map_to_face (map, points_px[2 * i], points_px[2 * i + 1], &points_mm[2 * i],
                                 &points_mm[2 * i + 1]))
      {
        g_set_error (error, RAKE_SHAPE_ERROR, RAKE_SHAPE_ERROR_INVALID,
                     _ ("what was drawn goes off the face that the photograph shows"));
        return NULL;
      }
  switch (kind)
    {
    case RAKE_SHAPE_POINT:
      g_return_val_if_fail (n_points == 1, NULL);
      return rake_shape_new_point (points_mm[0], points_mm[1], error);
    case RAKE_SHAPE_LINE:
      return rake_shape_new_line (points_mm, n_points, error);
    case RAKE_SHAPE_AREA:
      return rake_shape_new_area (points_mm, n_points, error);
    }
  g_return_val_if_reached (NULL);
}

/* --- a name for its file --------------------------------------------------------------------------- */

/* What a file's name may be made of, on any system. */
static char *
make_plain (const char *text)
{
  char *plain = g_strdup (text);

  for (char *at = plain; *at != '\0'; at++)
    if (strchr ("/\\:*?\"<>| ", *at) != NULL || g_ascii_iscntrl (*at))
      *at = '-';
  return plain;
}

char *
rake_photo_make_file_name (const RakeJob *job, const RakePhoto *photo, const char *ending)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);
  const RakeStage *stage = rake_job_find_stage (job, photo->placed->photo.stage);
  char time[RAKE_TIME_TEXT_LENGTH + 1];
  g_autoptr (GString) name = g_string_new (facts != NULL ? facts->name : "job");
  guint number = 1;

  while (number < rake_job_get_n_photos (job) && rake_job_get_photo (job, number - 1) != photo)
    number++;
  rake_time_to_text (photo->entry->happened_ms, photo->entry->utc_offset_minutes, time);
  if (photo->face != NULL)
    g_string_append_printf (name, "-%s", photo->face->name);
  if (stage != NULL)
    g_string_append_printf (
        name, "-%s", *stage->grade != '\0' ? stage->grade : rake_action_get_label (stage->action));
  g_string_append_printf (name, "-%.10s-%u%s", time, number, ending);
  return make_plain (name->str);
}
