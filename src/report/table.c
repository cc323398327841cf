/* table.c - see table.h. The columns are the fields of entry.h's own table, so a field added there
 * stands here too. */
#include "names.h"

#include <rakelight/table.h>

#include <math.h>
#include <string.h>

static const struct
{
  const char *name;
  RakeEntryKind kind;
} tables[] = {
  { "passes", RAKE_ENTRY_PASS },
  { "looks", RAKE_ENTRY_LOOK },
  { "states", RAKE_ENTRY_STATE },
  { "marks", RAKE_ENTRY_MARK },
  { "revisits", RAKE_ENTRY_REVISIT },
  { "readings", RAKE_ENTRY_READING },
  { "coats", RAKE_ENTRY_COAT },
  { "repairs", RAKE_ENTRY_REPAIR },
  { "acceptances", RAKE_ENTRY_ACCEPTANCE },
  { "notes", RAKE_ENTRY_NOTE },
  { "defects", RAKE_ENTRY_DEFECT },
  { "claims", RAKE_ENTRY_CLAIM },
};

const char *const *
rake_table_get_names (void)
{
  static const char *names[G_N_ELEMENTS (tables) + 1];

  for (gsize i = 0; i < G_N_ELEMENTS (tables); i++)
    names[i] = tables[i].name;
  return names;
}

RakeEntryKind
rake_table_find_kind (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (tables); i++)
    if (g_str_equal (tables[i].name, name))
      return tables[i].kind;
  return (RakeEntryKind) 0;
}

/* --- cells ---------------------------------------------------------------------------------- */

typedef struct
{
  const RakeJob *job;
  RakeNames *names;
  GString *text;
  gboolean is_row_begun;
} Table;

static void
add_cell (Table *table, const char *value)
{
  if (table->is_row_begun)
    g_string_append_c (table->text, ',');
  table->is_row_begun = TRUE;
  if (value == NULL)
    return;
  if (strpbrk (value, ",\"\r\n") == NULL)
    {
      g_string_append (table->text, value);
      return;
    }
  g_string_append_c (table->text, '"');
  for (const char *at = value; *at != '\0'; at++)
    {
      if (*at == '"')
        g_string_append_c (table->text, '"');
      g_string_append_c (table->text, *at);
    }
  g_string_append_c (table->text, '"');
}

static void
end_row (Table *table)
{
  g_string_append (table->text, "\r\n");
  table->is_row_begun = FALSE;
}

/* What a person wrote. */
static void
add_free_text (Table *table, const char *value)
{
  g_autofree char *guarded = NULL;

  if (value != NULL && *value != '\0' && strchr ("=+-@", *value) != NULL)
    guarded = g_strconcat ("'", value, NULL);
  add_cell (table, guarded != NULL ? guarded : value);
}

static void
add_number (Table *table, double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  if (!isfinite (value))
    {
      add_cell (table, NULL);
      return;
    }
  rake_number_to_text (value, text);
  add_cell (table, text);
}

static void
add_id (Table *table, RakeId id)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (id, text);
  add_cell (table, rake_id_is_nil (id) ? NULL : text);
}

static void
add_time (Table *table, gint64 unix_ms, int utc_offset_minutes)
{
  char text[RAKE_TIME_TEXT_LENGTH + 1];

  rake_time_to_text (unix_ms, utc_offset_minutes, text);
  add_cell (table, text);
}

/* --- columns -------------------------------------------------------------------------------- */

static gboolean
is_named (const RakeField *field)
{
  static const char *const named[] = { "face", "zone", "stage", "wheel", "back_to_stage", NULL };

  return field->type == RAKE_FIELD_ID && g_strv_contains (named, field->name);
}

static void
add_head (Table *table, RakeEntryKind kind)
{
  static const char *const columns[] = { "entry",    "written", "happened", "who",
                                         "standing", "because", "in_face",  "in_zone" };

  for (gsize i = 0; i < G_N_ELEMENTS (columns); i++)
    add_cell (table, columns[i]);
  for (const RakeField *field = rake_entry_kind_get_fields (kind); field->name != NULL; field++)
    {
      g_autofree char *id = g_strconcat (field->name, "_id", NULL);

      if (is_named (field))
        add_cell (table, id);
      add_cell (table, field->name);
      if (field->type == RAKE_FIELD_SHAPE)
        {
          add_cell (table, "shape_x_mm");
          add_cell (table, "shape_y_mm");
          add_cell (table, "shape_extent_mm");
          add_cell (table, "shape_area_mm2");
        }
    }
  end_row (table);
}

