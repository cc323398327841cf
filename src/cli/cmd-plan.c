/* cmd-plan.c - which grits: from what is said here, or from where a job stands. */
#include "rakelight-config.h"

#include "cli.h"
#include "json-text.h"

#include <rakelight/forecast.h>
#include <rakelight/planner.h>
#include <rakelight/units.h>

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#define MAX_GRADES 200
/* Where the film's doubt is not said: an eighth of it, as with coats that were not measured. An
 * estimate of our own. */
#define USUAL_FILM_SD_SHARE 0.125
#define USUAL_RISK 0.05

typedef struct
{
  char *grades, *film, *film_sd, *reserve, *texture, *buffing, *area, *edge_factor, *risk;
  gboolean as_json;
} Options;

typedef struct
{
  RakeJobFile *file;
  RakeJob *job;
  RakeRates *rates;      /* NULL without a job */
  RakePlannerInput input;
  RakePlannerGrade grades[MAX_GRADES];
} Plan;

static void
clear_options (Options *options)
{
  g_free (options->grades);
  g_free (options->film);
  g_free (options->film_sd);
  g_free (options->reserve);
  g_free (options->texture);
  g_free (options->buffing);
  g_free (options->area);
  g_free (options->edge_factor);
  g_free (options->risk);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, clear_options)

static void
clear_plan (Plan *plan)
{
  g_clear_pointer (&plan->rates, rake_rates_unref);
  g_clear_pointer (&plan->job, rake_job_free);
  g_clear_pointer (&plan->file, rake_job_file_close);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Plan, clear_plan)

/* --- reading the command line ---------------------------------------------------------------- */

/* The @index of @text among @words, which NULL closes; words[0] stands for unsaid. */
static gboolean
read_word (const char *option, const char *text, const char *const *words, int *index,
           CliExit *code)
{
  g_autofree char *all = g_strjoinv (", ", (char **) words + 1);

  for (int i = 1; words[i] != NULL; i++)
    if (strcmp (words[i], text) == 0)
      {
        *index = i;
        return TRUE;
      }
  *code = cli_fail_with (CLI_USAGE, _ ("“%s” is no word for --%s; it takes %s"), text, option, all);
  return FALSE;
}

static gboolean
read_measure (RakeMeasure measure, const char *option, const char *text, double least, double most,
              double *value, CliExit *code)
{
  g_autoptr (GError) error = NULL;

  if (text == NULL || rake_units_parse (measure, text, least, most, value, &error))
    return TRUE;
  *code = cli_fail_with (CLI_USAGE, "--%s: %s", option, error->message);
  return FALSE;
}

/* A number without a unit, with a comma or a point. */
static gboolean
read_number (const char *option, const char *text, double least, double most, double *value,
             CliExit *code)
{
  g_autofree char *plain = NULL;
  char *end;
  double read;

  if (text == NULL)
    return TRUE;
  plain = g_strdelimit (g_strdup (text), ",", '.');
  read = g_ascii_strtod (plain, &end);
  if (end != plain && *end == '\0' && read >= least && read <= most)
    {
      *value = read;
      return TRUE;
    }
  *code = cli_fail_with (CLI_USAGE, _ ("--%s is “%s”; write a number from %g to %g"), option, text,
                         least, most);
  return FALSE;
}

static gboolean
read_grades (Plan *plan, const char *text, CliExit *code)
{
  g_auto (GStrv) names = g_strsplit (text, ",", -1);
  g_autoptr (GError) error = NULL;

  for (guint i = 0; names[i] != NULL; i++)
    {
      if (*g_strstrip (names[i]) == '\0')
        continue;
      if (plan->input.n_grades == MAX_GRADES)
        {
          *code = cli_fail_with (CLI_USAGE, _ ("--grades names more than %d grits"), MAX_GRADES);
          return FALSE;
        }
      if (!rake_planner_grade_init (&plan->grades[plan->input.n_grades], names[i], plan->rates,
                                    &error))
        {
          *code = cli_fail (CLI_USAGE, g_steal_pointer (&error));
          return FALSE;
        }
      plan->input.n_grades++;
    }
  if (plan->input.n_grades > 0)
    return TRUE;
  *code = cli_fail_with (CLI_USAGE, _ ("--grades names no grit; write them as P800,P1200,P1500"));
  return FALSE;
}

