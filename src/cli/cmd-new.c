/* cmd-new.c - a job file with a piece, a face, its zones and its schedule, in one gesture. */
#include "rakelight-config.h"

#include "cli.h"

#include <rakelight/division.h>
#include <rakelight/draft.h>
#include <rakelight/outline.h>
#include <rakelight/schedule.h>

#include <glib/gi18n.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct
{
  char *name, *piece, *shop, *finish, *sheen, *face, *outline, *size, *svg, *schedule, *grid;
  char *last_coat, *rules_path;
  double mm_per_unit, band_mm;
  int n_coats;
} NewJob;

static void
new_job_clear (NewJob *self)
{
  char **texts[] = { &self->name, &self->piece,    &self->shop, &self->finish,    &self->sheen,
                     &self->face, &self->outline,  &self->size, &self->svg,       &self->schedule,
                     &self->grid, &self->last_coat, &self->rules_path };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    g_clear_pointer (texts[i], g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (NewJob, new_job_clear)

static gboolean
read_word (const char *option, const char *field_name, const char *text, int *value, CliExit *code)
{
  const RakeField *field = rake_entry_kind_find_field (RAKE_ENTRY_JOB, field_name);
  g_autoptr (GString) words = g_string_new (NULL);

  if (text == NULL || (*value = rake_field_find_word (field, text)) != 0)
    return TRUE;
  for (int i = 1; field->words[i] != NULL; i++)
    g_string_append_printf (words, "%s%s", i > 1 ? ", " : "", field->words[i]);
  *code = cli_fail_with (CLI_USAGE, _ ("--%s %s: take one of %s"), option, text, words->str);
  return FALSE;
}

static RakeEntry *
new_job_entry (const NewJob *options, const char *path, CliExit *code)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_JOB);
  int finish = 0, sheen = 0;

  if (!read_word ("finish", "finish", options->finish, &finish, code) ||
      !read_word ("sheen", "sheen", options->sheen, &sheen, code))
    return NULL;
  entry->job.name = options->name != NULL ? g_strdup (options->name) : g_path_get_basename (path);
  if (options->name == NULL && g_str_has_suffix (entry->job.name, RAKE_JOB_FILE_SUFFIX))
    entry->job.name[strlen (entry->job.name) - strlen (RAKE_JOB_FILE_SUFFIX)] = '\0';
  entry->job.piece = g_strdup (options->piece);
  entry->job.shop = g_strdup (options->shop);
  entry->job.finish = (RakeFinish) finish;
  entry->job.sheen = (RakeSheen) sheen;
  return g_steal_pointer (&entry);
}

static gboolean
read_outline_kind (const char *text, RakeOutlineKind *kind, CliExit *code)
{
  g_autoptr (GString) names = g_string_new (NULL);

  for (int i = 1; i < RAKE_N_OUTLINES; i++)
    {
      g_autofree char *name =
          g_ascii_strdown (rake_outline_kind_get_name ((RakeOutlineKind) i), -1);

      g_strdelimit (name, " ", '-');
      if (g_str_equal (name, text))
        {
          *kind = (RakeOutlineKind) i;
          return TRUE;
        }
      g_string_append_printf (names, "%s%s", i > 1 ? ", " : "", name);
    }
  *code = cli_fail_with (CLI_USAGE, _ ("--outline %s: take one of %s"), text, names->str);
  return FALSE;
}

/* "310x420" or "310x420/85": width, height and the hole's diameter. */
static gboolean
read_size (const char *text, double *width_mm, double *height_mm, double *hole_mm, CliExit *code)
{
  char *end = NULL;

  *width_mm = g_ascii_strtod (text, &end);
  if (end != text && *end == 'x')
    {
      *height_mm = g_ascii_strtod (end + 1, &end);
      *hole_mm = *end == '/' ? g_ascii_strtod (end + 1, &end) : 0;
      if (*end == '\0' && isfinite (*width_mm) && isfinite (*height_mm) && isfinite (*hole_mm))
        return TRUE;
    }
  *code = cli_fail_with (CLI_USAGE,
                         _ ("--size %s: write width and height in mm, and a hole if "
                            "there is one, as 310x420 or 310x420/85"),
                         text);
  return FALSE;
}

