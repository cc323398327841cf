/* shop-folder.c - where the shop's job files lie. */
#include "shop-folder.h"

#include "settings.h"

#include <errno.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <rakelight/job-file.h>
#include <string.h>

#define LONGEST_NAME 80

char *
rake_shop_folder_get (void)
{
  char *chosen = rake_settings_get_text ("shop", "folder");
  const char *documents = g_get_user_special_dir (G_USER_DIRECTORY_DOCUMENTS);

  if (chosen != NULL)
    return chosen;
  return g_build_filename (documents != NULL ? documents : g_get_home_dir (), "Rakelight", NULL);
}

void
rake_shop_folder_set (const char *path)
{
  rake_settings_set_text ("shop", "folder", path);
}

/* A file name that any system bears: letters and digits in ASCII, dashes between. */
static char *
make_file_name (const char *job_name)
{
  g_autofree char *ascii = g_str_to_ascii (job_name, NULL);
  GString *name = g_string_new (NULL);

  for (const char *p = ascii; *p != '\0' && name->len < LONGEST_NAME; p++)
    if (g_ascii_isalnum (*p))
      g_string_append_c (name, g_ascii_tolower (*p));
    else if (name->len > 0 && name->str[name->len - 1] != '-')
      g_string_append_c (name, '-');
  while (name->len > 0 && name->str[name->len - 1] == '-')
    g_string_truncate (name, name->len - 1);
  if (name->len == 0)
    g_string_append (name, "job");
  return g_string_free (name, FALSE);
}

char *
rake_shop_folder_new_path (const char *job_name, GError **error)
{
  g_autofree char *folder = rake_shop_folder_get ();
  g_autofree char *stem = make_file_name (job_name);

  if (g_mkdir_with_parents (folder, 0777) != 0)
    {
      g_set_error (error, G_FILE_ERROR, g_file_error_from_errno (errno),
                   _ ("The folder %s cannot be made: %s"), folder, g_strerror (errno));
      return NULL;
    }
  for (int number = 1;; number++)
    {
      g_autofree char *name = number == 1
                                  ? g_strconcat (stem, RAKE_JOB_FILE_SUFFIX, NULL)
                                  : g_strdup_printf ("%s-%d%s", stem, number, RAKE_JOB_FILE_SUFFIX);
      g_autofree char *path = g_build_filename (folder, name, NULL);

      if (!g_file_test (path, G_FILE_TEST_EXISTS))
        return g_steal_pointer (&path);
    }
}

static gint64
get_change_time (const char *path)
{
  GStatBuf status;

  return g_stat (path, &status) == 0 ? (gint64) status.st_mtime : 0;
}

static int
compare_change_times (gconstpointer a, gconstpointer b)
{
  gint64 first = get_change_time (*(char *const *) a),
         second = get_change_time (*(char *const *) b);

  return first > second ? -1 : first < second ? 1 : strcmp (*(char *const *) a, *(char *const *) b);
}

GPtrArray *
rake_shop_folder_list (void)
{
  GPtrArray *paths = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *folder = rake_shop_folder_get ();
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    if (g_str_has_suffix (name, RAKE_JOB_FILE_SUFFIX))
      g_ptr_array_add (paths, g_build_filename (folder, name, NULL));
  g_ptr_array_sort (paths, compare_change_times);
  return paths;
}
