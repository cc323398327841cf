/* cmd-import.c - entries from JSON Lines into a job file: all of them or none. */
#include "rakelight-config.h"

#include "cli.h"
#include "json-text.h"

#include <rakelight/exchange.h>

#include <gio/gunixinputstream.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <unistd.h>

/* More than any logbook: 20 000 entries are some 10 MB. */
#define LARGEST_IMPORT (512u * 1024 * 1024)

static GInputStream *
open_input (const char *path, GError **error)
{
  g_autoptr (GFile) file = NULL;

  if (g_str_equal (path, "-"))
    return g_unix_input_stream_new (STDIN_FILENO, FALSE);
  file = g_file_new_for_commandline_arg (path);
  return G_INPUT_STREAM (g_file_read (file, NULL, error));
}

static gboolean
read_input (const char *path, char **text, gsize *length, GError **error)
{
  g_autoptr (GString) all = g_string_new (NULL);
  g_autoptr (GInputStream) stream = open_input (path, error);
  char piece[65536];
  gssize n_read = 0;

  while (stream != NULL &&
         (n_read = g_input_stream_read (stream, piece, sizeof piece, NULL, error)) > 0)
    {
      g_string_append_len (all, piece, n_read);
      if (all->len > LARGEST_IMPORT)
        {
          g_set_error (error, RAKE_EXCHANGE_ERROR, RAKE_EXCHANGE_ERROR_LINE,
                       _ ("%s is larger than any logbook; is it the right file?"), path);
          return FALSE;
        }
    }
  if (stream == NULL || n_read < 0)
    return FALSE;
  *length = all->len;
  *text = g_string_free (g_steal_pointer (&all), FALSE);
  return TRUE;
}

static gboolean
print_result (gboolean as_json, int n_added)
{
  g_auto (JsonText) json = { 0 };

  if (!as_json)
    {
      g_print (ngettext ("%d entry added\n", "%d entries added\n", (gulong) n_added), n_added);
      return TRUE;
    }
  json_text_init (&json);
  json_text_open (&json, '{');
  json_text_name (&json, "entries_added");
  json_text_number (&json, n_added);
  json_text_close (&json, '}');
  return json_text_print (&json);
}

/* By hash, with the ending of any kind. */
static GBytes *
find_photo (const char *sha256, gpointer folder, GError **error)
{
  static const char *const endings[] = { ".jpg", ".png", ".heic" };

  for (gsize i = 0; i < G_N_ELEMENTS (endings); i++)
    {
      g_autofree char *name = g_strconcat (sha256, endings[i], NULL);
      g_autofree char *path = g_build_filename (folder, name, NULL);
      char *bytes;
      gsize length;

      if (!g_file_test (path, G_FILE_TEST_EXISTS))
        continue;
      if (!g_file_get_contents (path, &bytes, &length, error))
        return NULL;
      return g_bytes_new_take (bytes, length);
    }
  return NULL;
}

CliExit
cli_run_import (int argc, char **argv)
{
  static const CliCommand command = { "import", N_ ("Add entries to a job file from JSON Lines"),
                                      NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL, *photos = NULL;
  gboolean as_json = FALSE, is_new;
  gsize length = 0;
  int n_added;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "photos", 0, 0, G_OPTION_ARG_FILENAME, &photos,
      N_ ("Photographs by the names of their hashes"), N_ ("FOLDER") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "JOB [FILE]",
                  N_ ("Reads FILE, or standard input. JOB is made when it is not there. When any "
                      "line is wrong the whole is refused and nothing is written."),
                  entries, &argc, &argv, 1, 2, &code))
    return code;
  if (!read_input (argc > 2 ? argv[2] : "-", &text, &length, &error))
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));

  is_new = !g_file_test (argv[1], G_FILE_TEST_EXISTS);
  if (is_new)
    {
      file = rake_job_file_create (argv[1], &error);
      if (file == NULL)
        return cli_fail (CLI_FILE, g_steal_pointer (&error));
      job = rake_job_new ();
    }
  else
    {
      file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
      if (file == NULL)
        return code;
    }
  n_added = photos != NULL ? rake_exchange_import_with_photos (file, job, text, length, find_photo,
                                                               photos, &error)
                           : rake_exchange_import (file, job, text, length, &error);
  if (n_added < 0)
    {
      /* A refused import leaves nothing behind, not even the empty file it would have filled. */
      if (is_new)
        {
          g_clear_pointer (&file, rake_job_file_close);
          g_unlink (argv[1]);
        }
      return cli_fail_to_keep (g_steal_pointer (&error));
    }
  return print_result (as_json, n_added) ? CLI_DONE : CLI_OUTPUT;
}
