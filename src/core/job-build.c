/* job-build.c - what the job shows, entry by entry.
 *
 * docs/judging.md, "Where a zone stands", says what moves a face or a zone from stage to stage. */
#include "job-private.h"

#include <math.h>

static void
free_face (gpointer data)
{
  RakeShownFace *face = data;

  g_ptr_array_unref (face->face.zones);
  g_ptr_array_unref (face->face.stages);
  g_ptr_array_unref (face->face.coats);
  g_ptr_array_unref (face->steps);
  g_free (face);
}

static void
new_lists (RakeJob *job)
{
  job->faces = g_ptr_array_new_with_free_func (free_face);
  job->zones = g_ptr_array_new_with_free_func ((GDestroyNotify) (void (*) (void)) rake_zone_free);
  job->stages = g_ptr_array_new_with_free_func (g_free);
  job->marks = g_ptr_array_new_with_free_func (g_free);
  job->photos = g_ptr_array_new_with_free_func (g_free);
  job->defects = g_ptr_array_new_with_free_func (rake_story_told_free);
  job->claims = g_ptr_array_new_with_free_func (rake_story_told_free);
  job->hand_overs = g_ptr_array_new ();
  job->rates = g_ptr_array_new ();
}

void
rake_build_clear (RakeJob *job)
{
  job->film_revision++;
  job->facts = NULL;
  job->rules = NULL;
  job->n_shop_changes++;
  job->n_void = 0;
  g_clear_pointer (&job->faces, g_ptr_array_unref);
  g_clear_pointer (&job->zones, g_ptr_array_unref);
  g_clear_pointer (&job->stages, g_ptr_array_unref);
  g_clear_pointer (&job->marks, g_ptr_array_unref);
  g_clear_pointer (&job->photos, g_ptr_array_unref);
  g_clear_pointer (&job->defects, g_ptr_array_unref);
  g_clear_pointer (&job->claims, g_ptr_array_unref);
  g_clear_pointer (&job->hand_overs, g_ptr_array_unref);
  g_clear_pointer (&job->rates, g_ptr_array_unref);
  for (guint i = 0; i < job->things->len; i++)
    {
      RakeThing *thing = job->things->pdata[i];

      thing->shown_face = NULL;
      thing->shown_zone = NULL;
      thing->shown_stage = NULL;
      thing->shown_marks = NULL;
      thing->shown_wheel = NULL;
      thing->shown_photo = NULL;
      thing->told = NULL;
    }
  new_lists (job);
}

/* --- faces and stages -------------------------------------------------------------------------------- */

static void
enter_face (RakeJob *job, RakeThing *thing)
{
  RakeShownFace *face = g_new0 (RakeShownFace, 1);

  face->thing = thing;
  face->job = job;
  face->steps = g_ptr_array_new ();
  face->face.entry = thing->entry;
  face->face.id = thing->id;
  face->face.name = thing->entry->face.name;
  face->face.outline = thing->entry->face.outline;
  face->face.zones = g_ptr_array_new ();
  face->face.stages = g_ptr_array_new ();
  face->face.coats = g_ptr_array_new ();
  thing->shown_face = face;
  g_ptr_array_add (job->faces, face);
  rake_zone_show (job, face, thing);
}

static void
update_zone_stages (RakeShownFace *face)
{
  for (guint i = 0; i < face->face.zones->len; i++)
    rake_zone_update_stage (face->face.zones->pdata[i]);
}

/* Where the face stood last among the stages that it still has. */
static void
stand_at_last_step (RakeShownFace *face)
{
  const GPtrArray *stages = face->face.stages;

  face->face.stage = stages->len > 0 ? stages->pdata[0] : NULL;
  for (guint i = face->steps->len; i-- > 0;)
    {
      const RakeShownStage *step = face->steps->pdata[i];
      if (step->is_scheduled)
        {
          face->face.stage = &step->stage;
          break;
        }
    }
  update_zone_stages (face);
}

static void
forget_own_stages (RakeShownFace *face)
{
  for (guint i = 0; i < face->face.zones->len; i++)
    ((RakeShownZone *) face->face.zones->pdata[i])->own_stage = NULL;
}

static void
move_face (RakeShownFace *face, RakeShownStage *stage)
{
  /* going back leaves the finer steps behind, also for a later schedule that drops this stage */
  while (face->steps->len > 0 && stage->is_scheduled)
    {
      const RakeShownStage *last = face->steps->pdata[face->steps->len - 1];
      if (!last->is_scheduled || last->stage.position < stage->stage.position)
        break;
      g_ptr_array_set_size (face->steps, (gint) face->steps->len - 1);
    }
  g_ptr_array_add (face->steps, stage);
  forget_own_stages (face);
  stand_at_last_step (face);
}

/* A new coat: everything begins again. */
static void
start_again (RakeShownFace *face, const RakeThing *coat)
{
  g_ptr_array_set_size (face->steps, 0);
  face->last_coat = coat->sequence;
  for (guint i = 0; i < face->face.zones->len; i++)
    ((RakeShownZone *) face->face.zones->pdata[i])->has_pass_since_coat = FALSE;
  forget_own_stages (face);
  stand_at_last_step (face);
}

