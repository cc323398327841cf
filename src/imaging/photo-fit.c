/* photo-fit.c - the projection by least squares: a normalised linear start, then Levenberg's steps
 * on the distances in the picture. */
#include <rakelight/photo-fit.h>

#include "photo-fit-private.h"

#include "../core/i18n.h"

#include <math.h>
#include <string.h>

/* How far lenses bend, as a standard deviation: 2 in a hundred at the picture's corner; and how far
 * off a click is. With few pairs the radial term would otherwise explain the clicking. */
#define RADIAL_SD 0.02
#define CLICK_SD_PX 1.0

#define MOST_RADIAL 0.3
#define LIMIT 1e6
#define MAX_STEPS 60
#define N_PROJECTION 8
#define N_ALL 9

typedef struct
{
  double x, y, scale; /* u = (x - mean) * scale */
} Normal;

struct _RakePhotoFit
{
  double to_image[9], to_body[9]; /* without the radial term; halves of the diagonal and mm */
  double radial;
  double middle_x_px, middle_y_px, half_diagonal_px;
  RakePhotoPair *pairs;
  guint n_pairs;
};

G_DEFINE_QUARK (rake-photo-fit-error, rake_photo_fit_error)

/* Solves the n × n system in place by elimination, largest pivot first. FALSE when it is singular
 * beside its own largest number. */
static gboolean
solve (double *a, double *b, guint n)
{
  double largest = 0;

  for (guint i = 0; i < n * n; i++)
    largest = fmax (largest, fabs (a[i]));
  for (guint k = 0; k < n; k++)
    {
      guint best = k;

      for (guint i = k + 1; i < n; i++)
        if (fabs (a[i * n + k]) > fabs (a[best * n + k]))
          best = i;
      if (!(fabs (a[best * n + k]) > 1e-13 * largest))
        return FALSE;
      for (guint j = 0; j < n && best != k; j++)
        {
          double held = a[k * n + j];
          a[k * n + j] = a[best * n + j];
          a[best * n + j] = held;
        }
      if (best != k)
        {
          double held = b[k];
          b[k] = b[best];
          b[best] = held;
        }
      for (guint i = k + 1; i < n; i++)
        {
          double factor = a[i * n + k] / a[k * n + k];

          for (guint j = k; j < n; j++)
            a[i * n + j] -= factor * a[k * n + j];
          b[i] -= factor * b[k];
        }
    }
  for (guint i = n; i-- > 0;)
    {
      for (guint j = i + 1; j < n; j++)
        b[i] -= a[i * n + j] * b[j];
      b[i] /= a[i * n + i];
    }
  return TRUE;
}

static void
multiply (const double *a, const double *b, double *product)
{
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++)
      product[3 * i + j] = a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
}

static gboolean
invert (const double *m, double *inverse)
{
  double determinant;

  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++)
      {
        int a = (j + 1) % 3, b = (j + 2) % 3, c = (i + 1) % 3, d = (i + 2) % 3;
        inverse[3 * i + j] = m[3 * a + c] * m[3 * b + d] - m[3 * a + d] * m[3 * b + c];
      }
  determinant = m[0] * inverse[0] + m[1] * inverse[3] + m[2] * inverse[6];
  if (!(fabs (determinant) > 0))
    return FALSE;
  for (int i = 0; i < 9; i++)
    inverse[i] /= determinant;
  return TRUE;
}

static gboolean
project (const double *m, double x, double y, double *u, double *v)
{
  double w = m[6] * x + m[7] * y + m[8];

  if (!(w > 1e-12))
    return FALSE;
  *u = (m[0] * x + m[1] * y + m[2]) / w;
  *v = (m[3] * x + m[4] * y + m[5]) / w;
  return TRUE;
}

static Normal
normalise_body (const RakePhotoPair *pairs, guint n)
{
  Normal normal = { 0 };
  double distance = 0;

  for (guint i = 0; i < n; i++)
    {
      normal.x += pairs[i].body_x_mm / n;
      normal.y += pairs[i].body_y_mm / n;
    }
  for (guint i = 0; i < n; i++)
    distance += hypot (pairs[i].body_x_mm - normal.x, pairs[i].body_y_mm - normal.y) / n;
  normal.scale = distance > 0 ? G_SQRT2 / distance : 0;
  return normal;
}

