/* wood.c - straight grain with a slow wander, bands of early and late wood, pores, and a faint
 * figure across the grain. Everything is a function of millimetres on the piece; what is finer than
 * a pixel is left out, so a thumbnail does not glitter. */
#include "wood.h"
#include "tile.h"

#include <math.h>

#define ACROSS_PX 384 /* of a tile, across the grain and along it */
#define ALONG_PX 768
#define WANDER_STEP 16
#define MAX_LINES 2000

/* How much of a wave of @wave_mm shows at @px_per_mm: none below two pixels. */
static double
visible_share (double wave_mm, double px_per_mm)
{
  double t = CLAMP ((wave_mm * px_per_mm - 1.6) / 2.4, 0, 1);

  return t * t * (3 - 2 * t);
}

static double
wavy (double position_mm, double wave_mm, double period_mm, double along, int period_along,
      guint32 seed)
{
  int period = MAX ((int) round (period_mm / wave_mm), 1);

  return rake_noise (position_mm / period_mm * period, along, period, period_along, seed);
}

/* The bands of the wood across the grain: many readings, so that the tile looks them up. Two
 * profiles change slowly into each other along the grain; a ring of growth never runs for ever. */
static float *
new_profile (double period_mm, double px_per_mm, guint n_readings, guint32 seed)
{
  static const struct
  {
    double wave_mm, strength;
  } bands[] = { { 46, 0.30 }, { 17, 0.30 }, { 6.2, 0.34 }, { 2.3, 0.30 }, { 0.9, 0.22 },
                { 0.35, 0.16 } };
  float *profile = g_new (float, n_readings);

  for (guint i = 0; i < n_readings; i++)
    {
      double at_mm = period_mm * i / n_readings, sum = 0;
      for (guint band = 0; band < G_N_ELEMENTS (bands); band++)
        {
          double value = wavy (at_mm, bands[band].wave_mm, period_mm, 0.5, 0, seed + band);
          /* Late wood is a narrow dark line after a broad pale one. */
          if (band >= 2)
            value = 1 - 2 * pow (fabs (value), 0.7);
          sum += value * bands[band].strength * visible_share (bands[band].wave_mm, px_per_mm);
        }
      profile[i] = (float) sum;
    }
  return profile;
}

#define N_TONES 256
#define N_DEPTHS 32

typedef struct
{
  double across_mm, along_mm, px_per_mm;
  guint n_readings;
  float *one, *other;
  float *wander, *change, *figure; /* on a coarse grid, one row more than steps each way */
  guint grid_across, grid_along;
  float *pores; /* how deep, by column and row of pores */
  guint pore_columns, pore_rows;
  guint32 *colours; /* by tone and by how deep a pore lies there */
} Board;

static void
fill_coarse_grids (Board *board)
{
  for (guint row = 0; row <= board->grid_along; row++)
    for (guint column = 0; column <= board->grid_across; column++)
      {
        double x = (double) column / board->grid_across, y = (double) row / board->grid_along;
        gsize at = (gsize) row * (board->grid_across + 1) + column;
        board->wander[at] =
            (float) (board->along_mm * (rake_noise (x * 3, y * 2, 3, 2, 11) * 0.011 +
                                        rake_noise (x * 9, y * 5, 9, 5, 12) * 0.002));
        board->change[at] = (float) (0.5 + 0.5 * rake_noise (x * 5, y * 2, 5, 2, 13));
        board->figure[at] = (float) (rake_noise (x * 4, y * 14, 4, 14, 14) * 0.6 +
                                     rake_noise (x * 7, y * 31, 7, 31, 15) * 0.4);
      }
}

static double
read_grid (const Board *board, const float *grid, double column, double row)
{
  guint i = MIN ((guint) column, board->grid_across - 1),
        j = MIN ((guint) row, board->grid_along - 1);
  double u = column - i, v = row - j;
  const float *at = grid + (gsize) j * (board->grid_across + 1) + i;
  const float *below = at + board->grid_across + 1;

  return (at[0] * (1 - u) + at[1] * u) * (1 - v) + (below[0] * (1 - u) + below[1] * u) * v;
}

