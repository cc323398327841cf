/* cmd-merge.c - two copies of a job that were worked on apart, brought together. */
#include "rakelight-config.h"

#include "cli.h"
#include "json-text.h"

#include <rakelight/exchange.h>

#include <glib/gi18n.h>

CliExit
cli_run_merge (int argc, char **argv)
{
  static const CliCommand command = {
    "merge", N_ ("Bring together two copies of a job worked on apart"), NULL
  };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJobFile) other = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (GError) error = NULL;
  gboolean as_json = FALSE;
  CliExit code = CLI_DONE;
  int n_added;
  const GOptionEntry entries[] = {
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "JOB OTHER",
                  N_ ("Adds to JOB what OTHER has and JOB has not. OTHER is only read."), entries,
                  &argc, &argv, 2, 2, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  if (file == NULL)
    return code;
  other = cli_open (argv[2], RAKE_JOB_FILE_READ_ONLY, NULL, &code);
  if (other == NULL)
    return code;
  n_added = rake_exchange_merge (file, job, other, &error);
  if (n_added < 0)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  if (as_json)
    {
      g_auto (JsonText) json = { 0 };

      json_text_init (&json);
      json_text_open (&json, '{');
      json_text_name (&json, "entries_added");
      json_text_number (&json, n_added);
      json_text_close (&json, '}');
      return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
    }
  g_print (ngettext ("%d entry added\n", "%d entries added\n", (gulong) n_added), n_added);
  return CLI_DONE;
}
