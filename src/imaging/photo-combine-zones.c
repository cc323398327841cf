/* photo-combine-zones.c - the glossy share of each zone from several readings, and where they differ
 * so much that it is better not said. */
#include "combine.h"
#include "reader.h"

#include <math.h>
#include <string.h>

/* Half as sure as another: left out where the other can be read. */
#define MUCH_SURER 0.5
#define LEFT_OUT 1e-6

/* Two differ when the shares of what both can read are so far apart, or when what they call gloss is
 * hardly the same places. Twice the usual error of a share, and the largest share of it that is usual;
 * docs/photo-reading.md has both. */
#define APART 0.06
#define APART_OF_MEAN 0.4
#define SOME_GLOSS 0.03
#define LEAST_COMMON_GLOSS 0.2
#define LEAST_COMMON 0.3

#define N_TALLIES 256

typedef struct
{
  double n_face, n_seen, n_legible, sum_share, sum_sure;
} Tally;

typedef struct
{
  double n_legible, n_common, n_a, n_b, n_both;
} Pair;

typedef struct
{
  const RakePhotoReading *const *readings;
  guint n_readings;
  double weights[RAKE_PHOTO_MAX_TOGETHER][N_TALLIES];
} Board;

static void
weigh_readings (Board *self, guint n_zones)
{
  for (guint z = 0; z < MIN (n_zones, N_TALLIES - 2); z++)
    {
      double most = 0;

      for (guint k = 0; k < self->n_readings; k++)
        {
          const RakePhotoZone *zone = &self->readings[k]->zones[z];
          if (zone->obstacle == RAKE_PHOTO_READABLE)
            most = fmax (most, zone->confidence);
        }
      for (guint k = 0; k < self->n_readings; k++)
        self->weights[k][z + 1] =
            self->readings[k]->zones[z].confidence < MUCH_SURER * most ? LEFT_OUT : 1;
    }
}

static void
tally_cell (const Board *self, gsize i, guint8 z, Tally *tally)
{
  double sum = 0, gloss = 0, most = 0;
  gboolean is_seen = FALSE;

  for (guint k = 0; k < self->n_readings; k++)
    {
      guint8 cell = self->readings[k]->sight->cells[i];
      double sure = (double) (cell & RAKE_SIGHT_SURE) / RAKE_SIGHT_SUREST;

      is_seen |= (cell & RAKE_SIGHT_SEEN) != 0;
      sum += self->weights[k][z] * sure;
      gloss += (cell & RAKE_SIGHT_GLOSS) != 0 ? self->weights[k][z] * sure : 0;
      most = fmax (most, sure);
    }
  tally->n_face++;
  tally->n_seen += is_seen;
  tally->sum_sure += most;
  if (sum > 0)
    {
      tally->n_legible++;
      tally->sum_share += gloss / sum;
    }
}

static void
tally_pair (const Board *self, guint a, guint b, Pair *pairs)
{
  const RakePhotoSight *x = self->readings[a]->sight, *y = self->readings[b]->sight;
  gsize n = rake_raster_get_size (&x->raster);

  for (gsize i = 0; i < n; i++)
    {
      gboolean in_x = (x->cells[i] & RAKE_SIGHT_SURE) != 0;
      gboolean in_y = (y->cells[i] & RAKE_SIGHT_SURE) != 0;
      gboolean gloss_x = (x->cells[i] & RAKE_SIGHT_GLOSS) != 0;
      gboolean gloss_y = (y->cells[i] & RAKE_SIGHT_GLOSS) != 0;
      Pair *pair = &pairs[x->zone[i]];

      pair->n_legible += in_x || in_y;
      if (!in_x || !in_y)
        continue;
      pair->n_common++;
      pair->n_a += gloss_x;
      pair->n_b += gloss_y;
      pair->n_both += gloss_x && gloss_y;
    }
}

static gboolean
differs (const Pair *pair)
{
  double a, b;

  if (pair->n_common < 1 || pair->n_common < LEAST_COMMON * pair->n_legible)
    return FALSE;
  a = pair->n_a / pair->n_common;
  b = pair->n_b / pair->n_common;
  return fabs (a - b) > fmax (APART, APART_OF_MEAN * 0.5 * (a + b)) ||
         (fmin (a, b) > SOME_GLOSS &&
          pair->n_both < LEAST_COMMON_GLOSS * fmin (pair->n_a, pair->n_b));
}

/* Marks the zones where two that are both sure differ. */
static void
find_differences (const Board *self, gboolean *is_disputed)
{
  g_autofree Pair *pairs = g_new (Pair, N_TALLIES);

  for (guint a = 0; a < self->n_readings; a++)
    for (guint b = a + 1; b < self->n_readings; b++)
      {
        memset (pairs, 0, N_TALLIES * sizeof *pairs);
        tally_pair (self, a, b, pairs);
        for (guint z = 1; z < N_TALLIES - 1; z++)
          is_disputed[z] |=
              self->weights[a][z] > 0.5 && self->weights[b][z] > 0.5 && differs (&pairs[z]);
      }
}

/* The reading that is surest of the zone, of those that can be read there if there are any. */
static const RakePhotoZone *
find_surest (const Board *self, guint z)
{
  const RakePhotoZone *surest = &self->readings[0]->zones[z];

  for (guint k = 1; k < self->n_readings; k++)
    {
      const RakePhotoZone *zone = &self->readings[k]->zones[z];
      gboolean is_readable = zone->obstacle == RAKE_PHOTO_READABLE;
      gboolean was_readable = surest->obstacle == RAKE_PHOTO_READABLE;

      if (is_readable != was_readable ? is_readable : zone->confidence > surest->confidence)
        surest = zone;
    }
  return surest;
}

void
rake_combine_zones (const RakePhotoReading *const *readings, guint n_readings,
                    RakePhotoReading *together)
{
  const RakePhotoSight *sight = readings[0]->sight;
  gsize n = rake_raster_get_size (&sight->raster);
  g_autofree Tally *tallies = g_new0 (Tally, N_TALLIES);
  g_autofree gboolean *is_disputed = g_new0 (gboolean, N_TALLIES);
  g_autofree Board *board = g_new0 (Board, 1);

  board->readings = readings;
  board->n_readings = n_readings;
  weigh_readings (board, together->n_zones);
  for (gsize i = 0; i < n; i++)
    if (sight->zone[i] != 0)
      tally_cell (board, i, sight->zone[i], &tallies[sight->zone[i]]);
  find_differences (board, is_disputed);
  for (guint k = 0; k < together->n_zones; k++)
    {
      guint z = MIN (k + 1, N_TALLIES - 1);
      RakePhotoZone *zone = &together->zones[k];
      const RakePhotoZone *surest = find_surest (board, k);

      zone->seen_fraction = tallies[z].n_legible / fmax (tallies[z].n_face, 1);
      zone->glossy_fraction = tallies[z].sum_share / fmax (tallies[z].n_legible, 1);
      zone->regime = surest->regime;
      zone->confidence = tallies[z].sum_sure / fmax (tallies[z].n_seen, 1);
      zone->obstacle = surest->obstacle == RAKE_PHOTO_READABLE && is_disputed[z]
                           ? RAKE_PHOTO_DISAGREE
                           : surest->obstacle;
      zone->advice = rake_reader_advise (zone->obstacle, TRUE);
    }
}
