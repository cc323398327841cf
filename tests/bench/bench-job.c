/* bench-job.c - what it costs to build a job out of its 20 000 entries.
 *
 *   all     the whole job out of entries on record
 *   until   the job as it was at a random moment, for the timeline
 *   strike  an entry struck out, for which the job is built again: undo
 *
 * The floor of each is walking the same entries: every one read, and every area's and line's box.
 * Processor time. */
#include "bench.h"

#include <rakelight/job.h>

#define N_ENTRIES 20000
#define N_BUILDS 9
#define N_MOMENTS 25

static double
walk (RakeEntry *const *entries, guint n_entries)
{
  double began = bench_now_processor_ms ();
  guint64 sum = 0;
  double width_mm = 0;

  for (guint i = 0; i < n_entries; i++)
    {
      const RakeEntry *entry = entries[i];
      sum += (guint64) entry->happened_ms + entry->kind;
      if (entry->kind == RAKE_ENTRY_MARK)
        {
          RakeBounds bounds = rake_shape_get_bounds (entry->mark.shape);
          width_mm += bounds.max_x_mm - bounds.min_x_mm;
        }
    }
  bench_sink += sum + (guint64) width_mm;
  return bench_now_processor_ms () - began;
}

static RakeJob *
build (GPtrArray *entries)
{
  g_autoptr (GError) error = NULL;
  RakeJob *job = rake_job_new ();

  bench_must (rake_job_adopt (job, (RakeEntry *const *) entries->pdata, entries->len, NULL, &error),
              error);
  return job;
}

static void
bench_all (GPtrArray *entries)
{
  BenchTimes *times = bench_times_new ("job: built from 20000 entries");

  for (guint i = 0; i < N_BUILDS; i++)
    {
      double began = bench_now_processor_ms (), ended;
      g_autoptr (RakeJob) job = build (entries);
      ended = bench_now_processor_ms ();
      bench_times_add (times, ended - began,
                       walk ((RakeEntry *const *) entries->pdata, entries->len));
    }
  bench_times_tell (times);
}

/* Moments differ in how much lies before them, so each is told for a thousand entries. */
static void
bench_until (GPtrArray *entries, const RakeJob *job)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (20261125);
  BenchTimes *times = bench_times_new ("job: as it was at a random moment, for 1000 entries");

  for (guint i = 0; i < N_MOMENTS; i++)
    {
      guint n_entries = (guint) g_rand_int_range (random, 1000, N_ENTRIES);
      double thousands = n_entries / 1000.0, began = bench_now_processor_ms (), ended;
      RakeJob *past = rake_job_new_until (job, n_entries);

      ended = bench_now_processor_ms ();
      bench_must (rake_job_get_n_entries (past) == n_entries, NULL);
      rake_job_free (past);
      bench_times_add (times, (ended - began) / thousands,
                       walk ((RakeEntry *const *) entries->pdata, n_entries) / thousands);
    }
  bench_times_tell (times);
}

static void
bench_strike (GPtrArray *entries, RakeJob *job)
{
  BenchTimes *times = bench_times_new ("job: one entry struck out");
  const RakeEntry *first = entries->pdata[0];

  for (guint i = 0; i < N_BUILDS; i++)
    {
      g_autoptr (GPtrArray) strikes = rake_job_plan_undo (job, first->bench);
      const RakeEntry *last = rake_job_get_entry (job, rake_job_get_n_entries (job) - 1);
      g_autoptr (GError) error = NULL;
      RakeEntry *strike;
      double began, ended;

      bench_must (strikes != NULL, NULL);
      strike = strikes->pdata[0];
      strike->bench = last->bench;
      strike->number = last->number + 1;
      strike->happened_ms = strike->written_ms = last->written_ms + 1;
      began = bench_now_processor_ms ();
      bench_must (rake_job_apply (job, strike, &error), error);
      ended = bench_now_processor_ms ();
      bench_times_add (times, ended - began,
                       walk ((RakeEntry *const *) entries->pdata, entries->len));
    }
  bench_times_tell (times);
}

int
main (void)
{
  g_autoptr (BenchLogbook) logbook = bench_logbook_new (25, 20);
  g_autoptr (GPtrArray) entries = bench_logbook_take_entries (logbook, N_ENTRIES);
  g_autoptr (RakeJob) job = NULL;

  bench_all (entries);
  job = build (entries);
  bench_until (entries, job);
  bench_strike (entries, job);
  return 0;
}
