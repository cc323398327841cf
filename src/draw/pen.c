/* pen.c - colours, light's direction and noise for every picture. */
#include "pen.h"
#include "lamp.h"

#include <math.h>

#define SLACK_PT 0.06 /* half a dot of 600 to the inch */

static const RakeMaterials materials[] = {
  [RAKE_THEME_DARK] = {
    .grain = { 0.33, 0.20, 0.10, 1 },
    .pore = { 0.20, 0.11, 0.05, 1 },
    .stipple = { 1.00, 0.93, 0.80, 0.62 },
    .stipple_below = { 0.10, 0.06, 0.03, 0.42 },
    .dots = { 0.78, 0.70, 0.58, 0.42 },
    .seam = { 0.075, 0.065, 0.055, 0.95 },
    .seam_edge = { 0.85, 0.70, 0.50, 0.30 },
    .edge = { 0.90, 0.83, 0.73, 0.95 },
    .pool_near = { 0.93, 0.96, 0.97, 1 },
    .pool_far = { 0.50, 0.58, 0.62, 1 },
    .pool_rim = { 0.10, 0.08, 0.06, 0.75 },
    .gleam = { 1.00, 0.96, 0.86, 1 },
    .shade = { 0.07, 0.04, 0.02, 1 },
    .scratch = { 1.00, 0.97, 0.90, 1 },
    .burn_core = { 0.055, 0.03, 0.02, 1 },
    .burn_brown = { 0.24, 0.085, 0.03, 1 },
    .ember = { 0.95, 0.40, 0.12, 1 },
    .bare = { 0.90, 0.79, 0.60, 1 },
    .bare_grain = { 0.60, 0.44, 0.26, 1 },
    .milk = { 0.90, 0.91, 0.88, 0.62 },
    .dull = { 0.25, 0.22, 0.19, 0.80 },
    .stitch = { 0.96, 0.88, 0.74, 0.90 },
    .ghost = { 0.98, 0.95, 0.88, 0.85 },
    .shadow_alpha = 0.62,
  },
  [RAKE_THEME_LIGHT] = {
    .grain = { 0.60, 0.39, 0.18, 1 },
    .pore = { 0.45, 0.27, 0.11, 1 },
    .stipple = { 0.22, 0.13, 0.05, 0.50 },
    .stipple_below = { 1.00, 0.96, 0.88, 0.42 },
    .dots = { 0.17, 0.12, 0.08, 0.50 },
    .seam = { 0.97, 0.95, 0.92, 0.95 },
    .seam_edge = { 0.30, 0.19, 0.08, 0.35 },
    .edge = { 0.16, 0.13, 0.10, 0.95 },
    .pool_near = { 0.99, 1.00, 1.00, 1 },
    .pool_far = { 0.66, 0.73, 0.77, 1 },
    .pool_rim = { 0.20, 0.20, 0.20, 0.80 },
    .gleam = { 1.00, 0.99, 0.95, 1 },
    .shade = { 0.20, 0.11, 0.04, 1 },
    .scratch = { 0.13, 0.09, 0.05, 1 },
    .burn_core = { 0.06, 0.035, 0.025, 1 },
    .burn_brown = { 0.30, 0.11, 0.04, 1 },
    .ember = { 0.86, 0.30, 0.06, 1 },
    .bare = { 0.98, 0.92, 0.79, 1 },
    .bare_grain = { 0.62, 0.46, 0.27, 1 },
    .milk = { 0.99, 0.99, 0.97, 0.70 },
    .dull = { 0.45, 0.40, 0.35, 0.72 },
    .stitch = { 0.16, 0.11, 0.06, 0.90 },
    .ghost = { 0.16, 0.11, 0.06, 0.62 },
    .shadow_alpha = 0.60,
  },
  /* Ink: tones only where a picture is also told by its lines. */
  [RAKE_THEME_PAPER] = {
    .grain = { 0, 0, 0, 1 },
    .pore = { 0, 0, 0, 1 },
    .stipple = { 0, 0, 0, 0.85 },
    .stipple_below = { 0, 0, 0, 0 },
    .dots = { 0, 0, 0, 0.80 },
    .seam = { 0, 0, 0, 0.85 },
    .seam_edge = { 0, 0, 0, 0 },
    .edge = { 0, 0, 0, 1 },
    .pool_near = { 0, 0, 0, 1 },
    .pool_far = { 1, 1, 1, 1 },
    .pool_rim = { 0, 0, 0, 1 },
    .gleam = { 1, 1, 1, 1 },
    .shade = { 0, 0, 0, 1 },
    .scratch = { 0, 0, 0, 1 },
    .burn_core = { 0, 0, 0, 1 },
    .burn_brown = { 0, 0, 0, 1 },
    .ember = { 0, 0, 0, 1 },
    .bare = { 1, 1, 1, 1 },
    .bare_grain = { 0, 0, 0, 1 },
    .milk = { 1, 1, 1, 1 },
    .dull = { 1, 1, 1, 1 },
    .stitch = { 0, 0, 0, 1 },
    .ghost = { 0, 0, 0, 0.75 },
    .shadow_alpha = 1.0,
  },
};

