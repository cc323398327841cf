/* report-readings.c - what instruments said, and what it comes to. */
#include "report-private.h"

#include <rakelight/nominal.h>
#include <rakelight/statistics.h>

#include <math.h>

static const struct
{
  RakeQuantity quantity;
  const char *title;
} quantities[] = {
  { RAKE_QUANTITY_FILM_UM, N_ ("Film") },
  { RAKE_QUANTITY_GLOSS_GU, N_ ("Gloss") },
  { RAKE_QUANTITY_TEMPERATURE_CELSIUS, N_ ("Surface temperature") },
};

static gboolean
is_reading (const RakeEntry *entry, RakeQuantity quantity)
{
  return entry->kind == RAKE_ENTRY_READING && entry->reading.quantity == quantity;
}

/* Glosses at different angles are different numbers; readings of other quantities have no angle. */
static gboolean
is_of_angle (const RakeReadingBody *reading, double angle_deg)
{
  return isnan (angle_deg) ? isnan (reading->angle_deg) : reading->angle_deg == angle_deg;
}

static void
add_reading_row (RakeReport *report, RakeGrid *grid, const RakeEntry *entry)
{
  const RakeReadingBody *reading = &entry->reading;

  rake_report_add_row (report, grid, entry);
  rake_grid_take (grid, rake_print_time (entry->happened_ms, entry->utc_offset_minutes));
  rake_grid_add (grid, rake_report_name (report, rake_names_find_face_of (report->names, entry)));
  rake_grid_add (grid, rake_report_name (report, reading->zone));
  rake_grid_take (grid, rake_print_quantity (reading->quantity, reading->value, FALSE));
  rake_grid_take (grid, rake_print_quantity (reading->quantity, reading->sd, TRUE));
  rake_grid_take (grid, rake_print_direction (reading->angle_deg));
  rake_grid_add (grid, reading->instrument);
}

/* --- statistics: per face, of each quantity and angle ---------------------------------------- */

/* Readings of a film as coated are held to what its coats were meant to make. NULL: there are none. */
static char *
describe_acceptance (const RakeReport *report, const RakeFace *face)
{
  RakeNominalCheck check = rake_nominal_check_face (report->job, face);
  guint faults = check.faults;
  g_autoptr (GString) line = NULL;

  if (isnan (check.nominal_um))
    return NULL;
  line = g_string_new (NULL);
  if (faults == RAKE_ACCEPTANCE_PASSES)
    return g_strdup (C_ ("readings against a nominal film", "Passes"));
  if ((faults & RAKE_ACCEPTANCE_MEAN_LOW) != 0)
    rake_print_add (line, C_ ("readings against a nominal film", "mean too low"));
  if ((faults & RAKE_ACCEPTANCE_ONE_LOW) != 0)
    rake_print_add (line, C_ ("readings against a nominal film", "one under four fifths"));
  if ((faults & RAKE_ACCEPTANCE_SHARE_LOW) != 0)
    rake_print_add (line, C_ ("readings against a nominal film", "a fifth or more too low"));
  if ((faults & RAKE_ACCEPTANCE_ONE_HIGH) != 0)
    rake_print_add (line, C_ ("readings against a nominal film", "one over three times as thick"));
  return g_string_free (g_steal_pointer (&line), FALSE);
}

static double
get_nominal_um (const RakeReport *report)
{
  const RakeJobFacts *facts = rake_job_find_facts (report->job);

  return facts != NULL && facts->nominal_film_um > 0 ? facts->nominal_film_um : NAN;
}

static void
add_sample_row (RakeReport *report, RakeGrid *grid, const RakeFace *face, const GArray *values,
                double angle_deg, RakeQuantity quantity)
{
  const double *numbers = (const double *) (gpointer) values->data;
  RakeSample sample = rake_sample_take (numbers, values->len);

  rake_grid_add_row (grid);
  rake_grid_add_with (grid, face->name, RAKE_CELL_STRONG, RAKE_SIGN_NONE, 0);
  rake_grid_take (grid, rake_print_direction (angle_deg));
  rake_grid_take (grid, g_strdup_printf ("%u", sample.n));
  rake_grid_take (grid, rake_print_quantity (quantity, sample.mean, FALSE));
  rake_grid_take (grid, rake_print_quantity (quantity, sample.sd, TRUE));
  rake_grid_take (grid, rake_print_quantity (quantity, sample.least, FALSE));
  rake_grid_take (grid, rake_print_quantity (quantity, sample.largest, FALSE));
  if (quantity == RAKE_QUANTITY_FILM_UM)
    rake_grid_take (grid, describe_acceptance (report, face));
}

static void
add_sample (RakeReport *report, RakeGrid *grid, const RakeFace *face, RakeQuantity quantity,
            double angle_deg)
{
  g_autoptr (GArray) values = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < rake_job_get_n_entries (report->job); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (report->job, i);

      if (is_reading (entry, quantity) && !rake_report_is_out (report, entry) &&
          is_of_angle (&entry->reading, angle_deg) &&
          rake_id_equal (rake_names_find_face_of (report->names, entry), face->id))
        g_array_append_val (values, entry->reading.value);
    }
  if (values->len > 0)
    add_sample_row (report, grid, face, values, angle_deg, quantity);
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
  rake_grid_add_column (grid, _ ("Against the nominal film"), RAKE_ALIGN_LEFT, 1);
  for (guint i = 0; i < rake_job_get_n_faces (report->job); i++)
    for (guint j = 0; j < angles->len; j++)
      add_sample (report, grid, rake_job_get_face (report->job, i), quantities[quantity].quantity,
                  g_array_index (angles, double, j));
  rake_flow_grid (&report->flow, grid, RAKE_TYPE_SMALL);
}

static void
say_nominal (RakeReport *report)
{
  double nominal_um = get_nominal_um (report);
  g_autofree char *nominal = NULL;

  if (!isfinite (nominal_um))
    return;
  nominal = rake_print_film (nominal_um, 0);
  rake_report_say (report, RAKE_TYPE_SOFT,
                   _ ("As coated, before any sanding, held to a nominal film of %s: the mean at "
                      "least that, none under four "
                      "fifths of it, fewer than a fifth under it, none over three times it. The "
                      "pattern is that of ISO 19840, which is for steel."),
                   nominal);
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

      if (!is_reading (entry, quantities[quantity].quantity))
        continue;
      add_reading_row (report, grid, entry);
      add_angle (angles, entry->reading.angle_deg);
    }
  if (rake_grid_get_n_rows (grid) == 0)
    return FALSE;
  if (!has_heading)
    rake_flow_heading (&report->flow, 1, _ ("Readings"));
  rake_flow_heading (&report->flow, 2, _ (quantities[quantity].title));
  if (quantities[quantity].quantity == RAKE_QUANTITY_FILM_UM)
    say_nominal (report);
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
