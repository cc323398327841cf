/* settings.c - what the program remembers between runs. */
#include "settings.h"

#include <math.h>

static GKeyFile *remembered;
static guint writing;

static char *
get_path (void)
{
  return g_build_filename (g_get_user_config_dir (), "rakelight", "settings.ini", NULL);
}

static GKeyFile *
load (void)
{
  if (!remembered)
    {
      g_autofree char *path = get_path ();
      remembered = g_key_file_new ();
      g_key_file_load_from_file (remembered, path, G_KEY_FILE_KEEP_COMMENTS, NULL);
    }
  return remembered;
}

static gboolean
write_late (gpointer user_data)
{
  writing = 0;
  rake_settings_flush ();
  return G_SOURCE_REMOVE;
}

static void
changed (void)
{
  if (writing == 0)
    writing = g_timeout_add_seconds (1, write_late, NULL);
}

void
rake_settings_flush (void)
{
  g_autofree char *path = get_path ();
  g_autofree char *folder = g_path_get_dirname (path);
  g_autoptr (GError) error = NULL;

  if (!remembered)
    return;
  g_clear_handle_id (&writing, g_source_remove);
  g_mkdir_with_parents (folder, 0700);
  if (!g_key_file_save_to_file (remembered, path, &error))
    g_printerr ("rakelight: %s\n", error->message);
}

char *
rake_settings_get_text (const char *group, const char *key)
{
  return g_key_file_get_string (load (), group, key, NULL);
}

void
rake_settings_set_text (const char *group, const char *key, const char *text)
{
  if (text)
    g_key_file_set_string (load (), group, key, text);
  else
    g_key_file_remove_key (load (), group, key, NULL);
  changed ();
}

int
rake_settings_get_number (const char *group, const char *key, int otherwise)
{
  g_autoptr (GError) error = NULL;
  int number = g_key_file_get_integer (load (), group, key, &error);

  return error ? otherwise : number;
}

void
rake_settings_set_number (const char *group, const char *key, int number)
{
  g_key_file_set_integer (load (), group, key, number);
  changed ();
}

static const char *const theme_words[] = { "dark", "light", "desktop" };

RakeThemeChoice
rake_settings_get_theme (void)
{
  g_autofree char *word = rake_settings_get_text ("window", "theme");

  for (guint i = 0; i < G_N_ELEMENTS (theme_words); i++)
    if (g_strcmp0 (word, theme_words[i]) == 0)
      return (RakeThemeChoice) i;
  return RAKE_THEME_CHOICE_DARK;
}

void
rake_settings_set_theme (RakeThemeChoice choice)
{
  rake_settings_set_text ("window", "theme", theme_words[choice]);
}

/* --- units ------------------------------------------------------------------------------------ */

static gboolean
is_set_to (const char *key, const char *word)
{
  g_autofree char *text = rake_settings_get_text ("units", key);

  return g_strcmp0 (text, word) == 0;
}

RakeUnits
rake_settings_get_units (void)
{
  return (RakeUnits){ .film_in_mil = is_set_to ("film", "mil"),
                      .length_in_inch = is_set_to ("length", "inch"),
                      .temperature_in_fahrenheit = is_set_to ("temperature", "F") };
}

void
rake_settings_set_units (RakeUnits units)
{
  rake_settings_set_text ("units", "film", units.film_in_mil ? "mil" : "um");
  rake_settings_set_text ("units", "length", units.length_in_inch ? "inch" : "mm");
  rake_settings_set_text ("units", "temperature", units.temperature_in_fahrenheit ? "F" : "C");
}

/* --- the bench ------------------------------------------------------------------------------- */

/* Words are those of the logbook, so that the file can be read beside docs/entries.md. */
static const RakeField *
get_word_field (RakeEntryKind kind, const char *name)
{
  const RakeField *field = rake_entry_kind_get_fields (kind);

  while (field->name && g_strcmp0 (field->name, name) != 0)
    field++;
  g_assert (field->name && field->type == RAKE_FIELD_WORD);
  return field;
}

static int
get_word (const char *key, RakeEntryKind kind, int otherwise)
{
  g_autofree char *word = rake_settings_get_text ("bench", key);
  int value = word ? rake_field_find_word (get_word_field (kind, key), word) : 0;

  return value ? value : otherwise;
}

static void
set_word (const char *key, RakeEntryKind kind, int value)
{
  rake_settings_set_text ("bench", key,
                          value ? rake_field_get_word (get_word_field (kind, key), value) : NULL);
}

static double
get_real (const char *key, double min, double max, double otherwise)
{
  g_autoptr (GError) error = NULL;
  double value = g_key_file_get_double (load (), "bench", key, &error);

  return error || !isfinite (value) || value < min || value > max ? otherwise : value;
}

void
rake_settings_get_bench (RakeBench *bench)
{
  bench->surface = (RakeSurface) get_word ("surface", RAKE_ENTRY_LOOK, RAKE_SURFACE_DRY);
  bench->wiped_with = (RakeWipe) get_word ("wiped_with", RAKE_ENTRY_LOOK, RAKE_WIPE_DRY_CLOTH);
  bench->light = (RakeLight) get_word ("light", RAKE_ENTRY_LOOK, RAKE_LIGHT_LAMP);
  bench->paper = (RakePaper) get_word ("paper", RAKE_ENTRY_PASS, RAKE_PAPER_UNSAID);
  bench->lamp_deg = get_real ("lamp_deg", 0, 359.999, 300);
  bench->stroke_deg = get_real ("stroke_deg", 0, 359.999, 0);
  bench->brush_radius_mm = get_real ("brush_radius_mm", 0.5, 100, 6);
  bench->brush = RAKE_MARK_UNSAID;
  bench->brush_is_uniform = FALSE;
}

void
rake_settings_set_bench (const RakeBench *bench)
{
  set_word ("surface", RAKE_ENTRY_LOOK, (int) bench->surface);
  set_word ("wiped_with", RAKE_ENTRY_LOOK, (int) bench->wiped_with);
  set_word ("light", RAKE_ENTRY_LOOK, (int) bench->light);
  set_word ("paper", RAKE_ENTRY_PASS, (int) bench->paper);
  g_key_file_set_double (load (), "bench", "lamp_deg", bench->lamp_deg);
  g_key_file_set_double (load (), "bench", "stroke_deg", bench->stroke_deg);
  g_key_file_set_double (load (), "bench", "brush_radius_mm", bench->brush_radius_mm);
  changed ();
}
