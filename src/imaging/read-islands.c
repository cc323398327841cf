/* read-islands.c - the islands of gloss, of the polarity that each place has. */
#include "component-tree.h"
#include "islands.h"

#include "../core/i18n.h"

#include <math.h>
#include <string.h>

#define LEAST_MM2 1.0
#define MOST_SHARE 0.15

/* What is a shore, in what is usual, and how steep it must be on the mean above that. */
#define SHORE_STEEPNESS 3.6
#define LEAST_GAIN 0.7

/* So near the rim the registration decides what is face. */
#define RIM_MM 1.0
#define RIM_STRIP_MM 2.6

#define LEAST_CONTRAST 0.08
#define LEAST_WHOLE 0.65
#define MOST_ELONGATION 5.0

/* A large one has to be surer: there are few of them, and they weigh. */
#define LARGE_MM2 80.0
#define LARGE_WHOLE 0.72
#define LARGE_GAIN 1.2

typedef struct
{
  gboolean is_dark;
  guint32 n;
  guint32 *labels;
  RakeIsland *islands;
} Side;

static double
get_contrast (const Side *side, const RakeIsland *island)
{
  return (island->level - island->around) * (side->is_dark ? -1 : 1);
}

static gboolean
is_island (const RakeReader *self, const Side *side, const RakeIsland *island)
{
  gboolean is_large = island->area_mm2 > LARGE_MM2;

  if (get_contrast (side, island) < LEAST_CONTRAST * self->strictness ||
      island->whole < (is_large ? LARGE_WHOLE : LEAST_WHOLE) ||
      (is_large && island->gain < LARGE_GAIN * self->strictness))
    return FALSE;
  /* A streak, a stroke, a scratch; or the rim's own light and shade. */
  return island->length_mm < MOST_ELONGATION * island->width_mm &&
         (island->edge_mm > RIM_STRIP_MM || island->area_mm2 < 12);
}

static void
find_side (const RakeReader *self, const float *values, const float *gain, const guint8 *mask,
           Side *side)
{
  double per_mm2 = self->cells_per_mm * self->cells_per_mm, n_mask = 0;
  gsize n = rake_raster_get_size (&self->raster);
  RakeTreeLimits limits = { LEAST_MM2 * per_mm2, 0, LEAST_GAIN * self->strictness };

  for (gsize i = 0; i < n; i++)
    n_mask += mask[i] != 0;
  limits.max_area_cells = MOST_SHARE * n_mask;
  side->labels = g_new0 (guint32, n);
  side->n = rake_component_tree_find (&self->raster, values, mask, gain, &limits, side->labels);
  side->islands = rake_islands_measure (self, side->labels, side->n, gain);
  for (gsize i = 0; i < n; i++)
    if (side->labels[i] != 0 && !is_island (self, side, &side->islands[side->labels[i]]))
      side->labels[i] = 0;
}

static char *
say_why (const Side *side, const RakeIsland *island)
{
  double times = exp (get_contrast (side, island));

  if (side->is_dark)
    return g_strdup_printf (
        /* Translators: both numbers are percentages. */
        _ ("%.0f %% darker than the matte around it, with a sharp edge along %.0f %% of its shore"),
        100 * (1 - 1 / times), 100 * island->whole);
  return g_strdup_printf (
      /* Translators: the first is how many times as bright, the second a percentage. */
      _ ("%.1f times as bright as the matte around it, with a sharp edge along %.0f %% of its "
         "shore"),
      times, 100 * island->whole);
}

static void
add_spots (const RakeReader *self, const Side *side, GPtrArray *spots)
{
  gsize n = rake_raster_get_size (&self->raster);
  g_autofree guint8 *is_done = g_new0 (guint8, side->n + 1);

  for (gsize i = 0; i < n; i++)
    {
      guint32 label = side->labels[i];
      const RakeIsland *island = &side->islands[label];
      RakePhotoSpot *spot;
      RakeShape *area;

      if (label == 0 || is_done[label] != 0)
        continue;
      is_done[label] = 1;
      area = rake_raster_trace (&self->raster, side->labels, label, island->min_x, island->min_y,
                                island->max_x, island->max_y);
      if (area == NULL)
        continue;
      spot = g_new0 (RakePhotoSpot, 1);
      spot->area = area;
      spot->area_mm2 = rake_shape_get_area_mm2 (area);
      spot->contrast = get_contrast (side, island) * (side->is_dark ? -1 : 1);
      spot->regime = side->is_dark ? RAKE_PHOTO_REGIME_AWAY : RAKE_PHOTO_REGIME_MIRROR;
      spot->confidence = island->whole * island->gain / (island->gain + 1);
      spot->n_showing = spot->n_able = spot->showing = 1;
      spot->why = say_why (side, island);
      g_ptr_array_add (spots, spot);
    }
}

void
rake_reader_find_islands (RakeReader *self, guint32 *labels, GPtrArray *spots)
{
  gsize n = rake_raster_get_size (&self->raster);
  g_autofree float *values = g_new (float, n), *gain = g_new (float, n);
  g_autofree guint8 *mask = g_new (guint8, n);
  guint32 n_before = 0;

  memset (labels, 0, n * sizeof *labels);
  for (gsize i = 0; i < n; i++)
    gain[i] = self->steep[i] - (float) (SHORE_STEEPNESS * self->strictness);
  for (gsize i = 0; i < n; i++)
    if (self->edge_mm[i] < 2)
      gain[i] = fminf (gain[i], 1);
  for (int is_bright = 0; is_bright <= 1; is_bright++)
    {
      Side side = { .is_dark = !is_bright };

      for (gsize i = 0; i < n; i++)
        {
          values[i] = is_bright ? -self->flat[i] : self->flat[i];
          mask[i] = self->edge_mm[i] > RIM_MM && (self->gloss_dark[i] >= 0) != is_bright;
        }
      find_side (self, values, gain, mask, &side);
      add_spots (self, &side, spots);
      for (gsize i = 0; i < n; i++)
        if (side.labels[i] != 0)
          labels[i] = n_before + side.labels[i];
      n_before += side.n;
      g_free (side.labels);
      g_free (side.islands);
    }
}
