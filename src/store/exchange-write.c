/* exchange-write.c - entries out as JSON Lines. */
#include "store-private.h"

#include <rakelight/exchange.h>

#include <string.h>

char *
rake_exchange_write_entry (const RakeEntry *entry)
{
  g_autofree char *canonical = rake_entry_to_canonical (entry);
  GString *line = g_string_new (canonical);

  /* The hash goes in before the closing brace: whoever takes it out again has what was hashed. */
  g_string_truncate (line, line->len - 1);
  g_string_append (line, ",\"hash\":\"");
  for (gsize i = 0; i < sizeof entry->hash; i++)
    g_string_append_printf (line, "%02x", entry->hash[i]);
  g_string_append (line, "\"}");
  return g_string_free (line, FALSE);
}

gboolean
rake_exchange_export (RakeJobFile *file, RakeWriteLine write, gpointer user_data, GError **error)
{
  g_autoptr (GPtrArray) entries = rake_job_file_read_all (file, error);

  if (entries == NULL)
    return FALSE;
  for (guint i = 0; i < entries->len; i++)
    {
      g_autofree char *line = rake_exchange_write_entry (entries->pdata[i]);
      if (!write (line, user_data, error))
        return FALSE;
    }
  return TRUE;
}

char *
rake_exchange_name_photo (const RakePhotoBody *photo)
{
  static const char *const endings[] = { "", ".jpg", ".png", ".heic" };

  return g_strconcat (photo->sha256,
                      photo->media_type < G_N_ELEMENTS (endings) ? endings[photo->media_type] : "",
                      NULL);
}

static gboolean
export_photo (RakeJobFile *file, const RakeEntry *photo, RakeWritePhoto write, gpointer user_data,
              GError **error)
{
  g_autoptr (GBytes) bytes = NULL;
  RakePhotoStanding standing;

  if (!rake_job_file_find_photo (file, photo->photo.sha256, &standing, error))
    return FALSE;
  if (standing != RAKE_PHOTO_KEPT)
    return TRUE;
  bytes = rake_job_file_read_photo (file, photo->photo.sha256, error);
  return bytes != NULL && write (photo, bytes, user_data, error);
}

gboolean
rake_exchange_export_photos (RakeJobFile *file, RakeWritePhoto write, gpointer user_data,
                             GError **error)
{
  g_autoptr (GPtrArray) entries = rake_job_file_read_all (file, error);
  g_autoptr (GHashTable) done = g_hash_table_new (g_str_hash, g_str_equal);

  if (entries == NULL)
    return FALSE;
  for (guint i = 0; i < entries->len; i++)
    {
      const RakeEntry *entry = entries->pdata[i];

      if (entry->kind == RAKE_ENTRY_PHOTO && g_hash_table_add (done, entry->photo.sha256) &&
          !export_photo (file, entry, write, user_data, error))
        return FALSE;
    }
  return TRUE;
}
