/* film-job.c - the film of a job's zones, line by line, and the forecast. */
#include "rakelight-config.h"

#include "film-job.h"

#include "json-text.h"

#include <rakelight/nominal.h>
#include <rakelight/units.h>

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

typedef struct
{
  const RakeJob *job;
  RakeRates *rates;
  const RakeLimits *limits;
} Ledger;

/* --- JSON --------------------------------------------------------------------------------------- */

static const char *const origin_words[] = { "unknown", "assumed", "of the shop", "learned" };
static const char *const line_words[] = { "coat", "scuff", "reading", "passes", "repair" };

/* Numbers that are not known are null. */
static void
say_film_line (JsonText *json, const RakeFilmLine *line)
{
  g_autofree char *sentence = rake_film_line_describe (line);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  json_text_open (json, '{');
  json_text_say_string (json, "kind", line_words[line->kind]);
  rake_id_to_text (line->entry->id, id);
  json_text_say_string (json, "entry", id);
  json_text_say_string (json, "sentence", sentence);
  json_text_say_number (json, "n_passes",
                        line->kind == RAKE_FILM_PASSES ? (double) line->n_passes : NAN);
  json_text_say_string (json, "rate",
                        line->kind == RAKE_FILM_PASSES ? origin_words[line->origin] : NULL);
  json_text_say_number (json, "change_um", line->change.mean);
  json_text_say_number (json, "change_sd_um", line->change.sd);
  json_text_say_number (json, "film_um", line->film.mean);
  json_text_say_number (json, "film_sd_um", line->film.sd);
  json_text_say_number (json, "last_coat_um", line->last_coat.mean);
  json_text_say_number (json, "last_coat_sd_um", line->last_coat.sd);
  json_text_close (json, '}');
}

const char *
cli_action_word (RakeAction action)
{
  static const char *const words[] = { NULL, "level", "refine", "last look", "buff", "rest" };

  return words[action];
}

void
cli_say_stage (JsonText *json, const char *name, const RakeStage *stage)
{
  char id[RAKE_ID_TEXT_LENGTH + 1];

  json_text_name (json, name);
  if (stage == NULL)
    {
      json_text_null (json);
      return;
    }
  rake_id_to_text (stage->id, id);
  json_text_open (json, '{');
  json_text_say_string (json, "id", id);
  json_text_say_string (json, "action", cli_action_word (stage->action));
  json_text_say_string (json, "grade", stage->grade);
  json_text_say_number (json, "position", stage->position);
  json_text_close (json, '}');
}

void
cli_say_film (JsonText *json, const RakeFilm *film)
{
  g_autofree char *standing = rake_film_describe_standing (film);

  json_text_name (json, "film");
  json_text_open (json, '{');
  json_text_say_string (json, "not_known", standing);
  json_text_say_number (json, "film_um", film->film.mean);
  json_text_say_number (json, "film_sd_um", film->film.sd);
  json_text_say_number (json, "last_coat_um", film->last_coat.mean);
  json_text_say_number (json, "last_coat_sd_um", film->last_coat.sd);
  json_text_say_number (json, "sprayed_um", film->sprayed.mean);
  json_text_say_number (json, "reserve_um", film->reserve_um);
  json_text_say_number (json, "risk_now", film->risk_now);
  json_text_say_number (json, "risk_after_next_pass", film->risk_after_next_pass);
  json_text_say_number (json, "risk_at_end", film->risk_at_end);
  json_text_say_number (json, "last_coat_risk_now", film->last_coat_risk_now);
  json_text_say_number (json, "last_coat_risk_after_next_pass",
                        film->last_coat_risk_after_next_pass);
  json_text_say_number (json, "last_coat_risk_at_end", film->last_coat_risk_at_end);
  json_text_say_number (json, "next_pass_um", film->next_pass.mean);
  json_text_say_number (json, "next_pass_sd_um", film->next_pass.sd);
  json_text_say_number (json, "to_come_um", film->to_come.mean);
  cli_say_stage (json, "stage_under", film->stage_under); /* the first that takes too much */
  json_text_name (json, "ledger");
  json_text_open (json, '[');
  for (guint i = 0; i < film->lines->len; i++)
    say_film_line (json, &g_array_index (film->lines, RakeFilmLine, i));
  json_text_close (json, ']');
  json_text_close (json, '}');
}

static const char *const forecast_standings[] = {
  "nothing", "too early", "says", "reached", "not falling",
};

void
cli_say_forecast (JsonText *json, const RakeForecast *forecast)
{
  g_autofree char *sentence = rake_forecast_describe (forecast);

  json_text_name (json, "forecast");
  json_text_open (json, '{');
  json_text_say_string (json, "standing", forecast_standings[forecast->standing]);
  json_text_say_string (json, "sentence", sentence);
  json_text_say_number (json, "passes", forecast->passes);
  json_text_say_number (json, "passes_low", forecast->passes_low);
  json_text_say_number (json, "passes_high", forecast->passes_high);
  json_text_say_number (json, "needed_um", forecast->needed_um);
  json_text_say_number (json, "sigma_um", forecast->sigma_um);
  json_text_name (json, "film_allows");
  json_text_bool (json, forecast->film_allows);
  json_text_say_number (json, "risk_at_end", forecast->risk_at_end);
  json_text_close (json, '}');
}

