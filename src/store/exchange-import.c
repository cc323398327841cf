/* exchange-import.c - a whole text, or another job file's entries, into a job file: all or none. */
#include "exchange-private.h"

#include <string.h>

/* --- lines -------------------------------------------------------------------------------------- */

typedef struct
{
  const char *at, *end; /* the rest of the text */
  const char *line;
  gsize length;
  guint number;
} Lines;

/* The next line that is not blank. */
static gboolean
next_line (Lines *lines)
{
  while (lines->at < lines->end)
    {
      const char *line_end = memchr (lines->at, '\n', (gsize) (lines->end - lines->at));

      if (line_end == NULL)
        line_end = lines->end;
      lines->line = lines->at;
      lines->length = (gsize) (line_end - lines->at);
      lines->number++;
      lines->at = line_end < lines->end ? line_end + 1 : line_end;
      for (gsize i = 0; i < lines->length; i++)
        if (!g_ascii_isspace (lines->line[i]))
          return TRUE;
    }
  return FALSE;
}

/* --- the space of names --------------------------------------------------------------------------- */

static const RakeEntry *
find_first_job_entry (RakeJob *job)
{
  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    if (rake_job_get_entry (job, i)->kind == RAKE_ENTRY_JOB)
      return rake_job_get_entry (job, i);
  return NULL;
}

typedef struct
{
  RakeId id;
  guint job_line; /* the line of the first job entry when it says no id, else 0 */
} NameSpace;

static NameSpace
find_name_space (RakeJob *job, const char *text, gsize length)
{
  const RakeEntry *first = find_first_job_entry (job);
  Lines lines = { .at = text, .end = text + length };
  NameSpace space = { RAKE_ID_NIL, 0 };
  gboolean has_id;

  if (first != NULL)
    space.id = rake_exchange_get_name_space (first->id, first->job.name);
  else
    while (next_line (&lines))
      if (rake_exchange_peek_job (lines.line, lines.length, &space.id, &has_id))
        {
          if (!has_id)
            space.job_line = lines.number;
          break;
        }
  return space;
}

/* --- importing ------------------------------------------------------------------------------------ */

static void
clear_addition (gpointer data)
{
  rake_entry_unref (((RakeAddition *) data)->entry);
}

static GArray *
new_additions (void)
{
  GArray *additions = g_array_new (FALSE, FALSE, sizeof (RakeAddition));

  g_array_set_clear_func (additions, clear_addition);
  return additions;
}

/* As if it said "id":"@job". */
static void
give_job_id (RakeEntry *entry, RakeId name_space)
{
  gboolean is_alone = rake_id_equal (entry->gesture, entry->id);

  entry->id = rake_id_new_for_name (name_space, "job");
  if (is_alone)
    entry->gesture = entry->id;
}

static gboolean
read_lines (NameSpace space, const char *text, gsize length, GArray *additions, GError **error)
{
  Lines lines = { .at = text, .end = text + length };

  while (next_line (&lines))
    {
      gboolean is_draft;
      RakeEntry *entry =
          rake_exchange_read_entry (lines.line, lines.length, space.id, &is_draft, error);
      RakeAddition addition;

      if (entry == NULL)
        {
          g_prefix_error (error, _ ("line %u, "), lines.number);
          return FALSE;
        }
      if (lines.number == space.job_line)
        give_job_id (entry, space.id);
      addition = (RakeAddition){
        .entry = entry, .is_sealed = !is_draft, .keeps_head = TRUE, .line = lines.number
      };
      g_array_append_val (additions, addition);
    }
  return TRUE;
}

/* Sealed entries first, in the order of the job, so that each finds what it speaks of; drafts after
 * them as they stand. */
static int
compare_additions (gconstpointer a, gconstpointer b)
{
  const RakeAddition *one = a, *other = b;

  if (one->is_sealed != other->is_sealed)
    return one->is_sealed ? -1 : 1;
  if (one->is_sealed)
    return rake_entry_compare_pointers (&one->entry, &other->entry);
  return one->line < other->line ? -1 : one->line > other->line;
}

static gboolean
divides_zones (const RakeAddition *additions, guint n_additions)
{
  for (guint i = 0; i < n_additions; i++)
    if (additions[i].entry->kind == RAKE_ENTRY_ZONES)
      return TRUE;
  return FALSE;
}

static gboolean
check_tiling (RakeJob *job, const RakeAddition *additions, guint n_additions, GError **error)
{
  g_autoptr (RakeTiling) tiling = rake_tiling_new ();

  if (!divides_zones (additions, n_additions))
    return TRUE;
  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    if (!rake_tiling_check (tiling, rake_job_get_entry (job, i), error))
      return FALSE;
  for (guint i = 0; i < n_additions; i++)
    if (!rake_tiling_check (tiling, additions[i].entry, error))
      {
        if (additions[i].line != 0)
          g_prefix_error (error, _ ("line %u: "), additions[i].line);
        return FALSE;
      }
  return TRUE;
}

