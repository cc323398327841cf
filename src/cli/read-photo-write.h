/* read-photo-write.h - how rakelight-cli read-photo tells what it read. */
#pragma once
#include "cli.h"
#include "json-text.h"

#include <rakelight/photo-reading.h>

/* The proposals as JSON into the file @out, or printed where that is NULL. Into a file: a line for
 * the person as well, or, where @summary is not NULL, an object in it. */
CliExit read_photo_tell (const char *name, const RakePhotoReading *reading,
                         const GPtrArray *zone_names, const char *out, JsonText *summary);
