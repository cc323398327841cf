/* dialogs.h - the questions that a gesture may ask before it is recorded.
 *
 * Each shows an AdwMessageDialog or a modal AdwWindow over @parent and returns at once; what was
 * answered goes to the session, whose "message" says what was refused. A dialog closes itself when
 * what it asks about is gone. Ids survive every change of the job, so they are passed, not structs. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

/* Why is the zone accepted against its verdict? One line, required. */
void rake_dialogs_accept (GtkWindow *parent, RakeSession *session, RakeId zone);

/* The short preparation list before the face goes to @stage. */
void rake_dialogs_begin_stage (GtkWindow *parent, RakeSession *session, RakeId stage);

/* What was done about the zone's open faults. */
void rake_dialogs_repair (GtkWindow *parent, RakeSession *session, RakeId zone);

/* Name, edge or flat, edge factor, reserve, first stage. */
void rake_dialogs_zone_facts (GtkWindow *parent, RakeSession *session, RakeId zone);

/* How much is still glossy, by eye: share and largest island. */
void rake_dialogs_say_share (GtkWindow *parent, RakeSession *session, RakeId zone);

/* What an instrument shows on the zone: film, gloss, temperature. */
void rake_dialogs_reading (GtkWindow *parent, RakeSession *session, RakeId zone);

/* A note about the job (nil), a face, a zone, a mark or an entry. */
void rake_dialogs_note (GtkWindow *parent, RakeSession *session, RakeId about);

/* Strikes out an entry with a reason. */
void rake_dialogs_strike (GtkWindow *parent, RakeSession *session, RakeId entry);

/* Takes a photograph's bytes out of the job for good, with a reason. */
void rake_dialogs_withdraw_photo (GtkWindow *parent, RakeSession *session, RakeId photo);
