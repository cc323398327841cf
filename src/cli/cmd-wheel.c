/* cmd-wheel.c - the speed of a buffing wheel, or the wheels of a job. */
#include "rakelight-config.h"

#include "cli.h"
#include "json-text.h"

#include <glib/gi18n.h>
#include <math.h>
#include <rakelight/wheel.h>
#include <string.h>

static const char *const speed_words[] = { "unknown", "slow", "in range", "fast", "over rated" };

static const char *
describe_speed (RakeWheelSpeed speed)
{
  switch (speed)
    {
    case RAKE_WHEEL_SLOW:
      return _ ("slower than usual for this finish: it cuts little");
    case RAKE_WHEEL_IN_RANGE:
      return _ ("in the usual range for this finish");
    case RAKE_WHEEL_FAST:
      return _ ("faster than usual for this finish: mind the heat");
    case RAKE_WHEEL_OVER_RATED:
      return _ ("faster than the wheel is rated for: do not run it");
    case RAKE_WHEEL_SPEED_UNKNOWN:
    default:
      return _ ("not known: it wants the diameter, the motor's speed and both pulleys");
    }
}

static void
say_speed (JsonText *json, const RakeWheelBody *wheel, RakeFinish finish)
{
  double rpm = rake_wheel_get_rpm (wheel);
  double surface_m_per_s = rake_wheel_surface_m_per_s (wheel->diameter_mm, rpm);
  RakeSpeedRange range = rake_wheel_get_range (finish);

  json_text_say_number (json, "rpm", rpm);
  json_text_say_number (json, "surface_m_per_s", surface_m_per_s);
  json_text_say_number (json, "surface_ft_per_min", surface_m_per_s / 0.00508);
  json_text_say_number (json, "least_m_per_s", range.least_m_per_s);
  json_text_say_number (json, "most_m_per_s", range.most_m_per_s);
  json_text_say_string (json, "speed", speed_words[rake_wheel_judge (wheel, finish)]);
}

static void
print_speed (const char *indent, const RakeWheelBody *wheel, RakeFinish finish)
{
  double rpm = rake_wheel_get_rpm (wheel);
  double surface_m_per_s = rake_wheel_surface_m_per_s (wheel->diameter_mm, rpm);
  RakeSpeedRange range = rake_wheel_get_range (finish);
  g_autofree char *turns = rake_units_to_text (RAKE_MEASURE_TURNS, rpm);
  g_autofree char *surface = rake_units_to_text (RAKE_MEASURE_SPEED, surface_m_per_s);
  g_autofree char *least = rake_units_to_text (RAKE_MEASURE_SPEED, range.least_m_per_s);
  g_autofree char *most = rake_units_to_text (RAKE_MEASURE_SPEED, range.most_m_per_s);

  if (isfinite (surface_m_per_s))
    g_print (_ ("%s%s, surface %s; usual here %s to %s\n"), indent, turns, surface, least, most);
  g_print (_ ("%sSpeed: %s\n"), indent, describe_speed (rake_wheel_judge (wheel, finish)));
}

/* --- a job's wheels --------------------------------------------------------------------------- */

static void
say_wheel (JsonText *json, RakeId id, const RakeWheelStanding *standing, RakeFinish finish)
{
  static const char *const answer_words[] = { NULL, "no", "yes" };
  g_autofree char *advice = rake_wheel_advise (standing);
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (id, text);
  json_text_open (json, '{');
  json_text_say_string (json, "id", text);
  json_text_say_string (json, "name", standing->entry->wheel.name);
  json_text_say_string (json, "compound", standing->compound);
  json_text_say_string (json, "is_mixed", answer_words[standing->is_mixed]);
  json_text_say_bool (json, "wants_check", advice != NULL);
  json_text_say_number (json, "passes_since_check", standing->n_passes);
  say_speed (json, &standing->entry->wheel, finish);
  json_text_close (json, '}');
}

static void
print_wheel (const RakeWheelStanding *standing, RakeFinish finish)
{
  g_autofree char *advice = rake_wheel_advise (standing);
  const RakeWheelBody *wheel = &standing->entry->wheel;

  if (standing->is_mixed == RAKE_ANSWER_YES)
    g_print (_ ("%s: has carried more than one compound; strip or replace it\n"), wheel->name);
  else if (standing->compound != NULL)
    g_print (_ ("%s: carries %s\n"), wheel->name, standing->compound);
  else
    g_print (_ ("%s: carries nothing yet\n"), wheel->name);
  print_speed ("  ", wheel, finish);
  if (advice != NULL)
    g_print ("  %s\n", advice);
}

