/* page.c - see page.h. All measures are points. */
#include "page.h"
#include "legend.h"
#include "words.h"

#include <rakelight/units.h>

#include <math.h>

#define A4_SHORT 595.276
#define A4_LONG 841.890
#define MARGIN 34.0
#define TITLE_PT 17.0
#define LINE_PT 9.0
#define LABEL_PT 8.5
#define RING_ROOM 44.0

/* --- what is said --------------------------------------------------------------------------- */

char *
rake_page_get_title (const RakePage *page)
{
  const RakeJobFacts *facts = rake_job_find_facts (page->job);

  /* Translators: a job's name and the name of one of its faces. */
  return g_strdup_printf (_ ("%s — %s"), facts != NULL ? facts->name : _ ("Job"), page->face->name);
}

GDateTime *
rake_page_get_time (const RakePage *page)
{
  guint n_entries = rake_job_get_n_entries (page->job);
  const RakeEntry *last;
  g_autoptr (GDateTime) utc = NULL;
  g_autoptr (GTimeZone) zone = NULL;

  if (n_entries == 0)
    return NULL;
  last = rake_job_get_entry (page->job, n_entries - 1);
  utc = g_date_time_new_from_unix_utc (last->written_ms / 1000);
  zone = g_time_zone_new_offset (last->utc_offset_minutes * 60);
  return utc != NULL ? g_date_time_to_timezone (utc, zone) : NULL;
}

static void
add_part (GString *line, const char *part)
{
  if (part == NULL || *part == '\0')
    return;
  if (line->len > 0)
    g_string_append (line, " · ");
  g_string_append (line, part);
}

static char *
describe_job (const RakePage *page)
{
  const RakeJobFacts *facts = rake_job_find_facts (page->job);
  const RakeStage *stage = page->face->stage;
  g_autoptr (GDateTime) time = rake_page_get_time (page);
  g_autofree char *date = time != NULL ? g_date_time_format (time, "%Y-%m-%d %H:%M") : NULL;
  g_autofree char *as_of = date != NULL ? g_strdup_printf (_ ("as of %s"), date) : NULL;
  GString *line = g_string_new (NULL);

  if (facts != NULL)
    {
      add_part (line, facts->piece);
      if (facts->finish != RAKE_FINISH_UNSAID)
        add_part (line, g_dgettext (GETTEXT_PACKAGE, rake_finish_get_label (facts->finish)));
    }
  if (stage != NULL)
    {
      g_autofree char *where = g_strdup_printf (
          "%s %s", g_dgettext (GETTEXT_PACKAGE, rake_action_get_label (stage->action)),
          stage->grade);
      add_part (line, g_strchomp (where));
    }
  add_part (line, as_of);
  return g_string_free (line, FALSE);
}

static gboolean
find_known (const RakePage *page, RakeFact fact, gboolean of_edges, double *value)
{
  for (guint i = 0; page->face->zones != NULL && i < page->face->zones->len; i++)
    {
      const RakeZone *zone = page->face->zones->pdata[i];
      const RakeJudgement *judgement = page->judgements[i];
      if (judgement == NULL || zone->is_edge != of_edges ||
          judgement->facts.knowledge[fact] != RAKE_KNOWN)
        continue;
      *value = judgement->facts.value[fact];
      return TRUE;
    }
  return FALSE;
}

/* How far the face is, and what is asked of it. */
static char *
describe_gate (const RakePage *page)
{
  GString *line = g_string_new (NULL);
  guint n_settled = 0, n_asked = 0;
  double settled_mm2 = 0, asked_mm2 = 0, fraction, island_mm;

  for (guint i = 0; page->face->zones != NULL && i < page->face->zones->len; i++)
    {
      const RakeZone *zone = page->face->zones->pdata[i];
      const RakeJudgement *judgement = page->judgements[i];
      double area_mm2 = rake_shape_get_area_mm2 (zone->shape);
      if (judgement == NULL || (judgement->verdict == RAKE_VERDICT_NONE && !judgement->is_accepted))
        continue;
      n_asked++;
      asked_mm2 += area_mm2;
      if (judgement->verdict > RAKE_VERDICT_READY)
        continue;
      n_settled++;
      settled_mm2 += area_mm2;
    }
  if (n_asked > 0)
    g_string_append_printf (
        line,
        g_dngettext (GETTEXT_PACKAGE, "%u of %u zone ready or accepted, %.0f %% of the area",
                     "%u of %u zones ready or accepted, %.0f %% of the area", n_asked),
        n_settled, n_asked, 100 * settled_mm2 / MAX (asked_mm2, 1e-9));
  if (find_known (page, RAKE_FACT_LOW_SPOT_LIMIT, FALSE, &fraction))
    {
      g_autofree char *gate =
          find_known (page, RAKE_FACT_ISLAND_LIMIT_MM, FALSE, &island_mm)
              ? g_strdup_printf (_ ("level enough: low spots up to %.0f %%, none over %.0f mm"),
                                 100 * fraction, island_mm)
              : g_strdup_printf (_ ("level enough: low spots up to %.0f %%"), 100 * fraction);
      add_part (line, gate);
    }
  if (find_known (page, RAKE_FACT_LOW_SPOT_LIMIT, TRUE, &fraction))
    {
      g_autofree char *gate = g_strdup_printf (_ ("edges up to %.0f %%"), 100 * fraction);
      add_part (line, gate);
    }
  return g_string_free (line, FALSE);
}

/* --- the page ------------------------------------------------------------------------------- */

