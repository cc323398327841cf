/* test-migrate.c - an older file is brought up to date after a backup, or is left as it was. There is
 * no older version yet, so the steps are made up. */
#include "store-support.h"

#include "store-private.h"

#include <string.h>

#define PHOTO "CREATE TABLE photo (arrival INTEGER PRIMARY KEY, hash BLOB NOT NULL) STRICT;"
#define ROOM "CREATE TABLE room (arrival INTEGER PRIMARY KEY, celsius REAL) STRICT;"

typedef struct
{
  char *with_photo, *with_both;
  RakeMigration steps[2];
} Future;

/* Version 2 has photographs, version 3 the room's temperature as well. */
static void
see_future (Future *future)
{
  future->with_photo = g_strconcat (rake_schema_sql, PHOTO, NULL);
  future->with_both = g_strconcat (rake_schema_sql, PHOTO, ROOM, NULL);
  future->steps[0] = (RakeMigration){ rake_schema_sql, 1, PHOTO };
  future->steps[1] = (RakeMigration){ future->with_photo, 2, ROOM };
}

static void
forget_future (Future *future)
{
  g_free (future->with_photo);
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
  g_autofree char *backup = g_strconcat (shop->path, ".before-1", NULL);
  g_autofree char *was = g_strconcat (shop->path, ".was", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (sqlite3) db = NULL;
  Future future;

  see_future (&future);
  make_job (shop);
  shop_copy (shop->path, was);
  db = open_database (shop->path);
  rake_migrate (db, shop->path, 1, 3, future.steps, 2, future.with_both, &error);
  assert_no_error (error);
  assert_int_equal (ask (db, "PRAGMA user_version"), 3);
  assert_int_equal (ask (db, "SELECT count (*) FROM entry"), 4);
  assert_int_equal (ask (db, "SELECT count (*) FROM photo"), 0);
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
  shop_tamper (shop->path, PHOTO "PRAGMA user_version = 2");
  db = open_database (shop->path);
  rake_migrate (db, shop->path, 2, 3, future.steps, 2, future.with_both, &error);
  assert_no_error (error);
  assert_int_equal (ask (db, "PRAGMA user_version"), 3);
  forget_future (&future);
}

/* Steps that fail half way, or do not lead where they should; files that are not what they say. */
static void
a_migration_that_fails_leaves_the_file_as_it_was (void **state)
{
  static const struct { const char *tamper, *sql, *says; } cases[] = {
    { "", PHOTO "CREATE TABLE pass (a)", "already exists" },
    { "", "CREATE TABLE photograph (a)", "not as it should be" },
    { "", PHOTO "INSERT INTO pass_zones VALUES (77, 0, '017f22e2-79b0-7cc3-98c4-dc0c0c07398f')",
      "speak of something" },
    { "CREATE TRIGGER more AFTER INSERT ON photo_bytes BEGIN SELECT 1; END", PHOTO, "more" },
  };
  Shop *shop = *state;
  g_autofree char *was = g_strconcat (shop->path, ".was", NULL);
  Future future;

  see_future (&future);
  make_job (shop);
  shop_copy (shop->path, was);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      const RakeMigration step = { rake_schema_sql, 1, cases[i].sql };
      g_autofree char *before = NULL, *after = NULL;
      gsize n_before, n_after;
      g_autoptr (GError) error = NULL;
      g_autoptr (sqlite3) db = NULL;

      shop_copy (was, shop->path);
      shop_tamper (shop->path, cases[i].tamper);
      g_file_get_contents (shop->path, &before, &n_before, NULL);
      db = open_database (shop->path);
      if (rake_migrate (db, shop->path, 1, 2, &step, 1, future.with_photo, &error))
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
  g_autofree char *backup = g_strconcat (shop->path, ".before-1", NULL);
  g_autofree char *second = g_strconcat (shop->path, ".before-1.2", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (sqlite3) db = NULL;
  Future future;

  see_future (&future);
  make_job (shop);
  g_file_set_contents (backup, "dear", 4, NULL);
  db = open_database (shop->path);
  rake_migrate (db, shop->path, 1, 2, future.steps, 2, future.with_photo, &error);
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
  assert_false (rake_migrate (db, shop->path, 0, 2, future.steps, 2, future.with_photo, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB,
                   "never was a version 0");
  assert_int_equal (shop_count_files (shop), 1);
  forget_future (&future);
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
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
