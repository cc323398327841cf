/* nominal.c - gauge readings of the film as coated, held to what the coats were meant to make. */
#include <rakelight/nominal.h>
#include <rakelight/units.h>

#include "i18n.h"

#include <math.h>

#define COVERAGE 0.95
#define CONFIDENCE 0.95

/* --- which readings count ----------------------------------------------------------------------- */

static gboolean
is_coated_anew (const RakeEntry *entry)
{
  return entry->kind == RAKE_ENTRY_COAT ||
         (entry->kind == RAKE_ENTRY_REPAIR && entry->repair.method == RAKE_REPAIR_RECOAT);
}

/* Appends the entries of the readings that count. */
static void
collect_entries (GPtrArray *entries, const RakeZone *zone)
{
  guint n_before = entries->len;
  gboolean is_as_coated = TRUE;

  for (guint i = 0; i < zone->history->len; i++)
    {
      const RakeEntry *entry = zone->history->pdata[i];

      if (is_coated_anew (entry))
        {
          g_ptr_array_set_size (entries, (int) n_before);
          is_as_coated = TRUE;
        }
      else if (entry->kind == RAKE_ENTRY_PASS || entry->kind == RAKE_ENTRY_REPAIR)
        is_as_coated = FALSE;
      else if (is_as_coated && entry->kind == RAKE_ENTRY_READING &&
               entry->reading.quantity == RAKE_QUANTITY_FILM_UM)
        g_ptr_array_add (entries, (gpointer) entry);
    }
}

/* --- what they come to --------------------------------------------------------------------------- */

static double
get_nominal_um (const RakeJob *job)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);

  return facts != NULL && facts->nominal_film_um > 0 ? facts->nominal_film_um : NAN;
}

static RakeNominalCheck
take (const RakeJob *job, const GPtrArray *entries)
{
  RakeNominalCheck check = { .nominal_um = NAN, .tolerance_um = NAN };
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);
  g_autoptr (GArray) values = g_array_new (FALSE, FALSE, sizeof (double));
  const double *readings_um;

  for (guint i = 0; i < entries->len; i++)
    if (g_hash_table_add (seen, entries->pdata[i]))
      g_array_append_val (values, ((const RakeEntry *) entries->pdata[i])->reading.value);
  readings_um = (const double *) (gconstpointer) values->data;
  check.sample = rake_sample_take (readings_um, values->len);
  if (values->len == 0 || isnan (get_nominal_um (job)))
    return check;
  check.nominal_um = get_nominal_um (job);
  check.faults = rake_coating_accept (RAKE_ACCEPTANCE_ISO_19840, readings_um, values->len,
                                      check.nominal_um, NAN);
  if (values->len > 1)
    check.tolerance_um =
        check.sample.mean -
        rake_tolerance_factor (values->len, COVERAGE, CONFIDENCE) * check.sample.sd;
  return check;
}

RakeNominalCheck
rake_nominal_check_zone (const RakeJob *job, const RakeZone *zone)
{
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();

  collect_entries (entries, zone);
  return take (job, entries);
}

RakeNominalCheck
rake_nominal_check_face (const RakeJob *job, const RakeFace *face)
{
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();

  for (guint i = 0; i < face->zones->len; i++)
    collect_entries (entries, face->zones->pdata[i]);
  return take (job, entries);
}

/* --- in words ------------------------------------------------------------------------------------ */

static void
add_faults (GString *text, guint faults)
{
  if ((faults & RAKE_ACCEPTANCE_MEAN_LOW) != 0)
    g_string_append_printf (text, " %s", _ ("The mean is under the nominal film."));
  if ((faults & RAKE_ACCEPTANCE_ONE_LOW) != 0)
    g_string_append_printf (text, " %s", _ ("A reading is under four fifths of the nominal film."));
  if ((faults & RAKE_ACCEPTANCE_SHARE_LOW) != 0)
    g_string_append_printf (text, " %s",
                            _ ("A fifth or more of the readings are under the nominal film."));
  if ((faults & RAKE_ACCEPTANCE_ONE_HIGH) != 0)
    g_string_append_printf (text, " %s", _ ("A reading is over three times the nominal film."));
}

static char *
say_outcome (const RakeNominalCheck *check, const char *where)
{
  const RakeSample *sample = &check->sample;
  g_autofree char *mean =
      sample->n > 1 ? rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, sample->mean, sample->sd)
                    : rake_units_to_text (RAKE_MEASURE_FILM, sample->mean);
  g_autofree char *nominal = rake_units_to_text (RAKE_MEASURE_FILM, check->nominal_um);

  /* Translators: a zone or a face, how many readings, what they say, what the coats were meant to
   * make: "Left: 5 readings of the film as coated, 146 ± 5 µm, pass against a nominal 120 µm." */
  if (check->faults == RAKE_ACCEPTANCE_PASSES)
    return g_strdup_printf (
        g_dngettext (GETTEXT_PACKAGE,
                     "%s: %u reading of the film as coated, %s, passes against a nominal %s.",
                     "%s: %u readings of the film as coated, %s, pass against a nominal %s.",
                     sample->n),
        where, sample->n, mean, nominal);
  /* Translators: as before; the reasons follow, a sentence each. */
  return g_strdup_printf (
      g_dngettext (GETTEXT_PACKAGE,
                   "%s: %u reading of the film as coated, %s, does not pass against a nominal %s.",
                   "%s: %u readings of the film as coated, %s, do not pass against a nominal %s.",
                   sample->n),
      where, sample->n, mean, nominal);
}

char *
rake_nominal_check_describe (const RakeNominalCheck *check, const char *where)
{
  g_autofree char *outcome = NULL;
  GString *text;

  g_return_val_if_fail (check != NULL && where != NULL, NULL);

  if (isnan (check->nominal_um))
    return NULL;
  outcome = say_outcome (check, where);
  text = g_string_new (outcome);
  add_faults (text, check->faults);
  return g_string_free (text, FALSE);
}

/* --- saying what it is ---------------------------------------------------------------------------- */

RakeEntry *
rake_nominal_new_entry (const RakeJob *job, double nominal_um)
{
  const RakeJobFacts *facts = rake_job_find_facts (job);
  RakeEntry *entry;

  if (facts == NULL)
    return NULL;
  entry = rake_entry_new (RAKE_ENTRY_JOB);
  entry->job = *facts;
  entry->job.nominal_film_um = nominal_um;
  for (const RakeField *field = rake_entry_kind_get_fields (RAKE_ENTRY_JOB); field->name; field++)
    if (field->type == RAKE_FIELD_TEXT)
      {
        char **text = (char **) ((char *) &entry->job + field->offset);

        *text = g_strdup (*text);
      }
  return entry;
}
