/* job-marks.c - marks: where they are, whether they are open, when they were last seen.
 *
 * A mark is kept once for each zone it lies in, because a look is of one zone: what is gone in one
 * part may still be there in the other. docs/judging.md, "Marks from before". */
#include "job-private.h"

#include <math.h>

gboolean
rake_look_is_proper (const RakeShownZone *zone, const RakeThing *look)
{
  const RakeLookBody *body = &look->entry->look;
  gboolean is_wiped = body->wiped_with > RAKE_WIPE_NOTHING;

  /* entered late, but made before the pass happened: as stale as one entered then */
  if (zone->last_pass > 0 && look->entry->happened_ms < zone->last_pass_happened_ms)
    return FALSE;
  return body->surface == RAKE_SURFACE_DRY && (is_wiped || !zone->has_pass_since_coat) &&
         look->sequence > zone->last_pass && look->sequence > zone->last_repair &&
         look->sequence > zone->shown_face->last_coat;
}

/* --- keeping ----------------------------------------------------------------------------------------- */

static RakeShownMark *
find_in_zone (const RakeThing *thing, const RakeShownZone *zone)
{
  for (RakeShownMark *mark = thing->shown_marks; mark != NULL; mark = mark->next)
    if (mark->shown_zone == zone)
      return mark;
  return NULL;
}

static RakeShownMark *
add_mark (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  RakeShownMark *mark = g_new0 (RakeShownMark, 1);

  mark->thing = thing;
  mark->shown_zone = zone;
  mark->next = thing->shown_marks;
  thing->shown_marks = mark;
  g_ptr_array_add (job->marks, mark);
  g_ptr_array_add (zone->zone.marks, mark);
  rake_zone_touch (zone);
  return mark;
}

/* To be called when a mark has come into the zone or was opened again. */
static void
list_if_open_low_spot (RakeShownMark *mark)
{
  RakeShownZone *zone = mark->shown_zone;

  if (mark->mark.kind != RAKE_MARK_LOW_SPOT || mark->mark.closed_by != NULL)
    return;
  /* What is seen at or after the pass is not closed by saying it again. */
  if (mark->last_seen < zone->last_pass)
    zone->said_again_pass = 0;
  if (mark->is_listed)
    return;
  mark->is_listed = TRUE;
  g_ptr_array_add (zone->open_low_spots, mark);
}

/* Two parts of a zone that has a mark in both are joined: what is open in either is open, and it was
 * seen when both were. */
static void
merge_mark (RakeShownMark *mark, const RakeShownMark *other)
{
  if (other->mark.closed_by == NULL)
    mark->mark.closed_by = NULL;
  if (other->last_seen < mark->last_seen)
    {
      mark->last_seen = other->last_seen;
      mark->mark.last_seen = other->mark.last_seen;
    }
  else if (other->last_seen > mark->last_seen)
    mark->mark.shape = other->mark.shape;
}

/* The mark as it is in a zone that is no longer here comes into one that is. */
static void
bring (RakeJob *job, RakeShownZone *heir, const RakeShownMark *old)
{
  RakeShownMark *mark = find_in_zone (old->thing, heir);

  if (mark != NULL)
    {
      merge_mark (mark, old);
      list_if_open_low_spot (mark);
      return;
    }
  mark = add_mark (job, heir, old->thing);
  mark->mark = old->mark;
  mark->found = old->found;
  mark->last_seen = old->last_seen;
  list_if_open_low_spot (mark);
}

static void
drop_copies_in (RakeThing *thing, const RakeShownZone *zone)
{
  RakeShownMark **link = &thing->shown_marks;

  while (*link != NULL)
    if ((*link)->shown_zone == zone)
      *link = (*link)->next;
    else
      link = &(*link)->next;
}

/* --- places ------------------------------------------------------------------------------------------ */

static gboolean
bounds_touch (const RakeShape *a, const RakeShape *b)
{
  RakeBounds one = rake_shape_get_bounds (a), other = rake_shape_get_bounds (b);

  return one.min_x_mm <= other.max_x_mm && other.min_x_mm <= one.max_x_mm &&
         one.min_y_mm <= other.max_y_mm && other.min_y_mm <= one.max_y_mm;
}

/* Of several areas the one that a place is in or nearest to: for what lies on the very edge. */
static guint
find_nearest (const RakeShape *place, const GPtrArray *zones)
{
  double x_mm, y_mm, least_mm = INFINITY;
  guint nearest = 0;

  rake_shape_get_inner_point (place, &x_mm, &y_mm);
  for (guint i = 0; i < zones->len; i++)
    {
      const RakeShape *shape = ((const RakeShownZone *) zones->pdata[i])->zone.shape;
      double away_mm = rake_shape_contains (shape, x_mm, y_mm)
                           ? 0
                           : rake_shape_get_distance_to_edge_mm (shape, x_mm, y_mm);

      if (away_mm < least_mm)
        {
          least_mm = away_mm;
          nearest = i;
        }
    }
  return nearest;
}

