/* read-zones.c - what each zone shows, and which of them show nothing that can be trusted. */
#include "combine.h"
#include "reader.h"

#include "../core/i18n.h"

#include <math.h>

#define COVER_MM 14.0

/* Where elsewhere in the picture so much is gloss that a large bare place is odd, and how bare. */
#define WIDESPREAD 0.3
#define MUCH_GLOSS 0.12
#define BARE_SHARE 0.22

#define LEAST_LEGIBLE 0.5
#define LEAST_IN_FRAME 0.4
#define MOST_WASHED 0.5

typedef struct
{
  double n_face, n_seen, n_legible, n_gloss, n_washed, n_black, n_dark, sum_sure;
} Tally;

char *
rake_reader_advise (RakePhotoObstacle obstacle, gboolean is_zone)
{
  switch (obstacle)
    {
    case RAKE_PHOTO_NOT_IN_FRAME:
      return g_strdup (is_zone ? _ ("Too little of the zone is in the picture: step back, or turn "
                                    "the camera towards it")
                               : _ ("Too little of the face is in the picture: step back, or set "
                                    "the points anew"));
    case RAKE_PHOTO_TOO_SMALL:
      return g_strdup (_ ("The face covers too few pixels: go nearer"));
    case RAKE_PHOTO_CLIPPED:
      return g_strdup (_ ("White without any drawing: expose less, or step aside from the lamp's "
                          "mirror image"));
    case RAKE_PHOTO_TOO_DARK:
      return g_strdup (_ ("Black without any drawing: expose more, or bring the lamp nearer"));
    case RAKE_PHOTO_BLURRED:
      return g_strdup (_ ("Out of focus or moved: focus on the face and rest the camera on "
                          "something"));
    case RAKE_PHOTO_NOT_SANDED:
      return g_strdup (_ ("One even sheen, with no matte to see gloss against: sand first, or set "
                          "the lamp lower"));
    case RAKE_PHOTO_EQUAL_BELT:
      return g_strdup (_ ("Gloss and matte are equally bright from here: move the lamp to the "
                          "other side, or step to the left or right"));
    case RAKE_PHOTO_DISAGREE:
      return g_strdup (_ ("The photographs show different things here: wipe the face and take them "
                          "anew, or look yourself"));
    default:
      return NULL;
    }
}

/* How much gloss there usually is where there is any: the middle of the covered places. */
static double
find_usual_cover (const RakeReader *self, const float *cover)
{
  gsize n = rake_raster_get_size (&self->raster), n_seen = 0, n_some = 0;
  g_autofree guint8 *has_some = g_new (guint8, n);

  for (gsize i = 0; i < n; i++)
    {
      has_some[i] = self->mask[i] != 0 && cover[i] > 0.05f;
      n_some += has_some[i];
      n_seen += self->mask[i] != 0;
    }
  if ((double) n_some < WIDESPREAD * (double) n_seen)
    return 0;
  return rake_raster_quantile (&self->raster, cover, has_some, 0.5);
}

/* In the picture, but cavity or bench for all that is known. */
static gboolean
is_doubtful (const RakeReader *self, gsize i)
{
  return self->mask[i] != 0 && !(self->edge_mm[i] > 0);
}

static void
tally_up (const RakeReader *self, const guint32 *labels, const float *cover, float bare,
          Tally *tallies)
{
  gsize n = rake_raster_get_size (&self->raster);

  for (gsize i = 0; i < n; i++)
    {
      Tally *tally = &tallies[self->zone[i]];

      if (self->face[i] == 0 || self->zone[i] == 0 || is_doubtful (self, i))
        continue;
      tally->n_face++;
      if (self->mask[i] == 0)
        continue;
      tally->n_seen++;
      tally->n_washed += self->washed[i] != 0;
      tally->n_black += self->washed[i] != 0 && self->light[i] < -3;
      tally->n_dark += self->gloss_dark[i] >= 0;
      tally->sum_sure += tanh (0.5 * (double) fabsf (self->gloss_dark[i]));
      if (cover[i] <= bare)
        continue;
      tally->n_legible++;
      tally->n_gloss += labels[i] != 0;
    }
}

