/* test-job-properties.c - what must hold of every logbook, tried on random ones.
 *
 * RAKE_SEED=N runs the one seed that a failure names. */
#include "random-log.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

/* The sanitizers look for another kind of fault, which does not hide in one seed of hundreds, and
 * cost tenfold and more. */
#ifdef __SANITIZE_ADDRESS__
#define PART_OF_SEEDS 20
#else
#define PART_OF_SEEDS 1
#endif

static void
for_seeds (guint n_seeds, void (*try_seed) (guint64 seed))
{
  const char *only = g_getenv ("RAKE_SEED");

  if (only != NULL)
    {
      try_seed (g_ascii_strtoull (only, NULL, 10));
      return;
    }
  for (guint64 seed = 1; seed <= n_seeds / PART_OF_SEEDS; seed++)
    try_seed (seed);
}

static void
assert_same (const char *what, guint64 seed, const char *expected, const char *got)
{
  g_auto (GStrv) one = NULL, other = NULL;
  guint line = 0;

  if (strcmp (expected, got) == 0)
    return;
  one = g_strsplit (expected, "\n", -1);
  other = g_strsplit (got, "\n", -1);
  while (one[line] != NULL && g_strcmp0 (one[line], other[line]) == 0)
    line++;
  fail_msg ("seed %" G_GUINT64_FORMAT ": %s, line %u:\n  %s\nis not\n  %s", seed, what, line + 1,
            one[line], other[line]);
}

static RakeJob *
new_job_of (RakeEntry *const *entries, guint n_entries)
{
  RakeJob *job = rake_job_new ();
  g_autoptr (GError) error = NULL;

  if (!rake_job_adopt (job, entries, n_entries, NULL, &error))
    fail_msg ("the entries make no job: %s", error->message);
  return job;
}

static void
assert_job_is (const char *what, guint64 seed, const char *expected, RakeJob *job)
{
  g_autofree char *dump = rake_job_dump (job);
  assert_same (what, seed, expected, dump);
}

/* --- one bench ------------------------------------------------------------------------------------ */

static void
try_rebuilding (guint64 seed)
{
  Random random = random_new (seed);
  g_autoptr (RandomBench) bench = random_bench_new (&random);

  for (guint i = 0; i < 40; i++)
    {
      random_bench_act (bench);
      if (random_chance (&random, 10) || i == 39)
        {
          RakeEntry *const *entries = (RakeEntry *const *) bench->written->pdata;
          g_autofree char *live = rake_job_dump (bench->job);
          g_autoptr (RakeJob) anew = new_job_of (entries, bench->written->len);

          assert_job_is ("rebuilt from nothing", seed, live, anew);
          assert_int_equal (rake_job_get_n_void (bench->job), 0);
          assert_null (strstr (live, "\n loose "));
        }
    }
}

static void
rebuilding_from_nothing_is_having_been_there (void **state)
{
  for_seeds (600, try_rebuilding);
}

/* Each zone's id and revision, and all that is told of it and of the stages of its face. */
static GHashTable *
take_zones (const RakeJob *job)
{
  GHashTable *zones = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      g_autoptr (GString) stages = g_string_new (NULL);

      for (guint j = 0; j < face->stages->len; j++)
        {
          const RakeStage *stage = face->stages->pdata[j];
          g_string_append_printf (stages, "%d %s %u %d; ", (int) stage->action, stage->grade,
                                  stage->position, stage->is_last_sanding);
        }
      for (guint j = 0; j < face->zones->len; j++)
        {
          const RakeZone *zone = face->zones->pdata[j];
          g_autofree char *told = rake_job_dump_zone (zone);
          char text[RAKE_ID_TEXT_LENGTH + 1];

          rake_id_to_text (zone->id, text);
          g_hash_table_insert (zones,
                               g_strdup_printf ("%s %" G_GUINT64_FORMAT, text, zone->revision),
                               g_strconcat (stages->str, told, NULL));
        }
    }
  return zones;
}

static guint n_zones_unchanged, n_zones_changed;

static void
try_revisions (guint64 seed)
{
  Random random = random_new (seed);
  g_autoptr (RandomBench) bench = random_bench_new (&random);
  g_autoptr (GHashTable) before = take_zones (bench->job);

  for (guint i = 0; i < 40; i++)
    {
      GHashTable *after;
      GHashTableIter iter;
      gpointer name, told;

      random_bench_act (bench);
      after = take_zones (bench->job);
      g_hash_table_iter_init (&iter, after);
      while (g_hash_table_iter_next (&iter, &name, &told))
        {
          const char *was = g_hash_table_lookup (before, name);

          if (was != NULL)
            assert_same ("a zone of the same revision", seed, was, told);
          n_zones_unchanged += was != NULL;
          n_zones_changed += was == NULL;
        }
      g_hash_table_unref (before);
      before = after;
    }
}

static void
a_zone_of_the_same_revision_is_the_same_zone (void **state)
{
  for_seeds (300, try_revisions);
  assert_true (n_zones_unchanged > n_zones_changed / 10);
}

