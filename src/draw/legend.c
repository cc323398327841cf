/* legend.c - see legend.h. */
#include "legend.h"
#include "seen.h"
#include "surface.h"
#include "words.h"

#include <math.h>

#define TEXT_PT 8.0
#define SWATCH_PT 30.0
#define LINE_PT 17.0
#define GAP_PT 14.0

typedef struct
{
  gboolean has_state[RAKE_N_STATES];
  gboolean has_mark[RAKE_N_MARKS];
  gboolean has_verdict[RAKE_N_VERDICTS];
  gboolean has_gloss, has_even_scratch, has_carried, has_ghost, has_repaired, has_accepted;
} Shown;

static void
find_shown_in_zone (Shown *shown, const RakeZone *zone, const RakeJudgement *judgement)
{
  RakeState state = rake_map_get_shown_state (judgement);
  RakeSheenShown sheen = rake_surface_get_sheen (judgement);

  if (judgement != NULL)
    {
      shown->has_state[state] = TRUE;
      if (state != RAKE_STATE_UNSAID)
        {
          shown->has_gloss |= sheen == RAKE_SHOWN_GLOSS;
          shown->has_even_scratch |= sheen == RAKE_SHOWN_EVEN_SCRATCH;
          shown->has_state[RAKE_STATE_UNIFORM] |= sheen == RAKE_SHOWN_MATTE;
        }
      if (judgement->is_accepted && judgement->verdict <= RAKE_VERDICT_READY)
        shown->has_accepted = TRUE;
      else if (judgement->verdict != RAKE_VERDICT_NONE)
        shown->has_verdict[judgement->verdict] = TRUE;
    }
  for (guint i = 0; zone->marks != NULL && i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];
      if (mark->closed_by != NULL)
        shown->has_repaired |= mark->was_repaired;
      else if (rake_mark_is_ghost (zone, mark))
        shown->has_ghost = TRUE;
      else
        {
          shown->has_mark[mark->kind] = TRUE;
          shown->has_carried |= rake_mark_is_carried (zone, mark);
        }
    }
}

static void
find_shown (Shown *shown, const RakePage *page)
{
  static const RakeMarkKind kinds[RAKE_N_STATES] = {
    [RAKE_STATE_LOW_SPOT] = RAKE_MARK_LOW_SPOT,
    [RAKE_STATE_SCRATCH] = RAKE_MARK_SCRATCH,
    [RAKE_STATE_WITNESS_LINE] = RAKE_MARK_WITNESS_LINE,
    [RAKE_STATE_BURN] = RAKE_MARK_BURN,
    [RAKE_STATE_SAND_THROUGH] = RAKE_MARK_SAND_THROUGH,
  };

  *shown = (Shown){ 0 };
  for (guint i = 0; page->face->zones != NULL && i < page->face->zones->len; i++)
    find_shown_in_zone (shown, page->face->zones->pdata[i], page->judgements[i]);
  /* A state of the whole zone and a mark of that kind have one picture. */
  for (RakeState state = RAKE_STATE_LOW_SPOT; state < RAKE_N_STATES; state++)
    if (kinds[state] != RAKE_MARK_UNSAID && shown->has_state[state])
      shown->has_mark[kinds[state]] = TRUE;
}

/* --- the flow of items ---------------------------------------------------------------------- */

typedef struct
{
  const RakePage *page;
  cairo_t *cr;
  double width, x, y;
  gboolean is_drawn;
} Flow;

/* Room for a picture of @picture_pt and @text behind it; the picture's place is the origin when TRUE
 * comes back, and the caller restores. */
static gboolean
begin_item (Flow *flow, const char *text, double picture_pt)
{
  g_autoptr (PangoLayout) layout = rake_words_new (flow->cr, text, TEXT_PT, FALSE);
  double width, height, all;

  rake_words_limit (layout, MAX (flow->width - picture_pt - 5, 1));
  rake_words_get_size (layout, &width, &height);
  all = picture_pt + 5 + MIN (width, MAX (flow->width - picture_pt - 5, 1));
  if (flow->x > 0 && flow->x + all > flow->width)
    {
      flow->x = 0;
      flow->y += LINE_PT;
    }
  if (flow->is_drawn)
    {
      rake_words_write (flow->cr, layout, flow->x + picture_pt + 5,
                        flow->y + (LINE_PT - height) / 2,
                        rake_palette_get (flow->page->theme)->ink);
      cairo_save (flow->cr);
      cairo_translate (flow->cr, flow->x, flow->y);
    }
  flow->x += all + GAP_PT;
  return flow->is_drawn;
}

