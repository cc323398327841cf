/* photo-reader.c - copies as textures, originals as bytes, read by one worker. */
#include "photo-reader.h"

#include <rakelight/photo-intake.h>
#include <rakelight/photo-picture.h>
#include <rakelight/photo-store.h>

#include "words.h"

/* Textures that nobody shows now but may show again soon. Assumption: eight working copies, or all
 * thumbnails of a large job. */
#define KEPT_BYTES (64 * 1024 * 1024)

/* A picture that was loaded; they hang in @lately, the one asked for last first. */
typedef struct
{
  char *key;
  GdkTexture *texture;
  gsize n_bytes;
  GList link;
} Kept;

struct _RakePhotoReader
{
  char *path;
  gboolean may_keep;
  gint is_closing; /* atomic */
  GThreadPool *worker;
  int n_wishes; /* not answered yet; a pool that is being freed does not say */
  RakeJobFile *file; /* the worker's */
  guint n_asked;

  GHashTable *kept; /* key → Kept; with the rest the main thread's */
  GQueue lately;
  gsize n_kept_bytes;
};

/* One thing asked for. It keeps the reader's memory, because it may be answered after the desk is gone. */
typedef struct
{
  RakePhotoReader *reader;
  guint nth;
  char sha256[65];
  gboolean is_original, is_withdrawn;
  RakePhotoCopyKind kind;
  RakePhotoTextureReady texture_ready;
  RakePhotoOriginalReady original_ready;
  gpointer user_data;

  GdkTexture *texture;
  GBytes *original;
  gboolean has_location;
} Wish;

static void
clear_reader (gpointer data)
{
  RakePhotoReader *self = data;

  g_hash_table_unref (self->kept);
  g_free (self->path);
}

static void
free_wish (gpointer data)
{
  Wish *wish = data;

  g_clear_object (&wish->texture);
  g_clear_pointer (&wish->original, g_bytes_unref);
  g_atomic_rc_box_release_full (wish->reader, clear_reader);
  g_free (wish);
}

/* --- what was loaded lately ------------------------------------------------------------------------ */

static void
free_kept (gpointer data)
{
  Kept *kept = data;

  g_object_unref (kept->texture);
  g_free (kept->key);
  g_free (kept);
}

static char *
make_key (const char *sha256, RakePhotoCopyKind kind)
{
  return g_strdup_printf ("%d%s", (int) kind, sha256);
}

static void
forget (RakePhotoReader *self, Kept *kept)
{
  self->n_kept_bytes -= kept->n_bytes;
  g_queue_unlink (&self->lately, &kept->link);
  g_hash_table_remove (self->kept, kept->key);
}

static void
keep (RakePhotoReader *self, const Wish *wish)
{
  g_autofree char *key = make_key (wish->sha256, wish->kind);
  Kept *kept = g_hash_table_lookup (self->kept, key);

  if (kept)
    forget (self, kept);
  kept = g_new0 (Kept, 1);
  kept->key = g_steal_pointer (&key);
  kept->texture = g_object_ref (wish->texture);
  kept->n_bytes = 4 * (gsize) gdk_texture_get_width (kept->texture) *
                  (gsize) gdk_texture_get_height (kept->texture);
  kept->link.data = kept;
  g_hash_table_insert (self->kept, kept->key, kept);
  g_queue_push_head_link (&self->lately, &kept->link);
  self->n_kept_bytes += kept->n_bytes;
  while (self->n_kept_bytes > KEPT_BYTES && self->lately.length > 1)
    forget (self, g_queue_peek_tail (&self->lately));
}

GdkTexture *
rake_photo_reader_peek (RakePhotoReader *self, const RakePhoto *photo, RakePhotoCopyKind kind)
{
  g_autofree char *key = NULL;
  Kept *kept;

  if (photo->withdrawal)
    return NULL;
  key = make_key (photo->entry->photo.sha256, kind);
  kept = g_hash_table_lookup (self->kept, key);
  if (!kept)
    return NULL;
  g_queue_unlink (&self->lately, &kept->link);
  g_queue_push_head_link (&self->lately, &kept->link);
  return kept->texture;
}

/* --- the worker ------------------------------------------------------------------------------------ */

/* As cairo has its pixels, so that drawing need not change them. */
static GdkTexture *
new_texture (const RakePhotoPicture *picture)
{
  int width = rake_photo_picture_get_width (picture);
  int height = rake_photo_picture_get_height (picture);
  gsize n_pixels = (gsize) width * (gsize) height;
  const guint8 *rgb = rake_photo_picture_get_rgb (picture);
  guint8 *pixels = g_malloc (4 * n_pixels);
  g_autoptr (GBytes) bytes = g_bytes_new_take (pixels, 4 * n_pixels);

  for (gsize i = 0; i < n_pixels; i++)
    {
      pixels[4 * i] = rgb[3 * i + 2];
      pixels[4 * i + 1] = rgb[3 * i + 1];
      pixels[4 * i + 2] = rgb[3 * i];
      pixels[4 * i + 3] = 255;
    }
  return gdk_memory_texture_new (width, height, GDK_MEMORY_B8G8R8A8_PREMULTIPLIED, bytes,
                                 4 * (gsize) width);
}

