/* repair.c - see repair.h. */
#include <rakelight/repair.h>
#include <rakelight/rules.h>

#include <math.h>

#include "i18n.h"

#define DAY_MS 86400000.0
#define HOUR_MS 3600000.0

/* The next drop four to five hours after the one before, levelled after two days: rule D38. */
#define HOURS_BETWEEN_DROPS 4.0

/* --- advice -------------------------------------------------------------------------------------- */

static void
add (GPtrArray *advice, const char *sentence)
{
  g_ptr_array_add (advice, g_strdup (sentence));
}

static void
add_for_recoat (GPtrArray *advice, const RakeZone *zone, RakeAnswer fuse)
{
  if (fuse == RAKE_ANSWER_YES)
    {
      add (advice,
           _ ("These coats fuse: a mist over one place joins, and the whole face evens out."));
      return;
    }
  if (zone->face->zones->len > 1)
    g_ptr_array_add (
        advice,
        g_strdup_printf (
            fuse == RAKE_ANSWER_NO
                ? _ ("Recoat the whole of %s to its edge, not %s alone: these coats do not fuse, "
                     "and "
                     "a coat that ends in the middle leaves a line of its own.")
                : _ ("Recoat the whole of %s to its edge, not %s alone, unless you know that these "
                     "coats fuse: else a coat that ends in the middle leaves a line of its own."),
            zone->face->name, zone->name));
  add (advice,
       _ ("Scuff everything dull first, and lay one coat so thick that all the levelling to come "
          "stays inside it."));
}

static void
add_for_fill (GPtrArray *advice, RakeRepairMethod method, RakeAnswer fuse)
{
  if (fuse == RAKE_ANSWER_YES && method == RAKE_REPAIR_DROP_FILL)
    add (advice,
         _ ("These coats fuse: the drop joins. It shrinks as it dries, so lay several, four to "
            "five hours apart, and level after two days."));
  else if (fuse != RAKE_ANSWER_YES)
    add (advice, _ ("The rim of a fill may show as a ring: tell the client before."));
}

static gboolean
was_buffed (const RakeZone *zone, const RakeJob *job)
{
  for (guint i = zone->history->len; i-- > 0;)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      const RakeStage *stage =
          entry->kind == RAKE_ENTRY_PASS ? rake_job_find_stage (job, entry->pass.stage) : NULL;

      if (entry->kind == RAKE_ENTRY_COAT)
        return FALSE;
      if (stage != NULL && stage->action == RAKE_ACTION_BUFF)
        return TRUE;
    }
  return FALSE;
}

static gboolean
adds_film (RakeRepairMethod method)
{
  return method == RAKE_REPAIR_DROP_FILL || method == RAKE_REPAIR_FILL ||
         method == RAKE_REPAIR_COLOUR || method == RAKE_REPAIR_RECOAT;
}

GPtrArray *
rake_repair_list_advice (const RakeJob *job, const RakeZone *zone, RakeRepairMethod method)
{
  GPtrArray *advice = g_ptr_array_new_with_free_func (g_free);
  RakeAnswer fuse = rake_job_get_coats_fuse (job);

  if (method == RAKE_REPAIR_RECOAT)
    add_for_recoat (advice, zone, fuse);
  else if (method == RAKE_REPAIR_DROP_FILL || method == RAKE_REPAIR_FILL)
    add_for_fill (advice, method, fuse);
  else if (method == RAKE_REPAIR_COLOUR)
    add (advice, fuse == RAKE_ANSWER_YES
                     ? _ ("Fill or mist clear over the colour before any levelling. It may look "
                          "different in other light: tell the client.")
                     : _ ("After the colour the whole face wants a coat to its edge. It may look "
                          "different in other light: tell the client."));
  if (adds_film (method) && was_buffed (zone, job))
    add (advice, fuse == RAKE_ANSWER_YES
                     ? _ ("It was buffed: take off wax and silicone first, or the repair craters.")
                     : _ ("It was buffed: take off wax and silicone and scuff it first, or the "
                          "repair craters and peels."));
  return advice;
}

/* --- what it settles, and where it goes on ------------------------------------------------------- */