/* Writes nothing in a colour that cannot be seen; the height is the same. */
static double
write_line (const RakePage *page, cairo_t *cr, const char *text, double size, gboolean is_bold,
            double y, RakeColour colour)
{
  g_autoptr (PangoLayout) layout = rake_words_new (cr, text, size, is_bold);
  double width, height;

  rake_words_limit (layout, page->width - 2 * MARGIN);
  rake_words_get_size (layout, &width, &height);
  if (colour.alpha > 0)
    rake_words_write (cr, layout, MARGIN, y, colour);
  return y + height;
}

/* The longest of 1, 2, 5, 10 … mm that fits into @room. */
static double
choose_bar (double px_per_unit, double room)
{
  double power = pow (10, floor (log10 (room / px_per_unit)));

  return 5 * power * px_per_unit <= room   ? 5 * power
         : 2 * power * px_per_unit <= room ? 2 * power
                                           : power;
}

void
rake_map_draw_scale_bar (cairo_t *cr, const RakeMapView *view, double x, double y)
{
  const RakePalette *palette = rake_palette_get (view->theme);
  double px_per_unit = view->px_per_mm / rake_units_to_shown (RAKE_MEASURE_LENGTH, 1);
  double units = choose_bar (px_per_unit, 130), bar = units * px_per_unit;
  g_autofree char *text =
      g_strdup_printf ("%g %s", units, rake_units_get_sign (RAKE_MEASURE_LENGTH));
  g_autoptr (PangoLayout) layout = rake_words_new (cr, text, 8, FALSE);
  double width, height;

  cairo_set_source_rgb (cr, palette->ink.red, palette->ink.green, palette->ink.blue);
  cairo_set_line_width (cr, 0.9);
  cairo_rectangle (cr, x, y - 4, bar, 4);
  cairo_stroke (cr);
  /* Every other fifth filled, to be counted. */
  for (guint i = 0; i < 5; i += 2)
    cairo_rectangle (cr, x + bar * i / 5, y - 4, bar / 5, 4);
  cairo_fill (cr);
  rake_words_get_size (layout, &width, &height);
  rake_words_write (cr, layout, x + bar + 6, y - 2 - height / 2, palette->ink);
}

static void
draw_map (const RakePage *page, cairo_t *cr, double x, double y, double width, double height)
{
  RakeMapView view = { .theme = page->theme,
                       .width_px = width,
                       .height_px = height,
                       .lamp_deg = page->lamp_deg,
                       .text_px = LABEL_PT,
                       .is_paper = page->is_vector };

  rake_map_view_fit (&view, page->face, RING_ROOM);
  cairo_save (cr);
  cairo_translate (cr, x, y);
  rake_map_draw_face (cr, &view, page->face, page->judgements);
  rake_map_draw_scale_bar (cr, &view, 1, height - 3);
  cairo_restore (cr);
}

void
rake_page_choose_size (RakePage *page)
{
  RakeBounds bounds = rake_shape_get_bounds (page->face->outline);
  double width_mm = MAX (bounds.max_x_mm - bounds.min_x_mm, 1e-3);
  double height_mm = MAX (bounds.max_y_mm - bounds.min_y_mm, 1e-3);
  /* About what title and legend leave of either page. */
  double lying = MIN ((A4_LONG - 170) / width_mm, (A4_SHORT - 260) / height_mm);
  double standing = MIN ((A4_SHORT - 170) / width_mm, (A4_LONG - 260) / height_mm);

  page->width = standing >= lying ? A4_SHORT : A4_LONG;
  page->height = standing >= lying ? A4_LONG : A4_SHORT;
}

/* The lines above the map, drawn when @is_drawn. Returns where they end. */
static double
write_head (const RakePage *page, cairo_t *cr, gboolean is_drawn)
{
  const RakePalette *palette = rake_palette_get (page->theme);
  g_autofree char *title = rake_page_get_title (page), *what = describe_job (page);
  g_autofree char *gate = describe_gate (page);
  const RakeColour nothing = { 0 };
  double y =
      write_line (page, cr, title, TITLE_PT, TRUE, MARGIN - 8, is_drawn ? palette->ink : nothing);

  if (*what != '\0')
    y = write_line (page, cr, what, LINE_PT, FALSE, y + 1, is_drawn ? palette->soft_ink : nothing);
  if (*gate != '\0')
    y = write_line (page, cr, gate, LINE_PT, FALSE, y + 1, is_drawn ? palette->soft_ink : nothing);
  return y;
}

void
rake_page_draw (const RakePage *page, cairo_t *cr)
{
  const RakePalette *palette = rake_palette_get (page->theme);
  double width = page->width - 2 * MARGIN;
  double top = write_head (page, cr, FALSE), legend = rake_legend_draw (page, cr, width, FALSE);

  cairo_set_source_rgb (cr, palette->ground.red, palette->ground.green, palette->ground.blue);
  cairo_paint (cr);
  /* The map first: its glow may spread over the whole page, under the words. */
  draw_map (page, cr, MARGIN, top + 6, width, page->height - MARGIN - legend - 16 - (top + 6));
  write_head (page, cr, TRUE);
  cairo_set_source_rgb (cr, palette->line.red, palette->line.green, palette->line.blue);
  cairo_set_line_width (cr, 0.6);
  cairo_move_to (cr, MARGIN, page->height - MARGIN - legend - 7);
  cairo_rel_line_to (cr, width, 0);
  cairo_stroke (cr);
  cairo_save (cr);
  cairo_translate (cr, MARGIN, page->height - MARGIN - legend);
  rake_legend_draw (page, cr, width, TRUE);
  cairo_restore (cr);
}