static RakeShape *
read_outline (const NewJob *options, CliExit *code)
{
  g_autoptr (GError) error = NULL;
  RakeShape *outline = NULL;

  if (options->svg != NULL)
    {
      g_autofree char *text = NULL;
      gsize length;

      if (g_file_get_contents (options->svg, &text, &length, &error))
        outline = rake_outline_new_from_svg (text, length, options->mm_per_unit, &error);
    }
  else
    {
      RakeOutlineKind kind = RAKE_OUTLINE_ROUNDED_SLAB;
      double width_mm, height_mm, hole_mm;

      if (options->outline != NULL && !read_outline_kind (options->outline, &kind, code))
        return NULL;
      rake_outline_kind_get_usual_size (kind, &width_mm, &height_mm, &hole_mm);
      if (options->size != NULL &&
          !read_size (options->size, &width_mm, &height_mm, &hole_mm, code))
        return NULL;
      outline = rake_outline_new (kind, width_mm, height_mm, hole_mm, &error);
    }
  if (outline == NULL)
    *code = cli_fail (CLI_INPUT, g_steal_pointer (&error));
  return outline;
}

/* Takes @entry into the draft, or says what is wrong with it. */
static gboolean
add (RakeDraft *draft, RakeEntry *entry, GError *error, CliExit *code)
{
  g_autoptr (GError) fault = error;

  if (entry != NULL && rake_draft_append (draft, entry, &fault))
    return TRUE;
  *code = cli_fail (CLI_INPUT, g_steal_pointer (&fault));
  return FALSE;
}

static const RakeFace *
get_only_face (const RakeDraft *draft)
{
  return rake_job_get_face (rake_draft_get_job (draft), 0);
}

static gboolean
add_face (const NewJob *options, RakeDraft *draft, CliExit *code)
{
  RakeEntry *face = rake_entry_new (RAKE_ENTRY_FACE);

  face->face.name = g_strdup (options->face != NULL ? options->face : _ ("Front"));
  face->face.outline = read_outline (options, code);
  if (face->face.outline == NULL)
    {
      rake_entry_unref (face);
      return FALSE;
    }
  return add (draft, face, NULL, code);
}

/* The edge band first, then a grid over what it leaves. */
static gboolean
add_zones (const NewJob *options, RakeDraft *draft, CliExit *code)
{
  GError *error = NULL;
  RakeEntry *entry;
  unsigned n_columns, n_rows;

  if (options->band_mm > 0)
    {
      entry = rake_division_new_band (get_only_face (draft)->zones->pdata[0], options->band_mm,
                                      TRUE, &error);
      if (!add (draft, entry, error, code))
        return FALSE;
    }
  if (options->grid == NULL)
    return TRUE;
  if (sscanf (options->grid, "%2ux%2u", &n_columns, &n_rows) != 2)
    {
      *code =
          cli_fail_with (CLI_USAGE, _ ("--grid %s: write columns and rows, as 2x3"), options->grid);
      return FALSE;
    }
  error = NULL;
  entry = rake_division_new_grid (
      get_only_face (draft)->zones->pdata[get_only_face (draft)->zones->len - 1], n_columns, n_rows,
      &error);
  return add (draft, entry, error, code);
}

static gboolean
add_schedule (const NewJob *options, RakeDraft *draft, CliExit *code)
{
  const RakeJobFacts *facts = rake_job_find_facts (rake_draft_get_job (draft));
  const char *text = options->schedule != NULL
                         ? options->schedule
                         : rake_schedule_get_usual_text (facts->finish, facts->sheen);
  GError *error = NULL;
  GArray *stages = rake_schedule_parse (text, &error);
  RakeEntry *entry;

  if (stages == NULL)
    {
      *code = cli_fail (CLI_USAGE, error);
      return FALSE;
    }
  entry = rake_entry_new (RAKE_ENTRY_SCHEDULE);
  entry->schedule.face = get_only_face (draft)->id;
  g_clear_pointer (&entry->schedule.stages, g_array_unref);
  entry->schedule.stages = stages;
  return add (draft, entry, NULL, code);
}

static gboolean
add_coats (const NewJob *options, RakeDraft *draft, CliExit *code)
{
  gint64 last_ms;

  if (options->n_coats <= 0 && options->last_coat == NULL)
    return TRUE;
  if (!cli_parse_time (options->last_coat, &last_ms, code))
    return FALSE;
  for (int i = MAX (options->n_coats, 1); i > 0; i--)
    {
      RakeEntry *coat = rake_entry_new (RAKE_ENTRY_COAT);

      coat->coat.face = get_only_face (draft)->id;
      /* Only the last coat's time was told; the ones before it are put one minute apart. */
      coat->happened_ms = last_ms - (i - 1) * 60000;
      if (!add (draft, coat, NULL, code))
        return FALSE;
    }
  return TRUE;
}

static RakeEntry *
new_rules_entry (RakeRules *rules)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_RULES);

  entry->rules.name = g_strdup_printf ("Rakelight %s", RAKE_VERSION);
  entry->rules.text = rake_rules_to_text (rules);
  return entry;
}

