/* record.c - the defects and claims of a job with all that a slip or a report says of them. */
#include "job-private.h"

#include <math.h>

#include "i18n.h"
#include "shape-private.h"

/* --- where it is now ------------------------------------------------------------------------------ */

/* The zone, or the first of those that it became. */
static const RakeShownZone *
find_zone_here (const RakeShownZone *zone)
{
  const RakeShownZone *found = zone != NULL && zone->is_here ? zone : NULL;

  for (guint i = 0; zone != NULL && found == NULL && i < zone->heirs->len; i++)
    found = find_zone_here (zone->heirs->pdata[i]);
  return found;
}

static const RakeShownMark *
find_mark_here (const RakeThing *mark)
{
  for (const RakeShownMark *copy = mark->shown_marks; copy != NULL; copy = copy->next)
    if (copy->shown_zone->is_here)
      return copy;
  return NULL;
}

static const RakeFace *
get_face (const RakeThing *thing)
{
  const RakeThing *face = thing != NULL ? thing->face : NULL;

  return face != NULL && face->shown_face != NULL ? &face->shown_face->face : NULL;
}

/* --- defects --------------------------------------------------------------------------------------- */

/* The mark that was said last; most tellings say none. */
static const RakeThing *
find_mark_said (const RakeJob *job, const GPtrArray *story)
{
  for (guint i = story->len; i-- > 0;)
    {
      const RakeEntry *entry = story->pdata[i];

      if (!rake_id_is_nil (entry->defect.mark))
        return rake_job_find_thing (job, entry->defect.mark);
    }
  return NULL;
}

static const char *
find_name (const RakeDefect *defect, const RakeThing *mark)
{
  for (guint i = defect->story->len; i-- > 0;)
    {
      const char *what = ((const RakeEntry *) defect->story->pdata[i])->defect.what;

      if (what != NULL && *what != '\0')
        return what;
    }
  return mark != NULL ? _ (rake_mark_kind_get_label (mark->entry->mark.mark)) : _ ("A fault");
}

/* What the zone's history says of the time before @look. */
static void
look_back (RakeDefect *defect, const RakeThing *look)
{
  const GPtrArray *history;

  defect->look = look->entry;
  defect->found_ms = look->entry->happened_ms;
  defect->lamp_deg = look->entry->look.lamp_deg;
  if (defect->zone == NULL)
    return;
  history = defect->zone->history;
  for (guint i = 0; i < history->len && history->pdata[i] != look->entry; i++)
    if (((const RakeEntry *) history->pdata[i])->kind == RAKE_ENTRY_PASS)
      defect->pass = history->pdata[i];
}

static void
measure (RakeDefect *defect, const RakeShape *shape)
{
  rake_shape_get_inner_point (shape, &defect->x_mm, &defect->y_mm);
  if (defect->face != NULL)
    defect->from_edge_mm = rake_shape_get_edge_gap_mm (shape, defect->face->outline);
  defect->length_mm = rake_shape_get_extent_mm (shape);
  defect->area_mm2 = rake_shape_get_area_mm2 (shape);
}

static RakeDefect *
new_defect (const RakeJob *job, const RakeStoryTold *told)
{
  RakeDefect *defect = g_new0 (RakeDefect, 1);
  const RakeThing *mark = find_mark_said (job, told->entries), *zone;
  const RakeShownMark *shown = mark != NULL ? find_mark_here (mark) : NULL;
  const RakeShownZone *shown_zone;

  defect->id = told->thing->id;
  defect->entry = told->thing->entry;
  defect->story = told->entries;
  defect->told = told->entries->pdata[told->entries->len - 1];
  zone = rake_job_find_thing (job, defect->told->defect.zone);
  shown_zone = shown != NULL ? shown->shown_zone : find_zone_here (zone->shown_zone);
  defect->face = get_face (told->thing);
  defect->zone = shown_zone != NULL ? &shown_zone->zone : NULL;
  defect->mark = shown != NULL ? &shown->mark : NULL;
  defect->what = find_name (defect, mark);
  defect->found_ms = defect->entry->happened_ms;
  defect->lamp_deg = defect->x_mm = defect->y_mm = defect->from_edge_mm = NAN;
  defect->length_mm = defect->area_mm2 = NAN;
  if (mark != NULL)
    look_back (defect, mark->refs[0]);
  if (shown == NULL)
    return defect;
  defect->stage = shown->mark.stage;
  measure (defect, shown->mark.shape);
  return defect;
}

void
rake_defect_free (RakeDefect *defect)
{
  g_free (defect);
}

GPtrArray *
rake_job_list_defects (const RakeJob *job)
{
  GPtrArray *defects = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_defect_free);

  for (guint i = 0; i < job->defects->len; i++)
    g_ptr_array_add (defects, new_defect (job, job->defects->pdata[i]));
  return defects;
}

