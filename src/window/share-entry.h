/* share-entry.h - how much of a zone is still glossy, for those who estimate by eye: the share and
 * the largest island, each with two big buttons.
 *
 * It asks; rake_share_entry_record() writes the answer down. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

#define RAKE_TYPE_SHARE_ENTRY (rake_share_entry_get_type ())
G_DECLARE_FINAL_TYPE (RakeShareEntry, rake_share_entry, RAKE, SHARE_ENTRY, GtkWidget)

GtkWidget *rake_share_entry_new (void);

/* Asks about @zone, beginning with what is known of it. The same zone asked about again keeps what
 * the finisher has set since. */
void rake_share_entry_show (RakeShareEntry *self, RakeSession *session, RakeId zone);

/* A look with a state: low spots with their share, or uniform when there are none. Returns whether
 * it was recorded. */
gboolean rake_share_entry_record (RakeShareEntry *self);

/* What is set now: 0 to 1, and mm. For tests. */
void rake_share_entry_get (RakeShareEntry *self, double *fraction, double *island_mm);
void rake_share_entry_set (RakeShareEntry *self, double fraction, double island_mm);
