/* photo-wishes.h - what a person may say of a photograph, whether it is taken in or placed anew. */
#pragma once
#include "cli.h"

#include <rakelight/photo.h>

typedef struct
{
  char *face, *stage, *view, *note, *who;
  char **zones;
  double lamp_deg; /* NaN: not said; begin with it */
  gboolean is_look, as_json;
} CliPhotoWishes;

void cli_photo_wishes_clear (CliPhotoWishes *wishes);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (CliPhotoWishes, cli_photo_wishes_clear)

/* The options that fill @wishes, and @more, which ends with an empty one. Free with g_free(). */
GOptionEntry *cli_photo_wishes_list_options (CliPhotoWishes *wishes, const GOptionEntry *more);

/* Whether face, zones or stage were said. */
gboolean cli_photo_wishes_say_where (const CliPhotoWishes *wishes);

/* Face, zones and stage into @body: the face that was named, or that of the first zone, or @usual. FALSE
 * after saying that something has no such name; @lacking is the sentence where there is no face at all. */
gboolean cli_photo_wishes_place (const CliPhotoWishes *wishes, const RakeJob *job,
                                 const RakeFace *usual, const char *lacking, RakePhotoBody *body,
                                 CliExit *code);
