/* job-support.c - short ways to write a job down in tests. */
#include "job-support.h"

RakeId
any_id (void)
{
  return rake_id_new (g_get_real_time () / 1000);
}

RakeShape *
point_at (double x_mm, double y_mm)
{
  return rake_shape_new_point (x_mm, y_mm, NULL);
}

RakeShape *
line_from (double x_mm, double y_mm, double to_x_mm, double to_y_mm)
{
  double points_mm[] = { x_mm, y_mm, to_x_mm, to_y_mm };
  return rake_shape_new_line (points_mm, 2, NULL);
}

/* --- entries ---------------------------------------------------------------------------------------- */

RakeEntry *
new_zones (const Bench *self, RakeDivision division)
{
  RakeEntry *zones = rake_entry_new (RAKE_ENTRY_ZONES);

  zones->zones.face = self->face;
  zones->zones.division = division;
  return zones;
}

void
add_zone (RakeEntry *zones, RakeId id, const char *name, RakeShape *shape)
{
  RakeZoneSpec spec = { .id = id, .name = g_strdup (name), .shape = shape, .edge_factor = NAN, .coat_factor = NAN,
                        .reserve_um = NAN };

  g_array_append_val (zones->zones.added, spec);
}

RakeEntry *
new_schedule (const Bench *self)
{
  RakeEntry *schedule = rake_entry_new (RAKE_ENTRY_SCHEDULE);

  schedule->schedule.face = self->face;
  return schedule;
}

void
add_stage (RakeEntry *schedule, RakeId id, RakeAction action, const char *grade, double d50_um)
{
  RakeStageSpec spec = { .id = id, .action = action, .grade = g_strdup (grade), .d50_um = d50_um };

  g_array_append_val (schedule->schedule.stages, spec);
}

RakeEntry *
new_pass (RakeId stage, RakeId zone)
{
  RakeEntry *pass = rake_entry_new (RAKE_ENTRY_PASS);

  pass->pass.stage = stage;
  g_array_append_val (pass->pass.zones, zone);
  return pass;
}

RakeEntry *
new_look (RakeId zone)
{
  RakeEntry *look = rake_entry_new (RAKE_ENTRY_LOOK);

  look->look.zone = zone;
  look->look.surface = RAKE_SURFACE_DRY;
  look->look.wiped_with = RAKE_WIPE_DRY_CLOTH;
  look->look.light = RAKE_LIGHT_LAMP;
  return look;
}

RakeEntry *
new_mark (RakeId look, RakeMarkKind kind, RakeShape *shape)
{
  RakeEntry *mark = rake_entry_new (RAKE_ENTRY_MARK);

  mark->mark.look = look;
  mark->mark.mark = kind;
  mark->mark.shape = shape;
  return mark;
}

RakeEntry *
new_state (RakeId look, RakeState state)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_STATE);

  entry->state.look = look;
  entry->state.state = state;
  return entry;
}

RakeEntry *
new_revisit (RakeId look, RakeId mark, RakeOutcome outcome)
{
  RakeEntry *revisit = rake_entry_new (RAKE_ENTRY_REVISIT);

  revisit->revisit.look = look;
  revisit->revisit.mark = mark;
  revisit->revisit.outcome = outcome;
  return revisit;
}

RakeEntry *
new_repair (RakeId zone, RakeRepairMethod method, RakeId mark)
{
  RakeEntry *repair = rake_entry_new (RAKE_ENTRY_REPAIR);

  repair->repair.zone = zone;
  repair->repair.method = method;
  if (!rake_id_is_nil (mark))
    g_array_append_val (repair->repair.marks, mark);
  return repair;
}

RakeEntry *
new_strike (RakeId entry)
{
  RakeEntry *strike = rake_entry_new (RAKE_ENTRY_STRIKE);

  strike->strike.entry = entry;
  strike->strike.why = RAKE_STRIKE_CORRECTION;
  strike->strike.reason = g_strdup ("written down wrongly");
  return strike;
}

RakeEntry *
new_note (const char *text)
{
  RakeEntry *note = rake_entry_new (RAKE_ENTRY_NOTE);

  note->note.text = g_strdup (text);
  return note;
}

/* --- the bench --------------------------------------------------------------------------------------- */

RakeId
bench_write (Bench *self, RakeEntry *entry)
{
  g_autoptr (RakeEntry) owned = entry;

  random_bench_write (self->bench, &owned, 1);
  return owned->id;
}

void
bench_refuses (Bench *self, RakeEntry *entry, RakeJobError code)
{
  g_autoptr (RakeEntry) owned = entry;
  g_autoptr (GError) error = NULL, same = NULL;
  g_autofree char *before = rake_job_dump (self->bench->job), *after = NULL;
  guint64 revision = rake_job_get_revision (self->bench->job);

  owned->bench = self->bench->id;
  owned->number = self->bench->number + 1;
  owned->written_ms = owned->happened_ms = self->bench->now_ms + 1;
  assert_false (rake_job_check (self->bench->job, owned, &error));
  assert_false (rake_job_apply (self->bench->job, owned, &same));
  if (!g_error_matches (error, RAKE_JOB_ERROR, (int) code))
    fail_msg ("refused for another reason: %s", error->message);
  assert_string_equal (error->message, same->message);
  after = rake_job_dump (self->bench->job);
  assert_string_equal (before, after);
  assert_true (revision == rake_job_get_revision (self->bench->job));
  assert_null (rake_job_find_entry (self->bench->job, owned->id));
}

