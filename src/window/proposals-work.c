/* proposals-work.c - reading a photograph in a worker thread. */
#include "proposals-private.h"

#include <math.h>

/* Zones whose last strokes went so nearly the same way went one way. */
#define SAME_WAY_DEG 5.0

struct _RakeProposalsWork
{
  RakePhotoPicture *picture;
  RakePhotoFit *fit;
  RakeShape *outline;
  GPtrArray *zones; /* RakeShape */
  double stroke_deg, sensitivity;
  gint permille; /* atomic */
};

static void
work_free (gpointer data)
{
  RakeProposalsWork *work = data;

  g_clear_pointer (&work->picture, rake_photo_picture_unref);
  g_clear_pointer (&work->fit, rake_photo_fit_free);
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

RakeProposalsWork *
rake_proposals_work_new (const RakePhoto *photo, RakePhotoPicture *picture, double sensitivity,
                         GError **error)
{
  RakePhotoFit *fit = new_fit (photo, error);
  RakeProposalsWork *work;

  if (!fit)
    return NULL;
  work = g_new0 (RakeProposalsWork, 1);
  work->fit = fit;
  work->picture = rake_photo_picture_ref (picture);
  work->outline = rake_shape_ref ((RakeShape *) photo->face->outline);
  work->zones = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_shape_unref);
  for (guint i = 0; i < photo->face->zones->len; i++)
    g_ptr_array_add (
        work->zones,
        rake_shape_ref ((RakeShape *) ((const RakeZone *) photo->face->zones->pdata[i])->shape));
  work->stroke_deg = find_common_strokes (photo);
  work->sensitivity = sensitivity;
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
  g_atomic_int_set (&((RakeProposalsWork *) data)->permille, (int) (1000 * fraction));
}

static void
read_in_thread (GTask *task, gpointer source, gpointer task_data, GCancellable *cancellable)
{
  RakeProposalsWork *work = task_data;
  const RakePhotoQuestion question = {
    .picture = work->picture,
    .fit = work->fit,
    .outline = work->outline,
    .zones = (const RakeShape *const *) work->zones->pdata,
    .n_zones = work->zones->len,
    .stroke_deg = work->stroke_deg,
    .sensitivity = work->sensitivity,
  };
  GError *error = NULL;
  RakePhotoReading *reading = rake_photo_read (&question, note_progress, work, cancellable, &error);

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
