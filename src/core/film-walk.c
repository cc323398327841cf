/* film-walk.c - a zone's history as a sum: coats, passes, readings, repairs, in order.
 *
 * docs/film.md says why each step is as it is. */
#include "film-private.h"

#include <rakelight/coating.h>

#include <math.h>

/* Engineering estimates, where nothing is said: how far off a hand is with what it scuffs, scrapes or
 * sands off; how much a fill shrinks until it is cured, by method. */
#define USUAL_REMOVED_SD_SHARE 0.33
#define DROP_FILL_SHRINK 0.7
#define FILL_SHRINK 0.1
#define FILL_SHRINK_SD 0.1

/* A fill that covers less of the zone than this raises its spot alone. */
#define FILL_COVERS_FRACTION 0.5

/* --- sums ------------------------------------------------------------------------------------------ */

RakeNormal
rake_film_sum_evaluate (const RakeFilmSum *sum, const RakeRates *rates)
{
  guint n = rates->rates->len;
  double mean_um = sum->mean_um;
  double variance_um2 = sum->variance_um2 + sum->shared_sd_um * sum->shared_sd_um;

  if (!sum->is_known)
    return (RakeNormal){ NAN, NAN };
  for (guint i = 0; i < n; i++)
    {
      if (sum->loads[i] == 0)
        continue;
      mean_um += sum->loads[i] * g_array_index (rates->rates, RakeRate, i).mean_um;
      for (guint j = 0; j < n; j++)
        variance_um2 += sum->loads[i] * rates->covariance[i * n + j] * sum->loads[j];
    }
  return (RakeNormal){ mean_um, sqrt (MAX (variance_um2, 0)) };
}

static void
clear_loads (RakeFilmSum *sum, guint n)
{
  for (guint i = 0; i < n; i++)
    sum->loads[i] = 0;
}

static void
add_change (RakeFilmSum *sum, RakeNormal change)
{
  sum->mean_um += change.mean;
  sum->variance_um2 += change.sd * change.sd;
}

/* --- small questions -------------------------------------------------------------------------------- */

static double
or_nothing (double value)
{
  return isnan (value) ? 0 : value;
}

static RakeNormal
get_removed (double removed_um, double sd_um)
{
  double mean_um = or_nothing (removed_um);

  return (RakeNormal){ mean_um, isnan (sd_um) ? USUAL_REMOVED_SD_SHARE * mean_um : sd_um };
}

static gboolean
is_recoat (const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_REPAIR && entry->repair.method == RAKE_REPAIR_RECOAT;
}

static gboolean
is_film_reading (const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_READING && entry->reading.quantity == RAKE_QUANTITY_FILM_UM;
}

/* What was sprayed went over the whole face, unless the coat says another area. The logbook tells
 * thinner as a share of what was sprayed, the sums as what was added to a volume of finish. */
static RakeCoatingWay
take_coat (const RakeFilmWalk *walk, const RakeEntry *entry, RakeNormal *dry)
{
  RakeCoatBody coat = entry->coat;

  if (isnan (coat.area_mm2))
    coat.area_mm2 = rake_shape_get_area_mm2 (walk->zone->face->outline);
  coat.thinner_fraction /= 1 - coat.thinner_fraction;
  return rake_coating_take (&coat, dry, NULL);
}

static gboolean
is_reckonable (const RakeFilmWalk *walk, const RakeEntry *entry)
{
  RakeNormal dry;

  return take_coat (walk, entry, &dry) != RAKE_COATING_UNKNOWN;
}

/* A recoat is entered as a repair, as a coat, or as both. With both, the coats tell its film where they
 * can, else the repair does. Looks from @index one way, up to the next work on the film. */
static const RakeEntry *
find_same_recoat (const RakeFilmWalk *walk, guint index, int direction)
{
  for (guint i = index + (guint) direction; i < walk->history->len; i += (guint) direction)
    {
      const RakeEntry *entry = walk->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_PASS || is_film_reading (entry))
        return NULL;
      if (direction > 0 && entry->kind == RAKE_ENTRY_COAT && is_reckonable (walk, entry))
        return entry;
      if (direction < 0 && is_recoat (entry))
        return entry;
    }
  return NULL;
}

/* --- steps ------------------------------------------------------------------------------------------ */

static void
lose (RakeFilmWalk *walk, RakeFilmStanding standing, const RakeEntry *obstacle)
{
  if (walk->film.is_known || walk->standing == RAKE_FILM_NO_COATS)
    {
      walk->standing = standing;
      walk->obstacle = obstacle;
    }
  walk->film.is_known = walk->last_coat.is_known = walk->is_read = FALSE;
}

