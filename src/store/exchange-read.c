/* exchange-read.c - one line of JSON into an entry, every field of it checked.
 *
 * Errors begin with the place in the line: "stroke_deg: is …", "column 7: …". */
#include "exchange-private.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

/* Room for a shape of the greatest size as text, several times over. */
#define MAX_LINE_BYTES (32 * 1024 * 1024)
#define MAX_NAME_BYTES 200

G_DEFINE_QUARK (rake-exchange-error-quark, rake_exchange_error)

typedef json_t RakeJson;
static void
free_json (RakeJson *json)
{
  json_decref (json);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeJson, free_json)

/* What ids may be, and what "@name" is a name in. */
typedef struct
{
  RakeId name_space;
  gboolean is_draft;
} Reading;

static gboolean refuse (GError **error, const char *place, const char *format, ...)
    G_GNUC_PRINTF (3, 4);

static gboolean
refuse (GError **error, const char *place, const char *format, ...)
{
  g_autofree char *sentence = NULL;
  va_list arguments;

  va_start (arguments, format);
  sentence = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, RAKE_EXCHANGE_ERROR, RAKE_EXCHANGE_ERROR_LINE, "%s: %s", place, sentence);
  return FALSE;
}

/* --- values ------------------------------------------------------------------------------------- */

static gboolean
read_text (json_t *value, const char *place, const char **text, GError **error)
{
  *text = json_string_value (value);
  return *text != NULL || refuse (error, place, _ ("is not a text in quotes"));
}

static gboolean
read_id (const Reading *reading, json_t *value, const char *place, RakeId *id, GError **error)
{
  const char *text;

  if (!read_text (value, place, &text, error))
    return FALSE;
  if (*text == '@' && !reading->is_draft)
    return refuse (error, place, _ ("is a name; a sealed entry has ids only"));
  if (*text == '@')
    {
      if (text[1] == '\0' || strlen (text) > MAX_NAME_BYTES)
        return refuse (error, place, _ ("is a name of no or too many letters"));
      *id = rake_id_new_for_name (reading->name_space, text + 1);
      return TRUE;
    }
  return rake_id_from_text (text, id) ||
         refuse (error, place,
                 _ ("“%.50s” is not an id; one looks like "
                    "017f22e2-79b0-7cc3-98c4-dc0c0c07398f, or @name in a draft"),
                 text);
}

static gboolean
read_real (json_t *value, const char *place, double *number, GError **error)
{
  if (!json_is_number (value))
    return refuse (error, place, _ ("is not a number"));
  *number = json_number_value (value);
  return TRUE;
}

static char *
list_words (const RakeField *field)
{
  GString *list = g_string_new (NULL);

  for (int i = 1; field->words[i] != NULL; i++)
    g_string_append_printf (list, "%s“%s”", i > 1 ? ", " : "", field->words[i]);
  return g_string_free (list, FALSE);
}

static gboolean
read_word (const RakeField *field, json_t *value, const char *place, int *word, GError **error)
{
  g_autofree char *words = NULL;
  const char *text;

  if (!read_text (value, place, &text, error))
    return FALSE;
  *word = rake_field_find_word (field, text);
  if (*word != 0)
    return TRUE;
  words = list_words (field);
  return refuse (error, place, _ ("is “%.50s”; it may be %s"), text, words);
}

static gboolean
read_shape (json_t *value, const char *place, RakeShape **shape, GError **error)
{
  g_autoptr (GError) cannot = NULL;
  g_autoptr (GBytes) wkb = NULL;
  const char *text;

  if (!read_text (value, place, &text, error))
    return FALSE;
  *shape = rake_shape_from_wkt (text, &cannot);
  if (*shape == NULL)
    return refuse (error, place, "%s", cannot->message);
  wkb = rake_shape_to_wkb (*shape);
  if (g_bytes_get_size (wkb) <= RAKE_SHAPE_MAX_BYTES)
    return TRUE;
  g_clear_pointer (shape, rake_shape_unref);
  return refuse (error, place, _ ("has too many points"));
}

/* --- fields ------------------------------------------------------------------------------------- */

static gboolean read_fields (const Reading *reading, const RakeField *fields, json_t *object,
                             const char *outer, gpointer record, GError **error);

