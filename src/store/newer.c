/* newer.c - a newer version's file, read as far as it is known here.
 *
 * Entries of kinds we do not know are passed over, and with them the entries that speak of them: a
 * strike of something new is no damage. What then still does not fit is new as well. */
#include "store-private.h"

void
rake_newer_pass_over (RakeJobFile *self, const RakeId *id)
{
  if (self->passed_over == NULL)
    self->passed_over = g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, g_free, NULL);
  g_hash_table_add (self->passed_over, g_memdup2 (id, sizeof *id));
}

static gboolean
speaks_of_passed_over (RakeJobFile *self, const RakeEntry *entry)
{
  gconstpointer body = &entry->job;

  for (const RakeField *field = rake_entry_kind_get_fields (entry->kind); field->name; field++)
    {
      const GArray *ids =
          field->type == RAKE_FIELD_IDS ? RAKE_FIELD_AT (body, field, GArray *) : NULL;

      if (field->type == RAKE_FIELD_ID &&
          g_hash_table_contains (self->passed_over, &RAKE_FIELD_AT (body, field, const RakeId)))
        return TRUE;
      for (guint i = 0; ids != NULL && i < ids->len; i++)
        if (g_hash_table_contains (self->passed_over, &g_array_index (ids, RakeId, i)))
          return TRUE;
    }
  return FALSE;
}

void
rake_newer_drop_unknown (RakeJobFile *self, GPtrArray *entries)
{
  gboolean has_dropped = self->passed_over != NULL;

  /* Once more, until nothing goes: what speaks of a dropped one may have arrived before it. */
  while (has_dropped)
    {
      guint n_kept = 0;

      for (guint i = 0; i < entries->len; i++)
        {
          RakeEntry *entry = entries->pdata[i];
          if (speaks_of_passed_over (self, entry))
            {
              rake_newer_pass_over (self, &entry->id);
              rake_entry_unref (entry);
            }
          else
            entries->pdata[n_kept++] = entry;
        }
      has_dropped = n_kept < entries->len;
      /* What stands behind was moved or freed above. */
      g_ptr_array_set_free_func (entries, NULL);
      g_ptr_array_set_size (entries, (int) n_kept);
      g_ptr_array_set_free_func (entries, (GDestroyNotify) rake_entry_unref);
    }
}

gboolean
rake_newer_explain (const RakeJobFile *self, GError **error)
{
  if (!self->is_newer || error == NULL || *error == NULL ||
      !g_error_matches (*error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED))
    return FALSE;
  (*error)->code = RAKE_JOB_FILE_ERROR_NEWER;
  g_prefix_error (error, "%s",
                  _ ("the job file is of a newer version, and this program cannot follow it; open "
                     "it with the newer one: "));
  return FALSE;
}

gboolean
rake_job_file_is_newer (const RakeJobFile *self)
{
  return self->is_newer;
}
