/* test-migrate.c - an older file is brought up to date after a backup, or is left as it was. First
 * with steps into versions that are made up, then with a file that version 1 wrote. */
#include "store-support.h"

#include "store-private.h"

#include <string.h>

#define NOW RAKE_JOB_FILE_VERSION
#define HUMIDITY "CREATE TABLE humidity (arrival INTEGER PRIMARY KEY, hash BLOB NOT NULL) STRICT;"
#define ROOM "CREATE TABLE room (arrival INTEGER PRIMARY KEY, celsius REAL) STRICT;"

typedef struct
{
  char *with_humidity, *with_both;
  RakeMigration steps[2];
} Future;

/* The next version has the room's humidity, the one after it its temperature as well. */
static void
see_future (Future *future)
{
  future->with_humidity = g_strconcat (rake_schema_sql, HUMIDITY, NULL);
  future->with_both = g_strconcat (rake_schema_sql, HUMIDITY, ROOM, NULL);
  future->steps[0] = (RakeMigration){ rake_schema_sql, NOW, HUMIDITY, FALSE };
  future->steps[1] = (RakeMigration){ future->with_humidity, NOW + 1, ROOM, FALSE };
}

static void
forget_future (Future *future)
{
  g_free (future->with_humidity);
  g_free (future->with_both);
}

static sqlite3 *
open_database (const char *path)
{
  g_autoptr (GError) error = NULL;
  sqlite3 *db = rake_database_open (path, SQLITE_OPEN_READWRITE, &error);

  assert_no_error (error);
  return db;
}

static void
make_job (Shop *shop)
{
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
}

static gint64
ask (sqlite3 *db, const char *sql)
{
  g_autoptr (GError) error = NULL;
  gint64 value = -1;

  rake_database_get_integer (db, sql, &value, &error);
  assert_no_error (error);
  return value;
}

static void
a_migrated_file_keeps_its_entries_and_a_backup (void **state)
{
  Shop *shop = *state;
  g_autofree char *backup = g_strconcat (shop->path, ".before-4", NULL);
  g_autofree char *was = g_strconcat (shop->path, ".was", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (sqlite3) db = NULL;
  Future future;

  see_future (&future);
  make_job (shop);
  shop_copy (shop->path, was);
  db = open_database (shop->path);
  rake_migrate (db, shop->path, NOW, NOW + 2, future.steps, 2, future.with_both, &error);
  assert_no_error (error);
  assert_int_equal (ask (db, "PRAGMA user_version"), NOW + 2);
  assert_int_equal (ask (db, "SELECT count (*) FROM entry"), 4);
  assert_int_equal (ask (db, "SELECT count (*) FROM humidity"), 0);
  assert_int_equal (ask (db, "SELECT count (*) FROM room"), 0);
  /* References are looked after again. */
  assert_int_equal (ask (db, "PRAGMA foreign_keys"), 1);
  /* The backup is a job file of the old version that says the same. */
  {
    g_autoptr (RakeJobFile) one = rake_job_file_open (backup, RAKE_JOB_FILE_READ_ONLY, &error);
    g_autoptr (RakeJobFile) other = rake_job_file_open (was, RAKE_JOB_FILE_READ_ONLY, NULL);
    g_autofree char *text = NULL, *other_text = NULL;
    assert_no_error (error);
    text = shop_export (one);
    other_text = shop_export (other);
    assert_string_equal (text, other_text);
    rake_job_file_verify (one, &error);
    assert_no_error (error);
  }
  forget_future (&future);
}

static void
a_step_may_begin_later (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (sqlite3) db = NULL;
  Future future;

  see_future (&future);
  make_job (shop);
  shop_tamper (shop->path, HUMIDITY "PRAGMA user_version = 5");
  db = open_database (shop->path);
  rake_migrate (db, shop->path, NOW + 1, NOW + 2, future.steps, 2, future.with_both, &error);
  assert_no_error (error);
  assert_int_equal (ask (db, "PRAGMA user_version"), NOW + 2);
  forget_future (&future);
}

/* Steps that fail half way, or do not lead where they should; files that are not what they say. */
static void
a_migration_that_fails_leaves_the_file_as_it_was (void **state)
{
  static const struct { const char *tamper, *sql, *says; } cases[] = {
    { "", HUMIDITY "CREATE TABLE pass (a)", "already exists" },
    { "", "CREATE TABLE humidities (a)", "not as it should be" },
    { "", HUMIDITY "INSERT INTO pass_zones VALUES (77, 0, '017f22e2-79b0-7cc3-98c4-dc0c0c07398f')",
      "speak of something" },
    { "CREATE TRIGGER more AFTER INSERT ON photo_bytes BEGIN SELECT 1; END", HUMIDITY, "more" },
  };
  Shop *shop = *state;
  g_autofree char *was = g_strconcat (shop->path, ".was", NULL);
  Future future;

  see_future (&future);
  make_job (shop);
  shop_copy (shop->path, was);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      const RakeMigration step = { rake_schema_sql, NOW, cases[i].sql, FALSE };
      g_autofree char *before = NULL, *after = NULL;
      gsize n_before, n_after;
      g_autoptr (GError) error = NULL;
      g_autoptr (sqlite3) db = NULL;

      shop_copy (was, shop->path);
      shop_tamper (shop->path, cases[i].tamper);
      g_file_get_contents (shop->path, &before, &n_before, NULL);
      db = open_database (shop->path);
      if (rake_migrate (db, shop->path, NOW, NOW + 1, &step, 1, future.with_humidity, &error))
        fail_msg ("migrated by %s", cases[i].sql);
      if (error->domain != RAKE_JOB_FILE_ERROR || strstr (error->message, cases[i].says) == NULL)
        fail_msg ("%s: %s", cases[i].sql, error->message);
      g_clear_pointer (&db, sqlite3_close);
      g_file_get_contents (shop->path, &after, &n_after, NULL);
      assert_int_equal (n_before, n_after);
      assert_memory_equal (before, after, n_after);
    }
  forget_future (&future);
}

