/* random-log.c - logbooks made from a seed. */
#include "random-log.h"

#include <rakelight/photo.h>
#include <rakelight/record.h>
#include <rakelight/seal.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

/* splitmix64, from memory of its author's public domain code: any seed will do, 0 too. */
Random
random_new (guint64 seed)
{
  return (Random){ seed, seed };
}

guint64
random_next (Random *random)
{
  guint64 z = random->state += G_GUINT64_CONSTANT (0x9e3779b97f4a7c15);

  z = (z ^ (z >> 30)) * G_GUINT64_CONSTANT (0xbf58476d1ce4e5b9);
  z = (z ^ (z >> 27)) * G_GUINT64_CONSTANT (0x94d049bb133111eb);
  return z ^ (z >> 31);
}

guint
random_below (Random *random, guint n)
{
  return (guint) (random_next (random) % n);
}

gboolean
random_chance (Random *random, guint percent)
{
  return random_below (random, 100) < percent;
}

double
random_real (Random *random, double least, double most)
{
  return least + (most - least) * ((double) (random_next (random) >> 11) / 9007199254740992.0);
}

static RakeId
random_id (Random *random)
{
  guint64 halves[2] = { random_next (random), random_next (random) };
  RakeId id;

  memcpy (id.bytes, halves, sizeof id.bytes);
  return id;
}

RakeShape *
random_rectangle (double x_mm, double y_mm, double width_mm, double height_mm)
{
  double points_mm[] = { x_mm,            y_mm,             x_mm + width_mm, y_mm,
                         x_mm + width_mm, y_mm + height_mm, x_mm,            y_mm + height_mm };
  RakeShape *shape = rake_shape_new_area (points_mm, 4, NULL);

  assert_non_null (shape);
  return shape;
}

/* --- a bench -------------------------------------------------------------------------------------- */

RandomBench *
random_bench_new (Random *random)
{
  RandomBench *bench = g_new0 (RandomBench, 1);

  bench->id = random_id (random);
  bench->now_ms = G_GINT64_CONSTANT (1772352720000); /* 2026-03-01 */
  bench->random = random;
  bench->job = rake_job_new ();
  bench->written = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  bench->may_strike = TRUE;
  bench->may_undo = TRUE;
  return bench;
}

void
random_bench_free (RandomBench *bench)
{
  rake_job_free (bench->job);
  g_ptr_array_unref (bench->written);
  g_free (bench);
}

static RakeEntry *
new_entry (RandomBench *bench, RakeEntryKind kind)
{
  RakeEntry *entry = rake_entry_new (kind);

  entry->id = random_id (bench->random);
  return entry;
}

void
random_bench_write (RandomBench *bench, RakeEntry *const *entries, guint n_entries)
{
  for (guint i = 0; i < n_entries; i++)
    {
      RakeEntry *entry = entries[i];
      gboolean says_happened = entry->happened_ms != entry->written_ms;
      g_autoptr (GError) error = NULL;

      /* slow enough that two benches often write in the same millisecond */
      bench->now_ms += 1 + random_below (bench->random, 3);
      entry->bench = bench->id;
      entry->number = ++bench->number;
      entry->written_ms = bench->now_ms;
      if (!says_happened)
        entry->happened_ms = bench->now_ms;
      entry->utc_offset_minutes = 60;
      entry->gesture = entries[0]->id;
      memcpy (entry->previous, bench->last_hash, sizeof entry->previous);
      rake_entry_seal (entry);
      memcpy (bench->last_hash, entry->hash, sizeof entry->hash);
      if (!rake_entry_check (entry, &error) || !rake_job_check (bench->job, entry, &error) ||
          !rake_job_apply (bench->job, entry, &error))
        {
          g_autofree char *line = rake_entry_to_canonical (entry);
          fail_msg ("seed %" G_GUINT64_FORMAT ":\n%s\nwas refused: %s", bench->random->seed, line,
                    error->message);
        }
      g_ptr_array_add (bench->written, rake_entry_ref (entry));
    }
}

