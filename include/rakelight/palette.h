/* palette.h - the colours of a bench in a dim room, of the same bench by daylight, and of paper.
 *
 * Verdict colours are told apart in simulated protan, deutan and tritan sight, and never stand
 * alone: a glyph and a word go with them. tests/draw/test-palette.c measures contrast. */
#pragma once
#include <glib.h>
#include <rakelight/entry.h>

typedef enum
{
  RAKE_THEME_DARK,
  RAKE_THEME_LIGHT,
  RAKE_THEME_PAPER, /* white, black, one amber; everything must work in black alone */
} RakeTheme;

typedef struct
{
  double red, green, blue, alpha; /* sRGB, 0 to 1 */
} RakeColour;

typedef struct
{
  RakeColour ground, panel, card, line, ink, soft_ink;
  RakeColour lamp, lamp_fill;          /* as text, as a filled area */
  RakeColour wood, wood_shadow;        /* the piece: lit, and in shadow */
  RakeColour verdict[RAKE_N_VERDICTS]; /* NONE is soft ink */
} RakePalette;

const RakePalette *rake_palette_get (RakeTheme theme);

/* WCAG 2.1 contrast ratio of two opaque colours, 1 to 21. */
double rake_colour_contrast (RakeColour a, RakeColour b);
