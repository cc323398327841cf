/* cmd-photo.c - photographs of a job: listed, and what the other parts share. */
#include "rakelight-config.h"

#include "cmd-photo.h"

#include <glib/gi18n.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const CliCommand parts[] = {
  { "add", N_ ("Take pictures into the job"), cli_photo_add },
  { "place", N_ ("Say anew where a photograph belongs"), cli_photo_place },
  { "list", N_ ("List the photographs"), cli_photo_list },
  { "get", N_ ("Write photographs to files, without what the camera wrote about the place"),
    cli_photo_get },
  { "register", N_ ("Lay a photograph on its face by pairs of points"), cli_photo_register },
  { "withdraw", N_ ("Take a photograph's bytes out of the job for good"), cli_photo_withdraw },
  { "sheet", N_ ("Write all photographs, small, as a PDF to print"), cli_photo_sheet },
};

CliExit
cli_run_photo (int argc, char **argv)
{
  if (argc < 2 || g_str_equal (argv[1], "--help") || g_str_equal (argv[1], "-h"))
    {
      g_print ("%s\n\n", _ ("Usage: rakelight-cli photo PART [OPTIONS] JOB …"));
      for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
        g_print ("  %-9s %s\n", parts[i].name, _ (parts[i].summary));
      g_print ("\n%s\n", _ ("rakelight-cli photo PART --help tells the options of one."));
      return argc < 2 ? CLI_USAGE : CLI_DONE;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    if (g_str_equal (argv[1], parts[i].name))
      return parts[i].run (argc - 1, argv + 1);
  return cli_fail_with (CLI_USAGE,
                        _ ("There is no “photo %s”; take add, place, list, get, register, "
                           "withdraw or sheet"),
                        argv[1]);
}

/* --- finding --------------------------------------------------------------------------------------- */

const RakePhoto *
cli_find_photo (const RakeJob *job, const char *text, CliExit *code)
{
  char *end;
  unsigned long number = strtoul (text, &end, 10);
  const RakePhoto *photo = NULL;
  RakeId id;

  if (*end == '\0' && end != text)
    photo = number >= 1 && number <= rake_job_get_n_photos (job)
                ? rake_job_get_photo (job, (guint) number - 1)
                : NULL;
  else if (rake_id_from_text (text, &id))
    photo = rake_job_find_photo (job, id);
  if (photo == NULL)
    *code = cli_fail_with (
        CLI_INPUT, _ ("The job has no photograph %s; rakelight-cli photo list numbers them"), text);
  return photo;
}

const RakeFace *
cli_find_face_named (const RakeJob *job, const char *name, CliExit *code)
{
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    if (g_str_equal (rake_job_get_face (job, i)->name, name))
      return rake_job_get_face (job, i);
  *code = cli_fail_with (CLI_INPUT, _ ("The job has no face “%s”"), name);
  return NULL;
}

const RakeZone *
cli_find_zone_named (const RakeJob *job, const char *name, CliExit *code)
{
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const GPtrArray *zones = rake_job_get_face (job, i)->zones;
      for (guint j = 0; j < zones->len; j++)
        if (g_str_equal (((const RakeZone *) zones->pdata[j])->name, name))
          return zones->pdata[j];
    }
  *code = cli_fail_with (CLI_INPUT, _ ("The job has no zone “%s”"), name);
  return NULL;
}

guint
cli_photo_get_number (const RakeJob *job, const RakePhoto *photo)
{
  for (guint i = 0; i < rake_job_get_n_photos (job); i++)
    if (rake_job_get_photo (job, i) == photo)
      return i + 1;
  g_return_val_if_reached (0);
}

gboolean
cli_photo_check_not_withdrawn (const RakePhoto *photo, GError **error)
{
  if (photo->withdrawal == NULL)
    return TRUE;
  g_set_error_literal (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_WITHDRAWN,
                       _ ("the photograph was withdrawn; its bytes are gone"));
  return FALSE;
}

/* --- telling --------------------------------------------------------------------------------------- */

static const char *const standing_words[] = { "missing", "kept", "withdrawn" };

static RakePhotoStanding
get_standing (RakeJobFile *file, const RakePhoto *photo)
{
  RakePhotoStanding standing = RAKE_PHOTO_MISSING;

  if (photo->withdrawal != NULL)
    return RAKE_PHOTO_WITHDRAWN; /* even if the bytes are there as another's */
  rake_job_file_find_photo (file, photo->entry->photo.sha256, &standing, NULL);
  return standing;
}

