/* cmd-map.c - a face's map as a picture. */
#include "rakelight-config.h"

#include "cli.h"

#include <rakelight/map.h>

#include <glib/gi18n.h>
#include <math.h>

const RakeFace *
cli_find_face (const RakeJob *job, const char *name, CliExit *code)
{
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);

      if (name == NULL || g_str_equal (face->name, name))
        return face;
    }
  *code = name != NULL ? cli_fail_with (CLI_INPUT, _ ("The job has no face “%s”"), name)
                       : cli_fail_with (CLI_INPUT, _ ("The job has no face yet"));
  return NULL;
}

static gboolean
parse_theme (const char *text, RakeTheme *theme, CliExit *code)
{
  if (text == NULL || g_str_equal (text, "paper"))
    *theme = RAKE_THEME_PAPER;
  else if (g_str_equal (text, "dark"))
    *theme = RAKE_THEME_DARK;
  else if (g_str_equal (text, "light"))
    *theme = RAKE_THEME_LIGHT;
  else
    {
      *code = cli_fail_with (CLI_USAGE, _ ("“%s” is no theme; take dark, light or paper"), text);
      return FALSE;
    }
  return TRUE;
}

CliExit
cli_run_map (int argc, char **argv)
{
  static const CliCommand command = { "map", N_ ("Draw a face's map as PNG, SVG or PDF"), NULL };
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeRules) ours = NULL;
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (GPtrArray) judgements = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *face_name = NULL, *theme_name = NULL, *now_text = NULL, *rules_path = NULL;
  const RakeFace *face;
  RakeTheme theme;
  double lamp_deg = 315;
  int width_px = 1600;
  gint64 now_ms;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "face", 'f', 0, G_OPTION_ARG_STRING, &face_name, N_ ("Draw the face NAME, else the first"),
      N_ ("NAME") },
    { "theme", 't', 0, G_OPTION_ARG_STRING, &theme_name, N_ ("dark, light or paper (usual)"),
      N_ ("THEME") },
    { "width", 'w', 0, G_OPTION_ARG_INT, &width_px, N_ ("Width of a PNG in pixels"), N_ ("PX") },
    { "lamp", 'l', 0, G_OPTION_ARG_DOUBLE, &lamp_deg,
      N_ ("Where the lamp stands: degrees from the top edge, clockwise"), N_ ("DEG") },
    { "now", 0, 0, G_OPTION_ARG_STRING, &now_text, N_ ("Judge as of TIME"), N_ ("TIME") },
    { "rules", 0, 0, G_OPTION_ARG_FILENAME, &rules_path, N_ ("Read FILE over the rules"),
      N_ ("FILE") },
    { 0 },
  };

  if (!cli_parse (&command, "JOB PICTURE",
                  N_ ("PICTURE ends in .png, .svg or .pdf, which says what is written."), entries,
                  &argc, &argv, 2, 2, &code) ||
      !cli_parse_time (now_text, &now_ms, &code) || !parse_theme (theme_name, &theme, &code))
    return code;
  if (!isfinite (lamp_deg) || lamp_deg < 0 || lamp_deg >= 360)
    return cli_fail_with (CLI_USAGE, _ ("The lamp's direction is 0 to less than 360 degrees"));
  if (width_px < 64 || width_px > 8192)
    return cli_fail_with (CLI_USAGE, _ ("A PNG is 64 to 8192 pixels wide"));
  ours = cli_load_rules (rules_path, &code);
  if (ours == NULL)
    return code;
  file = cli_open (argv[1], RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  face = cli_find_face (job, face_name, &code);
  if (face == NULL)
    return code;
  rules = rules_path != NULL ? rake_rules_ref (ours) : rake_rules_for_job (job, ours);
  judgements = cli_judge_face (rules, job, face, now_ms);
  if (!rake_map_write (argv[2], job, face, (RakeJudgement *const *) judgements->pdata, theme,
                       width_px, lamp_deg, &error))
    return cli_fail (CLI_OUTPUT, g_steal_pointer (&error));
  return CLI_DONE;
}