/* The number of entries added, or -1. */
static int
add_checked (RakeJobFile *file, RakeJob *job, const RakeAddition *additions, guint n_additions,
             const RakePhotoSource *photos, GError **error)
{
  guint n_added = 0;

  if (n_additions > 0 &&
      (!check_tiling (job, additions, n_additions, error) ||
       !rake_job_file_add (file, job, additions, n_additions, photos, NULL, &n_added, error)))
    return -1;
  return (int) n_added;
}

static int
import (RakeJobFile *file, RakeJob *job, const char *text, gsize length,
        const RakePhotoSource *photos, GError **error)
{
  g_autoptr (GArray) additions = new_additions ();

  if (!read_lines (find_name_space (job, text, length), text, length, additions, error))
    return -1;
  g_array_sort (additions, compare_additions);
  return add_checked (file, job, (RakeAddition *) (gpointer) additions->data, additions->len,
                      photos, error);
}

int
rake_exchange_import (RakeJobFile *file, RakeJob *job, const char *text, gsize length,
                      GError **error)
{
  return import (file, job, text, length, NULL, error);
}

typedef struct
{
  RakeFindPhoto find;
  gpointer user_data;
} Finder;

static gboolean
give_found (const char *sha256, gpointer user_data, RakePhotoBytes *bytes, GError **error)
{
  const Finder *finder = user_data;
  g_autoptr (GError) cannot = NULL;
  g_autoptr (GBytes) found = finder->find (sha256, finder->user_data, &cannot);

  if (found != NULL)
    rake_photo_bytes_init (bytes, found);
  if (cannot == NULL)
    return TRUE;
  g_propagate_error (error, g_steal_pointer (&cannot));
  return FALSE;
}

int
rake_exchange_import_with_photos (RakeJobFile *file, RakeJob *job, const char *text, gsize length,
                                  RakeFindPhoto find, gpointer user_data, GError **error)
{
  Finder finder = { find, user_data };
  const RakePhotoSource photos = { give_found, &finder, FALSE };

  return import (file, job, text, length, &photos, error);
}

/* --- merging ------------------------------------------------------------------------------------- */

static gboolean
check_same_job (RakeJob *job, GPtrArray *entries, GError **error)
{
  const RakeEntry *ours = find_first_job_entry (job), *theirs = NULL;

  for (guint i = 0; i < entries->len && theirs == NULL; i++)
    if (((RakeEntry *) entries->pdata[i])->kind == RAKE_ENTRY_JOB)
      theirs = entries->pdata[i];
  if (ours == NULL || theirs == NULL || rake_id_equal (ours->id, theirs->id))
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("these are two jobs, “%s” and “%s”, not two copies of one"), ours->job.name,
               theirs->job.name);
  return FALSE;
}

/* What the other file lacks or has withdrawn is not there to be given. */
static gboolean
give_from_file (const char *sha256, gpointer user_data, RakePhotoBytes *bytes, GError **error)
{
  RakeJobFile *other = user_data;
  g_autoptr (GBytes) original = NULL;
  RakePhotoStanding standing;

  if (!rake_job_file_find_photo (other, sha256, &standing, error))
    return FALSE;
  if (standing != RAKE_PHOTO_KEPT)
    return TRUE;
  original = rake_job_file_read_photo (other, sha256, error);
  if (original == NULL)
    return FALSE;
  /* it was checked just now against this hash */
  bytes->original = g_steal_pointer (&original);
  g_strlcpy (bytes->sha256, sha256, sizeof bytes->sha256);
  return rake_job_file_read_photo_copy (other, sha256, RAKE_PHOTO_COPY_WORKING, &bytes->working,
                                        error) &&
         rake_job_file_read_photo_copy (other, sha256, RAKE_PHOTO_COPY_THUMBNAIL, &bytes->thumbnail,
                                        error);
}

int
rake_exchange_merge (RakeJobFile *file, RakeJob *job, RakeJobFile *other, GError **error)
{
  g_autoptr (GPtrArray) entries = rake_job_file_read_all (other, error);
  g_autofree RakeAddition *additions = NULL;
  const RakePhotoSource photos = { give_from_file, other, TRUE };

  if (entries == NULL)
    return -1;
  if (other->is_newer)
    {
      g_set_error (
          error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NEWER,
          _ ("the other job file is of a newer version; this one cannot take all of it in"));
      return -1;
    }
  if (!check_same_job (job, entries, error))
    return -1;
  additions = g_new0 (RakeAddition, entries->len);
  for (guint i = 0; i < entries->len; i++)
    additions[i] = (RakeAddition){ .entry = entries->pdata[i], .is_sealed = TRUE };
  return add_checked (file, job, additions, entries->len, &photos, error);
}
