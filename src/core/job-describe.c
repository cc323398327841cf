/* job-describe.c - an entry in one line for a person. */
#include "job-private.h"

#include <math.h>

#include "i18n.h"
#include "units-private.h"

/* A strike of a strike of a strike says no more than the first few. */
#define MOST_NESTED 4

/* A line may be asked for what is still being filled in. */
static const char *
said (const char *text)
{
  return text != NULL ? text : "…";
}

static const char *
name_zone (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);

  if (thing == NULL || thing->zone_name == NULL)
    return _ ("a zone");
  return thing->shown_zone != NULL ? thing->shown_zone->zone.name : thing->zone_name;
}

static const char *
name_face (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);

  if (thing == NULL || thing->entry == NULL || thing->entry->kind != RAKE_ENTRY_FACE)
    return _ ("a face");
  return said (thing->entry->face.name);
}

static const char *
name_stage (const RakeJob *job, RakeId id)
{
  const RakeThing *thing = rake_job_find_thing (job, id);

  if (thing == NULL || thing->stage_spec == NULL)
    return _ ("a stage");
  if (thing->stage_spec->grade != NULL && *thing->stage_spec->grade != '\0')
    return thing->stage_spec->grade;
  return _ (rake_action_get_label (thing->stage_spec->action));
}

static const char *
name_zone_of_look (const RakeJob *job, RakeId look)
{
  const RakeEntry *entry = rake_job_find_entry (job, look);

  if (entry == NULL || entry->kind != RAKE_ENTRY_LOOK)
    return _ ("a zone");
  return name_zone (job, entry->look.zone);
}

static const char *
name_mark (const RakeJob *job, RakeId id)
{
  const RakeEntry *entry = rake_job_find_entry (job, id);

  if (entry == NULL || entry->kind != RAKE_ENTRY_MARK)
    return _ ("A mark");
  return _ (rake_mark_kind_get_label (entry->mark.mark));
}

static char *
describe_zones (const RakeJob *job, const RakeZonesBody *zones)
{
  guint n_removed = zones->removed->len, n_added = zones->added->len;

  if (n_added == 1)
    return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u zone joined into %s",
                                         "%u zones joined into %s", n_removed),
                            n_removed, said (g_array_index (zones->added, RakeZoneSpec, 0).name));
  return g_strdup_printf (
      g_dngettext (GETTEXT_PACKAGE, "%s divided into %u zone", "%s divided into %u zones", n_added),
      n_removed > 0 ? name_zone (job, g_array_index (zones->removed, RakeId, 0)) : _ ("a zone"),
      n_added);
}

static char *
describe_pass (const RakeJob *job, const RakePassBody *pass)
{
  const char *stage = name_stage (job, pass->stage);
  guint n_zones = pass->zones->len;

  if (n_zones == 1)
    /* Translators: a grade or a stage, then a zone */
    return g_strdup_printf (_ ("Pass at %s on %s"), stage,
                            name_zone (job, g_array_index (pass->zones, RakeId, 0)));
  return g_strdup_printf (
      g_dngettext (GETTEXT_PACKAGE, "Pass at %s on %u zone", "Pass at %s on %u zones", n_zones),
      stage, n_zones);
}

static char *
describe_revisit (const RakeJob *job, const RakeRevisitBody *revisit)
{
  const char *mark = name_mark (job, revisit->mark), *zone = name_zone_of_look (job, revisit->look);

  /* Translators: a mark ("Scratch"), then a zone */
  if (revisit->outcome == RAKE_OUTCOME_GONE)
    return g_strdup_printf (_ ("%s on %s is gone"), mark, zone);
  return g_strdup_printf (_ ("%s on %s is still there"), mark, zone);
}

static char *
describe_state (const RakeJob *job, const RakeStateBody *state)
{
  const char *zone = name_zone_of_look (job, state->look);
  const char *label = _ (rake_state_get_label (state->state));

  if (state->state == RAKE_STATE_LOW_SPOT && !isnan (state->low_spot_fraction))
    /* Translators: a zone, a state ("Low spot"), how much of the zone */
    return g_strdup_printf (_ ("%s: %s, %.0f %%"), zone, label, 100 * state->low_spot_fraction);
  /* Translators: a zone, then what it shows: "Lower bass: Uniform" */
  return g_strdup_printf (_ ("%s: %s"), zone, label);
}

static char *
describe_rate (const RakeRateBody *rate)
{
  g_autofree char *number = NULL;

  if (isnan (rate->removal_um))
    return g_strdup (said (rate->grade));
  number = rake_units_print_number (rate->removal_um, 1);
  /* Translators: a grade or compound, then what one pass takes: "P800 takes 3.0 µm a pass" */
  return g_strdup_printf (_ ("%s takes %s µm a pass"), said (rate->grade), number);
}

