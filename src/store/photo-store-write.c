/* photo-store-write.c - photographs into the job file with their entries, and out of it for good. */
#include "store-private.h"

#include <rakelight/photo.h>
#include <rakelight/photo-store.h>

#include <string.h>

/* --- in ------------------------------------------------------------------------------------------- */

static const char *
get_media_type (const RakePhotoBody *photo)
{
  for (const RakeField *field = rake_entry_kind_get_fields (RAKE_ENTRY_PHOTO); field->name != NULL;
       field++)
    if (strcmp (field->name, "media_type") == 0)
      return rake_field_get_word (field, (int) photo->media_type);
  g_return_val_if_reached (NULL);
}

static gboolean
check_fits_entry (const RakePhotoBody *photo, const RakePhotoBytes *bytes, GError **error)
{
  if (g_str_equal (bytes->sha256, photo->sha256) &&
      g_bytes_get_size (bytes->original) == (gsize) photo->n_bytes)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("the bytes of photograph %s are not those that its entry tells of"),
               photo->sha256);
  return FALSE;
}

static gboolean
insert_bytes (RakeJobFile *self, const RakePhotoBody *photo, const RakePhotoBytes *bytes,
              GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  guint8 hash[32];
  gconstpointer data;
  gsize n_bytes;

  if (!check_fits_entry (photo, bytes, error))
    return FALSE;
  rake_photo_hash_from_text (photo->sha256, hash);
  data = g_bytes_get_data (bytes->original, &n_bytes);
  if (sqlite3_prepare_v2 (self->db,
                          "INSERT INTO photo_bytes (hash, media_type, n_bytes, bytes) "
                          "VALUES (?, ?, ?, ?)",
                          -1, &row, NULL) == SQLITE_OK &&
      sqlite3_bind_blob (row, 1, hash, sizeof hash, SQLITE_STATIC) == SQLITE_OK &&
      sqlite3_bind_text (row, 2, get_media_type (photo), -1, SQLITE_STATIC) == SQLITE_OK &&
      sqlite3_bind_int64 (row, 3, (gint64) n_bytes) == SQLITE_OK &&
      sqlite3_bind_blob64 (row, 4, data, n_bytes, SQLITE_STATIC) == SQLITE_OK &&
      sqlite3_step (row) == SQLITE_DONE)
    return rake_photo_put_copies (self, photo->sha256, &bytes->working, &bytes->thumbnail, error);
  rake_database_take_error (self->db, _ ("keep a photograph"), error);
  return FALSE;
}

typedef struct
{
  gboolean is_itself; /* the photograph of this entry */
  gboolean is_any;    /* or another of the same bytes */
} Withdrawn;

static Withdrawn
find_withdrawal (const RakeJob *job, const RakeEntry *photo)
{
  Withdrawn withdrawn = { 0 };

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i), *other;

      if (entry->kind != RAKE_ENTRY_WITHDRAWAL)
        continue;
      if (rake_id_equal (entry->withdrawal.photo, photo->id))
        withdrawn.is_itself = TRUE;
      other = rake_job_find_entry (job, entry->withdrawal.photo);
      if (other != NULL && other->kind == RAKE_ENTRY_PHOTO &&
          g_str_equal (other->photo.sha256, photo->photo.sha256))
        withdrawn.is_any = TRUE;
    }
  return withdrawn;
}

static gboolean
refuse (RakePhotoStoreError code, const char *sentence, GError **error)
{
  g_set_error_literal (error, RAKE_PHOTO_STORE_ERROR, code, sentence);
  return FALSE;
}

static gboolean
refuse_missing (const RakePhotoBody *photo, GError **error)
{
  g_set_error (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_MISSING,
               _ ("the bytes of photograph %s (%s) are not there; import with the folder that has "
                  "them"),
               photo->sha256, photo->name != NULL ? photo->name : "?");
  return FALSE;
}

/* Gives the photograph to the file when @source has it. */
static gboolean
take_bytes (RakeJobFile *self, const RakePhotoBody *photo, gboolean may_lack,
            const RakePhotoSource *source, GError **error)
{
  g_auto (RakePhotoBytes) bytes = { 0 };

  if (source != NULL && !source->give (photo->sha256, source->user_data, &bytes, error))
    return FALSE;
  if (bytes.original != NULL)
    return insert_bytes (self, photo, &bytes, error);
  return may_lack || refuse_missing (photo, error);
}

/* What was withdrawn does not come back: not as a new photograph, and where the bytes were in this file once, not
 * with another bench's photograph either. */
