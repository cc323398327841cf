/* cmd-defect.c - the defects on record: listed, added, told more of. */
#include "rakelight-config.h"

#include "cmd-photo.h"
#include "record-parts.h"

#include <glib/gi18n.h>
#include <math.h>

/* --- list ----------------------------------------------------------------------------------------- */

static void
print_defect (const RakeDefect *defect, guint number)
{
  const RakeDefectBody *told = &defect->told->defect;

  g_print ("%2u  %s, %s: %s\n", number, defect->what,
           defect->zone != NULL ? defect->zone->name : "–",
           _ (rake_standing_get_label (told->standing)));
  if (isfinite (defect->from_edge_mm))
    g_print (_ ("    %.1f mm from the edge, %.1f mm long\n"), defect->from_edge_mm,
             defect->length_mm);
  for (guint i = 0; i < 4; i++)
    {
      const char *text = (const char *const[]){ told->severity, told->cause, told->action,
                                                told->outcome }[i];
      if (text != NULL)
        g_print ("    %s\n", text);
    }
}

static void
print_defects (const RakeJob *job, gconstpointer only_open)
{
  g_autoptr (GPtrArray) defects = rake_job_list_defects (job);

  for (guint i = 0; i < defects->len; i++)
    {
      const RakeDefect *defect = defects->pdata[i];

      if (!*(const gboolean *) only_open || defect->told->defect.standing == RAKE_STANDING_OPEN)
        print_defect (defect, i + 1);
    }
}

static CliExit
run_list (int argc, char **argv)
{
  static const CliCommand command = { "defect list", N_ ("List the defects on record"), NULL };
  gboolean only_open = FALSE;
  const CliRecordList list = { cli_defects_to_json, print_defects, &only_open };
  const GOptionEntry more[] = {
    { "open", 0, 0, G_OPTION_ARG_NONE, &only_open, N_ ("Only those that are open"), NULL },
    { 0 },
  };

  return cli_run_record_list (&command, more, &list, argc, argv);
}

/* --- add, tell ------------------------------------------------------------------------------------ */

typedef struct
{
  char *what, *severity, *cause, *action, *outcome, *standing, *cost, *mark, *who;
  gboolean is_internal;
} Telling;

