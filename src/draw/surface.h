/* surface.h - the even part of a surface, for zones and for small pictures. Private to src/draw. */
#pragma once
#include "pen.h"

typedef enum
{
  RAKE_SHOWN_MATTE,
  RAKE_SHOWN_GLOSS,        /* after the wheel */
  RAKE_SHOWN_EVEN_SCRATCH, /* satin: all lines one way */
} RakeSheenShown;

/* Sets the current path to the surface. */
typedef void (*RakeSurfaceTrace) (const RakePen *pen, gconstpointer what);

/* What an even zone shows at the stage it was judged at. */
RakeSheenShown rake_surface_get_sheen (const RakeJudgement *judgement);

/* Wood, light, and the pattern of what is known of it. */
void rake_surface_fill (const RakePen *pen, gboolean is_known, RakeSheenShown sheen,
                        RakeSurfaceTrace trace, gconstpointer what);

/* A small piece of such a surface with one thing on it (or UNSAID: none), in a box at 0, 0. */
void rake_swatch_draw (cairo_t *cr, RakeTheme theme, gboolean is_known, RakeSheenShown sheen,
                       RakeMarkKind kind, double width_px, double height_px);
