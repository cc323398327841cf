/* draft.c - a job in memory, before it has a file. */
#include <rakelight/draft.h>

struct _RakeDraft
{
  RakeJob *job;
  GPtrArray *entries; /* RakeEntry * */
};

RakeDraft *
rake_draft_new (void)
{
  RakeDraft *draft = g_new0 (RakeDraft, 1);

  draft->job = rake_job_new ();
  draft->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  return draft;
}

void
rake_draft_free (RakeDraft *draft)
{
  if (draft == NULL)
    return;
  rake_job_free (draft->job);
  g_ptr_array_unref (draft->entries);
  g_free (draft);
}

gboolean
rake_draft_append (RakeDraft *draft, RakeEntry *entry, GError **error)
{
  g_autoptr (RakeEntry) owned = entry;
  const RakeEntry *last =
      draft->entries->len > 0 ? draft->entries->pdata[draft->entries->len - 1] : NULL;

  if (!rake_entry_check (entry, error))
    return FALSE;
  /* The job orders by time and number; the file gives both anew when the entries go there. */
  entry->number = last != NULL ? last->number + 1 : 1;
  if (last != NULL && entry->written_ms <= last->written_ms)
    {
      gboolean is_now = entry->happened_ms == entry->written_ms;

      entry->written_ms = last->written_ms + 1;
      if (is_now)
        entry->happened_ms = entry->written_ms;
    }
  if (!rake_job_apply (draft->job, entry, error))
    return FALSE;
  g_ptr_array_add (draft->entries, g_steal_pointer (&owned));
  return TRUE;
}

void
rake_draft_take_back (RakeDraft *draft, guint n_entries)
{
  guint n_kept = draft->entries->len - MIN (n_entries, draft->entries->len);

  rake_job_forget (draft->job, (RakeEntry *const *) draft->entries->pdata + n_kept,
                   draft->entries->len - n_kept);
  g_ptr_array_set_size (draft->entries, (int) n_kept);
}

const RakeJob *
rake_draft_get_job (const RakeDraft *draft)
{
  return draft->job;
}

GPtrArray *
rake_draft_get_entries (const RakeDraft *draft)
{
  return draft->entries;
}
