/* database.h - the door to SQLite: opening a file that nobody vouches for, and what went wrong.
 *
 * Private to the store layer. */
#pragma once
#include <glib.h>
#include <sqlite3.h>

#define RAKE_APPLICATION_ID 0x52414B45 /* "RAKE" */
#define RAKE_JOB_FILE_VERSION 4

G_DEFINE_AUTOPTR_CLEANUP_FUNC (sqlite3_stmt, sqlite3_finalize)
G_DEFINE_AUTOPTR_CLEANUP_FUNC (sqlite3, sqlite3_close)

/* A statement that is kept: reset, not finalized, at the end of the scope. */
typedef sqlite3_stmt RakeRunningStatement;
void rake_running_statement_stop (RakeRunningStatement *statement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeRunningStatement, rake_running_statement_stop)

/* A transaction that is rolled back at the end of the scope unless stolen after COMMIT. */
typedef sqlite3 RakeTransaction;
void rake_transaction_roll_back (RakeTransaction *db);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeTransaction, rake_transaction_roll_back)

/* The whole of schema.sql, and of what it was in earlier versions. */
extern const char rake_schema_sql[];
extern const char rake_schema_1_sql[];
extern const char rake_schema_2_sql[];
extern const char rake_schema_3_sql[];

/* From now on no other part of this program takes SQLite's locks away by closing a file that it read;
 * see locks.c. Before the first file is opened; again does nothing. */
void rake_database_keep_locks (void);

/* Opens an existing file and sets everything that guards us against what may be in it. Nothing of
 * it has been read yet when this returns.
 *
 * path   absolute
 * flags  SQLITE_OPEN_READWRITE or SQLITE_OPEN_READONLY */
sqlite3 *rake_database_open (const char *path, int flags, GError **error);

/* Like it, for a file on a medium where no log can be kept beside it: taken as it stands. */
sqlite3 *rake_database_open_unchanging (const char *path, GError **error);

/* Runs statements that give no rows. @doing completes "could not …". */
gboolean rake_database_run (sqlite3 *db, const char *sql, const char *doing, GError **error);

/* Prepares a statement that will be kept; NULL with @error set. */
sqlite3_stmt *rake_database_prepare (sqlite3 *db, const char *sql, const char *doing,
                                     GError **error);

/* The first column of the first row, as a number or as text that the caller frees. */
gboolean rake_database_get_integer (sqlite3 *db, const char *sql, gint64 *value, GError **error);
gboolean rake_database_get_text (sqlite3 *db, const char *sql, char **value, GError **error);

/* Sets @error (RAKE_JOB_FILE_ERROR) from the last thing that failed on @db. */
void rake_database_take_error (sqlite3 *db, const char *doing, GError **error);

/* FALSE with NOT_A_JOB when the file's schema is not @schema_sql to the letter; NULL: schema.sql. */
gboolean rake_database_check_schema (sqlite3 *db, const char *schema_sql, GError **error);

/* FALSE with NOT_A_JOB unless every table of schema.sql is there as a plain table with at least our
 * columns, and nothing is there that would run when it is read. For files of a newer version. */
gboolean rake_database_check_newer_schema (sqlite3 *db, GError **error);

/* FALSE with DAMAGED when SQLite itself finds a fault. @pragma is "quick_check" (no indexes) or
 * "integrity_check". */
gboolean rake_database_check_integrity (sqlite3 *db, const char *pragma, GError **error);

/* "quick_check" of every table but those that hold photographs: these may be a thousand times the rest,
 * and are looked at when they are read. */
gboolean rake_database_check_but_photos (sqlite3 *db, GError **error);