void
random_bench_receive (RandomBench *bench, RakeEntry *const *entries, guint n_entries)
{
  g_autoptr (GError) error = NULL;

  if (!rake_job_adopt (bench->job, entries, n_entries, NULL, &error))
    fail_msg ("seed %" G_GUINT64_FORMAT ": an entry on record was refused: %s", bench->random->seed,
              error->message);
  for (guint i = 0; i < n_entries; i++)
    bench->now_ms = MAX (bench->now_ms, entries[i]->written_ms + 1);
}

static gboolean
write_plan (RandomBench *bench, GPtrArray *plan)
{
  if (plan == NULL)
    return FALSE;
  for (guint i = 0; i < plan->len; i++)
    ((RakeEntry *) plan->pdata[i])->id = random_id (bench->random);
  random_bench_write (bench, (RakeEntry *const *) plan->pdata, plan->len);
  return TRUE;
}

gboolean
random_bench_undo (RandomBench *bench)
{
  g_autoptr (GPtrArray) plan = rake_job_plan_undo (bench->job, bench->id);
  return write_plan (bench, plan);
}

gboolean
random_bench_redo (RandomBench *bench)
{
  g_autoptr (GPtrArray) plan = rake_job_plan_redo (bench->job, bench->id);
  return write_plan (bench, plan);
}

char *
random_log_shown (const RakeJob *job)
{
  char *dump = rake_job_dump (job);

  *strstr (dump, "\nrecord of ") = '\0';
  return dump;
}

/* --- picking --------------------------------------------------------------------------------------- */

static const RakeFace *
pick_face (RandomBench *bench)
{
  return rake_job_get_face (bench->job,
                            random_below (bench->random, rake_job_get_n_faces (bench->job)));
}

static const RakeZone *
pick_zone (RandomBench *bench)
{
  const GPtrArray *zones = pick_face (bench)->zones;
  return zones->pdata[random_below (bench->random, zones->len)];
}

static RakeEntry *
pick_entry (RandomBench *bench)
{
  guint n_entries = rake_job_get_n_entries (bench->job);
  return rake_job_get_entry (bench->job, random_below (bench->random, n_entries));
}

/* Mostly the stage where the face stands or the next. */
static const RakeStage *
pick_stage (RandomBench *bench, const RakeFace *face)
{
  guint position = face->stage->position;

  if (random_chance (bench->random, 15))
    position = random_below (bench->random, face->stages->len);
  else if (random_chance (bench->random, 30))
    position = MIN (position + 1, face->stages->len - 1);
  return face->stages->pdata[position];
}

static void
pick_place (RandomBench *bench, const RakeZone *zone, double *x_mm, double *y_mm)
{
  RakeBounds bounds = rake_shape_get_bounds (zone->shape);

  for (int attempt = 0; attempt < 8; attempt++)
    {
      *x_mm = random_real (bench->random, bounds.min_x_mm, bounds.max_x_mm);
      *y_mm = random_real (bench->random, bounds.min_y_mm, bounds.max_y_mm);
      if (rake_shape_contains (zone->shape, *x_mm, *y_mm))
        return;
    }
  rake_shape_get_inner_point (zone->shape, x_mm, y_mm);
}

static RakeShape *
pick_shape (RandomBench *bench, const RakeZone *zone)
{
  double line_mm[4];

  pick_place (bench, zone, &line_mm[0], &line_mm[1]);
  switch (random_below (bench->random, 3))
    {
    case 0:
      return rake_shape_new_point (line_mm[0], line_mm[1], NULL);
    case 1:
      line_mm[2] = line_mm[0] + random_real (bench->random, 1, 20);
      line_mm[3] = line_mm[1] + random_real (bench->random, -20, 20);
      return rake_shape_new_line (line_mm, 2, NULL);
    default:
      return random_rectangle (line_mm[0], line_mm[1], random_real (bench->random, 0.5, 20),
                               random_real (bench->random, 0.5, 20));
    }
}

/* --- what a bench does: each adds the entries of one gesture, or none when it finds nothing to do --- */

