/* test-hostile.c - files that arrive by mail: torn, altered, made to harm, or no job files at all.
 * Each is refused with a sentence, or is whole; none does anything else. */
#include "store-support.h"

#include "database.h"

#include <glib/gstdio.h>
#include <sqlite3.h>
#include <string.h>

/* A job with one of each kind, closed. */
static void
make_job (Shop *shop)
{
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (GRand) random = g_rand_new_with_seed (5);
  g_autoptr (GPtrArray) entries = shop_make_every_kind (shop, random);

  shop_append_all (file, job, entries);
}

static char *export(const char *path)
{
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, NULL);

  assert_non_null (file);
  return shop_export (file);
}

/* --- not job files -------------------------------------------------------------------------------- */

static void
what_is_no_job_file_is_refused_and_left_alone (void **state)
{
#define BYTES(literal) literal, sizeof literal - 1
  static const struct { const char *bytes; gsize n_bytes; const char *says; } cases[] = {
    { BYTES (""), "is empty" },
    { BYTES ("Dear customer, please find attached the logbook of your mandola.\n"), "not a job file" },
    { BYTES ("SQLite format 3\0"), "not a job file" },
    { BYTES ("\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\1\0\0\0\1\x08\2\0\0\0\x90wS\xde"), "not a job file" },
  };
  Shop *shop = *state;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    for (int mode = RAKE_JOB_FILE_WRITE; mode <= RAKE_JOB_FILE_READ_ONLY; mode++)
      {
        g_autoptr (GError) error = NULL;
        g_autofree char *after = NULL;
        gsize n_after;

        g_file_set_contents (shop->path, cases[i].bytes, (gssize) cases[i].n_bytes, NULL);
        assert_null (rake_job_file_open (shop->path, (RakeJobFileMode) mode, &error));
        assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB, cases[i].says);
        g_file_get_contents (shop->path, &after, &n_after, NULL);
        assert_int_equal (n_after, cases[i].n_bytes);
        assert_memory_equal (after, cases[i].bytes, n_after);
        assert_int_equal (shop_count_files (shop), 1);
      }
}

static void
a_folder_is_no_job_file (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;

  g_mkdir (shop->path, 0700);
  assert_null (rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB, "is not a file");
}

/* --- altered schemas ------------------------------------------------------------------------------ */

static void
a_schema_that_is_not_ours_to_the_letter_is_refused (void **state)
{
  static const char *const alterations[] = {
    "PRAGMA application_id = 0",
    "PRAGMA user_version = 0",
    "PRAGMA user_version = -1",
    "CREATE TABLE more (a)",
    "CREATE VIEW more AS SELECT 1",
    "CREATE INDEX more ON entry (who)",
    "CREATE TRIGGER more AFTER INSERT ON entry BEGIN SELECT 1; END",
    "CREATE TRIGGER more INSTEAD OF INSERT ON v BEGIN SELECT 1; END",
    "DROP TRIGGER entry_is_never_changed",
    "DROP TRIGGER pass_is_never_deleted; CREATE TRIGGER pass_is_never_deleted BEFORE DELETE ON pass "
    "BEGIN SELECT 1; END",
    "ALTER TABLE client ADD COLUMN more TEXT",
    "ALTER TABLE client RENAME COLUMN contact TO address",
    "ANALYZE",
    "CREATE VIRTUAL TABLE more USING fts5 (a)",
    "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql = replace (sql, '< 360', '< 361') "
    "WHERE name = 'look'",
    "PRAGMA writable_schema = ON; DELETE FROM sqlite_schema WHERE name = 'client'",
  };
  Shop *shop = *state;
  g_autofree char *pristine = g_strconcat (shop->folder, "/pristine", NULL);

  make_job (shop);
  shop_copy (shop->path, pristine);
  for (gsize i = 0; i < G_N_ELEMENTS (alterations); i++)
    for (int mode = RAKE_JOB_FILE_WRITE; mode <= RAKE_JOB_FILE_READ_ONLY; mode++)
      {
        g_autoptr (GError) error = NULL;
        g_autoptr (RakeJobFile) file = NULL;
        sqlite3 *db;

        shop_copy (pristine, shop->path);
        sqlite3_open (shop->path, &db);
        if (strstr (alterations[i], "ON v ") != NULL)
          sqlite3_exec (db, "CREATE VIEW v AS SELECT 1", NULL, NULL, NULL);
        if (sqlite3_exec (db, alterations[i], NULL, NULL, NULL) != SQLITE_OK)
          fail_msg ("%s: %s", alterations[i], sqlite3_errmsg (db));
        sqlite3_close (db);
        file = rake_job_file_open (shop->path, (RakeJobFileMode) mode, &error);
        if (file != NULL)
          fail_msg ("opened after %s", alterations[i]);
        if (!g_error_matches (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB))
          fail_msg ("%s: %s", alterations[i], error->message);
      }
}

