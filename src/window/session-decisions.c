/* session-decisions.c - accepting, going on, noting, striking out, undoing; and where the
 * lamp should stand. */
#include "session-private.h"

#include <math.h>
#include <rakelight/wheel.h>
#include "words.h"

/* --- decisions ------------------------------------------------------------------------------- */

static void
add_text_once (GPtrArray **texts, const char *text)
{
  if (!text || (*texts && g_ptr_array_find_with_equal_func (*texts, text, g_str_equal, NULL)))
    return;
  if (!*texts)
    *texts = g_ptr_array_new_with_free_func (g_free);
  g_ptr_array_add (*texts, g_strdup (text));
}

gboolean
rake_session_accept (RakeSession *self, RakeId zone, const char *reason)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  const RakeZone *found;
  const RakeJudgement *judgement;
  RakeEntry *entry;

  if (!rake_session_check_writable (self))
    return FALSE;
  found = rake_job_find_zone (self->job, zone);
  g_return_val_if_fail (found != NULL, FALSE);
  judgement = rake_session_get_judgement (self, found);
  if (judgement->verdict == RAKE_VERDICT_NONE || rake_judgement_is_settled (judgement))
    {
      rake_session_say (self, _ ("%s needs no accepting: nothing holds it."), found->name);
      return FALSE;
    }
  entry = rake_gesture_add (gesture, RAKE_ENTRY_ACCEPTANCE);
  entry->acceptance.zone = zone;
  entry->acceptance.verdict = judgement->verdict;
  entry->acceptance.reason = g_strdup (reason);
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *spoken = judgement->reasons->pdata[i];
      if (spoken->verdict == RAKE_VERDICT_READY)
        continue;
      add_text_once (&entry->acceptance.rules, spoken->rule);
      add_text_once (&entry->acceptance.matters, spoken->matter);
    }
  return rake_gesture_append (self, gesture);
}

gboolean
rake_session_begin_stage (RakeSession *self, RakeId stage, GPtrArray *prepared, GArray *looked_over)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  const RakeFace *face = rake_session_get_face (self);
  RakeEntry *entry;

  if (!face || !rake_session_check_writable (self))
    return FALSE;
  entry = rake_gesture_add (gesture, RAKE_ENTRY_BEGIN_STAGE);
  entry->begin_stage.face = face->id;
  entry->begin_stage.stage = stage;
  for (guint i = 0; prepared && i < prepared->len; i++)
    add_text_once (&entry->begin_stage.prepared, prepared->pdata[i]);
  for (guint i = 0; looked_over && i < looked_over->len; i++)
    {
      RakeId wheel = g_array_index (looked_over, RakeId, i);
      RakeWheelStanding standing;

      if (rake_wheel_take (self->job, wheel, &standing))
        g_ptr_array_add (gesture, rake_wheel_new_work (&standing, wheel, RAKE_WHEEL_WORK_CHECKED));
    }
  return rake_gesture_append (self, gesture);
}

gboolean
rake_session_note (RakeSession *self, RakeId about, const char *text)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  RakeEntry *entry = rake_gesture_add (gesture, RAKE_ENTRY_NOTE);

  entry->note.about = about;
  entry->note.text = g_strdup (text);
  return rake_gesture_append (self, gesture);
}

gboolean
rake_session_strike (RakeSession *self, RakeId struck, const char *reason)
{
  g_autoptr (GPtrArray) gesture = rake_gesture_new ();
  RakeEntry *entry = rake_gesture_add (gesture, RAKE_ENTRY_STRIKE);

  entry->strike.entry = struck;
  entry->strike.why = RAKE_STRIKE_CORRECTION;
  entry->strike.reason = g_strdup (reason);
  return rake_gesture_append (self, gesture);
}

/* --- undo ------------------------------------------------------------------------------------ */