/* Short dark hollows along the grain, each column of them shifted by chance: in rows they would look
 * printed. */
static void
fill_pores (Board *board)
{
  board->pore_columns = (guint) MAX (round (board->across_mm / 0.62), 1);
  board->pore_rows = (guint) MAX (round (board->along_mm / 5.5), 1);
  board->pores = g_new (float, (gsize) board->pore_columns * board->pore_rows);
  for (guint column = 0; column < board->pore_columns; column++)
    for (guint row = 0; row < board->pore_rows; row++)
      board->pores[(gsize) column * board->pore_rows + row] =
          (float) (rake_hash (row, column, 16) / 2147483648.0 - 1);
}

static double
pore_at (const Board *board, double turn_across, double turn_along)
{
  double place = turn_across * board->pore_columns;
  guint column = (guint) place % board->pore_columns;
  double aside = (place - (guint) place - 0.5) * 2;
  double along = turn_along * board->pore_rows + (column * 0.618034 - (guint) (column * 0.618034));
  guint row = (guint) along % board->pore_rows, next = (row + 1) % board->pore_rows;
  const float *depths = board->pores + (gsize) column * board->pore_rows;
  double t = along - (guint) along;
  double depth = depths[row] + (depths[next] - depths[row]) * t * t * (3 - 2 * t);

  return depth > 0.32 ? (depth - 0.32) * (1 - aside * aside) * 1.2 : 0;
}

static guint32
mix_colour (const RakePen *pen, double tone, double pore)
{
  RakeColour wood = pen->palette->wood;
  RakeColour colour;
  double deeper = CLAMP (-tone, 0, 1), lighter = CLAMP (tone, 0, 1);

  colour = rake_colour_mix (wood, pen->materials->grain, 0.50 * deeper + 0.03);
  colour = rake_colour_mix (colour, pen->materials->bare, 0.13 * lighter);
  colour = rake_colour_mix (colour, pen->materials->pore, CLAMP (pore, 0, 1) * 0.5);
  return 0xff000000u | (guint32) (colour.red * 255 + 0.5) << 16 |
         (guint32) (colour.green * 255 + 0.5) << 8 | (guint32) (colour.blue * 255 + 0.5);
}

static void
fill_colours (Board *board, const RakePen *pen)
{
  board->colours = g_new (guint32, N_TONES * N_DEPTHS);
  for (guint tone = 0; tone < N_TONES; tone++)
    for (guint depth = 0; depth < N_DEPTHS; depth++)
      board->colours[tone * N_DEPTHS + depth] =
          mix_colour (pen, 2.0 * tone / (N_TONES - 1) - 1, (double) depth / (N_DEPTHS - 1));
}

/* Every pixel of a tile in a few look-ups: the first picture of a window waits for this. */
static guint32
pixel_at (const Board *board, guint across, guint along)
{
  double column = (double) across / WANDER_STEP, row = (double) along / WANDER_STEP;
  double position_mm = across / board->px_per_mm + read_grid (board, board->wander, column, row);
  double change = read_grid (board, board->change, column, row);
  /* Tiles of wood wander to the left of their edge too. */
  double turn = position_mm / board->across_mm + 1;
  double part = turn - (guint) turn;
  guint reading = MIN ((guint) (part * board->n_readings), board->n_readings - 1);
  double tone = board->one[reading] * (1 - change) + board->other[reading] * change +
                0.16 * read_grid (board, board->figure, column, row);
  double pore =
      board->pores != NULL ? pore_at (board, part, along / board->px_per_mm / board->along_mm) : 0;
  guint tone_index = (guint) ((CLAMP (tone, -1, 1) + 1) / 2 * (N_TONES - 1) + 0.5);
  guint depth_index = (guint) (MIN (pore, 1) * (N_DEPTHS - 1) + 0.5);

  return board->colours[tone_index * N_DEPTHS + depth_index];
}