const RakeMaterials *
rake_materials_get (RakeTheme theme)
{
  return &materials[(guint) theme < G_N_ELEMENTS (materials) ? theme : RAKE_THEME_DARK];
}

static void
init_common (RakePen *pen, cairo_t *cr, RakeTheme theme)
{
  *pen = (RakePen){
    .cr = cr,
    .theme = theme,
    .palette = rake_palette_get (theme),
    .materials = rake_materials_get (theme),
    .is_ink = theme == RAKE_THEME_PAPER,
  };
}

void
rake_pen_init (RakePen *pen, cairo_t *cr, const RakeMapView *view, const RakeFace *face)
{
  RakeBounds bounds = rake_shape_get_bounds (face->outline);

  init_common (pen, cr, view->theme);
  pen->is_vector = view->is_paper;
  /* A board is cut along its grain, so the grain runs the longer way. */
  pen->is_across = bounds.max_x_mm - bounds.min_x_mm > bounds.max_y_mm - bounds.min_y_mm;
  /* Lines thin out in a thumbnail and are never thicker than on the bench. */
  pen->unit_px = CLAMP (
      MIN (rake_view_side (view->width_px), rake_view_side (view->height_px)) / 600, 0.42, 1.0);
  if (view->is_paper)
    pen->unit_px = MIN (pen->unit_px, 0.75);
  pen->px_per_mm = view->px_per_mm;
  pen->origin = (RakePoint){ view->origin_x_px, view->origin_y_px };
  pen->lamp_deg = view->lamp_deg;
  pen->has_lamp =
      rake_lamp_get_source (view, face, &pen->lamp.x, &pen->lamp.y, &pen->lamp_reach_px);
}

void
rake_pen_init_small (RakePen *pen, cairo_t *cr, RakeTheme theme, double width_px, double height_px)
{
  double reach_px = hypot (width_px, height_px);

  init_common (pen, cr, theme);
  pen->is_across = TRUE;
  pen->unit_px = CLAMP (height_px / 34, 0.5, 1.4);
  pen->px_per_mm = 2 * pen->unit_px;
  pen->has_lamp = TRUE;
  pen->lamp_deg = 308;
  pen->lamp = (RakePoint){ -0.25 * reach_px, -0.45 * reach_px };
  pen->lamp_reach_px = 1.6 * reach_px;
}

void
rake_pen_colour (const RakePen *pen, RakeColour colour, double alpha)
{
  cairo_set_source_rgba (pen->cr, colour.red, colour.green, colour.blue, colour.alpha * alpha);
}

void
rake_pen_line (const RakePen *pen, RakeColour colour, double alpha, double width_units)
{
  rake_pen_colour (pen, colour, alpha);
  cairo_set_line_width (pen->cr, width_units * pen->unit_px);
}

