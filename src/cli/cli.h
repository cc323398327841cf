/* cli.h - what the commands of rakelight-cli share.
 *
 * Exit codes are promised in the manual page: 0 done, 1 the answer is no (a job that does not
 * verify), 2 the command line cannot be understood, 3 the job file cannot be used, 4 what was read
 * is wrong and nothing was written, 5 the result could not be written. */
#pragma once
#include <gio/gio.h>
#include <rakelight/job-file.h>
#include <rakelight/report.h>
#include <rakelight/rules.h>
#include <rakelight/units.h>

typedef enum
{
  CLI_DONE = 0,
  CLI_NO = 1,
  CLI_USAGE = 2,
  CLI_FILE = 3,
  CLI_INPUT = 4,
  CLI_OUTPUT = 5,
} CliExit;

typedef struct
{
  const char *name;    /* "status" */
  const char *summary; /* one line, untranslated */
  CliExit (*run) (int argc, char **argv);
} CliCommand;

CliExit cli_run_new (int argc, char **argv);
CliExit cli_run_import (int argc, char **argv);
CliExit cli_run_export (int argc, char **argv);
CliExit cli_run_status (int argc, char **argv);
CliExit cli_run_plan (int argc, char **argv);
CliExit cli_run_verify (int argc, char **argv);
CliExit cli_run_map (int argc, char **argv);
CliExit cli_run_read_photo (int argc, char **argv);
CliExit cli_run_merge (int argc, char **argv);
CliExit cli_run_photo (int argc, char **argv);
CliExit cli_run_report (int argc, char **argv);
CliExit cli_run_grade (int argc, char **argv);
CliExit cli_run_film (int argc, char **argv);
CliExit cli_run_wheel (int argc, char **argv);
CliExit cli_run_gloss (int argc, char **argv);
CliExit cli_run_defect (int argc, char **argv);
CliExit cli_run_hand_over (int argc, char **argv);
CliExit cli_run_claim (int argc, char **argv);
CliExit cli_run_bench_sheet (int argc, char **argv);

/* Says @error in one line on standard error and frees it. */
CliExit cli_fail (CliExit code, GError *error);

/* The same of an error of rake_job_file_append(): OUTPUT for a full disk, else INPUT. */
CliExit cli_fail_to_keep (GError *error);
CliExit cli_fail_with (CliExit code, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Reads the options of a command; what is left in @argv are its arguments. FALSE after saying what
 * is wrong, or after --help; @code then holds the exit code.
 *
 * arguments  "JOB", "JOB FILE", for the help
 * n_min, n_max  how many arguments it takes */
gboolean cli_parse (const CliCommand *command, const char *arguments, const char *description,
                    const GOptionEntry *entries, int *argc, char ***argv, int n_min, int n_max,
                    CliExit *code);

/* The file and its job, or NULL after saying why. */
RakeJobFile *cli_open (const char *path, RakeJobFileMode mode, RakeJob **job, CliExit *code);

/* Our rules with the shop's own on top: --rules FILE, else the files in the user's configuration
 * folder rakelight/rules/, by name. NULL after saying what is wrong. */
RakeRules *cli_load_rules (const char *path, CliExit *code);

/* "2026-03-17T10:00:00Z" to milliseconds UTC; NULL gives the present. FALSE after saying so. */
gboolean cli_parse_time (const char *text, gint64 *ms, CliExit *code);

/* The face of that name, the first one for NULL; NULL after saying that there is none. */
const RakeFace *cli_find_face (const RakeJob *job, const char *name, CliExit *code);

/* "a4" or "letter", either case; NULL gives A4. FALSE after saying so. */
gboolean cli_parse_sheet (const char *text, RakeSheet *sheet, CliExit *code);

/* One judgement a zone of @face, freed with the array. */
GPtrArray *cli_judge_face (const RakeRules *rules, const RakeJob *job, const RakeFace *face,
                           gint64 now_ms);

/* Reads the number of an option with its unit, as rake_units_parse() does; NULL is NaN. FALSE after
 * saying what is wrong of which option. */
gboolean cli_read (RakeMeasure measure, const char *option, const char *text, double least,
                   double most, double *value, CliExit *code);

/* Reads several: "57,56,55", or with decimal commas "57,1; 56; 55". Caller frees; NULL after saying
 * what is wrong. */
GArray *cli_read_list (RakeMeasure measure, const char *option, const char *text, double least,
                       double most, CliExit *code);

/* Reads a finish family's word; NULL is UNSAID. FALSE after listing them. */
gboolean cli_read_finish (const char *text, RakeFinish *finish, CliExit *code);
