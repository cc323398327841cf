/* read-numbers.c - numbers with their units, as they stand behind an option. */
#include "rakelight-config.h"

#include "cli.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#define MOST_NUMBERS 10000

gboolean
cli_read (RakeMeasure measure, const char *option, const char *text, double least, double most,
          double *value, CliExit *code)
{
  g_autoptr (GError) error = NULL;

  *value = NAN;
  if (text == NULL || rake_units_parse (measure, text, least, most, value, &error))
    return TRUE;
  *code = cli_fail_with (CLI_INPUT, "--%s: %s", option, error->message);
  return FALSE;
}

GArray *
cli_read_list (RakeMeasure measure, const char *option, const char *text, double least, double most,
               CliExit *code)
{
  g_autoptr (GArray) values = g_array_new (FALSE, FALSE, sizeof (double));
  /* A semicolon anywhere frees the comma to be a decimal one. */
  g_auto (GStrv) parts = g_strsplit (text, strchr (text, ';') != NULL ? ";" : ",", MOST_NUMBERS);

  for (gsize i = 0; parts[i] != NULL; i++)
    {
      double value;

      if (!cli_read (measure, option, parts[i], least, most, &value, code))
        return NULL;
      g_array_append_val (values, value);
    }
  if (values->len > 0)
    return g_steal_pointer (&values);
  *code =
      cli_fail_with (CLI_INPUT, _ ("--%s: there is no number; write several as 57,56,55"), option);
  return NULL;
}

gboolean
cli_read_finish (const char *text, RakeFinish *finish, CliExit *code)
{
  const RakeField *field = rake_entry_kind_find_field (RAKE_ENTRY_JOB, "finish");
  g_autofree char *list = NULL;

  *finish = RAKE_FINISH_UNSAID;
  if (text == NULL)
    return TRUE;
  *finish = (RakeFinish) rake_field_find_word (field, text);
  /* "nitrocellulose" will do for "nitrocellulose lacquer", as no two begin alike. */
  for (int i = 1; *finish == RAKE_FINISH_UNSAID && field->words[i] != NULL; i++)
    if (strlen (text) >= 5 && g_str_has_prefix (field->words[i], text))
      *finish = (RakeFinish) i;
  if (*finish != RAKE_FINISH_UNSAID)
    return TRUE;
  list = g_strjoinv (", ", (char **) (field->words + 1));
  *code = cli_fail_with (CLI_USAGE, _ ("--%s takes one of: %s"), "finish", list);
  return FALSE;
}