static gboolean
read_ways (Plan *plan, const Options *options, CliExit *code)
{
  static const char *const textures[] = { "", "smooth", "usual", "rough", NULL };
  static const char *const buffings[] = { "", "wheel", "machine", "hand", "none", NULL };
  RakePlannerInput *input = &plan->input;
  int texture, buffing;

  if (options->texture != NULL)
    {
      if (!read_word ("texture", options->texture, textures, &texture, code))
        return FALSE;
      input->sigma_um = rake_texture_get_sigma_um ((RakeTexture) texture);
    }
  if (options->buffing != NULL)
    {
      if (!read_word ("buffing", options->buffing, buffings, &buffing, code))
        return FALSE;
      input->entry_d50_um = rake_buffing_get_entry_d50_um ((RakeBuffing) buffing);
      if (plan->job == NULL || buffing == RAKE_BUFFING_NONE)
        input->buff_um = rake_planner_assume_buffing ((RakeBuffing) buffing);
    }
  if (isnan (input->entry_d50_um))
    {
      *code = cli_fail_with (
          CLI_USAGE, _ ("How will it be buffed? Say --buffing wheel, machine, hand or none"));
      return FALSE;
    }
  return TRUE;
}

/* What is said here outranks what the job says. */
static gboolean
read_numbers (Plan *plan, const Options *options, CliExit *code)
{
  RakePlannerInput *input = &plan->input;
  double area_m2 = NAN, film_um = NAN;

  if (!read_measure (RAKE_MEASURE_FILM, "film", options->film, 1, 5000, &film_um, code) ||
      !read_measure (RAKE_MEASURE_FILM, "film-sd", options->film_sd, 0, 5000, &input->film.sd,
                     code) ||
      !read_measure (RAKE_MEASURE_FILM, "reserve", options->reserve, 0, 5000, &input->reserve_um,
                     code) ||
      !read_measure (RAKE_MEASURE_SHARE, "risk", options->risk, 1e-6, 0.5, &input->risk_limit,
                     code) ||
      !read_number ("area", options->area, 1e-4, 100, &area_m2, code) ||
      !read_number ("edge-factor", options->edge_factor, 0.1, 10, &input->edge_factor, code))
    return FALSE;
  if (isfinite (area_m2))
    input->area_mm2 = area_m2 * 1e6;
  if (isfinite (film_um))
    {
      input->film.mean = film_um;
      if (options->film_sd == NULL)
        input->film.sd = USUAL_FILM_SD_SHARE * film_um;
    }
  return TRUE;
}

/* --- with a job, and without ------------------------------------------------------------------ */

static const RakeFace *
find_face (const RakeJob *job, const char *name, CliExit *code)
{
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      if (name == NULL || strcmp (face->name, name) == 0)
        return face;
    }
  *code = name != NULL ? cli_fail_with (CLI_USAGE, _ ("The job has no face “%s”"), name)
                       : cli_fail_with (CLI_FILE, _ ("The job has no face yet"));
  return NULL;
}

/* The grits of the schedule stand in for those on hand that nobody named. */
static char *
list_scheduled (const RakeFace *face)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < face->stages->len; i++)
    {
      const RakeStage *stage = face->stages->pdata[i];
      if (stage->action == RAKE_ACTION_LEVEL || stage->action == RAKE_ACTION_REFINE)
        g_string_append_printf (text, "%s,", stage->grade);
    }
  return g_string_free (text, FALSE);
}

static gboolean
fill_from_job (Plan *plan, const Options *options, const char *path, const char *name,
               CliExit *code)
{
  g_autoptr (RakeRules) ours = cli_load_rules (NULL, code);
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *scheduled = NULL;
  const RakeFace *face;

  if (ours == NULL)
    return FALSE;
  plan->file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &plan->job, code);
  if (plan->file == NULL)
    return FALSE;
  rules = rake_rules_for_job (plan->job, ours);
  plan->rates = rake_rates_take (plan->job);
  face = find_face (plan->job, name, code);
  if (face == NULL)
    return FALSE;
  if (!rake_planner_fill_from_face (&plan->input, plan->job, face, plan->rates,
                                    rake_rules_get_limits (rules), &error) &&
      options->film == NULL)
    {
      *code = cli_fail (CLI_NO, g_steal_pointer (&error));
      return FALSE;
    }
  scheduled = list_scheduled (face);
  return read_grades (plan, options->grades != NULL ? options->grades : scheduled, code);
}

