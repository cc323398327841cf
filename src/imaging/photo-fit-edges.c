/* photo-fit-edges.c - a fit made better by the edges of the face that the picture shows.
 *
 * Clicks are a pixel off, or three where the lens bends. The outline and the cavities are on the
 * drawing, and in the picture they are edges: where one is found close to where the fit puts it, it
 * is taken for it; then the fit is made anew, and again, looking less far each time. */
#include "photo-fit-private.h"

#include <math.h>
#include <stdlib.h>

#define APART_MM 4.0
#define MAX_PLACES 600 /* of a ring */
#define MOST_PLACES 6000

/* Half the length of what is looked at across the edge, in pixels, and how many steps a pixel. */
#define MOST_REACH 10
#define STEPS 2
#define N_PROFILE (2 * (MOST_REACH + 3) * STEPS + 1)

/* Edges lie close together and err together: all of them count as this many clicks. */
#define WORTH_CLICKS 10.0

/* Of the logarithm of the brightness, a pixel. */
#define LEAST_SLOPE 0.04
#define LEAST_EDGES 12

typedef struct
{
  double x_mm, y_mm;
  double out_x, out_y; /* to the right of the ring, of length 1 */
} Place;

/* Of one ring, closed. */
static void
add_places (const double *p, guint n, GArray *places)
{
  double length_mm = 0, apart, left;

  for (guint i = 0; i + 1 < n; i++)
    length_mm += hypot (p[2 * i + 2] - p[2 * i], p[2 * i + 3] - p[2 * i + 1]);
  apart = fmax (APART_MM, length_mm / MAX_PLACES);
  left = 0.5 * apart;
  for (guint i = 0; i + 1 < n; i++)
    {
      double dx = p[2 * i + 2] - p[2 * i], dy = p[2 * i + 3] - p[2 * i + 1];
      double length = hypot (dx, dy);

      for (; left < length; left += apart)
        {
          Place place = { p[2 * i] + dx * left / length, p[2 * i + 1] + dy * left / length,
                          dy / length, -dx / length };
          g_array_append_val (places, place);
        }
      left -= length;
    }
}

/* A face's outline may have its cavities in it, as rings of its own. */
static GArray *
list_places (const RakePhotoQuestion *question)
{
  GArray *places = g_array_new (FALSE, FALSE, sizeof (Place));

  for (guint k = 0; k <= question->n_holes; k++)
    {
      const RakeShape *shape = k == 0 ? question->outline : question->holes[k - 1];

      for (guint ring = 0; ring < rake_shape_get_n_rings (shape) && places->len < MOST_PLACES;
           ring++)
        {
          guint n;
          const double *points = rake_shape_get_ring (shape, ring, &n, NULL);

          add_places (points, n, places);
        }
    }
  return places;
}

static double
get_light (const RakePhotoPicture *picture, double x_px, double y_px)
{
  int w = rake_photo_picture_get_width (picture), h = rake_photo_picture_get_height (picture);
  double x = CLAMP (x_px - 0.5, 0, w - 1.001), y = CLAMP (y_px - 0.5, 0, h - 1.001);
  int x0 = (int) x, y0 = (int) y;
  double u = x - x0, v = y - y0, light = 0;
  const guint8 *p =
      rake_photo_picture_get_rgb (picture) + 3 * ((gsize) y0 * (gsize) w + (gsize) x0);
  const guint8 *below = p + 3 * (gsize) w;

  for (int c = 0; c < 3; c++)
    light +=
        (1 - v) * ((1 - u) * p[c] + u * p[c + 3]) + v * ((1 - u) * below[c] + u * below[c + 3]);
  /* The curve of sRGB is a power near 2.2. */
  return 2.2 * log (light / 3 + 8);
}

/* Where the light goes from one level to another, and how fast at most: how many pixels it would
 * take at that pace. */
static double
measure_width (const double *profile, int n, int at, double slope)
{
  double low = profile[at], high = low;

  for (int i = MAX (at - 5 * STEPS, 0); i <= MIN (at + 5 * STEPS, n - 1); i++)
    {
      low = fmin (low, profile[i]);
      high = fmax (high, profile[i]);
    }
  return (high - low) / slope;
}

/* Fills the steepest edge within @reach_px into @edge, how far off it is into @off_px and how wide
 * into @width_px. FALSE when there is none. */
