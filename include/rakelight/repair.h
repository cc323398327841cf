/* repair.h - what to know before a repair is made, by how the finish behaves.
 *
 * Sources: the trade's repair loop as docs/record.md tells it; common practice where it names none. */
#pragma once
#include <rakelight/job.h>

/* Advice before a repair by @method on @zone: how far it must go, whether it may show, what comes off
 * first. Translated sentences in an array that the caller frees with g_ptr_array_unref(); empty when there
 * is nothing to say. */
GPtrArray *rake_repair_list_advice (const RakeJob *job, const RakeZone *zone,
                                    RakeRepairMethod method);

/* Whether such a repair usually puts an end to a mark of that kind: a fill to a pit, a scraper to what
 * stands up, a coat to everything. Colour alone ends nothing, it wants clear film over it. What sanding
 * and looking settle (low spots, scratches, swirl, dull spots) only a coat ends. To be proposed, not
 * assumed; common practice, no source. */
gboolean rake_repair_settles (RakeRepairMethod method, RakeMarkKind kind);

/* Where @zone usually goes on afterwards: a place that was levelled bears the scratch of a grit, so what
 * stood beyond the sanding goes back to it, and a fill to the grit before the last, at which it is
 * levelled. NULL: it stays where it stands, or (a recoat) the face begins anew. */
const RakeStage *rake_repair_find_stage_after (const RakeZone *zone, RakeRepairMethod method);

/* A drop or another fill, each with its own clock. */
typedef struct
{
  const RakeEntry *repair;
  double days;         /* that it waits before it is levelled */
  double days_left;    /* 0: cured */
  double next_hours;   /* until the next drop may go on; 0: now. NaN: no drop fill */
} RakeFillClock;

/* The fills on @zone since its last coat, in order: RakeFillClock, freed with g_array_unref(). */
GArray *rake_repair_list_fills (const RakeJob *job, const RakeZone *zone, gint64 now_ms);
