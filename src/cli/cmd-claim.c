/* cmd-claim.c - claims after the hand-over: opened, told more of, listed. */
#include "rakelight-config.h"

#include "cmd-photo.h"
#include "record-parts.h"

#include <glib/gi18n.h>

typedef struct
{
  char *zone, *mark, *defect, *complaint, *finding, *decision, *action, *cost, *who;
} Telling;

static void
clear_telling (Telling *telling)
{
  char **texts[] = { &telling->zone,    &telling->mark,     &telling->defect,
                     &telling->complaint, &telling->finding, &telling->decision,
                     &telling->action,  &telling->cost,     &telling->who };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_clear_pointer (texts[i], g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Telling, clear_telling)

static gboolean
parse_telling (const CliCommand *command, const char *arguments, int n_arguments, Telling *telling,
               int *argc, char ***argv, CliExit *code)
{
  const GOptionEntry entries[] = {
    { "zone", 0, 0, G_OPTION_ARG_STRING, &telling->zone, N_ ("The zone it is about"), N_ ("NAME") },
    { "mark", 0, 0, G_OPTION_ARG_STRING, &telling->mark, N_ ("The mark it is about, by its id"),
      N_ ("ID") },
    { "defect", 0, 0, G_OPTION_ARG_STRING, &telling->defect,
      N_ ("The defect on record it is about, by number or id"), N_ ("DEFECT") },
    { "complaint", 0, 0, G_OPTION_ARG_STRING, &telling->complaint, N_ ("What the client says"),
      N_ ("TEXT") },
    { "finding", 0, 0, G_OPTION_ARG_STRING, &telling->finding, N_ ("What was found"), N_ ("TEXT") },
    { "decision", 0, 0, G_OPTION_ARG_STRING, &telling->decision,
      N_ ("open, ours, “not ours”, shared or goodwill"), N_ ("WORD") },
    { "action", 0, 0, G_OPTION_ARG_STRING, &telling->action, N_ ("What was done"), N_ ("TEXT") },
    { "cost", 0, 0, G_OPTION_ARG_STRING, &telling->cost, N_ ("What it cost, as 12.50 EUR"),
      N_ ("COST") },
    { "who", 0, 0, G_OPTION_ARG_STRING, &telling->who, N_ ("Who says so"), N_ ("NAME") },
    { 0 },
  };

  return cli_parse (command, arguments, NULL, entries, argc, argv, n_arguments, n_arguments, code);
}

static gboolean
find_about (const RakeJob *job, const Telling *telling, RakeId *about, CliExit *code)
{
  g_autoptr (RakeDefect) defect = NULL;
  const RakeZone *zone = NULL;

  if (telling->defect != NULL)
    {
      defect = cli_find_defect (job, telling->defect, code);
      if (defect != NULL)
        *about = defect->id;
      return defect != NULL;
    }
  if (telling->mark != NULL && !rake_id_from_text (telling->mark, about))
    {
      *code = cli_fail_with (CLI_INPUT, _ ("“%s” is no id"), telling->mark);
      return FALSE;
    }
  if (telling->mark != NULL || telling->zone == NULL)
    return TRUE;
  zone = cli_find_zone_named (job, telling->zone, code);
  if (zone != NULL)
    *about = zone->id;
  return zone != NULL;
}

static gboolean
fill (const RakeJob *job, RakeClaimBody *body, const Telling *telling, CliExit *code)
{
  int decision = (int) body->decision;

  if (!find_about (job, telling, &body->about, code) ||
      !cli_parse_word (RAKE_ENTRY_CLAIM, "decision", telling->decision, &decision, code))
    return FALSE;
  if (telling->cost != NULL)
    g_clear_pointer (&body->currency, g_free);
  if (!cli_parse_cost (telling->cost, &body->cost, &body->currency, code))
    return FALSE;
  body->decision = (RakeDecision) decision;
  cli_set_text (&body->complaint, telling->complaint);
  cli_set_text (&body->finding, telling->finding);
  cli_set_text (&body->action, telling->action);
  return TRUE;
}

static CliExit
run_open (int argc, char **argv)
{
  static const CliCommand command = { "claim open", N_ ("Open a claim"), NULL };
  g_auto (Telling) telling = { 0 };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_CLAIM);
  CliExit code = CLI_DONE;

  if (!parse_telling (&command, "JOB", 1, &telling, &argc, &argv, &code))
    return code;
  if (telling.complaint == NULL)
    return cli_fail_with (CLI_USAGE, _ ("A claim wants --complaint: what the client says"));
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  if (file == NULL)
    return code;
  if (rake_job_find_hand_over (job, NULL) == NULL)
    return cli_fail_with (CLI_INPUT,
                          _ ("The piece was not handed over yet: put what is wrong on record "
                             "as a defect"));
  entry->claim.decision = RAKE_DECISION_OPEN;
  if (!fill (job, &entry->claim, &telling, &code))
    return code;
  return cli_append (file, job, g_steal_pointer (&entry), telling.who);
}

static void
say_again (RakeClaimBody *body, const RakeClaimBody *before)
{
  body->complaint = g_strdup (before->complaint);
  body->finding = g_strdup (before->finding);
  body->decision = before->decision;
  body->action = g_strdup (before->action);
  body->cost = before->cost;
  body->currency = g_strdup (before->currency);
}

static CliExit
run_tell (int argc, char **argv)
{
  static const CliCommand command = { "claim tell", N_ ("Tell more of a claim, or decide it"),
                                      NULL };
  g_auto (Telling) telling = { 0 };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeClaim) claim = NULL;
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_CLAIM);
  CliExit code = CLI_DONE;

  if (!parse_telling (&command, "JOB CLAIM", 2, &telling, &argc, &argv, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  claim = file != NULL ? cli_find_claim (job, argv[2], &code) : NULL;
  if (claim == NULL)
    return code;
  entry->claim.claim = claim->id;
  say_again (&entry->claim, &claim->told->claim);
  if (!fill (job, &entry->claim, &telling, &code))
    return code;
  return cli_append (file, job, g_steal_pointer (&entry), telling.who);
}

static void
print_claims (const RakeJob *job, gconstpointer data)
{
  g_autoptr (GPtrArray) claims = rake_job_list_claims (job);

  for (guint i = 0; i < claims->len; i++)
    {
      const RakeClaim *claim = claims->pdata[i];

      g_print ("%2u  %s: %s\n", i + 1, claim->told->claim.complaint,
               _ (rake_decision_get_label (claim->told->claim.decision)));
    }
}

static CliExit
run_list (int argc, char **argv)
{
  static const CliCommand command = { "claim list", N_ ("List the claims"), NULL };
  static const CliRecordList list = { cli_claims_to_json, print_claims, NULL };
  const GOptionEntry none = { 0 };

  return cli_run_record_list (&command, &none, &list, argc, argv);
}

CliExit
cli_run_claim (int argc, char **argv)
{
  static const CliCommand parts[] = {
    { "open", N_ ("Open a claim"), run_open },
    { "tell", N_ ("Tell more of a claim, or decide it"), run_tell },
    { "list", N_ ("List the claims"), run_list },
  };

  return cli_run_part ("claim", parts, G_N_ELEMENTS (parts), argc, argv);
}
