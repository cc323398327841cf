/* record-row.h - one line of a zone's record: a small picture, what it is, when and how, and what can
 * be done about it. */
#pragma once
#include "picture.h"

#define RAKE_TYPE_RECORD_ROW (rake_record_row_get_type ())
G_DECLARE_FINAL_TYPE (RakeRecordRow, rake_record_row, RAKE, RECORD_ROW, GtkWidget)

/* @detail may be NULL. */
GtkWidget *rake_record_row_new (const char *title, const char *detail);

/* The row's picture, empty until something is shown in it. */
RakePicture *rake_record_row_get_picture (RakeRecordRow *self);

/* A button under the words that activates @action with the id @target as text.
 *
 * described_as  for assistive technology, with the row's title; NULL: the label is enough */
void rake_record_row_add_button (RakeRecordRow *self, const char *label, const char *described_as,
                                 const char *action, RakeId target);

/* Offers to strike out the line's entry (win.strike). */
void rake_record_row_offer_strike (RakeRecordRow *self, RakeId entry);

/* What is closed or struck out stands back. */
void rake_record_row_set_quiet (RakeRecordRow *self, gboolean is_quiet);
