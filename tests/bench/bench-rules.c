/* bench-rules.c - what judging costs: 500 zones, 20 000 entries.
 *
 *   all      every zone of the face judged in full, and the gate asked; floor: every entry of every
 *            zone's history read once
 *   scratch  one zone judged in full, after a scratch was added to it; floor: its history read once
 *   patch    the same after a patch was painted; floor: besides, the patch united with what was
 *            painted before (that taken as united already), and clipped to the zone
 *
 * Processor time. A judgement asks some sixty facts and all the rules about the history, so the floor
 * lies far below: it says what cannot be saved. */
#include "bench.h"

#include <rakelight/rules.h>

#define N_ENTRIES 20000
#define N_ALL 15
#define N_ONE 500
#define STRIDE 7

static RakeJob *
make_job (BenchLogbook *logbook)
{
  g_autoptr (GPtrArray) entries = bench_logbook_take_entries (logbook, N_ENTRIES);
  g_autoptr (GError) error = NULL;
  RakeJob *job = rake_job_new ();

  bench_must (rake_job_adopt (job, (RakeEntry *const *) entries->pdata, entries->len, NULL, &error),
              error);
  return job;
}

/* From zone to zone in another order than they were made. */
static const RakeZone *
get_zone (const BenchLogbook *logbook, const RakeJob *job, guint i)
{
  guint where = i * STRIDE % logbook->zones->len;

  return rake_job_find_zone (job, g_array_index (logbook->zones, RakeId, where));
}

static void
read_history (const RakeZone *zone)
{
  guint64 sum = 0;

  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      sum += (guint64) entry->happened_ms + entry->kind;
    }
  bench_sink += sum;
}

static double
read_histories (const RakeFace *face)
{
  double began = bench_now_processor_ms ();

  for (guint i = 0; i < face->zones->len; i++)
    read_history (face->zones->pdata[i]);
  return bench_now_processor_ms () - began;
}

static double
judge_all (const RakeRules *rules, const RakeJob *job, const RakeFace *face, gint64 now_ms)
{
  g_autoptr (GPtrArray) judgements =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_judgement_free);
  double began = bench_now_processor_ms ();
  g_autoptr (RakeGate) gate = NULL;

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (judgements, rake_rules_judge (rules, job, face->zones->pdata[i], now_ms));
  gate = rake_rules_gate (rules, job, face, (RakeJudgement *const *) judgements->pdata);
  bench_must (gate->n_zones == face->zones->len, NULL);
  return bench_now_processor_ms () - began;
}

/* The newest look at the zone, which the mark is added to. */
static const RakeEntry *
find_look (const RakeZone *zone)
{
  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      if (entry->kind == RAKE_ENTRY_LOOK)
        return entry;
    }
  return NULL;
}

static void
add_mark (RakeJob *job, const RakeZone *zone, RakeMarkKind kind, RakeShape *shape)
{
  const RakeEntry *last = rake_job_get_entry (job, rake_job_get_n_entries (job) - 1);
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_MARK);
  g_autoptr (GError) error = NULL;

  entry->bench = last->bench;
  entry->number = last->number + 1;
  entry->happened_ms = entry->written_ms = last->written_ms + 1;
  entry->mark.look = find_look (zone)->id;
  entry->mark.mark = kind;
  entry->mark.shape = shape;
  bench_must (rake_job_apply (job, entry, &error), error);
}

static double
judge (const RakeRules *rules, const RakeJob *job, const RakeZone *zone, gint64 now_ms)
{
  double began = bench_now_processor_ms (), ended;
  RakeJudgement *judgement = rake_rules_judge (rules, job, zone, now_ms);

  ended = bench_now_processor_ms ();
  rake_judgement_free (judgement);
  return ended - began;
}

static RakeShape *
new_scratch (const RakeZone *zone, guint i)
{
  RakeBounds bounds = rake_shape_get_bounds (zone->shape);
  double y_mm = bounds.min_y_mm + 5 + i % 40;
  const double ends[] = { bounds.min_x_mm + 5, y_mm, bounds.max_x_mm - 5, y_mm };

  return rake_shape_new_line (ends, 2, NULL);
}

static void
bench_scratch (const RakeRules *rules, const BenchLogbook *logbook, RakeJob *job, gint64 now_ms)
{
  BenchTimes *times = bench_times_new ("rules: one zone after a scratch was marked");

  for (guint i = 0; i < N_ONE; i++)
    {
      const RakeZone *zone = get_zone (logbook, job, i);
      double judged, began;

      add_mark (job, zone, RAKE_MARK_SCRATCH, new_scratch (zone, i));
      zone = get_zone (logbook, job, i);
      judged = judge (rules, job, zone, now_ms);
      began = bench_now_processor_ms ();
      read_history (zone);
      bench_times_add (times, judged, bench_now_processor_ms () - began);
    }
  bench_times_tell (times);
}

/* What was painted in the newest look before. */
static RakeShape *
unite_before (const RakeZone *zone)
{
  g_autoptr (GPtrArray) shapes = g_ptr_array_new ();

  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      if (entry->kind == RAKE_ENTRY_LOOK)
        break;
      if (entry->kind == RAKE_ENTRY_MARK && entry->mark.mark == RAKE_MARK_LOW_SPOT)
        g_ptr_array_add (shapes, entry->mark.shape);
    }
  return rake_shape_union_all ((RakeShape *const *) shapes->pdata, shapes->len, NULL);
}

static double
unite_with_newest (const RakeZone *zone, const RakeShape *before, const RakeShape *newest)
{
  double began = bench_now_processor_ms ();
  const RakeShape *const both[] = { before, newest };
  g_autoptr (RakeShape) all = rake_shape_union_all ((RakeShape *const *) both, 2, NULL);
  g_autoptr (RakeShape) inside = rake_shape_intersection (all, zone->shape, NULL);

  read_history (zone);
  bench_sink += (guint64) rake_shape_get_area_mm2 (inside);
  return bench_now_processor_ms () - began;
}

static void
bench_patch (const RakeRules *rules, const BenchLogbook *logbook, RakeJob *job, gint64 now_ms)
{
  BenchTimes *times = bench_times_new ("rules: one zone after a patch was painted");

  for (guint i = 0; i < N_ONE; i++)
    {
      const RakeZone *zone = get_zone (logbook, job, i);
      g_autoptr (RakeShape) before = unite_before (zone);
      RakeShape *patch = bench_logbook_new_patch (logbook, i * STRIDE % logbook->zones->len, i);
      double judged;

      add_mark (job, zone, RAKE_MARK_LOW_SPOT, patch);
      zone = get_zone (logbook, job, i);
      judged = judge (rules, job, zone, now_ms);
      bench_times_add (times, judged, unite_with_newest (zone, before, patch));
    }
  bench_times_tell (times);
}

int
main (void)
{
  g_autoptr (BenchLogbook) logbook = bench_logbook_new (25, 20);
  g_autoptr (RakeJob) job = make_job (logbook);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeRules) rules =
      rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, &error);
  const RakeFace *face = rake_job_get_face (job, 0);
  gint64 now_ms = rake_job_get_entry (job, N_ENTRIES - 1)->written_ms + 60000;
  BenchTimes *all = bench_times_new ("rules: 500 zones judged in full, and the gate");

  bench_must (rules != NULL, error);
  for (guint i = 0; i < N_ALL; i++)
    bench_times_add (all, judge_all (rules, job, face, now_ms), read_histories (face));
  bench_times_tell (all);
  bench_scratch (rules, logbook, job, now_ms);
  bench_patch (rules, logbook, job, now_ms);
  return 0;
}