static void
try_earlier_states (guint64 seed)
{
  Random random = random_new (seed);
  g_autoptr (RandomBench) bench = random_bench_new (&random);
  guint n_entries;

  for (guint i = 0; i < 30; i++)
    random_bench_act (bench);
  n_entries = random_below (&random, bench->written->len + 1);
  {
    g_autoptr (RakeJob) until = rake_job_new_until (bench->job, n_entries);
    g_autoptr (RakeJob) fresh = new_job_of ((RakeEntry *const *) bench->written->pdata, n_entries);
    g_autofree char *expected = rake_job_dump (fresh);

    assert_job_is ("as it was", seed, expected, until);
  }
}

static void
the_job_as_it_was_is_a_job_of_its_first_entries (void **state)
{
  for_seeds (400, try_earlier_states);
}

static void
try_striking (guint64 seed)
{
  Random random = random_new (seed);
  g_autoptr (RandomBench) bench = random_bench_new (&random);
  g_autofree char *before = NULL, *after = NULL;
  RakeEntry *strike = NULL, *again;

  for (guint i = 0; i < 30; i++)
    random_bench_act (bench);
  before = random_log_shown (bench->job);
  for (guint attempt = 0; attempt < 50 && strike == NULL; attempt++)
    {
      RakeEntry *struck = bench->written->pdata[random_below (&random, bench->written->len)];

      strike = rake_entry_new (RAKE_ENTRY_STRIKE);
      strike->strike.entry = struck->id;
      strike->strike.why = RAKE_STRIKE_CORRECTION;
      strike->strike.reason = g_strdup ("to see");
      strike->written_ms = strike->happened_ms = bench->now_ms + 1;
      if (!rake_job_check (bench->job, strike, NULL))
        g_clear_pointer (&strike, rake_entry_unref);
    }
  if (strike == NULL)
    return;
  random_bench_write (bench, &strike, 1);
  again = rake_entry_new (RAKE_ENTRY_STRIKE);
  again->strike.entry = strike->id;
  again->strike.why = RAKE_STRIKE_CORRECTION;
  again->strike.reason = g_strdup ("it was right");
  random_bench_write (bench, &again, 1);
  after = random_log_shown (bench->job);
  assert_same ("struck out and revived", seed, before, after);
  rake_entry_unref (strike);
  rake_entry_unref (again);
}

static void
striking_a_strike_brings_everything_back (void **state)
{
  for_seeds (600, try_striking);
}

static void
try_undoing (guint64 seed)
{
  Random random = random_new (seed);
  g_autoptr (RandomBench) bench = random_bench_new (&random);
  g_autofree char *first = NULL, *last = NULL, *undone = NULL, *redone = NULL;
  guint n_undone = 0, n_redone = 0;

  random_bench_act (bench);
  while (bench->written->len == 0)
    random_bench_act (bench);
  first = random_log_shown (bench->job);
  for (guint i = 0; i < 25; i++)
    random_bench_act (bench);
  /* an ordinary gesture, so that nothing is left to redo */
  {
    g_autoptr (RakeEntry) note = rake_entry_new (RAKE_ENTRY_NOTE);
    note->note.text = g_strdup ("Here we turn.");
    random_bench_write (bench, &note, 1);
  }
  last = random_log_shown (bench->job);
  assert_false (random_bench_redo (bench));
  while (random_bench_undo (bench))
    n_undone++;
  undone = random_log_shown (bench->job);
  assert_same ("undone to the beginning", seed, first, undone);
  while (random_bench_redo (bench))
    n_redone++;
  redone = random_log_shown (bench->job);
  assert_same ("redone to the end", seed, last, redone);
  assert_int_equal (n_undone, n_redone);
}

static void
undo_goes_to_the_beginning_and_redo_to_the_end (void **state)
{
  for_seeds (300, try_undoing);
}

/* --- two benches ----------------------------------------------------------------------------------- */

/* What each bench wrote, and for each entry how many of the other's it had seen. */
typedef struct
{
  RandomBench *benches[2];
  GArray *seen[2];
  guint n_received[2];
} Pair;

static void
pair_act (Pair *pair, guint which)
{
  RandomBench *bench = pair->benches[which];

  random_bench_act (bench);
  while (pair->seen[which]->len < bench->written->len)
    g_array_append_val (pair->seen[which], pair->n_received[which]);
}

static void
pair_meet (Pair *pair, guint which)
{
  GPtrArray *others = pair->benches[!which]->written;
  guint have = pair->n_received[which];

  random_bench_receive (pair->benches[which], (RakeEntry *const *) others->pdata + have,
                        others->len - have);
  pair->n_received[which] = others->len;
}

static void
pair_clear (Pair *pair)
{
  for (guint i = 0; i < 2; i++)
    {
      random_bench_free (pair->benches[i]);
      g_array_unref (pair->seen[i]);
    }
}

