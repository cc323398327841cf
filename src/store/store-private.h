/* store-private.h - the job file's inside, shared by the files of the store layer. */
#pragma once
#include "rakelight-config.h"
#include "database.h"

#include <rakelight/job-file.h>
#include <rakelight/photo-store.h>

#define GETTEXT_PACKAGE RAKE_GETTEXT_DOMAIN
#include <glib/gi18n-lib.h>

/* A shape of 260 000 points; schema.sql has the same limit. */
#define RAKE_SHAPE_MAX_BYTES 4194304

#define RAKE_MAX_LISTS 4

/* The rows of one table as a reading meets them: the statement stands at the first row not yet
 * taken, or has ended. */
typedef struct
{
  const RakeField *fields; /* of the body, or of one item of the list */
  const RakeField *list;   /* the list field; NULL for the body */
  char *name;              /* of the table */
  sqlite3_stmt *insert, *select;
  gboolean is_started, is_at_row;
} RakeTable;

typedef struct
{
  RakeTable body;
  RakeTable lists[RAKE_MAX_LISTS];
  guint n_lists;
} RakeKindTables;

typedef struct
{
  RakeId bench;
  gint64 number, written_ms;
  guint8 hash[32];
} RakeChainEnd;

struct _RakeJobFile
{
  char *path; /* absolute */
  sqlite3 *db;
  gboolean is_read_only, is_newer, is_reading;
  GHashTable *passed_over; /* of a newer file: ids of entries not known here; NULL: none */
  RakeId bench; /* nil: this machine's */

  /* What this handle has given out. */
  gint64 last_arrival;
  gint64 latest_ms;
  GHashTable *chain_ends; /* RakeChainEnd, by its bench */
  gint64 data_version;    /* -1 before the first reading */

  RakeKindTables kinds[RAKE_N_ENTRY_KINDS];
  sqlite3_stmt *begin, *begin_immediate, *commit;
  sqlite3_stmt *insert_entry, *select_entries, *select_data_version;
};

/* The clock that entries are stamped with: milliseconds since 1970, UTC. */
gint64 rake_store_get_now_ms (void);

/* This machine's bench, from the user's state folder. */
RakeId rake_bench_get (void);

/* --- newer.c --------------------------------------------------------------------------------- */

/* Remembers an entry of a newer file that is not known here. */
void rake_newer_pass_over (RakeJobFile *self, const RakeId *id);

/* Takes the entries that speak of one passed over out of @entries, and passes them over too. */
void rake_newer_drop_unknown (RakeJobFile *self, GPtrArray *entries);

/* What would be damage in a file of our version is, in a newer one, something new. FALSE always. */
gboolean rake_newer_explain (const RakeJobFile *self, GError **error);

/* --- tables.c -------------------------------------------------------------------------------- */

/* Fills in names and fields of every kind's tables; prepares nothing. */
void rake_tables_init (RakeJobFile *self);
void rake_tables_clear (RakeJobFile *self);

/* The kept statement, prepared at first use. Inserting binds arrival, position (lists) and the
 * fields that are not lists in order; selecting gives the same columns of what arrived after ?1. */
sqlite3_stmt *rake_table_get_insert (RakeJobFile *self, RakeTable *table, GError **error);
sqlite3_stmt *rake_table_get_select (RakeJobFile *self, RakeTable *table, GError **error);

/* Where a field's value lies in a body or a record. */
#define RAKE_FIELD_AT(record, field, type) (*(type *) ((guint8 *) (record) + (field)->offset))
gpointer rake_entry_get_body (const RakeEntry *entry);

/* A list field's list, made if there is none yet. */
gpointer rake_field_take_list (const RakeField *field, gpointer record);
guint rake_field_get_n_items (const RakeField *field, gconstpointer record);

/* --- job-file-read.c ------------------------------------------------------------------------- */

/* Given every entry in order of arrival; the reader keeps no reference. FALSE stops. */
typedef gboolean (*RakeTakeEntry) (RakeEntry *entry, gint64 arrival, gpointer user_data,
                                   GError **error);

/* Reads the entries that arrived after @after, within a transaction of the caller's. Every field is
 * checked; chains are not. Kinds that a newer version added are passed over. */
gboolean rake_job_file_read_entries (RakeJobFile *self, gint64 after, RakeTakeEntry take,
                                     gpointer user_data, GError **error);

/* A transaction in which everything read is of one moment. Close it with rake_job_file_end_read()
 * or let RakeTransaction do it. */
gboolean rake_job_file_begin_read (RakeJobFile *self, GError **error);

/* The job takes them all in at once, in its own order; FALSE with DAMAGED, and the job as before, when
 * one does not fit. */
gboolean rake_job_apply_entries (RakeJob *job, GPtrArray *entries, GError **error);

/* What is wrong with something read is the file's fault, whatever domain found it. */
void rake_error_make_damaged (GError **error);

/* The catching up, within a transaction. */
gboolean rake_job_file_catch_up_inside (RakeJobFile *self, RakeJob *job, GError **error);