static const char *
get_stage_name (const RakeJob *job, const RakePhoto *photo)
{
  const RakeStage *stage = rake_job_find_stage (job, photo->placed->photo.stage);

  if (stage == NULL)
    return NULL;
  return *stage->grade != '\0' ? stage->grade : _ (rake_action_get_label (stage->action));
}

static void
tell_zones (JsonText *json, const RakeJob *job, const RakePhoto *photo)
{
  const GArray *zones = photo->placed->photo.zones;

  json_text_name (json, "zones");
  json_text_open (json, '[');
  for (guint i = 0; i < zones->len; i++)
    {
      const RakeZone *zone = rake_job_find_zone (job, g_array_index (zones, RakeId, i));
      if (zone != NULL)
        json_text_string (json, zone->name);
    }
  json_text_close (json, ']');
}

static void
tell_registration (JsonText *json, const RakePhoto *photo)
{
  const RakeEntry *entry = photo->registration;

  json_text_name (json, "registration");
  if (entry == NULL)
    {
      json_text_null (json);
      return;
    }
  json_text_open (json, '{');
  json_text_name (json, "n_pairs");
  json_text_number (json, entry->registration.pairs->len);
  json_text_name (json, "rms_px");
  json_text_number (json, entry->registration.rms_px);
  json_text_name (json, "rms_mm");
  json_text_number (json, entry->registration.rms_mm);
  json_text_close (json, '}');
}

void
cli_photo_to_json (JsonText *json, RakeJobFile *file, const RakeJob *job, const RakePhoto *photo)
{
  const RakePhotoBody *body = &photo->entry->photo;
  char id[RAKE_ID_TEXT_LENGTH + 1], time[RAKE_TIME_TEXT_LENGTH + 1];

  rake_id_to_text (photo->id, id);
  rake_time_to_text (photo->entry->happened_ms, photo->entry->utc_offset_minutes, time);
  json_text_open (json, '{');
  json_text_name (json, "number");
  json_text_number (json, cli_photo_get_number (job, photo));
  json_text_name (json, "id");
  json_text_string (json, id);
  json_text_name (json, "name");
  json_text_string (json, body->name);
  json_text_name (json, "sha256");
  json_text_string (json, body->sha256);
  json_text_name (json, "bytes");
  json_text_string (json, standing_words[get_standing (file, photo)]);
  json_text_name (json, "n_bytes");
  json_text_number (json, body->n_bytes);
  json_text_name (json, "width_px");
  json_text_number (json, body->width_px);
  json_text_name (json, "height_px");
  json_text_number (json, body->height_px);
  json_text_name (json, "turn");
  json_text_number (json, rake_photo_get_turn (body));
  json_text_name (json, "taken");
  json_text_string (json, time);
  json_text_name (json, "face");
  json_text_string (json, photo->face != NULL ? photo->face->name : NULL);
  json_text_name (json, "stage");
  json_text_string (json, get_stage_name (job, photo));
  tell_zones (json, job, photo);
  json_text_name (json, "view");
  json_text_string (json, photo->placed->photo.view);
  json_text_name (json, "lamp_deg");
  json_text_number (json, photo->placed->photo.lamp_deg);
  tell_registration (json, photo);
  json_text_close (json, '}');
}

CliExit
cli_photo_print_json (RakeJobFile *file, const RakeJob *job, RakeId id)
{
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  cli_photo_to_json (&json, file, job, rake_job_find_photo (job, id));
  return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
}

static void
print_line (RakeJobFile *file, const RakeJob *job, const RakePhoto *photo)
{
  char time[RAKE_TIME_TEXT_LENGTH + 1];
  RakePhotoStanding standing = get_standing (file, photo);
  const char *stage = get_stage_name (job, photo);

  rake_time_to_text (photo->entry->happened_ms, photo->entry->utc_offset_minutes, time);
  time[16] = '\0'; /* to the minute */
  time[10] = ' ';
  g_print ("%3u  %s  %s%s%s  %s%s\n", cli_photo_get_number (job, photo), time,
           photo->face != NULL ? photo->face->name : _ ("the piece"), stage != NULL ? ", " : "",
           stage != NULL ? stage : "",
           photo->entry->photo.name != NULL ? photo->entry->photo.name : "",
           standing == RAKE_PHOTO_KEPT        ? ""
           : standing == RAKE_PHOTO_WITHDRAWN ? _ (" (withdrawn)")
                                              : _ (" (its bytes are missing)"));
}

