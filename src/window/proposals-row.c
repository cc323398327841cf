/* proposals-row.c - see proposals-row.h. A check button is heard as what it is, with its state. */
#include "proposals-row.h"

#include "words.h"

typedef struct
{
  RakeProposals *proposals; /* which outlives the factory */
  RakeProposalPointed pointed;
  gpointer user_data;
} Rows;

static RakeProposal *
get_proposal (GtkWidget *check)
{
  return g_object_get_data (G_OBJECT (check), "proposal");
}

static void
on_toggled (GtkCheckButton *check, Rows *rows)
{
  RakeProposal *proposal = get_proposal (GTK_WIDGET (check));

  if (proposal)
    rake_proposals_take (rows->proposals, proposal, gtk_check_button_get_active (check));
}

static void
on_focus (GtkEventController *controller, Rows *rows)
{
  RakeProposal *proposal = get_proposal (gtk_event_controller_get_widget (controller));

  if (proposal)
    rows->pointed (proposal, rows->user_data);
}

static GtkWidget *
append_label (GtkWidget *box, const char *style)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (label, style);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static void
set_up (GtkSignalListItemFactory *factory, GtkListItem *item, Rows *rows)
{
  GtkWidget *check = gtk_check_button_new ();
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  GtkEventController *focus = gtk_event_controller_focus_new ();

  g_object_set_data (G_OBJECT (check), "name", append_label (box, "proposal-name"));
  g_object_set_data (G_OBJECT (check), "why", append_label (box, "soft"));
  gtk_widget_set_hexpand (check, TRUE);
  gtk_check_button_set_child (GTK_CHECK_BUTTON (check), box);
  g_signal_connect (check, "toggled", G_CALLBACK (on_toggled), rows);
  g_signal_connect (focus, "enter", G_CALLBACK (on_focus), rows);
  gtk_widget_add_controller (check, focus);
  /* The box is what is reached, not the row around it. */
  gtk_list_item_set_activatable (item, FALSE);
  gtk_list_item_set_child (item, check);
}

static void
show_taken (GtkWidget *check)
{
  gtk_check_button_set_active (GTK_CHECK_BUTTON (check),
                               rake_proposal_is_taken (get_proposal (check)));
}

static void
bind (GtkSignalListItemFactory *factory, GtkListItem *item, Rows *rows)
{
  GtkWidget *check = gtk_list_item_get_child (item);
  RakeProposal *proposal = gtk_list_item_get_item (item);
  const char *name = rake_proposal_get_name (proposal), *why = rake_proposal_get_why (proposal);
  gulong handler;

  g_object_set_data (G_OBJECT (check), "proposal", proposal);
  gtk_label_set_label (g_object_get_data (G_OBJECT (check), "name"), name);
  gtk_label_set_label (g_object_get_data (G_OBJECT (check), "why"), why);
  gtk_accessible_update_property (GTK_ACCESSIBLE (check), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, why, -1);
  handler = g_signal_connect_object (proposal, "notify::taken", G_CALLBACK (show_taken), check,
                                     G_CONNECT_SWAPPED);
  g_object_set_data (G_OBJECT (check), "handler", GSIZE_TO_POINTER (handler));
  show_taken (check);
}

static void
unbind (GtkSignalListItemFactory *factory, GtkListItem *item, Rows *rows)
{
  GtkWidget *check = gtk_list_item_get_child (item);

  g_signal_handler_disconnect (gtk_list_item_get_item (item),
                               GPOINTER_TO_SIZE (g_object_get_data (G_OBJECT (check), "handler")));
  g_object_set_data (G_OBJECT (check), "proposal", NULL);
}

GtkListItemFactory *
rake_proposals_row_factory_new (RakeProposals *proposals, RakeProposalPointed pointed,
                                gpointer user_data)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  Rows *rows = g_new (Rows, 1);

  *rows = (Rows){ proposals, pointed, user_data };
  g_object_set_data_full (G_OBJECT (factory), "rows", rows, g_free);
  g_signal_connect (factory, "setup", G_CALLBACK (set_up), rows);
  g_signal_connect (factory, "bind", G_CALLBACK (bind), rows);
  g_signal_connect (factory, "unbind", G_CALLBACK (unbind), rows);
  return factory;
}