static gboolean
is_sanding (const RakeStage *stage)
{
  return stage->action == RAKE_ACTION_LEVEL || stage->action == RAKE_ACTION_REFINE;
}

static RakeShownStage *
show_stage (RakeJob *job, RakeThing *thing, const RakeStageSpec *spec, guint position)
{
  RakeShownStage *stage = thing->shown_stage;

  if (stage == NULL)
    {
      stage = g_new0 (RakeShownStage, 1);
      stage->thing = thing;
      stage->stage.id = spec->id;
      thing->shown_stage = stage;
      g_ptr_array_add (job->stages, stage);
    }
  stage->is_scheduled = TRUE;
  stage->stage.action = spec->action;
  stage->stage.grade = spec->grade != NULL ? spec->grade : "";
  stage->stage.d50_um = spec->d50_um;
  stage->stage.position = position;
  stage->stage.is_last_sanding = FALSE;
  return stage;
}

static void
enter_schedule (RakeJob *job, RakeThing *thing)
{
  const GArray *specs = thing->entry->schedule.stages;
  RakeShownFace *face = thing->refs[0]->shown_face;
  GPtrArray *stages = face->face.stages;

  for (guint i = 0; i < stages->len; i++)
    {
      RakeShownStage *stage = stages->pdata[i];
      stage->is_scheduled = FALSE;
      stage->stage.position = G_MAXUINT;
      stage->stage.is_last_sanding = FALSE;
    }
  g_ptr_array_set_size (stages, 0);
  for (guint i = 0; i < specs->len; i++)
    g_ptr_array_add (
        stages, show_stage (job, thing->refs[1 + i], &g_array_index (specs, RakeStageSpec, i), i));
  for (guint i = stages->len; i-- > 0;)
    if (is_sanding (stages->pdata[i]))
      {
        ((RakeShownStage *) stages->pdata[i])->stage.is_last_sanding = TRUE;
        break;
      }
  stand_at_last_step (face);
}

/* --- what happens to zones --------------------------------------------------------------------------- */

static void
only_history (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  rake_zone_write_down (zone, thing);
}

static void
enter_every_zone (RakeJob *job, RakeShownFace *face, RakeThing *thing)
{
  for (guint i = 0; i < face->face.zones->len; i++)
    rake_zone_enter (job, face->face.zones->pdata[i], thing, only_history);
}

static void
enter_begin_stage (RakeJob *job, RakeThing *thing)
{
  RakeShownFace *face = thing->refs[0]->shown_face;

  enter_every_zone (job, face, thing);
  move_face (face, thing->refs[1]->shown_stage);
}

static void
enter_coat (RakeJob *job, RakeThing *thing)
{
  RakeShownFace *face = thing->refs[0]->shown_face;

  g_ptr_array_add (face->face.coats, thing->entry);
  enter_every_zone (job, face, thing);
  start_again (face, thing);
}

static void
pass_in_zone (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  const RakeShownStage *stage = thing->refs[0]->shown_stage;

  if (!rake_zone_write_down (zone, thing))
    return;
  zone->last_pass = thing->sequence;
  zone->last_pass_happened_ms = thing->entry->happened_ms;
  zone->has_pass_since_coat = TRUE;
  if (!stage->is_scheduled)
    return;
  zone->own_stage = &stage->stage == zone->shown_face->face.stage ? NULL : stage;
  rake_zone_update_stage (zone);
}

static void
enter_pass (RakeJob *job, RakeThing *thing)
{
  RakeShownStage *stage = thing->refs[0]->shown_stage;
  RakeShownFace *face = thing->face->shown_face;

  /* the face first, so that the zones find it where it goes */
  if (stage->is_scheduled && stage->stage.position > face->face.stage->position)
    move_face (face, stage);
  for (guint i = 2; i < thing->n_refs; i++)
    rake_zone_enter (job, thing->refs[i]->shown_zone, thing, pass_in_zone);
}

static void
repair_in_zone (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  const RakeShownStage *back = thing->refs[1] != NULL ? thing->refs[1]->shown_stage : NULL;

  rake_zone_write_down (zone, thing);
  zone->last_repair = thing->sequence;
  if (back == NULL || !back->is_scheduled)
    return;
  zone->own_stage = &back->stage == zone->shown_face->face.stage ? NULL : back;
  rake_zone_update_stage (zone);
}

static void
recoat_in_zone (RakeJob *job, RakeShownZone *zone, RakeThing *thing)
{
  rake_zone_write_down (zone, thing);
  zone->last_repair = thing->sequence;
}

static void
enter_repair (RakeJob *job, RakeThing *thing)
{
  RakeShownFace *face = thing->face->shown_face;

  if (thing->entry->repair.method == RAKE_REPAIR_RECOAT)
    {
      for (guint i = 0; i < face->face.zones->len; i++)
        rake_zone_enter (job, face->face.zones->pdata[i], thing, recoat_in_zone);
      start_again (face, thing);
    }
  else
    rake_zone_enter (job, thing->refs[0]->shown_zone, thing, repair_in_zone);
  for (guint i = 2; i < thing->n_refs; i++)
    rake_mark_close_by_repair (job, thing->refs[i], thing->entry);
}

