/* job-photos.c - the photographs that a job shows, and where a new one may belong. */
#include "job-private.h"

#include <math.h>
#include <string.h>

#include "i18n.h"

/* --- entering ------------------------------------------------------------------------------------ */

static void
only_history (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  rake_zone_write_down (zone, thing);
}

static void
place (RakeShownPhoto *shown, RakeThing *thing)
{
  const RakeThing *face = thing->refs[0];
  RakePhoto *photo = &shown->photo;

  shown->placed = thing->sequence;
  photo->placed = thing->entry;
  photo->face = face != NULL && face->shown_face != NULL ? &face->shown_face->face : NULL;
  /* It says where the pixels lie on the face that it was of. */
  if (photo->registration != NULL &&
      (photo->face == NULL ||
       !rake_id_equal (photo->registration->registration.face, photo->face->id)))
    photo->registration = NULL;
}

void
rake_photo_enter (RakeJob *job, RakeThing *thing)
{
  RakeThing *first = thing->refs[1] != NULL ? thing->refs[1] : thing;
  guint n_zones = thing->entry->photo.zones->len;

  if (first == thing)
    {
      thing->shown_photo = g_new0 (RakeShownPhoto, 1);
      thing->shown_photo->photo.id = thing->id;
      thing->shown_photo->photo.entry = thing->entry;
      g_ptr_array_add (job->photos, thing->shown_photo);
    }
  place (first->shown_photo, thing);
  for (guint i = 0; i < n_zones; i++)
    if (thing->refs[4 + i]->shown_zone != NULL)
      rake_zone_enter (job, thing->refs[4 + i]->shown_zone, thing, only_history);
}

void
rake_photo_enter_withdrawal (RakeThing *thing)
{
  RakeShownPhoto *shown = thing->refs[0]->shown_photo;

  if (shown != NULL && shown->photo.withdrawal == NULL)
    shown->photo.withdrawal = thing->entry;
}

void
rake_photo_enter_registration (RakeThing *thing)
{
  RakePhoto *photo = &thing->refs[1]->shown_photo->photo;

  /* Another bench may have placed the photograph on another face meanwhile. */
  if (photo->face != NULL && rake_id_equal (photo->face->id, thing->refs[0]->id))
    photo->registration = thing->entry;
}

/* --- what a new entry asks ------------------------------------------------------------------------ */

static gboolean
refuse (GError **error, const char *sentence)
{
  g_set_error_literal (error, RAKE_JOB_ERROR, RAKE_JOB_ERROR_RULE, sentence);
  return FALSE;
}

gboolean
rake_photo_check_withdrawal (const RakeThing *photo, GError **error)
{
  return photo->shown_photo == NULL || photo->shown_photo->photo.withdrawal == NULL ||
         refuse (error, _ ("the photograph was withdrawn already"));
}

gboolean
rake_photo_check_registration (const RakeEntry *entry, const RakeThing *photo, GError **error)
{
  const RakePhoto *shown = &photo->shown_photo->photo;
  g_autoptr (RakePhotoMap) map = NULL;

  if (shown->face == NULL || !rake_id_equal (shown->face->id, entry->registration.face))
    return refuse (error, _ ("the photograph does not belong to that face; place it there first"));
  map = rake_photo_map_new (&entry->registration, shown->entry->photo.width_px,
                            shown->entry->photo.height_px);
  return map != NULL || refuse (error, _ ("the coefficients lay the whole face on one line"));
}

/* --- giving out ----------------------------------------------------------------------------------- */

guint
rake_job_get_n_photos (const RakeJob *job)
{
  return job->photos->len;
}

const RakePhoto *
rake_job_get_photo (const RakeJob *job, guint index)
{
  g_return_val_if_fail (index < job->photos->len, NULL);
  return &((const RakeShownPhoto *) job->photos->pdata[index])->photo;
}

const RakePhoto *
rake_job_find_photo (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);

  if (thing != NULL && thing->entry != NULL && thing->entry->kind == RAKE_ENTRY_PHOTO &&
      thing->refs[1] != NULL)
    thing = thing->refs[1];
  return thing != NULL && thing->shown_photo != NULL ? &thing->shown_photo->photo : NULL;
}

static gboolean
has_id (const GArray *ids, RakeId id)
{
  for (guint i = 0; i < ids->len; i++)
    if (rake_id_equal (g_array_index (ids, RakeId, i), id))
      return TRUE;
  return FALSE;
}

static gboolean
is_in_history (const RakeZone *zone, const RakeEntry *entry)
{
  for (guint i = zone->history->len; i-- > 0;)
    if (zone->history->pdata[i] == entry)
      return TRUE;
  return FALSE;
}

