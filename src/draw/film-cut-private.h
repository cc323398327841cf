/* film-cut-private.h - the scale that the layers of a film cut and their words share. */
#pragma once
#include <rakelight/film-cut.h>

#include "pen.h"

typedef struct
{
  double width_px, height_px;
  double bottom_px;   /* where the film begins */
  double px_per_um;
  double sprayed_um, now_um, sd_um, sigma_um;
  double reserve_um;  /* NaN: none */
} RakeFilmScale;

/* FALSE when there is nothing to draw. */
gboolean rake_film_scale_init (RakeFilmScale *scale, const RakeFilmCut *cut);
double rake_film_scale_get_y (const RakeFilmScale *scale, double film_um);

/* The ruler at the left, and what each layer is, moved apart where two would lie on each other. */
void rake_film_cut_write_words (const RakePen *pen, const RakeFilmCut *cut,
                                const RakeFilmScale *scale);