static void
enter_wheel (RakeJob *job, RakeThing *thing)
{
  RakeThing *wheel = thing->refs[0] != NULL ? thing->refs[0] : thing;
  wheel->shown_wheel = thing->entry;
  job->n_shop_changes++;
}

static gboolean
is_about_film (RakeEntryKind kind)
{
  return kind == RAKE_ENTRY_ZONES || kind == RAKE_ENTRY_ZONE_FACTS || kind == RAKE_ENTRY_SCHEDULE ||
         kind == RAKE_ENTRY_COAT || kind == RAKE_ENTRY_PASS || kind == RAKE_ENTRY_READING ||
         kind == RAKE_ENTRY_REPAIR || kind == RAKE_ENTRY_RATE || kind == RAKE_ENTRY_JOB ||
         kind == RAKE_ENTRY_FACE;
}

static void
enter_job (RakeJob *job, RakeThing *thing)
{
  job->facts = thing->entry;
}

static void
enter_rules (RakeJob *job, RakeThing *thing)
{
  job->rules = thing->entry;
}

static void
enter_history (RakeJob *job, RakeThing *thing)
{
  rake_zone_enter (job, thing->refs[0]->shown_zone, thing, only_history);
}

static void
enter_hand_over (RakeJob *job, RakeThing *thing)
{
  g_ptr_array_add (job->hand_overs, thing);
}

static void
enter_withdrawal (RakeJob *job, RakeThing *thing)
{
  rake_photo_enter_withdrawal (thing);
}

static void
enter_registration (RakeJob *job, RakeThing *thing)
{
  rake_photo_enter_registration (thing);
}

static void
enter_rate (RakeJob *job, RakeThing *thing)
{
  g_ptr_array_add (job->rates, thing->entry);
  job->n_shop_changes++;
}

/* Neither a note nor a strike changes the pieces themselves: what was struck is not entered at all. */
static void
enter_nothing (RakeJob *job, RakeThing *thing)
{
}

static void (*const enter[]) (RakeJob *job, RakeThing *thing) = {
  [RAKE_ENTRY_JOB] = enter_job,
  [RAKE_ENTRY_RULES] = enter_rules,
  [RAKE_ENTRY_FACE] = enter_face,
  [RAKE_ENTRY_ZONES] = rake_zones_divide,
  [RAKE_ENTRY_ZONE_FACTS] = rake_zone_set_facts,
  [RAKE_ENTRY_SCHEDULE] = enter_schedule,
  [RAKE_ENTRY_BEGIN_STAGE] = enter_begin_stage,
  [RAKE_ENTRY_COAT] = enter_coat,
  [RAKE_ENTRY_PASS] = enter_pass,
  [RAKE_ENTRY_LOOK] = enter_history,
  [RAKE_ENTRY_ACCEPTANCE] = enter_history,
  [RAKE_ENTRY_READING] = enter_history,
  [RAKE_ENTRY_MARK] = rake_mark_enter,
  [RAKE_ENTRY_REVISIT] = rake_mark_enter_revisit,
  [RAKE_ENTRY_STATE] = rake_mark_enter_state,
  [RAKE_ENTRY_WHEEL] = enter_wheel,
  [RAKE_ENTRY_REPAIR] = enter_repair,
  [RAKE_ENTRY_PHOTO] = rake_photo_enter,
  [RAKE_ENTRY_WITHDRAWAL] = enter_withdrawal,
  [RAKE_ENTRY_REGISTRATION] = enter_registration,
  [RAKE_ENTRY_DEFECT] = rake_record_enter_defect,
  [RAKE_ENTRY_HAND_OVER] = enter_hand_over,
  [RAKE_ENTRY_CLAIM] = rake_record_enter_claim,
  [RAKE_ENTRY_RATE] = enter_rate,
  [RAKE_ENTRY_NOTE] = enter_nothing,
  [RAKE_ENTRY_STRIKE] = enter_nothing,
};

/* A new kind is the last one: it must not be passed over in silence. */
G_STATIC_ASSERT (G_N_ELEMENTS (enter) == RAKE_N_ENTRY_KINDS);

void
rake_build_enter (RakeJob *job, RakeThing *thing)
{
  if (is_about_film (thing->entry->kind))
    job->film_revision++;
  enter[thing->entry->kind](job, thing);
}

void
rake_build_all (RakeJob *job)
{
  rake_build_clear (job);
  for (guint i = 0; i < job->order->len; i++)
    {
      RakeThing *thing = job->order->pdata[i];
      guint8 flags = job->flags->data[thing->serial];

      thing->sequence = i + 1;
      if (flags & RAKE_FLAG_STRUCK)
        continue;
      if (flags & RAKE_FLAG_VOID)
        job->n_void++;
      else
        rake_build_enter (job, thing);
    }
}
