/* job.c - taking entries in, in their order, and giving out what the job shows. */
#include "job-private.h"

#include <string.h>

#include "i18n.h"

G_DEFINE_QUARK (rake-job-error-quark, rake_job_error)

RakeJob *
rake_job_new (void)
{
  RakeJob *job = g_new0 (RakeJob, 1);

  job->by_id = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);
  job->things = g_ptr_array_new ();
  job->order = g_ptr_array_new ();
  job->flags = g_byte_array_new ();
  job->kept = g_malloc0 (sizeof *job->kept);
  rake_build_clear (job);
  return job;
}

void
rake_job_free (RakeJob *job)
{
  if (job == NULL)
    return;
  rake_job_truncate_things (job, 0);
  g_ptr_array_unref (job->faces);
  g_ptr_array_unref (job->zones);
  g_ptr_array_unref (job->stages);
  g_ptr_array_unref (job->marks);
  g_ptr_array_unref (job->photos);
  g_ptr_array_unref (job->defects);
  g_ptr_array_unref (job->claims);
  g_ptr_array_unref (job->hand_overs);
  g_ptr_array_unref (job->rates);
  g_byte_array_unref (job->flags);
  g_ptr_array_unref (job->order);
  g_ptr_array_unref (job->things);
  g_hash_table_unref (job->by_id);
  g_clear_pointer (&job->kept->rates, rake_rates_unref);
  g_free (job->kept);
  g_free (job);
}

/* --- what a new entry must be like ------------------------------------------------------------------- */

static gboolean
check_strike (const RakeJob *job, const RakeEntry *entry, RakeThing *target, GError **error)
{
  g_autoptr (GPtrArray) struck = g_ptr_array_new ();
  g_autoptr (GByteArray) flags = NULL;
  g_autofree char *line = NULL;
  const RakeEntry *loser;

  if (job->flags->data[target->serial] & RAKE_FLAG_STRUCK)
    return rake_job_refuse (error, RAKE_JOB_ERROR_RULE, _ ("that entry is struck out already"));
  g_ptr_array_add (struck, target);
  flags = rake_standing_compute (job, struck);
  loser = rake_standing_find_loser (job, flags);
  if (loser == NULL)
    return TRUE;
  if (loser->kind == RAKE_ENTRY_JOB)
    return rake_job_refuse (
        error, RAKE_JOB_ERROR_RULE,
        _ ("a job keeps its facts; enter better ones instead of striking these out"));
  line = rake_job_describe_entry (job, loser);
  return rake_job_refuse (error, RAKE_JOB_ERROR_RULE,
                          _ ("another entry builds on it (%s); strike that one out first"), line);
}

/* The zones that a new entry is about must be those of now. */
static gboolean
check_zones_are_here (const RakeJob *job, RakeThing *const *zones, guint n_zones, GError **error)
{
  for (guint i = 0; i < n_zones; i++)
    if (!(job->flags->data[zones[i]->serial] & RAKE_FLAG_ZONE_HERE))
      return rake_job_refuse (
          error, RAKE_JOB_ERROR_REFERENCE,
          _ ("the zone %s is no longer there; it was divided, joined or struck out"),
          zones[i]->zone_name);
  return TRUE;
}

static gboolean
check_stage_is_scheduled (const RakeThing *stage, GError **error)
{
  if (stage->shown_stage != NULL && stage->shown_stage->is_scheduled)
    return TRUE;
  return rake_job_refuse (
      error, RAKE_JOB_ERROR_REFERENCE, _ ("the stage %s is not in the face's schedule"),
      stage->stage_spec->grade != NULL ? stage->stage_spec->grade
                                       : _ (rake_action_get_label (stage->stage_spec->action)));
}

static gboolean
is_mark_in (const RakeThing *zone, const RakeThing *mark)
{
  for (const RakeShownMark *copy = mark->shown_marks; copy != NULL; copy = copy->next)
    if (copy->shown_zone->thing == zone)
      return TRUE;
  return FALSE;
}

static gboolean
check_revisit (const RakeThing *look, const RakeThing *mark, GError **error)
{
  return is_mark_in (look->refs[0], mark) ||
         rake_job_refuse (error, RAKE_JOB_ERROR_RULE,
                          _ ("the mark is not in the zone that was looked at"));
}

static gboolean
check_mark_is_in (const RakeThing *zone, const RakeThing *mark, GError **error)
{
  return is_mark_in (zone, mark) ||
         rake_job_refuse (error, RAKE_JOB_ERROR_RULE, _ ("the mark is not in the zone %s"),
                          zone->zone_name);
}

