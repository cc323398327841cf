/* brush-bar.c - what is in the hand, and how the bench is set. */
#include "brush-bar.h"
#include "bench-chip.h"
#include "bench-settings.h"
#include "picture.h"

#include <adwaita.h>
#include "words.h"

#define PICTURE_WIDTH_PX 72
#define PICTURE_HEIGHT_PX 26
#define N_OTHER_COLUMNS 3

struct _RakeBrushBar
{
  RakeSessionView parent_instance;

  GtkWidget *content, *chips, *brushes, *more, *more_label, *more_grid;
  GtkWidget *uniform_label;
  GSimpleActionGroup *bench;
};

G_DEFINE_FINAL_TYPE (RakeBrushBar, rake_brush_bar, RAKE_TYPE_SESSION_VIEW)

/* --- how the bench is set -------------------------------------------------------------------- */

static void
set_setting (RakeBrushBar *self, const RakeBenchSetting *setting, double value)
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
  RakeBrushBar *self = user_data;
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
add_setting (RakeBrushBar *self, const RakeBenchSetting *setting)
{
  g_autoptr (GSimpleAction) action = g_simple_action_new_stateful (
      setting->name, G_VARIANT_TYPE_DOUBLE, g_variant_new_double (setting->values[0]));
  g_autoptr (GMenuModel) menu = new_menu (setting);
  RakeBenchChip *chip = rake_bench_chip_new (
      setting->name, g_dpgettext2 (GETTEXT_PACKAGE, "bench", setting->caption), menu);

  g_signal_connect (action, "activate", G_CALLBACK (choose_value), self);
  g_action_map_add_action (G_ACTION_MAP (self->bench), G_ACTION (action));
  gtk_box_append (GTK_BOX (self->chips), GTK_WIDGET (chip));
}

static void
show_settings (RakeBrushBar *self, const RakeBench *bench)
{
  guint n_settings;
  const RakeBenchSetting *settings = rake_bench_settings_get (&n_settings);
  GtkWidget *chip = gtk_widget_get_first_child (self->chips);

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

/* --- brushes --------------------------------------------------------------------------------- */

/* Short enough to stand under a picture at arm's length; the full words are the logbook's. */
static const char *const brush_labels[RAKE_N_STATE_BRUSHES] = {
  NC_ ("brush", "Low spot"), NC_ ("brush", "Even matte"),   NC_ ("brush", "Scratch"),
  NC_ ("brush", "Witness line"), NC_ ("brush", "Burn"), NC_ ("brush", "Sand-through"),
};

static GtkWidget *
new_brush (const char *word, const char *key, const char *label, GtkWidget **label_widget)
{
  RakeBench bench = { 0 };
  GtkWidget *button = gtk_toggle_button_new ();
  GtkWidget *content = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 5);
  GtkWidget *picture = rake_picture_new (PICTURE_WIDTH_PX, PICTURE_HEIGHT_PX);
  GtkWidget *name = gtk_label_new (label);

  rake_brush_take (&bench, word);
  if (bench.brush_is_uniform)
    rake_picture_show_state (RAKE_PICTURE (picture), RAKE_STATE_UNIFORM);
  else
    rake_picture_show_mark (RAKE_PICTURE (picture), bench.brush);
  gtk_widget_set_halign (picture, GTK_ALIGN_CENTER);
  gtk_widget_set_halign (words, GTK_ALIGN_CENTER);
  if (key)
    {
      GtkWidget *number = gtk_label_new (key);
      gtk_widget_add_css_class (number, "soft");
      gtk_widget_add_css_class (number, "numbers");
      gtk_box_append (GTK_BOX (words), number);
    }
  gtk_box_append (GTK_BOX (words), name);
  gtk_box_append (GTK_BOX (content), picture);
  gtk_box_append (GTK_BOX (content), words);
  gtk_button_set_child (GTK_BUTTON (button), content);
  gtk_widget_add_css_class (button, "brush");
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", word);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "win.brush");
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  -1);
  if (label_widget)
    *label_widget = name;
  return button;
}

static void
add_state_brushes (RakeBrushBar *self)
{
  for (guint i = 0; i < RAKE_N_STATE_BRUSHES; i++)
    {
      const char key[2] = { (char) ('1' + i), '\0' };
      const char *label = g_dpgettext2 (GETTEXT_PACKAGE, "brush", brush_labels[i]);
      const char *word = rake_brush_get_word (i);
      gboolean is_uniform = g_strcmp0 (word, "uniform") == 0;
      GtkWidget *button = new_brush (word, key, label, is_uniform ? &self->uniform_label : NULL);

      gtk_widget_set_hexpand (button, TRUE);
      gtk_box_insert_child_after (GTK_BOX (self->brushes), button,
                                  gtk_widget_get_prev_sibling (self->more));
    }
}

