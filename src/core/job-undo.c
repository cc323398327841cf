/* job-undo.c - what undo and redo would have to strike out.
 *
 * The logbook knows no cursor: what is struck out tells it. Undo takes the bench's last gesture of
 * which anything still counts, other than undoing and redoing themselves. Redo takes the last undoing
 * that still counts, unless the bench did something else after it. A correction by hand is something
 * else, and can be undone like any gesture. */
#include "job-private.h"

static RakeId
get_gesture (const RakeEntry *entry)
{
  return rake_id_is_nil (entry->gesture) ? entry->id : entry->gesture;
}

static RakeStrikeWhy
get_strike_why (const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_STRIKE ? entry->strike.why : RAKE_STRIKE_UNSAID;
}

static gboolean
is_undo_or_redo (const RakeEntry *entry)
{
  return get_strike_why (entry) == RAKE_STRIKE_UNDO || get_strike_why (entry) == RAKE_STRIKE_REDO;
}

/* A withdrawal cannot be undone: what it took away is gone. */
static gboolean
can_be_undone (const RakeEntry *entry)
{
  return entry->kind != RAKE_ENTRY_WITHDRAWAL && !is_undo_or_redo (entry);
}

static gboolean
is_struck (const RakeJob *job, const RakeThing *thing)
{
  return (job->flags->data[thing->serial] & RAKE_FLAG_STRUCK) != 0;
}

static gboolean
is_by (const RakeThing *thing, RakeId bench)
{
  return rake_id_equal (thing->entry->bench, bench);
}

/* What still counts of the gesture whose last such entry is at @index, newest first. */
static GPtrArray *
collect_gesture (const RakeJob *job, guint index)
{
  const RakeEntry *last = ((const RakeThing *) job->order->pdata[index])->entry;
  GPtrArray *gesture = g_ptr_array_new ();

  for (guint i = index + 1; i-- > 0;)
    {
      RakeThing *thing = job->order->pdata[i];

      if (!is_by (thing, last->bench)) /* benches may have written at the same time */
        continue;
      if (!rake_id_equal (get_gesture (thing->entry), get_gesture (last)))
        break;
      if (!is_struck (job, thing) && thing->entry->kind != RAKE_ENTRY_WITHDRAWAL)
        g_ptr_array_add (gesture, thing);
    }
  return gesture;
}

static GPtrArray *
find_last_done (const RakeJob *job, RakeId bench)
{
  for (guint i = job->order->len; i-- > 0;)
    {
      const RakeThing *thing = job->order->pdata[i];

      if (is_by (thing, bench) && can_be_undone (thing->entry) && !is_struck (job, thing))
        return collect_gesture (job, i);
    }
  return NULL;
}

static GPtrArray *
find_last_undone (const RakeJob *job, RakeId bench)
{
  for (guint i = job->order->len; i-- > 0;)
    {
      const RakeThing *thing = job->order->pdata[i];

      if (!is_by (thing, bench))
        continue;
      if (!is_undo_or_redo (thing->entry))
        return NULL;
      if (get_strike_why (thing->entry) == RAKE_STRIKE_UNDO && !is_struck (job, thing))
        return collect_gesture (job, i);
    }
  return NULL;
}

/* NULL as well when another bench builds on what would be struck out: undo is not the place to argue
 * with another person's work. */
static GPtrArray *
plan (const RakeJob *job, GPtrArray *gesture, RakeStrikeWhy why)
{
  g_autoptr (GByteArray) flags = rake_standing_compute (job, gesture);
  GPtrArray *strikes;

  if (rake_standing_find_loser (job, flags) != NULL || !rake_record_can_strike (job, gesture))
    return NULL;
  strikes = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  for (guint i = 0; i < gesture->len; i++)
    {
      RakeEntry *strike = rake_entry_new (RAKE_ENTRY_STRIKE);

      strike->strike.entry = ((const RakeThing *) gesture->pdata[i])->id;
      strike->strike.why = why;
      g_ptr_array_add (strikes, strike);
      strike->gesture = ((const RakeEntry *) strikes->pdata[0])->id;
    }
  return strikes;
}

GPtrArray *
rake_job_plan_undo (const RakeJob *job, RakeId bench)
{
  g_autoptr (GPtrArray) gesture = find_last_done (job, bench);

  return gesture != NULL ? plan (job, gesture, RAKE_STRIKE_UNDO) : NULL;
}

GPtrArray *
rake_job_plan_redo (const RakeJob *job, RakeId bench)
{
  g_autoptr (GPtrArray) gesture = find_last_undone (job, bench);

  return gesture != NULL ? plan (job, gesture, RAKE_STRIKE_REDO) : NULL;
}