static void
clear_telling (Telling *telling)
{
  char **texts[] = { &telling->what,    &telling->severity, &telling->cause,
                     &telling->action,  &telling->outcome,  &telling->standing,
                     &telling->cost,    &telling->mark,     &telling->who };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_clear_pointer (texts[i], g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Telling, clear_telling)

static gboolean
parse_telling (const CliCommand *command, const char *arguments, Telling *telling, int *argc,
               char ***argv, CliExit *code)
{
  const GOptionEntry entries[] = {
    { "mark", 0, 0, G_OPTION_ARG_STRING, &telling->mark, N_ ("The mark that is kept, by its id"),
      N_ ("ID") },
    { "what", 0, 0, G_OPTION_ARG_STRING, &telling->what, N_ ("What it is, in a few words"),
      N_ ("TEXT") },
    { "severity", 0, 0, G_OPTION_ARG_STRING, &telling->severity, N_ ("How bad, in plain words"),
      N_ ("TEXT") },
    { "cause", 0, 0, G_OPTION_ARG_STRING, &telling->cause, N_ ("What it came from"), N_ ("TEXT") },
    { "action", 0, 0, G_OPTION_ARG_STRING, &telling->action, N_ ("What was done"), N_ ("TEXT") },
    { "outcome", 0, 0, G_OPTION_ARG_STRING, &telling->outcome,
      N_ ("What came of it, or why it stays"), N_ ("TEXT") },
    { "standing", 0, 0, G_OPTION_ARG_STRING, &telling->standing,
      N_ ("open, repaired, accepted or “left as agreed”"), N_ ("WORD") },
    { "cost", 0, 0, G_OPTION_ARG_STRING, &telling->cost, N_ ("What it cost, for the shop alone"),
      N_ ("COST") },
    { "internal", 0, 0, G_OPTION_ARG_NONE, &telling->is_internal,
      N_ ("Leave it out of the client's edition"), NULL },
    { "who", 0, 0, G_OPTION_ARG_STRING, &telling->who, N_ ("Who says so"), N_ ("NAME") },
    { 0 },
  };

  return cli_parse (command, arguments, NULL, entries, argc, argv, 2, 2, code);
}

/* What @telling says, over what @body says already. FALSE after saying what is wrong. */
static gboolean
fill (RakeDefectBody *body, const Telling *telling, CliExit *code)
{
  int standing = (int) body->standing;

  if (telling->cost != NULL)
    g_clear_pointer (&body->currency, g_free);
  if (!cli_parse_word (RAKE_ENTRY_DEFECT, "standing", telling->standing, &standing, code) ||
      !cli_parse_cost (telling->cost, &body->cost, &body->currency, code))
    return FALSE;
  body->standing = (RakeStanding) standing;
  if (telling->mark != NULL && !rake_id_from_text (telling->mark, &body->mark))
    {
      *code = cli_fail_with (CLI_INPUT, _ ("“%s” is no id"), telling->mark);
      return FALSE;
    }
  cli_set_text (&body->what, telling->what);
  cli_set_text (&body->severity, telling->severity);
  cli_set_text (&body->cause, telling->cause);
  cli_set_text (&body->action, telling->action);
  cli_set_text (&body->outcome, telling->outcome);
  if (telling->is_internal)
    body->is_for_client = RAKE_ANSWER_NO;
  return TRUE;
}

static CliExit
run_add (int argc, char **argv)
{
  static const CliCommand command = { "defect add", N_ ("Put a defect of a zone on record"), NULL };
  g_auto (Telling) telling = { 0 };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_DEFECT);
  const RakeZone *zone;
  CliExit code = CLI_DONE;

  if (!parse_telling (&command, "JOB ZONE", &telling, &argc, &argv, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  zone = file != NULL ? cli_find_zone_named (job, argv[2], &code) : NULL;
  if (zone == NULL)
    return code;
  entry->defect.zone = zone->id;
  entry->defect.standing = RAKE_STANDING_OPEN;
  if (!fill (&entry->defect, &telling, &code))
    return code;
  return cli_append (file, job, g_steal_pointer (&entry), telling.who);
}

/* What was said before stays where nothing else is said now: the entry says it all again. */
static void
say_again (RakeDefectBody *body, const RakeDefectBody *before)
{
  body->severity = g_strdup (before->severity);
  body->cause = g_strdup (before->cause);
  body->action = g_strdup (before->action);
  body->outcome = g_strdup (before->outcome);
  body->standing = before->standing;
  body->cost = before->cost;
  body->currency = g_strdup (before->currency);
  body->is_for_client = before->is_for_client;
}

static CliExit
run_tell (int argc, char **argv)
{
  static const CliCommand command = { "defect tell", N_ ("Tell more of a defect"), NULL };
  g_auto (Telling) telling = { 0 };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeDefect) defect = NULL;
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_DEFECT);
  CliExit code = CLI_DONE;

  if (!parse_telling (&command, "JOB DEFECT", &telling, &argc, &argv, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_WRITE, &job, &code);
  defect = file != NULL ? cli_find_defect (job, argv[2], &code) : NULL;
  if (defect == NULL)
    return code;
  entry->defect.zone = defect->zone != NULL ? defect->zone->id : defect->told->defect.zone;
  entry->defect.defect = defect->id;
  say_again (&entry->defect, &defect->told->defect);
  if (!fill (&entry->defect, &telling, &code))
    return code;
  return cli_append (file, job, g_steal_pointer (&entry), telling.who);
}

CliExit
cli_run_defect (int argc, char **argv)
{
  static const CliCommand parts[] = {
    { "list", N_ ("List the defects on record"), run_list },
    { "add", N_ ("Put a defect of a zone on record"), run_add },
    { "tell", N_ ("Tell more of a defect"), run_tell },
  };

  return cli_run_part ("defect", parts, G_N_ELEMENTS (parts), argc, argv);
}
