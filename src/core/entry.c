/* entry.c - the life of an entry: made, shared, sealed, let go. */
#include <rakelight/entry.h>

typedef struct
{
  RakeEntry entry; /* first, so that either pointer is the other */
  gatomicrefcount references;
} SharedEntry;

static gsize
get_body_size (void)
{
  return sizeof (RakeEntry) - G_STRUCT_OFFSET (RakeEntry, job);
}

RakeEntry *
rake_entry_new_unsaid (RakeEntryKind kind)
{
  SharedEntry *shared;

  g_return_val_if_fail (kind > 0 && kind < RAKE_N_ENTRY_KINDS, NULL);
  shared = g_new0 (SharedEntry, 1);
  g_atomic_ref_count_init (&shared->references);
  shared->entry.kind = kind;
  rake_field_init_record (rake_entry_kind_get_fields (kind), get_body_size (), &shared->entry.job);
  return &shared->entry;
}

RakeEntry *
rake_entry_new (RakeEntryKind kind)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  RakeEntry *entry = rake_entry_new_unsaid (kind);

  g_return_val_if_fail (entry != NULL, NULL);
  entry->written_ms = g_get_real_time () / 1000;
  entry->happened_ms = entry->written_ms;
  entry->utc_offset_minutes = (int) (g_date_time_get_utc_offset (now) / G_TIME_SPAN_MINUTE);
  entry->id = rake_id_new (entry->written_ms);
  entry->gesture = entry->id;
  return entry;
}

RakeEntry *
rake_entry_ref (RakeEntry *entry)
{
  g_atomic_ref_count_inc (&((SharedEntry *) entry)->references);
  return entry;
}

static void
free_body (RakeEntry *entry)
{
  for (const RakeField *field = rake_entry_kind_get_fields (entry->kind); field->name; field++)
    {
      gpointer held;

      if (field->type == RAKE_FIELD_ID || field->type == RAKE_FIELD_REAL ||
          field->type == RAKE_FIELD_WORD)
        continue; /* holds nothing, and need not lie as a pointer must */
      held = *(gpointer *) ((guint8 *) &entry->job + field->offset);
      if (field->type == RAKE_FIELD_TEXT)
        g_free (held);
      else if (field->type == RAKE_FIELD_SHAPE && held != NULL)
        rake_shape_unref (held);
      else if (field->type == RAKE_FIELD_TEXTS && held != NULL)
        g_ptr_array_unref (held);
      else if ((field->type == RAKE_FIELD_IDS || field->type == RAKE_FIELD_RECORDS) && held != NULL)
        g_array_unref (held);
    }
}

void
rake_entry_unref (RakeEntry *entry)
{
  if (!g_atomic_ref_count_dec (&((SharedEntry *) entry)->references))
    return;
  free_body (entry);
  g_free (entry->who);
  g_free (entry);
}

void
rake_entry_compute_hash (const RakeEntry *entry, guint8 hash[32])
{
  g_autoptr (GChecksum) sum = g_checksum_new (G_CHECKSUM_SHA256);
  g_autofree char *line = rake_entry_to_canonical (entry);
  gsize n_bytes = 32;

  g_checksum_update (sum, (const guchar *) line, -1);
  g_checksum_get_digest (sum, hash, &n_bytes);
}

void
rake_entry_seal (RakeEntry *entry)
{
  rake_entry_compute_hash (entry, entry->hash);
}