static void
begin_job (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *facts = new_entry (bench, RAKE_ENTRY_JOB);
  RakeEntry *rules = new_entry (bench, RAKE_ENTRY_RULES);

  facts->job.name = g_strdup ("Random");
  facts->job.finish = (RakeFinish) random_below (bench->random, RAKE_N_FINISHES);
  rules->rules.name = g_strdup ("none");
  rules->rules.text = g_strdup ("# nothing\n");
  g_ptr_array_add (gesture, facts);
  g_ptr_array_add (gesture, rules);
}

static void
add_face (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *face = new_entry (bench, RAKE_ENTRY_FACE);

  face->face.name = g_strdup_printf ("Face %u", rake_job_get_n_faces (bench->job) + 1);
  face->face.outline = random_rectangle (0, 0, 400, 300);
  g_ptr_array_add (gesture, face);
}

static void
plan_stages (RandomBench *bench, GPtrArray *gesture)
{
  static const struct
  {
    const char *grade;
    RakeAction action;
    double d50_um;
  } work[] = {
    { "P400", RAKE_ACTION_LEVEL, 35.0 },  { "P600", RAKE_ACTION_LEVEL, 25.8 },
    { "P800", RAKE_ACTION_LEVEL, 21.8 },  { "P1200", RAKE_ACTION_REFINE, 15.3 },
    { "P2000", RAKE_ACTION_REFINE, 10.3 }, { NULL, RAKE_ACTION_LAST_LOOK, NAN },
    { "cut", RAKE_ACTION_BUFF, NAN },      { NULL, RAKE_ACTION_REST, NAN },
  };
  const RakeFace *face = pick_face (bench);
  RakeEntry *schedule = new_entry (bench, RAKE_ENTRY_SCHEDULE);

  schedule->schedule.face = face->id;
  for (guint i = 0; i < G_N_ELEMENTS (work); i++)
    {
      RakeStageSpec spec = { .id = random_id (bench->random), .action = work[i].action,
                             .d50_um = work[i].d50_um };

      if (random_chance (bench->random, 25) && (i > 0 || schedule->schedule.stages->len > 0))
        continue;
      for (guint j = 0; j < face->stages->len; j++)
        {
          const RakeStage *stage = face->stages->pdata[j];
          if (stage->action == work[i].action &&
              g_strcmp0 (stage->grade, work[i].grade != NULL ? work[i].grade : "") == 0)
            spec.id = stage->id;
        }
      spec.grade = g_strdup (work[i].grade);
      g_array_append_val (schedule->schedule.stages, spec);
    }
  g_ptr_array_add (gesture, schedule);
}

static void
begin_stage (RandomBench *bench, GPtrArray *gesture)
{
  const RakeFace *face = pick_face (bench);
  RakeEntry *begin;

  if (face->stage == NULL)
    return;
  begin = new_entry (bench, RAKE_ENTRY_BEGIN_STAGE);
  begin->begin_stage.face = face->id;
  begin->begin_stage.stage = pick_stage (bench, face)->id;
  g_ptr_array_add (begin->begin_stage.prepared, g_strdup ("water"));
  g_ptr_array_add (gesture, begin);
}

static void
spray_coat (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *coat = new_entry (bench, RAKE_ENTRY_COAT);

  coat->coat.face = pick_face (bench)->id;
  coat->coat.wet_um = random_real (bench->random, 50, 150);
  if (random_chance (bench->random, 70))
    coat->coat.volume_solids_fraction = random_real (bench->random, 0.1, 0.6);
  if (random_chance (bench->random, 20))
    coat->coat.scuff_um = random_real (bench->random, 0, 6);
  g_ptr_array_add (gesture, coat);
}

