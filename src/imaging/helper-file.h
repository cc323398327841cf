/* helper-file.h - programs and modules that Rakelight starts or loads only when they are wanted. */
#pragma once
#include <glib.h>

/* In the folder RAKELIGHT_LIBEXECDIR where that is set; else in @layer's folder of the build that the
 * running program lies in, else where it was installed. NULL when it is not there: it was left out when
 * Rakelight was built. The caller frees. */
char *rake_helper_find (const char *layer, const char *name);
