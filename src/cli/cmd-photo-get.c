/* cmd-photo-get.c - photographs out of the job into files with names that tell what they are. */
#include "rakelight-config.h"

#include "cmd-photo.h"

#include <rakelight/photo-heif.h>
#include <rakelight/photo-intake.h>

#include <errno.h>
#include <fcntl.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <unistd.h>

/* What is written of a HEIC without what the camera wrote is a JPEG. */
static const char *
get_ending (GBytes *bytes)
{
  gsize length;
  const guint8 *data = g_bytes_get_data (bytes, &length);

  if (rake_photo_is_heif (data, length))
    return ".heic";
  return length > 0 && data[0] == 0x89 ? ".png" : ".jpg";
}

static GBytes *
read_bytes (RakeJobFile *file, const RakePhoto *photo, gboolean with_location, gboolean working,
            GError **error)
{
  g_autoptr (GBytes) original = NULL;
  RakePhotoCopy copy;

  if (!cli_photo_check_not_withdrawn (photo, error))
    return NULL;
  if (working)
    {
      if (!rake_job_file_read_photo_copy (file, photo->entry->photo.sha256, RAKE_PHOTO_COPY_WORKING,
                                          &copy, error))
        return NULL;
      if (copy.bytes == NULL)
        g_set_error (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_MISSING,
                     _ ("the photograph has no smaller copy"));
      return copy.bytes;
    }
  original = rake_job_file_read_photo (file, photo->entry->photo.sha256, error);
  if (original == NULL || with_location)
    return g_steal_pointer (&original);
  return rake_photo_without_private (original, error);
}

/* Never over a file that is there. */
static gboolean
write_new (const char *path, GBytes *bytes, GError **error)
{
  gsize length;
  gconstpointer data = g_bytes_get_data (bytes, &length);
  int file = g_open (path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  gsize written = 0;

  while (file >= 0 && written < length)
    {
      gssize n = write (file, (const char *) data + written, length - written);
      if (n < 0 && errno != EINTR)
        break;
      written += n > 0 ? (gsize) n : 0;
    }
  if (file >= 0 && written == length && close (file) == 0)
    return TRUE;
  g_set_error (error, G_FILE_ERROR, g_file_error_from_errno (errno), _ ("%s cannot be written: %s"),
               path, g_strerror (errno));
  if (file >= 0)
    g_unlink (path); /* half of it is worse than none */
  return FALSE;
}

typedef struct
{
  gboolean with_location, working;
  const char *folder;
  JsonText *json; /* NULL: a line each */
} Wishes;

static CliExit
get_one (const Wishes *wishes, RakeJobFile *file, const RakeJob *job, const RakePhoto *photo)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *name = NULL, *path = NULL;
  g_autoptr (GBytes) bytes =
      read_bytes (file, photo, wishes->with_location, wishes->working, &error);

  if (bytes == NULL)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  name = rake_photo_make_file_name (job, photo, get_ending (bytes));
  path = g_build_filename (wishes->folder, name, NULL);
  if (!write_new (path, bytes, &error))
    return cli_fail (CLI_OUTPUT, g_steal_pointer (&error));
  if (wishes->json == NULL)
    g_print ("%s\n", path);
  else
    {
      json_text_open (wishes->json, '{');
      json_text_name (wishes->json, "file");
      json_text_string (wishes->json, path);
      json_text_name (wishes->json, "photo");
      cli_photo_to_json (wishes->json, file, job, photo);
      json_text_close (wishes->json, '}');
    }
  return CLI_DONE;
}

static CliExit
get_all (const Wishes *wishes, RakeJobFile *file, const RakeJob *job)
{
  CliExit code = CLI_DONE;

  for (guint i = 0; code == CLI_DONE && i < rake_job_get_n_photos (job); i++)
    {
      const RakePhoto *photo = rake_job_get_photo (job, i);
      if (photo->withdrawal == NULL)
        code = get_one (wishes, file, job, photo);
    }
  return code;
}

static CliExit
get_those (const Wishes *wishes, RakeJobFile *file, const RakeJob *job, int n, char **texts)
{
  CliExit code = CLI_DONE;

  if (n == 0)
    return get_all (wishes, file, job);
  for (int i = 0; code == CLI_DONE && i < n; i++)
    {
      const RakePhoto *photo = cli_find_photo (job, texts[i], &code);
      if (photo != NULL)
        code = get_one (wishes, file, job, photo);
    }
  return code;
}

static CliExit
get_as_json (Wishes *wishes, RakeJobFile *file, const RakeJob *job, int n, char **texts)
{
  g_auto (JsonText) json = { 0 };
  CliExit code;

  json_text_init (&json);
  json_text_open (&json, '[');
  wishes->json = &json;
  code = get_those (wishes, file, job, n, texts);
  json_text_close (&json, ']');
  if (!json_text_print (&json) && code == CLI_DONE)
    code = CLI_OUTPUT;
  return code;
}

CliExit
cli_photo_get (int argc, char **argv)
{
  static const CliCommand command = {
    "photo get", N_ ("Write photographs to files, without what the camera wrote about the place"), NULL
  };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autofree char *folder = NULL;
  gboolean with_location = FALSE, working = FALSE, as_json = FALSE;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &folder, N_ ("Into FOLDER, else here"),
      N_ ("FOLDER") },
    { "with-location", 0, 0, G_OPTION_ARG_NONE, &with_location,
      N_ ("To the byte as it came, with all that the camera wrote: place, time, owner"), NULL },
    { "working", 0, 0, G_OPTION_ARG_NONE, &working, N_ ("The smaller copy for the screen"), NULL },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (
          &command, "JOB [PHOTO …]",
          N_ ("PHOTO is a number from photo list, or an id; without one, all that are kept. "
              "The pixels are those of the original."),
          entries, &argc, &argv, 1, G_MAXINT - 1, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  {
    Wishes wishes = { with_location, working, folder != NULL ? folder : ".", NULL };

    return as_json ? get_as_json (&wishes, file, job, argc - 2, argv + 2)
                   : get_those (&wishes, file, job, argc - 2, argv + 2);
  }
}