static void
add_verdicts (Flow *flow, const Shown *shown)
{
  for (RakeVerdict verdict = RAKE_VERDICT_READY; verdict < RAKE_N_VERDICTS; verdict++)
    if (shown->has_verdict[verdict] && begin_item (flow, rake_words_for_verdict (verdict), 11))
      {
        cairo_translate (flow->cr, 0, (LINE_PT - 11) / 2);
        rake_map_draw_verdict_glyph (flow->cr, flow->page->theme, verdict, 11);
        cairo_restore (flow->cr);
      }
  if (shown->has_accepted && begin_item (flow, _ ("Accepted"), 11))
    {
      cairo_translate (flow->cr, 0, (LINE_PT - 11) / 2);
      rake_map_draw_accepted_glyph (flow->cr, flow->page->theme, 11);
      cairo_restore (flow->cr);
    }
}

/* How a thing stands is shown on the plainest of things. */
static void
add_standing (Flow *flow, gboolean is_shown, const char *text, RakeSeenAs as)
{
  RakePen pen;
  g_autoptr (RakePlace) place = NULL;
  const double h = LINE_PT - 4;

  if (!is_shown || !begin_item (flow, text, SWATCH_PT))
    return;
  cairo_translate (flow->cr, 0, 2);
  rake_map_draw_state_picture (flow->cr, flow->page->theme, RAKE_STATE_UNIFORM, SWATCH_PT, h);
  rake_pen_init_small (&pen, flow->cr, flow->page->theme, SWATCH_PT, h);
  place = rake_place_new_blob ((RakePoint){ SWATCH_PT / 2, h / 2 }, 0.38 * h * 1.4, 0.30 * h, 5);
  rake_seen_draw (&pen, RAKE_MARK_LOW_SPOT, as, place, 5);
  cairo_restore (flow->cr);
}

static void
add_surfaces (Flow *flow, const Shown *shown)
{
  const struct
  {
    gboolean is_shown;
    const char *text;
    gboolean is_known;
    RakeSheenShown sheen;
  } surfaces[] = {
    { shown->has_state[RAKE_STATE_UNSAID], _ ("Not looked at"), FALSE, RAKE_SHOWN_MATTE },
    { shown->has_state[RAKE_STATE_UNIFORM], _ ("Uniform matte"), TRUE, RAKE_SHOWN_MATTE },
    { shown->has_gloss, _ ("Uniform gloss"), TRUE, RAKE_SHOWN_GLOSS },
    { shown->has_even_scratch, _ ("One even scratch"), TRUE, RAKE_SHOWN_EVEN_SCRATCH },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (surfaces); i++)
    if (surfaces[i].is_shown && begin_item (flow, surfaces[i].text, SWATCH_PT))
      {
        cairo_translate (flow->cr, 0, 2);
        rake_swatch_draw (flow->cr, flow->page->theme, surfaces[i].is_known, surfaces[i].sheen,
                          RAKE_MARK_UNSAID, SWATCH_PT, LINE_PT - 4);
        cairo_restore (flow->cr);
      }
}

static void
add_marks (Flow *flow, const Shown *shown)
{
  for (RakeMarkKind kind = RAKE_MARK_LOW_SPOT; kind < RAKE_N_MARKS; kind++)
    if (shown->has_mark[kind] &&
        begin_item (flow, g_dgettext (GETTEXT_PACKAGE, rake_mark_kind_get_label (kind)), SWATCH_PT))
      {
        cairo_translate (flow->cr, 0, 2);
        rake_map_draw_mark_picture (flow->cr, flow->page->theme, kind, SWATCH_PT, LINE_PT - 4);
        cairo_restore (flow->cr);
      }
}

double
rake_legend_draw (const RakePage *page, cairo_t *cr, double width, gboolean is_drawn)
{
  Flow flow = { page, cr, width, 0, 0, is_drawn };
  Shown shown;

  find_shown (&shown, page);
  add_verdicts (&flow, &shown);
  if (flow.x > 0)
    {
      flow.x = 0;
      flow.y += LINE_PT;
    }
  add_surfaces (&flow, &shown);
  add_marks (&flow, &shown);
  add_standing (&flow, shown.has_carried, _ ("Carried from before"), RAKE_SEEN_HOLLOW);
  add_standing (&flow, shown.has_ghost, _ ("Is it still there?"), RAKE_SEEN_GHOST);
  add_standing (&flow, shown.has_repaired, _ ("Repaired"), RAKE_SEEN_STITCHED);
  return flow.x > 0 ? flow.y + LINE_PT : flow.y;
}

double
rake_map_draw_legend (cairo_t *cr, RakeTheme theme, const RakeFace *face,
                      RakeJudgement *const *judgements, double width_px, gboolean is_drawn)
{
  const RakePage page = { .face = face, .judgements = judgements, .theme = theme };

  return rake_legend_draw (&page, cr, width_px, is_drawn);
}
