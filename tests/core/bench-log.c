/* bench-log.c - a logbook written line by line. */
#include "bench-log.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

#define HEIGHT_MM 100.0

static RakeId
number_id (guint8 kind, gint64 number)
{
  RakeId id = { { 0 } };

  id.bytes[0] = kind;
  for (int i = 0; i < 8; i++)
    id.bytes[15 - i] = (guint8) (number >> (8 * i));
  return id;
}

const RakeEntry *
log_write (BenchLog *log, RakeEntry *entry)
{
  g_autoptr (RakeEntry) own = entry;
  g_autoptr (GError) error = NULL;

  entry->bench = log->bench;
  entry->number = ++log->number;
  entry->written_ms = ++log->now_ms;
  entry->happened_ms =
      MIN (entry->happened_ms, entry->written_ms); /* a new one has the real clock's */
  if (!rake_entry_check (entry, &error) || !rake_job_apply (log->job, entry, &error))
    fail_msg ("entry %d was refused: %s", (int) log->number, error->message);
  return entry;
}

static RakeEntry *
new_entry (BenchLog *log, RakeEntryKind kind)
{
  RakeEntry *entry = rake_entry_new (kind);

  entry->id = number_id (2, log->number + 1);
  entry->happened_ms = log->now_ms + 1;
  return entry;
}

static RakeShape *
rectangle (double x_mm, double y_mm, double width_mm, double height_mm)
{
  double points_mm[] = { x_mm, y_mm, x_mm + width_mm, y_mm,
                         x_mm + width_mm, y_mm + height_mm, x_mm, y_mm + height_mm };
  RakeShape *shape = rake_shape_new_area (points_mm, 4, NULL);

  assert_non_null (shape);
  return shape;
}

static RakeAction
read_action (const char *word)
{
  static const char *const words[] = { "level", "refine", "last-look", "buff", "rest" };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (strcmp (words[i], word) == 0)
      return (RakeAction) (RAKE_ACTION_LEVEL + i);
  fail_msg ("no action %s", word);
  return RAKE_ACTION_UNSAID;
}

static void
write_schedule (BenchLog *log, const char *stages)
{
  g_auto (GStrv) steps = g_strsplit (stages, ", ", -1);
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_SCHEDULE);

  entry->schedule.face = log->face;
  for (guint i = 0; steps[i] != NULL; i++)
    {
      g_auto (GStrv) words = g_strsplit (steps[i], " ", 2);
      RakeStageSpec spec = { .id = number_id (3, i + 1), .d50_um = NAN };

      spec.action = read_action (words[0]);
      spec.grade = g_strdup (words[1]);
      g_array_append_val (entry->schedule.stages, spec);
      g_array_append_val (log->stages, spec.id);
    }
  log_write (log, entry);
}

static RakeZoneSpec
read_zone (BenchLog *log, const char *text, guint index, double *x_mm)
{
  g_auto (GStrv) words = g_strsplit (text, " ", -1);
  double width_mm = g_ascii_strtod (words[1], NULL);
  RakeZoneSpec spec = {
    .id = number_id (4, index + 1), .edge_factor = NAN, .coat_factor = NAN, .reserve_um = NAN
  };

  spec.name = g_strdup (words[0]);
  spec.shape = rectangle (*x_mm, 0, width_mm, HEIGHT_MM);
  spec.is_edge = words[2] != NULL ? RAKE_ANSWER_YES : RAKE_ANSWER_NO;
  if (words[2] != NULL && words[3] != NULL)
    spec.first_stage = g_array_index (log->stages, RakeId, words[3][0] - '0');
  *x_mm += width_mm;
  return spec;
}

static double
get_width_mm (char *const *zones)
{
  double width_mm = 0;

  for (guint i = 0; zones[i] != NULL; i++)
    width_mm += g_ascii_strtod (strchr (zones[i], ' '), NULL);
  return width_mm;
}

/* A face of one zone is not divided: its first zone is named. */
static void
write_only_zone (BenchLog *log, const char *text)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_ZONE_FACTS);
  double x_mm = 0;
  RakeZoneSpec spec = read_zone (log, text, 0, &x_mm);

  rake_shape_unref (spec.shape);
  entry->zone_facts.zone = log->face;
  entry->zone_facts.name = spec.name;
  entry->zone_facts.is_edge = spec.is_edge;
  entry->zone_facts.first_stage = spec.first_stage;
  log_write (log, entry);
}

static void
write_zones (BenchLog *log, char *const *texts)
{
  RakeEntry *entry;
  double x_mm = 0;

  if (texts[1] == NULL)
    {
      write_only_zone (log, texts[0]);
      return;
    }
  entry = new_entry (log, RAKE_ENTRY_ZONES);
  entry->zones.face = log->face;
  entry->zones.division = RAKE_DIVISION_GRID;
  g_array_append_val (entry->zones.removed, log->face);
  for (guint i = 0; texts[i] != NULL; i++)
    {
      RakeZoneSpec spec = read_zone (log, texts[i], i, &x_mm);
      g_array_append_val (entry->zones.added, spec);
    }
  log_write (log, entry);
}

