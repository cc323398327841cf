/* read-scratches.c - long thin lines, followed from their strongest bit both ways. */
#include "line-filter.h"

#include "../core/i18n.h"

#include <math.h>

#define START_STRENGTH 3.4f
#define GO_ON_STRENGTH 1.9f
/* The mean strength along it and what a longer line may lack of it, per mm. */
#define MEAN_STRENGTH 3.45
#define STRENGTH_PER_MM 0.005
#define LEAST_MM 22.0
#define STEP_MM 1.0
#define GAP_STEPS 8
#define MOST_POINTS 2000
#define CORRIDOR_MM 2.5
#define RIM_MM 3.0

/* What is found is looked at anew along a smooth curve, a piece after the other. */
#define CURVE_POINTS 12
#define PIECE_MM 2.5
#define PIECE_STEPS 6
#define LEAST_PIECE 0.3
#define LEAST_SHARE 0.8
#define LEAST_MEAN 1.1
#define LEAST_NARROWNESS 0.48
#define MOST_OFF_MM 0.8

/* Along the last strokes a line is more likely to be one of them. */
#define STROKE_DEG 8.0
#define STROKE_SHARE 0.5f

typedef struct
{
  const RakeReader *reader;
  const RakeLines *lines;
  guint8 *is_used;
} Follower;

/* The strongest cell across the way at x, y whose line runs much the same way; its strength, 0 for
 * none. */
static float
look_across (const Follower *self, double *x, double *y, double angle, float sign, double *turned)
{
  const RakeRaster *raster = &self->reader->raster;
  double best_x = *x, best_y = *y;
  float best = 0;

  for (int side = -2; side <= 2; side++)
    {
      double at_x = *x - side * sin (angle) * 0.7, at_y = *y + side * cos (angle) * 0.7;
      int cx = (int) at_x, cy = (int) at_y;
      gsize i = (gsize) cy * (gsize) raster->width + (gsize) cx;
      double off;
      float strength;

      if (at_x < 0 || at_y < 0 || cx >= raster->width || cy >= raster->height ||
          self->reader->edge_mm[i] < (float) RIM_MM || self->is_used[i] != 0)
        continue;
      strength = self->lines->strength[i] * sign;
      off = remainder (self->lines->angle[i] * G_PI / RAKE_LINE_ANGLES - angle, G_PI);
      strength *= fabs (off) < 0.16 ? 1 : 0;
      strength -= 0.05f * (float) abs (side);
      if (strength > best)
        {
          best = strength;
          best_x = at_x;
          best_y = at_y;
          *turned = off;
        }
    }
  *x = best_x;
  *y = best_y;
  return best;
}

/* Adds x, y, strength of each step from the start on; what lies beyond the last strong one is cut. */
static void
follow (const Follower *self, double x, double y, double angle, float sign, GArray *points)
{
  double step = STEP_MM * self->reader->cells_per_mm;
  guint n_good = points->len, n_gap = 0;

  while (n_gap <= GAP_STEPS && points->len < MOST_POINTS)
    {
      double turned = 0;
      float strength;
      double point[3];

      x += step * cos (angle);
      y += step * sin (angle);
      strength = look_across (self, &x, &y, angle, sign, &turned);
      angle += 0.3 * turned;
      point[0] = x;
      point[1] = y;
      point[2] = strength;
      g_array_append_vals (points, point, 1);
      if (strength >= GO_ON_STRENGTH)
        {
          n_gap = 0;
          n_good = points->len;
        }
      else
        n_gap++;
    }
  g_array_set_size (points, n_good);
}

static void
use_up (const Follower *self, const GArray *points)
{
  const RakeRaster *raster = &self->reader->raster;
  int reach = (int) ceil (CORRIDOR_MM * self->reader->cells_per_mm);

  for (guint k = 0; k < points->len; k++)
    {
      const double *p = &g_array_index (points, double, 3 * k);

      for (int y = (int) p[1] - reach; y <= (int) p[1] + reach; y++)
        for (int x = (int) p[0] - reach; x <= (int) p[0] + reach; x++)
          if (x >= 0 && y >= 0 && x < raster->width && y < raster->height)
            self->is_used[(gsize) y * (gsize) raster->width + (gsize) x] = 1;
    }
}

