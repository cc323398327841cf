/* proposals-together.c - see proposals-together.h. */
#include "proposals-together.h"

#include "words.h"

static RakeProposals *
get_proposals (GtkMenuButton *button)
{
  return g_object_get_data (G_OBJECT (button), "proposals");
}

static void
show_count (GtkMenuButton *button)
{
  RakeProposals *proposals = get_proposals (button);
  g_autoptr (GPtrArray) others = proposals ? rake_proposals_list_others (proposals) : NULL;
  g_autofree char *words = NULL;
  guint n = 0;

  gtk_widget_set_visible (GTK_WIDGET (button), others && others->len > 0);
  for (guint i = 0; others && i < others->len; i++)
    n +=
        rake_proposals_is_read_with (proposals, ((const RakePhoto *) others->pdata[i])->id) ? 1 : 0;
  words =
      n > 0 ? g_strdup_printf (
                  ngettext ("Read with %u More Photograph", "Read with %u More Photographs", n), n)
            : g_strdup (_ ("Read Alone"));
  gtk_menu_button_set_label (button, words);
}

static void
on_toggled (GtkCheckButton *check, GtkMenuButton *button)
{
  const RakeId *id = g_object_get_data (G_OBJECT (check), "photo");

  if (!get_proposals (button))
    return;
  rake_proposals_read_with (get_proposals (button), *id, gtk_check_button_get_active (check));
  show_count (button);
}

static void
append_check (GtkMenuButton *button, GtkBox *box, const RakePhoto *photo)
{
  g_autofree char *name = rake_proposals_name_photo (photo);
  GtkWidget *check = gtk_check_button_new_with_label (name);

  gtk_check_button_set_active (GTK_CHECK_BUTTON (check),
                               rake_proposals_is_read_with (get_proposals (button), photo->id));
  gtk_widget_set_size_request (check, -1, 44);
  g_object_set_data_full (G_OBJECT (check), "photo", g_memdup2 (&photo->id, sizeof photo->id),
                          g_free);
  g_signal_connect_object (check, "toggled", G_CALLBACK (on_toggled), button, 0);
  gtk_box_append (box, check);
}

static void
fill (GtkMenuButton *button, gpointer user_data)
{
  GtkBox *box = user_data;
  g_autoptr (GPtrArray) others = NULL;
  GtkWidget *child = gtk_widget_get_first_child (GTK_WIDGET (box));

  /* The first child is the sentence on top. */
  while (child && gtk_widget_get_next_sibling (child))
    gtk_box_remove (box, gtk_widget_get_next_sibling (child));
  if (!get_proposals (button))
    return;
  others = rake_proposals_list_others (get_proposals (button));
  for (guint i = 0; i < others->len; i++)
    append_check (button, box, others->pdata[i]);
}

void
rake_proposals_together_set_up (GtkMenuButton *button, GtkBox *box)
{
  gtk_menu_button_set_create_popup_func (button, fill, box, NULL);
}

void
rake_proposals_together_show (GtkMenuButton *button, RakeProposals *proposals)
{
  if (proposals)
    g_object_set_data_full (G_OBJECT (button), "proposals", g_object_ref (proposals),
                            g_object_unref);
  else
    g_object_set_data (G_OBJECT (button), "proposals", NULL);
  show_count (button);
}