static double *
normalise_pairs (const RakePhotoFit *self, const Normal *normal)
{
  double *points = g_new (double, 4 * self->n_pairs);

  for (guint i = 0; i < self->n_pairs; i++)
    {
      const RakePhotoPair *pair = &self->pairs[i];

      points[4 * i] = (pair->body_x_mm - normal->x) * normal->scale;
      points[4 * i + 1] = (pair->body_y_mm - normal->y) * normal->scale;
      points[4 * i + 2] = (pair->image_x_px - self->middle_x_px) / self->half_diagonal_px;
      points[4 * i + 3] = (pair->image_y_px - self->middle_y_px) / self->half_diagonal_px;
    }
  return points;
}

/* What was seen of one place, as the solver takes it: along one direction of the picture. A click
 * is two of them, a bit of the outline one, since along itself it says nothing. */
typedef struct
{
  double x, y;     /* on the face, normalised */
  double u, v;     /* in the picture, normalised */
  double to_u, to_v; /* the direction, of length 1 */
  double weight;
} Sight;

static GArray *
new_sights (const double *points, guint n_points)
{
  GArray *sights = g_array_new (FALSE, FALSE, sizeof (Sight));

  for (guint i = 0; i < n_points; i++)
    {
      const double *p = points + 4 * i;
      const Sight both[] = { { p[0], p[1], p[2], p[3], 1, 0, 1 },
                             { p[0], p[1], p[2], p[3], 0, 1, 1 } };
      g_array_append_vals (sights, both, 2);
    }
  return sights;
}

/* Adds one equation's row to the sums of the least squares. */
static void
add_row (double *a, double *b, const double *row, double value, guint n)
{
  for (guint i = 0; i < n; i++)
    {
      for (guint j = 0; j < n; j++)
        a[i * n + j] += row[i] * row[j];
      b[i] += row[i] * value;
    }
}

/* The linear start. The last number of the matrix can be 1, since the middle of the pairs is at 0, 0
 * and in front of the camera. */
static gboolean
start (const double *points, guint n_points, double *h)
{
  double a[N_PROJECTION * N_PROJECTION] = { 0 }, b[N_PROJECTION] = { 0 };

  for (guint i = 0; i < n_points; i++)
    {
      double x = points[4 * i], y = points[4 * i + 1], u = points[4 * i + 2], v = points[4 * i + 3];
      const double row_u[] = { x, y, 1, 0, 0, 0, -u * x, -u * y };
      const double row_v[] = { 0, 0, 0, x, y, 1, -v * x, -v * y };

      add_row (a, b, row_u, u, N_PROJECTION);
      add_row (a, b, row_v, v, N_PROJECTION);
    }
  if (!solve (a, b, N_PROJECTION))
    return FALSE;
  memcpy (h, b, sizeof b);
  h[8] = 1;
  return TRUE;
}

/* Sums over what was seen at the parameters @h (8 of the projection, then the radial term): the
 * squared distance, and with @a not NULL its derivatives. FALSE when a place lies behind the camera. */
static gboolean
sum_up (const GArray *sights, const double *h, guint n, double radial_weight, double *a, double *b,
        double *sum)
{
  const double matrix[] = { h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1 };
  double radial = n == N_ALL ? h[8] : 0;

  *sum = n == N_ALL ? radial_weight * radial * radial : 0;
  if (a != NULL && n == N_ALL)
    {
      a[N_ALL * N_ALL - 1] += radial_weight;
      b[N_ALL - 1] -= radial_weight * radial;
    }
  for (guint i = 0; i < sights->len; i++)
    {
      const Sight *sight = &g_array_index (sights, Sight, i);
      double x = sight->x, y = sight->y, u, v, r2, w, off, row[N_ALL], root = sqrt (sight->weight);

      if (!project (matrix, x, y, &u, &v))
        return FALSE;
      r2 = u * u + v * v;
      off = root * (sight->to_u * (sight->u - u * (1 + radial * r2)) +
                    sight->to_v * (sight->v - v * (1 + radial * r2)));
      *sum += off * off;
      if (a == NULL)
        continue;
      w = h[6] * x + h[7] * y + 1;
      {
        /* The seen place by the straight one, then by the parameters. */
        double by_u = root * (sight->to_u * (1 + radial * (r2 + 2 * u * u)) +
                              sight->to_v * 2 * radial * u * v);
        double by_v = root * (sight->to_v * (1 + radial * (r2 + 2 * v * v)) +
                              sight->to_u * 2 * radial * u * v);
        double both = -(by_u * u + by_v * v);
        const double of[] = { by_u * x, by_u * y, by_u, by_v * x, by_v * y, by_v, both * x,
                              both * y };

        for (guint k = 0; k < N_PROJECTION; k++)
          row[k] = of[k] / w;
        row[8] = root * r2 * (sight->to_u * u + sight->to_v * v);
        add_row (a, b, row, off, n);
      }
    }
  return TRUE;
}

