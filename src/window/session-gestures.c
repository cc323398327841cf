/* session-gestures.c - what the finisher does and sees, as entries: one gesture, one commit. */
#include "session-private.h"
#include "settings.h"

#include <math.h>
#include <rakelight/map.h>
#include <rakelight/photo.h>
#include <rakelight/record.h>
#include "words.h"

/* What spills over a seam by less than this was meant for one zone: a brush is wider than a hand is
 * sure. Assumption, no source. */
#define SPILL_FRACTION 0.02
#define SPILL_AREA_MM2 9.0
#define SPILL_LENGTH_MM 2.0

GPtrArray *
rake_gesture_new (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
}

RakeEntry *
rake_gesture_add (GPtrArray *gesture, RakeEntryKind kind)
{
  RakeEntry *entry = rake_entry_new (kind);

  g_ptr_array_add (gesture, entry);
  return entry;
}

gboolean
rake_session_check_writable (RakeSession *self)
{
  if (self->past)
    {
      rake_session_say (self, _ ("This is the job as it was. Go back to now to record anything."));
      return FALSE;
    }
  if (rake_session_is_read_only (self))
    {
      rake_session_say (self, _ ("This job file can only be read."));
      return FALSE;
    }
  return TRUE;
}

gboolean
rake_session_check_work (RakeSession *self)
{
  if (!rake_session_check_writable (self))
    return FALSE;
  if (!rake_job_is_closed (self->job))
    return TRUE;
  rake_session_say (self, _ ("The piece was handed over: the job is closed for work. Open a claim "
                             "on the record page, or strike out the hand-over there."));
  return FALSE;
}

/* An entry may speak only of what was written before it, and it gets its time when it is written: never
 * before what the job has, whatever the clock says. */
gboolean
rake_session_would_take (RakeSession *self, RakeEntry *entry, GError **error)
{
  guint n_entries = rake_job_get_n_entries (self->job);
  gint64 written_ms = entry->written_ms;
  gboolean is_taken;

  if (n_entries > 0)
    entry->written_ms =
        MAX (written_ms, rake_job_get_entry (self->job, n_entries - 1)->written_ms + 1);
  is_taken = rake_entry_check (entry, error) && rake_job_check (self->job, entry, error);
  entry->written_ms = written_ms;
  return is_taken;
}

gboolean
rake_session_append (RakeSession *self, RakeEntry *const *entries, guint n_entries)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *who = NULL;
  gboolean is_kept;

  if (n_entries == 0 || !rake_session_check_writable (self))
    return FALSE;
  who = rake_settings_get_text ("finisher", "name");
  is_kept = rake_job_file_append (self->file, self->job, entries, n_entries, who, &error);
  /* Also when it failed: the job may have caught up with another program on the way. */
  rake_session_announce (self);
  if (!is_kept)
    rake_session_say (self, _ ("Not recorded: %s"), error->message);
  return is_kept;
}

gboolean
rake_session_append_photos (RakeSession *self, RakeEntry *const *entries, guint n_entries,
                            const RakePhotoBytes *photos, guint n_photos)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *who = rake_settings_get_text ("finisher", "name");
  gboolean is_kept = rake_job_file_append_photos (self->file, self->job, entries, n_entries, photos,
                                                  n_photos, who, &error);

  rake_session_announce (self);
  if (!is_kept)
    rake_session_say (self, _ ("Not recorded: %s"), error->message);
  return is_kept;
}

gboolean
rake_gesture_append (RakeSession *self, GPtrArray *gesture)
{
  return rake_session_append (self, (RakeEntry *const *) gesture->pdata, gesture->len);
}

/* --- looks ----------------------------------------------------------------------------------- */

static gboolean
has_place (RakeLight light)
{
  return light == RAKE_LIGHT_LAMP;
}

static gboolean
fits_bench (const RakeEntry *look, const RakeBench *bench)
{
  double lamp_deg = look->look.lamp_deg;

  if (look->look.surface != bench->surface || look->look.wiped_with != bench->wiped_with ||
      look->look.light != bench->light)
    return FALSE;
  return !has_place (bench->light) || fabs (lamp_deg - bench->lamp_deg) < 0.5;
}

