/* flow.c - see flow.h. Pages, words and headings; pictures and tables are in files of their own. */
#include "flow.h"

#include "print-words.h"

#include <cairo-pdf.h>
#include <math.h>

#define A4_WIDTH (210 * 72 / 25.4)
#define A4_HEIGHT (297 * 72 / 25.4)
#define LETTER_WIDTH 612.0
#define LETTER_HEIGHT 792.0

#define SIDE_PT 56.0
#define HEAD_PT 58.0
#define FOOT_PT 66.0
#define RULE_PT 0.5
#define HAIRLINE_PT 0.3
#define HAIRLINE_GREY 0.62
#define SECTION_SPACE_PT 30.0
#define PART_SPACE_PT 15.0
#define WIDEST_TEXT_PT 400.0 /* a longer line is hard to follow back */
#define ITEM_INDENT_PT 12.0

static const struct
{
  double size, leading;
  gboolean is_bold, is_soft;
} types[RAKE_N_TYPES] = {
  [RAKE_TYPE_BODY] = { 9.2, 13.0, FALSE, FALSE },
  [RAKE_TYPE_STRONG] = { 9.2, 13.0, TRUE, FALSE },
  [RAKE_TYPE_SOFT] = { 9.2, 13.0, FALSE, TRUE },
  [RAKE_TYPE_SMALL] = { 7.8, 10.6, FALSE, FALSE },
  [RAKE_TYPE_SMALL_STRONG] = { 7.8, 10.6, TRUE, FALSE },
  [RAKE_TYPE_SMALL_SOFT] = { 7.8, 10.6, FALSE, TRUE },
  [RAKE_TYPE_TITLE] = { 30.0, 35.0, TRUE, FALSE },
  [RAKE_TYPE_LEAD] = { 13.0, 18.0, FALSE, TRUE },
  [RAKE_TYPE_SECTION] = { 15.5, 20.0, TRUE, FALSE },
  [RAKE_TYPE_PART] = { 10.4, 14.0, TRUE, FALSE },
};

/* --- setting up ----------------------------------------------------------------------------- */

void
rake_sheet_get_size (RakeSheet sheet, double *width_pt, double *height_pt)
{
  *width_pt = sheet == RAKE_SHEET_LETTER ? LETTER_WIDTH : A4_WIDTH;
  *height_pt = sheet == RAKE_SHEET_LETTER ? LETTER_HEIGHT : A4_HEIGHT;
}

static void
free_heading (gpointer data)
{
  RakeFlowHeading *heading = data;

  g_free (heading->text);
  g_free (heading->name);
  g_free (heading);
}

static PangoFontDescription *
new_font (RakeType type)
{
  PangoFontDescription *font =
      pango_font_description_from_string ("Cantarell,Noto Sans,DejaVu Sans,Sans");

  pango_font_description_set_absolute_size (font, types[type].size * PANGO_SCALE);
  pango_font_description_set_weight (font,
                                     types[type].is_bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  return font;
}

static cairo_surface_t *
new_page (const RakeFlow *flow)
{
  const cairo_rectangle_t box = { 0, 0, flow->page_width, flow->page_height };

  return cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, &box);
}

void
rake_flow_init (RakeFlow *flow, cairo_surface_t *surface, RakeSheet sheet, const char *language)
{
  cairo_font_options_t *options = cairo_font_options_create ();

  *flow = (RakeFlow){ .is_pdf = surface != NULL };
  rake_sheet_get_size (sheet, &flow->page_width, &flow->page_height);
  flow->surface = surface != NULL ? cairo_surface_reference (surface) : new_page (flow);
  flow->pages = g_ptr_array_new_with_free_func ((GDestroyNotify) cairo_surface_destroy);
  flow->left = SIDE_PT;
  flow->top = HEAD_PT;
  flow->width = flow->page_width - 2 * SIDE_PT;
  flow->bottom = flow->page_height - FOOT_PT;
  flow->cr = cairo_create (flow->surface);
  flow->context = pango_cairo_create_context (flow->cr);
  /* Paper has no pixels to fit letters to. */
  cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options (flow->context, options);
  cairo_font_options_destroy (options);
  /* Nor have letters' places: rounded to whole points they would stand unevenly. */
  pango_context_set_round_glyph_positions (flow->context, FALSE);
  if (language != NULL)
    pango_context_set_language (flow->context, pango_language_from_string (language));
  for (int type = 0; type < RAKE_N_TYPES; type++)
    {
      flow->fonts[type] = new_font ((RakeType) type);
      flow->words[type] = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
      flow->lines[type] = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_object_unref);
    }
  flow->figures = pango_attr_list_new ();
  pango_attr_list_insert (flow->figures, pango_attr_font_features_new ("tnum=1"));
  flow->headings = g_ptr_array_new_with_free_func (free_heading);
  flow->column_widths = g_ptr_array_new_with_free_func (g_free);
  flow->alternatives = g_ptr_array_new_with_free_func (g_free);
}

