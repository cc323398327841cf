/* job-things.c - what each id stands for, and whether entries speak of things that are known.
 *
 * What is checked here holds for ever and in any order of arrival: whether a thing was ever made,
 * which face it is on, whether areas add up. What may change with a strike or with another bench's
 * entries is in job-standing.c.
 *
 * The order of refs, by kind (- is NULL when not said):
 *
 *   zones        face, removed …, added …, first stage or - for each added
 *   zone_facts   zone, first stage or -
 *   schedule     face, stages …
 *   begin_stage  face, stage
 *   coat         face
 *   pass         stage, wheel or -, zones …
 *   look, acceptance, reading   zone
 *   mark, state  look
 *   revisit      look, mark
 *   note         what it is about, or -
 *   strike       entry
 *   wheel        wheel or -
 *   repair       zone, back to stage or -, marks …
 *   photo        face or -, photo or -, stage or -, pass or -, zones …, marks …
 *   withdrawal   photo
 *   registration face, photo
 *   defect       zone, mark or -, the defect it tells more of or -
 *   hand_over    nothing
 *   claim        what it is about or -, the claim it tells more of or -
 */
#include "job-private.h"

#include <string.h>

#include "i18n.h"

int
rake_job_compare_entries (const RakeEntry *a, const RakeEntry *b)
{
  int by_bench;

  if (a->written_ms != b->written_ms)
    return a->written_ms < b->written_ms ? -1 : 1;
  by_bench = rake_id_compare (a->bench, b->bench);
  if (by_bench != 0)
    return by_bench;
  if (a->number != b->number)
    return a->number < b->number ? -1 : 1;
  /* Entries that were never numbered (a draft's) keep the order in which they came. */
  return a->number == 0 ? 0 : rake_id_compare (a->id, b->id);
}

RakeThing *
rake_job_find_thing (const RakeJob *job, RakeId id)
{
  return g_hash_table_lookup (job->by_id, &id);
}

gboolean
rake_job_refuse (GError **error, RakeJobError code, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error_literal (error, RAKE_JOB_ERROR, code, message);
  return FALSE;
}

/* --- references ------------------------------------------------------------------------------------ */

typedef enum
{
  FACE,
  ZONE,
  STAGE,
  LOOK,
  MARK,
  WHEEL,
  PASS,
  PHOTO,
  DEFECT,
  CLAIM,
  PLACE,
  ENTRY,
  ANYTHING
} Sort;

static gboolean
is_of_sort (const RakeThing *thing, Sort sort)
{
  const RakeEntry *entry = thing->entry;

  switch (sort)
    {
    case FACE:
      return entry != NULL && entry->kind == RAKE_ENTRY_FACE;
    case ZONE:
      return thing->zone_maker != NULL;
    case STAGE:
      return thing->stage_spec != NULL;
    case LOOK:
      return entry != NULL && entry->kind == RAKE_ENTRY_LOOK;
    case MARK:
      return entry != NULL && entry->kind == RAKE_ENTRY_MARK;
    case WHEEL:
      return entry != NULL && entry->kind == RAKE_ENTRY_WHEEL &&
             rake_id_is_nil (entry->wheel.wheel);
    case PASS:
      return entry != NULL && entry->kind == RAKE_ENTRY_PASS;
    case PHOTO:
      return entry != NULL && entry->kind == RAKE_ENTRY_PHOTO &&
             rake_id_is_nil (entry->photo.photo);
    case DEFECT:
      return entry != NULL && entry->kind == RAKE_ENTRY_DEFECT &&
             rake_id_is_nil (entry->defect.defect);
    case CLAIM:
      return entry != NULL && entry->kind == RAKE_ENTRY_CLAIM &&
             rake_id_is_nil (entry->claim.claim);
    case PLACE:
      return is_of_sort (thing, FACE) || is_of_sort (thing, ZONE) || is_of_sort (thing, MARK) ||
             is_of_sort (thing, DEFECT);
    case ENTRY:
      return entry != NULL;
    case ANYTHING:
      return TRUE;
    }
  g_return_val_if_reached (FALSE);
}

static const char *
name_sort (Sort sort)
{
  switch (sort)
    {
    case FACE:
      return _ ("face");
    case ZONE:
      return _ ("zone");
    case STAGE:
      return _ ("stage");
    case LOOK:
      return _ ("look");
    case MARK:
      return _ ("mark");
    case WHEEL:
      return _ ("wheel");
    case PASS:
      return _ ("pass");
    case PHOTO:
      return _ ("photograph");
    case DEFECT:
      return _ ("defect");
    case CLAIM:
      return _ ("claim");
    case PLACE:
      return _ ("face, zone, mark or defect");
    case ENTRY:
      return _ ("entry");
    case ANYTHING:
      return _ ("thing");
    }
  g_return_val_if_reached ("");
}

