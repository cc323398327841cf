/* sample.h - faces with zones, marks and judgements made up by hand, to draw without a job. */
#pragma once
#include <rakelight/map.h>

typedef struct
{
  RakeFace *face;
  RakeJudgement **judgements; /* one a zone */
  GPtrArray *entries;         /* RakeEntry *, owned */
  GPtrArray *stages;          /* RakeStage *, owned */
} Sample;

/* A mandola's front half way through levelling: every verdict, and most of what a lamp shows. */
Sample *sample_new_mandola (void);

/* A board of @width_mm × @height_mm in @n_columns × @n_rows zones, with states and marks by chance:
 * the same @seed is the same board. */
Sample *sample_new_board (double width_mm, double height_mm, guint n_columns, guint n_rows,
                          guint seed);

/* A lid after the wheel: gloss on the left, satin on the right. */
Sample *sample_new_buffed (void);

/* Six zones of which one state was said as a whole, without a place. */
Sample *sample_new_said (void);

/* Every kind of mark in a row, in four rows: plain, carried, ghost, repaired. */
Sample *sample_new_catalogue (void);
void sample_free (Sample *sample);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (Sample, sample_free)

RakeMapView sample_view (RakeTheme theme, double width_px, double height_px, double lamp_deg);
