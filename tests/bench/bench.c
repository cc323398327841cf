/* bench.c - times and how they are told. */
#include "bench.h"

#include <math.h>
#include <stdlib.h>
#include <time.h>

volatile guint64 bench_sink;

double
bench_now_processor_ms (void)
{
  struct timespec spent;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &spent);
  return (double) spent.tv_sec * 1e3 + (double) spent.tv_nsec / 1e6;
}

double
bench_now_ms (void)
{
  struct timespec now;

  clock_gettime (CLOCK_MONOTONIC, &now);
  return (double) now.tv_sec * 1e3 + (double) now.tv_nsec / 1e6;
}

void
bench_must (gboolean is_so, const GError *error)
{
  if (!is_so)
    g_error ("%s", error != NULL ? error->message : "something was refused");
}

static int
compare_numbers (gconstpointer a, gconstpointer b)
{
  double one = *(const double *) a, other = *(const double *) b;

  return (one > other) - (one < other);
}

static double
get_at (const GArray *numbers, guint index)
{
  g_autofree double *sorted = g_memdup2 (numbers->data, (gsize) numbers->len * sizeof (double));

  qsort (sorted, numbers->len, sizeof (double), compare_numbers);
  return sorted[index];
}

double
bench_get_least (const GArray *numbers)
{
  return numbers->len > 0 ? get_at (numbers, 0) : NAN;
}

double
bench_get_middle (const GArray *numbers)
{
  return numbers->len > 0 ? get_at (numbers, numbers->len / 2) : NAN;
}

BenchTimes *
bench_times_new (const char *what)
{
  BenchTimes *times = g_new0 (BenchTimes, 1);

  times->what = what;
  times->ours_ms = g_array_new (FALSE, FALSE, sizeof (double));
  times->floor_ms = g_array_new (FALSE, FALSE, sizeof (double));
  return times;
}

void
bench_times_add (BenchTimes *times, double ours_ms, double floor_ms)
{
  g_array_append_val (times->ours_ms, ours_ms);
  g_array_append_val (times->floor_ms, floor_ms);
}

void
bench_times_tell (BenchTimes *times)
{
  double ours = bench_get_least (times->ours_ms), floor = bench_get_least (times->floor_ms);

  g_print ("%s %.3f ms (%.3f)", times->what, ours, bench_get_middle (times->ours_ms));
  if (floor > 0)
    g_print (", floor %.3f ms (%.3f), ratio %.2f", floor, bench_get_middle (times->floor_ms),
             ours / floor);
  g_print ("\n");
  g_array_unref (times->ours_ms);
  g_array_unref (times->floor_ms);
  g_free (times);
}
