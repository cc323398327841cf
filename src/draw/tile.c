/* tile.c - the patterns of the surface, as repeating tiles on screen and as strokes on paper.
 *
 * Patterns belong to the piece: they lie still on it when the view moves, and their spacing is a
 * round number of millimetres. When the view goes nearer, the spacing halves (by steps), so there is
 * more to see, not the same made bigger. */
#include "tile.h"
#include "wood.h"

#include <math.h>

#define N_CACHED 48     /* a shelf of thumbnails has two patterns for each of its scales */
#define N_CACHED_WOOD 8 /* a megabyte and more each */
#define STIPPLE_SIDE 16 /* the stipple tile has about this many dots a side */
#define STIPPLE_PX 7.0
#define STIPPLE_PT 9.9 /* on paper half as many: each is written out in digits */
#define DOTS_SIDE 4
#define DOTS_PX 14.0
#define SCRATCH_SIDE 24
#define SCRATCH_PX 4.6
#define GLARE_SIDE 3
#define GLARE_PX 44.0
#define LIGHT_SIDE 192
#define MAX_TILES_A_SIDE 100

typedef struct
{
  RakeTile tile;
  RakeTheme theme;
  int size;   /* pixels a side; for wood the power of two of its scale */
  int detail; /* 1000ths of a line's width; for wood whether it lies across */
  cairo_surface_t *surface;
  guint64 last_used;
} CachedTile;

typedef struct
{
  CachedTile tiles[N_CACHED + N_CACHED_WOOD]; /* wood last */
  guint64 clock;
} TileCache;

static void
free_cache (gpointer data)
{
  TileCache *cache = data;

  for (guint i = 0; i < G_N_ELEMENTS (cache->tiles); i++)
    g_clear_pointer (&cache->tiles[i].surface, cairo_surface_destroy);
  g_free (cache);
}

static GPrivate cache_of_thread = G_PRIVATE_INIT (free_cache);

/* --- even dots ------------------------------------------------------------------------------ */

/* Dots on a square of side 1 that joins itself at the edges, each as far from the others as the best
 * of some tries (Mitchell's best candidate): even, but in no rows. */
static const RakePoint *
get_even_dots (guint *n_dots)
{
  static RakePoint dots[STIPPLE_SIDE * STIPPLE_SIDE];
  static gsize is_made = 0;

  if (g_once_init_enter (&is_made))
    {
      guint32 seed = 20;
      for (guint i = 0; i < G_N_ELEMENTS (dots); i++)
        {
          double best = -1;
          for (guint attempt = 0; attempt < 12; attempt++)
            {
              RakePoint here = { rake_random (&seed), rake_random (&seed) };
              double nearest = 2;
              for (guint j = 0; j < i; j++)
                {
                  double dx = fabs (here.x - dots[j].x), dy = fabs (here.y - dots[j].y);
                  dx = MIN (dx, 1 - dx);
                  dy = MIN (dy, 1 - dy);
                  nearest = MIN (nearest, dx * dx + dy * dy);
                }
              if (nearest > best)
                {
                  best = nearest;
                  dots[i] = here;
                }
            }
        }
      g_once_init_leave (&is_made, 1);
    }
  *n_dots = G_N_ELEMENTS (dots);
  return dots;
}

double
rake_tile_get_spacing_mm (const RakePen *pen, double wanted_px)
{
  double wanted_mm = wanted_px * pen->unit_px / pen->px_per_mm;

  return pow (2, round (2 * log2 (wanted_mm)) / 2);
}

/* --- painting tiles ------------------------------------------------------------------------- */

/* Draws what has its middle at x, y of a tile of @size, with what of it comes round the edges. */
static void
dot_around_edges (cairo_t *cr, double x, double y, double radius, double size)
{
  for (int i = -1; i <= 1; i++)
    for (int j = -1; j <= 1; j++)
      {
        double at_x = x + i * size, at_y = y + j * size;
        if (at_x < -radius || at_y < -radius || at_x > size + radius || at_y > size + radius)
          continue;
        cairo_new_sub_path (cr);
        cairo_arc (cr, at_x, at_y, radius, 0, 2 * G_PI);
      }
}