/* --- torn and flipped ----------------------------------------------------------------------------- */

/* Without the care for power cuts that g_file_set_contents() takes. */
static void
put (const char *path, const char *bytes, gsize n_bytes)
{
  g_unlink (path); /* it would not be made shorter */
  assert_true (g_file_set_contents_full (path, bytes, (gssize) n_bytes, G_FILE_SET_CONTENTS_NONE,
                                         0666, NULL));
}

/* What opens and verifies must say what the original said. */
static gboolean
is_whole (const char *path, const char *original)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;

  if (!shop_verify (path, &error))
    {
      if (error == NULL || *error->message == '\0')
        fail_msg ("refused without a word");
      if (error->domain != RAKE_JOB_FILE_ERROR)
        fail_msg ("error of another domain: %s", error->message);
      return FALSE;
    }
  text = export(path);
  if (strcmp (text, original) != 0)
    fail_msg ("verifies, but says something else");
  return TRUE;
}

/* A person who opens it for writing and works on, whatever verifying would have said. */
static void
work_on (Shop *shop)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  g_autoptr (RakeJob) job = file != NULL ? rake_job_file_load (file, &error) : NULL;
  g_autoptr (RakeEntry) note = shop_make_note ("worked on");

  if (job != NULL)
    rake_job_file_append (file, job, &note, 1, NULL, &error);
}

static void
a_torn_file_is_refused (void **state)
{
  Shop *shop = *state;
  g_autofree char *bytes = NULL, *original = NULL;
  gsize n_bytes;

  make_job (shop);
  original = export(shop->path);
  g_file_get_contents (shop->path, &bytes, &n_bytes, NULL);
  for (gsize length = 1; length < n_bytes; length += length < 200 ? 13 : 3067)
    {
      put (shop->path, bytes, length);
      if (is_whole (shop->path, original))
        fail_msg ("whole with %zu of %zu bytes", length, n_bytes);
    }
}

static void
flipped_bytes_are_found_or_matter_nothing (void **state)
{
  Shop *shop = *state;
  g_autofree char *bytes = NULL, *original = NULL;
  g_autoptr (GRand) random = g_rand_new_with_seed (20260301);
  gsize n_bytes;
  guint n_found = 0, n_trials = 600;

  make_job (shop);
  original = export(shop->path);
  g_file_get_contents (shop->path, &bytes, &n_bytes, NULL);
  for (guint trial = 0; trial < n_trials; trial++)
    {
      g_autofree char *flipped = g_memdup2 (bytes, n_bytes);
      guint n_flips = trial % 3 == 0 ? 20 : 1;

      for (guint i = 0; i < n_flips; i++)
        flipped[g_rand_int_range (random, 0, (gint32) n_bytes)] ^=
            (char) g_rand_int_range (random, 1, 256);
      put (shop->path, flipped, n_bytes);
      n_found += is_whole (shop->path, original) ? 0 : 1;
      if (trial % 5 == 0)
        work_on (shop);
    }
  /* Most of a new file is empty pages; but many flips must have been found. */
  if (n_found < n_trials / 4)
    fail_msg ("only %u of %u were found", n_found, n_trials);
}

/* --- values --------------------------------------------------------------------------------------- */

