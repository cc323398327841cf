/* job-file-verify.c - whether a job file is what was written, all of it. */
#include "store-private.h"

#include <rakelight/zoning.h>

#include <inttypes.h>
#include <string.h>

/* --- tiling ------------------------------------------------------------------------------------- */

struct _RakeTiling
{
  GHashTable *shapes; /* RakeShape, by the id of the zone */
};

RakeTiling *
rake_tiling_new (void)
{
  RakeTiling *self = g_new0 (RakeTiling, 1);

  self->shapes = g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, g_free,
                                        (GDestroyNotify) rake_shape_unref);
  return self;
}

void
rake_tiling_free (RakeTiling *self)
{
  g_hash_table_unref (self->shapes);
  g_free (self);
}

static void
learn_zone (RakeTiling *self, RakeId id, RakeShape *shape)
{
  g_hash_table_insert (self->shapes, g_memdup2 (&id, sizeof id), rake_shape_ref (shape));
}

static GPtrArray *
find_removed (RakeTiling *self, const RakeZonesBody *zones, GError **error)
{
  g_autoptr (GPtrArray) shapes = g_ptr_array_new ();

  for (guint i = 0; i < zones->removed->len; i++)
    {
      RakeShape *shape =
          g_hash_table_lookup (self->shapes, &g_array_index (zones->removed, RakeId, i));
      if (shape == NULL)
        {
          g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
                       _ ("removed %u is no zone that was there before"), i + 1);
          return NULL;
        }
      g_ptr_array_add (shapes, shape);
    }
  return g_steal_pointer (&shapes);
}

static gboolean
check_zones (RakeTiling *self, const RakeZonesBody *zones, GError **error)
{
  g_autoptr (GPtrArray) removed = find_removed (self, zones, error);
  g_autoptr (GPtrArray) added = g_ptr_array_new ();
  GPtrArray *whole, *parts;

  if (removed == NULL)
    return FALSE;
  for (guint i = 0; i < zones->added->len; i++)
    {
      RakeZoneSpec *spec = &g_array_index (zones->added, RakeZoneSpec, i);
      g_ptr_array_add (added, spec->shape);
      learn_zone (self, spec->id, spec->shape);
    }
  /* Either one becomes several or several become one; the one is what the others must tile. */
  whole = removed->len == 1 ? removed : added;
  parts = removed->len == 1 ? added : removed;
  return rake_zoning_check_tiles (whole->pdata[0], (RakeShape *const *) parts->pdata, parts->len,
                                  error);
}

gboolean
rake_tiling_check (RakeTiling *self, const RakeEntry *entry, GError **error)
{
  if (entry->kind == RAKE_ENTRY_FACE)
    learn_zone (self, entry->id, entry->face.outline);
  else if (entry->kind == RAKE_ENTRY_ZONES)
    return check_zones (self, &entry->zones, error);
  return TRUE;
}

/* --- what SQL can tell --------------------------------------------------------------------------- */

static gboolean
check_references (RakeJobFile *self, GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  int result = SQLITE_ERROR;

  if (sqlite3_prepare_v2 (self->db, "PRAGMA foreign_key_check", -1, &row, NULL) == SQLITE_OK)
    result = sqlite3_step (row);
  if (result == SQLITE_DONE)
    return TRUE;
  if (result == SQLITE_ROW)
    g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
                 _ ("%s: entry %" PRId64 " speaks of something that is not there"),
                 (const char *) sqlite3_column_text (row, 0),
                 (gint64) sqlite3_column_int64 (row, 1));
  else
    rake_database_take_error (self->db, _ ("read the job file"), error);
  return FALSE;
}

static gboolean
check_count (RakeJobFile *self, const char *name, GError **error)
{
  g_autofree char *sql =
      g_strdup_printf ("SELECT (SELECT count (*) FROM entry WHERE kind = '%s') - "
                       "(SELECT count (*) FROM \"%s\")",
                       name, name);
  gint64 difference;

  if (!rake_database_get_integer (self->db, sql, &difference, error))
    return FALSE;
  if (difference == 0)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("%s has rows that belong to no entry"), name);
  return FALSE;
}

static gboolean
check_counts (RakeJobFile *self, GError **error)
{
  for (int kind = RAKE_ENTRY_JOB; kind < RAKE_N_ENTRY_KINDS; kind++)
    if (!check_count (self, rake_entry_kind_get_name ((RakeEntryKind) kind), error))
      return FALSE;
  return TRUE;
}

static gboolean
is_photo_whole (sqlite3_stmt *row)
{
  g_autoptr (GChecksum) sum = g_checksum_new (G_CHECKSUM_SHA256);
  guint8 hash[32];
  gsize n_bytes = sizeof hash;

  if (sqlite3_column_bytes (row, 0) != 32)
    return FALSE;
  g_checksum_update (sum, sqlite3_column_blob (row, 1), sqlite3_column_bytes (row, 1));
  g_checksum_get_digest (sum, hash, &n_bytes);
  return memcmp (hash, sqlite3_column_blob (row, 0), sizeof hash) == 0;
}

