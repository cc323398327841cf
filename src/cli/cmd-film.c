/* cmd-film.c - the dry film of a coat, or readings against a nominal film, without a job file; with one,
 * the film of its zones. */
#include "rakelight-config.h"

#include "cli.h"
#include "film-job.h"
#include "json-text.h"

#include <glib/gi18n.h>
#include <math.h>
#include <rakelight/coating.h>

typedef struct
{
  char *wet, *dry, *solids, *weight_solids, *dry_density, *thinner, *mass, *density, *area;
  char *transfer, *coats, *readings, *nominal, *most;
  gboolean as_json;
} Options;

static void
clear_options (Options *self)
{
  char **texts[] = { &self->wet,      &self->dry,     &self->solids,   &self->weight_solids,
                     &self->thinner,  &self->mass,    &self->density,  &self->dry_density,
                     &self->area,     &self->coats,   &self->transfer, &self->readings,
                     &self->nominal,  &self->most };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_clear_pointer (texts[i], g_free);
}

G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear_options)

/* --- a coat ----------------------------------------------------------------------------------- */

/* Every number is let through: what cannot be is said by the sums themselves, in their own words. */
static gboolean
read_coat (const Options *options, RakeCoatBody *coat, double *n_coats, CliExit *code)
{
  const struct
  {
    RakeMeasure measure;
    const char *name, *text;
    double *number;
  } numbers[] = {
    { RAKE_MEASURE_FILM, "wet", options->wet, &coat->wet_um },
    { RAKE_MEASURE_FILM, "dry", options->dry, &coat->dry_um },
    { RAKE_MEASURE_SHARE, "solids", options->solids, &coat->volume_solids_fraction },
    { RAKE_MEASURE_SHARE, "weight-solids", options->weight_solids, &coat->weight_solids_fraction },
    { RAKE_MEASURE_SHARE, "thinner", options->thinner, &coat->thinner_fraction },
    { RAKE_MEASURE_MASS, "mass", options->mass, &coat->mass_g },
    { RAKE_MEASURE_DENSITY, "density", options->density, &coat->density_g_per_ml },
    { RAKE_MEASURE_DENSITY, "dry-density", options->dry_density, &coat->dry_density_g_per_ml },
    { RAKE_MEASURE_AREA, "area", options->area, &coat->area_mm2 },
    { RAKE_MEASURE_SHARE, "transfer", options->transfer, &coat->transfer_fraction },
  };
  gint64 whole = 1;

  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    if (!cli_read (numbers[i].measure, numbers[i].name, numbers[i].text, -1e15, 1e15,
                   numbers[i].number, code))
      return FALSE;
  if (options->coats != NULL &&
      !g_ascii_string_to_signed (options->coats, 10, 1, 200, &whole, NULL))
    {
      *code = cli_fail_with (CLI_INPUT, _ ("--coats takes a whole number from 1 to 200"));
      return FALSE;
    }
  *n_coats = (double) whole;
  return TRUE;
}

static CliExit
answer_coat (const Options *options, const RakeCoatBody *coat, double n_coats)
{
  static const char *const way_words[] = { "unknown", "dry", "wet", "mass" };
  g_autoptr (GError) error = NULL;
  g_auto (JsonText) json = { 0 };
  g_autofree char *one = NULL, *all = NULL;
  RakeNormal dry, sum;
  RakeCoatingWay way = rake_coating_take (coat, &dry, &error);

  if (way == RAKE_COATING_UNKNOWN)
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  /* One gun and one tin: the coats are off together, so their doubts add up, too. */
  sum = (RakeNormal){ n_coats * dry.mean, n_coats * dry.sd };
  if (options->as_json)
    {
      json_text_init (&json);
      json_text_open (&json, '{');
      json_text_say_string (&json, "way", way_words[way]);
      json_text_say_number (&json, "dry_um", dry.mean);
      json_text_say_number (&json, "dry_sd_um", dry.sd);
      json_text_say_number (&json, "coats", n_coats);
      json_text_say_number (&json, "film_um", sum.mean);
      json_text_say_number (&json, "film_sd_um", sum.sd);
      json_text_close (&json, '}');
      return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
    }
  one = rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, dry.mean, dry.sd);
  all = rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, sum.mean, sum.sd);
  g_print (_ ("One coat: %s dry\n"), one);
  if (n_coats > 1)
    g_print (ngettext ("%.0f coat: %s dry\n", "%.0f coats: %s dry\n", (gulong) n_coats), n_coats,
             all);
  return CLI_DONE;
}

