/* words.h - text in pictures. Private to src/draw. */
#pragma once
#include "pen.h"
#include <pango/pangocairo.h>

#include "rakelight-config.h"
#define GETTEXT_PACKAGE RAKE_GETTEXT_DOMAIN
#include <glib/gi18n-lib.h>

/* One line of text, @size_px high, on @cr; free with g_object_unref(). */
PangoLayout *rake_words_new (cairo_t *cr, const char *text, double size_px, gboolean is_bold);
void rake_words_get_size (PangoLayout *layout, double *width_px, double *height_px);

/* Cut short with an ellipsis where it is wider than @width_px. */
void rake_words_limit (PangoLayout *layout, double width_px);

/* Writes with the upper left corner at x, y. */
void rake_words_write (cairo_t *cr, PangoLayout *layout, double x, double y, RakeColour colour);

/* A verdict as a person reads it. */
const char *rake_words_for_verdict (RakeVerdict verdict);
