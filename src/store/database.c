/* database.c - opening a database that nobody vouches for.
 *
 * The measures are those of SQLite's own page for files of unknown origin: defensive mode, nothing
 * in the schema trusted, cell sizes checked, low limits, a check of the pages before the first read.
 * Beyond them the schema must be ours to the letter, so no trigger or view of a stranger's runs. */
#include "store-private.h"

#include <errno.h>
#include <string.h>

/* A photograph is the largest thing a job file holds; the limit is on its whole row. */
#define MAX_VALUE_BYTES (RAKE_PHOTO_MAX_BYTES + 65536)
#define BUSY_TIMEOUT_MS 5000

void
rake_running_statement_stop (RakeRunningStatement *statement)
{
  sqlite3_reset (statement);
  sqlite3_clear_bindings (statement);
}

void
rake_transaction_roll_back (RakeTransaction *db)
{
  /* Some failures have rolled back already. */
  if (!sqlite3_get_autocommit (db))
    sqlite3_exec (db, "ROLLBACK", NULL, NULL, NULL);
}

static RakeJobFileError
get_error_code (int code)
{
  switch (code & 0xff)
    {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return RAKE_JOB_FILE_ERROR_BUSY;
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      return RAKE_JOB_FILE_ERROR_READ_ONLY;
    case SQLITE_NOTADB:
      return RAKE_JOB_FILE_ERROR_NOT_A_JOB;
    case SQLITE_FULL:
    case SQLITE_IOERR:
    case SQLITE_CANTOPEN:
    case SQLITE_PROTOCOL:
      return RAKE_JOB_FILE_ERROR_DISK;
    default:
      return RAKE_JOB_FILE_ERROR_DAMAGED;
    }
}

void
rake_database_take_error (sqlite3 *db, const char *doing, GError **error)
{
  int code = sqlite3_extended_errcode (db);
  RakeJobFileError error_code = get_error_code (code);
  /* A page that cannot be read in full is a torn file rather than a failing disk. */
  if (code == SQLITE_IOERR_SHORT_READ)
    error_code = RAKE_JOB_FILE_ERROR_DAMAGED;

  switch (error_code)
    {
    case RAKE_JOB_FILE_ERROR_BUSY:
      g_set_error (error, RAKE_JOB_FILE_ERROR, error_code,
                   _ ("could not %s: another program is writing to the job file; try again"),
                   doing);
      break;
    case RAKE_JOB_FILE_ERROR_READ_ONLY:
      g_set_error (error, RAKE_JOB_FILE_ERROR, error_code,
                   _ ("could not %s: the job file or its folder cannot be written to"), doing);
      break;
    case RAKE_JOB_FILE_ERROR_DISK:
      if ((code & 0xff) == SQLITE_FULL)
        g_set_error (error, RAKE_JOB_FILE_ERROR, error_code,
                     _ ("could not %s: the disk is full; nothing was written"), doing);
      else
        g_set_error (error, RAKE_JOB_FILE_ERROR, error_code,
                     _ ("could not %s: the disk does not obey (%s, code %d)"), doing,
                     sqlite3_errmsg (db), code);
      break;
    case RAKE_JOB_FILE_ERROR_NOT_A_JOB:
      g_set_error (error, RAKE_JOB_FILE_ERROR, error_code, _ ("this is not a job file"));
      break;
    default:
      g_set_error (error, RAKE_JOB_FILE_ERROR, error_code, _ ("could not %s: the file says “%s”"),
                   doing, sqlite3_errmsg (db));
    }
}

