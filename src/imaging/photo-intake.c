/* photo-intake.c - a picture from a file: read whole, looked at, made smaller. */
#include <rakelight/photo-heif.h>
#include <rakelight/photo-intake.h>
#include <rakelight/photo-picture.h>

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>
#include <unistd.h>

#include "../core/i18n.h"
#include "photo-shrink.h"

G_DEFINE_QUARK (rake-photo-intake-error-quark, rake_photo_intake_error)

static gboolean refuse (GError **error, RakePhotoIntakeError code, const char *format, ...)
    G_GNUC_PRINTF (3, 4);

static gboolean
refuse (GError **error, RakePhotoIntakeError code, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error_literal (error, RAKE_PHOTO_INTAKE_ERROR, code, message);
  return FALSE;
}

/* --- the file -------------------------------------------------------------------------------------- */

static gboolean
check_file (int file, const char *name, GStatBuf *found, GError **error)
{
  if (fstat (file, found) != 0 || !S_ISREG (found->st_mode))
    return refuse (error, RAKE_PHOTO_INTAKE_ERROR_FILE, _ ("“%s” is not a file"), name);
  if (found->st_size == 0)
    return refuse (error, RAKE_PHOTO_INTAKE_ERROR_NOT_A_PICTURE, _ ("“%s” is empty"), name);
  return found->st_size <= RAKE_PHOTO_MAX_BYTES ||
         refuse (error, RAKE_PHOTO_INTAKE_ERROR_TOO_LARGE,
                 _ ("“%s” has %.0f MB; a photograph of up to %d MB is kept"), name,
                 (double) found->st_size / 1e6, RAKE_PHOTO_MAX_BYTES / 1000000);
}

/* Whether another program has written in it since. */
static gboolean
is_as_before (int file, const GStatBuf *before)
{
  GStatBuf now;

  return fstat (file, &now) == 0 && now.st_size == before->st_size &&
         now.st_mtim.tv_sec == before->st_mtim.tv_sec &&
         now.st_mtim.tv_nsec == before->st_mtim.tv_nsec;
}

/* All of it, neither more nor less than it had when it was opened. It is read, not mapped: a mapped file that
 * is cut short ends the program. */
static GBytes *
read_all (int file, const char *name, const GStatBuf *found, GError **error)
{
  gsize length = (gsize) found->st_size, n_read = 0;
  g_autofree guint8 *bytes = g_malloc (length + 1);
  gssize n = 1;

  while (n_read <= length && n > 0)
    {
      n = read (file, bytes + n_read, length + 1 - n_read);
      if (n < 0 && errno == EINTR)
        n = 1;
      else if (n > 0)
        n_read += (gsize) n;
    }
  if (n < 0)
    {
      refuse (error, RAKE_PHOTO_INTAKE_ERROR_FILE, _ ("“%s” cannot be read: %s"), name,
              g_strerror (errno));
      return NULL;
    }
  if (n_read == length && is_as_before (file, found))
    return g_bytes_new_take (g_steal_pointer (&bytes), length);
  refuse (error, RAKE_PHOTO_INTAKE_ERROR_FILE,
          _ ("“%s” changed while it was read; try again when it is whole"), name);
  return NULL;
}

static GBytes *
read_file (const char *path, const char *name, gint64 *file_ms, GError **error)
{
  int file = g_open (path, O_RDONLY | O_CLOEXEC | O_NONBLOCK, 0);
  GBytes *bytes = NULL;
  GStatBuf found;

  if (file < 0)
    {
      refuse (error, RAKE_PHOTO_INTAKE_ERROR_FILE, _ ("“%s” cannot be read: %s"), name,
              g_strerror (errno));
      return NULL;
    }
  if (check_file (file, name, &found, error))
    {
      bytes = read_all (file, name, &found, error);
      *file_ms = (gint64) found.st_mtime * 1000;
    }
  close (file);
  return bytes;
}

GBytes *
rake_photo_read_file (const char *path, GError **error)
{
  g_autofree char *name = g_filename_display_basename (path);
  gint64 file_ms;

  return read_file (path, name, &file_ms, error);
}

/* --- the picture ----------------------------------------------------------------------------------- */

/* The decoder's sentences are for a person; here they are said of a file. */
static gboolean
pass_on (GError *cannot, const char *name, GError **error)
{
  RakePhotoIntakeError code =
      g_error_matches (cannot, RAKE_PHOTO_PICTURE_ERROR, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE)
          ? RAKE_PHOTO_INTAKE_ERROR_TOO_LARGE
          : RAKE_PHOTO_INTAKE_ERROR_NOT_A_PICTURE;

  refuse (error, code, "%s: %s", name, cannot->message);
  g_error_free (cannot);
  return FALSE;
}

