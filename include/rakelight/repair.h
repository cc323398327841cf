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