/* An entry may only speak of what is earlier in the order. Stages are left to job-standing.c, for
 * several schedules may have one. */
static gboolean
is_made_before (const RakeThing *thing, Sort sort, const RakeEntry *entry)
{
  gboolean is_zone = sort == ZONE || (sort == PLACE && thing->zone_maker != NULL);
  const RakeThing *maker = is_zone ? thing->zone_maker : thing;

  return sort == STAGE || maker->entry == NULL ||
         rake_job_compare_entries (maker->entry, entry) <= 0;
}

static RakeThing *
refer (const RakeJob *job, const RakeEntry *entry, const char *field, Sort sort, RakeId id,
       GPtrArray *refs, GError **error)
{
  RakeThing *thing = rake_job_find_thing (job, id);
  char text[RAKE_ID_TEXT_LENGTH + 1];

  if (thing == NULL || !is_of_sort (thing, sort) || !is_made_before (thing, sort, entry))
    {
      rake_id_to_text (id, text);
      rake_job_refuse (error, RAKE_JOB_ERROR_REFERENCE, _ ("%s is %s; the job has no such %s"),
                       field, text, name_sort (sort));
      return NULL;
    }
  g_ptr_array_add (refs, thing);
  return thing;
}

/* The same for what must be on @face (NULL: any). */
static gboolean
refer_on_face (const RakeJob *job, const RakeEntry *entry, const char *field, Sort sort, RakeId id,
               const RakeThing *face, GPtrArray *refs, GError **error)
{
  RakeThing *thing = refer (job, entry, field, sort, id, refs, error);

  if (thing == NULL)
    return FALSE;
  if (face != NULL && thing->face != face)
    return rake_job_refuse (error, RAKE_JOB_ERROR_RULE, _ ("%s is on another face"), field);
  return TRUE;
}

static gboolean
refer_if_said (const RakeJob *job, const RakeEntry *entry, const char *field, Sort sort, RakeId id,
               const RakeThing *face, GPtrArray *refs, GError **error)
{
  if (!rake_id_is_nil (id))
    return refer_on_face (job, entry, field, sort, id, face, refs, error);
  g_ptr_array_add (refs, NULL);
  return TRUE;
}

static gboolean
refer_to_each (const RakeJob *job, const RakeEntry *entry, const char *field, Sort sort,
               const GArray *ids, const RakeThing *face, GPtrArray *refs, GError **error)
{
  for (guint i = 0; ids != NULL && i < ids->len; i++)
    {
      RakeThing *thing =
          refer (job, entry, field, sort, g_array_index (ids, RakeId, i), refs, error);

      if (thing == NULL)
        return FALSE;
      if (thing->face != face)
        return rake_job_refuse (error, RAKE_JOB_ERROR_RULE, _ ("%s %u is on another face"), field,
                                i + 1);
    }
  return TRUE;
}

/* --- kinds with more to them ------------------------------------------------------------------------ */

/* Each new edge is snapped to 1 µm, so an area may be off by that times its edges. */
static gboolean
check_areas (GPtrArray *refs, const RakeZonesBody *zones, GError **error)
{
  double before_mm2 = 0, after_mm2 = 0, edges_mm = 0;

  for (guint i = 0; i < zones->removed->len; i++)
    {
      const RakeThing *zone = g_ptr_array_index (refs, 1 + i);
      before_mm2 += rake_shape_get_area_mm2 (zone->zone_shape);
      edges_mm += rake_shape_get_length_mm (zone->zone_shape);
    }
  for (guint i = 0; i < zones->added->len; i++)
    {
      const RakeShape *shape = g_array_index (zones->added, RakeZoneSpec, i).shape;
      after_mm2 += rake_shape_get_area_mm2 (shape);
      edges_mm += rake_shape_get_length_mm (shape);
    }
  if (ABS (after_mm2 - before_mm2) <= 0.001 * edges_mm)
    return TRUE;
  return rake_job_refuse (
      error, RAKE_JOB_ERROR_RULE,
      _ ("the new zones have %.3f mm² and the old ones %.3f mm²; zones neither overlap nor "
         "leave a gap"),
      after_mm2, before_mm2);
}

