/* lit-face.c - see lit-face.h. The face is painted on planes of cells: how much it mirrors, how matte
 * it is, how light or dark, and its own colour. */
#include "lit-face.h"

#include "raster.h"

#include <math.h>
#include <string.h>

#define N_COLOURS 3
#define SCRATCH_MM 0.18   /* half the width that a scratch is seen with */
#define AROUND_MARK_MM 4

enum
{
  BESIDE,
  ON_FACE,
  IN_HOLE,
};

typedef struct
{
  float colour[N_COLOURS]; /* of the film on its ground */
  float gloss;             /* 0 matte, 1 a mirror */
  float shade;             /* how much more light comes from here: natural logarithm */
} Cell;

struct _LitFace
{
  RakeRaster raster;
  guint8 *inside; /* BESIDE, ON_FACE, IN_HOLE */
  Cell *cells;
  double lamp_x, lamp_y; /* towards the lamp, length 1 */
  RakeBounds box;        /* of the face */
  gboolean is_black, is_polished, is_grain_upright;
  guint32 seed;
};

/* --- noise ------------------------------------------------------------------------------------- */

static double
scatter (guint32 seed, gint64 x, gint64 y)
{
  guint64 h = (guint64) x * 0x9e3779b97f4a7c15u ^ (guint64) y * 0xc2b2ae3d27d4eb4fu ^ seed;

  h ^= h >> 31;
  h *= 0xbf58476d1ce4e5b9u;
  h ^= h >> 29;
  h *= 0x94d049bb133111ebu;
  h ^= h >> 32;
  return (double) (h >> 11) / (double) (G_GUINT64_CONSTANT (1) << 53);
}

/* Smooth, 0 to 1, one hill a unit. */
static double
waves (guint32 seed, double x, double y)
{
  gint64 i = (gint64) floor (x), j = (gint64) floor (y);
  double u = x - floor (x), v = y - floor (y);
  double above, below;

  u = u * u * (3 - 2 * u);
  v = v * v * (3 - 2 * v);
  above = scatter (seed, i, j) * (1 - u) + scatter (seed, i + 1, j) * u;
  below = scatter (seed, i, j + 1) * (1 - u) + scatter (seed, i + 1, j + 1) * u;
  return above * (1 - v) + below * v;
}

static double
smooth_step (double from, double to, double x)
{
  double t = CLAMP ((x - from) / (to - from), 0, 1);

  return t * t * (3 - 2 * t);
}

/* --- the ground -------------------------------------------------------------------------------- */

/* Wood, with pores and rings along the grain; or black polyester. */
static void
paint_ground (const LitFace *self, double x, double y, Cell *cell)
{
  static const float wood[] = { 0.34f, 0.15f, 0.055f }, black[] = { 0.012f, 0.012f, 0.014f };
  double along = self->is_grain_upright ? y : x, across = self->is_grain_upright ? x : y;
  double rings =
      waves (self->seed + 1, across / 5 + 0.8 * waves (self->seed + 2, along / 90, across / 40),
             along / 160);
  double pores = waves (self->seed + 3, across / 0.7, along / 14);
  double tone = 0.65 + 0.5 * rings - 0.35 * smooth_step (0.8, 0.95, pores);

  for (int c = 0; c < N_COLOURS; c++)
    cell->colour[c] = self->is_black ? black[c] : (float) (wood[c] * tone);
}

static void
visit_ground (gsize begin, gsize n, gpointer data)
{
  LitFace *self = data;

  for (gsize i = begin; i < begin + n; i++)
    {
      gsize column = i % (gsize) self->raster.width, row = i / (gsize) self->raster.width;
      double x = self->raster.x_mm + ((double) column + 0.5) * self->raster.cell_mm;
      double y = self->raster.y_mm + ((double) row + 0.5) * self->raster.cell_mm;

      self->inside[i] = ON_FACE;
      paint_ground (self, x, y, &self->cells[i]);
      self->cells[i].gloss = self->is_polished ? 1 : 0;
    }
}

/* --- low spots --------------------------------------------------------------------------------- */

typedef struct
{
  double fraction, island_mm;
} Low;

