/* application.c - the program: its windows, settings, keys and theme. */
#include "application.h"
#include "settings.h"
#include "window.h"

#include "words.h"

struct _RakeApplication
{
  AdwApplication parent_instance;
};

G_DEFINE_FINAL_TYPE (RakeApplication, rake_application, ADW_TYPE_APPLICATION)

/* --- the clock of demonstrations ------------------------------------------------------------- */

static gint64 clock_offset_ms;

static gint64
get_shifted_ms (void)
{
  return g_get_real_time () / 1000 + clock_offset_ms;
}

/* RAKELIGHT_CLOCK_OFFSET_S shifts the program's clock by whole seconds, for demonstrations and
 * tests; entries are stamped with the shifted time. Said on standard error, so that nobody wonders. */
static void
take_clock_offset (void)
{
  const char *text = g_getenv ("RAKELIGHT_CLOCK_OFFSET_S");
  char *end;
  gint64 seconds;

  if (!text)
    return;
  seconds = g_ascii_strtoll (text, &end, 10);
  if (end == text || *end || ABS (seconds) > 100LL * 366 * 24 * 3600)
    {
      g_printerr ("rakelight: RAKELIGHT_CLOCK_OFFSET_S is \"%s\"; expected seconds\n", text);
      return;
    }
  clock_offset_ms = seconds * 1000;
  rake_session_set_clock (get_shifted_ms);
  g_printerr ("rakelight: the clock is shifted by %" G_GINT64_FORMAT " s\n", seconds);
}

/* --- theme ----------------------------------------------------------------------------------- */

static const char *const theme_words[] = { "dark", "light", "desktop" };

/* RAKELIGHT_THEME is for this run alone: nothing of it is remembered. */
static RakeThemeChoice
find_theme (void)
{
  const char *word = g_getenv ("RAKELIGHT_THEME");

  for (guint i = 0; i < G_N_ELEMENTS (theme_words); i++)
    if (g_strcmp0 (word, theme_words[i]) == 0)
      return (RakeThemeChoice) i;
  return rake_settings_get_theme ();
}

static void
apply_theme (RakeThemeChoice choice)
{
  static const AdwColorScheme schemes[] = {
    [RAKE_THEME_CHOICE_DARK] = ADW_COLOR_SCHEME_FORCE_DARK,
    [RAKE_THEME_CHOICE_LIGHT] = ADW_COLOR_SCHEME_FORCE_LIGHT,
    [RAKE_THEME_CHOICE_DESKTOP] = ADW_COLOR_SCHEME_DEFAULT,
  };

  adw_style_manager_set_color_scheme (adw_style_manager_get_default (), schemes[choice]);
}

static void
choose_theme (GSimpleAction *action, GVariant *word, gpointer user_data)
{
  for (guint i = 0; i < G_N_ELEMENTS (theme_words); i++)
    if (g_str_equal (g_variant_get_string (word, NULL), theme_words[i]))
      {
        g_simple_action_set_state (action, word);
        apply_theme ((RakeThemeChoice) i);
        rake_settings_set_theme ((RakeThemeChoice) i);
      }
}

/* --- units ----------------------------------------------------------------------------------- */

static void
say_again_everywhere (GtkApplication *application)
{
  for (GList *item = gtk_application_get_windows (application); item; item = item->next)
    {
      RakeSession *session =
          RAKE_IS_WINDOW (item->data) ? rake_window_get_session (item->data) : NULL;

      if (session)
        rake_session_say_again (session);
    }
}

/* The word in the state of each of the three actions is that of settings.ini. */
static void
choose_unit (GSimpleAction *action, GVariant *word, gpointer user_data)
{
  RakeUnits units = rake_units_get ();
  const char *name = g_action_get_name (G_ACTION (action)),
             *unit = g_variant_get_string (word, NULL);

  if (g_str_equal (name, "film-unit"))
    units.film_in_mil = g_str_equal (unit, "mil");
  else if (g_str_equal (name, "length-unit"))
    units.length_in_inch = g_str_equal (unit, "inch");
  else
    units.temperature_in_fahrenheit = g_str_equal (unit, "F");
  g_simple_action_set_state (action, word);
  rake_units_choose (units);
  rake_settings_set_units (units);
  say_again_everywhere (GTK_APPLICATION (user_data));
}

static void
show_unit (GApplication *application, const char *name, const char *word)
{
  GAction *action = g_action_map_lookup_action (G_ACTION_MAP (application), name);

  g_simple_action_set_state (G_SIMPLE_ACTION (action), g_variant_new_string (word));
}

static void
take_units (GApplication *application)
{
  RakeUnits units = rake_settings_get_units ();

  rake_units_choose (units);
  show_unit (application, "film-unit", units.film_in_mil ? "mil" : "um");
  show_unit (application, "length-unit", units.length_in_inch ? "inch" : "mm");
  show_unit (application, "temperature-unit", units.temperature_in_fahrenheit ? "F" : "C");
}

/* --- the rest -------------------------------------------------------------------------------- */

static void
quit (GSimpleAction *action, GVariant *parameter, gpointer user_data)
{
  g_autoptr (GList) windows =
      g_list_copy (gtk_application_get_windows (GTK_APPLICATION (user_data)));

  /* Closed one by one, so that each remembers its size and its file is folded back into one. */
  for (GList *window = windows; window; window = window->next)
    gtk_window_close (window->data);
}

