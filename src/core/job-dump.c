/* job-dump.c - everything a job shows as text, for tests to compare. */
#include "job-private.h"

#include <math.h>

static void
add_id (GString *out, const char *what, const RakeEntry *entry)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  if (entry == NULL)
    return;
  rake_id_to_text (entry->id, text);
  g_string_append_printf (out, " %s %s", what, text);
}

static void
add_number (GString *out, const char *what, double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  if (isnan (value))
    return;
  rake_number_to_text (value, text);
  g_string_append_printf (out, " %s %s", what, text);
}

static void
add_stage (GString *out, const char *what, const RakeStage *stage)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  if (stage == NULL)
    return;
  rake_id_to_text (stage->id, text);
  g_string_append_printf (out, " %s %s", what, text);
}

static void
add_shape (GString *out, const RakeShape *shape)
{
  g_autofree char *wkt = rake_shape_to_wkt (shape);

  g_string_append_printf (out, " %s", wkt);
}

static void
dump_stage (GString *out, const RakeStage *stage)
{
  g_string_append (out, "  stage");
  add_stage (out, "", stage);
  g_string_append_printf (out, " %s \"%s\" at %u%s", rake_action_get_label (stage->action),
                          stage->grade, stage->position,
                          stage->is_last_sanding ? " last sanding" : "");
  add_number (out, "d50", stage->d50_um);
  g_string_append_c (out, '\n');
}

static void
dump_mark (GString *out, const RakeMark *mark)
{
  g_string_append_printf (out, "    mark %s", rake_mark_kind_get_label (mark->kind));
  add_id (out, "", mark->entry);
  add_stage (out, "found at", mark->stage);
  add_id (out, "seen", mark->last_seen);
  add_id (out, "closed", mark->closed_by);
  g_string_append (out, mark->was_repaired ? " repaired" : "");
  add_shape (out, mark->shape);
  g_string_append_c (out, '\n');
}

static void
dump_zone (GString *out, const RakeZone *zone)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (zone->id, text);
  g_string_append_printf (out, "  zone %s \"%s\"%s", text, zone->name,
                          zone->is_edge ? " edge" : "");
  add_number (out, "factor", zone->edge_factor);
  if (zone->coat_factor < 1 || zone->coat_factor > 1)
    add_number (out, "coat factor", zone->coat_factor);
  if (zone->is_hard_to_reach != zone->is_edge)
    g_string_append (out, zone->is_hard_to_reach ? " hard to reach" : " easy to reach");
  add_number (out, "reserve", zone->reserve_um);
  add_stage (out, "first", zone->first_stage);
  add_stage (out, "at", zone->stage);
  add_shape (out, zone->shape);
  g_string_append_c (out, '\n');
  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      g_string_append_printf (out, "    %s", rake_entry_kind_get_name (entry->kind));
      add_id (out, "", entry);
      g_string_append_c (out, '\n');
    }
  for (guint i = 0; i < zone->marks->len; i++)
    dump_mark (out, zone->marks->pdata[i]);
}

static void
dump_face (GString *out, const RakeFace *face)
{
  g_string_append_printf (out, "face \"%s\"", face->name);
  add_id (out, "", face->entry);
  add_stage (out, "at", face->stage);
  add_shape (out, face->outline);
  g_string_append_c (out, '\n');
  for (guint i = 0; i < face->coats->len; i++)
    {
      g_string_append (out, "  coat");
      add_id (out, "", face->coats->pdata[i]);
      g_string_append_c (out, '\n');
    }
  for (guint i = 0; i < face->stages->len; i++)
    dump_stage (out, face->stages->pdata[i]);
  for (guint i = 0; i < face->zones->len; i++)
    dump_zone (out, face->zones->pdata[i]);
}

static void
dump_flags (GString *out, const RakeJob *job, const RakeThing *thing)
{
  guint8 flags = job->flags->data[thing->serial];

  if (flags & RAKE_FLAG_STRUCK)
    add_id (out, "struck", thing->entry);
  else if (flags & RAKE_FLAG_VOID)
    add_id (out, "void", thing->entry);
  else if (flags & RAKE_FLAG_LOOSE)
    add_id (out, "loose", thing->entry);
  else
    return;
  g_string_append_c (out, '\n');
}

static void
dump_photo (GString *out, const RakePhoto *photo)
{
  add_id (out, "photo", photo->entry);
  add_id (out, "placed", photo->placed);
  add_id (out, "on", photo->face != NULL ? photo->face->entry : NULL);
  add_id (out, "withdrawn", photo->withdrawal);
  add_id (out, "registered", photo->registration);
  g_string_append_c (out, '\n');
}

static void
dump_stories (GString *out, const char *name, const GPtrArray *stories)
{
  for (guint i = 0; i < stories->len; i++)
    {
      const RakeStoryTold *told = stories->pdata[i];

      for (guint j = 0; j < told->entries->len; j++)
        add_id (out, j == 0 ? name : "then", told->entries->pdata[j]);
      g_string_append_c (out, '\n');
    }
}

char *
rake_job_dump_zone (const RakeZone *zone)
{
  GString *out = g_string_new (NULL);

  dump_zone (out, zone);
  return g_string_free (out, FALSE);
}

char *
rake_job_dump (const RakeJob *job)
{
  GString *out = g_string_new ("job");

  add_id (out, "facts", job->facts);
  add_id (out, "rules", job->rules);
  g_string_append_printf (out, " void %u\n", job->n_void);
  for (guint i = 0; i < job->faces->len; i++)
    dump_face (out, job->faces->pdata[i]);
  for (guint i = 0; i < job->order->len; i++)
    {
      const RakeThing *thing = job->order->pdata[i];

      if (thing->shown_wheel == NULL)
        continue;
      add_id (out, "wheel", thing->entry);
      add_id (out, "is", thing->shown_wheel);
      g_string_append_c (out, '\n');
    }
  for (guint i = 0; i < job->photos->len; i++)
    dump_photo (out, job->photos->pdata[i]);
  for (guint i = 0; i < job->rates->len; i++)
    {
      add_id (out, "rate", job->rates->pdata[i]);
      g_string_append_c (out, '\n');
    }
  dump_stories (out, "defect", job->defects);
  dump_stories (out, "claim", job->claims);
  for (guint i = 0; i < job->hand_overs->len; i++)
    {
      add_id (out, "handed over", ((const RakeThing *) job->hand_overs->pdata[i])->entry);
      g_string_append_c (out, '\n');
    }
  g_string_append_printf (out, "record of %u\n", job->order->len);
  for (guint i = 0; i < job->order->len; i++)
    dump_flags (out, job, job->order->pdata[i]);
  return g_string_free (out, FALSE);
}
