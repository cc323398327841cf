/* job-zones.c - zones and what they inherit.
 *
 * A zone cut from another has its history: passes and looks went over all of it. A joined zone has
 * the passes of all its parts and none of their looks: it must be looked at as one. */
#include "job-private.h"

#include <math.h>

void
rake_zone_free (RakeShownZone *zone)
{
  g_clear_pointer (&zone->zone.history, g_ptr_array_unref);
  g_clear_pointer (&zone->zone.marks, g_ptr_array_unref);
  g_ptr_array_unref (zone->heirs);
  g_clear_pointer (&zone->open_low_spots, g_ptr_array_unref);
  g_free (zone);
}

void
rake_zone_touch (RakeShownZone *zone)
{
  zone->zone.revision = ++zone->shown_face->job->n_zone_changes;
}

RakeShownZone *
rake_zone_show (RakeJob *job, RakeShownFace *face, RakeThing *thing)
{
  RakeShownZone *zone = g_new0 (RakeShownZone, 1);

  zone->thing = thing;
  zone->shown_face = face;
  zone->is_here = TRUE;
  zone->heirs = g_ptr_array_new ();
  zone->open_low_spots = g_ptr_array_new ();
  zone->zone.id = thing->id;
  zone->zone.face = &face->face;
  zone->zone.name = thing->zone_name;
  zone->zone.shape = thing->zone_shape;
  zone->zone.edge_factor = 1;
  zone->zone.coat_factor = 1;
  zone->zone.reserve_um = NAN;
  zone->zone.history = g_ptr_array_new ();
  zone->zone.marks = g_ptr_array_new ();
  thing->shown_zone = zone;
  rake_zone_touch (zone);
  g_ptr_array_add (job->zones, zone);
  g_ptr_array_add (face->face.zones, zone);
  return zone;
}

/* --- stages ----------------------------------------------------------------------------------------- */

/* A schedule may have dropped the zone's own first stage. Beginning coarser would be a loss of film,
 * so the zone begins at the first stage that is no coarser. */
static const RakeStage *
find_first_stage (const RakeShownZone *zone)
{
  const GPtrArray *stages = zone->shown_face->face.stages;
  const RakeStage *own = zone->own_first != NULL ? &zone->own_first->stage : NULL;

  if (stages->len == 0)
    return NULL;
  if (own == NULL)
    return stages->pdata[0];
  if (zone->own_first->is_scheduled)
    return own;
  for (guint i = 0; i < stages->len; i++)
    {
      const RakeStage *stage = stages->pdata[i];
      if (stage->action > own->action ||
          (stage->action == own->action && stage->d50_um <= own->d50_um))
        return stage;
    }
  return stages->pdata[0];
}

void
rake_zone_update_stage (RakeShownZone *zone)
{
  if (zone->own_stage != NULL && !zone->own_stage->is_scheduled)
    zone->own_stage = NULL;
  zone->zone.stage =
      zone->own_stage != NULL ? &zone->own_stage->stage : zone->shown_face->face.stage;
  zone->zone.first_stage = find_first_stage (zone);
  rake_zone_touch (zone);
}

/* --- facts ------------------------------------------------------------------------------------------- */

/* A new zone and new facts of one say the same things. */
static void
set_facts (RakeShownZone *zone, const RakeZoneFactsBody *facts, const RakeThing *first_stage)
{
  if (facts->name != NULL && *facts->name != '\0')
    zone->zone.name = facts->name;
  if (facts->is_edge != RAKE_ANSWER_UNSAID)
    zone->zone.is_edge = facts->is_edge == RAKE_ANSWER_YES;
  if (!isnan (facts->edge_factor))
    zone->zone.edge_factor = facts->edge_factor;
  if (!isnan (facts->coat_factor))
    zone->zone.coat_factor = facts->coat_factor;
  if (!isnan (facts->reserve_um))
    zone->zone.reserve_um = facts->reserve_um;
  if (facts->is_hard_to_reach != RAKE_ANSWER_UNSAID)
    zone->hard_to_reach = facts->is_hard_to_reach;
  zone->zone.is_hard_to_reach = zone->hard_to_reach == RAKE_ANSWER_UNSAID
                                    ? zone->zone.is_edge
                                    : zone->hard_to_reach == RAKE_ANSWER_YES;
  if (first_stage != NULL && first_stage->shown_stage != NULL)
    zone->own_first = first_stage->shown_stage;
}

static void
set_facts_of_new (RakeShownZone *zone, const RakeZoneSpec *spec, const RakeThing *first_stage)
{
  const RakeZoneFactsBody facts = {
    .name = spec->name,
    .is_edge = spec->is_edge,
    .edge_factor = spec->edge_factor,
    .coat_factor = spec->coat_factor,
    .reserve_um = spec->reserve_um,
    .is_hard_to_reach = spec->is_hard_to_reach,
  };

  set_facts (zone, &facts, first_stage);
}

