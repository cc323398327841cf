/* shelf-card.h - one job on the shelf: its first face as it is now, its name, how far it is.
 *
 * A button that activates win.open-job with its path. A file that cannot be opened says why. */
#pragma once
#include <gtk/gtk.h>
#include <rakelight/rules.h>

#define RAKE_TYPE_SHELF_CARD (rake_shelf_card_get_type ())
G_DECLARE_FINAL_TYPE (RakeShelfCard, rake_shelf_card, RAKE, SHELF_CARD, GtkButton)

/* Nothing is read yet: only the file's name shows. */
GtkWidget *rake_shelf_card_new (const char *path);

/* Reads the file and shows what it says at @now_ms; FALSE when there was nothing left to read. */
gboolean rake_shelf_card_read (RakeShelfCard *self, RakeRules *rules, gint64 now_ms);
const char *rake_shelf_card_get_path (RakeShelfCard *self);