static gboolean
check_as_of_now (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  RakeThing *const *things = (RakeThing *const *) refs->pdata;

  switch (entry->kind)
    {
    case RAKE_ENTRY_PASS:
      return check_zones_are_here (job, things + 2, refs->len - 2, error) &&
             check_stage_is_scheduled (things[0], error);
    case RAKE_ENTRY_BEGIN_STAGE:
      return check_stage_is_scheduled (things[1], error);
    case RAKE_ENTRY_LOOK:
    case RAKE_ENTRY_ACCEPTANCE:
    case RAKE_ENTRY_READING:
    case RAKE_ENTRY_REPAIR:
      return check_zones_are_here (job, things, 1, error);
    case RAKE_ENTRY_MARK:
    case RAKE_ENTRY_STATE:
      return check_zones_are_here (job, things[0]->refs, 1, error);
    case RAKE_ENTRY_REVISIT:
      return check_zones_are_here (job, things[0]->refs, 1, error) &&
             check_revisit (things[0], things[1], error);
    case RAKE_ENTRY_STRIKE:
      return check_strike (job, entry, things[0], error);
    case RAKE_ENTRY_PHOTO:
      return check_zones_are_here (job, things + 4, entry->photo.zones->len, error);
    case RAKE_ENTRY_DEFECT:
      return check_zones_are_here (job, things, 1, error) &&
             (things[1] == NULL || check_mark_is_in (things[0], things[1], error));
    case RAKE_ENTRY_HAND_OVER:
      return rake_record_check_hand_over (job, entry, error);
    case RAKE_ENTRY_WITHDRAWAL:
      return rake_photo_check_withdrawal (things[0], error);
    case RAKE_ENTRY_REGISTRATION:
      return rake_photo_check_registration (entry, things[1], error);
    default:
      return TRUE;
    }
}

static gboolean
check_new (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs, GError **error)
{
  if (rake_standing_of (job->flags->data, entry, (RakeThing *const *) refs->pdata, refs->len) != 0)
    return rake_job_refuse (
        error, RAKE_JOB_ERROR_REFERENCE,
        _ ("the entry speaks of something that was struck out, divided or joined"));
  return rake_record_check_closed (job, entry, refs, error) &&
         check_as_of_now (job, entry, refs, error);
}

static gboolean
belongs_at_end (const RakeJob *job, const RakeEntry *entry)
{
  const RakeThing *last = job->order->len > 0 ? job->order->pdata[job->order->len - 1] : NULL;

  return last == NULL || rake_job_compare_entries (last->entry, entry) <= 0;
}

gboolean
rake_job_check (const RakeJob *job, const RakeEntry *entry, GError **error)
{
  g_autoptr (GPtrArray) refs = g_ptr_array_new ();

  return rake_job_resolve (job, entry, FALSE, refs, error) &&
         (!belongs_at_end (job, entry) || check_new (job, entry, refs, error));
}

/* --- taking in --------------------------------------------------------------------------------------- */

static void
build_anew (RakeJob *job)
{
  g_autoptr (GByteArray) flags = rake_standing_compute (job, NULL);

  g_byte_array_unref (job->flags);
  job->flags = g_steal_pointer (&flags);
  rake_build_all (job);
  job->revision++;
}

static void
enter_at_end (RakeJob *job, RakeThing *thing)
{
  g_ptr_array_add (job->order, thing);
  thing->sequence = job->order->len;
  rake_standing_enter (job->flags->data, thing);
  if (job->flags->data[thing->serial] & RAKE_FLAG_VOID)
    job->n_void++;
  else
    rake_build_enter (job, thing);
  job->revision++;
}

static void
insert_in_order (RakeJob *job, RakeThing *thing)
{
  guint low = 0, high = job->order->len;

  while (low < high)
    {
      guint middle = low + (high - low) / 2;
      const RakeThing *there = job->order->pdata[middle];

      if (rake_job_compare_entries (there->entry, thing->entry) <= 0)
        low = middle + 1;
      else
        high = middle;
    }
  g_ptr_array_insert (job->order, (gint) low, thing);
}

gboolean
rake_job_apply (RakeJob *job, RakeEntry *entry, GError **error)
{
  g_autoptr (GPtrArray) refs = g_ptr_array_new ();
  gboolean is_last = belongs_at_end (job, entry);
  RakeThing *thing;

  if (!rake_job_resolve (job, entry, FALSE, refs, error) ||
      (is_last && !check_new (job, entry, refs, error)))
    return FALSE;
  thing = rake_job_register (job, entry, refs);
  if (is_last && entry->kind != RAKE_ENTRY_STRIKE)
    {
      enter_at_end (job, thing);
      return TRUE;
    }
  insert_in_order (job, thing);
  build_anew (job);
  return TRUE;
}

