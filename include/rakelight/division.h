/* division.h - the entries that divide and join zones.
 *
 * New zones take over what the old one had (edge or flat, edge factor, reserve, first stage) and its
 * name with a number that is free on the face. The edge part of a band becomes an edge: it loses more
 * to a pass, and starts one stage later (common practice, no source).
 *
 * Each returns a new RAKE_ENTRY_ZONES for the caller to append, or NULL with RAKE_SHAPE_ERROR and a
 * sentence for the person. Zones are read only, of one face, and not kept. */
#pragma once
#include <rakelight/job.h>

/* What an edge loses against a flat when nobody said otherwise (common practice: 1.5 to 2.5). */
#define RAKE_USUAL_EDGE_FACTOR 1.8

/* Along a drawn line, carried on straight at both ends. */
RakeEntry *rake_division_new_cut (const RakeZone *zone, const RakeShape *line, GError **error);

/* The edge of the face as far as it lies in @zone, @width_mm wide. */
RakeEntry *rake_division_new_band (const RakeZone *zone, double width_mm, gboolean along_holes,
                                   GError **error);
RakeEntry *rake_division_new_grid (const RakeZone *zone, guint n_columns, guint n_rows,
                                   GError **error);

/* The joined zone has the name and the facts of the first; it is an edge only if all were. */
RakeEntry *rake_division_new_join (const RakeZone *const *zones, guint n_zones, GError **error);
