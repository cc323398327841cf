/* wheel-dialog.h - a wheel's facts: name, the one compound it carries, size, motor and pulleys. */
#pragma once
#include "session.h"

#include <adwaita.h>

#define RAKE_TYPE_WHEEL_DIALOG (rake_wheel_dialog_get_type ())
G_DECLARE_FINAL_TYPE (RakeWheelDialog, rake_wheel_dialog, RAKE, WHEEL_DIALOG, AdwWindow)

/* @wheel nil: a new one. NULL when there is no such wheel. Owned by itself, as windows are. */
RakeWheelDialog *rake_wheel_dialog_present (GtkWindow *parent, RakeSession *session, RakeId wheel);
