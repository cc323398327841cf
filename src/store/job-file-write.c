/* job-file-write.c - entries into the file: all of a gesture durably, or nothing of it. */
#include "store-private.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- rows --------------------------------------------------------------------------------------- */

/* A text that is bound outlives the step: it is the entry's. */
static int
bind_text (sqlite3_stmt *row, int column, const char *text)
{
  return text != NULL && *text != '\0' ? sqlite3_bind_text (row, column, text, -1, SQLITE_STATIC)
                                       : sqlite3_bind_null (row, column);
}

static int
bind_id (sqlite3_stmt *row, int column, RakeId id)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  if (rake_id_is_nil (id))
    return sqlite3_bind_null (row, column);
  rake_id_to_text (id, text);
  return sqlite3_bind_text (row, column, text, RAKE_ID_TEXT_LENGTH, SQLITE_TRANSIENT);
}

static int
bind_shape (sqlite3_stmt *row, int column, const RakeShape *shape)
{
  gpointer bytes;
  gsize n_bytes;

  if (shape == NULL)
    return sqlite3_bind_null (row, column);
  bytes = g_bytes_unref_to_data (rake_shape_to_wkb (shape), &n_bytes);
  return sqlite3_bind_blob64 (row, column, bytes, n_bytes, g_free);
}

static int
bind_field (sqlite3_stmt *row, int column, const RakeField *field, gpointer record)
{
  double number;
  int value;

  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      return bind_text (row, column, RAKE_FIELD_AT (record, field, char *));
    case RAKE_FIELD_ID:
      return bind_id (row, column, RAKE_FIELD_AT (record, field, RakeId));
    case RAKE_FIELD_REAL:
      number = RAKE_FIELD_AT (record, field, double);
      return isnan (number) ? sqlite3_bind_null (row, column)
                            : sqlite3_bind_double (row, column, number);
    case RAKE_FIELD_WORD:
      value = RAKE_FIELD_AT (record, field, int);
      return bind_text (row, column, rake_field_get_word (field, value));
    case RAKE_FIELD_SHAPE:
      return bind_shape (row, column, RAKE_FIELD_AT (record, field, RakeShape *));
    case RAKE_FIELD_IDS:
    case RAKE_FIELD_TEXTS:
    case RAKE_FIELD_RECORDS:
      break;
    }
  g_return_val_if_reached (SQLITE_MISUSE);
}

static gboolean
bind_fields (sqlite3_stmt *row, int column, const RakeField *fields, gpointer record)
{
  for (const RakeField *field = fields; field->name != NULL; field++)
    if (field->type < RAKE_FIELD_IDS && bind_field (row, column++, field, record) != SQLITE_OK)
      return FALSE;
  return TRUE;
}

