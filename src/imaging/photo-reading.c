/* photo-reading.c - the steps of a reading, one after the other. */
#include "combine.h"
#include "photo-fit-private.h"
#include "reader.h"

#include "../core/i18n.h"

#include <math.h>

/* Islands are a few millimetres across, whatever the size of the face. */
#define CELL_MM 0.4
#define MOST_CELLS 1500000.0
#define MARGIN_MM 2.0

/* A pixel that covers more than this hides the islands that matter. */
#define MOST_PX_MM 1.6
#define LEAST_IN_FRAME 0.3
#define MOST_EDGE_PX 7.0

/* Clicks or edges that are further off than the strip along the rim, which is not read anyway, make it
 * wider, up to this. */
#define RIM_MM 1.0
#define MOST_DOUBT_MM 6.0

/* Matte has a texture, whatever the grit; this little of it, per mm, is a picture's own noise. */
#define LEAST_TEXTURE 0.0088
#define LEAST_GLOSS 0.003

G_DEFINE_QUARK (rake-photo-reading-error, rake_photo_reading_error)

typedef struct
{
  RakePhotoProgress progress;
  gpointer data;
  GCancellable *cancellable;
} Watch;

void
rake_reader_clear (RakeReader *self)
{
  g_free (self->face);
  g_free (self->mask);
  g_free (self->zone);
  g_free (self->washed);
  g_free (self->light);
  g_free (self->flat);
  g_free (self->steep);
  g_free (self->usual);
  g_free (self->gloss_dark);
  g_free (self->edge_mm);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (RakeReader, rake_reader_clear)

static void
free_spot (gpointer data)
{
  RakePhotoSpot *spot = data;

  rake_shape_unref (spot->area);
  g_free (spot->why);
  g_free (spot);
}

static void
free_scratch (gpointer data)
{
  RakePhotoScratch *scratch = data;

  rake_shape_unref (scratch->line);
  g_free (scratch->why);
  g_free (scratch);
}

void
rake_photo_sight_free (RakePhotoSight *self)
{
  if (self == NULL)
    return;
  g_free (self->zone);
  g_free (self->cells);
  g_free (self);
}

void
rake_photo_reading_free (RakePhotoReading *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < self->n_zones; i++)
    g_free (self->zones[i].advice);
  g_free (self->zones);
  g_ptr_array_unref (self->spots);
  g_ptr_array_unref (self->scratches);
  rake_photo_sight_free (self->sight);
  g_free (self->advice);
  g_free (self);
}

const char *
rake_photo_regime_get_name (RakePhotoRegime regime)
{
  static const char *const names[] = { "unknown", "away", "mirror", "mixed" };

  g_return_val_if_fail (regime <= RAKE_PHOTO_REGIME_MIXED, NULL);
  return names[regime];
}

const char *
rake_photo_obstacle_get_name (RakePhotoObstacle obstacle)
{
  static const char *const names[] = { "readable", "not in frame", "too small",
                                       "clipped",  "too dark",     "blurred",
                                       "not sanded", "equal belt", "disagree" };

  g_return_val_if_fail (obstacle <= RAKE_PHOTO_DISAGREE, NULL);
  return names[obstacle];
}

static gboolean
check_question (const RakePhotoQuestion *question, GError **error)
{
  RakeBounds bounds = rake_shape_get_bounds (question->outline);
  double longest = fmax (bounds.max_x_mm - bounds.min_x_mm, bounds.max_y_mm - bounds.min_y_mm);
  const char *wrong = NULL;

  if (rake_shape_get_kind (question->outline) != RAKE_SHAPE_AREA)
    wrong = _ ("The outline is not an area");
  else if (!(longest >= 20 && longest <= 20000))
    wrong = _ ("The outline is not between 20 and 20 000 mm long");
  else if (!(question->sensitivity >= 0 && question->sensitivity <= 1))
    wrong = _ ("The sensitivity is not between 0 and 1");
  for (guint i = 0; i < question->n_holes && wrong == NULL; i++)
    if (rake_shape_get_kind (question->holes[i]) != RAKE_SHAPE_AREA)
      wrong = _ ("A cavity is not an area");
  for (guint i = 0; i < question->n_zones && wrong == NULL; i++)
    if (rake_shape_get_kind (question->zones[i]) != RAKE_SHAPE_AREA)
      wrong = _ ("A zone is not an area");
  if (wrong != NULL)
    g_set_error_literal (error, RAKE_PHOTO_READING_ERROR, RAKE_PHOTO_READING_ERROR_QUESTION, wrong);
  return wrong == NULL;
}