static gboolean
resolve_zones (const RakeJob *job, const RakeEntry *entry, gboolean is_known_good, GPtrArray *refs,
               GError **error)
{
  const RakeZonesBody *zones = &entry->zones;
  RakeThing *face = refer (job, entry, "face", FACE, zones->face, refs, error);

  if (face == NULL ||
      !refer_to_each (job, entry, "removed", ZONE, zones->removed, face, refs, error))
    return FALSE;
  for (guint i = 0; i < zones->added->len; i++)
    {
      RakeId id = g_array_index (zones->added, RakeZoneSpec, i).id;

      if (rake_job_find_thing (job, id) != NULL || rake_id_equal (id, entry->id))
        return rake_job_refuse (error, RAKE_JOB_ERROR_TWICE, _ ("added %u: id is taken already"),
                                i + 1);
      g_ptr_array_add (refs, NULL); /* not made yet */
    }
  for (guint i = 0; i < zones->added->len; i++)
    if (!refer_if_said (job, entry, "first_stage", STAGE,
                        g_array_index (zones->added, RakeZoneSpec, i).first_stage, face, refs,
                        error))
      return FALSE;
  return is_known_good || check_areas (refs, zones, error);
}

/* A stage kept from an earlier schedule is the same work: passes made at it must not change their
 * grade afterwards. */
static gboolean
resolve_schedule (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  const RakeScheduleBody *schedule = &entry->schedule;
  RakeThing *face = refer (job, entry, "face", FACE, schedule->face, refs, error);

  if (face == NULL)
    return FALSE;
  for (guint i = 0; i < schedule->stages->len; i++)
    {
      const RakeStageSpec *stage = &g_array_index (schedule->stages, RakeStageSpec, i);
      RakeThing *known = rake_job_find_thing (job, stage->id);

      if ((known != NULL && known->stage_spec == NULL) || rake_id_equal (stage->id, entry->id))
        return rake_job_refuse (error, RAKE_JOB_ERROR_TWICE, _ ("stages %u: id is taken already"),
                                i + 1);
      if (known != NULL && known->face != face)
        return rake_job_refuse (error, RAKE_JOB_ERROR_RULE, _ ("stages %u is on another face"),
                                i + 1);
      if (known != NULL && (known->stage_spec->action != stage->action ||
                            g_strcmp0 (known->stage_spec->grade, stage->grade) != 0))
        return rake_job_refuse (
            error, RAKE_JOB_ERROR_RULE,
            _ ("stages %u: id is that of another grade; a new grade has a new id"), i + 1);
      g_ptr_array_add (refs, known);
    }
  return TRUE;
}

static gboolean
resolve_pass (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  RakeThing *stage = refer (job, entry, "stage", STAGE, entry->pass.stage, refs, error);

  return stage != NULL &&
         refer_if_said (job, entry, "wheel", WHEEL, entry->pass.wheel, NULL, refs, error) &&
         refer_to_each (job, entry, "zones", ZONE, entry->pass.zones, stage->face, refs, error);
}

static gboolean
resolve_repair (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  RakeThing *zone = refer (job, entry, "zone", ZONE, entry->repair.zone, refs, error);

  return zone != NULL &&
         refer_if_said (job, entry, "back_to_stage", STAGE, entry->repair.back_to_stage, zone->face,
                        refs, error) &&
         refer_to_each (job, entry, "marks", MARK, entry->repair.marks, zone->face, refs, error);
}

static gboolean
resolve_begin_stage (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  RakeThing *face = refer (job, entry, "face", FACE, entry->begin_stage.face, refs, error);

  return face != NULL &&
         refer_on_face (job, entry, "stage", STAGE, entry->begin_stage.stage, face, refs, error);
}

static gboolean
resolve_revisit (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  RakeThing *look = refer (job, entry, "look", LOOK, entry->revisit.look, refs, error);

  return look != NULL &&
         refer_on_face (job, entry, "mark", MARK, entry->revisit.mark, look->face, refs, error);
}

static gboolean
resolve_zone_facts (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  RakeThing *zone = refer (job, entry, "zone", ZONE, entry->zone_facts.zone, refs, error);

  return zone != NULL && refer_if_said (job, entry, "first_stage", STAGE,
                                        entry->zone_facts.first_stage, zone->face, refs, error);
}

