/* migrate.c - an older version's file becomes one of this version, after a backup beside it; or a copy of
 * it does, for a reader, and the file stays as it is.
 *
 * To change the schema: raise RAKE_JOB_FILE_VERSION, and the version that meson.build hands to schema.py;
 * change schema.sql between marks that say since when; add a step to job-file.c. A step must leave the
 * schema to the letter as the next version makes it; the whole migration is one transaction and is taken
 * back otherwise. */
#include "store-private.h"

#include <glib/gstdio.h>
#include <inttypes.h>
#include <string.h>

/* A copy in the file @path, which is there; in "", a file of SQLite's own that goes with it. */
static sqlite3 *
copy (sqlite3 *from, const char *path, GError **error)
{
  g_autoptr (sqlite3) to =
      rake_database_open (path, SQLITE_OPEN_READWRITE | (*path ? 0 : SQLITE_OPEN_CREATE), error);
  sqlite3_backup *backup;
  int result;

  if (to == NULL)
    return NULL;
  backup = sqlite3_backup_init (to, "main", from, "main");
  if (backup == NULL)
    {
      rake_database_take_error (to, _ ("make a backup of the job file"), error);
      return NULL;
    }
  sqlite3_backup_step (backup, -1);
  result = sqlite3_backup_finish (backup);
  /* The copy has the log's mode of the original; as a file at rest it should not. */
  if (result == SQLITE_OK)
    result = sqlite3_exec (to, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL);
  if (result == SQLITE_OK)
    return g_steal_pointer (&to);
  rake_database_take_error (to, _ ("make a backup of the job file"), error);
  return NULL;
}

/* A backup that is there already is from a migration that failed: it is kept as well. */
static gboolean
move_to_free_name (const char *copied, const char *path, int version, GError **error)
{
  for (guint i = 1;; i++)
    {
      g_autofree char *name = i == 1 ? g_strdup_printf ("%s.before-%d", path, version)
                                     : g_strdup_printf ("%s.before-%d.%u", path, version, i);
      if (!g_file_test (name, G_FILE_TEST_EXISTS))
        return rake_file_move_into_place (copied, name, error);
    }
}

static gboolean
back_up (sqlite3 *db, const char *path, int version, GError **error)
{
  g_autofree char *beside = rake_file_make_beside (path, error);
  g_autoptr (sqlite3) copied = NULL;

  if (beside == NULL)
    return FALSE;
  copied = copy (db, beside, error);
  if (copied == NULL)
    {
      rake_file_discard (beside);
      return FALSE;
    }
  g_clear_pointer (&copied, sqlite3_close);
  return move_to_free_name (beside, path, version, error);
}

/* --- making anew ---------------------------------------------------------------------------------- */

/* The text of something in the schema; NULL when there is none of that name. */
static char *
find_text (sqlite3 *db, const char *name)
{
  g_autoptr (sqlite3_stmt) row = NULL;

  if (sqlite3_prepare_v2 (db, "SELECT sql FROM sqlite_schema WHERE name = ?1", -1, &row, NULL) !=
          SQLITE_OK ||
      sqlite3_bind_text (row, 1, name, -1, SQLITE_STATIC) != SQLITE_OK ||
      sqlite3_step (row) != SQLITE_ROW)
    return NULL;
  return g_strdup ((const char *) sqlite3_column_text (row, 0));
}

/* ""a", "b"": the columns of a table, which the table of the next version has too. */
static char *
list_columns (sqlite3 *db, const char *table, GError **error)
{
  g_autofree char *sql = g_strdup_printf (
      "SELECT group_concat ('\"' || name || '\"', ', ') FROM pragma_table_info ('%s')", table);
  char *columns = NULL;

  rake_database_get_text (db, sql, &columns, error);
  return columns;
}

static gboolean
rebuild_table (sqlite3 *db, const char *table, const char *text, GError **error)
{
  g_autofree char *columns = list_columns (db, table, error), *sql = NULL;

  if (columns == NULL)
    return FALSE;
  sql = g_strdup_printf ("CREATE TEMP TABLE kept_rows AS SELECT %s FROM main.\"%s\"; "
                         "DROP TABLE main.\"%s\"; %s; "
                         "INSERT INTO main.\"%s\" (%s) SELECT %s FROM temp.kept_rows; "
                         "DROP TABLE temp.kept_rows",
                         columns, table, table, text, table, columns, columns);
  return rake_database_run (db, sql, _ ("bring the job file up to date"), error);
}

/* One table or trigger of the next version. A table's triggers go with it and are made after all
 * tables are. */
static gboolean
rebuild_one (sqlite3 *db, const char *name, const char *text, GError **error)
{
  g_autofree char *found = find_text (db, name);

  if (found == NULL)
    return rake_database_run (db, text, _ ("bring the job file up to date"), error);
  return g_str_equal (found, text) || rebuild_table (db, name, text, error);
}

