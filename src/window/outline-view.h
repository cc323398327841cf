/* outline-view.h - a face drawn plainly: its edge, its holes, its zones with their names.
 *
 * A RakeFlatView whose places are millimetres of the face. A photograph laid flat may lie under it. */
#pragma once
#include "flat-view.h"
#include <rakelight/job.h>

#define RAKE_TYPE_OUTLINE_VIEW (rake_outline_view_get_type ())
G_DECLARE_FINAL_TYPE (RakeOutlineView, rake_outline_view, RAKE, OUTLINE_VIEW, RakeFlatView)

RakeOutlineView *rake_outline_view_new (void);

/* Takes what it draws from @face, which is not kept; NULL: nothing. The view stays where it is as long
 * as the outline is the same. */
void rake_outline_view_show (RakeOutlineView *self, const RakeFace *face);

/* A picture of the face from straight above, its upper left corner at x, y; NULL takes it away. */
void rake_outline_view_lay_under (RakeOutlineView *self, GdkTexture *texture, double x_mm,
                                  double y_mm, double px_per_mm);

/* How strongly that shows, 0 to 1. */
void rake_outline_view_set_opacity (RakeOutlineView *self, double opacity);
