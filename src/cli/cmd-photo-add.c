/* cmd-photo-add.c - pictures from files into the job, each with a place. */
#include "rakelight-config.h"

#include "cmd-photo.h"
#include "photo-wishes.h"

#include <rakelight/photo-intake.h>

#include <glib/gi18n.h>
#include <math.h>

/* After so long, what was worked last tells little of what a picture shows. */
#define GUESSES_FOR_HOURS 12

const RakeStage *
cli_find_stage_named (const RakeFace *face, const char *grade, CliExit *code)
{
  for (guint i = 0; i < face->stages->len; i++)
    {
      const RakeStage *stage = face->stages->pdata[i];
      if (g_str_equal (stage->grade, grade))
        return stage;
    }
  *code = cli_fail_with (CLI_INPUT, _ ("The face %s has no stage “%s”"), face->name, grade);
  return NULL;
}

static void
place_by_guess (const RakeJob *job, RakeEntry *entry)
{
  g_auto (RakePhotoGuess) guess = { 0 };

  rake_job_guess_photo_place (job, entry->happened_ms, &guess);
  if (guess.face == NULL || guess.hours_before > GUESSES_FOR_HOURS)
    return;
  entry->photo.face = guess.face->id;
  if (guess.stage != NULL)
    entry->photo.stage = guess.stage->id;
  if (guess.pass != NULL)
    entry->photo.pass = guess.pass->id;
  for (guint i = 0; i < guess.zones->len; i++)
    g_array_append_val (entry->photo.zones, ((RakeZone *) guess.zones->pdata[i])->id);
}

/* As was said, or as it is guessed where nothing was said. */
static gboolean
place (const CliPhotoWishes *wishes, gboolean may_guess, const RakeJob *job, RakeEntry *entry,
       CliExit *code)
{
  RakePhotoBody *body = &entry->photo;
  const RakeFace *first = rake_job_get_n_faces (job) > 0 ? rake_job_get_face (job, 0) : NULL;

  body->view = g_strdup (wishes->view);
  body->note = g_strdup (wishes->note);
  body->lamp_deg = wishes->lamp_deg;
  body->is_look = wishes->is_look ? RAKE_ANSWER_YES : RAKE_ANSWER_UNSAID;
  if (cli_photo_wishes_say_where (wishes))
    return cli_photo_wishes_place (wishes, job, first, _ ("The job has no face yet"), body, code);
  if (may_guess)
    place_by_guess (job, entry);
  return TRUE;
}

/* The copies of the intake are lent: they are freed with it. */
static RakePhotoBytes
lend_bytes (const RakePhotoIntake *intake)
{
  RakePhotoBytes bytes = {
    .original = intake->original,
    .working = { intake->working, intake->working_width_px, intake->working_height_px },
    .thumbnail = { intake->thumbnail, intake->thumbnail_width_px, intake->thumbnail_height_px },
  };

  g_strlcpy (bytes.sha256, intake->sha256, sizeof bytes.sha256);
  return bytes;
}

/* One that is in the job already stays where it belongs: @id is its own. */
static gboolean
is_there_already (const RakeJob *job, const RakePhotoIntake *intake, RakeId *id)
{
  guint number = rake_job_find_same_photo (job, intake->sha256);

  if (number == 0)
    return FALSE;
  *id = rake_job_get_photo (job, number - 1)->id;
  g_printerr (_ ("“%s” is in this job already, as photograph %u; photo place says anew where it "
                 "belongs\n"),
              intake->name != NULL ? intake->name : "?", number);
  return TRUE;
}

static CliExit
add_one (const CliPhotoWishes *wishes, gboolean may_guess, RakeJobFile *file, RakeJob *job,
         const char *path, RakeId *id)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePhotoIntake) intake = rake_photo_intake_new (
      path, RAKE_PHOTO_WORKING_PX, RAKE_PHOTO_THUMBNAIL_PX, NULL, NULL, NULL, &error);
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_PHOTO);
  g_autoptr (GTimeZone) zone = g_time_zone_new_local ();
  RakePhotoBytes bytes;
  CliExit code = CLI_DONE;

  if (intake == NULL)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  if (is_there_already (job, intake, id))
    return CLI_DONE;
  rake_photo_intake_fill_entry (intake, zone, entry);
  if (!place (wishes, may_guess, job, entry, &code))
    return code;
  bytes = lend_bytes (intake);
  *id = entry->id;
  if (!rake_job_file_append_photos (file, job, &entry, 1, &bytes, 1, wishes->who, &error))
    return cli_fail_to_keep (g_steal_pointer (&error));
  return CLI_DONE;
}

static CliExit
answer (RakeJobFile *file, const RakeJob *job, const GArray *ids, guint n_before, gboolean as_json)
{
  guint n_added = rake_job_get_n_photos (job) - n_before;
  g_auto (JsonText) json = { 0 };

  if (!as_json)
    {
      g_print (ngettext ("%u photograph added\n", "%u photographs added\n", n_added), n_added);
      return CLI_DONE;
    }
  json_text_init (&json);
  json_text_open (&json, '[');
  for (guint i = 0; i < ids->len; i++)
    cli_photo_to_json (&json, file, job, rake_job_find_photo (job, g_array_index (ids, RakeId, i)));
  json_text_close (&json, ']');
  return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
}

/* Each picture is a gesture of its own: what was added before one that is refused stays. */
static CliExit
add_all (const CliPhotoWishes *wishes, gboolean may_guess, int n_paths, char **paths,
         const char *job_path)
{
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (RakeId));
  CliExit code = CLI_DONE;
  guint n_before;

  file = cli_open (job_path, RAKE_JOB_FILE_WRITE, &job, &code);
  if (file == NULL)
    return code;
  n_before = rake_job_get_n_photos (job);
  for (int i = 0; i < n_paths; i++)
    {
      RakeId id;

      code = add_one (wishes, may_guess, file, job, paths[i], &id);
      if (code != CLI_DONE)
        return code;
      g_array_append_val (ids, id);
    }
  return answer (file, job, ids, n_before, wishes->as_json);
}

CliExit
cli_photo_add (int argc, char **argv)
{
  static const CliCommand command = { "photo add", N_ ("Take pictures into the job"), NULL };
  g_auto (CliPhotoWishes) wishes = { .lamp_deg = NAN };
  gboolean no_guess = FALSE;
  CliExit code = CLI_DONE;
  const GOptionEntry more[] = {
    { "no-guess", 0, 0, G_OPTION_ARG_NONE, &no_guess,
      N_ ("Guess no place from when it was taken"), NULL },
    { 0 },
  };
  g_autofree GOptionEntry *options = cli_photo_wishes_list_options (&wishes, more);

  if (!cli_parse (
          &command, "JOB PICTURE …",
          N_ ("JPEG, PNG and HEIC are taken in as they are, to the byte. Where no place is said, "
              "it is guessed from what was worked last before the picture was taken."),
          options, &argc, &argv, 2, G_MAXINT - 1, &code))
    return code;
  return add_all (&wishes, !no_guess, argc - 2, argv + 2, argv[1]);
}
