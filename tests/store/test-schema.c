/* test-schema.c - the tables, the field tables and the limits say the same, and the file itself
 * refuses what the program would. */
#include "store-support.h"

#include "database.h"

#include <math.h>
#include <sqlite3.h>
#include <string.h>

static sqlite3 *
make_database (void)
{
  sqlite3 *db;
  char *fault = NULL;

  assert_int_equal (sqlite3_open (":memory:", &db), SQLITE_OK);
  sqlite3_exec (db, rake_schema_sql, NULL, NULL, &fault);
  if (fault != NULL)
    fail_msg ("schema.sql: %s", fault);
  return db;
}

static gint64
ask (sqlite3 *db, const char *sql)
{
  g_autoptr (sqlite3_stmt) row = NULL;

  if (sqlite3_prepare_v2 (db, sql, -1, &row, NULL) != SQLITE_OK || sqlite3_step (row) != SQLITE_ROW)
    fail_msg ("%s: %s", sql, sqlite3_errmsg (db));
  return sqlite3_column_int64 (row, 0);
}

static gboolean
is_list (const RakeField *field)
{
  return field->type >= RAKE_FIELD_IDS;
}

/* --- columns -------------------------------------------------------------------------------------- */

static const char *
sql_type_of (RakeFieldType type)
{
  switch (type)
    {
    case RAKE_FIELD_REAL:
      return "REAL";
    case RAKE_FIELD_SHAPE:
      return "BLOB";
    default:
      return "TEXT";
    }
}

static void
add_column (GString *columns, const char *name, const char *type, gboolean is_required)
{
  g_string_append_printf (columns, "%s %s%s\n", name, type, is_required ? " NOT NULL" : "");
}

/* What the columns of a table should be, one on a line. */
static char *
describe_fields (const RakeField *list, const RakeField *fields)
{
  GString *columns = g_string_new (NULL);

  add_column (columns, "arrival", "INTEGER", list != NULL);
  if (list != NULL)
    add_column (columns, "position", "INTEGER", TRUE);
  if (list != NULL && list->type == RAKE_FIELD_IDS)
    add_column (columns, "id", "TEXT", TRUE);
  else if (list != NULL && list->type == RAKE_FIELD_TEXTS)
    add_column (columns, "text", "TEXT", TRUE);
  else
    for (const RakeField *field = fields; field->name != NULL; field++)
      if (!is_list (field))
        add_column (columns, field->name, sql_type_of (field->type), field->is_required);
  return g_string_free (columns, FALSE);
}

static char *
describe_table (sqlite3 *db, const char *table)
{
  g_autofree char *sql =
      g_strdup_printf ("SELECT name, type, \"notnull\" FROM pragma_table_info ('%s')", table);
  g_autoptr (sqlite3_stmt) row = NULL;
  GString *columns = g_string_new (NULL);

  assert_int_equal (sqlite3_prepare_v2 (db, sql, -1, &row, NULL), SQLITE_OK);
  while (sqlite3_step (row) == SQLITE_ROW)
    add_column (columns, (const char *) sqlite3_column_text (row, 0),
                (const char *) sqlite3_column_text (row, 1), sqlite3_column_int (row, 2) != 0);
  return g_string_free (columns, FALSE);
}

static void
check_table (sqlite3 *db, const char *table, const RakeField *list, const RakeField *fields)
{
  g_autofree char *wanted = describe_fields (list, fields);
  g_autofree char *found = describe_table (db, table);

  if (strcmp (wanted, found) != 0)
    fail_msg ("table %s has\n%s, the field table\n%s", table, found, wanted);
}