void
rake_flow_clear (RakeFlow *flow)
{
  g_clear_pointer (&flow->cr, cairo_destroy);
  g_clear_pointer (&flow->surface, cairo_surface_destroy);
  g_clear_pointer (&flow->pages, g_ptr_array_unref);
  g_clear_object (&flow->context);
  for (int type = 0; type < RAKE_N_TYPES; type++)
    {
      g_clear_pointer (&flow->fonts[type], pango_font_description_free);
      g_clear_pointer (&flow->words[type], g_hash_table_unref);
      g_clear_pointer (&flow->lines[type], g_hash_table_unref);
    }
  g_clear_pointer (&flow->figures, pango_attr_list_unref);
  g_clear_pointer (&flow->headings, g_ptr_array_unref);
  g_clear_pointer (&flow->column_widths, g_ptr_array_unref);
  g_clear_pointer (&flow->alternatives, g_ptr_array_unref);
  g_clear_pointer (&flow->footer, g_free);
}

/* --- words on a spot ------------------------------------------------------------------------ */

PangoLayout *
rake_flow_lay (RakeFlow *flow, RakeType type, const char *text, double width_pt)
{
  PangoLayout *layout = pango_layout_new (flow->context);
  g_autofree char *together = rake_print_together (text != NULL ? text : "");

  pango_layout_set_font_description (layout, flow->fonts[type]);
  pango_layout_set_attributes (layout, flow->figures);
  pango_layout_set_text (layout, together, -1);
  if (width_pt >= 0)
    {
      pango_layout_set_width (layout, (int) (MAX (width_pt, 1) * PANGO_SCALE));
      /* A word longer than its column is broken rather than printed over the next one. */
      pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
    }
  return layout;
}

double
rake_type_get_leading (RakeType type)
{
  return types[type].leading;
}

guint
rake_flow_count_lines (PangoLayout *layout)
{
  return (guint) MAX (pango_layout_get_line_count (layout), 1);
}

double
rake_flow_get_width (PangoLayout *layout)
{
  int width;

  pango_layout_get_size (layout, &width, NULL);
  return (double) width / PANGO_SCALE;
}

void
rake_flow_set_ink (RakeFlow *flow, RakeType type)
{
  const RakePalette *palette = rake_palette_get (RAKE_THEME_PAPER);
  RakeColour ink = types[type].is_soft ? palette->soft_ink : palette->ink;

  cairo_set_source_rgb (flow->cr, ink.red, ink.green, ink.blue);
}

void
rake_flow_draw_lines (RakeFlow *flow, PangoLayout *layout, RakeType type, guint first,
                      guint n_lines, double x, double y, double width, RakeAlign align)
{
  /* Where the letters stand in their line: a little under the middle, as their x-height asks. */
  double baseline = y + types[type].leading / 2 + types[type].size * 0.345;

  if (!flow->is_drawn)
    return;
  rake_flow_set_ink (flow, type);
  for (guint i = first; i < first + n_lines; i++, baseline += types[type].leading)
    {
      PangoLayoutLine *line = pango_layout_get_line_readonly (layout, (int) i);
      PangoRectangle box;

      if (line == NULL)
        return;
      pango_layout_line_get_extents (line, NULL, &box);
      cairo_move_to (flow->cr,
                     align == RAKE_ALIGN_RIGHT ? x + width - (double) box.width / PANGO_SCALE : x,
                     baseline);
      pango_cairo_show_layout_line (flow->cr, line);
    }
}