static gboolean
is_in_look (const RakeEntry *entry, RakeId look)
{
  return (entry->kind == RAKE_ENTRY_MARK && rake_id_equal (entry->mark.look, look)) ||
         (entry->kind == RAKE_ENTRY_STATE && rake_id_equal (entry->state.look, look)) ||
         (entry->kind == RAKE_ENTRY_REVISIT && rake_id_equal (entry->revisit.look, look));
}

/* The look now going on at the zone: the last one, when it fits the bench and nothing was done to
 * the zone since. With @must_be_silent, only if it has said nothing yet. */
static const RakeEntry *
find_present_look (RakeSession *self, const RakeZone *zone, gboolean must_be_silent)
{
  const RakeEntry *look = NULL;

  for (guint i = zone->history->len; i-- > 0 && !look;)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      if (entry->kind == RAKE_ENTRY_LOOK)
        look = entry;
      else if (entry->kind == RAKE_ENTRY_PASS || entry->kind == RAKE_ENTRY_REPAIR ||
               entry->kind == RAKE_ENTRY_COAT || entry->kind == RAKE_ENTRY_BEGIN_STAGE)
        return NULL;
    }
  if (!look || !fits_bench (look, &self->bench))
    return NULL;
  for (guint i = 0; must_be_silent && i < zone->history->len; i++)
    if (is_in_look (zone->history->pdata[i], look->id))
      return NULL;
  return look;
}

/* The id of the look that what follows was seen in; makes one in @gesture where none fits. */
static RakeId
ensure_look (RakeSession *self, GPtrArray *gesture, const RakeZone *zone, gboolean must_be_silent)
{
  const RakeEntry *present = find_present_look (self, zone, must_be_silent);
  RakeEntry *look;

  if (present)
    return present->id;
  look = rake_gesture_add (gesture, RAKE_ENTRY_LOOK);
  look->look.zone = zone->id;
  look->look.surface = self->bench.surface;
  look->look.wiped_with = self->bench.wiped_with;
  look->look.light = self->bench.light;
  look->look.lamp_deg = has_place (self->bench.light) ? self->bench.lamp_deg : NAN;
  return look->id;
}

/* --- passes ---------------------------------------------------------------------------------- */

static gboolean
takes_passes (const RakeStage *stage)
{
  return stage->action == RAKE_ACTION_LEVEL || stage->action == RAKE_ACTION_REFINE ||
         stage->action == RAKE_ACTION_BUFF;
}

/* Why no pass can be recorded on @zone, whatever it is made with, or NULL. */
static char *
refuse_pass (const RakeZone *zone)
{
  if (!zone->stage)
    return g_strdup_printf (_ ("%s has no schedule yet, so a pass has no stage."), zone->name);
  if (zone->first_stage && zone->first_stage->position > zone->stage->position)
    return g_strdup_printf (_ ("%s joins in at %s; it has no pass before."), zone->name,
                            zone->first_stage->grade);
  if (zone->stage->action == RAKE_ACTION_LAST_LOOK)
    return g_strdup_printf (_ ("%s is at its last look: no pass belongs here."), zone->name);
  if (!takes_passes (zone->stage))
    return g_strdup_printf (_ ("%s rests: no pass belongs here."), zone->name);
  return NULL;
}

/* One pass entry a stage: zones that were sent back stand at another one. */
static RakeEntry *
find_or_add_pass (RakeSession *self, GPtrArray *gesture, const RakeStage *stage)
{
  RakeEntry *pass;

  for (guint i = 0; i < gesture->len; i++)
    {
      pass = gesture->pdata[i];
      if (rake_id_equal (pass->pass.stage, stage->id))
        return pass;
    }
  pass = rake_gesture_add (gesture, RAKE_ENTRY_PASS);
  pass->pass.stage = stage->id;
  pass->pass.wiped_with = self->bench.wiped_with;
  if (stage->action == RAKE_ACTION_BUFF)
    rake_session_get_wheel (self, stage, &pass->pass.wheel);
  else
    {
      pass->pass.stroke_deg = self->bench.stroke_deg;
      pass->pass.paper = self->bench.paper;
    }
  return pass;
}

