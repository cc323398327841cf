/* film-strands.c - what happened to the ground of a zone, part by part.
 *
 * A zone that was joined has the passes of all its parts in its history; but no place in it has had
 * them all. Each part's ground has gone through one line of zones, a strand, and only what names a
 * zone of that line happened to it. */
#include "film-private.h"
#include "job-private.h"

/* Zones cut and joined over and over: from here on all that happened counts everywhere, which is too
 * much and so on the safe side. */
#define MOST_STRANDS 64

static gboolean
was_joined (const RakeThing *zone)
{
  const RakeThing *maker = zone->zone_maker;

  while (maker != NULL && maker->entry->kind == RAKE_ENTRY_ZONES)
    {
      if (maker->entry->zones.removed->len > 1)
        return TRUE;
      maker = maker->refs[1]->zone_maker;
    }
  return FALSE;
}

/* Lists of RakeThing *, the zone first; NULL when there would be too many. */
static GPtrArray *
list_lines (const RakeThing *zone)
{
  GPtrArray *lines = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);
  const RakeThing *maker = zone->zone_maker;

  if (maker->entry->kind != RAKE_ENTRY_ZONES)
    g_ptr_array_add (lines, g_ptr_array_new ());
  else
    for (guint i = 0; i < maker->entry->zones.removed->len; i++)
      {
        g_autoptr (GPtrArray) of_part = list_lines (maker->refs[1 + i]);

        if (of_part == NULL || lines->len + of_part->len > MOST_STRANDS)
          {
            g_ptr_array_unref (lines);
            return NULL;
          }
        g_ptr_array_extend_and_steal (lines, g_steal_pointer (&of_part));
      }
  for (guint i = 0; i < lines->len; i++)
    g_ptr_array_insert (lines->pdata[i], 0, (gpointer) zone);
  return lines;
}

static gboolean
names (const GPtrArray *line, RakeId id)
{
  for (guint i = 0; i < line->len; i++)
    if (rake_id_equal (((const RakeThing *) line->pdata[i])->id, id))
      return TRUE;
  return FALSE;
}

static gboolean
concerns (const GPtrArray *line, const RakeEntry *entry)
{
  switch ((int) entry->kind)
    {
    case RAKE_ENTRY_PASS:
      for (guint i = 0; i < entry->pass.zones->len; i++)
        if (names (line, g_array_index (entry->pass.zones, RakeId, i)))
          return TRUE;
      return FALSE;
    case RAKE_ENTRY_READING:
      return names (line, entry->reading.zone);
    case RAKE_ENTRY_REPAIR:
      return entry->repair.method == RAKE_REPAIR_RECOAT || names (line, entry->repair.zone);
    default:
      return TRUE; /* coats are of the face */
    }
}

static GPtrArray *
pick (const GPtrArray *line, GPtrArray *history)
{
  GPtrArray *picked = g_ptr_array_new ();

  for (guint i = 0; i < history->len; i++)
    if (concerns (line, history->pdata[i]))
      g_ptr_array_add (picked, history->pdata[i]);
  return picked;
}

GPtrArray *
rake_film_list_strands (const RakeJob *job, const RakeZone *zone)
{
  GPtrArray *strands = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);
  const RakeThing *thing = rake_job_find_thing (job, zone->id);
  g_autoptr (GPtrArray) lines = was_joined (thing) ? list_lines (thing) : NULL;

  if (lines == NULL)
    g_ptr_array_add (strands, g_ptr_array_ref (zone->history));
  else
    for (guint i = 0; i < lines->len; i++)
      g_ptr_array_add (strands, pick (lines->pdata[i], zone->history));
  return strands;
}
