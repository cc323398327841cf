/* tile.h - small pictures that repeat or stretch: wood, stipple, dots, light. Private to src/draw.
 *
 * On screen a tile costs a third of drawn strokes, and a stretched picture of a light a seventh of
 * a radial gradient (measured at 0.8 megapixel: 1.9 ms against 13.3). Each thread keeps its own
 * small cache, so nothing is made anew per frame and nothing is locked. */
#pragma once
#include "pen.h"

typedef enum
{
  RAKE_TILE_WOOD,
  RAKE_TILE_STIPPLE,
  RAKE_TILE_DOTS,
  RAKE_TILE_EVEN_SCRATCH,
  RAKE_TILE_GLARE, /* short slanting strokes: it shines */
  RAKE_TILE_LIGHT, /* on the surface: warm near the lamp, dark far from it */
  RAKE_TILE_GLOW,  /* on the ground */
  RAKE_TILE_SHEEN, /* the lamp mirrored in gloss */
} RakeTile;

/* Fills the current path with a tile and clears it. On paper the same pattern comes as strokes,
 * clipped to the path. */
void rake_tile_fill (const RakePen *pen, RakeTile tile);

/* Fills the current path (the whole clip when there is none) with a light around @at that ends at
 * @reach_px. LIGHT, GLOW and SHEEN only. */
void rake_tile_fill_light (const RakePen *pen, RakeTile tile, RakePoint at, double reach_px,
                           double alpha);

/* Millimetres of the piece between two dots (or scratches): doubled or halved, by steps of the
 * square root of 2, to stay near @wanted_px. */
double rake_tile_get_spacing_mm (const RakePen *pen, double wanted_px);
