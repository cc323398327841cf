/* cli.c - what the commands share: options, errors, opening, rules. */
#include "rakelight-config.h"

#include "cli.h"

#include <glib/gi18n.h>
#include <stdio.h>
#include <string.h>

CliExit
cli_fail (CliExit code, GError *error)
{
  g_printerr ("rakelight-cli: %s\n", error->message);
  g_error_free (error);
  return code;
}

CliExit
cli_fail_to_keep (GError *error)
{
  gboolean is_disk = g_error_matches (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DISK);

  return cli_fail (is_disk ? CLI_OUTPUT : CLI_INPUT, error);
}

CliExit
cli_fail_with (CliExit code, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_printerr ("rakelight-cli: %s\n", message);
  return code;
}

gboolean
cli_parse (const CliCommand *command, const char *arguments, const char *description,
           const GOptionEntry *entries, int *argc, char ***argv, int n_min, int n_max,
           CliExit *code)
{
  g_autoptr (GOptionContext) context = g_option_context_new (arguments);
  g_autoptr (GError) error = NULL;
  g_autofree char *help = NULL;
  gboolean wants_help = FALSE;
  const GOptionEntry help_entry[] = {
    { "help", 'h', 0, G_OPTION_ARG_NONE, &wants_help, N_ ("Show this help"), NULL },
    { 0 },
  };

  g_option_context_set_translation_domain (context, RAKE_GETTEXT_DOMAIN);
  g_option_context_set_help_enabled (context, FALSE);
  g_option_context_set_summary (context, _ (command->summary));
  if (description != NULL)
    g_option_context_set_description (context, _ (description));
  if (entries != NULL)
    g_option_context_add_main_entries (context, entries, RAKE_GETTEXT_DOMAIN);
  g_option_context_add_main_entries (context, help_entry, RAKE_GETTEXT_DOMAIN);
  g_set_prgname (command->name);

  if (!g_option_context_parse (context, argc, argv, &error))
    {
      *code = cli_fail (CLI_USAGE, g_steal_pointer (&error));
      return FALSE;
    }
  if (wants_help)
    {
      help = g_option_context_get_help (context, TRUE, NULL);
      g_print ("%s", help);
      *code = CLI_DONE;
      return FALSE;
    }
  if (*argc - 1 < n_min || *argc - 1 > n_max)
    {
      *code = cli_fail_with (CLI_USAGE, _ ("%s takes %s; rakelight-cli %s --help tells more"),
                             command->name, arguments, command->name);
      return FALSE;
    }
  return TRUE;
}

RakeJobFile *
cli_open (const char *path, RakeJobFileMode mode, RakeJob **job, CliExit *code)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, mode, &error);

  if (file != NULL && job != NULL)
    *job = rake_job_file_load (file, &error);
  if (error != NULL)
    {
      *code = cli_fail (CLI_FILE, g_steal_pointer (&error));
      return NULL;
    }
  return g_steal_pointer (&file);
}

/* Reads @path over @base and takes the place of it. */
static RakeRules *
read_rules_over (RakeRules *base, const char *path, GError **error)
{
  g_autoptr (RakeRules) under = base;
  g_autofree char *text = NULL, *name = g_path_get_basename (path);

  if (!g_file_get_contents (path, &text, NULL, error))
    return NULL;
  if (!g_utf8_validate (text, -1, NULL))
    {
      g_set_error (error, RAKE_RULES_ERROR, RAKE_RULES_ERROR_SYNTAX,
                   _ ("%s is not a rule file: it is not UTF-8 text"), path);
      return NULL;
    }
  return rake_rules_new (name, text, under, error);
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(char *const *) a, *(char *const *) b);
}

static GPtrArray *
list_shop_rules (void)
{
  GPtrArray *paths = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *folder = g_build_filename (g_get_user_config_dir (), "rakelight", "rules", NULL);
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    if (g_str_has_suffix (name, ".rules"))
      g_ptr_array_add (paths, g_build_filename (folder, name, NULL));
  g_ptr_array_sort (paths, compare_names);
  return paths;
}

RakeRules *
cli_load_rules (const char *path, CliExit *code)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) paths = NULL;
  RakeRules *rules =
      rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, &error);

  if (path != NULL)
    {
      paths = g_ptr_array_new_with_free_func (g_free);
      g_ptr_array_add (paths, g_strdup (path));
    }
  else
    paths = list_shop_rules ();
  for (guint i = 0; rules != NULL && i < paths->len; i++)
    rules = read_rules_over (rules, paths->pdata[i], &error);
  if (rules == NULL)
    *code = cli_fail (CLI_INPUT, g_steal_pointer (&error));
  return rules;
}

gboolean
cli_parse_time (const char *text, gint64 *ms, CliExit *code)
{
  g_autoptr (GDateTime) time = NULL;

  if (text == NULL)
    {
      *ms = g_get_real_time () / 1000;
      return TRUE;
    }
  time = g_date_time_new_from_iso8601 (text, NULL);
  if (time == NULL)
    {
      *code = cli_fail_with (CLI_USAGE, _ ("“%s” is not a time; write it as 2026-03-17T10:00:00Z"),
                             text);
      return FALSE;
    }
  *ms = g_date_time_to_unix (time) * 1000 + g_date_time_get_microsecond (time) / 1000;
  return TRUE;
}

GPtrArray *
cli_judge_face (const RakeRules *rules, const RakeJob *job, const RakeFace *face, gint64 now_ms)
{
  GPtrArray *judgements = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_judgement_free);

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (judgements, rake_rules_judge (rules, job, face->zones->pdata[i], now_ms));
  return judgements;
}
