/* json-text.c - see json-text.h. */
#include "json-text.h"

#include <rakelight/entry.h>

#include <math.h>
#include <stdio.h>

void
json_text_init (JsonText *self)
{
  *self = (JsonText){ .text = g_string_new (NULL) };
}

void
json_text_clear (JsonText *self)
{
  if (self->text != NULL)
    g_string_free (self->text, TRUE);
  self->text = NULL;
}

static void
start_value (JsonText *self)
{
  if (self->has_name)
    {
      self->has_name = FALSE;
      return;
    }
  if (self->has_member)
    g_string_append_c (self->text, ',');
  if (self->depth > 0)
    g_string_append_printf (self->text, "\n%*s", (int) self->depth * 2, "");
  self->has_member = TRUE;
}

void
json_text_open (JsonText *self, char bracket)
{
  start_value (self);
  g_string_append_c (self->text, bracket);
  self->depth++;
  self->has_member = FALSE;
}

void
json_text_close (JsonText *self, char bracket)
{
  self->depth--;
  if (self->has_member)
    g_string_append_printf (self->text, "\n%*s", (int) self->depth * 2, "");
  g_string_append_c (self->text, bracket);
  self->has_member = TRUE;
}

static void
append_quoted (GString *text, const char *value)
{
  g_string_append_c (text, '"');
  for (const char *p = value; *p != '\0'; p++)
    {
      if (*p == '"' || *p == '\\')
        g_string_append_printf (text, "\\%c", *p);
      else if (*p == '\n')
        g_string_append (text, "\\n");
      else if ((guchar) *p < 0x20)
        g_string_append_printf (text, "\\u%04x", (guchar) *p);
      else
        g_string_append_c (text, *p);
    }
  g_string_append_c (text, '"');
}

void
json_text_name (JsonText *self, const char *name)
{
  start_value (self);
  append_quoted (self->text, name);
  g_string_append (self->text, ": ");
  self->has_name = TRUE;
}

void
json_text_string (JsonText *self, const char *value)
{
  start_value (self);
  if (value == NULL)
    g_string_append (self->text, "null");
  else
    append_quoted (self->text, value);
}

void
json_text_number (JsonText *self, double value)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  start_value (self);
  if (!isfinite (value))
    {
      g_string_append (self->text, "null");
      return;
    }
  rake_number_to_text (value, number);
  g_string_append (self->text, number);
}

void
json_text_bool (JsonText *self, gboolean value)
{
  start_value (self);
  g_string_append (self->text, value ? "true" : "false");
}

void
json_text_null (JsonText *self)
{
  json_text_string (self, NULL);
}

void
json_text_say_string (JsonText *self, const char *name, const char *value)
{
  json_text_name (self, name);
  json_text_string (self, value);
}

void
json_text_say_number (JsonText *self, const char *name, double value)
{
  json_text_name (self, name);
  json_text_number (self, value);
}

void
json_text_say_bool (JsonText *self, const char *name, gboolean value)
{
  json_text_name (self, name);
  json_text_bool (self, value);
}

void
json_text_place (JsonText *self, double x, double y)
{
  char numbers[2][G_ASCII_DTOSTR_BUF_SIZE];

  start_value (self);
  rake_number_to_text (round (x * 100) / 100, numbers[0]);
  rake_number_to_text (round (y * 100) / 100, numbers[1]);
  g_string_append_printf (self->text, "[%s, %s]", numbers[0], numbers[1]);
}

gboolean
json_text_save (JsonText *self, const char *path, GError **error)
{
  g_string_append_c (self->text, '\n');
  return g_file_set_contents (path, self->text->str, (gssize) self->text->len, error);
}

gboolean
json_text_print (JsonText *self)
{
  g_string_append_c (self->text, '\n');
  return fwrite (self->text->str, 1, self->text->len, stdout) == self->text->len &&
         fflush (stdout) == 0;
}
