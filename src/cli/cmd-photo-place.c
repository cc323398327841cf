/* cmd-photo-place.c - a photograph that is in the job already, said anew where it belongs. */
#include "rakelight-config.h"

#include "cmd-photo.h"
#include "photo-wishes.h"

#include <glib/gi18n.h>
#include <math.h>

/* What only a photograph that is in the job can be told. */
typedef struct
{
  gboolean is_no_look, is_nowhere;
} Takings;

/* A new place replaces the old one whole. */
static void
forget_place (RakePhotoBody *body)
{
  body->face = body->stage = body->pass = RAKE_ID_NIL;
  g_array_set_size (body->zones, 0);
  g_array_set_size (body->marks, 0);
}

static void
replace (char **text, const char *said)
{
  if (said == NULL)
    return;
  g_free (*text);
  *text = *said != '\0' ? g_strdup (said) : NULL;
}

static CliExit
place (const CliPhotoWishes *wishes, const Takings *takings, RakeJobFile *file, RakeJob *job,
       const RakePhoto *photo)
{
  g_autoptr (RakeEntry) entry = rake_photo_new_placement (job, photo);
  g_autoptr (GError) error = NULL;
  RakeId id = photo->id;
  CliExit code = CLI_DONE;

  if (cli_photo_wishes_say_where (wishes) || takings->is_nowhere)
    forget_place (&entry->photo);
  if (cli_photo_wishes_say_where (wishes) &&
      !cli_photo_wishes_place (wishes, job, photo->face, _ ("Say which face it shows: --face NAME"),
                               &entry->photo, &code))
    return code;
  if (isfinite (wishes->lamp_deg))
    entry->photo.lamp_deg = wishes->lamp_deg;
  if (wishes->is_look || takings->is_no_look)
    entry->photo.is_look = wishes->is_look ? RAKE_ANSWER_YES : RAKE_ANSWER_NO;
  replace (&entry->photo.view, wishes->view);
  replace (&entry->photo.note, wishes->note);
  if (!rake_job_file_append (file, job, &entry, 1, wishes->who, &error))
    return cli_fail_to_keep (g_steal_pointer (&error));
  return wishes->as_json ? cli_photo_print_json (file, job, id) : CLI_DONE;
}

CliExit
cli_photo_place (int argc, char **argv)
{
  static const CliCommand command = { "photo place", N_ ("Say anew where a photograph belongs"),
                                      NULL };
  g_auto (CliPhotoWishes) wishes = { .lamp_deg = NAN };
  Takings takings = { 0 };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  const RakePhoto *photo;
  CliExit code = CLI_DONE;
  const GOptionEntry more[] = {
    { "nowhere", 0, 0, G_OPTION_ARG_NONE, &takings.is_nowhere,
      N_ ("It shows the whole piece, no face of it"), NULL },
    { "no-look", 0, 0, G_OPTION_ARG_NONE, &takings.is_no_look,
      N_ ("It was not taken of what a look saw"), NULL },
    { 0 },
  };
  g_autofree GOptionEntry *options = cli_photo_wishes_list_options (&wishes, more);

  if (!cli_parse (
          &command, "JOB PHOTO",
          N_ ("What is not said stays, but face, zones, stage, pass and marks go "
              "together: whoever says one of them says all. An empty view or note is none."),
          options, &argc, &argv, 2, 2, &code))
    return code;
  if ((takings.is_nowhere && cli_photo_wishes_say_where (&wishes)) ||
      (wishes.is_look && takings.is_no_look))
    return cli_fail_with (CLI_USAGE, _ ("These options contradict each other"));
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  photo = file != NULL ? cli_find_photo (job, argv[2], &code) : NULL;
  return photo != NULL ? place (&wishes, &takings, file, job, photo) : code;
}