/* The first of a story, for the id of any of its entries. */
static const RakeStoryTold *
find_story (const RakeJob *job, RakeId id, RakeEntryKind kind, guint first_ref)
{
  const RakeThing *thing = rake_job_find_thing (job, id);

  if (thing == NULL || thing->entry == NULL || thing->entry->kind != kind)
    return NULL;
  return thing->refs[first_ref] != NULL ? thing->refs[first_ref]->told : thing->told;
}

RakeDefect *
rake_job_find_defect (const RakeJob *job, RakeId id)
{
  const RakeStoryTold *told = find_story (job, id, RAKE_ENTRY_DEFECT, 2);

  return told != NULL ? new_defect (job, told) : NULL;
}

static gboolean
mends (const RakeEntry *repair, const RakeDefect *defect)
{
  const GArray *marks = repair->repair.marks;

  if (defect->mark == NULL)
    return TRUE;
  for (guint i = 0; i < marks->len; i++)
    if (rake_id_equal (g_array_index (marks, RakeId, i), defect->mark->entry->id))
      return TRUE;
  return FALSE;
}

GPtrArray *
rake_defect_list_repairs (const RakeDefect *defect)
{
  GPtrArray *repairs = g_ptr_array_new ();
  const RakeEntry *found = defect->look != NULL ? defect->look : defect->entry;

  for (guint i = 0; defect->zone != NULL && i < defect->zone->history->len; i++)
    {
      const RakeEntry *entry = defect->zone->history->pdata[i];

      if (entry->kind == RAKE_ENTRY_REPAIR && rake_job_compare_entries (entry, found) > 0 &&
          mends (entry, defect))
        g_ptr_array_add (repairs, (gpointer) entry);
    }
  return repairs;
}

/* --- claims ---------------------------------------------------------------------------------------- */

static void
find_place (const RakeJob *job, RakeClaim *claim)
{
  const RakeThing *thing = rake_job_find_thing (job, claim->about);
  const RakeShownZone *zone;

  if (thing == NULL)
    return;
  claim->face = get_face (thing);
  if (thing->entry != NULL && thing->entry->kind == RAKE_ENTRY_DEFECT)
    {
      g_autoptr (RakeDefect) defect = rake_job_find_defect (job, claim->about);

      claim->defect = claim->about;
      claim->zone = defect != NULL ? defect->zone : NULL;
      claim->mark = defect != NULL ? defect->mark : NULL;
    }
  else if (thing->entry != NULL && thing->entry->kind == RAKE_ENTRY_MARK)
    {
      const RakeShownMark *mark = find_mark_here (thing);

      claim->zone = mark != NULL ? &mark->shown_zone->zone : NULL;
      claim->mark = mark != NULL ? &mark->mark : NULL;
    }
  else if (thing->entry == NULL || thing->shown_zone == NULL || thing->shown_zone->is_here)
    {
      /* a face that was divided is meant as a whole */
      zone = find_zone_here (thing->shown_zone);
      claim->zone = zone != NULL ? &zone->zone : NULL;
    }
}

static RakeClaim *
new_claim (const RakeJob *job, const RakeStoryTold *told)
{
  RakeClaim *claim = g_new0 (RakeClaim, 1);

  claim->id = told->thing->id;
  claim->entry = told->thing->entry;
  claim->story = told->entries;
  claim->told = told->entries->pdata[told->entries->len - 1];
  claim->is_open = claim->told->claim.decision == RAKE_DECISION_OPEN;
  for (guint i = told->entries->len; i-- > 0 && rake_id_is_nil (claim->about);)
    claim->about = ((const RakeEntry *) told->entries->pdata[i])->claim.about;
  find_place (job, claim);
  for (guint i = 0; i < job->hand_overs->len; i++)
    {
      const RakeThing *hand_over = job->hand_overs->pdata[i];

      if (rake_job_compare_entries (hand_over->entry, claim->entry) > 0)
        break;
      claim->hand_over = hand_over->entry;
      claim->n_entries_then = hand_over->sequence;
    }
  return claim;
}

void
rake_claim_free (RakeClaim *claim)
{
  g_free (claim);
}

GPtrArray *
rake_job_list_claims (const RakeJob *job)
{
  GPtrArray *claims = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_claim_free);

  for (guint i = 0; i < job->claims->len; i++)
    g_ptr_array_add (claims, new_claim (job, job->claims->pdata[i]));
  return claims;
}

RakeClaim *
rake_job_find_claim (const RakeJob *job, RakeId id)
{
  const RakeStoryTold *told = find_story (job, id, RAKE_ENTRY_CLAIM, 1);

  return told != NULL ? new_claim (job, told) : NULL;
}
