/* map-zone.c - the surface of a zone as the lamp shows it. */
#include "islands.h"
#include "seen.h"
#include "surface.h"
#include "tile.h"

#include <math.h>

static double
get_fact (const RakeJudgement *judgement, RakeFact fact, double otherwise)
{
  return judgement->facts.knowledge[fact] == RAKE_KNOWN ? judgement->facts.value[fact] : otherwise;
}

RakeState
rake_map_get_shown_state (const RakeJudgement *judgement)
{
  static const struct
  {
    RakeFact count;
    RakeState state;
  } bad_news[] = {
    { RAKE_FACT_SAND_THROUGHS, RAKE_STATE_SAND_THROUGH },
    { RAKE_FACT_BURNS, RAKE_STATE_BURN },
    { RAKE_FACT_WITNESS_LINES, RAKE_STATE_WITNESS_LINE },
    { RAKE_FACT_SCRATCHES, RAKE_STATE_SCRATCH },
  };
  gboolean was_said, was_looked_at;

  if (judgement == NULL)
    return RAKE_STATE_UNSAID;
  was_said = get_fact (judgement, RAKE_FACT_SAID_SINCE_PASS, 0) > 0;
  was_looked_at = was_said || get_fact (judgement, RAKE_FACT_LOOKED_SINCE_PASS, 0) > 0 ||
                  get_fact (judgement, RAKE_FACT_LOOKED_POORLY_SINCE_PASS, 0) > 0;
  if (!was_looked_at)
    return RAKE_STATE_UNSAID;
  /* Bad news counts from any look, good news only from a proper one. */
  for (gsize i = 0; i < G_N_ELEMENTS (bad_news); i++)
    if (get_fact (judgement, bad_news[i].count, 0) > 0)
      return bad_news[i].state;
  if (!was_said)
    return RAKE_STATE_UNSAID;
  return get_fact (judgement, RAKE_FACT_LOW_SPOT_FRACTION, 0) > 0 ? RAKE_STATE_LOW_SPOT
                                                                  : RAKE_STATE_UNIFORM;
}

RakeSheenShown
rake_surface_get_sheen (const RakeJudgement *judgement)
{
  const RakeStage *stage = judgement != NULL ? judgement->stage : NULL;

  if (stage == NULL || (stage->action != RAKE_ACTION_BUFF && stage->action != RAKE_ACTION_REST))
    return RAKE_SHOWN_MATTE;
  return get_fact (judgement, RAKE_FACT_IS_SATIN, 0) > 0 ? RAKE_SHOWN_EVEN_SCRATCH
                                                         : RAKE_SHOWN_GLOSS;
}

/* --- the even surface ----------------------------------------------------------------------- */

void
rake_surface_fill (const RakePen *pen, gboolean is_known, RakeSheenShown sheen,
                   RakeSurfaceTrace trace, gconstpointer what)
{
  const RakeMaterials *materials = pen->materials;

  trace (pen, what);
  rake_tile_fill (pen, RAKE_TILE_WOOD);
  if (pen->has_lamp && !pen->is_ink)
    {
      trace (pen, what);
      rake_tile_fill_light (pen, RAKE_TILE_LIGHT, pen->lamp, pen->lamp_reach_px, 1);
    }
  if (!is_known)
    {
      trace (pen, what);
      rake_pen_colour (pen, pen->palette->wood_shadow, materials->shadow_alpha);
      cairo_fill (pen->cr);
      trace (pen, what);
      rake_tile_fill (pen, RAKE_TILE_DOTS);
      return;
    }
  if (sheen == RAKE_SHOWN_GLOSS && pen->has_lamp && !pen->is_ink)
    {
      trace (pen, what);
      rake_tile_fill_light (pen, RAKE_TILE_SHEEN, pen->lamp, pen->lamp_reach_px, 1);
    }
  trace (pen, what);
  rake_tile_fill (pen, sheen == RAKE_SHOWN_MATTE   ? RAKE_TILE_STIPPLE
                       : sheen == RAKE_SHOWN_GLOSS ? RAKE_TILE_GLARE
                                                   : RAKE_TILE_EVEN_SCRATCH);
}

/* --- what was said of the whole zone -------------------------------------------------------- */