static char *
describe_reading (const RakeJob *job, const RakeReadingBody *reading)
{
  const char *zone = name_zone (job, reading->zone);
  g_autofree char *number = rake_units_print_number (reading->value, 1);

  switch (reading->quantity)
    {
    case RAKE_QUANTITY_FILM_UM:
      return g_strdup_printf (_ ("Film of %s µm read on %s"), number, zone);
    case RAKE_QUANTITY_GLOSS_GU:
      return g_strdup_printf (_ ("Gloss of %s GU read on %s"), number, zone);
    case RAKE_QUANTITY_TEMPERATURE_CELSIUS:
      return g_strdup_printf (_ ("%s °C read on %s"), number, zone);
    case RAKE_QUANTITY_UNSAID:
      break;
    }
  return g_strdup_printf (_ ("Reading on %s"), zone);
}

static char *
describe_repair (const RakeJob *job, const RakeRepairBody *repair)
{
  static const char *const lines[] = {
    [RAKE_REPAIR_UNSAID] = N_ ("Repair on %s"),
    [RAKE_REPAIR_LEVELLED] = N_ ("Sanded out on %s"),
    [RAKE_REPAIR_SCRAPED] = N_ ("Scraped level on %s"),
    [RAKE_REPAIR_DROP_FILL] = N_ ("Drop fill on %s"),
    [RAKE_REPAIR_FILL] = N_ ("Filled on %s"),
    [RAKE_REPAIR_COLOUR] = N_ ("Colour touched up on %s"),
    [RAKE_REPAIR_RECOAT] = N_ ("Recoat of the face of %s"),
  };
  guint method = repair->method < G_N_ELEMENTS (lines) ? repair->method : 0;
  const char *line = _ (lines[method]);
  g_auto (GStrv) parts = g_strsplit (line, "%s", 2);

  /* put together by hand: the line comes from a table, so the compiler cannot check it as a format */
  return g_strconcat (parts[0], name_zone (job, repair->zone), parts[1], NULL);
}

static char *
describe_wheel (const RakeWheelBody *wheel)
{
  const char *name = said (wheel->name);

  if (rake_id_is_nil (wheel->wheel))
    return g_strdup_printf (_ ("Wheel %s"), name);
  switch (wheel->work)
    {
    case RAKE_WHEEL_WORK_REPLACED:
      return g_strdup_printf (_ ("Wheel %s replaced"), name);
    case RAKE_WHEEL_WORK_STRIPPED:
      return g_strdup_printf (_ ("Wheel %s stripped"), name);
    case RAKE_WHEEL_WORK_CHECKED:
      return g_strdup_printf (_ ("Wheel %s checked"), name);
    case RAKE_WHEEL_WORK_UNSAID:
    case RAKE_WHEEL_WORK_NEW:
      break;
    }
  return g_strdup_printf (_ ("Wheel %s renewed"), name);
}

static char *
describe_text (const char *what, const char *text)
{
  g_autofree char *line = g_utf8_substring (text, 0, MIN (60, g_utf8_strlen (text, -1)));

  g_strdelimit (line, "\n\t", ' ');
  return g_strdup_printf ("%s: %s%s", what, line, g_utf8_strlen (text, -1) > 60 ? "…" : "");
}

static char *
describe_photo (const RakeJob *job, const RakePhotoBody *photo)
{
  const char *of = photo->zones->len == 1 ? name_zone (job, g_array_index (photo->zones, RakeId, 0))
                   : !rake_id_is_nil (photo->face) ? name_face (job, photo->face)
                                                   : _ ("the piece");

  if (!rake_id_is_nil (photo->photo))
    /* Translators: %s is a zone, a face, or "the piece" */
    return g_strdup_printf (_ ("Photograph placed at %s"), of);
  return g_strdup_printf (_ ("Photograph of %s"), of);
}

static const char *
name_defect (const RakeJob *job, const RakeDefectBody *defect)
{
  const RakeEntry *first = rake_job_find_entry (job, defect->defect);

  if (defect->what != NULL && *defect->what != '\0')
    return defect->what;
  if (!rake_id_is_nil (defect->mark))
    return name_mark (job, defect->mark);
  return first != NULL && first->kind == RAKE_ENTRY_DEFECT && rake_id_is_nil (first->defect.defect)
             ? name_defect (job, &first->defect)
             : _ ("A fault");
}

static char *
describe_defect (const RakeJob *job, const RakeDefectBody *defect)
{
  /* Translators: a fault, then a zone, then how it stands: "Defect, Burn on Lower bass: repaired" */
  return g_strdup_printf (_ ("Defect, %s on %s: %s"), name_defect (job, defect),
                          name_zone (job, defect->zone),
                          _ (rake_standing_get_label (defect->standing)));
}

static char *
describe_claim (const RakeClaimBody *claim)
{
  /* Translators: how a claim was decided */
  g_autofree char *what =
      g_strdup_printf (_ ("Claim (%s)"), _ (rake_decision_get_label (claim->decision)));

  return describe_text (what, said (claim->complaint));
}

static char *describe (const RakeJob *job, const RakeEntry *entry, guint depth);

