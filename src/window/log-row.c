/* log-row.c - one line of the logbook in the log window. */
#include "log-row.h"

#include "words.h"

struct _RakeLogRow
{
  GtkWidget parent_instance;

  GtkWidget *content, *text, *detail, *strike, *button;
};

G_DEFINE_FINAL_TYPE (RakeLogRow, rake_log_row, GTK_TYPE_WIDGET)

void
rake_log_row_show (RakeLogRow *self, RakeLogItem *item)
{
  const char *text = rake_log_item_get_text (item), *strike = rake_log_item_get_strike (item);
  g_autofree char *described = g_strdup_printf (_ ("Strike out: %s"), text);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  gtk_label_set_label (GTK_LABEL (self->text), text);
  gtk_label_set_label (GTK_LABEL (self->detail), rake_log_item_get_detail (item));
  gtk_label_set_label (GTK_LABEL (self->strike), strike ? strike : "");
  gtk_widget_set_visible (self->strike, strike != NULL);
  if (strike)
    gtk_widget_add_css_class (self->text, "struck");
  else
    gtk_widget_remove_css_class (self->text, "struck");
  rake_id_to_text (rake_log_item_get_entry (item)->id, id);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (self->button), "s", id);
  gtk_widget_set_visible (self->button, rake_log_item_can_strike (item));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  described, -1);
}

GtkWidget *
rake_log_row_new (void)
{
  return g_object_new (RAKE_TYPE_LOG_ROW, NULL);
}

static void
rake_log_row_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_LOG_ROW);
  G_OBJECT_CLASS (rake_log_row_parent_class)->dispose (object);
}

static void
rake_log_row_class_init (RakeLogRowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_log_row_dispose;
  gtk_widget_class_set_css_name (widget_class, "logrow");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "log-row.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeLogRow, content);
  gtk_widget_class_bind_template_child (widget_class, RakeLogRow, text);
  gtk_widget_class_bind_template_child (widget_class, RakeLogRow, detail);
  gtk_widget_class_bind_template_child (widget_class, RakeLogRow, strike);
  gtk_widget_class_bind_template_child (widget_class, RakeLogRow, button);
}

static void
rake_log_row_init (RakeLogRow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