static void
values_that_no_program_of_ours_wrote_are_refused (void **state)
{
  /* Limits in the tables are switched off to get them in. The first three are found by the check of
   * pages and limits before the first read, the rest by our own reading. */
  static const struct { const char *sql, *says; } cases[] = {
    { "UPDATE look SET lamp_deg = 400", "CHECK" },
    { "UPDATE mark SET shape = zeroblob (5000000)", "CHECK" },
    { "UPDATE look SET light = 'torch'", "CHECK" },
    { "UPDATE mark SET shape = x'0103000000ffffffff000000000000000000000000000000'", "shape" },
    { "UPDATE mark SET shape = x'010600000001000000000000000000000000000000000000'", "shape" },
    { "UPDATE face SET outline = x'0101000000000000000000f87f000000000000f87f'", "outline" },
    { "UPDATE face SET outline = zeroblob (21)", "outline" },
    { "UPDATE entry SET id = upper (id) WHERE arrival = 1", "id is not an id" },
    { "UPDATE entry SET bench = upper (bench)", "bench is not an id" },
    { "UPDATE entry SET id = 'x17f22e2-79b0-7cc3-98c4-dc0c0c07398f' WHERE arrival = 1", "id is not an id" },
    { "UPDATE entry SET who = CAST (x'ff' AS TEXT)", "UTF-8" },
    { "UPDATE entry SET who = CAST (x'610062' AS TEXT)", "who is not a text" },
    { "UPDATE entry SET who = printf ('%1000s', 'x')", "who has" },
    { "UPDATE job SET name = ''", "name is missing" },
    { "UPDATE entry SET number = number + 1 WHERE number = (SELECT max (number) FROM entry)", "does not follow" },
    { "UPDATE entry SET arrival = arrival + 100 WHERE arrival = (SELECT max (arrival) FROM entry)", "is missing" },
    { "UPDATE entry SET kind = 'sanding' WHERE arrival = 2", "sanding is no kind" },
    { "UPDATE schedule_stages SET position = 2 WHERE position = 1", "stages has a gap" },
    { "UPDATE entry SET written_ms = 9223372036854775807 WHERE arrival = 4", "CHECK" },
    { "UPDATE zones_removed SET id = '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'", "removed is" },
    { "INSERT INTO pass (arrival, stage) SELECT max (arrival), '017f22e2-79b0-7cc3-98c4-dc0c0c07398f' "
      "FROM entry", "pass has rows that belong to no entry" },
    { "UPDATE strike SET entry = (SELECT id FROM entry WHERE kind = 'strike')", "the strike itself" },
  };
  Shop *shop = *state;
  g_autofree char *pristine = g_strconcat (shop->folder, "/pristine", NULL);
  g_autofree char *original = NULL;

  make_job (shop);
  original = export(shop->path);
  shop_copy (shop->path, pristine);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *sql =
          g_strconcat ("PRAGMA ignore_check_constraints = ON;", cases[i].sql, NULL);
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeJobFile) file = NULL;
      g_autoptr (RakeJob) job = NULL;

      shop_copy (pristine, shop->path);
      shop_tamper (shop->path, sql);
      if (is_whole (shop->path, original))
        fail_msg ("whole after %s", cases[i].sql);
      file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
      job = file != NULL ? rake_job_file_load (file, &error) : NULL;
      if (job != NULL)
        fail_msg ("read after %s", cases[i].sql);
      assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, cases[i].says);
    }
}

/* --- newer versions ------------------------------------------------------------------------------- */

#define NEWER                                                                                        \
  "PRAGMA foreign_keys = OFF; PRAGMA user_version = 5;"                                               \
  "CREATE TABLE humidity (arrival INTEGER PRIMARY KEY, hash BLOB) STRICT;"                               \
  "INSERT INTO kind VALUES ('humidity', 'of the room');"                                                \
  "ALTER TABLE look ADD COLUMN humidity_fraction REAL;"                                               \
  "INSERT INTO entry SELECT 1 + max (arrival), '017f22e2-79b0-7cc3-98c4-dc0c0c07398f', 'humidity', bench, " \
  "1 + max (number), 1 + max (written_ms), written_ms, 0, NULL, id, hash, zeroblob (32) FROM entry;"     \
  "INSERT INTO humidity VALUES ((SELECT max (arrival) FROM entry), zeroblob (32));"

static void
a_newer_file_is_read_as_far_as_it_is_known (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autofree char *before = NULL, *after = NULL;

  make_job (shop);
  before = export(shop->path);
  shop_tamper (shop->path, NEWER);
  assert_null (rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NEWER, "newer program");
  g_clear_error (&error);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error);
  assert_no_error (error);
  job = rake_job_file_load (file, &error);
  assert_no_error (error);
  assert_int_equal (rake_job_get_n_faces (job), 1);
  after = shop_export (file);
  assert_string_equal (before, after);
  assert_false (rake_job_file_verify (file, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NEWER, "newer version");
}

/* One more entry, of a kind we know, that names another or is named. */
#define ONE_MORE(kind, id)                                                                           \
  "INSERT INTO entry SELECT 1 + max (arrival), '" id "', '" kind "', bench, 1 + max (number), "        \
  "1 + max (written_ms), written_ms, 0, NULL, id, hash, zeroblob (32) FROM entry;"
#define LAST "(SELECT max (arrival) FROM entry)"
#define PHOTO "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
#define STRIKE "017f22e2-79b0-7cc3-98c4-dc0c0c073990"

