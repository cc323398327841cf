/* record-photo.c - a photograph on a slip. */
#include "record-photo.h"
#include "photo-thumb.h"
#include "say.h"
#include "slip-words.h"

#include "words.h"

GtkWidget *
rake_record_photo_new (RakeSession *session, const RakePhoto *photo, int side_px)
{
  const char *name = photo->placed->photo.view  ? photo->placed->photo.view
                     : photo->entry->photo.name ? photo->entry->photo.name
                                                : _ ("A photograph");
  g_autofree char *when = rake_say_when (photo->entry, rake_session_now_ms ());
  g_autofree char *described = g_strdup_printf ("%s, %s", name, when);
  GtkWidget *button = gtk_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *thumb = rake_photo_thumb_new (side_px), *words;
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_photo_thumb_show (RAKE_PHOTO_THUMB (thumb), session, photo->id);
  gtk_box_append (GTK_BOX (box), thumb);
  words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gtk_widget_set_valign (words, GTK_ALIGN_CENTER);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (box), words);
  rake_slip_add_words (words, name, NULL);
  gtk_widget_add_css_class (rake_slip_add_words (words, when, "soft"), "small");
  gtk_button_set_child (GTK_BUTTON (button), box);
  rake_id_to_text (photo->id, id);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", id);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "win.show-photo");
  gtk_widget_add_css_class (button, "record-photo");
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, described,
                                  -1);
  return button;
}
