/* cmd-status.c - what each zone needs, and why. */
#include "rakelight-config.h"

#include "cli.h"
#include "film-job.h"
#include "json-text.h"
#include "record-parts.h"

#include <rakelight/repair.h>

#include <glib/gi18n.h>
#include <math.h>

typedef struct
{
  const RakeJob *job;
  RakeRules *rules;
  gint64 now_ms;
  gboolean with_facts;
} Status;

static const char *const verdict_words[RAKE_N_VERDICTS] = {
  NULL, "ready", "sand again", "look again", "wait", "stop", "repair",
};

/* --- JSON ------------------------------------------------------------------------------------ */

static void
say_id (JsonText *json, const char *name, RakeId id)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (id, text);
  json_text_name (json, name);
  json_text_string (json, text);
}

static void
say_reasons (JsonText *json, const RakeJudgement *judgement)
{
  json_text_name (json, "reasons");
  json_text_open (json, '[');
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];

      json_text_open (json, '{');
      json_text_say_string (json, "rule", reason->rule);
      json_text_say_string (json, "trace", reason->trace);
      json_text_say_string (json, "matter", reason->matter);
      json_text_say_string (json, "verdict", verdict_words[reason->verdict]);
      json_text_say_string (json, "sentence", reason->sentence);
      json_text_say_string (json, "clears", reason->clears);
      json_text_say_bool (json, "is_accepted", reason->is_accepted);
      json_text_close (json, '}');
    }
  json_text_close (json, ']');
}

/* Unknown facts are null, facts that do not apply are left out. */
static void
say_facts (JsonText *json, const RakeFacts *facts)
{
  json_text_name (json, "facts");
  json_text_open (json, '{');
  for (int fact = 0; fact < RAKE_N_FACTS; fact++)
    {
      if (facts->knowledge[fact] == RAKE_NOT_APPLICABLE)
        continue;
      json_text_name (json, rake_fact_get_name ((RakeFact) fact));
      if (facts->knowledge[fact] == RAKE_UNKNOWN)
        json_text_null (json);
      else if (rake_fact_get_unit ((RakeFact) fact) == RAKE_UNIT_ANSWER)
        json_text_bool (json, facts->value[fact] > 0);
      else
        json_text_number (json, facts->value[fact]);
    }
  json_text_close (json, '}');
}

/* By the method's word; those that nothing is to be said of are left out. */
static void
say_repair_advice (JsonText *json, const RakeJob *job, const RakeZone *zone)
{
  const RakeField *method = rake_entry_kind_get_fields (RAKE_ENTRY_REPAIR);

  while (!g_str_equal (method->name, "method"))
    method++;
  json_text_name (json, "repair_advice");
  json_text_open (json, '{');
  for (int m = RAKE_REPAIR_LEVELLED; m <= RAKE_REPAIR_RECOAT; m++)
    {
      g_autoptr (GPtrArray) advice = rake_repair_list_advice (job, zone, (RakeRepairMethod) m);

      if (advice->len == 0)
        continue;
      json_text_name (json, rake_field_get_word (method, m));
      json_text_open (json, '[');
      for (guint i = 0; i < advice->len; i++)
        json_text_string (json, advice->pdata[i]);
      json_text_close (json, ']');
    }
  json_text_close (json, '}');
}

static void
say_marks (JsonText *json, const RakeZone *zone)
{
  json_text_name (json, "marks");
  json_text_open (json, '[');
  for (guint i = 0; i < zone->marks->len; i++)
    {
      const RakeMark *mark = zone->marks->pdata[i];

      json_text_open (json, '{');
      say_id (json, "id", mark->entry->id);
      json_text_say_string (json, "mark", rake_mark_kind_get_label (mark->kind));
      json_text_say_bool (json, "is_open", mark->closed_by == NULL);
      json_text_say_number (json, "area_mm2", rake_shape_get_area_mm2 (mark->shape));
      json_text_say_number (json, "extent_mm", rake_shape_get_extent_mm (mark->shape));
      json_text_close (json, '}');
    }
  json_text_close (json, ']');
}

