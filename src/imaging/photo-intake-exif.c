/* photo-intake-exif.c - what a camera wrote beside the picture: its turn, its time, whether its place. */
#define _GNU_SOURCE /* memmem */
#include <rakelight/photo-heif.h>

#include <libexif/exif-data.h>
#include <stdio.h>
#include <string.h>

#include "photo-parts.h"

typedef ExifData RakeExifData;
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeExifData, exif_data_unref)

static ExifEntry *
find (ExifData *data, ExifIfd ifd, ExifTag tag)
{
  return exif_content_get_entry (data->ifd[ifd], tag);
}

static char *
get_text (ExifData *data, ExifIfd ifd, ExifTag tag)
{
  const ExifEntry *entry = find (data, ifd, tag);

  if (entry == NULL || entry->format != EXIF_FORMAT_ASCII || entry->data == NULL)
    return NULL;
  return g_strndup ((const char *) entry->data, entry->size);
}

static void
read_turn (ExifData *data, RakePhotoExif *exif)
{
  const ExifEntry *entry = find (data, EXIF_IFD_0, EXIF_TAG_ORIENTATION);
  int turn = 0;

  if (entry != NULL && entry->format == EXIF_FORMAT_SHORT && entry->size >= 2)
    turn = exif_get_short (entry->data, exif_data_get_byte_order (data));
  if (turn >= 1 && turn <= 8)
    exif->turn = turn;
}

/* "2026:03:02 14:05:09" */
static gboolean
parse_time (const char *text, gint64 *local_ms)
{
  int parts[6];
  g_autoptr (GDateTime) time = NULL;

  if (text == NULL || sscanf (text, "%4d:%2d:%2d %2d:%2d:%2d", &parts[0], &parts[1], &parts[2],
                              &parts[3], &parts[4], &parts[5]) != 6)
    return FALSE;
  time = g_date_time_new_utc (parts[0], parts[1], parts[2], parts[3], parts[4], parts[5]);
  if (time == NULL)
    return FALSE;
  *local_ms = g_date_time_to_unix (time) * 1000;
  return TRUE;
}

/* "+01:00" */
static gboolean
parse_offset (const char *text, int *minutes)
{
  int hours, rest;
  char sign;

  if (text == NULL || sscanf (text, "%c%2d:%2d", &sign, &hours, &rest) != 3 ||
      (sign != '+' && sign != '-') || hours < 0 || hours > 14 || rest < 0 || rest > 59)
    return FALSE;
  *minutes = (sign == '-' ? -1 : 1) * (hours * 60 + rest);
  return TRUE;
}

/* When it was taken, when it was digitised, when it was changed: each with its own offset. */
static void
read_time (ExifData *data, RakePhotoExif *exif)
{
  static const struct { ExifIfd ifd; ExifTag time, offset; } tags[] = {
    { EXIF_IFD_EXIF, EXIF_TAG_DATE_TIME_ORIGINAL, EXIF_TAG_OFFSET_TIME_ORIGINAL },
    { EXIF_IFD_EXIF, EXIF_TAG_DATE_TIME_DIGITIZED, EXIF_TAG_OFFSET_TIME_DIGITIZED },
    { EXIF_IFD_0, EXIF_TAG_DATE_TIME, EXIF_TAG_OFFSET_TIME },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (tags) && !exif->has_time; i++)
    {
      g_autofree char *time = get_text (data, tags[i].ifd, tags[i].time);
      g_autofree char *offset = get_text (data, EXIF_IFD_EXIF, tags[i].offset);

      exif->has_time = parse_time (time, &exif->local_ms);
      exif->has_offset = exif->has_time && parse_offset (offset, &exif->offset_minutes);
    }
}

/* @block begins with "Exif\0\0". */
static void
read_block (const guint8 *block, gsize n_block, RakePhotoExif *exif)
{
  g_autoptr (RakeExifData) data = exif_data_new ();

  /* The offsets are newer than what the library takes for the specification. */
  exif_data_unset_option (data, EXIF_DATA_OPTION_IGNORE_UNKNOWN_TAGS);
  exif_data_unset_option (data, EXIF_DATA_OPTION_FOLLOW_SPECIFICATION);
  exif_data_load_data (data, block, (unsigned int) n_block);
  read_turn (data, exif);
  read_time (data, exif);
  exif->has_location = data->ifd[EXIF_IFD_GPS]->count > 0;
}

void
rake_photo_exif_read (const void *bytes, gsize n_bytes, RakePhotoExif *exif)
{
  g_autofree guint8 *block = NULL;
  gsize length;

  *exif = (RakePhotoExif){ .turn = 1 };
  block = rake_photo_find_exif (bytes, n_bytes, &length);
  if (block != NULL)
    read_block (block, length, exif);
}

void
rake_photo_exif_read_tiff (const guint8 *tiff, gsize n_tiff, RakePhotoExif *exif)
{
  static const guint8 head[6] = { 'E', 'x', 'i', 'f', 0, 0 };
  g_autofree guint8 *block = g_malloc (sizeof head + n_tiff);

  *exif = (RakePhotoExif){ .turn = 1 };
  if (n_tiff >= sizeof head && memcmp (tiff, head, sizeof head) == 0)
    {
      read_block (tiff, n_tiff, exif);
      return;
    }
  memcpy (block, head, sizeof head);
  memcpy (block + sizeof head, tiff, n_tiff);
  read_block (block, sizeof head + n_tiff, exif);
}

gboolean
rake_photo_tells_where (GBytes *photo)
{
  RakePhotoExif exif;
  gsize n_bytes;
  gconstpointer bytes = g_bytes_get_data (photo, &n_bytes);

  if (rake_photo_is_heif (bytes, n_bytes))
    return memmem (bytes, n_bytes, "Exif", 4) != NULL;
  rake_photo_exif_read (bytes, n_bytes, &exif);
  return exif.has_location ||
         memmem (bytes, n_bytes, "GPSLatitude", 11) != NULL; /* as XMP writes it */
}