static GPtrArray *
plan (RakeSession *self, gboolean is_redo)
{
  RakeId bench;

  if (self->past || rake_session_is_read_only (self))
    return NULL;
  bench = rake_job_file_get_bench (self->file);
  return is_redo ? rake_job_plan_redo (self->job, bench) : rake_job_plan_undo (self->job, bench);
}

/* What the planned strikes are about, in one line: the gesture's last entry says most (a look is
 * made for the mark that follows it). Redo strikes the strike, so it goes one step further. */
static char *
describe_plan (RakeSession *self, gboolean is_redo)
{
  g_autoptr (GPtrArray) strikes = plan (self, is_redo);
  const RakeEntry *told;

  if (!strikes || strikes->len == 0)
    return NULL;
  told = rake_job_find_entry (
      self->job, ((RakeEntry *) strikes->pdata[is_redo ? strikes->len - 1 : 0])->strike.entry);
  while (told && told->kind == RAKE_ENTRY_STRIKE)
    told = rake_job_find_entry (self->job, told->strike.entry);
  return told ? rake_job_describe_entry (self->job, told) : NULL;
}

static gboolean
strike_planned (RakeSession *self, gboolean is_redo)
{
  g_autoptr (GPtrArray) strikes = NULL;
  g_autofree char *told = NULL;

  if (!rake_session_check_writable (self))
    return FALSE;
  strikes = plan (self, is_redo);
  if (!strikes || strikes->len == 0)
    {
      rake_session_say (
          self, "%s", is_redo ? _ ("There is nothing to redo.") : _ ("There is nothing to undo."));
      return FALSE;
    }
  told = describe_plan (self, is_redo);
  if (!rake_gesture_append (self, strikes))
    return FALSE;
  if (told)
    rake_session_say (self, is_redo ? _ ("Done again: %s") : _ ("Undone: %s"), told);
  return TRUE;
}

gboolean
rake_session_undo (RakeSession *self)
{
  return strike_planned (self, FALSE);
}

gboolean
rake_session_redo (RakeSession *self)
{
  return strike_planned (self, TRUE);
}

static gboolean
has_plan (RakeSession *self, gboolean is_redo)
{
  g_autoptr (GPtrArray) strikes = plan (self, is_redo);

  return strikes && strikes->len > 0;
}

gboolean
rake_session_can_undo (RakeSession *self)
{
  return has_plan (self, FALSE);
}

gboolean
rake_session_can_redo (RakeSession *self)
{
  return has_plan (self, TRUE);
}

char *
rake_session_describe_undo (RakeSession *self)
{
  return describe_plan (self, FALSE);
}

char *
rake_session_describe_redo (RakeSession *self)
{
  return describe_plan (self, TRUE);
}

/* --- where the lamp should stand ------------------------------------------------------------- */

/* The strokes that the look is about: of the last pass at a stage before the present one, else of
 * the last pass; else as the bench is set. */
static double
get_strokes_to_cross_deg (RakeSession *self, const RakeZone *zone)
{
  double strokes_deg = self->bench.stroke_deg;

  for (guint i = 0; zone && i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];
      if (entry->kind == RAKE_ENTRY_PASS && isfinite (entry->pass.stroke_deg) &&
          !(zone->stage && rake_id_equal (entry->pass.stage, zone->stage->id)))
        strokes_deg = entry->pass.stroke_deg;
    }
  return strokes_deg;
}

double
rake_session_get_lamp_across_deg (RakeSession *self)
{
  double strokes_deg = get_strokes_to_cross_deg (self, rake_session_get_zone (self));
  double lamp_deg = self->bench.lamp_deg;
  double one, other;

  if (rake_angle_between_lines_deg (lamp_deg, strokes_deg) >= 60)
    return fmod (lamp_deg + 90, 360);
  one = fmod (strokes_deg + 90, 360);
  other = fmod (strokes_deg + 270, 360);
  /* The nearer of the two ends: less walking round the piece. */
  return cos ((lamp_deg - one) * G_PI / 180) >= cos ((lamp_deg - other) * G_PI / 180) ? one : other;
}