static void
the_tables_have_the_fields_for_columns (void **state)
{
  g_autoptr (sqlite3) db = make_database ();
  gint64 n_tables = 0;

  for (int kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      const char *name = rake_entry_kind_get_name ((RakeEntryKind) kind);
      const RakeField *fields = rake_entry_kind_get_fields ((RakeEntryKind) kind);

      check_table (db, name, NULL, fields);
      n_tables++;
      for (const RakeField *field = fields; field->name != NULL; field++)
        if (is_list (field))
          {
            g_autofree char *table = g_strconcat (name, "_", field->name, NULL);
            check_table (db, table, field, field->fields);
            n_tables++;
          }
    }
  /* Beside them: kind, entry, photo_bytes, photo_working, photo_thumbnail, client. */
  assert_int_equal (ask (db, "SELECT count (*) FROM sqlite_schema WHERE type = 'table'"),
                    n_tables + 6);
  assert_int_equal (ask (db, "SELECT count (*) FROM kind"), RAKE_N_ENTRY_KINDS - 1);
  assert_int_equal (ask (db, "SELECT count (*) FROM kind WHERE name NOT IN "
                             "(SELECT name FROM sqlite_schema WHERE type = 'table')"),
                    0);
  assert_int_equal (ask (db, "SELECT count (*) FROM pragma_table_list WHERE type = 'table' AND "
                             "schema = 'main' AND NOT strict AND name NOT LIKE 'sqlite%'"),
                    0);
}

/* --- limits --------------------------------------------------------------------------------------- */

static const char *
last_word_of (const RakeField *field)
{
  const char *word = NULL;

  for (int i = 1; field->words[i] != NULL; i++)
    word = field->words[i];
  return word;
}

/* A value of the field as SQL that nothing should refuse. */
static char *
make_value (const RakeField *field)
{
  switch (field->type)
    {
    case RAKE_FIELD_ID:
      return g_strdup ("'017f22e2-79b0-7cc3-98c4-dc0c0c07398f'");
    case RAKE_FIELD_REAL:
      return g_strdup_printf ("%.17g", field->min);
    case RAKE_FIELD_WORD:
      return g_strdup_printf ("'%s'", last_word_of (field));
    case RAKE_FIELD_SHAPE:
      return g_strdup ("zeroblob (21)");
    default:
      return g_strdup ("'x'");
    }
}

typedef struct
{
  sqlite3 *db;
  const char *table;
  gboolean is_list;
  const RakeField *fields;
} Table;

/* Whether the table takes a row with @value (SQL) in @column and fit values in all others. */
static gboolean
takes (const Table *table, const char *column, const char *value)
{
  g_autoptr (GString) names = g_string_new ("arrival");
  g_autoptr (GString) values = g_string_new ("1");
  g_autofree char *sql = NULL;
  int result;

  if (table->is_list)
    {
      g_string_append (names, ", position");
      g_string_append (values, ", 0");
    }
  for (const RakeField *field = table->fields; field->name != NULL; field++)
    if (!is_list (field))
      {
        g_autofree char *fit = make_value (field);
        g_string_append_printf (names, ", \"%s\"", field->name);
        g_string_append_printf (values, ", %s", strcmp (field->name, column) == 0 ? value : fit);
      }
  sql = g_strdup_printf ("INSERT INTO \"%s\" (%s) VALUES (%s)", table->table, names->str,
                         values->str);
  sqlite3_exec (table->db, "BEGIN", NULL, NULL, NULL);
  result = sqlite3_exec (table->db, sql, NULL, NULL, NULL);
  if (result != SQLITE_OK && result != SQLITE_CONSTRAINT)
    fail_msg ("%s: %s", sql, sqlite3_errmsg (table->db));
  sqlite3_exec (table->db, "ROLLBACK", NULL, NULL, NULL);
  return result == SQLITE_OK;
}

static void
expect (const Table *table, const RakeField *field, gboolean is_taken, const char *format, ...)
{
  g_autofree char *value = NULL;
  va_list arguments;

  va_start (arguments, format);
  value = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  if (takes (table, field->name, value) != is_taken)
    fail_msg ("%s.%s %s %s", table->table, field->name, is_taken ? "refuses" : "takes", value);
}

static void
check_real (const Table *table, const RakeField *field)
{
  double beyond = nextafter (field->max, INFINITY), below = nextafter (field->max, -INFINITY);

  expect (table, field, TRUE, "%.17g", field->min);
  expect (table, field, FALSE, "%.17g", nextafter (field->min, -INFINITY));
  expect (table, field, !field->max_is_open, "%.17g", field->max);
  expect (table, field, TRUE, "%.17g", below);
  expect (table, field, FALSE, "%.17g", beyond);
  expect (table, field, FALSE, "9e999");
  expect (table, field, FALSE, "-9e999");
  expect (table, field, FALSE, "'wide'");
}