static void
a_backup_that_is_there_already_is_kept (void **state)
{
  Shop *shop = *state;
  g_autofree char *backup = g_strconcat (shop->path, ".before-4", NULL);
  g_autofree char *second = g_strconcat (shop->path, ".before-4.2", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (sqlite3) db = NULL;
  Future future;

  see_future (&future);
  make_job (shop);
  g_file_set_contents (backup, "dear", 4, NULL);
  db = open_database (shop->path);
  rake_migrate (db, shop->path, NOW, NOW + 1, future.steps, 2, future.with_humidity, &error);
  assert_no_error (error);
  g_file_get_contents (backup, &text, NULL, NULL);
  assert_string_equal (text, "dear");
  assert_true (g_file_test (second, G_FILE_TEST_EXISTS));
  forget_future (&future);
}

static void
a_version_that_never_was_is_refused (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (sqlite3) db = NULL;
  Future future;

  see_future (&future);
  make_job (shop);
  db = open_database (shop->path);
  assert_false (
      rake_migrate (db, shop->path, 0, NOW + 1, future.steps, 2, future.with_humidity, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB,
                   "never was a version 0");
  assert_int_equal (shop_count_files (shop), 1);
  forget_future (&future);
}

/* --- version 1 ------------------------------------------------------------------------------------ */

static void
make_version_1 (Shop *shop)
{
  g_autofree char *path =
      g_build_filename (g_getenv ("RAKE_SOURCE_ROOT"), "tests", "store", "version-1.sql", NULL);
  g_autofree char *rows = NULL;
  sqlite3 *db;

  assert_true (g_file_get_contents (path, &rows, NULL, NULL));
  assert_int_equal (sqlite3_open (shop->path, &db), SQLITE_OK);
  assert_int_equal (sqlite3_exec (db, rake_schema_1_sql, NULL, NULL, NULL), SQLITE_OK);
  sqlite3_close (db);
  shop_tamper (shop->path, rows);
}

static void
assert_says_what_it_said (RakeJobFile *file)
{
  g_autoptr (RakeJob) job = rake_job_new ();
  g_autoptr (GError) error = NULL;
  const RakeZone *zone;

  rake_job_file_verify (file, &error);
  assert_no_error (error);
  rake_job_file_catch_up (file, job, &error);
  assert_no_error (error);
  assert_int_equal (rake_job_get_n_entries (job), 21);
  assert_int_equal (rake_job_get_n_void (job), 0);
  zone = rake_job_get_face (job, 0)->zones->pdata[1];
  assert_string_equal (zone->name, "Front edge");
  assert_true (zone->edge_factor == 1.5 && zone->coat_factor == 1 && zone->is_hard_to_reach);
}

/* Every hash in the file is of the program that wrote it: verification makes them anew. */
static void
a_file_of_version_1_says_what_it_said (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (sqlite3) db = NULL;

  make_version_1 (shop);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  assert_no_error (error);
  assert_says_what_it_said (file);
  g_clear_pointer (&file, rake_job_file_close);
  db = open_database (shop->path);
  assert_int_equal (ask (db, "PRAGMA user_version"), RAKE_JOB_FILE_VERSION);
  assert_int_equal (ask (db, "SELECT count (*) FROM kind WHERE name = 'rate'"), 1);
}

/* To the byte, and nothing beside it: a reader may not write, and a medium may not be writable. */
static void
a_reader_leaves_a_file_of_version_1_as_it_is (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *before = NULL, *after = NULL;
  gsize n_before, n_after;

  make_version_1 (shop);
  assert_true (g_file_get_contents (shop->path, &before, &n_before, NULL));
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error);
  assert_no_error (error);
  assert_true (rake_job_file_is_read_only (file) && !rake_job_file_is_newer (file));
  assert_says_what_it_said (file);
  g_clear_pointer (&file, rake_job_file_close);
  assert_int_equal (shop_count_files (shop), 1);
  assert_true (g_file_get_contents (shop->path, &after, &n_after, NULL));
  assert_int_equal (n_before, n_after);
  assert_memory_equal (before, after, n_before);
}

/* It is as if it had been made new: what the new version has can be written. */
static void
a_file_of_version_1_takes_new_entries (void **state)
{
  Shop *shop = *state;
  static const char rate[] =
      "{\"kind\":\"rate\",\"grade\":\"P800\",\"removal_um\":2.6,\"common_sd_um\":0.3}\n";
  g_autoptr (RakeJob) job = rake_job_new ();
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GError) error = NULL;

  make_version_1 (shop);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  assert_no_error (error);
  assert_int_equal (rake_exchange_import (file, job, rate, strlen (rate), &error), 1);
  assert_no_error (error);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, shop_open, shop_close)
  const struct CMUnitTest tests[] = {
    TEST (a_migrated_file_keeps_its_entries_and_a_backup),
    TEST (a_step_may_begin_later),
    TEST (a_migration_that_fails_leaves_the_file_as_it_was),
    TEST (a_backup_that_is_there_already_is_kept),
    TEST (a_version_that_never_was_is_refused),
    TEST (a_file_of_version_1_says_what_it_said),
    TEST (a_reader_leaves_a_file_of_version_1_as_it_is),
    TEST (a_file_of_version_1_takes_new_entries),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
