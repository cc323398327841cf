/* cmd-bench-sheet.c - a face as a page to mark by pencil. */
#include "rakelight-config.h"

#include "cli.h"

#include <rakelight/bench-sheet.h>

#include <glib/gi18n.h>

CliExit
cli_run_bench_sheet (int argc, char **argv)
{
  static const CliCommand command = { "bench-sheet",
                                      N_ ("Write a face as a page to mark by pencil"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *output = NULL, *sheet_name = NULL, *face_name = NULL;
  const RakeFace *face;
  RakeSheet sheet;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("Write to FILE.pdf"), N_ ("FILE") },
    { "face", 'f', 0, G_OPTION_ARG_STRING, &face_name, N_ ("The face NAME, else the first"),
      N_ ("NAME") },
    { "paper", 'p', 0, G_OPTION_ARG_STRING, &sheet_name, N_ ("a4 (usual) or letter"), N_ ("PAPER") },
    { 0 },
  };

  if (!cli_parse (&command, "JOB", NULL, entries, &argc, &argv, 1, 1, &code) ||
      !cli_parse_sheet (sheet_name, &sheet, &code))
    return code;
  if (output == NULL)
    return cli_fail_with (CLI_USAGE, _ ("Say where the sheet goes: --output FILE.pdf"));
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  face = cli_find_face (job, face_name, &code);
  if (face == NULL)
    return code;
  if (!rake_bench_sheet_write (output, job, face, sheet, &error))
    return cli_fail (CLI_OUTPUT, g_steal_pointer (&error));
  return CLI_DONE;
}
