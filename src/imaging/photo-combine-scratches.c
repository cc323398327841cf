/* photo-combine-scratches.c - scratches of several readings: one photograph is enough, since only a
 * lamp across a scratch shows it. */
#include "combine.h"

#include "../core/i18n.h"

#include <math.h>

/* The same scratch, when so much of it lies so close to the other. */
#define NEAR_MM 2.0
#define SAME_SHARE 0.5
#define STEP_MM 1.0

#define AGREEMENT 0.7

/* The share of @line that lies close to @other. */
static double
measure_share_near (const RakeShape *line, const RakeShape *other)
{
  RakeBounds bounds = rake_shape_get_bounds (other);
  double n = 0, n_near = 0;
  guint n_points;
  const double *p = rake_shape_get_ring (line, 0, &n_points, NULL);

  for (guint i = 0; i + 1 < n_points; i++)
    {
      double dx = p[2 * i + 2] - p[2 * i], dy = p[2 * i + 3] - p[2 * i + 1];
      int n_steps = MAX ((int) ceil (hypot (dx, dy) / STEP_MM), 1);

      for (int k = 0; k < n_steps; k++)
        {
          double x = p[2 * i] + (k + 0.5) / n_steps * dx;
          double y = p[2 * i + 1] + (k + 0.5) / n_steps * dy;

          n++;
          n_near += x > bounds.min_x_mm - NEAR_MM && x < bounds.max_x_mm + NEAR_MM &&
                    y > bounds.min_y_mm - NEAR_MM && y < bounds.max_y_mm + NEAR_MM &&
                    rake_shape_get_distance_to_edge_mm (other, x, y) <= NEAR_MM;
        }
    }
  return n > 0 ? n_near / n : 0;
}

typedef struct
{
  const RakePhotoScratch *scratch;
  guint reading;
  guint place;
} Claim;

static int
compare_claims (gconstpointer a, gconstpointer b)
{
  const Claim *x = a, *y = b;

  if (x->scratch->length_mm != y->scratch->length_mm)
    return x->scratch->length_mm > y->scratch->length_mm ? -1 : 1;
  if (x->reading != y->reading)
    return x->reading < y->reading ? -1 : 1;
  return (x->place > y->place) - (x->place < y->place);
}

/* The scratch among those kept that @claim is a piece of, seen by another photograph; NULL: none. */
static RakePhotoScratch *
find_same (const GPtrArray *kept, const GArray *from, const Claim *claim)
{
  for (guint i = 0; i < kept->len; i++)
    {
      RakePhotoScratch *scratch = kept->pdata[i];

      if (g_array_index (from, guint, i) != claim->reading &&
          measure_share_near (claim->scratch->line, scratch->line) >= SAME_SHARE)
        return scratch;
    }
  return NULL;
}

static void
keep (const Claim *claim, GPtrArray *kept, GArray *from)
{
  RakePhotoScratch *scratch = g_new0 (RakePhotoScratch, 1);

  *scratch = *claim->scratch;
  scratch->line = rake_shape_ref (claim->scratch->line);
  scratch->why = NULL;
  scratch->showing = 1u << claim->reading;
  g_ptr_array_add (kept, scratch);
  g_array_append_val (from, claim->reading);
}

void
rake_combine_scratches (const RakePhotoReading *const *readings, guint n_readings,
                        RakePhotoReading *together)
{
  g_autoptr (GArray) claims = g_array_new (FALSE, FALSE, sizeof (Claim));
  g_autoptr (GArray) from = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GPtrArray) whys = g_ptr_array_new ();

  for (guint k = 0; k < n_readings; k++)
    for (guint i = 0; i < readings[k]->scratches->len; i++)
      {
        Claim claim = { readings[k]->scratches->pdata[i], k, i };
        g_array_append_val (claims, claim);
      }
  g_array_sort (claims, compare_claims);
  for (guint i = 0; i < claims->len; i++)
    {
      const Claim *claim = &g_array_index (claims, Claim, i);
      RakePhotoScratch *same = find_same (together->scratches, from, claim);

      if (same != NULL)
        {
          same->confidence =
              1 - (1 - same->confidence) * (1 - AGREEMENT * claim->scratch->confidence);
          if ((same->showing >> claim->reading & 1) == 0)
            same->n_showing++;
          same->showing |= 1u << claim->reading;
          continue;
        }
      keep (claim, together->scratches, from);
      g_ptr_array_add (whys, claim->scratch->why);
    }
  for (guint i = 0; i < together->scratches->len; i++)
    {
      RakePhotoScratch *scratch = together->scratches->pdata[i];
      const char *why = whys->pdata[i];

      scratch->why =
          scratch->n_showing < 2
              ? g_strdup (why)
              : g_strdup_printf (/* Translators: the first is a sentence without its full stop. */
                                 ngettext ("%s; %u photograph shows it",
                                           "%s; %u photographs show it", scratch->n_showing),
                                 why, scratch->n_showing);
    }
}
