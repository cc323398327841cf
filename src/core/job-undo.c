/* job-undo.c - what undo and redo would have to strike out.
 *
 * The logbook knows no cursor: which gestures are undone follows from the bench's own entries. An
 * ordinary gesture goes on the stack and ends what could be redone; a gesture that undoes takes one
 * off, a gesture that redoes puts it back. A correction by hand is an ordinary gesture. */
#include "job-private.h"

typedef struct
{
  RakeId id;
  GPtrArray *entries;      /* const RakeEntry *, in order */
  guint n_strikes[RAKE_STRIKE_REDO + 1];
} Gesture;

typedef struct
{
  GPtrArray *gestures;     /* Gesture *, owned, in order of their first entry */
  GHashTable *by_id;
  GPtrArray *done;         /* Gesture *: what undo would take, last first */
  GPtrArray *undone;       /* Gesture *: the undoing gestures, last first */
} History;

static void
free_gesture (gpointer data)
{
  g_ptr_array_unref (((Gesture *) data)->entries);
  g_free (data);
}

static RakeId
get_gesture_id (const RakeEntry *entry)
{
  return rake_id_is_nil (entry->gesture) ? entry->id : entry->gesture;
}

static void
add_to_gesture (History *history, const RakeEntry *entry)
{
  RakeId id = get_gesture_id (entry);
  Gesture *gesture = g_hash_table_lookup (history->by_id, &id);

  if (gesture == NULL)
    {
      gesture = g_new0 (Gesture, 1);
      gesture->id = id;
      gesture->entries = g_ptr_array_new ();
      g_ptr_array_add (history->gestures, gesture);
      g_hash_table_insert (history->by_id, &gesture->id, gesture);
    }
  g_ptr_array_add (gesture->entries, (gpointer) entry);
  if (entry->kind == RAKE_ENTRY_STRIKE)
    gesture->n_strikes[entry->strike.why]++;
}

/* The gesture of the entry that the strikes of @gesture strike out; NULL when it is not this bench's. */
static Gesture *
find_struck_gesture (const History *history, const RakeJob *job, const Gesture *gesture)
{
  const RakeEntry *strike = gesture->entries->pdata[0];
  const RakeEntry *struck = rake_job_find_entry (job, strike->strike.entry);
  RakeId id = struck != NULL ? get_gesture_id (struck) : RAKE_ID_NIL;

  return g_hash_table_lookup (history->by_id, &id);
}

static void
replay_gesture (History *history, const RakeJob *job, Gesture *gesture)
{
  Gesture *struck;

  if (gesture->n_strikes[RAKE_STRIKE_UNDO] == gesture->entries->len)
    {
      struck = find_struck_gesture (history, job, gesture);
      if (struck != NULL && g_ptr_array_remove (history->done, struck))
        g_ptr_array_add (history->undone, gesture);
    }
  else if (gesture->n_strikes[RAKE_STRIKE_REDO] == gesture->entries->len)
    {
      struck = find_struck_gesture (history, job, gesture);
      if (struck != NULL && g_ptr_array_remove (history->undone, struck))
        g_ptr_array_add (history->done, find_struck_gesture (history, job, struck));
    }
  else
    {
      g_ptr_array_add (history->done, gesture);
      g_ptr_array_set_size (history->undone, 0);
    }
}

static void
history_init (History *history, const RakeJob *job, RakeId bench)
{
  history->gestures = g_ptr_array_new_with_free_func (free_gesture);
  history->by_id = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);
  history->done = g_ptr_array_new ();
  history->undone = g_ptr_array_new ();
  for (guint i = 0; i < job->order->len; i++)
    {
      const RakeEntry *entry = ((const RakeThing *) job->order->pdata[i])->entry;
      if (rake_id_equal (entry->bench, bench))
        add_to_gesture (history, entry);
    }
  for (guint i = 0; i < history->gestures->len; i++)
    replay_gesture (history, job, history->gestures->pdata[i]);
}

static void
history_clear (History *history)
{
  g_ptr_array_unref (history->done);
  g_ptr_array_unref (history->undone);
  g_hash_table_unref (history->by_id);
  g_ptr_array_unref (history->gestures);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (History, history_clear)

/* Those entries of the gesture that count, as things, newest first; a bench may have struck out some
 * or all of them by hand since. */
static GPtrArray *
find_live (const RakeJob *job, const Gesture *gesture)
{
  GPtrArray *live = g_ptr_array_new ();

  for (guint i = gesture->entries->len; i-- > 0;)
    {
      const RakeEntry *entry = gesture->entries->pdata[i];
      if (!rake_job_is_struck (job, entry->id))
        g_ptr_array_add (live, rake_job_find_thing (job, entry->id));
    }
  return live;
}

static GPtrArray *
plan_last (const RakeJob *job, GPtrArray *gestures, RakeStrikeWhy why)
{
  g_autoptr (GPtrArray) live = NULL;
  g_autoptr (GByteArray) flags = NULL;
  GPtrArray *plan;

  for (guint i = gestures->len; i-- > 0 && (live == NULL || live->len == 0);)
    {
      g_clear_pointer (&live, g_ptr_array_unref);
      live = find_live (job, gestures->pdata[i]);
    }
  if (live == NULL || live->len == 0)
    return NULL;
  flags = rake_standing_compute (job, live);
  if (rake_standing_find_loser (job, flags) != NULL)
    return NULL;

  plan = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  for (guint i = 0; i < live->len; i++)
    {
      RakeEntry *strike = rake_entry_new (RAKE_ENTRY_STRIKE);

      strike->strike.entry = ((const RakeThing *) live->pdata[i])->id;
      strike->strike.why = why;
      g_ptr_array_add (plan, strike);
      strike->gesture = ((const RakeEntry *) plan->pdata[0])->id;
    }
  return plan;
}

GPtrArray *
rake_job_plan_undo (const RakeJob *job, RakeId bench)
{
  g_auto (History) history = { 0 };

  history_init (&history, job, bench);
  return plan_last (job, history.done, RAKE_STRIKE_UNDO);
}

GPtrArray *
rake_job_plan_redo (const RakeJob *job, RakeId bench)
{
  g_auto (History) history = { 0 };

  history_init (&history, job, bench);
  return plan_last (job, history.undone, RAKE_STRIKE_REDO);
}