static void
prepare_board (Board *board, const RakePen *pen, double px_per_mm)
{
  gsize n_grid;

  *board = (Board){ .across_mm = ACROSS_PX / px_per_mm,
                    .along_mm = ALONG_PX / px_per_mm,
                    .px_per_mm = px_per_mm,
                    .n_readings = 4 * ACROSS_PX,
                    .grid_across = ACROSS_PX / WANDER_STEP,
                    .grid_along = ALONG_PX / WANDER_STEP };
  n_grid = (gsize) (board->grid_across + 1) * (board->grid_along + 1);
  board->one = new_profile (board->across_mm, px_per_mm, board->n_readings, 21);
  board->other = new_profile (board->across_mm, px_per_mm, board->n_readings, 41);
  board->wander = g_new (float, n_grid);
  board->change = g_new (float, n_grid);
  board->figure = g_new (float, n_grid);
  fill_coarse_grids (board);
  fill_colours (board, pen);
  /* Pores are too fine to be seen from further away. */
  if (px_per_mm > 1.2)
    fill_pores (board);
}

static void
clear_board (Board *board)
{
  g_free (board->one);
  g_free (board->other);
  g_free (board->wander);
  g_free (board->change);
  g_free (board->figure);
  g_free (board->pores);
  g_free (board->colours);
}

cairo_surface_t *
rake_wood_new_tile (const RakePen *pen, int level)
{
  int width = pen->is_across ? ALONG_PX : ACROSS_PX, height = pen->is_across ? ACROSS_PX : ALONG_PX;
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, width, height);
  guint8 *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);
  Board board;

  prepare_board (&board, pen, exp2 (level));
  for (guint y = 0; y < (guint) height; y++)
    {
      guint32 *row = (guint32 *) (gpointer) (data + (gsize) y * (gsize) stride);
      for (guint x = 0; x < (guint) width; x++)
        row[x] = pixel_at (&board, pen->is_across ? y : x, pen->is_across ? x : y);
    }
  clear_board (&board);
  cairo_surface_mark_dirty (surface);
  return surface;
}

/* --- as strokes ----------------------------------------------------------------------------- */

/* One line of grain along the piece at @across_px, wandering slowly. */
static void
trace_grain (const RakePen *pen, double across_px, double from_px, double to_px, double sway_px)
{
  const guint n_steps = 12;

  for (guint step = 0; step <= n_steps; step++)
    {
      double along_px = from_px + (to_px - from_px) * step / n_steps;
      double sway =
          sway_px * rake_noise (across_px / (14 * sway_px), along_px / (40 * sway_px), 0, 0, 51);
      double x = pen->is_across ? along_px : across_px + sway;
      double y = pen->is_across ? across_px + sway : along_px;
      if (step == 0)
        cairo_move_to (pen->cr, x, y);
      else
        cairo_line_to (pen->cr, x, y);
    }
}

void
rake_wood_fill_with_strokes (const RakePen *pen)
{
  cairo_t *cr = pen->cr;
  double left, top, right, bottom, spacing_px, origin, from, to, first;
  guint n_lines;

  rake_pen_colour (pen, pen->palette->wood, 1);
  cairo_fill_preserve (cr);
  if (pen->is_ink)
    {
      cairo_new_path (cr);
      return;
    }
  spacing_px = rake_tile_get_spacing_mm (pen, 6) * pen->px_per_mm;
  cairo_save (cr);
  cairo_clip (cr);
  cairo_clip_extents (cr, &left, &top, &right, &bottom);
  origin = pen->is_across ? pen->origin.y : pen->origin.x;
  from = pen->is_across ? top : left;
  to = pen->is_across ? bottom : right;
  /* On the piece's own lines, so that grain runs on from zone to zone. */
  first = floor ((from - origin) / spacing_px);
  n_lines = (guint) CLAMP ((to - from) / spacing_px + 2, 0, MAX_LINES);
  for (guint i = 0; i < n_lines; i++)
    {
      double line = first + i;
      double jitter = rake_hash ((guint32) (gint64) CLAMP (line, -1e9, 1e9), 6, 1) / 4294967296.0;
      trace_grain (pen, origin + (line + 0.8 * jitter) * spacing_px, pen->is_across ? left : top,
                   pen->is_across ? right : bottom, 2.2 * pen->unit_px);
      rake_pen_line (pen, pen->materials->grain, 0.10 + 0.25 * jitter * jitter, 0.8);
      cairo_stroke (cr);
    }
  cairo_restore (cr);
}
