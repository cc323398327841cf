/* json-text.h - writing JSON a value at a time, indented by two spaces.
 *
 * Commas and line ends are the writer's business; the caller opens, names, says and closes. Numbers
 * that are not finite become null. */
#pragma once
#include <glib.h>

typedef struct
{
  GString *text;
  guint depth;
  gboolean has_member; /* something stands in the present object or list already */
  gboolean has_name;   /* a name waits for its value */
} JsonText;

void json_text_init (JsonText *self);
void json_text_open (JsonText *self, char bracket); /* '{' or '[' */
void json_text_close (JsonText *self, char bracket);
void json_text_name (JsonText *self, const char *name);
void json_text_string (JsonText *self, const char *value); /* NULL becomes null */
void json_text_number (JsonText *self, double value);
void json_text_bool (JsonText *self, gboolean value);
void json_text_null (JsonText *self);

/* A name and its value in one. */
void json_text_say_string (JsonText *self, const char *name, const char *value);
void json_text_say_number (JsonText *self, const char *name, double value);
void json_text_say_bool (JsonText *self, const char *name, gboolean value);

/* "[1.25, 3]" on one line, to a hundredth: a list of places would else fill pages. */
void json_text_place (JsonText *self, double x, double y);

/* Prints all of it on standard output, or writes it to a file that is there whole or not at all.
 * FALSE when that failed. */
gboolean json_text_print (JsonText *self);
gboolean json_text_save (JsonText *self, const char *path, GError **error);
void json_text_clear (JsonText *self);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (JsonText, json_text_clear)
