/* report-photos-file.c - the photographs of a job file, one at a time, without what a camera notes beside
 * the picture: a report is mailed, and where a piece was photographed is nobody's business. */
#include <rakelight/photo-intake.h>
#include <rakelight/photo-store.h>
#include <rakelight/photo.h>
#include <rakelight/report.h>

#include <math.h>
#include <string.h>

#include "print-words.h"

/* Markers of a JPEG: ITU-T T.81, table B.1. */
#define START_OF_IMAGE 0xd8
#define START_OF_SCAN 0xda
#define APPLICATION_1 0xe1  /* Exif and XMP: times, places, makers */
#define APPLICATION_13 0xed /* IPTC: names, keywords */
#define COMMENT 0xfe

/* Which picture is taken. Both copies stand upright. */
typedef enum
{
  TAKE_ORIGINAL,
  TAKE_WORKING_COPY,
  TAKE_MADE_COPY, /* the original is no JPEG, and no copy is kept */
} Take;

typedef struct
{
  RakeReportPhotos photos; /* first: handed out as this */
  RakeJobFile *file;
  const RakeJob *job;
  GByteArray *takes; /* a Take for each photograph */
} FilePhotos;

/* --- without notes --------------------------------------------------------------------------- */

static gboolean
is_note (guint8 marker)
{
  return marker == APPLICATION_1 || marker == APPLICATION_13 || marker == COMMENT;
}

/* The picture itself is copied to the byte. What is not built as a JPEG is given back as it is: the
 * reader of the PDF will refuse it, and nothing is lost. */
static GBytes *
strip_notes (GBytes *jpeg)
{
  gsize n_bytes, at = 2;
  const guint8 *bytes = g_bytes_get_data (jpeg, &n_bytes);
  g_autoptr (GByteArray) kept = g_byte_array_sized_new ((guint) MIN (n_bytes, G_MAXUINT));

  if (n_bytes < 4 || n_bytes > G_MAXUINT || bytes[0] != 0xff || bytes[1] != START_OF_IMAGE)
    return g_bytes_ref (jpeg);
  g_byte_array_append (kept, bytes, 2);
  while (at + 4 <= n_bytes && bytes[at] == 0xff && bytes[at + 1] != START_OF_SCAN)
    {
      gsize length = 2 + ((gsize) bytes[at + 2] << 8 | bytes[at + 3]);

      if (length < 4 || at + length > n_bytes)
        return g_bytes_ref (jpeg);
      if (!is_note (bytes[at + 1]))
        g_byte_array_append (kept, bytes + at, (guint) length);
      at += length;
    }
  g_byte_array_append (kept, bytes + at, (guint) (n_bytes - at));
  return g_byte_array_free_to_bytes (g_steal_pointer (&kept));
}

/* --- what the report asks -------------------------------------------------------------------- */

static guint
get_n (gpointer user_data)
{
  return rake_job_get_n_photos (((FilePhotos *) user_data)->job);
}

/* EXIF's eight ways as a mirroring, left to right, and then quarter turns clockwise. */
static void
set_turn (RakeReportPhoto *photo, RakeTurn turn)
{
  static const struct
  {
    gboolean is_mirrored;
    int quarter_turns;
  } ways[] = { { FALSE, 0 }, { FALSE, 0 }, { TRUE, 0 },  { FALSE, 2 }, { TRUE, 2 },
               { TRUE, 3 },  { FALSE, 1 }, { TRUE, 1 },  { FALSE, 3 } };
  int way = turn >= 1 && turn <= 8 ? turn : 1;

  photo->is_mirrored = ways[way].is_mirrored;
  photo->quarter_turns = ways[way].quarter_turns;
}

static void
get (guint index, RakeReportPhoto *photo, gpointer user_data)
{
  const FilePhotos *self = user_data;
  const RakePhoto *shown = rake_job_get_photo (self->job, index);
  const RakePhotoBody *body = &shown->entry->photo, *place = &shown->placed->photo;
  RakeTurn turn = rake_photo_get_turn (body);
  double width = body->width_px, height = body->height_px;

  if (self->takes->data[index] != TAKE_ORIGINAL)
    rake_turn_size (turn, body->width_px, body->height_px, &width, &height);
  else
    set_turn (photo, turn);
  photo->id = shown->id;
  photo->width_px = (int) CLAMP (width, 1, RAKE_PHOTO_MAX_SIDE_PX);
  photo->height_px = (int) CLAMP (height, 1, RAKE_PHOTO_MAX_SIDE_PX);
  photo->taken_ms = shown->entry->happened_ms;
  photo->utc_offset_minutes = isfinite (body->offset_minutes) ? (int) body->offset_minutes
                                                              : shown->entry->utc_offset_minutes;
  photo->lamp_deg = place->lamp_deg;
  photo->caption = place->note;
  photo->is_withdrawn = shown->withdrawal != NULL;
  if (place->zones->len == 1)
    photo->about = g_array_index (place->zones, RakeId, 0);
  else if (shown->face != NULL)
    photo->about = shown->face->id;
}

