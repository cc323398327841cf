/* laying.c - a photograph being laid on its face. */
#include "laying.h"

#include <math.h>

#define N_SUGGESTED 4

/* How much of the picture the outline is thought to fill before anything is known. */
#define FILL 0.7

/* --- the fit ------------------------------------------------------------------------------------ */

static RakePhotoFitFlags
get_flags (const RakeLaying *self)
{
  return self->wants_radial ? RAKE_PHOTO_FIT_RADIAL : RAKE_PHOTO_FIT_PROJECTIVE;
}

static RakeLayPair *
get_pair (RakeLaying *self, guint index)
{
  return &g_array_index (self->pairs, RakeLayPair, index);
}

static GArray *
collect_placed (const RakeLaying *self, GArray *indices)
{
  GArray *placed = g_array_new (FALSE, FALSE, sizeof (RakePhotoPair));

  for (guint i = 0; i < self->pairs->len; i++)
    {
      const RakeLayPair *pair = rake_laying_get_pair (self, i);
      const RakePhotoPair one = { pair->x_px, pair->y_px, pair->x_mm, pair->y_mm };

      if (!pair->is_placed)
        continue;
      g_array_append_val (placed, one);
      g_array_append_val (indices, i);
    }
  return placed;
}

static void
find_fit (RakeLaying *self)
{
  g_autoptr (GArray) indices = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) placed = collect_placed (self, indices);
  const RakePhotoPair *pairs = (const RakePhotoPair *) (gpointer) placed->data;
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&self->fit, rake_photo_fit_free);
  g_clear_pointer (&self->fault, g_free);
  self->verdict = RAKE_PHOTO_PAIRS_AGREE;
  for (guint i = 0; i < self->pairs->len; i++)
    get_pair (self, i)->off_mm = NAN;
  if (placed->len < RAKE_PHOTO_FIT_MIN_PAIRS)
    return;
  self->fit = rake_photo_fit_new (pairs, placed->len, (int) self->width_px, (int) self->height_px,
                                  get_flags (self), &error);
  if (!self->fit)
    {
      self->fault = g_strdup (error->message);
      return;
    }
  for (guint i = 0; i < placed->len; i++)
    get_pair (self, g_array_index (indices, guint, i))->off_mm =
        rake_photo_fit_get_residual_mm (self->fit, i);
  self->verdict =
      rake_photo_pairs_judge (pairs, placed->len, (int) self->width_px, (int) self->height_px,
                              get_flags (self), &self->odd, &self->odd_mm);
  if (self->verdict == RAKE_PHOTO_PAIRS_ONE_IS_ODD)
    self->odd = g_array_index (indices, guint, self->odd);
}

/* --- pairs -------------------------------------------------------------------------------------- */

guint
rake_laying_get_n_placed (const RakeLaying *self)
{
  guint n = 0;

  for (guint i = 0; i < self->pairs->len; i++)
    n += (guint) rake_laying_get_pair (self, i)->is_placed;
  return n;
}

const RakeLayPair *
rake_laying_get_pair (const RakeLaying *self, guint index)
{
  return &g_array_index (self->pairs, RakeLayPair, index);
}

/* Where a place would lie if the face filled the picture, turned a quarter if that is how it fits. */
static void
guess_in_photo (const RakeLaying *self, RakeLayPair *pair)
{
  RakeBounds box = rake_shape_get_bounds (self->outline);
  double width_mm = MAX (box.max_x_mm - box.min_x_mm, 0.001);
  double height_mm = MAX (box.max_y_mm - box.min_y_mm, 0.001);
  double x = (pair->x_mm - (box.min_x_mm + box.max_x_mm) / 2);
  double y = (pair->y_mm - (box.min_y_mm + box.max_y_mm) / 2);
  double width_px, height_px, scale;

  rake_turn_size (self->turn, self->width_px, self->height_px, &width_px, &height_px);
  if ((width_mm > height_mm) != (width_px > height_px))
    {
      double x_before = x;

      x = -y;
      y = x_before;
      scale = FILL * MIN (width_px / height_mm, height_px / width_mm);
    }
  else
    scale = FILL * MIN (width_px / width_mm, height_px / height_mm);
  rake_turn_from_upright (self->turn, self->width_px, self->height_px, width_px / 2 + scale * x,
                          height_px / 2 + scale * y, &pair->x_px, &pair->y_px);
}

static void
keep_in_picture (const RakeLaying *self, RakeLayPair *pair)
{
  pair->x_px = CLAMP (pair->x_px, 0, self->width_px);
  pair->y_px = CLAMP (pair->y_px, 0, self->height_px);
}

static guint
append_pair (RakeLaying *self, double x_mm, double y_mm)
{
  RakeLayPair pair = { .x_mm = x_mm, .y_mm = y_mm, .off_mm = NAN };

  if (!self->fit || !rake_photo_fit_to_image (self->fit, x_mm, y_mm, &pair.x_px, &pair.y_px))
    guess_in_photo (self, &pair);
  keep_in_picture (self, &pair);
  g_array_append_val (self->pairs, pair);
  return self->pairs->len - 1;
}

/* The place, of those that are easily found, that lies furthest from all there are. */
guint
rake_laying_add (RakeLaying *self)
{
  double points_mm[2 * RAKE_PHOTO_PAIRS_MAX_SUGGESTIONS];
  guint n = rake_photo_pairs_suggest (self->outline, RAKE_PHOTO_PAIRS_MAX_SUGGESTIONS, points_mm);
  double furthest = -1;
  guint best = 0;

  if (self->pairs->len >= RAKE_LAYING_MAX_PAIRS)
    return G_MAXUINT;
  for (guint i = 0; i < n; i++)
    {
      double nearest = G_MAXDOUBLE;

      for (guint k = 0; k < self->pairs->len; k++)
        {
          const RakeLayPair *pair = rake_laying_get_pair (self, k);
          nearest = MIN (nearest,
                         hypot (points_mm[2 * i] - pair->x_mm, points_mm[2 * i + 1] - pair->y_mm));
        }
      if (nearest > furthest)
        {
          furthest = nearest;
          best = i;
        }
    }
  return append_pair (self, points_mm[2 * best], points_mm[2 * best + 1]);
}