/* Steps downhill from @h until nothing is gained. */
static void
refine (const GArray *sights, double *h, guint n, double radial_weight)
{
  double damping = 1e-3, sum;

  if (!sum_up (sights, h, n, radial_weight, NULL, NULL, &sum))
    return;
  for (guint step = 0; step < MAX_STEPS && damping < 1e12; step++)
    {
      double a[N_ALL * N_ALL] = { 0 }, b[N_ALL] = { 0 }, next[N_ALL], next_sum = 0;

      sum_up (sights, h, n, radial_weight, a, b, &next_sum);
      for (guint i = 0; i < n; i++)
        a[i * n + i] *= 1 + damping;
      if (!solve (a, b, n))
        return;
      for (guint i = 0; i < n; i++)
        next[i] = h[i] + b[i];
      if (sum_up (sights, next, n, radial_weight, NULL, NULL, &next_sum) && next_sum <= sum)
        {
          gboolean is_done = sum - next_sum <= 1e-14 * sum;

          memcpy (h, next, n * sizeof *h);
          sum = next_sum;
          damping = fmax (damping * 0.1, 1e-15);
          if (is_done)
            return;
        }
      else
        damping *= 10;
    }
}

static gboolean
check_pairs (const RakePhotoPair *pairs, guint n_pairs, GError **error)
{
  if (n_pairs < RAKE_PHOTO_FIT_MIN_PAIRS || n_pairs > RAKE_PHOTO_FIT_MAX_PAIRS)
    {
      g_set_error (error, RAKE_PHOTO_FIT_ERROR, RAKE_PHOTO_FIT_ERROR_TOO_FEW,
                   _ ("A photograph is laid on the drawing by %d to %d pairs of points, not by %u"),
                   RAKE_PHOTO_FIT_MIN_PAIRS, RAKE_PHOTO_FIT_MAX_PAIRS, n_pairs);
      return FALSE;
    }
  for (guint i = 0; i < n_pairs; i++)
    {
      const double numbers[] = { pairs[i].image_x_px, pairs[i].image_y_px, pairs[i].body_x_mm,
                                 pairs[i].body_y_mm };

      for (guint k = 0; k < G_N_ELEMENTS (numbers); k++)
        if (!isfinite (numbers[k]) || fabs (numbers[k]) > LIMIT)
          {
            g_set_error (error, RAKE_PHOTO_FIT_ERROR, RAKE_PHOTO_FIT_ERROR_NOT_FINITE,
                         _ ("Pair %u of points lies nowhere near the picture or the drawing"),
                         i + 1);
            return FALSE;
          }
    }
  return TRUE;
}

static gboolean
fail_to_fit (GError **error)
{
  g_set_error (error, RAKE_PHOTO_FIT_ERROR, RAKE_PHOTO_FIT_ERROR_NO_FIT,
               _ ("No photograph of a flat face has its points like this; set them near the four "
                  "corners, no three in a line, each on the same spot in both"));
  return FALSE;
}

/* Is every pair in front of the camera, and the face seen from its own side, not through it? Then
 * the projection keeps the sense of turning everywhere. */
static gboolean
is_seen_from_above (const RakePhotoFit *self)
{
  const double *m = self->to_image;
  double determinant = m[0] * (m[4] * m[8] - m[5] * m[7]) - m[1] * (m[3] * m[8] - m[5] * m[6]) +
                       m[2] * (m[3] * m[7] - m[4] * m[6]);

  for (guint i = 0; i < self->n_pairs; i++)
    if (!(m[6] * self->pairs[i].body_x_mm + m[7] * self->pairs[i].body_y_mm + m[8] > 1e-9))
      return FALSE;
  return determinant > 0;
}

static double
weigh_radial (const RakePhotoFit *self)
{
  double click_sd = CLICK_SD_PX / self->half_diagonal_px;

  return click_sd * click_sd / (RADIAL_SD * RADIAL_SD);
}

/* Takes the parameters @h over. FALSE when they are no camera's. */
static gboolean
settle (RakePhotoFit *self, const Normal *normal, const double *h, double radial)
{
  const double s = normal->scale;
  const double to_normal[] = { s, 0, -s * normal->x, 0, s, -s * normal->y, 0, 0, 1 };
  double matrix[9];

  memcpy (matrix, h, N_PROJECTION * sizeof *h);
  matrix[8] = 1;
  multiply (matrix, to_normal, self->to_image);
  self->radial = radial;
  for (int i = 0; i < 9; i++)
    if (!isfinite (self->to_image[i]))
      return FALSE;
  return invert (self->to_image, self->to_body) && is_seen_from_above (self) &&
         fabs (radial) <= MOST_RADIAL;
}

