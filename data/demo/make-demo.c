/* make-demo.c - writes the demonstration job: an octave mandola in nitrocellulose lacquer, half way
 * through levelling its front. The piece, the shop and what happened are invented.
 *
 *   make-demo FOLDER
 *
 * The logbook is told backwards from the present, so that what waits is still waiting. Every state
 * and every verdict can be seen: the front has most of them, the back the rest. */
#include <rakelight/job-file.h>
#include <rakelight/outline.h>
#include <rakelight/rules.h>
#include <rakelight/schedule.h>
#include <rakelight/zoning.h>

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

typedef struct
{
  RakeJobFile *file;
  RakeJob *job;
} Demo;

static gint64 clock_ms;

static gint64
demo_clock (void)
{
  return clock_ms;
}

static void
later (double minutes)
{
  clock_ms += (gint64) (minutes * 60000);
}

/* A demonstration that cannot be told is a fault of ours: it ends here, with the reason. */
static void
tell (Demo *demo, RakeEntry *entry)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeEntry) owned = entry;

  if (!rake_job_file_append (demo->file, demo->job, &owned, 1, "Nele Harrow", &error))
    g_error ("the demonstration cannot be told: %s", error->message);
  later (0.2);
}

static gpointer
new_list (RakeEntryKind kind, const char *name)
{
  return rake_field_new_list (rake_entry_kind_find_field (kind, name));
}

static RakeShape *
must (RakeShape *shape, GError *error)
{
  if (shape == NULL)
    g_error ("the demonstration cannot be drawn: %s", error->message);
  return shape;
}

/* --- planning -------------------------------------------------------------------------------- */

static void
tell_job (Demo *demo)
{
  RakeEntry *job = rake_entry_new (RAKE_ENTRY_JOB);
  RakeEntry *rules_entry = rake_entry_new (RAKE_ENTRY_RULES);

  job->job.name = g_strdup ("Octave mandola 14");
  job->job.piece = g_strdup ("octave mandola");
  job->job.shop = g_strdup ("Harrow and Quill");
  job->job.finish = RAKE_FINISH_NITROCELLULOSE;
  job->job.sheen = RAKE_SHEEN_GLOSS;
  tell (demo, job);
  rules_entry->rules.name = g_strdup ("Rakelight");
  rules_entry->rules.text = g_strdup (rake_rules_get_builtin_text ());
  tell (demo, rules_entry);
}

static RakeId
tell_face (Demo *demo, const char *name, RakeShape *outline, const char *schedule)
{
  RakeEntry *face = rake_entry_new (RAKE_ENTRY_FACE);
  RakeEntry *stages = rake_entry_new (RAKE_ENTRY_SCHEDULE);
  RakeId id = face->id;

  face->face.name = g_strdup (name);
  face->face.outline = outline;
  tell (demo, face);
  stages->schedule.face = id;
  g_clear_pointer (&stages->schedule.stages, g_array_unref);
  stages->schedule.stages = rake_schedule_parse (schedule, NULL);
  tell (demo, stages);
  return id;
}

static void
tell_coats (Demo *demo, RakeId face, int n_coats)
{
  for (int i = 0; i < n_coats; i++)
    {
      RakeEntry *coat = rake_entry_new (RAKE_ENTRY_COAT);

      coat->coat.face = face;
      coat->coat.product = g_strdup ("clear nitrocellulose lacquer, thinned 1 : 1");
      coat->coat.wet_um = 90;
      coat->coat.volume_solids_fraction = 0.13; /* as sprayed */
      tell (demo, coat);
      later (150);
    }
}

/* Divides the zone @from; the new zones take @names in order. */
static void
divide (Demo *demo, RakeId face, RakeId from, RakeDivision division, GPtrArray *shapes,
        const char *const *names, gboolean first_is_edge)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_ZONES);
  const RakeFace *view = rake_job_find_face (demo->job, face);

  entry->zones.face = face;
  entry->zones.division = division;
  g_clear_pointer (&entry->zones.removed, g_array_unref);
  g_clear_pointer (&entry->zones.added, g_array_unref);
  entry->zones.removed = new_list (RAKE_ENTRY_ZONES, "removed");
  entry->zones.added = new_list (RAKE_ENTRY_ZONES, "added");
  g_array_append_val (entry->zones.removed, from);
  for (guint i = 0; i < shapes->len; i++)
    {
      gboolean is_edge = first_is_edge && i == 0;
      RakeZoneSpec spec = {
        .id = rake_id_new (clock_ms),
        .name = g_strdup (names[i]),
        .shape = rake_shape_ref (shapes->pdata[i]),
        .is_edge = is_edge ? RAKE_ANSWER_YES : RAKE_ANSWER_NO,
        .edge_factor = is_edge ? 1.8 : 1,
        .coat_factor = is_edge ? 0.7 : NAN,
        .reserve_um = is_edge ? 20 : 50,
        .first_stage = is_edge ? ((const RakeStage *) view->stages->pdata[1])->id : RAKE_ID_NIL,
      };
      g_array_append_val (entry->zones.added, spec);
    }
  tell (demo, entry);
}