double
rake_pen_get_slack (const RakePen *pen)
{
  return pen->is_vector ? SLACK_PT : 0;
}

RakePoint
rake_pen_to_lamp (const RakePen *pen, RakePoint at)
{
  double x = pen->lamp.x - at.x, y = pen->lamp.y - at.y, length = hypot (x, y);

  if (!pen->has_lamp || !(length > 1e-6))
    return (RakePoint){ -0.6, -0.8 };
  return (RakePoint){ x / length, y / length };
}

RakeColour
rake_colour_mix (RakeColour a, RakeColour b, double share_of_b)
{
  double share_of_a = 1 - share_of_b;

  return (RakeColour){ a.red * share_of_a + b.red * share_of_b,
                       a.green * share_of_a + b.green * share_of_b,
                       a.blue * share_of_a + b.blue * share_of_b,
                       a.alpha * share_of_a + b.alpha * share_of_b };
}

RakeColour
rake_colour_from_hex (guint32 rgb)
{
  return (RakeColour){ (rgb >> 16 & 0xff) / 255.0, (rgb >> 8 & 0xff) / 255.0, (rgb & 0xff) / 255.0,
                       1.0 };
}

double
rake_device_scale (cairo_t *cr)
{
  cairo_matrix_t matrix;
  double x = 1, y = 1, scale;

  cairo_get_matrix (cr, &matrix);
  cairo_surface_get_device_scale (cairo_get_target (cr), &x, &y);
  scale = hypot (matrix.xx, matrix.yx) * x;
  /* Steps, so that a cache keyed by it is not filled by a slow animation; 8 is beyond any screen. */
  return CLAMP (round (scale * 8) / 8, 0.125, 8);
}

/* --- noise ---------------------------------------------------------------------------------- */

/* Integer hashing by multiplying and folding; the constants are odd and otherwise arbitrary, the
 * test is that the pictures look even. */
guint32
rake_hash (guint32 a, guint32 b, guint32 c)
{
  guint32 hash = a * 0x9e3779b1u ^ b * 0x85ebca77u ^ c * 0xc2b2ae3du;

  hash ^= hash >> 15;
  hash *= 0x2c1b3c6du;
  hash ^= hash >> 12;
  hash *= 0x297a2d39u;
  hash ^= hash >> 15;
  return hash;
}

guint32
rake_seed_from_id (RakeId id)
{
  guint32 seed = 0;

  for (guint i = 0; i < sizeof id.bytes; i += 4)
    seed = rake_hash (seed,
                      (guint32) id.bytes[i] << 24 | (guint32) id.bytes[i + 1] << 16 |
                          (guint32) id.bytes[i + 2] << 8 | id.bytes[i + 3],
                      i);
  return seed;
}

double
rake_random (guint32 *seed)
{
  *seed = rake_hash (*seed, 0x5bd1e995u, 7);
  return *seed / 4294967296.0;
}

static int
wrap (int value, int period)
{
  if (period <= 0)
    return value;
  value %= period;
  return value < 0 ? value + period : value;
}

static double
lattice (int x, int y, guint32 seed)
{
  return rake_hash ((guint32) x, (guint32) y, seed) / 2147483648.0 - 1;
}

double
rake_noise (double x, double y, int period_x, int period_y, guint32 seed)
{
  double floor_x = floor (x), floor_y = floor (y);
  double u = x - floor_x, v = y - floor_y;
  int x0 = wrap ((int) floor_x, period_x), x1 = wrap ((int) floor_x + 1, period_x);
  int y0 = wrap ((int) floor_y, period_y), y1 = wrap ((int) floor_y + 1, period_y);
  double top, bottom;

  u = u * u * (3 - 2 * u);
  v = v * v * (3 - 2 * v);
  top = lattice (x0, y0, seed) * (1 - u) + lattice (x1, y0, seed) * u;
  bottom = lattice (x0, y1, seed) * (1 - u) + lattice (x1, y1, seed) * u;
  return top * (1 - v) + bottom * v;
}
