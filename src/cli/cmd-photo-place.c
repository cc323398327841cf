/* cmd-photo-place.c - a photograph that is in the job already, said anew where it belongs. */
#include "rakelight-config.h"

#include "cmd-photo.h"

#include <glib/gi18n.h>
#include <math.h>

typedef struct
{
  char *face, *stage, *view, *note, *who;
  char **zones;
  double lamp_deg;
  gboolean is_look, is_no_look, is_nowhere, as_json;
} Wishes;

static void
clear_wishes (Wishes *wishes)
{
  g_free (wishes->face);
  g_free (wishes->stage);
  g_free (wishes->view);
  g_free (wishes->note);
  g_free (wishes->who);
  g_strfreev (wishes->zones);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Wishes, clear_wishes)

static gboolean
says_where (const Wishes *wishes)
{
  return wishes->face != NULL || wishes->zones != NULL || wishes->stage != NULL;
}

/* A new place replaces the old one whole. */
static void
forget_place (RakePhotoBody *body)
{
  body->face = body->stage = body->pass = RAKE_ID_NIL;
  g_array_set_size (body->zones, 0);
  g_array_set_size (body->marks, 0);
}

static gboolean
place_on_face (const Wishes *wishes, const RakeJob *job, const RakePhoto *photo,
               RakePhotoBody *body, CliExit *code)
{
  const RakeFace *face = NULL;

  if (wishes->face != NULL && (face = cli_find_face_named (job, wishes->face, code)) == NULL)
    return FALSE;
  for (guint i = 0; wishes->zones != NULL && wishes->zones[i] != NULL; i++)
    {
      const RakeZone *zone = cli_find_zone_named (job, wishes->zones[i], code);
      if (zone == NULL)
        return FALSE;
      face = face != NULL ? face : zone->face;
      g_array_append_val (body->zones, zone->id);
    }
  face = face != NULL ? face : photo->face;
  if (face == NULL)
    {
      *code = cli_fail_with (CLI_INPUT, _ ("Say which face it shows: --face NAME"));
      return FALSE;
    }
  body->face = face->id;
  if (wishes->stage != NULL)
    {
      const RakeStage *stage = cli_find_stage_named (face, wishes->stage, code);
      if (stage == NULL)
        return FALSE;
      body->stage = stage->id;
    }
  return TRUE;
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
place (const Wishes *wishes, RakeJobFile *file, RakeJob *job, const RakePhoto *photo)
{
  g_autoptr (RakeEntry) entry = rake_photo_new_placement (job, photo);
  g_autoptr (GError) error = NULL;
  RakeId id = photo->id;
  CliExit code = CLI_DONE;

  if (says_where (wishes) || wishes->is_nowhere)
    forget_place (&entry->photo);
  if (says_where (wishes) && !place_on_face (wishes, job, photo, &entry->photo, &code))
    return code;
  if (isfinite (wishes->lamp_deg))
    entry->photo.lamp_deg = wishes->lamp_deg;
  if (wishes->is_look || wishes->is_no_look)
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
  g_auto (Wishes) wishes = { .lamp_deg = NAN };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  const RakePhoto *photo;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "face", 'f', 0, G_OPTION_ARG_STRING, &wishes.face, N_ ("It shows the face NAME"),
      N_ ("NAME") },
    { "zone", 'z', 0, G_OPTION_ARG_STRING_ARRAY, &wishes.zones,
      N_ ("It shows the zone NAME; may be given more than once"), N_ ("NAME") },
    { "stage", 's', 0, G_OPTION_ARG_STRING, &wishes.stage, N_ ("It was taken at this stage"),
      N_ ("GRADE") },
    { "nowhere", 0, 0, G_OPTION_ARG_NONE, &wishes.is_nowhere,
      N_ ("It shows the whole piece, no face of it"), NULL },
    { "lamp", 'l', 0, G_OPTION_ARG_DOUBLE, &wishes.lamp_deg,
      N_ ("Where the lamp stands: degrees from the top edge, clockwise"), N_ ("DEG") },
    { "look", 0, 0, G_OPTION_ARG_NONE, &wishes.is_look, N_ ("It was taken of what a look saw"),
      NULL },
    { "no-look", 0, 0, G_OPTION_ARG_NONE, &wishes.is_no_look,
      N_ ("It was not taken of what a look saw"), NULL },
    { "view", 0, 0, G_OPTION_ARG_STRING, &wishes.view,
      N_ ("A name for the place it was taken from"), N_ ("NAME") },
    { "note", 0, 0, G_OPTION_ARG_STRING, &wishes.note, N_ ("Words about it"), N_ ("TEXT") },
    { "who", 0, 0, G_OPTION_ARG_STRING, &wishes.who, N_ ("Who says so"), N_ ("NAME") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &wishes.as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (
          &command, "JOB PHOTO",
          N_ ("What is not said stays, but face, zones, stage, pass and marks go "
              "together: whoever says one of them says all. An empty view or note is none."),
          entries, &argc, &argv, 2, 2, &code))
    return code;
  if ((wishes.is_nowhere && says_where (&wishes)) || (wishes.is_look && wishes.is_no_look))
    return cli_fail_with (CLI_USAGE, _ ("These options contradict each other"));
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  photo = file != NULL ? cli_find_photo (job, argv[2], &code) : NULL;
  return photo != NULL ? place (&wishes, file, job, photo) : code;
}