/* Nothing lies below the very first coat, unless it was sanded before: then there was something. */
static gboolean
begin_film (RakeFilmWalk *walk)
{
  if (walk->standing != RAKE_FILM_NO_COATS || walk->obstacle != NULL)
    return walk->film.is_known;
  walk->standing = RAKE_FILM_KNOWN;
  walk->film.is_known = TRUE;
  return TRUE;
}

/* @is_alike: reckoned as the other coats were, by the same gun, hand and tin, so they err alike. */
static void
add_coat (RakeFilmWalk *walk, RakeNormal dry, gboolean is_alike)
{
  guint n = walk->rates->rates->len;

  double shared_um = is_alike ? dry.sd : 0, own_um2 = is_alike ? 0 : dry.sd * dry.sd;

  walk->kind = RAKE_FILM_COAT;
  walk->change = dry;
  walk->begins_coat = TRUE;
  walk->covariance_um2 = own_um2;
  if (begin_film (walk))
    {
      walk->film.mean_um += dry.mean;
      walk->film.shared_sd_um += shared_um;
      walk->film.variance_um2 += own_um2;
    }
  clear_loads (&walk->last_coat, n);
  walk->last_coat.is_known = rake_job_get_coats_fuse (walk->job) == RAKE_ANSWER_NO;
  walk->last_coat.mean_um = dry.mean;
  walk->last_coat.variance_um2 = own_um2;
  walk->last_coat.shared_sd_um = shared_um;
}

static gboolean
step_coat (RakeFilmWalk *walk, guint index)
{
  const RakeCoatBody *coat = &walk->entry->coat;
  double factor = walk->zone->coat_factor;
  RakeNormal dry, scuff = get_removed (coat->scuff_um, coat->scuff_sd_um);
  gboolean is_alike;

  walk->way = (int) take_coat (walk, walk->entry, &dry);
  if (walk->way == RAKE_COATING_UNKNOWN)
    {
      const RakeEntry *repair = find_same_recoat (walk, index, -1);

      if (repair != NULL && isfinite (repair->repair.added_um))
        return FALSE;
      lose (walk, RAKE_FILM_COAT_UNKNOWN, walk->entry);
      walk->kind = RAKE_FILM_COAT;
      walk->change = (RakeNormal){ NAN, NAN };
      walk->begins_coat = TRUE;
      return TRUE;
    }
  if (walk->film.is_known && scuff.mean > 0)
    {
      walk->scuff = scuff;
      add_change (&walk->film, (RakeNormal){ -scuff.mean, scuff.sd });
      walk->after_scuff = rake_film_sum_evaluate (&walk->film, walk->rates);
    }
  is_alike = walk->way != RAKE_COATING_FROM_DRY || isnan (coat->dry_sd_um);
  add_coat (walk, (RakeNormal){ factor * dry.mean, factor * dry.sd }, is_alike);
  return TRUE;
}

static void
change_both (RakeFilmWalk *walk, RakeNormal change)
{
  add_change (&walk->film, change);
  add_change (&walk->last_coat, change);
  walk->covariance_um2 += change.sd * change.sd;
}

static gboolean
step_recoat (RakeFilmWalk *walk, guint index)
{
  const RakeRepairBody *repair = &walk->entry->repair;
  RakeNormal removed = get_removed (repair->removed_um, repair->removed_sd_um);
  double factor = walk->zone->coat_factor, added_um = repair->added_um;

  walk->begins_coat = TRUE;
  if (find_same_recoat (walk, index, 1) != NULL)
    {
      walk->kind = RAKE_FILM_REPAIR;
      walk->change = (RakeNormal){ -removed.mean, removed.sd };
      add_change (&walk->film, walk->change);
      return removed.mean > 0;
    }
  if (isnan (added_um))
    {
      lose (walk, RAKE_FILM_COAT_UNKNOWN, walk->entry);
      walk->kind = RAKE_FILM_COAT;
      walk->change = (RakeNormal){ NAN, NAN };
      return TRUE;
    }
  walk->way = RAKE_COATING_FROM_DRY;
  add_coat (walk,
            (RakeNormal){ factor * added_um, factor * (isnan (repair->added_sd_um)
                                                           ? RAKE_COATING_USUAL_DRY_SD * added_um
                                                           : repair->added_sd_um) },
            isnan (repair->added_sd_um));
  change_both (walk, (RakeNormal){ -removed.mean, removed.sd });
  walk->change =
      (RakeNormal){ walk->change.mean - removed.mean, hypot (walk->change.sd, removed.sd) };
  return TRUE;
}