gboolean
rake_session_pass_done (RakeSession *self)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  g_autoptr (GPtrArray) zones = NULL;

  if (!rake_session_check_writable (self))
    return FALSE;
  zones = rake_session_get_zones (self);
  if (zones->len == 0)
    {
      rake_session_say (self, _ ("Select the zone the pass was made on."));
      return FALSE;
    }
  for (guint i = 0; i < zones->len; i++)
    {
      const RakeZone *zone = zones->pdata[i];
      g_autofree char *refusal = refuse_pass (zone);

      if (!refusal && zone->stage->action == RAKE_ACTION_BUFF)
        refusal = rake_session_refuse_wheel (self, zone->stage);
      if (refusal)
        {
          rake_session_say (self, "%s", refusal);
          return FALSE;
        }
      g_array_append_val (find_or_add_pass (self, gesture, zone->stage)->pass.zones, zone->id);
    }
  if (!rake_gesture_append (self, gesture))
    return FALSE;
  if (self->bench.paper == RAKE_PAPER_FRESH)
    {
      RakeBench bench = self->bench;
      bench.paper = RAKE_PAPER_USED;
      rake_session_set_bench (self, &bench);
    }
  return TRUE;
}

char *
rake_session_warn_before_pass (RakeSession *self)
{
  g_autoptr (GPtrArray) zones = rake_session_get_zones (self);
  GString *warnings = g_string_new (NULL);

  for (guint i = 0; i < zones->len; i++)
    {
      const RakeZone *zone = zones->pdata[i];
      g_autofree char *refusal = refuse_pass (zone);
      g_autofree char *warning =
          refusal ? NULL
                  : rake_rules_warn_before_pass (self->rules, zone,
                                                 rake_session_get_judgement (self, zone));
      if (warning)
        g_string_append_printf (warnings, "%s%s: %s", warnings->len ? "\n" : "", zone->name,
                                warning);
    }
  return g_string_free (warnings, warnings->len == 0);
}

/* --- what is seen ---------------------------------------------------------------------------- */

/* "Uniform" says nothing of marks that it did not look for: tells which stay open. */
static void
tell_what_stays_open (RakeSession *self, GPtrArray *zones)
{
  guint n_ghosts = 0, n_fresh = 0;

  for (guint i = 0; i < zones->len; i++)
    {
      const RakeZone *zone = zones->pdata[i];
      g_autoptr (GPtrArray) ghosts = rake_session_get_ghosts (self, zone);
      n_ghosts += ghosts->len;
      for (guint j = 0; j < zone->marks->len; j++)
        {
          const RakeMark *mark = zone->marks->pdata[j];
          if (!mark->closed_by && !rake_mark_is_ghost (zone, mark) &&
              !rake_mark_is_carried (zone, mark))
            n_fresh++;
        }
    }
  if (n_ghosts > 0)
    rake_session_say (self,
                      ngettext ("%u mark from before still wants its own answer: there or gone?",
                                "%u marks from before still want their own answer: there or gone?",
                                n_ghosts),
                      n_ghosts);
  else if (n_fresh > 0)
    rake_session_say (self,
                      ngettext ("%u mark made since the last pass stays open.",
                                "%u marks made since the last pass stay open.", n_fresh),
                      n_fresh);
}

/* "All even" seen wet or unwiped is written down, and does not count: better said at once. */
static void
tell_if_poor (RakeSession *self)
{
  if (self->bench.surface != RAKE_SURFACE_DRY)
    rake_session_say (self, _ ("Recorded, but only a dry look counts as good news."));
  else if (self->bench.wiped_with == RAKE_WIPE_NOTHING ||
           self->bench.wiped_with == RAKE_WIPE_UNSAID)
    rake_session_say (self, _ ("Recorded, but only a wiped surface counts as good news."));
}

gboolean
rake_session_all_even (RakeSession *self)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  g_autoptr (GPtrArray) zones = NULL, after = NULL;

  if (!rake_session_check_writable (self))
    return FALSE;
  zones = rake_session_get_zones (self);
  if (zones->len == 0)
    {
      rake_session_say (self, _ ("Select the zone that was looked at."));
      return FALSE;
    }
  for (guint i = 0; i < zones->len; i++)
    {
      RakeId look = ensure_look (self, gesture, zones->pdata[i], TRUE);
      RakeEntry *state = rake_gesture_add (gesture, RAKE_ENTRY_STATE);
      state->state.look = look;
      state->state.state = RAKE_STATE_UNIFORM;
    }
  if (!rake_gesture_append (self, gesture))
    return FALSE;
  after = rake_session_get_zones (self);
  tell_what_stays_open (self, after);
  tell_if_poor (self);
  return TRUE;
}