static const RakeZone *
find_zone (Demo *demo, const char *name)
{
  for (guint f = 0; f < rake_job_get_n_faces (demo->job); f++)
    {
      const RakeFace *face = rake_job_get_face (demo->job, f);

      for (guint i = 0; i < face->zones->len; i++)
        if (g_str_equal (((const RakeZone *) face->zones->pdata[i])->name, name))
          return face->zones->pdata[i];
    }
  g_error ("the demonstration has no zone “%s”", name);
}

static void
cut (Demo *demo, RakeId face, const char *from, const double line_mm[4], const char *first,
     const char *second)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) line = must (rake_shape_new_line (line_mm, 2, &error), error);
  const RakeZone *zone = find_zone (demo, from);
  g_autoptr (GPtrArray) parts = rake_zoning_cut (zone->shape, line, TRUE, &error);
  const char *const names[] = { first, second };

  if (parts == NULL || parts->len != 2)
    g_error ("the demonstration cannot cut %s: %s", from,
             error != NULL ? error->message : "not two parts");
  divide (demo, face, zone->id, RAKE_DIVISION_CUT, parts, names, FALSE);
}

/* --- working ---------------------------------------------------------------------------------- */

static const RakeStage *
find_stage (const RakeZone *zone, const char *grade)
{
  for (guint i = 0; i < zone->face->stages->len; i++)
    {
      const RakeStage *stage = zone->face->stages->pdata[i];

      if (g_str_equal (stage->grade, grade))
        return stage;
    }
  g_error ("the demonstration has no stage “%s”", grade);
}

static void
pass (Demo *demo, const char *grade, double stroke_deg, RakePaper paper, const char *const *names)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_PASS);

  entry->pass.stage = find_stage (find_zone (demo, names[0]), grade)->id;
  entry->pass.stroke_deg = stroke_deg;
  entry->pass.paper = paper;
  entry->pass.wiped_with = RAKE_WIPE_DAMP_CLOTH;
  g_clear_pointer (&entry->pass.zones, g_array_unref);
  entry->pass.zones = new_list (RAKE_ENTRY_PASS, "zones");
  for (gsize i = 0; names[i] != NULL; i++)
    g_array_append_val (entry->pass.zones, find_zone (demo, names[i])->id);
  tell (demo, entry);
  later (6);
}

static RakeId
look (Demo *demo, const char *zone, double lamp_deg, RakeSurface surface)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_LOOK);
  RakeId id = entry->id;

  entry->look.zone = find_zone (demo, zone)->id;
  entry->look.surface = surface;
  entry->look.wiped_with = RAKE_WIPE_DRY_CLOTH;
  entry->look.light = RAKE_LIGHT_LAMP;
  entry->look.lamp_deg = lamp_deg;
  tell (demo, entry);
  return id;
}

static void
say (Demo *demo, RakeId look_id, RakeState state, double fraction, double island_mm)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_STATE);

  entry->state.look = look_id;
  entry->state.state = state;
  entry->state.low_spot_fraction = fraction;
  entry->state.largest_island_mm = island_mm;
  tell (demo, entry);
}

static void
look_low (Demo *demo, const char *zone, double lamp_deg, double fraction, double island_mm)
{
  RakeId id = look (demo, zone, lamp_deg, RAKE_SURFACE_DRY);

  if (fraction > 0)
    say (demo, id, RAKE_STATE_LOW_SPOT, fraction, island_mm);
  else
    say (demo, id, RAKE_STATE_UNIFORM, NAN, NAN);
  later (1);
}

