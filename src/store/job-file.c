/* job-file.c - a job file made, opened and closed. */
#include "store-private.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <inttypes.h>
#include <string.h>

G_DEFINE_QUARK (rake-job-file-error-quark, rake_job_file_error)

/* Version 2: rates, and what film, wheels and readings say since. Version 3: photographs. Version 4:
 * defects, hand-overs and claims. */
static const RakeMigration migrations[] = {
  { rake_schema_1_sql, 1,
    "INSERT INTO kind (name, meaning) VALUES "
    "('rate', 'what one pass takes, as the shop has learned')",
    TRUE },
  { rake_schema_2_sql, 2,
    "INSERT INTO kind (name, meaning) VALUES "
    "('photo', 'a photograph, or where it belongs from now on'), "
    "('withdrawal', 'a photograph''s bytes taken away for good'), "
    "('registration', 'where a photograph''s pixels lie on its face')",
    TRUE },
  { rake_schema_3_sql, 3,
    "INSERT INTO kind (name, meaning) VALUES "
    "('defect', 'a fault kept for the record, or more of its story'), "
    "('hand_over', 'the piece handed over: closed for work from then on'), "
    "('claim', 'a complaint after the hand-over, or more of its story')",
    TRUE },
};
#define N_MIGRATIONS G_N_ELEMENTS (migrations)

static RakeClock store_clock;

void
rake_job_file_set_clock (RakeClock clock)
{
  store_clock = clock;
}

gint64
rake_store_get_now_ms (void)
{
  return store_clock != NULL ? store_clock () : g_get_real_time () / 1000;
}

/* --- making ------------------------------------------------------------------------------------- */

static gboolean
fill_new_file (const char *path, GError **error)
{
  g_autoptr (sqlite3) db = rake_database_open (path, SQLITE_OPEN_READWRITE, error);
  g_autoptr (RakeTransaction) transaction = NULL;

  if (db == NULL || !rake_database_run (db, "BEGIN EXCLUSIVE", _ ("make the job file"), error))
    return FALSE;
  transaction = db;
  if (!rake_database_run (db, rake_schema_sql, _ ("make the job file"), error) ||
      !rake_database_run (db, "COMMIT", _ ("make the job file"), error))
    return FALSE;
  g_steal_pointer (&transaction);
  return TRUE;
}

RakeJobFile *
rake_job_file_create (const char *path, GError **error)
{
  g_autofree char *absolute = g_canonicalize_filename (path, NULL);
  g_autofree char *beside = NULL;

  if (g_file_test (absolute, G_FILE_TEST_EXISTS | G_FILE_TEST_IS_SYMLINK))
    {
      g_autofree char *name = g_filename_display_basename (absolute);
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_EXISTS,
                   _ ("there is a file “%s” already"), name);
      return NULL;
    }
  /* A file left half made by a power cut would bear the job's name and be none. */
  beside = rake_file_make_beside (absolute, error);
  if (beside == NULL)
    return NULL;
  if (!fill_new_file (beside, error))
    {
      rake_file_discard (beside);
      return NULL;
    }
  if (!rake_file_move_into_place (beside, absolute, error))
    return NULL;
  return rake_job_file_open (absolute, RAKE_JOB_FILE_WRITE, error);
}

/* --- opening ------------------------------------------------------------------------------------ */

static gboolean
check_is_file (const char *path, GError **error)
{
  g_autofree char *name = g_filename_display_basename (path);
  GStatBuf found;

  if (g_stat (path, &found) != 0)
    {
      gboolean is_hidden = errno == EACCES;
      g_set_error (error, RAKE_JOB_FILE_ERROR,
                   is_hidden ? RAKE_JOB_FILE_ERROR_READ_ONLY : RAKE_JOB_FILE_ERROR_NOT_FOUND,
                   is_hidden ? _ ("you may not read “%s”") : _ ("there is no file “%s”"), name);
      return FALSE;
    }
  if (S_ISREG (found.st_mode) && found.st_size > 0)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB,
               S_ISREG (found.st_mode) ? _ ("“%s” is empty; it is not a job file")
                                       : _ ("“%s” is not a file"),
               name);
  return FALSE;
}

