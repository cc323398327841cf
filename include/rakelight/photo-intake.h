/* photo-intake.h - a picture from a file made ready for the job: looked at, measured, made smaller.
 *
 * All of it is work for a worker thread: nothing here knows of a job, and what comes out is handed to
 * rake_job_file_append_photos(). The bytes stay as they came. One picture at a time is in memory: its
 * bytes, and the picture decoded at half the size or less where it is large.
 *
 * JPEG and PNG; HEIC where it can be decoded (photo-heif.h).
 *
 * What a camera wrote beside the picture is read by libexif, from the Exif block only: how it is to be
 * turned, when it was taken, and whether it tells where. */
#pragma once
#include <gio/gio.h>
#include <rakelight/photo.h>

#define RAKE_PHOTO_INTAKE_ERROR (rake_photo_intake_error_quark ())
GQuark rake_photo_intake_error_quark (void);

typedef enum
{
  RAKE_PHOTO_INTAKE_ERROR_FILE,          /* not there, not to be read, changed while it was read */
  RAKE_PHOTO_INTAKE_ERROR_NOT_A_PICTURE, /* none, damaged, or of a kind that is not read here */
  RAKE_PHOTO_INTAKE_ERROR_TOO_LARGE,
} RakePhotoIntakeError;

/* What the camera wrote. */
typedef struct
{
  RakeTurn turn;             /* 1 unless said */
  gboolean has_time;
  gint64 local_ms;           /* milliseconds since 1970 by the camera's own clock */
  gboolean has_offset;
  int offset_minutes;        /* of that clock from UTC */
  gboolean has_location;
} RakePhotoExif;

/* From a whole JPEG or PNG; where nothing is said, or it is damaged, says nothing. */
void rake_photo_exif_read (const void *bytes, gsize n_bytes, RakePhotoExif *exif);

/* Whether a whole picture may tell where it was taken: by the Exif block, by words of another kind beside it;
 * a HEIC by any Exif at all, which is not looked into here. */
gboolean rake_photo_tells_where (GBytes *photo);

typedef struct
{
  GBytes *original;
  char sha256[65];
  RakeMediaType media_type;
  int width_px, height_px;   /* as it lies in the file */
  RakePhotoExif exif;
  char *name;                /* of the file, as text that an entry takes; may be NULL */
  gint64 file_ms;            /* when the file was last written; 0: not known */
  GBytes *working, *thumbnail; /* JPEGs, upright */
  int working_width_px, working_height_px, thumbnail_width_px, thumbnail_height_px;
} RakePhotoIntake;

/* The bytes of a file, whole: refused when it is none, is empty or too large, ends early, or another program
 * writes in it meanwhile. NULL with RAKE_PHOTO_INTAKE_ERROR and a sentence that names the file. */
GBytes *rake_photo_read_file (const char *path, GError **error);

/* Called now and then in the thread of the work, from 0 to 1. */
typedef void (*RakePhotoProgress) (double fraction, gpointer user_data);

/* Reads the file and makes the copies.
 *
 * working_px, thumbnail_px  the copies' long sides; a smaller picture stays as it is
 * progress     may be NULL
 * cancellable  may be NULL
 * returns  an intake that the caller frees; NULL with RAKE_PHOTO_INTAKE_ERROR and a sentence for the
 *          person, or with G_IO_ERROR_CANCELLED */
RakePhotoIntake *rake_photo_intake_new (const char *path, int working_px, int thumbnail_px,
                                        RakePhotoProgress progress, gpointer user_data,
                                        GCancellable *cancellable, GError **error);

/* The same for what was dropped or pasted; @name and @file_ms as far as known. */
RakePhotoIntake *rake_photo_intake_new_from_bytes (GBytes *bytes, const char *name, gint64 file_ms,
                                                   int working_px, int thumbnail_px,
                                                   RakePhotoProgress progress, gpointer user_data,
                                                   GCancellable *cancellable, GError **error);
void rake_photo_intake_free (RakePhotoIntake *intake);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakePhotoIntake, rake_photo_intake_free)

/* Tells @entry, new and of kind photo, what is known of the picture; its place is left to others. The
 * time is the camera's, else the file's; one that lies more than an hour ahead, or before 1970, is not believed.
 * Where the camera does not say how its clock stands to UTC, that of @zone is taken, and said so. */
void rake_photo_intake_fill_entry (const RakePhotoIntake *intake, GTimeZone *zone,
                                   RakeEntry *entry);

/* The same picture without what a camera or a program wrote beside it: place, time, names, previews,
 * comments. How a JPEG is turned stays, and the colour profile. Pixels are not decoded, so they are the
 * same to the bit; but of a HEIC it is a JPEG, decoded and written anew, upright (photo-heif.h has what
 * it may refuse). NULL with NOT_A_PICTURE for anything else, or what is damaged. */
GBytes *rake_photo_without_private (GBytes *photo, GError **error);