static CliExit
answer_job (const char *path, gboolean as_json)
{
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GArray) wheels = NULL;
  g_auto (JsonText) json = { 0 };
  const RakeJobFacts *facts;
  RakeFinish finish;
  CliExit code = CLI_DONE;

  file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  facts = rake_job_find_facts (job);
  finish = facts != NULL ? facts->finish : RAKE_FINISH_UNSAID;
  wheels = rake_wheel_list (job);
  json_text_init (&json);
  json_text_open (&json, '[');
  for (guint i = 0; i < wheels->len; i++)
    {
      RakeId id = g_array_index (wheels, RakeId, i);
      RakeWheelStanding standing;

      if (!rake_wheel_take (job, id, &standing))
        continue;
      if (as_json)
        say_wheel (&json, id, &standing, finish);
      else
        print_wheel (&standing, finish);
    }
  json_text_close (&json, ']');
  if (as_json)
    return json_text_print (&json) ? CLI_DONE : CLI_OUTPUT;
  if (wheels->len == 0)
    g_print ("%s\n", _ ("No wheel is on record."));
  return CLI_DONE;
}

/* --- a wheel by its numbers ------------------------------------------------------------------- */

/* "63,125", or with decimal commas "63,5:125": the motor's and the wheel's. */
static gboolean
read_pulleys (const char *text, RakeWheelBody *wheel, CliExit *code)
{
  g_auto (GStrv) parts = NULL;

  wheel->motor_pulley_mm = wheel->wheel_pulley_mm = NAN;
  if (text == NULL)
    return TRUE;
  parts = g_strsplit (text, strchr (text, ':') != NULL ? ":" : ",", 3);
  if (g_strv_length (parts) != 2)
    {
      *code = cli_fail_with (CLI_INPUT, _ ("--pulleys takes two: the motor's and the wheel's, as "
                                           "63,125"));
      return FALSE;
    }
  return cli_read (RAKE_MEASURE_LENGTH, "pulleys", parts[0], 1, 5000, &wheel->motor_pulley_mm,
                   code) &&
         cli_read (RAKE_MEASURE_LENGTH, "pulleys", parts[1], 1, 5000, &wheel->wheel_pulley_mm,
                   code);
}

static CliExit
answer_numbers (const RakeWheelBody *wheel, RakeFinish finish, gboolean as_json)
{
  g_auto (JsonText) json = { 0 };

  if (as_json)
    {
      json_text_init (&json);
      json_text_open (&json, '{');
      say_speed (&json, wheel, finish);
      json_text_close (&json, '}');
      if (!json_text_print (&json))
        return CLI_OUTPUT;
    }
  else
    print_speed ("", wheel, finish);
  return rake_wheel_judge (wheel, finish) == RAKE_WHEEL_OVER_RATED ? CLI_NO : CLI_DONE;
}

CliExit
cli_run_wheel (int argc, char **argv)
{
  static const CliCommand command = {
    "wheel", N_ ("Reckon the speed of a buffing wheel, or list the wheels of a job"), NULL
  };
  g_autofree char *diameter = NULL, *motor = NULL, *pulleys = NULL, *rated = NULL, *word = NULL;
  gboolean as_json = FALSE;
  RakeWheelBody wheel = { 0 };
  RakeFinish finish;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "diameter", 0, 0, G_OPTION_ARG_STRING, &diameter, N_ ("Of the wheel, as 350mm or 14in"),
      N_ ("LENGTH") },
    { "motor", 0, 0, G_OPTION_ARG_STRING, &motor, N_ ("Turns of the motor in a minute"),
      N_ ("NUMBER") },
    { "pulleys", 0, 0, G_OPTION_ARG_STRING, &pulleys,
      N_ ("Pitch diameters of the motor's and the wheel's pulley"), N_ ("A,B") },
    { "rated", 0, 0, G_OPTION_ARG_STRING, &rated, N_ ("Turns in a minute the wheel may run at"),
      N_ ("NUMBER") },
    { "finish", 0, 0, G_OPTION_ARG_STRING, &word, N_ ("The finish family"), N_ ("WORD") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "[JOB]", NULL, entries, &argc, &argv, 0, 1, &code))
    return code;
  if (argc == 2 && (diameter != NULL || motor != NULL))
    return cli_fail_with (CLI_USAGE, _ ("wheel takes either a job or the numbers of a wheel"));
  if (argc == 2)
    return answer_job (argv[1], as_json);
  if (diameter == NULL || motor == NULL)
    return cli_fail_with (CLI_USAGE, _ ("wheel wants --diameter and --motor, or a job"));
  if (!cli_read_finish (word, &finish, &code) ||
      !cli_read (RAKE_MEASURE_LENGTH, "diameter", diameter, 1, 5000, &wheel.diameter_mm, &code) ||
      !cli_read (RAKE_MEASURE_TURNS, "motor", motor, 1, 100000, &wheel.motor_rpm, &code) ||
      !cli_read (RAKE_MEASURE_TURNS, "rated", rated, 1, 100000, &wheel.rated_rpm, &code) ||
      !read_pulleys (pulleys, &wheel, &code))
    return code;
  return answer_numbers (&wheel, finish, as_json);
}