static GArray *
follow_both_ways (const Follower *self, int x, int y, float strength, double angle)
{
  GArray *points = g_array_new (FALSE, FALSE, 3 * sizeof (double));
  g_autoptr (GArray) back = g_array_new (FALSE, FALSE, 3 * sizeof (double));
  float sign = strength > 0 ? 1 : -1;
  double start[3] = { x + 0.5, y + 0.5, fabsf (strength) };

  follow (self, start[0], start[1], angle + G_PI, sign, back);
  for (guint k = back->len; k-- > 0;)
    g_array_append_vals (points, &g_array_index (back, double, 3 * k), 1);
  g_array_append_vals (points, start, 1);
  follow (self, start[0], start[1], angle, sign, points);
  return points;
}

/* A parabola over the straight line from the first point to the last, in cells. */
typedef struct
{
  double x, y, along_x, along_y, length;
  double bend[3];
  double off; /* root of the mean square beside it */
} Curve;

static void
solve_three (double a[3][4])
{
  for (int k = 0; k < 3; k++)
    for (int i = 0; i < 3; i++)
      {
        double factor = i != k && a[k][k] > 0 ? a[i][k] / a[k][k] : 0;

        for (int j = 0; j < 4; j++)
          a[i][j] -= factor * a[k][j];
      }
  for (int k = 0; k < 3; k++)
    a[k][3] = a[k][k] > 0 ? a[k][3] / a[k][k] : 0;
}

static void
fit_curve (const GArray *points, Curve *curve)
{
  const double *first = &g_array_index (points, double, 0);
  const double *last = &g_array_index (points, double, 3 * (points->len - 1));
  double sums[3][4] = { { 0 } }, squares = 0;

  *curve = (Curve){ .x = first[0], .y = first[1] };
  curve->length = hypot (last[0] - first[0], last[1] - first[1]);
  curve->along_x = (last[0] - first[0]) / curve->length;
  curve->along_y = (last[1] - first[1]) / curve->length;
  for (int round = 0; round < 2; round++)
    for (guint k = 0; k < points->len; k++)
      {
        const double *p = &g_array_index (points, double, 3 * k);
        double dx = p[0] - curve->x, dy = p[1] - curve->y;
        double t = (dx * curve->along_x + dy * curve->along_y) / curve->length;
        double off = dy * curve->along_x - dx * curve->along_y;
        const double powers[] = { 1, t, t * t };
        double bend = curve->bend[0] + t * (curve->bend[1] + t * curve->bend[2]);

        squares += round == 1 ? (off - bend) * (off - bend) / points->len : 0;
        for (int i = 0; i < 3 && round == 0; i++)
          {
            for (int j = 0; j < 3; j++)
              sums[i][j] += powers[i] * powers[j];
            sums[i][3] += powers[i] * off;
          }
        if (round == 0 && k + 1 == points->len)
          {
            solve_three (sums);
            for (int i = 0; i < 3; i++)
              curve->bend[i] = sums[i][3];
          }
      }
  curve->off = sqrt (squares);
}

static void
get_on_curve (const Curve *curve, double t, double aside, double *x, double *y)
{
  double off = curve->bend[0] + t * (curve->bend[1] + t * curve->bend[2]) + aside;

  *x = curve->x + t * curve->length * curve->along_x - off * curve->along_y;
  *y = curve->y + t * curve->length * curve->along_y + off * curve->along_x;
}