/* What the zone was last said to show. */
static Low
find_low (const RakeZone *zone)
{
  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (entry->kind != RAKE_ENTRY_STATE)
        continue;
      if (entry->state.state != RAKE_STATE_LOW_SPOT)
        return (Low){ 0, 0 };
      return (Low){ entry->state.low_spot_fraction, isfinite (entry->state.largest_island_mm)
                                                        ? entry->state.largest_island_mm
                                                        : 5 };
    }
  return (Low){ 0, 0 };
}

static gboolean
has_low_spot_marks (const RakeZone *zone)
{
  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];

      if (mark->kind == RAKE_MARK_LOW_SPOT && mark->closed_by == NULL)
        return TRUE;
    }
  return FALSE;
}

/* Where the film lies lowest the paper has not been: a lake for each hollow of a hilly country that is
 * under water for the fraction that was said. */
static void
flood (LitFace *self, const RakeZone *zone, const Low *low, guint32 seed)
{
  gsize n = rake_raster_get_size (&self->raster);
  g_autofree guint8 *mask = g_new0 (guint8, n);
  g_autofree float *height = g_new0 (float, n);
  double hill_mm = MAX (low->island_mm, 2.5), level;

  rake_raster_fill (&self->raster, zone->shape, 1, mask);
  for (gsize i = 0; i < n; i++)
    if (mask[i])
      {
        gsize column = i % (gsize) self->raster.width, row = i / (gsize) self->raster.width;
        double x = (self->raster.x_mm + (double) column * self->raster.cell_mm) / hill_mm;
        double y = (self->raster.y_mm + (double) row * self->raster.cell_mm) / hill_mm;

        /* Askew, so that the hills' rows are not seen. */
        height[i] = (float) (waves (seed, 0.83 * x + 0.56 * y, 0.83 * y - 0.56 * x) +
                             0.35 * waves (seed + 1, 2.3 * x - 1.2 * y, 2.3 * y + 1.2 * x));
      }
  level = rake_raster_quantile (&self->raster, height, mask, low->fraction);
  for (gsize i = 0; i < n; i++)
    if (mask[i])
      self->cells[i].gloss = (float) MAX (
          self->cells[i].gloss, 1 - smooth_step (level - 0.035, level + 0.035, height[i]));
}

static void
flood_zones (LitFace *self, const RakeFace *face)
{
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      Low low = find_low (zone);

      if (low.fraction > 0 && !self->is_polished && !has_low_spot_marks (zone))
        flood (self, zone, &low, self->seed + 100 * (i + 1));
    }
}

/* --- marks ------------------------------------------------------------------------------------- */

static void
blend (Cell *cell, double share, double red, double green, double blue)
{
  const double to[] = { red, green, blue };

  for (int c = 0; c < N_COLOURS; c++)
    cell->colour[c] = (float) (cell->colour[c] * (1 - share) + to[c] * share);
}

static void
set_gloss (Cell *cell, double share, double gloss)
{
  cell->gloss = (float) (cell->gloss * (1 - share) + gloss * share);
}

/* A cell of or beside a mark. */
typedef struct
{
  double x, y;
  double depth;  /* in the mark, in mm; outside it how far, below 0 */
  double across; /* 1 on the lamp's side of it, -1 on the other */
} Spot;

/* Heat: brown to black within, swollen around; on black a grey blot. */
static void
paint_burn (const LitFace *self, Cell *cell, const Spot *spot)
{
  double ragged = spot->depth + 2.4 * (waves (self->seed + 7, spot->x / 3, spot->y / 3) - 0.5);
  double within = smooth_step (-1.2, 2.6, ragged),
         around = smooth_step (-3.5, 0, ragged) * (1 - within);
  double grain = waves (self->seed + 8, spot->x / 0.9, spot->y / 0.9) - 0.5;

  if (self->is_black)
    {
      blend (cell, 0.6 * within, 0.1, 0.09, 0.08);
      set_gloss (cell, within, 0.35);
      cell->shade += (float) (0.35 * within * grain + 0.4 * around * spot->across);
      return;
    }
  blend (cell, 0.95 * within, 0.02, 0.009, 0.004);
  blend (cell, 0.7 * around, 0.08, 0.025, 0.006);
  set_gloss (cell, within, 0.04);
  cell->shade -= (float) (within * (1.7 + 0.5 * grain));
}