static gboolean
fit (RakePhotoFit *self, RakePhotoFitFlags flags, GError **error)
{
  Normal normal = normalise_body (self->pairs, self->n_pairs);
  double h[N_ALL] = { 0 };
  g_autofree double *points = NULL;
  g_autoptr (GArray) sights = NULL;

  if (!(normal.scale > 0) || !isfinite (normal.scale))
    return fail_to_fit (error);
  points = normalise_pairs (self, &normal);
  if (!start (points, self->n_pairs, h))
    return fail_to_fit (error);
  sights = new_sights (points, self->n_pairs);
  refine (sights, h, N_PROJECTION, 0);
  h[8] = 0;
  if ((flags & RAKE_PHOTO_FIT_RADIAL) != 0 && self->n_pairs >= 6)
    refine (sights, h, N_ALL, weigh_radial (self));
  return settle (self, &normal, h, h[8]) || fail_to_fit (error);
}

RakePhotoFit *
rake_photo_fit_new_with_edges (const RakePhotoFit *fit, const RakePhotoEdge *edges, guint n_edges)
{
  g_autoptr (RakePhotoFit) self = g_memdup2 (fit, sizeof *fit);
  Normal normal = normalise_body (fit->pairs, fit->n_pairs);
  g_autofree double *points = normalise_pairs (fit, &normal);
  g_autoptr (GArray) sights = new_sights (points, fit->n_pairs);
  const double s = 1 / normal.scale;
  const double from_normal[] = { s, 0, normal.x, 0, s, normal.y, 0, 0, 1 };
  double matrix[9], h[N_ALL];

  self->pairs = g_memdup2 (fit->pairs, fit->n_pairs * sizeof *fit->pairs);
  for (guint i = 0; i < n_edges; i++)
    {
      const RakePhotoEdge *edge = &edges[i];
      const Sight sight = { (edge->x_mm - normal.x) * normal.scale,
                            (edge->y_mm - normal.y) * normal.scale,
                            (edge->x_px - fit->middle_x_px) / fit->half_diagonal_px,
                            (edge->y_px - fit->middle_y_px) / fit->half_diagonal_px,
                            edge->to_x, edge->to_y, edge->weight };
      g_array_append_val (sights, sight);
    }
  multiply (fit->to_image, from_normal, matrix);
  for (int i = 0; i < N_PROJECTION; i++)
    h[i] = matrix[i] / matrix[8];
  h[8] = fit->radial;
  refine (sights, h, N_ALL, weigh_radial (fit));
  return settle (self, &normal, h, h[8]) ? g_steal_pointer (&self) : NULL;
}

RakePhotoFit *
rake_photo_fit_new (const RakePhotoPair *pairs, guint n_pairs, int width, int height,
                    RakePhotoFitFlags flags, GError **error)
{
  g_autoptr (RakePhotoFit) self = NULL;

  g_return_val_if_fail (pairs != NULL || n_pairs == 0, NULL);
  g_return_val_if_fail (width >= 1 && height >= 1, NULL);
  if (!check_pairs (pairs, n_pairs, error))
    return NULL;
  self = g_new0 (RakePhotoFit, 1);
  self->pairs = g_memdup2 (pairs, n_pairs * sizeof *pairs);
  self->n_pairs = n_pairs;
  self->middle_x_px = 0.5 * width;
  self->middle_y_px = 0.5 * height;
  self->half_diagonal_px = 0.5 * hypot (width, height);
  if (!fit (self, flags, error))
    return NULL;
  return g_steal_pointer (&self);
}

void
rake_photo_fit_free (RakePhotoFit *self)
{
  if (self == NULL)
    return;
  g_free (self->pairs);
  g_free (self);
}

gboolean
rake_photo_fit_to_image (const RakePhotoFit *self, double x_mm, double y_mm, double *x_px,
                         double *y_px)
{
  double u, v, r2, bend;

  g_return_val_if_fail (self != NULL, FALSE);
  if (!project (self->to_image, x_mm, y_mm, &u, &v))
    return FALSE;
  r2 = u * u + v * v;
  /* Further out than this a bent lens folds the picture over. */
  if (!(1 + 3 * self->radial * r2 > 0.2) || r2 > 1e4)
    return FALSE;
  bend = 1 + self->radial * r2;
  *x_px = self->middle_x_px + self->half_diagonal_px * u * bend;
  *y_px = self->middle_y_px + self->half_diagonal_px * v * bend;
  return TRUE;
}