/* How much the light at a place of the curve differs from both sides of it, one way; 0 outside. */
static double
differ (const Follower *self, const Curve *curve, double t, double aside, float sign)
{
  const RakeRaster *raster = &self->reader->raster;
  double side = RAKE_LINE_SIDE_MM * self->reader->cells_per_mm, light[3], least;

  for (int k = -1; k <= 1; k++)
    {
      double x, y;

      get_on_curve (curve, t, aside + k * side, &x, &y);
      if (!(x >= 0 && y >= 0 && x < raster->width && y < raster->height))
        return 0;
      light[k + 1] = self->lines->light[(gsize) y * (gsize) raster->width + (gsize) x];
    }
  least = fmin (sign * (light[1] - light[0]), sign * (light[1] - light[2]));
  return CLAMP (least, -self->lines->most, 2 * self->lines->most);
}

/* Is it there all along? Piece by piece, each a little to the side if that is better: the share of
 * the pieces that stand out, and by how much all do on the mean, in what a cell may count. */
static double
check_pieces (const Follower *self, const Curve *curve, float sign, double *mean)
{
  double piece = PIECE_MM * self->reader->cells_per_mm;
  int n = MAX ((int) (curve->length / piece), 1), n_good = 0;

  *mean = 0;
  for (int k = 0; k < n; k++)
    {
      double best = -INFINITY;

      for (int aside = -2; aside <= 2; aside++)
        {
          double sum = 0;

          for (int i = 0; i < PIECE_STEPS; i++)
            sum += differ (self, curve, (k + (i + 0.5) / PIECE_STEPS) / n, 0.6 * aside, sign);
          best = fmax (best, sum / PIECE_STEPS);
        }
      *mean += best / n / (double) self->lines->most;
      n_good += best > LEAST_PIECE * (double) self->lines->most;
    }
  return (double) n_good / n;
}

/* Close beside a line, in mm, but not closer than so many of the pixels there; and further off. */
#define NEAR_MM 0.9
#define NEAR_PX 1.3
#define FAR_MM 2.6

/* How much narrower than the streaks of dust it is: what the light differs by close beside it, over
 * what it differs by further off. */
static double
measure_narrowness (const Follower *self, const Curve *curve, float sign)
{
  const RakeRaster *raster = &self->reader->raster;
  double x_mm = raster->x_mm + (curve->x + 0.5 * curve->length * curve->along_x) * raster->cell_mm;
  double y_mm = raster->y_mm + (curve->y + 0.5 * curve->length * curve->along_y) * raster->cell_mm;
  double px_mm = rake_photo_fit_get_mm_per_px (self->reader->fit, x_mm, y_mm);
  const double sides_mm[] = { 0, CLAMP (NEAR_PX * px_mm, NEAR_MM, 2 * NEAR_MM), FAR_MM };
  int n = MAX ((int) curve->length, 1);
  double light[3] = { 0 };

  for (int k = 0; k < n; k++)
    for (int i = 0; i < 3; i++)
      for (int to = -1; to <= 1; to += 2)
        {
          double x, y;

          get_on_curve (curve, (k + 0.5) / n, to * sides_mm[i] * self->reader->cells_per_mm, &x,
                        &y);
          if (x >= 0 && y >= 0 && x < raster->width && y < raster->height)
            light[i] += self->lines->light[(gsize) y * (gsize) raster->width + (gsize) x];
        }
  return sign * (light[0] - light[2]) > 0 ? (light[0] - light[1]) / (light[0] - light[2]) : 1;
}