static void
add_zone_spec (RandomBench *bench, RakeEntry *zones, RakeShape *shape)
{
  RakeZoneSpec spec = { .id = random_id (bench->random), .shape = shape, .edge_factor = NAN, .coat_factor = NAN,
                        .reserve_um = NAN };

  spec.name = g_strdup_printf ("Zone %u", random_below (bench->random, 1000));
  if (random_chance (bench->random, 20))
    spec.is_edge = RAKE_ANSWER_YES;
  if (random_chance (bench->random, 20))
    spec.coat_factor = random_real (bench->random, 0.3, 1);
  if (random_chance (bench->random, 20))
    spec.is_hard_to_reach = (RakeAnswer) (1 + random_below (bench->random, 2));
  if (random_chance (bench->random, 20))
    spec.reserve_um = random_real (bench->random, 5, 40);
  g_array_append_val (zones->zones.added, spec);
}

static void
cut_zone (RandomBench *bench, GPtrArray *gesture)
{
  const RakeZone *zone = pick_zone (bench);
  RakeBounds bounds = rake_shape_get_bounds (zone->shape);
  g_autoptr (RakeShape) half = NULL, inside = NULL, outside = NULL;
  RakeEntry *zones;

  if (random_chance (bench->random, 50))
    half = random_rectangle (
        -1, -1, random_real (bench->random, bounds.min_x_mm, bounds.max_x_mm) + 1, 302);
  else
    half = random_rectangle (-1, -1, 402,
                             random_real (bench->random, bounds.min_y_mm, bounds.max_y_mm) + 1);
  inside = rake_shape_intersection (zone->shape, half, NULL);
  outside = rake_shape_difference (zone->shape, half, NULL);
  if (inside == NULL || outside == NULL || zone->face->zones->len > 12)
    return;
  zones = new_entry (bench, RAKE_ENTRY_ZONES);
  zones->zones.face = zone->face->id;
  zones->zones.division = RAKE_DIVISION_CUT;
  g_array_append_val (zones->zones.removed, zone->id);
  add_zone_spec (bench, zones, g_steal_pointer (&inside));
  add_zone_spec (bench, zones, g_steal_pointer (&outside));
  g_ptr_array_add (gesture, zones);
}

static void
join_zones (RandomBench *bench, GPtrArray *gesture)
{
  const RakeZone *zone = pick_zone (bench), *other = NULL;
  g_autoptr (RakeShape) whole = NULL;
  RakeEntry *zones;

  for (guint i = 0; i < zone->face->zones->len && other == NULL; i++)
    {
      const RakeZone *candidate = zone->face->zones->pdata[i];
      if (candidate != zone && rake_shape_is_neighbour (zone->shape, candidate->shape))
        other = candidate;
    }
  if (other == NULL)
    return;
  whole = rake_shape_union (zone->shape, other->shape, NULL);
  assert_non_null (whole);
  zones = new_entry (bench, RAKE_ENTRY_ZONES);
  zones->zones.face = zone->face->id;
  zones->zones.division = RAKE_DIVISION_JOIN;
  g_array_append_val (zones->zones.removed, zone->id);
  g_array_append_val (zones->zones.removed, other->id);
  add_zone_spec (bench, zones, g_steal_pointer (&whole));
  g_ptr_array_add (gesture, zones);
}

static void
set_zone_facts (RandomBench *bench, GPtrArray *gesture)
{
  const RakeZone *zone = pick_zone (bench);
  RakeEntry *facts = new_entry (bench, RAKE_ENTRY_ZONE_FACTS);

  facts->zone_facts.zone = zone->id;
  facts->zone_facts.edge_factor = random_real (bench->random, 1, 3);
  if (random_chance (bench->random, 30))
    facts->zone_facts.coat_factor = random_real (bench->random, 0.3, 1);
  if (random_chance (bench->random, 30))
    facts->zone_facts.is_hard_to_reach = (RakeAnswer) (1 + random_below (bench->random, 2));
  if (zone->face->stages->len > 0)
    facts->zone_facts.first_stage = pick_stage (bench, zone->face)->id;
  g_ptr_array_add (gesture, facts);
}

