/* names.c - see names.h. */
#include "names.h"

typedef struct
{
  const char *name;
  RakeId face;
  const RakeStageSpec *stage;
  const RakeEntry *strike;
} Known;

struct _RakeNames
{
  const RakeJob *job;
  GHashTable *known; /* Known by RakeId */
};

static Known *
learn (RakeNames *self, RakeId id)
{
  Known *known = g_hash_table_lookup (self->known, &id);

  if (known == NULL)
    {
      known = g_new0 (Known, 1);
      g_hash_table_insert (self->known, g_memdup2 (&id, sizeof id), known);
    }
  return known;
}

static void
learn_thing (RakeNames *self, RakeId id, const char *name, RakeId face)
{
  Known *known = learn (self, id);

  known->name = name;
  known->face = face;
}

static void
learn_stages (RakeNames *self, const RakeScheduleBody *schedule)
{
  for (guint i = 0; i < schedule->stages->len; i++)
    {
      const RakeStageSpec *spec = &g_array_index (schedule->stages, RakeStageSpec, i);

      learn_thing (self, spec->id, spec->grade, schedule->face);
      learn (self, spec->id)->stage = spec;
    }
}

static void
learn_entry (RakeNames *self, const RakeEntry *entry)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_FACE:
      learn_thing (self, entry->id, entry->face.name, entry->id);
      break;
    case RAKE_ENTRY_ZONES:
      for (guint i = 0; i < entry->zones.added->len; i++)
        {
          const RakeZoneSpec *spec = &g_array_index (entry->zones.added, RakeZoneSpec, i);
          learn_thing (self, spec->id, spec->name, entry->zones.face);
        }
      break;
    case RAKE_ENTRY_ZONE_FACTS:
      if (entry->zone_facts.name != NULL && !rake_job_is_struck (self->job, entry->id))
        learn (self, entry->zone_facts.zone)->name = entry->zone_facts.name;
      break;
    case RAKE_ENTRY_SCHEDULE:
      learn_stages (self, &entry->schedule);
      break;
    case RAKE_ENTRY_WHEEL:
      learn_thing (self, entry->id, entry->wheel.name, RAKE_ID_NIL);
      break;
    case RAKE_ENTRY_STRIKE:
      if (entry->strike.why != RAKE_STRIKE_REDO)
        learn (self, entry->strike.entry)->strike = entry;
      break;
    default:
      break;
    }
}

RakeNames *
rake_names_new (const RakeJob *job)
{
  RakeNames *self = g_new0 (RakeNames, 1);

  self->job = job;
  self->known = g_hash_table_new_full (rake_id_hash_key, rake_id_equal_key, g_free, g_free);
  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    learn_entry (self, rake_job_get_entry (job, i));
  return self;
}

void
rake_names_free (RakeNames *self)
{
  if (self == NULL)
    return;
  g_hash_table_unref (self->known);
  g_free (self);
}

static const Known *
find (const RakeNames *self, RakeId id)
{
  return g_hash_table_lookup (self->known, &id);
}

const char *
rake_names_find (const RakeNames *self, RakeId id)
{
  const Known *known = find (self, id);

  return known != NULL ? known->name : NULL;
}

const RakeStageSpec *
rake_names_find_stage (const RakeNames *self, RakeId id)
{
  const Known *known = find (self, id);

  return known != NULL ? known->stage : NULL;
}

RakeId
rake_names_find_face (const RakeNames *self, RakeId id)
{
  const Known *known = find (self, id);

  return known != NULL ? known->face : RAKE_ID_NIL;
}

static RakeId
find_zone_of_look (const RakeNames *self, RakeId look)
{
  const RakeEntry *entry = rake_job_find_entry (self->job, look);

  return entry != NULL && entry->kind == RAKE_ENTRY_LOOK ? entry->look.zone : RAKE_ID_NIL;
}

RakeId
rake_names_find_zone_of (const RakeNames *self, const RakeEntry *entry)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_ZONE_FACTS:
      return entry->zone_facts.zone;
    case RAKE_ENTRY_LOOK:
      return entry->look.zone;
    case RAKE_ENTRY_MARK:
      return find_zone_of_look (self, entry->mark.look);
    case RAKE_ENTRY_REVISIT:
      return find_zone_of_look (self, entry->revisit.look);
    case RAKE_ENTRY_STATE:
      return find_zone_of_look (self, entry->state.look);
    case RAKE_ENTRY_ACCEPTANCE:
      return entry->acceptance.zone;
    case RAKE_ENTRY_READING:
      return entry->reading.zone;
    case RAKE_ENTRY_REPAIR:
      return entry->repair.zone;
    case RAKE_ENTRY_DEFECT:
      return entry->defect.zone;
    case RAKE_ENTRY_PASS:
      return entry->pass.zones->len == 1 ? g_array_index (entry->pass.zones, RakeId, 0)
                                         : RAKE_ID_NIL;
    default:
      return RAKE_ID_NIL;
    }
}

RakeId
rake_names_find_face_of (const RakeNames *self, const RakeEntry *entry)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_FACE:
      return entry->id;
    case RAKE_ENTRY_ZONES:
      return entry->zones.face;
    case RAKE_ENTRY_SCHEDULE:
      return entry->schedule.face;
    case RAKE_ENTRY_BEGIN_STAGE:
      return entry->begin_stage.face;
    case RAKE_ENTRY_COAT:
      return entry->coat.face;
    case RAKE_ENTRY_PASS:
      return rake_names_find_face (self, entry->pass.stage);
    default:
      return rake_names_find_face (self, rake_names_find_zone_of (self, entry));
    }
}

const RakeEntry *
rake_names_find_strike (const RakeNames *self, const RakeEntry *entry)
{
  const Known *known = find (self, entry->id);

  return known != NULL && rake_job_is_struck (self->job, entry->id) ? known->strike : NULL;
}