/* NULL when it is no picture, or larger than a copy should be: nobody vouches for it. */
static GdkTexture *
decode_copy (GBytes *bytes, RakePhotoCopyKind kind)
{
  int most = kind == RAKE_PHOTO_COPY_WORKING ? RAKE_PHOTO_WORKING_PX : RAKE_PHOTO_THUMBNAIL_PX;
  g_autoptr (RakePhotoPicture) picture = NULL;
  gsize length;
  gconstpointer data = g_bytes_get_data (bytes, &length);
  int width, height;

  if (!rake_photo_picture_read_header (data, length, NULL, &width, &height, NULL) ||
      MAX (width, height) > most)
    return NULL;
  picture = rake_photo_picture_new (data, length, 1, NULL);
  return picture ? new_texture (picture) : NULL;
}

/* A comfort for the next time; that it fails is no trouble. */
static void
keep_copies (RakePhotoReader *self, const RakePhotoIntake *intake)
{
  g_autoptr (RakeJobFile) file = rake_job_file_open (self->path, RAKE_JOB_FILE_WRITE, NULL);
  RakePhotoCopy working = { intake->working, intake->working_width_px, intake->working_height_px };
  RakePhotoCopy thumbnail = { intake->thumbnail, intake->thumbnail_width_px,
                              intake->thumbnail_height_px };

  if (file)
    rake_job_file_keep_photo_copies (file, intake->sha256, &working, &thumbnail, NULL);
}

static GdkTexture *
make_anew (RakePhotoReader *self, const Wish *wish, GCancellable *cancellable, GError **error)
{
  g_autoptr (GBytes) original = rake_job_file_read_photo (self->file, wish->sha256, error);
  g_autoptr (RakePhotoIntake) intake = NULL;

  if (!original)
    return NULL;
  intake =
      rake_photo_intake_new_from_bytes (original, NULL, 0, RAKE_PHOTO_WORKING_PX,
                                        RAKE_PHOTO_THUMBNAIL_PX, NULL, NULL, cancellable, error);
  if (!intake)
    return NULL;
  if (self->may_keep)
    keep_copies (self, intake);
  return decode_copy (wish->kind == RAKE_PHOTO_COPY_WORKING ? intake->working : intake->thumbnail,
                      wish->kind);
}

static gboolean
read_copy (RakePhotoReader *self, Wish *wish, GCancellable *cancellable, GError **error)
{
  RakePhotoCopy copy;
  g_autoptr (GBytes) bytes = NULL;

  if (!rake_job_file_read_photo_copy (self->file, wish->sha256, wish->kind, &copy, error))
    return FALSE;
  bytes = copy.bytes;
  wish->texture = bytes ? decode_copy (bytes, wish->kind) : NULL;
  if (!wish->texture)
    wish->texture = make_anew (self, wish, cancellable, error);
  return wish->texture != NULL;
}

static gboolean
read_original (RakePhotoReader *self, Wish *wish, GError **error)
{
  RakePhotoExif exif;
  gsize length;
  gconstpointer data;

  wish->original = rake_job_file_read_photo (self->file, wish->sha256, error);
  if (!wish->original)
    return FALSE;
  data = g_bytes_get_data (wish->original, &length);
  rake_photo_exif_read (data, length, &exif);
  wish->has_location = exif.has_location;
  return TRUE;
}

static gboolean
grant (RakePhotoReader *self, GTask *task, GError **error)
{
  GCancellable *cancellable = g_task_get_cancellable (task);
  Wish *wish = g_task_get_task_data (task);

  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return FALSE;
  if (g_atomic_int_get (&self->is_closing))
    {
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_CANCELLED, "");
      return FALSE;
    }
  /* Its bytes may be there as another photograph's. */
  if (wish->is_withdrawn)
    {
      g_set_error_literal (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_WITHDRAWN,
                           _ ("the photograph was withdrawn; its bytes are gone"));
      return FALSE;
    }
  if (!self->file)
    self->file = rake_job_file_open (self->path, RAKE_JOB_FILE_READ_ONLY, error);
  if (!self->file)
    return FALSE;
  return wish->is_original ? read_original (self, wish, error)
                           : read_copy (self, wish, cancellable, error);
}