/* Readings of the film as coated, against what it was meant to be; null without. */
static void
say_nominal (JsonText *json, const RakeNominalCheck *check, const char *where)
{
  g_autofree char *sentence = rake_nominal_check_describe (check, where);

  json_text_name (json, "nominal");
  if (sentence == NULL)
    {
      json_text_null (json);
      return;
    }
  json_text_open (json, '{');
  json_text_say_number (json, "nominal_um", check->nominal_um);
  json_text_say_number (json, "readings", check->sample.n);
  json_text_say_number (json, "mean_um", check->sample.mean);
  json_text_say_number (json, "sd_um", check->sample.sd);
  json_text_say_number (json, "tolerance_limit_um", check->tolerance_um);
  json_text_say_bool (json, "passes", check->faults == RAKE_ACCEPTANCE_PASSES);
  json_text_say_string (json, "sentence", sentence);
  json_text_close (json, '}');
}

static void
say_zone (JsonText *json, const Ledger *ledger, const RakeZone *zone)
{
  g_autoptr (RakeFilm) film = rake_film_take (ledger->job, zone, ledger->rates, ledger->limits);
  RakeForecast forecast =
      rake_forecast_take (ledger->job, zone, film, ledger->rates, ledger->limits);
  RakeNominalCheck check = rake_nominal_check_zone (ledger->job, zone);

  json_text_open (json, '{');
  json_text_say_string (json, "face", zone->face->name);
  json_text_say_string (json, "name", zone->name);
  cli_say_film (json, film);
  cli_say_forecast (json, &forecast);
  say_nominal (json, &check, zone->name);
  json_text_close (json, '}');
}

/* --- for a person ------------------------------------------------------------------------------- */

static void
print_risks (const RakeFilm *film)
{
  g_autofree char *left =
      rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, film->film.mean, film->film.sd);
  g_autofree char *reserve =
      rake_units_to_text (RAKE_MEASURE_FILM, isnan (film->reserve_um) ? 0 : film->reserve_um);
  g_autofree char *now = rake_units_to_text (RAKE_MEASURE_SHARE, film->risk_now);
  g_autofree char *end = rake_units_to_text (RAKE_MEASURE_SHARE, film->risk_at_end);

  g_print (_ ("  left %s over a reserve of %s; risk now %s, at the end of the schedule %s\n"), left,
           reserve, now, end);
}

static void
print_zone (const Ledger *ledger, const RakeZone *zone)
{
  g_autoptr (RakeFilm) film = rake_film_take (ledger->job, zone, ledger->rates, ledger->limits);
  RakeForecast forecast =
      rake_forecast_take (ledger->job, zone, film, ledger->rates, ledger->limits);
  g_autofree char *sentence = rake_forecast_describe (&forecast);
  g_autofree char *unknown = rake_film_describe_standing (film);
  RakeNominalCheck check = rake_nominal_check_zone (ledger->job, zone);
  g_autofree char *nominal = rake_nominal_check_describe (&check, zone->name);

  g_print ("%s, %s\n", zone->face->name, zone->name);
  for (guint i = 0; i < film->lines->len; i++)
    {
      const RakeFilmLine *line = &g_array_index (film->lines, RakeFilmLine, i);
      g_autofree char *text = rake_film_line_describe (line);
      g_autofree char *left =
          rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, line->film.mean, line->film.sd);

      g_print ("  %s → %s\n", text, left);
    }
  if (unknown != NULL)
    g_print ("  %s\n", unknown);
  else
    print_risks (film);
  if (forecast.standing != RAKE_FORECAST_NOTHING)
    g_print ("  %s\n", sentence);
  if (nominal != NULL)
    g_print ("  %s\n", nominal);
}

/* --- the command --------------------------------------------------------------------------------- */

/* The zones of that name, or all. */
static GPtrArray *
list_zones (const RakeJob *job, const char *name)
{
  GPtrArray *zones = g_ptr_array_new ();

  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      for (guint j = 0; j < face->zones->len; j++)
        {
          const RakeZone *zone = face->zones->pdata[j];
          if (name == NULL || strcmp (zone->name, name) == 0)
            g_ptr_array_add (zones, (gpointer) zone);
        }
    }
  return zones;
}

static gboolean
print_json (const Ledger *ledger, const GPtrArray *zones)
{
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  json_text_open (&json, '{');
  json_text_name (&json, "zones");
  json_text_open (&json, '[');
  for (guint i = 0; i < zones->len; i++)
    say_zone (&json, ledger, zones->pdata[i]);
  json_text_close (&json, ']');
  json_text_close (&json, '}');
  return json_text_print (&json);
}

CliExit
cli_print_film_of_job (const char *path, const char *zone_name, gboolean as_json)
{
  CliExit code = CLI_DONE;
  g_autoptr (RakeRules) ours = cli_load_rules (NULL, &code);
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (RakeRates) rates = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GPtrArray) zones = NULL;
  Ledger ledger;

  if (ours == NULL)
    return code;
  file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  zones = list_zones (job, zone_name);
  if (zones->len == 0 && zone_name != NULL)
    return cli_fail_with (CLI_USAGE, _ ("The job has no zone “%s”"), zone_name);
  rules = rake_rules_for_job (job, ours);
  rates = rake_rates_take (job);
  ledger = (Ledger){ job, rates, rake_rules_get_limits (rules) };
  if (as_json)
    return print_json (&ledger, zones) ? CLI_DONE : CLI_OUTPUT;
  for (guint i = 0; i < zones->len; i++)
    print_zone (&ledger, zones->pdata[i]);
  return CLI_DONE;
}