gboolean
rake_photo_take (RakeJobFile *self, const RakeJob *job, const RakeEntry *entry, gboolean is_sealed,
                 const RakePhotoSource *source, GError **error)
{
  RakePhotoStanding standing;
  Withdrawn withdrawn;

  if (!rake_id_is_nil (entry->photo.photo))
    return TRUE; /* its first entry brought the bytes */
  if (!rake_job_file_find_photo (self, entry->photo.sha256, &standing, error))
    return FALSE;
  if (standing == RAKE_PHOTO_KEPT)
    return TRUE;
  withdrawn = find_withdrawal (job, entry);
  if (withdrawn.is_itself)
    return TRUE;
  if (withdrawn.is_any && !is_sealed)
    return refuse (RAKE_PHOTO_STORE_ERROR_WITHDRAWN,
                   _ ("this photograph was withdrawn from the job and stays out of it"), error);
  if (standing == RAKE_PHOTO_WITHDRAWN)
    return TRUE;
  return take_bytes (self, &entry->photo,
                     is_sealed && (source == NULL || source->may_lack || withdrawn.is_any), source,
                     error);
}

/* --- away ----------------------------------------------------------------------------------------- */

static gboolean
erase_rows (RakeJobFile *self, const char *sql, const guint8 hash[32], gint64 when_ms,
            GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;

  if (sqlite3_prepare_v2 (self->db, sql, -1, &row, NULL) == SQLITE_OK &&
      sqlite3_bind_blob (row, 1, hash, 32, SQLITE_STATIC) == SQLITE_OK &&
      (sqlite3_bind_parameter_count (row) < 2 ||
       sqlite3_bind_int64 (row, 2, when_ms) == SQLITE_OK) &&
      sqlite3_step (row) == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (self->db, _ ("withdraw a photograph"), error);
  return FALSE;
}

/* The bytes stay while a photograph that was not withdrawn is of them. secure_delete is on: the pages are
 * overwritten with zeros as they become free. */
gboolean
rake_photo_erase (RakeJobFile *self, const RakeJob *job, const RakeEntry *withdrawal,
                  GError **error)
{
  const RakeEntry *photo = rake_job_find_entry (job, withdrawal->withdrawal.photo);
  g_autoptr (GPtrArray) others = NULL;
  guint8 hash[32];

  g_return_val_if_fail (photo != NULL && photo->kind == RAKE_ENTRY_PHOTO, FALSE);
  others = rake_job_list_same_photos (job, photo->photo.sha256);
  if (others->len > 0)
    return TRUE;
  rake_photo_hash_from_text (photo->photo.sha256, hash);
  return erase_rows (self,
                     "UPDATE photo_bytes SET bytes = NULL, withdrawn_ms = ?2 "
                     "WHERE hash = ?1 AND bytes IS NOT NULL",
                     hash, withdrawal->written_ms, error) &&
         erase_rows (self, "DELETE FROM photo_working WHERE hash = ?1", hash, 0, error) &&
         erase_rows (self, "DELETE FROM photo_thumbnail WHERE hash = ?1", hash, 0, error);
}

/* --- a gesture with photographs -------------------------------------------------------------------- */

typedef struct
{
  const RakePhotoBytes *photos;
  guint n_photos;
} Given;

static gboolean
give (const char *sha256, gpointer user_data, RakePhotoBytes *bytes, GError **error)
{
  const Given *given = user_data;

  for (guint i = 0; i < given->n_photos; i++)
    if (g_str_equal (given->photos[i].sha256, sha256))
      {
        *bytes = given->photos[i];
        g_bytes_ref (bytes->original);
        if (bytes->working.bytes != NULL)
          g_bytes_ref (bytes->working.bytes);
        if (bytes->thumbnail.bytes != NULL)
          g_bytes_ref (bytes->thumbnail.bytes);
        return TRUE;
      }
  return TRUE;
}

gboolean
rake_job_file_append_photos (RakeJobFile *self, RakeJob *job, RakeEntry *const *entries,
                             guint n_entries, const RakePhotoBytes *photos, guint n_photos,
                             const char *who, GError **error)
{
  g_autofree RakeAddition *additions = g_new0 (RakeAddition, n_entries);
  Given given = { photos, n_photos };
  const RakePhotoSource source = { give, &given, FALSE };

  for (guint i = 0; i < n_entries; i++)
    additions[i].entry = entries[i];
  return rake_job_file_add (self, job, additions, n_entries, &source, who, NULL, error);
}