#define BIT(value) (1u << (guint) (value))

gboolean
rake_repair_settles (RakeRepairMethod method, RakeMarkKind kind)
{
  static const guint pits = BIT (RAKE_MARK_CRATER) | BIT (RAKE_MARK_PINHOLE) |
                            BIT (RAKE_MARK_BURN) | BIT (RAKE_MARK_IMPRINT) |
                            BIT (RAKE_MARK_SHRINK_BACK);
  guint settled = 0;

  if (method == RAKE_REPAIR_RECOAT)
    return kind != RAKE_MARK_UNSAID;
  if (method == RAKE_REPAIR_DROP_FILL || method == RAKE_REPAIR_FILL)
    settled = pits | BIT (RAKE_MARK_SAND_THROUGH) | BIT (RAKE_MARK_LIFTING);
  else if (method == RAKE_REPAIR_LEVELLED)
    settled = pits | BIT (RAKE_MARK_RUN) | BIT (RAKE_MARK_NIB) | BIT (RAKE_MARK_WITNESS_LINE);
  else if (method == RAKE_REPAIR_SCRAPED)
    settled = BIT (RAKE_MARK_BURN) | BIT (RAKE_MARK_RUN) | BIT (RAKE_MARK_NIB);
  return (settled & BIT (kind)) != 0;
}

/* The last sanding stage of @zone's schedule, or the one before it; never before the zone joins in. */
static const RakeStage *
find_sanding_stage (const RakeZone *zone, gboolean is_before_last)
{
  const RakeStage *last = NULL, *before = NULL;

  for (guint i = 0; i < zone->face->stages->len; i++)
    {
      const RakeStage *stage = zone->face->stages->pdata[i];

      if (stage->action != RAKE_ACTION_LEVEL && stage->action != RAKE_ACTION_REFINE)
        continue;
      if (zone->first_stage && stage->position < zone->first_stage->position)
        continue;
      before = last;
      last = stage;
    }
  return is_before_last && before ? before : last;
}

const RakeStage *
rake_repair_find_stage_after (const RakeZone *zone, RakeRepairMethod method)
{
  const RakeStage *stage;

  if (method == RAKE_REPAIR_UNSAID || method == RAKE_REPAIR_RECOAT || !zone->stage)
    return NULL;
  stage = find_sanding_stage (zone, method != RAKE_REPAIR_LEVELLED);
  return stage && stage->position < zone->stage->position ? stage : NULL;
}

/* --- clocks -------------------------------------------------------------------------------------- */

static double
get_days (const RakeJob *job, const RakeRepairBody *repair)
{
  if (isfinite (repair->cure_days))
    return repair->cure_days;
  if (repair->method == RAKE_REPAIR_DROP_FILL)
    return rake_job_get_coats_fuse (job) == RAKE_ANSWER_YES ? 2 : rake_job_get_cure_days (job);
  return 1;
}

GArray *
rake_repair_list_fills (const RakeJob *job, const RakeZone *zone, gint64 now_ms)
{
  GArray *fills = g_array_new (FALSE, FALSE, sizeof (RakeFillClock));

  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      RakeFillClock clock = { .repair = entry, .next_hours = NAN };
      double gone_ms = (double) (now_ms - entry->happened_ms);

      if (entry->kind == RAKE_ENTRY_COAT ||
          (entry->kind == RAKE_ENTRY_REPAIR && entry->repair.method == RAKE_REPAIR_RECOAT))
        g_array_set_size (fills, 0);
      if (entry->kind != RAKE_ENTRY_REPAIR || (entry->repair.method != RAKE_REPAIR_DROP_FILL &&
                                               entry->repair.method != RAKE_REPAIR_FILL))
        continue;
      clock.days = get_days (job, &entry->repair);
      clock.days_left = MAX (0, clock.days - gone_ms / DAY_MS);
      if (entry->repair.method == RAKE_REPAIR_DROP_FILL)
        clock.next_hours = MAX (0, HOURS_BETWEEN_DROPS - gone_ms / HOUR_MS);
      g_array_append_val (fills, clock);
    }
  return fills;
}
