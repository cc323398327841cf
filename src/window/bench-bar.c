/* bench-bar.c - how the bench is set, a chip a setting. */
#include "bench-bar.h"
#include "bench-chip.h"
#include "bench-settings.h"
#include "photo-under-chip.h"

#include "words.h"

struct _RakeBenchBar
{
  RakeSessionView parent_instance;

  GSimpleActionGroup *bench;
  GtkWidget *paper, *wheel; /* chips: at a buff stage a wheel takes the paper's place */
  GtkWidget *under;
};

G_DEFINE_FINAL_TYPE (RakeBenchBar, rake_bench_bar, RAKE_TYPE_SESSION_VIEW)

static void
set_setting (RakeBenchBar *self, const RakeBenchSetting *setting, double value)
{
  RakeSession *session = rake_session_view_get_session (self);
  RakeBench bench;

  if (!session)
    return;
  bench = *rake_session_get_bench (session);
  setting->set (&bench, value);
  rake_session_set_bench (session, &bench);
}

static void
choose_value (GSimpleAction *action, GVariant *value, gpointer user_data)
{
  set_setting (user_data, rake_bench_settings_find (g_action_get_name (G_ACTION (action))),
               g_variant_get_double (value));
}

static void
take_next_value (GSimpleAction *action, GVariant *name, gpointer user_data)
{
  RakeBenchBar *self = user_data;
  RakeSession *session = rake_session_view_get_session (self);
  const RakeBenchSetting *setting = rake_bench_settings_find (g_variant_get_string (name, NULL));

  if (!session || !setting)
    return;
  /* The lamp's next place is not a list's: it is across the strokes, then across itself. */
  if (g_strcmp0 (setting->name, "lamp") == 0)
    set_setting (self, setting, rake_session_get_lamp_across_deg (session));
  else
    set_setting (self, setting,
                 rake_bench_setting_get_next (setting, rake_session_get_bench (session)));
}

static GMenuModel *
new_menu (const RakeBenchSetting *setting)
{
  GMenu *menu = g_menu_new ();

  for (guint i = 0; i < setting->n_values; i++)
    {
      g_autofree char *label = setting->say (setting->values[i]);
      g_autofree char *action = g_strconcat ("bench.", setting->name, NULL);
      g_autoptr (GMenuItem) item = g_menu_item_new (label, NULL);

      g_menu_item_set_action_and_target_value (item, action,
                                               g_variant_new_double (setting->values[i]));
      g_menu_append_item (menu, item);
    }
  return G_MENU_MODEL (menu);
}

static void
add_setting (RakeBenchBar *self, const RakeBenchSetting *setting)
{
  g_autoptr (GSimpleAction) action = g_simple_action_new_stateful (
      setting->name, G_VARIANT_TYPE_DOUBLE, g_variant_new_double (setting->values[0]));
  g_autoptr (GMenuModel) menu = new_menu (setting);
  RakeBenchChip *chip = rake_bench_chip_new (
      setting->name, g_dpgettext2 (GETTEXT_PACKAGE, "bench", setting->caption), menu);

  if (g_str_equal (setting->name, "paper"))
    self->paper = GTK_WIDGET (chip);
  g_signal_connect (action, "activate", G_CALLBACK (choose_value), self);
  g_action_map_add_action (G_ACTION_MAP (self->bench), G_ACTION (action));
  gtk_widget_set_parent (GTK_WIDGET (chip), GTK_WIDGET (self));
}

static void
show_settings (RakeBenchBar *self, const RakeBench *bench)
{
  guint n_settings;
  const RakeBenchSetting *settings = rake_bench_settings_get (&n_settings);
  GtkWidget *chip = gtk_widget_get_first_child (GTK_WIDGET (self));

  for (guint i = 0; i < n_settings; i++, chip = gtk_widget_get_next_sibling (chip))
    {
      double value = settings[i].get (bench);
      g_autofree char *words = settings[i].say (value);
      GAction *action = g_action_map_lookup_action (G_ACTION_MAP (self->bench), settings[i].name);

      g_simple_action_set_state (G_SIMPLE_ACTION (action), g_variant_new_double (value));
      rake_bench_chip_show (RAKE_BENCH_CHIP (chip), words);
      if (settings[i].is_direction && g_strcmp0 (settings[i].name, "lamp") == 0)
        rake_picture_show_lamp (rake_bench_chip_get_picture (RAKE_BENCH_CHIP (chip)), value);
      else if (settings[i].is_direction)
        rake_picture_show_strokes (rake_bench_chip_get_picture (RAKE_BENCH_CHIP (chip)), value);
    }
}