/* The schedule before the zones: an edge band starts at the stage after the first. */
static RakeDraft *
plan (const NewJob *options, RakeRules *rules, const char *path, CliExit *code)
{
  g_autoptr (RakeDraft) draft = rake_draft_new ();
  RakeEntry *job = new_job_entry (options, path, code);

  if (job == NULL || !add (draft, job, NULL, code) ||
      !add (draft, new_rules_entry (rules), NULL, code) || !add_face (options, draft, code) ||
      !add_schedule (options, draft, code) || !add_zones (options, draft, code) ||
      !add_coats (options, draft, code))
    return NULL;
  return g_steal_pointer (&draft);
}

static CliExit
write_new (const char *path, GPtrArray *gesture)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_create (path, &error);
  g_autoptr (RakeJob) job = rake_job_new ();

  if (file == NULL)
    return cli_fail (CLI_FILE, g_steal_pointer (&error));
  if (!rake_job_file_append (file, job, (RakeEntry *const *) gesture->pdata, gesture->len, NULL,
                             &error))
    {
      g_clear_pointer (&file, rake_job_file_close);
      remove (path);
      return cli_fail (CLI_INPUT, g_steal_pointer (&error));
    }
  return CLI_DONE;
}

CliExit
cli_run_new (int argc, char **argv)
{
  static const CliCommand command = {
    "new", N_ ("Start a job file with a piece, a face and a schedule"), NULL
  };
  g_auto (NewJob) options = { 0 };
  g_autoptr (RakeRules) rules = NULL;
  g_autoptr (RakeDraft) draft = NULL;
  CliExit code = CLI_DONE;
  const GOptionEntry entries[] = {
    { "name", 0, 0, G_OPTION_ARG_STRING, &options.name, N_ ("The job's name"), N_ ("NAME") },
    { "piece", 0, 0, G_OPTION_ARG_STRING, &options.piece, N_ ("What is worked on"), N_ ("TEXT") },
    { "shop", 0, 0, G_OPTION_ARG_STRING, &options.shop, N_ ("Whose bench it is"), N_ ("TEXT") },
    { "finish", 0, 0, G_OPTION_ARG_STRING, &options.finish, N_ ("The finish family"), N_ ("WORD") },
    { "sheen", 0, 0, G_OPTION_ARG_STRING, &options.sheen, N_ ("gloss, semi-gloss or satin"),
      N_ ("WORD") },
    { "face", 0, 0, G_OPTION_ARG_STRING, &options.face, N_ ("The first face's name"), N_ ("NAME") },
    { "outline", 0, 0, G_OPTION_ARG_STRING, &options.outline, N_ ("One of the built-in outlines"),
      N_ ("KIND") },
    { "size", 0, 0, G_OPTION_ARG_STRING, &options.size, N_ ("Its width, height and hole in mm"),
      N_ ("WxH/D") },
    { "svg", 0, 0, G_OPTION_ARG_FILENAME, &options.svg, N_ ("Take the outline from a drawing"),
      N_ ("FILE") },
    { "mm-per-unit", 0, 0, G_OPTION_ARG_DOUBLE, &options.mm_per_unit,
      N_ ("The drawing's scale, where it does not tell"), N_ ("MM") },
    { "band", 0, 0, G_OPTION_ARG_DOUBLE, &options.band_mm, N_ ("Make a zone of the edge, so wide"),
      N_ ("MM") },
    { "grid", 0, 0, G_OPTION_ARG_STRING, &options.grid, N_ ("Divide the flat into a grid"),
      N_ ("CxR") },
    { "schedule", 0, 0, G_OPTION_ARG_STRING, &options.schedule,
      N_ ("The stages, parted by commas: “P800, P1200, last look, cut, fine”"), N_ ("TEXT") },
    { "coats", 0, 0, G_OPTION_ARG_INT, &options.n_coats, N_ ("How many coats were sprayed"),
      N_ ("N") },
    { "last-coat", 0, 0, G_OPTION_ARG_STRING, &options.last_coat, N_ ("When the last one was"),
      N_ ("TIME") },
    { "rules", 0, 0, G_OPTION_ARG_FILENAME, &options.rules_path, N_ ("Read FILE over the rules"),
      N_ ("FILE") },
    { 0 },
  };

  if (!cli_parse (&command, "JOB", NULL, entries, &argc, &argv, 1, 1, &code))
    return code;
  rules = cli_load_rules (options.rules_path, &code);
  if (rules == NULL)
    return code;
  draft = plan (&options, rules, argv[1], &code);
  return draft != NULL ? write_new (argv[1], rake_draft_get_entries (draft)) : code;
}
