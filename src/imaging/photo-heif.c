/* photo-heif.c - the caller of rakelight-heif. */
#define _GNU_SOURCE /* memfd_create */
#include <rakelight/photo-heif.h>

#include <errno.h>
#include <gio/gunixinputstream.h>
#include <poll.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "../core/i18n.h"
#include "heif-frame.h"
#include "helper-file.h"
#include "photo-parts.h"

/* It limits its own processor time; this is for a machine that is busy with other things. */
#define MOST_WAIT_MS 60000

G_DEFINE_QUARK (rake-photo-heif-error-quark, rake_photo_heif_error)

G_STATIC_ASSERT (RAKE_HEIF_MAX_PIXELS == RAKE_PHOTO_PICTURE_MAX_PIXELS);

gboolean
rake_photo_is_heif (const void *bytes, gsize n_bytes)
{
  static const char *const brands[] = { "heic", "heix", "hevc", "heim", "heis", "mif1", "msf1" };
  const char *data = bytes;

  if (n_bytes < 12 || memcmp (data + 4, "ftyp", 4) != 0)
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (brands); i++)
    if (memcmp (data + 8, brands[i], 4) == 0)
      return TRUE;
  return FALSE;
}

static gboolean
refuse (GError **error, RakePhotoPictureError code)
{
  g_set_error_literal (error, RAKE_PHOTO_PICTURE_ERROR, code,
                       code == RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE
                           ? _ ("the HEIC picture is larger than what is read here")
                           : _ ("the HEIC picture is damaged, or of a kind that is not read here"));
  return FALSE;
}

/* --- the program ------------------------------------------------------------------------------------ */

/* The bytes as a file that only lives in memory: nobody waits at a pipe, whoever dies first. */
static int
make_input (GBytes *bytes, GError **error)
{
  int file = memfd_create ("heic", MFD_CLOEXEC);
  gsize length, written = 0;
  const char *data = g_bytes_get_data (bytes, &length);

  while (file >= 0 && written < length)
    {
      gssize n = write (file, data + written, length - written);
      if (n < 0 && errno != EINTR)
        break;
      written += n > 0 ? (gsize) n : 0;
    }
  if (file >= 0 && written == length && lseek (file, 0, SEEK_SET) == 0)
    return file;
  g_set_error (error, G_IO_ERROR, g_io_error_from_errno (errno),
               _ ("the HEIC picture cannot be handed on: %s"), g_strerror (errno));
  if (file >= 0)
    close (file);
  return -1;
}

static GSubprocess *
start_helper (GBytes *heif, GError **error)
{
  static const char *const nothing[] = { NULL };
  g_autoptr (GSubprocessLauncher) launcher = NULL;
  g_autofree char *helper = rake_helper_find ("imaging", "rakelight-heif");
  int input;

  if (helper == NULL)
    {
      g_set_error_literal (error, RAKE_PHOTO_HEIF_ERROR, RAKE_PHOTO_HEIF_ERROR_NOT_HERE,
                           _ ("it is a HEIC picture, which is not read here; let the phone save or "
                              "send it as JPEG"));
      return NULL;
    }
  input = make_input (heif, error);
  if (input < 0)
    return NULL;
  launcher = g_subprocess_launcher_new (G_SUBPROCESS_FLAGS_STDOUT_PIPE |
                                        G_SUBPROCESS_FLAGS_STDERR_SILENCE);
  g_subprocess_launcher_set_environ (launcher, (char **) nothing);
  g_subprocess_launcher_take_stdin_fd (launcher, input);
  return g_subprocess_launcher_spawn (launcher, error, helper, NULL);
}

/* --- its answer --------------------------------------------------------------------------------------- */

typedef struct
{
  int file;
  gint64 until_us;
  GCancellable *cancellable;
  gboolean is_at_end;
} Answer;

/* FALSE with an error when it was cancelled or took too long, without one when nothing more comes. */
static gboolean
wait_for_more (const Answer *answer, GError **error)
{
  GPollFD cancel = { .fd = -1 };
  struct pollfd files[2] = { { .fd = answer->file, .events = POLLIN } };
  gboolean has_cancel = g_cancellable_make_pollfd (answer->cancellable, &cancel);
  gint64 left_ms = (answer->until_us - g_get_monotonic_time ()) / 1000;
  int n;

  files[1] = (struct pollfd){ .fd = has_cancel ? cancel.fd : -1, .events = POLLIN };
  do
    n = poll (files, 2, (int) CLAMP (left_ms, 0, MOST_WAIT_MS));
  while (n < 0 && errno == EINTR);
  if (has_cancel)
    g_cancellable_release_fd (answer->cancellable);
  if (g_cancellable_set_error_if_cancelled (answer->cancellable, error))
    return FALSE;
  return n > 0 || refuse (error, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE);
}

