/* files.c - a file appears whole or not at all, and never in the place of another. */
#define _GNU_SOURCE /* renameat2() */
#include "store-private.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static gboolean
refuse (const char *path, int number, GError **error)
{
  g_autofree char *name = g_filename_display_basename (path);

  if (number == EEXIST)
    g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_EXISTS,
                 _ ("there is a file “%s” already"), name);
  else if (number == EACCES || number == EPERM || number == EROFS)
    g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY,
                 _ ("“%s” cannot be made: %s"), name, g_strerror (number));
  else if (number == ENOENT || number == ENOTDIR)
    g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_FOUND,
                 _ ("“%s” cannot be made: there is no such folder"), name);
  else
    g_set_error (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DISK,
                 _ ("“%s” cannot be made: %s"), name, g_strerror (number));
  return FALSE;
}

#define BEING_MADE ".being-made-"

/* Making a file takes a moment: what is as old as this was left by a program that was killed. */
#define LEFT_OVER_S 3600

static void
remove_leftovers (const char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      GStatBuf found;

      if (*name == '.' && strstr (name, BEING_MADE) != NULL && g_lstat (path, &found) == 0 &&
          S_ISREG (found.st_mode) &&
          found.st_mtime < g_get_real_time () / G_USEC_PER_SEC - LEFT_OVER_S)
        g_unlink (path);
    }
}

char *
rake_file_make_beside (const char *path, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (path), *name = g_path_get_basename (path);
  /* Hidden, and not ending as a job file does: nobody finds it on a shelf before it is one. */
  g_autofree char *beside = g_strconcat (folder, "/.", name, BEING_MADE "XXXXXX", NULL);
  int fd;

  remove_leftovers (folder);
  fd = g_mkstemp_full (beside, O_RDWR | O_CLOEXEC, 0666);

  if (fd < 0)
    {
      refuse (path, errno, error);
      return NULL;
    }
  close (fd);
  return g_steal_pointer (&beside);
}

/* Without this a power cut may forget the name of a file whose bytes are safe. */
static void
sync_folder (const char *path)
{
  g_autofree char *folder = g_path_get_dirname (path);
  int fd = open (folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

  if (fd < 0)
    return;
  fsync (fd); /* some media refuse; there is nothing more that we could do */
  close (fd);
}

/* Both ways fail rather than touch another file; some media know only one of them. */
static gboolean
give_name (const char *from, const char *to)
{
  if (renameat2 (AT_FDCWD, from, AT_FDCWD, to, RENAME_NOREPLACE) == 0)
    return TRUE;
  if (errno != EINVAL && errno != ENOSYS)
    return FALSE;
  if (link (from, to) != 0)
    return FALSE;
  unlink (from);
  return TRUE;
}

gboolean
rake_file_move_into_place (const char *from, const char *to, GError **error)
{
  if (!give_name (from, to))
    {
      int number = errno;
      unlink (from);
      return refuse (to, number, error);
    }
  sync_folder (to);
  return TRUE;
}

void
rake_file_discard (const char *path)
{
  static const char *const beside[] = { "", "-journal", "-wal", "-shm" };

  for (gsize i = 0; i < G_N_ELEMENTS (beside); i++)
    {
      g_autofree char *name = g_strconcat (path, beside[i], NULL);
      g_unlink (name);
    }
}