/* Every word that any field has: a field takes its own and no other. */
static void
check_word_in_kind (const Table *table, const RakeField *field, const RakeField *others)
{
  for (const RakeField *other = others; other->name != NULL; other++)
    if (other->type == RAKE_FIELD_RECORDS)
      check_word_in_kind (table, field, other->fields);
    else if (other->type == RAKE_FIELD_WORD)
      for (int i = 1; other->words[i] != NULL; i++)
        expect (table, field, rake_field_find_word (field, other->words[i]) != 0, "'%s'",
                other->words[i]);
}

static void
check_word (const Table *table, const RakeField *field)
{
  for (int kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    check_word_in_kind (table, field, rake_entry_kind_get_fields ((RakeEntryKind) kind));
  expect (table, field, FALSE, "'perhaps'");
  expect (table, field, FALSE, "''");
  expect (table, field, FALSE, "upper ('%s')", last_word_of (field));
}

static void
check_field (const Table *table, const RakeField *field)
{
  expect (table, field, !field->is_required, "NULL");
  if (field->type == RAKE_FIELD_REAL)
    check_real (table, field);
  else if (field->type == RAKE_FIELD_WORD)
    check_word (table, field);
  else if (field->type == RAKE_FIELD_SHAPE)
    {
      expect (table, field, FALSE, "zeroblob (20)");
      expect (table, field, TRUE, "zeroblob (4194304)");
      expect (table, field, FALSE, "zeroblob (4194305)");
      expect (table, field, FALSE, "'POINT (1 2)'");
    }
}

static void
check_fields (sqlite3 *db, const char *name, gboolean is_list_table, const RakeField *fields)
{
  Table table = { db, name, is_list_table, fields };

  for (const RakeField *field = fields; field->name != NULL; field++)
    if (!is_list (field))
      check_field (&table, field);
}

static void
each_column_takes_what_its_field_may_be_and_nothing_else (void **state)
{
  g_autoptr (sqlite3) db = make_database ();

  for (int kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      const char *name = rake_entry_kind_get_name ((RakeEntryKind) kind);
      const RakeField *fields = rake_entry_kind_get_fields ((RakeEntryKind) kind);

      check_fields (db, name, FALSE, fields);
      for (const RakeField *field = fields; field->name != NULL; field++)
        if (field->type == RAKE_FIELD_RECORDS)
          {
            g_autofree char *table = g_strconcat (name, "_", field->name, NULL);
            check_fields (db, table, TRUE, field->fields);
          }
    }
}

/* --- only added ----------------------------------------------------------------------------------- */

static void
expect_refused (sqlite3 *db, const char *sql, const char *says)
{
  if (sqlite3_exec (db, sql, NULL, NULL, NULL) == SQLITE_OK)
    fail_msg ("taken: %s", sql);
  if (strstr (sqlite3_errmsg (db), says) == NULL)
    fail_msg ("%s: “%s” does not say “%s”", sql, sqlite3_errmsg (db), says);
}

static void
put_something_in_lists (RakeEntry *entry)
{
  if (entry->kind == RAKE_ENTRY_ACCEPTANCE)
    {
      g_ptr_array_add (entry->acceptance.rules, g_strdup ("D17"));
      g_ptr_array_add (entry->acceptance.matters, g_strdup ("film"));
    }
  else if (entry->kind == RAKE_ENTRY_BEGIN_STAGE)
    g_ptr_array_add (entry->begin_stage.prepared, g_strdup ("bench wiped"));
}

/* Every table but the client's. A trigger fires for rows that are there, so there must be some. */
static void
what_is_written_is_neither_changed_nor_deleted (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (GRand) random = g_rand_new_with_seed (1);
  g_autoptr (GPtrArray) entries = shop_make_every_kind (shop, random);
  g_autoptr (GPtrArray) tables = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (sqlite3) db = NULL;

  for (guint i = 0; i < entries->len; i++)
    put_something_in_lists (entries->pdata[i]);
  shop_append_all (file, job, entries);
  g_clear_pointer (&file, rake_job_file_close);
  assert_int_equal (sqlite3_open (shop->path, &db), SQLITE_OK);
  {
    g_autoptr (sqlite3_stmt) row = NULL;
    sqlite3_prepare_v2 (db,
                        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT IN "
                        "('client', 'photo_bytes', 'photo_working', 'photo_thumbnail')",
                        -1, &row, NULL);
    while (sqlite3_step (row) == SQLITE_ROW)
      g_ptr_array_add (tables, g_strdup ((const char *) sqlite3_column_text (row, 0)));
  }
  assert_int_equal (tables->len, 39);
  for (guint i = 0; i < tables->len; i++)
    {
      const char *table = tables->pdata[i];
      const char *key = strcmp (table, "kind") == 0 ? "name" : "arrival";
      g_autofree char *count = g_strdup_printf ("SELECT count (*) FROM \"%s\"", table);
      g_autofree char *change = g_strdup_printf ("UPDATE \"%s\" SET %s = %s", table, key, key);
      g_autofree char *delete = g_strdup_printf ("DELETE FROM \"%s\"", table);

      if (ask (db, count) == 0)
        fail_msg ("the test has no row in %s", table);
      expect_refused (db, change, "only added to");
      expect_refused (db, delete, "only added to");
    }
}

static void
a_photograph_is_withdrawn_and_nothing_else (void **state)
{
  g_autoptr (sqlite3) db = make_database ();

  assert_int_equal (sqlite3_exec (db,
                                  "INSERT INTO photo_bytes VALUES (zeroblob (32), 'image/jpeg', 3, "
                                  "x'010203', NULL)",
                                  NULL, NULL, NULL),
                    SQLITE_OK);
  expect_refused (db, "DELETE FROM photo_bytes", "withdrawn, not deleted");
  expect_refused (db, "UPDATE photo_bytes SET bytes = x'010204'", "withdrawn, not changed");
  expect_refused (db, "UPDATE photo_bytes SET bytes = NULL", "CHECK");
  expect_refused (db, "UPDATE photo_bytes SET bytes = NULL, withdrawn_ms = 1, media_type = 'x'",
                  "withdrawn, not changed");
  assert_int_equal (
      sqlite3_exec (db, "UPDATE photo_bytes SET bytes = NULL, withdrawn_ms = 1", NULL, NULL, NULL),
      SQLITE_OK);
  expect_refused (db, "UPDATE photo_bytes SET bytes = x'010203', withdrawn_ms = NULL",
                  "withdrawn, not changed");
  expect_refused (
      db, "INSERT INTO photo_bytes VALUES (zeroblob (31), 'image/jpeg', 1, x'01', NULL)", "CHECK");
  expect_refused (db,
                  "INSERT INTO photo_bytes VALUES (randomblob (32), 'image/jpeg', 2, x'01', NULL)",
                  "CHECK");
}

/* What the file says of itself: the comments that stand inside the statements are kept. */
static void
the_file_carries_its_own_description (void **state)
{
  g_autoptr (sqlite3) db = make_database ();

  assert_int_equal (ask (db,
                         "SELECT count (*) FROM sqlite_schema WHERE type = 'table' AND name NOT "
                         "LIKE '%\\_%' ESCAPE '\\' AND sql NOT LIKE '%--%'"),
                    0);
  assert_int_equal (ask (db, "SELECT sql LIKE '%SHA-256%' FROM sqlite_schema WHERE name = 'entry'"),
                    1);
  assert_int_equal (ask (db, "PRAGMA application_id"), RAKE_APPLICATION_ID);
  assert_int_equal (ask (db, "PRAGMA user_version"), RAKE_JOB_FILE_VERSION);
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, shop_open, shop_close)
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (the_tables_have_the_fields_for_columns),
    cmocka_unit_test (each_column_takes_what_its_field_may_be_and_nothing_else),
    TEST (what_is_written_is_neither_changed_nor_deleted),
    cmocka_unit_test (a_photograph_is_withdrawn_and_nothing_else),
    cmocka_unit_test (the_file_carries_its_own_description),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
