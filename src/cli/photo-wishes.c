/* photo-wishes.c - what a person may say of a photograph. */
#include "rakelight-config.h"

#include "photo-wishes.h"

#include "cmd-photo.h"

#include <glib/gi18n.h>

void
cli_photo_wishes_clear (CliPhotoWishes *wishes)
{
  g_free (wishes->face);
  g_free (wishes->stage);
  g_free (wishes->view);
  g_free (wishes->note);
  g_free (wishes->who);
  g_strfreev (wishes->zones);
}

GOptionEntry *
cli_photo_wishes_list_options (CliPhotoWishes *wishes, const GOptionEntry *more)
{
  const GOptionEntry common[] = {
    { "face", 'f', 0, G_OPTION_ARG_STRING, &wishes->face, N_ ("It shows the face NAME"),
      N_ ("NAME") },
    { "zone", 'z', 0, G_OPTION_ARG_STRING_ARRAY, &wishes->zones,
      N_ ("It shows the zone NAME; may be given more than once"), N_ ("NAME") },
    { "stage", 's', 0, G_OPTION_ARG_STRING, &wishes->stage, N_ ("It was taken at this stage"),
      N_ ("GRADE") },
    { "lamp", 'l', 0, G_OPTION_ARG_DOUBLE, &wishes->lamp_deg,
      N_ ("Where the lamp stands: degrees from the top edge, clockwise"), N_ ("DEG") },
    { "look", 0, 0, G_OPTION_ARG_NONE, &wishes->is_look, N_ ("It was taken of what a look saw"),
      NULL },
    { "view", 0, 0, G_OPTION_ARG_STRING, &wishes->view,
      N_ ("A name for the place it was taken from"), N_ ("NAME") },
    { "note", 0, 0, G_OPTION_ARG_STRING, &wishes->note, N_ ("Words about it"), N_ ("TEXT") },
    { "who", 0, 0, G_OPTION_ARG_STRING, &wishes->who, N_ ("Who says so"), N_ ("NAME") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &wishes->as_json, N_ ("Answer in JSON"), NULL },
  };
  g_autoptr (GArray) options = g_array_new (TRUE, FALSE, sizeof (GOptionEntry));

  g_array_append_vals (options, common, G_N_ELEMENTS (common));
  for (; more->long_name != NULL; more++)
    g_array_append_vals (options, more, 1);
  return (GOptionEntry *) (gpointer) g_array_steal (options, NULL);
}

gboolean
cli_photo_wishes_say_where (const CliPhotoWishes *wishes)
{
  return wishes->face != NULL || wishes->zones != NULL || wishes->stage != NULL;
}

gboolean
cli_photo_wishes_place (const CliPhotoWishes *wishes, const RakeJob *job, const RakeFace *usual,
                        const char *lacking, RakePhotoBody *body, CliExit *code)
{
  const RakeFace *face = NULL;
  const RakeStage *stage;

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
  face = face != NULL ? face : usual;
  if (face == NULL)
    {
      *code = cli_fail_with (CLI_INPUT, "%s", lacking);
      return FALSE;
    }
  body->face = face->id;
  if (wishes->stage == NULL)
    return TRUE;
  stage = cli_find_stage_named (face, wishes->stage, code);
  if (stage != NULL)
    body->stage = stage->id;
  return stage != NULL;
}
