/* record-dialog.h - what the dialogs of the record have in common: texts of an entry, each in a field of its
 * own, a fault that keeps them from being entered, and a cost whose currency is remembered. */
#pragma once
#include <gtk/gtk.h>
#include "session.h"

/* A field of the template, and where its text stands in the entry's body (a char *, NULL for nothing). */
typedef struct
{
  const char *child;
  goffset body_offset;
} RakeRecordText;

/* @first_widget: the offset in the dialog's struct of a GtkWidget *[@n_texts]. In class_init. */
void rake_record_dialog_bind (GtkWidgetClass *widget_class, const RakeRecordText *texts,
                              guint n_texts, goffset first_widget);

/* Between the fields and the entry's @body; what stood in @body is not freed. */
void rake_record_dialog_read (GtkWidget *const *fields, const RakeRecordText *texts, guint n_texts,
                              gpointer body);
void rake_record_dialog_fill (GtkWidget *const *fields, const RakeRecordText *texts, guint n_texts,
                              gconstpointer body);

/* @sentence, or NULL when @action of @dialog may be done. */
void rake_record_dialog_tell_fault (GtkWidget *dialog, const char *action, GtkWidget *label,
                                    const char *sentence);

/* Enters @entry and closes the dialog; it stays where that fails, which the session tells. */
void rake_record_dialog_enter (GtkWindow *dialog, RakeSession *session, RakeEntry *entry,
                               const char *currency);
