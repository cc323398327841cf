/* job-same-photos.c - photographs of the same bytes, and the withdrawal of one or of all of them. */
#include <rakelight/photo.h>

guint
rake_job_find_same_photo (const RakeJob *job, const char *sha256)
{
  for (guint i = 0; i < rake_job_get_n_photos (job); i++)
    {
      const RakePhoto *photo = rake_job_get_photo (job, i);

      if (photo->withdrawal == NULL && g_str_equal (photo->entry->photo.sha256, sha256))
        return i + 1;
    }
  return 0;
}

GPtrArray *
rake_job_list_same_photos (const RakeJob *job, const char *sha256)
{
  GPtrArray *same = g_ptr_array_new ();
  g_autoptr (GHashTable) withdrawn = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);

      if (entry->kind == RAKE_ENTRY_WITHDRAWAL)
        g_hash_table_add (withdrawn, (gpointer) &entry->withdrawal.photo);
      else if (entry->kind == RAKE_ENTRY_PHOTO && rake_id_is_nil (entry->photo.photo) &&
               g_str_equal (entry->photo.sha256, sha256))
        g_ptr_array_add (same, (gpointer) entry);
    }
  for (guint i = same->len; i-- > 0;)
    if (g_hash_table_contains (withdrawn, &((const RakeEntry *) same->pdata[i])->id))
      g_ptr_array_remove_index (same, i);
  return same;
}

static RakeEntry *
new_withdrawal (RakeId photo, const char *reason)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_WITHDRAWAL);

  entry->withdrawal.photo = photo;
  entry->withdrawal.reason = g_strdup (reason);
  return entry;
}

GPtrArray *
rake_photo_new_withdrawals (const RakeJob *job, const RakePhoto *photo, const char *reason,
                            gboolean everywhere)
{
  g_autoptr (GPtrArray) same = rake_job_list_same_photos (job, photo->entry->photo.sha256);
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);

  g_ptr_array_add (entries, new_withdrawal (photo->id, reason));
  for (guint i = 0; i < same->len; i++)
    {
      RakeId other = ((const RakeEntry *) same->pdata[i])->id;

      if (!rake_id_equal (other, photo->id) &&
          (everywhere || rake_job_find_photo (job, other) == NULL))
        g_ptr_array_add (entries, new_withdrawal (other, reason));
    }
  return entries;
}