/* What is placed anew is the same photograph: its bytes are what it is. */
static gboolean
resolve_photo (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  const RakePhotoBody *photo = &entry->photo;
  const RakeThing *face, *first;

  if (!refer_if_said (job, entry, "face", FACE, photo->face, NULL, refs, error) ||
      !refer_if_said (job, entry, "photo", PHOTO, photo->photo, NULL, refs, error))
    return FALSE;
  face = refs->pdata[0];
  first = refs->pdata[1];
  if (first != NULL && g_strcmp0 (first->entry->photo.sha256, photo->sha256) != 0)
    return rake_job_refuse (error, RAKE_JOB_ERROR_RULE,
                            _ ("sha256 is not that of the photograph that it places anew"));
  return refer_if_said (job, entry, "stage", STAGE, photo->stage, face, refs, error) &&
         refer_if_said (job, entry, "pass", PASS, photo->pass, face, refs, error) &&
         refer_to_each (job, entry, "zones", ZONE, photo->zones, face, refs, error) &&
         refer_to_each (job, entry, "marks", MARK, photo->marks, face, refs, error);
}

/* Bytes that are gone do not come back by a line of the logbook. */
static gboolean
resolve_strike (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  const RakeThing *struck = refer (job, entry, "entry", ENTRY, entry->strike.entry, refs, error);

  if (struck == NULL)
    return FALSE;
  if (struck->entry->kind != RAKE_ENTRY_WITHDRAWAL)
    return TRUE;
  return rake_job_refuse (error, RAKE_JOB_ERROR_RULE,
                          _ ("a withdrawal is not struck out: the photograph's bytes are gone"));
}

static gboolean
resolve_registration (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  return refer (job, entry, "face", FACE, entry->registration.face, refs, error) != NULL &&
         refer (job, entry, "photo", PHOTO, entry->registration.photo, refs, error) != NULL;
}

/* More of a defect's story is told of the face that it is on. */
static gboolean
resolve_defect (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  const RakeDefectBody *defect = &entry->defect;
  RakeThing *zone = refer (job, entry, "zone", ZONE, defect->zone, refs, error);

  return zone != NULL &&
         refer_if_said (job, entry, "mark", MARK, defect->mark, zone->face, refs, error) &&
         refer_if_said (job, entry, "defect", DEFECT, defect->defect, zone->face, refs, error);
}

static gboolean
resolve_claim (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  return refer_if_said (job, entry, "about", PLACE, entry->claim.about, NULL, refs, error) &&
         refer_if_said (job, entry, "claim", CLAIM, entry->claim.claim, NULL, refs, error);
}

gboolean
rake_job_resolve (const RakeJob *job, const RakeEntry *entry, gboolean is_known_good,
                  GPtrArray *refs, GError **error)
{
  if (rake_job_find_thing (job, entry->id) != NULL)
    return rake_job_refuse (error, RAKE_JOB_ERROR_TWICE,
                            _ ("id is taken already: the job has that entry"));

  switch (entry->kind)
    {
    case RAKE_ENTRY_JOB:
    case RAKE_ENTRY_RULES:
    case RAKE_ENTRY_FACE:
    case RAKE_ENTRY_RATE:
    case RAKE_ENTRY_HAND_OVER:
      return TRUE;
    case RAKE_ENTRY_ZONES:
      return resolve_zones (job, entry, is_known_good, refs, error);
    case RAKE_ENTRY_ZONE_FACTS:
      return resolve_zone_facts (job, entry, refs, error);
    case RAKE_ENTRY_SCHEDULE:
      return resolve_schedule (job, entry, refs, error);
    case RAKE_ENTRY_BEGIN_STAGE:
      return resolve_begin_stage (job, entry, refs, error);
    case RAKE_ENTRY_COAT:
      return refer (job, entry, "face", FACE, entry->coat.face, refs, error) != NULL;
    case RAKE_ENTRY_PASS:
      return resolve_pass (job, entry, refs, error);
    case RAKE_ENTRY_LOOK:
      return refer (job, entry, "zone", ZONE, entry->look.zone, refs, error) != NULL;
    case RAKE_ENTRY_MARK:
      return refer (job, entry, "look", LOOK, entry->mark.look, refs, error) != NULL;
    case RAKE_ENTRY_REVISIT:
      return resolve_revisit (job, entry, refs, error);
    case RAKE_ENTRY_STATE:
      return refer (job, entry, "look", LOOK, entry->state.look, refs, error) != NULL;
    case RAKE_ENTRY_ACCEPTANCE:
      return refer (job, entry, "zone", ZONE, entry->acceptance.zone, refs, error) != NULL;
    case RAKE_ENTRY_NOTE:
      return refer_if_said (job, entry, "about", ANYTHING, entry->note.about, NULL, refs, error);
    case RAKE_ENTRY_STRIKE:
      return resolve_strike (job, entry, refs, error);
    case RAKE_ENTRY_READING:
      return refer (job, entry, "zone", ZONE, entry->reading.zone, refs, error) != NULL;
    case RAKE_ENTRY_WHEEL:
      return refer_if_said (job, entry, "wheel", WHEEL, entry->wheel.wheel, NULL, refs, error);
    case RAKE_ENTRY_REPAIR:
      return resolve_repair (job, entry, refs, error);
    case RAKE_ENTRY_PHOTO:
      return resolve_photo (job, entry, refs, error);
    case RAKE_ENTRY_WITHDRAWAL:
      return refer (job, entry, "photo", PHOTO, entry->withdrawal.photo, refs, error) != NULL;
    case RAKE_ENTRY_REGISTRATION:
      return resolve_registration (job, entry, refs, error);
    case RAKE_ENTRY_DEFECT:
      return resolve_defect (job, entry, refs, error);
    case RAKE_ENTRY_CLAIM:
      return resolve_claim (job, entry, refs, error);
    case RAKE_N_ENTRY_KINDS:
      break;
    }
  g_return_val_if_reached (FALSE);
}

