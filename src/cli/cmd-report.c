/* cmd-report.c - the report of a job as a PDF. */
#include "rakelight-config.h"

#include "cli.h"

#include <rakelight/report.h>

#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <string.h>

#define MAIL_BYTES 20000000

typedef struct
{
  char *output, *edition, *sheet, *language, *now, *rules, *photos, *units;
  gboolean with_photos;
  RakeReportPhotoSize photo_size;
} Wanted;

static void
clear_wanted (Wanted *wanted)
{
  g_free (wanted->output);
  g_free (wanted->edition);
  g_free (wanted->sheet);
  g_free (wanted->language);
  g_free (wanted->now);
  g_free (wanted->rules);
  g_free (wanted->photos);
  g_free (wanted->units);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Wanted, clear_wanted)

gboolean
cli_parse_sheet (const char *text, RakeSheet *sheet, CliExit *code)
{
  if (text == NULL || g_ascii_strcasecmp (text, "a4") == 0)
    *sheet = RAKE_SHEET_A4;
  else if (g_ascii_strcasecmp (text, "letter") == 0)
    *sheet = RAKE_SHEET_LETTER;
  else
    {
      *code = cli_fail_with (CLI_USAGE, _ ("“%s” is no paper; take a4 or letter"), text);
      return FALSE;
    }
  return TRUE;
}

static gboolean
parse_edition (const char *text, RakeEdition *edition, CliExit *code)
{
  if (text == NULL || g_str_equal (text, "client"))
    *edition = RAKE_EDITION_CLIENT;
  else if (g_str_equal (text, "shop"))
    *edition = RAKE_EDITION_SHOP;
  else
    {
      *code = cli_fail_with (CLI_USAGE, _ ("“%s” is no edition; take client or shop"), text);
      return FALSE;
    }
  return TRUE;
}

static gboolean
parse_photos (Wanted *wanted, CliExit *code)
{
  const char *text = wanted->photos != NULL ? wanted->photos : "small";

  wanted->with_photos = !g_str_equal (text, "none");
  wanted->photo_size =
      g_str_equal (text, "original") ? RAKE_REPORT_PHOTOS_ORIGINAL : RAKE_REPORT_PHOTOS_SMALL;
  if (wanted->with_photos && !g_str_equal (text, "small") && !g_str_equal (text, "original"))
    {
      *code = cli_fail_with (CLI_USAGE, _ ("“%s” is no size; take small, original or none"), text);
      return FALSE;
    }
  return TRUE;
}

static gboolean
parse_units (const char *text, RakeUnits *units, CliExit *code)
{
  g_auto (GStrv) words = g_strsplit (text != NULL ? text : "metric", ",", -1);

  for (guint i = 0; words[i] != NULL; i++)
    {
      gboolean is_all = g_str_equal (words[i], "customary");

      if (!is_all && !g_str_equal (words[i], "metric") && !g_str_equal (words[i], "mil") &&
          !g_str_equal (words[i], "inch") && !g_str_equal (words[i], "fahrenheit"))
        {
          *code = cli_fail_with (CLI_USAGE,
                                 _ ("“%s” is no unit; take metric, customary, or some of mil, "
                                    "inch, fahrenheit with commas between"),
                                 words[i]);
          return FALSE;
        }
      units->film_in_mil |= is_all || g_str_equal (words[i], "mil");
      units->length_in_inch |= is_all || g_str_equal (words[i], "inch");
      units->temperature_in_fahrenheit |= is_all || g_str_equal (words[i], "fahrenheit");
    }
  return TRUE;
}

/* A letter box that refuses it tells nobody. */
static void
warn_of_size (const char *path)
{
  GStatBuf file;

  if (g_stat (path, &file) == 0 && file.st_size > MAIL_BYTES)
    g_printerr (_ ("rakelight-cli: The report is %.0f MB; many mailboxes take no more than %.0f. "
                   "--photos small makes it smaller.\n"),
                (double) file.st_size / 1e6, MAIL_BYTES / 1e6);
}

/* The paper may speak another language than the bench. gettext heeds LANGUAGE only where the locale is
 * not the plain C one. */
static gboolean
choose_language (const char *language, CliExit *code)
{
  g_autofree char *file = NULL;
  const char *folder = g_getenv ("RAKELIGHT_LOCALEDIR");

  if (language == NULL)
    return TRUE;
  file = g_strdup_printf ("%s/%s/LC_MESSAGES/%s.mo", folder != NULL ? folder : RAKE_LOCALE_DIR,
                          language, RAKE_GETTEXT_DOMAIN);
  if (strchr (language, G_DIR_SEPARATOR) != NULL ||
      (!g_str_equal (language, "en") && !g_file_test (file, G_FILE_TEST_EXISTS)))
    {
      *code =
          cli_fail_with (CLI_USAGE, _ ("Rakelight does not speak “%s”; take en or de"), language);
      return FALSE;
    }
  g_setenv ("LANGUAGE", language, TRUE);
  if (g_str_equal (setlocale (LC_MESSAGES, NULL), "C") ||
      g_str_equal (setlocale (LC_MESSAGES, NULL), "POSIX"))
    setlocale (LC_MESSAGES, "C.UTF-8");
  return TRUE;
}