/* --- list ------------------------------------------------------------------------------------------ */

static CliExit
list (RakeJobFile *file, const RakeJob *job, GPtrArray *photos, gboolean as_json)
{
  g_auto (JsonText) json = { 0 };

  if (!as_json)
    {
      for (guint i = 0; i < photos->len; i++)
        print_line (file, job, photos->pdata[i]);
      return CLI_DONE;
    }
  json_text_init (&json);
  json_text_open (&json, '[');
  for (guint i = 0; i < photos->len; i++)
    cli_photo_to_json (&json, file, job, photos->pdata[i]);
  json_text_close (&json, ']');
  return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
}

CliExit
cli_photo_list (int argc, char **argv)
{
  static const CliCommand command = { "photo list", N_ ("List the photographs"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (GPtrArray) photos = NULL;
  g_autofree char *face_name = NULL, *zone_name = NULL;
  gboolean as_json = FALSE;
  RakeId about = RAKE_ID_NIL;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "face", 'f', 0, G_OPTION_ARG_STRING, &face_name, N_ ("Those of the face NAME"), N_ ("NAME") },
    { "zone", 'z', 0, G_OPTION_ARG_STRING, &zone_name, N_ ("Those of the zone NAME"), N_ ("NAME") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "JOB", N_ ("The one taken last comes first."), entries, &argc, &argv, 1,
                  1, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  if (face_name != NULL)
    {
      const RakeFace *face = cli_find_face_named (job, face_name, &code);
      if (face == NULL)
        return code;
      about = face->id;
    }
  if (zone_name != NULL)
    {
      const RakeZone *zone = cli_find_zone_named (job, zone_name, &code);
      if (zone == NULL)
        return code;
      about = zone->id;
    }
  photos = rake_job_list_photos (job, about);
  return list (file, job, photos, as_json);
}

/* --- withdraw -------------------------------------------------------------------------------------- */

static void
tell_where_else (const RakeJob *job, const char *sha256)
{
  guint other = rake_job_find_same_photo (job, sha256);

  if (other > 0)
    g_printerr (_ ("The same picture stays in the job as photograph %u; --everywhere withdraws it "
                   "there as well\n"),
                other);
}

static CliExit
withdraw (RakeJobFile *file, RakeJob *job, const RakePhoto *photo, const char *reason,
          const char *who, gboolean everywhere)
{
  g_autoptr (GPtrArray) entries = rake_photo_new_withdrawals (job, photo, reason, everywhere);
  g_autofree char *sha256 = g_strdup (photo->entry->photo.sha256);
  g_autoptr (GError) error = NULL;

  if (!rake_job_file_append (file, job, (RakeEntry *const *) entries->pdata, entries->len, who,
                             &error))
    return cli_fail_to_keep (g_steal_pointer (&error));
  tell_where_else (job, sha256);
  return CLI_DONE;
}

CliExit
cli_photo_withdraw (int argc, char **argv)
{
  static const CliCommand command = { "photo withdraw",
                                      N_ ("Take a photograph's bytes out of the job for good"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autofree char *reason = NULL, *who = NULL;
  gboolean as_json = FALSE, everywhere = FALSE;
  RakeId id;
  const RakePhoto *photo;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "reason", 'r', 0, G_OPTION_ARG_STRING, &reason, N_ ("Why: it stays in the logbook"),
      N_ ("TEXT") },
    { "everywhere", 0, 0, G_OPTION_ARG_NONE, &everywhere,
      N_ ("Also where the job has the same picture as another photograph"), NULL },
    { "who", 0, 0, G_OPTION_ARG_STRING, &who, N_ ("Who says so"), N_ ("NAME") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (
          &command, "JOB PHOTO",
          N_ ("The entry and the hash stay and say that it was withdrawn. It cannot be undone."),
          entries, &argc, &argv, 2, 2, &code))
    return code;
  if (reason == NULL)
    return cli_fail_with (CLI_USAGE, _ ("A photograph is withdrawn for a reason; give --reason"));
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  if (file == NULL)
    return code;
  photo = cli_find_photo (job, argv[2], &code);
  if (photo == NULL)
    return code;
  id = photo->id;
  code = withdraw (file, job, photo, reason, who, everywhere);
  return code == CLI_DONE && as_json ? cli_photo_print_json (file, job, id) : code;
}