static void
work (gpointer data, gpointer user_data)
{
  g_autoptr (GTask) task = data;
  RakePhotoReader *self = user_data;
  g_autoptr (GError) error = NULL;
  gboolean is_granted = grant (self, task, &error);

  /* A handle left open would keep the file's log from being put away. */
  if (g_atomic_int_dec_and_test (&self->n_wishes) && self->file)
    g_clear_pointer (&self->file, rake_job_file_close);
  if (is_granted)
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, g_steal_pointer (&error));
}

/* The large picture that somebody waits for before thumbnails, of these the one that came into sight
 * last. */
static int
compare_urgency (gconstpointer a, gconstpointer b, gpointer user_data)
{
  const Wish *one = g_task_get_task_data ((GTask *) a);
  const Wish *other = g_task_get_task_data ((GTask *) b);

  if (one->is_original != other->is_original)
    return one->is_original ? 1 : -1;
  if (one->kind != other->kind)
    return one->kind == RAKE_PHOTO_COPY_WORKING ? -1 : 1;
  return one->nth > other->nth ? -1 : one->nth < other->nth;
}

/* --- asking ---------------------------------------------------------------------------------------- */

static void
answer (GObject *source, GAsyncResult *result, gpointer user_data)
{
  GTask *task = G_TASK (result);
  Wish *wish = g_task_get_task_data (task);
  g_autoptr (GError) error = NULL;
  GCancellable *cancellable = g_task_get_cancellable (task);

  g_task_propagate_boolean (task, &error);
  if (wish->texture && !g_atomic_int_get (&wish->reader->is_closing))
    keep (wish->reader, wish);
  if (cancellable && g_cancellable_is_cancelled (cancellable))
    return;
  if (wish->is_original)
    wish->original_ready (wish->original, wish->has_location, error, wish->user_data);
  else
    wish->texture_ready (wish->texture, error, wish->user_data);
}

static GTask *
new_task (RakePhotoReader *self, const RakePhoto *photo, GCancellable *cancellable,
          gpointer user_data)
{
  GTask *task = g_task_new (NULL, cancellable, answer, NULL);
  Wish *wish = g_new0 (Wish, 1);

  wish->reader = g_atomic_rc_box_acquire (self);
  wish->nth = self->n_asked++;
  wish->is_withdrawn = photo->withdrawal != NULL;
  g_strlcpy (wish->sha256, photo->entry->photo.sha256, sizeof wish->sha256);
  wish->user_data = user_data;
  g_task_set_task_data (task, wish, free_wish);
  g_task_set_check_cancellable (task, FALSE);
  return task;
}

void
rake_photo_reader_load (RakePhotoReader *self, const RakePhoto *photo, RakePhotoCopyKind kind,
                        GCancellable *cancellable, RakePhotoTextureReady ready, gpointer user_data)
{
  GdkTexture *there = rake_photo_reader_peek (self, photo, kind);
  GTask *task = new_task (self, photo, cancellable, user_data);
  Wish *wish = g_task_get_task_data (task);

  wish->kind = kind;
  wish->texture_ready = ready;
  if (!there)
    {
      g_atomic_int_inc (&self->n_wishes);
      g_thread_pool_push (self->worker, task, NULL);
      return;
    }
  wish->texture = g_object_ref (there);
  g_task_return_boolean (task, TRUE);
  g_object_unref (task);
}

void
rake_photo_reader_read_original (RakePhotoReader *self, const RakePhoto *photo,
                                 GCancellable *cancellable, RakePhotoOriginalReady ready,
                                 gpointer user_data)
{
  GTask *task = new_task (self, photo, cancellable, user_data);
  Wish *wish = g_task_get_task_data (task);

  wish->is_original = TRUE;
  wish->original_ready = ready;
  g_atomic_int_inc (&self->n_wishes);
  g_thread_pool_push (self->worker, task, NULL);
}

/* --- life ------------------------------------------------------------------------------------------ */

RakePhotoReader *
rake_photo_reader_new (const char *path, gboolean may_keep)
{
  RakePhotoReader *self = g_atomic_rc_box_new0 (RakePhotoReader);

  self->path = g_strdup (path);
  self->may_keep = may_keep;
  self->kept = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, free_kept);
  g_queue_init (&self->lately);
  self->worker = g_thread_pool_new (work, self, 1, FALSE, NULL);
  g_thread_pool_set_sort_function (self->worker, compare_urgency, NULL);
  return self;
}

void
rake_photo_reader_free (RakePhotoReader *self)
{
  g_atomic_int_set (&self->is_closing, TRUE);
  g_thread_pool_free (self->worker, FALSE, TRUE);
  g_clear_pointer (&self->file, rake_job_file_close);
  g_atomic_rc_box_release_full (self, clear_reader);
}