static gboolean
find_edge (const RakePhotoFit *fit, const RakePhotoPicture *picture, const Place *place,
           int reach_px, RakePhotoEdge *edge, double *off_px, double *width_px)
{
  double x, y, out_x, out_y, length, profile[N_PROFILE];
  double best = LEAST_SLOPE, best_at = 0, best_slope = 0;
  int n = (reach_px + 3) * STEPS;

  if (!rake_photo_fit_to_image (fit, place->x_mm, place->y_mm, &x, &y) ||
      !rake_photo_fit_to_image (fit, place->x_mm + 0.5 * place->out_x,
                                place->y_mm + 0.5 * place->out_y, &out_x, &out_y) ||
      x < 2 || y < 2 || x > rake_photo_picture_get_width (picture) - 2 ||
      y > rake_photo_picture_get_height (picture) - 2)
    return FALSE;
  length = hypot (out_x - x, out_y - y);
  if (!(length > 1e-6))
    return FALSE;
  out_x = (out_x - x) / length;
  out_y = (out_y - y) / length;
  for (int i = -n; i <= n; i++)
    {
      double t = (double) i / STEPS, light = 0;

      for (int side = -1; side <= 1; side++)
        light += get_light (picture, x + t * out_x - 1.5 * side * out_y,
                            y + t * out_y + 1.5 * side * out_x) /
                 3;
      profile[i + n] = light;
    }
  for (int i = -reach_px * STEPS; i <= reach_px * STEPS; i++)
    {
      const double *p = profile + (i + n);
      double slope = fabs (p[STEPS] + p[STEPS + 1] - p[-STEPS] - p[-STEPS - 1]) / 4.5;
      double t = (double) i / STEPS;
      double likely = slope * exp (-0.5 * t * t / (0.25 * reach_px * reach_px));

      if (likely > best)
        {
          best = likely;
          best_at = t;
          best_slope = slope;
        }
    }
  *edge = (RakePhotoEdge) { place->x_mm, place->y_mm, x + best_at * out_x, y + best_at * out_y,
                            out_x, out_y, 0 };
  if (!(best > LEAST_SLOPE))
    return FALSE;
  *off_px = best_at;
  *width_px = measure_width (profile, 2 * n + 1, n + (int) lround (best_at * STEPS), best_slope);
  return TRUE;
}

static int
compare_doubles (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;

  return (x > y) - (x < y);
}

static double
find_middle (const double *values, guint n)
{
  g_autofree double *sorted = g_memdup2 (values, n * sizeof *values);

  for (guint i = 0; i < n; i++)
    sorted[i] = fabs (values[i]);
  qsort (sorted, n, sizeof *sorted, compare_doubles);
  return sorted[n / 2];
}

static RakePhotoFit *
improve (const RakePhotoFit *fit, const RakePhotoPicture *picture, const GArray *places,
         int reach_px, double trust_px, double *edge_px, double *off_px)
{
  g_autofree RakePhotoEdge *edges = g_new (RakePhotoEdge, places->len);
  g_autofree double *off = g_new (double, places->len), *width = g_new (double, places->len);
  guint n = 0;
  double middle, sum = 0;

  for (guint i = 0; i < places->len; i++)
    if (find_edge (fit, picture, &g_array_index (places, Place, i), reach_px, &edges[n], &off[n],
                   &width[n]))
      n++;
  if (n < LEAST_EDGES)
    return NULL;
  middle = *off_px = find_middle (off, n);
  *edge_px = find_middle (width, n);
  for (guint i = 0; i < n; i++)
    {
      /* Tukey's weights: what lies too far off is some other edge. */
      double share = off[i] / (trust_px + 2 * middle);

      edges[i].weight = fabs (share) < 1 ? pow (1 - share * share, 2) : 0;
      sum += edges[i].weight;
    }
  if (!(sum > 6))
    return NULL;
  for (guint i = 0; i < n; i++)
    edges[i].weight *= fmin (WORTH_CLICKS / sum, 0.5);
  return rake_photo_fit_new_with_edges (fit, edges, n);
}

RakePhotoFit *
rake_photo_fit_new_on_edges (const RakePhotoQuestion *question, double *edge_px, double *off_px)
{
  static const struct
  {
    int reach_px;
    double trust_px;
  } rounds[] = { { 10, 4 }, { 8, 3 }, { 6, 2 }, { 5, 2 }, { 4, 1.5 } };
  g_autoptr (GArray) places = list_places (question);
  g_autoptr (RakePhotoFit) best = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (rounds); i++)
    {
      RakePhotoFit *next = improve (best != NULL ? best : question->fit, question->picture, places,
                                    rounds[i].reach_px, rounds[i].trust_px, edge_px, off_px);
      if (next == NULL)
        return NULL;
      g_clear_pointer (&best, rake_photo_fit_free);
      best = next;
    }
  return g_steal_pointer (&best);
}