/* --- readings --------------------------------------------------------------------------------- */

static void
print_faults (guint faults)
{
  if (faults == RAKE_ACCEPTANCE_PASSES)
    g_print ("%s\n", _ ("They pass."));
  if ((faults & RAKE_ACCEPTANCE_MEAN_LOW) != 0)
    g_print ("%s\n", _ ("The mean is under the nominal film."));
  if ((faults & RAKE_ACCEPTANCE_ONE_LOW) != 0)
    g_print ("%s\n", _ ("A reading is under four fifths of the nominal film."));
  if ((faults & RAKE_ACCEPTANCE_SHARE_LOW) != 0)
    g_print ("%s\n", _ ("A fifth or more of the readings are under the nominal film."));
  if ((faults & RAKE_ACCEPTANCE_ONE_HIGH) != 0)
    g_print ("%s\n", _ ("A reading is over the largest film."));
}

static gboolean
print_readings_as_json (const RakeSample *sample, double lower_um, guint faults)
{
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  json_text_open (&json, '{');
  json_text_say_bool (&json, "passes", faults == RAKE_ACCEPTANCE_PASSES);
  json_text_say_bool (&json, "mean_is_low", (faults & RAKE_ACCEPTANCE_MEAN_LOW) != 0);
  json_text_say_bool (&json, "one_is_low", (faults & RAKE_ACCEPTANCE_ONE_LOW) != 0);
  json_text_say_bool (&json, "share_is_low", (faults & RAKE_ACCEPTANCE_SHARE_LOW) != 0);
  json_text_say_bool (&json, "one_is_high", (faults & RAKE_ACCEPTANCE_ONE_HIGH) != 0);
  json_text_say_number (&json, "readings", sample->n);
  json_text_say_number (&json, "mean_um", sample->mean);
  json_text_say_number (&json, "sd_um", sample->sd);
  json_text_say_number (&json, "least_um", sample->least);
  json_text_say_number (&json, "largest_um", sample->largest);
  json_text_say_number (&json, "tolerance_limit_um", lower_um);
  json_text_close (&json, '}');
  return json_text_print (&json);
}

static void
print_readings (const RakeSample *sample, double lower_um)
{
  g_autofree char *mean =
      rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, sample->mean, sample->sd);
  g_autofree char *least = rake_units_to_text (RAKE_MEASURE_FILM, sample->least);
  g_autofree char *largest = rake_units_to_text (RAKE_MEASURE_FILM, sample->largest);
  g_autofree char *lower = rake_units_to_text (RAKE_MEASURE_FILM, lower_um);

  g_print (
      ngettext ("%u reading: %s, from %s to %s\n", "%u readings: %s, from %s to %s\n", sample->n),
      sample->n, mean, least, largest);
  if (isfinite (lower_um))
    g_print (_ ("95 of 100 places have more than %s, 95 times in 100.\n"), lower);
}

