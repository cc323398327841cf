/* job-file-read.c - entries from the file into a job.
 *
 * One ordered scan of each table, merged by arrival: a query for every entry would cost more than
 * everything else. Whatever is read is checked before anyone sees it. */
#include "store-private.h"

#include <inttypes.h>
#include <string.h>

/* "entry 12 (pass)": where a fault was found. */
static void
say_where (gint64 arrival, const char *kind, GError **error)
{
  g_prefix_error (error, _ ("entry %" PRId64 " (%s): "), arrival, kind);
}

static gboolean
is_damaged (GError **error, const char *name, const char *what)
{
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, "%s %s", name, what);
  return FALSE;
}

/* A checked value's error becomes one of the file: it cannot be the caller's doing. */
void
rake_error_make_damaged (GError **error)
{
  if (error == NULL || *error == NULL)
    return;
  (*error)->domain = RAKE_JOB_FILE_ERROR;
  (*error)->code = RAKE_JOB_FILE_ERROR_DAMAGED;
}

/* --- columns ---------------------------------------------------------------------------------- */

static gboolean
read_text (sqlite3_stmt *row, int column, const char *name, const char **text, GError **error)
{
  if (sqlite3_column_type (row, column) != SQLITE_TEXT)
    return is_damaged (error, name, _ ("is not a text"));
  *text = (const char *) sqlite3_column_text (row, column);
  if (*text == NULL || strlen (*text) != (gsize) sqlite3_column_bytes (row, column))
    return is_damaged (error, name, _ ("is not a text"));
  return TRUE;
}

static gboolean
read_id (sqlite3_stmt *row, int column, const char *name, RakeId *id, GError **error)
{
  const char *text;

  if (!read_text (row, column, name, &text, error))
    return FALSE;
  /* One id is one text here: SQL joins by it, and the seal prints it. */
  if (strpbrk (text, "ABCDEF") != NULL)
    return is_damaged (error, name, _ ("is not an id"));
  return rake_id_from_text (text, id) || is_damaged (error, name, _ ("is not an id"));
}

static gboolean
read_integer (sqlite3_stmt *row, int column, const char *name, gint64 *number, GError **error)
{
  if (sqlite3_column_type (row, column) != SQLITE_INTEGER)
    return is_damaged (error, name, _ ("is not a whole number"));
  *number = sqlite3_column_int64 (row, column);
  return TRUE;
}

static gboolean
read_hash (sqlite3_stmt *row, int column, const char *name, guint8 hash[32], GError **error)
{
  if (sqlite3_column_type (row, column) != SQLITE_BLOB || sqlite3_column_bytes (row, column) != 32)
    return is_damaged (error, name, _ ("is not a hash"));
  memcpy (hash, sqlite3_column_blob (row, column), 32);
  return TRUE;
}

static gboolean
read_real (sqlite3_stmt *row, int column, const char *name, double *number, GError **error)
{
  int type = sqlite3_column_type (row, column);

  if (type != SQLITE_FLOAT && type != SQLITE_INTEGER)
    return is_damaged (error, name, _ ("is not a number"));
  *number = sqlite3_column_double (row, column);
  return TRUE;
}

static gboolean
read_word (sqlite3_stmt *row, int column, const RakeField *field, int *value, GError **error)
{
  const char *text;

  if (!read_text (row, column, field->name, &text, error))
    return FALSE;
  *value = rake_field_find_word (field, text);
  return *value != 0 || is_damaged (error, field->name, _ ("is none of its words"));
}

static gboolean
read_shape (sqlite3_stmt *row, int column, const char *name, RakeShape **shape, GError **error)
{
  g_autoptr (GBytes) wkb = NULL;
  int n_bytes = sqlite3_column_bytes (row, column);

  if (sqlite3_column_type (row, column) != SQLITE_BLOB || n_bytes > RAKE_SHAPE_MAX_BYTES)
    return is_damaged (error, name, _ ("is not a shape"));
  /* Not copied: the bytes outlive the call, and the shape keeps none of them. */
  wkb = g_bytes_new_static (sqlite3_column_blob (row, column), (gsize) n_bytes);
  *shape = rake_shape_from_wkb (wkb, error);
  if (*shape != NULL)
    return TRUE;
  rake_error_make_damaged (error);
  g_prefix_error (error, "%s: ", name);
  return FALSE;
}

