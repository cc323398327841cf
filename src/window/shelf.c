/* shelf.c - the job files of the shop's folder as cards. */
#include "shelf.h"

#include "shelf-card.h"
#include "shop-folder.h"

#include <adwaita.h>
#include <glib/gi18n.h>
#include <string.h>

struct _RakeShelf
{
  GtkWidget parent_instance;

  RakeSession *session;
  RakeRules *rules;
  GtkFileChooserNative *chooser;
  guint reading_id;

  GtkWidget *content;
  GtkStack *pages;
  GtkFlowBox *cards;
  GtkLabel *folder;
};

enum
{
  PROP_0,
  PROP_SESSION,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

G_DEFINE_FINAL_TYPE (RakeShelf, rake_shelf, GTK_TYPE_WIDGET)

static RakeShelfCard *
get_card (RakeShelf *self, int index)
{
  GtkFlowBoxChild *child = gtk_flow_box_get_child_at_index (self->cards, index);

  return child != NULL ? RAKE_SHELF_CARD (gtk_flow_box_child_get_child (child)) : NULL;
}

static gboolean
read_next (gpointer user_data)
{
  RakeShelf *self = user_data;
  RakeShelfCard *card;

  for (int i = 0; (card = get_card (self, i)) != NULL; i++)
    if (rake_shelf_card_read (card, self->rules, g_get_real_time () / 1000))
      return G_SOURCE_CONTINUE;
  self->reading_id = 0;
  return G_SOURCE_REMOVE;
}

/* The home folder as everybody writes it: its own name says nothing to its owner. */
static void
show_path (GtkLabel *label, const char *path)
{
  const char *home = g_get_home_dir ();
  g_autofree char *words = g_str_has_prefix (path, home)
                               ? g_strconcat ("~", path + strlen (home), NULL)
                               : g_strdup (path);

  gtk_label_set_text (label, words);
}

static void
show_folder (RakeShelf *self)
{
  g_autoptr (GPtrArray) paths = rake_shop_folder_list ();
  g_autofree char *folder = rake_shop_folder_get ();
  GtkWidget *child;

  show_path (self->folder, folder);
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->cards))) != NULL)
    gtk_flow_box_remove (self->cards, child);
  for (guint i = 0; i < paths->len; i++)
    {
      GtkWidget *card = rake_shelf_card_new (paths->pdata[i]);

      gtk_flow_box_append (self->cards, card);
      /* The card itself takes the keys; its box would be one more stop on the way. */
      gtk_widget_set_focusable (gtk_widget_get_parent (card), FALSE);
    }
  gtk_stack_set_visible_child_name (self->pages, paths->len > 0 ? "cards" : "empty");
  if (self->reading_id == 0)
    self->reading_id = g_idle_add (read_next, self);
}

static void
rake_shelf_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_shelf_parent_class)->map (widget);
  show_folder (RAKE_SHELF (widget));
}

static void
on_chosen (RakeShelf *self, int response)
{
  g_autoptr (GFile) file = NULL;
  g_autofree char *path = NULL;
  gboolean is_folder = gtk_file_chooser_get_action (GTK_FILE_CHOOSER (self->chooser)) ==
                       GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER;

  if (response == GTK_RESPONSE_ACCEPT)
    file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (self->chooser));
  path = file != NULL ? g_file_get_path (file) : NULL;
  g_clear_object (&self->chooser);
  if (path == NULL)
    return;
  if (is_folder)
    {
      rake_shop_folder_set (path);
      show_folder (self);
    }
  else
    gtk_widget_activate_action (GTK_WIDGET (self), "win.open-job", "s", path);
}

static void
choose (RakeShelf *self, GtkFileChooserAction action, const char *title)
{
  g_clear_object (&self->chooser);
  self->chooser =
      gtk_file_chooser_native_new (title, GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))),
                                   action, _ ("Open"), _ ("Cancel"));
  if (action == GTK_FILE_CHOOSER_ACTION_OPEN)
    {
      g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

      gtk_file_filter_set_name (filter, _ ("Job files"));
      gtk_file_filter_add_suffix (filter, "rakejob");
      gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
    }
  g_signal_connect_swapped (self->chooser, "response", G_CALLBACK (on_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static void
choose_folder (GtkWidget *widget, const char *action, GVariant *parameter)
{
  choose (RAKE_SHELF (widget), GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER, _ ("The shop’s folder"));
}

static void
open_file (GtkWidget *widget, const char *action, GVariant *parameter)
{
  choose (RAKE_SHELF (widget), GTK_FILE_CHOOSER_ACTION_OPEN, _ ("Open a job file"));
}

static void
rake_shelf_dispose (GObject *object)
{
  RakeShelf *self = RAKE_SHELF (object);

  g_clear_handle_id (&self->reading_id, g_source_remove);
  g_clear_object (&self->session);
  g_clear_object (&self->chooser);
  g_clear_pointer (&self->rules, rake_rules_unref);
  gtk_widget_dispose_template (GTK_WIDGET (self), RAKE_TYPE_SHELF);
  G_OBJECT_CLASS (rake_shelf_parent_class)->dispose (object);
}

static void
rake_shelf_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, RAKE_SHELF (object)->session);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_shelf_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_set_object (&RAKE_SHELF (object)->session, g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_shelf_class_init (RakeShelfClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = rake_shelf_dispose;
  object_class->get_property = rake_shelf_get_property;
  object_class->set_property = rake_shelf_set_property;
  widget_class->map = rake_shelf_map;
  props[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);

  gtk_widget_class_set_template_from_resource (widget_class,
                                               "/org/rakelight/Rakelight/ui/shelf.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeShelf, content);
  gtk_widget_class_bind_template_child (widget_class, RakeShelf, pages);
  gtk_widget_class_bind_template_child (widget_class, RakeShelf, cards);
  gtk_widget_class_bind_template_child (widget_class, RakeShelf, folder);
  gtk_widget_class_install_action (widget_class, "shelf.choose-folder", NULL, choose_folder);
  gtk_widget_class_install_action (widget_class, "shelf.open-file", NULL, open_file);
}

static void
rake_shelf_init (RakeShelf *self)
{
  self->rules = rake_rules_new ("rakelight.rules", rake_rules_get_builtin_text (), NULL, NULL);
  gtk_widget_init_template (GTK_WIDGET (self));
}
