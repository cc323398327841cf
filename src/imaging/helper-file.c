/* helper-file.c - see helper-file.h. */
#include "helper-file.h"

#include "rakelight-config.h"

static char *
find_in (const char *folder, const char *name)
{
  g_autofree char *path = g_build_filename (folder, name, NULL);

  return g_file_test (path, G_FILE_TEST_IS_REGULAR) ? g_steal_pointer (&path) : NULL;
}

char *
rake_helper_find (const char *layer, const char *name)
{
  const char *said = g_getenv ("RAKELIGHT_LIBEXECDIR");
  g_autofree char *self = g_file_read_link ("/proc/self/exe", NULL);
  g_autofree char *here = self != NULL ? g_path_get_dirname (self) : NULL;
  g_autofree char *beside = here != NULL ? g_build_filename (here, "..", layer, NULL) : NULL;
  char *found = NULL;

  if (said != NULL)
    return find_in (said, name);
  if (beside != NULL)
    found = find_in (beside, name);
  return found != NULL ? found : find_in (RAKE_LIBEXEC_DIR, name);
}