static gboolean
is_about (const RakeJob *job, const RakePhoto *photo, RakeId about)
{
  const RakePhotoBody *placed = &photo->placed->photo;
  const RakeThing *thing;

  if (rake_id_is_nil (about) || rake_id_equal (placed->stage, about) ||
      rake_id_equal (placed->pass, about) || has_id (placed->marks, about) ||
      has_id (placed->zones, about))
    return TRUE;
  /* A face and the zone that it begins as have one id. */
  if (photo->face != NULL && rake_id_equal (photo->face->id, about))
    return TRUE;
  thing = rake_job_find_thing (job, about);
  return thing != NULL && thing->shown_zone != NULL && thing->shown_zone->is_here &&
         is_in_history (&thing->shown_zone->zone, photo->placed);
}

static int
compare_taken (gconstpointer a, gconstpointer b)
{
  const RakePhoto *one = *(const RakePhoto *const *) a, *other = *(const RakePhoto *const *) b;

  if (one->entry->happened_ms != other->entry->happened_ms)
    return one->entry->happened_ms > other->entry->happened_ms ? -1 : 1;
  return -rake_job_compare_entries (one->entry, other->entry);
}

GPtrArray *
rake_job_list_photos (const RakeJob *job, RakeId about)
{
  GPtrArray *photos = g_ptr_array_new ();

  for (guint i = 0; i < job->photos->len; i++)
    {
      const RakePhoto *photo = rake_job_get_photo (job, i);

      if (is_about (job, photo, about))
        g_ptr_array_add (photos, (gpointer) photo);
    }
  g_ptr_array_sort (photos, compare_taken);
  return photos;
}

static gboolean
is_of_view (const RakePhoto *photo, RakeId face, const char *view)
{
  return photo->face != NULL && rake_id_equal (photo->face->id, face) &&
         g_strcmp0 (photo->placed->photo.view, view) == 0;
}

GPtrArray *
rake_job_list_view (const RakeJob *job, RakeId face, const char *view)
{
  GPtrArray *photos = g_ptr_array_new ();

  for (guint i = 0; i < job->photos->len; i++)
    {
      const RakePhoto *photo = rake_job_get_photo (job, i);

      if (is_of_view (photo, face, view))
        g_ptr_array_add (photos, (gpointer) photo);
    }
  g_ptr_array_sort (photos, compare_taken);
  return photos;
}

static void
copy_what_it_is (const RakePhotoBody *from, RakePhotoBody *to)
{
  to->sha256 = g_strdup (from->sha256);
  to->media_type = from->media_type;
  to->n_bytes = from->n_bytes;
  to->width_px = from->width_px;
  to->height_px = from->height_px;
  to->turn = from->turn;
  to->name = g_strdup (from->name);
  to->time_from = from->time_from;
  to->offset_minutes = from->offset_minutes;
  to->is_offset_assumed = from->is_offset_assumed;
}

static void
copy_what_it_shows (const RakeJob *job, const RakePhotoBody *from, RakePhotoBody *to)
{
  to->face = from->face;
  if (rake_job_find_stage (job, from->stage) != NULL)
    to->stage = from->stage;
  if (rake_job_find_entry (job, from->pass) != NULL && !rake_job_is_struck (job, from->pass))
    to->pass = from->pass;
  for (guint i = 0; i < from->zones->len; i++)
    if (rake_job_find_zone (job, g_array_index (from->zones, RakeId, i)) != NULL)
      g_array_append_val (to->zones, g_array_index (from->zones, RakeId, i));
  for (guint i = 0; i < from->marks->len; i++)
    if (rake_job_find_mark (job, g_array_index (from->marks, RakeId, i)) != NULL)
      g_array_append_val (to->marks, g_array_index (from->marks, RakeId, i));
}

RakeEntry *
rake_photo_new_placement (const RakeJob *job, const RakePhoto *photo)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_PHOTO);
  const RakePhotoBody *placed = &photo->placed->photo;
  RakePhotoBody *body = &entry->photo;

  body->photo = photo->id;
  copy_what_it_is (&photo->entry->photo, body);
  if (photo->face != NULL)
    copy_what_it_shows (job, placed, body);
  body->lamp_deg = placed->lamp_deg;
  body->is_look = placed->is_look;
  body->view = g_strdup (placed->view);
  body->note = g_strdup (placed->note);
  return entry;
}

const RakeZone *
rake_photo_find_zone_at (const RakePhoto *photo, double x_px, double y_px)
{
  g_autoptr (RakePhotoMap) map = rake_photo_map_new_for_photo (photo);
  double x_mm, y_mm;

  if (map == NULL || photo->face == NULL || !rake_photo_map_to_face (map, x_px, y_px, &x_mm, &y_mm))
    return NULL;
  return rake_face_find_zone_at (photo->face, x_mm, y_mm);
}

