/* wheel-chooser.h - asks which wheel the passes at a buff stage take. A wheel that may not take the
 * compound says why, and what would change that can be noted at once. */
#pragma once
#include <adwaita.h>
#include "session.h"

#define RAKE_TYPE_WHEEL_CHOOSER (rake_wheel_chooser_get_type ())
G_DECLARE_FINAL_TYPE (RakeWheelChooser, rake_wheel_chooser, RAKE, WHEEL_CHOOSER, AdwWindow)

/* Asks over @parent; owns itself. NULL when @stage is no buff stage of the job.
 *
 * is_for_pass  the answer is followed by the pass on the selected zones that it was asked for */
RakeWheelChooser *rake_wheel_chooser_present (GtkWindow *parent, RakeSession *session,
                                              RakeId stage, gboolean is_for_pass);