static void
show_wheel (RakeBenchBar *self, RakeSession *session)
{
  const RakeZone *zone = rake_session_get_zone (session);
  const RakeStage *stage = zone ? zone->stage : NULL;
  gboolean is_buffing = stage && stage->action == RAKE_ACTION_BUFF;
  const RakeEntry *entry = NULL;
  RakeId wheel = RAKE_ID_NIL;
  const char *words;

  gtk_widget_set_visible (self->wheel, is_buffing);
  gtk_widget_set_visible (self->paper, !is_buffing);
  if (!is_buffing)
    return;
  if (!rake_session_get_wheel (session, stage, &wheel))
    words = C_ ("wheel", "Not said");
  else
    {
      entry = rake_job_find_wheel (rake_session_get_job (session), wheel);
      words = entry ? entry->wheel.name : C_ ("wheel", "None");
    }
  rake_bench_chip_show (RAKE_BENCH_CHIP (self->wheel), words);
}

static void
rake_bench_bar_show (RakeSessionView *view, RakeShow what)
{
  RakeSession *session = rake_session_view_get_session (view);

  gtk_widget_set_sensitive (GTK_WIDGET (view), session != NULL);
  if (what == RAKE_SHOW_SESSION)
    g_object_set (RAKE_BENCH_BAR (view)->under, "session", session, NULL);
  if (session && (what == RAKE_SHOW_SESSION || what == RAKE_SHOW_BENCH))
    show_settings (RAKE_BENCH_BAR (view), rake_session_get_bench (session));
  if (session && what != RAKE_SHOW_THEME)
    show_wheel (RAKE_BENCH_BAR (view), session);
}

static void
rake_bench_bar_dispose (GObject *object)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))))
    gtk_widget_unparent (child);
  g_clear_object (&RAKE_BENCH_BAR (object)->bench);
  G_OBJECT_CLASS (rake_bench_bar_parent_class)->dispose (object);
}

static void
rake_bench_bar_class_init (RakeBenchBarClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_bench_bar_dispose;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_bench_bar_show;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_css_name (widget_class, "benchbar");
}

static void
rake_bench_bar_init (RakeBenchBar *self)
{
  static const GActionEntry next[] = { { .name = "next",
                                         .activate = take_next_value,
                                         .parameter_type = "s" } };
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));
  guint n_settings;
  const RakeBenchSetting *settings = rake_bench_settings_get (&n_settings);

  gtk_orientable_set_orientation (GTK_ORIENTABLE (layout), GTK_ORIENTATION_VERTICAL);
  gtk_box_layout_set_spacing (GTK_BOX_LAYOUT (layout), 2);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("How the bench is set"), -1);
  self->bench = g_simple_action_group_new ();
  g_action_map_add_action_entries (G_ACTION_MAP (self->bench), next, G_N_ELEMENTS (next), self);
  gtk_widget_insert_action_group (GTK_WIDGET (self), "bench", G_ACTION_GROUP (self->bench));
  for (guint i = 0; i < n_settings; i++)
    add_setting (self, &settings[i]);
  self->wheel = GTK_WIDGET (rake_bench_chip_new_asking ("win.choose-wheel", C_ ("bench", "Wheel")));
  gtk_widget_set_visible (self->wheel, FALSE);
  gtk_widget_set_parent (self->wheel, GTK_WIDGET (self));
  self->under = GTK_WIDGET (rake_photo_under_chip_new ());
  gtk_widget_set_parent (self->under, GTK_WIDGET (self));
}
