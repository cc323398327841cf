/* entry-check.c - what an entry may say: each field by the table, then what one asks of another. */
#include <rakelight/entry.h>

#include <inttypes.h>
#include <math.h>

#include "i18n.h"

#define LIST_TEXT_BYTES 1000
#define NAME_BYTES 200

/* Before 1900 no sprayed finish, after 2200 a clock that is wrong. */
#define EARLIEST_MS G_GINT64_CONSTANT (-2208988800000)
#define LATEST_MS G_GINT64_CONSTANT (7258118400000)
#define DAY_MS G_GINT64_CONSTANT (86400000)
#define MOST_OFFSET_MINUTES (18 * 60)

G_DEFINE_QUARK (rake-entry-error-quark, rake_entry_error)

static gboolean refuse (GError **error, const char *format, ...) G_GNUC_PRINTF (2, 3);

static gboolean
refuse (GError **error, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error_literal (error, RAKE_ENTRY_ERROR, RAKE_ENTRY_ERROR_FIELD, message);
  return FALSE;
}

static gboolean
refuse_missing (const RakeField *field, GError **error)
{
  return refuse (error, _ ("%s is missing"), field->name);
}

/* A name goes on one line of a map or a list; a longer text may have lines of its own. */
static gboolean
check_text (const char *name, const char *text, gsize max_length, GError **error)
{
  gsize length = strlen (text);

  if (length > max_length)
    return refuse (error, _ ("%s has %zu bytes; at most %zu are kept"), name, length, max_length);
  if (!g_utf8_validate_len (text, length, NULL))
    return refuse (error, _ ("%s is not UTF-8 text"), name);
  for (const char *at = text; *at != '\0'; at++)
    if (g_ascii_iscntrl (*at) && !(max_length > NAME_BYTES && (*at == '\n' || *at == '\t')))
      return refuse (error, _ ("%s has the control character %d in it"), name, *at);
  return TRUE;
}

static gboolean
check_real (const RakeField *field, double value, GError **error)
{
  char given[G_ASCII_DTOSTR_BUF_SIZE], least[G_ASCII_DTOSTR_BUF_SIZE],
      most[G_ASCII_DTOSTR_BUF_SIZE];

  if (isnan (value))
    return field->is_required ? refuse_missing (field, error) : TRUE;
  if (isinf (value))
    return refuse (error, _ ("%s is infinite; a number is needed"), field->name);
  if (value >= field->min && (field->max_is_open ? value < field->max : value <= field->max))
    return TRUE;
  g_ascii_formatd (given, sizeof given, "%.10g", value);
  g_ascii_formatd (least, sizeof least, "%.10g", field->min);
  g_ascii_formatd (most, sizeof most, "%.10g", field->max);
  if (field->max_is_open)
    return refuse (error, _ ("%s is %s; a direction is %s to less than %s"), field->name, given,
                   least, most);
  return refuse (error, _ ("%s is %s; it may be %s to %s"), field->name, given, least, most);
}

static gboolean
check_shape (const RakeField *field, const RakeShape *shape, GError **error)
{
  if (shape == NULL)
    return field->is_required ? refuse_missing (field, error) : TRUE;
  if (field->shape_kind == 0 || rake_shape_get_kind (shape) == field->shape_kind)
    return TRUE;
  return refuse (error,
                 field->shape_kind == RAKE_SHAPE_AREA ? _ ("%s is not an area")
                                                      : _ ("%s is not a line"),
                 field->name);
}

static gboolean
check_ids (const RakeField *field, const GArray *list, GError **error)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);

  for (guint i = 0; i < list->len; i++)
    {
      RakeId *id = &g_array_index (list, RakeId, i);

      if (rake_id_is_nil (*id))
        return refuse (error, _ ("%s %u is missing"), field->name, i + 1);
      if (!g_hash_table_add (seen, id))
        return refuse (error, _ ("%s %u is named twice"), field->name, i + 1);
    }
  return TRUE;
}

