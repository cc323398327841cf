/* theme.c - which of the bench's colours hold now. */
#include "theme.h"

#include <adwaita.h>

RakeTheme
rake_theme_now (void)
{
  return adw_style_manager_get_dark (adw_style_manager_get_default ()) ? RAKE_THEME_DARK
                                                                       : RAKE_THEME_LIGHT;
}
