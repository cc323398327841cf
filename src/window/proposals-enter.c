/* proposals-enter.c - what was taken of the proposals, as entries: one gesture. */
#include "proposals-private.h"
#include "session-private.h"

#include <math.h>
#include "words.h"

typedef struct
{
  RakeProposals *proposals;
  const RakePhoto *photo;
  GPtrArray *gesture;
  GArray *zones;    /* RakeId: what the photographs show besides */
  GPtrArray *marks; /* GArray of RakeId, of each photograph read: the marks it shows */
  guint n_marks;
} Entering;

/* As seen when the photograph was taken; a camera's clock that is ahead is not believed. */
static gint64
get_seen_ms (const RakePhoto *photo)
{
  return MIN (photo->entry->happened_ms, rake_session_now_ms ());
}

static RakeId
add_look (Entering *self, const RakeZone *zone)
{
  RakeEntry *look = rake_gesture_add (self->gesture, RAKE_ENTRY_LOOK);

  look->happened_ms = get_seen_ms (self->photo);
  look->look.zone = zone->id;
  look->look.surface = RAKE_SURFACE_DRY;
  look->look.wiped_with = rake_session_get_bench (self->proposals->session)->wiped_with;
  look->look.light = RAKE_LIGHT_LAMP;
  look->look.lamp_deg = self->photo->placed->photo.lamp_deg;
  g_array_append_val (self->zones, zone->id);
  return look->id;
}

static void
add_mark (Entering *self, RakeId look, const RakeProposal *proposal, RakeShape *part)
{
  RakeEntry *mark = rake_gesture_add (self->gesture, RAKE_ENTRY_MARK);

  mark->happened_ms = get_seen_ms (self->photo);
  mark->mark.look = look;
  mark->mark.mark = proposal->kind;
  mark->mark.shape = part;
  for (guint i = 0; i < self->proposals->read->len; i++)
    if ((proposal->showing >> i & 1) != 0)
      g_array_append_val (((GArray *) self->marks->pdata[i]), mark->id);
  self->n_marks++;
}

/* The look at one zone and the marks in it. A zone that was declined has a look only where a person
 * took something in it all the same. */
static void
add_zone (Entering *self, const RakeZone *zone, gboolean is_read)
{
  GListModel *list = G_LIST_MODEL (self->proposals->list);
  RakeId look = is_read ? add_look (self, zone) : RAKE_ID_NIL;

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (RakeProposal) proposal = g_list_model_get_item (list, i);
      RakeShape *part =
          proposal->is_taken ? rake_gesture_clip_to_zone (proposal->shape, zone) : NULL;

      if (!part)
        continue;
      if (rake_id_is_nil (look))
        look = add_look (self, zone);
      add_mark (self, look, proposal, part);
    }
}

static void
add_ids (GArray *ids, const GArray *added)
{
  for (guint i = 0; i < added->len; i++)
    {
      RakeId id = g_array_index (added, RakeId, i);
      gboolean is_there = FALSE;

      for (guint k = 0; k < ids->len && !is_there; k++)
        is_there = rake_id_equal (g_array_index (ids, RakeId, k), id);
      if (!is_there)
        g_array_append_val (ids, id);
    }
}

/* With what is new in it, because a new place replaces the old one whole. */
static void
place_photo (Entering *self, guint nth)
{
  const RakeJob *job = rake_session_get_live_job (self->proposals->session);
  const RakePhoto *photo =
      rake_job_find_photo (job, g_array_index (self->proposals->read, RakeId, nth));
  const GArray *marks = self->marks->pdata[nth];
  RakeEntry *entry;

  /* One that shows none of what was taken is no evidence, but the look was of the chosen one. */
  if (!photo || photo->withdrawal || (nth > 0 && marks->len == 0))
    return;
  entry = rake_photo_new_placement (job, photo);
  entry->photo.is_look = RAKE_ANSWER_YES;
  add_ids (entry->photo.zones, self->zones);
  add_ids (entry->photo.marks, marks);
  g_ptr_array_add (self->gesture, entry);
}

static gboolean
check (RakeProposals *self, const RakePhoto *photo)
{
  if (!rake_session_check_writable (self->session))
    return FALSE;
  if (!self->reading || !photo)
    rake_session_say (self->session, _ ("There is nothing to enter: read the photograph first."));
  else if (rake_proposals_count_taken (self) == 0)
    rake_session_say (self->session, _ ("Nothing is taken: tap what is really there first."));
  else
    return TRUE;
  return FALSE;
}

static void
fill (Entering *self)
{
  const RakePhotoReading *reading = self->proposals->reading;

  for (guint i = 0; i < reading->n_zones; i++)
    {
      const RakeZone *zone = rake_proposals_get_zone (self->proposals, i);

      if (zone && zone->face == self->photo->face)
        add_zone (self, zone, reading->zones[i].obstacle == RAKE_PHOTO_READABLE);
    }
  for (guint i = 0; i < self->proposals->read->len; i++)
    place_photo (self, i);
}

gboolean
rake_proposals_enter (RakeProposals *self)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  g_autoptr (GArray) zones = g_array_new (FALSE, FALSE, sizeof (RakeId));
  g_autoptr (GPtrArray) marks = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  Entering entering = { .proposals = self,
                        .photo = rake_proposals_find_photo (self),
                        .gesture = gesture,
                        .zones = zones,
                        .marks = marks };

  if (!check (self, entering.photo))
    return FALSE;
  for (guint i = 0; i < self->read->len; i++)
    g_ptr_array_add (marks, g_array_new (FALSE, FALSE, sizeof (RakeId)));
  fill (&entering);
  if (entering.n_marks == 0)
    {
      rake_session_say (self->session, _ ("Nothing is taken: tap what is really there first."));
      return FALSE;
    }
  if (!rake_gesture_append (self->session, gesture))
    return FALSE;
  rake_session_say (self->session,
                    ngettext ("%u mark entered from the photograph.",
                              "%u marks entered from the photograph.", entering.n_marks),
                    entering.n_marks);
  return TRUE;
}
