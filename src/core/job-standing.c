/* job-standing.c - which entries are struck out, and which have lost what they speak of.
 *
 * A strike comes after what it strikes, so going backwards each strike's own fate is known before it
 * acts. Going forwards then, what an entry speaks of has been entered before it. */
#include "job-private.h"

#include <string.h>

static gboolean
has (const guint8 *flags, const RakeThing *thing, guint flag)
{
  return (flags[thing->serial] & flag) != 0;
}

static gboolean
is_live (const guint8 *flags, const RakeThing *thing)
{
  return !has (flags, thing, RAKE_FLAG_STRUCK | RAKE_FLAG_VOID);
}

static guint
void_unless (gboolean stands)
{
  return stands ? 0 : RAKE_FLAG_VOID;
}

static gboolean
all_have (const guint8 *flags, RakeThing *const *things, guint n_things, guint flag)
{
  for (guint i = 0; i < n_things; i++)
    if (!has (flags, things[i], flag))
      return FALSE;
  return TRUE;
}

static guint
loose_unless_stages_are_made (const guint8 *flags, RakeThing *const *stages, guint n_stages)
{
  for (guint i = 0; i < n_stages; i++)
    if (stages[i] != NULL && !has (flags, stages[i], RAKE_FLAG_STAGE_MADE))
      return RAKE_FLAG_LOOSE;
  return 0;
}

static guint
standing_of_zones (const guint8 *flags, const RakeEntry *entry, RakeThing *const *refs)
{
  guint n_removed = entry->zones.removed->len, n_added = entry->zones.added->len;

  if (!is_live (flags, refs[0]) || !all_have (flags, refs + 1, n_removed, RAKE_FLAG_ZONE_HERE))
    return RAKE_FLAG_VOID;
  return loose_unless_stages_are_made (flags, refs + 1 + n_removed + n_added, n_added);
}

/* A pass really took film off: it stands also when its wheel is struck out or its zones were divided
 * meanwhile, and then concerns what became of them. */
static guint
standing_of_pass (const guint8 *flags, RakeThing *const *refs, guint n_refs)
{
  if (!has (flags, refs[0], RAKE_FLAG_STAGE_MADE) ||
      !all_have (flags, refs + 2, n_refs - 2, RAKE_FLAG_ZONE_MADE))
    return RAKE_FLAG_VOID;
  return refs[1] != NULL && !is_live (flags, refs[1]) ? RAKE_FLAG_LOOSE : 0;
}

static guint
standing_of_repair (const guint8 *flags, RakeThing *const *refs, guint n_refs)
{
  if (!has (flags, refs[0], RAKE_FLAG_ZONE_MADE))
    return RAKE_FLAG_VOID;
  for (guint i = 2; i < n_refs; i++)
    if (!is_live (flags, refs[i]))
      return RAKE_FLAG_LOOSE;
  return loose_unless_stages_are_made (flags, refs + 1, 1);
}

static gboolean
all_live_or_unsaid (const guint8 *flags, RakeThing *const *things, guint n_things)
{
  for (guint i = 0; i < n_things; i++)
    if (things[i] != NULL && !is_live (flags, things[i]))
      return FALSE;
  return TRUE;
}

/* A photograph is one, whatever became of what it shows. */
static guint
standing_of_photo (const guint8 *flags, const RakeEntry *entry, RakeThing *const *refs,
                   guint n_refs)
{
  guint n_zones = entry->photo.zones->len;

  if (refs[1] != NULL && !is_live (flags, refs[1]))
    return RAKE_FLAG_VOID;
  if (!all_live_or_unsaid (flags, refs, 1) || !all_live_or_unsaid (flags, refs + 3, 1) ||
      !all_have (flags, refs + 4, n_zones, RAKE_FLAG_ZONE_MADE) ||
      !all_live_or_unsaid (flags, refs + 4 + n_zones, n_refs - 4 - n_zones))
    return RAKE_FLAG_LOOSE;
  return loose_unless_stages_are_made (flags, refs + 2, 1);
}

/* A defect stays one when its mark is struck out; the rest of a story goes with its beginning. */
static guint
standing_of_defect (const guint8 *flags, RakeThing *const *refs)
{
  if (!has (flags, refs[0], RAKE_FLAG_ZONE_MADE) || !all_live_or_unsaid (flags, refs + 2, 1))
    return RAKE_FLAG_VOID;
  return all_live_or_unsaid (flags, refs + 1, 1) ? 0 : RAKE_FLAG_LOOSE;
}

