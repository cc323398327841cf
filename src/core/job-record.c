/* job-record.c - defects, hand-overs and claims as they are entered, and what a closed job refuses. */
#include "job-private.h"

#include <rakelight/seal.h>

#include "i18n.h"

/* --- entering ------------------------------------------------------------------------------------ */

void
rake_story_told_free (gpointer told)
{
  g_ptr_array_unref (((RakeStoryTold *) told)->entries);
  g_free (told);
}

static void
tell (GPtrArray *stories, RakeThing *first, RakeThing *thing)
{
  if (first == thing)
    {
      first->told = g_new0 (RakeStoryTold, 1);
      first->told->thing = first;
      first->told->entries = g_ptr_array_new ();
      g_ptr_array_add (stories, first->told);
    }
  g_ptr_array_add (first->told->entries, thing->entry);
}

static void
only_history (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  rake_zone_write_down (zone, thing);
}

void
rake_record_enter_defect (RakeJob *job, RakeThing *thing)
{
  RakeThing *first = thing->refs[2] != NULL ? thing->refs[2] : thing;

  tell (job->defects, first, thing);
  if (thing->refs[0]->shown_zone != NULL)
    rake_zone_enter (job, thing->refs[0]->shown_zone, thing, only_history);
}

void
rake_record_enter_claim (RakeJob *job, RakeThing *thing)
{
  tell (job->claims, thing->refs[1] != NULL ? thing->refs[1] : thing, thing);
}

/* --- closed for work ------------------------------------------------------------------------------- */

static const RakeThing *
find_hand_over (const RakeJob *job)
{
  return job->hand_overs->len > 0 ? job->hand_overs->pdata[job->hand_overs->len - 1] : NULL;
}

const RakeEntry *
rake_job_find_hand_over (const RakeJob *job, guint *n_before)
{
  const RakeThing *thing = find_hand_over (job);

  if (thing == NULL)
    return NULL;
  if (n_before != NULL)
    *n_before = thing->sequence - 1;
  return thing->entry;
}

static gboolean
has_open_claim (const RakeJob *job)
{
  for (guint i = 0; i < job->claims->len; i++)
    {
      const GPtrArray *entries = ((const RakeStoryTold *) job->claims->pdata[i])->entries;
      const RakeEntry *last = entries->pdata[entries->len - 1];

      if (last->claim.decision == RAKE_DECISION_OPEN)
        return TRUE;
    }
  return FALSE;
}

gboolean
rake_job_is_closed (const RakeJob *job)
{
  return find_hand_over (job) != NULL && !has_open_claim (job);
}

gboolean
rake_entry_kind_is_work (RakeEntryKind kind)
{
  switch (kind)
    {
    case RAKE_ENTRY_JOB:
    case RAKE_ENTRY_RULES:
    case RAKE_ENTRY_FACE:
    case RAKE_ENTRY_ZONES:
    case RAKE_ENTRY_ZONE_FACTS:
    case RAKE_ENTRY_SCHEDULE:
    case RAKE_ENTRY_BEGIN_STAGE:
    case RAKE_ENTRY_COAT:
    case RAKE_ENTRY_PASS:
    case RAKE_ENTRY_ACCEPTANCE:
    case RAKE_ENTRY_WHEEL:
    case RAKE_ENTRY_REPAIR:
    case RAKE_ENTRY_RATE:
    case RAKE_ENTRY_DEFECT:
    case RAKE_ENTRY_HAND_OVER:
      return TRUE;
    case RAKE_ENTRY_LOOK:
    case RAKE_ENTRY_MARK:
    case RAKE_ENTRY_REVISIT:
    case RAKE_ENTRY_STATE:
    case RAKE_ENTRY_NOTE:
    case RAKE_ENTRY_STRIKE:
    case RAKE_ENTRY_READING:
    case RAKE_ENTRY_PHOTO:
    case RAKE_ENTRY_WITHDRAWAL:
    case RAKE_ENTRY_REGISTRATION:
    case RAKE_ENTRY_CLAIM:
    case RAKE_N_ENTRY_KINDS:
      break;
    }
  return FALSE;
}

static gboolean
refuse (GError **error, const char *sentence)
{
  g_set_error_literal (error, RAKE_JOB_ERROR, RAKE_JOB_ERROR_RULE, sentence);
  return FALSE;
}

static gboolean
is_before (const RakeThing *thing, const RakeThing *hand_over)
{
  return rake_job_compare_entries (thing->entry, hand_over->entry) < 0;
}

gboolean
rake_record_check_closed (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs,
                          GError **error)
{
  if (!rake_job_is_closed (job))
    return TRUE;
  if (rake_entry_kind_is_work (entry->kind))
    return refuse (error,
                   _ ("the piece was handed over, and the job is closed for work; open a claim, "
                      "or strike out the hand-over"));
  if (entry->kind == RAKE_ENTRY_STRIKE && is_before (refs->pdata[0], find_hand_over (job)))
    return refuse (error,
                   _ ("that was on record when the piece was handed over; open a claim, or strike "
                      "out the hand-over first"));
  return TRUE;
}

gboolean
rake_record_can_strike (const RakeJob *job, GPtrArray *things)
{
  const RakeThing *hand_over = find_hand_over (job);

  if (!rake_job_is_closed (job) || g_ptr_array_find (things, hand_over, NULL))
    return TRUE;
  for (guint i = 0; i < things->len; i++)
    if (is_before (things->pdata[i], hand_over))
      return FALSE;
  return TRUE;
}

gboolean
rake_record_check_hand_over (const RakeJob *job, const RakeEntry *entry, GError **error)
{
  const char *seal = entry->hand_over.seal;
  g_autofree char *now = NULL;

  if (seal == NULL || *seal == '\0')
    return TRUE;
  now = rake_seal_take (job, job->order->len);
  return g_str_equal (now, seal) ||
         refuse (error,
                 _ ("seal is not that of the logbook as it stands; look at what was added, and "
                    "hand over again"));
}
