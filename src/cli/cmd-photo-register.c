/* cmd-photo-register.c - a photograph laid on its face by pairs of points. */
#include "rakelight-config.h"

#include "cmd-photo.h"

#include <rakelight/photo-fit.h>

#include <glib/gi18n.h>
#include <string.h>

/* One line: x y in pixels, x y in millimetres. FALSE for what is none; blank lines are passed over. */
static gboolean
read_pair (const char *line, RakePhotoPair *pair, gboolean *is_blank)
{
  double numbers[4];
  char *at = (char *) line;

  for (int i = 0; i < 4; i++)
    {
      char *end;

      at += strspn (at, " \t,;\r");
      numbers[i] = g_ascii_strtod (at, &end);
      if (end == at)
        {
          *is_blank = i == 0 && (*at == '\0' || *at == '#');
          return *is_blank;
        }
      at = end;
    }
  at += strspn (at, " \t\r");
  *is_blank = FALSE;
  *pair = (RakePhotoPair){ numbers[0], numbers[1], numbers[2], numbers[3] };
  return *at == '\0';
}

static GArray *
read_pairs (const char *path, CliExit *code)
{
  g_autoptr (GArray) pairs = g_array_new (FALSE, FALSE, sizeof (RakePhotoPair));
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  if (!g_file_get_contents (path, &text, NULL, &error))
    {
      *code = cli_fail (CLI_INPUT, g_steal_pointer (&error));
      return NULL;
    }
  lines = g_strsplit (text, "\n", -1);
  for (guint i = 0; lines[i] != NULL; i++)
    {
      RakePhotoPair pair;
      gboolean is_blank;

      if (!read_pair (lines[i], &pair, &is_blank))
        {
          *code = cli_fail_with (
              CLI_INPUT, _ ("%s, line %u: four numbers are needed: x y in pixels, x y in mm"), path,
              i + 1);
          return NULL;
        }
      if (!is_blank)
        g_array_append_val (pairs, pair);
    }
  return g_steal_pointer (&pairs);
}

static RakeEntry *
fit_pairs (const RakePhoto *photo, GArray *pairs, gboolean radial, CliExit *code)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePhotoFit) fit =
      rake_photo_fit_new ((const RakePhotoPair *) (gpointer) pairs->data, pairs->len,
                          (int) photo->entry->photo.width_px, (int) photo->entry->photo.height_px,
                          radial ? RAKE_PHOTO_FIT_RADIAL : RAKE_PHOTO_FIT_PROJECTIVE, &error);
  RakeEntry *entry;

  if (fit == NULL)
    {
      *code = cli_fail (CLI_INPUT, g_steal_pointer (&error));
      return NULL;
    }
  entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  rake_photo_fit_fill_registration (fit, &entry->registration);
  for (guint i = 0; i < pairs->len; i++)
    {
      const RakePhotoPair *pair = &g_array_index (pairs, RakePhotoPair, i);
      const RakePairSpec spec = { pair->image_x_px, pair->image_y_px, pair->body_x_mm,
                                  pair->body_y_mm };
      g_array_append_val (entry->registration.pairs, spec);
    }
  return entry;
}

static RakeEntry *
copy_fit (const RakeJob *job, const RakePhoto *photo, CliExit *code)
{
  const RakeEntry *other = rake_job_find_fit_of_view (job, photo);
  RakeEntry *entry;
  GArray *pairs;

  if (other == NULL)
    {
      *code = cli_fail_with (CLI_INPUT,
                             _ ("No photograph of the same view and size lies on this face yet"));
      return NULL;
    }
  entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  pairs = entry->registration.pairs;
  g_array_append_vals (pairs, other->registration.pairs->data, other->registration.pairs->len);
  entry->registration = other->registration;
  entry->registration.pairs = pairs;
  return entry;
}

static CliExit
keep (RakeJobFile *file, RakeJob *job, const RakePhoto *photo, RakeEntry *entry, const char *who,
      gboolean as_json)
{
  g_autoptr (GError) error = NULL;
  g_auto (JsonText) json = { 0 };
  RakeId id = photo->id;

  if (photo->face == NULL)
    return cli_fail_with (CLI_INPUT, _ ("The photograph belongs to no face; add it with --face"));
  entry->registration.face = photo->face->id;
  entry->registration.photo = id;
  if (!rake_job_file_append (file, job, &entry, 1, who, &error))
    return cli_fail_to_keep (g_steal_pointer (&error));
  if (!as_json)
    {
      g_print (_ ("Laid on the face; the pairs are off by %.2f mm (%.1f pixels)\n"),
               entry->registration.rms_mm, entry->registration.rms_px);
      return CLI_DONE;
    }
  json_text_init (&json);
  cli_photo_to_json (&json, file, job, rake_job_find_photo (job, id));
  return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
}

CliExit
cli_photo_register (int argc, char **argv)
{
  static const CliCommand command = { "photo register",
                                      N_ ("Lay a photograph on its face by pairs of points"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeEntry) entry = NULL;
  g_autoptr (GArray) pairs = NULL;
  g_autofree char *path = NULL, *who = NULL;
  gboolean radial = FALSE, same_view = FALSE, as_json = FALSE;
  const RakePhoto *photo;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "pairs", 'p', 0, G_OPTION_ARG_FILENAME, &path,
      N_ ("Four pairs or more, one a line: x y in pixels, x y in mm"), N_ ("FILE") },
    { "radial", 0, 0, G_OPTION_ARG_NONE, &radial,
      N_ ("Find how the lens bends as well, from six pairs or more"), NULL },
    { "same-view", 0, 0, G_OPTION_ARG_NONE, &same_view,
      N_ ("As the last photograph of the same view lies"), NULL },
    { "who", 0, 0, G_OPTION_ARG_STRING, &who, N_ ("Who says so"), N_ ("NAME") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (
          &command, "JOB PHOTO",
          N_ ("Pixels count from the upper left corner of the picture as it lies in the file."),
          entries, &argc, &argv, 2, 2, &code))
    return code;
  if ((path == NULL) != same_view)
    return cli_fail_with (CLI_USAGE, _ ("Give either --pairs or --same-view"));
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  photo = file != NULL ? cli_find_photo (job, argv[2], &code) : NULL;
  if (photo == NULL)
    return code;
  if (same_view)
    entry = copy_fit (job, photo, &code);
  else if ((pairs = read_pairs (path, &code)) != NULL)
    entry = fit_pairs (photo, pairs, radial, &code);
  return entry != NULL ? keep (file, job, photo, entry, who, as_json) : code;
}