/* Where it is, and how large: the middle of its box as from the face's 0, 0, its longest way across. */
static void
add_shape (Table *table, const RakeShape *shape)
{
  g_autofree char *wkt = shape != NULL ? rake_shape_to_wkt (shape) : NULL;
  RakeBounds box;

  add_cell (table, wkt);
  if (shape == NULL)
    {
      for (int i = 0; i < 4; i++)
        add_cell (table, NULL);
      return;
    }
  box = rake_shape_get_bounds (shape);
  add_number (table, (box.min_x_mm + box.max_x_mm) / 2);
  add_number (table, (box.min_y_mm + box.max_y_mm) / 2);
  add_number (table, rake_shape_get_extent_mm (shape));
  add_number (table, rake_shape_get_area_mm2 (shape));
}

/* Parted by "; ": names where they have some, else ids. */
static void
add_ids (Table *table, const GArray *ids)
{
  g_autoptr (GString) line = g_string_new (NULL);
  char text[RAKE_ID_TEXT_LENGTH + 1];

  for (guint i = 0; i < ids->len; i++)
    {
      RakeId id = g_array_index (ids, RakeId, i);
      const char *name = rake_names_find (table->names, id);

      rake_id_to_text (id, text);
      g_string_append_printf (line, "%s%s", i > 0 ? "; " : "", name != NULL ? name : text);
    }
  add_free_text (table, line->str);
}

static void
add_texts (Table *table, GPtrArray *texts)
{
  g_autoptr (GString) line = g_string_new (NULL);

  for (guint i = 0; i < texts->len; i++)
    g_string_append_printf (line, "%s%s", i > 0 ? "; " : "", (const char *) texts->pdata[i]);
  add_free_text (table, line->str);
}

static void
add_field (Table *table, const RakeField *field, const void *body)
{
  const void *value = (const char *) body + field->offset;

  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      add_free_text (table, *(char *const *) value);
      break;
    case RAKE_FIELD_ID:
      add_id (table, *(const RakeId *) value);
      if (is_named (field))
        add_free_text (table, rake_names_find (table->names, *(const RakeId *) value));
      break;
    case RAKE_FIELD_REAL:
      add_number (table, *(const double *) value);
      break;
    case RAKE_FIELD_WORD:
      add_cell (table, rake_field_get_word (field, *(const int *) value));
      break;
    case RAKE_FIELD_SHAPE:
      add_shape (table, *(RakeShape *const *) value);
      break;
    case RAKE_FIELD_IDS:
      add_ids (table, *(GArray *const *) value);
      break;
    case RAKE_FIELD_TEXTS:
      add_texts (table, *(GPtrArray *const *) value);
      break;
    case RAKE_FIELD_RECORDS: /* a list of structs has no place in one cell, and no table needs one */
      add_cell (table, NULL);
      break;
    }
}

static void
add_entry (Table *table, const RakeEntry *entry)
{
  gboolean is_struck = rake_job_is_struck (table->job, entry->id);
  const RakeEntry *strike = rake_names_find_strike (table->names, entry);
  RakeId zone = rake_names_find_zone_of (table->names, entry);
  RakeId face = rake_names_find_face_of (table->names, entry);

  add_id (table, entry->id);
  add_time (table, entry->written_ms, entry->utc_offset_minutes);
  add_time (table, entry->happened_ms, entry->utc_offset_minutes);
  add_free_text (table, entry->who);
  add_cell (table, is_struck                                  ? "struck out"
                   : rake_job_is_void (table->job, entry->id) ? "void"
                                                              : "stands");
  add_free_text (table, strike != NULL ? strike->strike.reason : NULL);
  add_free_text (table, rake_names_find (table->names, face));
  add_free_text (table, rake_names_find (table->names, zone));
  for (const RakeField *field = rake_entry_kind_get_fields (entry->kind); field->name != NULL;
       field++)
    add_field (table, field, &entry->job);
  end_row (table);
}

char *
rake_table_write (const RakeJob *job, RakeEntryKind kind)
{
  g_autoptr (RakeNames) names = NULL;
  Table table = { job, NULL, NULL, FALSE };

  g_return_val_if_fail (job != NULL && kind >= RAKE_ENTRY_JOB && kind < RAKE_N_ENTRY_KINDS, NULL);

  names = rake_names_new (job);
  table.names = names;
  table.text = g_string_new (NULL);
  add_head (&table, kind);
  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i);

      if (entry->kind == kind)
        add_entry (&table, entry);
    }
  return g_string_free (table.text, FALSE);
}