static double
stipple_radius (guint index, double line_px)
{
  return line_px * (0.50 + 0.38 * (rake_hash (index, 3, 5) / 4294967296.0));
}

/* Each dot with a speck of its opposite beside it: it shows on the lit wood as on the dark. */
static void
paint_stipple (cairo_t *cr, const RakeMaterials *materials, double size, double line_px)
{
  guint n_dots;
  const RakePoint *dots = get_even_dots (&n_dots);
  RakeColour below = materials->stipple_below, above = materials->stipple;
  double aside = 0.55 * line_px;

  for (guint i = 0; i < n_dots; i++)
    dot_around_edges (cr, dots[i].x * size + aside, dots[i].y * size + aside,
                      stipple_radius (i, line_px), size);
  cairo_set_source_rgba (cr, below.red, below.green, below.blue, below.alpha);
  cairo_fill (cr);
  for (guint i = 0; i < n_dots; i++)
    dot_around_edges (cr, dots[i].x * size, dots[i].y * size, stipple_radius (i, line_px), size);
  cairo_set_source_rgba (cr, above.red, above.green, above.blue, above.alpha);
  cairo_fill (cr);
}

static void
paint_dots (cairo_t *cr, double size, double line_px)
{
  double step = size / DOTS_SIDE;

  /* On pixel centres, so that all dots are the same. */
  for (guint i = 0; i < DOTS_SIDE; i++)
    for (guint j = 0; j < DOTS_SIDE; j++)
      dot_around_edges (cr, floor (i * step + step / 2) + 0.5, floor (j * step + step / 2) + 0.5,
                        0.85 * line_px, size);
  cairo_fill (cr);
}

/* One even scratch, as a satin face ends in: fine lines along the grain, each with one short gap. */
static void
get_scratch (guint row, double size, double *across, double *from, double *length)
{
  *across = (row + 0.25 + 0.5 * (rake_hash (row, 3, 9) / 4294967296.0)) * size / SCRATCH_SIDE;
  *from = size * (rake_hash (row, 1, 9) / 4294967296.0);
  *length = size * (0.80 + 0.16 * (rake_hash (row, 2, 9) / 4294967296.0));
}

static void
paint_even_scratch (cairo_t *cr, double size, double line_px)
{
  cairo_set_line_width (cr, 0.7 * line_px);
  for (guint row = 0; row < SCRATCH_SIDE; row++)
    for (int i = -1; i <= 0; i++)
      {
        double across, from, length;
        get_scratch (row, size, &across, &from, &length);
        cairo_move_to (cr, from + i * size, across);
        cairo_line_to (cr, from + length + i * size, across);
      }
  cairo_stroke (cr);
}

/* What of a pattern is in sight: paper keeps every stroke, seen or not, so the others are left out. */
typedef struct
{
  double left, top, right, bottom;
} Sight;

static gboolean
is_in_sight (const Sight *sight, double x, double y)
{
  return x >= sight->left && x <= sight->right && y >= sight->top && y <= sight->bottom;
}

/* Three strokes to a glare, the middle one the longest; every other row stands between.
 *
 * sight  NULL: all of the tile */
static void
trace_glare (cairo_t *cr, const Sight *sight, double x, double y, double size)
{
  static const double strokes[3][3] = { { -0.09, 0.02, 0.08 },
                                        { 0, 0, 0.14 },
                                        { 0.09, 0.01, 0.07 } };
  double step = size / GLARE_SIDE;

  for (guint cell = 0; cell < GLARE_SIDE * GLARE_SIDE; cell++)
    {
      guint row = cell / GLARE_SIDE, column = cell % GLARE_SIDE;
      double at_x = x + (column + 0.3 + 0.4 * (rake_hash (cell, 8, 2) / 4294967296.0)) * step;
      double at_y = y + (row + 0.3 + 0.4 * (rake_hash (cell, 9, 2) / 4294967296.0)) * step;
      for (guint i = 0; i < G_N_ELEMENTS (strokes); i++)
        {
          double half = strokes[i][2] * step;
          double middle_x = at_x + strokes[i][0] * step, middle_y = at_y + strokes[i][1] * step;
          if (sight != NULL && (middle_x + half < sight->left || middle_x - half > sight->right ||
                                middle_y + half < sight->top || middle_y - half > sight->bottom))
            continue;
          cairo_move_to (cr, middle_x - half * 0.7, middle_y + half * 0.7);
          cairo_line_to (cr, middle_x + half * 0.7, middle_y - half * 0.7);
        }
    }
}

