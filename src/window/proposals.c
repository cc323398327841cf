/* proposals.c - the list of what a photograph seems to show, and what of it a person takes. */
#include "proposals-private.h"

#include "photo-work.h"

#include <math.h>
#include "words.h"

#define STANDING_STILL_MS 300
#define TELLING_MS 100

/* Lines this close are one, read again. */
#define SAME_LINE_MM 3.0

enum
{
  CHANGED,
  TAKEN,
  PROGRESS,
  N_SIGNALS,
};

static guint signals[N_SIGNALS];

/* --- all of them --------------------------------------------------------------------------------- */

G_DEFINE_FINAL_TYPE (RakeProposals, rake_proposals, G_TYPE_OBJECT)

static gboolean
has_same_place (const RakeProposal *a, const RakeProposal *b)
{
  double x, y;

  if (a->kind != b->kind)
    return FALSE;
  rake_shape_get_inner_point (a->shape, &x, &y);
  if (a->kind == RAKE_MARK_SCRATCH)
    return rake_shape_get_distance_to_edge_mm (b->shape, x, y) < SAME_LINE_MM;
  if (rake_shape_contains (b->shape, x, y))
    return TRUE;
  rake_shape_get_inner_point (b->shape, &x, &y);
  return rake_shape_contains (a->shape, x, y);
}

static gboolean
was_taken (RakeProposals *self, const RakeProposal *proposal)
{
  for (guint i = self->touched->len; i-- > 0;)
    if (has_same_place (proposal, self->touched->pdata[i]))
      return ((const RakeProposal *) self->touched->pdata[i])->is_taken;
  return self->are_taken;
}

static void
list_one (RakeProposals *self, RakeMarkKind kind, RakeShape *shape, double confidence,
          guint showing, const char *why, GPtrArray *proposals)
{
  g_autofree char *words = rake_proposals_say_why (self, showing, why);
  RakeProposal *proposal = rake_proposal_new (kind, shape, confidence, showing, words);

  proposal->is_taken = was_taken (self, proposal);
  g_ptr_array_add (proposals, proposal);
}

static void
list_reading (RakeProposals *self)
{
  g_autoptr (GPtrArray) proposals = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; i < self->reading->spots->len; i++)
    {
      const RakePhotoSpot *spot = self->reading->spots->pdata[i];
      list_one (self, RAKE_MARK_LOW_SPOT, spot->area, spot->confidence, spot->showing, spot->why,
                proposals);
    }
  for (guint i = 0; i < self->reading->scratches->len; i++)
    {
      const RakePhotoScratch *scratch = self->reading->scratches->pdata[i];
      list_one (self, RAKE_MARK_SCRATCH, scratch->line, scratch->confidence, scratch->showing,
                scratch->why, proposals);
    }
  g_list_store_splice (self->list, 0, g_list_model_get_n_items (G_LIST_MODEL (self->list)),
                       proposals->pdata, proposals->len);
}

static void
set_state (RakeProposals *self, RakeProposalsState state, const char *sentence)
{
  char *kept = g_strdup (sentence);

  g_free (self->sentence);
  self->sentence = kept;
  self->state = state;
  g_signal_emit (self, signals[CHANGED], 0);
}

const RakePhoto *
rake_proposals_find_photo (RakeProposals *self)
{
  const RakePhoto *photo =
      rake_job_find_photo (rake_session_get_live_job (self->session), self->photo);

  return photo && photo->face && photo->registration ? photo : NULL;
}

/* --- reading --------------------------------------------------------------------------------------- */

static void
stop (RakeProposals *self)
{
  if (self->cancellable)
    g_cancellable_cancel (self->cancellable);
  g_clear_object (&self->cancellable);
  self->work = NULL;
  g_clear_handle_id (&self->waiting, g_source_remove);
  g_clear_handle_id (&self->telling, g_source_remove);
}

static void
fail (RakeProposals *self, const char *sentence)
{
  stop (self);
  set_state (self, RAKE_PROPOSALS_FAILED, sentence);
}

static gboolean
tell_progress (gpointer user_data)
{
  g_signal_emit (user_data, signals[PROGRESS], 0);
  return G_SOURCE_CONTINUE;
}

/* Whoever cancelled may be gone, and @user_data with it. */
static void
is_read (GObject *source, GAsyncResult *result, gpointer user_data)
{
  GTask *task = G_TASK (result);
  g_autoptr (GError) error = NULL;
  RakePhotoReading *reading;
  RakeProposals *self = user_data;

  if (g_cancellable_is_cancelled (g_task_get_cancellable (task)))
    return;
  reading = g_task_propagate_pointer (task, &error);
  if (!reading)
    {
      fail (self, error->message);
      return;
    }
  stop (self);
  g_clear_pointer (&self->reading, rake_photo_reading_free);
  self->reading = reading;
  g_array_set_size (self->read, 0);
  g_array_append_vals (self->read, self->asked->data, self->asked->len);
  list_reading (self);
  set_state (self, RAKE_PROPOSALS_READ, reading->advice);
}