static gboolean
fill_alone (Plan *plan, const Options *options, CliExit *code)
{
  if (options->grades == NULL || options->film == NULL)
    {
      *code = cli_fail_with (CLI_USAGE, _ ("Without a job a plan needs --grades, --film and "
                                           "--buffing; rakelight-cli plan --help tells more"));
      return FALSE;
    }
  plan->input = (RakePlannerInput){ .grades = plan->grades, .sigma_um = NAN, .level_um = NAN,
                                    .scratch_d50_um = NAN, .entry_d50_um = NAN,
                                    .coarsest_d50_um = NAN, .film = { NAN, NAN },
                                    .edge_factor = NAN, .reserve_um = NAN,
                                    .risk_limit = USUAL_RISK, .area_mm2 = NAN, .change_min = NAN };
  return read_grades (plan, options->grades, code);
}

/* --- the answer -------------------------------------------------------------------------------- */

static char *
name_steps (const Plan *plan, const RakePlan *answer)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < answer->steps->len; i++)
    {
      const RakePlanStep *step = &g_array_index (answer->steps, RakePlanStep, i);
      g_autofree char *name = rake_grade_to_text (&plan->grades[step->grade].grade);

      g_string_append_printf (text, "%s%u × %s", i > 0 ? ", " : "", step->n_passes, name);
    }
  if (answer->steps->len == 0)
    g_string_append (text, "–");
  return g_string_free (text, FALSE);
}

static void
print_cell (const char *text, long width)
{
  g_print ("%s", text);
  for (long i = g_utf8_strlen (text, -1); i < width; i++)
    g_print (" ");
}

static void
print_row (const Plan *plan, const RakePlanning *planning, guint index, long width)
{
  const RakePlan *answer = planning->plans->pdata[index];
  g_autofree char *steps = name_steps (plan, answer);
  g_autofree char *film = rake_units_to_text (RAKE_MEASURE_FILM, answer->film_um);
  g_autofree char *minutes = g_strdup_printf (_ ("%.0f min"), answer->minutes);
  g_autofree char *risk = rake_units_to_text (RAKE_MEASURE_SHARE, answer->risk);
  g_autofree char *why = rake_planning_describe (planning, index);

  g_print ("%s ", index == planning->recommended ? "→" : " ");
  print_cell (steps, width);
  print_cell (film, 11);
  print_cell (minutes, 9);
  print_cell (risk, 13);
  g_print ("%s\n", why);
}

static void
print_table (const Plan *plan, const RakePlanning *planning)
{
  long width = 12;

  for (guint i = 0; i < planning->plans->len; i++)
    {
      g_autofree char *steps = name_steps (plan, planning->plans->pdata[i]);
      width = MAX (width, g_utf8_strlen (steps, -1) + 2);
    }
  g_print ("  ");
  print_cell (_ ("Passes"), width);
  print_cell (_ ("Film"), 11);
  print_cell (_ ("Time"), 9);
  g_print ("%s\n", _ ("Risk"));
  for (guint i = 0; i < planning->plans->len; i++)
    print_row (plan, planning, i, width);
  g_print ("%s\n",
           _ ("Recommended is the row with the arrow. Rates of removal and depths of scratch are "
              "estimates until the shop has learned its own."));
}

static void
say_step (JsonText *json, const Plan *plan, const RakePlanStep *step)
{
  g_autofree char *name = rake_grade_to_text (&plan->grades[step->grade].grade);

  json_text_open (json, '{');
  json_text_say_string (json, "grade", name);
  json_text_say_number (json, "n_passes", step->n_passes);
  json_text_say_number (json, "needed_um", step->needed_um);
  json_text_say_number (json, "taken_um", step->taken_um);
  json_text_say_number (json, "minutes", step->minutes);
  json_text_close (json, '}');
}

static void
say_plan (JsonText *json, const Plan *plan, const RakePlanning *planning, guint index)
{
  static const char *const standings[] = { "recommended", "more grits", "same grits" };
  const RakePlan *answer = planning->plans->pdata[index];
  g_autofree char *why = rake_planning_describe (planning, index);

  json_text_open (json, '{');
  json_text_say_string (json, "standing", standings[rake_planning_get_standing (planning, index)]);
  json_text_say_string (json, "why", why);
  json_text_name (json, "steps");
  json_text_open (json, '[');
  for (guint i = 0; i < answer->steps->len; i++)
    say_step (json, plan, &g_array_index (answer->steps, RakePlanStep, i));
  json_text_close (json, ']');
  json_text_say_number (json, "buff_um", answer->buff_um.mean);
  json_text_say_number (json, "film_um", answer->film_um);
  json_text_say_number (json, "film_sd_um", answer->film_sd_um);
  json_text_say_number (json, "minutes", answer->minutes);
  json_text_say_number (json, "risk", answer->risk);
  json_text_close (json, '}');
}

