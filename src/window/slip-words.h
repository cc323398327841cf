/* slip-words.h - what a slip is made of, put into a box of its own: headings, facts, sentences, rows. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/id.h>

/* Takes everything out of @box. */
void rake_slip_empty (GtkWidget *box);

GtkWidget *rake_slip_add_words (GtkWidget *box, const char *text, const char *css_class);
void rake_slip_add_heading (GtkWidget *box, const char *text);

/* A caption and under it what is said of it; nothing at all without @value. */
void rake_slip_add_fact (GtkWidget *box, const char *caption, const char *value);

/* A row of buttons, and one in it that activates @action with @target as text; nil: as "".
 *
 * described_as  for assistive technology; NULL: the label is enough */
GtkWidget *rake_slip_add_buttons (GtkWidget *box);
GtkWidget *rake_slip_add_button (GtkWidget *buttons, const char *label, const char *described_as,
                                 const char *action, RakeId target);

/* Headings, and the words of buttons and of boxes to tick, within @root may take several lines: long
 * ones make no slip wider. */
void rake_slip_let_wrap (GtkWidget *root);
