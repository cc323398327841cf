/* application.c - the program: its windows, settings, keys and theme. */
#include "application.h"
#include "window.h"

struct _RakeApplication
{
  AdwApplication parent_instance;
};

G_DEFINE_FINAL_TYPE (RakeApplication, rake_application, ADW_TYPE_APPLICATION)

static RakeWindow *
find_or_make_window (GApplication *application)
{
  GtkWindow *active = gtk_application_get_active_window (GTK_APPLICATION (application));

  return active ? RAKE_WINDOW (active) : rake_window_new (GTK_APPLICATION (application));
}

static void
rake_application_activate (GApplication *application)
{
  gtk_window_present (GTK_WINDOW (find_or_make_window (application)));
}

static void
rake_application_startup (GApplication *application)
{
  G_APPLICATION_CLASS (rake_application_parent_class)->startup (application);
  adw_style_manager_set_color_scheme (adw_style_manager_get_default (),
                                      ADW_COLOR_SCHEME_FORCE_DARK);
}

static void
rake_application_class_init (RakeApplicationClass *klass)
{
  GApplicationClass *application_class = G_APPLICATION_CLASS (klass);

  application_class->startup = rake_application_startup;
  application_class->activate = rake_application_activate;
}

static void
rake_application_init (RakeApplication *self)
{
}

RakeApplication *
rake_application_new (void)
{
  return g_object_new (RAKE_TYPE_APPLICATION, "application-id", RAKE_APPLICATION_ID, "flags",
                       G_APPLICATION_HANDLES_OPEN, "resource-base-path", "/org/rakelight/Rakelight",
                       NULL);
}