static RakeNormal
get_filled (const RakeRepairBody *repair)
{
  gboolean is_drop = repair->method == RAKE_REPAIR_DROP_FILL;
  double shrink = repair->shrink_fraction, shrink_sd = repair->shrink_sd_fraction;
  double added_um = or_nothing (repair->added_um), added_sd_um = repair->added_sd_um;
  double left, sd_um;

  if (repair->method != RAKE_REPAIR_DROP_FILL && repair->method != RAKE_REPAIR_FILL)
    return (RakeNormal){ 0, 0 };
  if (isnan (shrink_sd))
    shrink_sd = isnan (shrink) ? FILL_SHRINK_SD : 0;
  if (isnan (shrink))
    shrink = is_drop ? DROP_FILL_SHRINK : FILL_SHRINK;
  if (isnan (added_sd_um))
    added_sd_um = USUAL_REMOVED_SD_SHARE * added_um;
  left = 1 - shrink;
  sd_um = hypot (left * added_sd_um, added_um * shrink_sd);
  return (RakeNormal){ left * added_um, sd_um };
}

/* Whether the marks that a repair closes cover most of the zone. */
static gboolean
covers_zone (const RakeFilmWalk *walk, const RakeRepairBody *repair)
{
  double area_mm2 = 0;

  for (guint i = 0; i < repair->marks->len; i++)
    {
      const RakeEntry *mark =
          rake_job_find_entry (walk->job, g_array_index (repair->marks, RakeId, i));

      if (mark != NULL && mark->kind == RAKE_ENTRY_MARK)
        area_mm2 += rake_shape_get_area_mm2 (mark->mark.shape);
    }
  return area_mm2 >= FILL_COVERS_FRACTION * rake_shape_get_area_mm2 (walk->zone->shape);
}

/* What was taken off counts for the zone: its thinnest place is what the risk is about. What was added
 * raises a spot, and the zone only where it covers most of it. */
static gboolean
step_repair (RakeFilmWalk *walk)
{
  const RakeRepairBody *repair = &walk->entry->repair;
  RakeNormal filled = get_filled (repair);
  RakeNormal removed = get_removed (repair->removed_um, repair->removed_sd_um);
  RakeNormal net = { filled.mean - removed.mean, hypot (filled.sd, removed.sd) };

  if (filled.mean <= 0 && removed.mean <= 0)
    return FALSE;
  walk->kind = RAKE_FILM_REPAIR;
  if (filled.mean > 0 && net.mean > 0 && !covers_zone (walk, repair))
    {
      walk->change = (RakeNormal){ 0, 0 };
      return TRUE;
    }
  walk->change = net;
  change_both (walk, net);
  return TRUE;
}

static void
sand (RakeFilmWalk *walk, guint index)
{
  double factor = walk->zone->edge_factor;
  double scatter_um = factor * rake_rates_get (walk->rates, index)->scatter_sd_um;

  walk->film.loads[index] -= factor;
  walk->last_coat.loads[index] -= factor;
  change_both (walk, (RakeNormal){ 0, scatter_um });
}

static gboolean
step_pass (RakeFilmWalk *walk)
{
  const RakeStage *stage = rake_job_find_stage (walk->job, walk->entry->pass.stage);

  walk->kind = RAKE_FILM_PASSES;
  walk->change = (RakeNormal){ NAN, NAN };
  if (stage != NULL && *stage->grade == '\0')
    return FALSE; /* nothing is taken by looking */
  walk->rate_index = stage != NULL ? rake_rates_index (walk->rates, stage->grade) : -1;
  if (walk->rate_index < 0)
    lose (walk, walk->standing == RAKE_FILM_NO_COATS ? RAKE_FILM_NO_COATS : RAKE_FILM_RATE_UNKNOWN,
          walk->entry);
  else
    {
      sand (walk, (guint) walk->rate_index);
      if (walk->standing == RAKE_FILM_NO_COATS)
        walk->obstacle = walk->entry;
    }
  return TRUE;
}

/* A reading sees all errors at once: what coats share is from here on a doubt like the others. */
static void
fold_shared (RakeFilmWalk *walk)
{
  RakeFilmSum *film = &walk->film, *last = &walk->last_coat;

  walk->covariance_um2 += film->shared_sd_um * last->shared_sd_um;
  film->variance_um2 += film->shared_sd_um * film->shared_sd_um;
  last->variance_um2 += last->shared_sd_um * last->shared_sd_um;
  film->shared_sd_um = last->shared_sd_um = 0;
}