static void
read_picture (RakeProposals *self)
{
  const RakePhoto *photo = rake_proposals_find_photo (self);
  g_autoptr (GPtrArray) photos = NULL;
  g_autoptr (GError) error = NULL;

  if (!photo)
    {
      fail (self, _ ("The photograph is not laid on its face any more."));
      return;
    }
  photos = rake_proposals_list_asked (self, photo);
  self->work = rake_proposals_work_new (rake_session_get_path (self->session), photos,
                                        self->picture, self->sensitivity, &error);
  if (!self->work)
    {
      fail (self, error->message);
      return;
    }
  g_array_set_size (self->asked, 0);
  for (guint i = 0; i < photos->len; i++)
    g_array_append_val (self->asked, ((const RakePhoto *) photos->pdata[i])->id);
  g_array_set_size (self->zones, 0);
  for (guint i = 0; i < photo->face->zones->len; i++)
    g_array_append_val (self->zones, ((const RakeZone *) photo->face->zones->pdata[i])->id);
  self->telling = g_timeout_add (TELLING_MS, tell_progress, self);
  rake_proposals_work_run (self->work, self->cancellable, is_read, self);
}

static void
take_picture (RakePhotoPicture *picture, const GError *error, gpointer user_data)
{
  RakeProposals *self = user_data;

  if (!picture)
    {
      fail (self, error->message);
      return;
    }
  self->picture = picture;
  read_picture (self);
}

static void
begin (RakeProposals *self)
{
  const RakePhoto *photo = rake_proposals_find_photo (self);

  stop (self);
  if (!photo)
    {
      fail (self, _ ("The photograph does not lie on its face yet: set its points first."));
      return;
    }
  self->cancellable = g_cancellable_new ();
  set_state (self, RAKE_PROPOSALS_READING, NULL);
  if (self->picture)
    read_picture (self);
  else
    rake_photo_work_read (self->session, photo, RAKE_PHOTO_PICTURE_MAX_PIXELS, self->cancellable,
                          take_picture, self);
}

/* Another photograph, of which nothing is known yet. */
static void
take_photo (RakeProposals *self, RakeId photo)
{
  stop (self);
  self->photo = photo;
  g_clear_pointer (&self->picture, rake_photo_picture_unref);
  g_clear_pointer (&self->reading, rake_photo_reading_free);
  g_list_store_remove_all (self->list);
  g_ptr_array_set_size (self->touched, 0);
  g_array_set_size (self->left_out, 0);
  self->are_taken = FALSE;
}

void
rake_proposals_read (RakeProposals *self, RakeId photo)
{
  if (!rake_id_equal (photo, self->photo))
    take_photo (self, photo);
  begin (self);
}

gboolean
rake_proposals_let_go (RakeProposals *self)
{
  const RakePhoto *photo =
      rake_job_find_photo (rake_session_get_live_job (self->session), self->photo);

  if (rake_id_is_nil (self->photo) || (photo && !photo->withdrawal))
    return FALSE;
  take_photo (self, RAKE_ID_NIL);
  set_state (self, RAKE_PROPOSALS_FAILED,
             photo ? _ ("This photograph was withdrawn: its picture is gone.")
                   : _ ("That photograph is not in the job any more."));
  return TRUE;
}

void
rake_proposals_cancel (RakeProposals *self)
{
  if (self->state != RAKE_PROPOSALS_READING)
    return;
  stop (self);
  set_state (self, self->reading ? RAKE_PROPOSALS_READ : RAKE_PROPOSALS_NONE,
             self->reading ? self->reading->advice : _ ("Reading was stopped."));
}

static gboolean
read_again (gpointer user_data)
{
  RakeProposals *self = user_data;

  self->waiting = 0;
  begin (self);
  return G_SOURCE_REMOVE;
}

void
rake_proposals_read_soon (RakeProposals *self)
{
  if (rake_id_is_nil (self->photo))
    return;
  g_clear_handle_id (&self->waiting, g_source_remove);
  self->waiting = g_timeout_add (STANDING_STILL_MS, read_again, self);
}

void
rake_proposals_set_sensitivity (RakeProposals *self, double sensitivity)
{
  g_return_if_fail (sensitivity >= 0 && sensitivity <= 1);
  if (sensitivity == self->sensitivity)
    return;
  self->sensitivity = sensitivity;
  rake_proposals_read_soon (self);
}

/* --- what is asked ---------------------------------------------------------------------------------- */

double
rake_proposals_get_sensitivity (RakeProposals *self)
{
  return self->sensitivity;
}

RakeId
rake_proposals_get_photo (RakeProposals *self)
{
  return self->photo;
}

RakeProposalsState
rake_proposals_get_state (RakeProposals *self)
{
  return self->state;
}

double
rake_proposals_get_progress (RakeProposals *self)
{
  return self->work ? rake_proposals_work_get_progress (self->work) : 0;
}

const char *
rake_proposals_get_sentence (RakeProposals *self)
{
  return self->sentence;
}

GListModel *
rake_proposals_get_list (RakeProposals *self)
{
  return G_LIST_MODEL (self->list);
}