void
rake_flow_rule (RakeFlow *flow, double x, double y, double width, double thickness_pt)
{
  if (!flow->is_drawn)
    return;
  rake_flow_set_ink (flow, RAKE_TYPE_BODY);
  cairo_set_line_width (flow->cr, thickness_pt);
  cairo_move_to (flow->cr, x, y);
  cairo_rel_line_to (flow->cr, width, 0);
  cairo_stroke (flow->cr);
}

void
rake_flow_hairline (RakeFlow *flow, double x, double y, double width)
{
  if (!flow->is_drawn)
    return;
  cairo_set_source_rgb (flow->cr, HAIRLINE_GREY, HAIRLINE_GREY, HAIRLINE_GREY);
  cairo_set_line_width (flow->cr, HAIRLINE_PT);
  cairo_move_to (flow->cr, x, y);
  cairo_rel_line_to (flow->cr, width, 0);
  cairo_stroke (flow->cr);
}

void
rake_flow_tag (RakeFlow *flow, const char *name)
{
  if (flow->is_drawn && flow->is_pdf)
    cairo_tag_begin (flow->cr, name, NULL);
}

void
rake_flow_end_tag (RakeFlow *flow, const char *name)
{
  if (flow->is_drawn && flow->is_pdf)
    cairo_tag_end (flow->cr, name);
}

/* --- pages ---------------------------------------------------------------------------------- */

/* As wide as the page, also where it ends within a narrower column. */
static void
draw_foot (RakeFlow *flow)
{
  double y = flow->page_height - FOOT_PT + 26, width = flow->page_width - 2 * SIDE_PT;
  /* Translators: the number of a page, and of how many. */
  g_autofree char *number = g_strdup_printf (C_ ("page", "%u of %u"), flow->page, flow->n_pages);
  g_autoptr (PangoLayout) right = rake_flow_lay (flow, RAKE_TYPE_SMALL_SOFT, number, -1);
  double room = width - rake_flow_get_width (right) - 20;
  g_autoptr (PangoLayout) left = rake_flow_lay (flow, RAKE_TYPE_SMALL_SOFT, flow->footer, room);

  pango_layout_set_height (left, -1);
  pango_layout_set_ellipsize (left, PANGO_ELLIPSIZE_END);
  rake_flow_draw_lines (flow, left, RAKE_TYPE_SMALL_SOFT, 0, 1, SIDE_PT, y, room, RAKE_ALIGN_LEFT);
  rake_flow_draw_lines (flow, right, RAKE_TYPE_SMALL_SOFT, 0, 1, SIDE_PT, y, width,
                        RAKE_ALIGN_RIGHT);
}

static void
tell_progress (RakeFlow *flow)
{
  /* Counting costs about a third of it all. */
  if (flow->progress == NULL || !flow->is_drawn || flow->n_pages == 0)
    return;
  flow->progress (MIN (1.0, 0.3 + 0.7 * flow->page / flow->n_pages), flow->progress_data);
}

/* A PDF writes the page out; a drawing is put aside, and the next begun. */
static void
put_page_away (RakeFlow *flow)
{
  if (flow->is_pdf)
    {
      cairo_show_page (flow->cr);
      return;
    }
  cairo_destroy (flow->cr);
  g_ptr_array_add (flow->pages, flow->surface);
  flow->surface = new_page (flow);
  flow->cr = cairo_create (flow->surface);
}

static void
end_page (RakeFlow *flow)
{
  if (flow->is_drawn && !flow->is_stopped)
    {
      draw_foot (flow);
      put_page_away (flow);
      tell_progress (flow);
    }
  if (g_cancellable_is_cancelled (flow->cancellable) ||
      cairo_status (flow->cr) != CAIRO_STATUS_SUCCESS ||
      cairo_surface_status (flow->surface) != CAIRO_STATUS_SUCCESS)
    flow->is_stopped = TRUE;
}

void
rake_flow_break_page (RakeFlow *flow)
{
  end_page (flow);
  flow->page++;
  flow->y = flow->top;
}

void
rake_flow_begin (RakeFlow *flow, gboolean is_drawn)
{
  flow->is_drawn = is_drawn;
  flow->page = 1;
  flow->y = flow->top;
  flow->n_headings = flow->n_sections = flow->n_tables = 0;
  flow->outline = CAIRO_PDF_OUTLINE_ROOT;
  rake_flow_tag (flow, "Document");
}

