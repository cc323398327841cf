/* exchange.h - a logbook as JSON Lines: one entry a line. The form is in docs/entries.md.
 *
 * Reading checks every field and refuses the whole text when any line is wrong. Lines without head
 * fields (bench, number, previous, hash) are drafts, as written by hand: they are given them. Ids may
 * then be written "@name". */
#pragma once
#include <rakelight/job-file.h>
#include <rakelight/photo-store.h>

#define RAKE_EXCHANGE_ERROR (rake_exchange_error_quark ())
GQuark rake_exchange_error_quark (void);

typedef enum
{
  RAKE_EXCHANGE_ERROR_LINE, /* "line 12, stroke_deg: is 400; a direction is 0 to less than 360" */
} RakeExchangeError;

/* The exchange form of one entry, with its hash, without a line end. Caller frees with g_free(). */
char *rake_exchange_write_entry (const RakeEntry *entry);

/* Reads one line and checks every field of it. The error begins with the place in the line:
 * "stroke_deg: is 400; …", "column 7: is not JSON: …". What the entry speaks of is not looked up.
 *
 * name_space  what "@name" is a name in; docs/entries.md, "The head"
 * is_draft    out: the line had no bench, number, previous and hash
 * returns     an entry that the caller unrefs, or NULL with RAKE_EXCHANGE_ERROR_LINE */
RakeEntry *rake_exchange_read_entry (const char *line, gsize length, RakeId name_space,
                                     gboolean *is_draft, GError **error);

/* Every entry of @file in job order, through @write; FALSE from it stops and is passed on. */
typedef gboolean (*RakeWriteLine) (const char *line, gpointer user_data, GError **error);
gboolean rake_exchange_export (RakeJobFile *file, RakeWriteLine write, gpointer user_data,
                               GError **error);

/* Reads all of @text and appends it to @file, all or none: first the sealed lines as they are, in
 * the order of the job, then the drafts as they stand, with this bench's head. A draft's time is
 * kept when it is later than everything in the file, else moved to just after it. The entries must
 * make a job together with what is in the file, which @job holds (caught up), and new zones must tile
 * what they replace.
 *
 * Photographs' bytes are no part of it: sealed entries of them come without, drafts are refused.
 *
 * returns  the number of entries added, without those that were there already, or -1 with @error set
 *          (line and field in the message) */
int rake_exchange_import (RakeJobFile *file, RakeJob *job, const char *text, gsize length,
                          GError **error);

/* The bytes whose SHA-256 this is; NULL without @error when there are none. */
typedef GBytes *(*RakeFindPhoto) (const char *sha256, gpointer user_data, GError **error);

/* The same with the photographs, asked for one at a time, also for entries that came before without.
 * A photograph that is not found, and was not withdrawn, refuses the whole. */
int rake_exchange_import_with_photos (RakeJobFile *file, RakeJob *job, const char *text,
                                      gsize length, RakeFindPhoto find, gpointer user_data,
                                      GError **error);

/* Every photograph that is kept in @file, each once, through @write; FALSE from it stops and is passed
 * on. The entry is the first that names these bytes. */
typedef gboolean (*RakeWritePhoto) (const RakeEntry *photo, GBytes *bytes, gpointer user_data,
                                    GError **error);
gboolean rake_exchange_export_photos (RakeJobFile *file, RakeWritePhoto write, gpointer user_data,
                                      GError **error);

/* The name of a photograph's file beside an export: its hash and the ending of its kind, "….jpg".
 * Caller frees. */
char *rake_exchange_name_photo (const RakePhotoBody *photo);

/* The union of two job files' chains, into @file, with their photographs; all or none. What either has
 * withdrawn is gone from it. Two different jobs, and copies that
 * were written in apart at one bench, are refused. Returns the number added or -1. */
int rake_exchange_merge (RakeJobFile *file, RakeJob *job, RakeJobFile *other, GError **error);
