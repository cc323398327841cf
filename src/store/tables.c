/* tables.c - the tables of schema.sql as the field tables tell them.
 *
 * A kind's body is one row of the table of its name; each list in it is rows of a table KIND_FIELD.
 * Columns are named as fields are. */
#include "store-private.h"

gpointer
rake_entry_get_body (const RakeEntry *entry)
{
  return (gpointer) &entry->job; /* every body begins where the union does */
}

static gboolean
is_list (const RakeField *field)
{
  return field->type == RAKE_FIELD_IDS || field->type == RAKE_FIELD_TEXTS ||
         field->type == RAKE_FIELD_RECORDS;
}

gpointer
rake_field_take_list (const RakeField *field, gpointer record)
{
  gpointer *list = &RAKE_FIELD_AT (record, field, gpointer);

  g_assert (is_list (field));
  if (*list == NULL)
    *list = rake_field_new_list (field);
  return *list;
}

guint
rake_field_get_n_items (const RakeField *field, gconstpointer record)
{
  gconstpointer list = RAKE_FIELD_AT (record, field, gconstpointer);

  if (list == NULL)
    return 0;
  return field->type == RAKE_FIELD_TEXTS ? ((const GPtrArray *) list)->len
                                         : ((const GArray *) list)->len;
}

/* A list of ids or texts has one column; its field has the list's limits, not the item's. */
static const RakeField id_item[] = { { .name = "id", .type = RAKE_FIELD_ID, .is_required = TRUE },
                                     { .name = NULL } };
static const RakeField text_item[] = {
  { .name = "text", .type = RAKE_FIELD_TEXT, .is_required = TRUE },
  { .name = NULL }
};

static void
init_table (RakeTable *table, const char *kind_name, const RakeField *list, const RakeField *fields)
{
  table->list = list;
  table->name =
      list != NULL ? g_strconcat (kind_name, "_", list->name, NULL) : g_strdup (kind_name);
  if (list == NULL)
    table->fields = fields;
  else if (list->type == RAKE_FIELD_RECORDS)
    table->fields = list->fields;
  else
    table->fields = list->type == RAKE_FIELD_IDS ? id_item : text_item;
}

void
rake_tables_init (RakeJobFile *self)
{
  for (int kind = RAKE_ENTRY_JOB; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      RakeKindTables *tables = &self->kinds[kind];
      const char *name = rake_entry_kind_get_name ((RakeEntryKind) kind);
      const RakeField *fields = rake_entry_kind_get_fields ((RakeEntryKind) kind);

      init_table (&tables->body, name, NULL, fields);
      for (const RakeField *field = fields; field->name != NULL; field++)
        if (is_list (field))
          {
            g_assert (tables->n_lists < RAKE_MAX_LISTS);
            init_table (&tables->lists[tables->n_lists++], name, field, NULL);
          }
    }
}

static void
clear_table (RakeTable *table)
{
  g_clear_pointer (&table->name, g_free);
  g_clear_pointer (&table->insert, sqlite3_finalize);
  g_clear_pointer (&table->select, sqlite3_finalize);
}

void
rake_tables_clear (RakeJobFile *self)
{
  for (int kind = RAKE_ENTRY_JOB; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      clear_table (&self->kinds[kind].body);
      for (guint i = 0; i < self->kinds[kind].n_lists; i++)
        clear_table (&self->kinds[kind].lists[i]);
    }
}

/* ", \"stage\", \"stroke_deg\" …": the columns after arrival (and position). */
static guint
append_columns (GString *sql, const RakeTable *table)
{
  guint n_columns = 0;

  for (const RakeField *field = table->fields; field->name != NULL; field++)
    if (!is_list (field))
      {
        g_string_append_printf (sql, ", \"%s\"", field->name);
        n_columns++;
      }
  return n_columns;
}

sqlite3_stmt *
rake_table_get_insert (RakeJobFile *self, RakeTable *table, GError **error)
{
  g_autoptr (GString) sql = NULL;
  guint n_columns;

  if (table->insert != NULL)
    return table->insert;
  sql = g_string_new (NULL);
  g_string_append_printf (sql, "INSERT INTO \"%s\" (arrival%s", table->name,
                          table->list != NULL ? ", position" : "");
  n_columns = append_columns (sql, table) + (table->list != NULL ? 2 : 1);
  g_string_append (sql, ") VALUES (?");
  for (guint i = 1; i < n_columns; i++)
    g_string_append (sql, ", ?");
  g_string_append_c (sql, ')');
  table->insert = rake_database_prepare (self->db, sql->str, _ ("write an entry"), error);
  return table->insert;
}

sqlite3_stmt *
rake_table_get_select (RakeJobFile *self, RakeTable *table, GError **error)
{
  g_autoptr (GString) sql = NULL;

  if (table->select != NULL)
    return table->select;
  sql = g_string_new (NULL);
  g_string_append_printf (sql, "SELECT arrival%s", table->list != NULL ? ", position" : "");
  append_columns (sql, table);
  g_string_append_printf (sql, " FROM \"%s\" WHERE arrival > ?1 ORDER BY arrival%s", table->name,
                          table->list != NULL ? ", position" : "");
  table->select = rake_database_prepare (self->db, sql->str, _ ("read an entry"), error);
  return table->select;
}
