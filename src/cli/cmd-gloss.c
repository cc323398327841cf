/* cmd-gloss.c - gloss readings summed up, of a job's faces or as typed. */
#include "rakelight-config.h"

#include "cli.h"
#include "json-text.h"

#include <glib/gi18n.h>
#include <math.h>
#include <rakelight/gloss.h>

#define MOST_GU 2000 /* a mirror has no more at 60° */

static void
say_sample (JsonText *json, const RakeSample *sample)
{
  json_text_say_number (json, "readings", sample->n);
  json_text_say_number (json, "mean_gu", sample->mean);
  json_text_say_number (json, "sd_gu", sample->sd);
  json_text_say_number (json, "least_gu", sample->least);
  json_text_say_number (json, "largest_gu", sample->largest);
}

static void
print_advice (double advised_deg, double read_deg)
{
  if (isfinite (advised_deg) && !(fabs (advised_deg - read_deg) < 0.5))
    g_print (_ ("Read it at %.0f° from here on.\n"), advised_deg);
}

/* --- a job ------------------------------------------------------------------------------------ */

static void
say_face (JsonText *json, const RakeFace *face, const RakeGloss *gloss)
{
  json_text_open (json, '{');
  json_text_say_string (json, "face", face->name);
  json_text_say_number (json, "spread_gu", gloss->spread_gu);
  json_text_say_number (json, "advised_angle_deg", gloss->advised_angle_deg);
  json_text_name (json, "zones");
  json_text_open (json, '[');
  for (guint i = 0; i < gloss->zones->len; i++)
    {
      const RakeGlossZone *zone = &g_array_index (gloss->zones, RakeGlossZone, i);

      json_text_open (json, '{');
      json_text_say_string (json, "zone", zone->zone->name);
      json_text_say_number (json, "angle_deg", zone->angle_deg);
      say_sample (json, &zone->sample);
      json_text_say_number (json, "above_others_gu", zone->above_others_gu);
      json_text_close (json, '}');
    }
  json_text_close (json, ']');
  json_text_close (json, '}');
}

static void
print_face (const RakeFace *face, const RakeGloss *gloss)
{
  g_print ("%s\n", face->name);
  if (gloss->zones->len == 0)
    g_print ("  %s\n", _ ("No gloss was read since the last pass."));
  for (guint i = 0; i < gloss->zones->len; i++)
    {
      const RakeGlossZone *zone = &g_array_index (gloss->zones, RakeGlossZone, i);
      g_autofree char *mean = rake_units_to_text (RAKE_MEASURE_GLOSS, zone->sample.mean);
      g_autofree char *above =
          rake_units_to_text (RAKE_MEASURE_GLOSS, fabs (zone->above_others_gu));

      g_print (ngettext ("  %s: %s of %u reading", "  %s: %s of %u readings", zone->sample.n),
               zone->zone->name, mean, zone->sample.n);
      if (isfinite (zone->angle_deg))
        g_print (_ (" at %.0f°"), zone->angle_deg);
      if (isfinite (zone->above_others_gu))
        g_print (zone->above_others_gu < 0 ? _ (", %s under the others")
                                           : _ (", %s over the others"),
                 above);
      g_print ("\n");
    }
  if (gloss->zones->len > 0)
    print_advice (gloss->advised_angle_deg,
                  g_array_index (gloss->zones, RakeGlossZone, 0).angle_deg);
}

static CliExit
answer_job (const char *path, gboolean as_json)
{
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_auto (JsonText) json = { 0 };
  CliExit code = CLI_DONE;

  file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  json_text_init (&json);
  json_text_open (&json, '[');
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      g_autoptr (RakeGloss) gloss = rake_gloss_take (job, face);

      if (as_json)
        say_face (&json, face, gloss);
      else
        print_face (face, gloss);
    }
  json_text_close (&json, ']');
  return !as_json || json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
}

/* --- as typed --------------------------------------------------------------------------------- */

static CliExit
answer_readings (const char *text, const char *angle_text, gboolean as_json)
{
  g_autoptr (GArray) readings = NULL;
  g_auto (JsonText) json = { 0 };
  g_autofree char *mean = NULL, *least = NULL, *largest = NULL;
  double angle_deg, advised_deg;
  RakeSample sample;
  CliExit code = CLI_DONE;

  readings = cli_read_list (RAKE_MEASURE_GLOSS, "readings", text, 0, MOST_GU, &code);
  if (readings == NULL ||
      !cli_read (RAKE_MEASURE_ANGLE, "angle", angle_text, 0, 89, &angle_deg, &code))
    return code;
  if (isnan (angle_deg))
    angle_deg = 60;
  sample = rake_sample_take ((const double *) readings->data, readings->len);
  advised_deg = fabs (angle_deg - 60) < 0.5 ? rake_gloss_choose_angle_deg (sample.mean) : NAN;
  if (as_json)
    {
      json_text_init (&json);
      json_text_open (&json, '{');
      json_text_say_number (&json, "angle_deg", angle_deg);
      say_sample (&json, &sample);
      json_text_say_number (&json, "advised_angle_deg", advised_deg);
      json_text_close (&json, '}');
      return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
    }
  mean = sample.n > 1 ? rake_units_to_text_with_doubt (RAKE_MEASURE_GLOSS, sample.mean, sample.sd)
                      : rake_units_to_text (RAKE_MEASURE_GLOSS, sample.mean);
  least = rake_units_to_text (RAKE_MEASURE_GLOSS, sample.least);
  largest = rake_units_to_text (RAKE_MEASURE_GLOSS, sample.largest);
  g_print (ngettext ("%u reading at %.0f°: %s, from %s to %s\n",
                     "%u readings at %.0f°: %s, from %s to %s\n", sample.n),
           sample.n, angle_deg, mean, least, largest);
  print_advice (advised_deg, angle_deg);
  return CLI_DONE;
}

CliExit
cli_run_gloss (int argc, char **argv)
{
  static const CliCommand command = {
    "gloss", N_ ("Sum up gloss readings, and say at which angle to read"), NULL
  };
  g_autofree char *readings = NULL, *angle = NULL;
  gboolean as_json = FALSE;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "readings", 0, 0, G_OPTION_ARG_STRING, &readings, N_ ("Readings in GU, as 57,56,55"),
      N_ ("LIST") },
    { "angle", 0, 0, G_OPTION_ARG_STRING, &angle, N_ ("The meter's angle; else 60°"), N_ ("DEG") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "[JOB]", NULL, entries, &argc, &argv, 0, 1, &code))
    return code;
  if ((readings != NULL) == (argc == 2))
    return cli_fail_with (CLI_USAGE, _ ("gloss takes either a job or --readings"));
  return argc == 2 ? answer_job (argv[1], as_json) : answer_readings (readings, angle, as_json);
}
