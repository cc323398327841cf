/* cmd-export.c - a job's logbook as JSON Lines, to standard output or a file. */
#include "rakelight-config.h"

#include "cli.h"

#include <rakelight/exchange.h>

#include <errno.h>
#include <glib/gi18n.h>
#include <stdio.h>

static gboolean
write_line (const char *line, gpointer user_data, GError **error)
{
  GString *text = user_data;

  g_string_append (text, line);
  g_string_append_c (text, '\n');
  return TRUE;
}

CliExit
cli_run_export (int argc, char **argv)
{
  static const CliCommand command = { "export", N_ ("Write a job's logbook as JSON Lines"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (GString) text = g_string_new (NULL);
  g_autofree char *output = NULL;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("Write to FILE"), N_ ("FILE") },
    { 0 },
  };

  if (!cli_parse (
          &command, "JOB",
          N_ ("One entry a line, in the order of the logbook. The client's name and contact "
              "are not part of the logbook and are left out."),
          entries, &argc, &argv, 1, 1, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, NULL, &code);
  if (file == NULL)
    return code;
  /* Gathered first, so that a broken file leaves no half export behind. */
  if (!rake_exchange_export (file, write_line, text, &error))
    return cli_fail (CLI_FILE, g_steal_pointer (&error));
  if (output != NULL)
    {
      if (!g_file_set_contents_full (output, text->str, (gssize) text->len,
                                     G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE,
                                     0666, &error))
        return cli_fail (CLI_OUTPUT, g_steal_pointer (&error));
    }
  else if (fwrite (text->str, 1, text->len, stdout) != text->len || fflush (stdout) != 0)
    return cli_fail_with (CLI_OUTPUT, _ ("Standard output cannot be written: %s"),
                          g_strerror (errno));
  return CLI_DONE;
}
