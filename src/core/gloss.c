/* gloss.c - gloss readings: which angle to use, mean, spread, and a zone against its neighbours. */
#include "gloss-private.h"

#include <math.h>

#define GLASS_INDEX 1.567 /* of the black glass that has 100 GU at every angle, ISO 2813 */

double
rake_gloss_choose_angle_deg (double mean_gu_at_60)
{
  if (isnan (mean_gu_at_60))
    return NAN;
  return mean_gu_at_60 > 70 ? 20 : mean_gu_at_60 < 10 ? 85 : 60;
}

/* The share of unpolarised light that a smooth surface of index @n throws back. */
static double
get_reflectance (double n, double angle_deg)
{
  double angle = angle_deg * G_PI / 180;
  double c = cos (angle), q = sqrt (n * n - sin (angle) * sin (angle));
  double across = (c - q) / (c + q), along = (n * n * c - q) / (n * n * c + q);

  return (across * across + along * along) / 2;
}

double
rake_gloss_of_index_gu (double n, double angle_deg)
{
  if (!isfinite (n) || n < 1 || !(angle_deg >= 0 && angle_deg < 90))
    return NAN;
  return 100 * get_reflectance (n, angle_deg) / get_reflectance (GLASS_INDEX, angle_deg);
}

/* --- readings --------------------------------------------------------------------------------- */

static gboolean
is_same_angle (double a_deg, double b_deg)
{
  return isnan (a_deg) ? isnan (b_deg) : fabs (a_deg - b_deg) < 0.5;
}

RakeSample
rake_gloss_sample_zone (const RakeZone *zone, const double *angle_deg, double *angle_read_deg)
{
  double wanted_deg = angle_deg != NULL ? *angle_deg : NAN;
  g_autoptr (GArray) values = NULL; /* made at the first reading: most zones have none */

  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_PASS || entry->kind == RAKE_ENTRY_COAT)
        break;
      if (entry->kind != RAKE_ENTRY_READING || entry->reading.quantity != RAKE_QUANTITY_GLOSS_GU)
        continue;
      if (values == NULL && angle_deg == NULL)
        wanted_deg = entry->reading.angle_deg;
      if (!is_same_angle (entry->reading.angle_deg, wanted_deg))
        continue;
      if (values == NULL)
        values = g_array_new (FALSE, FALSE, sizeof (double));
      g_array_append_val (values, entry->reading.value);
    }
  if (angle_read_deg != NULL)
    *angle_read_deg = wanted_deg;
  return rake_sample_take (values != NULL ? (const double *) values->data : NULL,
                           values != NULL ? values->len : 0);
}

static int
compare_doubles (gconstpointer a, gconstpointer b)
{
  double one = *(const double *) a, other = *(const double *) b;

  return one < other ? -1 : one > other;
}

/* The middle one, not the mean: of three zones one that shines must not make the others look dull. */
static double
get_middle (GArray *values)
{
  guint half = values->len / 2;

  g_array_sort (values, compare_doubles);
  if (values->len % 2 == 1)
    return g_array_index (values, double, half);
  return (g_array_index (values, double, half - 1) + g_array_index (values, double, half)) / 2;
}

double
rake_gloss_get_above_others_gu (const RakeZone *zone, double angle_deg, double here_gu)
{
  const GPtrArray *zones = zone->face->zones;
  g_autoptr (GArray) others = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < zones->len; i++)
    if (zones->pdata[i] != zone)
      {
        RakeSample sample = rake_gloss_sample_zone (zones->pdata[i], &angle_deg, NULL);

        if (sample.n > 0)
          g_array_append_val (others, sample.mean);
      }
  return others->len > 0 ? here_gu - get_middle (others) : NAN;
}

/* --- a face ----------------------------------------------------------------------------------- */

/* The angle most zones have, of two the one that a zone made earlier has. */
static double
find_common_angle (const GArray *zones)
{
  double common_deg = NAN;
  guint most = 0;

  for (guint i = 0; i < zones->len; i++)
    {
      double angle_deg = g_array_index (zones, RakeGlossZone, i).angle_deg;
      guint n = 0;

      for (guint k = 0; k < zones->len; k++)
        if (is_same_angle (g_array_index (zones, RakeGlossZone, k).angle_deg, angle_deg))
          n++;
      if (n > most)
        {
          most = n;
          common_deg = angle_deg;
        }
    }
  return common_deg;
}

/* Of the means of all zones that have any at @angle_deg. */
static RakeSample
take_means (const RakeFace *face, double angle_deg)
{
  g_autoptr (GArray) means = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < face->zones->len; i++)
    {
      RakeSample sample = rake_gloss_sample_zone (face->zones->pdata[i], &angle_deg, NULL);

      if (sample.n > 0)
        g_array_append_val (means, sample.mean);
    }
  return rake_sample_take ((const double *) means->data, means->len);
}

RakeGloss *
rake_gloss_take (const RakeJob *job, const RakeFace *face)
{
  RakeGloss *gloss = g_new0 (RakeGloss, 1);

  gloss->zones = g_array_new (FALSE, FALSE, sizeof (RakeGlossZone));
  for (guint i = 0; i < face->zones->len; i++)
    {
      RakeGlossZone zone = { .zone = face->zones->pdata[i] };

      zone.sample = rake_gloss_sample_zone (zone.zone, NULL, &zone.angle_deg);
      if (zone.sample.n == 0)
        continue;
      zone.above_others_gu =
          rake_gloss_get_above_others_gu (zone.zone, zone.angle_deg, zone.sample.mean);
      g_array_append_val (gloss->zones, zone);
    }
  gloss->means = take_means (face, find_common_angle (gloss->zones));
  gloss->spread_gu = gloss->means.largest - gloss->means.least;
  gloss->advised_angle_deg = rake_gloss_choose_angle_deg (take_means (face, 60).mean);
  return gloss;
}

void
rake_gloss_free (RakeGloss *gloss)
{
  if (gloss == NULL)
    return;
  g_array_unref (gloss->zones);
  g_free (gloss);
}