static gboolean
guard (sqlite3 *db, GError **error)
{
  static const struct { int what, on; } switches[] = {
    { SQLITE_DBCONFIG_DEFENSIVE, 1 },       { SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0 },
    { SQLITE_DBCONFIG_ENABLE_FKEY, 1 },     { SQLITE_DBCONFIG_ENABLE_TRIGGER, 1 },
    { SQLITE_DBCONFIG_ENABLE_VIEW, 0 },     { SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0 },
    { SQLITE_DBCONFIG_WRITABLE_SCHEMA, 0 }, { SQLITE_DBCONFIG_ENABLE_FTS3_TOKENIZER, 0 },
    { SQLITE_DBCONFIG_DQS_DML, 0 },         { SQLITE_DBCONFIG_DQS_DDL, 0 },
  };
  static const struct { int what, limit; } limits[] = {
    { SQLITE_LIMIT_LENGTH, MAX_VALUE_BYTES }, { SQLITE_LIMIT_SQL_LENGTH, 1000000 },
    { SQLITE_LIMIT_COLUMN, 100 },             { SQLITE_LIMIT_EXPR_DEPTH, 50 },
    { SQLITE_LIMIT_COMPOUND_SELECT, 5 },      { SQLITE_LIMIT_VDBE_OP, 25000 },
    { SQLITE_LIMIT_FUNCTION_ARG, 8 },         { SQLITE_LIMIT_ATTACHED, 0 },
    { SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 50 }, { SQLITE_LIMIT_VARIABLE_NUMBER, 100 },
    { SQLITE_LIMIT_TRIGGER_DEPTH, 5 },        { SQLITE_LIMIT_WORKER_THREADS, 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (switches); i++)
    sqlite3_db_config (db, switches[i].what, switches[i].on, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (limits); i++)
    sqlite3_limit (db, limits[i].what, limits[i].limit);
  sqlite3_busy_timeout (db, BUSY_TIMEOUT_MS);
  /* None of these reads the file; PRAGMA synchronous would. */
  return rake_database_run (db,
                            "PRAGMA cell_size_check = ON; PRAGMA temp_store = MEMORY;"
                            "PRAGMA mmap_size = 0; PRAGMA secure_delete = ON",
                            _ ("open the job file"), error);
}

static sqlite3 *
open_guarded (const char *name, int flags, GError **error)
{
  g_autoptr (sqlite3) db = NULL;

  rake_database_keep_locks ();
  /* NOMUTEX: a handle is used by one thread at a time, and every column read would lock. */
  if (sqlite3_open_v2 (name, &db, flags | SQLITE_OPEN_EXRESCODE | SQLITE_OPEN_NOMUTEX, NULL) !=
      SQLITE_OK)
    {
      if (sqlite3_system_errno (db) == EACCES || sqlite3_system_errno (db) == EPERM)
        g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY,
                     _ ("you may not read this file"));
      else
        rake_database_take_error (db, _ ("open the job file"), error);
      return NULL;
    }
  return guard (db, error) ? g_steal_pointer (&db) : NULL;
}

sqlite3 *
rake_database_open (const char *path, int flags, GError **error)
{
  return open_guarded (path, flags, error);
}

sqlite3 *
rake_database_open_unchanging (const char *path, GError **error)
{
  g_autofree char *uri = g_filename_to_uri (path, NULL, error);
  g_autofree char *unchanging = NULL;

  if (uri == NULL)
    return NULL;
  unchanging = g_strconcat (uri, "?immutable=1", NULL);
  return open_guarded (unchanging, SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, error);
}

gboolean
rake_database_run (sqlite3 *db, const char *sql, const char *doing, GError **error)
{
  if (sqlite3_exec (db, sql, NULL, NULL, NULL) == SQLITE_OK)
    return TRUE;
  rake_database_take_error (db, doing, error);
  return FALSE;
}

sqlite3_stmt *
rake_database_prepare (sqlite3 *db, const char *sql, const char *doing, GError **error)
{
  sqlite3_stmt *statement = NULL;

  if (sqlite3_prepare_v3 (db, sql, -1, SQLITE_PREPARE_PERSISTENT, &statement, NULL) != SQLITE_OK)
    rake_database_take_error (db, doing, error);
  return statement;
}

