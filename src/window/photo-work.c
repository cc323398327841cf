/* photo-work.c - photographs at full size, read in a worker thread. */
#include "photo-work.h"

#include <rakelight/photo-heif.h>
#include <rakelight/photo-store.h>

typedef struct
{
  char *path, *sha256;
  guint most_pixels;
  RakePhotoPictureReady ready;
  gpointer data;
} Wish;

static void
wish_free (gpointer data)
{
  Wish *wish = data;

  g_free (wish->path);
  g_free (wish->sha256);
  g_free (wish);
}

RakePhotoPicture *
rake_photo_work_read_now (const char *path, const char *sha256, guint most_pixels, GError **error)
{
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, error);
  g_autoptr (GBytes) bytes = file ? rake_job_file_read_photo (file, sha256, error) : NULL;
  int width, height, shrink = 1;

  if (bytes && rake_photo_is_heif (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes)))
    return rake_photo_picture_new_from_photo (bytes, NULL, error);
  if (!bytes ||
      !rake_photo_picture_read_header (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes),
                                       NULL, &width, &height, error))
    return NULL;
  while (shrink < 8 && (guint64) (width / shrink) * (guint64) (height / shrink) > most_pixels)
    shrink *= 2;
  return rake_photo_picture_new (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes), shrink,
                                 error);
}

static void
read_in_thread (GTask *task, gpointer source, gpointer task_data, GCancellable *cancellable)
{
  const Wish *wish = task_data;
  GError *error = NULL;
  RakePhotoPicture *picture =
      rake_photo_work_read_now (wish->path, wish->sha256, wish->most_pixels, &error);

  if (picture)
    g_task_return_pointer (task, picture, (GDestroyNotify) rake_photo_picture_unref);
  else
    g_task_return_error (task, error);
}

static void
is_read (GObject *source, GAsyncResult *result, gpointer user_data)
{
  GTask *task = G_TASK (result);
  const Wish *wish = g_task_get_task_data (task);
  GCancellable *cancellable = g_task_get_cancellable (task);
  g_autoptr (GError) error = NULL;
  RakePhotoPicture *picture = g_task_propagate_pointer (task, &error);

  /* Whoever cancelled may be gone. */
  if (cancellable && g_cancellable_is_cancelled (cancellable))
    rake_photo_picture_unref (picture);
  else
    wish->ready (picture, error, wish->data);
}

void
rake_photo_work_read (RakeSession *session, const RakePhoto *photo, guint most_pixels,
                      GCancellable *cancellable, RakePhotoPictureReady ready, gpointer data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, is_read, NULL);
  Wish *wish = g_new0 (Wish, 1);

  wish->path = g_strdup (rake_session_get_path (session));
  wish->sha256 = g_strdup (photo->entry->photo.sha256);
  wish->most_pixels = most_pixels;
  wish->ready = ready;
  wish->data = data;
  g_task_set_task_data (task, wish, wish_free);
  g_task_run_in_thread (task, read_in_thread);
}

/* --- laid flat ----------------------------------------------------------------------------------- */

typedef struct
{
  char *path, *sha256;       /* to be read first; NULL: @picture is there */
  RakePhotoPicture *picture;
  RakeShape *outline;
  RakePhotoMap *map;
  double width_px, height_px;
  int long_side_px;
  RakePhotoLaid ready;
  gpointer data;
} Laying;

static void
laying_free (gpointer data)
{
  Laying *laying = data;

  g_free (laying->path);
  g_free (laying->sha256);
  rake_photo_picture_unref (laying->picture);
  rake_shape_unref (laying->outline);
  rake_photo_map_free (laying->map);
  g_free (laying);
}

static void
free_pixels (gpointer pixels)
{
  g_free (pixels);
}

static void
free_sheet (gpointer data)
{
  rake_photo_sheet_free (data);
}

static void
lay_in_thread (GTask *task, gpointer source, gpointer task_data, GCancellable *cancellable)
{
  Laying *laying = task_data;
  GError *error = NULL;
  RakePhotoSheet *sheet;

  if (!laying->picture)
    laying->picture = rake_photo_work_read_now (
        laying->path, laying->sha256,
        (guint) laying->long_side_px * (guint) laying->long_side_px * 2, &error);
  if (!laying->picture)
    {
      g_task_return_error (task, error);
      return;
    }
  sheet = rake_photo_sheet_new (laying->outline, laying->picture, laying->map, laying->width_px,
                                laying->height_px, laying->long_side_px, cancellable);
  if (!g_task_return_error_if_cancelled (task))
    g_task_return_pointer (task, sheet, free_sheet);
  else
    rake_photo_sheet_free (sheet);
}

static GdkTexture *
take_texture (RakePhotoSheet *sheet)
{
  gsize n_bytes = (gsize) sheet->width * (gsize) sheet->height * 4;
  guint32 *pixels = g_steal_pointer (&sheet->pixels);
  g_autoptr (GBytes) bytes = g_bytes_new_with_free_func (pixels, n_bytes, free_pixels, pixels);

  return gdk_memory_texture_new (sheet->width, sheet->height, GDK_MEMORY_DEFAULT, bytes,
                                 (gsize) sheet->width * 4);
}

static void
is_laid (GObject *source, GAsyncResult *result, gpointer user_data)
{
  GTask *task = G_TASK (result);
  const Laying *laying = g_task_get_task_data (task);
  GCancellable *cancellable = g_task_get_cancellable (task);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePhotoSheet) sheet = g_task_propagate_pointer (task, &error);
  g_autoptr (GdkTexture) texture = sheet ? take_texture (sheet) : NULL;

  if (cancellable && g_cancellable_is_cancelled (cancellable))
    return;
  laying->ready (texture, sheet ? sheet->x_mm : 0, sheet ? sheet->y_mm : 0,
                 sheet ? sheet->px_per_mm : 1, error, laying->data);
}

static void
lay (Laying *laying, GCancellable *cancellable)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, is_laid, NULL);

  g_task_set_task_data (task, laying, laying_free);
  g_task_run_in_thread (task, lay_in_thread);
}

void
rake_photo_work_lay_picture (const RakeShape *outline, RakePhotoPicture *picture, RakePhotoMap *map,
                             double width_px, double height_px, int long_side_px,
                             GCancellable *cancellable, RakePhotoLaid ready, gpointer data)
{
  Laying *laying = g_new0 (Laying, 1);

  laying->outline = rake_shape_ref ((RakeShape *) outline);
  laying->picture = rake_photo_picture_ref (picture);
  laying->map = map;
  laying->width_px = width_px;
  laying->height_px = height_px;
  laying->long_side_px = long_side_px;
  laying->ready = ready;
  laying->data = data;
  lay (laying, cancellable);
}

void
rake_photo_work_lay (RakeSession *session, const RakePhoto *photo, int long_side_px,
                     GCancellable *cancellable, RakePhotoLaid ready, gpointer data)
{
  RakePhotoMap *map = rake_photo_map_new_for_photo (photo);
  Laying *laying;

  g_return_if_fail (map != NULL && photo->face != NULL);
  laying = g_new0 (Laying, 1);
  laying->path = g_strdup (rake_session_get_path (session));
  laying->sha256 = g_strdup (photo->entry->photo.sha256);
  laying->outline = rake_shape_ref ((RakeShape *) photo->face->outline);
  laying->map = map;
  laying->width_px = photo->entry->photo.width_px;
  laying->height_px = photo->entry->photo.height_px;
  laying->long_side_px = long_side_px;
  laying->ready = ready;
  laying->data = data;
  lay (laying, cancellable);
}
