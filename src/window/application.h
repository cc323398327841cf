/* application.h - the program: its one window a job, its settings, keys and theme. */
#pragma once
#include <adwaita.h>

#define RAKE_APPLICATION_ID "org.rakelight.Rakelight"

#define RAKE_TYPE_APPLICATION (rake_application_get_type ())
G_DECLARE_FINAL_TYPE (RakeApplication, rake_application, RAKE, APPLICATION, AdwApplication)

RakeApplication *rake_application_new (void);