/* Tells how far it is; FALSE with @error set when that is far enough. */
static gboolean
go_on (const Watch *watch, double fraction, GError **error)
{
  if (watch->progress != NULL)
    watch->progress (fraction, watch->data);
  return !g_cancellable_set_error_if_cancelled (watch->cancellable, error);
}

RakePhotoReading *
rake_photo_reading_new (guint n_zones)
{
  RakePhotoReading *reading = g_new0 (RakePhotoReading, 1);

  reading->spots = g_ptr_array_new_with_free_func (free_spot);
  reading->scratches = g_ptr_array_new_with_free_func (free_scratch);
  reading->zones = g_new0 (RakePhotoZone, n_zones);
  reading->n_zones = n_zones;
  return reading;
}

void
rake_photo_reading_decline (RakePhotoReading *reading, RakePhotoObstacle obstacle)
{
  g_clear_pointer (&reading->sight, rake_photo_sight_free);
  reading->obstacle = obstacle;
  reading->advice = rake_reader_advise (obstacle, FALSE);
  for (guint i = 0; i < reading->n_zones; i++)
    {
      RakePhotoZone *zone = &reading->zones[i];

      g_free (zone->advice);
      *zone = (RakePhotoZone){ .obstacle = obstacle, .advice = g_strdup (reading->advice) };
    }
}

static void
set_up (RakeReader *self, double off_px)
{
  RakeBounds bounds = rake_shape_get_bounds (self->question->outline);
  double area_mm2 = (bounds.max_x_mm - bounds.min_x_mm + 2 * MARGIN_MM) *
                    (bounds.max_y_mm - bounds.min_y_mm + 2 * MARGIN_MM);
  double cell_mm = fmax (CELL_MM, sqrt (area_mm2 / MOST_CELLS));
  double x_mm, y_mm;

  rake_shape_get_inner_point (self->question->outline, &x_mm, &y_mm);
  self->px_mm = rake_photo_fit_get_mm_per_px (self->fit, x_mm, y_mm);
  self->doubt_mm =
      CLAMP (fmax (2 * off_px, rake_photo_fit_get_rms_px (self->fit)) * self->px_mm - RIM_MM, 0,
             MOST_DOUBT_MM);
  rake_raster_init (&self->raster, &bounds, MARGIN_MM, cell_mm);
  self->cells_per_mm = 1 / cell_mm;
  self->strictness = exp2 (1.6 * (RAKE_PHOTO_USUAL_SENSITIVITY - self->question->sensitivity));
}

static RakePhotoObstacle
find_obstacle_of_picture (const RakeReader *self, double edge_px)
{
  gsize n = rake_raster_get_size (&self->raster), n_face = 0, n_seen = 0, n_white = 0, n_black = 0;

  for (gsize i = 0; i < n; i++)
    {
      n_face += self->face[i] != 0;
      n_seen += self->mask[i] != 0;
      n_white += self->mask[i] != 0 && self->washed[i] != 0 && self->light[i] > -1;
      n_black += self->mask[i] != 0 && self->washed[i] != 0 && self->light[i] <= -1;
    }
  if (n_face == 0 || (double) n_seen < LEAST_IN_FRAME * (double) n_face)
    return RAKE_PHOTO_NOT_IN_FRAME;
  if (!(self->px_mm > 0) || self->px_mm > MOST_PX_MM)
    return RAKE_PHOTO_TOO_SMALL;
  if (n_white > n_seen / 2)
    return RAKE_PHOTO_CLIPPED;
  if (n_black > n_seen / 2)
    return RAKE_PHOTO_TOO_DARK;
  return edge_px > MOST_EDGE_PX ? RAKE_PHOTO_BLURRED : RAKE_PHOTO_READABLE;
}