static void
paint_glare (cairo_t *cr, double size, double line_px)
{
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_width (cr, 1.1 * line_px);
  trace_glare (cr, NULL, 0, 0, size);
  cairo_stroke (cr);
}

static cairo_surface_t *
make_pattern_tile (const RakePen *pen, RakeTile tile, int size, double line_px)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, size, size);
  cairo_t *cr = cairo_create (surface);
  const RakeMaterials *materials = pen->materials;
  RakeColour colour = tile == RAKE_TILE_DOTS ? materials->dots : materials->stipple;

  /* Lines cover more than dots do. */
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue,
                         colour.alpha * (tile == RAKE_TILE_EVEN_SCRATCH ? 0.55 : 1));
  if (tile == RAKE_TILE_STIPPLE)
    paint_stipple (cr, materials, size, line_px);
  else if (tile == RAKE_TILE_DOTS)
    paint_dots (cr, size, line_px);
  else if (tile == RAKE_TILE_GLARE)
    paint_glare (cr, size, line_px);
  else
    {
      if (!pen->is_across)
        {
          cairo_translate (cr, size, 0);
          cairo_rotate (cr, G_PI / 2);
        }
      paint_even_scratch (cr, size, line_px);
    }
  cairo_destroy (cr);
  return surface;
}

/* --- light ---------------------------------------------------------------------------------- */

static double
smooth_step (double from, double to, double x)
{
  double t = CLAMP ((x - from) / (to - from), 0, 1);

  return t * t * (3 - 2 * t);
}

/* What the light adds (red, green, blue) and how much of what lies below it takes away (shade), at
 * @r of its reach. */
static void
light_at (RakeTile tile, RakeTheme theme, double r, double add[3], double *shade)
{
  static const double on_dark[3] = { 0.31, 0.235, 0.135 }, on_light[3] = { 0.15, 0.135, 0.10 };
  static const double glow_on_dark[3] = { 0.42, 0.285, 0.115 };
  static const double glow_on_light[3] = { 0.98, 0.72, 0.30 };

  add[0] = add[1] = add[2] = *shade = 0;
  if (tile == RAKE_TILE_GLOW && theme == RAKE_THEME_DARK)
    {
      double strength = exp (-pow (r / 0.40, 1.35)) * (1 - smooth_step (0.55, 1.0, r));
      for (guint i = 0; i < 3; i++)
        add[i] = glow_on_dark[i] * strength;
    }
  else if (tile == RAKE_TILE_GLOW)
    {
      /* By daylight nothing can be added to white: the glow is a tint. */
      *shade = 0.46 * exp (-pow (r / 0.42, 1.3)) * (1 - smooth_step (0.55, 1.0, r));
      for (guint i = 0; i < 3; i++)
        add[i] = glow_on_light[i] * *shade;
    }
  else if (tile == RAKE_TILE_SHEEN)
    {
      /* Sharper than any matte thing throws it back, and of the lamp's own colour. */
      double strength = exp (-pow (r / 0.50, 6.0));
      for (guint i = 0; i < 3; i++)
        add[i] = (i == 2 ? 0.13 : i == 1 ? 0.17 : 0.19) * strength;
    }
  else
    {
      const double *warm = theme == RAKE_THEME_DARK ? on_dark : on_light;
      double strength = exp (-pow (r / 0.44, 1.7));
      for (guint i = 0; i < 3; i++)
        add[i] = warm[i] * strength;
      *shade = (theme == RAKE_THEME_DARK ? 0.58 : 0.24) * smooth_step (0.28, 1.05, r);
    }
}

/* Colour and shade are independent in a premultiplied pixel: a pixel that adds light and covers
 * nothing brightens the grain without veiling it. */
