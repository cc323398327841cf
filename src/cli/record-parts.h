/* record-parts.h - what the commands about defects, the hand-over and claims share. */
#pragma once
#include "cli.h"
#include "json-text.h"

#include <rakelight/record.h>

/* "12.50 EUR" or "EUR 12.50"; NULL is no cost. FALSE after saying so. */
gboolean cli_parse_cost (const char *text, double *cost, char **currency, CliExit *code);

/* A plain number, with a point or a comma; NULL is NaN. FALSE after saying what is wrong of which option. */
gboolean cli_parse_plain (const char *option, const char *text, double least, double most,
                          double *value, CliExit *code);

/* A word of a field ("standing") to its value; NULL leaves @value as it is. FALSE after listing them. */
gboolean cli_parse_word (RakeEntryKind kind, const char *field, const char *text, int *value,
                         CliExit *code);

/* By its number in the list, from 1, or its id; NULL after saying that there is none. */
RakeDefect *cli_find_defect (const RakeJob *job, const char *text, CliExit *code);
RakeClaim *cli_find_claim (const RakeJob *job, const char *text, CliExit *code);

/* Appends one entry, which it takes over, to a job file. */
CliExit cli_append (RakeJobFile *file, RakeJob *job, RakeEntry *entry, const char *who);

/* Members of an object: "defects": […], "claims": […], "handed_over": {…} or null. */
void cli_defects_to_json (JsonText *json, const RakeJob *job);
void cli_claims_to_json (JsonText *json, const RakeJob *job);
void cli_hand_over_to_json (JsonText *json, const RakeJob *job);

/* "15 March 2026" in the person's language, in the local time that was kept with it. Caller frees. */
char *cli_day_to_text (gint64 unix_ms, int utc_offset_minutes);

/* "add", "list" … among @parts; says the rest itself. */
CliExit cli_run_part (const char *command, const CliCommand *parts, gsize n_parts, int argc,
                      char **argv);

/* @said over what @text says, where anything is said. */
void cli_set_text (char **text, const char *said);

/* A list of a part of the record, in JSON or as lines. */
typedef struct
{
  void (*to_json) (JsonText *json, const RakeJob *job); /* a member of an object */
  void (*print) (const RakeJob *job, gconstpointer data);
  gconstpointer data;
} CliRecordList;

/* @more: options beside --json, ended by an empty one. */
CliExit cli_run_record_list (const CliCommand *command, const GOptionEntry *more,
                             const CliRecordList *list, int argc, char **argv);