/* Down to pale wood, with a dark rim of the film's edge. */
static void
paint_sand_through (const LitFace *self, Cell *cell, const Spot *spot)
{
  double ragged = spot->depth + 2 * (waves (self->seed + 9, spot->x / 3, spot->y / 3) - 0.5);
  double pale = smooth_step (-0.3, 0.6, ragged);
  double tone = 0.8 + 0.3 * waves (self->seed + 10, spot->x / 0.8, spot->y / 9);

  cell->shade -= (float) (0.5 * smooth_step (-2.5, -0.3, ragged) * (1 - pale));
  blend (cell, pale, 0.62 * tone, 0.42 * tone, 0.24 * tone);
  set_gloss (cell, pale, 0);
}

/* A hollow (height below 0) or a hump: one side of it takes the lamp's light. */
static void
paint_hump (const LitFace *self, Cell *cell, const Spot *spot, double height)
{
  double slope = spot->depth > -1 && spot->depth < 2 ? cos ((spot->depth - 0.5) * G_PI / 3) : 0;

  cell->shade += (float) (height * slope * spot->across);
  set_gloss (cell, smooth_step (-0.4, 0.4, spot->depth), 0.8);
}

static void
paint_dull_spot (const LitFace *self, Cell *cell, const Spot *spot)
{
  double clouds = waves (self->seed + 11, spot->x / 14, spot->y / 14) +
                  0.5 * waves (self->seed + 12, spot->x / 5, spot->y / 5) - 0.75;

  double veil = smooth_step (-7, 12, spot->depth + 10 * clouds);

  set_gloss (cell, 0.85 * veil, 0.1);
  cell->shade -= (float) (0.25 * veil);
}

/* A furrow: dark to one side, and its raw edge catches the lamp here and there. */
static void
paint_scratch (const LitFace *self, Cell *cell, const Spot *spot)
{
  double away = -spot->depth, catches = waves (self->seed + 13, spot->x / 1.3, spot->y / 1.3);

  cell->shade -= (float) (0.9 * (1 - smooth_step (SCRATCH_MM, 3 * SCRATCH_MM, away)));
  blend (cell,
         0.9 * smooth_step (0.3, 0.5, catches) *
             (1 - smooth_step (0.2 * SCRATCH_MM, SCRATCH_MM, away)),
         3.5, 3.3, 2.9);
}

static void
paint_at (const LitFace *self, Cell *cell, const RakeMark *mark, const Spot *spot)
{
  if (mark->was_repaired)
    paint_hump (self, cell, spot, 0.8);
  else if (mark->kind == RAKE_MARK_WITNESS_LINE)
    cell->shade +=
        (float) (0.5 * (spot->across > 0 ? 0.8 : -1) * (1 - smooth_step (0, 1.1, -spot->depth)));
  else if (mark->kind == RAKE_MARK_LOW_SPOT)
    set_gloss (cell, smooth_step (-0.3, 0.3, spot->depth), 1);
  else if (mark->kind == RAKE_MARK_BURN)
    paint_burn (self, cell, spot);
  else if (mark->kind == RAKE_MARK_SAND_THROUGH)
    paint_sand_through (self, cell, spot);
  else if (mark->kind == RAKE_MARK_DULL_SPOT)
    paint_dull_spot (self, cell, spot);
  else if (rake_shape_get_kind (mark->shape) == RAKE_SHAPE_LINE)
    paint_scratch (self, cell, spot);
  else
    paint_hump (self, cell, spot, mark->kind == RAKE_MARK_CRATER ? -0.9 : 0.9);
}

/* A line or a point as thin an area as the cells can hold. */
static RakeShape *
widen (const RakeShape *shape, double radius_mm)
{
  guint n_points;
  const double *points = rake_shape_get_ring (shape, 0, &n_points, NULL);

  if (rake_shape_get_kind (shape) == RAKE_SHAPE_AREA)
    return rake_shape_ref ((RakeShape *) shape);
  return rake_shape_new_brush_stroke (points, n_points, radius_mm, NULL);
}

/* The part of the face's cells around a mark. */
static gboolean
cut_out (const RakeRaster *whole, const RakeBounds *box, double reach, RakeRaster *part, int *x0,
         int *y0)
{
  int x1 = MIN ((int) ceil ((box->max_x_mm + reach - whole->x_mm) / whole->cell_mm), whole->width);
  int y1 = MIN ((int) ceil ((box->max_y_mm + reach - whole->y_mm) / whole->cell_mm), whole->height);

  *x0 = MAX ((int) floor ((box->min_x_mm - reach - whole->x_mm) / whole->cell_mm), 0);
  *y0 = MAX ((int) floor ((box->min_y_mm - reach - whole->y_mm) / whole->cell_mm), 0);
  *part = (RakeRaster){ whole->x_mm + *x0 * whole->cell_mm, whole->y_mm + *y0 * whole->cell_mm,
                        whole->cell_mm, x1 - *x0, y1 - *y0 };
  return x1 > *x0 && y1 > *y0;
}