gboolean
rake_photo_fit_to_body (const RakePhotoFit *self, double x_px, double y_px, double *x_mm,
                        double *y_mm)
{
  double u, v, seen, r;

  g_return_val_if_fail (self != NULL, FALSE);
  u = (x_px - self->middle_x_px) / self->half_diagonal_px;
  v = (y_px - self->middle_y_px) / self->half_diagonal_px;
  seen = hypot (u, v);
  r = seen;
  if (!(seen < 100))
    return FALSE;
  /* Newton's steps for r (1 + radial r²) = seen. */
  for (int i = 0; i < 20 && self->radial != 0; i++)
    {
      double slope = 1 + 3 * self->radial * r * r;

      if (!(slope > 0.1))
        return FALSE;
      r -= (r * (1 + self->radial * r * r) - seen) / slope;
    }
  if (seen > 0)
    {
      u *= r / seen;
      v *= r / seen;
    }
  /* The inverse keeps its sign: in front of the camera its last row is positive. */
  return project (self->to_body, u, v, x_mm, y_mm);
}

guint
rake_photo_fit_get_n_pairs (const RakePhotoFit *self)
{
  g_return_val_if_fail (self != NULL, 0);
  return self->n_pairs;
}

double
rake_photo_fit_get_residual_px (const RakePhotoFit *self, guint index)
{
  const RakePhotoPair *pair;
  double x_px, y_px;

  g_return_val_if_fail (self != NULL && index < self->n_pairs, 0);
  pair = &self->pairs[index];
  if (!rake_photo_fit_to_image (self, pair->body_x_mm, pair->body_y_mm, &x_px, &y_px))
    return self->half_diagonal_px;
  return hypot (x_px - pair->image_x_px, y_px - pair->image_y_px);
}

double
rake_photo_fit_get_residual_mm (const RakePhotoFit *self, guint index)
{
  const RakePhotoPair *pair;
  double x_mm, y_mm;

  g_return_val_if_fail (self != NULL && index < self->n_pairs, 0);
  pair = &self->pairs[index];
  if (!rake_photo_fit_to_body (self, pair->image_x_px, pair->image_y_px, &x_mm, &y_mm))
    return LIMIT;
  return hypot (x_mm - pair->body_x_mm, y_mm - pair->body_y_mm);
}

double
rake_photo_fit_get_rms_px (const RakePhotoFit *self)
{
  double sum = 0;

  g_return_val_if_fail (self != NULL, 0);
  for (guint i = 0; i < self->n_pairs; i++)
    {
      double residual = rake_photo_fit_get_residual_px (self, i);
      sum += residual * residual;
    }
  return sqrt (sum / self->n_pairs);
}

void
rake_photo_fit_get_matrix (const RakePhotoFit *self, double matrix[9])
{
  const double d = self->half_diagonal_px;
  const double to_px[] = { d, 0, self->middle_x_px, 0, d, self->middle_y_px, 0, 0, 1 };
  double length = 0, last;

  g_return_if_fail (self != NULL);
  multiply (to_px, self->to_image, matrix);
  for (int i = 0; i < 9; i++)
    length += matrix[i] * matrix[i];
  last = fabs (matrix[8]) > 1e-9 * sqrt (length) ? matrix[8] : sqrt (length);
  for (int i = 0; i < 9; i++)
    matrix[i] /= last;
}

void
rake_photo_fit_get_normal_matrix (const RakePhotoFit *self, double matrix[9])
{
  memcpy (matrix, self->to_image, sizeof self->to_image);
}

double
rake_photo_fit_get_radial (const RakePhotoFit *self)
{
  g_return_val_if_fail (self != NULL, 0);
  return self->radial;
}

double
rake_photo_fit_get_mm_per_px (const RakePhotoFit *self, double x_mm, double y_mm)
{
  double x, y, ax, ay, bx, by;
  double xx, yy, xy, least;

  g_return_val_if_fail (self != NULL, 0);
  if (!rake_photo_fit_to_image (self, x_mm, y_mm, &x, &y) ||
      !rake_photo_fit_to_image (self, x_mm + 0.01, y_mm, &ax, &ay) ||
      !rake_photo_fit_to_image (self, x_mm, y_mm + 0.01, &bx, &by))
    return 0;
  /* The lesser singular value of the derivative: pixels a millimetre where they are fewest. */
  xx = ((ax - x) * (ax - x) + (ay - y) * (ay - y)) / 1e-4;
  yy = ((bx - x) * (bx - x) + (by - y) * (by - y)) / 1e-4;
  xy = ((ax - x) * (bx - x) + (ay - y) * (by - y)) / 1e-4;
  least = 0.5 * (xx + yy - hypot (xx - yy, 2 * xy));
  return least > 1e-12 ? 1 / sqrt (least) : 0;
}