static RakeId
mark (Demo *demo, RakeId look_id, RakeMarkKind kind, RakeShape *shape, const char *cause)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_MARK);
  RakeId id = entry->id;

  entry->mark.look = look_id;
  entry->mark.mark = kind;
  entry->mark.shape = shape;
  entry->mark.cause = g_strdup (cause);
  tell (demo, entry);
  return id;
}

/* A place in a zone, as an offset from its inner point. */
static void
place (Demo *demo, const char *zone, double dx_mm, double dy_mm, double *x_mm, double *y_mm)
{
  rake_shape_get_inner_point (find_zone (demo, zone)->shape, x_mm, y_mm);
  *x_mm += dx_mm;
  *y_mm += dy_mm;
}

/* An island as a pool of lacquer lies: no circle. */
static RakeShape *
island (Demo *demo, const char *zone, double dx_mm, double dy_mm, double radius_mm, double turn)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeShape) whole = NULL;
  double points[2 * 28], x_mm, y_mm;

  place (demo, zone, dx_mm, dy_mm, &x_mm, &y_mm);
  for (int i = 0; i < 28; i++)
    {
      double angle = i * 2 * G_PI / 28;
      double radius = radius_mm * (1 + 0.22 * sin (2 * angle + turn) + 0.12 * sin (3 * angle - turn));

      points[2 * i] = x_mm + radius * cos (angle) * 1.15;
      points[2 * i + 1] = y_mm + radius * sin (angle) * 0.85;
    }
  whole = must (rake_shape_new_area (points, 28, &error), error);
  return must (rake_shape_intersection (whole, find_zone (demo, zone)->shape, &error), error);
}

static RakeShape *
line (Demo *demo, const char *zone, double dx_mm, double dy_mm, double length_mm, double angle_deg,
      double bend_mm)
{
  g_autoptr (GError) error = NULL;
  double points[2 * 9], x_mm, y_mm;
  double along_x = cos (angle_deg * G_PI / 180), along_y = sin (angle_deg * G_PI / 180);

  place (demo, zone, dx_mm, dy_mm, &x_mm, &y_mm);
  for (int i = 0; i < 9; i++)
    {
      double t = i / 8.0 - 0.5, bend = bend_mm * sin (i * G_PI / 4);

      points[2 * i] = x_mm + t * length_mm * along_x - bend * along_y;
      points[2 * i + 1] = y_mm + t * length_mm * along_y + bend * along_x;
    }
  return must (rake_shape_new_line (points, 9, &error), error);
}

/* --- the front: half way through levelling ---------------------------------------------------- */

static const char *const front_zones[] = { "Upper bass", "Upper treble", "Waist bass",
                                           "Waist treble", "Lower bass", "Lower treble",
                                           "Tail bass", "Tail treble", NULL };

static void
divide_front (Demo *demo, RakeId face)
{
  g_autoptr (GError) error = NULL;
  const RakeShape *outline = rake_job_find_face (demo->job, face)->outline;
  g_autoptr (GPtrArray) band = rake_zoning_band (outline, outline, 9, FALSE, &error);
  RakeBounds box = rake_shape_get_bounds (outline);
  double middle = (box.min_x_mm + box.max_x_mm) / 2, height = box.max_y_mm - box.min_y_mm;
  const char *const band_names[] = { "Front edge", "Front flat" };
  static const struct
  {
    double at, rise;
    const char *upper, *lower;
  } rows[] = { { 0.36, 0.05, "Upper", "Rest" },
               { 0.57, 0.01, "Waist", "Rest" },
               { 0.77, -0.03, "Lower", "Tail" } };
  static const char *const sides[] = { "bass", "treble" };

  if (band == NULL)
    g_error ("the demonstration has no edge: %s", error->message);
  divide (demo, face, face, RAKE_DIVISION_BAND, band, band_names, TRUE);
  cut (demo, face, "Front flat", (double[]){ middle, -10, middle, height + 10 }, "Rest bass",
       "Rest treble");
  for (gsize side = 0; side < 2; side++)
    for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
      {
        g_autofree char *rest = g_strdup_printf ("Rest %s", sides[side]);
        g_autofree char *upper = g_strdup_printf ("%s %s", rows[i].upper, sides[side]);
        g_autofree char *lower = g_strdup_printf ("%s %s", rows[i].lower, sides[side]);
        double y_mm = height * rows[i].at, edge_y_mm = y_mm + height * rows[i].rise;
        double x_mm = side == 0 ? -10 : box.max_x_mm + 10;

        cut (demo, face, rest, (double[]){ x_mm, edge_y_mm, middle, y_mm }, upper, lower);
      }
}

