/* cmd-hand-over.c - what stands in the way of a hand-over, and the hand-over. */
#include "rakelight-config.h"

#include "record-parts.h"

#include <rakelight/care.h>
#include <rakelight/seal.h>
#include <rakelight/warranty.h>

#include <glib/gi18n.h>
#include <locale.h>

typedef struct
{
  char *light, *distance, *condition, *not_examined, *exclusions, *months, *template_path;
  char *who, *now, *rules;
  gboolean only_check, as_json;
} Wanted;

static void
clear_wanted (Wanted *wanted)
{
  char **texts[] = { &wanted->light,      &wanted->distance, &wanted->condition,
                     &wanted->not_examined, &wanted->exclusions, &wanted->months,
                     &wanted->template_path, &wanted->who,   &wanted->now,
                     &wanted->rules };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_clear_pointer (texts[i], g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Wanted, clear_wanted)

static gboolean
parse (Wanted *wanted, int *argc, char ***argv, CliExit *code)
{
  static const CliCommand command = {
    "hand-over", N_ ("Check what stands in the way of a hand-over, or hand over"), NULL
  };
  const GOptionEntry entries[] = {
    { "check", 0, 0, G_OPTION_ARG_NONE, &wanted->only_check, N_ ("Only say what stands in the way"),
      NULL },
    { "light", 0, 0, G_OPTION_ARG_STRING, &wanted->light, N_ ("The viewing light that was agreed"),
      N_ ("TEXT") },
    { "distance", 0, 0, G_OPTION_ARG_STRING, &wanted->distance, N_ ("And the distance, in mm"),
      N_ ("LENGTH") },
    { "condition", 0, 0, G_OPTION_ARG_STRING, &wanted->condition, N_ ("How it looks"), N_ ("TEXT") },
    { "not-examined", 0, 0, G_OPTION_ARG_STRING, &wanted->not_examined, N_ ("What was not examined"),
      N_ ("TEXT") },
    { "exclusions", 0, 0, G_OPTION_ARG_STRING, &wanted->exclusions, N_ ("What else is not covered"),
      N_ ("TEXT") },
    { "months", 0, 0, G_OPTION_ARG_STRING, &wanted->months, N_ ("How long the warranty holds"),
      N_ ("N") },
    { "terms", 0, 0, G_OPTION_ARG_FILENAME, &wanted->template_path,
      N_ ("Take the warranty's words from FILE"), N_ ("FILE") },
    { "who", 0, 0, G_OPTION_ARG_STRING, &wanted->who, N_ ("Who says so"), N_ ("NAME") },
    { "now", 0, 0, G_OPTION_ARG_STRING, &wanted->now, N_ ("Judge as of TIME"), N_ ("TIME") },
    { "rules", 0, 0, G_OPTION_ARG_FILENAME, &wanted->rules, N_ ("Read FILE over the rules"),
      N_ ("FILE") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &wanted->as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  return cli_parse (&command, "JOB", NULL, entries, argc, argv, 1, 1, code);
}

static gboolean
answer_as_json (const RakeJob *job, const GPtrArray *obstacles)
{
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  json_text_open (&json, '{');
  json_text_say_bool (&json, "is_ready", obstacles->len == 0);
  json_text_name (&json, "obstacles");
  json_text_open (&json, '[');
  for (guint i = 0; i < obstacles->len; i++)
    json_text_string (&json, ((const RakeObstacle *) obstacles->pdata[i])->sentence);
  json_text_close (&json, ']');
  cli_hand_over_to_json (&json, job);
  json_text_close (&json, '}');
  return json_text_print (&json);
}

/* The words of the warranty with what is known in its blanks. FALSE after saying what is wrong. */
static gboolean
fill_terms (const RakeJob *job, const Wanted *wanted, gint64 now_ms, RakeHandOverBody *body,
            CliExit *code)
{
  g_autofree char *file_text = NULL, *date = cli_day_to_text (now_ms, 0);
  const char *template_text = rake_warranty_get_template (setlocale (LC_MESSAGES, NULL));
  g_autoptr (GError) error = NULL;

  if (wanted->template_path != NULL)
    {
      if (!g_file_get_contents (wanted->template_path, &file_text, NULL, &error))
        {
          *code = cli_fail (CLI_INPUT, g_steal_pointer (&error));
          return FALSE;
        }
      template_text = file_text;
    }
  body->terms = rake_warranty_fill (template_text, job, body, date, NULL, &error);
  if (body->terms == NULL)
    *code = cli_fail (CLI_INPUT, g_steal_pointer (&error));
  return body->terms != NULL;
}

static RakeEntry *
new_hand_over (const RakeJob *job, const Wanted *wanted, gint64 now_ms, CliExit *code)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_HAND_OVER);
  const RakeJobFacts *facts = rake_job_find_facts (job);
  RakeHandOverBody *body = &entry->hand_over;

  if (!cli_read (RAKE_MEASURE_LENGTH, "distance", wanted->distance, 0, 100000, &body->distance_mm,
                 code) ||
      !cli_parse_plain ("months", wanted->months, 0, 1200, &body->months, code))
    return NULL;
  body->light = g_strdup (wanted->light);
  body->condition = g_strdup (wanted->condition);
  body->not_examined = g_strdup (wanted->not_examined);
  body->exclusions = g_strdup (wanted->exclusions);
  body->care = rake_care_to_text (facts != NULL ? facts->finish : RAKE_FINISH_UNSAID,
                                  facts != NULL ? facts->sheen : RAKE_SHEEN_UNSAID);
  body->seal = rake_seal_take (job, rake_job_get_n_entries (job));
  return fill_terms (job, wanted, now_ms, body, code) ? g_steal_pointer (&entry) : NULL;
}

CliExit
cli_run_hand_over (int argc, char **argv)
{
  g_auto (Wanted) wanted = { 0 };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeRules) ours = NULL, rules = NULL;
  g_autoptr (GPtrArray) obstacles = NULL;
  RakeEntry *entry;
  gint64 now_ms;
  CliExit code = CLI_DONE;

  if (!parse (&wanted, &argc, &argv, &code) || !cli_parse_time (wanted.now, &now_ms, &code) ||
      (ours = cli_load_rules (wanted.rules, &code)) == NULL)
    return code;
  file = cli_open (argv[1], wanted.only_check ? RAKE_JOB_FILE_READ_ONLY : RAKE_JOB_FILE_WRITE, &job,
                   &code);
  if (file == NULL)
    return code;
  rules = wanted.rules != NULL ? rake_rules_ref (ours) : rake_rules_for_job (job, ours);
  obstacles = rake_job_list_obstacles (job, rules, now_ms);
  if (obstacles->len == 0 && !wanted.only_check)
    {
      entry = new_hand_over (job, &wanted, now_ms, &code);
      if (entry != NULL)
        code = cli_append (file, job, entry, wanted.who);
      if (code != CLI_DONE)
        return code;
    }
  if (wanted.as_json)
    return !answer_as_json (job, obstacles) ? CLI_OUTPUT : obstacles->len > 0 ? CLI_NO : CLI_DONE;
  for (guint i = 0; i < obstacles->len; i++)
    g_print ("%s\n", ((const RakeObstacle *) obstacles->pdata[i])->sentence);
  if (obstacles->len == 0)
    g_print ("%s\n", wanted.only_check ? _ ("Nothing stands in the way of a hand-over.")
                                       : _ ("Handed over; the job is closed for work."));
  return obstacles->len > 0 ? CLI_NO : CLI_DONE;
}
