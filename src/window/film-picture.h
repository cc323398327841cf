/* film-picture.h - the cut through a zone's film as a widget; says itself in words to assistive
 * technology. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/film-cut.h>

#define RAKE_TYPE_FILM_PICTURE (rake_film_picture_get_type ())
G_DECLARE_FINAL_TYPE (RakeFilmPicture, rake_film_picture, RAKE, FILM_PICTURE, GtkWidget)

/* Takes @film over; NULL shows nothing. @forecast is copied and may be NULL. The film's entries are the
 * job's: show another, or none, before the job changes. */
void rake_film_picture_show (RakeFilmPicture *self, RakeFilm *film, const RakeForecast *forecast);