static void
pair_init (Pair *pair, Random *random)
{
  for (guint i = 0; i < 2; i++)
    {
      pair->benches[i] = random_bench_new (random);
      pair->seen[i] = g_array_new (FALSE, FALSE, sizeof (guint));
      pair->n_received[i] = 0;
    }
}

/* Entries one by one (or a few at once) in a random order that keeps each bench's own and never puts
 * an entry before what its bench had seen. */
static RakeJob *
new_interleaved (const Pair *pair, Random *random)
{
  RakeJob *job = rake_job_new ();
  guint taken[2] = { 0, 0 };
  g_autoptr (GPtrArray) batch = g_ptr_array_new ();

  while (taken[0] < pair->seen[0]->len || taken[1] < pair->seen[1]->len)
    {
      guint which = random_below (random, 2);
      g_autoptr (GError) error = NULL;

      if (taken[which] == pair->seen[which]->len ||
          g_array_index (pair->seen[which], guint, taken[which]) > taken[!which])
        which = !which;
      assert_true (taken[which] < pair->seen[which]->len);
      g_ptr_array_add (batch, pair->benches[which]->written->pdata[taken[which]++]);
      if (random_chance (random, 60))
        {
          if (!rake_job_adopt (job, (RakeEntry *const *) batch->pdata, batch->len, NULL, &error))
            fail_msg ("an entry on record was refused: %s", error->message);
          g_ptr_array_set_size (batch, 0);
        }
    }
  assert_true (rake_job_adopt (job, (RakeEntry *const *) batch->pdata, batch->len, NULL, NULL));
  return job;
}

static guint n_void_met;

static void
try_merging (guint64 seed)
{
  Random random = random_new (seed);
  g_autofree char *expected = NULL;
  Pair pair;

  pair_init (&pair, &random);
  pair.benches[0]->may_undo = FALSE;
  for (guint i = 0; i < 8; i++)
    pair_act (&pair, 0);
  pair.benches[0]->may_undo = TRUE;
  pair_meet (&pair, 1);
  for (guint i = 0; i < 24; i++)
    {
      pair_act (&pair, random_below (&random, 2));
      if (random_chance (&random, 12))
        pair_meet (&pair, random_below (&random, 2));
    }
  pair_meet (&pair, 0);
  pair_meet (&pair, 1);
  expected = rake_job_dump (pair.benches[0]->job);
  n_void_met += rake_job_get_n_void (pair.benches[0]->job);
  assert_job_is ("the other bench", seed, expected, pair.benches[1]->job);
  for (guint i = 0; i < 3; i++)
    {
      g_autoptr (RakeJob) job = new_interleaved (&pair, &random);
      assert_job_is ("merged in another order", seed, expected, job);
    }
  {
    guint n_entries = rake_job_get_n_entries (pair.benches[0]->job);
    g_autoptr (RakeJob) until =
        rake_job_new_until (pair.benches[0]->job, random_below (&random, n_entries + 1));
    g_autoptr (RakeJob) whole = rake_job_new_until (pair.benches[0]->job, n_entries);

    assert_non_null (until);
    assert_job_is ("until its end", seed, expected, whole);
  }
  pair_clear (&pair);
}

static void
two_benches_make_one_job_in_whatever_order_they_meet (void **state)
{
  n_void_met = 0;
  for_seeds (300, try_merging);
  /* else the logs never contradicted each other and the test has lost its point */
  if (g_getenv ("RAKE_SEED") == NULL)
    assert_true (n_void_met > 50 / PART_OF_SEEDS);
}

static void
try_undoing_between_two (guint64 seed)
{
  Random random = random_new (seed);
  Pair pair;

  pair_init (&pair, &random);
  for (guint i = 0; i < 8; i++)
    pair_act (&pair, 0);
  pair_meet (&pair, 1);
  for (guint i = 0; i < 14; i++)
    pair_act (&pair, random_below (&random, 2));
  pair_meet (&pair, 0);
  /* whatever undo and redo propose now, the job takes; random_bench_write() fails otherwise */
  for (guint i = 0; i < 20; i++)
    if (random_chance (&random, 60))
      random_bench_undo (pair.benches[0]);
    else
      random_bench_redo (pair.benches[0]);
  pair_clear (&pair);
}

static void
undo_is_never_refused_for_what_another_bench_wrote (void **state)
{
  for_seeds (300, try_undoing_between_two);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (rebuilding_from_nothing_is_having_been_there),
    cmocka_unit_test (a_zone_of_the_same_revision_is_the_same_zone),
    cmocka_unit_test (the_job_as_it_was_is_a_job_of_its_first_entries),
    cmocka_unit_test (striking_a_strike_brings_everything_back),
    cmocka_unit_test (undo_goes_to_the_beginning_and_redo_to_the_end),
    cmocka_unit_test (two_benches_make_one_job_in_whatever_order_they_meet),
    cmocka_unit_test (undo_is_never_refused_for_what_another_bench_wrote),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