static gboolean
insert_item (RakeJobFile *self, RakeTable *table, gint64 arrival, guint position, gpointer record,
             GError **error)
{
  g_autoptr (RakeRunningStatement) row = rake_table_get_insert (self, table, error);
  int column = 1;

  if (row == NULL)
    return FALSE;
  if (sqlite3_bind_int64 (row, column++, arrival) == SQLITE_OK &&
      (table->list == NULL || sqlite3_bind_int64 (row, column++, position) == SQLITE_OK) &&
      bind_fields (row, column, table->fields, record) && sqlite3_step (row) == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (self->db, _ ("write an entry"), error);
  return FALSE;
}

static gboolean
insert_list (RakeJobFile *self, RakeTable *table, gint64 arrival, gpointer body, GError **error)
{
  gconstpointer list = RAKE_FIELD_AT (body, table->list, gconstpointer);
  guint n_items = rake_field_get_n_items (table->list, body);

  for (guint i = 0; i < n_items; i++)
    {
      gpointer item =
          table->list->type == RAKE_FIELD_TEXTS
              ? (gpointer) & ((const GPtrArray *) list)->pdata[i]
              : ((const GArray *) list)->data + i * g_array_get_element_size ((GArray *) list);
      if (!insert_item (self, table, arrival, i, item, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
insert_head (RakeJobFile *self, const RakeEntry *entry, gint64 arrival, GError **error)
{
  g_autoptr (RakeRunningStatement) row = NULL;

  if (self->insert_entry == NULL)
    self->insert_entry = rake_database_prepare (
        self->db, "INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        _ ("write an entry"), error);
  if (self->insert_entry == NULL)
    return FALSE;
  row = self->insert_entry;
  if (sqlite3_bind_int64 (row, 1, arrival) == SQLITE_OK &&
      bind_id (row, 2, entry->id) == SQLITE_OK &&
      bind_text (row, 3, rake_entry_kind_get_name (entry->kind)) == SQLITE_OK &&
      bind_id (row, 4, entry->bench) == SQLITE_OK &&
      sqlite3_bind_int64 (row, 5, entry->number) == SQLITE_OK &&
      sqlite3_bind_int64 (row, 6, entry->written_ms) == SQLITE_OK &&
      sqlite3_bind_int64 (row, 7, entry->happened_ms) == SQLITE_OK &&
      sqlite3_bind_int (row, 8, entry->utc_offset_minutes) == SQLITE_OK &&
      bind_text (row, 9, entry->who) == SQLITE_OK &&
      bind_id (row, 10, entry->gesture) == SQLITE_OK &&
      sqlite3_bind_blob (row, 11, entry->previous, 32, SQLITE_STATIC) == SQLITE_OK &&
      sqlite3_bind_blob (row, 12, entry->hash, 32, SQLITE_STATIC) == SQLITE_OK &&
      sqlite3_step (row) == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (self->db, _ ("write an entry"), error);
  return FALSE;
}

static gboolean
insert_entry (RakeJobFile *self, const RakeEntry *entry, gint64 arrival, GError **error)
{
  RakeKindTables *tables = &self->kinds[entry->kind];
  gpointer body = rake_entry_get_body (entry);

  if (!insert_head (self, entry, arrival, error) ||
      !insert_item (self, &tables->body, arrival, 0, body, error))
    return FALSE;
  for (guint i = 0; i < tables->n_lists; i++)
    if (!insert_list (self, &tables->lists[i], arrival, body, error))
      return FALSE;
  return TRUE;
}

/* --- heads --------------------------------------------------------------------------------------- */

/* One tick after everything in the file at least, whatever the clock says. */
static void
stamp_time (RakeJobFile *self, RakeEntry *entry, gboolean keeps_time)
{
  gboolean happened_then = entry->happened_ms == entry->written_ms;
  gint64 wanted_ms = keeps_time ? entry->written_ms : rake_store_get_now_ms ();

  entry->written_ms = MAX (wanted_ms, self->latest_ms + 1);
  if (happened_then)
    entry->happened_ms = entry->written_ms;
}

static void
stamp (RakeJobFile *self, const RakeAddition *addition, RakeId gesture, const char *who)
{
  RakeEntry *entry = addition->entry;
  const RakeChainEnd *end;

  entry->bench = rake_job_file_get_bench (self);
  end = g_hash_table_lookup (self->chain_ends, &entry->bench);
  entry->number = end != NULL ? end->number + 1 : 1;
  memset (entry->previous, 0, sizeof entry->previous);
  if (end != NULL)
    memcpy (entry->previous, end->hash, sizeof entry->previous);
  stamp_time (self, entry, addition->keeps_head);
  if (!addition->keeps_head)
    {
      entry->gesture = gesture;
      g_free (entry->who);
      entry->who = g_strdup (who);
    }
  rake_entry_seal (entry);
}

/* Whether a sealed entry is what its hash says. */
static gboolean
check_seal (const RakeEntry *entry, GError **error)
{
  guint8 hash[32];

  rake_entry_compute_hash (entry, hash);
  if (memcmp (hash, entry->hash, sizeof hash) == 0)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("hash: the entry is not what was sealed; it was changed afterwards"));
  return FALSE;
}

/* Two copies of a job that the same bench wrote into apart have two chains where there can be one. */
static gboolean
check_no_fork (RakeJobFile *self, const RakeEntry *entry, GError **error)
{
  const RakeChainEnd *end = g_hash_table_lookup (self->chain_ends, &entry->bench);
  char bench[RAKE_ID_TEXT_LENGTH + 1];

  if (end == NULL || entry->number > end->number)
    return TRUE;
  rake_id_to_text (entry->bench, bench);
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("entry number %" PRId64 " of bench %s is there already and says something "
                  "else: two copies of the job were written in apart at one bench, and cannot be "
                  "made one"),
               entry->number, bench);
  return FALSE;
}

/* --- adding --------------------------------------------------------------------------------------- */

static gboolean
is_there_already (RakeJob *job, const RakeEntry *entry)
{
  const RakeEntry *known = rake_job_find_entry (job, entry->id);

  return known != NULL && memcmp (known->hash, entry->hash, sizeof known->hash) == 0;
}

/* What one call of rake_job_file_add() is about. */
typedef struct
{
  RakeJobFile *file;
  RakeJob *job;
  RakeId gesture; /* the first entry's */
  const char *who;
  const RakePhotoSource *photos;
  GPtrArray *applied; /* what reached the job, in the order in which it goes into the file */
} Adding;

static gboolean
refuse_addition (const RakeAddition *addition, GError **error)
{
  if (addition->line != 0)
    g_prefix_error (error, _ ("line %u: "), addition->line);
  return FALSE;
}

static gboolean
check_sealed (RakeJobFile *self, const RakeEntry *entry, GError **error)
{
  return rake_entry_check (entry, error) && check_no_fork (self, entry, error) &&
         check_seal (entry, error) && rake_chain_follow (self->chain_ends, entry, error);
}

/* Sealed entries reach the job all at once, which then builds itself once. */
static gboolean
adopt_sealed (Adding *adding, const RakeAddition *additions, guint n_additions, GError **error)
{
  g_autoptr (GPtrArray) new = g_ptr_array_new ();
  g_autoptr (GPtrArray) new_additions = g_ptr_array_new ();
  guint which = 0;

  for (guint i = 0; i < n_additions; i++)
    {
      RakeEntry *entry = additions[i].entry;

      if (!additions[i].is_sealed || is_there_already (adding->job, entry))
        continue;
      if (!check_sealed (adding->file, entry, error))
        return refuse_addition (&additions[i], error);
      g_ptr_array_add (new, entry);
      g_ptr_array_add (new_additions, (gpointer) &additions[i]);
    }
  if (new->len == 0)
    return TRUE;
  if (!rake_job_adopt (adding->job, (RakeEntry *const *) new->pdata, new->len, &which, error))
    return refuse_addition (new_additions->pdata[which], error);
  g_ptr_array_extend (adding->applied, new, NULL, NULL);
  for (guint i = 0; i < new->len; i++)
    adding->file->latest_ms =
        MAX (adding->file->latest_ms, ((RakeEntry *) new->pdata[i])->written_ms);
  return TRUE;
}

static gboolean
apply_draft (Adding *adding, const RakeAddition *addition, GError **error)
{
  RakeEntry *entry = addition->entry;

  stamp (adding->file, addition, adding->gesture, adding->who);
  if (!rake_entry_check (entry, error) || !rake_job_apply (adding->job, entry, error))
    return refuse_addition (addition, error);
  g_ptr_array_add (adding->applied, entry);
  adding->file->latest_ms = entry->written_ms;
  return rake_chain_follow (adding->file->chain_ends, entry, error) ||
         refuse_addition (addition, error);
}

/* After all entries: what the same gesture withdraws is not taken in first. Also for photographs whose
 * entries were there already, but not their bytes. */
static gboolean
add_photo_bytes (Adding *adding, const RakeAddition *additions, guint n_additions, GError **error)
{
  for (guint i = 0; i < n_additions; i++)
    {
      const RakeEntry *entry = additions[i].entry;
      gboolean is_done = entry->kind == RAKE_ENTRY_PHOTO
                             ? rake_photo_take (adding->file, adding->job, entry,
                                                additions[i].is_sealed, adding->photos, error)
                         : entry->kind == RAKE_ENTRY_WITHDRAWAL
                             ? rake_photo_erase (adding->file, adding->job, entry, error)
                             : TRUE;

      if (!is_done)
        return refuse_addition (&additions[i], error);
    }
  return TRUE;
}

static gboolean
withdraws_any (const RakeAddition *additions, guint n_additions)
{
  for (guint i = 0; i < n_additions; i++)
    if (additions[i].entry->kind == RAKE_ENTRY_WITHDRAWAL)
      return TRUE;
  return FALSE;
}

/* The work of rake_job_file_add() inside its transaction. */
static gboolean
add_all (Adding *adding, const RakeAddition *additions, guint n_additions, GError **error)
{
  if (!adopt_sealed (adding, additions, n_additions, error))
    return FALSE;
  for (guint i = 0; i < n_additions; i++)
    if (!additions[i].is_sealed && !apply_draft (adding, &additions[i], error))
      return FALSE;
  for (guint i = 0; i < adding->applied->len; i++)
    if (!insert_entry (adding->file, adding->applied->pdata[i], adding->file->last_arrival + 1 + i,
                       error))
      return FALSE;
  return add_photo_bytes (adding, additions, n_additions, error);
}

/* A file that was moved or replaced under an open handle would take entries that nobody finds again,
 * and a log that belongs to another file. */
static gboolean
check_is_in_place (RakeJobFile *self, GError **error)
{
  int has_moved = 0;

  sqlite3_file_control (self->db, "main", SQLITE_FCNTL_HAS_MOVED, &has_moved);
  if (!has_moved)
    return TRUE;
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_FOUND,
               _ ("the job file was moved, deleted or replaced while it was open; nothing was "
                  "written. Open it again where it is now"));
  return FALSE;
}

gboolean
rake_job_file_add (RakeJobFile *self, RakeJob *job, const RakeAddition *additions,
                   guint n_additions, const RakePhotoSource *photos, const char *who,
                   guint *n_added, GError **error)
{
  g_autoptr (RakeTransaction) transaction = NULL;
  g_autoptr (GPtrArray) applied = g_ptr_array_new ();
  Adding adding = {
    .file = self, .job = job, .who = who, .photos = photos, .applied = applied
  };

  g_return_val_if_fail (n_additions > 0, FALSE);
  adding.gesture = additions[0].entry->id;
  if (self->is_read_only)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY,
                   _ ("the job file is open for reading only"));
      return FALSE;
    }
  if (!check_is_in_place (self, error) ||
      !rake_database_run (self->db, "BEGIN IMMEDIATE", _ ("begin an entry"), error))
    return FALSE;
  transaction = self->db;
  if (!rake_job_file_catch_up_inside (self, job, error))
    return FALSE;
  if (!add_all (&adding, additions, n_additions, error) ||
      !rake_database_run (self->db, "COMMIT", _ ("keep an entry"), error))
    {
      rake_job_forget (job, (RakeEntry *const *) applied->pdata, applied->len);
      rake_job_file_restore_chain_ends (self, job);
      return FALSE;
    }
  g_steal_pointer (&transaction);
  self->last_arrival += applied->len;
  if (n_added != NULL)
    *n_added = applied->len;
  /* As in rake_job_file_set_client(): the log still has what was taken away. */
  if (withdraws_any (additions, n_additions))
    sqlite3_exec (self->db, "PRAGMA wal_checkpoint (TRUNCATE)", NULL, NULL, NULL);
  return TRUE;
}

gboolean
rake_job_file_append (RakeJobFile *self, RakeJob *job, RakeEntry *const *entries, guint n_entries,
                      const char *who, GError **error)
{
  g_autofree RakeAddition *additions = g_new0 (RakeAddition, n_entries);

  for (guint i = 0; i < n_entries; i++)
    additions[i].entry = entries[i];
  return rake_job_file_add (self, job, additions, n_entries, NULL, who, NULL, error);
}

static int
compare_additions (gconstpointer a, gconstpointer b)
{
  return rake_entry_compare_pointers (&((const RakeAddition *) a)->entry,
                                      &((const RakeAddition *) b)->entry);
}

gboolean
rake_job_file_adopt (RakeJobFile *self, RakeJob *job, RakeEntry *const *entries, guint n_entries,
                     GError **error)
{
  g_autofree RakeAddition *additions = g_new0 (RakeAddition, n_entries);

  for (guint i = 0; i < n_entries; i++)
    additions[i] = (RakeAddition){ .entry = entries[i], .is_sealed = TRUE };
  /* So that each finds what it speaks of. */
  if (n_entries > 0)
    qsort (additions, n_entries, sizeof *additions, compare_additions);
  return n_entries == 0 ||
         rake_job_file_add (self, job, additions, n_entries, NULL, NULL, NULL, error);
}

/* --- the client -------------------------------------------------------------------------------- */

static gboolean
put_client (RakeJobFile *self, const char *name, const char *contact, GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  gboolean is_erased = (name == NULL || *name == '\0') && (contact == NULL || *contact == '\0');

  if (sqlite3_prepare_v2 (self->db,
                          is_erased ? "DELETE FROM client"
                                    : "INSERT INTO client VALUES (1, ?, ?) ON CONFLICT (one) DO "
                                      "UPDATE SET name = excluded.name, contact = excluded.contact",
                          -1, &row, NULL) == SQLITE_OK &&
      (is_erased ||
       (bind_text (row, 1, name) == SQLITE_OK && bind_text (row, 2, contact) == SQLITE_OK)) &&
      sqlite3_step (row) == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (self->db, _ ("keep the client"), error);
  return FALSE;
}

static gboolean
check_client_text (const char *field, const char *text, gsize max_length, GError **error)
{
  if (text == NULL || (strlen (text) <= max_length && g_utf8_validate (text, -1, NULL)))
    return TRUE;
  g_set_error (error, RAKE_ENTRY_ERROR, RAKE_ENTRY_ERROR_FIELD,
               _ ("%s is not UTF-8 text of at most %zu bytes"), field, max_length);
  return FALSE;
}

gboolean
rake_job_file_set_client (RakeJobFile *self, const char *name, const char *contact, GError **error)
{
  if (!check_client_text ("name", name, 200, error) ||
      !check_client_text ("contact", contact, 1000, error))
    return FALSE;
  if (self->is_read_only)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY,
                   _ ("the job file is open for reading only"));
      return FALSE;
    }
  if (!put_client (self, name, contact, error))
    return FALSE;
  /* What was there before is overwritten in the file (secure_delete) but still stands in the log
   * beside it, until that is folded back. Another program that reads just now puts that off to its
   * closing. */
  sqlite3_exec (self->db, "PRAGMA wal_checkpoint (TRUNCATE)", NULL, NULL, NULL);
  return TRUE;
}

/* Nothing vouches for these texts: no hash, and the file may be a stranger's. */
static char *
copy_text (sqlite3_stmt *row, int column)
{
  const char *text = (const char *) sqlite3_column_text (row, column);

  return text != NULL ? g_utf8_make_valid (text, -1) : NULL;
}

gboolean
rake_job_file_get_client (RakeJobFile *self, char **name, char **contact, GError **error)
{
  g_autoptr (sqlite3_stmt) row = NULL;
  int result = SQLITE_ERROR;

  *name = *contact = NULL;
  if (sqlite3_prepare_v2 (self->db, "SELECT name, contact FROM client", -1, &row, NULL) ==
      SQLITE_OK)
    result = sqlite3_step (row);
  if (result == SQLITE_ROW)
    {
      *name = copy_text (row, 0);
      *contact = copy_text (row, 1);
    }
  else if (result != SQLITE_DONE)
    {
      rake_database_take_error (self->db, _ ("read the client"), error);
      return FALSE;
    }
  return TRUE;
}