static sqlite3_stmt *
step_once (sqlite3 *db, const char *sql, GError **error)
{
  g_autoptr (sqlite3_stmt) statement = NULL;

  if (sqlite3_prepare_v2 (db, sql, -1, &statement, NULL) != SQLITE_OK ||
      sqlite3_step (statement) != SQLITE_ROW)
    {
      rake_database_take_error (db, _ ("read the job file"), error);
      return NULL;
    }
  return g_steal_pointer (&statement);
}

gboolean
rake_database_get_integer (sqlite3 *db, const char *sql, gint64 *value, GError **error)
{
  g_autoptr (sqlite3_stmt) statement = step_once (db, sql, error);

  if (statement == NULL)
    return FALSE;
  *value = sqlite3_column_int64 (statement, 0);
  return TRUE;
}

gboolean
rake_database_get_text (sqlite3 *db, const char *sql, char **value, GError **error)
{
  g_autoptr (sqlite3_stmt) statement = step_once (db, sql, error);

  if (statement == NULL)
    return FALSE;
  *value = g_strdup ((const char *) sqlite3_column_text (statement, 0));
  return TRUE;
}

/* --- the schema ------------------------------------------------------------------------------ */

/* One line for each thing in the schema, sorted by name. */
static GPtrArray *
list_schema (sqlite3 *db, GError **error)
{
  g_autoptr (GPtrArray) things = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (sqlite3_stmt) statement = NULL;
  int result;

  if (sqlite3_prepare_v2 (db, "SELECT name, type, tbl_name, sql FROM sqlite_schema ORDER BY name",
                          -1, &statement, NULL) != SQLITE_OK)
    {
      rake_database_take_error (db, _ ("read the job file"), error);
      return NULL;
    }
  while ((result = sqlite3_step (statement)) == SQLITE_ROW && things->len < 10000)
    {
      GString *thing = g_string_new (NULL);
      for (int i = 0; i < 4; i++)
        {
          const char *text = (const char *) sqlite3_column_text (statement, i);
          g_string_append (thing, text != NULL ? text : "");
          g_string_append_c (thing, '\n');
        }
      g_ptr_array_add (things, g_string_free (thing, FALSE));
    }
  if (result != SQLITE_DONE)
    {
      rake_database_take_error (db, _ ("read the job file"), error);
      return NULL;
    }
  return g_steal_pointer (&things);
}

/* What a schema makes when it is run. */
static GPtrArray *
make_schema (const char *schema_sql)
{
  g_autoptr (sqlite3) db = NULL;
  GPtrArray *things;

  if (sqlite3_open_v2 (":memory:", &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_MEMORY, NULL) !=
          SQLITE_OK ||
      sqlite3_exec (db, schema_sql, NULL, NULL, NULL) != SQLITE_OK)
    g_error ("the schema does not run: %s", sqlite3_errmsg (db));
  things = list_schema (db, NULL);
  g_assert (things != NULL);
  return things;
}

/* What schema.sql makes, for the life of the process. */
static GPtrArray *
get_our_schema (void)
{
  static gsize is_made = 0;
  static GPtrArray *ours;

  if (g_once_init_enter (&is_made))
    {
      ours = make_schema (rake_schema_sql);
      g_once_init_leave (&is_made, 1);
    }
  return ours;
}

gboolean
rake_database_check_schema (sqlite3 *db, const char *schema_sql, GError **error)
{
  g_autoptr (GPtrArray) wanted =
      schema_sql != NULL ? make_schema (schema_sql) : g_ptr_array_ref (get_our_schema ());
  g_autoptr (GPtrArray) found = list_schema (db, error);

  if (found == NULL)
    return FALSE;
  for (guint i = 0; i < MAX (wanted->len, found->len); i++)
    {
      const char *right = i < wanted->len ? wanted->pdata[i] : "";
      const char *given = i < found->len ? found->pdata[i] : "";
      if (strcmp (right, given) != 0)
        {
          const char *named = *given != '\0' ? given : right;
          g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB,
                       _ ("this is not a job file, or it was altered: “%.*s” in it is not as it "
                          "should be"),
                       (int) MIN (strcspn (named, "\n"), 60), named);
          return FALSE;
        }
    }
  return TRUE;
}