static void
say_film_and_forecast (JsonText *json, const Status *status, const RakeZone *zone)
{
  const RakeLimits *limits = rake_rules_get_limits (status->rules);
  g_autoptr (RakeRates) rates = rake_rates_take (status->job);
  g_autoptr (RakeFilm) film = rake_film_take (status->job, zone, rates, limits);
  RakeForecast forecast = rake_forecast_take (status->job, zone, film, rates, limits);

  cli_say_film (json, film);
  cli_say_forecast (json, &forecast);
}

static void
say_zone (JsonText *json, const Status *status, const RakeZone *zone,
          const RakeJudgement *judgement)
{
  json_text_open (json, '{');
  say_id (json, "id", zone->id);
  json_text_say_string (json, "name", zone->name);
  json_text_say_number (json, "area_mm2", rake_shape_get_area_mm2 (zone->shape));
  json_text_say_bool (json, "is_edge", zone->is_edge);
  cli_say_stage (json, "stage", zone->stage);
  json_text_say_string (json, "verdict", verdict_words[judgement->verdict]);
  json_text_say_bool (json, "is_accepted", judgement->is_accepted);
  json_text_say_bool (json, "is_settled", rake_judgement_is_settled (judgement));
  cli_say_stage (json, "back_to", judgement->back_to);
  json_text_say_string (json, "accepted_because",
                        judgement->acceptance != NULL ? judgement->acceptance->acceptance.reason
                                                      : NULL);
  say_reasons (json, judgement);
  say_film_and_forecast (json, status, zone);
  say_marks (json, zone);
  say_repair_advice (json, status->job, zone);
  if (status->with_facts)
    say_facts (json, &judgement->facts);
  json_text_close (json, '}');
}

static void
say_gate (JsonText *json, const RakeGate *gate)
{
  json_text_name (json, "gate");
  json_text_open (json, '{');
  json_text_say_bool (json, "is_open", gate->is_open);
  cli_say_stage (json, "next", gate->next);
  json_text_say_number (json, "ready_fraction", gate->ready_fraction);
  json_text_say_number (json, "n_settled", gate->n_settled);
  json_text_say_number (json, "n_zones", gate->n_zones);
  json_text_say_string (json, "suggested", gate->suggested != NULL ? gate->suggested->name : NULL);
  json_text_say_string (json, "sentence", gate->sentence);
  json_text_say_string (json, "warning", gate->warning);
  json_text_close (json, '}');
}

static void
say_face (JsonText *json, const Status *status, const RakeFace *face)
{
  g_autoptr (GPtrArray) judgements =
      cli_judge_face (status->rules, status->job, face, status->now_ms);
  g_autoptr (RakeGate) gate = rake_rules_gate (status->rules, status->job, face,
                                               (RakeJudgement *const *) judgements->pdata);

  json_text_open (json, '{');
  say_id (json, "id", face->id);
  json_text_say_string (json, "name", face->name);
  json_text_say_number (json, "area_mm2", rake_shape_get_area_mm2 (face->outline));
  cli_say_stage (json, "stage", face->stage);
  say_gate (json, gate);
  json_text_name (json, "zones");
  json_text_open (json, '[');
  for (guint i = 0; i < face->zones->len; i++)
    say_zone (json, status, face->zones->pdata[i], judgements->pdata[i]);
  json_text_close (json, ']');
  json_text_close (json, '}');
}

static gboolean
print_json (const Status *status, const char *seal)
{
  const RakeJobFacts *facts = rake_job_find_facts (status->job);
  const RakeRulesBody *recorded = rake_job_find_rules (status->job);
  g_autoptr (GDateTime) now = g_date_time_new_from_unix_utc (status->now_ms / 1000);
  g_autofree char *now_text = g_date_time_format (now, "%Y-%m-%dT%H:%M:%SZ");
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  json_text_open (&json, '{');
  json_text_say_string (&json, "job", facts != NULL ? facts->name : NULL);
  json_text_say_string (&json, "piece", facts != NULL ? facts->piece : NULL);
  json_text_say_string (&json, "judged_at", now_text);
  json_text_say_string (&json, "rules", recorded != NULL ? recorded->name : NULL);
  json_text_say_string (&json, "seal", seal);
  json_text_say_number (&json, "n_entries", rake_job_get_n_entries (status->job));
  json_text_name (&json, "faces");
  json_text_open (&json, '[');
  for (guint i = 0; i < rake_job_get_n_faces (status->job); i++)
    say_face (&json, status, rake_job_get_face (status->job, i));
  json_text_close (&json, ']');
  cli_defects_to_json (&json, status->job);
  cli_claims_to_json (&json, status->job);
  cli_hand_over_to_json (&json, status->job);
  json_text_close (&json, '}');
  return json_text_print (&json);
}

