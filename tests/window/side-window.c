/* side-window.c - a window around one widget, for tests of what stands around the map. */
#include "side-window.h"

#include <string.h>

struct _SideWindow
{
  GtkWidget *window, *widget;
  gboolean is_gone[2];
  char *asked;
};

static GtkApplication *application;

static void
do_nothing (void)
{
}

int
side_set_up_group (void **state)
{
  g_autoptr (GError) error = NULL;

  application =
      GTK_APPLICATION (adw_application_new ("org.rakelight.Test", G_APPLICATION_NON_UNIQUE));
  g_object_set (application, "resource-base-path", "/org/rakelight/Rakelight", NULL);
  g_signal_connect (application, "activate", G_CALLBACK (do_nothing), NULL);
  assert_true (g_application_register (G_APPLICATION (application), NULL, &error));
  return 0;
}

GtkApplication *
side_get_application (void)
{
  return application;
}

static void
note_asked (GSimpleAction *action, GVariant *parameter, gpointer user_data)
{
  SideWindow *self = user_data;

  g_free (self->asked);
  self->asked = g_strdup_printf ("win.%s %s", g_action_get_name (G_ACTION (action)),
                                 g_variant_get_string (parameter, NULL));
}

static void
add_actions (SideWindow *self)
{
  static const char *const names[] = { "accept",      "repair", "zone-facts", "say-share", "note",
                                       "begin-stage", "strike", "still-there", "gone" };
  g_autoptr (GSimpleActionGroup) group = g_simple_action_group_new ();

  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autoptr (GSimpleAction) action = g_simple_action_new (names[i], G_VARIANT_TYPE_STRING);
      g_signal_connect (action, "activate", G_CALLBACK (note_asked), self);
      g_action_map_add_action (G_ACTION_MAP (group), G_ACTION (action));
    }
  gtk_widget_insert_action_group (self->window, "win", G_ACTION_GROUP (group));
}

void
side_window_settle (SideWindow *self)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
  gtk_widget_queue_draw (self->window);
  gtk_test_widget_wait_for_draw (self->window);
}

SideWindow *
side_window_show (GtkWidget *widget, int width_px, int height_px)
{
  SideWindow *self = g_new0 (SideWindow, 1);

  self->window = adw_application_window_new (application);
  self->widget = widget;
  self->asked = g_strdup ("");
  gtk_window_set_default_size (GTK_WINDOW (self->window), width_px, height_px);
  add_actions (self);
  adw_application_window_set_content (ADW_APPLICATION_WINDOW (self->window), widget);
  gtk_window_present (GTK_WINDOW (self->window));
  side_window_settle (self);
  return self;
}

GtkWindow *
side_window_get_window (SideWindow *self)
{
  return GTK_WINDOW (self->window);
}

char *
side_window_take_asked (SideWindow *self)
{
  char *asked = g_steal_pointer (&self->asked);

  self->asked = g_strdup ("");
  return asked;
}

static void
note_gone (gpointer is_gone, GObject *where_it_was)
{
  *(gboolean *) is_gone = TRUE;
}

/* A leaked widget stays reachable through GTK's own tables, so no leak checker sees it. */
void
side_window_close (SideWindow *self)
{
  g_object_weak_ref (G_OBJECT (self->window), note_gone, &self->is_gone[0]);
  g_object_weak_ref (G_OBJECT (self->widget), note_gone, &self->is_gone[1]);
  gtk_window_destroy (GTK_WINDOW (self->window));
  for (int i = 0; i < 100 && !(self->is_gone[0] && self->is_gone[1]); i++)
    g_main_context_iteration (NULL, FALSE);
  assert_true (self->is_gone[0]);
  assert_true (self->is_gone[1]);
  g_free (self->asked);
  g_free (self);
}

/* --- reading --------------------------------------------------------------------------------- */

GtkWidget *
side_find (GtkWidget *root, GType type)
{
  if (!gtk_widget_get_mapped (root))
    return NULL;
  if (g_type_is_a (G_OBJECT_TYPE (root), type))
    return root;
  for (GtkWidget *child = gtk_widget_get_first_child (root); child;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = side_find (child, type);
      if (found)
        return found;
    }
  return NULL;
}

GtkWidget *
side_find_labelled (GtkWidget *root, const char *label)
{
  if (!gtk_widget_get_mapped (root))
    return NULL;
  if (GTK_IS_BUTTON (root) && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (root)), label) == 0)
    return root;
  if (GTK_IS_LABEL (root) && g_strcmp0 (gtk_label_get_text (GTK_LABEL (root)), label) == 0)
    return root;
  for (GtkWidget *child = gtk_widget_get_first_child (root); child;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = side_find_labelled (child, label);
      if (found)
        return found;
    }
  return NULL;
}

static void
read_into (GtkWidget *root, GString *text)
{
  if (!gtk_widget_get_mapped (root) || !gtk_widget_get_child_visible (root))
    return;
  if (GTK_IS_LABEL (root))
    g_string_append_printf (text, "%s\n", gtk_label_get_text (GTK_LABEL (root)));
  for (GtkWidget *child = gtk_widget_get_first_child (root); child;
       child = gtk_widget_get_next_sibling (child))
    read_into (child, text);
}

char *
side_read (GtkWidget *root)
{
  GString *text = g_string_new (NULL);

  read_into (root, text);
  return g_string_free (text, FALSE);
}

void
side_assert_reads (GtkWidget *root, const char *part)
{
  g_autofree char *text = side_read (root);

  if (!strstr (text, part))
    fail_msg ("shown is\n%sexpected in it \"%s\"", text, part);
}

void
side_assert_does_not_read (GtkWidget *root, const char *part)
{
  g_autofree char *text = side_read (root);

  if (strstr (text, part))
    fail_msg ("shown is\n%snot expected in it \"%s\"", text, part);
}
