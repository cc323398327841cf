/* bench-chip.c - one setting of the bench. */
#include "bench-chip.h"

#include "words.h"

#define PICTURE_PX 24

struct _RakeBenchChip
{
  GtkWidget parent_instance;

  GtkWidget *button, *caption, *value, *picture, *menu;
};

G_DEFINE_FINAL_TYPE (RakeBenchChip, rake_bench_chip, GTK_TYPE_WIDGET)

static void
show_menu (GtkWidget *widget, const char *name, GVariant *parameter)
{
  RakeBenchChip *self = RAKE_BENCH_CHIP (widget);

  if (gtk_popover_menu_get_menu_model (GTK_POPOVER_MENU (self->menu)))
    gtk_popover_popup (GTK_POPOVER (self->menu));
  else
    g_signal_emit_by_name (self->button, "clicked");
}

static void
pressed (RakeBenchChip *self)
{
  show_menu (GTK_WIDGET (self), NULL, NULL);
}

static void
long_pressed (GtkGestureLongPress *gesture, double x, double y, RakeBenchChip *self)
{
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  pressed (self);
}

static void
rake_bench_chip_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  RakeBenchChip *self = RAKE_BENCH_CHIP (widget);

  gtk_widget_allocate (self->button, width, height, baseline, NULL);
  gtk_popover_present (GTK_POPOVER (self->menu));
}

static void
rake_bench_chip_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                         int *natural, int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (RAKE_BENCH_CHIP (widget)->button, orientation, for_size, minimum, natural,
                      minimum_baseline, natural_baseline);
}

static void
rake_bench_chip_dispose (GObject *object)
{
  RakeBenchChip *self = RAKE_BENCH_CHIP (object);

  g_clear_pointer (&self->menu, gtk_widget_unparent);
  g_clear_pointer (&self->button, gtk_widget_unparent);
  G_OBJECT_CLASS (rake_bench_chip_parent_class)->dispose (object);
}

static void
rake_bench_chip_class_init (RakeBenchChipClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_bench_chip_dispose;
  widget_class->measure = rake_bench_chip_measure;
  widget_class->size_allocate = rake_bench_chip_size_allocate;
  gtk_widget_class_set_css_name (widget_class, "benchchip");
  gtk_widget_class_install_action (widget_class, "chip.show-all", NULL, show_menu);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Menu, 0, "chip.show-all", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_F10, GDK_SHIFT_MASK, "chip.show-all",
                                       NULL);
}

static void
add_gestures (RakeBenchChip *self)
{
  GtkGesture *click = gtk_gesture_click_new ();
  GtkGesture *long_press = gtk_gesture_long_press_new ();

  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (click), GDK_BUTTON_SECONDARY);
  g_signal_connect_swapped (click, "pressed", G_CALLBACK (pressed), self);
  g_signal_connect (long_press, "pressed", G_CALLBACK (long_pressed), self);
  gtk_event_controller_set_propagation_phase (GTK_EVENT_CONTROLLER (long_press), GTK_PHASE_CAPTURE);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (long_press));
}

static void
rake_bench_chip_init (RakeBenchChip *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  self->button = gtk_button_new ();
  gtk_widget_set_focus_on_click (self->button, FALSE);
  self->picture = rake_picture_new (PICTURE_PX, PICTURE_PX);
  gtk_widget_set_visible (self->picture, FALSE);
  gtk_widget_set_valign (self->picture, GTK_ALIGN_CENTER);
  self->caption = gtk_label_new (NULL);
  self->value = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->caption), 0);
  gtk_label_set_xalign (GTK_LABEL (self->value), 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->caption), PANGO_ELLIPSIZE_END);
  gtk_label_set_ellipsize (GTK_LABEL (self->value), PANGO_ELLIPSIZE_END);
  gtk_widget_add_css_class (self->caption, "caption");
  gtk_widget_add_css_class (self->value, "value");
  gtk_widget_set_valign (words, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (words), self->caption);
  gtk_box_append (GTK_BOX (words), self->value);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (row), words);
  gtk_box_append (GTK_BOX (row), self->picture);
  gtk_button_set_child (GTK_BUTTON (self->button), row);
  gtk_widget_set_parent (self->button, GTK_WIDGET (self));
  self->menu = gtk_popover_menu_new_from_model (NULL);
  gtk_popover_set_position (GTK_POPOVER (self->menu), GTK_POS_TOP);
  gtk_widget_set_parent (self->menu, GTK_WIDGET (self));
  add_gestures (self);
}

RakeBenchChip *
rake_bench_chip_new (const char *name, const char *caption, GMenuModel *menu)
{
  RakeBenchChip *self = g_object_new (RAKE_TYPE_BENCH_CHIP, NULL);

  gtk_label_set_label (GTK_LABEL (self->caption), caption);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (self->button), "s", name);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->button), "bench.next");
  gtk_popover_menu_set_menu_model (GTK_POPOVER_MENU (self->menu), menu);
  return self;
}

RakeBenchChip *
rake_bench_chip_new_asking (const char *action, const char *caption)
{
  RakeBenchChip *self = g_object_new (RAKE_TYPE_BENCH_CHIP, NULL);

  gtk_label_set_label (GTK_LABEL (self->caption), caption);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->button), action);
  return self;
}

void
rake_bench_chip_show (RakeBenchChip *self, const char *value)
{
  g_autofree char *spoken = NULL;

  gtk_label_set_label (GTK_LABEL (self->value), value);
  /* Translators: a setting of the bench and its value: "Surface: Dry". */
  spoken = g_strdup_printf (C_ ("setting", "%s: %s"),
                            gtk_label_get_label (GTK_LABEL (self->caption)), value);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  spoken, -1);
}

RakePicture *
rake_bench_chip_get_picture (RakeBenchChip *self)
{
  gtk_widget_set_visible (self->picture, TRUE);
  return RAKE_PICTURE (self->picture);
}
