/* record-row.c - one line of a zone's record. */
#include "record-row.h"
#include "wrap-layout.h"

#include "words.h"

struct _RakeRecordRow
{
  GtkWidget parent_instance;

  GtkWidget *content, *title, *detail, *buttons, *strike;
  RakePicture *picture;
};

G_DEFINE_FINAL_TYPE (RakeRecordRow, rake_record_row, GTK_TYPE_WIDGET)

RakePicture *
rake_record_row_get_picture (RakeRecordRow *self)
{
  gtk_widget_set_visible (GTK_WIDGET (self->picture), TRUE);
  return self->picture;
}

void
rake_record_row_add_button (RakeRecordRow *self, const char *label, const char *described_as,
                            const char *action, RakeId target)
{
  GtkWidget *button = gtk_button_new_with_mnemonic (label);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (target, id);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", id);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_widget_add_css_class (button, "row-button");
  if (described_as)
    gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                    described_as, -1);
  gtk_box_append (GTK_BOX (self->buttons), button);
  gtk_widget_set_visible (self->buttons, TRUE);
}

void
rake_record_row_offer_strike (RakeRecordRow *self, RakeId entry)
{
  /* Translators: what a button says of one line: "Strike out: Pass 3 at P800". */
  g_autofree char *described =
      g_strdup_printf (_ ("Strike out: %s"), gtk_label_get_label (GTK_LABEL (self->title)));
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (entry, id);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (self->strike), "s", id);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->strike), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  described, -1);
  gtk_widget_set_visible (self->strike, TRUE);
}

void
rake_record_row_set_quiet (RakeRecordRow *self, gboolean is_quiet)
{
  if (is_quiet)
    gtk_widget_add_css_class (self->title, "soft");
  else
    gtk_widget_remove_css_class (self->title, "soft");
}

GtkWidget *
rake_record_row_new (const char *title, const char *detail)
{
  RakeRecordRow *self = g_object_new (RAKE_TYPE_RECORD_ROW, NULL);

  gtk_label_set_label (GTK_LABEL (self->title), title);
  gtk_label_set_label (GTK_LABEL (self->detail), detail ? detail : "");
  gtk_widget_set_visible (self->detail, detail && *detail);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, title,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, detail ? detail : "", -1);
  return GTK_WIDGET (self);
}

static void
rake_record_row_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_RECORD_ROW);
  G_OBJECT_CLASS (rake_record_row_parent_class)->dispose (object);
}

static void
rake_record_row_class_init (RakeRecordRowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_record_row_dispose;
  g_type_ensure (RAKE_TYPE_PICTURE);
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "recordrow");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "record-row.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeRecordRow, content);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordRow, title);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordRow, detail);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordRow, buttons);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordRow, picture);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordRow, strike);
}

static void
rake_record_row_init (RakeRecordRow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
