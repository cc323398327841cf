/* photo-store.c - photographs out of the job file, and copies of them into it. */
#include "store-private.h"

#include <rakelight/photo-store.h>

#include <string.h>

G_DEFINE_QUARK (rake-photo-store-error-quark, rake_photo_store_error)

void
rake_photo_bytes_init (RakePhotoBytes *photo, GBytes *original)
{
  g_autofree char *sum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, original);

  memset (photo, 0, sizeof *photo);
  photo->original = g_bytes_ref (original);
  g_strlcpy (photo->sha256, sum, sizeof photo->sha256);
}

void
rake_photo_bytes_clear (RakePhotoBytes *photo)
{
  g_clear_pointer (&photo->original, g_bytes_unref);
  g_clear_pointer (&photo->working.bytes, g_bytes_unref);
  g_clear_pointer (&photo->thumbnail.bytes, g_bytes_unref);
}

void
rake_photo_hash_from_text (const char *sha256, guint8 hash[32])
{
  for (int i = 0; i < 32; i++)
    hash[i] = (guint8) (g_ascii_xdigit_value (sha256[2 * i]) * 16 +
                        g_ascii_xdigit_value (sha256[2 * i + 1]));
}

/* A statement with the hash bound to ?1; NULL with @error set. */
static sqlite3_stmt *
prepare_for (RakeJobFile *self, const char *sql, const char *sha256, GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  guint8 hash[32];

  rake_photo_hash_from_text (sha256, hash);
  if (sqlite3_prepare_v2 (self->db, sql, -1, &row, NULL) == SQLITE_OK &&
      sqlite3_bind_blob (row, 1, hash, sizeof hash, SQLITE_TRANSIENT) == SQLITE_OK)
    return g_steal_pointer (&row);
  rake_database_take_error (self->db, _ ("read a photograph"), error);
  return NULL;
}

/* typeof() looks at the row's head only; IS NULL, and any column behind the bytes, would make SQLite
 * read its way through them. */
gboolean
rake_job_file_find_photo (RakeJobFile *self, const char *sha256, RakePhotoStanding *standing,
                          GError **error)
{
  g_autoptr (sqlite3_stmt) row = prepare_for (
      self, "SELECT typeof (bytes) = 'null' FROM photo_bytes WHERE hash = ?1", sha256, error);
  int result = row != NULL ? sqlite3_step (row) : SQLITE_ERROR;

  if (row == NULL)
    return FALSE;
  if (result == SQLITE_ROW)
    *standing = sqlite3_column_int (row, 0) ? RAKE_PHOTO_WITHDRAWN : RAKE_PHOTO_KEPT;
  else if (result == SQLITE_DONE)
    *standing = RAKE_PHOTO_MISSING;
  else
    {
      rake_database_take_error (self->db, _ ("read a photograph"), error);
      return FALSE;
    }
  return TRUE;
}

static GBytes *
copy_blob (sqlite3_stmt *row, int column)
{
  gconstpointer bytes = sqlite3_column_blob (row, column);

  return g_bytes_new (bytes, bytes != NULL ? (gsize) sqlite3_column_bytes (row, column) : 0);
}

static gboolean
check_is_itself (GBytes *bytes, const char *sha256, GError **error)
{
  g_autofree char *sum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, bytes);

  if (g_str_equal (sum, sha256))
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("photograph %s is not what was kept under that name"), sha256);
  return FALSE;
}

GBytes *
rake_job_file_read_photo (RakeJobFile *self, const char *sha256, GError **error)
{
  g_autoptr (sqlite3_stmt) row =
      prepare_for (self, "SELECT bytes FROM photo_bytes WHERE hash = ?1", sha256, error);
  g_autoptr (GBytes) bytes = NULL;
  int result = row != NULL ? sqlite3_step (row) : SQLITE_ERROR;

  if (row == NULL)
    return NULL;
  if (result == SQLITE_ROW && sqlite3_column_type (row, 0) == SQLITE_BLOB)
    {
      bytes = copy_blob (row, 0);
      return check_is_itself (bytes, sha256, error) ? g_steal_pointer (&bytes) : NULL;
    }
  if (result == SQLITE_ROW)
    g_set_error (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_WITHDRAWN,
                 _ ("the photograph was withdrawn; its bytes are gone"));
  else if (result == SQLITE_DONE)
    g_set_error (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_MISSING,
                 _ ("the photograph's bytes never came into this job file; import them from where "
                    "it came from"));
  else
    rake_database_take_error (self->db, _ ("read a photograph"), error);
  return NULL;
}

