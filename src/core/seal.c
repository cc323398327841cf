/* seal.c - see seal.h. */
#include <rakelight/seal.h>

#include <inttypes.h>
#include <string.h>

/* The last entry of each bench met so far, sorted by bench: there are few. */
static void
take_in (GPtrArray *ends, const RakeEntry *entry)
{
  for (guint i = 0; i < ends->len; i++)
    {
      const RakeEntry *end = ends->pdata[i];
      int order = rake_id_compare (entry->bench, end->bench);

      if (order < 0)
        {
          g_ptr_array_insert (ends, (int) i, (gpointer) entry);
          return;
        }
      if (order == 0)
        {
          if (entry->number > end->number)
            ends->pdata[i] = (gpointer) entry;
          return;
        }
    }
  g_ptr_array_add (ends, (gpointer) entry);
}

static char *
hash_ends (const GPtrArray *ends)
{
  g_autoptr (GChecksum) sum = g_checksum_new (G_CHECKSUM_SHA256);

  for (guint i = 0; i < ends->len; i++)
    {
      const RakeEntry *end = ends->pdata[i];
      char bench[RAKE_ID_TEXT_LENGTH + 1], hash[65];
      g_autofree char *line = NULL;

      rake_id_to_text (end->bench, bench);
      for (guint b = 0; b < 32; b++)
        g_snprintf (hash + 2 * b, 3, "%02x", end->hash[b]);
      line = g_strdup_printf ("%s %" PRId64 " %s\n", bench, end->number, hash);
      g_checksum_update (sum, (const guchar *) line, -1);
    }
  return g_strdup (g_checksum_get_string (sum));
}

char *
rake_seal_take (const RakeJob *job, guint n_entries)
{
  g_autoptr (GPtrArray) ends = g_ptr_array_new ();

  for (guint i = 0; i < MIN (n_entries, rake_job_get_n_entries (job)); i++)
    take_in (ends, rake_job_get_entry (job, i));
  return hash_ends (ends);
}

gboolean
rake_seal_find (const RakeJob *job, const char *seal, guint *n_entries)
{
  g_autoptr (GPtrArray) ends = g_ptr_array_new ();

  for (guint i = 0; i <= rake_job_get_n_entries (job); i++)
    {
      g_autofree char *then = hash_ends (ends);

      if (g_ascii_strcasecmp (then, seal) == 0)
        {
          *n_entries = i;
          return TRUE;
        }
      if (i < rake_job_get_n_entries (job))
        take_in (ends, rake_job_get_entry (job, i));
    }
  return FALSE;
}

/* --- one job against another ------------------------------------------------------------------ */

static guint
hash_place (gconstpointer key)
{
  const RakeEntry *entry = key;

  return rake_id_hash_key (&entry->bench) ^ (guint) entry->number * 2654435761u;
}

static gboolean
is_same_place (gconstpointer a, gconstpointer b)
{
  const RakeEntry *one = a, *other = b;

  return one->number == other->number && rake_id_equal (one->bench, other->bench);
}

static GHashTable *
index_entries (const RakeJob *job)
{
  GHashTable *places = g_hash_table_new (hash_place, is_same_place);

  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    g_hash_table_add (places, rake_job_get_entry (job, i));
  return places;
}

RakeSealDifference
rake_seal_compare (const RakeJob *job, const RakeJob *copy, guint *index)
{
  g_autoptr (GHashTable) ours = index_entries (job), theirs = index_entries (copy);

  for (*index = 0; *index < rake_job_get_n_entries (copy); (*index)++)
    {
      const RakeEntry *entry = rake_job_get_entry (copy, *index);
      const RakeEntry *own = g_hash_table_lookup (ours, entry);

      if (own == NULL)
        return RAKE_SEAL_MISSING;
      if (memcmp (own->hash, entry->hash, sizeof own->hash) != 0)
        return RAKE_SEAL_DIFFERS;
    }
  for (*index = 0; *index < rake_job_get_n_entries (job); (*index)++)
    if (!g_hash_table_contains (theirs, rake_job_get_entry (job, *index)))
      return RAKE_SEAL_ADDED;
  return RAKE_SEAL_SAME;
}
