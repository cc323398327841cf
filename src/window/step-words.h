/* step-words.h - two lines of words of which only the second is left where the width is too small. */
#pragma once
#include <gtk/gtk.h>

#define RAKE_TYPE_STEP_WORDS (rake_step_words_get_type ())
G_DECLARE_FINAL_TYPE (RakeStepWords, rake_step_words, RAKE, STEP_WORDS, GtkWidget)

/* @upper may be NULL: then there is only @lower. With @keeps_all neither is ever left out. */
void rake_step_words_show (RakeStepWords *self, const char *upper, const char *lower,
                           gboolean keeps_all);