static gboolean
read_field (sqlite3_stmt *row, int column, const RakeField *field, gpointer record, GError **error)
{
  const char *text;

  if (sqlite3_column_type (row, column) == SQLITE_NULL)
    return TRUE; /* unsaid; rake_entry_check() knows what may be */
  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      if (!read_text (row, column, field->name, &text, error))
        return FALSE;
      RAKE_FIELD_AT (record, field, char *) = g_strdup (text);
      return TRUE;
    case RAKE_FIELD_ID:
      return read_id (row, column, field->name, &RAKE_FIELD_AT (record, field, RakeId), error);
    case RAKE_FIELD_REAL:
      return read_real (row, column, field->name, &RAKE_FIELD_AT (record, field, double), error);
    case RAKE_FIELD_WORD:
      return read_word (row, column, field, &RAKE_FIELD_AT (record, field, int), error);
    case RAKE_FIELD_SHAPE:
      return read_shape (row, column, field->name, &RAKE_FIELD_AT (record, field, RakeShape *),
                         error);
    case RAKE_FIELD_IDS:
    case RAKE_FIELD_TEXTS:
    case RAKE_FIELD_RECORDS:
      break;
    }
  g_return_val_if_reached (FALSE);
}

static gboolean
read_fields (sqlite3_stmt *row, int column, const RakeField *fields, gpointer record,
             GError **error)
{
  for (const RakeField *field = fields; field->name != NULL; field++)
    if (field->type < RAKE_FIELD_IDS && !read_field (row, column++, field, record, error))
      return FALSE;
  return TRUE;
}

/* --- tables ----------------------------------------------------------------------------------- */