static void
level_front (Demo *demo)
{
  static const struct
  {
    const char *zone;
    double low[3], island_mm[3];
  } seen[] = {
    { "Upper bass", { 0.41, 0.18, 0.07 }, { 19, 9, 5 } },
    { "Upper treble", { 0.52, 0.34, 0.21 }, { 24, 17, 12 } },
    { "Waist bass", { 0.35, 0.16, 0.08 }, { 17, 8, 6 } },
    { "Waist treble", { 0.47, 0.27, 0.16 }, { 21, 14, 10 } },
    { "Lower bass", { 0.55, 0.36, 0.23 }, { 26, 18, 13 } },
    { "Lower treble", { 0.44, 0.24, 0.13 }, { 20, 12, 8 } },
    { "Tail bass", { 0.38, 0.17, 0.12 }, { 18, 17, 16.5 } },
    { "Tail treble", { 0.40, 0.19, 0.09 }, { 18, 9, 6 } },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (seen); i++)
    look_low (demo, seen[i].zone, 270, 0.97, 60);
  later (20);
  for (int round = 0; round < 3; round++)
    {
      pass (demo, "P800", round == 1 ? 90 : 0, round == 0 ? RAKE_PAPER_FRESH : RAKE_PAPER_USED,
            front_zones);
      for (gsize i = 0; i < G_N_ELEMENTS (seen); i++)
        look_low (demo, seen[i].zone, round == 1 ? 0 : 270, seen[i].low[round],
                  seen[i].island_mm[round]);
      later (15);
    }
}

/* A crater in the tail, drop-filled the evening before: it waits. */
static void
fill_tail (Demo *demo)
{
  RakeId look_id = look (demo, "Tail treble", 300, RAKE_SURFACE_DRY);
  RakeId crater = mark (demo, look_id, RAKE_MARK_CRATER, island (demo, "Tail treble", 12, -6, 3.4, 1),
                        "a fisheye from a silicone speck");
  RakeEntry *repair;

  say (demo, look_id, RAKE_STATE_LOW_SPOT, 0.09, 6);
  later (30);
  repair = rake_entry_new (RAKE_ENTRY_REPAIR);
  repair->repair.zone = find_zone (demo, "Tail treble")->id;
  repair->repair.method = RAKE_REPAIR_DROP_FILL;
  repair->repair.added_um = 90;
  repair->repair.added_sd_um = 30;
  g_clear_pointer (&repair->repair.marks, g_array_unref);
  repair->repair.marks = new_list (RAKE_ENTRY_REPAIR, "marks");
  g_array_append_val (repair->repair.marks, crater);
  repair->repair.outcome = g_strdup ("two drops, proud of the surface");
  tell (demo, repair);
}

static void
finish_front (Demo *demo)
{
  static const char *const fourth[] = { "Upper treble", "Waist treble", "Lower bass",
                                        "Lower treble", "Tail bass",    NULL };
  RakeId look_id = look (demo, "Waist treble", 270, RAKE_SURFACE_DRY);

  say (demo, look_id, RAKE_STATE_LOW_SPOT, 0.14, 9);
  mark (demo, look_id, RAKE_MARK_SCRATCH, line (demo, "Waist treble", 4, 6, 34, 62, 0),
        "a stray grain");
  later (4);
  pass (demo, "P800", 0, RAKE_PAPER_FRESH, fourth);

  look_id = look (demo, "Upper treble", 270, RAKE_SURFACE_DRY);
  mark (demo, look_id, RAKE_MARK_LOW_SPOT, island (demo, "Upper treble", -18, -22, 9, 0.4), NULL);
  mark (demo, look_id, RAKE_MARK_LOW_SPOT, island (demo, "Upper treble", 9, 22, 10.5, 2), NULL);
  mark (demo, look_id, RAKE_MARK_LOW_SPOT, island (demo, "Upper treble", 20, -1, 7.5, 4), NULL);

  look_id = look (demo, "Lower bass", 315, RAKE_SURFACE_DRY);
  mark (demo, look_id, RAKE_MARK_LOW_SPOT, island (demo, "Lower bass", 22, 20, 10.5, 1), NULL);
  mark (demo, look_id, RAKE_MARK_LOW_SPOT, island (demo, "Lower bass", -24, -18, 9, 3), NULL);
  mark (demo, look_id, RAKE_MARK_LOW_SPOT, island (demo, "Lower bass", 30, -8, 7, 5), NULL);
  mark (demo, look_id, RAKE_MARK_SCRATCH, line (demo, "Lower bass", -14, 10, 49, 54, 0),
        "older than the finish work: a slip when the strings were fitted");

  look_id = look (demo, "Lower treble", 315, RAKE_SURFACE_DRY);
  mark (demo, look_id, RAKE_MARK_BURN, island (demo, "Lower treble", 20, 8, 10, 2),
        "the drying lamp stood too near");
  mark (demo, look_id, RAKE_MARK_WITNESS_LINE, line (demo, "Lower treble", -12, -14, 46, -8, 2.5),
        NULL);

  look_low (demo, "Tail bass", 315, 0.11, 16.2);
}

