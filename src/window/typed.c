/* typed.c - what a person typed. */
#include "typed.h"

char *
rake_typed_words (GtkWidget *editable)
{
  char *words = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (editable))));

  if (*words == '\0')
    g_clear_pointer (&words, g_free);
  return words;
}
