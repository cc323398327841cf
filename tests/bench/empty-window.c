/* empty-window.c - the least program that has a window: what rakelight's start is measured against. */
#include <adwaita.h>

int bench_main (int argc, char **argv);

static void
show (GApplication *application)
{
  GtkWidget *window = adw_application_window_new (GTK_APPLICATION (application));

  gtk_window_set_default_size (GTK_WINDOW (window), 1200, 800);
  gtk_window_present (GTK_WINDOW (window));
}

int
bench_main (int argc, char **argv)
{
  g_autoptr (AdwApplication) application = NULL;

  g_setenv ("GSK_RENDERER", "cairo", FALSE);
  g_setenv ("GDK_DEBUG", "gl-disable", FALSE);
  application = adw_application_new ("org.rakelight.EmptyWindow", G_APPLICATION_DEFAULT_FLAGS);
  g_signal_connect (application, "activate", G_CALLBACK (show), NULL);
  return g_application_run (G_APPLICATION (application), argc, argv);
}
