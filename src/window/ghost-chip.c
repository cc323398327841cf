/* ghost-chip.c - "there" and "gone", beside a mark from before. */
#include "ghost-chip.h"

#include "words.h"

struct _RakeGhostChip
{
  GtkWidget parent_instance;

  RakeId mark;
};

G_DEFINE_FINAL_TYPE (RakeGhostChip, rake_ghost_chip, GTK_TYPE_WIDGET)

static void
rake_ghost_chip_dispose (GObject *object)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))))
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (rake_ghost_chip_parent_class)->dispose (object);
}

static void
rake_ghost_chip_class_init (RakeGhostChipClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_ghost_chip_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "ghostchip");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
rake_ghost_chip_init (RakeGhostChip *self)
{
  gtk_widget_add_css_class (GTK_WIDGET (self), "linked");
}

static void
add_button (RakeGhostChip *self, const char *label, const char *action, const char *spoken)
{
  GtkWidget *button = gtk_button_new_with_label (label);
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (self->mark, text);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", text);
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, spoken,
                                  -1);
  gtk_widget_set_parent (button, GTK_WIDGET (self));
}

RakeGhostChip *
rake_ghost_chip_new (RakeId mark, const char *name)
{
  RakeGhostChip *self = g_object_new (RAKE_TYPE_GHOST_CHIP, NULL);
  /* Translators: what a screen reader says; %s is a mark, "Scratch, 49 mm". */
  g_autofree char *there = g_strdup_printf (_ ("Still there: %s"), name);
  g_autofree char *gone = g_strdup_printf (_ ("Gone: %s"), name);

  self->mark = mark;
  add_button (self, C_ ("mark looked at again", "There"), "win.still-there", there);
  add_button (self, C_ ("mark looked at again", "Gone"), "win.gone", gone);
  return self;
}

RakeId
rake_ghost_chip_get_mark (RakeGhostChip *self)
{
  return self->mark;
}