static gboolean
print_json (const Plan *plan, const RakePlanning *planning)
{
  g_auto (JsonText) json = { 0 };

  json_text_init (&json);
  json_text_open (&json, '{');
  json_text_say_number (&json, "recommended", planning->recommended);
  json_text_name (&json, "needs_patience");
  json_text_bool (&json, planning->needs_patience);
  json_text_say_number (&json, "n_considered", planning->n_considered);
  json_text_say_number (&json, "n_over_risk", planning->n_over_risk);
  json_text_name (&json, "plans");
  json_text_open (&json, '[');
  for (guint i = 0; i < planning->plans->len; i++)
    say_plan (&json, plan, planning, i);
  json_text_close (&json, ']');
  json_text_close (&json, '}');
  return json_text_print (&json);
}

static CliExit
answer (Plan *plan, gboolean as_json)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePlanning) planning = rake_planner_plan (&plan->input, &error);

  if (planning == NULL)
    {
      gboolean is_no = g_error_matches (error, RAKE_PLANNER_ERROR, RAKE_PLANNER_ERROR_NONE);
      return cli_fail (is_no ? CLI_NO : CLI_USAGE, g_steal_pointer (&error));
    }
  if (as_json)
    return print_json (plan, planning) ? CLI_DONE : CLI_OUTPUT;
  print_table (plan, planning);
  return CLI_DONE;
}

CliExit
cli_run_plan (int argc, char **argv)
{
  static const CliCommand command = { "plan", N_ ("Say which grits, and what each choice costs"),
                                      NULL };
  g_auto (Options) options = { 0 };
  g_auto (Plan) plan = { 0 };
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "grades", 0, 0, G_OPTION_ARG_STRING, &options.grades,
      N_ ("The grits on hand: P800,P1200,P1500; with JOB else its schedule's"), N_ ("LIST") },
    { "film", 0, 0, G_OPTION_ARG_STRING, &options.film, N_ ("Film at the thinnest zone"),
      N_ ("FILM") },
    { "film-sd", 0, 0, G_OPTION_ARG_STRING, &options.film_sd,
      N_ ("Its doubt, one standard deviation"), N_ ("FILM") },
    { "reserve", 0, 0, G_OPTION_ARG_STRING, &options.reserve, N_ ("What must remain of it"),
      N_ ("FILM") },
    { "edge-factor", 0, 0, G_OPTION_ARG_STRING, &options.edge_factor,
      N_ ("How much more that zone loses than a flat"), N_ ("FACTOR") },
    { "risk", 0, 0, G_OPTION_ARG_STRING, &options.risk,
      N_ ("The most risk of being under the reserve at the end"), N_ ("SHARE") },
    { "texture", 0, 0, G_OPTION_ARG_STRING, &options.texture,
      N_ ("How the clear lay down: smooth, usual or rough"), N_ ("WORD") },
    { "buffing", 0, 0, G_OPTION_ARG_STRING, &options.buffing,
      N_ ("How it will be buffed: wheel, machine, hand or none"), N_ ("WORD") },
    { "area", 0, 0, G_OPTION_ARG_STRING, &options.area, N_ ("Area to be worked in m²"),
      N_ ("AREA") },
    { "json", 0, 0, G_OPTION_ARG_NONE, &options.as_json, N_ ("Answer in JSON"), NULL },
    { 0 },
  };

  if (!cli_parse (&command, "[JOB [FACE]]", NULL, entries, &argc, &argv, 0, 2, &code))
    return code;
  plan.input.grades = plan.grades;
  if (!(argc > 1 ? fill_from_job (&plan, &options, argv[1], argc > 2 ? argv[2] : NULL, &code)
                 : fill_alone (&plan, &options, &code)) ||
      !read_ways (&plan, &options, &code) || !read_numbers (&plan, &options, &code))
    return code;
  return answer (&plan, options.as_json);
}