/* --- for a person ----------------------------------------------------------------------------- */

static void
print_zone (const RakeZone *zone, const RakeJudgement *judgement)
{
  const char *verdict = judgement->verdict == RAKE_VERDICT_NONE
                            ? "–"
                            : _ (rake_verdict_get_label (judgement->verdict));

  g_print ("  %s: %s%s\n", zone->name, verdict,
           judgement->is_accepted ? _ (" (accepted as it is)") : "");
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];

      g_print ("      %s%s  [%s %s]\n", reason->is_accepted ? _ ("accepted: ") : "",
               reason->sentence, reason->trace, reason->rule);
      if (reason->clears != NULL && !reason->is_accepted)
        g_print ("        → %s\n", reason->clears);
    }
}

static void
print_face (const Status *status, const RakeFace *face)
{
  g_autoptr (GPtrArray) judgements =
      cli_judge_face (status->rules, status->job, face, status->now_ms);
  g_autoptr (RakeGate) gate = rake_rules_gate (status->rules, status->job, face,
                                               (RakeJudgement *const *) judgements->pdata);

  if (face->stage != NULL)
    g_print (_ ("%s, at %s %s, %.0f %% ready\n"), face->name,
             _ (rake_action_get_label (face->stage->action)), face->stage->grade,
             floor (gate->ready_fraction * 100));
  else
    g_print (_ ("%s, no schedule yet\n"), face->name);
  g_print ("  %s\n", gate->sentence);
  if (gate->warning != NULL)
    g_print ("  %s\n", gate->warning);
  for (guint i = 0; i < face->zones->len; i++)
    print_zone (face->zones->pdata[i], judgements->pdata[i]);
}

CliExit
cli_run_status (int argc, char **argv)
{
  static const CliCommand command = { "status", N_ ("Say what each zone needs, and why"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeRules) ours = NULL;
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *now_text = NULL, *rules_path = NULL, *seal = NULL;
  gboolean as_json = FALSE, with_facts = FALSE, with_our_rules = FALSE;
  CliExit code = CLI_DONE;
  Status status = { 0 };
  const GOptionEntry entries[] = {
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { "facts", 0, 0, G_OPTION_ARG_NONE, &with_facts, N_ ("With --json: what is known of each zone"),
      NULL },
    { "now", 0, 0, G_OPTION_ARG_STRING, &now_text, N_ ("Judge as of TIME"), N_ ("TIME") },
    { "rules", 0, 0, G_OPTION_ARG_FILENAME, &rules_path, N_ ("Read FILE over the rules"),
      N_ ("FILE") },
    { "present-rules", 0, 0, G_OPTION_ARG_NONE, &with_our_rules,
      N_ ("Judge by the present rules, not by those the job records"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "JOB", NULL, entries, &argc, &argv, 1, 1, &code) ||
      !cli_parse_time (now_text, &status.now_ms, &code))
    return code;
  ours = cli_load_rules (rules_path, &code);
  if (ours == NULL)
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  seal = rake_job_file_get_seal (file, &error);
  if (seal == NULL)
    return cli_fail (CLI_FILE, g_steal_pointer (&error));

  rules =
      with_our_rules || rules_path != NULL ? rake_rules_ref (ours) : rake_rules_for_job (job, ours);
  status.job = job;
  status.rules = rules;
  status.with_facts = with_facts;
  if (as_json)
    return print_json (&status, seal) ? CLI_DONE : CLI_OUTPUT;
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    print_face (&status, rake_job_get_face (job, i));
  return CLI_DONE;
}
