/* typed.h - what a person typed. */
#pragma once
#include <gtk/gtk.h>

/* What stands in @editable without the space around it; NULL where that is nothing. Free with g_free(). */
char *rake_typed_words (GtkWidget *editable);
