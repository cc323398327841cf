/* theme.h - which of the bench's colours hold now, for what draws with cairo. */
#pragma once
#include <rakelight/palette.h>

/* Dark or light, as the window shows itself now. Widgets that draw connect to "notify::dark" of
 * adw_style_manager_get_default() and drop what they kept. */
RakeTheme rake_theme_now (void);