/* --- the back: refined as far as P1200, with a carried spot ------------------------------------ */

static const char *const back_zones[] = { "Back upper bass", "Back upper treble",
                                          "Back lower bass", "Back lower treble", NULL };

static void
divide_back (Demo *demo, RakeId face)
{
  RakeBounds box = rake_shape_get_bounds (rake_job_find_face (demo->job, face)->outline);
  double middle = (box.min_x_mm + box.max_x_mm) / 2, height = box.max_y_mm - box.min_y_mm;

  cut (demo, face, "Back", (double[]){ middle, -10, middle, height + 10 }, "Back bass",
       "Back treble");
  cut (demo, face, "Back bass", (double[]){ -10, height * 0.52, middle, height * 0.5 },
       back_zones[0], back_zones[2]);
  cut (demo, face, "Back treble",
       (double[]){ middle, height * 0.5, box.max_x_mm + 10, height * 0.52 }, back_zones[1],
       back_zones[3]);
}

static void
begin (Demo *demo, RakeId face, const char *grade)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_BEGIN_STAGE);
  static const char *const prepared[] = { "bench", "water", "block", "cloths" };
  const RakeFace *view = rake_job_find_face (demo->job, face);

  entry->begin_stage.face = face;
  entry->begin_stage.stage = find_stage (view->zones->pdata[0], grade)->id;
  g_clear_pointer (&entry->begin_stage.prepared, g_ptr_array_unref);
  entry->begin_stage.prepared = new_list (RAKE_ENTRY_BEGIN_STAGE, "prepared");
  for (gsize i = 0; i < G_N_ELEMENTS (prepared); i++)
    g_ptr_array_add (entry->begin_stage.prepared, g_strdup (prepared[i]));
  tell (demo, entry);
}

static void
accept (Demo *demo, const char *zone, const char *reason)
{
  g_autoptr (RakeRules) rules =
      rake_rules_new ("demo", rake_rules_get_builtin_text (), NULL, NULL);
  g_autoptr (RakeJudgement) judgement =
      rake_rules_judge (rules, demo->job, find_zone (demo, zone), clock_ms);
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_ACCEPTANCE);

  entry->acceptance.zone = find_zone (demo, zone)->id;
  entry->acceptance.verdict = judgement->verdict;
  entry->acceptance.reason = g_strdup (reason);
  g_clear_pointer (&entry->acceptance.rules, g_ptr_array_unref);
  g_clear_pointer (&entry->acceptance.matters, g_ptr_array_unref);
  entry->acceptance.rules = new_list (RAKE_ENTRY_ACCEPTANCE, "rules");
  entry->acceptance.matters = new_list (RAKE_ENTRY_ACCEPTANCE, "matters");
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *spoken = judgement->reasons->pdata[i];

      if (spoken->verdict == RAKE_VERDICT_READY)
        continue;
      g_ptr_array_add (entry->acceptance.rules, g_strdup (spoken->rule));
      g_ptr_array_add (entry->acceptance.matters, g_strdup (spoken->matter));
    }
  tell (demo, entry);
}

