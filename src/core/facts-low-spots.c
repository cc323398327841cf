/* facts-low-spots.c - how much is still glossy, and whether it goes. docs/judging.md, "Looks" and
 * "History behind the facts". */
#include "facts-private.h"

#include <math.h>

/* What one window told. */
typedef struct
{
  gboolean is_told;         /* a proper look said what the zone shows */
  double fraction;
  double island_mm;         /* NaN: not known */
  double n_over_limit;      /* islands over the limit; NaN: not known */
} LowSpots;

static gboolean
is_proper_in (const RakeStory *story, const RakeLookTold *look, guint window)
{
  if (look->window != window || !look->is_proper)
    return FALSE;
  return window < story->passes->len || look->is_current;
}

/* Open patches of now; of a window before, those seen in it, open or not by now. */
static GPtrArray *
find_patches (const RakeStory *story, guint window)
{
  GPtrArray *shapes = g_ptr_array_new ();

  if (window == story->passes->len)
    {
      for (guint i = 0; i < story->zone->marks->len; i++)
        {
          const RakeMark *mark = story->zone->marks->pdata[i];
          int look = rake_story_find_look (story, mark->last_seen);

          if (mark->kind == RAKE_MARK_LOW_SPOT && mark->closed_by == NULL && look >= 0 &&
              is_proper_in (story, rake_story_look (story, (guint) look), window))
            g_ptr_array_add (shapes, (gpointer) mark->shape);
        }
      return shapes;
    }
  for (guint i = 0; i < story->sightings->len; i++)
    {
      const RakeSighting *sighting = &g_array_index (story->sightings, RakeSighting, i);

      if (sighting->mark->mark.mark == RAKE_MARK_LOW_SPOT &&
          is_proper_in (story, rake_story_look (story, sighting->look), window))
        g_ptr_array_add (shapes, (gpointer) sighting->shape);
    }
  return shapes;
}

/* How many islands are over the limit, from the patches or as said; NaN when nobody can tell. */
static double
count_over_limit (const RakeStateBody *said, const RakePatches *patches, double patch_fraction)
{
  if (said != NULL && isfinite (said->n_islands_over_limit))
    return MAX (said->n_islands_over_limit, patches->n_over_limit);
  if (said != NULL && said->state == RAKE_STATE_LOW_SPOT && isfinite (said->low_spot_fraction) &&
      said->low_spot_fraction > patch_fraction)
    return NAN; /* more was seen than was painted */
  return patches->n > 0 ? (double) patches->n_over_limit : (double) NAN;
}

static LowSpots
read_window (const RakeStory *story, guint window, double limit_mm)
{
  LowSpots told = { .island_mm = NAN, .n_over_limit = NAN };
  const RakeStateBody *said = NULL;
  double zone_mm2 = rake_shape_get_area_mm2 (story->zone->shape), patch_fraction;
  g_autoptr (GPtrArray) shapes = NULL;
  RakePatches patches;

  for (guint i = 0; i < story->looks->len; i++)
    {
      const RakeLookTold *look = rake_story_look (story, i);

      if (!is_proper_in (story, look, window))
        continue;
      told.is_told |= look->is_statement;
      if (look->low_spot != NULL)
        said = look->low_spot;
    }
  if (!told.is_told)
    return told;

  shapes = find_patches (story, window);
  patches = rake_patches_measure (shapes, story->zone->shape, limit_mm);
  patch_fraction = zone_mm2 > 0 ? MIN (patches.area_mm2 / zone_mm2, 1) : 0;
  told.fraction = patch_fraction;
  told.island_mm = patches.island_mm; /* 0 without patches: what was not told of was not seen */
  if (said != NULL && said->state == RAKE_STATE_LOW_SPOT)
    {
      double fraction = said->low_spot_fraction;

      if (!isfinite (fraction) && patches.n == 0)
        fraction = 1; /* low spot, and no more said: all of it */
      if (isfinite (fraction))
        told.fraction = MAX (fraction, patch_fraction);
      if (isfinite (said->largest_island_mm))
        told.island_mm = MAX (said->largest_island_mm, patches.island_mm);
      else if (patches.n == 0 && told.fraction > 0)
        told.island_mm = NAN;
    }
  told.n_over_limit = count_over_limit (said, &patches, patch_fraction);
  return told;
}

/* By how much of itself something has fallen; the rounding takes away what only the binary fraction
 * of a tenth brings in: from 30 % to 27 % is a tenth. */
static double
fallen_fraction (double before, double now)
{
  return round ((before - now) / before * 1e9) / 1e9;
}

