/* slip-words.c - what a slip is made of. */
#include "slip-words.h"
#include "wrap-layout.h"

void
rake_slip_empty (GtkWidget *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (box)))
    gtk_box_remove (GTK_BOX (box), child);
}

GtkWidget *
rake_slip_add_words (GtkWidget *box, const char *text, const char *css_class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_selectable (GTK_LABEL (label), FALSE);
  if (css_class)
    gtk_widget_add_css_class (label, css_class);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

void
rake_slip_add_heading (GtkWidget *box, const char *text)
{
  GtkWidget *label = rake_slip_add_words (box, text, "section-heading");

  gtk_widget_set_margin_top (label, 8);
}

void
rake_slip_add_fact (GtkWidget *box, const char *caption, const char *value)
{
  GtkWidget *pair, *words;

  if (!value || !*value)
    return;
  pair = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  words = rake_slip_add_words (pair, caption, "soft");
  gtk_widget_add_css_class (words, "small");
  rake_slip_add_words (pair, value, "numbers");
  gtk_box_append (GTK_BOX (box), pair);
}

GtkWidget *
rake_slip_add_buttons (GtkWidget *box)
{
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  GtkLayoutManager *layout = g_object_new (RAKE_TYPE_WRAP_LAYOUT, "spacing", 6, NULL);

  gtk_widget_set_layout_manager (buttons, layout);
  gtk_box_append (GTK_BOX (box), buttons);
  return buttons;
}

GtkWidget *
rake_slip_add_button (GtkWidget *buttons, const char *label, const char *described_as,
                      const char *action, RakeId target)
{
  GtkWidget *button = gtk_button_new_with_mnemonic (label);
  char id[RAKE_ID_TEXT_LENGTH + 1] = "";

  if (!rake_id_is_nil (target))
    rake_id_to_text (target, id);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", id);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_widget_add_css_class (button, "row-button");
  if (described_as)
    gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                    described_as, -1);
  gtk_box_append (GTK_BOX (buttons), button);
  return button;
}

static void
let_wrap (GtkWidget *label, GtkJustification justification)
{
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  /* Only where there is no room: of itself GTK would break "Reading…" to make it squarer. */
  gtk_label_set_natural_wrap_mode (GTK_LABEL (label), GTK_NATURAL_WRAP_NONE);
  gtk_label_set_justify (GTK_LABEL (label), justification);
}

void
rake_slip_let_wrap (GtkWidget *root)
{
  GtkWidget *parent = gtk_widget_get_parent (root);

  if (GTK_IS_LABEL (root) && GTK_IS_BUTTON (parent))
    let_wrap (root, GTK_JUSTIFY_CENTER);
  else if (GTK_IS_LABEL (root) &&
           (GTK_IS_CHECK_BUTTON (parent) || gtk_widget_has_css_class (root, "section-heading")))
    let_wrap (root, GTK_JUSTIFY_LEFT);
  for (GtkWidget *child = gtk_widget_get_first_child (root); child;
       child = gtk_widget_get_next_sibling (child))
    rake_slip_let_wrap (child);
}