static GArray *
compute_places (const RakeShape *place, const GPtrArray *zones)
{
  GArray *indices = g_array_new (FALSE, FALSE, sizeof (guint));
  /* a point on the edge between two zones is inside both, and yet one mark */
  guint most = rake_shape_get_kind (place) == RAKE_SHAPE_POINT ? 1 : G_MAXUINT;

  for (guint i = 0; i < zones->len && indices->len < most; i++)
    {
      const RakeShape *shape = ((const RakeShownZone *) zones->pdata[i])->zone.shape;

      if (bounds_touch (place, shape) && rake_shape_overlaps (place, shape))
        g_array_append_val (indices, i);
    }
  if (indices->len == 0)
    {
      guint nearest = find_nearest (place, zones);
      g_array_append_val (indices, nearest);
    }
  return indices;
}

static void
unref_indices (gpointer indices)
{
  g_array_unref (indices);
}

/* A table from a place (RakeShape *, kept, so that its address stays its own) to indices. */
static GHashTable *
new_places (void)
{
  return g_hash_table_new_full (NULL, NULL, (GDestroyNotify) rake_shape_unref, unref_indices);
}

GHashTable *
rake_marks_copy_places (const RakeThing *thing)
{
  GHashTable *copy;
  GHashTableIter iter;
  gpointer place, indices;

  if (thing->places == NULL)
    return NULL;
  copy = new_places ();
  g_hash_table_iter_init (&iter, thing->places);
  while (g_hash_table_iter_next (&iter, &place, &indices))
    g_hash_table_insert (copy, rake_shape_ref (place), g_array_ref (indices));
  return copy;
}

/* Which of the zones that @division added hold @place. Kept with the division: neither its zones nor
 * the place ever change, and building the job anew should not ask the geometry again. */
static const GArray *
find_places (RakeThing *division, const RakeShape *place, const GPtrArray *added)
{
  GArray *indices;

  if (division->places == NULL)
    division->places = new_places ();
  indices = g_hash_table_lookup (division->places, place);
  if (indices == NULL)
    {
      indices = compute_places (place, added);
      g_hash_table_insert (division->places, rake_shape_ref ((RakeShape *) place), indices);
    }
  return indices;
}

void
rake_marks_inherit (RakeJob *job, RakeThing *division, GPtrArray *removed, GPtrArray *added)
{
  static const guint first[] = { 0 };

  for (guint i = 0; i < removed->len; i++)
    {
      RakeShownZone *zone = removed->pdata[i];

      for (guint j = 0; j < zone->zone.marks->len; j++)
        {
          RakeShownMark *mark = zone->zone.marks->pdata[j];
          const guint *indices = first;
          guint n_indices = 1;

          if (added->len > 1)
            {
              const GArray *places = find_places (division, mark->mark.shape, added);
              indices = (const guint *) (gpointer) places->data;
              n_indices = places->len;
            }
          for (guint k = 0; k < n_indices; k++)
            bring (job, added->pdata[indices[k]], mark);
          drop_copies_in (mark->thing, zone);
        }
    }
}

/* --- entries ----------------------------------------------------------------------------------------- */

static gboolean
is_of_six_states (RakeMarkKind kind)
{
  return kind <= RAKE_MARK_SAND_THROUGH;
}

static gboolean
is_before_pass (const RakeShownZone *zone, const RakeShownMark *mark)
{
  return mark->mark.stage == zone->zone.stage && mark->last_seen < zone->last_pass &&
         mark->found > zone->shown_face->last_coat;
}

/* A fresh proper statement after a pass says again where the low spots of this stage are: those from
 * before the pass that it does not repeat are gone.
 *
 * The first statement after a pass does all of it, and the others have nothing to go through: with
 * all marks of the zone gone through for each mark, large jobs took most of their time here. */