static void
show_about (GSimpleAction *action, GVariant *parameter, gpointer user_data)
{
  adw_show_about_window (gtk_application_get_active_window (GTK_APPLICATION (user_data)),
                         "application-name", _ ("Rakelight"), "application-icon",
                         RAKE_APPLICATION_ID, "version", RAKE_VERSION, "license-type",
                         GTK_LICENSE_GPL_3_0, "comments",
                         _ ("An inspection logbook for rubbing out clear finishes by hand"), NULL);
}

static RakeWindow *
find_window_of (GApplication *application, const char *path)
{
  for (GList *item = gtk_application_get_windows (GTK_APPLICATION (application)); item;
       item = item->next)
    {
      RakeSession *session =
          RAKE_IS_WINDOW (item->data) ? rake_window_get_session (item->data) : NULL;
      if (path ? session && g_strcmp0 (rake_session_get_path (session), path) == 0
               : RAKE_IS_WINDOW (item->data) && !session)
        return item->data;
    }
  return NULL;
}

static void
rake_application_activate (GApplication *application)
{
  GtkWindow *active = gtk_application_get_active_window (GTK_APPLICATION (application));

  if (!active)
    active = GTK_WINDOW (rake_window_new (GTK_APPLICATION (application)));
  gtk_window_present (active);
}

/* A window a job: one that has it already, one on the shelf, or a new one. */
static void
rake_application_open (GApplication *application, GFile **files, int n_files, const char *hint)
{
  for (int i = 0; i < n_files; i++)
    {
      g_autofree char *path = g_file_get_path (files[i]);
      RakeWindow *window = path ? find_window_of (application, path) : NULL;

      if (!path)
        continue;
      if (!window)
        {
          window = find_window_of (application, NULL);
          if (!window)
            window = rake_window_new (GTK_APPLICATION (application));
          rake_window_open (window, path);
        }
      gtk_window_present (GTK_WINDOW (window));
    }
}

/* GTK 4.8 gives a button the name "_Accept Accept": the label with its underscore, and then the words that
 * the button is labelled by. Those are enough. */
static gboolean
name_by_words (GSignalInvocationHint *hint, guint n_values, const GValue *values,
               gpointer user_data)
{
  gpointer widget = g_value_get_object (&values[0]);

  if (GTK_IS_BUTTON (widget) && gtk_button_get_use_underline (widget))
    gtk_accessible_reset_property (widget, GTK_ACCESSIBLE_PROPERTY_LABEL);
  return TRUE;
}

static void
rake_application_startup (GApplication *application)
{
  static const GActionEntry entries[] = {
    { .name = "quit", .activate = quit },
    { .name = "about", .activate = show_about },
    { .name = "theme", .activate = choose_theme, .parameter_type = "s", .state = "'dark'" },
    { .name = "film-unit", .activate = choose_unit, .parameter_type = "s", .state = "'um'" },
    { .name = "length-unit", .activate = choose_unit, .parameter_type = "s", .state = "'mm'" },
    { .name = "temperature-unit", .activate = choose_unit, .parameter_type = "s", .state = "'C'" },
  };
  static const char *const quit_keys[] = { "<Control>q", NULL };
  static const char *const help_keys[] = { "F1", "<Control>question", NULL };
  static const char *const close_keys[] = { "<Control>w", NULL };
  RakeThemeChoice theme = find_theme ();
  GAction *theme_action;

  G_APPLICATION_CLASS (rake_application_parent_class)->startup (application);
  gtk_window_set_default_icon_name (RAKE_APPLICATION_ID);
  take_clock_offset ();
  g_action_map_add_action_entries (G_ACTION_MAP (application), entries, G_N_ELEMENTS (entries),
                                   application);
  theme_action = g_action_map_lookup_action (G_ACTION_MAP (application), "theme");
  g_simple_action_set_state (G_SIMPLE_ACTION (theme_action),
                             g_variant_new_string (theme_words[theme]));
  apply_theme (theme);
  take_units (application);
  /* The class has its signals once somebody asked for it. */
  g_type_class_unref (g_type_class_ref (GTK_TYPE_WIDGET));
  g_signal_add_emission_hook (g_signal_lookup ("map", GTK_TYPE_WIDGET), 0, name_by_words, NULL,
                              NULL);
  gtk_application_set_accels_for_action (GTK_APPLICATION (application), "app.quit", quit_keys);
  gtk_application_set_accels_for_action (GTK_APPLICATION (application), "win.show-help-overlay",
                                         help_keys);
  gtk_application_set_accels_for_action (GTK_APPLICATION (application), "window.close", close_keys);
}

static void
rake_application_shutdown (GApplication *application)
{
  rake_settings_flush ();
  G_APPLICATION_CLASS (rake_application_parent_class)->shutdown (application);
}

static void
rake_application_class_init (RakeApplicationClass *klass)
{
  GApplicationClass *application_class = G_APPLICATION_CLASS (klass);

  application_class->startup = rake_application_startup;
  application_class->shutdown = rake_application_shutdown;
  application_class->activate = rake_application_activate;
  application_class->open = rake_application_open;
}

static void
rake_application_init (RakeApplication *self)
{
}

RakeApplication *
rake_application_new (void)
{
  return g_object_new (RAKE_TYPE_APPLICATION, "application-id", RAKE_APPLICATION_ID, "flags",
                       G_APPLICATION_HANDLES_OPEN, "resource-base-path", "/org/rakelight/Rakelight",
                       NULL);
}