/* Whether @table is plain and has at least the columns that @ours has. */
static gboolean
check_newer_table (sqlite3 *db, sqlite3_stmt *columns, const char *table, GError **error)
{
  g_autoptr (RakeRunningStatement) running = columns;

  if (sqlite3_bind_text (columns, 1, table, -1, SQLITE_STATIC) != SQLITE_OK ||
      sqlite3_step (columns) != SQLITE_ROW)
    {
      rake_database_take_error (db, _ ("read the job file"), error);
      return FALSE;
    }
  if (sqlite3_column_int (columns, 0) > 0)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NEWER,
               _ ("the file is of a newer version in which “%s” has changed; this version cannot "
                  "read it"),
               table);
  return FALSE;
}

gboolean
rake_database_check_newer_schema (sqlite3 *db, GError **error)
{
  GPtrArray *ours = get_our_schema ();
  g_autoptr (sqlite3_stmt) plain = NULL;
  gint64 n_odd;

  if (!rake_database_get_integer (db,
                                  "SELECT count (*) FROM sqlite_schema WHERE type = 'view' OR "
                                  "sql LIKE 'create virtual%'",
                                  &n_odd, error))
    return FALSE;
  if (n_odd > 0)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB,
                   _ ("this is not a job file: it has views or tables that are programs"));
      return FALSE;
    }
  /* Hidden columns are computed ones: they would run when read. */
  plain = rake_database_prepare (db,
                                 "SELECT (SELECT count (*) FROM pragma_table_xinfo (?1)) > 0 AND"
                                 " NOT EXISTS (SELECT 1 FROM pragma_table_xinfo (?1) WHERE hidden)",
                                 _ ("read the job file"), error);
  if (plain == NULL)
    return FALSE;
  for (guint i = 0; i < ours->len; i++)
    {
      g_auto (GStrv) thing = g_strsplit (ours->pdata[i], "\n", 3);
      if (strcmp (thing[1], "table") == 0 && !check_newer_table (db, plain, thing[0], error))
        return FALSE;
    }
  return TRUE;
}

/* @pragma gives "ok" in its first row, or says what is wrong. */
static gboolean
check_answer (sqlite3 *db, const char *pragma, GError **error)
{
  g_autofree char *answer = NULL;

  if (!rake_database_get_text (db, pragma, &answer, error))
    {
      /* What cannot even be checked is damaged, unless the disk is to blame. */
      if (error != NULL &&
          g_error_matches (*error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB))
        (*error)->code = RAKE_JOB_FILE_ERROR_DAMAGED;
      return FALSE;
    }
  if (g_strcmp0 (answer, "ok") == 0)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("the job file is damaged: %s"), answer != NULL ? answer : "?");
  return FALSE;
}

gboolean
rake_database_check_integrity (sqlite3 *db, const char *pragma, GError **error)
{
  g_autofree char *sql = g_strdup_printf ("PRAGMA %s (1)", pragma);

  return check_answer (db, sql, error);
}

/* Names come from a stranger's file, but as literals of SQL they are harmless. */
gboolean
rake_database_check_but_photos (sqlite3 *db, GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  int result = SQLITE_ERROR;

  if (sqlite3_prepare_v2 (db,
                          "SELECT printf ('PRAGMA quick_check (%Q)', name) FROM sqlite_schema "
                          "WHERE type = 'table' AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\' AND "
                          "name NOT IN ('photo_bytes', 'photo_working', 'photo_thumbnail')",
                          -1, &row, NULL) == SQLITE_OK)
    while ((result = sqlite3_step (row)) == SQLITE_ROW)
      if (!check_answer (db, (const char *) sqlite3_column_text (row, 0), error))
        return FALSE;
  if (result == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (db, _ ("read the job file"), error);
  return FALSE;
}