static GBytes *
load_working_copy (FilePhotos *self, const char *sha256, GError **error)
{
  RakePhotoCopy copy = { 0 };

  /* There was one when the list was made; NULL without an error would be one that is gone since. */
  if (rake_job_file_read_photo_copy (self->file, sha256, RAKE_PHOTO_COPY_WORKING, &copy, error) &&
      copy.bytes == NULL)
    g_set_error (error, RAKE_REPORT_ERROR, RAKE_REPORT_ERROR_DRAW,
                 _ ("This photograph was taken away while the report was written."));
  return copy.bytes;
}

static GBytes *
make_copy (GBytes *original, GError **error)
{
  g_autoptr (RakePhotoIntake) intake = rake_photo_intake_new_from_bytes (
      original, NULL, 0, RAKE_PHOTO_WORKING_PX, RAKE_PHOTO_THUMBNAIL_PX, NULL, NULL, NULL, error);

  return intake != NULL ? g_bytes_ref (intake->working) : NULL;
}

static GBytes *
load_jpeg (guint index, gpointer user_data, GError **error)
{
  FilePhotos *self = user_data;
  const RakePhotoBody *body = &rake_job_get_photo (self->job, index)->entry->photo;
  g_autoptr (GBytes) bytes = NULL;

  if (self->takes->data[index] == TAKE_WORKING_COPY)
    bytes = load_working_copy (self, body->sha256, error);
  else
    bytes = rake_job_file_read_photo (self->file, body->sha256, error);
  if (bytes == NULL)
    return NULL;
  return self->takes->data[index] == TAKE_MADE_COPY ? make_copy (bytes, error)
                                                    : strip_notes (bytes);
}

/* --- new and free ---------------------------------------------------------------------------- */

static gboolean
has_working_copy (FilePhotos *self, guint index)
{
  const RakePhoto *photo = rake_job_get_photo (self->job, index);
  RakePhotoCopy copy = { 0 };

  if (!rake_job_file_read_photo_copy (self->file, photo->entry->photo.sha256,
                                      RAKE_PHOTO_COPY_WORKING, &copy, NULL) ||
      copy.bytes == NULL)
    return FALSE;
  g_bytes_unref (copy.bytes);
  return TRUE;
}

static Take
choose (FilePhotos *self, guint index, RakeReportPhotoSize size)
{
  const RakePhoto *photo = rake_job_get_photo (self->job, index);
  gboolean is_jpeg = photo->entry->photo.media_type == RAKE_MEDIA_JPEG;

  if (photo->withdrawal != NULL || (is_jpeg && size == RAKE_REPORT_PHOTOS_ORIGINAL))
    return TAKE_ORIGINAL;
  if (has_working_copy (self, index))
    return TAKE_WORKING_COPY;
  return is_jpeg ? TAKE_ORIGINAL : TAKE_MADE_COPY;
}

RakeReportPhotos *
rake_report_photos_new (RakeJobFile *file, const RakeJob *job, RakeReportPhotoSize size)
{
  FilePhotos *self = g_new0 (FilePhotos, 1);
  guint n = rake_job_get_n_photos (job);

  self->photos = (RakeReportPhotos){ get_n, get, load_jpeg, self };
  self->file = file;
  self->job = job;
  self->takes = g_byte_array_new ();
  for (guint i = 0; i < n; i++)
    {
      guint8 take = (guint8) choose (self, i, size);
      g_byte_array_append (self->takes, &take, 1);
    }
  return &self->photos;
}

void
rake_report_photos_free (RakeReportPhotos *photos)
{
  FilePhotos *self;

  if (photos == NULL)
    return;
  self = photos->user_data;
  g_byte_array_unref (self->takes);
  g_free (self);
}