static void
make_pass (RandomBench *bench, GPtrArray *gesture)
{
  const RakeFace *face = pick_face (bench);
  RakeEntry *pass;

  if (face->stage == NULL)
    return;
  pass = new_entry (bench, RAKE_ENTRY_PASS);
  pass->pass.stage = pick_stage (bench, face)->id;
  for (guint i = 0; i < face->zones->len; i++)
    if (random_chance (bench->random, 40) || pass->pass.zones->len == 0)
      g_array_append_val (pass->pass.zones, ((RakeZone *) face->zones->pdata[i])->id);
  pass->pass.stroke_deg = random_below (bench->random, 4) * 45;
  pass->pass.wiped_with = RAKE_WIPE_DRY_CLOTH;
  pass->pass.paper = (RakePaper) random_below (bench->random, RAKE_PAPER_WIPED + 1);
  g_ptr_array_add (gesture, pass);
}

static RakeEntry *
add_look (RandomBench *bench, GPtrArray *gesture, const RakeZone *zone)
{
  RakeEntry *look = new_entry (bench, RAKE_ENTRY_LOOK);

  look->look.zone = zone->id;
  look->look.surface = random_chance (bench->random, 80) ? RAKE_SURFACE_DRY : RAKE_SURFACE_WET;
  look->look.wiped_with =
      random_chance (bench->random, 80) ? RAKE_WIPE_DRY_CLOTH : RAKE_WIPE_NOTHING;
  look->look.light = RAKE_LIGHT_LAMP;
  look->look.lamp_deg = random_below (bench->random, 360);
  if (random_chance (bench->random, 10))
    look->happened_ms = bench->now_ms - random_below (bench->random, 100);
  g_ptr_array_add (gesture, look);
  return look;
}

static void
look_at_zone (RandomBench *bench, GPtrArray *gesture)
{
  const RakeZone *zone = pick_zone (bench);
  const RakeEntry *look = add_look (bench, gesture, zone);

  for (guint i = 0; i < zone->marks->len; i++)
    if (random_chance (bench->random, 30))
      {
        const RakeMark *mark = zone->marks->pdata[i];
        RakeEntry *revisit = new_entry (bench, RAKE_ENTRY_REVISIT);

        revisit->revisit.look = look->id;
        revisit->revisit.mark = mark->entry->id;
        revisit->revisit.outcome =
            random_chance (bench->random, 50) ? RAKE_OUTCOME_GONE : RAKE_OUTCOME_STILL_THERE;
        if (revisit->revisit.outcome == RAKE_OUTCOME_STILL_THERE &&
            random_chance (bench->random, 30))
          revisit->revisit.shape = pick_shape (bench, zone);
        g_ptr_array_add (gesture, revisit);
      }
  for (guint n = random_below (bench->random, 4); n > 0; n--)
    {
      RakeEntry *mark = new_entry (bench, RAKE_ENTRY_MARK);

      mark->mark.look = look->id;
      mark->mark.mark = random_chance (bench->random, 50)
                            ? RAKE_MARK_LOW_SPOT
                            : (RakeMarkKind) (1 + random_below (bench->random, RAKE_N_MARKS - 1));
      mark->mark.shape = pick_shape (bench, zone);
      g_ptr_array_add (gesture, mark);
    }
  if (random_chance (bench->random, 60))
    {
      RakeEntry *state = new_entry (bench, RAKE_ENTRY_STATE);

      state->state.look = look->id;
      state->state.state = (RakeState) (1 + random_below (bench->random, RAKE_N_STATES - 1));
      if (state->state.state == RAKE_STATE_LOW_SPOT)
        state->state.low_spot_fraction = random_real (bench->random, 0, 1);
      g_ptr_array_add (gesture, state);
    }
}

static void
accept_zone (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *acceptance = new_entry (bench, RAKE_ENTRY_ACCEPTANCE);

  acceptance->acceptance.zone = pick_zone (bench)->id;
  acceptance->acceptance.verdict = RAKE_VERDICT_STOP;
  acceptance->acceptance.reason = g_strdup ("good enough underneath");
  g_ptr_array_add (gesture, acceptance);
}

static void
read_film (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *reading = new_entry (bench, RAKE_ENTRY_READING);

  reading->reading.zone = pick_zone (bench)->id;
  reading->reading.quantity = RAKE_QUANTITY_FILM_UM;
  reading->reading.value = random_real (bench->random, 20, 120);
  if (random_chance (bench->random, 50))
    reading->reading.sd = random_real (bench->random, 1, 5);
  g_ptr_array_add (gesture, reading);
}