typedef struct
{
  RakeEntry *entry;
  guint index;
  RakeThing *thing; /* once it is registered */
} Arrival;

static int
compare_arrivals (gconstpointer a, gconstpointer b)
{
  const Arrival *one = a, *other = b;
  int by_order = rake_job_compare_entries (one->entry, other->entry);

  if (by_order != 0)
    return by_order;
  return one->index < other->index ? -1 : one->index > other->index;
}

/* In order, so that each finds what it speaks of. */
static GArray *
sort_arrivals (RakeEntry *const *entries, guint n_entries)
{
  GArray *arrivals = g_array_sized_new (FALSE, FALSE, sizeof (Arrival), n_entries);
  gboolean is_sorted = TRUE;

  for (guint i = 0; i < n_entries; i++)
    {
      Arrival arrival = { entries[i], i, NULL };
      is_sorted =
          is_sorted && (i == 0 || rake_job_compare_entries (entries[i - 1], entries[i]) <= 0);
      g_array_append_val (arrivals, arrival);
    }
  if (!is_sorted)
    g_array_sort (arrivals, compare_arrivals);
  return arrivals;
}

/* Registers all or none; the new things are the last ones in job->things.
 *
 * donor  a job that has the entries already, or NULL: what it checked and measured need not be done
 *        again */
static gboolean
register_arrivals (RakeJob *job, GArray *arrivals, const RakeJob *donor, guint *which,
                   GError **error)
{
  g_autoptr (GPtrArray) refs = g_ptr_array_new ();
  guint n_things = job->things->len;

  for (guint i = 0; i < arrivals->len; i++)
    {
      Arrival *arrival = &g_array_index (arrivals, Arrival, i);

      g_ptr_array_set_size (refs, 0);
      if (!rake_job_resolve (job, arrival->entry, donor != NULL, refs, error))
        {
          if (which != NULL)
            *which = arrival->index;
          rake_job_truncate_things (job, n_things);
          return FALSE;
        }
      arrival->thing = rake_job_register (job, arrival->entry, refs);
      if (donor != NULL && arrival->entry->kind == RAKE_ENTRY_ZONES)
        arrival->thing->places =
            rake_marks_copy_places (rake_job_find_thing (donor, arrival->entry->id));
    }
  return TRUE;
}

/* Both are sorted: one merge instead of an insertion each. */
static void
merge_into_order (RakeJob *job, const GArray *arrivals)
{
  GPtrArray *merged = g_ptr_array_sized_new (job->order->len + arrivals->len);
  guint taken = 0;

  for (guint i = 0; i < arrivals->len; i++)
    {
      const Arrival *arrival = &g_array_index (arrivals, Arrival, i);

      while (taken < job->order->len &&
             rake_job_compare_entries (((RakeThing *) job->order->pdata[taken])->entry,
                                       arrival->entry) <= 0)
        g_ptr_array_add (merged, job->order->pdata[taken++]);
      g_ptr_array_add (merged, arrival->thing);
    }
  while (taken < job->order->len)
    g_ptr_array_add (merged, job->order->pdata[taken++]);
  g_ptr_array_unref (job->order);
  job->order = merged;
}

static gboolean
adopt (RakeJob *job, RakeEntry *const *entries, guint n_entries, const RakeJob *donor, guint *which,
       GError **error)
{
  g_autoptr (GArray) arrivals = sort_arrivals (entries, n_entries);
  gboolean all_last =
      n_entries == 0 || belongs_at_end (job, g_array_index (arrivals, Arrival, 0).entry);

  if (!register_arrivals (job, arrivals, donor, which, error))
    return FALSE;
  for (guint i = 0; all_last && i < n_entries; i++)
    if (entries[i]->kind == RAKE_ENTRY_STRIKE)
      all_last = FALSE;
  if (all_last)
    {
      for (guint i = 0; i < n_entries; i++)
        enter_at_end (job, g_array_index (arrivals, Arrival, i).thing);
      return TRUE;
    }
  merge_into_order (job, arrivals);
  build_anew (job);
  return TRUE;
}

gboolean
rake_job_adopt (RakeJob *job, RakeEntry *const *entries, guint n_entries, guint *which,
                GError **error)
{
  return adopt (job, entries, n_entries, NULL, which, error);
}

