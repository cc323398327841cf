/* test-photo-file.c - a file that another program writes in, cuts short or deletes while it is read.
 *
 * The program is linked with --wrap=read: what happens between two readings happens every time. */
#include "picture-maker.h"

#include <rakelight/photo-intake.h>

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

ssize_t __real_read (int file, void *bytes, size_t n_bytes);
ssize_t __wrap_read (int file, void *bytes, size_t n_bytes);

static char *path;
static GBytes *whole;
static void (*happens) (void); /* once, after the first piece */
static gboolean fails_then, is_interrupted;
static guint n_readings;

/* In pieces, as from a slow medium. */
ssize_t
__wrap_read (int file, void *bytes, size_t n_bytes)
{
  ssize_t n;

  if (n_readings++ > 0 && fails_then)
    {
      errno = EIO;
      return -1;
    }
  if (is_interrupted)
    {
      is_interrupted = FALSE;
      errno = EINTR;
      return -1;
    }
  n = __real_read (file, bytes, MIN (n_bytes, 1000));
  if (happens)
    happens ();
  happens = NULL;
  return n;
}

static void
write_file (const char *bytes, gsize length)
{
  g_autoptr (GError) error = NULL;

  g_file_set_contents (path, bytes, (gssize) length, &error);
  g_assert_no_error (error);
}

static int
set_up (void **state)
{
  g_autofree guint8 *rgb = make_colours (160, 120);
  gsize length;
  const char *bytes;

  path = g_build_filename (g_get_tmp_dir (), "rakelight-XXXXXX.jpg", NULL);
  close (g_mkstemp (path));
  whole = g_byte_array_free_to_bytes (make_jpeg (rgb, 160, 120, 90, FALSE));
  bytes = g_bytes_get_data (whole, &length);
  assert_true (length > 2000); /* more than two pieces */
  write_file (bytes, length);
  happens = NULL;
  fails_then = is_interrupted = FALSE;
  n_readings = 0;
  return 0;
}

static int
clean_up (void **state)
{
  g_unlink (path);
  g_clear_pointer (&path, g_free);
  g_clear_pointer (&whole, g_bytes_unref);
  return 0;
}

static void
assert_refused (const char *says)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *name = g_path_get_basename (path);

  assert_null (rake_photo_intake_new (path, 64, 32, NULL, NULL, NULL, &error));
  assert_true (g_error_matches (error, RAKE_PHOTO_INTAKE_ERROR, RAKE_PHOTO_INTAKE_ERROR_FILE));
  if (!strstr (error->message, says) || !strstr (error->message, name))
    fail_msg ("said \"%s\", not \"%s\"", error->message, says);
}

static void
assert_taken_whole (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePhotoIntake) intake =
      rake_photo_intake_new (path, 64, 32, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  assert_true (g_bytes_equal (intake->original, whole));
  assert_true (n_readings > 2);
}

static void
cut_short (void)
{
  assert_int_equal (truncate (path, 1500), 0);
}

static void
empty_it (void)
{
  assert_int_equal (truncate (path, 0), 0);
}

static void
write_on (void)
{
  int file = g_open (path, O_WRONLY | O_APPEND, 0);

  assert_int_equal (write (file, "more", 4), 4);
  close (file);
}

/* The same length and other bytes, as a program that writes its file anew in place; the time is said, because two
 * writings may be closer than the clock of files. */
static void
write_over (void)
{
  const struct timespec times[2] = { { .tv_nsec = UTIME_OMIT }, { .tv_sec = 1000000000 } };
  int file = g_open (path, O_WRONLY, 0);

  assert_int_equal (pwrite (file, "other", 5, 1200), 5);
  close (file);
  assert_int_equal (utimensat (AT_FDCWD, path, times, 0), 0);
}

static void
delete_it (void)
{
  assert_int_equal (g_unlink (path), 0);
}

/* As a synchronizing program puts a new file in the place of the old. */
static void
put_another_there (void)
{
  write_file ("not a picture", 13);
}

static void
one_that_changes_while_it_is_read_is_refused (void **state)
{
  static void (*const ways[]) (void) = { cut_short, empty_it, write_on, write_over };

  for (gsize i = 0; i < G_N_ELEMENTS (ways); i++)
    {
      clean_up (NULL);
      set_up (NULL);
      happens = ways[i];
      assert_refused ("changed while it was read; try again");
      assert_null (happens);
    }
}

/* It was opened: its bytes stay until it is closed. */
static void
one_that_is_deleted_or_replaced_meanwhile_is_taken_whole (void **state)
{
  happens = delete_it;
  assert_taken_whole ();
  clean_up (NULL);
  set_up (NULL);
  happens = put_another_there;
  assert_taken_whole ();
}

static void
one_that_is_gone_before_is_refused (void **state)
{
  delete_it ();
  assert_refused ("cannot be read");
}

static void
a_medium_that_fails_is_told (void **state)
{
  fails_then = TRUE;
  assert_refused (g_strerror (EIO));
}

static void
a_signal_is_no_trouble (void **state)
{
  is_interrupted = TRUE;
  assert_taken_whole ();
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, set_up, clean_up)
  const struct CMUnitTest tests[] = {
    TEST (one_that_changes_while_it_is_read_is_refused),
    TEST (one_that_is_deleted_or_replaced_meanwhile_is_taken_whole),
    TEST (one_that_is_gone_before_is_refused),
    TEST (a_medium_that_fails_is_told),
    TEST (a_signal_is_no_trouble),
  };

  return cmocka_run_group_tests (tests, NULL, NULL);
}