static RakePhotoObstacle
find_obstacle (const Tally *tally)
{
  if (tally->n_seen < LEAST_IN_FRAME * tally->n_face || tally->n_face < 1)
    return RAKE_PHOTO_NOT_IN_FRAME;
  if (tally->n_washed > MOST_WASHED * tally->n_seen)
    return 2 * tally->n_black > tally->n_washed ? RAKE_PHOTO_TOO_DARK : RAKE_PHOTO_CLIPPED;
  if (tally->n_legible < LEAST_LEGIBLE * tally->n_seen)
    return RAKE_PHOTO_EQUAL_BELT;
  return RAKE_PHOTO_READABLE;
}

static RakePhotoRegime
find_regime (const Tally *tally)
{
  double dark = tally->n_dark / fmax (tally->n_seen, 1);

  if (tally->n_seen < 1)
    return RAKE_PHOTO_REGIME_UNKNOWN;
  return dark > 0.85   ? RAKE_PHOTO_REGIME_AWAY
         : dark < 0.15 ? RAKE_PHOTO_REGIME_MIRROR
                       : RAKE_PHOTO_REGIME_MIXED;
}

/* What of each cell can be held against another photograph's. */
static void
keep_sight (const RakeReader *self, const guint32 *labels, const float *cover, float bare,
            RakePhotoReading *reading)
{
  gsize n = rake_raster_get_size (&self->raster);
  RakePhotoSight *sight = g_new0 (RakePhotoSight, 1);

  sight->raster = self->raster;
  sight->zone = g_new (guint8, n);
  sight->cells = g_new (guint8, n);
  for (gsize i = 0; i < n; i++)
    {
      guint zone = self->zone[i];
      gboolean is_read = zone == 0 || reading->zones[zone - 1].obstacle == RAKE_PHOTO_READABLE;
      double sure = tanh (0.5 * (double) fabsf (self->gloss_dark[i]));

      sight->zone[i] = self->face[i] != 0 ? (guint8) zone : 0;
      sight->cells[i] = self->mask[i] != 0 ? RAKE_SIGHT_SEEN : 0;
      if (labels[i] != 0)
        sight->cells[i] |= RAKE_SIGHT_GLOSS;
      if (self->mask[i] != 0 && !is_doubtful (self, i) && self->washed[i] == 0 && cover[i] > bare &&
          is_read)
        sight->cells[i] |= (guint8) MAX (lround (RAKE_SIGHT_SUREST * sure), 1);
    }
  reading->sight = sight;
}

void
rake_reader_judge_zones (RakeReader *self, const guint32 *labels, RakePhotoReading *reading)
{
  gsize n = rake_raster_get_size (&self->raster);
  g_autofree float *cover = g_new (float, n);
  g_autofree Tally *tallies = g_new0 (Tally, 256);
  double usual;
  float bare;

  for (gsize i = 0; i < n; i++)
    cover[i] = labels[i] != 0;
  rake_raster_blur (&self->raster, cover, self->mask, COVER_MM * self->cells_per_mm, cover);
  usual = find_usual_cover (self, cover);
  bare = usual > MUCH_GLOSS ? (float) (BARE_SHARE * usual) : -1;
  tally_up (self, labels, cover, bare, tallies);
  for (guint k = 0; k < reading->n_zones; k++)
    {
      const Tally *tally = &tallies[MIN (k + 1, 255)];
      RakePhotoZone *zone = &reading->zones[k];

      zone->seen_fraction = tally->n_legible / fmax (tally->n_face, 1);
      zone->glossy_fraction = tally->n_gloss / fmax (tally->n_legible, 1);
      zone->regime = find_regime (tally);
      zone->confidence = tally->sum_sure / fmax (tally->n_seen, 1);
      zone->obstacle = find_obstacle (tally);
      zone->advice = rake_reader_advise (zone->obstacle, TRUE);
    }
  keep_sight (self, labels, cover, bare, reading);
}