/* Exactly so much. FALSE without an error when the answer ends before. */
static gboolean
read_exactly (Answer *answer, void *bytes, gsize n_bytes, GError **error)
{
  gsize n_read = 0;

  while (n_read < n_bytes)
    {
      gssize n;

      if (!wait_for_more (answer, error))
        return FALSE;
      n = read (answer->file, (char *) bytes + n_read, n_bytes - n_read);
      answer->is_at_end = n == 0;
      if (n == 0 || (n < 0 && errno != EINTR && errno != EAGAIN))
        return FALSE;
      n_read += n > 0 ? (gsize) n : 0;
    }
  return TRUE;
}

/* The block begins with how far on its head stands; what libexif takes begins with that head. */
static void
read_exif (const guint8 *block, gsize n_block, RakePhotoExif *exif)
{
  gsize start;

  *exif = (RakePhotoExif){ .turn = 1 };
  if (n_block < 8)
    return;
  start = 4 + ((gsize) block[0] << 24 | (gsize) block[1] << 16 | (gsize) block[2] << 8 | block[3]);
  if (start >= n_block)
    return;
  rake_photo_exif_read_tiff (block + start, n_block - start, exif);
  exif->turn = 1;
}

static RakePhotoPicture *
read_answer (Answer *answer, RakePhotoExif *exif, GError **error)
{
  RakeHeifHead head;
  g_autofree guint8 *block = NULL, *rgb = NULL;

  if (!read_exactly (answer, &head, sizeof head, error))
    return NULL;
  if (head.magic != RAKE_HEIF_MAGIC || head.width < 1 || head.height < 1 ||
      head.n_exif > RAKE_HEIF_MAX_EXIF || (guint64) head.width * head.height > RAKE_HEIF_MAX_PIXELS)
    return NULL;
  block = g_malloc (head.n_exif + 1);
  rgb = g_malloc (3 * (gsize) head.width * (gsize) head.height);
  if (!read_exactly (answer, block, head.n_exif, error) ||
      !read_exactly (answer, rgb, 3 * (gsize) head.width * (gsize) head.height, error))
    return NULL;
  if (exif != NULL)
    read_exif (block, head.n_exif, exif);
  return rake_photo_picture_new_from_rgb (rgb, (int) head.width, (int) head.height);
}

/* Waits for its own end only where it has said all it had to say. */
static RakePhotoPictureError
end (GSubprocess *helper, const Answer *answer)
{
  if (!answer->is_at_end || !g_subprocess_wait (helper, answer->cancellable, NULL))
    g_subprocess_force_exit (helper);
  g_subprocess_wait (helper, NULL, NULL);
  return g_subprocess_get_if_exited (helper) &&
                 g_subprocess_get_exit_status (helper) == RAKE_HEIF_TOO_LARGE
             ? RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE
             : RAKE_PHOTO_PICTURE_ERROR_DAMAGED;
}

RakePhotoPicture *
rake_photo_picture_new_from_heif (GBytes *heif, RakePhotoExif *exif, GCancellable *cancellable,
                                  GError **error)
{
  g_autoptr (GSubprocess) helper = NULL;
  g_autoptr (RakePhotoPicture) picture = NULL;
  GError *cannot = NULL;
  RakePhotoPictureError code;
  Answer answer;

  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return NULL;
  if (g_bytes_get_size (heif) > RAKE_HEIF_MAX_BYTES)
    {
      refuse (error, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE);
      return NULL;
    }
  helper = start_helper (heif, error);
  if (helper == NULL)
    return NULL;
  answer = (Answer){
    g_unix_input_stream_get_fd (G_UNIX_INPUT_STREAM (g_subprocess_get_stdout_pipe (helper))),
    g_get_monotonic_time () + MOST_WAIT_MS * (gint64) 1000,
    cancellable,
    FALSE,
  };
  picture = read_answer (&answer, exif, &cannot);
  code = end (helper, &answer);
  if (cannot != NULL)
    g_propagate_error (error, cannot);
  else if (picture == NULL)
    refuse (error, code);
  return g_steal_pointer (&picture);
}

RakePhotoPicture *
rake_photo_picture_new_from_photo (GBytes *photo, GCancellable *cancellable, GError **error)
{
  gsize length;
  gconstpointer bytes = g_bytes_get_data (photo, &length);

  if (rake_photo_is_heif (bytes, length))
    return rake_photo_picture_new_from_heif (photo, NULL, cancellable, error);
  return rake_photo_picture_new (bytes, length, 1, error);
}