gboolean
rake_session_say_state (RakeSession *self, RakeId zone, RakeState state, double low_spot_fraction,
                        double largest_island_mm)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  const RakeZone *found;
  RakeId look;
  RakeEntry *entry;

  if (!rake_session_check_writable (self))
    return FALSE;
  found = rake_job_find_zone (self->job, zone);
  g_return_val_if_fail (found != NULL, FALSE);
  look = ensure_look (self, gesture, found, state == RAKE_STATE_UNIFORM);
  entry = rake_gesture_add (gesture, RAKE_ENTRY_STATE);
  entry->state.look = look;
  entry->state.state = state;
  if (state == RAKE_STATE_LOW_SPOT)
    {
      entry->state.low_spot_fraction = low_spot_fraction;
      entry->state.largest_island_mm = largest_island_mm;
    }
  return rake_gesture_append (self, gesture);
}

RakeShape *
rake_gesture_clip_to_zone (const RakeShape *shape, const RakeZone *zone)
{
  g_autoptr (RakeShape) part = rake_shape_intersection (shape, zone->shape, NULL);

  if (!part)
    return NULL;
  switch (rake_shape_get_kind (shape))
    {
    case RAKE_SHAPE_AREA:
      if (rake_shape_get_area_mm2 (part) <
          MIN (SPILL_AREA_MM2, SPILL_FRACTION * rake_shape_get_area_mm2 (shape)))
        return NULL;
      break;
    case RAKE_SHAPE_LINE:
      if (rake_shape_get_length_mm (part) <
          MIN (SPILL_LENGTH_MM, SPILL_FRACTION * rake_shape_get_length_mm (shape)))
        return NULL;
      break;
    case RAKE_SHAPE_POINT:
    default:
      break;
    }
  return g_steal_pointer (&part);
}

/* Adds looks and marks for what of @shape lies in each zone. FALSE when it lies beside the piece. */
static gboolean
add_marks (RakeSession *self, GPtrArray *gesture, const RakeFace *face, RakeMarkKind kind,
           const RakeShape *shape)
{
  gboolean is_placed = FALSE;

  for (guint i = 0; face && i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      RakeShape *part = rake_gesture_clip_to_zone (shape, zone);
      RakeId look;
      RakeEntry *mark;

      /* A point on a seam lies in both zones; one mark is enough. */
      if (!part || (is_placed && rake_shape_get_kind (shape) == RAKE_SHAPE_POINT))
        {
          g_clear_pointer (&part, rake_shape_unref);
          continue;
        }
      look = ensure_look (self, gesture, zone, FALSE);
      mark = rake_gesture_add (gesture, RAKE_ENTRY_MARK);
      mark->mark.look = look;
      mark->mark.mark = kind;
      mark->mark.shape = part;
      is_placed = TRUE;
    }
  if (!is_placed)
    rake_session_say (self, _ ("That lies beside the piece."));
  return is_placed;
}

gboolean
rake_session_mark (RakeSession *self, RakeMarkKind kind, const RakeShape *shape)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();

  return rake_session_check_writable (self) &&
         add_marks (self, gesture, rake_session_get_face (self), kind, shape) &&
         rake_gesture_append (self, gesture);
}

/* The photograph shows what was, the mark says what is. */
static void
tell_if_worked_since (RakeSession *self, const RakePhoto *photo, const GPtrArray *gesture)
{
  for (guint i = 0; i < gesture->len; i++)
    {
      const RakeEntry *mark = gesture->pdata[i];
      const RakeZone *zone =
          mark->kind == RAKE_ENTRY_MARK ? rake_session_find_zone_of_mark (self, mark->id) : NULL;

      for (guint k = 0; zone && k < zone->history->len; k++)
        {
          const RakeEntry *entry = zone->history->pdata[k];

          if (entry->kind != RAKE_ENTRY_PASS || entry->happened_ms <= photo->entry->happened_ms)
            continue;
          rake_session_say (self,
                            _ ("Recorded, but %s was worked since the photograph was taken: look "
                               "whether it is still there."),
                            zone->name);
          return;
        }
    }
}

