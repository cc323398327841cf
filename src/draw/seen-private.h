/* seen-private.h - between seen.c (six states), seen-faults.c (the trade's other faults). */
#pragma once
#include "seen.h"

/* Clips to the place; the caller saves and restores. */
void rake_seen_clip (const RakePen *pen, const RakePlace *place);

/* Strokes the place's outline. Dash lengths in units; 0, 0 for none. */
void rake_seen_outline (const RakePen *pen, const RakePlace *place, RakeColour colour, double alpha,
                        double width_units, double dash_units, double gap_units);

/* A kind from RAKE_MARK_RUN on, plain or hollow. */
void rake_seen_draw_fault (const RakePen *pen, RakeMarkKind kind, gboolean is_hollow,
                           const RakePlace *place, guint32 seed);
