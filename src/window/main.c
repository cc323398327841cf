/* main.c - starts the window. */
#include "application.h"

#include <locale.h>
#include <glib/gi18n.h>
#include "rakelight-config.h"

int
main (int argc, char **argv)
{
  g_autoptr (RakeApplication) application = NULL;
  const char *locale_dir;

  /* The map is drawn with cairo; letting GDK open GL would cost about 160 MiB and 100 ms at start
   * for nothing (docs/window.md). Whoever sets these variables knows better. */
  g_setenv ("GSK_RENDERER", "cairo", FALSE);
  g_setenv ("GDK_DEBUG", "gl-disable", FALSE);

  setlocale (LC_ALL, "");
  locale_dir = g_getenv ("RAKELIGHT_LOCALEDIR");
  bindtextdomain (RAKE_GETTEXT_DOMAIN, locale_dir ? locale_dir : RAKE_LOCALE_DIR);
  bind_textdomain_codeset (RAKE_GETTEXT_DOMAIN, "UTF-8");
  textdomain (RAKE_GETTEXT_DOMAIN);

  application = rake_application_new ();
  return g_application_run (G_APPLICATION (application), argc, argv);
}
