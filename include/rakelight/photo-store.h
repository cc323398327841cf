/* photo-store.h - the bytes of a job's photographs in its file: in, out, and away for good.
 *
 * An entry of kind photo names its bytes by their SHA-256. They lie in the job file as they came, to
 * the byte; beside them, where they were made, a smaller copy for the screen and a thumbnail. Opening
 * and loading a job reads none of this. A withdrawal takes all three out of the file.
 *
 * As with everything of a job file, a handle is used by one thread at a time: a worker that reads
 * pictures, or adds them, opens one of its own on the same path. */
#pragma once
#include <rakelight/job-file.h>

#define RAKE_PHOTO_STORE_ERROR (rake_photo_store_error_quark ())
GQuark rake_photo_store_error_quark (void);

typedef enum
{
  RAKE_PHOTO_STORE_ERROR_WITHDRAWN, /* the bytes were taken away; they do not come back */
  RAKE_PHOTO_STORE_ERROR_MISSING,   /* they never came with the entry */
} RakePhotoStoreError;

/* The long sides that copies are made with. */
#define RAKE_PHOTO_WORKING_PX 1600
#define RAKE_PHOTO_THUMBNAIL_PX 256

/* A smaller picture: a JPEG, upright. */
typedef struct
{
  GBytes *bytes; /* NULL: none */
  int width_px, height_px;
} RakePhotoCopy;

/* One photograph's bytes on their way into a job file. */
typedef struct
{
  GBytes *original;
  char sha256[65];
  RakePhotoCopy working, thumbnail;
} RakePhotoBytes;

/* Takes a reference to @original and computes its hash, which is work for a worker. */
void rake_photo_bytes_init (RakePhotoBytes *photo, GBytes *original);
void rake_photo_bytes_clear (RakePhotoBytes *photo);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (RakePhotoBytes, rake_photo_bytes_clear)

/* rake_job_file_append() for a gesture with photographs in it: entries, bytes and copies in one
 * durable transaction, all or none. Each new entry of kind photo finds its bytes by its hash among
 * @photos or in the file; bytes that are there already are kept once. Refused besides for what
 * rake_job_file_append() refuses: MISSING, and WITHDRAWN for bytes that were withdrawn before. */
gboolean rake_job_file_append_photos (RakeJobFile *file, RakeJob *job, RakeEntry *const *entries,
                                      guint n_entries, const RakePhotoBytes *photos, guint n_photos,
                                      const char *who, GError **error);

typedef enum
{
  RAKE_PHOTO_MISSING,
  RAKE_PHOTO_KEPT,
  RAKE_PHOTO_WITHDRAWN,
} RakePhotoStanding;

/* Whether the bytes are there, without reading them. FALSE only when the file cannot be read. */
gboolean rake_job_file_find_photo (RakeJobFile *file, const char *sha256,
                                   RakePhotoStanding *standing, GError **error);

/* The photograph as it came, checked against its hash. NULL with RAKE_PHOTO_STORE_ERROR when it is not
 * there, with RAKE_JOB_FILE_ERROR_DAMAGED when it is another. */
GBytes *rake_job_file_read_photo (RakeJobFile *file, const char *sha256, GError **error);

typedef enum
{
  RAKE_PHOTO_COPY_WORKING,
  RAKE_PHOTO_COPY_THUMBNAIL,
} RakePhotoCopyKind;

/* A copy, with bytes NULL when there is none yet: then make it from the photograph. Nothing vouches for
 * it, so decode it as carefully as any stranger's picture. The caller unrefs the bytes. */
gboolean rake_job_file_read_photo_copy (RakeJobFile *file, const char *sha256,
                                        RakePhotoCopyKind kind, RakePhotoCopy *copy,
                                        GError **error);

/* Keeps copies made later, in the place of those there; what is NULL stays as it is. Nothing is kept of
 * a photograph that is not there. */
gboolean rake_job_file_keep_photo_copies (RakeJobFile *file, const char *sha256,
                                          const RakePhotoCopy *working,
                                          const RakePhotoCopy *thumbnail, GError **error);