static CliExit
answer_readings (const Options *options)
{
  double nominal_um, most_um, lower_um;
  g_autoptr (GArray) readings = NULL;
  RakeSample sample;
  guint faults;
  CliExit code = CLI_DONE;

  if (options->nominal == NULL)
    return cli_fail_with (CLI_USAGE,
                          _ ("--readings wants --nominal: what the film was meant to be"));
  readings = cli_read_list (RAKE_MEASURE_FILM, "readings", options->readings, 0, 5000, &code);
  if (readings == NULL ||
      !cli_read (RAKE_MEASURE_FILM, "nominal", options->nominal, 1, 5000, &nominal_um, &code) ||
      !cli_read (RAKE_MEASURE_FILM, "most", options->most, 1, 5000, &most_um, &code))
    return code;
  sample = rake_sample_take ((const double *) readings->data, readings->len);
  lower_um = sample.mean - rake_tolerance_factor (sample.n, 0.95, 0.95) * sample.sd;
  faults = rake_coating_accept (RAKE_ACCEPTANCE_ISO_19840, (const double *) readings->data,
                                readings->len, nominal_um, most_um);
  if (options->as_json)
    {
      if (!print_readings_as_json (&sample, lower_um, faults))
        return CLI_OUTPUT;
    }
  else
    {
      print_readings (&sample, lower_um);
      print_faults (faults);
    }
  return faults == RAKE_ACCEPTANCE_PASSES ? CLI_DONE : CLI_NO;
}

CliExit
cli_run_film (int argc, char **argv)
{
  static const CliCommand command = {
    "film", N_ ("Reckon the dry film of a coat, or hold readings to a nominal film"), NULL
  };
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_COAT);
  g_auto (Options) options = { 0 };
  double n_coats = 1;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "wet", 0, 0, G_OPTION_ARG_STRING, &options.wet, N_ ("Wet thickness, in µm or as 4mil"),
      N_ ("FILM") },
    { "dry", 0, 0, G_OPTION_ARG_STRING, &options.dry, N_ ("Dry thickness"), N_ ("FILM") },
    { "solids", 0, 0, G_OPTION_ARG_STRING, &options.solids, N_ ("Solids by volume"), N_ ("SHARE") },
    { "weight-solids", 0, 0, G_OPTION_ARG_STRING, &options.weight_solids, N_ ("Solids by weight"),
      N_ ("SHARE") },
    { "dry-density", 0, 0, G_OPTION_ARG_STRING, &options.dry_density,
      N_ ("Density of the dry film, in g/mL"), N_ ("NUMBER") },
    { "thinner", 0, 0, G_OPTION_ARG_STRING, &options.thinner,
      N_ ("Thinner added, by volume of the finish"), N_ ("SHARE") },
    { "mass", 0, 0, G_OPTION_ARG_STRING, &options.mass, N_ ("What was sprayed, in g"),
      N_ ("NUMBER") },
    { "density", 0, 0, G_OPTION_ARG_STRING, &options.density,
      N_ ("Density of the finish as sprayed, in g/mL"), N_ ("NUMBER") },
    { "area", 0, 0, G_OPTION_ARG_STRING, &options.area, N_ ("Area coated, in m²"), N_ ("NUMBER") },
    { "transfer", 0, 0, G_OPTION_ARG_STRING, &options.transfer, N_ ("Share that lands on the piece"),
      N_ ("SHARE") },
    { "coats", 0, 0, G_OPTION_ARG_STRING, &options.coats, N_ ("How many such coats"), N_ ("N") },
    { "readings", 0, 0, G_OPTION_ARG_STRING, &options.readings, N_ ("Readings of a gauge"),
      N_ ("LIST") },
    { "nominal", 0, 0, G_OPTION_ARG_STRING, &options.nominal, N_ ("The film they are held to"),
      N_ ("FILM") },
    { "most", 0, 0, G_OPTION_ARG_STRING, &options.most,
      N_ ("The largest film; else three times the nominal one"), N_ ("FILM") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "[JOB [ZONE]]", NULL, entries, &argc, &argv, 0, 2, &code))
    return code;
  if (argc > 1)
    return cli_print_film_of_job (argv[1], argc > 2 ? argv[2] : NULL, options.as_json);
  if (options.readings != NULL)
    return answer_readings (&options);
  return read_coat (&options, &entry->coat, &n_coats, &code)
             ? answer_coat (&options, &entry->coat, n_coats)
             : code;
}