static gboolean
read_item (const Reading *reading, const RakeField *field, json_t *value, const char *place,
           gpointer list, GError **error)
{
  const char *text;
  RakeId id;
  guint position;

  if (field->type == RAKE_FIELD_TEXTS)
    {
      if (!read_text (value, place, &text, error))
        return FALSE;
      g_ptr_array_add (list, g_strdup (text));
      return TRUE;
    }
  if (field->type == RAKE_FIELD_IDS)
    {
      if (!read_id (reading, value, place, &id, error))
        return FALSE;
      g_array_append_val ((GArray *) list, id);
      return TRUE;
    }
  if (!json_is_object (value))
    return refuse (error, place, _ ("is not a thing in braces"));
  position = ((GArray *) list)->len;
  g_array_set_size (list, position + 1);
  {
    gpointer record = ((GArray *) list)->data + position * field->record_size;
    rake_field_init_record (field->fields, field->record_size, record);
    return read_fields (reading, field->fields, value, place, record, error);
  }
}

static gboolean
read_list (const Reading *reading, const RakeField *field, json_t *value, const char *place,
           gpointer record, GError **error)
{
  gpointer list = rake_field_take_list (field, record);

  if (!json_is_array (value))
    return refuse (error, place, _ ("is not a list in brackets"));
  if (json_array_size (value) > field->max_length)
    return refuse (error, place, _ ("has %zu items; at most %zu are kept"), json_array_size (value),
                   field->max_length);
  for (gsize i = 0; i < json_array_size (value); i++)
    {
      g_autofree char *item_place = g_strdup_printf ("%s %zu", place, i + 1);
      if (!read_item (reading, field, json_array_get (value, i), item_place, list, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
read_field (const Reading *reading, const RakeField *field, json_t *value, const char *place,
            gpointer record, GError **error)
{
  const char *text;

  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      if (!read_text (value, place, &text, error))
        return FALSE;
      RAKE_FIELD_AT (record, field, char *) = g_strdup (text);
      return TRUE;
    case RAKE_FIELD_ID:
      return read_id (reading, value, place, &RAKE_FIELD_AT (record, field, RakeId), error);
    case RAKE_FIELD_REAL:
      return read_real (value, place, &RAKE_FIELD_AT (record, field, double), error);
    case RAKE_FIELD_WORD:
      return read_word (field, value, place, &RAKE_FIELD_AT (record, field, int), error);
    case RAKE_FIELD_SHAPE:
      return read_shape (value, place, &RAKE_FIELD_AT (record, field, RakeShape *), error);
    case RAKE_FIELD_IDS:
    case RAKE_FIELD_TEXTS:
    case RAKE_FIELD_RECORDS:
      return read_list (reading, field, value, place, record, error);
    }
  g_return_val_if_reached (FALSE);
}

static const RakeField *
find_field (const RakeField *fields, const char *name)
{
  for (const RakeField *field = fields; field->name != NULL; field++)
    if (strcmp (field->name, name) == 0)
      return field;
  return NULL;
}

static const char *const head_names[] = { "kind",     "id",      "bench",    "number", "written",
                                          "happened", "who",     "gesture",  "previous", "hash" };

static gboolean
is_head_name (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (head_names); i++)
    if (strcmp (head_names[i], name) == 0)
      return TRUE;
  return FALSE;
}

/* outer  the place of the record, NULL for the line itself, which has head fields too */
static gboolean
read_fields (const Reading *reading, const RakeField *fields, json_t *object, const char *outer,
             gpointer record, GError **error)
{
  const char *name;
  json_t *value;

  json_object_foreach (object, name, value)
  {
    const RakeField *field = find_field (fields, name);
    g_autofree char *place =
        outer != NULL ? g_strdup_printf ("%s, %s", outer, name) : g_strdup (name);

    if (field == NULL && outer == NULL && is_head_name (name))
      continue;
    if (field == NULL)
      return refuse (error, place, _ ("there is no such field here"));
    if (!read_field (reading, field, value, place, record, error))
      return FALSE;
  }
  return TRUE;
}

/* --- the head ----------------------------------------------------------------------------------- */

static gboolean
read_hash (json_t *object, const char *name, guint8 hash[32], GError **error)
{
  const char *text = json_string_value (json_object_get (object, name));

  if (text == NULL || strlen (text) != 64 || strspn (text, "0123456789abcdef") != 64)
    return refuse (error, name, _ ("is not a hash of 64 lower-case hexadecimal digits"));
  for (int i = 0; i < 32; i++)
    hash[i] =
        (guint8) (g_ascii_xdigit_value (text[2 * i]) * 16 + g_ascii_xdigit_value (text[2 * i + 1]));
  return TRUE;
}

static gboolean
read_time (json_t *object, const char *name, gint64 *ms, int *offset, GError **error)
{
  json_t *value = json_object_get (object, name);
  const char *text;

  if (value == NULL)
    return TRUE;
  if (!read_text (value, name, &text, error))
    return FALSE;
  return rake_time_from_text (text, ms, offset) ||
         refuse (error, name,
                 _ ("“%.50s” is not a time; one looks like "
                    "2026-03-01T09:12:00.000+01:00"),
                 text);
}

static gboolean
read_times (json_t *object, RakeEntry *entry, GError **error)
{
  gboolean says_written = json_object_get (object, "written") != NULL;
  gboolean says_happened = json_object_get (object, "happened") != NULL;
  int offset = entry->utc_offset_minutes, happened_offset = offset;

  entry->written_ms = rake_store_get_now_ms ();
  if (!read_time (object, "written", &entry->written_ms, &offset, error))
    return FALSE;
  entry->happened_ms = entry->written_ms;
  if (!read_time (object, "happened", &entry->happened_ms, &happened_offset, error))
    return FALSE;
  entry->utc_offset_minutes = says_written || !says_happened ? offset : happened_offset;
  return TRUE;
}

static gboolean
read_chain (const Reading *reading, json_t *object, RakeEntry *entry, GError **error)
{
  json_t *number = json_object_get (object, "number");

  if (!read_id (reading, json_object_get (object, "bench"), "bench", &entry->bench, error))
    return FALSE;
  if (!json_is_integer (number) || json_integer_value (number) < 1)
    return refuse (error, "number", _ ("is not a whole number from 1 on"));
  entry->number = json_integer_value (number);
  return read_hash (object, "previous", entry->previous, error) &&
         read_hash (object, "hash", entry->hash, error);
}

static gboolean
read_head (const Reading *reading, json_t *object, RakeEntry *entry, GError **error)
{
  json_t *id = json_object_get (object, "id");
  json_t *gesture = json_object_get (object, "gesture");
  json_t *who = json_object_get (object, "who");
  const char *text = NULL;

  if (id != NULL && !read_id (reading, id, "id", &entry->id, error))
    return FALSE;
  entry->gesture = entry->id;
  if (gesture != NULL && !read_id (reading, gesture, "gesture", &entry->gesture, error))
    return FALSE;
  if (who != NULL && !read_text (who, "who", &text, error))
    return FALSE;
  entry->who = g_strdup (text);
  return read_times (object, entry, error) &&
         (reading->is_draft || read_chain (reading, object, entry, error));
}

/* A line with all of the chain's fields is sealed, one with none of them a draft. */
static gboolean
find_out_draft (json_t *object, gboolean *is_draft, GError **error)
{
  static const char *const names[] = { "bench", "number", "previous", "hash", "written", "id" };
  guint n_said = 0;

  for (int i = 0; i < 4; i++)
    n_said += json_object_get (object, names[i]) != NULL ? 1 : 0;
  *is_draft = n_said == 0;
  if (*is_draft)
    return TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    if (json_object_get (object, names[i]) == NULL)
      return refuse (error, names[i],
                     _ ("is missing; a sealed entry has it, and a draft has none of bench, number, "
                        "previous and hash"));
  return TRUE;
}

/* --- the line ----------------------------------------------------------------------------------- */

static json_t *
parse (const char *line, gsize length, GError **error)
{
  g_autoptr (RakeJson) object = NULL;
  g_autofree char *place = NULL;
  json_error_t fault;

  if (length > MAX_LINE_BYTES)
    {
      refuse (error, "length", _ ("is %zu bytes; at most %d are read"), length, MAX_LINE_BYTES);
      return NULL;
    }
  object = json_loadb (line, length, JSON_REJECT_DUPLICATES, &fault);
  if (object == NULL)
    {
      place = g_strdup_printf (_ ("column %d"), fault.column);
      refuse (error, place, _ ("is not JSON: %s"), fault.text);
      return NULL;
    }
  if (!json_is_object (object))
    {
      refuse (error, "column 1", _ ("is not an entry in braces"));
      return NULL;
    }
  return g_steal_pointer (&object);
}

static RakeEntry *
new_entry_of_kind (json_t *object, GError **error)
{
  const char *name = json_string_value (json_object_get (object, "kind"));
  RakeEntryKind kind = name != NULL ? rake_entry_kind_from_name (name) : 0;

  if (kind != 0)
    return rake_entry_new (kind);
  if (name == NULL)
    refuse (error, "kind", _ ("is missing or not a text"));
  else
    refuse (error, "kind", _ ("“%.50s” is no kind of entry"), name);
  return NULL;
}

/* The core's sentences begin with the field: "stroke_deg is 400; …", "added 2: name is missing". */
static void
put_place_first (const RakeEntry *entry, GError **error)
{
  g_autofree char *message = NULL;
  g_autofree char *first = NULL;
  gsize length;

  if (error == NULL)
    return;
  message = g_strdup ((*error)->message);
  length = strcspn (message, " ");
  first = g_strndup (message, length);
  g_clear_error (error);
  if (message[length] == ' ' && !g_ascii_isdigit (message[length + 1]) &&
      (is_head_name (first) ||
       find_field (rake_entry_kind_get_fields (entry->kind), first) != NULL))
    refuse (error, first, "%s", message + length + 1);
  else
    g_set_error_literal (error, RAKE_EXCHANGE_ERROR, RAKE_EXCHANGE_ERROR_LINE, message);
}

RakeEntry *
rake_exchange_read_entry (const char *line, gsize length, RakeId name_space, gboolean *is_draft,
                          GError **error)
{
  g_autoptr (RakeJson) object = parse (line, length, error);
  g_autoptr (RakeEntry) entry = NULL;
  Reading reading = { .name_space = name_space };

  if (object == NULL || !find_out_draft (object, &reading.is_draft, error))
    return NULL;
  entry = new_entry_of_kind (object, error);
  if (entry == NULL || !read_head (&reading, object, entry, error) ||
      !read_fields (&reading, rake_entry_kind_get_fields (entry->kind), object, NULL,
                    rake_entry_get_body (entry), error))
    return NULL;
  if (!rake_entry_check (entry, error))
    {
      put_place_first (entry, error);
      return NULL;
    }
  *is_draft = reading.is_draft;
  return g_steal_pointer (&entry);
}

/* --- the space of names --------------------------------------------------------------------------- */

RakeId
rake_exchange_get_name_space (RakeId job_id, const char *job_name)
{
  /* Version 8: the id was itself made from a name, in the space that the job's name stands for. */
  gboolean is_named = job_id.bytes[6] >> 4 == 8;

  return rake_id_is_nil (job_id) || is_named
             ? rake_id_new_for_name (RAKE_ID_NIL, job_name != NULL ? job_name : "")
             : job_id;
}

gboolean
rake_exchange_peek_job (const char *line, gsize length, RakeId *name_space, gboolean *has_id)
{
  g_autoptr (RakeJson) object = parse (line, length, NULL);
  RakeId job_id = RAKE_ID_NIL;
  const char *kind, *id;

  if (object == NULL)
    return FALSE;
  kind = json_string_value (json_object_get (object, "kind"));
  if (g_strcmp0 (kind, rake_entry_kind_get_name (RAKE_ENTRY_JOB)) != 0)
    return FALSE;
  id = json_string_value (json_object_get (object, "id"));
  *has_id = id != NULL;
  if (id != NULL && *id != '@' && !rake_id_from_text (id, &job_id))
    return FALSE; /* reading it will say so */
  *name_space =
      rake_exchange_get_name_space (job_id, json_string_value (json_object_get (object, "name")));
  return TRUE;
}