static gboolean
has_log (const char *path)
{
  g_autofree char *log = g_strconcat (path, "-wal", NULL);
  GStatBuf found;

  return g_stat (log, &found) == 0 && found.st_size > 0;
}

/* A file that was copied while it was open says that a log belongs to it. On a medium that cannot
 * be written to there is no making one, and no need: without a log the file is all there is. */
static gboolean
read_application_id (RakeJobFile *self, gint64 *application_id, GError **error)
{
  g_autoptr (GError) cannot = NULL;

  if (rake_database_get_integer (self->db, "PRAGMA application_id", application_id, &cannot))
    return TRUE;
  if (self->is_read_only && !has_log (self->path) &&
      !g_error_matches (cannot, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB) &&
      !g_error_matches (cannot, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_BUSY))
    {
      g_clear_pointer (&self->db, sqlite3_close);
      self->db = rake_database_open_unchanging (self->path, error);
      return self->db != NULL &&
             rake_database_get_integer (self->db, "PRAGMA application_id", application_id, error);
    }
  g_propagate_error (error, g_steal_pointer (&cannot));
  return FALSE;
}

static gboolean
check_newer (RakeJobFile *self, gint64 version, GError **error)
{
  self->is_newer = TRUE;
  if (self->is_read_only)
    return rake_database_check_newer_schema (self->db, error);
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NEWER,
               _ ("the job file is of version %" PRId64
                  ", made by a newer program; this one can read it but not write in it"),
               version);
  return FALSE;
}

/* Who may only read reads a copy that was brought up to date, as the file stood when it was opened. */
static gboolean
check_older (RakeJobFile *self, gint64 version, GError **error)
{
  sqlite3 *copy;

  if (!self->is_read_only)
    return rake_migrate (self->db, self->path, (int) version, RAKE_JOB_FILE_VERSION, migrations,
                         N_MIGRATIONS, NULL, error);
  copy = rake_migrate_copy (self->db, (int) version, RAKE_JOB_FILE_VERSION, migrations,
                            N_MIGRATIONS, NULL, error);
  if (copy == NULL)
    return FALSE;
  sqlite3_close (self->db);
  self->db = copy;
  return TRUE;
}

/* Whether the file is one of ours, before anything in it is believed. */
static gboolean
check_is_ours (RakeJobFile *self, GError **error)
{
  gint64 application_id, version;

  if (!read_application_id (self, &application_id, error))
    return FALSE;
  if (application_id != RAKE_APPLICATION_ID)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_A_JOB,
                   _ ("this is not a job file, but a database of another program"));
      return FALSE;
    }
  if (!rake_database_get_integer (self->db, "PRAGMA user_version", &version, error))
    return FALSE;
  if (version > RAKE_JOB_FILE_VERSION)
    return check_newer (self, version, error);
  if (version < RAKE_JOB_FILE_VERSION && !check_older (self, version, error))
    return FALSE;
  return rake_database_check_schema (self->db, NULL, error);
}

/* Another program that is closing the file holds it for a moment; SQLite does not wait for that. */
static gboolean
start_log (sqlite3 *db, GError **error)
{
  g_autofree char *mode = NULL;

  for (guint i = 0;; i++)
    {
      g_autoptr (GError) cannot = NULL;

      if (rake_database_get_text (db, "PRAGMA journal_mode = WAL", &mode, &cannot))
        break;
      if (i == 100 || !g_error_matches (cannot, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_BUSY))
        {
          g_propagate_error (error, g_steal_pointer (&cannot));
          return FALSE;
        }
      g_usleep (20000);
    }
  if (g_strcmp0 (mode, "wal") == 0)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY,
               _ ("no log can be kept beside the job file; its folder cannot be written to"));
  return FALSE;
}

