/* cmd-photo.h - what the parts of rakelight-cli photo share. */
#pragma once
#include "cli.h"
#include "json-text.h"

#include <rakelight/photo-store.h>
#include <rakelight/photo.h>

CliExit cli_photo_add (int argc, char **argv);
CliExit cli_photo_place (int argc, char **argv);
CliExit cli_photo_list (int argc, char **argv);
CliExit cli_photo_get (int argc, char **argv);
CliExit cli_photo_register (int argc, char **argv);
CliExit cli_photo_withdraw (int argc, char **argv);
CliExit cli_photo_sheet (int argc, char **argv);

/* By its number in the list, from 1, or its id; NULL after saying that there is none. */
const RakePhoto *cli_find_photo (const RakeJob *job, const char *text, CliExit *code);

/* Before its bytes are read: they may be there as another photograph's. */
gboolean cli_photo_check_not_withdrawn (const RakePhoto *photo, GError **error);

/* By name; NULL after saying that there is none. */
const RakeFace *cli_find_face_named (const RakeJob *job, const char *name, CliExit *code);
const RakeZone *cli_find_zone_named (const RakeJob *job, const char *name, CliExit *code);

/* The stage of that grade; NULL after saying that there is none. */
const RakeStage *cli_find_stage_named (const RakeFace *face, const char *grade, CliExit *code);

/* One photograph as a JSON object, or as a line. */
void cli_photo_to_json (JsonText *json, RakeJobFile *file, const RakeJob *job,
                        const RakePhoto *photo);
/* The same, printed alone, as the answer to what was done with it. */
CliExit cli_photo_print_json (RakeJobFile *file, const RakeJob *job, RakeId id);
guint cli_photo_get_number (const RakeJob *job, const RakePhoto *photo);
