/* bench.h - times, and a large job to take them with.
 *
 * Each measurement stands on one line beside its floor, which is what the same machine needs in the
 * same run for the least that has to happen: "WHAT 0.080 ms (0.085), floor 0.010 ms (0.011), ratio
 * 8.0". The least of all runs comes first, the middle one in brackets; the ratio is of the least ones.
 * Nothing here passes or fails: a busy machine is slow. */
#pragma once
#include <rakelight/entry.h>

/* Of this program alone, all its threads: what others do meanwhile is not in it. */
double bench_now_processor_ms (void);

/* Of the wall: for what waits on a disk or on other programs. */
double bench_now_ms (void);

/* Times of one thing and of its floor, taken turn by turn. */
typedef struct
{
  const char *what;
  GArray *ours_ms, *floor_ms; /* double */
} BenchTimes;

BenchTimes *bench_times_new (const char *what);
void bench_times_add (BenchTimes *times, double ours_ms, double floor_ms);

/* Prints the line and frees. Without a floor (never added, or only 0) none is told. */
void bench_times_tell (BenchTimes *times);

double bench_get_least (const GArray *numbers);
double bench_get_middle (const GArray *numbers);

/* Keeps the compiler from leaving out what nobody reads. */
extern volatile guint64 bench_sink;

/* Ends the program with what went wrong unless @is_so. */
void bench_must (gboolean is_so, const GError *error);

/* --- the job --------------------------------------------------------------------------------- */

typedef struct
{
  guint n_columns, n_rows; /* of zones, each 50 by 50 mm, on one face */
  RakeId face;
  GArray *zones;           /* RakeId, row by row */
  RakeId stages[4];        /* P800, P1200, last look, cut */
} BenchLogbook;

BenchLogbook *bench_logbook_new (guint n_columns, guint n_rows);
void bench_logbook_free (BenchLogbook *logbook);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BenchLogbook, bench_logbook_free)

/* Its first @n_entries entries, in order: job, face, zones, schedule and coat; then, zone after zone
 * and round after round, a pass, a look, what the zone showed, six painted patches and a reading of
 * the film. Written, but not by a file: bench, number and times are there, hashes are not. Array of
 * RakeEntry, caller unrefs. */
GPtrArray *bench_logbook_take_entries (BenchLogbook *logbook, guint n_entries);

/* A painted patch as the brush leaves it, two dozen corners, in the zone at @zone; number @i looks a
 * little different from number @i + 1. Caller unrefs. */
RakeShape *bench_logbook_new_patch (const BenchLogbook *logbook, guint zone, guint i);