static void
write_face (Bench *self)
{
  RakeEntry *facts = rake_entry_new (RAKE_ENTRY_JOB), *face = rake_entry_new (RAKE_ENTRY_FACE);

  facts->job.name = g_strdup ("Mandola");
  facts->job.finish = RAKE_FINISH_NITROCELLULOSE;
  self->facts = bench_write (self, facts);
  face->face.name = g_strdup ("Front");
  face->face.outline = random_rectangle (0, 0, 300, 200);
  self->face = bench_write (self, face);
}

static void
write_schedule (Bench *self)
{
  RakeEntry *schedule = new_schedule (self);

  for (int i = 0; i < N_STAGES; i++)
    self->stages[i] = any_id ();
  add_stage (schedule, self->stages[0], RAKE_ACTION_LEVEL, "P400", 35.0);
  add_stage (schedule, self->stages[1], RAKE_ACTION_LEVEL, "P800", 21.8);
  add_stage (schedule, self->stages[2], RAKE_ACTION_REFINE, "P1500", 12.6);
  add_stage (schedule, self->stages[3], RAKE_ACTION_BUFF, "fine", NAN);
  self->schedule = bench_write (self, schedule);
}

static void
write_zones (Bench *self)
{
  RakeEntry *zones = new_zones (self, RAKE_DIVISION_CUT);

  self->left = any_id ();
  self->right = any_id ();
  g_array_append_val (zones->zones.removed, self->face);
  add_zone (zones, self->left, "Left", random_rectangle (0, 0, 150, 200));
  add_zone (zones, self->right, "Right", random_rectangle (150, 0, 150, 200));
  self->division = bench_write (self, zones);
}

Bench *
bench_new (void)
{
  Bench *self = g_new0 (Bench, 1);

  self->random = random_new (1);
  self->bench = random_bench_new (&self->random);
  write_face (self);
  write_schedule (self);
  write_zones (self);
  return self;
}

void
bench_free (Bench *self)
{
  random_bench_free (self->bench);
  g_free (self);
}

const RakeZone *
zone_of (const Bench *self, RakeId id)
{
  const RakeZone *zone = rake_job_find_zone (self->bench->job, id);

  assert_non_null (zone);
  return zone;
}

const RakeMark *
mark_in (const Bench *self, RakeId zone, RakeId mark)
{
  const GPtrArray *marks = zone_of (self, zone)->marks;
  const RakeMark *found = NULL;

  for (guint i = 0; i < marks->len; i++)
    if (rake_id_equal (((const RakeMark *) marks->pdata[i])->entry->id, mark))
      {
        assert_null (found); /* a mark is in a zone once */
        found = marks->pdata[i];
      }
  return found;
}

/* --- stories --------------------------------------------------------------------------------------- */

void
write_script_step (Bench *bench, const char *step)
{
  RakeEntry *entry = NULL;
  RakeId zone = strchr (step, 'r') == step + 2 ? bench->right : bench->left;
  int stage = step[1] - '0';

  switch (step[0])
    {
    case 'b': /* b1: begin stage 1 */
      entry = rake_entry_new (RAKE_ENTRY_BEGIN_STAGE);
      entry->begin_stage.face = bench->face;
      entry->begin_stage.stage = bench->stages[stage];
      break;
    case 'p': /* p1l, p1r: pass at stage 1 on left, right */
      entry = new_pass (bench->stages[stage], zone);
      break;
    case 'c':
      entry = rake_entry_new (RAKE_ENTRY_COAT);
      entry->coat.face = bench->face;
      break;
    case 'R': /* R1l: repaired and sent back to stage 1 */
      entry = new_repair (zone, RAKE_REPAIR_FILL, RAKE_ID_NIL);
      entry->repair.back_to_stage = bench->stages[stage];
      break;
    case 'X':
      entry = new_repair (bench->left, RAKE_REPAIR_RECOAT, RAKE_ID_NIL);
      break;
    case 'd': /* d1: a schedule without stage 1 */
      entry = new_schedule (bench);
      for (int i = 0; i < N_STAGES; i++)
        if (i != stage)
          {
            const RakeStage *known = rake_job_find_stage (bench->bench->job, bench->stages[i]);
            add_stage (entry, known->id, known->action, known->grade, known->d50_um);
          }
      break;
    default:
      fail_msg ("no such step: %s", step);
    }
  bench_write (bench, entry);
}

int
stage_number (const Bench *bench, const RakeStage *stage)
{
  for (int i = 0; i < N_STAGES; i++)
    if (rake_id_equal (stage->id, bench->stages[i]))
      return i;
  return -1;
}

RakeEntry *
new_cut_of_left (const Bench *bench, RakeId *upper, RakeId *lower)
{
  RakeEntry *zones = new_zones (bench, RAKE_DIVISION_CUT);

  *upper = any_id ();
  *lower = any_id ();
  g_array_append_val (zones->zones.removed, bench->left);
  add_zone (zones, *upper, "Upper left", random_rectangle (0, 0, 150, 100));
  add_zone (zones, *lower, "Lower left", random_rectangle (0, 100, 150, 100));
  return zones;
}

RakeEntry *
new_join (const Bench *bench, RakeId *whole)
{
  RakeEntry *zones = new_zones (bench, RAKE_DIVISION_JOIN);

  *whole = any_id ();
  g_array_append_val (zones->zones.removed, bench->left);
  g_array_append_val (zones->zones.removed, bench->right);
  add_zone (zones, *whole, "Whole", random_rectangle (0, 0, 300, 200));
  return zones;
}

guint
count_in_history (const RakeZone *zone, RakeEntryKind kind)
{
  guint n = 0;

  for (guint i = 0; i < zone->history->len; i++)
    n += ((const RakeEntry *) zone->history->pdata[i])->kind == kind;
  return n;
}
