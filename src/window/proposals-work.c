/* proposals-work.c - reading one photograph, or several of one face, in a worker thread. */
#include "proposals-private.h"

#include "photo-work.h"

#include <math.h>

/* Zones whose last strokes went so nearly the same way went one way. */
#define SAME_WAY_DEG 5.0

typedef struct
{
  char *sha256;
  RakePhotoPicture *picture; /* NULL: to be read, and let go again */
  RakePhotoFit *fit;
  double stroke_deg;
} Side;

struct _RakeProposalsWork
{
  char *path;
  GPtrArray *sides; /* Side */
  RakeShape *outline;
  GPtrArray *zones; /* RakeShape */
  double sensitivity;
  guint nth;     /* the side being read */
  gint permille; /* atomic; of all sides */
};

static void
side_free (gpointer data)
{
  Side *side = data;

  g_free (side->sha256);
  rake_photo_picture_unref (side->picture);
  rake_photo_fit_free (side->fit);
  g_free (side);
}

static void
work_free (gpointer data)
{
  RakeProposalsWork *work = data;

  g_free (work->path);
  g_clear_pointer (&work->sides, g_ptr_array_unref);
  g_clear_pointer (&work->outline, rake_shape_unref);
  g_clear_pointer (&work->zones, g_ptr_array_unref);
  g_free (work);
}

static RakePhotoFit *
new_fit (const RakePhoto *photo, GError **error)
{
  const GArray *specs = photo->registration->registration.pairs;
  g_autoptr (GArray) pairs = g_array_new (FALSE, FALSE, sizeof (RakePhotoPair));

  for (guint i = 0; i < specs->len; i++)
    {
      const RakePairSpec *spec = &g_array_index (specs, RakePairSpec, i);
      const RakePhotoPair pair = { spec->x_px, spec->y_px, spec->x_mm, spec->y_mm };

      g_array_append_val (pairs, pair);
    }
  return rake_photo_fit_new ((const RakePhotoPair *) (gpointer) pairs->data, pairs->len,
                             (int) photo->entry->photo.width_px,
                             (int) photo->entry->photo.height_px, RAKE_PHOTO_FIT_RADIAL, error);
}

static double
find_strokes (const RakeZone *zone, gint64 taken_ms)
{
  double stroke_deg = NAN;

  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      if (entry->kind == RAKE_ENTRY_PASS && entry->happened_ms <= taken_ms)
        stroke_deg = entry->pass.stroke_deg;
    }
  return stroke_deg;
}

/* Along which the last strokes before the photograph went, if that is one direction; else NaN. */
static double
find_common_strokes (const RakePhoto *photo)
{
  double common_deg = NAN;

  for (guint i = 0; i < photo->face->zones->len; i++)
    {
      double stroke_deg = find_strokes (photo->face->zones->pdata[i], photo->entry->happened_ms);

      if (isnan (stroke_deg) ||
          (i > 0 && !(fabs (remainder (stroke_deg - common_deg, 180)) <= SAME_WAY_DEG)))
        return NAN;
      common_deg = stroke_deg;
    }
  return common_deg;
}

static gboolean
add_side (RakeProposalsWork *work, const RakePhoto *photo, GError **error)
{
  RakePhotoFit *fit = new_fit (photo, error);
  Side *side;

  if (!fit)
    return FALSE;
  side = g_new0 (Side, 1);
  side->sha256 = g_strdup (photo->entry->photo.sha256);
  side->fit = fit;
  side->stroke_deg = find_common_strokes (photo);
  g_ptr_array_add (work->sides, side);
  return TRUE;
}

RakeProposalsWork *
rake_proposals_work_new (const char *path, const GPtrArray *photos, RakePhotoPicture *picture,
                         double sensitivity, GError **error)
{
  const RakeFace *face = ((const RakePhoto *) photos->pdata[0])->face;
  RakeProposalsWork *work = g_new0 (RakeProposalsWork, 1);

  work->path = g_strdup (path);
  work->sides = g_ptr_array_new_with_free_func (side_free);
  work->outline = rake_shape_ref ((RakeShape *) face->outline);
  work->zones = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  work->sensitivity = sensitivity;
  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (
        work->zones,
        rake_shape_ref ((RakeShape *) ((const RakeZone *) face->zones->pdata[i])->shape));
  for (guint i = 0; i < photos->len; i++)
    if (!add_side (work, photos->pdata[i], error))
      {
        work_free (work);
        return NULL;
      }
  ((Side *) work->sides->pdata[0])->picture = rake_photo_picture_ref (picture);
  return work;
}

double
rake_proposals_work_get_progress (const RakeProposalsWork *work)
{
  return g_atomic_int_get (&work->permille) / 1000.0;
}

static void
note_progress (double fraction, gpointer data)
{
  RakeProposalsWork *work = data;

  g_atomic_int_set (&work->permille,
                    (int) (1000 * ((double) work->nth + fraction) / work->sides->len));
}

static RakePhotoReading *
read_side (RakeProposalsWork *work, const Side *side, GCancellable *cancellable, GError **error)
{
  g_autoptr (RakePhotoPicture) picture = NULL;
  RakePhotoQuestion question = {
    .fit = side->fit,
    .outline = work->outline,
    .zones = (const RakeShape *const *) work->zones->pdata,
    .n_zones = work->zones->len,
    .stroke_deg = side->stroke_deg,
    .sensitivity = work->sensitivity,
  };

  picture = side->picture ? rake_photo_picture_ref (side->picture)
                          : rake_photo_work_read_now (work->path, side->sha256,
                                                      RAKE_PHOTO_PICTURE_MAX_PIXELS, error);
  if (!picture)
    return NULL;
  question.picture = picture;
  return rake_photo_read (&question, note_progress, work, cancellable, error);
}

/* One photograph at a time, so that only one large picture is held beside the first. */
static RakePhotoReading *
read_all (RakeProposalsWork *work, GCancellable *cancellable, GError **error)
{
  g_autoptr (GPtrArray) readings =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_photo_reading_free);

  for (work->nth = 0; work->nth < work->sides->len; work->nth++)
    {
      RakePhotoReading *reading =
          read_side (work, work->sides->pdata[work->nth], cancellable, error);

      if (!reading)
        return NULL;
      g_ptr_array_add (readings, reading);
    }
  if (readings->len == 1)
    return g_ptr_array_steal_index (readings, 0);
  return rake_photo_reading_combine ((const RakePhotoReading *const *) readings->pdata,
                                     readings->len, error);
}

static void
read_in_thread (GTask *task, gpointer source, gpointer task_data, GCancellable *cancellable)
{
  GError *error = NULL;
  RakePhotoReading *reading = read_all (task_data, cancellable, &error);

  if (reading)
    g_task_return_pointer (task, reading, (GDestroyNotify) rake_photo_reading_free);
  else
    g_task_return_error (task, error);
}

void
rake_proposals_work_run (RakeProposalsWork *work, GCancellable *cancellable,
                         GAsyncReadyCallback done, gpointer user_data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, done, user_data);

  g_task_set_task_data (task, work, work_free);
  g_task_run_in_thread (task, read_in_thread);
}