void
rake_job_forget (RakeJob *job, RakeEntry *const *entries, guint n_entries)
{
  g_autoptr (GPtrArray) kept = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  g_autoptr (GHashTable) gone = g_hash_table_new (rake_id_hash_key, rake_id_equal_key);

  for (guint i = 0; i < n_entries; i++)
    g_hash_table_add (gone, (gpointer) &entries[i]->id);
  for (guint i = 0; i < job->order->len; i++)
    {
      RakeEntry *entry = ((RakeThing *) job->order->pdata[i])->entry;
      if (!g_hash_table_contains (gone, &entry->id))
        g_ptr_array_add (kept, rake_entry_ref (entry));
    }
  rake_build_clear (job);
  g_ptr_array_set_size (job->order, 0);
  rake_job_truncate_things (job, 0);
  /* what was just applied is last: nothing that is kept can speak of it */
  if (!adopt (job, (RakeEntry *const *) kept->pdata, kept->len, NULL, NULL, NULL))
    g_critical ("entries were forgotten that others speak of");
  job->revision++;
}

RakeJob *
rake_job_new_until (const RakeJob *job, guint n_entries)
{
  RakeJob *until = rake_job_new ();
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();

  for (guint i = 0; i < MIN (n_entries, job->order->len); i++)
    g_ptr_array_add (entries, ((RakeThing *) job->order->pdata[i])->entry);
  if (!adopt (until, (RakeEntry *const *) entries->pdata, entries->len, job, NULL, NULL))
    g_critical ("the first entries of a job do not make a job");
  return until;
}

/* --- giving out -------------------------------------------------------------------------------------- */

guint
rake_job_get_n_entries (const RakeJob *job)
{
  return job->order->len;
}

RakeEntry *
rake_job_get_entry (const RakeJob *job, guint index)
{
  g_return_val_if_fail (index < job->order->len, NULL);
  return ((RakeThing *) job->order->pdata[index])->entry;
}

RakeEntry *
rake_job_find_entry (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);
  return thing != NULL ? thing->entry : NULL;
}

static gboolean
has_flag (const RakeJob *job, RakeId id, guint flag)
{
  const RakeThing *thing = rake_job_find_thing (job, id);
  return thing != NULL && thing->entry != NULL && (job->flags->data[thing->serial] & flag) != 0;
}

gboolean
rake_job_is_struck (const RakeJob *job, RakeId entry_id)
{
  return has_flag (job, entry_id, RAKE_FLAG_STRUCK);
}

gboolean
rake_job_is_void (const RakeJob *job, RakeId entry_id)
{
  return has_flag (job, entry_id, RAKE_FLAG_VOID);
}

guint
rake_job_get_n_void (const RakeJob *job)
{
  return job->n_void;
}

guint64
rake_job_get_revision (const RakeJob *job)
{
  return job->revision;
}

guint64
rake_job_get_shop_revision (const RakeJob *job)
{
  return job->n_shop_changes;
}

const RakeJobFacts *
rake_job_find_facts (const RakeJob *job)
{
  return job->facts != NULL ? &job->facts->job : NULL;
}

const RakeRulesBody *
rake_job_find_rules (const RakeJob *job)
{
  return job->rules != NULL ? &job->rules->rules : NULL;
}

guint
rake_job_get_n_faces (const RakeJob *job)
{
  return job->faces->len;
}

const RakeFace *
rake_job_get_face (const RakeJob *job, guint index)
{
  g_return_val_if_fail (index < job->faces->len, NULL);
  return job->faces->pdata[index];
}

const RakeFace *
rake_job_find_face (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);
  return thing != NULL && thing->shown_face != NULL ? &thing->shown_face->face : NULL;
}

const RakeZone *
rake_job_find_zone (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);
  return thing != NULL && thing->shown_zone != NULL && thing->shown_zone->is_here
             ? &thing->shown_zone->zone
             : NULL;
}

const RakeMark *
rake_job_find_mark (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);

  if (thing == NULL)
    return NULL;
  for (const RakeShownMark *mark = thing->shown_marks; mark != NULL; mark = mark->next)
    if (mark->mark.closed_by == NULL)
      return &mark->mark;
  return thing->shown_marks != NULL ? &thing->shown_marks->mark : NULL;
}

const RakeStage *
rake_job_find_stage (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);
  return thing != NULL && thing->shown_stage != NULL ? &thing->shown_stage->stage : NULL;
}

const RakeEntry *
rake_job_find_wheel (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);
  return thing != NULL ? thing->shown_wheel : NULL;
}

const RakeZone *
rake_face_find_zone_at (const RakeFace *face, double x_mm, double y_mm)
{
  for (guint i = 0; i < face->zones->len; i++)
    {
      const RakeZone *zone = face->zones->pdata[i];
      RakeBounds bounds = rake_shape_get_bounds (zone->shape);

      if (x_mm >= bounds.min_x_mm && x_mm <= bounds.max_x_mm && y_mm >= bounds.min_y_mm &&
          y_mm <= bounds.max_y_mm && rake_shape_contains (zone->shape, x_mm, y_mm))
        return zone;
    }
  return NULL;
}