static int
compare_scratches (gconstpointer a, gconstpointer b)
{
  const RakePhotoScratch *x = *(const RakePhotoScratch *const *) a;
  const RakePhotoScratch *y = *(const RakePhotoScratch *const *) b;

  return (x->length_mm < y->length_mm) - (x->length_mm > y->length_mm);
}

/* Neither islands nor the texture of matte: it may all be gloss as well as all be matte. */
static gboolean
is_one_sheen (const RakeReader *self, const guint32 *labels)
{
  gsize n = rake_raster_get_size (&self->raster), n_seen = 0, n_gloss = 0;

  for (gsize i = 0; i < n; i++)
    {
      n_seen += self->mask[i] != 0;
      n_gloss += labels[i] != 0;
    }
  return (double) n_gloss < LEAST_GLOSS * (double) n_seen &&
         rake_raster_quantile (&self->raster, self->usual, self->mask, 0.5) < LEAST_TEXTURE;
}

/* Everything after the face has been found in the picture. */
static gboolean
read_face (RakeReader *self, const Watch *watch, RakePhotoReading *reading, GError **error)
{
  g_autofree guint32 *labels = g_new (guint32, rake_raster_get_size (&self->raster));

  rake_reader_flatten (self);
  if (!go_on (watch, 0.35, error))
    return FALSE;
  rake_reader_find_polarity (self);
  if (!go_on (watch, 0.55, error))
    return FALSE;
  rake_reader_find_islands (self, labels, reading->spots);
  if (is_one_sheen (self, labels))
    {
      g_ptr_array_set_size (reading->spots, 0);
      rake_photo_reading_decline (reading, RAKE_PHOTO_NOT_SANDED);
      return TRUE;
    }
  rake_reader_judge_zones (self, labels, reading);
  if (!go_on (watch, 0.75, error))
    return FALSE;
  if (!rake_reader_find_scratches (self, watch->cancellable, reading->scratches))
    return go_on (watch, 0.75, error);
  g_ptr_array_sort (reading->scratches, compare_scratches);
  return TRUE;
}

RakePhotoReading *
rake_photo_read (const RakePhotoQuestion *question, RakePhotoProgress progress, gpointer data,
                 GCancellable *cancellable, GError **error)
{
  g_auto (RakeReader) self = { .question = question };
  g_autoptr (RakePhotoReading) reading = NULL;
  g_autoptr (RakePhotoFit) better = NULL;
  Watch watch = { progress, data, cancellable };
  RakePhotoObstacle obstacle;
  double edge_px = 0, off_px = 0;

  g_return_val_if_fail (question != NULL && question->picture != NULL, NULL);
  g_return_val_if_fail (question->fit != NULL && question->outline != NULL, NULL);
  if (!check_question (question, error) || !go_on (&watch, 0, error))
    return NULL;
  better = rake_photo_fit_new_on_edges (question, &edge_px, &off_px);
  self.fit = better != NULL ? better : question->fit;
  set_up (&self, off_px);
  rake_reader_sample (&self);
  if (!go_on (&watch, 0.15, error))
    return NULL;
  reading = rake_photo_reading_new (question->n_zones);
  obstacle = find_obstacle_of_picture (&self, edge_px);
  if (obstacle != RAKE_PHOTO_READABLE)
    rake_photo_reading_decline (reading, obstacle);
  else if (!read_face (&self, &watch, reading, error) || !go_on (&watch, 1, error))
    return NULL;
  return g_steal_pointer (&reading);
}