RakeRules *
log_new_builtin_rules (void)
{
  g_autoptr (GError) error = NULL;
  RakeRules *rules =
      rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, &error);

  if (rules == NULL)
    fail_msg ("%s", error->message);
  return rules;
}

BenchLog *
log_new (RakeFinish finish, const char *stages, const char *zones)
{
  BenchLog *log = g_new0 (BenchLog, 1);
  g_auto (GStrv) texts = g_strsplit (zones, ", ", -1);
  RakeEntry *entry;

  log->job = rake_job_new ();
  log->bench = number_id (1, 1);
  log->now_ms = G_GINT64_CONSTANT (1772352720000); /* 2026-03-01 */
  log->stages = g_array_new (FALSE, FALSE, sizeof (RakeId));

  entry = new_entry (log, RAKE_ENTRY_JOB);
  entry->job.name = g_strdup ("A box");
  entry->job.finish = finish;
  log_write (log, entry);

  entry = new_entry (log, RAKE_ENTRY_FACE);
  log->face = entry->id;
  entry->face.name = g_strdup ("front");
  entry->face.outline = rectangle (0, 0, get_width_mm (texts), HEIGHT_MM);
  log_write (log, entry);
  write_schedule (log, stages);
  write_zones (log, texts);
  return log;
}

void
log_free (BenchLog *log)
{
  rake_job_free (log->job);
  g_array_unref (log->stages);
  g_free (log);
}

void
log_wait (BenchLog *log, double minutes)
{
  log->now_ms += (gint64) (minutes * 60 * 1000);
}

const RakeZone *
log_zone (const BenchLog *log, const char *name)
{
  const RakeFace *face = rake_job_find_face (log->job, log->face);

  for (guint i = 0; i < face->zones->len; i++)
    if (strcmp (((const RakeZone *) face->zones->pdata[i])->name, name) == 0)
      return face->zones->pdata[i];
  fail_msg ("there is no zone %s", name);
  return NULL;
}

const RakeStage *
log_stage (const BenchLog *log, guint index)
{
  return rake_job_find_stage (log->job, g_array_index (log->stages, RakeId, index));
}

RakeEntry *
log_new_facts (const BenchLog *log)
{
  RakeEntry *entry = new_entry ((BenchLog *) log, RAKE_ENTRY_JOB);

  entry->job = *rake_job_find_facts (log->job);
  entry->job.name = g_strdup ("A box");
  return entry;
}

const RakeEntry *
log_coat (BenchLog *log)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_COAT);

  entry->coat.face = log->face;
  return log_write (log, entry);
}

const RakeEntry *
log_begin (BenchLog *log, guint stage)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_BEGIN_STAGE);

  entry->begin_stage.face = log->face;
  entry->begin_stage.stage = g_array_index (log->stages, RakeId, stage);
  return log_write (log, entry);
}

const RakeEntry *
log_pass_on_wheel (BenchLog *log, guint stage, const char *zones, RakeId wheel)
{
  g_auto (GStrv) names = g_strsplit (zones, " ", -1);
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_PASS);

  entry->pass.stage = g_array_index (log->stages, RakeId, stage);
  entry->pass.wheel = wheel;
  for (guint i = 0; names[i] != NULL; i++)
    g_array_append_val (entry->pass.zones, log_zone (log, names[i])->id);
  return log_write (log, entry);
}

const RakeEntry *
log_pass (BenchLog *log, guint stage, const char *zones, double stroke_deg)
{
  g_auto (GStrv) names = g_strsplit (zones, " ", -1);
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_PASS);

  entry->pass.stage = g_array_index (log->stages, RakeId, stage);
  entry->pass.stroke_deg = stroke_deg;
  for (guint i = 0; names[i] != NULL; i++)
    g_array_append_val (entry->pass.zones, log_zone (log, names[i])->id);
  return log_write (log, entry);
}

const RakeEntry *
log_look_how (BenchLog *log, const char *zone, RakeSurface surface, RakeWipe wipe, RakeLight light,
              double lamp_deg)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_LOOK);

  entry->look.zone = log_zone (log, zone)->id;
  entry->look.surface = surface;
  entry->look.wiped_with = wipe;
  entry->look.light = light;
  entry->look.lamp_deg = lamp_deg;
  return log_write (log, entry);
}

const RakeEntry *
log_look (BenchLog *log, const char *zone, double lamp_deg)
{
  return log_look_how (log, zone, RAKE_SURFACE_DRY, RAKE_WIPE_DRY_CLOTH, RAKE_LIGHT_LAMP, lamp_deg);
}

