/* picture.h - one of the map's small pictures as a widget: a verdict's glyph, a state, a mark, a
 * ring of progress, where the lamp stood, which way the strokes ran.
 *
 * It takes the size asked of it by "width-request" and "height-request", and follows the theme. It
 * says nothing to assistive technology: a word always stands beside it. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/rules.h>

#define RAKE_TYPE_PICTURE (rake_picture_get_type ())
G_DECLARE_FINAL_TYPE (RakePicture, rake_picture, RAKE, PICTURE, GtkWidget)

GtkWidget *rake_picture_new (int width_px, int height_px);

void rake_picture_show_nothing (RakePicture *self);
void rake_picture_show_verdict (RakePicture *self, RakeVerdict verdict);
void rake_picture_show_state (RakePicture *self, RakeState state);
void rake_picture_show_mark (RakePicture *self, RakeMarkKind mark);

/* A ring closed by @fraction, 0 to 1; with the number of percent inside if wanted. */
void rake_picture_show_ring (RakePicture *self, double fraction, gboolean has_number);

/* An arrow from where the lamp stood, or strokes along a direction; degrees on the face. NaN: a
 * light without a place, strokes unsaid. */
void rake_picture_show_lamp (RakePicture *self, double lamp_deg);
void rake_picture_show_strokes (RakePicture *self, double stroke_deg);