static guint
count_open_marks (const RakeZone *zone, RakeMarkKind kind, double *area_mm2)
{
  guint n = 0;

  for (guint i = 0; zone->marks != NULL && i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      if (mark->kind != kind || mark->closed_by != NULL || rake_mark_is_ghost (zone, mark))
        continue;
      n++;
      *area_mm2 += rake_shape_get_area_mm2 (mark->shape);
    }
  return n;
}

/* A place for the next thing that was said to be somewhere: off the middle, where the label goes. */
static RakePoint
pick_point (const RakePlace *zone, RakePoint inner, guint32 *seed, double reach_px)
{
  for (guint attempt = 0; attempt < 24; attempt++)
    {
      double angle = 2 * G_PI * rake_random (seed);
      /* Nearer with every try that falls outside. */
      double away = reach_px * (1 - attempt / 32.0);
      RakePoint at = { inner.x + away * cos (angle), inner.y + away * sin (angle) };
      if (rake_place_contains (zone, at.x, at.y) &&
          rake_place_contains (zone, at.x + 0.3 * (at.x - inner.x), at.y + 0.3 * (at.y - inner.y)))
        return at;
    }
  return inner;
}

/* A line of @length around @at in the zone, bent by @sway; shortened until it lies inside. */
static RakePlace *
new_line_inside (const RakePlace *zone, RakePoint at, double angle, double length, double sway)
{
  RakePlace *line = NULL;

  for (guint attempt = 0; attempt < 8; attempt++, length *= 0.75)
    {
      gboolean is_inside = TRUE;
      line = rake_place_new (RAKE_SHAPE_LINE);
      for (int step = -8; step <= 8; step++)
        {
          double along = step / 16.0 * length,
                 aside = sway * length * sin (step / 16.0 * 7 + angle);
          double x = at.x + along * cos (angle) - aside * sin (angle);
          double y = at.y + along * sin (angle) + aside * cos (angle);
          is_inside = is_inside && rake_place_contains (zone, x, y);
          rake_place_add (line, x, y);
        }
      rake_place_end_ring (line);
      if (is_inside || attempt == 7)
        break;
      g_clear_pointer (&line, rake_place_free);
    }
  return line;
}

static void
draw_said (const RakePen *pen, const RakePlace *zone, RakePoint inner, RakeMarkKind kind, guint n,
           double length_px, guint32 seed)
{
  double extent = hypot (zone->max.x - zone->min.x, zone->max.y - zone->min.y);
  double angle = 2 * G_PI * rake_random (&seed);

  for (guint i = 0; i < n; i++)
    {
      g_autoptr (RakePlace) place = NULL;
      RakePoint at = pick_point (zone, inner, &seed, 0.26 * extent);
      if (kind == RAKE_MARK_SCRATCH)
        place = new_line_inside (zone, at, angle + 0.2 * (rake_random (&seed) - 0.5),
                                 length_px > 0 && i == 0 ? length_px : 0.28 * extent, 0.008);
      else if (kind == RAKE_MARK_WITNESS_LINE)
        place = new_line_inside (zone, at, angle, 0.45 * extent, 0.05);
      else
        {
          double radius = CLAMP (0.07 * extent, 2 * pen->unit_px, 20 * pen->unit_px);
          place = rake_place_new_blob (at, radius * 1.15, radius * 0.9, seed);
        }
      rake_seen_draw (pen, kind, RAKE_SEEN_PLAIN, place, seed + i);
    }
}

static void
draw_islands_said (const RakePen *pen, const RakeMapView *view, const RakeZone *zone,
                   const RakeJudgement *judgement, guint32 seed)
{
  g_autoptr (RakePlace) islands = NULL;
  g_autoptr (GArray) painted = g_array_new (FALSE, FALSE, sizeof (RakeBounds));
  double painted_mm2 = 0, area_mm2 = MAX (rake_shape_get_area_mm2 (zone->shape), 1e-6);
  double fraction = get_fact (judgement, RAKE_FACT_LOW_SPOT_FRACTION, 0);

  count_open_marks (zone, RAKE_MARK_LOW_SPOT, &painted_mm2);
  /* Painted patches are pictures of their own; only what was said beyond them is made up here. */
  fraction -= painted_mm2 / area_mm2;
  if (fraction < 0.01)
    return;
  for (guint i = 0; zone->marks != NULL && i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      RakeBounds bounds = rake_shape_get_bounds (mark->shape);
      if (mark->closed_by == NULL)
        g_array_append_val (painted, bounds);
    }
  islands = rake_islands_new (view, zone->shape, fraction, (RakeBounds *) (gpointer) painted->data,
                              painted->len, seed);
  if (islands == NULL)
    return;
  islands->slack_px = rake_pen_get_slack (pen);
  rake_seen_draw_islands (pen, islands);
}