/* Makes the chain ends anew from the job, after entries were followed that did not stay. */
void rake_job_file_restore_chain_ends (RakeJobFile *self, RakeJob *job);

/* Every entry of the file, in the order of the job: an array of RakeEntry. */
GPtrArray *rake_job_file_read_all (RakeJobFile *self, GError **error);

/* (written_ms, bench, number); for g_ptr_array_sort(). */
int rake_entry_compare_pointers (gconstpointer a, gconstpointer b);

/* FALSE with DAMAGED when @entry is not the next of its bench's chain by number, previous hash and
 * time; otherwise it becomes the chain's end. */
gboolean rake_chain_follow (GHashTable *chain_ends, const RakeEntry *entry, GError **error);
GHashTable *rake_chain_ends_new (void);

/* --- job-file-write.c ------------------------------------------------------------------------ */

/* One entry to be added. */
typedef struct
{
  RakeEntry *entry;
  gboolean is_sealed;    /* has its head and hash; else it is given them */
  gboolean keeps_head;   /* keeps time, who and gesture that it has, the time as far as it can */
  guint line;            /* in the text it came from, 0 for none: named in errors */
} RakeAddition;

/* Where the bytes of photographs come from that are not in the file yet. */
typedef struct
{
  /* Fills in @bytes, or leaves them empty when it has none of that hash; FALSE stops. */
  gboolean (*give) (const char *sha256, gpointer user_data, RakePhotoBytes *bytes, GError **error);
  gpointer user_data;
  gboolean may_lack; /* sealed entries are taken in without */
} RakePhotoSource;

/* Adds them all or none: the sealed ones, then the others, each in their order.
 *
 * n_additions  1 or more
 * photos  the bytes of photographs among them; NULL: none, and drafts of photographs are refused
 * n_added  out, may be NULL: those that were not there yet */
gboolean rake_job_file_add (RakeJobFile *self, RakeJob *job, const RakeAddition *additions,
                            guint n_additions, const RakePhotoSource *photos, const char *who,
                            guint *n_added, GError **error);

/* --- photo-store.c ------------------------------------------------------------------------------- */

/* 64 hexadecimal digits to the 32 bytes that they stand for. */
void rake_photo_hash_from_text (const char *sha256, guint8 hash[32]);

/* Within a transaction; NULL or empty copies are passed over. */
gboolean rake_photo_put_copies (RakeJobFile *self, const char *sha256, const RakePhotoCopy *working,
                                const RakePhotoCopy *thumbnail, GError **error);

/* --- photo-store-write.c ------------------------------------------------------------------------- */

/* Sees to it, within a transaction, that the file has the bytes of a photo entry that @job has. */
gboolean rake_photo_take (RakeJobFile *self, const RakeJob *job, const RakeEntry *entry,
                          gboolean is_sealed, const RakePhotoSource *source, GError **error);

/* Takes the bytes and copies out, within a transaction. They stand in the log until it is folded. */
gboolean rake_photo_erase (RakeJobFile *self, const RakeJob *job, const RakeEntry *withdrawal,
                           GError **error);

/* --- job-file-verify.c ----------------------------------------------------------------------- */

/* Checks that zones tile what they were made of. Knows the zones it was shown before. */
typedef struct _RakeTiling RakeTiling;
RakeTiling *rake_tiling_new (void);
void rake_tiling_free (RakeTiling *tiling);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeTiling, rake_tiling_free)
gboolean rake_tiling_check (RakeTiling *tiling, const RakeEntry *entry, GError **error);

/* --- migrate.c ------------------------------------------------------------------------------- */

typedef struct
{
  const char *schema_sql; /* what a file of the version @from is, to the letter */
  int from;               /* the step leads from it to the next version */
  const char *sql;        /* run inside the one transaction of the migration; may be NULL */
  gboolean rebuilds;      /* before it: what the next version has anew or with another text is made
                             as there, and its rows are put in again, column by name */
} RakeMigration;

/* Brings @db, of version @from, to version @to, after a backup beside @path. On FALSE the file is as
 * it was.
 *
 * path        NULL: without a backup
 * steps       one for each version from @from to @to, in order; more may stand around them
 * schema_sql  what the schema must be at the end, to the letter; NULL: ours */
gboolean rake_migrate (sqlite3 *db, const char *path, int from, int to, const RakeMigration *steps,
                       guint n_steps, const char *schema_sql, GError **error);

/* The same done to a copy of @db that nobody else sees and that is gone when it is closed. */
sqlite3 *rake_migrate_copy (sqlite3 *db, int from, int to, const RakeMigration *steps,
                            guint n_steps, const char *schema_sql, GError **error);

/* --- files.c ---------------------------------------------------------------------------------- */

/* A new empty file beside @path, to be filled and then moved into its place; the caller frees. */
char *rake_file_make_beside (const char *path, GError **error);

/* Gives the finished @from the name @to, durably; FALSE with EXISTS when there is a file of that
 * name. @from is gone afterwards either way. */
gboolean rake_file_move_into_place (const char *from, const char *to, GError **error);

/* Deletes an unfinished file and what SQLite may have left beside it. */
void rake_file_discard (const char *path);
