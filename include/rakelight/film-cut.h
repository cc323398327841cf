/* film-cut.h - a cut through the film of one zone, to scale: what was sprayed, what the passes took,
 * what is left with its doubt as a blurred edge, what must stay, and what is still planned.
 *
 * Drawn with cairo, on screen and on paper by the same code. Heights are to scale (a ruler of µm or mil
 * stands at the left); along the cut the texture is a picture, not a measurement. */
#pragma once
#include <cairo.h>
#include <rakelight/film.h>
#include <rakelight/forecast.h>
#include <rakelight/palette.h>

typedef struct
{
  RakeTheme theme;
  double width_px, height_px, text_px;
  const RakeFilm *film;           /* KNOWN; the caller says in words why another is not */
  const RakeForecast *forecast;   /* may be NULL */
  double sigma_um;                /* of the sprayed texture; NaN: the usual */
} RakeFilmCut;

/* Draws in the box 0, 0 to width_px, height_px. Nothing when the film is not known. */
void rake_film_cut_draw (cairo_t *cr, const RakeFilmCut *cut);

/* The same in words, for who does not see it: "138 µm sprayed, 29 µm taken, 109 ± 6 µm left; …".
 * Translated; caller frees. */
char *rake_film_cut_describe (const RakeFilm *film, const RakeForecast *forecast);