/* A newer program's undo of something new, and its redo: what speaks of nothing we know is passed
 * over with it, and what comes after is read. */
static void
a_newer_file_s_strikes_of_unknown_entries_are_passed_over (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autofree char *exported = NULL;

  make_job (shop);
  shop_tamper (
      shop->path,
      NEWER ONE_MORE (
          "strike",
          STRIKE) "INSERT INTO strike VALUES (" LAST ", '" PHOTO
                  "', 'undo', NULL);" ONE_MORE (
                      "strike",
                      "017f22e2-79b0-7cc3-98c4-dc0c0c073991") "INSERT INTO strike VALUES (" LAST
                                                              ", '" STRIKE
                                                              "', 'redo', NULL);" ONE_MORE (
                                                                  "note",
                                                                  "017f22e2-79b0-7cc3-98c4-"
                                                                  "dc0c0c073992") "INSERT INTO "
                                                                                  "note (arrival, "
                                                                                  "text) VALUES "
                                                                                  "(" LAST
                                                                                  ", 'after "
                                                                                  "them');");
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error);
  assert_no_error (error);
  assert_true (rake_job_file_is_newer (file));
  job = rake_job_file_load (file, &error);
  assert_no_error (error);
  exported = shop_export (file);
  assert_non_null (strstr (exported, "after them"));
  assert_null (strstr (exported, STRIKE));
}

/* What cannot be passed over alone is no damage: a program that knows it would read it. */
static void
a_newer_file_that_cannot_be_followed_is_said_to_be_newer (void **state)
{
  static const char *const cases[] = {
    /* A word that is new in a field we know. */
    ONE_MORE ("strike", STRIKE)
    "PRAGMA ignore_check_constraints = ON; INSERT INTO strike SELECT " LAST
    ", id, 'by decree', NULL FROM entry WHERE arrival = 1;",
    /* Something that only an entry of a new kind can have made. */
    ONE_MORE ("strike", STRIKE)
    "INSERT INTO strike VALUES (" LAST ", '017f22e2-79b0-7cc3-98c4-dc0c0c0739ff', 'undo', NULL);",
  };
  Shop *shop = *state;
  g_autofree char *pristine = g_strconcat (shop->folder, "/pristine", NULL);

  make_job (shop);
  shop_copy (shop->path, pristine);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *sql = g_strconcat (NEWER, cases[i], NULL);
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeJobFile) file = NULL;

      shop_copy (pristine, shop->path);
      shop_tamper (shop->path, sql);
      file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error);
      assert_no_error (error);
      assert_null (rake_job_file_load (file, &error));
      assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NEWER, "newer version");
    }
}

static void
a_newer_file_with_programs_in_it_is_refused (void **state)
{
  static const char *const cases[] = {
    NEWER "CREATE VIEW more AS WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT * FROM n",
    NEWER "CREATE VIRTUAL TABLE more USING fts5 (a)",
    NEWER "DROP TRIGGER look_is_never_changed; DROP TRIGGER look_is_never_deleted; "
          "ALTER TABLE look RENAME TO looks; CREATE VIEW look AS SELECT * FROM looks",
    NEWER "ALTER TABLE note ADD COLUMN more TEXT AS (hex (zeroblob (1000000))) VIRTUAL",
  };
  Shop *shop = *state;
  g_autofree char *pristine = g_strconcat (shop->folder, "/pristine", NULL);

  make_job (shop);
  shop_copy (shop->path, pristine);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      shop_copy (pristine, shop->path);
      shop_tamper (shop->path, cases[i]);
      if (rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error) != NULL)
        fail_msg ("opened: %s", cases[i] + strlen (NEWER));
      assert_int_equal (error->domain, RAKE_JOB_FILE_ERROR);
    }
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, shop_open, shop_close)
  const struct CMUnitTest tests[] = {
    TEST (what_is_no_job_file_is_refused_and_left_alone),
    TEST (a_folder_is_no_job_file),
    TEST (a_schema_that_is_not_ours_to_the_letter_is_refused),
    TEST (a_torn_file_is_refused),
    TEST (flipped_bytes_are_found_or_matter_nothing),
    TEST (values_that_no_program_of_ours_wrote_are_refused),
    TEST (a_newer_file_is_read_as_far_as_it_is_known),
    TEST (a_newer_file_s_strikes_of_unknown_entries_are_passed_over),
    TEST (a_newer_file_that_cannot_be_followed_is_said_to_be_newer),
    TEST (a_newer_file_with_programs_in_it_is_refused),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