static cairo_surface_t *
make_light_tile (RakeTile tile, RakeTheme theme)
{
  cairo_surface_t *surface =
      cairo_image_surface_create (CAIRO_FORMAT_ARGB32, LIGHT_SIDE, LIGHT_SIDE);
  guint8 *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);

  for (int y = 0; y < LIGHT_SIDE; y++)
    {
      guint32 *row = (guint32 *) (gpointer) (data + (gsize) y * (gsize) stride);
      for (int x = 0; x < LIGHT_SIDE; x++)
        {
          double r = hypot (x + 0.5 - LIGHT_SIDE / 2.0, y + 0.5 - LIGHT_SIDE / 2.0) /
                     (LIGHT_SIDE / 2.0 - 1);
          /* A little noise hides the steps of a slow fall of light on near-black. */
          double dither = rake_hash ((guint32) x, (guint32) y, 77) / 4294967296.0;
          double add[3], shade;
          light_at (tile, theme, MIN (r, 1.3), add, &shade);
          row[x] = (guint32) (shade * 255 + 0.5) << 24 | (guint32) (add[0] * 255 + dither) << 16 |
                   (guint32) (add[1] * 255 + dither) << 8 | (guint32) (add[2] * 255 + dither);
        }
    }
  cairo_surface_mark_dirty (surface);
  return surface;
}

/* --- the cache ------------------------------------------------------------------------------ */

static cairo_surface_t *
get_surface (const RakePen *pen, RakeTile tile, int size, int detail)
{
  TileCache *cache = g_private_get (&cache_of_thread);
  CachedTile *oldest, *tiles;
  guint n_tiles = tile == RAKE_TILE_WOOD ? N_CACHED_WOOD : N_CACHED;

  if (cache == NULL)
    {
      cache = g_new0 (TileCache, 1);
      g_private_set (&cache_of_thread, cache);
    }
  tiles = oldest = cache->tiles + (tile == RAKE_TILE_WOOD ? N_CACHED : 0);
  cache->clock++;
  for (guint i = 0; i < n_tiles; i++)
    {
      CachedTile *cached = &tiles[i];
      if (cached->surface != NULL && cached->tile == tile && cached->theme == pen->theme &&
          cached->size == size && cached->detail == detail)
        {
          cached->last_used = cache->clock;
          return cached->surface;
        }
      if (cached->last_used < oldest->last_used)
        oldest = cached;
    }
  g_clear_pointer (&oldest->surface, cairo_surface_destroy);
  *oldest = (CachedTile){ tile, pen->theme, size, detail, NULL, cache->clock };
  if (tile == RAKE_TILE_WOOD)
    oldest->surface = rake_wood_new_tile (pen, size);
  else if (tile >= RAKE_TILE_LIGHT)
    oldest->surface = make_light_tile (tile, pen->theme);
  else
    oldest->surface = make_pattern_tile (pen, tile, size, detail / 1000.0);
  return oldest->surface;
}

/* --- filling -------------------------------------------------------------------------------- */

static void
fill_with_surface (const RakePen *pen, cairo_surface_t *surface, double tile_px_per_px,
                   RakePoint origin, cairo_filter_t filter)
{
  cairo_pattern_t *pattern = cairo_pattern_create_for_surface (surface);
  cairo_matrix_t matrix;

  cairo_matrix_init_scale (&matrix, tile_px_per_px, tile_px_per_px);
  cairo_matrix_translate (&matrix, -origin.x, -origin.y);
  cairo_pattern_set_matrix (pattern, &matrix);
  cairo_pattern_set_extend (pattern, CAIRO_EXTEND_REPEAT);
  cairo_pattern_set_filter (pattern, filter);
  cairo_set_source (pen->cr, pattern);
  cairo_fill (pen->cr);
  cairo_pattern_destroy (pattern);
}