/* What is by now known of the whole film is known in part of its last coat. */
static void
correct_last_coat (RakeFilmWalk *walk, double surprise_um, double surprise_um2)
{
  RakeFilmSum *last = &walk->last_coat;
  double gain = surprise_um2 > 0 ? walk->covariance_um2 / surprise_um2 : 0;

  last->mean_um += gain * surprise_um;
  last->variance_um2 -= gain * walk->covariance_um2;
  for (guint i = 0; i < walk->rates->rates->len; i++)
    last->loads[i] -= gain * walk->film.loads[i];
}

/* A film that was read before: what the reading tells of the rates, and the two weighed by their doubt. */
static void
read_again (RakeFilmWalk *walk, RakeNormal read)
{
  RakeFilmSum *film = &walk->film;
  double share;

  fold_shared (walk);
  walk->innovation_um = read.mean - film->mean_um;
  walk->innovation_variance_um2 = film->variance_um2 + read.sd * read.sd;
  for (guint i = 0; i < walk->rates->rates->len; i++)
    walk->innovation_loads[i] = film->loads[i];
  share =
      walk->innovation_variance_um2 > 0 ? film->variance_um2 / walk->innovation_variance_um2 : 0.5;
  correct_last_coat (walk, walk->innovation_um, walk->innovation_variance_um2);
  walk->covariance_um2 *= 1 - share;
  film->mean_um += share * walk->innovation_um;
  film->variance_um2 *= 1 - share;
  for (guint i = 0; i < walk->rates->rates->len; i++)
    film->loads[i] *= 1 - share;
}

static void
step_reading (RakeFilmWalk *walk)
{
  const RakeReadingBody *reading = &walk->entry->reading;
  RakeNormal read = { reading->value,
                      isnan (reading->sd) ? RAKE_FILM_USUAL_GAUGE_SD_UM : reading->sd };

  walk->kind = RAKE_FILM_READING;
  walk->change = read;
  if (walk->is_read)
    {
      read_again (walk, read);
      return;
    }
  fold_shared (walk);
  walk->covariance_um2 = 0;
  walk->is_read = walk->film.is_known = TRUE;
  walk->standing = RAKE_FILM_KNOWN;
  walk->obstacle = NULL;
  walk->film.mean_um = read.mean;
  walk->film.variance_um2 = read.sd * read.sd;
  clear_loads (&walk->film, walk->rates->rates->len);
}

/* FALSE when the entry has nothing to do with the film. */
static gboolean
step (RakeFilmWalk *walk, guint index)
{
  switch ((int) walk->entry->kind)
    {
    case RAKE_ENTRY_COAT:
      return step_coat (walk, index);
    case RAKE_ENTRY_PASS:
      return step_pass (walk);
    case RAKE_ENTRY_READING:
      if (walk->entry->reading.quantity != RAKE_QUANTITY_FILM_UM)
        return FALSE;
      step_reading (walk);
      return TRUE;
    case RAKE_ENTRY_REPAIR:
      return is_recoat (walk->entry) ? step_recoat (walk, index) : step_repair (walk);
    default:
      return FALSE;
    }
}

gboolean
rake_film_walk_step (RakeFilmWalk *walk)
{
  while (walk->next < walk->history->len)
    {
      guint index = walk->next++;

      walk->entry = walk->history->pdata[index];
      walk->scuff = (RakeNormal){ 0, 0 };
      walk->rate_index = -1;
      walk->way = 0;
      walk->begins_coat = FALSE;
      walk->innovation_um = walk->innovation_variance_um2 = NAN;
      if (step (walk, index))
        return TRUE;
    }
  return FALSE;
}

void
rake_film_walk_init (RakeFilmWalk *walk, const RakeJob *job, const RakeZone *zone,
                     const RakeRates *rates, GPtrArray *history)
{
  guint n = MAX (rates->rates->len, 1);

  *walk = (RakeFilmWalk){ .job = job,
                          .zone = zone,
                          .rates = rates,
                          .history = history,
                          .standing = RAKE_FILM_NO_COATS };
  walk->film.loads = g_new0 (double, n);
  walk->last_coat.loads = g_new0 (double, n);
  walk->innovation_loads = g_new0 (double, n);
}

void
rake_film_walk_clear (RakeFilmWalk *walk)
{
  g_clear_pointer (&walk->film.loads, g_free);
  g_clear_pointer (&walk->last_coat.loads, g_free);
  g_clear_pointer (&walk->innovation_loads, g_free);
}
