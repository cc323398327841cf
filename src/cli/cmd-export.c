/* cmd-export.c - a job's logbook as JSON Lines or as a table, to standard output or a file. */
#include "rakelight-config.h"

#include "cli.h"

#include <rakelight/exchange.h>
#include <rakelight/photo-intake.h>
#include <rakelight/table.h>

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

/* Gathered first, so that a broken file leaves no half export behind. */
static CliExit
gather_lines (const char *path, GString *text)
{
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GError) error = NULL;
  CliExit code = CLI_DONE;

  file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, NULL, &code);
  if (file != NULL && !rake_exchange_export (file, write_line, text, &error))
    return cli_fail (CLI_FILE, g_steal_pointer (&error));
  return code;
}

static CliExit
gather_table (const char *path, const char *name, GString *text)
{
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autofree char *table = NULL, *names = NULL;
  RakeEntryKind kind = rake_table_find_kind (name);
  CliExit code = CLI_DONE;

  if (kind == 0)
    {
      names = g_strjoinv (", ", (char **) rake_table_get_names ());
      return cli_fail_with (CLI_USAGE, _ ("There is no table “%s”; take one of: %s"), name, names);
    }
  file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  table = rake_table_write (job, kind);
  g_string_append (text, table);
  return CLI_DONE;
}

typedef struct
{
  const char *folder;
  gboolean with_location;
} Photos;

/* To the byte, or their hashes would not be theirs: so those that tell where they were taken only when
 * that was asked for. One that is there already has these bytes: its name says so. */
static gboolean
write_photo (const RakeEntry *photo, GBytes *bytes, gpointer user_data, GError **error)
{
  const Photos *photos = user_data;
  g_autofree char *name = rake_exchange_name_photo (&photo->photo);
  g_autofree char *path = g_build_filename (photos->folder, name, NULL);

  if (!photos->with_location && rake_photo_tells_where (bytes))
    {
      g_set_error (
          error, RAKE_PHOTO_INTAKE_ERROR, RAKE_PHOTO_INTAKE_ERROR_FILE,
          _ ("The photograph %s may tell where it was taken; give --with-location to write "
             "it out all the same"),
          photo->photo.name != NULL ? photo->photo.name : name);
      return FALSE;
    }

  return g_file_set_contents_full (
      path, g_bytes_get_data (bytes, NULL), (gssize) g_bytes_get_size (bytes),
      G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0666, error);
}

static CliExit
export_photos (const char *path, Photos *photos)
{
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GError) error = NULL;
  CliExit code = CLI_DONE;

  file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, NULL, &code);
  if (file == NULL)
    return code;
  if (g_mkdir_with_parents (photos->folder, 0777) != 0)
    return cli_fail_with (CLI_OUTPUT, _ ("%s cannot be made: %s"), photos->folder,
                          g_strerror (errno));
  if (rake_exchange_export_photos (file, write_photo, photos, &error))
    return CLI_DONE;
  code = error->domain == RAKE_JOB_FILE_ERROR       ? CLI_FILE
         : error->domain == RAKE_PHOTO_INTAKE_ERROR ? CLI_INPUT
                                                    : CLI_OUTPUT;
  return cli_fail (code, g_steal_pointer (&error));
}

CliExit
cli_run_export (int argc, char **argv)
{
  static const CliCommand command = { "export",
                                      N_ ("Write a job's logbook as JSON Lines, or a table of it"),
                                      NULL };
  g_autoptr (GError) error = NULL;
  g_autoptr (GString) text = g_string_new (NULL);
  g_autofree char *output = NULL, *table = NULL, *photos = NULL;
  gboolean with_location = FALSE;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &output, N_ ("Write to FILE"), N_ ("FILE") },
    { "csv", 0, 0, G_OPTION_ARG_STRING, &table,
      N_ ("A table for a spreadsheet instead: passes, looks, marks, readings, coats, repairs …"),
      N_ ("TABLE") },
    { "photos", 0, 0, G_OPTION_ARG_FILENAME, &photos,
      N_ ("Photographs beside it, to the byte, with all that the camera wrote"), N_ ("FOLDER") },
    { "with-location", 0, 0, G_OPTION_ARG_NONE, &with_location,
      N_ ("Those too that tell where they were taken"), NULL },
    { 0 },
  };

  if (!cli_parse (
          &command, "JOB",
          N_ ("One entry a line, in the order of the logbook. The client's name and contact "
              "are not part of the logbook and are left out."),
          entries, &argc, &argv, 1, 1, &code))
    return code;
  code = table != NULL ? gather_table (argv[1], table, text) : gather_lines (argv[1], text);
  if (code == CLI_DONE && photos != NULL)
    code = export_photos (argv[1], &(Photos){ photos, with_location });
  if (code != CLI_DONE)
    return code;
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