static gboolean
check_texts (const RakeField *field, const GPtrArray *list, GError **error)
{
  for (guint i = 0; i < list->len; i++)
    {
      const char *text = g_ptr_array_index (list, i);

      if (text == NULL || *text == '\0')
        return refuse (error, _ ("%s %u is missing"), field->name, i + 1);
      if (!check_text (field->name, text, LIST_TEXT_BYTES, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean check_record (const RakeField *fields, gconstpointer record, GError **error);

static gboolean
check_records (const RakeField *field, const GArray *list, GError **error)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);

  for (guint i = 0; i < list->len; i++)
    {
      const char *record = list->data + i * field->record_size;

      if (!check_record (field->fields, record, error))
        {
          g_prefix_error (error, "%s %u: ", field->name, i + 1);
          return FALSE;
        }
      /* a record that makes something begins with its id */
      g_assert (field->fields[0].offset == 0);
      if (field->fields[0].type == RAKE_FIELD_ID && !g_hash_table_add (seen, (gpointer) record))
        return refuse (error, _ ("%s %u: id is there twice"), field->name, i + 1);
    }
  return TRUE;
}

static gboolean
check_list (const RakeField *field, gconstpointer list, GError **error)
{
  guint n_items = 0;

  if (list != NULL)
    n_items = field->type == RAKE_FIELD_TEXTS ? ((const GPtrArray *) list)->len
                                              : ((const GArray *) list)->len;
  if (n_items == 0)
    return field->is_required
               ? refuse (error, _ ("%s is empty; at least one is needed"), field->name)
               : TRUE;
  if (n_items > field->max_length)
    return refuse (error, _ ("%s has %u items; at most %zu are kept"), field->name, n_items,
                   field->max_length);
  if (field->type == RAKE_FIELD_TEXTS)
    return check_texts (field, list, error);
  if (field->type == RAKE_FIELD_IDS)
    return check_ids (field, list, error);
  return check_records (field, list, error);
}

static gboolean
check_word (const RakeField *field, int value, GError **error)
{
  if (value == 0)
    return field->is_required ? refuse_missing (field, error) : TRUE;
  if (rake_field_get_word (field, value) == NULL)
    return refuse (error, _ ("%s is %d, which is no word of its list"), field->name, value);
  return TRUE;
}

static gboolean
check_field (const RakeField *field, gconstpointer place, GError **error)
{
  const char *text;

  switch (field->type)
    {
    case RAKE_FIELD_TEXT:
      text = *(const char *const *) place;
      if (text == NULL || *text == '\0')
        return field->is_required ? refuse_missing (field, error) : TRUE;
      return check_text (field->name, text, field->max_length, error);
    case RAKE_FIELD_ID:
      if (field->is_required && rake_id_is_nil (*(const RakeId *) place))
        return refuse_missing (field, error);
      return TRUE;
    case RAKE_FIELD_REAL:
      return check_real (field, *(const double *) place, error);
    case RAKE_FIELD_WORD:
      return check_word (field, *(const int *) place, error);
    case RAKE_FIELD_SHAPE:
      return check_shape (field, *(const RakeShape *const *) place, error);
    case RAKE_FIELD_IDS:
    case RAKE_FIELD_TEXTS:
    case RAKE_FIELD_RECORDS:
      return check_list (field, *(const gconstpointer *) place, error);
    }
  g_return_val_if_reached (FALSE);
}

static gboolean
check_record (const RakeField *fields, gconstpointer record, GError **error)
{
  for (const RakeField *field = fields; field->name != NULL; field++)
    if (!check_field (field, (const guint8 *) record + field->offset, error))
      return FALSE;
  return TRUE;
}

static gboolean
check_head (const RakeEntry *entry, GError **error)
{
  if (rake_id_is_nil (entry->id))
    return refuse (error, _ ("%s is missing"), "id");
  if (entry->number < 0)
    return refuse (error, _ ("number is %" PRId64 "; a bench counts from 1"), entry->number);
  if (ABS (entry->utc_offset_minutes) > MOST_OFFSET_MINUTES)
    return refuse (error, _ ("the local time is %d minutes off UTC; at most 18 hours are"),
                   entry->utc_offset_minutes);
  if (entry->written_ms < EARLIEST_MS || entry->written_ms > LATEST_MS)
    return refuse (error, _ ("written is not between the years 1900 and 2200"));
  if (entry->happened_ms < EARLIEST_MS)
    return refuse (error, _ ("happened is before the year 1900"));
  /* a day's grace: clocks and time zones of benches differ */
  if (entry->happened_ms > entry->written_ms + DAY_MS)
    return refuse (error, _ ("happened is later than written; an entry tells what was done"));
  return entry->who == NULL || check_text ("who", entry->who, NAME_BYTES, error);
}

/* --- what one field asks of another ------------------------------------------------------------- */

static gboolean
check_zones (const RakeZonesBody *zones, GError **error)
{
  guint n_removed = zones->removed->len, n_added = zones->added->len;

  if (zones->division == RAKE_DIVISION_JOIN && (n_removed < 2 || n_added != 1))
    return refuse (error, _ ("zones joins %u into %u; a join makes one of several"), n_removed,
                   n_added);
  if (zones->division != RAKE_DIVISION_JOIN && (n_removed != 1 || n_added < 2))
    return refuse (error, _ ("zones makes %u into %u; a division makes several of one"), n_removed,
                   n_added);
  for (guint i = 0; i < n_removed; i++)
    for (guint j = 0; j < n_added; j++)
      if (rake_id_equal (g_array_index (zones->removed, RakeId, i),
                         g_array_index (zones->added, RakeZoneSpec, j).id))
        return refuse (error, _ ("added %u: id is that of a removed zone; a new zone has a new id"),
                       j + 1);
  return TRUE;
}

static gboolean
check_schedule (const RakeScheduleBody *schedule, GError **error)
{
  for (guint i = 0; i < schedule->stages->len; i++)
    {
      const RakeStageSpec *stage = &g_array_index (schedule->stages, RakeStageSpec, i);
      gboolean has_grade = stage->grade != NULL && *stage->grade != '\0';
      gboolean wants_grade = stage->action == RAKE_ACTION_LEVEL ||
                             stage->action == RAKE_ACTION_REFINE ||
                             stage->action == RAKE_ACTION_BUFF;

      if (wants_grade && !has_grade)
        return refuse (error, _ ("stages %u: grade is missing; this stage works with one"), i + 1);
      if (!wants_grade && (has_grade || !isnan (stage->d50_um)))
        return refuse (error, _ ("stages %u: grade is said, but looks and rest have none"), i + 1);
    }
  return TRUE;
}

static gboolean
check_state (const RakeStateBody *state, GError **error)
{
  gboolean says_islands = !isnan (state->low_spot_fraction) || !isnan (state->largest_island_mm) ||
                          !isnan (state->n_islands_over_limit);

  if (says_islands && state->state != RAKE_STATE_LOW_SPOT)
    return refuse (error, _ ("low spots are measured, but state is not \"low spot\""));
  if (!isnan (state->scratch_mm) && state->state != RAKE_STATE_SCRATCH)
    return refuse (error, _ ("scratch_mm is said, but state is not \"scratch\""));
  if (!isnan (state->n_islands_over_limit) &&
      state->n_islands_over_limit != floor (state->n_islands_over_limit))
    return refuse (error, _ ("n_islands_over_limit is a count; it has no fraction"));
  return TRUE;
}

static gboolean
check_reading (const RakeReadingBody *reading, GError **error)
{
  if (reading->value < 0 && reading->quantity != RAKE_QUANTITY_TEMPERATURE_CELSIUS)
    return refuse (error, _ ("value is below zero; only a temperature can be"));
  if (reading->value > 2000 && reading->quantity == RAKE_QUANTITY_GLOSS_GU)
    return refuse (error, _ ("value is more than 2000; no gloss meter shows that"));
  if (reading->value > 500 && reading->quantity == RAKE_QUANTITY_TEMPERATURE_CELSIUS)
    return refuse (error, _ ("value is more than 500 °C; no finish is"));
  if (!isnan (reading->angle_deg) && reading->quantity != RAKE_QUANTITY_GLOSS_GU)
    return refuse (error, _ ("angle_deg is said, but only a gloss meter has one"));
  return TRUE;
}

static gboolean
check_rate (const RakeRateBody *rate, GError **error)
{
  if (!isnan (rate->n_pairs) && rate->n_pairs != floor (rate->n_pairs))
    return refuse (error, _ ("n_pairs is a count; it has no fraction"));
  return TRUE;
}

static gboolean
check_strike (const RakeEntry *entry, GError **error)
{
  const RakeStrikeBody *strike = &entry->strike;

  if (rake_id_equal (strike->entry, entry->id))
    return refuse (error, _ ("entry is the strike itself"));
  if (strike->why == RAKE_STRIKE_CORRECTION && (strike->reason == NULL || *strike->reason == '\0'))
    return refuse (error, _ ("reason is missing; a correction says why"));
  return TRUE;
}

static gboolean
check_whole (const char *name, double value, GError **error)
{
  return isnan (value) || value == floor (value) ||
         refuse (error, _ ("%s is a count; it has no fraction"), name);
}

static gboolean
is_sha256 (const char *text)
{
  for (int i = 0; i < 64; i++)
    if (!g_ascii_isxdigit (text[i]) || g_ascii_isupper (text[i]))
      return FALSE;
  return text[64] == '\0';
}

static gboolean
check_photo (const RakePhotoBody *photo, GError **error)
{
  gboolean says_offset = !isnan (photo->offset_minutes);

  if (!is_sha256 (photo->sha256))
    return refuse (error, _ ("sha256 is not a hash of 64 lower-case hexadecimal digits"));
  if (!check_whole ("n_bytes", photo->n_bytes, error) ||
      !check_whole ("width_px", photo->width_px, error) ||
      !check_whole ("height_px", photo->height_px, error) ||
      !check_whole ("turn", photo->turn, error))
    return FALSE;
  if (says_offset != (photo->is_offset_assumed != RAKE_ANSWER_UNSAID))
    return refuse (error, _ ("offset_minutes and is_offset_assumed go together"));
  if (rake_id_is_nil (photo->face) &&
      (!rake_id_is_nil (photo->stage) || !rake_id_is_nil (photo->pass) || photo->zones->len > 0 ||
       photo->marks->len > 0))
    return refuse (error, _ ("face is missing; stage, pass, zones and marks are a face's"));
  return TRUE;
}

static gboolean
check_registration (const RakeRegistrationBody *registration, GError **error)
{
  guint n_pairs = registration->pairs->len;

  return n_pairs >= 4 ||
         refuse (error, _ ("pairs has %u items; a photograph is laid on a face by four or more"),
                 n_pairs);
}

static gboolean
is_said (const char *text)
{
  return text != NULL && *text != '\0';
}

/* ISO 4217 has letters of ASCII alone: they are compared and never shown in another form. */
static gboolean
check_cost (double cost, const char *currency, GError **error)
{
  if (isnan (cost) == is_said (currency))
    return refuse (error, _ ("cost and currency go together"));
  for (int i = 0; is_said (currency) && i < 3; i++)
    if (!g_ascii_isupper (currency[i]))
      return refuse (error, _ ("currency is “%s”; it takes three capitals, as EUR"), currency);
  return TRUE;
}

static gboolean
check_defect (const RakeDefectBody *defect, GError **error)
{
  gboolean is_left = defect->standing == RAKE_STANDING_ACCEPTED ||
                     defect->standing == RAKE_STANDING_LEFT_AS_AGREED;

  if (rake_id_is_nil (defect->mark) && rake_id_is_nil (defect->defect) && !is_said (defect->what))
    return refuse (error, _ ("what is missing; a defect without a mark says what it is"));
  if (is_left && !is_said (defect->outcome))
    return refuse (error, _ ("outcome is missing; what is accepted or left as agreed says why"));
  return check_cost (defect->cost, defect->currency, error);
}

static gboolean
check_hand_over (const RakeHandOverBody *hand_over, GError **error)
{
  return !is_said (hand_over->seal) || is_sha256 (hand_over->seal) ||
         refuse (error, _ ("seal is not a hash of 64 lower-case hexadecimal digits"));
}

static gboolean
check_body (const RakeEntry *entry, GError **error)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_ZONES:
      return check_zones (&entry->zones, error);
    case RAKE_ENTRY_SCHEDULE:
      return check_schedule (&entry->schedule, error);
    case RAKE_ENTRY_STATE:
      return check_state (&entry->state, error);
    case RAKE_ENTRY_READING:
      return check_reading (&entry->reading, error);
    case RAKE_ENTRY_RATE:
      return check_rate (&entry->rate, error);
    case RAKE_ENTRY_STRIKE:
      return check_strike (entry, error);
    case RAKE_ENTRY_PHOTO:
      return check_photo (&entry->photo, error);
    case RAKE_ENTRY_REGISTRATION:
      return check_registration (&entry->registration, error);
    case RAKE_ENTRY_DEFECT:
      return check_defect (&entry->defect, error);
    case RAKE_ENTRY_HAND_OVER:
      return check_hand_over (&entry->hand_over, error);
    case RAKE_ENTRY_CLAIM:
      return check_cost (entry->claim.cost, entry->claim.currency, error);
    case RAKE_ENTRY_REVISIT:
      if (entry->revisit.outcome == RAKE_OUTCOME_GONE && entry->revisit.shape != NULL)
        return refuse (error, _ ("shape is said of a mark that is gone"));
      return TRUE;
    default:
      return TRUE;
    }
}

gboolean
rake_entry_check (const RakeEntry *entry, GError **error)
{
  return check_head (entry, error) &&
         check_record (rake_entry_kind_get_fields (entry->kind), &entry->job, error) &&
         check_body (entry, error);
}
