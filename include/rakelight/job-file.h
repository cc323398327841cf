/* job-file.h - a job on disk: one SQLite database, NAME.rakejob.
 *
 * The file is the document (src/store/schema.sql is commented as such). While open it is in WAL mode
 * with full synchronisation; closing folds the log back into the one file. Several programs may have
 * one file open: each sees the other's entries through rake_job_file_read_new().
 *
 * Files arrive by mail, so nothing in them is trusted: the schema must be ours to the letter, the
 * database is opened defensively, and every field is checked before a job sees it.
 *
 * A handle is used by one thread at a time. docs/job-file.md says what stands in the file. */
#pragma once
#include <rakelight/job.h>

#define RAKE_JOB_FILE_ERROR (rake_job_file_error_quark ())
GQuark rake_job_file_error_quark (void);

typedef enum
{
  RAKE_JOB_FILE_ERROR_EXISTS,     /* there is a file of that name already */
  RAKE_JOB_FILE_ERROR_NOT_FOUND,  /* no such file; or moved or replaced while it was open */
  RAKE_JOB_FILE_ERROR_NOT_A_JOB,  /* not a database, or not one of ours, or its schema is altered */
  RAKE_JOB_FILE_ERROR_NEWER,      /* of a newer version: may be opened read-only */
  RAKE_JOB_FILE_ERROR_DAMAGED,    /* a broken page, a broken chain, a field out of its limits */
  RAKE_JOB_FILE_ERROR_BUSY,       /* another program is writing; try again */
  RAKE_JOB_FILE_ERROR_READ_ONLY,
  RAKE_JOB_FILE_ERROR_DISK,       /* full, or the medium failed; nothing was written */
} RakeJobFileError;

#define RAKE_JOB_FILE_SUFFIX ".rakejob"

typedef struct _RakeJobFile RakeJobFile;

/* A new, empty job file. Fails with EXISTS rather than touch another file. */
RakeJobFile *rake_job_file_create (const char *path, GError **error);

typedef enum
{
  RAKE_JOB_FILE_WRITE = 0,
  RAKE_JOB_FILE_READ_ONLY = 1, /* also for a newer version's file */
} RakeJobFileMode;

/* An older version's file is migrated after a backup NAME.rakejob.before-VERSION beside it. Read only, a
 * copy of it is, as it stood when it was opened; what is written to it later is not seen. */
RakeJobFile *rake_job_file_open (const char *path, RakeJobFileMode mode, GError **error);

/* Folds the log back and closes; the only user leaves exactly one file behind. NULL is fine. */
void rake_job_file_close (RakeJobFile *file);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeJobFile, rake_job_file_close)

const char *rake_job_file_get_path (const RakeJobFile *file);
gboolean rake_job_file_is_read_only (const RakeJobFile *file);

/* TRUE when a newer version made it. Entries of kinds not known here, and what speaks of them, are
 * then passed over in reading; where that cannot be done, reading fails with NEWER. */
gboolean rake_job_file_is_newer (const RakeJobFile *file);

/* The id of this machine's bench, kept in the user's state folder; made at the first call. It stands
 * in each entry this process appends. rake_job_file_set_bench() is for tests and merging tools. */
RakeId rake_job_file_get_bench (const RakeJobFile *file);
void rake_job_file_set_bench (RakeJobFile *file, RakeId bench);

/* Gives @job every entry of the file that this handle has not given out yet: the first call the whole
 * file, later ones what this or another program added. One handle feeds one job, that of the last
 * rake_job_file_load() if there was one. FALSE with DAMAGED when something read is out of its limits
 * or does not fit; @job is then as before. */
gboolean rake_job_file_catch_up (RakeJobFile *file, RakeJob *job, GError **error);

/* Cheap: whether another program may have added something since the last read. */
gboolean rake_job_file_has_news (RakeJobFile *file);

/* Appends a gesture: @n_entries entries in one durable transaction, all or none. Within it, first
 * catches @job up with what other programs wrote, then gives each entry its bench, number, time,
 * gesture and hashes, checks its fields, applies it to @job, and commits. When anything fails, file
 * and job are as if it had not been tried (but for the catching up), and @error says why.
 *
 * n_entries  1 or more
 * who        may be NULL */
gboolean rake_job_file_append (RakeJobFile *file, RakeJob *job, RakeEntry *const *entries,
                               guint n_entries, const char *who, GError **error);

/* Appends entries that have their head already (import, merge), in any order, checking number, chain
 * and hash of each; those present already are passed over. All or none. */
gboolean rake_job_file_adopt (RakeJobFile *file, RakeJob *job, RakeEntry *const *entries,
                              guint n_entries, GError **error);

/* A new job with every entry of the file in it, which the handle feeds from now on. */
RakeJob *rake_job_file_load (RakeJobFile *file, GError **error);

/* The seal: SHA-256 as 64 lower-case hexadecimal digits, see docs/logbook.md. Caller frees. */
char *rake_job_file_get_seal (RakeJobFile *file, GError **error);

/* Reads everything: database integrity, foreign keys, every field, every chain and hash, and that
 * the entries make a job whose zones tile. FALSE with DAMAGED naming the first entry that differs. */
gboolean rake_job_file_verify (RakeJobFile *file, GError **error);

/* The client's name and contact: outside the chain, may be changed and erased (both NULL or empty).
 * At most 200 and 1000 bytes of UTF-8: else RAKE_ENTRY_ERROR_FIELD. Getting gives copies that the
 * caller frees, NULL for what is not there. */
gboolean rake_job_file_set_client (RakeJobFile *file, const char *name, const char *contact,
                                   GError **error);
gboolean rake_job_file_get_client (RakeJobFile *file, char **name, char **contact, GError **error);

/* Sets the clock that entries are stamped with, for tests and demonstrations; NULL: the real one. */
typedef gint64 (*RakeClock) (void);
void rake_job_file_set_clock (RakeClock clock);