static gboolean
step (RakeJobFile *self, RakeTable *table, GError **error)
{
  int result = sqlite3_step (table->select);

  table->is_at_row = result == SQLITE_ROW;
  if (result == SQLITE_ROW || result == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (self->db, _ ("read an entry"), error);
  return FALSE;
}

static gboolean
start (RakeJobFile *self, RakeTable *table, gint64 after, GError **error)
{
  if (table->is_started)
    return TRUE;
  if (rake_table_get_select (self, table, error) == NULL)
    return FALSE;
  sqlite3_bind_int64 (table->select, 1, after);
  table->is_started = TRUE;
  return step (self, table, error);
}

static gboolean
is_at (RakeTable *table, gint64 arrival)
{
  return table->is_at_row && sqlite3_column_int64 (table->select, 0) == arrival;
}

static gboolean
read_item (RakeTable *table, gpointer body, guint position, GError **error)
{
  const RakeField *list_field = table->list;
  gpointer list = rake_field_take_list (list_field, body);

  if (position >= list_field->max_length)
    return is_damaged (error, list_field->name, _ ("has too many items"));
  if (sqlite3_column_int64 (table->select, 1) != position)
    return is_damaged (error, list_field->name, _ ("has a gap"));
  if (list_field->type == RAKE_FIELD_TEXTS)
    {
      const char *text;
      if (!read_text (table->select, 2, list_field->name, &text, error))
        return FALSE;
      g_ptr_array_add (list, g_strdup (text));
      return TRUE;
    }
  g_array_set_size (list, position + 1);
  {
    gsize size = g_array_get_element_size (list);
    gpointer record = ((GArray *) list)->data + position * size;
    rake_field_init_record (table->fields, size, record);
    return read_fields (table->select, 2, table->fields, record, error);
  }
}

static gboolean
read_list (RakeJobFile *self, RakeTable *table, gint64 after, gint64 arrival, gpointer body,
           GError **error)
{
  if (!start (self, table, after, error))
    return FALSE;
  for (guint position = 0; is_at (table, arrival); position++)
    if (!read_item (table, body, position, error) || !step (self, table, error))
      return FALSE;
  return TRUE;
}

static gboolean
read_body (RakeJobFile *self, RakeEntry *entry, gint64 after, gint64 arrival, GError **error)
{
  RakeKindTables *tables = &self->kinds[entry->kind];
  RakeTable *table = &tables->body;
  gpointer body = rake_entry_get_body (entry);

  if (!start (self, table, after, error))
    return FALSE;
  if (!is_at (table, arrival))
    return is_damaged (error, table->name, _ ("has no row for it, or one too many"));
  if (!read_fields (table->select, 1, table->fields, body, error) || !step (self, table, error))
    return FALSE;
  for (guint i = 0; i < tables->n_lists; i++)
    if (!read_list (self, &tables->lists[i], after, arrival, body, error))
      return FALSE;
  return TRUE;
}

static gboolean
stop_table (RakeTable *table)
{
  gboolean is_used_up = !table->is_at_row;

  if (table->select != NULL)
    rake_running_statement_stop (table->select);
  table->is_started = table->is_at_row = FALSE;
  return is_used_up;
}

/* Resets every table; the name of one that had rows left over, or NULL. */
static const char *
stop_tables (RakeJobFile *self)
{
  const char *left_over = NULL;

  for (int kind = RAKE_ENTRY_JOB; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      RakeKindTables *tables = &self->kinds[kind];
      if (!stop_table (&tables->body))
        left_over = tables->body.name;
      for (guint i = 0; i < tables->n_lists; i++)
        if (!stop_table (&tables->lists[i]))
          left_over = tables->lists[i].name;
    }
  return left_over;
}

/* --- entries ---------------------------------------------------------------------------------- */

#define SELECT_ENTRIES                                                                             \
  "SELECT arrival, id, kind, bench, number, written_ms, happened_ms, utc_offset_minutes, who, "    \
  "gesture, previous, hash FROM entry WHERE arrival > ?1 ORDER BY arrival"

static gboolean
read_head (sqlite3_stmt *row, RakeEntry *entry, GError **error)
{
  const char *who = NULL;
  gint64 offset;

  if (!read_id (row, 1, "id", &entry->id, error) ||
      !read_id (row, 3, "bench", &entry->bench, error) ||
      !read_integer (row, 4, "number", &entry->number, error) ||
      !read_integer (row, 5, "written_ms", &entry->written_ms, error) ||
      !read_integer (row, 6, "happened_ms", &entry->happened_ms, error) ||
      !read_integer (row, 7, "utc_offset_minutes", &offset, error) ||
      (sqlite3_column_type (row, 8) != SQLITE_NULL && !read_text (row, 8, "who", &who, error)) ||
      !read_id (row, 9, "gesture", &entry->gesture, error) ||
      !read_hash (row, 10, "previous", entry->previous, error) ||
      !read_hash (row, 11, "hash", entry->hash, error))
    return FALSE;
  entry->utc_offset_minutes = (int) CLAMP (offset, G_MININT, G_MAXINT);
  entry->who = g_strdup (who);
  return TRUE;
}

static RakeEntry *
read_entry (RakeJobFile *self, sqlite3_stmt *row, RakeEntryKind kind, gint64 after, gint64 arrival,
            GError **error)
{
  g_autoptr (RakeEntry) entry = rake_entry_new_unsaid (kind);

  if (!read_head (row, entry, error) || !read_body (self, entry, after, arrival, error))
    return NULL;
  if (!rake_entry_check (entry, error))
    {
      rake_error_make_damaged (error);
      return NULL;
    }
  return g_steal_pointer (&entry);
}

/* One row of the table entry: its kind, 0 with no error set for one to be passed over. */
static gboolean
read_kind (RakeJobFile *self, sqlite3_stmt *row, gint64 expected, RakeEntryKind *kind,
           GError **error)
{
  const char *name;

  if (sqlite3_column_int64 (row, 0) != expected)
    {
      g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
                   _ ("entry %" PRId64 " is missing"), expected);
      return FALSE;
    }
  if (!read_text (row, 2, "kind", &name, error))
    return FALSE;
  *kind = rake_entry_kind_from_name (name);
  return *kind != 0 || self->is_newer || is_damaged (error, name, _ ("is no kind of entry"));
}

static gboolean
read_each (RakeJobFile *self, sqlite3_stmt *row, gint64 after, RakeTakeEntry take,
           gpointer user_data, GError **error)
{
  gint64 arrival = after;
  int result;

  while ((result = sqlite3_step (row)) == SQLITE_ROW)
    {
      g_autoptr (RakeEntry) entry = NULL;
      RakeEntryKind kind;

      arrival++;
      if (!read_kind (self, row, arrival, &kind, error))
        return FALSE;
      if (kind == 0)
        {
          RakeId id;
          if (!read_id (row, 1, "id", &id, error))
            return FALSE;
          rake_newer_pass_over (self, &id);
          continue;
        }
      entry = read_entry (self, row, kind, after, arrival, error);
      if (entry == NULL)
        {
          say_where (arrival, rake_entry_kind_get_name (kind), error);
          return FALSE;
        }
      if (!take (entry, arrival, user_data, error))
        return FALSE;
    }
  if (result == SQLITE_DONE)
    return TRUE;
  rake_database_take_error (self->db, _ ("read an entry"), error);
  return FALSE;
}

