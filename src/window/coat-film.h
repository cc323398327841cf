/* coat-film.h - how thick one coat is: wet with its solids, or dry. Everything may be left empty: then the
 * film is not known until it is read. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/entry.h>

#define RAKE_TYPE_COAT_FILM (rake_coat_film_get_type ())
G_DECLARE_FINAL_TYPE (RakeCoatFilm, rake_coat_film, RAKE, COAT_FILM, GtkBox)

/* Fills in the film fields of @coat, NaN for what was left empty. FALSE with RAKE_UNITS_ERROR or
 * RAKE_COATING_ERROR, one sentence for the person; @coat is then untouched. */
gboolean rake_coat_film_take (RakeCoatFilm *self, RakeCoatBody *coat, GError **error);
