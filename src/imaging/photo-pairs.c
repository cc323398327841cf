/* photo-pairs.c - which places to choose, and which pair disagrees. */
#include <rakelight/photo-pairs.h>

#include <math.h>

/* --- suggesting --------------------------------------------------------------------------------- */

/* Along the edge, how far to either side of a point its turn is measured: a share of its length, but
 * never more than a hand's breadth. */
#define REACH_SHARE 0.02
#define REACH_MAX_MM 60.0

#define CORNER_RAD (50 * G_PI / 180)

/* A corner counts as if it lay so much further away than any other place. */
#define CORNER_WEIGHT 1.6

#define N_SAMPLES 400

typedef struct
{
  double x, y, weight;
} Place;

/* The largest ring that is no hole, as places at equal distances along it. */
static guint
sample_edge (const RakeShape *outline, Place *samples, double *step_mm)
{
  const double *edge = NULL;
  double longest_mm = 0, walked_mm = 0;
  guint n_edge = 0, n = 0;

  for (guint ring = 0; ring < rake_shape_get_n_rings (outline); ring++)
    {
      guint n_points;
      gboolean is_hole;
      const double *points = rake_shape_get_ring (outline, ring, &n_points, &is_hole);
      double length_mm = 0;

      for (guint i = 0; i + 1 < n_points; i++)
        length_mm +=
            hypot (points[2 * i + 2] - points[2 * i], points[2 * i + 3] - points[2 * i + 1]);
      if (is_hole || length_mm <= longest_mm)
        continue;
      longest_mm = length_mm;
      edge = points;
      n_edge = n_points;
    }
  *step_mm = longest_mm / N_SAMPLES;
  for (guint i = 0; edge != NULL && i + 1 < n_edge; i++)
    {
      double dx = edge[2 * i + 2] - edge[2 * i], dy = edge[2 * i + 3] - edge[2 * i + 1];
      double length_mm = hypot (dx, dy);

      for (; n < N_SAMPLES && n * *step_mm < walked_mm + length_mm; n++)
        {
          double t = (n * *step_mm - walked_mm) / length_mm;
          samples[n] = (Place){ edge[2 * i] + t * dx, edge[2 * i + 1] + t * dy, 1 };
        }
      walked_mm += length_mm;
    }
  return n;
}

static double
get_turn (const Place *samples, guint n, guint at, guint reach)
{
  const Place *before = &samples[(at + n - reach) % n], *here = &samples[at],
              *after = &samples[(at + reach) % n];
  double in = atan2 (here->y - before->y, here->x - before->x);
  double out = atan2 (after->y - here->y, after->x - here->x);

  return fabs (remainder (out - in, 2 * G_PI));
}

/* Gives weight to the sharpest place of every corner. */
static void
weigh_corners (Place *samples, guint n, double step_mm)
{
  guint reach = (guint) MAX (2, MIN (REACH_SHARE * N_SAMPLES, REACH_MAX_MM / step_mm));
  double turns[N_SAMPLES];

  for (guint i = 0; i < n; i++)
    turns[i] = get_turn (samples, n, i, reach);
  for (guint i = 0; i < n; i++)
    {
      gboolean is_sharpest = turns[i] > CORNER_RAD;

      for (guint k = 1; k <= reach && is_sharpest; k++)
        is_sharpest = turns[i] >= turns[(i + k) % n] && turns[i] > turns[(i + n - k) % n];
      if (is_sharpest)
        samples[i].weight = CORNER_WEIGHT;
    }
}

/* The place furthest from all that are chosen; of the first, from the middle. */
static guint
find_furthest (const Place *samples, guint n, const Place *chosen, guint n_chosen)
{
  double best = -1;
  guint furthest = 0;

  for (guint i = 0; i < n; i++)
    {
      double nearest = G_MAXDOUBLE;

      for (guint k = 0; k < n_chosen; k++)
        nearest = MIN (nearest, hypot (samples[i].x - chosen[k].x, samples[i].y - chosen[k].y));
      if (nearest * samples[i].weight > best)
        {
          best = nearest * samples[i].weight;
          furthest = i;
        }
    }
  return furthest;
}

static Place
find_middle (const RakeShape *outline)
{
  RakeBounds box = rake_shape_get_bounds (outline);

  return (Place){ (box.min_x_mm + box.max_x_mm) / 2, (box.min_y_mm + box.max_y_mm) / 2, 1 };
}

/* Clockwise on the drawing, from the one that is furthest to the upper left. */
static void
put_in_order (Place *chosen, guint n, Place middle)
{
  guint first = 0;

  for (guint i = 0; i < n; i++)
    chosen[i].weight = atan2 (chosen[i].y - middle.y, chosen[i].x - middle.x);
  for (guint i = 1; i < n; i++)
    for (guint k = i; k > 0 && chosen[k].weight < chosen[k - 1].weight; k--)
      {
        Place other = chosen[k];
        chosen[k] = chosen[k - 1];
        chosen[k - 1] = other;
      }
  for (guint i = 1; i < n; i++)
    if (chosen[i].x + chosen[i].y < chosen[first].x + chosen[first].y)
      first = i;
  for (; first > 0; first--)
    {
      Place other = chosen[0];
      for (guint i = 1; i < n; i++)
        chosen[i - 1] = chosen[i];
      chosen[n - 1] = other;
    }
}

