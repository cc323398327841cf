/* map-pictures.c - the map's own pictures, small: a swatch of the surface with one thing on it, for
 * buttons, lists and the legend. Drawn by the very code that draws the map. */
#include "seen.h"
#include "surface.h"
#include "tile.h"

#include <math.h>

#define LARGEST_PX 8192.0

typedef struct
{
  double width_px, height_px;
} Swatch;

static void
trace_swatch (const RakePen *pen, gconstpointer what)
{
  const Swatch *swatch = what;
  cairo_t *cr = pen->cr;
  double w = swatch->width_px, h = swatch->height_px;
  double radius = MIN (4 * pen->unit_px, MIN (w, h) / 4);

  cairo_new_sub_path (cr);
  cairo_arc (cr, w - radius, radius, radius, -G_PI / 2, 0);
  cairo_arc (cr, w - radius, h - radius, radius, 0, G_PI / 2);
  cairo_arc (cr, radius, h - radius, radius, G_PI / 2, G_PI);
  cairo_arc (cr, radius, radius, radius, G_PI, 1.5 * G_PI);
  cairo_close_path (cr);
}

static RakePlace *
new_wavy_line (double x0, double y0, double x1, double y1, double sway)
{
  RakePlace *line = rake_place_new (RAKE_SHAPE_LINE);

  for (guint i = 0; i <= 24; i++)
    {
      double share = i / 24.0, aside = sway * sin (share * 2.2 * G_PI);
      rake_place_add (line, x0 + (x1 - x0) * share, y0 + (y1 - y0) * share + aside);
    }
  rake_place_end_ring (line);
  return line;
}

static void
draw_at (const RakePen *pen, RakeMarkKind kind, RakePlace *place, guint32 seed)
{
  rake_seen_draw (pen, kind, RAKE_SEEN_PLAIN, place, seed);
  rake_place_free (place);
}

static RakePlace *
new_blob (double x, double y, double radius_x, double radius_y, guint32 seed)
{
  return rake_place_new_blob ((RakePoint){ x, y }, radius_x, radius_y, seed);
}

static void
draw_mark_on_swatch (const RakePen *pen, RakeMarkKind kind, double w, double h)
{
  double radius = MIN (0.34 * h, 0.3 * w);

  switch (kind)
    {
    case RAKE_MARK_UNSAID:
      break;
    case RAKE_MARK_LOW_SPOT:
      draw_at (pen, kind, new_blob (0.38 * w, 0.52 * h, 1.25 * radius, 0.92 * radius, 5), 5);
      draw_at (pen, kind, new_blob (0.70 * w, 0.44 * h, 0.72 * radius, 0.55 * radius, 9), 9);
      break;
    case RAKE_MARK_SCRATCH:
      draw_at (pen, kind, new_wavy_line (0.14 * w, 0.24 * h, 0.86 * w, 0.74 * h, 0), 1);
      break;
    case RAKE_MARK_WITNESS_LINE:
      draw_at (pen, kind, new_wavy_line (0.08 * w, 0.52 * h, 0.92 * w, 0.48 * h, 0.13 * h), 1);
      break;
    case RAKE_MARK_BURN:
      draw_at (pen, kind, new_blob (0.5 * w, 0.5 * h, radius, 0.86 * radius, 6), 6);
      break;
    case RAKE_MARK_SAND_THROUGH:
      draw_at (pen, kind, new_blob (0.5 * w, 0.5 * h, 1.35 * radius, 0.72 * radius, 3), 3);
      break;
    case RAKE_MARK_RUN:
      draw_at (pen, kind, new_blob (0.5 * w, 0.5 * h, 0.62 * radius, 1.12 * radius, 14), 2);
      break;
    case RAKE_MARK_NIB:
    case RAKE_MARK_CRATER:
    case RAKE_MARK_PINHOLE:
      draw_at (pen, kind, new_blob (0.30 * w, 0.42 * h, 0.40 * radius, 0.40 * radius, 2), 2);
      draw_at (pen, kind, new_blob (0.56 * w, 0.64 * h, 0.52 * radius, 0.52 * radius, 4), 4);
      draw_at (pen, kind, new_blob (0.74 * w, 0.30 * h, 0.34 * radius, 0.34 * radius, 6), 6);
      break;
    default:
      draw_at (pen, kind, new_blob (0.5 * w, 0.5 * h, 1.5 * radius, 1.05 * radius, 21 + kind), 7);
      break;
    }
}

void
rake_swatch_draw (cairo_t *cr, RakeTheme theme, gboolean is_known, RakeSheenShown sheen,
                  RakeMarkKind kind, double width_px, double height_px)
{
  RakePen pen;
  Swatch swatch = { width_px, height_px };
  cairo_surface_type_t target;

  if (!(width_px > 1 && width_px <= LARGEST_PX) || !(height_px > 1 && height_px <= LARGEST_PX))
    return;
  rake_pen_init_small (&pen, cr, theme, width_px, height_px);
  /* Ink is drawn as lines wherever it is shown; a legend goes to paper, or is kept to go there. */
  target = cairo_surface_get_type (cairo_get_target (cr));
  pen.is_vector = target == CAIRO_SURFACE_TYPE_PDF || target == CAIRO_SURFACE_TYPE_SVG ||
                  target == CAIRO_SURFACE_TYPE_RECORDING;
  cairo_save (cr);
  cairo_new_path (cr);
  rake_surface_fill (&pen, is_known, sheen, trace_swatch, &swatch);
  cairo_save (cr);
  /* Low spots lie well inside, and a table on paper may have hundreds of them: a clip is written out
   * again for everything that is drawn in it. */
  if (kind != RAKE_MARK_LOW_SPOT)
    {
      trace_swatch (&pen, &swatch);
      cairo_clip (cr);
    }
  draw_mark_on_swatch (&pen, kind, width_px, height_px);
  cairo_restore (cr);
  if (pen.is_ink)
    {
      trace_swatch (&pen, &swatch);
      rake_pen_line (&pen, pen.palette->ink, 1, 0.8);
      cairo_stroke (cr);
    }
  cairo_restore (cr);
}

void
rake_map_draw_mark_picture (cairo_t *cr, RakeTheme theme, RakeMarkKind kind, double width_px,
                            double height_px)
{
  /* These two are seen in gloss alone. */
  RakeSheenShown sheen =
      kind == RAKE_MARK_SWIRL || kind == RAKE_MARK_DULL_SPOT ? RAKE_SHOWN_GLOSS : RAKE_SHOWN_MATTE;

  g_return_if_fail ((guint) kind < RAKE_N_MARKS);
  rake_swatch_draw (cr, theme, TRUE, sheen, kind, width_px, height_px);
}

void
rake_map_draw_state_picture (cairo_t *cr, RakeTheme theme, RakeState state, double width_px,
                             double height_px)
{
  static const RakeMarkKind kinds[RAKE_N_STATES] = {
    [RAKE_STATE_LOW_SPOT] = RAKE_MARK_LOW_SPOT,
    [RAKE_STATE_SCRATCH] = RAKE_MARK_SCRATCH,
    [RAKE_STATE_WITNESS_LINE] = RAKE_MARK_WITNESS_LINE,
    [RAKE_STATE_BURN] = RAKE_MARK_BURN,
    [RAKE_STATE_SAND_THROUGH] = RAKE_MARK_SAND_THROUGH,
  };

  g_return_if_fail ((guint) state < RAKE_N_STATES);
  rake_swatch_draw (cr, theme, state != RAKE_STATE_UNSAID, RAKE_SHOWN_MATTE, kinds[state], width_px,
                    height_px);
}
