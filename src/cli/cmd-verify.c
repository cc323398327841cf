/* cmd-verify.c - is the job file whole, is its logbook unaltered, does it have this seal? */
#include "rakelight-config.h"

#include "cli.h"
#include "json-text.h"

#include <glib/gi18n.h>

static CliExit
answer (gboolean as_json, gboolean is_whole, gboolean seal_agrees, const char *seal,
        const char *fault)
{
  if (as_json)
    {
      g_auto (JsonText) json = { 0 };

      json_text_init (&json);
      json_text_open (&json, '{');
      json_text_name (&json, "is_whole");
      json_text_bool (&json, is_whole);
      json_text_name (&json, "seal_agrees");
      json_text_bool (&json, seal_agrees);
      json_text_name (&json, "seal");
      json_text_string (&json, seal);
      json_text_name (&json, "fault");
      json_text_string (&json, fault);
      json_text_close (&json, '}');
      if (!json_text_print (&json))
        return CLI_OUTPUT;
    }
  else if (is_whole && seal_agrees)
    g_print (_ ("The logbook is whole and unaltered.\nSeal %s\n"), seal);
  if (fault != NULL && !as_json)
    g_printerr ("rakelight-cli: %s\n", fault);
  return is_whole && seal_agrees ? CLI_DONE : CLI_NO;
}

CliExit
cli_run_verify (int argc, char **argv)
{
  static const CliCommand command = { "verify",
                                      N_ ("Check that a job file is whole and unaltered"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *wanted = NULL, *seal = NULL, *fault = NULL;
  gboolean as_json = FALSE;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "seal", 's', 0, G_OPTION_ARG_STRING, &wanted, N_ ("The seal it should have"), N_ ("SEAL") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "JOB", NULL, entries, &argc, &argv, 1, 1, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, NULL, &code);
  if (file == NULL)
    return code;
  if (!rake_job_file_verify (file, &error))
    return answer (as_json, FALSE, FALSE, NULL, error->message);
  seal = rake_job_file_get_seal (file, &error);
  if (seal == NULL)
    return answer (as_json, FALSE, FALSE, NULL, error->message);
  if (wanted != NULL && g_ascii_strcasecmp (wanted, seal) != 0)
    {
      fault = g_strdup_printf (_ ("The logbook is whole, but its seal is %s, not the one given: "
                                  "entries were added since, or it is another job"),
                               seal);
      return answer (as_json, TRUE, FALSE, seal, fault);
    }
  return answer (as_json, TRUE, TRUE, seal, NULL);
}
