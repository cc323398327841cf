/* map-marks.c - what was seen at a place, as new, carried, in question or mended. */
#include "seen.h"

#include <math.h>

/* What came last in the zone's history: its last pass, or the look that saw the mark. */
static gboolean
was_passed_since_seen (const RakeZone *zone, const RakeMark *mark)
{
  for (guint i = zone->history != NULL ? zone->history->len : 0; i > 0; i--)
    {
      const RakeEntry *entry = zone->history->pdata[i - 1];
      if (entry == mark->last_seen || entry == mark->entry)
        return FALSE;
      if (entry->kind == RAKE_ENTRY_PASS)
        return TRUE;
    }
  return FALSE;
}

static gboolean
began_stage_since_seen (const RakeZone *zone, const RakeMark *mark)
{
  for (guint i = zone->history != NULL ? zone->history->len : 0; i > 0; i--)
    {
      const RakeEntry *entry = zone->history->pdata[i - 1];
      if (entry == mark->last_seen || entry == mark->entry)
        return FALSE;
      if (entry->kind == RAKE_ENTRY_BEGIN_STAGE)
        return TRUE;
    }
  return FALSE;
}

/* A low spot of an earlier stage rides along until it is closed; anything else from there is carried
 * until a look at this stage sees it again. */
gboolean
rake_mark_is_carried (const RakeZone *zone, const RakeMark *mark)
{
  if (mark->closed_by != NULL || mark->stage == NULL || zone->stage == NULL ||
      mark->stage->position >= zone->stage->position)
    return FALSE;
  return mark->kind == RAKE_MARK_LOW_SPOT || began_stage_since_seen (zone, mark);
}

/* From the last sanding grit on, carried spots must be closed; before it they ride along. */
static gboolean
must_close_carried (const RakeStage *stage)
{
  return stage->is_last_sanding ||
         (stage->action != RAKE_ACTION_LEVEL && stage->action != RAKE_ACTION_REFINE);
}

gboolean
rake_mark_is_ghost (const RakeZone *zone, const RakeMark *mark)
{
  if (mark->closed_by != NULL || !was_passed_since_seen (zone, mark))
    return FALSE;
  return mark->kind != RAKE_MARK_LOW_SPOT || !rake_mark_is_carried (zone, mark) ||
         must_close_carried (zone->stage);
}

void
rake_map_marks_extents (const RakeMapView *view, const RakeZone *zone, double *x_px, double *y_px,
                        double *width_px, double *height_px)
{
  double left = G_MAXDOUBLE, top = G_MAXDOUBLE, right = -G_MAXDOUBLE, bottom = -G_MAXDOUBLE;

  *x_px = *y_px = *width_px = *height_px = 0;
  for (guint i = 0; zone->marks != NULL && i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      RakeBounds bounds = rake_shape_get_bounds (mark->shape);
      double x, y;
      rake_map_view_to_px (view, bounds.min_x_mm, bounds.min_y_mm, &x, &y);
      left = MIN (left, x);
      top = MIN (top, y);
      rake_map_view_to_px (view, bounds.max_x_mm, bounds.max_y_mm, &x, &y);
      right = MAX (right, x);
      bottom = MAX (bottom, y);
    }
  if (left > right)
    return;
  *x_px = floor (left - RAKE_SEEN_REACH_UNITS);
  *y_px = floor (top - RAKE_SEEN_REACH_UNITS);
  *width_px = ceil (right + RAKE_SEEN_REACH_UNITS) - *x_px;
  *height_px = ceil (bottom + RAKE_SEEN_REACH_UNITS) - *y_px;
}

void
rake_map_draw_marks (cairo_t *cr, const RakeMapView *view, const RakeZone *zone,
                     const RakeJudgement *judgement)
{
  RakePen pen;

  if (zone->marks == NULL || zone->marks->len == 0)
    return;
  rake_pen_init (&pen, cr, view, zone->face);
  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      g_autoptr (RakePlace) place = NULL;
      RakeSeenAs as = RAKE_SEEN_PLAIN;
      if (mark->closed_by != NULL && !mark->was_repaired)
        continue;
      if (mark->closed_by != NULL)
        as = RAKE_SEEN_STITCHED;
      else if (rake_mark_is_ghost (zone, mark))
        as = RAKE_SEEN_GHOST;
      else if (rake_mark_is_carried (zone, mark))
        as = RAKE_SEEN_HOLLOW;
      place = rake_place_new_from_shape (view, mark->shape);
      rake_seen_draw (&pen, mark->kind, as, place, rake_seed_from_id (mark->entry->id));
    }
}

void
rake_map_draw_mark_preview (cairo_t *cr, const RakeMapView *view, RakeMarkKind kind,
                            const RakeShape *shape)
{
  g_autoptr (RakePlace) place = rake_place_new_from_shape (view, shape);
  RakePen pen;

  /* Without its face the hand's own light will do: it is there for a second. */
  rake_pen_init_small (&pen, cr, view->theme, view->width_px, view->height_px);
  pen.unit_px = 1;
  pen.is_vector = view->is_paper;
  rake_seen_draw (&pen, kind, RAKE_SEEN_PLAIN, place, 1);
  if (rake_shape_get_kind (shape) == RAKE_SHAPE_AREA)
    {
      rake_place_trace (place, cr, 0, 0, TRUE);
      rake_pen_line (&pen, pen.palette->lamp_fill, 0.9, 1.2);
      cairo_stroke (cr);
    }
}
