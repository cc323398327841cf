/* wood.h - the wood of the piece: a fine figure that is nobody's board in particular. Private to
 * src/draw. */
#pragma once
#include "pen.h"

/* An opaque tile at 2^@level pixels a millimetre, that repeats both ways. */
cairo_surface_t *rake_wood_new_tile (const RakePen *pen, int level);

/* Fills the current path with wood drawn as a few lines of grain, and clears the path. White paper
 * on paper. */
void rake_wood_fill_with_strokes (const RakePen *pen);
