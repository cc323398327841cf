/* wheel-card.h - one wheel: its name, what it carries, how fast it runs for this finish, and what can be
 * noted of it (the actions wheels.edit, wheels.checked, wheels.stripped, wheels.replaced, each with the
 * wheel's id as text). */
#pragma once
#include "session.h"

#include <gtk/gtk.h>

/* NULL when the job has no such wheel. */
GtkWidget *rake_wheel_card_new (RakeSession *session, RakeId wheel);

/* A new line about the wheel @id that says again all that @before said; caller owns. */
RakeEntry *rake_wheel_entry_like (const RakeEntry *before, RakeId id);