/* How deep each cell lies in the area, in mm; outside it how far from it, below 0. What lies beyond the
 * raster counts as both, so its rim is not to be trusted. */
static float *
measure_depth (const RakeRaster *raster, const RakeShape *area)
{
  gsize n = rake_raster_get_size (raster);
  g_autofree guint8 *within = g_new0 (guint8, n);
  g_autofree float *away = g_new (float, n);
  float *depth = g_new (float, n);

  rake_raster_fill (raster, area, 1, within);
  rake_raster_distance (raster, within, depth);
  for (gsize i = 0; i < n; i++)
    within[i] = !within[i];
  rake_raster_distance (raster, within, away);
  for (gsize i = 0; i < n; i++)
    depth[i] = (float) raster->cell_mm * (depth[i] - away[i]);
  return depth;
}

static void
paint_mark (LitFace *self, const RakeMark *mark)
{
  double reach = AROUND_MARK_MM * (mark->kind == RAKE_MARK_DULL_SPOT ? 2 : 1);
  g_autoptr (RakeShape) area = widen (mark->shape, self->raster.cell_mm);
  RakeBounds box = rake_shape_get_bounds (area);
  g_autofree float *depth = NULL;
  RakeRaster part;
  int x0, y0;
  Spot spot;

  if (!cut_out (&self->raster, &box, 2 * reach, &part, &x0, &y0))
    return;
  depth = measure_depth (&part, area);
  for (int j = 0; j < part.height; j++)
    for (int i = 0; i < part.width; i++)
      {
        double x = part.x_mm + (i + 0.5) * part.cell_mm, y = part.y_mm + (j + 0.5) * part.cell_mm;
        double middle_x = (box.min_x_mm + box.max_x_mm) / 2,
               middle_y = (box.min_y_mm + box.max_y_mm) / 2;
        double length = MAX (hypot (x - middle_x, y - middle_y), 1e-6);

        spot = (Spot){ x, y, depth[j * part.width + i],
                       ((x - middle_x) * self->lamp_x + (y - middle_y) * self->lamp_y) / length };
        if (x > box.min_x_mm - reach && x < box.max_x_mm + reach && y > box.min_y_mm - reach &&
            y < box.max_y_mm + reach)
          paint_at (self,
                    &self->cells[(gsize) (y0 + j) * (gsize) self->raster.width + (gsize) (x0 + i)],
                    mark, &spot);
      }
}

/* Open marks, and fills, which stand proud until they are levelled. */
static gboolean
is_seen (const RakeMark *mark)
{
  return mark->closed_by == NULL ||
         (mark->was_repaired && mark->closed_by->repair.method == RAKE_REPAIR_DROP_FILL);
}

static void
paint_marks (LitFace *self, const RakeFace *face)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);

  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];

      for (guint m = 0; m < zone->marks->len; m++)
        {
          const RakeMark *mark = zone->marks->pdata[m];

          if (is_seen (mark) && g_hash_table_add (seen, (gpointer) mark->entry))
            paint_mark (self, mark);
        }
    }
}

/* --- the face ---------------------------------------------------------------------------------- */

static void
fill_holes (LitFace *self, const RakeShape *outline)
{
  for (guint i = 0; i < rake_shape_get_n_rings (outline); i++)
    {
      guint n_points;
      gboolean is_hole;
      const double *ring = rake_shape_get_ring (outline, i, &n_points, &is_hole);
      g_autoptr (RakeShape) hole = is_hole ? rake_shape_new_area (ring, n_points, NULL) : NULL;

      if (hole != NULL)
        rake_raster_fill (&self->raster, hole, IN_HOLE, self->inside);
    }
}