static gboolean
rebuild (sqlite3 *db, const char *schema_sql, GError **error)
{
  g_autoptr (sqlite3) next = NULL;
  g_autoptr (sqlite3_stmt) rows = NULL;

  if (sqlite3_open_v2 (":memory:", &next, SQLITE_OPEN_READWRITE | SQLITE_OPEN_MEMORY, NULL) !=
          SQLITE_OK ||
      sqlite3_exec (next, schema_sql, NULL, NULL, NULL) != SQLITE_OK ||
      sqlite3_prepare_v2 (next,
                          "SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL "
                          "ORDER BY type = 'trigger'",
                          -1, &rows, NULL) != SQLITE_OK)
    g_error ("the schema does not run: %s", sqlite3_errmsg (next));
  while (sqlite3_step (rows) == SQLITE_ROW)
    if (!rebuild_one (db, (const char *) sqlite3_column_text (rows, 0),
                      (const char *) sqlite3_column_text (rows, 1), error))
      return FALSE;
  return TRUE;
}

/* --- steps ---------------------------------------------------------------------------------------- */

static gboolean
run_step (sqlite3 *db, const RakeMigration *step, const char *next_schema_sql, GError **error)
{
  if (step->rebuilds && !rebuild (db, next_schema_sql, error))
    return FALSE;
  return step->sql == NULL ||
         rake_database_run (db, step->sql, _ ("bring the job file up to date"), error);
}

/* @schema_sql is that of the version @to. */
static gboolean
run_steps (sqlite3 *db, int from, int to, const RakeMigration *steps, guint n_steps,
           const char *schema_sql, GError **error)
{
  for (guint i = 0; i < n_steps; i++)
    if (steps[i].from >= from && steps[i].from < to)
      {
        gboolean is_last = steps[i].from + 1 == to;

        if (!run_step (db, &steps[i], is_last ? schema_sql : steps[i + 1].schema_sql, error))
          return FALSE;
      }
  return TRUE;
}

static gboolean
check_references (sqlite3 *db, GError **error)
{
  gint64 n_broken;

  if (!rake_database_get_integer (db, "SELECT count (*) FROM pragma_foreign_key_check", &n_broken,
                                  error))
    return FALSE;
  if (n_broken == 0)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("the job file could not be brought up to date: %" PRId64
                  " of its rows speak of something that is not there"),
               n_broken);
  return FALSE;
}

static gboolean
migrate_inside (sqlite3 *db, const char *path, int from, int to, const RakeMigration *steps,
                guint n_steps, const char *schema_sql, GError **error)
{
  g_autofree char *set_version = g_strdup_printf ("PRAGMA user_version = %d", to);

  return run_steps (db, from, to, steps, n_steps, schema_sql != NULL ? schema_sql : rake_schema_sql,
                    error) &&
         rake_database_run (db, set_version, _ ("bring the job file up to date"), error) &&
         rake_database_check_schema (db, schema_sql, error) && check_references (db, error);
}

static const RakeMigration *
find_step (int from, const RakeMigration *steps, guint n_steps)
{
  for (guint i = 0; i < n_steps; i++)
    if (steps[i].from == from)
      return &steps[i];
  return NULL;
}

static gboolean
migrate_in_one (sqlite3 *db, const char *path, int from, int to, const RakeMigration *steps,
                guint n_steps, const char *schema_sql, GError **error)
{
  g_autoptr (RakeTransaction) transaction = NULL;

  if (!rake_database_run (db, "BEGIN IMMEDIATE", _ ("bring the job file up to date"), error))
    return FALSE;
  transaction = db;
  if (!migrate_inside (db, path, from, to, steps, n_steps, schema_sql, error) ||
      !rake_database_run (db, "COMMIT", _ ("bring the job file up to date"), error))
    return FALSE;
  g_steal_pointer (&transaction);
  return TRUE;
}

gboolean
rake_migrate (sqlite3 *db, const char *path, int from, int to, const RakeMigration *steps,
              guint n_steps, const char *schema_sql, GError **error)
{
  const RakeMigration *first = find_step (from, steps, n_steps);
  gboolean is_done;

  if (first == NULL)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB,
                   _ ("this is not a job file: there never was a version %d"), from);
      return FALSE;
    }
  if (!rake_database_check_schema (db, first->schema_sql, error) ||
      !rake_database_check_integrity (db, "quick_check", error) ||
      (path != NULL && !back_up (db, path, from, error)))
    return FALSE;
  /* Tables that are rebuilt are for a moment not there to be referred to; checked at the end. */
  sqlite3_db_config (db, SQLITE_DBCONFIG_ENABLE_FKEY, 0, NULL);
  is_done = migrate_in_one (db, path, from, to, steps, n_steps, schema_sql, error);
  sqlite3_db_config (db, SQLITE_DBCONFIG_ENABLE_FKEY, 1, NULL);
  return is_done;
}

sqlite3 *
rake_migrate_copy (sqlite3 *db, int from, int to, const RakeMigration *steps, guint n_steps,
                   const char *schema_sql, GError **error)
{
  g_autoptr (sqlite3) copied = copy (db, "", error);

  return copied != NULL && rake_migrate (copied, NULL, from, to, steps, n_steps, schema_sql, error)
             ? g_steal_pointer (&copied)
             : NULL;
}