void
rake_laying_remove (RakeLaying *self, guint index)
{
  if (index >= self->pairs->len || self->pairs->len <= RAKE_PHOTO_FIT_MIN_PAIRS)
    return;
  g_array_remove_index (self->pairs, index);
  self->is_changed = TRUE;
  find_fit (self);
}

void
rake_laying_put_in_photo (RakeLaying *self, guint index, double x_px, double y_px)
{
  RakeLayPair *pair = get_pair (self, index);

  g_return_if_fail (isfinite (x_px) && isfinite (y_px));
  pair->x_px = x_px;
  pair->y_px = y_px;
  pair->is_placed = TRUE;
  keep_in_picture (self, pair);
  self->is_changed = TRUE;
  find_fit (self);
}

void
rake_laying_put_on_face (RakeLaying *self, guint index, double x_mm, double y_mm)
{
  RakeLayPair *pair = get_pair (self, index);
  RakeBounds box = rake_shape_get_bounds (self->outline);
  double reach_mm = MAX (box.max_x_mm - box.min_x_mm, box.max_y_mm - box.min_y_mm);

  g_return_if_fail (isfinite (x_mm) && isfinite (y_mm));
  pair->x_mm = CLAMP (x_mm, box.min_x_mm - reach_mm, box.max_x_mm + reach_mm);
  pair->y_mm = CLAMP (y_mm, box.min_y_mm - reach_mm, box.max_y_mm + reach_mm);
  self->is_changed = TRUE;
  find_fit (self);
}

void
rake_laying_put_back (RakeLaying *self, guint index, const RakeLayPair *before)
{
  *get_pair (self, index) = *before;
  find_fit (self);
}

void
rake_laying_set_radial (RakeLaying *self, gboolean wants_radial)
{
  if (self->wants_radial == wants_radial)
    return;
  self->wants_radial = wants_radial;
  self->is_changed = TRUE;
  find_fit (self);
}

static void
take_pairs (RakeLaying *self, const RakeRegistrationBody *registration)
{
  g_array_set_size (self->pairs, 0);
  for (guint i = 0; i < registration->pairs->len; i++)
    {
      const RakePairSpec *spec = &g_array_index (registration->pairs, RakePairSpec, i);
      const RakeLayPair pair = { spec->x_px, spec->y_px, spec->x_mm, spec->y_mm, TRUE, NAN };

      g_array_append_val (self->pairs, pair);
    }
  self->wants_radial = isfinite (registration->radial);
  find_fit (self);
}

void
rake_laying_take (RakeLaying *self, const RakeRegistrationBody *registration)
{
  take_pairs (self, registration);
  self->is_changed = TRUE;
}

/* --- what comes of it --------------------------------------------------------------------------- */

double
rake_laying_get_rms_mm (const RakeLaying *self)
{
  return self->fit ? rake_photo_fit_get_rms_mm (self->fit) : NAN;
}

RakePhotoMap *
rake_laying_new_map (const RakeLaying *self)
{
  RakeRegistrationBody body = { 0 };

  if (!self->fit)
    return NULL;
  rake_photo_fit_fill_registration (self->fit, &body);
  return rake_photo_map_new (&body, self->width_px, self->height_px);
}

RakeEntry *
rake_laying_new_entry (const RakeLaying *self, const RakePhoto *photo)
{
  RakeEntry *entry;

  if (!self->fit || !photo->face)
    return NULL;
  entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  entry->registration.face = photo->face->id;
  entry->registration.photo = photo->id;
  rake_photo_fit_fill_registration (self->fit, &entry->registration);
  for (guint i = 0; i < self->pairs->len; i++)
    {
      const RakeLayPair *pair = rake_laying_get_pair (self, i);
      const RakePairSpec spec = { pair->x_px, pair->y_px, pair->x_mm, pair->y_mm };

      if (pair->is_placed)
        g_array_append_val (entry->registration.pairs, spec);
    }
  return entry;
}

/* --- life --------------------------------------------------------------------------------------- */

RakeLaying *
rake_laying_new (const RakePhoto *photo)
{
  RakeLaying *self = g_new0 (RakeLaying, 1);
  const RakePhotoBody *body = &photo->entry->photo;
  double points_mm[2 * N_SUGGESTED];
  guint n;

  self->width_px = body->width_px;
  self->height_px = body->height_px;
  self->turn = rake_photo_get_turn (body);
  self->outline = rake_shape_ref ((RakeShape *) photo->face->outline);
  self->pairs = g_array_new (FALSE, FALSE, sizeof (RakeLayPair));
  if (photo->registration)
    take_pairs (self, &photo->registration->registration);
  n = rake_photo_pairs_suggest (self->outline, N_SUGGESTED, points_mm);
  for (guint i = 0; i < n && self->pairs->len < RAKE_PHOTO_FIT_MIN_PAIRS; i++)
    append_pair (self, points_mm[2 * i], points_mm[2 * i + 1]);
  return self;
}

void
rake_laying_free (RakeLaying *self)
{
  if (!self)
    return;
  g_clear_pointer (&self->outline, rake_shape_unref);
  g_clear_pointer (&self->pairs, g_array_unref);
  g_clear_pointer (&self->fit, rake_photo_fit_free);
  g_free (self->fault);
  g_free (self);
}