/* Things said of the zone as a whole have no place; they are shown somewhere in it, always at the
 * same spot. */
static void
draw_whole_zone_states (const RakePen *pen, const RakeMapView *view, const RakeZone *zone,
                        const RakeJudgement *judgement)
{
  static const struct
  {
    RakeFact count;
    RakeMarkKind kind;
    guint most;
  } things[] = {
    { RAKE_FACT_WITNESS_LINES, RAKE_MARK_WITNESS_LINE, 1 },
    { RAKE_FACT_SCRATCHES, RAKE_MARK_SCRATCH, 3 },
    { RAKE_FACT_SAND_THROUGHS, RAKE_MARK_SAND_THROUGH, 1 },
    { RAKE_FACT_BURNS, RAKE_MARK_BURN, 1 },
  };
  g_autoptr (RakePlace) place = rake_place_new_from_shape (view, zone->shape);
  guint32 seed = rake_seed_from_id (zone->id);
  double x_mm, y_mm;
  RakePoint inner;

  rake_shape_get_inner_point (zone->shape, &x_mm, &y_mm);
  rake_map_view_to_px (view, x_mm, y_mm, &inner.x, &inner.y);
  cairo_save (pen->cr);
  rake_shape_trace (pen->cr, view, zone->shape);
  cairo_clip (pen->cr);
  draw_islands_said (pen, view, zone, judgement, seed);
  for (gsize i = 0; i < G_N_ELEMENTS (things); i++)
    {
      double area_mm2 = 0;
      guint n_marked = count_open_marks (zone, things[i].kind, &area_mm2);
      double n_said = get_fact (judgement, things[i].count, 0);
      double length_px = get_fact (judgement, RAKE_FACT_LONGEST_SCRATCH_MM, 0) * view->px_per_mm;
      if (n_said > n_marked)
        draw_said (pen, place, inner, things[i].kind, n_marked == 0 ? things[i].most : 1, length_px,
                   seed + 10 * (guint32) i);
    }
  cairo_restore (pen->cr);
}

typedef struct
{
  const RakeMapView *view;
  const RakeShape *shape;
} ZoneTrace;

static void
trace_zone (const RakePen *pen, gconstpointer what)
{
  const ZoneTrace *zone = what;

  rake_shape_trace (pen->cr, zone->view, zone->shape);
}

/* Nothing is asked of the surface: as in the zone editor. */
static void
draw_plain (const RakePen *pen, const ZoneTrace *trace)
{
  trace_zone (pen, trace);
  rake_tile_fill (pen, RAKE_TILE_WOOD);
  if (!pen->has_lamp || pen->is_ink)
    return;
  trace_zone (pen, trace);
  rake_tile_fill_light (pen, RAKE_TILE_LIGHT, pen->lamp, pen->lamp_reach_px, 1);
}

void
rake_map_draw_zone (cairo_t *cr, const RakeMapView *view, const RakeZone *zone,
                    const RakeJudgement *judgement)
{
  ZoneTrace trace = { view, zone->shape };
  RakePen pen;

  rake_pen_init (&pen, cr, view, zone->face);
  cairo_save (cr);
  cairo_new_path (cr);
  if (judgement == NULL)
    draw_plain (&pen, &trace);
  else
    {
      RakeState state = rake_map_get_shown_state (judgement);
      rake_surface_fill (&pen, state != RAKE_STATE_UNSAID, rake_surface_get_sheen (judgement),
                         trace_zone, &trace);
      if (state != RAKE_STATE_UNSAID && state != RAKE_STATE_UNIFORM)
        draw_whole_zone_states (&pen, view, zone, judgement);
    }
  cairo_restore (cr);
}