guint
rake_photo_pairs_suggest (const RakeShape *outline, guint n_wanted, double *points_mm)
{
  Place samples[N_SAMPLES], chosen[RAKE_PHOTO_PAIRS_MAX_SUGGESTIONS];
  Place middle = find_middle (outline);
  double step_mm;
  guint n = sample_edge (outline, samples, &step_mm);

  g_return_val_if_fail (n > 8, 0);
  n_wanted = CLAMP (n_wanted, 4, RAKE_PHOTO_PAIRS_MAX_SUGGESTIONS);
  weigh_corners (samples, n, step_mm);
  chosen[0] = samples[find_furthest (samples, n, &middle, 1)];
  for (guint i = 1; i < n_wanted; i++)
    chosen[i] = samples[find_furthest (samples, n, chosen, i)];
  put_in_order (chosen, n_wanted, middle);
  for (guint i = 0; i < n_wanted; i++)
    {
      points_mm[2 * i] = chosen[i].x;
      points_mm[2 * i + 1] = chosen[i].y;
    }
  return n_wanted;
}

/* --- judging ------------------------------------------------------------------------------------ */

/* What clicks of one and a half pixels and a bent lens leave, for every coordinate to spare; of a
 * picture of 2000 pixels. Less is no disagreement. */
#define CLICKS_PX 5.0
#define OF_WIDTH_PX 2000.0

/* A pair that is named must be off by so much more than the others are among themselves. */
#define TIMES_THE_OTHERS 4.0

typedef struct
{
  double off_px, off_mm; /* where the others put it */
  double rest_px;        /* how far they are off among themselves, for every pair to spare */
} Left;

/* The error of one coordinate of a click, as the residuals tell it: eight of them went into the fit. */
static double
get_spread_px (const RakePhotoFit *fit, guint n_pairs)
{
  return n_pairs > 4 ? rake_photo_fit_get_rms_px (fit) * sqrt (n_pairs / (2.0 * n_pairs - 8)) : 0;
}

static gboolean
leave_out (const RakePhotoPair *pairs, guint n_pairs, guint index, int width, int height,
           RakePhotoFitFlags flags, Left *left)
{
  g_autofree RakePhotoPair *rest = g_new (RakePhotoPair, n_pairs);
  g_autoptr (RakePhotoFit) fit = NULL;
  const RakePhotoPair *pair = &pairs[index];
  double x, y;
  guint n_rest = 0;

  for (guint i = 0; i < n_pairs; i++)
    if (i != index)
      rest[n_rest++] = pairs[i];
  /* A lens found from five and a half pairs would explain anything. */
  if (n_rest < 7)
    flags &= ~(guint) RAKE_PHOTO_FIT_RADIAL;
  fit = rake_photo_fit_new (rest, n_rest, width, height, flags, NULL);
  if (fit == NULL || !rake_photo_fit_to_image (fit, pair->body_x_mm, pair->body_y_mm, &x, &y))
    return FALSE;
  left->off_px = hypot (x - pair->image_x_px, y - pair->image_y_px);
  if (!rake_photo_fit_to_body (fit, pair->image_x_px, pair->image_y_px, &x, &y))
    return FALSE;
  left->off_mm = hypot (x - pair->body_x_mm, y - pair->body_y_mm);
  left->rest_px = get_spread_px (fit, n_rest);
  return TRUE;
}

RakePhotoPairsVerdict
rake_photo_pairs_judge (const RakePhotoPair *pairs, guint n_pairs, int width, int height,
                        RakePhotoFitFlags flags, guint *odd, double *off_mm)
{
  double clicks_px = CLICKS_PX * MAX (width, height) / OF_WIDTH_PX;
  g_autoptr (RakePhotoFit) fit =
      n_pairs > 4 ? rake_photo_fit_new (pairs, n_pairs, width, height, flags, NULL) : NULL;
  Left best = { 0, 0, G_MAXDOUBLE };

  if (fit == NULL || get_spread_px (fit, n_pairs) <= clicks_px)
    return RAKE_PHOTO_PAIRS_AGREE;
  for (guint i = 0; n_pairs > 5 && i < n_pairs; i++)
    {
      Left left;

      if (!leave_out (pairs, n_pairs, i, width, height, flags, &left) ||
          left.rest_px >= best.rest_px)
        continue;
      best = left;
      *odd = i;
    }
  *off_mm = best.off_mm;
  return best.off_px >= TIMES_THE_OTHERS * MAX (best.rest_px, clicks_px / TIMES_THE_OTHERS)
             ? RAKE_PHOTO_PAIRS_ONE_IS_ODD
             : RAKE_PHOTO_PAIRS_DISAGREE;
}