static void
add_other_brushes (RakeBrushBar *self)
{
  const char *word;

  for (guint i = RAKE_N_STATE_BRUSHES; (word = rake_brush_get_word (i)); i++)
    {
      guint cell = i - RAKE_N_STATE_BRUSHES;
      RakeBench bench = { 0 };
      GtkWidget *button;

      rake_brush_take (&bench, word);
      button = new_brush (word, NULL, _ (rake_mark_kind_get_label (bench.brush)), NULL);
      gtk_widget_set_focus_on_click (button, TRUE);
      g_signal_connect_swapped (button, "clicked", G_CALLBACK (gtk_menu_button_popdown),
                                self->more);
      gtk_grid_attach (GTK_GRID (self->more_grid), button, (int) (cell % N_OTHER_COLUMNS),
                       (int) (cell / N_OTHER_COLUMNS), 1, 1);
    }
}

void
rake_brush_bar_show_more (RakeBrushBar *self)
{
  gtk_menu_button_popup (GTK_MENU_BUTTON (self->more));
}

/* "More" is named by the fault in hand, so that one sees what a tap would mark. */
static void
show_brush (RakeBrushBar *self, const RakeBench *bench)
{
  gboolean is_other = bench->brush > RAKE_MARK_SAND_THROUGH;

  gtk_label_set_label (GTK_LABEL (self->more_label),
                       is_other ? _ (rake_mark_kind_get_label (bench->brush)) : _ ("More"));
  if (is_other)
    gtk_widget_add_css_class (self->more, "in-hand");
  else
    gtk_widget_remove_css_class (self->more, "in-hand");
}

/* What is even about an even surface depends on the stage: dull while it is sanded, shining after
 * the wheel. */
static void
show_stage (RakeBrushBar *self, RakeSession *session)
{
  const RakeZone *zone = rake_session_get_zone (session);
  gboolean is_gloss =
      zone && zone->stage &&
      (zone->stage->action == RAKE_ACTION_BUFF || zone->stage->action == RAKE_ACTION_REST);

  gtk_label_set_label (GTK_LABEL (self->uniform_label),
                       is_gloss ? C_ ("brush", "Even gloss") : C_ ("brush", "Even matte"));
}

static void
rake_brush_bar_show (RakeSessionView *view, RakeShow what)
{
  RakeBrushBar *self = RAKE_BRUSH_BAR (view);
  RakeSession *session = rake_session_view_get_session (view);

  gtk_widget_set_sensitive (GTK_WIDGET (self), session != NULL);
  if (!session)
    return;
  if (what == RAKE_SHOW_SESSION || what == RAKE_SHOW_BENCH)
    {
      show_settings (self, rake_session_get_bench (session));
      show_brush (self, rake_session_get_bench (session));
    }
  if (what != RAKE_SHOW_BENCH)
    show_stage (self, session);
}

static void
rake_brush_bar_dispose (GObject *object)
{
  g_clear_object (&RAKE_BRUSH_BAR (object)->bench);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_BRUSH_BAR);
  G_OBJECT_CLASS (rake_brush_bar_parent_class)->dispose (object);
}

static void
rake_brush_bar_class_init (RakeBrushBarClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_brush_bar_dispose;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_brush_bar_show;
  gtk_widget_class_set_css_name (widget_class, "brushbar");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "brush-bar.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, content);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, chips);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, brushes);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, more);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, more_label);
  gtk_widget_class_bind_template_child (widget_class, RakeBrushBar, more_grid);
}

static void
rake_brush_bar_init (RakeBrushBar *self)
{
  static const GActionEntry next[] = { { .name = "next",
                                         .activate = take_next_value,
                                         .parameter_type = "s" } };
  guint n_settings;
  const RakeBenchSetting *settings = rake_bench_settings_get (&n_settings);

  gtk_widget_init_template (GTK_WIDGET (self));
  self->bench = g_simple_action_group_new ();
  g_action_map_add_action_entries (G_ACTION_MAP (self->bench), next, G_N_ELEMENTS (next), self);
  gtk_widget_insert_action_group (GTK_WIDGET (self), "bench", G_ACTION_GROUP (self->bench));
  for (guint i = 0; i < n_settings; i++)
    add_setting (self, &settings[i]);
  add_state_brushes (self);
  add_other_brushes (self);
}