/* The share at the last proper statement before the last pass, in the run of passes at this stage. */
static void
take_drop (RakeFacts *facts, const RakeStory *story, const LowSpots *now, double limit_mm)
{
  guint last = story->passes->len;

  for (guint window = last; now->is_told && window-- > last - story->passes_here + 1;)
    {
      LowSpots before = read_window (story, window, limit_mm);

      if (!before.is_told)
        continue;
      if (before.fraction > 0)
        rake_facts_set (facts, RAKE_FACT_LOW_SPOT_DROP_FRACTION,
                        fallen_fraction (before.fraction, now->fraction));
      return;
    }
}

/* The largest island as it was before two passes or more, but no further back than the look before
 * the first pass at this stage. */
static void
take_shrink (RakeFacts *facts, const RakeStory *story, const LowSpots *now, double limit_mm)
{
  guint last = story->passes->len;

  if (!now->is_told || !isfinite (now->island_mm) || story->passes_here < 2)
    return;
  for (guint window = last - 1; window-- > last - story->passes_here;)
    {
      LowSpots before = read_window (story, window, limit_mm);

      if (!before.is_told || !isfinite (before.island_mm))
        continue;
      if (before.island_mm > 0)
        rake_facts_set (facts, RAKE_FACT_ISLAND_SHRINK_FRACTION,
                        fallen_fraction (before.island_mm, now->island_mm));
      return;
    }
}

static double
disc_area_mm2 (double diameter_mm)
{
  return G_PI / 4 * diameter_mm * diameter_mm;
}

/* Counted where somebody counted. Else what is glossy besides the largest island tells: less than one
 * island of the limit's size, or no more than the gate leaves, and the rest is level. */
static void
take_other_islands (RakeFacts *facts, const RakeStory *story, const LowSpots *now, double limit_mm)
{
  double zone_mm2 = rake_shape_get_area_mm2 (story->zone->shape), rest_mm2;

  if (!now->is_told)
    return;
  if (isfinite (now->n_over_limit))
    {
      rake_facts_set (facts, RAKE_FACT_OTHER_ISLANDS_OVER_LIMIT, MAX (now->n_over_limit - 1, 0));
      return;
    }
  if (!isfinite (now->island_mm))
    return;
  rest_mm2 = now->fraction * zone_mm2 - disc_area_mm2 (now->island_mm);
  if (rest_mm2 < disc_area_mm2 (limit_mm) ||
      rest_mm2 <= facts->value[RAKE_FACT_LOW_SPOT_LIMIT] * zone_mm2)
    rake_facts_set (facts, RAKE_FACT_OTHER_ISLANDS_OVER_LIMIT, 0);
}

void
rake_facts_take_low_spots (RakeFacts *facts, const RakeStory *story)
{
  gboolean has_limit = facts->knowledge[RAKE_FACT_ISLAND_LIMIT_MM] == RAKE_KNOWN;
  double limit_mm = has_limit ? facts->value[RAKE_FACT_ISLAND_LIMIT_MM] : INFINITY;
  LowSpots now = read_window (story, story->passes->len, limit_mm);

  if (now.is_told)
    {
      rake_facts_set (facts, RAKE_FACT_LOW_SPOT_FRACTION, now.fraction);
      rake_facts_set (facts, RAKE_FACT_LARGEST_ISLAND_MM, now.island_mm);
    }
  /* With nothing glossy left there is nothing that could have stalled. */
  if (now.is_told && now.fraction > 0)
    {
      take_drop (facts, story, &now, limit_mm);
      take_shrink (facts, story, &now, limit_mm);
    }
  if (has_limit)
    take_other_islands (facts, story, &now, limit_mm);
  else if (story->zone->is_edge)
    rake_facts_set_none (facts, RAKE_FACT_OTHER_ISLANDS_OVER_LIMIT);
}

GArray *
rake_facts_take_shares (const RakeJob *job, const RakeZone *zone, const RakeLimits *limits)
{
  GArray *shares = g_array_new (FALSE, FALSE, sizeof (RakeShareTold));
  g_auto (RakeStory) story;

  rake_story_init (&story, job, zone, limits, 0);
  for (guint window = 0; window <= story.passes->len; window++)
    {
      LowSpots told = read_window (&story, window, INFINITY);
      RakeShareTold share = { .pass = window > 0 ? rake_story_pass (&story, window - 1)->entry : NULL,
                              .low_spot_fraction = told.is_told ? told.fraction : (double) NAN,
                              .largest_island_mm = told.island_mm };

      g_array_append_val (shares, share);
    }
  return shares;
}
