/* main.c - rakelight-cli: everything about a job that needs no hand and no eye. */
#include "rakelight-config.h"

#include "cli.h"

#include <glib/gi18n.h>
#include <locale.h>
#include <string.h>

static const CliCommand commands[] = {
  { "new", N_ ("Start a job file with a piece, a face and a schedule"), cli_run_new },
  { "import", N_ ("Add entries to a job file from JSON Lines"), cli_run_import },
  { "export", N_ ("Write a job's logbook as JSON Lines, or a table of it"), cli_run_export },
  { "status", N_ ("Say what each zone needs, and why"), cli_run_status },
  { "plan", N_ ("Say which grits, and what each choice costs"), cli_run_plan },
  { "verify", N_ ("Check that a job file is whole and unaltered"), cli_run_verify },
  { "map", N_ ("Draw a face's map as PNG, SVG or PDF"), cli_run_map },
  { "report", N_ ("Write the record to hand over as a PDF"), cli_run_report },
  { "bench-sheet", N_ ("Write a face as a page to mark by pencil"), cli_run_bench_sheet },
  { "read-photo", N_ ("Read low spots and scratches in a photograph under a low lamp"),
    cli_run_read_photo },
  { "merge", N_ ("Bring together two copies of a job worked on apart"), cli_run_merge },
  { "photo", N_ ("Photographs: add, list, get, register, withdraw"), cli_run_photo },
  { "defect", N_ ("List the defects on record, add one, tell more of one"), cli_run_defect },
  { "hand-over", N_ ("Check what stands in the way of a hand-over, or hand over"),
    cli_run_hand_over },
  { "claim", N_ ("Open a claim after the hand-over, tell more of it, list them"), cli_run_claim },
  { "grade", N_ ("Tell the grain of an abrasive grade, and its like in other systems"), cli_run_grade },
  { "film", N_ ("Reckon the dry film of a coat, or hold readings to a nominal film"), cli_run_film },
  { "wheel", N_ ("Reckon the speed of a buffing wheel, or list the wheels of a job"), cli_run_wheel },
  { "gloss", N_ ("Sum up gloss readings, and say at which angle to read"), cli_run_gloss },
};

static void
print_help (void)
{
  g_print ("%s\n\n", _ ("Usage: rakelight-cli COMMAND [OPTIONS] JOB …"));
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    g_print ("  %-11s %s\n", commands[i].name, _ (commands[i].summary));
  g_print ("\n%s\n%s\n", _ ("rakelight-cli COMMAND --help tells the options of one."),
           _ ("Exit codes: 0 done, 1 the answer is no, 2 usage, 3 job file, 4 input, 5 output."));
}

static void
set_up_translation (void)
{
  const char *folder = g_getenv ("RAKELIGHT_LOCALEDIR");

  setlocale (LC_ALL, "");
  bindtextdomain (RAKE_GETTEXT_DOMAIN, folder != NULL ? folder : RAKE_LOCALE_DIR);
  bind_textdomain_codeset (RAKE_GETTEXT_DOMAIN, "UTF-8");
  textdomain (RAKE_GETTEXT_DOMAIN);
}

int
main (int argc, char **argv)
{
  set_up_translation ();
  g_set_prgname ("rakelight-cli");

  if (argc < 2 || g_str_equal (argv[1], "--help") || g_str_equal (argv[1], "-h"))
    {
      print_help ();
      return argc < 2 ? CLI_USAGE : CLI_DONE;
    }
  if (g_str_equal (argv[1], "--version"))
    {
      g_print ("rakelight-cli %s\n", RAKE_VERSION);
      return CLI_DONE;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (commands); i++)
    if (g_str_equal (argv[1], commands[i].name))
      return (int) commands[i].run (argc - 1, argv + 1);
  return (int) cli_fail_with (
      CLI_USAGE, _ ("There is no command “%s”; rakelight-cli --help lists them"), argv[1]);
}
