/* film-job.h - the film of a job's zones for film and status. */
#pragma once
#include "cli.h"
#include "json-text.h"

#include <rakelight/forecast.h>

/* rakelight-cli film JOB [ZONE]: every zone, or those of that name. */
CliExit cli_print_film_of_job (const char *path, const char *zone_name, gboolean as_json);

/* "film": {…}, with the ledger, and "forecast": {…}. What is not known is null. */
void cli_say_film (JsonText *json, const RakeFilm *film);

/* "NAME":{id, action, grade, position}, or null without a stage; the action's word, as job files have it. */
void cli_say_stage (JsonText *json, const char *name, const RakeStage *stage);
const char *cli_action_word (RakeAction action);
void cli_say_forecast (JsonText *json, const RakeForecast *forecast);