static gboolean
prepare_to_write (RakeJobFile *self, GError **error)
{
  if (self->is_read_only)
    return TRUE;
  if (sqlite3_db_readonly (self->db, "main") == 1)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY,
                   _ ("you may read the job file but not write to it"));
      return FALSE;
    }
  return start_log (self->db, error) &&
         rake_database_run (self->db, "PRAGMA synchronous = FULL", _ ("open the job file"), error);
}

RakeJobFile *
rake_job_file_open (const char *path, RakeJobFileMode mode, GError **error)
{
  g_autoptr (RakeJobFile) self = g_new0 (RakeJobFile, 1);

  self->path = g_canonicalize_filename (path, NULL);
  self->is_read_only = mode == RAKE_JOB_FILE_READ_ONLY;
  self->data_version = -1;
  self->chain_ends = rake_chain_ends_new ();
  rake_tables_init (self);
  if (!check_is_file (self->path, error))
    return NULL;
  self->db = rake_database_open (
      self->path, self->is_read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE, error);
  if (self->db == NULL || !check_is_ours (self, error) ||
      !rake_database_check_but_photos (self->db, error) || !prepare_to_write (self, error))
    return NULL;
  return g_steal_pointer (&self);
}

/* --- closing ------------------------------------------------------------------------------------ */

/* The last user folds the log back, so that one file can be copied and mailed. While others have it
 * open the two statements fail, at once, and it is left to them. */
static void
fold_log (sqlite3 *db)
{
  sqlite3_busy_timeout (db, 0);
  sqlite3_exec (db, "PRAGMA wal_checkpoint (TRUNCATE)", NULL, NULL, NULL);
  sqlite3_exec (db, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL);
}

void
rake_job_file_close (RakeJobFile *self)
{
  if (self == NULL)
    return;
  rake_tables_clear (self);
  sqlite3_finalize (self->insert_entry);
  sqlite3_finalize (self->select_entries);
  sqlite3_finalize (self->select_data_version);
  if (self->db != NULL && !self->is_read_only)
    fold_log (self->db);
  sqlite3_close (self->db);
  g_hash_table_unref (self->chain_ends);
  g_clear_pointer (&self->passed_over, g_hash_table_unref);
  g_free (self->path);
  g_free (self);
}

/* --- what it is --------------------------------------------------------------------------------- */

const char *
rake_job_file_get_path (const RakeJobFile *self)
{
  return self->path;
}

gboolean
rake_job_file_is_read_only (const RakeJobFile *self)
{
  return self->is_read_only;
}

RakeId
rake_job_file_get_bench (const RakeJobFile *self)
{
  return rake_id_is_nil (self->bench) ? rake_bench_get () : self->bench;
}

void
rake_job_file_set_bench (RakeJobFile *self, RakeId bench)
{
  self->bench = bench;
}

char *
rake_job_file_get_seal (RakeJobFile *self, GError **error)
{
  /* SQLite takes hash from the row that has the largest number. Ids in lower case sort as text in
   * the order of their bytes. */
  static const char *const ends =
      "SELECT bench, max (number), lower (hex (hash)) FROM entry GROUP BY bench ORDER BY bench";
  g_autoptr (GChecksum) sum = g_checksum_new (G_CHECKSUM_SHA256);
  g_autoptr (sqlite3_stmt) row = NULL;
  int result = SQLITE_ERROR;

  if (sqlite3_prepare_v2 (self->db, ends, -1, &row, NULL) == SQLITE_OK)
    while ((result = sqlite3_step (row)) == SQLITE_ROW)
      {
        g_autofree char *line = g_strdup_printf (
            "%s %" G_GINT64_FORMAT " %s\n", (const char *) sqlite3_column_text (row, 0),
            (gint64) sqlite3_column_int64 (row, 1), (const char *) sqlite3_column_text (row, 2));
        g_checksum_update (sum, (const guchar *) line, -1);
      }
  if (result != SQLITE_DONE)
    {
      rake_database_take_error (self->db, _ ("read the job file"), error);
      return NULL;
    }
  return g_strdup (g_checksum_get_string (sum));
}
