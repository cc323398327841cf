/* cmd-photo.h - what the parts of rakelight-cli photo share. */
#pragma once
#include "cli.h"
#include "json-text.h"

#include <rakelight/photo-store.h>
#include <rakelight/photo.h>

CliExit cli_photo_add (int argc, char **argv);
CliExit cli_photo_list (int argc, char **argv);
CliExit cli_photo_get (int argc, char **argv);
CliExit cli_photo_register (int argc, char **argv);
CliExit cli_photo_withdraw (int argc, char **argv);

/* By its number in the list, from 1, or its id; NULL after saying that there is none. */
const RakePhoto *cli_find_photo (const RakeJob *job, const char *text, CliExit *code);

/* By name; NULL after saying that there is none. */
const RakeFace *cli_find_face_named (const RakeJob *job, const char *name, CliExit *code);
const RakeZone *cli_find_zone_named (const RakeJob *job, const char *name, CliExit *code);

/* One photograph as a JSON object, or as a line. */
void cli_photo_to_json (JsonText *json, RakeJobFile *file, const RakeJob *job,
                        const RakePhoto *photo);
guint cli_photo_get_number (const RakeJob *job, const RakePhoto *photo);
