/* bench-logbook.c - a job of many zones and a long logbook. */
#include "bench.h"

#include <math.h>

#define SIDE_MM 50.0
#define START_MS G_GINT64_CONSTANT (1772442000000) /* 2026-03-02 09:00 UTC */
#define DAY_MS (24 * 3600 * G_GINT64_CONSTANT (1000))

#define N_BEGINNING 5
#define N_ROUND 10 /* entries of one round on one zone */

BenchLogbook *
bench_logbook_new (guint n_columns, guint n_rows)
{
  BenchLogbook *logbook = g_new0 (BenchLogbook, 1);

  logbook->n_columns = n_columns;
  logbook->n_rows = n_rows;
  logbook->zones = g_array_new (FALSE, FALSE, sizeof (RakeId));
  return logbook;
}

void
bench_logbook_free (BenchLogbook *logbook)
{
  if (logbook == NULL)
    return;
  g_array_unref (logbook->zones);
  g_free (logbook);
}

/* --- how it begins --------------------------------------------------------------------------- */

static RakeShape *
new_rectangle (double x_mm, double y_mm, double width_mm, double height_mm)
{
  const double corners[] = { x_mm, y_mm, x_mm + width_mm, y_mm,
                             x_mm + width_mm, y_mm + height_mm, x_mm, y_mm + height_mm };
  RakeShape *shape = rake_shape_new_area (corners, 4, NULL);

  bench_must (shape != NULL, NULL);
  return shape;
}

static RakeEntry *
new_job (void)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_JOB);

  entry->job.name = g_strdup ("Wall of panels");
  entry->job.finish = RAKE_FINISH_NITROCELLULOSE;
  entry->job.sheen = RAKE_SHEEN_GLOSS;
  return entry;
}

static RakeEntry *
new_face (BenchLogbook *logbook)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_FACE);

  entry->face.name = g_strdup ("Front");
  entry->face.outline =
      new_rectangle (0, 0, logbook->n_columns * SIDE_MM, logbook->n_rows * SIDE_MM);
  logbook->face = entry->id;
  return entry;
}

static RakeEntry *
new_zones (BenchLogbook *logbook)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_ZONES);

  entry->zones.face = logbook->face;
  entry->zones.division = RAKE_DIVISION_GRID;
  g_array_append_val (entry->zones.removed, logbook->face);
  for (guint i = 0; i < logbook->n_columns * logbook->n_rows; i++)
    {
      RakeZoneSpec zone = { .id = rake_id_new (START_MS),
                            .name = g_strdup_printf ("Zone %u", i + 1),
                            .shape = new_rectangle ((i % logbook->n_columns) * SIDE_MM,
                                                    (i / logbook->n_columns) * SIDE_MM, SIDE_MM,
                                                    SIDE_MM),
                            .edge_factor = NAN, .coat_factor = NAN,
                            .reserve_um = 40 };
      g_array_append_val (entry->zones.added, zone);
      g_array_append_val (logbook->zones, zone.id);
    }
  return entry;
}

static RakeEntry *
new_schedule (BenchLogbook *logbook)
{
  static const struct
  {
    RakeAction action;
    const char *grade;
    double d50_um;
  } steps[] = {
    { RAKE_ACTION_LEVEL, "P800", 21.8 },
    { RAKE_ACTION_REFINE, "P1200", 15.3 },
    { RAKE_ACTION_LAST_LOOK, NULL, NAN },
    { RAKE_ACTION_BUFF, "cut", NAN },
  };
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_SCHEDULE);

  entry->schedule.face = logbook->face;
  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      RakeStageSpec stage = { .id = rake_id_new (START_MS),
                              .action = steps[i].action,
                              .grade = g_strdup (steps[i].grade),
                              .d50_um = steps[i].d50_um };
      g_array_append_val (entry->schedule.stages, stage);
      logbook->stages[i] = stage.id;
    }
  return entry;
}

/* Cured by any rule. */
static RakeEntry *
new_coat (BenchLogbook *logbook)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_COAT);

  entry->coat.face = logbook->face;
  entry->happened_ms = START_MS - 60 * DAY_MS;
  return entry;
}

static RakeEntry *
new_beginning (BenchLogbook *logbook, guint i)
{
  return i == 0   ? new_job ()
         : i == 1 ? new_face (logbook)
         : i == 2 ? new_zones (logbook)
         : i == 3 ? new_schedule (logbook)
                  : new_coat (logbook);
}

