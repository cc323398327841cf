/* cmd-verify.c - is the job file whole, is its logbook unaltered, does it have this seal? */
#include "rakelight-config.h"

#include "cli.h"
#include "json-text.h"

#include <rakelight/seal.h>

#include <glib/gi18n.h>

typedef struct
{
  gboolean is_whole, seal_agrees;
  char *seal, *fault;
  gint64 first; /* the first entry that differs, from 1 in the job's order; 0: none is known */
} Answer;

static void
clear_answer (Answer *answer)
{
  g_free (answer->seal);
  g_free (answer->fault);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Answer, clear_answer)

static gboolean
print_json (const Answer *answer)
{
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  json_text_open (&json, '{');
  json_text_name (&json, "is_whole");
  json_text_bool (&json, answer->is_whole);
  json_text_name (&json, "seal_agrees");
  json_text_bool (&json, answer->seal_agrees);
  json_text_name (&json, "seal");
  json_text_string (&json, answer->seal);
  json_text_name (&json, "first_entry_that_differs");
  if (answer->first > 0)
    json_text_number (&json, (double) answer->first);
  else
    json_text_null (&json);
  json_text_name (&json, "fault");
  json_text_string (&json, answer->fault);
  json_text_close (&json, '}');
  return json_text_print (&json);
}

static CliExit
give (const Answer *answer, gboolean as_json)
{
  gboolean is_well = answer->is_whole && answer->seal_agrees;

  if (as_json)
    return !print_json (answer) ? CLI_OUTPUT : is_well ? CLI_DONE : CLI_NO;
  if (is_well)
    g_print (_ ("The logbook is whole and unaltered.\nSeal %s\n"), answer->seal);
  else
    g_printerr ("rakelight-cli: %s\n", answer->fault);
  return is_well ? CLI_DONE : CLI_NO;
}

/* "entry 34 of 2026-03-01 09:12, Pass at P800 on Lower bass". */
static char *
name_entry (const RakeJob *job, guint index)
{
  const RakeEntry *entry = rake_job_get_entry (job, index);
  g_autofree char *what = rake_job_describe_entry (job, entry);
  char time[RAKE_TIME_TEXT_LENGTH + 1];

  rake_time_to_text (entry->written_ms, entry->utc_offset_minutes, time);
  /* Translators: the number of an entry in the logbook, its day, its time of day, what it says. */
  return g_strdup_printf (_ ("entry %u of %.10s %.5s, “%s”"), index + 1, time, time + 11, what);
}

/* --- against a seal --------------------------------------------------------------------------- */

static char *
explain_seal (Answer *answer, const RakeJob *job, const char *wanted)
{
  guint n_then, n_now = rake_job_get_n_entries (job);
  g_autofree char *first = NULL;

  if (!rake_seal_find (job, wanted, &n_then))
    return g_strdup_printf (
        _ ("The logbook is whole, but its seal is %s, and after none of its entries was it the one "
           "given: the seal is miscopied, it is another job, or the logbook was written anew"),
        answer->seal);
  answer->first = n_then + 1;
  first = name_entry (job, n_then);
  return g_strdup_printf (
      ngettext (
          "The logbook is whole and had this seal; since then %u entry was added: %s",
          "The logbook is whole and had this seal; since then %u entries were added, the first "
          "is %s",
          n_now - n_then),
      n_now - n_then, first);
}

/* --- against a copy --------------------------------------------------------------------------- */

static char *
explain_copy (Answer *answer, const RakeJob *job, const RakeJob *copy)
{
  guint index;
  RakeSealDifference difference = rake_seal_compare (job, copy, &index);
  g_autofree char *entry = difference == RAKE_SEAL_SAME
                               ? NULL
                               : name_entry (difference == RAKE_SEAL_ADDED ? job : copy, index);

  if (difference != RAKE_SEAL_SAME)
    answer->first = index + 1;
  switch (difference)
    {
    case RAKE_SEAL_ADDED:
      return g_strdup_printf (
          _ ("The logbook has all that the copy has, and more: the first is %s"), entry);
    case RAKE_SEAL_MISSING:
      return g_strdup_printf (_ ("The logbook lacks what the copy has: the first is %s"), entry);
    case RAKE_SEAL_DIFFERS:
      return g_strdup_printf (
          _ ("The logbook differs from the copy: the first entry that is not the "
             "same is %s"),
          entry);
    case RAKE_SEAL_SAME:
    default:
      return NULL;
    }
}

static CliExit
compare_with_copy (Answer *answer, const RakeJob *job, const char *path)
{
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) copy = NULL;
  g_autoptr (GError) error = NULL;
  CliExit code = CLI_DONE;

  file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &copy, &code);
  if (file == NULL)
    return code;
  if (!rake_job_file_verify (file, &error))
    return cli_fail (CLI_FILE, g_steal_pointer (&error));
  answer->fault = explain_copy (answer, job, copy);
  answer->seal_agrees = answer->fault == NULL;
  return CLI_DONE;
}

/* --- the command ------------------------------------------------------------------------------ */

/* FALSE when the file itself is not whole, which is an answer and not a failure. */
static gboolean
verify_file (Answer *answer, RakeJobFile *file, RakeJob **job)
{
  g_autoptr (GError) error = NULL;

  if (rake_job_file_verify (file, &error))
    answer->seal = rake_job_file_get_seal (file, &error);
  if (answer->seal != NULL)
    *job = rake_job_file_load (file, &error);
  if (error == NULL)
    {
      answer->is_whole = answer->seal_agrees = TRUE;
      return TRUE;
    }
  answer->fault = g_strdup (error->message);
  return FALSE;
}

CliExit
cli_run_verify (int argc, char **argv)
{
  static const CliCommand command = { "verify",
                                      N_ ("Check that a job file is whole and unaltered"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autofree char *wanted = NULL, *against = NULL;
  g_auto (Answer) answer = { 0 };
  gboolean as_json = FALSE;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "seal", 's', 0, G_OPTION_ARG_STRING, &wanted, N_ ("The seal it should have"), N_ ("SEAL") },
    { "against", 'a', 0, G_OPTION_ARG_FILENAME, &against,
      N_ ("A copy that was kept: names the first entry that differs"), N_ ("COPY") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "JOB", NULL, entries, &argc, &argv, 1, 1, &code))
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, NULL, &code);
  if (file == NULL)
    return code;
  if (!verify_file (&answer, file, &job))
    return give (&answer, as_json);
  /* As it stands on paper, in groups, a seal is as good. */
  if (wanted != NULL)
    {
      g_auto (GStrv) groups = g_strsplit_set (wanted, " \t\n", -1);
      g_autofree char *seal = g_strjoinv ("", groups);

      answer.seal_agrees = g_ascii_strcasecmp (seal, answer.seal) == 0;
      if (!answer.seal_agrees)
        answer.fault = explain_seal (&answer, job, seal);
    }
  if (against != NULL && answer.seal_agrees)
    code = compare_with_copy (&answer, job, against);
  return code == CLI_DONE ? give (&answer, as_json) : code;
}