static void
work_back (Demo *demo, RakeId face)
{
  RakeId look_id;

  for (int i = 0; back_zones[i] != NULL; i++)
    look_low (demo, back_zones[i], 90, 0.96, 70);
  for (int round = 0; round < 3; round++)
    {
      static const double low[3][4] = { { 0.38, 0.42, 0.35, 0.44 },
                                        { 0.17, 0.22, 0.15, 0.21 },
                                        { 0.07, 0.12, 0.05, 0.09 } };

      pass (demo, "P800", 0, round == 0 ? RAKE_PAPER_FRESH : RAKE_PAPER_USED, back_zones);
      for (int i = 0; back_zones[i] != NULL; i++)
        look_low (demo, back_zones[i], 90, low[round][i], 60 * low[round][i]);
      later (12);
    }
  accept (demo, "Back upper treble", "a faint pool beside the heel; the strap covers it");
  look_id = look (demo, "Back lower bass", 90, RAKE_SURFACE_DRY);
  mark (demo, look_id, RAKE_MARK_LOW_SPOT, island (demo, "Back lower bass", 6, 14, 3, 2), NULL);
  say (demo, look_id, RAKE_STATE_LOW_SPOT, 0.05, 4);
  later (30);
  begin (demo, face, "P1200");
  pass (demo, "P1200", 90, RAKE_PAPER_FRESH,
        (const char *const[]){ "Back upper bass", "Back lower bass", "Back lower treble", NULL });
  look_low (demo, "Back upper bass", 90, 0, 0);
  look_low (demo, "Back lower bass", 90, 0, 0);
  look_id = look (demo, "Back lower treble", 90, RAKE_SURFACE_WET);
  mark (demo, look_id, RAKE_MARK_SAND_THROUGH, island (demo, "Back lower treble", 24, 30, 7, 3),
        "colour on the paper, near the edge");
}

/* --- all of it --------------------------------------------------------------------------------- */

static RakeShape *
outline (RakeOutlineKind kind, double width_mm, double height_mm, double hole_mm)
{
  g_autoptr (GError) error = NULL;

  return must (rake_outline_new (kind, width_mm, height_mm, hole_mm, &error), error);
}

static void
tell_mandola (Demo *demo, gint64 now_ms)
{
  static const char schedule[] =
      "level P800, refine P1200, refine P1500, last look, buff medium cut, buff fine, rest";
  const gint64 day_ms = 86400000;
  RakeId front, back, sides, neck;

  clock_ms = now_ms - 33 * day_ms;
  tell_job (demo);
  front = tell_face (demo, "Front", outline (RAKE_OUTLINE_PEAR, 300, 350, 66), schedule);
  back = tell_face (demo, "Back", outline (RAKE_OUTLINE_PEAR, 300, 350, 0), schedule);
  sides = tell_face (demo, "Sides", outline (RAKE_OUTLINE_SIDE_STRIP, 900, 75, 0), schedule);
  neck = tell_face (demo, "Neck", outline (RAKE_OUTLINE_NECK, 62, 330, 0), schedule);
  divide_front (demo, front);
  divide_back (demo, back);
  later (60);
  tell_coats (demo, front, 9);
  tell_coats (demo, back, 8);
  tell_coats (demo, sides, 8);
  tell_coats (demo, neck, 6);

  clock_ms = now_ms - 2 * day_ms;
  work_back (demo, back);
  clock_ms = now_ms - day_ms - 3 * 3600000;
  level_front (demo);
  clock_ms = now_ms - 16 * 3600000;
  fill_tail (demo);
  clock_ms = now_ms - 50 * 60000;
  finish_front (demo);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *path = NULL;
  Demo demo = { 0 };
  gint64 now_ms = g_get_real_time () / 1000;

  if (argc != 2)
    {
      g_printerr ("Usage: make-demo FOLDER\n");
      return 2;
    }
  if (g_mkdir_with_parents (argv[1], 0777) != 0)
    {
      g_printerr ("make-demo: %s cannot be made\n", argv[1]);
      return 5;
    }
  path = g_build_filename (argv[1], "octave-mandola-14" RAKE_JOB_FILE_SUFFIX, NULL);
  g_unlink (path);
  rake_job_file_set_clock (demo_clock);
  demo.file = rake_job_file_create (path, &error);
  if (demo.file == NULL)
    {
      g_printerr ("make-demo: %s\n", error->message);
      return 3;
    }
  demo.job = rake_job_new ();
  tell_mandola (&demo, now_ms);
  rake_job_free (demo.job);
  rake_job_file_close (demo.file);
  g_print ("%s\n", path);
  return 0;
}