gboolean
rake_job_file_read_entries (RakeJobFile *self, gint64 after, RakeTakeEntry take, gpointer user_data,
                            GError **error)
{
  g_autoptr (RakeRunningStatement) row = NULL;
  const char *left_over;
  gboolean is_read;

  g_assert (!self->is_reading); /* the statements stand where they stand */
  if (self->select_entries == NULL)
    self->select_entries =
        rake_database_prepare (self->db, SELECT_ENTRIES, _ ("read the job file"), error);
  if (self->select_entries == NULL)
    return FALSE;
  row = self->select_entries;
  sqlite3_bind_int64 (row, 1, after);
  self->is_reading = TRUE;
  is_read = read_each (self, row, after, take, user_data, error);
  left_over = stop_tables (self);
  self->is_reading = FALSE;
  if (is_read && left_over != NULL && !self->is_newer)
    return is_damaged (error, left_over, _ ("has rows that belong to no entry"));
  return is_read || rake_newer_explain (self, error);
}

/* --- chains ----------------------------------------------------------------------------------- */

GHashTable *
rake_chain_ends_new (void)
{
  return g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, NULL, g_free);
}

static gboolean
chain_is_broken (const RakeEntry *entry, const char *what, GError **error)
{
  char bench[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (entry->bench, bench);
  g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED,
               _ ("number %" PRId64 " of bench %s %s"), entry->number, bench, what);
  return FALSE;
}

gboolean
rake_chain_follow (GHashTable *chain_ends, const RakeEntry *entry, GError **error)
{
  static const guint8 nothing[32];
  RakeChainEnd *end = g_hash_table_lookup (chain_ends, &entry->bench);

  if (entry->number != (end != NULL ? end->number + 1 : 1))
    return chain_is_broken (entry, _ ("does not follow: an entry before it is missing"), error);
  if (memcmp (entry->previous, end != NULL ? end->hash : nothing, 32) != 0)
    return chain_is_broken (entry, _ ("does not follow: the entry before it is another one"),
                            error);
  if (end != NULL && entry->written_ms <= end->written_ms)
    return chain_is_broken (entry, _ ("was written before the entry that it follows"), error);
  if (end == NULL)
    {
      end = g_new0 (RakeChainEnd, 1);
      end->bench = entry->bench;
      g_hash_table_insert (chain_ends, &end->bench, end);
    }
  end->number = entry->number;
  end->written_ms = entry->written_ms;
  memcpy (end->hash, entry->hash, 32);
  return TRUE;
}

int
rake_entry_compare_pointers (gconstpointer a, gconstpointer b)
{
  const RakeEntry *one = *(RakeEntry *const *) a, *other = *(RakeEntry *const *) b;
  int by_bench;

  if (one->written_ms != other->written_ms)
    return one->written_ms < other->written_ms ? -1 : 1;
  by_bench = rake_id_compare (one->bench, other->bench);
  if (by_bench != 0)
    return by_bench;
  return one->number < other->number ? -1 : one->number > other->number;
}

/* --- for others -------------------------------------------------------------------------------- */

static gboolean
keep_entry (RakeEntry *entry, gint64 arrival, gpointer user_data, GError **error)
{
  g_ptr_array_add (user_data, rake_entry_ref (entry));
  return TRUE;
}

gboolean
rake_job_file_begin_read (RakeJobFile *self, GError **error)
{
  return rake_database_run (self->db, "BEGIN", _ ("read the job file"), error);
}

GPtrArray *
rake_job_file_read_all (RakeJobFile *self, GError **error)
{
  g_autoptr (GPtrArray) entries =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  g_autoptr (RakeTransaction) reading = NULL;

  if (!rake_job_file_begin_read (self, error))
    return NULL;
  reading = self->db;
  if (!rake_job_file_read_entries (self, 0, keep_entry, entries, error))
    return NULL;
  rake_newer_drop_unknown (self, entries);
  g_ptr_array_sort (entries, rake_entry_compare_pointers);
  return g_steal_pointer (&entries);
}