/* What the pages turn out to be written in. */
static const char *
get_language (void)
{
  /* Translators: the code of the language this is translated into, as "de". */
  return C_ ("language code", "en");
}

static void
fill_options (RakeReportOptions *options)
{
  g_autoptr (GDateTime) now = g_date_time_new_from_unix_local (options->now_ms / 1000);

  options->utc_offset_minutes =
      now != NULL ? (int) (g_date_time_get_utc_offset (now) / G_TIME_SPAN_MINUTE) : 0;
  options->language = get_language ();
}

static CliExit
write_report (const char *path, const Wanted *wanted, RakeReportOptions *options)
{
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (RakeReportPhotos) photos = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *seal = NULL, *name = NULL, *contact = NULL;
  CliExit code = CLI_DONE;

  rules = cli_load_rules (wanted->rules, &code);
  if (rules == NULL)
    return code;
  file = cli_open (path, RAKE_JOB_FILE_READ_ONLY, &job, &code);
  if (file == NULL)
    return code;
  seal = rake_job_file_get_seal (file, &error);
  if (seal == NULL || !rake_job_file_get_client (file, &name, &contact, &error))
    return cli_fail (CLI_FILE, g_steal_pointer (&error));
  options->rules = rules;
  options->seal = seal;
  options->client_name = name;
  options->client_contact = contact;
  fill_options (options);
  if (wanted->with_photos)
    options->photos = photos = rake_report_photos_new (file, job, wanted->photo_size);
  if (!rake_report_write (wanted->output, job, options, NULL, NULL, NULL, &error))
    return cli_fail (CLI_OUTPUT, g_steal_pointer (&error));
  warn_of_size (wanted->output);
  return CLI_DONE;
}

CliExit
cli_run_report (int argc, char **argv)
{
  static const CliCommand command = { "report", N_ ("Write the record to hand over as a PDF"),
                                      NULL };
  g_auto (Wanted) wanted = { 0 };
  RakeReportOptions options = { 0 };
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "output", 'o', 0, G_OPTION_ARG_FILENAME, &wanted.output, N_ ("Write to FILE.pdf"),
      N_ ("FILE") },
    { "edition", 'e', 0, G_OPTION_ARG_STRING, &wanted.edition,
      N_ ("client (usual), or shop: with the shop's own notes and costs"), N_ ("EDITION") },
    { "paper", 'p', 0, G_OPTION_ARG_STRING, &wanted.sheet, N_ ("a4 (usual) or letter"),
      N_ ("PAPER") },
    { "photos", 0, 0, G_OPTION_ARG_STRING, &wanted.photos,
      N_ ("small (usual), original, or none"), N_ ("SIZE") },
    { "units", 'u', 0, G_OPTION_ARG_STRING, &wanted.units,
      N_ ("metric (usual), customary, or some of mil,inch,fahrenheit"), N_ ("UNITS") },
    { "lang", 'l', 0, G_OPTION_ARG_STRING, &wanted.language,
      N_ ("Its language, as de; else that of this program"), N_ ("CODE") },
    { "now", 0, 0, G_OPTION_ARG_STRING, &wanted.now, N_ ("Judge as of TIME"), N_ ("TIME") },
    { "rules", 0, 0, G_OPTION_ARG_FILENAME, &wanted.rules, N_ ("Read FILE over the rules"),
      N_ ("FILE") },
    { 0 },
  };

  if (!cli_parse (&command, "JOB",
                  N_ ("FILE appears whole or not at all; an older one stays until then."), entries,
                  &argc, &argv, 1, 1, &code) ||
      !cli_parse_time (wanted.now, &options.now_ms, &code) ||
      !cli_parse_sheet (wanted.sheet, &options.sheet, &code) ||
      !parse_edition (wanted.edition, &options.edition, &code) || !parse_photos (&wanted, &code) ||
      !parse_units (wanted.units, &options.units, &code) ||
      !choose_language (wanted.language, &code))
    return code;
  if (wanted.output == NULL)
    return cli_fail_with (CLI_USAGE, _ ("Say where the report goes: --output FILE.pdf"));
  return write_report (argv[1], &wanted, &options);
}
