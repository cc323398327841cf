/* random-log.h - logbooks as busy, hasty and contradictory finishers would write them.
 *
 * Everything comes from one seed: ids, times, places and what is done. The same seed is the same
 * logbook on every machine. Areas are rectangles and what cutting and joining makes of them. */
#pragma once
#include <rakelight/job.h>

typedef struct
{
  guint64 state, seed;
} Random;

Random random_new (guint64 seed);
guint64 random_next (Random *random);
guint random_below (Random *random, guint n);
gboolean random_chance (Random *random, guint percent);
double random_real (Random *random, double least, double most);

/* A bench at work: its job as it knows it, and all it wrote. */
typedef struct
{
  RakeId id;
  gint64 number;
  gint64 now_ms;
  guint8 last_hash[32];
  Random *random;
  RakeJob *job;
  GPtrArray *written;    /* RakeEntry *, in order */
  gboolean may_strike;   /* corrections, undo and redo as well */
  gboolean may_undo;
} RandomBench;

RandomBench *random_bench_new (Random *random);
void random_bench_free (RandomBench *bench);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RandomBench, random_bench_free)

/* Does something that makes sense in bench->job: one gesture, applied and added to written. */
void random_bench_act (RandomBench *bench);

/* Writes these entries as one gesture; fails the test, naming the seed, when the job refuses one. */
void random_bench_write (RandomBench *bench, RakeEntry *const *entries, guint n_entries);

/* Undo, redo; FALSE when there is nothing to undo (redo). */
gboolean random_bench_undo (RandomBench *bench);
gboolean random_bench_redo (RandomBench *bench);

/* Learns of entries that another bench wrote; its clock moves on past them. */
void random_bench_receive (RandomBench *bench, RakeEntry *const *entries, guint n_entries);

/* A rectangle's area; never fails. */
RakeShape *random_rectangle (double x_mm, double y_mm, double width_mm, double height_mm);

/* What the job shows, without the list of what is struck out. Caller frees. */
char *random_log_shown (const RakeJob *job);
