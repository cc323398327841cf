/* record-dialog.c - what the dialogs of the record have in common. */
#include "record-dialog.h"
#include "settings.h"
#include "typed.h"

void
rake_record_dialog_bind (GtkWidgetClass *widget_class, const RakeRecordText *texts, guint n_texts,
                         goffset first_widget)
{
  for (guint i = 0; i < n_texts; i++)
    gtk_widget_class_bind_template_child_full (
        widget_class, texts[i].child, FALSE,
        (gssize) (first_widget + (goffset) (i * sizeof (GtkWidget *))));
}

void
rake_record_dialog_read (GtkWidget *const *fields, const RakeRecordText *texts, guint n_texts,
                         gpointer body)
{
  for (guint i = 0; i < n_texts; i++)
    G_STRUCT_MEMBER (char *, body, texts[i].body_offset) = rake_typed_words (fields[i]);
}

void
rake_record_dialog_fill (GtkWidget *const *fields, const RakeRecordText *texts, guint n_texts,
                         gconstpointer body)
{
  for (guint i = 0; i < n_texts; i++)
    {
      const char *words = G_STRUCT_MEMBER (const char *, body, texts[i].body_offset);

      gtk_editable_set_text (GTK_EDITABLE (fields[i]), words ? words : "");
    }
}

void
rake_record_dialog_tell_fault (GtkWidget *dialog, const char *action, GtkWidget *label,
                               const char *sentence)
{
  gtk_label_set_label (GTK_LABEL (label), sentence ? sentence : "");
  gtk_widget_set_visible (label, sentence != NULL);
  gtk_widget_action_set_enabled (dialog, action, sentence == NULL);
}

void
rake_record_dialog_enter (GtkWindow *dialog, RakeSession *session, RakeEntry *entry,
                          const char *currency)
{
  if (!rake_session_append (session, &entry, 1))
    return;
  if (currency)
    rake_settings_set_text ("record", "currency", currency);
  gtk_window_destroy (dialog);
}