gboolean
rake_session_mark_on_photo (RakeSession *self, RakeId photo_id, RakeMarkKind kind,
                            const RakeShape *shape)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  const RakePhoto *photo = rake_job_find_photo (self->job, photo_id);
  RakeEntry *placement;
  guint n_entries;

  g_return_val_if_fail (photo && photo->face, FALSE);
  if (!rake_session_check_writable (self) || !add_marks (self, gesture, photo->face, kind, shape))
    return FALSE;
  placement = rake_photo_new_placement (self->job, photo);
  n_entries = gesture->len;
  for (guint i = 0; i < n_entries; i++)
    {
      const RakeEntry *mark = gesture->pdata[i];
      if (mark->kind == RAKE_ENTRY_MARK)
        g_array_append_val (placement->photo.marks, mark->id);
    }
  g_ptr_array_add (gesture, placement);
  if (!rake_gesture_append (self, gesture))
    return FALSE;
  photo = rake_job_find_photo (self->job, photo_id);
  if (photo)
    tell_if_worked_since (self, photo, gesture);
  return TRUE;
}

/* --- marks from before ----------------------------------------------------------------------- */

static gboolean
holds_mark (const RakeZone *zone, RakeId mark)
{
  for (guint i = 0; i < zone->marks->len; i++)
    if (rake_id_equal (((const RakeMark *) zone->marks->pdata[i])->entry->id, mark))
      return TRUE;
  return FALSE;
}

const RakeZone *
rake_session_find_zone_of_mark (RakeSession *self, RakeId mark)
{
  const RakeJob *job = rake_session_get_job (self);
  const RakeFace *shown = rake_session_get_face (self);

  for (guint i = 0; shown && i < shown->zones->len; i++)
    if (holds_mark (shown->zones->pdata[i], mark))
      return shown->zones->pdata[i];
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      for (guint j = 0; j < face->zones->len; j++)
        if (holds_mark (face->zones->pdata[j], mark))
          return face->zones->pdata[j];
    }
  return NULL;
}

static void
add_revisit (RakeSession *self, GPtrArray *gesture, const RakeZone *zone, RakeId look, RakeId mark,
             RakeOutcome outcome)
{
  RakeEntry *revisit = rake_gesture_add (gesture, RAKE_ENTRY_REVISIT);

  revisit->revisit.look = look;
  revisit->revisit.mark = mark;
  revisit->revisit.outcome = outcome;
}

gboolean
rake_session_revisit (RakeSession *self, RakeId mark, RakeOutcome outcome)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  const RakeZone *zone;
  RakeId look;

  if (!rake_session_check_writable (self))
    return FALSE;
  zone = rake_session_find_zone_of_mark (self, mark);
  if (!zone)
    {
      rake_session_say (self, _ ("That mark is not there any more."));
      return FALSE;
    }
  look = ensure_look (self, gesture, zone, FALSE);
  add_revisit (self, gesture, zone, look, mark, outcome);
  if (!rake_gesture_append (self, gesture))
    return FALSE;
  if (outcome == RAKE_OUTCOME_GONE)
    tell_if_poor (self);
  return TRUE;
}

gboolean
rake_session_revisit_all (RakeSession *self, RakeId zone, RakeOutcome outcome)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  g_autoptr (GPtrArray) ghosts = NULL;
  const RakeZone *found;
  RakeId look;

  if (!rake_session_check_writable (self))
    return FALSE;
  found = rake_job_find_zone (self->job, zone);
  g_return_val_if_fail (found != NULL, FALSE);
  ghosts = rake_session_get_ghosts (self, found);
  if (ghosts->len == 0)
    return FALSE;
  look = ensure_look (self, gesture, found, FALSE);
  for (guint i = 0; i < ghosts->len; i++)
    add_revisit (self, gesture, found, look, ((const RakeMark *) ghosts->pdata[i])->entry->id,
                 outcome);
  if (!rake_gesture_append (self, gesture))
    return FALSE;
  if (outcome == RAKE_OUTCOME_GONE)
    tell_if_poor (self);
  return TRUE;
}