void
rake_flow_end (RakeFlow *flow)
{
  end_page (flow);
  rake_flow_end_tag (flow, "Document");
  flow->n_pages = flow->page;
}

void
rake_flow_space (RakeFlow *flow, double pt)
{
  if (flow->y > flow->top)
    flow->y += pt;
}

void
rake_flow_need (RakeFlow *flow, double pt)
{
  if (flow->y + pt > flow->bottom && flow->y > flow->top)
    rake_flow_break_page (flow);
}

void
rake_flow_keep (RakeFlow *flow, double pt)
{
  flow->keep = pt;
}

/* --- headings ------------------------------------------------------------------------------- */

static void
keep_heading (RakeFlow *flow, guint level, const char *text)
{
  RakeFlowHeading *heading;

  flow->n_headings++;
  if (flow->is_drawn)
    return;
  heading = g_new0 (RakeFlowHeading, 1);
  heading->text = g_strdup (text);
  heading->name = g_strdup_printf ("h%u", flow->n_headings);
  heading->page = flow->page;
  heading->level = level;
  g_ptr_array_add (flow->headings, heading);
}

static void
mark_heading (RakeFlow *flow, guint level, const char *text)
{
  g_autofree char *name = g_strdup_printf ("name='h%u'", flow->n_headings);
  g_autofree char *link = g_strdup_printf ("dest='h%u'", flow->n_headings);
  int parent = level == 1 ? CAIRO_PDF_OUTLINE_ROOT : flow->outline, own;

  if (!flow->is_drawn || !flow->is_pdf)
    return;
  cairo_move_to (flow->cr, flow->left, flow->y);
  cairo_tag_begin (flow->cr, CAIRO_TAG_DEST, name);
  cairo_tag_end (flow->cr, CAIRO_TAG_DEST);
  own = cairo_pdf_surface_add_outline (flow->surface, parent, text, link,
                                       level == 1 ? CAIRO_PDF_OUTLINE_FLAG_OPEN : 0);
  if (level == 1)
    flow->outline = own;
}

void
rake_flow_heading (RakeFlow *flow, guint level, const char *text)
{
  RakeType type = level == 1 ? RAKE_TYPE_SECTION : RAKE_TYPE_PART;
  g_autofree char *numbered = NULL;
  g_autoptr (PangoLayout) layout = NULL;
  guint n_lines;

  if (flow->is_stopped)
    return;
  if (level == 1)
    {
      rake_flow_tag (flow, "Sect");
      numbered = g_strdup_printf ("%u  %s", ++flow->n_sections, text);
    }
  layout = rake_flow_lay (flow, type, numbered != NULL ? numbered : text, flow->width);
  n_lines = rake_flow_count_lines (layout);
  rake_flow_space (flow, level == 1 ? SECTION_SPACE_PT : PART_SPACE_PT);
  rake_flow_need (flow, n_lines * types[type].leading + (level == 1 ? 14 : 3) +
                            MAX (flow->keep, level == 1 ? 82 : 55));
  flow->keep = 0;
  keep_heading (flow, level, text);
  mark_heading (flow, level, text);
  if (level == 1)
    {
      rake_flow_rule (flow, flow->left, flow->y, flow->width, RULE_PT);
      flow->y += 7;
    }
  rake_flow_tag (flow, level == 1 ? "H2" : "H3");
  rake_flow_draw_lines (flow, layout, type, 0, n_lines, flow->left, flow->y, flow->width,
                        RAKE_ALIGN_LEFT);
  rake_flow_end_tag (flow, level == 1 ? "H2" : "H3");
  flow->y += n_lines * types[type].leading + (level == 1 ? 7 : 3);
}

void
rake_flow_end_section (RakeFlow *flow)
{
  rake_flow_end_tag (flow, "Sect");
}

/* --- paragraphs ----------------------------------------------------------------------------- */

/* How many of the @n_left lines go on this page: all, or so many that two are left for either. */
static guint
share_lines (const RakeFlow *flow, double leading, guint n_left, gboolean is_first)
{
  double room = floor ((flow->bottom - flow->y) / leading + 1e-6);
  guint n_fit = room > 0 ? (guint) room : 0;

  if (n_fit >= n_left)
    return n_left;
  if (n_left - n_fit < 2 && n_fit > 0)
    n_fit = n_left - 2;
  if (n_fit > n_left || (is_first && n_fit < 2))
    return 0;
  return n_fit;
}