static void
close_low_spots_said_again (RakeShownZone *zone, const RakeThing *look, const RakeEntry *statement)
{
  GPtrArray *listed = zone->open_low_spots;
  guint n_open = 0;

  if (!rake_look_is_proper (zone, look) || zone->last_pass == 0 ||
      (zone->said_again_pass == zone->last_pass && zone->said_again_stage == zone->zone.stage))
    return;
  for (guint i = 0; i < listed->len; i++)
    {
      RakeShownMark *mark = listed->pdata[i];

      if (mark->mark.closed_by == NULL && is_before_pass (zone, mark))
        mark->mark.closed_by = statement;
      mark->is_listed = mark->mark.closed_by == NULL;
      if (mark->is_listed)
        listed->pdata[n_open++] = mark;
    }
  g_ptr_array_set_size (listed, (gint) n_open);
  zone->said_again_pass = zone->last_pass;
  zone->said_again_stage = zone->zone.stage;
}

static void
state_in_zone (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  rake_zone_write_down (zone, thing);
  close_low_spots_said_again (zone, thing->refs[0], thing->entry);
}

void
rake_mark_enter_state (RakeJob *job, RakeThing *thing)
{
  rake_zone_enter (job, thing->refs[0]->refs[0]->shown_zone, thing, state_in_zone);
}

static void
mark_in_history (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  rake_zone_write_down (zone, thing);
  if (is_of_six_states (thing->entry->mark.mark))
    close_low_spots_said_again (zone, thing->refs[0], thing->entry);
}

static RakeThing *
get_division (const RakeShownZone *zone)
{
  return ((const RakeShownZone *) zone->heirs->pdata[0])->thing->zone_maker;
}

static void
choose_heirs_by_place (RakeShownZone *zone, RakeThing *thing, GPtrArray *waiting)
{
  const GArray *places;

  if (zone->heirs->len == 1)
    {
      g_ptr_array_add (waiting, zone->heirs->pdata[0]);
      return;
    }
  places = find_places (get_division (zone), thing->entry->mark.shape, zone->heirs);
  for (guint i = 0; i < places->len; i++)
    g_ptr_array_add (waiting, zone->heirs->pdata[g_array_index (places, guint, i)]);
}

static void
put_mark (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  const RakeEntry *entry = thing->entry;
  RakeShownMark *mark = add_mark (job, zone, thing);

  mark->found = thing->sequence;
  mark->last_seen = thing->refs[0]->sequence;
  mark->mark.entry = entry;
  mark->mark.kind = entry->mark.mark;
  mark->mark.shape = entry->mark.shape;
  mark->mark.stage = zone->zone.stage;
  mark->mark.last_seen = thing->refs[0]->entry;
  list_if_open_low_spot (mark);
}

/* A mark is in its look's zone; when that is no longer here, in what became of its place. */
void
rake_mark_enter (RakeJob *job, RakeThing *thing)
{
  RakeShownZone *zone = thing->refs[0]->refs[0]->shown_zone;

  rake_zone_enter (job, zone, thing, mark_in_history);
  rake_zone_for_each_heir (job, zone, choose_heirs_by_place, put_mark, thing);
}

/* Bad news counts from any look, good news only from a proper one. */
static void
revisit_in_zone (RakeShownZone *zone, RakeThing *thing)
{
  const RakeRevisitBody *revisit = &thing->entry->revisit;
  RakeThing *look = thing->refs[0];
  RakeShownMark *mark = find_in_zone (thing->refs[1], zone);

  if (mark == NULL || (revisit->outcome == RAKE_OUTCOME_GONE && !rake_look_is_proper (zone, look)))
    return;
  if (revisit->outcome == RAKE_OUTCOME_GONE)
    mark->mark.closed_by = thing->entry;
  else
    {
      mark->mark.closed_by = NULL;
      if (revisit->shape != NULL)
        mark->mark.shape = revisit->shape;
    }
  mark->mark.last_seen = look->entry;
  mark->last_seen = look->sequence;
  list_if_open_low_spot (mark);
}

/* A mark that is still there is said again, so it is a statement as a new one is. */
static void
revisit_in_history (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  rake_zone_write_down (zone, thing);
  revisit_in_zone (zone, thing);
  if (thing->entry->revisit.outcome == RAKE_OUTCOME_STILL_THERE &&
      is_of_six_states (thing->refs[1]->entry->mark.mark))
    close_low_spots_said_again (zone, thing->refs[0], thing->entry);
}

void
rake_mark_enter_revisit (RakeJob *job, RakeThing *thing)
{
  rake_zone_enter (job, thing->refs[0]->refs[0]->shown_zone, thing, revisit_in_history);
}

void
rake_mark_close_by_repair (RakeJob *job, RakeThing *mark, const RakeEntry *repair)
{
  for (RakeShownMark *copy = mark->shown_marks; copy != NULL; copy = copy->next)
    {
      copy->mark.was_repaired = TRUE;
      rake_zone_touch (copy->shown_zone);
      if (copy->mark.closed_by == NULL)
        copy->mark.closed_by = repair;
    }
}