static gboolean
measure (RakePhotoIntake *self, const char *name, GError **error)
{
  GError *cannot = NULL;
  RakePhotoFormat format;
  gsize length;
  gconstpointer bytes = g_bytes_get_data (self->original, &length);

  if (!rake_photo_picture_read_header (bytes, length, &format, &self->width_px, &self->height_px,
                                       &cannot))
    return pass_on (cannot, name, error);
  self->media_type = format == RAKE_PHOTO_FORMAT_JPEG ? RAKE_MEDIA_JPEG : RAKE_MEDIA_PNG;
  rake_photo_exif_read (bytes, length, &self->exif);
  return TRUE;
}

/* A HEIC picture tells its size when it is decoded; it comes out upright. */
static RakePhotoPicture *
decode_heif (RakePhotoIntake *self, const char *name, GCancellable *cancellable, GError **error)
{
  GError *cannot = NULL;
  RakePhotoPicture *picture =
      rake_photo_picture_new_from_heif (self->original, &self->exif, cancellable, &cannot);

  if (picture == NULL && g_error_matches (cannot, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    g_propagate_error (error, cannot);
  else if (picture == NULL)
    pass_on (cannot, name, error);
  if (picture == NULL)
    return NULL;
  self->media_type = RAKE_MEDIA_HEIC;
  self->width_px = rake_photo_picture_get_width (picture);
  self->height_px = rake_photo_picture_get_height (picture);
  return picture;
}

/* Decoded no larger than needed, but all of it: one that ends too early is found out. */
static RakePhotoPicture *
decode (RakePhotoIntake *self, const char *name, int working_px, GError **error)
{
  GError *cannot = NULL;
  int shrink = 1, side;
  gsize length;
  gconstpointer bytes = g_bytes_get_data (self->original, &length);
  RakePhotoPicture *picture;

  if (!measure (self, name, error))
    return NULL;
  side = MAX (self->width_px, self->height_px);
  while (shrink < 8 && side / (2 * shrink) >= working_px)
    shrink *= 2;
  picture = rake_photo_picture_new (bytes, length, shrink, &cannot);
  if (picture == NULL)
    pass_on (cannot, name, error);
  return picture;
}

static gboolean
make_copies (RakePhotoIntake *self, const char *name, int working_px, int thumbnail_px,
             GCancellable *cancellable, GError **error)
{
  g_autoptr (RakePhotoPicture) picture = NULL;
  g_autoptr (RakePhotoPicture) working = NULL;
  g_autoptr (RakePhotoPicture) thumbnail = NULL;
  gsize length;
  gconstpointer bytes = g_bytes_get_data (self->original, &length);

  picture = rake_photo_is_heif (bytes, length) ? decode_heif (self, name, cancellable, error)
                                               : decode (self, name, working_px, error);
  if (picture == NULL)
    return FALSE;
  working = rake_photo_shrink (picture, working_px, self->exif.turn);
  thumbnail = rake_photo_shrink (working, thumbnail_px, 1);
  self->working = rake_photo_to_jpeg (working, 85);
  self->thumbnail = rake_photo_to_jpeg (thumbnail, 80);
  self->working_width_px = rake_photo_picture_get_width (working);
  self->working_height_px = rake_photo_picture_get_height (working);
  self->thumbnail_width_px = rake_photo_picture_get_width (thumbnail);
  self->thumbnail_height_px = rake_photo_picture_get_height (thumbnail);
  return TRUE;
}

/* A name goes into an entry: one line of UTF-8, not too long. */
static char *
make_name (const char *name)
{
  g_autofree char *text = name != NULL ? g_utf8_make_valid (name, -1) : NULL;
  const char *end;

  if (text == NULL || *text == '\0')
    return NULL;
  for (char *at = text; *at != '\0'; at++)
    if (g_ascii_iscntrl (*at))
      *at = ' ';
  if (strlen (text) <= 200)
    return g_steal_pointer (&text);
  end = g_utf8_find_prev_char (text, text + 198);
  return g_strdup_printf ("%.*s…", (int) (end - text), text);
}

static void
tell (RakePhotoProgress progress, double fraction, gpointer user_data)
{
  if (progress != NULL)
    progress (fraction, user_data);
}

RakePhotoIntake *
rake_photo_intake_new_from_bytes (GBytes *bytes, const char *name, gint64 file_ms, int working_px,
                                  int thumbnail_px, RakePhotoProgress progress, gpointer user_data,
                                  GCancellable *cancellable, GError **error)
{
  g_autoptr (RakePhotoIntake) self = g_new0 (RakePhotoIntake, 1);
  g_autofree char *sum = NULL;
  const char *said;

  self->original = g_bytes_ref (bytes);
  self->name = make_name (name);
  self->file_ms = file_ms;
  said = self->name != NULL ? self->name : _ ("the picture");
  if (g_bytes_get_size (bytes) > RAKE_PHOTO_MAX_BYTES)
    {
      refuse (error, RAKE_PHOTO_INTAKE_ERROR_TOO_LARGE,
              _ ("“%s” has %.0f MB; a photograph of up to %d MB is kept"), said,
              (double) g_bytes_get_size (bytes) / 1e6, RAKE_PHOTO_MAX_BYTES / 1000000);
      return NULL;
    }
  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return NULL;
  sum = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, bytes);
  g_strlcpy (self->sha256, sum, sizeof self->sha256);
  tell (progress, 0.3, user_data);
  if (g_cancellable_set_error_if_cancelled (cancellable, error) ||
      !make_copies (self, said, working_px, thumbnail_px, cancellable, error) ||
      g_cancellable_set_error_if_cancelled (cancellable, error))
    return NULL;
  tell (progress, 1, user_data);
  return g_steal_pointer (&self);
}

RakePhotoIntake *
rake_photo_intake_new (const char *path, int working_px, int thumbnail_px,
                       RakePhotoProgress progress, gpointer user_data, GCancellable *cancellable,
                       GError **error)
{
  g_autofree char *name = g_filename_display_basename (path);
  g_autoptr (GBytes) bytes = NULL;
  gint64 file_ms = 0;

  tell (progress, 0, user_data);
  bytes = read_file (path, name, &file_ms, error);
  if (bytes == NULL)
    return NULL;
  tell (progress, 0.1, user_data);
  return rake_photo_intake_new_from_bytes (bytes, name, file_ms, working_px, thumbnail_px, progress,
                                           user_data, cancellable, error);
}

void
rake_photo_intake_free (RakePhotoIntake *self)
{
  if (self == NULL)
    return;
  g_clear_pointer (&self->original, g_bytes_unref);
  g_clear_pointer (&self->working, g_bytes_unref);
  g_clear_pointer (&self->thumbnail, g_bytes_unref);
  g_free (self->name);
  g_free (self);
}

/* --- the entry ------------------------------------------------------------------------------------- */

static int
get_offset_minutes (GTimeZone *zone, gint64 local_ms)
{
  int interval = g_time_zone_find_interval (zone, G_TIME_TYPE_STANDARD, local_ms / 1000);

  return interval >= 0 ? g_time_zone_get_offset (zone, interval) / 60 : 0;
}

static gboolean
is_believed (const RakeEntry *entry, gint64 taken_ms)
{
  return taken_ms > 0 && taken_ms <= entry->written_ms + 3600000; /* clocks differ a little */
}

void
rake_photo_intake_fill_entry (const RakePhotoIntake *self, GTimeZone *zone, RakeEntry *entry)
{
  RakePhotoBody *body = &entry->photo;
  int offset = self->exif.has_offset ? self->exif.offset_minutes
                                     : get_offset_minutes (zone, self->exif.local_ms);
  gint64 taken_ms = self->exif.local_ms - (gint64) offset * 60000;

  g_return_if_fail (entry->kind == RAKE_ENTRY_PHOTO);
  g_free (body->sha256);
  body->sha256 = g_strdup (self->sha256);
  body->media_type = self->media_type;
  body->n_bytes = (double) g_bytes_get_size (self->original);
  body->width_px = self->width_px;
  body->height_px = self->height_px;
  body->turn = self->exif.turn != 1 ? (double) self->exif.turn : NAN;
  g_free (body->name);
  body->name = g_strdup (self->name);
  if (self->exif.has_time && is_believed (entry, taken_ms))
    {
      entry->happened_ms = taken_ms;
      body->time_from = RAKE_TIME_FROM_EXIF;
      body->offset_minutes = offset;
      body->is_offset_assumed = self->exif.has_offset ? RAKE_ANSWER_NO : RAKE_ANSWER_YES;
    }
  else if (is_believed (entry, self->file_ms))
    {
      entry->happened_ms = self->file_ms;
      body->time_from = RAKE_TIME_FROM_FILE;
    }
}
