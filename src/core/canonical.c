/* canonical.c - the one way an entry is written down: the line that is hashed and exchanged.
 *
 * docs/entries.md has the form to the letter. Whatever changes here changes every hash. */
#include <rakelight/entry.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DAY_MS G_GINT64_CONSTANT (86400000)

void
rake_number_to_text (double value, char text[G_ASCII_DTOSTR_BUF_SIZE])
{
  if (!isfinite (value))
    {
      /* only in an entry that was not checked; no such line is ever written or read */
      strcpy (text, "null");
      return;
    }
  if (value == 0)
    value = 0; /* -0 too: SQLite keeps no sign on it, and a hash must outlive the journey */
  g_ascii_formatd (text, G_ASCII_DTOSTR_BUF_SIZE, "%.15g", value);
  if (g_ascii_strtod (text, NULL) != value)
    g_ascii_formatd (text, G_ASCII_DTOSTR_BUF_SIZE, "%.17g", value);
}

/* --- times -------------------------------------------------------------------------------------- */

/* Days since 1970-01-01 in the Gregorian calendar, and back. Years are counted from March, so the
 * leap day is the last of its year; 719468 days lie between 0000-03-01 and 1970-01-01. */
static gint64
days_from_date (int year, int month, int day)
{
  gint64 y = month <= 2 ? year - 1 : year;
  gint64 era = (y >= 0 ? y : y - 399) / 400;
  gint64 year_of_era = y - era * 400;
  gint64 day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;

  return era * 146097 + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year -
         719468;
}

