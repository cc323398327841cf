/* seen.h - how each thing looks under the lamp. Private to src/draw. */
#pragma once
#include "pen.h"

typedef enum
{
  RAKE_SEEN_PLAIN,
  RAKE_SEEN_HOLLOW,   /* carried from before: the same picture, empty */
  RAKE_SEEN_GHOST,    /* is it still there? */
  RAKE_SEEN_STITCHED, /* repaired */
} RakeSeenAs;

/* How far a picture may reach beyond its place. */
#define RAKE_SEEN_REACH_UNITS 14.0

/* The picture of a mark of @kind at @place; the same @seed is the same picture. */
void rake_seen_draw (const RakePen *pen, RakeMarkKind kind, RakeSeenAs as, const RakePlace *place,
                     guint32 seed);

/* Many low spots as one place: islands that share their light. */
void rake_seen_draw_islands (const RakePen *pen, const RakePlace *islands);

/* Whether a mark of @kind is a patch (an area) rather than a line or a speck. */
gboolean rake_seen_is_line (RakeMarkKind kind);