void
rake_zone_set_facts (RakeJob *job, RakeThing *thing)
{
  const RakeZoneFactsBody *facts = &thing->entry->zone_facts;
  RakeShownZone *zone = thing->refs[0]->shown_zone;

  set_facts (zone, facts, thing->refs[1]);
  rake_zone_update_stage (zone);
}

static gboolean
is_same (double a, double b)
{
  return a <= b && a >= b;
}

/* What is not said of a new zone is as it was where the zones before agree; of reserves the largest,
 * for a reserve forgotten is a sand-through. */
static void
inherit_facts (RakeShownZone *heir, const GPtrArray *removed)
{
  const RakeShownZone *first = removed->pdata[0];
  gboolean same_edge = TRUE, same_factor = TRUE, same_coat = TRUE, same_reach = TRUE;
  gboolean same_first = TRUE;
  double reserve_um = NAN;

  for (guint i = 0; i < removed->len; i++)
    {
      const RakeShownZone *zone = removed->pdata[i];

      same_edge &= zone->zone.is_edge == first->zone.is_edge;
      same_factor &= is_same (zone->zone.edge_factor, first->zone.edge_factor);
      same_coat &= is_same (zone->zone.coat_factor, first->zone.coat_factor);
      same_reach &= zone->hard_to_reach == first->hard_to_reach;
      same_first &= zone->own_first == first->own_first;
      reserve_um = fmax (reserve_um, zone->zone.reserve_um); /* the number, if one is NaN */
    }
  heir->zone.is_edge = same_edge && first->zone.is_edge;
  heir->zone.edge_factor = same_factor ? first->zone.edge_factor : 1;
  heir->zone.coat_factor = same_coat ? first->zone.coat_factor : 1;
  heir->hard_to_reach = same_reach ? first->hard_to_reach : RAKE_ANSWER_UNSAID;
  heir->zone.reserve_um = reserve_um;
  heir->own_first = same_first ? first->own_first : NULL;
}

/* --- history ----------------------------------------------------------------------------------------- */

/* What was said of a part in a look is not said of the whole that it became part of. */
static gboolean
is_passed_on_by_joining (RakeEntryKind kind)
{
  return kind != RAKE_ENTRY_LOOK && kind != RAKE_ENTRY_MARK && kind != RAKE_ENTRY_REVISIT &&
         kind != RAKE_ENTRY_STATE && kind != RAKE_ENTRY_ACCEPTANCE;
}

/* Zones may be divided and joined over and over, and then many ways lead to one heir: each zone is
 * asked once, and the way is kept in a list, however long it gets. */
void
rake_zone_for_each_heir (RakeJob *job, RakeShownZone *zone, RakeChooseHeirs choose,
                         RakeEnterZone enter, RakeThing *thing)
{
  g_autoptr (GPtrArray) waiting = NULL;

  if (zone->is_here)
    {
      enter (job, zone, thing);
      return;
    }
  waiting = g_ptr_array_new ();
  job->n_walks++;
  g_ptr_array_add (waiting, zone);
  while (waiting->len > 0)
    {
      RakeShownZone *next = g_ptr_array_steal_index_fast (waiting, waiting->len - 1);

      if (next->walked == job->n_walks)
        continue;
      next->walked = job->n_walks;
      if (next->is_here)
        enter (job, next, thing);
      else
        choose (next, thing, waiting);
    }
}

static void
choose_all_heirs (RakeShownZone *zone, RakeThing *thing, GPtrArray *waiting)
{
  if (!zone->is_joined_away || is_passed_on_by_joining (thing->entry->kind))
    g_ptr_array_extend (waiting, zone->heirs, NULL, NULL);
}

void
rake_zone_enter (RakeJob *job, RakeShownZone *zone, RakeThing *thing, RakeEnterZone enter)
{
  rake_zone_for_each_heir (job, zone, choose_all_heirs, enter, thing);
}

static void
write_line (RakeShownZone *zone, RakeEntry *entry)
{
  g_ptr_array_add (zone->zone.history, entry);
  zone->n_film_readings +=
      entry->kind == RAKE_ENTRY_READING && entry->reading.quantity == RAKE_QUANTITY_FILM_UM;
}

gboolean
rake_zone_write_down (RakeShownZone *zone, RakeThing *thing)
{
  GPtrArray *history = zone->zone.history;

  if (history->len > 0 && history->pdata[history->len - 1] == thing->entry)
    return FALSE;
  write_line (zone, thing->entry);
  rake_zone_touch (zone);
  return TRUE;
}