static void
get_measure (RakeTile tile, guint *side, double *wanted_px)
{
  static const struct
  {
    guint side;
    double wanted_px;
  } measures[] = {
    [RAKE_TILE_STIPPLE] = { STIPPLE_SIDE, STIPPLE_PX },
    [RAKE_TILE_DOTS] = { DOTS_SIDE, DOTS_PX },
    [RAKE_TILE_EVEN_SCRATCH] = { SCRATCH_SIDE, SCRATCH_PX },
    [RAKE_TILE_GLARE] = { GLARE_SIDE, GLARE_PX },
  };

  *side = measures[tile].side;
  *wanted_px = measures[tile].wanted_px;
}

static void
stroke_dot (cairo_t *cr, const Sight *sight, double x, double y)
{
  if (!is_in_sight (sight, x, y))
    return;
  cairo_move_to (cr, x, y);
  cairo_close_path (cr);
}

static void
stroke_tile (const RakePen *pen, const Sight *sight, RakeTile tile, double x, double y, double size)
{
  cairo_t *cr = pen->cr;

  if (tile == RAKE_TILE_STIPPLE)
    {
      guint n_dots;
      const RakePoint *dots = get_even_dots (&n_dots);
      for (guint i = 0; i < n_dots; i++)
        stroke_dot (cr, sight, x + dots[i].x * size, y + dots[i].y * size);
    }
  else if (tile == RAKE_TILE_DOTS)
    for (guint i = 0; i < DOTS_SIDE * DOTS_SIDE; i++)
      {
        guint row = i / DOTS_SIDE, column = i % DOTS_SIDE;
        stroke_dot (cr, sight, x + (column + 0.5) * size / DOTS_SIDE,
                    y + (row + 0.5) * size / DOTS_SIDE);
      }
  else if (tile == RAKE_TILE_GLARE)
    trace_glare (cr, sight, x, y, size);
  else
    for (guint row = 0; row < SCRATCH_SIDE; row++)
      {
        double along, across, length, at;
        get_scratch (row, size, &across, &along, &length);
        at = (pen->is_across ? y : x) + across;
        if (at < (pen->is_across ? sight->top : sight->left) ||
            at > (pen->is_across ? sight->bottom : sight->right))
          continue;
        cairo_move_to (cr, x + (pen->is_across ? along : across),
                       y + (pen->is_across ? across : along));
        cairo_rel_line_to (cr, pen->is_across ? length : 0, pen->is_across ? 0 : length);
      }
}

/* The same pattern as lines and dots: sharp at any size, and black alone is enough for it. */
static void
stroke_pattern (const RakePen *pen, RakeTile tile, double size_px)
{
  cairo_t *cr = pen->cr;
  const RakeMaterials *materials = pen->materials;
  double rim = 2 * pen->unit_px, left, top;
  guint n_columns, n_rows;
  Sight sight;

  cairo_save (cr);
  cairo_clip (cr);
  /* Of a large zone seen from near, only what is in sight. */
  cairo_clip_extents (cr, &sight.left, &sight.top, &sight.right, &sight.bottom);
  left = pen->origin.x + (floor ((sight.left - pen->origin.x) / size_px) - 1) * size_px;
  top = pen->origin.y + floor ((sight.top - pen->origin.y) / size_px) * size_px;
  n_columns = (guint) CLAMP (ceil ((sight.right - left) / size_px), 0, MAX_TILES_A_SIDE);
  n_rows = (guint) CLAMP (ceil ((sight.bottom - top) / size_px), 0, MAX_TILES_A_SIDE);
  sight = (Sight){ sight.left - rim, sight.top - rim, sight.right + rim, sight.bottom + rim };
  for (guint i = 0; i < n_columns * n_rows; i++)
    {
      guint row = i / n_columns, column = i % n_columns;
      stroke_tile (pen, &sight, tile, left + column * size_px, top + row * size_px, size_px);
    }
  rake_pen_line (pen, tile == RAKE_TILE_DOTS ? materials->dots : materials->stipple, 1,
                 tile == RAKE_TILE_STIPPLE ? 1.35
                 : tile == RAKE_TILE_DOTS  ? 1.8
                 : tile == RAKE_TILE_GLARE ? 1.1
                                           : 0.6);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_ROUND);
  cairo_stroke (cr);
  cairo_restore (cr);
}

