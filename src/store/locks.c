/* locks.c - locks on a job file that nothing else in this program can take away.
 *
 * SQLite locks files by fcntl(), and POSIX gives up all of a process's locks on a file as soon as it
 * closes any descriptor of it: a file chooser that reads a few bytes to tell what kind of file this is
 * does so. Another program then finds the log unused and clears it away while it is written here. So
 * the locks are put on a descriptor of our own, one a file, and as such of the open file (F_OFD_SETLK),
 * which only its closing gives up. To another program, with whichever kind of lock, they are the same. */
#define _GNU_SOURCE /* F_OFD_SETLK */
#include "database.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <sys/stat.h>
#include <unistd.h>

#ifdef F_OFD_SETLK

typedef struct
{
  dev_t device;
  ino_t inode;
  int fd;       /* has the locks */
  GArray *used; /* int: SQLite's descriptors of this file that were ever locked */
} Keeper;

static GMutex mutex;
static GPtrArray *keepers;
static pid_t owner;

static void
free_keeper (gpointer data)
{
  Keeper *keeper = data;

  close (keeper->fd);
  g_array_unref (keeper->used);
  g_free (keeper);
}

/* Another opening of the same file, for writing where that is allowed: someone else may want to. Where
 * there is no /proc, the same opening by another number does as long as nobody reads first and writes
 * then. */
static int
open_again (int fd)
{
  char name[40];
  int again;

  g_snprintf (name, sizeof name, "/proc/self/fd/%d", fd);
  again = open (name, O_RDWR | O_CLOEXEC);
  if (again < 0)
    again = open (name, O_RDONLY | O_CLOEXEC);
  return again >= 0 ? again : fcntl (fd, F_DUPFD_CLOEXEC, 0);
}

static Keeper *
new_keeper (int fd, const struct stat *found)
{
  int again = open_again (fd);
  Keeper *keeper;

  if (again < 0)
    return NULL;
  keeper = g_new0 (Keeper, 1);
  keeper->device = found->st_dev;
  keeper->inode = found->st_ino;
  keeper->fd = again;
  keeper->used = g_array_new (FALSE, FALSE, sizeof (int));
  g_ptr_array_add (keepers, keeper);
  return keeper;
}

static gboolean
find_use (const Keeper *keeper, int fd, guint *index)
{
  for (guint i = 0; i < keeper->used->len; i++)
    if (g_array_index (keeper->used, int, i) == fd)
      {
        *index = i;
        return TRUE;
      }
  return FALSE;
}

static Keeper *
find_keeper (int fd)
{
  struct stat found;
  Keeper *keeper = NULL;
  guint index;

  if (fstat (fd, &found) != 0)
    return NULL;
  for (guint i = 0; i < keepers->len; i++)
    {
      Keeper *one = keepers->pdata[i];
      if (one->inode == found.st_ino && one->device == found.st_dev)
        keeper = one;
    }
  if (keeper == NULL)
    keeper = new_keeper (fd, &found);
  if (keeper != NULL && !find_use (keeper, fd, &index))
    g_array_append_val (keeper->used, fd);
  return keeper;
}

/* A child that was forked has its parent's descriptors, and with them its locks: it begins anew. */
static void
begin (void)
{
  if (keepers != NULL && owner == getpid ())
    return;
  keepers = g_ptr_array_new_with_free_func (free_keeper);
  owner = getpid ();
}

static int
lock (int fd, int command, struct flock *wanted)
{
  struct flock asked = *wanted;
  Keeper *keeper;
  int result = -1;

  asked.l_pid = 0; /* the kernel insists */
  g_mutex_lock (&mutex);
  begin ();
  keeper = find_keeper (fd);
  if (keeper != NULL)
    result = fcntl (keeper->fd, command == F_GETLK ? F_OFD_GETLK : F_OFD_SETLK, &asked);
  else
    errno = ENOLCK;
  g_mutex_unlock (&mutex);
  if (result == 0)
    *wanted = asked;
  return result;
}

/* --- in SQLite's place ---------------------------------------------------------------------------- */

static int
our_fcntl (int fd, int command, ...)
{
  va_list list;
  struct flock *wanted = NULL;
  int number = 0;

  va_start (list, command);
  /* clang-tidy 14 does not see the va_start() above. */
  if (command == F_SETLK || command == F_GETLK)
    wanted = va_arg (list, struct flock *); /* NOLINT(clang-analyzer-valist.Uninitialized) */
  else if (command != F_GETFD && command != F_GETFL)
    number = va_arg (list, int); /* NOLINT(clang-analyzer-valist.Uninitialized) */
  va_end (list);
  return wanted != NULL ? lock (fd, command, wanted) : fcntl (fd, command, number);
}

static int
our_close (int fd)
{
  g_mutex_lock (&mutex);
  begin ();
  for (guint i = 0; i < keepers->len; i++)
    {
      Keeper *keeper = keepers->pdata[i];
      guint index;

      if (!find_use (keeper, fd, &index))
        continue;
      g_array_remove_index_fast (keeper->used, index);
      if (keeper->used->len == 0)
        g_ptr_array_remove_index_fast (keepers, i);
      break;
    }
  g_mutex_unlock (&mutex);
  return close (fd);
}

static gpointer
install (gpointer nothing)
{
  sqlite3_vfs *files = sqlite3_vfs_find ("unix");

  if (files != NULL && files->iVersion >= 3)
    {
      files->xSetSystemCall (files, "fcntl", (sqlite3_syscall_ptr) (void (*) (void)) our_fcntl);
      files->xSetSystemCall (files, "close", (sqlite3_syscall_ptr) (void (*) (void)) our_close);
    }
  return NULL;
}

void
rake_database_keep_locks (void)
{
  static GOnce once = G_ONCE_INIT;

  g_once (&once, install, NULL);
}

#else

/* Where there are no such locks, whoever reads the file in this program must not close it. */
void
rake_database_keep_locks (void)
{
}

#endif