LitFace *
lit_face_new (const RakeJob *job, const RakeFace *face, double lamp_deg, const RakeBounds *seen,
              double cell_mm, guint32 seed)
{
  LitFace *self = g_new0 (LitFace, 1);
  const RakeJobFacts *facts = rake_job_find_facts (job);
  RakeAction action = face->stage != NULL ? face->stage->action : RAKE_ACTION_UNSAID;
  double lamp = lamp_deg * G_PI / 180;

  self->seed = seed;
  self->lamp_x = sin (lamp);
  self->lamp_y = -cos (lamp);
  self->box = rake_shape_get_bounds (face->outline);
  self->is_black = facts != NULL && facts->finish == RAKE_FINISH_POLYESTER;
  self->is_polished = action == RAKE_ACTION_BUFF || action == RAKE_ACTION_REST;
  self->is_grain_upright =
      self->box.max_y_mm - self->box.min_y_mm > self->box.max_x_mm - self->box.min_x_mm;
  rake_raster_init (&self->raster, seen, 0, cell_mm);
  self->inside = g_new0 (guint8, rake_raster_get_size (&self->raster));
  self->cells = g_new0 (Cell, rake_raster_get_size (&self->raster));
  fill_holes (self, face->outline);
  rake_raster_visit (&self->raster, face->outline, visit_ground, self);
  flood_zones (self, face);
  paint_marks (self, face);
  return self;
}

void
lit_face_free (LitFace *self)
{
  g_free (self->inside);
  g_free (self->cells);
  g_free (self);
}

/* --- the light --------------------------------------------------------------------------------- */

/* What a mirror at this place shows: a dark room, and the edge of a pale window in it. */
static double
reflect (const LitFace *self, double x, double y)
{
  double across = (x - self->box.min_x_mm) / (self->box.max_x_mm - self->box.min_x_mm);
  double down = (y - self->box.min_y_mm) / (self->box.max_y_mm - self->box.min_y_mm);

  if (!self->is_polished)
    return 0.16 + 0.1 * down + 0.1 * waves (self->seed + 22, x / 35, y / 35);
  return 0.02 + 0.16 * smooth_step (0.2, 0.5, down + 0.1 * across) *
                    (1 - smooth_step (0.55, 0.95, down - 0.15 * across));
}

/* A low lamp falls off over the face. */
static double
fall (const LitFace *self, double x, double y)
{
  double reach =
      hypot (self->box.max_x_mm - self->box.min_x_mm, self->box.max_y_mm - self->box.min_y_mm);
  double from_middle_x = x - (self->box.min_x_mm + self->box.max_x_mm) / 2;
  double from_middle_y = y - (self->box.min_y_mm + self->box.max_y_mm) / 2;

  return exp (0.9 * (from_middle_x * self->lamp_x + from_middle_y * self->lamp_y) / reach);
}

/* A dark cloth on the bench. */
static void
shine_beside (const LitFace *self, double x, double y, double light[N_COLOURS])
{
  double weave = 0.03 * (0.8 + 0.4 * waves (self->seed + 20, x / 1.5, y / 1.5)) * fall (self, x, y);

  light[0] = 0.9 * weave;
  light[1] = weave;
  light[2] = 1.1 * weave;
}

void
lit_face_shine (double x, double y, double light[N_COLOURS], gpointer lit_face)
{
  const LitFace *self = lit_face;
  double column = floor ((x - self->raster.x_mm) / self->raster.cell_mm);
  double row = floor ((y - self->raster.y_mm) / self->raster.cell_mm);
  double matte, mirrored;
  gsize at;

  if (!(column >= 0 && row >= 0 && column < self->raster.width && row < self->raster.height))
    {
      shine_beside (self, x, y, light);
      return;
    }
  at = (gsize) row * (gsize) self->raster.width + (gsize) column;
  if (self->inside[at] != ON_FACE)
    {
      shine_beside (self, x, y, light);
      for (int c = 0; self->inside[at] == IN_HOLE && c < N_COLOURS; c++)
        light[c] *= 0.15;
      return;
    }
  /* What was sanded scatters the lamp's light from its hairlines: a pale veil over the colour. */
  matte = (1 - self->cells[at].gloss) * 0.11 * fall (self, x, y) *
          exp (0.1 * (waves (self->seed + 21, (x + 0.4 * y) / 0.5, y / 30) - 0.5));
  mirrored = self->cells[at].gloss * reflect (self, x, y);
  for (int c = 0; c < N_COLOURS; c++)
    light[c] = exp ((double) self->cells[at].shade) *
               (0.9 * self->cells[at].colour[c] * fall (self, x, y) + matte + mirrored);
}