/* --- becoming known --------------------------------------------------------------------------------- */

static RakeThing *
add_thing (RakeJob *job, RakeId id)
{
  RakeThing *thing = g_new0 (RakeThing, 1);
  const guint8 no_flags = 0;

  thing->id = id;
  thing->serial = job->things->len;
  g_ptr_array_add (job->things, thing);
  g_byte_array_append (job->flags, &no_flags, 1);
  g_hash_table_insert (job->by_id, &thing->id, thing);
  return thing;
}

static void
register_zone (RakeThing *zone, RakeThing *maker, RakeThing *face, const RakeShape *shape,
               const char *name)
{
  zone->zone_maker = maker;
  zone->face = face;
  zone->zone_shape = shape;
  zone->zone_name = name;
}

static void
register_zones (RakeJob *job, RakeThing *thing, GPtrArray *refs)
{
  const RakeZonesBody *zones = &thing->entry->zones;

  for (guint i = 0; i < zones->added->len; i++)
    {
      const RakeZoneSpec *spec = &g_array_index (zones->added, RakeZoneSpec, i);
      RakeThing *zone = add_thing (job, spec->id);

      register_zone (zone, thing, thing->face, spec->shape, spec->name);
      refs->pdata[1 + zones->removed->len + i] = zone;
    }
}

static void
register_stages (RakeJob *job, RakeThing *thing, GPtrArray *refs)
{
  const GArray *stages = thing->entry->schedule.stages;

  for (guint i = 0; i < stages->len; i++)
    {
      const RakeStageSpec *spec = &g_array_index (stages, RakeStageSpec, i);
      RakeThing *stage = refs->pdata[1 + i];

      if (stage != NULL)
        continue;
      stage = add_thing (job, spec->id);
      stage->stage_spec = spec;
      stage->face = thing->face;
      refs->pdata[1 + i] = stage;
    }
}

RakeThing *
rake_job_register (RakeJob *job, RakeEntry *entry, GPtrArray *refs)
{
  RakeThing *thing = add_thing (job, entry->id);
  const RakeThing *first = refs->len > 0 ? refs->pdata[0] : NULL;

  thing->entry = rake_entry_ref (entry);
  if (entry->kind == RAKE_ENTRY_FACE)
    register_zone (thing, thing, thing, entry->face.outline, entry->face.name);
  else if (first != NULL) /* whatever comes first in the list is on the same face as the entry */
    thing->face = first->face;
  if (entry->kind == RAKE_ENTRY_ZONES)
    register_zones (job, thing, refs);
  else if (entry->kind == RAKE_ENTRY_SCHEDULE)
    register_stages (job, thing, refs);
  thing->n_refs = refs->len;
  thing->refs = g_memdup2 (refs->pdata, refs->len * sizeof (gpointer));
  return thing;
}

void
rake_job_truncate_things (RakeJob *job, guint n_things)
{
  while (job->things->len > n_things)
    {
      RakeThing *thing = g_ptr_array_steal_index (job->things, job->things->len - 1);

      g_hash_table_remove (job->by_id, &thing->id);
      g_clear_pointer (&thing->entry, rake_entry_unref);
      g_clear_pointer (&thing->places, g_hash_table_unref);
      g_free (thing->refs);
      g_free (thing);
    }
  g_byte_array_set_size (job->flags, n_things);
}