/* Counts of pixels: whole numbers. */
static gboolean
is_of_one_size (const RakePhotoBody *one, const RakePhotoBody *other)
{
  return (int) one->width_px == (int) other->width_px &&
         (int) one->height_px == (int) other->height_px &&
         rake_photo_get_turn (one) == rake_photo_get_turn (other);
}

const RakeEntry *
rake_job_find_fit_of_view (const RakeJob *job, const RakePhoto *photo)
{
  const char *view = photo->placed->photo.view;
  const RakeEntry *fit = NULL;

  if (view == NULL || *view == '\0' || photo->face == NULL)
    return NULL;
  for (guint i = 0; i < job->photos->len; i++)
    {
      const RakePhoto *other = rake_job_get_photo (job, i);

      if (other != photo && other->registration != NULL &&
          is_of_view (other, photo->face->id, view) &&
          is_of_one_size (&other->entry->photo, &photo->entry->photo) &&
          (fit == NULL || rake_job_compare_entries (fit, other->registration) < 0))
        fit = other->registration;
    }
  return fit;
}

/* --- guessing ------------------------------------------------------------------------------------- */

static gboolean
is_work (const RakeEntry *entry)
{
  switch ((int) entry->kind)
    {
    case RAKE_ENTRY_PASS:
    case RAKE_ENTRY_LOOK:
    case RAKE_ENTRY_BEGIN_STAGE:
    case RAKE_ENTRY_REPAIR:
    case RAKE_ENTRY_COAT:
      return TRUE;
    default:
      return FALSE;
    }
}

static const RakeThing *
find_last_work (const RakeJob *job, gint64 taken_ms)
{
  const RakeThing *last = NULL;

  for (guint i = 0; i < job->order->len; i++)
    {
      const RakeThing *thing = job->order->pdata[i];
      guint8 flags = job->flags->data[thing->serial];

      if (is_work (thing->entry) && !(flags & (RAKE_FLAG_STRUCK | RAKE_FLAG_VOID)) &&
          thing->entry->happened_ms <= taken_ms &&
          (last == NULL || thing->entry->happened_ms >= last->entry->happened_ms))
        last = thing;
    }
  return last;
}

/* The zones that the work was on, as they are now: their histories know. */
static void
guess_zones (const RakeThing *work, GPtrArray *zones)
{
  const RakeFace *face = &work->face->shown_face->face;

  if (work->entry->kind != RAKE_ENTRY_PASS && work->entry->kind != RAKE_ENTRY_LOOK &&
      work->entry->kind != RAKE_ENTRY_REPAIR)
    return; /* a coat and a new stage are the whole face's */
  for (guint i = 0; i < face->zones->len; i++)
    if (is_in_history (face->zones->pdata[i], work->entry))
      g_ptr_array_add (zones, face->zones->pdata[i]);
}

/* Where the face stood then: the last stage that was begun or passed at before. */
static const RakeStage *
guess_stage (const RakeJob *job, const RakeThing *work)
{
  const RakeStage *stage = NULL;

  for (guint i = 0; i < work->sequence; i++)
    {
      const RakeThing *thing = job->order->pdata[i];
      const RakeThing *at = thing->entry->kind == RAKE_ENTRY_PASS          ? thing->refs[0]
                            : thing->entry->kind == RAKE_ENTRY_BEGIN_STAGE ? thing->refs[1]
                                                                           : NULL;

      if (at != NULL && thing->face == work->face && at->shown_stage != NULL &&
          at->shown_stage->is_scheduled &&
          !(job->flags->data[thing->serial] & (RAKE_FLAG_STRUCK | RAKE_FLAG_VOID)))
        stage = &at->shown_stage->stage;
    }
  return stage;
}

void
rake_job_guess_photo_place (const RakeJob *job, gint64 taken_ms, RakePhotoGuess *guess)
{
  const RakeThing *work = find_last_work (job, taken_ms);

  *guess = (RakePhotoGuess){ .zones = g_ptr_array_new (), .hours_before = NAN };
  if (work == NULL || work->face == NULL || work->face->shown_face == NULL)
    return;
  guess->face = &work->face->shown_face->face;
  guess->stage = guess_stage (job, work);
  guess->pass = work->entry->kind == RAKE_ENTRY_PASS ? work->entry : NULL;
  guess->hours_before = (double) (taken_ms - work->entry->happened_ms) / 3600000;
  guess_zones (work, guess->zones);
}

void
rake_photo_guess_clear (RakePhotoGuess *guess)
{
  g_clear_pointer (&guess->zones, g_ptr_array_unref);
}