/* --- round after round ----------------------------------------------------------------------- */

RakeShape *
bench_logbook_new_patch (const BenchLogbook *logbook, guint zone, guint i)
{
  double x_mm = (zone % logbook->n_columns) * SIDE_MM + 12 + (i * 7) % 26;
  double y_mm = (zone / logbook->n_columns) * SIDE_MM + 12 + (i * 11) % 26;
  double points[48];
  RakeShape *shape;

  for (guint k = 0; k < 24; k++)
    {
      double radius_mm = 4 + (double) ((i + 5 * k) % 7) / 3;
      points[2 * k] = x_mm + radius_mm * cos (k * G_PI / 12);
      points[2 * k + 1] = y_mm + radius_mm * sin (k * G_PI / 12);
    }
  shape = rake_shape_new_area (points, 24, NULL);
  bench_must (shape != NULL, NULL);
  return shape;
}

static RakeEntry *
new_pass (const BenchLogbook *logbook, guint zone)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_PASS);

  entry->pass.stage = logbook->stages[0];
  g_array_append_val (entry->pass.zones, g_array_index (logbook->zones, RakeId, zone));
  entry->pass.stroke_deg = 45;
  entry->pass.wiped_with = RAKE_WIPE_DRY_CLOTH;
  return entry;
}

static RakeEntry *
new_look (const BenchLogbook *logbook, guint zone)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_LOOK);

  entry->look.zone = g_array_index (logbook->zones, RakeId, zone);
  entry->look.surface = RAKE_SURFACE_DRY;
  entry->look.wiped_with = RAKE_WIPE_DRY_CLOTH;
  entry->look.light = RAKE_LIGHT_LAMP;
  entry->look.lamp_deg = 112.5;
  return entry;
}

/* Less is left from round to round, and never the same next door. */
static RakeEntry *
new_state (RakeId look, guint zone, guint round)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_STATE);

  entry->state.look = look;
  entry->state.state = RAKE_STATE_LOW_SPOT;
  entry->state.low_spot_fraction = (0.2 + (zone * 37 % 100) / 200.0) / (1 + round);
  return entry;
}

static RakeEntry *
new_mark (const BenchLogbook *logbook, RakeId look, guint zone, guint i)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_MARK);

  entry->mark.look = look;
  entry->mark.mark = RAKE_MARK_LOW_SPOT;
  entry->mark.shape = bench_logbook_new_patch (logbook, zone, i);
  return entry;
}

static RakeEntry *
new_reading (const BenchLogbook *logbook, guint zone, guint round)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_READING);

  entry->reading.zone = g_array_index (logbook->zones, RakeId, zone);
  entry->reading.quantity = RAKE_QUANTITY_FILM_UM;
  entry->reading.value = 90 - 3 * (double) round + (zone % 10) / 7.0;
  return entry;
}

static RakeEntry *
new_step (const BenchLogbook *logbook, RakeId *look, guint i)
{
  guint n_zones = logbook->zones->len, zone = i / N_ROUND % n_zones, round = i / N_ROUND / n_zones;
  RakeEntry *entry;

  switch (i % N_ROUND)
    {
    case 0:
      return new_pass (logbook, zone);
    case 1:
      entry = new_look (logbook, zone);
      *look = entry->id;
      return entry;
    case 2:
      return new_state (*look, zone, round);
    case N_ROUND - 1:
      return new_reading (logbook, zone, round);
    default:
      return new_mark (logbook, *look, zone, i);
    }
}

GPtrArray *
bench_logbook_take_entries (BenchLogbook *logbook, guint n_entries)
{
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_entry_unref);
  RakeId bench = rake_id_new (START_MS), look = bench;

  for (guint i = 0; i < n_entries; i++)
    {
      RakeEntry *entry =
          i < N_BEGINNING ? new_beginning (logbook, i) : new_step (logbook, &look, i - N_BEGINNING);
      gboolean is_now = entry->kind != RAKE_ENTRY_COAT;
      entry->bench = bench;
      entry->number = i + 1;
      entry->written_ms = START_MS + (gint64) i * 6000;
      if (is_now)
        entry->happened_ms = entry->written_ms;
      g_ptr_array_add (entries, entry);
    }
  return entries;
}