static gboolean
check_photos (RakeJobFile *self, GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  int result = SQLITE_ERROR;

  if (sqlite3_prepare_v2 (self->db,
                          "SELECT hash, bytes, lower (hex (hash)) FROM photo_bytes "
                          "WHERE bytes IS NOT NULL",
                          -1, &row, NULL) == SQLITE_OK)
    while ((result = sqlite3_step (row)) == SQLITE_ROW)
      if (!is_photo_whole (row))
        {
          g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
                       _ ("photograph %s is not what was kept under that name"),
                       (const char *) sqlite3_column_text (row, 2));
          return FALSE;
        }
  if (result == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (self->db, _ ("read the job file"), error);
  return FALSE;
}

/* Photographs whose bytes are not as the logbook says. A photograph placed anew brings no bytes of its own. Bytes
 * that two photographs are of stay until both are withdrawn, except in a file that they were gone from before the
 * second came. */
#define HELD                                                                                       \
  "EXISTS (SELECT 1 FROM photo q JOIN entry e ON e.arrival = q.arrival "                           \
  "WHERE q.sha256 = p.sha256 AND q.photo IS NULL AND "                                             \
  "NOT EXISTS (SELECT 1 FROM withdrawal w WHERE w.photo = e.id))"
#define GONE                                                                                       \
  "EXISTS (SELECT 1 FROM withdrawal w JOIN entry e ON e.id = w.photo "                             \
  "JOIN photo q ON q.arrival = e.arrival WHERE q.sha256 = p.sha256)"
#define PHOTOS                                                                                     \
  "SELECT p.sha256 FROM photo p LEFT JOIN "                                                        \
  "(SELECT lower (hex (hash)) AS sha256, n_bytes, media_type, bytes IS NOT NULL AS is_kept "       \
  "FROM photo_bytes) b ON b.sha256 = p.sha256 "

static gboolean
check_none_is_wrong (RakeJobFile *self, const char *sql, const char *sentence, GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  int result = SQLITE_ERROR;

  if (sqlite3_prepare_v2 (self->db, sql, -1, &row, NULL) == SQLITE_OK)
    result = sqlite3_step (row);
  if (result == SQLITE_DONE)
    return TRUE;
  if (result == SQLITE_ROW)
    g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, _ ("photograph %s %s"),
                 (const char *) sqlite3_column_text (row, 0), sentence);
  else
    rake_database_take_error (self->db, _ ("read the job file"), error);
  return FALSE;
}

static gboolean
check_photo_entries (RakeJobFile *self, GError **error)
{
  return check_none_is_wrong (
             self, PHOTOS "WHERE p.photo IS NULL AND b.is_kept IS NOT TRUE AND NOT " GONE,
             _ ("is not in the file, though nobody withdrew it"), error) &&
         check_none_is_wrong (self, PHOTOS "WHERE b.is_kept AND NOT " HELD,
                              _ ("is in the file, though it was withdrawn"), error) &&
         check_none_is_wrong (self,
                              PHOTOS "WHERE b.sha256 IS NOT NULL AND (b.n_bytes <> p.n_bytes OR "
                                     "b.media_type <> p.media_type)",
                              _ ("is not of the size and kind that its entry tells of"), error);
}

/* --- what the entries tell ------------------------------------------------------------------------ */

typedef struct
{
  GHashTable *chain_ends;
  RakeTiling *tiling;
  GPtrArray *entries;
} Verification;

static gboolean
check_hash (const RakeEntry *entry, GError **error)
{
  guint8 hash[32];

  rake_entry_compute_hash (entry, hash);
  if (memcmp (hash, entry->hash, sizeof hash) == 0)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("it is not what was written: its hash differs"));
  return FALSE;
}

static gboolean
verify_entry (RakeEntry *entry, gint64 arrival, gpointer user_data, GError **error)
{
  Verification *verification = user_data;

  if (check_hash (entry, error) && rake_chain_follow (verification->chain_ends, entry, error) &&
      rake_tiling_check (verification->tiling, entry, error))
    {
      g_ptr_array_add (verification->entries, rake_entry_ref (entry));
      return TRUE;
    }
  rake_error_make_damaged (error);
  g_prefix_error (error, _ ("entry %" PRId64 " (%s): "), arrival,
                  rake_entry_kind_get_name (entry->kind));
  return FALSE;
}

static gboolean
verify_entries (RakeJobFile *self, GError **error)
{
  g_autoptr (GHashTable) chain_ends = rake_chain_ends_new ();
  g_autoptr (RakeTiling) tiling = rake_tiling_new ();
  g_autoptr (GPtrArray) entries =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  g_autoptr (RakeJob) job = rake_job_new ();
  Verification verification = { chain_ends, tiling, entries };

  return rake_job_file_read_entries (self, 0, verify_entry, &verification, error) &&
         rake_job_apply_entries (job, entries, error);
}

gboolean
rake_job_file_verify (RakeJobFile *self, GError **error)
{
  g_autoptr (RakeTransaction) reading = NULL;

  if (self->is_newer)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NEWER,
                   _ ("the job file is of a newer version; only a program of that version can tell "
                      "whether it is whole"));
      return FALSE;
    }
  if (!rake_job_file_begin_read (self, error))
    return FALSE;
  reading = self->db;
  return rake_database_check_integrity (self->db, "integrity_check", error) &&
         check_references (self, error) && verify_entries (self, error) &&
         check_counts (self, error) && check_photos (self, error) &&
         check_photo_entries (self, error);
}