/* --- copies --------------------------------------------------------------------------------------- */

gboolean
rake_job_file_read_photo_copy (RakeJobFile *self, const char *sha256, RakePhotoCopyKind kind,
                               RakePhotoCopy *copy, GError **error)
{
  g_autoptr (sqlite3_stmt) row =
      prepare_for (self,
                   kind == RAKE_PHOTO_COPY_WORKING
                       ? "SELECT width_px, height_px, bytes FROM photo_working WHERE hash = ?1"
                       : "SELECT width_px, height_px, bytes FROM photo_thumbnail WHERE hash = ?1",
                   sha256, error);
  int result = row != NULL ? sqlite3_step (row) : SQLITE_ERROR;

  *copy = (RakePhotoCopy){ 0 };
  if (row == NULL)
    return FALSE;
  if (result == SQLITE_ROW)
    {
      copy->width_px = sqlite3_column_int (row, 0);
      copy->height_px = sqlite3_column_int (row, 1);
      copy->bytes = copy_blob (row, 2);
    }
  else if (result != SQLITE_DONE)
    {
      rake_database_take_error (self->db, _ ("read a photograph"), error);
      return FALSE;
    }
  return TRUE;
}

static gboolean
put_copy (RakeJobFile *self, const char *sql, const char *sha256, const RakePhotoCopy *copy,
          GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  gconstpointer bytes;
  gsize n_bytes;

  if (copy == NULL || copy->bytes == NULL)
    return TRUE;
  row = prepare_for (self, sql, sha256, error);
  if (row == NULL)
    return FALSE;
  bytes = g_bytes_get_data (copy->bytes, &n_bytes);
  if (sqlite3_bind_int (row, 2, copy->width_px) == SQLITE_OK &&
      sqlite3_bind_int (row, 3, copy->height_px) == SQLITE_OK &&
      sqlite3_bind_blob64 (row, 4, bytes, n_bytes, SQLITE_STATIC) == SQLITE_OK &&
      sqlite3_step (row) == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (self->db, _ ("keep a photograph"), error);
  return FALSE;
}

/* Nothing is put where the photograph itself is not. */
#define PUT(table)                                                                                 \
  "INSERT OR REPLACE INTO " table " (hash, width_px, height_px, bytes) "                           \
  "SELECT ?1, ?2, ?3, ?4 WHERE EXISTS "                                                            \
  "(SELECT 1 FROM photo_bytes WHERE hash = ?1 AND typeof (bytes) = 'blob')"

gboolean
rake_photo_put_copies (RakeJobFile *self, const char *sha256, const RakePhotoCopy *working,
                       const RakePhotoCopy *thumbnail, GError **error)
{
  return put_copy (self, PUT ("photo_working"), sha256, working, error) &&
         put_copy (self, PUT ("photo_thumbnail"), sha256, thumbnail, error);
}

gboolean
rake_job_file_keep_photo_copies (RakeJobFile *self, const char *sha256,
                                 const RakePhotoCopy *working, const RakePhotoCopy *thumbnail,
                                 GError **error)
{
  g_autoptr (RakeTransaction) transaction = NULL;

  if (self->is_read_only)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY,
                   _ ("the job file is open for reading only"));
      return FALSE;
    }
  if (!rake_database_run (self->db, "BEGIN IMMEDIATE", _ ("keep a photograph"), error))
    return FALSE;
  transaction = self->db;
  if (!rake_photo_put_copies (self, sha256, working, thumbnail, error) ||
      !rake_database_run (self->db, "COMMIT", _ ("keep a photograph"), error))
    return FALSE;
  g_steal_pointer (&transaction);
  return TRUE;
}