/* Doing again strikes out the undoing: what was done again is what the undoing had struck out. */
static char *
describe_strike (const RakeJob *job, const RakeStrikeBody *strike, guint depth)
{
  const RakeEntry *struck = rake_job_find_entry (job, strike->entry);
  g_autofree char *line = NULL;

  if (strike->why == RAKE_STRIKE_REDO && struck != NULL && struck->kind == RAKE_ENTRY_STRIKE)
    struck = rake_job_find_entry (job, struck->strike.entry);
  line = struck != NULL && depth < MOST_NESTED ? describe (job, struck, depth + 1) : g_strdup ("…");
  if (strike->why == RAKE_STRIKE_UNDO)
    return g_strdup_printf (_ ("Undone: %s"), line);
  if (strike->why == RAKE_STRIKE_REDO)
    return g_strdup_printf (_ ("Done again: %s"), line);
  return g_strdup_printf (_ ("Struck out: %s"), line);
}

static char *
describe (const RakeJob *job, const RakeEntry *entry, guint depth)
{
  switch (entry->kind)
    {
    case RAKE_ENTRY_JOB:
      return g_strdup_printf (_ ("Facts of the job %s"), said (entry->job.name));
    case RAKE_ENTRY_RULES:
      return g_strdup_printf (_ ("Judged by the rules %s"), said (entry->rules.name));
    case RAKE_ENTRY_FACE:
      return g_strdup_printf (_ ("Face %s"), said (entry->face.name));
    case RAKE_ENTRY_ZONES:
      return describe_zones (job, &entry->zones);
    case RAKE_ENTRY_ZONE_FACTS:
      return g_strdup_printf (_ ("Facts of %s"), name_zone (job, entry->zone_facts.zone));
    case RAKE_ENTRY_SCHEDULE:
      return g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "Schedule of %s: %u stage",
                                           "Schedule of %s: %u stages",
                                           entry->schedule.stages->len),
                              name_face (job, entry->schedule.face), entry->schedule.stages->len);
    case RAKE_ENTRY_BEGIN_STAGE:
      /* Translators: a face, then a stage: "Front goes to P800" */
      return g_strdup_printf (_ ("%s goes to %s"), name_face (job, entry->begin_stage.face),
                              name_stage (job, entry->begin_stage.stage));
    case RAKE_ENTRY_COAT:
      return g_strdup_printf (_ ("Coat on %s"), name_face (job, entry->coat.face));
    case RAKE_ENTRY_PASS:
      return describe_pass (job, &entry->pass);
    case RAKE_ENTRY_LOOK:
      return g_strdup_printf (_ ("Look at %s"), name_zone (job, entry->look.zone));
    case RAKE_ENTRY_MARK:
      /* Translators: a mark, then a zone: "Scratch on Lower bass" */
      return g_strdup_printf (_ ("%s on %s"), _ (rake_mark_kind_get_label (entry->mark.mark)),
                              name_zone_of_look (job, entry->mark.look));
    case RAKE_ENTRY_REVISIT:
      return describe_revisit (job, &entry->revisit);
    case RAKE_ENTRY_STATE:
      return describe_state (job, &entry->state);
    case RAKE_ENTRY_ACCEPTANCE:
      return g_strdup_printf (_ ("%s accepted against “%s”"),
                              name_zone (job, entry->acceptance.zone),
                              _ (rake_verdict_get_label (entry->acceptance.verdict)));
    case RAKE_ENTRY_NOTE:
      return describe_text (_ ("Note"), said (entry->note.text));
    case RAKE_ENTRY_STRIKE:
      return describe_strike (job, &entry->strike, depth);
    case RAKE_ENTRY_READING:
      return describe_reading (job, &entry->reading);
    case RAKE_ENTRY_WHEEL:
      return describe_wheel (&entry->wheel);
    case RAKE_ENTRY_REPAIR:
      return describe_repair (job, &entry->repair);
    case RAKE_ENTRY_RATE:
      return describe_rate (&entry->rate);
    case RAKE_ENTRY_PHOTO:
      return describe_photo (job, &entry->photo);
    case RAKE_ENTRY_WITHDRAWAL:
      return describe_text (_ ("Photograph withdrawn"), said (entry->withdrawal.reason));
    case RAKE_ENTRY_REGISTRATION:
      return g_strdup_printf (_ ("Photograph laid on %s"),
                              name_face (job, entry->registration.face));
    case RAKE_ENTRY_DEFECT:
      return describe_defect (job, &entry->defect);
    case RAKE_ENTRY_HAND_OVER:
      return g_strdup (_ ("Handed over"));
    case RAKE_ENTRY_CLAIM:
      return describe_claim (&entry->claim);
    case RAKE_N_ENTRY_KINDS:
      break;
    }
  g_return_val_if_reached (g_strdup (""));
}

char *
rake_job_describe_entry (const RakeJob *job, const RakeEntry *entry)
{
  return describe (job, entry, 0);
}
