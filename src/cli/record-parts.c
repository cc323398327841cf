/* record-parts.c - see record-parts.h. */
#include "rakelight-config.h"

#include "record-parts.h"

#include <rakelight/seal.h>

#include <glib/gi18n.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- options -------------------------------------------------------------------------------------- */

CliExit
cli_run_part (const char *command, const CliCommand *parts, gsize n_parts, int argc, char **argv)
{
  if (argc < 2 || g_str_equal (argv[1], "--help") || g_str_equal (argv[1], "-h"))
    {
      g_print (_ ("Usage: rakelight-cli %s PART [OPTIONS] JOB …\n\n"), command);
      for (gsize i = 0; i < n_parts; i++)
        g_print ("  %-6s %s\n", parts[i].name, _ (parts[i].summary));
      g_print ("\n");
      g_print (_ ("rakelight-cli %s PART --help tells the options of one.\n"), command);
      return argc < 2 ? CLI_USAGE : CLI_DONE;
    }
  for (gsize i = 0; i < n_parts; i++)
    if (g_str_equal (argv[1], parts[i].name))
      return parts[i].run (argc - 1, argv + 1);
  return cli_fail_with (CLI_USAGE,
                        _ ("There is no “%s %s”; rakelight-cli %s --help lists what there is"),
                        command, argv[1], command);
}

