/* wipe-view.h - two pictures of one place, one wiped across the other.
 *
 * A RakeFlatView. Left of a handle is the first picture, right of it the second, both in the same
 * places. The handle is dragged, or moved by the arrows while it has the keys: one hundredth of the
 * width, with Shift ten; Home and End show one picture alone. */
#pragma once
#include "flat-view.h"

#define RAKE_TYPE_WIPE_VIEW (rake_wipe_view_get_type ())
G_DECLARE_FINAL_TYPE (RakeWipeView, rake_wipe_view, RAKE, WIPE_VIEW, RakeFlatView)

RakeWipeView *rake_wipe_view_new (void);

/* The first (0) or second (1) picture and the box it fills, in places; NULL: none yet. */
void rake_wipe_view_set_picture (RakeWipeView *self, guint side, GdkTexture *texture,
                                 const graphene_rect_t *box);

/* What is written over each side, "14 Nov, P800"; NULL: nothing. */
void rake_wipe_view_set_words (RakeWipeView *self, guint side, const char *words);

/* How much of the width the first picture has, 0 to 1. */
double rake_wipe_view_get_share (RakeWipeView *self);
void rake_wipe_view_set_share (RakeWipeView *self, double share);
