/* settings.h - what the program remembers between runs, for this machine: how the bench was set, the
 * theme, the window's size. A key file in the user's configuration folder, rakelight/settings.ini;
 * a missing or damaged one is the same as a first run.
 *
 * Setting is cheap: the file is written a second later, or by rake_settings_flush(). */
#pragma once
#include "session.h"

#include <rakelight/units.h>

typedef enum
{
  RAKE_THEME_CHOICE_DARK, /* the first run's */
  RAKE_THEME_CHOICE_LIGHT,
  RAKE_THEME_CHOICE_DESKTOP,
} RakeThemeChoice;

RakeThemeChoice rake_settings_get_theme (void);
void rake_settings_set_theme (RakeThemeChoice choice);

/* The units that numbers are shown in; on a first run metric. */
RakeUnits rake_settings_get_units (void);
void rake_settings_set_units (RakeUnits units);

/* Fills in @bench; what was not remembered is as on a first run. No brush is remembered: the pointer
 * selects when a job is opened, so that a first tap never marks anything. */
void rake_settings_get_bench (RakeBench *bench);
void rake_settings_set_bench (const RakeBench *bench);

/* Any other text or number, by group and key: "window", "width". NULL, or @otherwise, when unset;
 * the text is freed by the caller. A NULL text unsets. */
char *rake_settings_get_text (const char *group, const char *key);
void rake_settings_set_text (const char *group, const char *key, const char *text);
int rake_settings_get_number (const char *group, const char *key, int otherwise);
void rake_settings_set_number (const char *group, const char *key, int number);

/* Writes what is still to be written. A failure is a warning on standard error, nothing more: the
 * settings are a comfort. */
void rake_settings_flush (void);
