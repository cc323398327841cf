/* report-readings.c - what instruments said, and what it comes to. */
#include "report-private.h"

#include <rakelight/statistics.h>

#include <math.h>

static const struct
{
  RakeQuantity quantity;
  const char *title, *unit;
} quantities[] = {
  { RAKE_QUANTITY_FILM_UM, N_ ("Film"), "µm" },
  { RAKE_QUANTITY_GLOSS_GU, N_ ("Gloss"), "GU" },
  { RAKE_QUANTITY_TEMPERATURE_CELSIUS, N_ ("Surface temperature"), "°C" },
};

static gboolean
is_reading (const RakeReport *report, const RakeEntry *entry, RakeQuantity quantity)
{
  return entry->kind == RAKE_ENTRY_READING && entry->reading.quantity == quantity &&
         !rake_report_is_out (report, entry);
}

/* Glosses at different angles are different numbers; readings of other quantities have no angle. */
static gboolean
is_of_angle (const RakeReadingBody *reading, double angle_deg)
{
  return isnan (angle_deg) ? isnan (reading->angle_deg) : reading->angle_deg == angle_deg;
}

static void
add_reading_row (RakeReport *report, RakeGrid *grid, const RakeEntry *entry, const char *unit)
{
  const RakeReadingBody *reading = &entry->reading;

  rake_grid_add_row (grid);
  rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
  rake_grid_add (grid, rake_report_name (report, rake_names_find_face_of (report->names, entry)));
  rake_grid_add (grid, rake_report_name (report, reading->zone));
  rake_grid_take (grid, rake_print_measure (reading->value, 1, unit));
  rake_grid_take (grid, rake_print_measure (reading->sd, 1, unit));
  rake_grid_take (grid, rake_print_direction (reading->angle_deg));
  rake_grid_add (grid, reading->instrument);
}

/* --- statistics: per face, of each quantity and angle ---------------------------------------- */

static void
add_sample_row (RakeGrid *grid, const char *face, const GArray *values, double angle_deg,
                const char *unit)
{
  RakeSample sample = rake_sample_take ((const double *) (gpointer) values->data, values->len);

  rake_grid_add_row (grid);
  rake_grid_add_with (grid, face, RAKE_CELL_STRONG, RAKE_SIGN_NONE, 0);
  rake_grid_take (grid, rake_print_direction (angle_deg));
  rake_grid_take (grid, g_strdup_printf ("%u", sample.n));
  rake_grid_take (grid, rake_print_measure (sample.mean, 1, unit));
  rake_grid_take (grid, rake_print_measure (sample.sd, 1, unit));
  rake_grid_take (grid, rake_print_measure (sample.least, 1, unit));
  rake_grid_take (grid, rake_print_measure (sample.largest, 1, unit));
}

static void
add_sample (RakeReport *report, RakeGrid *grid, const RakeFace *face, guint quantity,
            double angle_deg)
{
  g_autoptr (GArray) values = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (is_reading (report, entry, quantities[quantity].quantity) &&
          is_of_angle (&entry->reading, angle_deg) &&
          rake_id_equal (rake_names_find_face_of (report->names, entry), face->id))
        g_array_append_val (values, entry->reading.value);
    }
  if (values->len > 0)
    add_sample_row (grid, face->name, values, angle_deg, quantities[quantity].unit);
}

static void
add_angle (GArray *angles, double angle_deg)
{
  for (guint i = 0; i < angles->len; i++)
    if (g_array_index (angles, double, i) == angle_deg ||
        (isnan (angle_deg) && isnan (g_array_index (angles, double, i))))
      return;
  g_array_append_val (angles, angle_deg);
}

static void
print_statistics (RakeReport *report, guint quantity, const GArray *angles)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();

  rake_grid_add_column (grid, _ ("Face"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Angle"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Readings"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Mean"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Standard deviation"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Least"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Largest"), RAKE_ALIGN_RIGHT, 0);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    for (guint j = 0; j < angles->len; j++)
      add_sample (report, grid, rake_job_get_face (report->job, i), quantity,
                  g_array_index (angles, double, j));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

static gboolean
print_quantity (RakeReport *report, guint quantity, gboolean has_heading)
{
  g_autoptr (RakeGrid) grid = rake_grid_new ();
  g_autoptr (GArray) angles = g_array_new (FALSE, FALSE, sizeof (double));

  rake_grid_add_column (grid, _ ("When"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Face"), RAKE_ALIGN_LEFT, 0);
  rake_grid_add_column (grid, _ ("Zone"), RAKE_ALIGN_LEFT, 1);
  rake_grid_add_column (grid, _ ("Reading"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Its doubt"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Angle"), RAKE_ALIGN_RIGHT, 0);
  rake_grid_add_column (grid, _ ("Instrument"), RAKE_ALIGN_LEFT, 0.5);
  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (!is_reading (report, entry, quantities[quantity].quantity))
        continue;
      add_reading_row (report, grid, entry, quantities[quantity].unit);
      add_angle (angles, entry->reading.angle_deg);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return FALSE;
  if (!has_heading)
    rake_flow_heading (&report->flow, 1, _ ("Readings"));
  rake_flow_heading (&report->flow, 2, _ (quantities[quantity].title));
  print_statistics (report, quantity, angles);
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
  return TRUE;
}

void
rake_report_print_readings (RakeReport *report)
{
  gboolean has_heading = FALSE;

  for (guint i = 0; i < G_N_ELEMENTS (quantities); i++)
    has_heading |= print_quantity (report, i, has_heading);
  if (has_heading)
    rake_flow_end_section (&report->flow);
}
