/* legend.h - what the pictures on a page mean, of those that are on it. Private to src/draw. */
#pragma once
#include "page.h"

/* Lays the legend into @width from 0, 0 and draws it when @is_drawn. Returns its height. */
double rake_legend_draw (const RakePage *page, cairo_t *cr, double width, gboolean is_drawn);