guint
rake_standing_of (const guint8 *flags, const RakeEntry *entry, RakeThing *const *refs, guint n_refs)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_ZONES:
      return standing_of_zones (flags, entry, refs);
    case RAKE_ENTRY_ZONE_FACTS:
      return has (flags, refs[0], RAKE_FLAG_ZONE_HERE)
                 ? loose_unless_stages_are_made (flags, refs + 1, 1)
                 : RAKE_FLAG_VOID;
    case RAKE_ENTRY_SCHEDULE:
    case RAKE_ENTRY_COAT:
      return void_unless (is_live (flags, refs[0]));
    case RAKE_ENTRY_BEGIN_STAGE:
      return void_unless (is_live (flags, refs[0]) && has (flags, refs[1], RAKE_FLAG_STAGE_MADE));
    case RAKE_ENTRY_PASS:
      return standing_of_pass (flags, refs, n_refs);
    case RAKE_ENTRY_LOOK:
    case RAKE_ENTRY_ACCEPTANCE:
    case RAKE_ENTRY_READING:
      return void_unless (has (flags, refs[0], RAKE_FLAG_ZONE_MADE));
    case RAKE_ENTRY_MARK:
    case RAKE_ENTRY_STATE:
      return void_unless (is_live (flags, refs[0]));
    case RAKE_ENTRY_REVISIT:
      return void_unless (is_live (flags, refs[0]) && is_live (flags, refs[1]));
    case RAKE_ENTRY_WHEEL:
      return refs[0] != NULL && !is_live (flags, refs[0]) ? RAKE_FLAG_LOOSE : 0;
    case RAKE_ENTRY_REPAIR:
      return standing_of_repair (flags, refs, n_refs);
    case RAKE_ENTRY_PHOTO:
      return standing_of_photo (flags, entry, refs, n_refs);
    case RAKE_ENTRY_REGISTRATION:
      return void_unless (is_live (flags, refs[0]) && is_live (flags, refs[1]));
    case RAKE_ENTRY_DEFECT:
      return standing_of_defect (flags, refs);
    case RAKE_ENTRY_CLAIM: /* whatever became of its place: the client's words were said */
      return void_unless (all_live_or_unsaid (flags, refs + 1, 1));
    case RAKE_ENTRY_HAND_OVER:
    case RAKE_ENTRY_WITHDRAWAL: /* of a photograph that was struck out, too: its bytes are there */
    case RAKE_ENTRY_JOB:
    case RAKE_ENTRY_RULES:
    case RAKE_ENTRY_FACE:
    case RAKE_ENTRY_RATE:
    case RAKE_ENTRY_NOTE: /* a note about what was struck out is still a note */
    case RAKE_ENTRY_STRIKE:
    case RAKE_N_ENTRY_KINDS:
      break;
    }
  return 0;
}

static void
make (guint8 *flags, const RakeThing *thing)
{
  const RakeEntry *entry = thing->entry;

  if (entry->kind == RAKE_ENTRY_FACE)
    flags[thing->serial] |= RAKE_FLAG_ZONE_MADE | RAKE_FLAG_ZONE_HERE;
  else if (entry->kind == RAKE_ENTRY_SCHEDULE)
    for (guint i = 1; i < thing->n_refs; i++)
      flags[thing->refs[i]->serial] |= RAKE_FLAG_STAGE_MADE;
  else if (entry->kind == RAKE_ENTRY_ZONES)
    {
      guint n_removed = entry->zones.removed->len, n_added = entry->zones.added->len;

      for (guint i = 1; i <= n_removed; i++)
        flags[thing->refs[i]->serial] &= (guint8) ~RAKE_FLAG_ZONE_HERE;
      for (guint i = 1 + n_removed; i <= n_removed + n_added; i++)
        flags[thing->refs[i]->serial] |= RAKE_FLAG_ZONE_MADE | RAKE_FLAG_ZONE_HERE;
    }
}

void
rake_standing_enter (guint8 *flags, const RakeThing *thing)
{
  guint standing;

  if (has (flags, thing, RAKE_FLAG_STRUCK))
    return;
  standing = rake_standing_of (flags, thing->entry, thing->refs, thing->n_refs);
  flags[thing->serial] |= (guint8) standing;
  if (standing != RAKE_FLAG_VOID)
    make (flags, thing);
}

GByteArray *
rake_standing_compute (const RakeJob *job, GPtrArray *struck)
{
  GByteArray *array = g_byte_array_sized_new (job->things->len);
  guint8 *flags;

  g_byte_array_set_size (array, job->things->len);
  flags = array->data;
  if (job->things->len > 0)
    memset (flags, 0, job->things->len);
  for (guint i = 0; struck != NULL && i < struck->len; i++)
    flags[((RakeThing *) struck->pdata[i])->serial] |= RAKE_FLAG_STRUCK;
  for (guint i = job->order->len; i-- > 0;)
    {
      const RakeThing *thing = job->order->pdata[i];

      if (thing->entry->kind == RAKE_ENTRY_STRIKE && !has (flags, thing, RAKE_FLAG_STRUCK))
        flags[thing->refs[0]->serial] |= RAKE_FLAG_STRUCK;
    }
  for (guint i = 0; i < job->order->len; i++)
    rake_standing_enter (flags, job->order->pdata[i]);
  return array;
}

/* 0 well, 1 loose, 2 void; what was struck out before is expected to come back well. */
static guint
depth_of (guint8 flags)
{
  if (flags & RAKE_FLAG_STRUCK)
    return 0;
  return flags & RAKE_FLAG_VOID ? 2 : flags & RAKE_FLAG_LOOSE ? 1 : 0;
}

const RakeEntry *
rake_standing_find_loser (const RakeJob *job, const GByteArray *flags)
{
  const RakeEntry *facts = NULL;
  gboolean has_facts = FALSE;

  for (guint i = 0; i < job->order->len; i++)
    {
      const RakeThing *thing = job->order->pdata[i];
      guint8 before = job->flags->data[thing->serial], after = flags->data[thing->serial];

      if (depth_of (after) > depth_of (before))
        return thing->entry;
      if (thing->entry->kind != RAKE_ENTRY_JOB)
        continue;
      if (!(before & RAKE_FLAG_STRUCK))
        facts = thing->entry;
      if (!(after & RAKE_FLAG_STRUCK))
        has_facts = TRUE;
    }
  return has_facts ? NULL : facts;
}
