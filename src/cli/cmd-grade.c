/* cmd-grade.c - the grain of an abrasive grade, and its like in other systems. */
#include "rakelight-config.h"

#include "cli.h"
#include "json-text.h"

#include <glib/gi18n.h>
#include <math.h>
#include <rakelight/grade.h>

static const char *const system_words[RAKE_N_GRADE_SYSTEMS] = { NULL, "P", "CAMI", "JIS",
                                                                "micron" };
static const char *const standing_words[] = { "read", "remembered", "approximate" };

/* --- JSON ------------------------------------------------------------------------------------- */

static void
say_grade (JsonText *json, const RakeGrade *grade)
{
  g_autofree char *text = rake_grade_to_text (grade);

  json_text_say_string (json, "grade", text);
  json_text_say_string (json, "system", system_words[grade->system]);
  json_text_say_number (json, "number", grade->number);
  json_text_say_number (json, "d50_um", grade->d50_um);
  json_text_say_number (json, "tolerance_um", grade->tolerance_um);
  json_text_say_string (json, "standing", standing_words[grade->standing]);
  json_text_say_string (json, "source", grade->source);
}

static gboolean
print_list_as_json (void)
{
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  json_text_open (&json, '[');
  for (guint i = 0; i < rake_grade_get_n (); i++)
    {
      json_text_open (&json, '{');
      say_grade (&json, rake_grade_get (i));
      json_text_close (&json, '}');
    }
  json_text_close (&json, ']');
  return json_text_print (&json);
}

static gboolean
print_as_json (const RakeGrade *grade, RakeGradeSystem only)
{
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  json_text_open (&json, '{');
  say_grade (&json, grade);
  json_text_say_number (&json, "coarse_ratio", rake_grade_get_coarse_ratio (grade));
  json_text_name (&json, "nearest");
  json_text_open (&json, '[');
  for (RakeGradeSystem system = RAKE_GRADE_SYSTEM_P; system < RAKE_N_GRADE_SYSTEMS; system++)
    {
      if (only == RAKE_GRADE_SYSTEM_UNSAID ? system == grade->system : system != only)
        continue;
      json_text_open (&json, '{');
      say_grade (&json, rake_grade_find_nearest (grade->d50_um, system));
      json_text_close (&json, '}');
    }
  json_text_close (&json, ']');
  json_text_close (&json, '}');
  return json_text_print (&json);
}

/* --- for a person ----------------------------------------------------------------------------- */

static void
print_grade (const RakeGrade *grade)
{
  g_autofree char *text = rake_grade_to_text (grade);
  g_autofree char *size =
      isnan (grade->tolerance_um)
          ? rake_units_to_text (RAKE_MEASURE_FILM, grade->d50_um)
          : rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, grade->d50_um, grade->tolerance_um);

  if (grade->standing == RAKE_GRADE_APPROXIMATE)
    g_print (_ ("%s  about %s  (%s)\n"), text, size, grade->source);
  else
    g_print ("%s  %s  (%s)\n", text, size, grade->source);
}

static void
print_nearest (const RakeGrade *grade, RakeGradeSystem system)
{
  const RakeGrade *nearest = rake_grade_find_nearest (grade->d50_um, system);
  g_autofree char *text = rake_grade_to_text (nearest);
  g_autofree char *size = rake_units_to_text (RAKE_MEASURE_FILM, nearest->d50_um);
  double percent = round (100 * (nearest->d50_um / grade->d50_um - 1));

  if (percent > 0)
    g_print (_ ("  %s: %s, %s, %.0f %% coarser\n"), rake_grade_system_get_label (system), text,
             size, percent);
  else if (percent < 0)
    g_print (_ ("  %s: %s, %s, %.0f %% finer\n"), rake_grade_system_get_label (system), text, size,
             -percent);
  else
    g_print ("  %s: %s, %s\n", rake_grade_system_get_label (system), text, size);
}

static void
print_for_person (const RakeGrade *grade, RakeGradeSystem only)
{
  print_grade (grade);
  g_print ("%s\n", _ ("Nearest by the median grain:"));
  for (RakeGradeSystem system = RAKE_GRADE_SYSTEM_P; system < RAKE_N_GRADE_SYSTEMS; system++)
    if (only == RAKE_GRADE_SYSTEM_UNSAID ? system != grade->system : system == only)
      print_nearest (grade, system);
}

static gboolean
read_system (const char *word, RakeGradeSystem *system, CliExit *code)
{
  *system = RAKE_GRADE_SYSTEM_UNSAID;
  if (word == NULL)
    return TRUE;
  for (RakeGradeSystem known = RAKE_GRADE_SYSTEM_P; known < RAKE_N_GRADE_SYSTEMS; known++)
    if (g_ascii_strcasecmp (system_words[known], word) == 0)
      {
        *system = known;
        return TRUE;
      }
  *code = cli_fail_with (CLI_USAGE, _ ("--%s takes one of: %s"), "to", "P, CAMI, JIS, micron");
  return FALSE;
}

CliExit
cli_run_grade (int argc, char **argv)
{
  static const CliCommand command = {
    "grade", N_ ("Tell the grain of an abrasive grade, and its like in other systems"), NULL
  };
  g_autoptr (GError) error = NULL;
  g_autofree char *to = NULL, *written = NULL;
  gboolean as_json = FALSE, as_list = FALSE;
  RakeGradeSystem system;
  RakeGrade grade;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "to", 0, 0, G_OPTION_ARG_STRING, &to, N_ ("Only the nearest of this: P, CAMI, JIS or micron"),
      N_ ("SYSTEM") },
    { "list", 0, 0, G_OPTION_ARG_NONE, &as_list, N_ ("List every grade that is known"), NULL },
    { "json", 0, 0, G_OPTION_ARG_NONE, &as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "GRADE", NULL, entries, &argc, &argv, 0, 2, &code) ||
      !read_system (to, &system, &code))
    return code;
  if (as_list != (argc == 1))
    return cli_fail_with (CLI_USAGE, _ ("grade takes either a grade, as P800, or --list"));
  if (as_list && as_json)
    return print_list_as_json () ? CLI_DONE : CLI_OUTPUT;
  for (guint i = 0; as_list && i < rake_grade_get_n (); i++)
    print_grade (rake_grade_get (i));
  if (as_list)
    return CLI_DONE;
  written = g_strjoinv (" ", argv + 1); /* "800 CAMI", with quotes or without */
  if (!rake_grade_parse (written, &grade, &error))
    return cli_fail (CLI_INPUT, g_steal_pointer (&error));
  if (as_json)
    return print_as_json (&grade, system) ? CLI_DONE : CLI_OUTPUT;
  print_for_person (&grade, system);
  return CLI_DONE;
}