void
rake_tile_fill (const RakePen *pen, RakeTile tile)
{
  double scale = rake_device_scale (pen->cr);
  guint side;
  double wanted_px, size_px;
  int size;

  if (tile == RAKE_TILE_WOOD)
    {
      if (pen->is_vector || pen->is_ink)
        rake_wood_fill_with_strokes (pen);
      else
        {
          /* A power of two near the real scale; stretched from there, so that slow zooming does
           * not make a tile a frame. */
          int level = (int) CLAMP (round (log2 (pen->px_per_mm * scale)), -6, 7);
          fill_with_surface (pen, get_surface (pen, tile, level, pen->is_across),
                             exp2 (level) / pen->px_per_mm, pen->origin, CAIRO_FILTER_BILINEAR);
        }
      return;
    }
  get_measure (tile, &side, &wanted_px);
  if (tile == RAKE_TILE_STIPPLE && pen->is_vector)
    wanted_px = STIPPLE_PT;
  size_px = rake_tile_get_spacing_mm (pen, wanted_px) * pen->px_per_mm * side;
  if (pen->is_vector)
    {
      stroke_pattern (pen, tile, size_px);
      return;
    }
  /* Whole device pixels a tile, so that every dot is as sharp as the first. */
  size = MAX ((int) round (size_px * scale), 4);
  fill_with_surface (
      pen, get_surface (pen, tile, size, (int) round (pen->unit_px * scale * 1000)), scale,
      (RakePoint){ round (pen->origin.x * scale) / scale, round (pen->origin.y * scale) / scale },
      CAIRO_FILTER_NEAREST);
}

static cairo_pattern_t *
new_light_gradient (const RakePen *pen, RakeTile tile, RakePoint at, double reach_px, double alpha)
{
  cairo_pattern_t *pattern = cairo_pattern_create_radial (at.x, at.y, 0, at.x, at.y, reach_px);

  for (guint i = 0; i <= 16; i++)
    {
      double add[3], shade, strongest, cover;
      light_at (tile, pen->theme, i / 16.0, add, &shade);
      /* A gradient cannot add: the nearest thing is a veil just strong enough for its colour. */
      strongest = MAX (MAX (add[0], add[1]), add[2]);
      cover = MAX (shade, strongest);
      if (cover > 0)
        cairo_pattern_add_color_stop_rgba (pattern, i / 16.0, add[0] / cover, add[1] / cover,
                                           add[2] / cover, cover * alpha);
      else
        cairo_pattern_add_color_stop_rgba (pattern, i / 16.0, 0, 0, 0, 0);
    }
  return pattern;
}

void
rake_tile_fill_light (const RakePen *pen, RakeTile tile, RakePoint at, double reach_px,
                      double alpha)
{
  cairo_t *cr = pen->cr;
  cairo_pattern_t *pattern;

  g_return_if_fail (reach_px > 0);

  if (pen->is_vector)
    pattern = new_light_gradient (pen, tile, at, reach_px, alpha);
  else
    {
      cairo_matrix_t matrix;
      double tile_px_per_px = (LIGHT_SIDE / 2.0 - 1) / reach_px;
      pattern = cairo_pattern_create_for_surface (get_surface (pen, tile, LIGHT_SIDE, 0));
      cairo_matrix_init_translate (&matrix, LIGHT_SIDE / 2.0, LIGHT_SIDE / 2.0);
      cairo_matrix_scale (&matrix, tile_px_per_px, tile_px_per_px);
      cairo_matrix_translate (&matrix, -at.x, -at.y);
      cairo_pattern_set_matrix (pattern, &matrix);
      cairo_pattern_set_extend (pattern, CAIRO_EXTEND_PAD);
      cairo_pattern_set_filter (pattern, CAIRO_FILTER_BILINEAR);
    }
  cairo_set_source (cr, pattern);
  if (alpha < 1 && !pen->is_vector)
    {
      cairo_save (cr);
      cairo_clip (cr);
      cairo_paint_with_alpha (cr, alpha);
      cairo_restore (cr);
    }
  else
    cairo_fill (cr);
  cairo_pattern_destroy (pattern);
}