static void
inherit_by_cut (RakeShownZone *heir, const RakeShownZone *zone)
{
  g_ptr_array_extend (heir->zone.history, zone->zone.history, NULL, NULL);
  heir->own_stage = zone->own_stage;
  heir->last_pass = zone->last_pass;
  heir->last_pass_happened_ms = zone->last_pass_happened_ms;
  heir->last_repair = zone->last_repair;
  heir->has_pass_since_coat = zone->has_pass_since_coat;
  heir->n_film_readings = zone->n_film_readings;
}

typedef struct
{
  guint sequence;
  RakeEntry *entry;
} Line;

static int
compare_lines (gconstpointer a, gconstpointer b)
{
  const Line *one = a, *other = b;
  return one->sequence < other->sequence ? -1 : one->sequence > other->sequence;
}

static void
join_histories (const RakeJob *job, RakeShownZone *heir, const GPtrArray *removed)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (Line));

  for (guint i = 0; i < removed->len; i++)
    {
      const GPtrArray *history = ((const RakeShownZone *) removed->pdata[i])->zone.history;

      for (guint j = 0; j < history->len; j++)
        {
          RakeEntry *entry = history->pdata[j];
          Line line = { rake_job_find_thing (job, entry->id)->sequence, entry };

          if (is_passed_on_by_joining (entry->kind))
            g_array_append_val (lines, line);
        }
    }
  g_array_sort (lines, compare_lines);
  for (guint i = 0; i < lines->len; i++)
    if (i == 0 || g_array_index (lines, Line, i).entry != g_array_index (lines, Line, i - 1).entry)
      write_line (heir, g_array_index (lines, Line, i).entry);
}

/* The whole stands where its coarsest part stands. */
static void
inherit_by_join (const RakeJob *job, RakeShownZone *heir, const GPtrArray *removed)
{
  const RakeShownStage *lowest = NULL;

  join_histories (job, heir, removed);
  for (guint i = 0; i < removed->len; i++)
    {
      const RakeShownZone *zone = removed->pdata[i];

      if (zone->own_stage != NULL &&
          (lowest == NULL || zone->own_stage->stage.position < lowest->stage.position))
        lowest = zone->own_stage;
      if (zone->last_pass > heir->last_pass)
        {
          heir->last_pass = zone->last_pass;
          heir->last_pass_happened_ms = zone->last_pass_happened_ms;
        }
      heir->last_repair = MAX (heir->last_repair, zone->last_repair);
      heir->has_pass_since_coat |= zone->has_pass_since_coat;
    }
  heir->own_stage = lowest;
}

/* --- dividing ---------------------------------------------------------------------------------------- */

static void
take_away (RakeShownZone *zone, gboolean by_joining)
{
  g_ptr_array_remove (zone->shown_face->face.zones, zone);
  zone->is_here = FALSE;
  zone->is_joined_away = by_joining;
}

/* Jobs that are divided and joined often would keep a history for every zone that ever was. */
static void
leave_all_to_heirs (gpointer zone, gpointer unused)
{
  RakeShownZone *gone = zone;

  g_clear_pointer (&gone->zone.history, g_ptr_array_unref);
  g_clear_pointer (&gone->zone.marks, g_ptr_array_unref);
  g_clear_pointer (&gone->open_low_spots, g_ptr_array_unref);
}

void
rake_zones_divide (RakeJob *job, RakeThing *thing)
{
  const RakeZonesBody *zones = &thing->entry->zones;
  guint n_removed = zones->removed->len, n_added = zones->added->len;
  g_autoptr (GPtrArray) removed = g_ptr_array_sized_new (n_removed);
  g_autoptr (GPtrArray) added = g_ptr_array_sized_new (n_added);
  RakeThing *const *refs = thing->refs;
  gboolean is_join = n_added == 1;

  for (guint i = 0; i < n_removed; i++)
    {
      g_ptr_array_add (removed, refs[1 + i]->shown_zone);
      take_away (refs[1 + i]->shown_zone, is_join);
    }
  for (guint i = 0; i < n_added; i++)
    {
      const RakeZoneSpec *spec = &g_array_index (zones->added, RakeZoneSpec, i);
      RakeShownZone *heir = rake_zone_show (job, refs[0]->shown_face, refs[1 + n_removed + i]);

      g_ptr_array_add (added, heir);
      inherit_facts (heir, removed);
      if (is_join)
        inherit_by_join (job, heir, removed);
      else
        inherit_by_cut (heir, removed->pdata[0]);
      set_facts_of_new (heir, spec, refs[1 + n_removed + n_added + i]);
      rake_zone_update_stage (heir);
    }
  for (guint i = 0; i < n_removed; i++)
    g_ptr_array_extend (((RakeShownZone *) removed->pdata[i])->heirs, added, NULL, NULL);
  rake_marks_inherit (job, thing, removed, added);
  g_ptr_array_foreach (removed, leave_all_to_heirs, NULL);
}