static gboolean
read_data_version (RakeJobFile *self, gint64 *version, GError **error)
{
  g_autoptr (RakeRunningStatement) running = NULL;

  if (self->select_data_version == NULL)
    self->select_data_version =
        rake_database_prepare (self->db, "PRAGMA data_version", _ ("read the job file"), error);
  if (self->select_data_version == NULL)
    return FALSE;
  running = self->select_data_version;
  if (sqlite3_step (running) != SQLITE_ROW)
    {
      rake_database_take_error (self->db, _ ("read the job file"), error);
      return FALSE;
    }
  *version = sqlite3_column_int64 (running, 0);
  return TRUE;
}

gboolean
rake_job_file_has_news (RakeJobFile *self)
{
  gint64 version;

  /* What cannot be asked is found out by reading. */
  return !read_data_version (self, &version, NULL) || version != self->data_version;
}

/* --- catching up ------------------------------------------------------------------------------- */

typedef struct
{
  RakeJobFile *file;
  GPtrArray *entries;
  gint64 last_arrival;
} News;

static gboolean
take_news (RakeEntry *entry, gint64 arrival, gpointer user_data, GError **error)
{
  News *news = user_data;

  if (!news->file->is_newer && !rake_chain_follow (news->file->chain_ends, entry, error))
    {
      say_where (arrival, rake_entry_kind_get_name (entry->kind), error);
      return FALSE;
    }
  news->last_arrival = arrival;
  g_ptr_array_add (news->entries, rake_entry_ref (entry));
  return TRUE;
}

/* On record already: what two benches wrote apart may contradict, and is void then. */
gboolean
rake_job_apply_entries (RakeJob *job, GPtrArray *entries, GError **error)
{
  RakeEntry *entry;
  char id[RAKE_ID_TEXT_LENGTH + 1];
  guint which = 0;

  if (rake_job_adopt (job, (RakeEntry *const *) entries->pdata, entries->len, &which, error))
    return TRUE;
  entry = entries->pdata[which];
  rake_id_to_text (entry->id, id);
  rake_error_make_damaged (error);
  g_prefix_error (error, _ ("the entry %s (%s) does not fit the job: "), id,
                  rake_entry_kind_get_name (entry->kind));
  return FALSE;
}

gboolean
rake_job_file_catch_up_inside (RakeJobFile *self, RakeJob *job, GError **error)
{
  g_autoptr (GPtrArray) entries =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  News news = { .file = self, .entries = entries, .last_arrival = self->last_arrival };
  gint64 version;
  gboolean is_read = rake_job_file_read_entries (self, self->last_arrival, take_news, &news, error);

  rake_newer_drop_unknown (self, entries);
  if (!is_read || !read_data_version (self, &version, error) ||
      (!rake_job_apply_entries (job, entries, error) && !rake_newer_explain (self, error)))
    {
      rake_job_file_restore_chain_ends (self, job);
      return FALSE;
    }
  for (guint i = 0; i < entries->len; i++)
    self->latest_ms = MAX (self->latest_ms, ((RakeEntry *) entries->pdata[i])->written_ms);
  self->last_arrival = news.last_arrival;
  self->data_version = version;
  return TRUE;
}

void
rake_job_file_restore_chain_ends (RakeJobFile *self, RakeJob *job)
{
  g_hash_table_remove_all (self->chain_ends);
  self->latest_ms = 0;
  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      RakeEntry *entry = rake_job_get_entry (job, i);
      /* Along one chain the order of the job is the order of numbers. */
      rake_chain_follow (self->chain_ends, entry, NULL);
      self->latest_ms = MAX (self->latest_ms, entry->written_ms);
    }
}

gboolean
rake_job_file_catch_up (RakeJobFile *self, RakeJob *job, GError **error)
{
  g_autoptr (RakeTransaction) reading = NULL;

  if (!rake_job_file_begin_read (self, error))
    return FALSE;
  reading = self->db;
  return rake_job_file_catch_up_inside (self, job, error);
}

RakeJob *
rake_job_file_load (RakeJobFile *self, GError **error)
{
  g_autoptr (RakeJob) job = rake_job_new ();

  self->last_arrival = 0;
  self->latest_ms = 0;
  self->data_version = -1;
  g_hash_table_remove_all (self->chain_ends);
  if (!rake_job_file_catch_up (self, job, error))
    return NULL;
  return g_steal_pointer (&job);
}