static void
set_paragraph (RakeFlow *flow, RakeType type, const char *text, double indent, double width)
{
  g_autoptr (PangoLayout) layout = rake_flow_lay (flow, type, text, width - indent);
  guint n_lines = rake_flow_count_lines (layout);
  double leading = types[type].leading;

  for (guint first = 0; first < n_lines && !flow->is_stopped;)
    {
      guint n = share_lines (flow, leading, n_lines - first, first == 0);

      if (n == 0 && flow->y > flow->top)
        {
          rake_flow_break_page (flow);
          continue;
        }
      n = MAX (n, 1);
      rake_flow_tag (flow, "P");
      rake_flow_draw_lines (flow, layout, type, first, n, flow->left + indent, flow->y, width,
                            RAKE_ALIGN_LEFT);
      rake_flow_end_tag (flow, "P");
      flow->y += n * leading;
      first += n;
      if (first < n_lines)
        rake_flow_break_page (flow);
    }
}

void
rake_flow_paragraph (RakeFlow *flow, RakeType type, const char *text)
{
  set_paragraph (flow, type, text, 0, MIN (flow->width, WIDEST_TEXT_PT));
  rake_flow_space (flow, types[type].leading * 0.4);
}

void
rake_flow_begin_list (RakeFlow *flow)
{
  rake_flow_tag (flow, "L");
}

void
rake_flow_item (RakeFlow *flow, const char *text)
{
  g_autoptr (PangoLayout) dash = rake_flow_lay (flow, RAKE_TYPE_SOFT, "–", -1);
  double width = MIN (flow->width, WIDEST_TEXT_PT);
  g_autoptr (PangoLayout) layout =
      rake_flow_lay (flow, RAKE_TYPE_BODY, text, width - ITEM_INDENT_PT);

  /* The dash goes where its first line goes: three lines are not parted, more leave two behind. */
  rake_flow_need (flow,
                  (rake_flow_count_lines (layout) == 3 ? 3 : 2) * types[RAKE_TYPE_BODY].leading);
  rake_flow_tag (flow, "LI");
  rake_flow_draw_lines (flow, dash, RAKE_TYPE_SOFT, 0, 1, flow->left, flow->y, ITEM_INDENT_PT,
                        RAKE_ALIGN_LEFT);
  set_paragraph (flow, RAKE_TYPE_BODY, text, ITEM_INDENT_PT, width);
  rake_flow_end_tag (flow, "LI");
  rake_flow_space (flow, 2);
}

void
rake_flow_end_list (RakeFlow *flow)
{
  rake_flow_end_tag (flow, "L");
  rake_flow_space (flow, 4);
}

/* --- pictures ------------------------------------------------------------------------------- */

void
rake_flow_figure (RakeFlow *flow, double height, RakeFlowDraw draw, gpointer user_data,
                  const char *alternative, const char *caption)
{
  g_autoptr (PangoLayout) layout = rake_flow_lay (flow, RAKE_TYPE_SMALL, caption, flow->width);
  guint n_lines = caption != NULL ? rake_flow_count_lines (layout) : 0;
  double foot = n_lines * types[RAKE_TYPE_SMALL].leading + (n_lines > 0 ? 4 : 0);

  if (flow->is_stopped)
    return;
  rake_flow_need (flow, MIN (height + foot, flow->bottom - flow->top));
  if (flow->is_drawn)
    {
      g_ptr_array_add (flow->alternatives, g_strdup (alternative));
      rake_flow_tag (flow, "Figure");
      cairo_save (flow->cr);
      cairo_translate (flow->cr, flow->left, flow->y);
      draw (flow, flow->width, height, user_data);
      cairo_restore (flow->cr);
      rake_flow_end_tag (flow, "Figure");
    }
  flow->y += height + 4;
  if (n_lines > 0)
    {
      rake_flow_tag (flow, "Caption");
      rake_flow_draw_lines (flow, layout, RAKE_TYPE_SMALL, 0, n_lines, flow->left, flow->y,
                            flow->width, RAKE_ALIGN_LEFT);
      rake_flow_end_tag (flow, "Caption");
    }
  flow->y += MAX (foot - 4, 0) + 10;
}
