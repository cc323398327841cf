/* words.c - see words.h. The desktop's usual face first; any sans will do. */
#include "words.h"

#include <math.h>

PangoLayout *
rake_words_new (cairo_t *cr, const char *text, double size_px, gboolean is_bold)
{
  PangoLayout *layout = pango_cairo_create_layout (cr);
  PangoFontDescription *font = pango_font_description_from_string ("Cantarell,Noto Sans,Sans");
  cairo_font_options_t *options = cairo_font_options_create ();
  cairo_surface_type_t surface;

  /* Widths must be those of the unhinted letters: a label is laid out on one surface and drawn on
   * another, and a page is drawn at any scale. */
  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options (pango_layout_get_context (layout), options);
  /* In a file, to be printed or zoomed, letters need not stand on whole pixels. */
  surface = cairo_surface_get_type (cairo_get_target (cr));
  if (surface == CAIRO_SURFACE_TYPE_PDF || surface == CAIRO_SURFACE_TYPE_SVG)
    pango_context_set_round_glyph_positions (pango_layout_get_context (layout), FALSE);
  pango_layout_context_changed (layout);
  cairo_font_options_destroy (options);
  pango_font_description_set_absolute_size (font, size_px * PANGO_SCALE);
  pango_font_description_set_weight (font, is_bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  pango_layout_set_single_paragraph_mode (layout, TRUE);
  pango_layout_set_text (layout, text, -1);
  return layout;
}

void
rake_words_get_size (PangoLayout *layout, double *width_px, double *height_px)
{
  int width, height;

  pango_layout_get_size (layout, &width, &height);
  *width_px = (double) width / PANGO_SCALE;
  *height_px = (double) height / PANGO_SCALE;
}

void
rake_words_limit (PangoLayout *layout, double width_px)
{
  double width, height;

  rake_words_get_size (layout, &width, &height);
  if (width <= width_px)
    return;
  pango_layout_set_width (layout, (int) (MAX (width_px, 1) * PANGO_SCALE));
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
}

void
rake_words_write (cairo_t *cr, PangoLayout *layout, double x, double y, RakeColour colour)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha);
  cairo_move_to (cr, x, y);
  pango_cairo_show_layout (cr, layout);
}

const char *
rake_words_for_verdict (RakeVerdict verdict)
{
  return g_dgettext (GETTEXT_PACKAGE, rake_verdict_get_label (verdict));
}
