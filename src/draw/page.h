/* page.h - a face's map as a page to hand over: title, map, scale bar, legend. Private to src/draw. */
#pragma once
#include <rakelight/map.h>

typedef struct
{
  const RakeJob *job;
  const RakeFace *face;
  RakeJudgement *const *judgements;
  RakeTheme theme;
  double lamp_deg;
  gboolean is_vector;
  double width, height; /* units of the page: points */
} RakePage;

/* A4 in points, lying or standing, whichever shows the face larger. */
void rake_page_choose_size (RakePage *page);
void rake_page_draw (const RakePage *page, cairo_t *cr);

/* "Octave mandola 14 — Front". Caller frees. */
char *rake_page_get_title (const RakePage *page);

/* When the last entry shown was written, at the bench's own time; NULL for an empty job. */
GDateTime *rake_page_get_time (const RakePage *page);
