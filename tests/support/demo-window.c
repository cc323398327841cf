/* demo-window.c - a small window on which the driver proves that it sees and touches rightly.
 *
 * Whatever happens to it, it says in one label. */
#include <gtk/gtk.h>

static GtkLabel *said;

G_GNUC_PRINTF (1, 2)
static void
say (const char *format, ...)
{
  va_list values;
  g_autofree char *text = NULL;

  va_start (values, format);
  text = g_strdup_vprintf (format, values);
  va_end (values);
  gtk_label_set_text (said, text);
}

/* A plate that can be dragged over, held, turned on with the wheel, pinched, and marked. */
#define DEMO_TYPE_PLATE (demo_plate_get_type ())
G_DECLARE_FINAL_TYPE (DemoPlate, demo_plate, DEMO, PLATE, GtkWidget)

struct _DemoPlate
{
  GtkWidget parent_instance;
};

G_DEFINE_FINAL_TYPE (DemoPlate, demo_plate, GTK_TYPE_WIDGET)

static void
drag_ended (GtkGestureDrag *drag, double dx, double dy)
{
  if (dx != 0 || dy != 0)
    say ("dragged %.0f,%.0f", dx, dy);
}

static void
held (GtkGestureLongPress *press, double x, double y)
{
  say ("held at %.0f,%.0f", x, y);
}

static gboolean
turned (GtkEventControllerScroll *scroll, double dx, double dy)
{
  say ("turned %.0f", dy);
  return TRUE;
}

static void
pinched (GtkGestureZoom *zoom, double scale)
{
  say ("pinched to %.1f", scale);
}

static void
mark (GtkWidget *widget, const char *name, GVariant *parameter)
{
  say ("marked");
}

static void
demo_plate_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  float width = (float) gtk_widget_get_width (widget);
  float height = (float) gtk_widget_get_height (widget);
  static const GdkRGBA brown = { 0.36f, 0.23f, 0.14f, 1 };
  static const GdkRGBA yellow = { 1, 0.82f, 0.47f, 1 };

  gtk_snapshot_append_color (snapshot, &brown, &GRAPHENE_RECT_INIT (0, 0, width, height));
  gtk_snapshot_append_color (snapshot, &yellow, &GRAPHENE_RECT_INIT (0, 0, width / 4, height / 4));
}

static void
demo_plate_class_init (DemoPlateClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  widget_class->snapshot = demo_plate_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_widget_class_install_action (widget_class, "plate.mark", NULL, mark);
}

static void
listen_with (DemoPlate *self, gpointer controller, const char *signal, GCallback callback)
{
  g_signal_connect (controller, signal, callback, NULL);
  gtk_widget_add_controller (GTK_WIDGET (self), controller);
}

static void
demo_plate_init (DemoPlate *self)
{
  GtkWidget *widget = GTK_WIDGET (self);

  listen_with (self, gtk_gesture_drag_new (), "drag-end", G_CALLBACK (drag_ended));
  listen_with (self, gtk_gesture_long_press_new (), "pressed", G_CALLBACK (held));
  listen_with (self, gtk_gesture_zoom_new (), "scale-changed", G_CALLBACK (pinched));
  listen_with (self, gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_VERTICAL),
               "scroll", G_CALLBACK (turned));
  gtk_widget_set_vexpand (widget, TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, "Plate",
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, "where the fingers go", -1);
}

static void
pressed (GtkButton *button)
{
  say ("pressed");
}

static void
typed (GtkEditable *editable)
{
  say ("typed %s", gtk_editable_get_text (editable));
}

static void
counted (GtkSpinButton *spin)
{
  say ("counted %d", gtk_spin_button_get_value_as_int (spin));
}

static void
chosen (GSimpleAction *action, GVariant *parameter, gpointer user_data)
{
  say ("chosen");
}

static void
give_actions (GtkApplication *application, GtkWindow *window)
{
  static const GActionEntry entries[] = { { .name = "choose", .activate = chosen } };
  static const char *const keys[] = { "<Control>b", NULL };

  g_action_map_add_action_entries (G_ACTION_MAP (window), entries, G_N_ELEMENTS (entries), NULL);
  gtk_application_set_accels_for_action (application, "win.choose", keys);
  gtk_application_set_accels_for_action (application, "window.close",
                                         (const char *[]){ "<Control>w", NULL });
}

static void
add (GtkWidget *box, GtkWidget *child, const char *name)
{
  if (name)
    gtk_accessible_update_property (GTK_ACCESSIBLE (child), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                    -1);
  gtk_box_append (GTK_BOX (box), child);
}

static void
show_window (GtkApplication *application)
{
  GtkWidget *window = gtk_application_window_new (application);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkWidget *button = gtk_button_new_with_label ("Press");
  GtkWidget *entry = gtk_entry_new ();
  GtkWidget *spin = gtk_spin_button_new_with_range (0, 9, 1);
  GtkWidget *more = gtk_menu_button_new ();
  g_autoptr (GMenu) menu = g_menu_new ();
  GtkWidget *label = gtk_label_new ("nothing yet");

  said = GTK_LABEL (label);
  g_menu_append (menu, "Choose", "win.choose");
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (more), G_MENU_MODEL (menu));
  g_signal_connect (button, "clicked", G_CALLBACK (pressed), NULL);
  g_signal_connect (entry, "changed", G_CALLBACK (typed), NULL);
  g_signal_connect (spin, "value-changed", G_CALLBACK (counted), NULL);
  add (box, button, NULL);
  add (box, entry, "Note");
  add (box, spin, "Count");
  add (box, gtk_check_button_new_with_label ("Tick"), NULL);
  add (box, more, "More");
  add (box, g_object_new (DEMO_TYPE_PLATE, NULL), NULL);
  add (box, label, NULL);
  give_actions (application, GTK_WINDOW (window));
  gtk_window_set_title (GTK_WINDOW (window), "Plate demo");
  gtk_window_set_default_size (GTK_WINDOW (window), 480, 420);
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_window_present (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  g_autoptr (GtkApplication) application =
      gtk_application_new ("org.rakelight.PlateDemo", G_APPLICATION_NON_UNIQUE);

  g_signal_connect (application, "activate", G_CALLBACK (show_window), NULL);
  return g_application_run (G_APPLICATION (application), argc, argv);
}
