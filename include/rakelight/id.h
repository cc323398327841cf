/* id.h - the universal id of an entry and of what it made (a face, a zone, a stage, a mark).
 *
 * Sixteen bytes, written as RFC 9562 writes a UUID: 36 characters, lower case. New ids are
 * version 7, so they sort by the time they were made. The nil id (all zero) means "none". */
#pragma once
#include <glib.h>

#define RAKE_ID_TEXT_LENGTH 36

typedef struct
{
  guint8 bytes[16];
} RakeId;

/* A new version 7 id for the time @unix_ms (milliseconds since 1970, UTC). */
RakeId rake_id_new (gint64 unix_ms);

/* The id that a name stands for in the exchange form ("@front"): RFC 9562 version 8, the first
 * bytes of the SHA-256 of @name_space's bytes followed by @name. The same name in the same space
 * is always the same id. */
RakeId rake_id_new_for_name (RakeId name_space, const char *name);

/* Reads the 36-character form, either case. FALSE when @text is not one; @id is then untouched. */
gboolean rake_id_from_text (const char *text, RakeId *id);

/* Writes the 36-character form and a closing NUL. */
void rake_id_to_text (RakeId id, char text[RAKE_ID_TEXT_LENGTH + 1]);

gboolean rake_id_is_nil (RakeId id);
gboolean rake_id_equal (RakeId a, RakeId b);

/* Byte order, which is the order of making for version 7: below, at or above 0. */
int rake_id_compare (RakeId a, RakeId b);

/* For GHashTable, with keys that are const RakeId *. */
guint rake_id_hash_key (gconstpointer id);
gboolean rake_id_equal_key (gconstpointer a, gconstpointer b);

extern const RakeId RAKE_ID_NIL;
