/* wheel-card.h - one wheel: its name, what it carries, how fast it runs for this finish, and what can be
 * noted of it (the actions wheels.edit, wheels.checked, wheels.stripped, wheels.replaced, each with the
 * wheel's id as text). */
#pragma once
#include "session.h"

#include <gtk/gtk.h>
#include <rakelight/wheel.h>

/* NULL when the job has no such wheel. */
GtkWidget *rake_wheel_card_new (RakeSession *session, RakeId wheel);

/* "Carries cut, and only that." Caller frees. */
char *rake_wheel_say_carries (const RakeWheelStanding *standing);