const RakeEntry *
log_state (BenchLog *log, const RakeEntry *look, RakeState state)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_STATE);

  entry->state.look = look->id;
  entry->state.state = state;
  return log_write (log, entry);
}

const RakeEntry *
log_even (BenchLog *log, const RakeEntry *look)
{
  return log_state (log, look, RAKE_STATE_UNIFORM);
}

const RakeEntry *
log_low (BenchLog *log, const RakeEntry *look, double fraction, double island_mm,
         double n_over_limit)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_STATE);

  entry->state.look = look->id;
  entry->state.state = RAKE_STATE_LOW_SPOT;
  entry->state.low_spot_fraction = fraction;
  entry->state.largest_island_mm = island_mm;
  entry->state.n_islands_over_limit = n_over_limit;
  return log_write (log, entry);
}

static RakeShape *
new_place (RakeMarkKind kind, double x_mm, double y_mm, double size_mm)
{
  double ends_mm[] = { x_mm - size_mm / 2, y_mm, x_mm + size_mm / 2, y_mm };

  if (size_mm <= 0)
    return rake_shape_new_point (x_mm, y_mm, NULL);
  if (kind == RAKE_MARK_SCRATCH || kind == RAKE_MARK_WITNESS_LINE)
    return rake_shape_new_line (ends_mm, 2, NULL);
  return rectangle (x_mm - size_mm / 2, y_mm - size_mm / 2, size_mm, size_mm);
}

const RakeEntry *
log_mark (BenchLog *log, const RakeEntry *look, RakeMarkKind kind, double x_mm, double y_mm,
          double size_mm)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_MARK);

  entry->mark.look = look->id;
  entry->mark.mark = kind;
  entry->mark.shape = new_place (kind, x_mm, y_mm, size_mm);
  return log_write (log, entry);
}

const RakeEntry *
log_still_there (BenchLog *log, const RakeEntry *look, const RakeEntry *mark, double size_mm)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_REVISIT);
  RakeBounds bounds = rake_shape_get_bounds (mark->mark.shape);

  entry->revisit.look = look->id;
  entry->revisit.mark = mark->id;
  entry->revisit.outcome = RAKE_OUTCOME_STILL_THERE;
  if (size_mm > 0)
    entry->revisit.shape = new_place (mark->mark.mark, (bounds.min_x_mm + bounds.max_x_mm) / 2,
                                      (bounds.min_y_mm + bounds.max_y_mm) / 2, size_mm);
  return log_write (log, entry);
}

const RakeEntry *
log_gone (BenchLog *log, const RakeEntry *look, const RakeEntry *mark)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_REVISIT);

  entry->revisit.look = look->id;
  entry->revisit.mark = mark->id;
  entry->revisit.outcome = RAKE_OUTCOME_GONE;
  return log_write (log, entry);
}

const RakeEntry *
log_repair (BenchLog *log, const char *zone, RakeRepairMethod method, const RakeEntry *mark,
            int back_to_stage)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_REPAIR);

  entry->repair.zone = log_zone (log, zone)->id;
  entry->repair.method = method;
  if (mark != NULL)
    g_array_append_val (entry->repair.marks, mark->id);
  if (back_to_stage >= 0)
    entry->repair.back_to_stage = g_array_index (log->stages, RakeId, back_to_stage);
  return log_write (log, entry);
}

const RakeEntry *
log_reading (BenchLog *log, const char *zone, RakeQuantity quantity, double value)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_READING);

  entry->reading.zone = log_zone (log, zone)->id;
  entry->reading.quantity = quantity;
  entry->reading.value = value;
  return log_write (log, entry);
}

const RakeEntry *
log_wheel (BenchLog *log, const char *compound, RakeAnswer carried_other, RakeId renews)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_WHEEL);

  entry->wheel.wheel = renews;
  entry->wheel.name = g_strdup ("A wheel");
  entry->wheel.compound = g_strdup (compound);
  entry->wheel.carried_other = carried_other;
  return log_write (log, entry);
}

const RakeEntry *
log_accept (BenchLog *log, const char *zone, const RakeJudgement *against)
{
  RakeEntry *entry = new_entry (log, RAKE_ENTRY_ACCEPTANCE);

  entry->acceptance.zone = log_zone (log, zone)->id;
  entry->acceptance.verdict = against->verdict;
  entry->acceptance.reason = g_strdup ("nobody sees it");
  for (guint i = 0; i < against->reasons->len; i++)
    {
      const RakeReason *reason = against->reasons->pdata[i];

      if (reason->verdict == RAKE_VERDICT_READY)
        continue;
      g_ptr_array_add (entry->acceptance.rules, g_strdup (reason->rule));
      g_ptr_array_add (entry->acceptance.matters, g_strdup (reason->matter));
    }
  return log_write (log, entry);
}