static void
date_from_days (gint64 days, int *year, int *month, int *day)
{
  gint64 z = days + 719468;
  gint64 era = (z >= 0 ? z : z - 146096) / 146097;
  gint64 day_of_era = z - era * 146097;
  gint64 year_of_era =
      (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
  gint64 day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
  gint64 m = (5 * day_of_year + 2) / 153;

  *day = (int) (day_of_year - (153 * m + 2) / 5 + 1);
  *month = (int) (m < 10 ? m + 3 : m - 9);
  *year = (int) (year_of_era + era * 400 + (*month <= 2 ? 1 : 0));
}

void
rake_time_to_text (gint64 unix_ms, int utc_offset_minutes, char text[RAKE_TIME_TEXT_LENGTH + 1])
{
  gint64 local_ms = unix_ms + (gint64) utc_offset_minutes * 60000;
  gint64 days = local_ms / DAY_MS - (local_ms % DAY_MS < 0 ? 1 : 0);
  int ms = (int) (local_ms - days * DAY_MS);
  int offset = ABS (utc_offset_minutes);
  int year, month, day;

  date_from_days (days, &year, &month, &day);
  g_snprintf (text, RAKE_TIME_TEXT_LENGTH + 1, "%04d-%02d-%02dT%02d:%02d:%02d.%03d%c%02d:%02d",
              year, month, day, ms / 3600000, ms / 60000 % 60, ms / 1000 % 60, ms % 1000,
              utc_offset_minutes < 0 ? '-' : '+', offset / 60 % 100, offset % 60);
}

/* Reads exactly @n_digits digits and moves on. */
static gboolean
read_digits (const char **at, int n_digits, int most, int *value)
{
  int read = 0;

  for (int i = 0; i < n_digits; i++, (*at)++)
    {
      if (!g_ascii_isdigit (**at))
        return FALSE;
      read = read * 10 + (**at - '0');
    }
  *value = read;
  return read <= most;
}

static gboolean
read_mark (const char **at, const char *marks)
{
  if (**at == '\0' || strchr (marks, **at) == NULL)
    return FALSE;
  (*at)++;
  return TRUE;
}

static gboolean
read_fraction (const char **at, int *ms)
{
  int worth = 100;

  *ms = 0;
  if (**at != '.')
    return TRUE;
  if (!g_ascii_isdigit (*++(*at)))
    return FALSE;
  for (; g_ascii_isdigit (**at); (*at)++, worth /= 10)
    *ms += (**at - '0') * worth;
  return TRUE;
}

static gboolean
read_offset (const char **at, int *minutes)
{
  int sign = **at == '-' ? -1 : 1, hour, minute;

  *minutes = 0;
  if (read_mark (at, "Zz"))
    return **at == '\0';
  if (!read_mark (at, "+-") || !read_digits (at, 2, 23, &hour) || !read_mark (at, ":") ||
      !read_digits (at, 2, 59, &minute))
    return FALSE;
  *minutes = sign * (hour * 60 + minute);
  return **at == '\0';
}

gboolean
rake_time_from_text (const char *text, gint64 *unix_ms, int *utc_offset_minutes)
{
  int year, month, day, hour, minute, second, ms, offset, day_again, month_again, year_again;
  const char *at = text;
  gint64 days;

  if (!read_digits (&at, 4, 9999, &year) || !read_mark (&at, "-") ||
      !read_digits (&at, 2, 12, &month) || !read_mark (&at, "-") ||
      !read_digits (&at, 2, 31, &day) || !read_mark (&at, "Tt ") ||
      !read_digits (&at, 2, 23, &hour) || !read_mark (&at, ":") ||
      !read_digits (&at, 2, 59, &minute) || !read_mark (&at, ":") ||
      !read_digits (&at, 2, 59, &second) || !read_fraction (&at, &ms) ||
      !read_offset (&at, &offset) || month < 1 || day < 1)
    return FALSE;
  days = days_from_date (year, month, day);
  date_from_days (days, &year_again, &month_again, &day_again);
  if (day_again != day) /* 30 February */
    return FALSE;
  *unix_ms =
      days * DAY_MS + ((hour * 60 + minute - offset) * 60 + second) * G_GINT64_CONSTANT (1000) + ms;
  *utc_offset_minutes = offset;
  return TRUE;
}

/* --- the line ------------------------------------------------------------------------------------ */

/* JSON after RFC 8259, escaping no more than it demands. */
static void
add_text (GString *line, const char *text)
{
  static const char *const shorts[32] = { [8] = "\\b", [9] = "\\t", [10] = "\\n", [12] = "\\f",
                                          [13] = "\\r" };

  g_string_append_c (line, '"');
  for (const char *at = text; *at != '\0';)
    {
      gsize plain = 0;

      while ((guint8) at[plain] >= 0x20 && at[plain] != '"' && at[plain] != '\\')
        plain++;
      g_string_append_len (line, at, (gssize) plain);
      at += plain;
      if (*at == '"' || *at == '\\')
        {
          g_string_append_c (line, '\\');
          g_string_append_c (line, *at++);
        }
      else if (*at != '\0')
        {
          if (shorts[(guint8) *at] != NULL)
            g_string_append (line, shorts[(guint8) *at]);
          else
            g_string_append_printf (line, "\\u%04x", (guint8) *at);
          at++;
        }
    }
  g_string_append_c (line, '"');
}

/* What is known to hold nothing to be escaped. */
static void
add_quoted (GString *line, const char *text)
{
  g_string_append_c (line, '"');
  g_string_append (line, text);
  g_string_append_c (line, '"');
}

static void
add_id (GString *line, RakeId id)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (id, text);
  add_quoted (line, text);
}

static void
add_time (GString *line, gint64 unix_ms, int utc_offset_minutes)
{
  char text[RAKE_TIME_TEXT_LENGTH + 1];

  rake_time_to_text (unix_ms, utc_offset_minutes, text);
  add_quoted (line, text);
}

/* The first key of an object follows its bracket, every other a comma. */
static void
add_key (GString *line, const char *key)
{
  if (line->str[line->len - 1] != '{')
    g_string_append_c (line, ',');
  add_quoted (line, key);
  g_string_append_c (line, ':');
}

static void add_record (GString *line, const RakeField *fields, gconstpointer record);

static void
add_list (GString *line, const RakeField *field, gconstpointer list)
{
  guint n_items = field->type == RAKE_FIELD_TEXTS ? ((const GPtrArray *) list)->len
                                                  : ((const GArray *) list)->len;

  g_string_append_c (line, '[');
  for (guint i = 0; i < n_items; i++)
    {
      if (i > 0)
        g_string_append_c (line, ',');
      if (field->type == RAKE_FIELD_TEXTS)
        add_text (line, g_ptr_array_index ((const GPtrArray *) list, i));
      else if (field->type == RAKE_FIELD_IDS)
        add_id (line, g_array_index ((const GArray *) list, RakeId, i));
      else
        {
          g_string_append_c (line, '{');
          add_record (line, field->fields, ((const GArray *) list)->data + i * field->record_size);
          g_string_append_c (line, '}');
        }
    }
  g_string_append_c (line, ']');
}