static void
keep (const Follower *self, const GArray *points, float sign, GPtrArray *scratches)
{
  const RakeReader *reader = self->reader;
  double line[2 * (CURVE_POINTS + 1)], sum = 0, share, mean, narrow;
  RakePhotoScratch *scratch;
  RakeShape *shape;
  Curve curve;

  for (guint k = 0; k < points->len; k++)
    sum += g_array_index (points, double, 3 * k + 2) / points->len;
  fit_curve (points, &curve);
  share = check_pieces (self, &curve, sign, &mean);
  narrow = measure_narrowness (self, &curve, sign);
  if (sum + STRENGTH_PER_MM * curve.length * reader->raster.cell_mm < MEAN_STRENGTH ||
      curve.off * reader->raster.cell_mm > MOST_OFF_MM || share < LEAST_SHARE ||
      mean < LEAST_MEAN || narrow < LEAST_NARROWNESS)
    return;
  for (int k = 0; k <= CURVE_POINTS; k++)
    {
      double x, y;

      get_on_curve (&curve, (double) k / CURVE_POINTS, 0, &x, &y);
      line[2 * k] = reader->raster.x_mm + x * reader->raster.cell_mm;
      line[2 * k + 1] = reader->raster.y_mm + y * reader->raster.cell_mm;
    }
  shape = rake_shape_new_line (line, CURVE_POINTS + 1, NULL);
  if (shape == NULL)
    return;
  scratch = g_new0 (RakePhotoScratch, 1);
  scratch->line = shape;
  scratch->length_mm = rake_shape_get_length_mm (shape);
  scratch->contrast = sign * mean * (double) self->lines->most;
  scratch->confidence = share * CLAMP (sum / 10, 0, 1);
  scratch->n_showing = scratch->showing = 1;
  scratch->why =
      g_strdup_printf (sign < 0 ? _ ("A dark line %.0f mm long, seen along %.0f %% of it")
                                : _ ("A bright line %.0f mm long, seen along %.0f %% of it"),
                       scratch->length_mm, 100 * share);
  g_ptr_array_add (scratches, scratch);
}

typedef struct
{
  gsize cell;
  float strength;
} Start;

static int
compare_starts (gconstpointer a, gconstpointer b)
{
  const Start *x = a, *y = b;

  if (x->strength != y->strength)
    return x->strength > y->strength ? -1 : 1;
  return (x->cell > y->cell) - (x->cell < y->cell);
}

static void
weaken_strokes (const RakeReader *reader, RakeLines *lines)
{
  double stroke = -reader->question->stroke_deg;
  gsize n = rake_raster_get_size (&reader->raster);

  if (!isfinite (stroke))
    return;
  for (gsize i = 0; i < n; i++)
    if (fabs (remainder (lines->angle[i] * 180.0 / RAKE_LINE_ANGLES - stroke, 180)) < STROKE_DEG)
      lines->strength[i] *= STROKE_SHARE;
}

gboolean
rake_reader_find_scratches (RakeReader *self, GCancellable *cancellable, GPtrArray *scratches)
{
  gsize n = rake_raster_get_size (&self->raster);
  RakeLines lines = { 0 };
  gboolean is_done = rake_lines_measure (self, cancellable, &lines);
  g_autofree float *strength = lines.strength, *light = lines.light;
  g_autofree guint8 *angle = lines.angle, *is_used = g_new0 (guint8, n);
  g_autoptr (GArray) starts = g_array_new (FALSE, FALSE, sizeof (Start));
  Follower follower = { self, &lines, is_used };

  if (!is_done)
    return FALSE;
  weaken_strokes (self, &lines);
  for (gsize i = 0; i < n; i++)
    if (fabsf (strength[i]) >= START_STRENGTH && self->edge_mm[i] >= (float) RIM_MM)
      {
        Start start = { i, fabsf (strength[i]) };
        g_array_append_val (starts, start);
      }
  g_array_sort (starts, compare_starts);
  for (guint k = 0; k < starts->len; k++)
    {
      gsize cell = g_array_index (starts, Start, k).cell;
      int x = (int) (cell % (gsize) self->raster.width),
          y = (int) (cell / (gsize) self->raster.width);
      g_autoptr (GArray) points = NULL;

      if (is_used[cell] != 0)
        continue;
      points =
          follow_both_ways (&follower, x, y, strength[cell], angle[cell] * G_PI / RAKE_LINE_ANGLES);
      use_up (&follower, points);
      if ((points->len - 1) * STEP_MM >= LEAST_MM)
        keep (&follower, points, strength[cell] > 0 ? 1 : -1, scratches);
    }
  return TRUE;
}