static void
repair_zone (RandomBench *bench, GPtrArray *gesture)
{
  const RakeZone *zone = pick_zone (bench);
  RakeEntry *repair = new_entry (bench, RAKE_ENTRY_REPAIR);

  repair->repair.zone = zone->id;
  repair->repair.method = (RakeRepairMethod) (1 + random_below (bench->random, RAKE_REPAIR_RECOAT));
  for (guint i = 0; i < zone->marks->len; i++)
    if (random_chance (bench->random, 50))
      g_array_append_val (repair->repair.marks, ((RakeMark *) zone->marks->pdata[i])->entry->id);
  if (random_chance (bench->random, 70))
    repair->repair.added_um = random_real (bench->random, 5, 40);
  if (random_chance (bench->random, 30))
    repair->repair.removed_um = random_real (bench->random, 0, 8);
  if (random_chance (bench->random, 30))
    repair->repair.shrink_fraction = random_real (bench->random, 0, 0.8);
  if (zone->face->stages->len > 0 && random_chance (bench->random, 50))
    repair->repair.back_to_stage = pick_stage (bench, zone->face)->id;
  g_ptr_array_add (gesture, repair);
}

static void
take_wheel (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *wheel = new_entry (bench, RAKE_ENTRY_WHEEL);
  const RakeEntry *other = pick_entry (bench);

  wheel->wheel.name = g_strdup ("Wheel");
  if (rake_job_find_wheel (bench->job, other->id) != NULL)
    {
      wheel->wheel.wheel = other->id;
      wheel->wheel.work = (RakeWheelWork) random_below (bench->random, RAKE_WHEEL_WORK_CHECKED + 1);
    }
  g_ptr_array_add (gesture, wheel);
}

static void
learn_rate (RandomBench *bench, GPtrArray *gesture)
{
  static const char *const grades[] = { "P800", "p 1500", "cut", "sandstone" };
  RakeEntry *rate = new_entry (bench, RAKE_ENTRY_RATE);

  rate->rate.grade = g_strdup (grades[random_below (bench->random, G_N_ELEMENTS (grades))]);
  rate->rate.removal_um = random_real (bench->random, 0.2, 5);
  if (random_chance (bench->random, 70))
    rate->rate.common_sd_um = random_real (bench->random, 0, 1);
  g_ptr_array_add (gesture, rate);
}

static const RakePhoto *
pick_photo (RandomBench *bench)
{
  guint n_photos = rake_job_get_n_photos (bench->job);

  return n_photos > 0 ? rake_job_get_photo (bench->job, random_below (bench->random, n_photos))
                      : NULL;
}

/* Now and then one that is there is placed anew. */
static void
take_photo (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *photo = new_entry (bench, RAKE_ENTRY_PHOTO);
  const RakePhoto *there = random_chance (bench->random, 30) ? pick_photo (bench) : NULL;
  const RakeZone *zone = pick_zone (bench);

  photo->photo.sha256 = g_strdup_printf ("%064x", random_below (bench->random, 1000000));
  photo->photo.media_type = RAKE_MEDIA_JPEG;
  photo->photo.n_bytes = 3000000;
  photo->photo.width_px = 4000;
  photo->photo.height_px = 3000;
  if (there != NULL)
    {
      photo->photo.photo = there->id;
      g_free (photo->photo.sha256);
      photo->photo.sha256 = g_strdup (there->entry->photo.sha256);
    }
  if (random_chance (bench->random, 80))
    {
      photo->photo.face = zone->face->id;
      g_array_append_val (photo->photo.zones, zone->id);
      if (zone->stage != NULL && random_chance (bench->random, 50))
        photo->photo.stage = zone->stage->id;
      if (zone->marks->len > 0 && random_chance (bench->random, 50))
        g_array_append_val (photo->photo.marks, ((RakeMark *) zone->marks->pdata[0])->entry->id);
    }
  photo->photo.view = g_strdup (random_chance (bench->random, 50) ? "window" : "bench");
  g_ptr_array_add (gesture, photo);
}