CliExit
cli_run_record_list (const CliCommand *command, const GOptionEntry *more, const CliRecordList *list,
                     int argc, char **argv)
{
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_auto (JsonText) json = { 0 };
  gboolean as_json = FALSE;
  CliExit code = CLI_DONE;
  const GOptionEntry own = { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"),
                             NULL };
  g_autoptr (GArray) options = g_array_new (TRUE, FALSE, sizeof (GOptionEntry));

  for (; more->long_name != NULL; more++)
    g_array_append_vals (options, more, 1);
  g_array_append_val (options, own);
  if (!cli_parse (command, "JOB", NULL, (const GOptionEntry *) (gpointer) options->data, &argc,
                  &argv, 1, 1, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  if (!as_json)
    {
      list->print (job, list->data);
      return CLI_DONE;
    }
  json_text_init (&json);
  json_text_open (&json, '{');
  list->to_json (&json, job);
  json_text_close (&json, '}');
  return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
}

void
cli_set_text (char **text, const char *said)
{
  if (said == NULL)
    return;
  g_free (*text);
  *text = g_strdup (said);
}

static gboolean
is_currency (const char *text)
{
  return strlen (text) == 3 && g_ascii_isalpha (text[0]) && g_ascii_isalpha (text[1]) &&
         g_ascii_isalpha (text[2]);
}

gboolean
cli_parse_plain (const char *option, const char *text, double least, double most, double *value,
                 CliExit *code)
{
  g_autofree char *pointed = NULL;
  char *end;

  *value = NAN;
  if (text == NULL)
    return TRUE;
  pointed = g_strdelimit (g_strdup (text), ",", '.');
  *value = g_ascii_strtod (pointed, &end);
  if (end != pointed && *end == '\0' && *value >= least && *value <= most)
    return TRUE;
  *code = cli_fail_with (CLI_INPUT, _ ("--%s is “%s”; it takes a number from %.0f to %.0f"), option,
                         text, least, most);
  return FALSE;
}

gboolean
cli_parse_cost (const char *text, double *cost, char **currency, CliExit *code)
{
  g_auto (GStrv) words = NULL;
  const char *number = NULL;
  int at;

  if (text == NULL)
    return TRUE;
  words = g_strsplit (text, " ", 2);
  if (g_strv_length (words) == 2 && (is_currency (words[0]) || is_currency (words[1])))
    {
      at = is_currency (words[1]) ? 1 : 0;
      number = words[1 - at];
      if (!cli_parse_plain ("cost", number, 0, 1e9, cost, code))
        return FALSE;
      *currency = g_ascii_strup (words[at], 3);
      return TRUE;
    }
  *code = cli_fail_with (CLI_USAGE, _ ("“%s” is no cost; write it as 12.50 EUR"), text);
  return FALSE;
}

gboolean
cli_parse_word (RakeEntryKind kind, const char *name, const char *text, int *value, CliExit *code)
{
  const RakeField *field = rake_entry_kind_find_field (kind, name);
  g_autofree char *words = NULL;

  if (text == NULL)
    return TRUE;
  *value = rake_field_find_word (field, text);
  if (*value != 0)
    return TRUE;
  words = g_strjoinv (", ", (char **) field->words + 1);
  *code = cli_fail_with (CLI_USAGE, _ ("“%s” is none of: %s"), text, words);
  return FALSE;
}

/* The id that a number or an id means; nil for neither. */
static RakeId
read_id (const char *text, const GPtrArray *list)
{
  char *end;
  unsigned long number = strtoul (text, &end, 10);
  RakeId id = RAKE_ID_NIL;

  if (*end == '\0' && end != text)
    return number >= 1 && number <= list->len ? *(const RakeId *) list->pdata[number - 1]
                                              : RAKE_ID_NIL;
  return rake_id_from_text (text, &id) ? id : RAKE_ID_NIL;
}

/* Both structs begin with their id. */
G_STATIC_ASSERT (G_STRUCT_OFFSET (RakeDefect, id) == 0);
G_STATIC_ASSERT (G_STRUCT_OFFSET (RakeClaim, id) == 0);

RakeDefect *
cli_find_defect (const RakeJob *job, const char *text, CliExit *code)
{
  g_autoptr (GPtrArray) list = rake_job_list_defects (job);
  RakeDefect *defect = rake_job_find_defect (job, read_id (text, list));

  if (defect == NULL)
    *code = cli_fail_with (
        CLI_INPUT, _ ("The job has no defect %s; rakelight-cli defect list numbers them"), text);
  return defect;
}

RakeClaim *
cli_find_claim (const RakeJob *job, const char *text, CliExit *code)
{
  g_autoptr (GPtrArray) list = rake_job_list_claims (job);
  RakeClaim *claim = rake_job_find_claim (job, read_id (text, list));

  if (claim == NULL)
    *code = cli_fail_with (
        CLI_INPUT, _ ("The job has no claim %s; rakelight-cli claim list numbers them"), text);
  return claim;
}

CliExit
cli_append (RakeJobFile *file, RakeJob *job, RakeEntry *entry, const char *who)
{
  g_autoptr (RakeEntry) owned = entry;
  g_autoptr (GError) error = NULL;

  CliExit code;

  if (rake_job_file_append (file, job, &owned, 1, who, &error))
    return CLI_DONE;
  code = error->domain == RAKE_JOB_FILE_ERROR ? CLI_FILE : CLI_INPUT;
  return cli_fail (code, g_steal_pointer (&error));
}

char *
cli_day_to_text (gint64 unix_ms, int utc_offset_minutes)
{
  g_autoptr (GDateTime) day =
      g_date_time_new_from_unix_utc (unix_ms / 1000 + (gint64) utc_offset_minutes * 60);

  /* Translators: a date as g_date_time_format() writes it: "15 March 2026" */
  return g_date_time_format (day, _ ("%-e %B %Y"));
}

/* --- JSON ----------------------------------------------------------------------------------------- */

static void
say_id (JsonText *json, const char *name, RakeId id)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (id, text);
  json_text_say_string (json, name, rake_id_is_nil (id) ? NULL : text);
}

static void
say_time (JsonText *json, const char *name, gint64 ms, int utc_offset_minutes)
{
  char text[RAKE_TIME_TEXT_LENGTH + 1];

  rake_time_to_text (ms, utc_offset_minutes, text);
  json_text_say_string (json, name, text);
}

/* The body of an entry by the names that it has in docs/entries.md; unsaid is null. */
static void
say_body (JsonText *json, const RakeEntry *entry)
{
  for (const RakeField *field = rake_entry_kind_get_fields (entry->kind); field->name != NULL;
       field++)
    {
      const void *value = (const char *) &entry->job + field->offset;

      if (field->type == RAKE_FIELD_TEXT)
        json_text_say_string (json, field->name, *(char *const *) value);
      else if (field->type == RAKE_FIELD_REAL)
        json_text_say_number (json, field->name, *(const double *) value);
      else if (field->type == RAKE_FIELD_WORD)
        json_text_say_string (json, field->name, rake_field_get_word (field, *(const int *) value));
    }
}

static void
say_story (JsonText *json, const GPtrArray *story)
{
  json_text_name (json, "story");
  json_text_open (json, '[');
  for (guint i = 0; i < story->len; i++)
    {
      const RakeEntry *entry = story->pdata[i];

      json_text_open (json, '{');
      say_id (json, "id", entry->id);
      say_time (json, "happened", entry->happened_ms, entry->utc_offset_minutes);
      json_text_say_string (json, "who", entry->who);
      say_body (json, entry);
      json_text_close (json, '}');
    }
  json_text_close (json, ']');
}

static void
say_repairs (JsonText *json, const RakeDefect *defect)
{
  g_autoptr (GPtrArray) repairs = rake_defect_list_repairs (defect);

  json_text_name (json, "repairs");
  json_text_open (json, '[');
  for (guint i = 0; i < repairs->len; i++)
    {
      char text[RAKE_ID_TEXT_LENGTH + 1];

      rake_id_to_text (((const RakeEntry *) repairs->pdata[i])->id, text);
      json_text_string (json, text);
    }
  json_text_close (json, ']');
}

static void
say_defect (JsonText *json, const RakeDefect *defect)
{
  json_text_open (json, '{');
  say_id (json, "id", defect->id);
  json_text_say_string (json, "name", defect->what);
  say_body (json, defect->told);
  json_text_say_string (json, "face", defect->face != NULL ? defect->face->name : NULL);
  json_text_say_string (json, "zone", defect->zone != NULL ? defect->zone->name : NULL);
  say_id (json, "mark", defect->mark != NULL ? defect->mark->entry->id : RAKE_ID_NIL);
  say_time (json, "found", defect->found_ms, defect->entry->utc_offset_minutes);
  json_text_say_string (json, "stage", defect->stage != NULL ? defect->stage->grade : NULL);
  say_id (json, "pass", defect->pass != NULL ? defect->pass->id : RAKE_ID_NIL);
  json_text_say_number (json, "lamp_deg", defect->lamp_deg);
  json_text_say_number (json, "x_mm", defect->x_mm);
  json_text_say_number (json, "y_mm", defect->y_mm);
  json_text_say_number (json, "from_edge_mm", defect->from_edge_mm);
  json_text_say_number (json, "length_mm", defect->length_mm);
  json_text_say_number (json, "area_mm2", defect->area_mm2);
  say_repairs (json, defect);
  say_story (json, defect->story);
  json_text_close (json, '}');
}

void
cli_defects_to_json (JsonText *json, const RakeJob *job)
{
  g_autoptr (GPtrArray) defects = rake_job_list_defects (job);

  json_text_name (json, "defects");
  json_text_open (json, '[');
  for (guint i = 0; i < defects->len; i++)
    say_defect (json, defects->pdata[i]);
  json_text_close (json, ']');
}

/* What the record said of the place when the piece left. */
static void
say_then (JsonText *json, const RakeJob *job, const RakeClaim *claim)
{
  g_autoptr (RakeJob) then = NULL;
  const RakeZone *zone;
  guint n_open = 0;

  json_text_name (json, "then");
  then = claim->hand_over != NULL ? rake_job_new_until (job, claim->n_entries_then) : NULL;
  zone = then != NULL && claim->zone != NULL ? rake_job_find_zone (then, claim->zone->id) : NULL;
  if (zone == NULL)
    {
      json_text_null (json);
      return;
    }
  for (guint i = 0; i < zone->marks->len; i++)
    n_open += ((const RakeMark *) zone->marks->pdata[i])->closed_by == NULL;
  json_text_open (json, '{');
  say_time (json, "handed_over", claim->hand_over->happened_ms,
            claim->hand_over->utc_offset_minutes);
  json_text_say_string (json, "zone", zone->name);
  json_text_say_number (json, "n_marks", zone->marks->len);
  json_text_say_number (json, "n_open_marks", n_open);
  json_text_close (json, '}');
}

void
cli_claims_to_json (JsonText *json, const RakeJob *job)
{
  g_autoptr (GPtrArray) claims = rake_job_list_claims (job);

  json_text_name (json, "claims");
  json_text_open (json, '[');
  for (guint i = 0; i < claims->len; i++)
    {
      const RakeClaim *claim = claims->pdata[i];

      json_text_open (json, '{');
      say_id (json, "id", claim->id);
      say_body (json, claim->told);
      json_text_say_bool (json, "is_open", claim->is_open);
      json_text_say_string (json, "face", claim->face != NULL ? claim->face->name : NULL);
      json_text_say_string (json, "zone", claim->zone != NULL ? claim->zone->name : NULL);
      say_id (json, "mark", claim->mark != NULL ? claim->mark->entry->id : RAKE_ID_NIL);
      say_id (json, "defect", claim->defect);
      say_then (json, job, claim);
      say_story (json, claim->story);
      json_text_close (json, '}');
    }
  json_text_close (json, ']');
}

void
cli_hand_over_to_json (JsonText *json, const RakeJob *job)
{
  guint n_before = 0;
  const RakeEntry *entry = rake_job_find_hand_over (job, &n_before);
  g_autofree char *seal = NULL;

  json_text_name (json, "handed_over");
  if (entry == NULL)
    {
      json_text_null (json);
      return;
    }
  seal = rake_seal_take (job, n_before);
  json_text_open (json, '{');
  say_id (json, "id", entry->id);
  say_time (json, "happened", entry->happened_ms, entry->utc_offset_minutes);
  say_body (json, entry);
  json_text_say_bool (json, "seal_holds", g_strcmp0 (seal, entry->hand_over.seal) == 0);
  json_text_say_bool (json, "is_closed", rake_job_is_closed (job));
  json_text_close (json, '}');
}
