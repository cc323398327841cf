/* whole-file.c - see whole-file.h. */
#include "whole-file.h"

#include "print-words.h"

#include <rakelight/report.h>

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <unistd.h>

#define HELD_BYTES 65536

struct _RakeWholeFile
{
  char *path, *beside;
  int fd;
  int failed_with; /* errno of the first write that failed */
  gsize n_written;
  gsize n_held;
  char held[HELD_BYTES]; /* a PDF is written in scraps of a few bytes */
};

static void
set_error (GError **error, const char *path, int number)
{
  g_autofree char *name = g_filename_display_name (path);

  if (number == ENOSPC || number == EDQUOT || number == EFBIG)
    g_set_error (error, RAKE_REPORT_ERROR, RAKE_REPORT_ERROR_WRITE,
                 _ ("%s was not written: the disk is full; make room and try again"), name);
  else
    g_set_error (error, RAKE_REPORT_ERROR, RAKE_REPORT_ERROR_WRITE, _ ("%s cannot be written: %s"),
                 name, g_strerror (number));
}

RakeWholeFile *
rake_whole_file_new (const char *path, GError **error)
{
  g_autofree char *beside = g_strconcat (path, ".XXXXXX", NULL);
  RakeWholeFile *self;
  int fd;

  if (g_file_test (path, G_FILE_TEST_IS_DIR))
    {
      set_error (error, path, EISDIR);
      return NULL;
    }
  fd = g_mkstemp_full (beside, O_RDWR | O_CLOEXEC, 0666);
  if (fd < 0)
    {
      set_error (error, path, errno);
      return NULL;
    }
  self = g_new0 (RakeWholeFile, 1);
  self->path = g_strdup (path);
  self->beside = g_steal_pointer (&beside);
  self->fd = fd;
  return self;
}

static void
write_through (RakeWholeFile *self, const char *at, gsize n_bytes)
{
  while (n_bytes > 0 && self->failed_with == 0)
    {
      gssize n = write (self->fd, at, n_bytes);

      if (n < 0 && errno != EINTR)
        self->failed_with = errno;
      if (n > 0)
        {
          at += n;
          n_bytes -= (gsize) n;
          self->n_written += (gsize) n;
        }
    }
}

static void
write_held (RakeWholeFile *self)
{
  write_through (self, self->held, self->n_held);
  self->n_held = 0;
}

gboolean
rake_whole_file_write (RakeWholeFile *self, const void *bytes, gsize n_bytes)
{
  if (self->n_held + n_bytes > HELD_BYTES)
    write_held (self);
  if (n_bytes > HELD_BYTES)
    write_through (self, bytes, n_bytes);
  else
    {
      memcpy (self->held + self->n_held, bytes, n_bytes);
      self->n_held += n_bytes;
    }
  return self->failed_with == 0;
}

gboolean
rake_whole_file_has_failed (const RakeWholeFile *self)
{
  return self->failed_with != 0;
}

gsize
rake_whole_file_get_length (const RakeWholeFile *self)
{
  return self->n_written + self->n_held;
}

gsize
rake_whole_file_read (RakeWholeFile *self, gsize from, void *bytes, gsize n_bytes)
{
  gsize n_read = 0;

  write_held (self);
  while (n_read < n_bytes)
    {
      gssize n =
          pread (self->fd, (char *) bytes + n_read, n_bytes - n_read, (off_t) (from + n_read));

      if (n == 0 || (n < 0 && errno != EINTR))
        break;
      if (n > 0)
        n_read += (gsize) n;
    }
  return n_read;
}

gboolean
rake_whole_file_commit (RakeWholeFile *self, GError **error)
{
  write_held (self);
  if (self->failed_with == 0 && fsync (self->fd) != 0)
    self->failed_with = errno;
  if (close (self->fd) != 0 && self->failed_with == 0)
    self->failed_with = errno;
  self->fd = -1;
  if (self->failed_with == 0 && g_rename (self->beside, self->path) != 0)
    self->failed_with = errno;
  if (self->failed_with != 0)
    {
      set_error (error, self->path, self->failed_with);
      return FALSE;
    }
  g_clear_pointer (&self->beside, g_free);
  return TRUE;
}

void
rake_whole_file_free (RakeWholeFile *self)
{
  if (self == NULL)
    return;
  if (self->fd >= 0)
    close (self->fd);
  if (self->beside != NULL)
    g_unlink (self->beside);
  g_free (self->beside);
  g_free (self->path);
  g_free (self);
}