static void
withdraw_photo (RandomBench *bench, GPtrArray *gesture)
{
  const RakePhoto *photo = pick_photo (bench);
  RakeEntry *withdrawal;

  if (photo == NULL || photo->withdrawal != NULL)
    return;
  withdrawal = new_entry (bench, RAKE_ENTRY_WITHDRAWAL);
  withdrawal->withdrawal.photo = photo->id;
  withdrawal->withdrawal.reason = g_strdup ("shows a face");
  g_ptr_array_add (gesture, withdrawal);
}

static void
register_photo (RandomBench *bench, GPtrArray *gesture)
{
  const RakePhoto *photo = pick_photo (bench);
  RakeEntry *entry;
  RakeRegistrationBody *body;

  if (photo == NULL || photo->face == NULL)
    return;
  entry = new_entry (bench, RAKE_ENTRY_REGISTRATION);
  body = &entry->registration;
  body->face = photo->face->id;
  body->photo = photo->id;
  for (int i = 0; i < 4; i++)
    {
      const RakePairSpec pair = { i % 2 * 4000, i / 2 * 3000, i % 2 * 400, i / 2 * 300 };
      g_array_append_val (body->pairs, pair);
    }
  body->m11 = body->m22 = random_real (bench->random, 5, 15);
  body->m12 = body->m13 = body->m21 = body->m23 = body->m31 = body->m32 = 0;
  body->m33 = 1;
  g_ptr_array_add (gesture, entry);
}

/* A mark kept for the record, a fault without a place, or more of the story of one that is there. */
static void
keep_defect (RandomBench *bench, GPtrArray *gesture)
{
  g_autoptr (GPtrArray) defects = rake_job_list_defects (bench->job);
  const RakeDefect *there = defects->len > 0 && random_chance (bench->random, 50)
                                ? defects->pdata[random_below (bench->random, defects->len)]
                                : NULL;
  const RakeZone *zone = there != NULL && there->zone != NULL ? there->zone : pick_zone (bench);
  RakeEntry *defect = new_entry (bench, RAKE_ENTRY_DEFECT);

  defect->defect.zone = zone->id;
  if (there != NULL && there->zone != NULL)
    defect->defect.defect = there->id;
  else if (zone->marks->len > 0 && random_chance (bench->random, 70))
    defect->defect.mark =
        ((RakeMark *) zone->marks->pdata[random_below (bench->random, zone->marks->len)])
            ->entry->id;
  else
    defect->defect.what = g_strdup ("a knock in transport");
  defect->defect.standing =
      (RakeStanding) (1 + random_below (bench->random, RAKE_STANDING_LEFT_AS_AGREED));
  defect->defect.outcome = g_strdup ("as it is");
  g_ptr_array_add (gesture, defect);
}

static void
hand_over (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *entry = new_entry (bench, RAKE_ENTRY_HAND_OVER);

  entry->hand_over.months = random_below (bench->random, 60);
  if (random_chance (bench->random, 70))
    entry->hand_over.seal = rake_seal_take (bench->job, rake_job_get_n_entries (bench->job));
  g_ptr_array_add (gesture, entry);
}

static void
make_claim (RandomBench *bench, GPtrArray *gesture)
{
  g_autoptr (GPtrArray) claims = rake_job_list_claims (bench->job);
  RakeEntry *claim = new_entry (bench, RAKE_ENTRY_CLAIM);

  if (claims->len > 0 && random_chance (bench->random, 50))
    claim->claim.claim =
        ((RakeClaim *) claims->pdata[random_below (bench->random, claims->len)])->id;
  else if (rake_job_get_n_faces (bench->job) > 0 && random_chance (bench->random, 70))
    claim->claim.about = pick_zone (bench)->id;
  claim->claim.complaint = g_strdup ("a ring");
  claim->claim.decision = (RakeDecision) (1 + random_below (bench->random, RAKE_DECISION_GOODWILL));
  g_ptr_array_add (gesture, claim);
}