static gboolean
is_said (const RakeField *field, gconstpointer place)
{
  const char *text;
  const GArray *list;

  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      text = *(const char *const *) place;
      return text != NULL && *text != '\0';
    case RAKE_FIELD_ID:
      return !rake_id_is_nil (*(const RakeId *) place);
    case RAKE_FIELD_REAL:
      return !isnan (*(const double *) place);
    case RAKE_FIELD_WORD:
      return *(const int *) place != 0;
    case RAKE_FIELD_SHAPE:
      return *(const gconstpointer *) place != NULL;
    case RAKE_FIELD_TEXTS:
      return *(const gconstpointer *) place != NULL && (*(const GPtrArray *const *) place)->len > 0;
    case RAKE_FIELD_IDS:
    case RAKE_FIELD_RECORDS:
      list = *(const GArray *const *) place;
      return list != NULL && list->len > 0;
    }
  g_return_val_if_reached (FALSE);
}

static void
add_value (GString *line, const RakeField *field, gconstpointer place)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *wkt = NULL;
  const char *word;

  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      add_text (line, *(const char *const *) place);
      break;
    case RAKE_FIELD_ID:
      add_id (line, *(const RakeId *) place);
      break;
    case RAKE_FIELD_REAL:
      rake_number_to_text (*(const double *) place, number);
      g_string_append (line, number);
      break;
    case RAKE_FIELD_WORD:
      word = rake_field_get_word (field, *(const int *) place);
      add_text (line, word != NULL ? word : "");
      break;
    case RAKE_FIELD_SHAPE:
      wkt = rake_shape_to_wkt (*(const RakeShape *const *) place);
      add_text (line, wkt);
      break;
    case RAKE_FIELD_IDS:
    case RAKE_FIELD_TEXTS:
    case RAKE_FIELD_RECORDS:
      add_list (line, field, *(const gconstpointer *) place);
      break;
    }
}

static void
add_record (GString *line, const RakeField *fields, gconstpointer record)
{
  for (const RakeField *field = fields; field->name != NULL; field++)
    {
      gconstpointer place = (const guint8 *) record + field->offset;

      if (!is_said (field, place))
        continue;
      add_key (line, field->name);
      add_value (line, field, place);
    }
}

static void
add_head (GString *line, const RakeEntry *entry)
{
  add_key (line, "kind");
  add_text (line, rake_entry_kind_get_name (entry->kind));
  add_key (line, "id");
  add_id (line, entry->id);
  add_key (line, "bench");
  add_id (line, entry->bench);
  add_key (line, "number");
  g_string_append_printf (line, "%" G_GINT64_FORMAT, entry->number);
  add_key (line, "written");
  add_time (line, entry->written_ms, entry->utc_offset_minutes);
  if (entry->happened_ms != entry->written_ms)
    {
      add_key (line, "happened");
      add_time (line, entry->happened_ms, entry->utc_offset_minutes);
    }
  if (entry->who != NULL && *entry->who != '\0')
    {
      add_key (line, "who");
      add_text (line, entry->who);
    }
  if (!rake_id_is_nil (entry->gesture) && !rake_id_equal (entry->gesture, entry->id))
    {
      add_key (line, "gesture");
      add_id (line, entry->gesture);
    }
}

char *
rake_entry_to_canonical (const RakeEntry *entry)
{
  static const char digits[] = "0123456789abcdef";
  GString *line = g_string_sized_new (512);

  g_string_append_c (line, '{');
  add_head (line, entry);
  add_record (line, rake_entry_kind_get_fields (entry->kind), &entry->job);
  add_key (line, "previous");
  g_string_append_c (line, '"');
  for (gsize i = 0; i < sizeof entry->previous; i++)
    {
      g_string_append_c (line, digits[entry->previous[i] >> 4]);
      g_string_append_c (line, digits[entry->previous[i] & 15]);
    }
  g_string_append (line, "\"}");
  return g_string_free (line, FALSE);
}