const RakePhotoReading *
rake_proposals_get_reading (RakeProposals *self)
{
  return self->reading;
}

const RakeZone *
rake_proposals_get_zone (RakeProposals *self, guint index)
{
  g_return_val_if_fail (index < self->zones->len, NULL);
  return rake_job_find_zone (rake_session_get_live_job (self->session),
                             g_array_index (self->zones, RakeId, index));
}

gboolean
rake_proposals_is_stale (RakeProposals *self, const RakeZone *zone)
{
  const RakePhoto *photo = rake_proposals_find_photo (self);

  for (guint i = zone->history->len; photo && i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      if (entry->kind == RAKE_ENTRY_PASS && entry->happened_ms > photo->entry->happened_ms)
        return TRUE;
    }
  return FALSE;
}

/* --- taking ---------------------------------------------------------------------------------------- */

void
rake_proposals_take (RakeProposals *self, RakeProposal *proposal, gboolean is_taken)
{
  if (proposal->is_taken == is_taken)
    return;
  rake_proposal_set_taken (proposal, is_taken);
  g_ptr_array_remove (self->touched, proposal);
  g_ptr_array_add (self->touched, g_object_ref (proposal));
  g_signal_emit (self, signals[TAKEN], 0);
}

void
rake_proposals_take_all (RakeProposals *self, gboolean are_taken)
{
  GListModel *list = G_LIST_MODEL (self->list);

  self->are_taken = are_taken;
  g_ptr_array_set_size (self->touched, 0);
  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (RakeProposal) proposal = g_list_model_get_item (list, i);
      rake_proposal_set_taken (proposal, are_taken);
    }
  g_signal_emit (self, signals[TAKEN], 0);
}

guint
rake_proposals_count_taken (RakeProposals *self)
{
  GListModel *list = G_LIST_MODEL (self->list);
  guint n = 0;

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (RakeProposal) proposal = g_list_model_get_item (list, i);
      n += proposal->is_taken ? 1 : 0;
    }
  return n;
}

RakeProposal *
rake_proposals_find_at (RakeProposals *self, double x_mm, double y_mm, double reach_mm)
{
  GListModel *list = G_LIST_MODEL (self->list);
  RakeProposal *nearest = NULL;
  double least = reach_mm;

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (RakeProposal) proposal = g_list_model_get_item (list, i);
      RakeBounds bounds = rake_shape_get_bounds (proposal->shape);
      double distance;

      if (x_mm < bounds.min_x_mm - least || x_mm > bounds.max_x_mm + least ||
          y_mm < bounds.min_y_mm - least || y_mm > bounds.max_y_mm + least)
        continue;
      distance =
          proposal->kind == RAKE_MARK_LOW_SPOT && rake_shape_contains (proposal->shape, x_mm, y_mm)
              ? 0
              : rake_shape_get_distance_to_edge_mm (proposal->shape, x_mm, y_mm);
      if (distance <= least)
        {
          least = distance;
          nearest = proposal;
        }
    }
  return nearest;
}

/* --- class ------------------------------------------------------------------------------------------ */

static void
rake_proposals_dispose (GObject *object)
{
  RakeProposals *self = RAKE_PROPOSALS (object);

  stop (self);
  g_clear_object (&self->session);
  g_clear_object (&self->list);
  g_clear_pointer (&self->picture, rake_photo_picture_unref);
  g_clear_pointer (&self->reading, rake_photo_reading_free);
  g_clear_pointer (&self->touched, g_ptr_array_unref);
  g_clear_pointer (&self->zones, g_array_unref);
  g_clear_pointer (&self->asked, g_array_unref);
  g_clear_pointer (&self->read, g_array_unref);
  g_clear_pointer (&self->left_out, g_array_unref);
  g_clear_pointer (&self->sentence, g_free);
  G_OBJECT_CLASS (rake_proposals_parent_class)->dispose (object);
}

static void
rake_proposals_class_init (RakeProposalsClass *klass)
{
  static const char *const names[] = { "changed", "taken", "progress" };

  G_OBJECT_CLASS (klass)->dispose = rake_proposals_dispose;
  for (guint i = 0; i < N_SIGNALS; i++)
    signals[i] = g_signal_new (names[i], G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                               NULL, NULL, G_TYPE_NONE, 0);
}

static void
rake_proposals_init (RakeProposals *self)
{
  self->sensitivity = RAKE_PHOTO_USUAL_SENSITIVITY;
  self->list = g_list_store_new (RAKE_TYPE_PROPOSAL);
  self->touched = g_ptr_array_new_with_free_func (g_object_unref);
  self->zones = g_array_new (FALSE, FALSE, sizeof (RakeId));
  self->asked = g_array_new (FALSE, FALSE, sizeof (RakeId));
  self->read = g_array_new (FALSE, FALSE, sizeof (RakeId));
  self->left_out = g_array_new (FALSE, FALSE, sizeof (RakeId));
}

RakeProposals *
rake_proposals_new (RakeSession *session)
{
  RakeProposals *self = g_object_new (RAKE_TYPE_PROPOSALS, NULL);

  self->session = g_object_ref (session);
  return self;
}