/* What a closed job refuses is not tried; now and then the hand-over itself is struck out. */
static void
leave_closed_alone (RandomBench *bench, GPtrArray *gesture)
{
  const RakeEntry *hand_over_entry = rake_job_find_hand_over (bench->job, NULL);
  gboolean is_work = FALSE;
  RakeEntry *strike;

  for (guint i = 0; i < gesture->len; i++)
    is_work = is_work || rake_entry_kind_is_work (((const RakeEntry *) gesture->pdata[i])->kind);
  if (!is_work || !rake_job_is_closed (bench->job))
    return;
  g_ptr_array_set_size (gesture, 0);
  if (!bench->may_strike || !random_chance (bench->random, 30))
    return;
  strike = new_entry (bench, RAKE_ENTRY_STRIKE);
  strike->strike.entry = hand_over_entry->id;
  strike->strike.why = RAKE_STRIKE_CORRECTION;
  strike->strike.reason = g_strdup ("taken back to the bench");
  g_ptr_array_add (gesture, strike);
}

static void
write_note (RandomBench *bench, GPtrArray *gesture)
{
  RakeEntry *note = new_entry (bench, RAKE_ENTRY_NOTE);

  note->note.text = g_strdup ("Noted.");
  note->note.about = pick_entry (bench)->id;
  g_ptr_array_add (gesture, note);
}

/* Tries a few: much of what is written is built on. */
static void
correct (RandomBench *bench, GPtrArray *gesture)
{
  for (int attempt = 0; attempt < 5; attempt++)
    {
      g_autoptr (RakeEntry) strike = new_entry (bench, RAKE_ENTRY_STRIKE);

      strike->strike.entry = pick_entry (bench)->id;
      strike->strike.why = RAKE_STRIKE_CORRECTION;
      strike->strike.reason = g_strdup ("written down wrongly");
      strike->written_ms = strike->happened_ms = bench->now_ms + 1;
      strike->bench = bench->id;
      strike->number = bench->number + 1;
      if (rake_job_check (bench->job, strike, NULL))
        {
          g_ptr_array_add (gesture, g_steal_pointer (&strike));
          return;
        }
    }
}

void
random_bench_act (RandomBench *bench)
{
  static const struct
  {
    void (*act) (RandomBench *, GPtrArray *);
    guint weight;
  } acts[] = {
    { add_face, 2 },     { plan_stages, 4 }, { begin_stage, 5 }, { spray_coat, 3 }, { cut_zone, 12 },
    { join_zones, 5 },   { set_zone_facts, 4 }, { make_pass, 18 }, { look_at_zone, 24 },
    { accept_zone, 3 },  { read_film, 3 },   { repair_zone, 5 }, { take_wheel, 2 }, { write_note, 2 },
    { take_photo, 5 },   { register_photo, 3 }, { withdraw_photo, 1 },
    { learn_rate, 2 },
    { keep_defect, 4 },  { hand_over, 1 }, { make_claim, 2 },
    { correct, 6 },
  };
  g_autoptr (GPtrArray) gesture =
      g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  guint dice = random_below (bench->random, 116), i = 0;

  if (bench->may_undo && random_chance (bench->random, 12))
    {
      random_bench_undo (bench);
      return;
    }
  if (bench->may_undo && random_chance (bench->random, 8))
    {
      random_bench_redo (bench);
      return;
    }
  if (rake_job_find_facts (bench->job) == NULL)
    begin_job (bench, gesture);
  else if (rake_job_get_n_faces (bench->job) == 0)
    add_face (bench, gesture);
  else
    {
      for (; i + 1 < G_N_ELEMENTS (acts) && dice >= acts[i].weight; i++)
        dice -= acts[i].weight;
      if (acts[i].act != correct || bench->may_strike)
        acts[i].act (bench, gesture);
    }
  leave_closed_alone (bench, gesture);
  random_bench_write (bench, (RakeEntry *const *) gesture->pdata, gesture->len);
}
