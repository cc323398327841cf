/* cmd-photo-sheet.c - all photographs of a job on paper, small. */
#include "rakelight-config.h"

#include "cmd-photo.h"

#include <rakelight/contact-sheet.h>

#include <glib/gi18n.h>

CliExit
cli_photo_sheet (int argc, char **argv)
{
  static const CliCommand command = { "photo sheet",
                                      N_ ("Write all photographs, small, as a PDF to print"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *output = NULL, *sheet_name = NULL, *face_name = NULL;
  const RakeFace *face = NULL;
  RakeSheet sheet;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("Write to FILE.pdf"), N_ ("FILE") },
    { "face", 'f', 0, G_OPTION_ARG_STRING, &face_name, N_ ("Those of the face NAME"), N_ ("NAME") },
    { "paper", 'p', 0, G_OPTION_ARG_STRING, &sheet_name, N_ ("a4 (usual) or letter"), N_ ("PAPER") },
    { 0 },
  };

  if (!cli_parse (&command, "JOB", N_ ("One that was withdrawn keeps its place and says so."),
                  entries, &argc, &argv, 1, 1, &code) ||
      !cli_parse_sheet (sheet_name, &sheet, &code))
    return code;
  if (output == NULL)
    return cli_fail_with (CLI_USAGE, _ ("Say where the sheet goes: --output FILE.pdf"));
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  if (face_name != NULL && (face = cli_find_face_named (job, face_name, &code)) == NULL)
    return code;
  if (rake_job_get_n_photos (job) == 0)
    return cli_fail_with (CLI_INPUT, _ ("The job has no photograph yet"));
  if (!rake_contact_sheet_write (output, file, job, face != NULL ? face->id : RAKE_ID_NIL, sheet,
                                 &error))
    return cli_fail (CLI_OUTPUT, g_steal_pointer (&error));
  return CLI_DONE;
}
